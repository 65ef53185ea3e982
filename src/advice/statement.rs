//! Hazard statements by strength: of what is measured out and of what is in the vessels.

use crate::hazard::{self, Cautions, Classified, Form, Hazard, Mix, Severity};
use crate::matter::Phase;
use crate::route::ledger::{Ledger, VesselState, Withdrawal};

use super::caution::{About, Caution};
use super::trace;

/// Something measured out, with what the tables say of it at its strength.
#[derive(Clone, Debug)]
pub struct Portion<'l> {
    /// What.
    pub draw: &'l Withdrawal,
    /// What is known of it.
    pub found: Cautions,
}

/// In what form the tables know a substance.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum ReadAs {
    /// In the form at hand.
    AtHand,
    /// As a powder.
    Powder,
    /// As it is sold.
    Sold,
    /// With other crystal water, or with none.
    OtherWater,
}

/// The contents of one vessel, or of several of which the same holds.
#[derive(Clone, Debug)]
pub struct ClassifiedContents<'l> {
    /// The vessels.
    pub vessels: Vec<&'l str>,
    /// The first of them.
    pub state: &'l VesselState,
    /// What holds for a mixture like that.
    pub found: Classified,
}

impl<'l> Portion<'l> {
    pub(super) fn of(draw: &'l Withdrawal) -> Self {
        let found = found(draw);
        Portion { draw, found }
    }

    /// The statements that hold; none where nothing was found.
    pub fn hazards(&self) -> &[Hazard] {
        match &self.found {
            Cautions::Found { hazards, .. } => hazards,
            _ => &[],
        }
    }

    /// The form that the statements are for.
    pub fn read_as(&self) -> ReadAs {
        match &self.found {
            Cautions::Found {
                of_powder: true, ..
            } => ReadAs::Powder,
            Cautions::Found { as_sold: true, .. } => ReadAs::Sold,
            Cautions::Found {
                other_water: true, ..
            } => ReadAs::OtherWater,
            _ => ReadAs::AtHand,
        }
    }

    pub(super) fn caution(self) -> Caution<'l> {
        Caution {
            severity: gravest(self.hazards().iter()),
            about: About::Portion(self),
        }
    }
}

/// What carries the signal word `Danger` is one.
fn gravest<'h>(mut hazards: impl Iterator<Item = &'h Hazard>) -> Severity {
    match hazards.any(|hazard| hazard.signal_word == "Danger") {
        true => Severity::Danger,
        false => Severity::Caution,
    }
}

/// What is measured out, water apart.
pub(super) fn bought(ledger: &Ledger) -> impl Iterator<Item = &Withdrawal> {
    let draws = ledger.draws.iter();
    draws.filter(|draw| draw.substance.key() != "H2O")
}

/// Whether two draws are of one substance from one bottle with one label.
pub(super) fn is_same_portion(one: &Withdrawal, other: &Withdrawal) -> bool {
    let of = |draw: &Withdrawal| draw.substance.with_phase(None);
    let strength = |draw: &Withdrawal| draw.bottle.is_some().then(|| draw.strength.clone());
    one.bottle == other.bottle && strength(one) == strength(other) && of(one) == of(other)
}

/// What the tables say of a portion.
fn found(draw: &Withdrawal) -> Cautions {
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

/// What holds for the contents of a vessel, traces apart.
pub(super) fn classified(vessel: &VesselState) -> Classified {
    let amounts = trace::parted(&vessel.contents).0.into_iter();
    hazard::classify(&Mix::of(
        amounts.map(|content| (&content.species, content.moles.value())),
    ))
}

/// Contents of the vessels after the steps; vessels of which the same holds stand together.
pub(super) fn contents(ledger: &Ledger) -> impl Iterator<Item = Caution<'_>> {
    let mut all: Vec<ClassifiedContents<'_>> = Vec::new();
    for vessel in after_steps(ledger) {
        let found = classified(vessel);
        if found.hazards.is_empty() && found.unknown.is_empty() {
            continue;
        }
        let name = vessel.name.as_str();
        match all.iter_mut().find(|known| known.found == found) {
            Some(known) if known.vessels.contains(&name) => {}
            Some(known) => known.vessels.push(name),
            None => all.push(ClassifiedContents {
                vessels: vec![name],
                state: vessel,
                found,
            }),
        }
    }
    all.into_iter().map(of_contents)
}

/// What the contents of a vessel are by now; `None` where nothing is known against them, and nothing is unknown.
pub fn of_vessel(vessel: &VesselState) -> Option<Caution<'_>> {
    let found = classified(vessel);
    let any = !found.hazards.is_empty() || !found.unknown.is_empty();
    any.then(|| {
        of_contents(ClassifiedContents {
            vessels: vec![&vessel.name],
            state: vessel,
            found,
        })
    })
}

fn of_contents(contents: ClassifiedContents<'_>) -> Caution<'_> {
    let hazards = contents.found.hazards.iter();
    Caution {
        severity: gravest(hazards.map(|(hazard, _)| hazard)),
        about: About::Contents(contents),
    }
}

/// The vessels after each step that are not empty.
pub(super) fn after_steps(ledger: &Ledger) -> impl Iterator<Item = &VesselState> {
    let all = ledger.steps.iter().flat_map(|step| &step.after);
    all.filter(|vessel| !vessel.emptied)
}

/// The formula of a component of a vessel; water of crystallisation only where the salt is there as crystals.
pub fn component<'f>(formula: &'f str, vessel: &VesselState) -> &'f str {
    let mut contents = vessel.contents.iter();
    match contents.any(|content| content.species.key() == formula) {
        true => formula,
        false => formula.split('·').next().unwrap_or(formula),
    }
}
