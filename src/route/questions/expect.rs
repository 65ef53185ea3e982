//! `expect CONDITION`

use crate::number::{Exact, Quantity};
use crate::text::Span;

use super::super::ledger::{Answer, AskedBy, Expectation};
use super::super::moment::Run;
use super::super::program::{Node, Value};
use super::super::syntax::Comparison;

/// The statement: what came of it goes into the ledger.
pub fn expect(run: &mut Run<'_>, text: &str, conditions: &[(Value, Comparison, Value)]) {
    let span = run.record.here;
    let mut whole: Option<Expectation> = None;
    for (left, comparison, right) in conditions {
        let value = run.answered(left);
        let wanted = match &right.node {
            // What is demanded is no input: it is never drawn.
            Node::Constant(wanted) => Answer::Quantity(wanted.clone()),
            _ => run.answered(right),
        };
        let met = holds(&value, *comparison, &wanted);
        run.met(AskedBy::Expect, left, &value);
        run.held(*comparison, right, met);
        match &mut whole {
            // The first side that fails is the one to show.
            Some(so_far) if so_far.met && !met => {
                *so_far = expectation(text, span, value, wanted, met)
            }
            Some(_) => {}
            None => whole = Some(expectation(text, span, value, wanted, met)),
        }
    }
    run.record.ledger.expectations.extend(whole);
}

fn expectation(text: &str, span: Span, value: Answer, wanted: Answer, met: bool) -> Expectation {
    Expectation {
        expression: text.to_owned(),
        span,
        value,
        wanted,
        met,
    }
}

fn holds(left: &Answer, comparison: Comparison, right: &Answer) -> bool {
    let (Answer::Quantity(left), Answer::Quantity(right)) = (left, right) else {
        return false;
    };
    let (a, b) = (left.number().value(), right.number().value());
    match comparison {
        Comparison::Less => a < b,
        Comparison::AtMost => a <= b,
        Comparison::Greater => a > b,
        Comparison::AtLeast => a >= b,
        Comparison::Equal => agrees(a, right),
        Comparison::Unequal => !agrees(a, right),
    }
}

/// Equal, or within the `±` that the right side was given.
fn agrees(a: &Exact, right: &Quantity) -> bool {
    let off = (a - right.number().value()).abs();
    off.is_zero() || off.to_f64() <= right.number().standard_uncertainty()
}
