//! `find` and `vary`, met in a run: how they answer with the values of this run.

use crate::number::Quantity;

use super::super::ledger::{Answer, Finding};
use super::super::moment::Run;
use super::super::program::{LetId, Program, Sought, Target, Value};

/// Both sides agree if they differ by no more than this share of the larger, or by the `±` of the right side.
pub const AGREES: f64 = 1e-9;

/// `find`: whether its conditions are met.
pub(super) fn judge(run: &mut Run<'_>, unknowns: &[Sought], targets: &[Target]) {
    let mut finding = Finding {
        span: run.record.here,
        unknowns: named(run.program, unknowns, |slot| run.values[slot].clone()),
        conditions: Vec::new(),
        runs: 0,
        met: true,
    };
    let mut sides = Vec::new();
    for target in targets {
        let left = run.known_quantity(&target.left);
        let right = run.known_quantity(&target.right);
        finding.met &= matches!((&left, &right), (Some(left), Some(right)) if agree(left, right));
        let answer = left.clone().map_or(Answer::Unknown, Answer::Quantity);
        finding.conditions.push((target.text.clone(), answer));
        sides.push((left, right));
    }
    run.scope.met += 1;
    run.scope.sides = sides;
    run.record.ledger.findings.push(finding);
}

/// `vary`: what it shows.
pub(super) fn ask(run: &mut Run<'_>, shown: &[Value]) {
    run.scope.met += 1;
    if !run.scope.arrived() {
        return;
    }
    run.scope.answers = shown.iter().map(|value| run.answered(value)).collect();
}

/// Unknowns with their values, where they have one.
pub fn named(
    program: &Program,
    unknowns: &[Sought],
    value: impl Fn(LetId) -> Option<Quantity>,
) -> Vec<(String, Quantity)> {
    let all = unknowns.iter().map(|sought| {
        let name = program.lets[sought.slot].name.clone();
        Some((name, value(sought.slot)?))
    });
    all.flatten().collect()
}

/// Whether two sides agree.
pub fn agree(left: &Quantity, right: &Quantity) -> bool {
    let (a, b) = (left.number(), right.number());
    let off = (a.value() - b.value()).abs().to_f64();
    off <= AGREES * a.to_f64().abs().max(b.to_f64().abs()) || off <= b.standard_uncertainty()
}
