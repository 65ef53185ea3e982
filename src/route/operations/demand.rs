//! What an operation demands of its vessel and of the quantities it is given.

use crate::number::{Dimension, Exact, Number, Quantity, unit};
use crate::vessel::liquid;

use super::super::ledger::{Emptied, Fact};
use super::super::moment::{Done, HOTTEST, Refusal, Run};
use super::super::program::{Value, VesselId};

/// The largest amount, in g or mol, that a small lab can mean.
pub(super) const ABSURD: i64 = 1_000_000;
/// The largest volume, in mL: a room full of gas. What is poured is limited by its mass.
const ABSURD_VOLUME: i64 = 100_000_000;

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

/// An amount above zero that a small lab can mean.
pub fn positive(run: &mut Run<'_>, value: &Value) -> Done<Quantity> {
    let quantity = run.quantity(value)?;
    let size = [&unit::GRAM, &unit::MILLILITRE, &unit::MOLE]
        .into_iter()
        .find_map(|unit| quantity.in_unit(unit).ok())
        .unwrap_or_else(|| quantity.number().clone());
    let expression = value.text.clone();
    if !size.is_positive() {
        return Err(Fact::NotPositive { expression }.into());
    }
    let most = match quantity.dimension() {
        Dimension::VOLUME => ABSURD_VOLUME,
        _ => ABSURD,
    };
    if size.value() > &Exact::from(most) {
        return Err(Fact::Absurd { expression }.into());
    }
    Ok(quantity)
}

/// A temperature that a vessel can have, in K.
pub(super) fn temperature(run: &mut Run<'_>, value: &Value) -> Done<Number> {
    let kelvins = run.quantity(value)?.number().clone();
    if !kelvins.is_positive() || kelvins.value() > &Exact::from(HOTTEST) {
        return Err(Fact::AbsurdTemperature { kelvins }.into());
    }
    Ok(kelvins)
}

/// At what temperature, in K, and over what time, in s, something is added.
#[derive(Clone, Debug, Default)]
pub(super) struct Times {
    pub(super) at: Option<Number>,
    pub(super) over: Option<Number>,
}

impl Times {
    pub(super) fn read(run: &mut Run<'_>, at: Option<&Value>, over: Option<&Value>) -> Done<Times> {
        let at = at.map(|value| temperature(run, value)).transpose()?;
        let over = over.map(|value| positive_time(run, value)).transpose()?;
        Ok(Times { at, over })
    }
}

pub(super) fn positive_time(run: &mut Run<'_>, value: &Value) -> Done<Number> {
    let seconds = run.quantity(value)?.number().clone();
    if seconds.is_positive() {
        return Ok(seconds);
    }
    let expression = value.text.clone();
    Err(Fact::NotPositive { expression }.into())
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
