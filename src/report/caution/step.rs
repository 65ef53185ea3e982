//! Cautions where they act: at the operation that pours, reacts or leaves something behind.

use crate::hazard::{Cautions, Hazard};
use crate::report::document::{Detail, Words};
use crate::route::ledger::*;

use super::{gas, heat, statement};

/// What to beware of in one operation, besides what the run remarked.
pub(in super::super) fn at_operation(
    words: Words,
    outcome: &Outcome,
    detail: Detail,
) -> Vec<(Weight, String)> {
    match outcome {
        Outcome::Charged { draws, .. } => draws
            .iter()
            .filter_map(|draw| handled(words, draw))
            .collect(),
        Outcome::Washed { draw, .. } => handled(words, draw).into_iter().collect(),
        Outcome::Reacted(record) => reacts(words, record, detail),
        Outcome::Titrated(record) => {
            let titrant = handled(words, &record.titrant).into_iter();
            titrant
                .chain(reacts(words, &record.reaction, detail))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The gas that comes off, and where the heat ends.
fn reacts(words: Words, record: &ReactRecord, detail: Detail) -> Vec<(Weight, String)> {
    let gases = record.gas.iter();
    let gases = gases.map(|one| gas::caution(words, &one.species, &one.litres, detail));
    let told = gases.chain(heat::course(record, detail));
    told.map(|caution| (caution.weight(), caution.text))
        .collect()
}

/// What a portion does to who handles it, in plain words.
fn handled(words: Words, draw: &Draw) -> Option<(Weight, String)> {
    let Cautions::Found {
        hazards, of_powder, ..
    } = statement::found(draw)
    else {
        return None;
    };
    let weight = weight(hazards.iter());
    let name = draw
        .bottle
        .clone()
        .unwrap_or_else(|| words.bare(&draw.substance));
    let form = if of_powder { ", if a powder" } else { "" };
    Some((weight, format!("{name}{form}: {}", plainly(hazards.iter()))))
}

/// What the contents of a vessel are by now, in plain words.
pub(in super::super) fn of_vessel(words: Words, vessel: &VesselState) -> Option<(Weight, String)> {
    let found = statement::classified(vessel);
    let hazards = || found.hazards.iter().map(|(hazard, _)| hazard);
    let told = (!found.hazards.is_empty()).then(|| plainly(hazards()));
    let unknown: Vec<String> = found.unknown.iter().map(|one| words.bare(one)).collect();
    let unknown = (!unknown.is_empty()).then(|| {
        format!(
            "nothing found for {}, which does not make it safe",
            unknown.join(", ")
        )
    });
    let pieces: Vec<String> = told.into_iter().chain(unknown).collect();
    (!pieces.is_empty()).then(|| (weight(hazards()), pieces.join("; ")))
}

/// `H314 burns skin deeply and can blind; H331 breathing it poisons`
fn plainly<'a>(hazards: impl Iterator<Item = &'a Hazard>) -> String {
    let each: Vec<String> = hazards
        .map(|hazard| format!("{} {}", hazard.code, hazard.consequence))
        .collect();
    each.join("; ")
}

fn weight<'a>(mut hazards: impl Iterator<Item = &'a Hazard>) -> Weight {
    match hazards.any(|hazard| hazard.signal_word == "Danger") {
        true => Weight::Warning,
        false => Weight::Note,
    }
}
