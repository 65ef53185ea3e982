//! `vary`: the route run once for each set of values, on all cores.
//!
//! The runs are independent and the rows stand in the order of the values, so the table is the same on any number of
//! cores.

use crate::number::Quantity;

use super::super::ledger::{Answer, Comparison, ComparisonRow, Fact, Ledger, Remark, Weight};
use super::super::moment::RunScope;
use super::super::program::{
    Action, Instruction, LetId, MOST_RUNS, Program, RangeFault, Variation,
};
use super::{Progress, finding, parallel, refusals, trial};

/// Makes the table of every `vary` of a run.program.
pub(super) fn compare(program: &Program, ledger: &mut Ledger, progress: Progress<'_>) {
    for (index, instruction) in program.planning().into_iter().enumerate() {
        let table = one(program, instruction, index + 1, progress);
        match table {
            Some(Ok(table)) => ledger.comparisons.push(table),
            Some(Err(fault)) => {
                let fact = Fact::NoRange(fault);
                let remark = Remark::new(instruction.span, Weight::Fault, fact);
                ledger.remarks.push(remark);
            }
            None => {}
        }
    }
}

/// The table of one `vary`, the `until`th statement that plans; `None` for a `find`.
pub(super) fn one(
    program: &Program,
    instruction: &Instruction,
    until: usize,
    progress: Progress<'_>,
) -> Option<Result<Comparison, RangeFault>> {
    let Action::Vary { variations, shown } = &instruction.action else {
        return None;
    };
    let slots: Vec<LetId> = variations.iter().map(|v| v.slot).collect();
    let sets = match combinations(program, variations) {
        Ok(sets) => sets,
        Err(fault) => return Some(Err(fault)),
    };
    let rows = parallel::all(sets.len(), progress, |index| {
        run(program, &slots, &sets[index], until)
    });
    Some(Ok(Comparison {
        span: instruction.span,
        varied: slots
            .iter()
            .map(|id| program.lets[*id].name.clone())
            .collect(),
        shown: shown.iter().map(|value| value.text.clone()).collect(),
        rows,
    }))
}

/// Every combination of the values, the last name changing fastest.
fn combinations(
    program: &Program,
    variations: &[Variation],
) -> Result<Vec<Vec<Quantity>>, RangeFault> {
    let mut sets: Vec<Vec<Quantity>> = vec![Vec::new()];
    for variation in variations {
        let values = program.values(variation)?;
        if sets.len() * values.len() > MOST_RUNS {
            return Err(RangeFault::TooMany(program.lets[variation.slot].span));
        }
        let longer = sets.iter().flat_map(|set| {
            let with = |value: &Quantity| set.iter().chain([value]).cloned().collect();
            values.iter().map(with).collect::<Vec<Vec<Quantity>>>()
        });
        sets = longer.collect();
    }
    Ok(sets)
}

/// One run: what its `find` statements look for is looked for again, but for what is varied.
fn run(program: &Program, slots: &[LetId], values: &[Quantity], until: usize) -> ComparisonRow {
    let settings: Vec<_> = slots.iter().copied().zip(values.iter().cloned()).collect();
    let blank = |fact| ComparisonRow {
        values: values.to_vec(),
        answers: Vec::new(),
        faults: vec![fault(program, slots, fact)],
    };
    let program_now = match program.with(&settings) {
        Ok(program) => program,
        Err(unfit) => return blank(Fact::CannotStand(Box::new(unfit))),
    };
    let solved = finding::solve(&program_now, slots);
    let state = trial(&solved.program, RunScope::until(until));
    // What was shown after an operation was not carried out means nothing.
    let refused = refusals(&state).next().is_some();
    let answers = match refused {
        true => vec![Answer::Unknown; state.scope.answers.len()],
        false => state.scope.answers,
    };
    let mut ledger = state.record.ledger;
    finding::tell(&solved.verdicts, &mut ledger);
    let wrong = |remark: &Remark| remark.level == Weight::Fault;
    ComparisonRow {
        values: values.to_vec(),
        answers,
        faults: ledger.remarks.into_iter().filter(wrong).collect(),
    }
}

fn fault(program: &Program, slots: &[LetId], fact: Fact) -> Remark {
    let span = slots.first().map(|id| program.lets[*id].span);
    Remark::new(span.unwrap_or_default(), Weight::Fault, fact)
}
