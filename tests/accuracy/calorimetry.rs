//! Final temperatures of calorimetry problems.

use aludel::data::{Property, Store};
use aludel::matter::Species;
use aludel::number::Number;
use aludel::solution::{self, Mixture};
use aludel::thermo;

use crate::common::species;
use crate::{Case, Section, kelvin, ours_at};

/// Heat capacity in J/g of a metal, from its molar one.
fn metal(text: &str) -> f64 {
    let standard = thermo::standard(&Store::default(), &species(text)).unwrap();
    let molar = standard
        .get(Property::HeatCapacity)
        .unwrap()
        .value
        .number()
        .to_f64();
    molar / standard.species.molar_mass().to_f64()
}

/// J/K of some water with solutes in mol.
fn capacity(water: f64, solutes: &[(&str, f64)], celsius: f64) -> f64 {
    let solutes: Vec<(Species, Number)> = solutes
        .iter()
        .map(|(ion, n)| (species(ion), kelvin(*n)))
        .collect();
    let water = kelvin(water);
    let mixture = Mixture {
        water: &water,
        solutes: &solutes,
    };
    let per_gram = mixture.heat_capacity(&Store::default(), &kelvin(celsius + 273.15));
    let dissolved: f64 = solutes
        .iter()
        .map(|(s, n)| s.molar_mass().to_f64() * n.to_f64())
        .sum();
    per_gram.value.to_f64() * (water.to_f64() + dissolved)
}

/// kJ/mol at 25 °C.
fn heat(equation: &str) -> f64 {
    ours_at(equation, 298.15).0
}

fn dissolving(what: &str, water: f64) -> f64 {
    let heat = solution::heat_of_solution(&species(what), &kelvin(water));
    heat.unwrap().value.to_f64()
}

/// Final temperatures: hot metal into water by heat balance, reactions and dissolving by their heat.
pub fn calorimetry() -> Section {
    // grams, metal, from °C; grams of water, from °C
    let quench = |grams: f64, what: &str, hot: f64, water: f64, cold: f64| {
        let (metal, water) = (grams * metal(what), capacity(water, &[], cold));
        (metal * hot + water * cold) / (metal + water)
    };
    let rise = |from: f64, kilojoules: f64, capacity: f64| from - 1000.0 * kilojoules / capacity;
    let m = 18.015;
    let cases = [
        (
            "360.0 g of iron from 248 °C into 425 g of water at 24.0 °C",
            quench(360.0, "Fe", 248.0, 425.0, 24.0),
            42.7,
        ),
        (
            "248 g of copper from 335.6 °C into 390 g of water at 22.6 °C",
            quench(248.0, "Cu", 335.6, 390.0, 22.6),
            39.9,
        ),
        (
            "59.7 g of copper from 100.0 °C into 60.0 g of water at 22.0 °C",
            quench(59.7, "Cu", 100.0, 60.0, 22.0),
            28.5,
        ),
        (
            "92.9 g of lead from 178.0 °C into 75.0 g of water at 24.0 °C",
            quench(92.9, "Pb", 178.0, 75.0, 24.0),
            29.7,
        ),
        (
            "50.0 mL of 1.00 mol/L HCl and NaOH each at 22.0 °C",
            rise(
                22.0,
                0.0500 * heat("H^+ + OH^- -> H2O(l)"),
                capacity(99.1, &[("Na^+", 0.05), ("Cl^-", 0.05)], 25.0),
            ),
            28.9,
        ),
        (
            "100 mL of 0.200 mol/L NaCl and AgNO3 each at 21.9 °C",
            rise(
                21.9,
                0.0200 * heat("Ag^+ + Cl^- -> AgCl(s)"),
                capacity(199.0, &[("Na^+", 0.02), ("NO3^-", 0.02)], 22.0),
            ),
            23.5,
        ),
        (
            "3.21 g of NH4NO3 in 50.0 g of water at 24.9 °C",
            rise(
                24.9,
                3.21 / 80.04 * dissolving("NH4NO3(s)", 50.0 / m / (3.21 / 80.04)),
                capacity(
                    50.0,
                    &[("NH4^+", 3.21 / 80.04), ("NO3^-", 3.21 / 80.04)],
                    25.0,
                ),
            ),
            20.3,
        ),
        (
            "3.0 g of CaCl2 in 150.0 g of water at 22.4 °C",
            rise(
                22.4,
                3.0 / 110.98 * dissolving("CaCl2(s)", 150.0 / m / (3.0 / 110.98)),
                capacity(
                    150.0,
                    &[("Ca^2+", 3.0 / 110.98), ("Cl^-", 6.0 / 110.98)],
                    25.0,
                ),
            ),
            25.8,
        ),
        (
            "50.0 g of 0.200 mol/L NaCl and 100.0 g of 0.100 mol/L AgNO3 at 24.1 °C",
            rise(
                24.1,
                0.0100 * heat("Ag^+ + Cl^- -> AgCl(s)"),
                capacity(149.0, &[("Na^+", 0.01), ("NO3^-", 0.01)], 25.0),
            ),
            25.2,
        ),
        (
            "248 g of copper from 314 °C into 390 g of water at 22.6 °C",
            quench(248.0, "Cu", 314.0, 390.0, 22.6),
            38.8,
        ),
    ]
    .map(|(what, ours, published)| Case {
        what: what.to_owned(),
        ours,
        published,
        decimals: 1,
    });
    Section {
        title: "Final temperatures of calorimetry problems",
        unit: "°C",
        source: "P. Flowers et al., Chemistry 2e, OpenStax (2019), chapter 5, measured or set in the problems (from memory)",
        cases: cases.into(),
        worst: 0.2,
        median: 0.1,
        least: 10,
    }
}
