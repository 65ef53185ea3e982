//! `charge V: enough X for EQUATION, P % excess`: the amount that uses up what a vessel holds.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::{Reagent, reagent};

use super::super::ledger::{Fact, Outcome, Weight, WithdrawalReason};
use super::super::moment::{Done, Refusal, Run};
use super::super::program::{Enough, Matter, VesselId};
use super::change;
use super::demand::Times;
use super::portion::{Portioned, draw, measure_of, not_absurd, pour_in};

pub(super) fn enough(run: &mut Run<'_>, vessel: VesselId, asked: &Enough) -> Done<Outcome> {
    let times = Times::read(run, asked.at.as_ref(), asked.over.as_ref())?;
    let excess = match &asked.excess {
        Some(excess) => Some(run.quantity(excess)?.number().clone()),
        None => None,
    };
    let matter = run.as_it_is(&asked.matter);
    let Needed {
        moles,
        for_species,
        missing,
    } = needed(run, vessel, &matter, &asked.reaction)
        .map_err(|missing| nothing_to_use_up(run, vessel, &matter, missing))?;
    if !missing.is_empty() {
        let fact = Fact::StillMissing {
            vessel: run.name(vessel),
            missing,
            counted: for_species.clone(),
        };
        run.remark(Weight::Note, fact);
    }
    let factor = match &excess {
        Some(excess) => &Number::one() + excess,
        None => Number::one(),
    };
    let amount = Quantity::of(&moles * &factor, &unit::MOLE);
    let reason = WithdrawalReason::Enough {
        reaction: asked.reaction.clone(),
        for_species,
        excess,
    };
    let planned = draw(run, vessel, &matter, &amount, reason.clone())?;
    let draw = match &asked.slack {
        Some(slack) => {
            let measured = slack.on(run.program, &measure_of(&planned));
            draw(run, vessel, &matter, &measured, reason)?
        }
        None => planned,
    };
    not_absurd(&draw, &matter.label)?;
    pour_in(run, vessel, vec![Portioned { draw, matter }], &times)
}

/// What a reaction still needs of a bottle or substance.
pub(super) struct Needed {
    /// Of the solute or substance, in mol.
    pub(super) moles: Number,
    /// What it then uses up.
    pub(super) for_species: Species,
    /// What the vessel holds nothing of so far, though the reaction needs it too.
    pub(super) missing: Vec<Species>,
}

/// How much of something uses up what a vessel holds; else what the vessel lacks for that, nothing if it needs no more.
/// What is not there yet may come later, as long as something is there that the reaction is about.
pub(super) fn needed(
    run: &Run<'_>,
    vessel: VesselId,
    matter: &Matter,
    reaction: &Reaction,
) -> Result<Needed, Vec<Species>> {
    let (brought, solution) = match &matter.stuff {
        Reagent::Pure { species, .. } => (reagent::in_solution(species), false),
        Reagent::Solution { solute, .. } => (reagent::in_solution(solute), true),
    };
    let water_alone = brought.len() == 1 && brought[0].1.key() == "H2O";
    let brings = |species: &Species| {
        let water = species.key() == "H2O" && (water_alone || solution);
        water || brought.iter().any(|(_, s)| s.key() == species.key())
    };
    let terms = change::terms_with(run, vessel, reaction, solution);
    let used: Vec<_> = terms.iter().filter(|(n, _)| n.is_negative()).collect();
    let there = |species: &Species| change::stock_of(run, vessel, species);
    let others = used.iter().copied().filter(|term| !brings(&term.1));
    let (held, absent): (Vec<_>, Vec<_>) = others.partition(|term| there(&term.1).is_positive());
    let missing: Vec<Species> = absent.into_iter().map(|(_, s)| s.clone()).collect();
    if !missing.is_empty() && held.iter().all(|(_, s)| change::is_medium(s)) {
        return Err(missing);
    }
    let turns =
        |(n, species): &(Exact, Species)| there(species).checked_div(&Number::exact(n.abs()));
    let extents = held
        .iter()
        .filter_map(|term| Some((turns(term)?, term.1.clone())));
    let (extent, for_species) = extents
        .min_by(|(a, _), (b, _)| a.value().cmp(b.value()))
        .ok_or_else(Vec::new)?;
    let supplied = used
        .iter()
        .filter(|(_, s)| brings(s) && (water_alone || s.key() != "H2O"));
    let needs = supplied.filter_map(|(n, species)| {
        let (per_unit, _) = brought.iter().find(|(_, s)| s.key() == species.key())?;
        let short = &extent.scaled(&n.abs()) - &there(species);
        short.checked_div(&Number::exact(per_unit.clone()))
    });
    let need = needs.max_by(|a, b| a.value().cmp(b.value()));
    match need.filter(Number::is_positive) {
        Some(moles) => Ok(Needed {
            moles,
            for_species,
            missing,
        }),
        None => Err(Vec::new()),
    }
}

/// A refusal where nothing is called for.
pub(super) fn nothing_to_use_up(
    run: &Run<'_>,
    vessel: VesselId,
    matter: &Matter,
    missing: Vec<Species>,
) -> Refusal {
    Refusal::of(Fact::NothingToUseUp {
        vessel: run.name(vessel),
        matter: matter.label.clone(),
        missing,
    })
}
