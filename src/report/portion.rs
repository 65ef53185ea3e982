//! What to measure out: how much of what, where it goes and what for.

use crate::number::Dimension;
use crate::route::ledger::*;

use super::document::{Block, Words};
use crate::figure;

/// Something to weigh or pour.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// By the measure that suits it: mL for a liquid, g for a solid.
    pub amount: String,
    /// The bottle with its label, or the substance.
    pub what: String,
    /// The vessel, and what for.
    pub purpose: String,
    /// The same portion by other measures.
    pub also: String,
}

impl Words {
    /// In the order of use.
    pub(super) fn portions(self, ledger: &Ledger) -> Vec<Block> {
        if ledger.draws.is_empty() {
            return vec![Block::Paragraph("nothing".to_owned())];
        }
        let all: Vec<Portion> = ledger.draws.iter().map(|draw| self.portion(draw)).collect();
        let runs = all.chunk_by(|one, next| one == next);
        vec![Block::Portions(runs.map(together).collect())]
    }

    fn portion(self, draw: &Withdrawal) -> Portion {
        let moles = stated(draw, Dimension::AMOUNT, || figure::amount(&draw.moles));
        Portion {
            amount: measure(draw),
            what: self.named(draw),
            purpose: self.purpose(draw),
            also: match draw.millilitres {
                // Nobody counts the moles of the water for a wash.
                Some(_) if is_water(draw) => weighed(draw),
                Some(_) => format!("{}, {moles}", weighed(draw)),
                None => moles,
            },
        }
    }

    pub(super) fn named(self, draw: &Withdrawal) -> String {
        let substance = self.bare(&draw.substance);
        match &draw.bottle {
            Some(bottle) if draw.strength.is_empty() => format!("{bottle}: {substance}"),
            Some(bottle) => format!("{bottle}: {substance} {}", draw.strength),
            None if is_water(draw) => "water".to_owned(),
            None if draw.substance.plain() == "H2O(s)" => "ice".to_owned(),
            None => substance,
        }
    }

    pub(super) fn purpose(self, draw: &Withdrawal) -> String {
        let vessel = &draw.vessel;
        match &draw.reason {
            WithdrawalReason::Stated => format!("into {vessel}"),
            WithdrawalReason::Wash => format!("to wash {vessel}"),
            WithdrawalReason::Dilution => format!("to fill up {vessel}"),
            WithdrawalReason::Enough {
                for_species,
                excess,
                ..
            } => {
                let over = excess.as_ref().map_or(String::new(), |excess| {
                    format!(", {} more than needed", figure::percent(excess))
                });
                format!("into {vessel}, to use up {}{over}", self.bare(for_species))
            }
        }
    }
}

fn is_water(draw: &Withdrawal) -> bool {
    draw.bottle.is_none() && draw.substance.key() == "H2O" && draw.millilitres.is_some()
}

/// Portions that are the same one after the other, on one line.
fn together(run: &[Portion]) -> Portion {
    let first = run[0].clone();
    match run.len() {
        1 => first,
        times => Portion {
            amount: format!("{times} × {}", first.amount),
            also: format!("{} each", first.also),
            ..first
        },
    }
}

/// The measure that suits it: mL for a liquid, g for a solid.
pub(super) fn measure(draw: &Withdrawal) -> String {
    let poured = draw.millilitres.as_ref();
    let poured = poured.map(|poured| stated(draw, Dimension::VOLUME, || figure::volume(poured)));
    poured.unwrap_or_else(|| weighed(draw))
}

fn weighed(draw: &Withdrawal) -> String {
    stated(draw, Dimension::MASS, || figure::mass(&draw.grams))
}

/// What the route states, to the digits and in the unit it does so; any other measure as it is reckoned.
fn stated(draw: &Withdrawal, measure: Dimension, reckoned: impl Fn() -> String) -> String {
    let stated = draw.stated.as_ref();
    let stated = stated.filter(|stated| stated.dimension() == measure);
    stated.map_or_else(reckoned, figure::quantity)
}
