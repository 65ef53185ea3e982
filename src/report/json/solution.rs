//! The answers to `solution` as JSON.

use serde_json::Value;

use super::object::{Object, list};
use super::{answer, content};
use crate::matter::{Notation, Species};
use crate::number::{Exact, Number};
use crate::route::ledger::*;

/// What was asked, and as much as there is of: what to take, what is made, the mixture, the bottles side by side.
pub(super) fn solution(found: &SolutionAnswer) -> Value {
    Object::default()
        .with("text", &found.text)
        .celsius("temperature_C", &found.kelvin)
        .with("take", list(&found.take, taken))
        .with("made", found.made.as_ref().map(made))
        .with("mixed", found.mixed.as_ref().map(mixed))
        .with("compared", found.compared.as_ref().map(compared))
        .done()
}

fn taken(taken: &Taken) -> Value {
    Object::default()
        .with("of", &taken.label)
        .figure("g", &taken.grams)
        .perhaps("mL", taken.millilitres.as_ref())
        .done()
}

fn made(made: &MadeSolution) -> Value {
    let (composition, restated) = (&made.composition, &made.restated);
    let percent = |share: &Number| share.scaled(&Exact::from(100));
    let density = composition.density.as_ref();
    let saturated = restated.saturated.as_ref().map(|most| percent(&most.value));
    let by_volume = restated.volume_fraction.as_ref().map(percent);
    Object::default()
        .with("solute", composition.solute.plain())
        .perhaps("g", made.grams.as_ref())
        .perhaps("mL", made.millilitres.as_ref())
        .perhaps("density_g_per_mL", density.map(|density| &density.value))
        .with(
            "density_source",
            density.map(|density| density.source.citation()),
        )
        .figure("mass_percent", &percent(&composition.mass_fraction))
        .perhaps("mol_per_L", composition.molarity.as_ref())
        .perhaps("mol_per_kg_water", composition.molality.as_ref())
        .perhaps("g_per_L", restated.grams_per_litre.as_ref())
        .perhaps("volume_percent", by_volume.as_ref())
        .perhaps("oxygen_volumes", restated.peroxide_volumes.as_ref())
        .perhaps("saturated_mass_percent", saturated.as_ref())
        .done()
}

fn mixed(mixed: &MixedSolution) -> Value {
    Object::default()
        .figure("g", &mixed.grams)
        .perhaps("mL", mixed.millilitres.as_ref())
        .perhaps("portions_mL", mixed.summed.as_ref())
        .celsius("temperature_C", &mixed.temperature)
        .with("contents", list(&mixed.contents, content))
        .done()
}

fn compared(compared: &ComparedBottles) -> Value {
    Object::default()
        .with("equation", compared.reaction.to_text(Notation::Plain))
        .with("amount", answer(&Answer::Quantity(compared.amount.clone())))
        .with("basis", compared.basis.plain())
        .with("rows", list(&compared.rows, bottle))
        .done()
}

fn bottle(row: &ComparedBottle) -> Value {
    let product = |(species, molar): &(Species, Number)| {
        Object::default()
            .with("species", species.plain())
            .figure("mol_per_L", molar)
            .done()
    };
    Object::default()
        .with("bottle", &row.label)
        .figure("g", &row.grams)
        .perhaps("mL", row.millilitres.as_ref())
        .perhaps("vessel_mL", row.volume.as_ref())
        .with("products", list(&row.products, product))
        .perhaps_celsius("uncooled_C", row.peak.as_ref())
        .with("boils", row.boils)
        .done()
}
