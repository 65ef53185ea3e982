//! What a card says about water: solubility, densities, heats of solution, gases, usual bottles.

use crate::data::{How, Source, Store};
use crate::figure;
use crate::matter::{Notation, Phase, Species};
use crate::number::{Exact, Number, zero_celsius};
use crate::report::heat::signed;
use crate::report::page::{Align, table, wrapped};
use crate::solution::{self, Strength, UsualBottle};
use crate::thermo::standard;

/// All of it.
pub(super) fn section(species: &Species, store: &Store, used: &mut Vec<Source>) -> String {
    let bare = species.with_phase(None);
    if bare.charge() != 0 || bare.key() == "H2O" {
        return String::new();
    }
    solubility(&bare, used)
        + &gas(&bare, store, used)
        + &heat(species, used)
        + &densities(&bare, used)
        + &bottles(&bare, used)
}

fn kelvin(celsius: i64) -> Number {
    Number::exact(Exact::from(celsius) + zero_celsius())
}

/// g of anhydrous salt in 100 g of water, every 20 °C as far as the table goes.
fn solubility(bare: &Species, used: &mut Vec<Source>) -> String {
    let head = ["", "g in 100 g water", "stands with"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let mut notes: Vec<String> = Vec::new();
    for celsius in [0, 20, 40, 60, 80, 100] {
        let Ok(found) = solution::solubility(bare, &kelvin(celsius)) else {
            continue;
        };
        used.push(found.source.clone());
        let note = found.source.note.to_string();
        if !note.is_empty() && !notes.contains(&note) {
            notes.push(note);
        }
        let solid = found.value.solid.as_ref();
        rows.push(vec![
            format!("{celsius} °C"),
            figure::significant(found.value.grams_per_100_g_water.value(), 3),
            solid.map_or_else(String::new, |solid| solid.to_text(Notation::Printed)),
        ]);
    }
    if rows.len() == 1 {
        return String::new();
    }
    let (salt, _) = solution::anhydrous(bare);
    let columns = [Align::Left, Align::Point, Align::Left];
    let notes: String = notes.iter().map(|note| wrapped(note, 2)).collect();
    format!(
        "\nsolubility in water, as {}; two or three figures are real\n{}{notes}",
        salt.to_text(Notation::Printed),
        table(&rows, &columns)
    )
}

/// How much of a gas stays in water.
fn gas(bare: &Species, store: &Store, used: &mut Vec<Source>) -> String {
    let found = solution::henry(bare, &kelvin(25)).ok();
    let Some(found) = found.filter(|_| usual_gas(bare, store)) else {
        return String::new();
    };
    used.push(found.source.clone());
    // Saturated under one atmosphere of the gas.
    let atmosphere = Exact::ratio(101_325, 1000);
    let millimoles = found.value.scaled(&atmosphere).scaled(&Exact::from(1000));
    let reach = found.ranges.first().map_or_else(String::new, |range| {
        format!(
            ", constant good for {:.0} to {:.0} K",
            range.low, range.high
        )
    });
    let note = match found.source.note.as_ref() {
        "" => String::new(),
        note => format!("; {note}"),
    };
    let line = format!(
        "dissolves in water at 25 °C under 101.325 kPa of it: {} mmol/L (Henry's law{reach}){note}",
        figure::significant(millimoles.value(), 3)
    );
    format!("\n{}", wrapped(&line, 2))
}

fn usual_gas(bare: &Species, store: &Store) -> bool {
    let found = standard(store, bare);
    found.is_ok_and(|found| found.species.phase() == Some(Phase::Gas))
}

/// Heat of dissolving in much and in little water.
fn heat(species: &Species, used: &mut Vec<Source>) -> String {
    let mut rows = Vec::new();
    for (water, words) in [
        (1e9, "infinite dilution"),
        (1000.0, "1000 H₂O"),
        (100.0, "100 H₂O"),
        (20.0, "20 H₂O"),
        (5.0, "5 H₂O"),
    ] {
        let heat = Number::modelled(water)
            .and_then(|water| solution::heat_of_solution(species, &water).ok());
        let Some(heat) = heat else { continue };
        used.push(heat.source.clone());
        rows.push(vec![
            words.to_owned(),
            signed(&heat.value.value().to_fixed(2)),
            heat.source.code.to_owned(),
        ]);
    }
    if rows.is_empty() {
        return String::new();
    }
    let columns = [Align::Left, Align::Point, Align::Left];
    format!(
        "\nheat of solution at 25 °C, kJ/mol; negative is given off\n{}",
        table(&rows, &columns)
    )
}

/// Density of its solutions at 20 °C.
fn densities(bare: &Species, used: &mut Vec<Source>) -> String {
    let head = ["%w/w", "g/mL at 20 °C", "mol/L", "source"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for percent in [1, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 98] {
        let share = Number::exact(Exact::ratio(percent, 100));
        let strength = Strength::MassFraction(share);
        let Ok(made) = solution::composition(bare, &strength, &kelvin(20), None) else {
            continue;
        };
        let (Some(density), Some(molarity)) = (made.density, made.molarity) else {
            continue;
        };
        rows.push(vec![
            percent.to_string(),
            density.value.value().to_fixed(4),
            figure::significant(molarity.value(), 4),
            density.source.code.to_owned(),
        ]);
        used.push(density.source);
    }
    if rows.len() == 1 {
        return String::new();
    }
    let columns = [Align::Point, Align::Point, Align::Point, Align::Left];
    format!("\nsolutions\n{}", table(&rows, &columns))
}

fn bottles(bare: &Species, used: &mut Vec<Source>) -> String {
    let usual = solution::usual_bottles(bare);
    if usual.is_empty() {
        return String::new();
    }
    let lines: String = usual
        .iter()
        .map(|bottle| wrapped(&label(bare, bottle, used), 4))
        .collect();
    format!("\nusual bottles (common practice, no source for the strengths)\n{lines}")
}

fn label(bare: &Species, bottle: &UsualBottle, used: &mut Vec<Source>) -> String {
    used.push(bottle.density.source.clone());
    let percent = bottle.mass_fraction.scaled(&Exact::from(100));
    let density = &bottle.density.value;
    let molarity = bottle.mass_fraction.scaled(&Exact::from(1000));
    let molarity = (&molarity * density).scaled(&(Exact::one() / bare.molar_mass()));
    let memory = bottle.density.source.publication();
    let memory = memory.is_some_and(|found| found.how == How::Memory);
    format!(
        "{}: {} %w/w, {} g/mL at {}, {} mol/L ({}{})",
        bottle.name,
        percent.value().to_plain(),
        density.value().to_plain(),
        figure::temperature(&bottle.kelvin),
        figure::significant(molarity.value(), 3),
        bottle.density.source.code,
        if memory { ", from memory" } else { "" },
    )
}
