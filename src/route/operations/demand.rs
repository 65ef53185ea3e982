//! What an operation demands of its vessel and of the quantities it is given.

use crate::number::{Dimension, Number, Quantity, unit};
use crate::vessel::liquid;

use super::super::ledger::{Emptied, Fact};
use super::super::moment::{Done, Refusal, Run};
use super::super::program::{Value, VesselId};

/// Fails if there is nothing in a vessel.
pub(super) fn not_empty(run: &mut Run<'_>, vessel: VesselId) -> Done<()> {
    if !run.contents(vessel).is_empty() {
        return Ok(());
    }
    let emptied = run.history(vessel).emptied;
    Err(Refusal::of(Fact::Empty {
        vessel: run.name(vessel),
        emptied: emptied.map(|span| Emptied {
            span,
            step: None,
            into: None,
        }),
    }))
}

/// At what temperature, in K, and over what time, in s, something is added.
#[derive(Clone, Debug, Default)]
pub(super) struct Times {
    pub(super) at: Option<Number>,
    pub(super) over: Option<Number>,
}

impl Times {
    pub(super) fn read(run: &mut Run<'_>, at: Option<&Value>, over: Option<&Value>) -> Done<Times> {
        let mut number =
            |value: &Value| -> Done<Number> { Ok(run.quantity(value)?.number().clone()) };
        Ok(Times {
            at: at.map(&mut number).transpose()?,
            over: over.map(&mut number).transpose()?,
        })
    }
}

/// A refusal where more, or less, is wanted than a vessel has.
pub(super) fn too_much(run: &mut Run<'_>, vessel: VesselId, asked: Quantity) -> Refusal {
    let there = match asked.dimension() {
        Dimension::MASS => Quantity::of(run.contents(vessel).grams(), &unit::GRAM),
        _ => {
            let volume = run.volume(vessel).unwrap_or_else(Number::zero);
            Quantity::of(volume, &unit::MILLILITRE)
        }
    };
    Refusal::of(Fact::TooMuch {
        vessel: run.name(vessel),
        asked,
        there,
    })
}

/// Water, in g, that brings a vessel to a volume of liquid or a mass of everything; negative if it is more already.
pub(super) fn water_to(run: &mut Run<'_>, vessel: VesselId, target: &Quantity) -> Done<Number> {
    let inside = run.bench.vessel(vessel);
    if let Ok(wanted) = target.in_unit(&unit::GRAM) {
        return Ok(&wanted - &inside.contents().grams());
    }
    let wanted = target.in_unit(&unit::MILLILITRE).ok();
    let found = wanted.and_then(|wanted| {
        liquid::water_to_volume(inside.contents(), inside.temperature(), &wanted)
    });
    match found {
        Some(found) => Ok(run.noted(found)),
        None => Err(Refusal::of(Fact::NoVolume {
            vessel: run.name(vessel),
        })),
    }
}

/// One figure as a share of another; refused where that is nothing.
pub(super) fn share(part: &Number, whole: &Number, expression: &str) -> Done<Number> {
    part.checked_div(whole).ok_or_else(|| {
        Refusal::of(Fact::DivisionByZero {
            expression: expression.to_owned(),
        })
    })
}
