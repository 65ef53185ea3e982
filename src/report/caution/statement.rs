//! Hazard statements by strength: of what is measured out, of what is in the vessels, and what protects against them.

use crate::hazard::{self, Cautions, Classified, Form, Hazard, Mix, Severity};
use crate::matter::{Phase, Species};
use crate::report::document::Words;
use crate::report::trace;
use crate::route::ledger::*;

use super::Caution;

/// What is measured out, at its strength; water apart.
pub(super) fn substances(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let drawn = ledger
        .draws
        .iter()
        .filter(|draw| draw.substance.key() != "H2O");
    drawn.map(|draw| of_draw(words, draw)).collect()
}

fn of_draw(words: Words, draw: &Draw) -> Caution {
    let found = found(draw);
    Caution {
        kind: "substance",
        severity: gravity(&found),
        place: None,
        keys: hazards(&found).iter().map(|hazard| hazard.code).collect(),
        text: format!("{}: {}", words.named(draw), statements(&found)),
        sources: match &found {
            Cautions::Found { hazards, .. } => {
                hazards.iter().map(|hazard| hazard.source).take(1).collect()
            }
            Cautions::NoClass { source } => vec![source],
            Cautions::NothingFound => Vec::new(),
        },
    }
}

/// What the tables say of a portion.
pub(super) fn found(draw: &Draw) -> Cautions {
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

pub(super) fn hazards(found: &Cautions) -> &[Hazard] {
    match found {
        Cautions::Found { hazards, .. } => hazards,
        _ => &[],
    }
}

/// What carries the signal word `Danger` stands out.
fn gravity(found: &Cautions) -> Severity {
    match hazards(found)
        .iter()
        .any(|hazard| hazard.signal_word == "Danger")
    {
        true => Severity::Danger,
        false => Severity::Caution,
    }
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
        Cautions::Found { hazards, .. } => {
            let all: Vec<String> = hazards
                .iter()
                .map(|hazard| format!("{} {}", hazard.code, hazard.text))
                .collect();
            format!("{}{}", all.join(" "), read_as(cautions))
        }
    }
}

/// In what form the tables know it, where that is not the form at hand.
pub(super) fn read_as(cautions: &Cautions) -> &'static str {
    match cautions {
        Cautions::Found {
            of_powder: true, ..
        } => " (as for a powder)",
        Cautions::Found { as_sold: true, .. } => " (as for the substance as sold)",
        Cautions::Found {
            other_water: true, ..
        } => " (as for the salt with other crystal water or none)",
        _ => "",
    }
}

/// What holds for the contents of a vessel, traces apart.
pub(super) fn classified(vessel: &VesselState) -> Classified {
    let amounts = trace::parted(&vessel.contents).0.into_iter();
    hazard::classify(&Mix::of(
        amounts.map(|content| (&content.species, content.moles.value())),
    ))
}

/// Contents of the vessels after the steps; vessels of which the same is to be said stand together.
pub(super) fn contents(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut all: Vec<(Vec<String>, Classified, &VesselState)> = Vec::new();
    for vessel in after_steps(ledger) {
        let found = classified(vessel);
        if found.hazards.is_empty() && found.unknown.is_empty() {
            continue;
        }
        match all.iter_mut().find(|(_, known, _)| *known == found) {
            Some((names, ..)) if names.contains(&vessel.name) => {}
            Some((names, ..)) => names.push(vessel.name.clone()),
            None => all.push((vec![vessel.name.clone()], found, vessel)),
        }
    }
    let told = all.into_iter();
    told.map(|(names, found, vessel)| of_contents(words, &names.join(", "), &found, vessel))
        .collect()
}

/// The vessels after each step that are not empty.
pub(super) fn after_steps(ledger: &Ledger) -> impl Iterator<Item = &VesselState> {
    let all = ledger.steps.iter().flat_map(|step| &step.after);
    all.filter(|vessel| !vessel.emptied)
}

fn of_contents(words: Words, place: &str, found: &Classified, vessel: &VesselState) -> Caution {
    let hazards = || found.hazards.iter().map(|(hazard, _)| hazard);
    let danger = hazards().any(|hazard| hazard.signal_word == "Danger");
    let told = found.hazards.iter().map(|(hazard, from)| {
        let from: Vec<String> = from
            .iter()
            .map(|formula| printed(words, formula, vessel))
            .collect();
        format!("{} {} ({})", hazard.code, hazard.text, from.join(", "))
    });
    let unknown: Vec<String> = found
        .unknown
        .iter()
        .map(|species| words.bare(species))
        .collect();
    let unknown = (!unknown.is_empty()).then(|| {
        format!(
            "nothing found for {}, which does not make it safe",
            unknown.join(", ")
        )
    });
    let pieces: Vec<String> = told.chain(unknown).collect();
    Caution {
        kind: "contents",
        severity: if danger {
            Severity::Danger
        } else {
            Severity::Caution
        },
        place: Some(place.to_owned()),
        keys: hazards().map(|hazard| hazard.code).collect(),
        text: format!("in {place}: {}", pieces.join(" ")),
        sources: hazards().map(|hazard| hazard.source).take(1).collect(),
    }
}

/// The formula of a component; water of crystallisation only where the salt is there as crystals.
pub(super) fn printed(words: Words, formula: &str, vessel: &VesselState) -> String {
    let dry = formula.split('·').next().unwrap_or(formula);
    let mut contents = vessel.contents.iter();
    let formula = match contents.any(|content| content.species.key() == formula) {
        true => formula,
        false => dry,
    };
    Species::parse(formula).map_or_else(|_| formula.to_owned(), |species| words.bare(&species))
}
