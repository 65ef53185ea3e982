//! The heat of a reaction with what it is made of.

use serde::Serialize;

use super::figure;
use super::page::{Align, table, wrapped};
use crate::data::{How, Property, Sourced};
use crate::equation::Reaction;
use crate::matter::{Notation, Species};
use crate::number::{Number, Quantity, unit};
use crate::thermo::ReactionData;

/// The page of `aludel heat`, for a reaction whose enthalpy is known.
pub fn heat(reaction: &Reaction, data: &ReactionData) -> String {
    let mut page = reaction.to_text(Notation::Printed) + "\n\n";
    let mut rows = Vec::new();
    if let Ok(heat) = data.enthalpy() {
        let kilojoules = in_unit(&heat, &unit::KILOJOULE_PER_MOLE);
        let direction = match () {
            () if kilojoules.is_negative() => "given off",
            () if kilojoules.is_positive() => "taken up",
            () => "neither given off nor taken up",
        };
        rows.push(vec![
            "heat at 25 °C".into(),
            shown(&kilojoules),
            format!("kJ  {direction}"),
        ]);
    }
    if let Ok(entropy) = data.entropy() {
        let joules = in_unit(&entropy, &unit::JOULE_PER_MOLE_KELVIN);
        rows.push(vec!["entropy".into(), shown(&joules), "J/K".into()]);
    }
    if let Ok((gibbs, _)) = data.gibbs() {
        let kilojoules = in_unit(&gibbs, &unit::KILOJOULE_PER_MOLE);
        rows.push(vec!["Gibbs energy".into(), shown(&kilojoules), "kJ".into()]);
    }
    if let Ok(log) = data.log10_k() {
        rows.push(vec![
            "log10 K".into(),
            signed(&figure::significant(log.value(), 3)),
            String::new(),
        ]);
    }
    page += &table(&rows, &[Align::Left, Align::Point, Align::Left]);
    page += "for the coefficients as written above, each substance in its standard state\n\n";
    page + &species(data) + &notes(data)
}

