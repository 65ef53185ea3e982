//! The quantities of a reaction as JSON, energies per mole of the equation as written.

use schemars::JsonSchema;
use serde::Serialize;

use super::heat::{all_sources, in_unit};
use crate::data::{Property, Sourced};
use crate::matter::{Notation, Species};
use crate::number::{Number, Quantity, unit};
use crate::thermo::{Basis, Contribution, Couple, Energetics, Tabled};

/// A number with its unit.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "valued")]
pub struct Valued {
    value: f64,
    unit: &'static str,
    /// One standard uncertainty; `null` where there is none.
    uncertainty: Option<f64>,
}

/// What `aludel heat --json` prints.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, title = "The heat of a reaction", rename = "heat")]
pub struct HeatJson {
    equation: String,
    #[serde(rename = "T")]
    temperature: Valued,
    #[serde(rename = "dH")]
    enthalpy: Option<Valued>,
    #[serde(rename = "dS")]
    entropy: Option<Valued>,
    #[serde(rename = "dG")]
    gibbs: Option<Valued>,
    #[serde(rename = "dCp")]
    heat_capacity: Option<Valued>,
    #[serde(rename = "log10K")]
    log10_k: Option<Valued>,
    #[serde(rename = "E")]
    potential: Option<Valued>,
    #[serde(rename = "E_table")]
    tabled: Option<Valued>,
    electrons: Option<String>,
    couples: Vec<CoupleJson>,
    away: Option<AwayJson>,
    species: Vec<SpeciesJson>,
    other_phases: Vec<PhasesJson>,
    basis: BasisJson,
    missing: Vec<String>,
    sources: Vec<String>,
}

#[derive(Debug, JsonSchema, Serialize)]
#[schemars(inline)]
enum BasisJson {
    #[serde(rename = "298.15 K")]
    Standard,
    #[serde(rename = "heat capacity functions")]
    Functions,
    #[serde(rename = "constant heat capacity for some")]
    SomeConstant,
    #[serde(rename = "constant dH and dS")]
    NoHeatCapacity,
}

/// A couple of the table.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "couple")]
struct CoupleJson {
    role: RoleJson,
    reduction: &'static str,
    #[serde(rename = "E0_V")]
    potential: f64,
    source: &'static str,
}

#[derive(Debug, JsonSchema, Serialize)]
#[schemars(inline)]
enum RoleJson {
    #[serde(rename = "takes up")]
    TakesUp,
    #[serde(rename = "gives off")]
    GivesOff,
}

/// At the activities given.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "away")]
struct AwayJson {
    activities: Vec<(String, f64)>,
    #[serde(rename = "dG")]
    gibbs: Option<Valued>,
    #[serde(rename = "E")]
    potential: Option<Valued>,
    #[serde(rename = "E_table")]
    tabled: Option<Valued>,
}

/// What one species brings, coefficient included, at 298.15 K.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "species")]
struct SpeciesJson {
    species: String,
    coefficient: String,
    phase_assumed: bool,
    own_data: bool,
    #[serde(rename = "dH")]
    enthalpy: Option<Valued>,
    #[serde(rename = "dG")]
    gibbs: Option<Valued>,
    #[serde(rename = "S")]
    entropy: Option<Valued>,
    #[serde(rename = "Cp")]
    heat_capacity: Option<Valued>,
    sources: Vec<&'static str>,
}

/// Another choice of phases.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "phases")]
struct PhasesJson {
    phases: Vec<String>,
    #[serde(rename = "dH")]
    enthalpy: Valued,
}

impl Valued {
    fn of(number: &Number, unit: &'static str) -> Self {
        Valued {
            value: number.to_f64(),
            unit,
            uncertainty: Some(number.standard_uncertainty()).filter(|u| *u > 0.0),
        }
    }

    fn kilojoules(quantity: &Quantity) -> Self {
        Self::of(&in_unit(quantity, &unit::KILOJOULE_PER_MOLE), "kJ/mol")
    }

    fn joules(number: &Number) -> Self {
        Self::of(number, "J/(mol·K)")
    }

    fn volts(number: &Number) -> Self {
        Self::of(number, "V")
    }
}

