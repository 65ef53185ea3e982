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
mod protection;
mod statement;
mod step;
mod waste;

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::diagnostic;
use crate::hazard::Severity;
use crate::matter::Notation;
use crate::route::ledger::*;

use super::document::{Block, DISCLAIMER, Protection, Words};

pub(super) use step::{at_operation, of_vessel};
pub(super) use waste::{NO_PRACTICE, practice, practices, waste, waste_json, without_practice};

/// One thing to beware of.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Caution {
    /// `meeting`, `gas`, `heat`, `filling`, `pressure`, `special`, `substance`, `contents`, `neighbour`.
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
    /// Whether it tells what a substance or a mixture is, rather than what happens with it.
    fn of_matter(&self) -> bool {
        ["substance", "contents"].contains(&self.kind)
    }

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
    all.extend(protection::special(words, ledger));
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

/// The blocks of the section on top: what happens on the way by its severity, what the substances do, what is worth
/// knowing.
pub(super) fn cautions(words: Words, ledger: &Ledger) -> Vec<Block> {
    let accepted = ledger.accepted.iter().map(|text| {
        let text = format!("this route accepts a hazard that would be refused: {text}");
        Block::Remark(Weight::Warning, text)
    });
    let happens = all(words, ledger);
    let happens = happens.iter().filter(|caution| !caution.of_matter());
    let (dangers, rest): (Vec<&Caution>, Vec<&Caution>) =
        happens.partition(|caution| caution.severity > Severity::Caution);
    let told = |caution: &Caution| Block::Remark(caution.weight(), caution.text.clone());
    let protections = protection::protections(words, ledger);
    accepted
        .chain(dangers.into_iter().map(told))
        .chain(protections.into_iter().map(Block::Protection))
        .chain(rest.into_iter().map(told))
        .chain(protection::without(words, ledger))
        .chain([Block::Paragraph(DISCLAIMER.to_owned())])
        .collect()
}

/// The measures for JSON, each with the statements that it is for.
pub(super) fn measures_json(ledger: &Ledger) -> Vec<Value> {
    let all = protection::protections(Words(Notation::Plain), ledger);
    let json = |one: &Protection| {
        let statements = one.statements.iter();
        let statements: Vec<Value> = statements
            .map(|told| json!({ "code": told.code, "text": told.text, "of": told.of }))
            .collect();
        json!({ "measure": one.measure, "statements": statements })
    };
    all.iter().map(json).collect()
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

/// What the run found dangerous, each once; the same meeting in several places is one.
fn remarked(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut meetings: Vec<(Remark, Encounter)> = Vec::new();
    let mut others: Vec<Caution> = Vec::new();
    let mut filled: BTreeSet<(&str, bool)> = BTreeSet::new();
    for remark in &ledger.remarks {
        // A vessel that is too small once is too small.
        if let Fact::FoamRoom { vessel, .. } | Fact::Overfull { vessel, .. } = &remark.fact
            && !filled.insert((vessel, matches!(remark.fact, Fact::Overfull { .. })))
        {
            continue;
        }
        let Fact::Hazard(encounter) = &remark.fact else {
            others.extend(of_remark(words, ledger, remark));
            continue;
        };
        let same = |(_, known): &&mut (Remark, Encounter)| {
            let (one, other) = (&known.meeting, &encounter.meeting);
            (one.rule, one.severity, known.refused)
                == (other.rule, other.severity, encounter.refused)
        };
        match meetings.iter_mut().find(same) {
            Some((_, known)) => also(known, encounter),
            None => meetings.push((remark.clone(), (**encounter).clone())),
        }
    }
    let meetings = meetings.into_iter();
    let meetings = meetings.map(|(remark, encounter)| of_encounter(words, &remark, encounter));
    meetings.chain(others).collect()
}

/// One meeting with the places and the substances of another.
fn also(known: &mut Encounter, other: &Encounter) {
    let mut places = known.place.split(", ");
    if !places.any(|place| place == other.place) {
        known.place = format!("{}, {}", known.place, other.place);
    }
    let sides = known.meeting.between.iter_mut();
    for (side, more) in sides.zip(&other.meeting.between) {
        let fresh: Vec<_> = more.iter().filter(|one| !side.contains(one)).collect();
        side.extend(fresh.into_iter().cloned());
    }
}

fn of_remark(words: Words, ledger: &Ledger, remark: &Remark) -> Option<Caution> {
    let (kind, place) = match &remark.fact {
        Fact::WouldBoil { vessel, .. } | Fact::Boils { vessel, .. } => ("heat", vessel),
        // The course of a reaction says it with its class.
        Fact::InHand(hot) if remark.weight > Weight::Note && !reacts(ledger, &hot.vessel) => {
            // What would hold it is said at the step.
            let message = diagnostic::route_fact(&remark.fact, remark.weight, words.0);
            return Some(of_place("heat", &hot.vessel, message.title));
        }
        Fact::Overfull { vessel, .. } | Fact::FoamRoom { vessel, .. } => ("filling", vessel),
        Fact::UnderPressure { vessel, .. } => ("pressure", vessel),
        _ => return None,
    };
    Some(of_place(kind, place, words.remark(remark).1))
}

fn of_place(kind: &'static str, place: &str, text: String) -> Caution {
    Caution {
        kind,
        severity: Severity::Danger,
        place: Some(place.to_owned()),
        keys: Vec::new(),
        text,
        sources: vec!["common practice"],
    }
}

fn reacts(ledger: &Ledger, vessel: &str) -> bool {
    let mut operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations.any(|operation| matches!(&operation.outcome, Outcome::Reacted(record) if record.vessel == vessel))
}

fn of_encounter(words: Words, remark: &Remark, encounter: Encounter) -> Caution {
    let (rule, severity) = (encounter.meeting.rule, encounter.meeting.severity);
    let place = encounter.place.clone();
    let fact = Fact::Hazard(Box::new(encounter));
    let message = diagnostic::route_fact(&fact, remark.weight, words.0);
    let hints = message.hints.iter().map(|hint| format!("; {hint}"));
    Caution {
        kind: "meeting",
        severity,
        place: Some(place),
        keys: vec![rule.key()],
        text: hints.fold(message.title, |text, hint| text + &hint),
        sources: vec![rule.source()],
    }
}
