//! The label for a jar of product: what is in it, how strong, how much, and what it does to people.
//!
//! Promises: nothing found is said as such and never shown as harmless.

use crate::data::Formation;
use crate::hazard::{Cautions, Form, Hazard, cautions_for};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::route::ledger::{Ledger, VesselState, YieldRecord};

use super::document::{Words, product_mass};
use crate::figure;

/// What stands on a label; the date is for the hand that fills the jar.
#[derive(Clone, Debug)]
pub struct Label {
    /// Of the tables; `None` for a product that they do not name.
    pub name: Option<&'static str>,
    /// In the notation of the sheet.
    pub formula: String,
    /// The share of the product by mass, or its concentration in a solution.
    pub strength: String,
    /// What is in the jar.
    pub amount: String,
    /// `Danger` or `Warning`.
    pub signal: Option<&'static str>,
    /// Code and words of each hazard statement.
    pub statements: Vec<(&'static str, &'static str)>,
    /// What must be known to read the statements, or why there are none.
    pub remarks: Vec<String>,
}

/// The label for what a `yield` asks about.
pub(super) fn label(words: Words, record: &YieldRecord, ledger: &Ledger) -> Label {
    let jar = ledger.vessels.iter().find(|jar| jar.name == record.vessel);
    let percent = jar.and_then(|jar| record.found.1.checked_div(&jar.mass));
    let dissolved = record.product.phase() == Some(Phase::Aqueous);
    let found = match (dissolved, &percent) {
        (true, Some(share)) => of_product(record, Form::Solution, Some(share.to_f64() * 100.0)),
        (true, None) => Cautions::NothingFound,
        (false, _) => of_product(record, Form::Pure, None),
    };
    let (signal, statements, remarks) = hazards(&found);
    Label {
        name: name(&record.product),
        formula: words.bare(&record.product),
        strength: molar(record, jar.filter(|_| dissolved))
            .unwrap_or_else(|| by_mass(record.weighed.is_some(), percent.as_ref())),
        amount: match (&record.weighed, jar) {
            (None, Some(jar)) => amount(jar),
            _ => product_mass(record),
        },
        signal,
        statements,
        remarks,
    }
}

fn of_product(record: &YieldRecord, form: Form, percent: Option<f64>) -> Cautions {
    match record.product.phase() {
        // A jar of product holds no gas; what it would hold is not known.
        Some(Phase::Gas) => Cautions::NothingFound,
        _ => cautions_for(&record.product.with_phase(None), form, percent),
    }
}

/// What was weighed was taken as pure; how pure it is, no balance tells.
fn by_mass(weighed: bool, percent: Option<&Number>) -> String {
    match percent {
        _ if weighed => "weighed, taken as pure".to_owned(),
        // What a plan leaves out of account is more than it can tell here.
        Some(percent) if percent.to_f64() > 0.999 => "over 99.9 % by mass, by the plan".to_owned(),
        Some(percent) => format!("{} by mass, by the plan", figure::percent(percent)),
        None => "strength not known".to_owned(),
    }
}

/// In mol/L; a jar of solid has none.
fn molar(record: &YieldRecord, jar: Option<&VesselState>) -> Option<String> {
    let litres = jar?.volume.as_ref()?.scaled(&Exact::ratio(1, 1000));
    let molar = record.found.0.checked_div(&litres)?;
    Some(format!("{} mol/L, by the plan", figure::number(&molar)))
}

fn amount(jar: &VesselState) -> String {
    match &jar.volume {
        Some(volume) => format!("{} ({})", figure::volume(volume), figure::mass(&jar.mass)),
        None => figure::mass(&jar.mass),
    }
}

fn name(product: &Species) -> Option<&'static str> {
    Formation::of(product.key())
        .map(|row| row.name())
        .find(|name| !name.is_empty())
}

type Statements = (
    Option<&'static str>,
    Vec<(&'static str, &'static str)>,
    Vec<String>,
);

fn hazards(found: &Cautions) -> Statements {
    let none = |remark: &str| (None, Vec::new(), vec![remark.to_owned()]);
    match found {
        Cautions::NothingFound => none("Hazards not known to us; see the safety data sheet."),
        Cautions::NoClass { .. } => none(
            "No hazard class in our table, which is not the same as harmless; see the safety data sheet.",
        ),
        Cautions::Found {
            hazards,
            other_water,
            as_sold,
            of_powder,
        } => {
            let signal = hazards.iter().map(|hazard| hazard.signal_word);
            let signals: Vec<&str> = signal.filter(|word| !word.is_empty()).collect();
            let gravest = signals.iter().find(|word| **word == "Danger");
            let read = [
                (
                    *other_water,
                    "for the salt with other crystal water or none",
                ),
                (*as_sold, "for the substance as sold"),
                (*of_powder, "for the powder"),
            ];
            let read = read.into_iter().filter(|(holds, _)| *holds);
            let mut remarks: Vec<String> = read.map(|(_, words)| words.to_owned()).collect();
            remarks.push(format!("after {}", sources(hazards).join(", ")));
            let statements = hazards.iter().map(|hazard| (hazard.code, hazard.text));
            (
                gravest.or(signals.first()).copied(),
                statements.collect(),
                remarks,
            )
        }
    }
}

fn sources(hazards: &[Hazard]) -> Vec<&'static str> {
    let mut all: Vec<&str> = hazards.iter().map(|hazard| hazard.source).collect();
    all.sort_unstable();
    all.dedup();
    all
}