impl HeatJson {
    /// What is known of a reaction; the rest is `null`.
    pub fn of(found: &Energetics) -> Self {
        let at = &found.at;
        let cell = found.cell.as_ref();
        let tabled = cell.and_then(|cell| cell.tabled.as_ref());
        let mut sources: Vec<String> = Vec::new();
        for source in all_sources(found) {
            let citation = source.citation().to_owned();
            if !sources.contains(&citation) {
                sources.push(citation);
            }
        }
        HeatJson {
            equation: found.equation.to_text(Notation::Plain),
            temperature: Valued::of(&at.kelvin, "K"),
            enthalpy: at.enthalpy.as_ref().ok().map(Valued::kilojoules),
            entropy: at.entropy.as_ref().ok().map(|q| Valued::joules(q.number())),
            gibbs: at.gibbs.as_ref().ok().map(|(q, _)| Valued::kilojoules(q)),
            heat_capacity: at.heat_capacity.as_ref().map(Valued::joules),
            log10_k: at.log10_k.as_ref().ok().map(|log| Valued::of(log, "1")),
            potential: cell
                .and_then(|cell| cell.from_gibbs.as_ref())
                .map(Valued::volts),
            tabled: tabled.map(|tabled| Valued::volts(&tabled.potential)),
            electrons: cell.map(|cell| cell.electrons.to_plain()),
            couples: tabled.map_or_else(Vec::new, couples),
            away: away(found),
            species: found.data.contributions.iter().map(species).collect(),
            other_phases: found.alternatives.iter().map(phases).collect(),
            basis: match at.basis {
                Basis::Standard => BasisJson::Standard,
                Basis::Functions => BasisJson::Functions,
                Basis::SomeConstant(_) => BasisJson::SomeConstant,
                Basis::NoHeatCapacity(_) => BasisJson::NoHeatCapacity,
            },
            missing: missing(found),
            sources,
        }
    }
}

fn plain(species: &Species) -> String {
    species.plain().to_owned()
}

fn couples(tabled: &Tabled) -> Vec<CoupleJson> {
    let reduction = tabled.reduction.iter();
    let reduction = reduction.map(|couple| CoupleJson::of(RoleJson::TakesUp, couple));
    let oxidation = tabled.oxidation.iter();
    let oxidation = oxidation.map(|couple| CoupleJson::of(RoleJson::GivesOff, couple));
    reduction.chain(oxidation).collect()
}

impl CoupleJson {
    fn of(role: RoleJson, couple: &Sourced<Couple>) -> Self {
        CoupleJson {
            role,
            reduction: couple.value.reduction,
            potential: couple.value.potential.to_f64(),
            source: couple.source.code,
        }
    }
}

fn away(found: &Energetics) -> Option<AwayJson> {
    let away = found.away.as_ref()?;
    let given = away.activities.iter();
    Some(AwayJson {
        activities: given
            .map(|(_, species, a)| (plain(species), a.to_f64()))
            .collect(),
        gibbs: away.gibbs.as_ref().map(Valued::kilojoules),
        potential: away.from_gibbs.as_ref().map(Valued::volts),
        tabled: away.tabled.as_ref().map(Valued::volts),
    })
}

fn species(of: &Contribution) -> SpeciesJson {
    let data = of.data.as_ref().ok();
    let kilojoules = |property| {
        let share = of.share(property)?;
        let quantity = Quantity::coherent(share, unit::KILOJOULE_PER_MOLE.dimension());
        Some(Valued::kilojoules(&quantity))
    };
    let joules = |property| of.share(property).map(|share| Valued::joules(&share));
    let mut sources: Vec<&'static str> = Vec::new();
    for value in Property::ALL.iter().filter_map(|p| data?.get(*p)) {
        if !sources.contains(&value.source.code) {
            sources.push(value.source.code);
        }
    }
    SpeciesJson {
        species: plain(data.map_or(&of.species, |found| &found.species)),
        coefficient: of.coefficient.to_plain(),
        phase_assumed: data.is_some_and(|found| found.phase_assumed),
        own_data: data.is_some_and(|found| found.has_own()),
        enthalpy: kilojoules(Property::FormationEnthalpy),
        gibbs: kilojoules(Property::FormationGibbs),
        entropy: joules(Property::Entropy),
        heat_capacity: joules(Property::HeatCapacity),
        sources,
    }
}

fn phases(other: &crate::thermo::Alternative) -> PhasesJson {
    PhasesJson {
        phases: other.phases.iter().map(plain).collect(),
        enthalpy: Valued::kilojoules(&other.enthalpy),
    }
}

/// Species without an enthalpy of formation.
fn missing(found: &Energetics) -> Vec<String> {
    let missing = found.at.enthalpy.as_ref().err();
    missing.map_or_else(Vec::new, |missing| {
        missing.species.iter().map(plain).collect()
    })
}
