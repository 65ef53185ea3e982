//! Cautions where they act: at the operation that pours, reacts or leaves something behind.

use crate::hazard::Cautions;
use crate::report::document::{Block, Words};
use crate::route::ledger::*;

use super::{gas, heat, statement};

/// What to beware of in one operation, besides what the run remarked.
pub(in super::super) fn at_operation(words: Words, outcome: &Outcome) -> Vec<(Weight, String)> {
    match outcome {
        Outcome::Charged { draws, .. } => draws
            .iter()
            .filter_map(|draw| handled(words, draw))
            .collect(),
        Outcome::Washed { draw, .. } => handled(words, draw).into_iter().collect(),
        Outcome::Reacted(record) => {
            let gases = record
                .gas
                .iter()
                .map(|one| gas::caution(words, &one.species, &one.litres));
            let told = gases.chain(heat::course(outcome));
            told.map(|caution| (caution.weight(), caution.text))
                .collect()
        }
        _ => Vec::new(),
    }
}

/// What a portion does to who handles it, in plain words.
fn handled(words: Words, draw: &Draw) -> Option<(Weight, String)> {
    let Cautions::Found {
        hazards, of_powder, ..
    } = statement::found(draw)
    else {
        return None;
    };
    let weight = match hazards.iter().any(|hazard| hazard.signal_word == "Danger") {
        true => Weight::Warning,
        false => Weight::Note,
    };
    let all: Vec<String> = hazards
        .iter()
        .map(|hazard| format!("{} {}", hazard.code, hazard.consequence))
        .collect();
    let name = draw
        .bottle
        .clone()
        .unwrap_or_else(|| words.bare(&draw.substance));
    let form = if of_powder { ", if a powder" } else { "" };
    Some((weight, format!("{name}{form}: {}", all.join("; "))))
}

/// What the contents of a vessel are by now.
pub(in super::super) fn of_vessel(words: Words, vessel: &VesselState) -> Option<Block> {
    let caution = statement::of_vessel(words, vessel)?;
    Some(Block::Remark(caution.weight(), caution.text))
}
