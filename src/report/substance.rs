//! What is known about a substance, with the sources.

use super::figure;
use super::heat::{signed, sources_of};
use super::page::{Align, table, wrapped};
use crate::data::{self, Property, Source, Sourced, Store};
use crate::equation::ionic::{Form, in_water};
use crate::matter::{Notation, Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::solution;
use crate::thermo::{Standard, standard};

/// The page of `aludel substance`.
pub fn substance(species: &Species, store: &Store) -> String {
    let known = in_phases(species, store);
    let mut page = species.to_text(Notation::Printed);
    if let Some(name) = known
        .iter()
        .map(|found| found.name)
        .find(|name| !name.is_empty())
    {
        page += &format!("  {name}");
    }
    if let Some(cas) = known
        .iter()
        .map(|found| found.cas)
        .find(|cas| !cas.is_empty())
    {
        page += &format!("  CAS {cas}");
    }
    page += &format!("\nmolar mass  {} g/mol\n", species.molar_mass().to_plain());
    if let Some(line) = water_form(species) {
        page += &format!("in water    {line}\n");
    }
    let mut used: Vec<Sourced<()>> = Vec::new();
    page += &formation(&known, &mut used);
    page += &solubility(species, &mut used);
    page += &bottles(species);
    if known.is_empty() {
        page += "\nno formation data: heats with it are unknown unless a `substance` statement gives them\n";
    }
    if !used.is_empty() {
        page += "\n";
        let used: Vec<Source> = used.into_iter().map(|value| value.source).collect();
        page += &sources_of(&used);
    }
    page
}

/// Its data in each phase asked for: the one stated, or all.
fn in_phases(species: &Species, store: &Store) -> Vec<Standard> {
    let all = [Phase::Solid, Phase::Liquid, Phase::Gas, Phase::Aqueous];
    let phases = species.phase().map_or(all.to_vec(), |stated| vec![stated]);
    phases
        .into_iter()
        .filter_map(|phase| standard(store, &species.with_phase(Some(phase))).ok())
        .collect()
}

fn water_form(species: &Species) -> Option<String> {
    if species.charge() != 0 {
        return None;
    }
    match in_water(species) {
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
        _ => None,
    }
}

fn formation(known: &[Standard], used: &mut Vec<Sourced<()>>) -> String {
    if known.is_empty() {
        return String::new();
    }
    let head = [
        "at 25 °C",
        "ΔfH, kJ/mol",
        "ΔfG, kJ/mol",
        "S, J/(mol·K)",
        "Cp, J/(mol·K)",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let columns = [
        (Property::FormationEnthalpy, &unit::KILOJOULE_PER_MOLE),
        (Property::FormationGibbs, &unit::KILOJOULE_PER_MOLE),
        (Property::Entropy, &unit::JOULE_PER_MOLE_KELVIN),
        (Property::HeatCapacity, &unit::JOULE_PER_MOLE_KELVIN),
    ];
    for found in known {
        let listed = found.listed_as.as_ref().unwrap_or(&found.species);
        let mut row = vec![
            format!("{} {}", listed.to_text(Notation::Printed), found.form)
                .trim_end()
                .to_owned(),
        ];
        for (property, unit) in columns {
            let value = found.get(property);
            if let Some(value) = value {
                used.push(value.clone().map(|_| ()));
            }
            row.push(value.map_or("–".into(), |value| plain(&value.value, unit)));
        }
        rows.push(row);
    }
    let [left, point] = [Align::Left, Align::Point];
    format!("\n{}", table(&rows, &[left, point, point, point, point]))
}

fn plain(value: &Quantity, unit: &unit::Unit) -> String {
    let number = value
        .in_unit(unit)
        .unwrap_or_else(|_| value.number().clone());
    signed(&number.value().to_plain())
}

/// g of anhydrous salt in 100 g of water, every 20 °C as far as the table goes.
fn solubility(species: &Species, used: &mut Vec<Sourced<()>>) -> String {
    let bare = species.with_phase(None);
    let mut rows = vec![
        ["", "g in 100 g water", "stands with"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for celsius in [0, 20, 40, 60, 80, 100] {
        let kelvin = Number::exact(Exact::from(celsius) + Exact::ratio(27_315, 100));
        let Ok(found) = solution::solubility(&bare, &kelvin) else {
            continue;
        };
        used.push(found.clone().map(|_| ()));
        let solid = found
            .value
            .solid
            .as_ref()
            .map(|solid| solid.to_text(Notation::Printed));
        rows.push(vec![
            format!("{celsius} °C"),
            figure::significant(found.value.grams_per_100_g_water.value(), 3),
            solid.unwrap_or_default(),
        ]);
    }
    if rows.len() == 1 {
        return String::new();
    }
    let (salt, _) = solution::anhydrous(&bare);
    let columns = [Align::Left, Align::Point, Align::Left];
    format!(
        "\nsolubility in water, as {}\n{}",
        salt.to_text(Notation::Printed),
        table(&rows, &columns)
    )
}

fn bottles(species: &Species) -> String {
    let bare = species.with_phase(None);
    let mut lines = String::new();
    for row in data::BOTTLE.find(bare.plain()) {
        let fraction = Exact::decimal(row.cell("mass_fraction")).map(|w| w * Exact::from(100));
        let percent = fraction.map_or(String::new(), |percent| percent.to_plain());
        let density = row.cell("density_g_mL");
        let density = if density.is_empty() {
            String::new()
        } else {
            format!(", {density} g/mL at {} °C", row.cell("t_C"))
        };
        lines += &wrapped(
            &format!("  {}: {percent} %w/w{density}", row.cell("name")),
            4,
        );
    }
    if lines.is_empty() {
        lines
    } else {
        format!("\nusual bottles (common practice, no source for the strengths)\n{lines}")
    }
}
