//! `dilute V to Q`: water up to a volume or a mass.

use crate::number::{Number, unit};

use super::super::ledger::{Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::program::{Matter, Value, VesselId};
use super::demand::{Times, too_much, water_to};
use super::portion::{Portioned, pour_in, water_draw};

pub(super) fn dilute(run: &mut Run<'_>, vessel: VesselId, to: &Value) -> Done<Outcome> {
    let target = run.quantity(to)?;
    let grams_needed = water_to(run, vessel, &target)?;
    if grams_needed.is_negative() {
        return Err(too_much(run, vessel, target));
    }
    let grams_needed = match target.in_unit(&unit::MILLILITRE) {
        Ok(wanted) => to_the_mark(run, vessel, &wanted, grams_needed)?,
        Err(_) => grams_needed,
    };
    if grams_needed.is_zero() {
        let vessel = run.name(vessel);
        run.changes_nothing(Idle::ThatSize { vessel });
    }
    let draw = water_draw(run, vessel, &grams_needed)?;
    let portion = Portioned {
        draw: draw.clone(),
        matter: Matter::water(),
    };
    pour_in(run, vessel, vec![portion], &Times::default())?;
    Ok(Outcome::Diluted {
        vessel: run.name(vessel),
        draw: Box::new(draw),
    })
}

/// Less than this share of a volume is no more than the digits of a density leave open.
const AT_THE_MARK: f64 = 1e-9;
/// Rounds in which the volume comes to the mark: each leaves a few hundredths of what was missing.
const TO_THE_MARK: usize = 8;

/// Water, in g, with which the liquid has a volume, in mL, at the temperature that it has then.
fn to_the_mark(
    run: &mut Run<'_>,
    vessel: VesselId,
    wanted: &Number,
    mut grams: Number,
) -> Done<Number> {
    for _ in 0..TO_THE_MARK {
        if !grams.is_positive() {
            break;
        }
        let Some(there) = volume_with(run, vessel, &grams)? else {
            break;
        };
        let missing = (wanted - &there).settled();
        if missing.to_f64().abs() < 1e-9 {
            break;
        }
        grams = (&grams + &missing).settled();
    }
    // What is at the mark needs none, nor does it give any away.
    Ok(match grams.to_f64() < AT_THE_MARK * wanted.to_f64() {
        true => Number::zero(),
        false => grams,
    })
}

/// The volume, in mL, that so much water would bring; the bench stays as it is.
fn volume_with(run: &Run<'_>, vessel: VesselId, grams: &Number) -> Done<Option<Number>> {
    run.trial(|trial| {
        let draw = water_draw(trial, vessel, grams)?;
        let portion = Portioned {
            draw,
            matter: Matter::water(),
        };
        pour_in(trial, vessel, vec![portion], &Times::default())?;
        Ok(trial.volume(vessel))
    })
}
