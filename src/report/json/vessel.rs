//! What is there: portions, vessels, contents, products.

use schemars::JsonSchema;
use serde::Serialize;

use super::figures::Uncertainties;
use crate::matter::Species;
use crate::number::Number;
use crate::route::ledger::*;

/// The room.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "ambient")]
pub(super) struct AmbientJson {
    temperature_C: f64,
    pressure_kPa: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Something to weigh or pour.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "portion")]
pub(super) struct PortionJson {
    /// null for a pure substance.
    bottle: Option<String>,
    substance: String,
    /// As on the label; empty for a pure substance.
    strength: String,
    vessel: String,
    /// Of the substance.
    mol: f64,
    /// As weighed.
    g: f64,
    /// As poured; null for a solid.
    mL: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A vessel at some moment.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "vessel")]
pub(super) struct VesselJson {
    name: String,
    contents: Vec<ContentJson>,
    /// Null after a reaction of unknown heat, until a bath or a thermometer settles it.
    temperature_C: Option<f64>,
    /// Of the liquid; null if there is none or its density is unknown.
    volume_mL: Option<f64>,
    mass_g: f64,
    /// What it holds at most.
    capacity_mL: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// One species.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "content")]
pub(super) struct ContentJson {
    species: String,
    mol: f64,
    g: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// An amount of a species.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "amount")]
pub(super) struct AmountJson {
    species: String,
    mol: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Gas set free; its volume at ambient conditions.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "gas")]
pub(super) struct GasJson {
    species: String,
    mol: f64,
    L: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// What went to the air, the waste container (`drain`) or the losses account.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "outlet")]
pub(super) struct OutletJson {
    account: AccountJson,
    contents: Vec<ContentJson>,
}

/// The keys of a contract: what the sheet calls the waste container is `drain` here.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum AccountJson {
    Air,
    #[serde(rename = "drain")]
    Waste,
    Losses,
}

/// The answer to `yield`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "yield")]
pub(super) struct YieldJson {
    vessel: String,
    product: String,
    basis: String,
    theoretical_mol: f64,
    theoretical_g: f64,
    found_mol: f64,
    found_g: f64,
    /// found over theoretical; null if nothing of the basis was charged.
    fraction: Option<f64>,
    weighed: bool,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

impl AmbientJson {
    pub(super) fn of(ambient: &Ambient) -> Self {
        let mut beside = Uncertainties::default();
        AmbientJson {
            temperature_C: beside.celsius("temperature_C", &ambient.temperature),
            pressure_kPa: beside.figure("pressure_kPa", &ambient.pressure),
            uncertainty: beside,
        }
    }
}

impl PortionJson {
    pub(super) fn of(draw: &Withdrawal) -> Self {
        let mut beside = Uncertainties::default();
        PortionJson {
            bottle: draw.bottle.clone(),
            substance: draw.substance.plain().to_owned(),
            strength: draw.strength.clone(),
            vessel: draw.vessel.clone(),
            mol: beside.figure("mol", &draw.moles),
            g: beside.figure("g", &draw.grams),
            mL: beside.perhaps("mL", draw.millilitres.as_ref()),
            uncertainty: beside,
        }
    }
}

impl VesselJson {
    pub(super) fn of(state: &VesselState) -> Self {
        let mut beside = Uncertainties::default();
        VesselJson {
            name: state.name.clone(),
            contents: state.contents.iter().map(ContentJson::of).collect(),
            temperature_C: beside.perhaps_celsius("temperature_C", state.known_temperature()),
            volume_mL: beside.perhaps("volume_mL", state.volume.as_ref()),
            mass_g: beside.figure("mass_g", &state.mass),
            capacity_mL: beside.perhaps("capacity_mL", state.capacity.as_ref()),
            uncertainty: beside,
        }
    }
}

impl ContentJson {
    pub(super) fn of(content: &Content) -> Self {
        let mut beside = Uncertainties::default();
        ContentJson {
            species: content.species.plain().to_owned(),
            mol: beside.figure("mol", &content.moles),
            g: beside.figure("g", &content.grams),
            uncertainty: beside,
        }
    }
}

impl AmountJson {
    pub(super) fn of((species, moles): &(Species, Number)) -> Self {
        let mut beside = Uncertainties::default();
        AmountJson {
            species: species.plain().to_owned(),
            mol: beside.figure("mol", moles),
            uncertainty: beside,
        }
    }
}

impl GasJson {
    pub(super) fn of(gas: &GasRecord) -> Self {
        let mut beside = Uncertainties::default();
        GasJson {
            species: gas.species.plain().to_owned(),
            mol: beside.figure("mol", &gas.moles),
            L: beside.figure("L", &gas.litres),
            uncertainty: beside,
        }
    }
}

impl OutletJson {
    pub(super) fn of(outlet: &Outlet) -> Self {
        OutletJson {
            account: match outlet.account {
                OutletAccount::Air => AccountJson::Air,
                OutletAccount::Waste => AccountJson::Waste,
                OutletAccount::Losses => AccountJson::Losses,
            },
            contents: outlet.contents.iter().map(ContentJson::of).collect(),
        }
    }
}

impl YieldJson {
    pub(super) fn of(record: &YieldRecord) -> Self {
        let mut beside = Uncertainties::default();
        YieldJson {
            vessel: record.vessel.clone(),
            product: record.product.plain().to_owned(),
            basis: record.basis.plain().to_owned(),
            theoretical_mol: beside.figure("theoretical_mol", &record.theoretical.0),
            theoretical_g: beside.figure("theoretical_g", &record.theoretical.1),
            found_mol: beside.figure("found_mol", &record.found.0),
            found_g: beside.figure("found_g", &record.found.1),
            fraction: beside.perhaps("fraction", record.fraction.as_ref()),
            weighed: record.weighed.is_some(),
            uncertainty: beside,
        }
    }
}
