//! The card of a substance: everything the tables know of it, with source, range and what disagrees.

mod formation;
mod solution;

use super::heat::sources_of;
use super::oxidation::{oxidation_choices, oxidation_numbers};
use super::page::wrapped;
use crate::data::{self, Source, Store};
use crate::equation::ionic::{Form, in_water};
use crate::hazard::{self, Cautions};
use crate::matter::{Notation, Species};
use crate::number::Exact;
use crate::thermo::{Standard, forms, standard};

/// The page of `aludel substance`.
pub fn substance(species: &Species, store: &Store) -> String {
    let known = forms_and_ions(species, store);
    let mut used: Vec<Source> = Vec::new();
    let mut page = head(species, &known);
    page += &formation::section(&known, store, &mut used);
    page += &solution::section(species, store, &mut used);
    page += &formation::potentials(species, &mut used);
    page += &hazards(species, &mut used);
    if known.is_empty() {
        page += "\nno formation data: heats with it are unknown unless a `substance` statement gives them\n";
        page += &near(species);
    }
    if !used.is_empty() {
        page += "\n";
        page += &sources_of(&used);
    }
    page
}

/// Every form the tables hold, and the dissolved electrolyte as the sum of its ions.
fn forms_and_ions(species: &Species, store: &Store) -> Vec<Standard> {
    let mut known = forms(store, species);
    let dissolved = species.with_phase(Some(crate::matter::Phase::Aqueous));
    let wanted = species.phase().is_none() || species.phase() == dissolved.phase();
    let ions = standard(store, &dissolved).ok();
    let ions = ions.filter(|found| wanted && !found.ions.is_empty());
    known.extend(ions.map(|found| Standard::clone(&found)));
    known
}

fn head(species: &Species, known: &[Standard]) -> String {
    let first = |of: fn(&Standard) -> &'static str| {
        let all = known.iter().map(of);
        all.into_iter().find(|text| !text.is_empty())
    };
    let mut page = species.to_text(Notation::Printed);
    if let Some(name) = first(|found| found.name) {
        page += &format!("  {name}");
    }
    if let Some(cas) = first(|found| found.cas) {
        page += &format!("  CAS {cas}");
    }
    page += &format!("\nmolar mass  {} g/mol\n", species.molar_mass().to_plain());
    if let Some(line) = water_form(species) {
        page += &format!("in water    {line}\n");
    }
    page += &oxidation_line(species);
    let hydrates: Vec<String> = hydrates(species);
    if !hydrates.is_empty() {
        page += &wrapped(&format!("hydrates    {}", hydrates.join(", ")), 12);
    }
    page
}

/// The oxidation numbers, and what was chosen where the rules leave a choice.
fn oxidation_line(species: &Species) -> String {
    let numbers = oxidation_numbers(species, Notation::Printed);
    if numbers.is_empty() {
        return numbers;
    }
    let choices = oxidation_choices(species).into_iter();
    let choices: String = choices.map(|choice| format!("; {choice}")).collect();
    wrapped(&format!("oxidation   {numbers}{choices}"), 12)
}

fn water_form(species: &Species) -> Option<String> {
    if species.charge() != 0 {
        return None;
    }
    match in_water(&species.with_phase(None)) {
        Form::Ions(ions) => {
            let terms = ions.iter().map(|(count, ion)| {
                let ion = ion.to_text(Notation::Printed);
                match count {
                    one if *one == Exact::one() => ion,
                    many => format!("{} {ion}", many.to_plain()),
                }
            });
            Some(terms.collect::<Vec<_>>().join(" + "))
        }
        Form::Molecule => Some("dissolves whole".into()),
        Form::Solid => Some("stays solid".into()),
        Form::Gas => Some("mostly leaves as a gas".into()),
        Form::Liquid => None,
    }
}

/// Other degrees of hydration in the tables.
fn hydrates(species: &Species) -> Vec<String> {
    let (salt, _) = crate::solution::anhydrous(&species.with_phase(None));
    let mut all: Vec<&'static str> = data::hydrates_of(salt.key());
    all.retain(|formula| *formula != species.key());
    let printed = all
        .iter()
        .filter_map(|formula| Species::parse(formula).ok());
    printed.map(|one| one.to_text(Notation::Printed)).collect()
}

/// Formulas with data that look much the same.
fn near(species: &Species) -> String {
    let near = data::near_formulas(species.key());
    if near.is_empty() {
        return String::new();
    }
    wrapped(&format!("there are data for {}", near.join(", ")), 2)
}

/// The hazard statements of the substance as sold.
fn hazards(species: &Species, used: &mut Vec<Source>) -> String {
    let form = match species.phase() {
        Some(crate::matter::Phase::Gas) => hazard::Form::Gas,
        _ => hazard::Form::Pure,
    };
    let Cautions::Found { hazards, .. } =
        hazard::cautions_for(&species.with_phase(None), form, None)
    else {
        return String::new();
    };
    let signal = match hazards.first().map_or("", |hazard| hazard.signal_word) {
        "" => String::new(),
        word => format!(", {}", word.to_lowercase()),
    };
    let mut text =
        format!("\nhazards as sold{signal}; the supplier's safety data sheet goes first\n");
    for hazard in &hazards {
        text += &wrapped(&format!("{}  {}", hazard.code, hazard.text), 6);
        let source = Source::published(hazard.source, "");
        if !used.contains(&source) {
            used.push(source);
        }
    }
    text
}
