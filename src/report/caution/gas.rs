//! Gas that comes off, in words.

use crate::advice::{Buoyancy, ReleasedGas};
use crate::figure;
use crate::hazard::{GasHazard, RoomAir};
use crate::report::document::{Detail, Words};

pub(super) fn released(words: Words, gas: &ReleasedGas, detail: Detail) -> String {
    match gas.hazard {
        Some(known) if detail == Detail::Short => reminder(words, gas, known),
        Some(known) => told(words, gas, known),
        None => format!(
            "{} of {} comes off; no gas data found, which does not make it safe",
            figure::litres(&gas.litres),
            words.bare(&gas.species)
        ),
    }
}

fn told(words: Words, released: &ReleasedGas, gas: GasHazard) -> String {
    let amount = format!(
        "{} of {} ({}) comes off",
        figure::litres(&released.litres),
        words.bare(&released.species),
        gas.name()
    );
    let pieces = [weighs(released), burns(gas), harms(gas)]
        .into_iter()
        .flatten();
    let air = released.room_air().into_iter().flat_map(room_air);
    let all: Vec<String> = [amount]
        .into_iter()
        .chain(pieces)
        .chain(air)
        .chain(smells(gas))
        .chain(gas.notes().map(str::to_owned))
        .chain([advice(gas)])
        .collect();
    all.join("; ")
}

/// What a nose and a hand must know at once.
fn reminder(words: Words, released: &ReleasedGas, gas: GasHazard) -> String {
    let goes = released.buoyancy().map(goes);
    let burns = gas
        .lower_explosive_limit()
        .map(|low| format!("burns from {low} vol%"));
    let harms = gas
        .exposure_limit()
        .map(|limit| format!("harms above {limit} ppm"));
    let notes = gas.notes().map(str::to_owned);
    // Where neither says anything the row has what matters.
    let notes = notes.filter(|_| burns.is_none() && harms.is_none());
    let notes: Vec<String> = notes.collect();
    let pieces = [goes.map(str::to_owned), burns, harms];
    let pieces = pieces.into_iter().flatten().chain(notes);
    let pieces: Vec<String> = pieces.chain([advice(gas)]).collect();
    format!(
        "{} ({}): {}",
        words.bare(&released.species),
        gas.name(),
        pieces.join("; ")
    )
}

fn weighs(released: &ReleasedGas) -> Option<String> {
    let density = released.hazard?.density_against_air()?;
    let goes = goes(released.buoyancy()?);
    Some(format!("{density:.2} times as dense as air, {goes}"))
}

fn goes(buoyancy: Buoyancy) -> &'static str {
    match buoyancy {
        Buoyancy::Rises => "it rises",
        Buoyancy::Sinks => "it sinks and gathers low",
        Buoyancy::Mixes => "it mixes with air",
    }
}

fn burns(gas: GasHazard) -> Option<String> {
    let low = gas.lower_explosive_limit()?;
    Some(match gas.upper_explosive_limit() {
        Some(high) => format!("burns or explodes from {low} to {high} vol% in air"),
        None => format!("burns or explodes from {low} vol% in air"),
    })
}

fn harms(gas: GasHazard) -> Option<String> {
    let limit = gas.exposure_limit()?;
    Some(match gas.idlh() {
        Some(idlh) => format!("exposure limit {limit} ppm, danger to life from {idlh} ppm"),
        None => format!("exposure limit {limit} ppm"),
    })
}

fn smells(gas: GasHazard) -> Option<String> {
    match gas.odour() {
        (Some("none"), _) => Some("no smell warns of it".to_owned()),
        (Some(odour), _) => Some(format!("smell: {odour}")),
        (None, _) => None,
    }
}

fn room_air(air: RoomAir) -> impl Iterator<Item = String> {
    let RoomAir {
        below_quarter_of_explosive,
        below_exposure,
    } = air;
    let limits = [
        (
            below_quarter_of_explosive,
            "a quarter of its lower explosive limit",
        ),
        (below_exposure, "its exposure limit"),
    ];
    limits.into_iter().filter_map(|(air, limit)| {
        Some(format!(
            "{} of air take it below {limit}",
            figure::air(air?)
        ))
    })
}

fn advice(gas: GasHazard) -> String {
    match gas.lower_explosive_limit() {
        Some(_) => "work in the hood, away from flames".to_owned(),
        None => "work in the hood".to_owned(),
    }
}
