//! The propagation of distributions by a Monte Carlo method (JCGM 101:2008): the route run again for every sample, with
//! a value drawn for each uncertain input in the place of its uncertainty.
//!
//! Inputs are those of the script and of the tables, each independent of the others and drawn once for a sample, however
//! often the route uses it. What a `find` found stays; a `vary` is not run again.

use std::mem::discriminant;
use std::sync::Arc;

use crate::number::{Input, Quantity, SampleDraw, Sampled};

use super::super::ledger::{
    Fact, Ledger, NotSampled, Remark, SampledFigure, Samples, Sampling, Weight,
};
use super::super::moment::{Figures, Met, RunScope};
use super::super::program::Program;
use super::{Progress, parallel, refusals, trial};

/// One run of the route, in as little room as a million of them call for.
enum Run {
    /// Not a number where it has no such figure.
    Through {
        figures: Box<[f64]>,
        holds: Box<[Option<bool>]>,
    },
    Failed(Box<Remark>),
}

/// Samples a program whose unknowns have been found.
pub(super) fn sample(
    program: &Program,
    ledger: &Ledger,
    asked: Samples,
    progress: Progress<'_>,
) -> Result<Sampling, NotSampled> {
    if ledger.refused || ledger.remarks.iter().any(|r| r.level == Weight::Fault) {
        return Err(NotSampled::Faulty);
    }
    let planned = collected(program, None);
    let figures = &planned.all;
    if figures.iter().all(|met| met.figure.is_none()) {
        return Err(NotSampled::NothingAsked);
    }
    let exact = |met: &Met| {
        let figure = met.figure.as_ref();
        figure.is_none_or(|figure| figure.number().is_exact())
    };
    if program.inputs.is_empty() && figures.iter().all(exact) {
        return Err(NotSampled::NothingUncertain);
    }
    let inputs: Arc<[Input]> = program.inputs.clone().into();
    let spreads: Arc<[Quantity]> = planned.spreads.clone().into();
    let runs = parallel::all(asked.count, progress, |index| {
        let draw = SampleDraw::new(inputs.clone(), asked.seed, index as u64);
        run(program, draw, &spreads, figures)
    });
    let sampling = gather(asked, figures, &runs);
    let spread = |figure: &SampledFigure| {
        let sampled = figure.sampled.as_ref();
        sampled.is_none_or(|sampled| sampled.standard_uncertainty > 0.0)
    };
    match sampling.figures.iter().any(spread) {
        true => Ok(sampling),
        false => Err(NotSampled::NothingUncertain),
    }
}

/// The figures of the run by the plan.
fn collected(program: &Program, planned: Option<Arc<[Quantity]>>) -> Figures {
    trial(program, scope(planned))
        .scope
        .figures
        .unwrap_or_default()
}

fn scope(planned: Option<Arc<[Quantity]>>) -> RunScope {
    RunScope {
        figures: Some(Figures {
            planned,
            ..Figures::default()
        }),
        ..RunScope::default()
    }
}

fn run(program: &Program, draw: SampleDraw, spreads: &Arc<[Quantity]>, planned: &[Met]) -> Run {
    let program = match program.drawn(draw) {
        Ok(program) => program,
        Err(unfit) => {
            let (span, fact) = (unfit.span(), Fact::CannotStand(Box::new(unfit)));
            return Run::Failed(Box::new(Remark::new(span, Weight::Fault, fact)));
        }
    };
    let state = trial(&program, scope(Some(spreads.clone())));
    let mut remarks = state.record.ledger.remarks.iter();
    if let Some(fault) = remarks.find(|r| r.level == Weight::Fault) {
        return Run::Failed(Box::new(fault.clone()));
    }
    if let Some((span, why)) = refusals(&state).next() {
        return Run::Failed(Box::new(Remark::new(span, Weight::Fault, *why.fact)));
    }
    let figures = state.scope.figures.unwrap_or_default();
    let met = planned.iter().zip(&figures.all);
    Run::Through {
        figures: met
            .map(|(planned, met)| in_unit_of(&program, planned, met).unwrap_or(f64::NAN))
            .collect(),
        holds: figures.all.iter().map(|met| met.holds).collect(),
    }
}

/// In the unit in which the planned figure was written.
fn in_unit_of(program: &Program, planned: &Met, met: &Met) -> Option<f64> {
    // What a model remembers is as stated: its uncertainty is still to be drawn.
    let figure = program.as_drawn(met.figure.as_ref()?);
    let number = match planned.figure.as_ref()?.written_in() {
        Some(unit) => figure.in_unit(&unit).ok()?,
        None => figure.number().clone(),
    };
    Some(number.to_f64())
}

fn gather(asked: Samples, planned: &[Met], runs: &[Run]) -> Sampling {
    let mut faults: Vec<(usize, Remark)> = Vec::new();
    let failed = runs.iter().filter_map(|run| match run {
        Run::Failed(fault) => Some(&**fault),
        Run::Through { .. } => None,
    });
    for fault in failed {
        let like = |known: &Remark| {
            known.span == fault.span && discriminant(&known.fact) == discriminant(&fault.fact)
        };
        match faults.iter_mut().find(|(_, known)| like(known)) {
            Some((count, _)) => *count += 1,
            None => faults.push((1, fault.clone())),
        }
    }
    let figures = planned.iter().enumerate().filter_map(|(index, met)| {
        let values = through(runs).filter_map(|(figures, _)| figures.get(index));
        let values = values.copied().filter(|value| !value.is_nan()).collect();
        let held = through(runs).filter_map(|(_, holds)| *holds.get(index)?);
        Some(SampledFigure {
            asked_by: met.asked_by,
            expression: met.expression.clone(),
            span: met.span,
            planned: met.figure.clone()?,
            sampled: Sampled::of(values),
            condition: met.condition.clone(),
            holds: share(held),
        })
    });
    Sampling {
        asked,
        failed: faults.iter().map(|(count, _)| count).sum(),
        faults,
        figures: figures.collect(),
    }
}

/// The figures of the runs that did not go wrong.
fn through(runs: &[Run]) -> impl Iterator<Item = (&[f64], &[Option<bool>])> {
    runs.iter().filter_map(|run| match run {
        Run::Through { figures, holds } => Some((&**figures, &**holds)),
        Run::Failed(_) => None,
    })
}

fn share(held: impl Iterator<Item = bool>) -> Option<f64> {
    let (mut yes, mut all) = (0_usize, 0_usize);
    for holds in held {
        yes += usize::from(holds);
        all += 1;
    }
    (all > 0).then(|| yes as f64 / all as f64)
}
