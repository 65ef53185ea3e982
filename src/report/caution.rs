//! What can hurt somebody, for the top of the sheet: what the plan itself does, what is measured out, what comes off.
//!
//! Promises: a substance that the tables do not know is named as such, never left out; the tables' sources are told.
//!
//! What meets in a vessel is told by the run; here it is only put in order.

use std::collections::BTreeSet;

use crate::diagnostic;
use crate::hazard::{self, Cautions, Form, GasHazard, RoomAir};
use crate::matter::Phase;
use crate::route::ledger::*;

use super::document::{Block, DISCLAIMER, Words};
use super::figure;

/// The blocks of the section, the gravest first.
pub(super) fn cautions(words: Words, ledger: &Ledger) -> Vec<Block> {
    let gases = gases(ledger).map(|gas| (Weight::Warning, comes_off(words, gas)));
    let mut all: Vec<(Weight, String)> = remarked(words, ledger);
    all.extend(gases);
    all.extend(substances(words, ledger));
    let remarks = all
        .into_iter()
        .map(|(weight, text)| Block::Remark(weight, text));
    remarks
        .chain([Block::Paragraph(DISCLAIMER.to_owned())])
        .collect()
}

/// Where the statements and the gas data come from.
pub(super) fn sources(ledger: &Ledger) -> BTreeSet<&'static str> {
    let mut all = BTreeSet::new();
    for draw in &ledger.draws {
        match found(draw) {
            Cautions::Found { hazards, .. } => {
                all.extend(hazards.iter().map(|hazard| hazard.source))
            }
            Cautions::NoClass { source } => {
                all.insert(source);
            }
            Cautions::NothingFound => {}
        }
    }
    all.extend(gases(ledger).filter_map(data).map(GasHazard::source));
    all.extend(met(ledger).map(|encounter| encounter.meeting.rule.source()));
    all
}

/// Everything that met and should not, or only with care.
fn met(ledger: &Ledger) -> impl Iterator<Item = &Encounter> {
    ledger
        .remarks
        .iter()
        .filter_map(|remark| match &remark.fact {
            Fact::Hazard(encounter) => Some(&**encounter),
            _ => None,
        })
}

/// What the run found dangerous, the worst first, each once.
fn remarked(words: Words, ledger: &Ledger) -> Vec<(Weight, String)> {
    let mut all: Vec<(Weight, String)> = Vec::new();
    for remark in ledger.remarks.iter().filter(|remark| hurts(&remark.fact)) {
        let text = match &remark.fact {
            Fact::Hazard(_) => words.remark(remark).1,
            fact => diagnostic::route_fact(fact, remark.weight, words.0).title,
        };
        if !all.iter().any(|(_, known)| *known == text) {
            all.push((remark.weight, text));
        }
    }
    all.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
    all
}

fn hurts(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::WouldBoil { .. } | Fact::Overfull { .. } | Fact::FoamRoom { .. } | Fact::Hazard(_)
    )
}

/// The hazard statements of what is measured out, at its strength; water apart.
fn substances(words: Words, ledger: &Ledger) -> Vec<(Weight, String)> {
    let mut told: Vec<(Weight, String)> = Vec::new();
    for draw in ledger
        .draws
        .iter()
        .filter(|draw| draw.substance.key() != "H2O")
    {
        let found = found(draw);
        let line = (
            gravity(&found),
            format!("{}: {}", words.named(draw), statements(&found)),
        );
        if !told.contains(&line) {
            told.push(line);
        }
    }
    told.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
    told
}

/// What carries the signal word `Danger` stands out.
fn gravity(cautions: &Cautions) -> Weight {
    match cautions {
        Cautions::Found { hazards, .. }
            if hazards.iter().any(|hazard| hazard.signal_word == "Danger") =>
        {
            Weight::Warning
        }
        _ => Weight::Note,
    }
}

/// What the tables say of a portion.
fn found(draw: &Draw) -> Cautions {
    let phase = draw.substance.phase();
    let solute = draw.moles.scaled(draw.substance.molar_mass());
    let share = solute.checked_div(&draw.grams);
    let (form, percent) = match phase {
        None if draw.bottle.is_some() => {
            (Form::Solution, share.map(|share| share.to_f64() * 100.0))
        }
        Some(Phase::Gas) => (Form::Gas, None),
        _ => (Form::Pure, None),
    };
    hazard::cautions_for(&draw.substance.with_phase(None), form, percent)
}

/// By code and in words.
fn statements(cautions: &Cautions) -> String {
    match cautions {
        Cautions::NothingFound => {
            "nothing found, which does not make it safe; read its data sheet".to_owned()
        }
        Cautions::NoClass { .. } => {
            "no hazard class in the table, which is not the same as harmless".to_owned()
        }
        Cautions::Found {
            hazards,
            as_sold,
            of_anhydrous,
            of_powder,
        } => {
            let all: Vec<String> = hazards
                .iter()
                .map(|hazard| format!("{} {}", hazard.code, hazard.text))
                .collect();
            let sold = if *as_sold {
                " (as for the substance as sold)"
            } else {
                ""
            };
            let salt = if *of_anhydrous {
                " (as for the salt without its water)"
            } else {
                ""
            };
            let powder = if *of_powder { "as a powder: " } else { "" };
            format!("{powder}{}{sold}{salt}", all.join(" "))
        }
    }
}

fn gases(ledger: &Ledger) -> impl Iterator<Item = &GasRecord> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations.flat_map(|operation| match &operation.outcome {
        Outcome::Reacted(reaction) => reaction.gas.as_slice(),
        _ => &[],
    })
}

fn data(gas: &GasRecord) -> Option<GasHazard> {
    hazard::gas(&gas.species.with_phase(None))
}

/// How much, and the air that takes it below a quarter of its lower explosive limit and below its exposure limit.
fn comes_off(words: Words, gas: &GasRecord) -> String {
    let (litres, species) = (figure::litres(&gas.litres), words.bare(&gas.species));
    let Some(known) = data(gas) else {
        return format!(
            "{litres} of {species} comes off; no gas data found, which does not make it safe"
        );
    };
    let amount = format!("{litres} of {species} ({}) comes off", known.name());
    let RoomAir {
        below_quarter_of_explosive: burns,
        below_exposure: harms,
    } = hazard::room_air(known, gas.litres.to_f64());
    let limits = [
        (burns, "a quarter of its lower explosive limit"),
        (harms, "its exposure limit"),
    ];
    let told = limits
        .into_iter()
        .filter_map(|(air, limit)| Some(format!("{:.0} L of air take it below {limit}", air?)));
    let advice = match burns {
        Some(_) => "work in the hood, away from flames",
        None => "work in the hood",
    };
    let pieces = [amount].into_iter().chain(told).chain([advice.to_owned()]);
    pieces.collect::<Vec<_>>().join("; ")
}
