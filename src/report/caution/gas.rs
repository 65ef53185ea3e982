//! Gas that comes off: how much, where it goes, when it burns and harms, and the air that takes it below that.

use crate::hazard::{self, GasHazard, RoomAir, Severity};
use crate::matter::Species;
use crate::number::Number;
use crate::report::document::Words;
use crate::report::figure;
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
        .map(|(species, litres)| caution(words, species, litres))
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
pub(super) fn caution(words: Words, species: &Species, litres: &Number) -> Caution {
    let known = hazard::gas(&species.with_phase(None));
    let (text, severity) = match known {
        Some(known) => (told(words, species, known, litres), severity(known)),
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

/// What burns or has an exposure limit is a danger; steam, nitrogen and the like are worth a caution.
fn severity(gas: GasHazard) -> Severity {
    match (gas.lower_explosive_limit(), gas.exposure_limit()) {
        (None, None) => Severity::Caution,
        _ => Severity::Danger,
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
        .chain([advice(gas)])
        .collect();
    all.join("; ")
}

fn weighs(gas: GasHazard) -> Option<String> {
    let density = gas.density_against_air()?;
    let goes = match density {
        light if light < 0.95 => "it rises",
        heavy if heavy > 1.05 => "it sinks and gathers low",
        _ => "it mixes with air",
    };
    Some(format!("{density:.2} times as dense as air, {goes}"))
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
