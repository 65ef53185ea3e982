//! `vary`: the route run once for each set of values, on all cores.
//!
//! The runs are independent and the rows stand in the order of the values, so the table is the same on any number of
//! cores.

use crate::number::Quantity;

use super::super::ledger::{Answer, Comparison, ComparisonRow, Fact, Ledger, Remark, Weight};
use super::super::program::{
    Action, Instruction, LetId, MOST_RUNS, Program, RangeFault, Value, Variation,
};
use super::state::State;
use super::{Progress, advance, cores, finding};

/// `vary`, met in a run: the answers with the values of this run.
pub(super) fn ask(program: &Program, state: &mut State, shown: &[Value]) {
    state.errand.met += 1;
    if !state.arrived() {
        return;
    }
    state.errand.answers = shown
        .iter()
        .map(|value| state.answer(program, value).unwrap_or(Answer::Unknown))
        .collect();
}

/// Makes the table of every `vary` of a program.
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
    let rows = cores::all(sets.len(), progress, |index| {
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
    let mut state = State::until(&solved.program, until);
    advance(&solved.program, &mut state);
    let answers = std::mem::take(&mut state.errand.answers);
    let mut ledger = state.ledger;
    finding::tell(&solved.verdicts, &mut ledger);
    ComparisonRow {
        values: values.to_vec(),
        answers,
        faults: ledger
            .remarks
            .into_iter()
            .filter(|r| r.weight == Weight::Fault)
            .collect(),
    }
}

fn fault(program: &Program, slots: &[LetId], fact: Fact) -> Remark {
    let span = slots.first().map(|id| program.lets[*id].span);
    Remark::new(span.unwrap_or_default(), Weight::Fault, fact)
}
