//! What can hurt somebody, in words.
//!
//! Promises: each caution stands once on top and again at the step where it acts; every caution names its source. Text,
//! Markdown, HTML and JSON are made from one list.
//!
//! Judges nothing: the advice room found it.

mod gas;
mod heat;
mod statement;
mod waste;

use crate::advice::{self, About, Kind, Met, Neighbours, SpecialMeasure};
use crate::diagnostic;
use crate::hazard::Severity;
use crate::route::ledger::*;

use super::document::{Block, DISCLAIMER, Detail, Words};

pub(super) use statement::protections;
pub(super) use waste::{NO_PRACTICE, account, practice, waste};

/// One thing to beware of, in words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Caution {
    pub(super) kind: Kind,
    pub(super) severity: Severity,
    /// The vessels, or the waste jar.
    pub(super) place: Option<String>,
    pub(super) keys: Vec<&'static str>,
    pub(super) text: String,
    pub(super) sources: Vec<&'static str>,
}

impl Caution {
    /// Whether it is about what a substance or a mixture is, rather than what happens with it.
    fn is_of_matter(&self) -> bool {
        matches!(self.kind, Kind::Substance | Kind::Contents)
    }
}

fn level(severity: Severity) -> Level {
    match severity {
        Severity::Caution => Level::Note,
        _ => Level::Warning,
    }
}

/// Everything in the order of the advice; what reads the same stands once.
pub(super) fn all(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut once: Vec<Caution> = Vec::new();
    for caution in &advice::cautions(ledger) {
        let places = caution.places();
        let told = Caution {
            kind: caution.kind(),
            severity: caution.severity,
            place: (!places.is_empty()).then(|| places.join(", ")),
            keys: caution.keys(),
            text: words.caution(&caution.about, Detail::Full),
            sources: caution.sources(),
        };
        if !once.contains(&told) {
            once.push(told);
        }
    }
    once
}

/// The blocks of the section on top: what happens on the way by its severity, what the substances do, what is worth
/// knowing.
pub(super) fn cautions(words: Words, ledger: &Ledger) -> Vec<Block> {
    let accepted = ledger.accepted.iter().map(|text| {
        let text = format!("this route accepts a hazard that would be refused: {text}");
        Block::Remark(Level::Warning, text)
    });
    let happens = all(words, ledger);
    let happens = happens.iter().filter(|caution| !caution.is_of_matter());
    let (dangers, rest): (Vec<&Caution>, Vec<&Caution>) =
        happens.partition(|caution| caution.severity > Severity::Caution);
    let told = |caution: &Caution| Block::Remark(level(caution.severity), caution.text.clone());
    let protections = protections(words, ledger);
    accepted
        .chain(dangers.into_iter().map(told))
        .chain(protections.into_iter().map(Block::Protection))
        .chain(rest.into_iter().map(told))
        .chain(statement::without(words, ledger))
        .chain([Block::Paragraph(DISCLAIMER.to_owned())])
        .collect()
}

/// What to beware of in one operation, besides what the run remarked.
pub(super) fn at_operation(
    words: Words,
    outcome: &Outcome,
    detail: Detail,
) -> Vec<(Level, String)> {
    let all = advice::at_operation(outcome).into_iter();
    let told = all.map(|caution| {
        let text = match &caution.about {
            About::Portion(portion) => statement::handled(words, portion),
            about => words.caution(about, detail),
        };
        (level(caution.severity), text)
    });
    told.collect()
}

/// What the contents of a vessel are by now, in plain words.
pub(super) fn of_vessel(words: Words, vessel: &VesselState) -> Option<(Level, String)> {
    let caution = advice::of_vessel(vessel)?;
    let About::Contents(contents) = &caution.about else {
        return None;
    };
    let text = statement::plain_contents(words, contents);
    Some((level(caution.severity), text))
}

impl Words {
    fn caution(self, about: &About, detail: Detail) -> String {
        match about {
            About::Meeting(met) => self.met(met),
            About::Gas(gas) => gas::released(self, gas, detail),
            About::Runaway(course) => heat::course(course, detail),
            // What would hold it is said at the step.
            About::Vessel { remark, .. } if matches!(remark.fact, Fact::InHand(_)) => {
                diagnostic::route_fact(&remark.fact, remark.level, self.0).title
            }
            About::Vessel { remark, .. } => self.remark(remark).1,
            About::Special(measure) => self.special(measure),
            About::Portion(portion) => statement::portion(self, portion),
            About::Contents(contents) => statement::contents(self, contents),
            About::Neighbours(pair) => self.neighbours(pair),
        }
    }

    fn met(self, met: &Met) -> String {
        let fact = Fact::Hazard(Box::new(Encounter {
            place: met.places.join(", "),
            ..met.encounter.clone()
        }));
        let message = diagnostic::route_fact(&fact, met.level, self.0);
        let hints = message.hints.iter().map(|hint| format!("; {hint}"));
        hints.fold(message.title, |text, hint| text + &hint)
    }

    fn special(self, measure: &SpecialMeasure) -> String {
        let species = self.list(&measure.species);
        format!("{species}: {}", measure.special.measure)
    }

    fn neighbours(self, pair: &Neighbours) -> String {
        let [one, other] = pair.between.map(|draw| self.named(draw));
        let (rule, key) = (pair.rule.consequence(), pair.rule.key());
        format!("keep {one} apart from {other}: {rule} if they meet [{key}]")
    }
}
