//! The label for a jar of product, in words.
//!
//! Promises: nothing found is said as such and never shown as harmless.

use crate::advice::{self, Strength};
use crate::figure;
use crate::hazard::Cautions;
use crate::number::Number;
use crate::route::ledger::{Ledger, VesselState, YieldRecord};

use super::document::{Words, product_mass};

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
    let found = advice::label(record, ledger);
    let statements = found.hazards().iter();
    Label {
        name: found.name,
        formula: words.bare(&record.product),
        strength: strength(&found.strength),
        amount: match (&record.weighed, found.jar) {
            (None, Some(jar)) => amount(jar),
            _ => product_mass(record),
        },
        signal: found.signal(),
        statements: statements
            .map(|hazard| (hazard.code, hazard.text))
            .collect(),
        remarks: remarks(&found),
    }
}

fn strength(strength: &Strength) -> String {
    match strength {
        Strength::Molar(molar) => format!("{} mol/L, by the plan", figure::number(molar)),
        Strength::Weighed => "weighed, taken as pure".to_owned(),
        Strength::MassFraction(share) => by_mass(share),
        Strength::Unknown => "strength not known".to_owned(),
    }
}

fn by_mass(share: &Number) -> String {
    match share.to_f64() > 0.999 {
        // What a plan leaves out of account is more than it can tell here.
        true => "over 99.9 % by mass, by the plan".to_owned(),
        false => format!("{} by mass, by the plan", figure::percent(share)),
    }
}

fn amount(jar: &VesselState) -> String {
    match &jar.volume {
        Some(volume) => format!("{} ({})", figure::volume(volume), figure::mass(&jar.mass)),
        None => figure::mass(&jar.mass),
    }
}

fn remarks(found: &advice::Label) -> Vec<String> {
    match &found.found {
        Cautions::NothingFound => {
            vec!["Hazards not known to us; see the safety data sheet.".to_owned()]
        }
        Cautions::NoClass { .. } => vec![
            "No hazard class in our table, which is not the same as harmless; see the safety data sheet.".to_owned(),
        ],
        Cautions::Found {
            other_water,
            as_sold,
            of_powder,
            ..
        } => {
            let read = [
                (*other_water, "for the salt with other crystal water or none"),
                (*as_sold, "for the substance as sold"),
                (*of_powder, "for the powder"),
            ];
            let read = read.into_iter().filter(|(holds, _)| *holds);
            let after = format!("after {}", found.sources().join(", "));
            read.map(|(_, words)| words.to_owned()).chain([after]).collect()
        }
    }
}
