//! Hazard statements, each once, with all that carries it and what protects against it.

use crate::hazard::{self, Cautions, Severity, Special, signal_word};
use crate::report::document::{Block, Protection, Statement, Words};
use crate::report::trace;
use crate::route::ledger::*;

use super::{Caution, statement};

/// A statement with what carries it, as it is gathered.
struct Carried {
    code: &'static str,
    text: &'static str,
    measure: &'static str,
    /// Bottles and substances.
    sold: Vec<String>,
    /// Vessels, each with the substances that bring it.
    vessels: Vec<(String, Vec<String>)>,
}

/// One measure after the other, the gravest first.
pub(super) fn protections(words: Words, ledger: &Ledger) -> Vec<Protection> {
    let mut carried = gathered(words, ledger);
    carried.sort_by_key(|one| (signal_word(one.code) != "Danger", one.code));
    let mut all: Vec<Protection> = Vec::new();
    for one in &carried {
        let told = Statement {
            code: one.code,
            text: one.text,
            of: one.carriers(),
        };
        // What no measure is known for stands by itself.
        let same =
            |other: &&mut Protection| other.measure == one.measure && !one.measure.is_empty();
        match all.iter_mut().find(same) {
            Some(known) => known.statements.push(told),
            None => all.push(Protection {
                weight: match signal_word(one.code) {
                    "Danger" => Weight::Warning,
                    _ => Weight::Note,
                },
                statements: vec![told],
                measure: one.measure,
            }),
        }
    }
    all
}

/// What some substances call for by themselves, whether measured out or made.
pub(super) fn special(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let made = statement::after_steps(ledger).flat_map(|vessel| trace::parted(&vessel.contents).0);
    let made = made.map(|content| &content.species);
    let sold = bought(ledger).map(|draw| &draw.substance);
    let mut all: Vec<(Special, Vec<String>)> = Vec::new();
    for species in sold.chain(made) {
        for one in hazard::special_measures(species) {
            let name = words.bare(species);
            match all.iter_mut().find(|(known, _)| *known == one) {
                Some((_, names)) => add(names, name),
                None => all.push((one, vec![name])),
            }
        }
    }
    let told = all.into_iter().map(|(one, names)| Caution {
        kind: "special",
        severity: Severity::Danger,
        place: None,
        keys: vec![one.class],
        text: format!("{}: {}", names.join(", "), one.measure),
        sources: vec![one.source],
    });
    told.collect()
}

/// What has no statement, and why that does not make it harmless.
pub(super) fn without(words: Words, ledger: &Ledger) -> Vec<Block> {
    let (mut unknown, mut unclassed): (Vec<String>, Vec<String>) = Default::default();
    for draw in bought(ledger) {
        match statement::found(draw) {
            Cautions::NothingFound => add(&mut unknown, words.named(draw)),
            Cautions::NoClass { .. } => add(&mut unclassed, words.named(draw)),
            Cautions::Found { .. } => {}
        }
    }
    for vessel in statement::after_steps(ledger) {
        for species in &statement::classified(vessel).unknown {
            add(
                &mut unknown,
                format!("{} in {}", words.bare(species), vessel.name),
            );
        }
    }
    let told = [
        (
            unknown,
            "nothing found, which does not make it safe; read its data sheet",
        ),
        (
            unclassed,
            "no hazard class in the table, which is not the same as harmless",
        ),
    ];
    let told = told.into_iter().filter(|(names, _)| !names.is_empty());
    told.map(|(names, what)| Block::Remark(Weight::Note, format!("{}: {what}", names.join(", "))))
        .collect()
}

fn gathered(words: Words, ledger: &Ledger) -> Vec<Carried> {
    let mut all: Vec<Carried> = Vec::new();
    for draw in bought(ledger) {
        let found = statement::found(draw);
        let name = format!("{}{}", words.named(draw), statement::read_as(&found));
        for hazard in statement::hazards(&found) {
            add(&mut of(&mut all, hazard).sold, name.clone());
        }
    }
    for vessel in statement::after_steps(ledger) {
        for (hazard, from) in &statement::classified(vessel).hazards {
            let carried = of(&mut all, hazard);
            let known = carried
                .vessels
                .iter()
                .position(|(name, _)| *name == vessel.name);
            let at = known.unwrap_or_else(|| {
                carried.vessels.push((vessel.name.clone(), Vec::new()));
                carried.vessels.len() - 1
            });
            for formula in from {
                add(
                    &mut carried.vessels[at].1,
                    statement::printed(words, formula, vessel),
                );
            }
        }
    }
    all
}

/// What is measured out, water apart.
fn bought(ledger: &Ledger) -> impl Iterator<Item = &Draw> {
    let draws = ledger.draws.iter();
    draws.filter(|draw| draw.substance.key() != "H2O")
}

fn of<'a>(all: &'a mut Vec<Carried>, hazard: &crate::hazard::Hazard) -> &'a mut Carried {
    let at = all.iter().position(|one| one.code == hazard.code);
    let at = at.unwrap_or_else(|| {
        all.push(Carried {
            code: hazard.code,
            text: hazard.text,
            measure: hazard.measure,
            sold: Vec::new(),
            vessels: Vec::new(),
        });
        all.len() - 1
    });
    &mut all[at]
}

fn add(names: &mut Vec<String>, name: String) {
    if !names.contains(&name) {
        names.push(name);
    }
}

impl Carried {
    /// `nitric: HNO₃ 65 %w/w; in beaker (HNO₃)`
    fn carriers(&self) -> String {
        let vessels = self
            .vessels
            .iter()
            .map(|(name, from)| format!("in {name} ({})", from.join(", ")));
        let all: Vec<String> = self.sold.iter().cloned().chain(vessels).collect();
        all.join("; ")
    }
}
