//! The answers to `solution`.

use schemars::JsonSchema;
use serde::Serialize;

use super::answer::AnswerJson;
use super::figures::Uncertainties;
use super::vessel::ContentJson;
use crate::matter::{Notation, Species};
use crate::number::{Exact, Number};
use crate::route::ledger::*;

/// The answer to `solution`: what was asked, and as much as there is of what to take, what is made, the mixture, the bottles
/// side by side.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "solution")]
pub(super) struct SolutionJson {
    /// As written.
    text: String,
    temperature_C: f64,
    take: Vec<TakenJson>,
    made: Option<MadeJson>,
    mixed: Option<MixedJson>,
    compared: Option<ComparedJson>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// What to take of a bottle, a substance or water.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "taken")]
struct TakenJson {
    of: String,
    g: f64,
    mL: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// One solute in water, by every measure of strength.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "made")]
struct MadeJson {
    solute: String,
    g: Option<f64>,
    mL: Option<f64>,
    density_g_per_mL: Option<f64>,
    density_source: Option<String>,
    mass_percent: f64,
    mol_per_L: Option<f64>,
    mol_per_kg_water: Option<f64>,
    g_per_L: Option<f64>,
    volume_percent: Option<f64>,
    /// Of hydrogen peroxide.
    oxygen_volumes: Option<f64>,
    saturated_mass_percent: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// What the portions come to together.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "mixed")]
struct MixedJson {
    g: f64,
    mL: Option<f64>,
    /// What the volumes of the portions add up to.
    portions_mL: Option<f64>,
    temperature_C: f64,
    contents: Vec<ContentJson>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Bottles side by side for one reaction.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "compared")]
struct ComparedJson {
    equation: String,
    amount: AnswerJson,
    basis: String,
    rows: Vec<BottleJson>,
}

/// One of the bottles.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "bottle")]
struct BottleJson {
    bottle: String,
    g: f64,
    mL: Option<f64>,
    /// In the vessel at the end.
    vessel_mL: Option<f64>,
    products: Vec<ProductJson>,
    uncooled_C: Option<f64>,
    boils: bool,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A product in the vessel at the end.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "product")]
struct ProductJson {
    species: String,
    mol_per_L: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

impl SolutionJson {
    pub(super) fn of(found: &SolutionAnswer) -> Self {
        let mut beside = Uncertainties::default();
        SolutionJson {
            text: found.text.clone(),
            temperature_C: beside.celsius("temperature_C", &found.kelvin),
            take: found.take.iter().map(TakenJson::of).collect(),
            made: found.made.as_ref().map(MadeJson::of),
            mixed: found.mixed.as_ref().map(MixedJson::of),
            compared: found.compared.as_ref().map(ComparedJson::of),
            uncertainty: beside,
        }
    }
}

impl TakenJson {
    fn of(taken: &Taken) -> Self {
        let mut beside = Uncertainties::default();
        TakenJson {
            of: taken.label.clone(),
            g: beside.figure("g", &taken.grams),
            mL: beside.perhaps("mL", taken.millilitres.as_ref()),
            uncertainty: beside,
        }
    }
}

impl MadeJson {
    fn of(made: &MadeSolution) -> Self {
        let (composition, restated) = (&made.composition, &made.restated);
        let percent = |share: &Number| share.scaled(&Exact::from(100));
        let density = composition.density.as_ref();
        let saturated = restated.saturated.as_ref().map(|most| percent(&most.value));
        let by_volume = restated.volume_fraction.as_ref().map(percent);
        let by_mass = percent(&composition.mass_fraction);
        let mut beside = Uncertainties::default();
        MadeJson {
            solute: composition.solute.plain().to_owned(),
            g: beside.perhaps("g", made.grams.as_ref()),
            mL: beside.perhaps("mL", made.millilitres.as_ref()),
            density_g_per_mL: beside.perhaps("density_g_per_mL", density.map(|one| &one.value)),
            density_source: density.map(|density| density.source.citation().to_owned()),
            mass_percent: beside.figure("mass_percent", &by_mass),
            mol_per_L: beside.perhaps("mol_per_L", composition.molarity.as_ref()),
            mol_per_kg_water: beside.perhaps("mol_per_kg_water", composition.molality.as_ref()),
            g_per_L: beside.perhaps("g_per_L", restated.grams_per_litre.as_ref()),
            volume_percent: beside.perhaps("volume_percent", by_volume.as_ref()),
            oxygen_volumes: beside.perhaps("oxygen_volumes", restated.peroxide_volumes.as_ref()),
            saturated_mass_percent: beside.perhaps("saturated_mass_percent", saturated.as_ref()),
            uncertainty: beside,
        }
    }
}

impl MixedJson {
    fn of(mixed: &MixedSolution) -> Self {
        let mut beside = Uncertainties::default();
        MixedJson {
            g: beside.figure("g", &mixed.grams),
            mL: beside.perhaps("mL", mixed.millilitres.as_ref()),
            portions_mL: beside.perhaps("portions_mL", mixed.summed.as_ref()),
            temperature_C: beside.celsius("temperature_C", &mixed.temperature),
            contents: mixed.contents.iter().map(ContentJson::of).collect(),
            uncertainty: beside,
        }
    }
}

impl ComparedJson {
    fn of(compared: &ComparedBottles) -> Self {
        ComparedJson {
            equation: compared.reaction.to_text(Notation::Plain),
            amount: AnswerJson::of_quantity(&compared.amount),
            basis: compared.basis.plain().to_owned(),
            rows: compared.rows.iter().map(BottleJson::of).collect(),
        }
    }
}

impl BottleJson {
    fn of(row: &ComparedBottle) -> Self {
        let mut beside = Uncertainties::default();
        BottleJson {
            bottle: row.label.clone(),
            g: beside.figure("g", &row.grams),
            mL: beside.perhaps("mL", row.millilitres.as_ref()),
            vessel_mL: beside.perhaps("vessel_mL", row.volume.as_ref()),
            products: row.products.iter().map(ProductJson::of).collect(),
            uncooled_C: beside.perhaps_celsius("uncooled_C", row.peak.as_ref()),
            boils: row.boils,
            uncertainty: beside,
        }
    }
}

impl ProductJson {
    fn of((species, molar): &(Species, Number)) -> Self {
        let mut beside = Uncertainties::default();
        ProductJson {
            species: species.plain().to_owned(),
            mol_per_L: beside.figure("mol_per_L", molar),
            uncertainty: beside,
        }
    }
}
