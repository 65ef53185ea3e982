//! What can hurt somebody: gathered from the ledger and the safety tables, put in order of severity.
//!
//! Promises: each caution stands once on top and again at the step where it acts; a substance that the tables do not
//! know is named as such, never left out; every caution tells its source. Text, Markdown, HTML and JSON are made from
//! one list.
//!
//! What meets in a vessel is told by the run, what the tables say is told by the hazard room; here it is put into words.

mod apart;
mod gas;
mod heat;
mod statement;
mod step;
mod waste;

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::diagnostic;
use crate::hazard::Severity;
use crate::matter::Notation;
use crate::route::ledger::*;

use super::document::{Block, DISCLAIMER, Words};

pub(super) use step::{at_operation, of_vessel};
pub(super) use waste::waste;

/// One thing to beware of.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Caution {
    /// `meeting`, `gas`, `heat`, `filling`, `substance`, `contents`, `neighbour`, `measure`.
    kind: &'static str,
    severity: Severity,
    /// The vessel, or the waste jar.
    place: Option<String>,
    /// Rows of the tables and hazard statements: `R237`, `T09`, `H314`.
    keys: Vec<&'static str>,
    text: String,
    sources: Vec<&'static str>,
}

impl Caution {
    fn weight(&self) -> Weight {
        match self.severity {
            Severity::Caution => Weight::Note,
            _ => Weight::Warning,
        }
    }

    fn json(&self) -> Value {
        json!({
            "kind": self.kind,
            "severity": self.severity.word(),
            "place": self.place,
            "keys": self.keys,
            "text": self.text,
            "sources": self.sources,
        })
    }
}

/// Everything, the gravest first; of equal gravity what happens before what is at hand, and the measures last.
pub(super) fn all(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut all = remarked(words, ledger);
    all.extend(gas::released(words, ledger));
    all.extend(heat::courses(ledger));
    all.extend(statement::substances(words, ledger));
    all.extend(statement::contents(words, ledger));
    all.extend(apart::neighbours(words, ledger));
    let mut once: Vec<Caution> = Vec::new();
    for caution in all {
        if !once.contains(&caution) {
            once.push(caution);
        }
    }
    once.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    once
}

/// The blocks of the section on top.
pub(super) fn cautions(words: Words, ledger: &Ledger) -> Vec<Block> {
    let accepted = ledger.accepted.iter().map(|text| {
        let text = format!("this route accepts a hazard that would be refused: {text}");
        Block::Remark(Weight::Warning, text)
    });
    let all = all(words, ledger);
    let told = all
        .iter()
        .map(|caution| Block::Remark(caution.weight(), caution.text.clone()));
    let measures = statement::measures(words, ledger)
        .into_iter()
        .map(|measure| Block::Remark(Weight::Note, measure));
    accepted
        .chain(told)
        .chain(measures)
        .chain([Block::Paragraph(DISCLAIMER.to_owned())])
        .collect()
}

/// The same for JSON, formulas in plain notation.
pub(super) fn cautions_json(ledger: &Ledger) -> Vec<Value> {
    let all = all(Words(Notation::Plain), ledger);
    all.iter().map(Caution::json).collect()
}

/// Where the cautions and the waste practice come from.
pub(super) fn sources(ledger: &Ledger) -> BTreeSet<&'static str> {
    let all = all(Words(Notation::Plain), ledger);
    let cautions = all
        .iter()
        .flat_map(|caution| caution.sources.iter().copied());
    cautions.chain(waste::sources(ledger)).collect()
}

/// What the run found dangerous, each once.
fn remarked(words: Words, ledger: &Ledger) -> Vec<Caution> {
    ledger
        .remarks
        .iter()
        .filter_map(|remark| of_remark(words, remark))
        .collect()
}

fn of_remark(words: Words, remark: &Remark) -> Option<Caution> {
    let (kind, place) = match &remark.fact {
        Fact::Hazard(encounter) => return Some(of_encounter(words, remark, encounter)),
        Fact::WouldBoil { vessel, .. } => ("heat", vessel),
        Fact::Overfull { vessel, .. } | Fact::FoamRoom { vessel, .. } => ("filling", vessel),
        _ => return None,
    };
    Some(Caution {
        kind,
        severity: Severity::Danger,
        place: Some(place.clone()),
        keys: Vec::new(),
        text: words.remark(remark).1,
        sources: vec!["common practice"],
    })
}

fn of_encounter(words: Words, remark: &Remark, encounter: &Encounter) -> Caution {
    let message = diagnostic::route_fact(&remark.fact, remark.weight, words.0);
    let rule = encounter.meeting.rule;
    let hints = message.hints.iter().map(|hint| format!("; {hint}"));
    Caution {
        kind: "meeting",
        severity: encounter.meeting.severity,
        place: Some(encounter.place.clone()),
        keys: vec![rule.key()],
        text: hints.fold(message.title, |text, hint| text + &hint),
        sources: vec![rule.source()],
    }
}
