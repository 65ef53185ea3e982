//! What belongs on a jar of product: what is in it, how strong, how much, and what it does to people.

use crate::data::Formation;
use crate::hazard::{Cautions, Form, Hazard, cautions_for};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::route::ledger::{Ledger, VesselState, YieldRecord};

/// The facts of a label.
#[derive(Clone, Debug)]
pub struct Label<'l> {
    /// The name of the tables; `None` for a product that they do not name.
    pub name: Option<&'static str>,
    /// What the `yield` asks about.
    pub record: &'l YieldRecord,
    /// How strong it is.
    pub strength: Strength,
    /// The jar; `None` for a vessel that is not there at the end.
    pub jar: Option<&'l VesselState>,
    /// What the tables say of it at that strength; nothing found is never harmless.
    pub found: Cautions,
}

/// How strong a product is.
#[derive(Clone, Debug)]
pub enum Strength {
    /// In mol/L, of a solution.
    Molar(Number),
    /// Weighed and taken as pure: how pure it is, no balance tells.
    Weighed,
    /// The share of the product in the mass of the jar, by the plan.
    MassFraction(Number),
    /// Nothing is in the jar.
    Unknown,
}

impl Label<'_> {
    /// The statements that hold; none where nothing was found.
    pub fn hazards(&self) -> &[Hazard] {
        match &self.found {
            Cautions::Found { hazards, .. } => hazards,
            _ => &[],
        }
    }

    /// `Danger` or `Warning`, the gravest of the statements.
    pub fn signal(&self) -> Option<&'static str> {
        let words = self.hazards().iter().map(|hazard| hazard.signal_word);
        let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
        let gravest = words.iter().find(|word| **word == "Danger");
        gravest.or(words.first()).copied()
    }

    /// Where the statements come from, in alphabetical order.
    pub fn sources(&self) -> Vec<&'static str> {
        let mut all: Vec<&str> = self.hazards().iter().map(|hazard| hazard.source).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// The label for what a `yield` asks about.
pub fn label<'l>(record: &'l YieldRecord, ledger: &'l Ledger) -> Label<'l> {
    let jar = ledger.vessels.iter().find(|jar| jar.name == record.vessel);
    let share = jar.and_then(|jar| record.found.1.checked_div(&jar.mass));
    let dissolved = record.product.phase() == Some(Phase::Aqueous);
    let found = match (dissolved, &share) {
        (true, Some(share)) => of_product(record, Form::Solution, Some(share.to_f64() * 100.0)),
        (true, None) => Cautions::NothingFound,
        (false, _) => of_product(record, Form::Pure, None),
    };
    let molar = molar(record, jar.filter(|_| dissolved));
    Label {
        name: name(&record.product),
        record,
        strength: match (molar, share) {
            (Some(molar), _) => Strength::Molar(molar),
            (None, _) if record.weighed.is_some() => Strength::Weighed,
            (None, Some(share)) => Strength::MassFraction(share),
            (None, None) => Strength::Unknown,
        },
        jar,
        found,
    }
}

fn of_product(record: &YieldRecord, form: Form, percent: Option<f64>) -> Cautions {
    match record.product.phase() {
        // A jar of product holds no gas; what it would hold is not known.
        Some(Phase::Gas) => Cautions::NothingFound,
        _ => cautions_for(&record.product.with_phase(None), form, percent),
    }
}

/// In mol/L; a jar of solid has none.
fn molar(record: &YieldRecord, jar: Option<&VesselState>) -> Option<Number> {
    let litres = jar?.volume.as_ref()?.scaled(&Exact::ratio(1, 1000));
    record.found.0.checked_div(&litres)
}

fn name(product: &Species) -> Option<&'static str> {
    let mut names = Formation::of(product.key()).map(|row| row.name());
    names.find(|name| !name.is_empty())
}
