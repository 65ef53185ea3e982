//! Gas that comes off: how much, where it goes, when it burns and harms, and the air that takes it below that.

use crate::figure;
use crate::hazard::{self, GasHazard, RoomAir, Severity};
use crate::matter::Species;
use crate::number::Number;
use crate::report::document::{Detail, Words};
use crate::route::ledger::*;

use super::Caution;

/// Every gas of the route with its whole volume.
pub(super) fn released(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut sums: Vec<(Species, Number)> = Vec::new();
    for gas in records(ledger) {
        match sums.iter_mut().find(|(species, _)| *species == gas.species) {
            Some((_, litres)) => *litres = &*litres + &gas.litres,
            None => sums.push((gas.species.clone(), gas.litres.clone())),
        }
    }
    sums.iter()
        .map(|(species, litres)| caution(words, species, litres, Detail::Full))
        .collect()
}

fn records(ledger: &Ledger) -> impl Iterator<Item = &GasRecord> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations.flat_map(|operation| match &operation.outcome {
        Outcome::Reacted(reaction) => reaction.gas.as_slice(),
        Outcome::Titrated(titration) => titration.reaction.gas.as_slice(),
        _ => &[],
    })
}

/// One gas by itself, as at the step where it comes off.
pub(super) fn caution(words: Words, species: &Species, litres: &Number, detail: Detail) -> Caution {
    let known = hazard::gas(&species.with_phase(None));
    let (text, severity) = match known {
        Some(known) if detail == Detail::Short => (
            reminder(words, species, known),
            severity(known, litres.to_f64()),
        ),
        Some(known) => (
            told(words, species, known, litres),
            severity(known, litres.to_f64()),
        ),
        None => (
            format!(
                "{} of {} comes off; no gas data found, which does not make it safe",
                figure::litres(litres),
                words.bare(species)
            ),
            Severity::Danger,
        ),
    };
    Caution {
        kind: "gas",
        severity,
        place: None,
        keys: Vec::new(),
        text,
        sources: known.map(GasHazard::source).into_iter().collect(),
    }
}

/// What burns or has an exposure limit is a danger, unless the air over a bench takes it below both (own rule); steam,
/// nitrogen and the like are worth a caution.
fn severity(gas: GasHazard, litres: f64) -> Severity {
    /// In L: a cube of less than half a metre.
    const OVER_A_BENCH: f64 = 100.0;
    let air = hazard::room_air(gas, litres);
    let needed = [air.below_quarter_of_explosive, air.below_exposure];
    match needed.into_iter().flatten().any(|air| air > OVER_A_BENCH) {
        true => Severity::Danger,
        false => Severity::Caution,
    }
}

fn told(words: Words, species: &Species, gas: GasHazard, litres: &Number) -> String {
    let amount = format!(
        "{} of {} ({}) comes off",
        figure::litres(litres),
        words.bare(species),
        gas.name()
    );
    let pieces = [weighs(gas), burns(gas), harms(gas)].into_iter().flatten();
    let air = room_air(gas, litres.to_f64());
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
fn reminder(words: Words, species: &Species, gas: GasHazard) -> String {
    let goes = gas.density_against_air().map(goes);
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
        words.bare(species),
        gas.name(),
        pieces.join("; ")
    )
}

fn weighs(gas: GasHazard) -> Option<String> {
    let density = gas.density_against_air()?;
    Some(format!(
        "{density:.2} times as dense as air, {}",
        goes(density)
    ))
}

fn goes(density: f64) -> &'static str {
    match density {
        light if light < 0.95 => "it rises",
        heavy if heavy > 1.05 => "it sinks and gathers low",
        _ => "it mixes with air",
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

fn room_air(gas: GasHazard, litres: f64) -> impl Iterator<Item = String> {
    let RoomAir {
        below_quarter_of_explosive,
        below_exposure,
    } = hazard::room_air(gas, litres);
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