/// One row a species: coefficient, enthalpy of formation, share, source.
fn species(data: &ReactionData) -> String {
    let head = [
        "species",
        "coefficient",
        "ΔfH, kJ/mol",
        "share, kJ",
        "source",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for contribution in &data.contributions {
        let found = contribution.data.as_ref().ok();
        let value = found.and_then(|found| found.get(Property::FormationEnthalpy));
        let kilojoules = |number: &Number| {
            let quantity = Quantity::coherent(number.clone(), unit::JOULE_PER_MOLE.dimension);
            signed(
                &in_unit(&quantity, &unit::KILOJOULE_PER_MOLE)
                    .value()
                    .to_plain(),
            )
        };
        let share = contribution.share(Property::FormationEnthalpy);
        let named = found.map_or(&contribution.species, |found| &found.species);
        rows.push(vec![
            named.to_text(Notation::Printed),
            signed(&contribution.coefficient.to_plain()),
            value.map_or("unknown".into(), |value| kilojoules(value.value.number())),
            share.map_or(String::new(), |share| kilojoules(&share)),
            value.map_or(String::new(), |value| value.source.code.to_owned()),
        ]);
    }
    table(
        &rows,
        &[
            Align::Left,
            Align::Point,
            Align::Point,
            Align::Point,
            Align::Left,
        ],
    )
}

/// Phases that were assumed, other spellings, and the publications.
fn notes(data: &ReactionData) -> String {
    let found = || {
        data.contributions
            .iter()
            .filter_map(|contribution| contribution.data.as_ref().ok())
    };
    let assumed: Vec<String> = found()
        .filter(|standard| standard.phase_assumed)
        .map(|standard| standard.species.to_text(Notation::Printed))
        .collect();
    let mut notes = String::new();
    if !assumed.is_empty() {
        notes += "\n";
        notes += &wrapped(
            &format!(
                "phase not stated, the usual one taken: {}",
                assumed.join(", ")
            ),
            2,
        );
    }
    for standard in found().filter(|standard| standard.listed_as.is_some()) {
        if let Some(listed) = &standard.listed_as {
            let (asked, listed) = (
                standard.species.to_text(Notation::Printed),
                listed.to_text(Notation::Printed),
            );
            notes += &wrapped(&format!("{asked} is listed as {listed}"), 2);
        }
    }
    let values: Vec<&Sourced<Quantity>> = found()
        .filter_map(|standard| standard.get(Property::FormationEnthalpy))
        .collect();
    notes + "\n" + &sources(&values)
}

/// Each publication once, in the order of use.
pub(super) fn sources<T>(values: &[&Sourced<T>]) -> String {
    let mut seen: Vec<String> = Vec::new();
    for value in values {
        let memory = value
            .source
            .publication()
            .is_some_and(|found| found.how == How::Memory);
        let seen_not = if memory {
            " (values from memory, not seen again)"
        } else {
            ""
        };
        let line = format!(
            "{}: {}{seen_not}",
            value.source.code,
            value.source.citation()
        );
        if !seen.contains(&line) {
            seen.push(line);
        }
    }
    seen.iter().map(|line| wrapped(line, 2)).collect()
}

/// The heat of a reaction as JSON; energies for the coefficients as written.
#[derive(Debug, Serialize)]
pub struct HeatJson {
    equation: String,
    #[serde(rename = "temperature_K")]
    temperature: f64,
    #[serde(rename = "heat_kJ")]
    heat: Option<f64>,
    #[serde(rename = "uncertainty_kJ")]
    uncertainty: Option<f64>,
    #[serde(rename = "entropy_J_per_K")]
    entropy: Option<f64>,
    #[serde(rename = "gibbs_kJ")]
    gibbs: Option<f64>,
    missing: Vec<String>,
    sources: Vec<String>,
}

impl HeatJson {
    /// The object of a reaction; `heat_kJ` is null where data are missing, and `missing` names the species.
    pub fn of(reaction: &Reaction, data: &ReactionData) -> Self {
        let kilojoules = |quantity: &Quantity| in_unit(quantity, &unit::KILOJOULE_PER_MOLE);
        let heat = data.enthalpy();
        let known = heat.as_ref().ok().map(kilojoules);
        let missing = heat
            .as_ref()
            .err()
            .map_or(&[][..], |missing| &missing.species);
        let found = data
            .contributions
            .iter()
            .filter_map(|c| c.data.as_ref().ok());
        let mut sources: Vec<String> = found
            .filter_map(|standard| standard.get(Property::FormationEnthalpy))
            .map(|value| value.source.citation().to_owned())
            .collect();
        sources.sort();
        sources.dedup();
        HeatJson {
            equation: reaction.to_text(Notation::Plain),
            temperature: crate::thermo::STANDARD_TEMPERATURE,
            heat: known.as_ref().map(Number::to_f64),
            uncertainty: known
                .as_ref()
                .map(Number::standard_uncertainty)
                .filter(|u| *u > 0.0),
            entropy: data
                .entropy()
                .ok()
                .map(|entropy| in_unit(&entropy, &unit::JOULE_PER_MOLE_KELVIN).to_f64()),
            gibbs: data
                .gibbs()
                .ok()
                .map(|(gibbs, _)| kilojoules(&gibbs).to_f64()),
            missing: missing
                .iter()
                .map(|species: &Species| species.plain().to_owned())
                .collect(),
            sources,
        }
    }
}

/// The number of a unit of the same dimension.
fn in_unit(quantity: &Quantity, unit: &unit::Unit) -> Number {
    quantity
        .in_unit(unit)
        .unwrap_or_else(|_| quantity.number().clone())
}

fn shown(number: &Number) -> String {
    match figure::with_uncertainty(number) {
        Some((value, spread)) => format!("{} ± {spread}", signed(&value)),
        None => signed(&figure::significant(number.value(), 5)),
    }
}

/// With the minus sign of print.
pub(super) fn signed(text: &str) -> String {
    text.replacen('-', "−", 1)
}
