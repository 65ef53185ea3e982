//! Published freezing and boiling points of aqueous solutions.

use std::collections::{BTreeMap, BTreeSet};

use aludel::data::{SOLUTION_POINTS, WATER};
use aludel::matter::Species;
use aludel::solution::activity::Electrolytes;
use aludel::solution::phase_change::{
    Aqueous, ice_vapour_pressure, ln_water_with_ice, water_vapour_pressure,
};

/// A published point beside the calculated one.
struct Point {
    kind: String,
    formula: String,
    mass_percent: f64,
    published: f64,
    /// Freezing or boiling point of water at the pressure, °C.
    pure: f64,
    calculated: f64,
}

impl Point {
    /// 5 % of the elevation or depression, or 0.5 K.
    fn holds(&self) -> bool {
        let off = (self.calculated - self.published).abs();
        off <= 0.5 || off <= 0.05 * (self.published - self.pure).abs()
    }
}

/// A salt or molecule at a mass fraction.
fn solution(formula: &str, cation: &str, anion: &str, mass_percent: f64) -> Aqueous {
    let mass = Species::parse(formula).unwrap().molar_mass().to_f64();
    let moles = 10.0 * mass_percent / mass;
    let water = 1000.0 - 10.0 * mass_percent;
    if cation.is_empty() {
        return Aqueous::new(water, &[(formula, moles)]).unwrap();
    }
    let electrolytes = Electrolytes::of(&[cation, anion]);
    let charges: Vec<u32> = electrolytes
        .charges()
        .iter()
        .map(|z| z.abs() as u32)
        .collect();
    let common = (1..=4)
        .rev()
        .find(|n| charges.iter().all(|z| z.is_multiple_of(*n)))
        .unwrap();
    let number = |at: usize| f64::from(charges[1 - at] / common) * moles;
    Aqueous::new(water, &[(cation, number(0)), (anion, number(1))]).unwrap()
}

fn points() -> Vec<Point> {
    let table = include_str!("published/freezing_boiling.csv");
    let lines = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    let read = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let [
            kind,
            formula,
            cation,
            anion,
            mass_percent,
            pressure,
            published,
            _,
        ] = cells[..]
        else {
            panic!("{line}");
        };
        let mass_percent = mass_percent.parse().unwrap();
        let solution = solution(formula, cation, anion, mass_percent);
        let (pure, calculated) = match kind {
            "boiling" => {
                let pascal = 1000.0 * pressure.parse::<f64>().unwrap();
                let pure = Aqueous::new(1.0, &[])
                    .unwrap()
                    .boiling_point(pascal)
                    .unwrap();
                (
                    pure.value - 273.15,
                    solution.boiling_point(pascal).expect(line).value - 273.15,
                )
            }
            _ => (
                0.0,
                solution.freezing_point().expect(line).value.kelvin - 273.15,
            ),
        };
        Point {
            kind: kind.to_owned(),
            formula: formula.to_owned(),
            mass_percent,
            published: published.parse().unwrap(),
            pure,
            calculated,
        }
    };
    lines.map(read).collect()
}

/// CRC Handbook (102nd ed., Concentrative properties; after Wolf 1966), Smithsonian Physical Tables, Lange's Handbook; Pavlov,
/// Romankov and Noskov, Lunge, makers' tables: see src/data/sources.csv. About half of the points are among those that the
/// model rests on; for these the test shows what joining and interpolation keep of them. The others are independent.
#[test]
fn solutions_freeze_and_boil_within_five_per_cent_or_half_a_kelvin() {
    let rests_on: BTreeSet<(&str, &str)> = SOLUTION_POINTS
        .rows()
        .map(|row| (row.cell("formula"), row.cell("kind")))
        .collect();
    let points = points();
    let mut off: BTreeMap<(&str, &str), Vec<&Point>> = BTreeMap::new();
    for point in points.iter().filter(|point| !point.holds()) {
        off.entry((&point.formula, &point.kind))
            .or_default()
            .push(point);
    }
    let independent: Vec<&Point> = points
        .iter()
        .filter(|point| !rests_on.contains(&(point.formula.as_str(), point.kind.as_str())))
        .collect();
    let held = independent.iter().filter(|point| point.holds()).count();
    assert!(independent.len() >= 270, "{}", independent.len());
    assert!(
        held * 100 >= 99 * independent.len(),
        "{held} of {}",
        independent.len()
    );
    // Two sources that differ by more than the tolerance, or single points off their neighbours.
    let contradicted = [
        "C12H22O11",
        "CaCl2",
        "H2SO4",
        "HNO3",
        "LiCl",
        "Na2SO4",
        "ZnSO4",
    ];
    for ((formula, kind), points) in &off {
        assert!(
            contradicted.contains(formula) && points.len() <= 7,
            "{formula} {kind}"
        );
        for point in points {
            let off = (point.calculated - point.published).abs();
            assert!(
                off <= 0.12 * (point.published - point.pure).abs().max(9.0),
                "{formula} {} %",
                point.mass_percent
            );
        }
    }
    assert!(points.len() > 1100);
    let missed: usize = off.values().map(Vec::len).sum();
    assert!(missed * 100 <= 2 * points.len(), "{missed}");
}

/// IAPWS-95 and IAPWS-06, as in the table of water.
#[test]
fn vapour_pressures_of_water_and_ice_are_those_of_the_table() {
    for row in WATER.rows() {
        let kelvin = row.float("t_C").unwrap() + 273.15;
        let published = 1000.0 * row.float("vapour_pressure_kPa").unwrap();
        let calculated = match row.cell("phase") {
            "l" => water_vapour_pressure(kelvin),
            _ => ice_vapour_pressure(kelvin),
        };
        assert!(
            (calculated / published - 1.0).abs() < 6e-4,
            "{kelvin}: {calculated} {published}"
        );
    }
    assert!(ln_water_with_ice(273.15).abs() < 1e-12);
    // Activity of water beside ice, −10 °C: 0.907 (R. A. Robinson, R. H. Stokes, Electrolyte Solutions, 1959).
    assert!((libm::exp(ln_water_with_ice(263.15)) - 0.907).abs() < 0.001);
}

/// F. Rüdorff, Ann. Phys. Chem. 122 (1864) 337 (from memory): parts of salt to 100 parts of snow, and the temperature reached.
#[test]
fn freezing_mixtures_reach_the_temperatures_of_ruedorff() {
    let mixtures = [
        ("K2SO4", "K^+", "SO4^2-", 10.0, -1.9),
        ("KNO3", "K^+", "NO3^-", 13.0, -2.85),
        ("KCl", "K^+", "Cl^-", 30.0, -10.9),
        ("NH4Cl", "NH4^+", "Cl^-", 25.0, -15.4),
        ("NH4NO3", "NH4^+", "NO3^-", 75.0, -16.75),
        ("NaNO3", "Na^+", "NO3^-", 59.0, -17.75),
        ("NaCl", "Na^+", "Cl^-", 33.0, -21.3),
    ];
    for (formula, cation, anion, parts, published) in mixtures {
        let solution = solution(formula, cation, anion, 100.0 * parts / (100.0 + parts));
        let freezing = solution.freezing_point().unwrap();
        let celsius = freezing.value.kelvin - 273.15;
        assert!((celsius - published).abs() < 1.0, "{formula}: {celsius}");
        assert!(freezing.value.eutectic.is_some() && !freezing.value.ice_first);
        // Ice in however much brine does not go below the eutectic.
        assert!(!freezing.basis.sources.is_empty());
    }
}

/// Own rule: more solute never raises the freezing point nor lowers the boiling point.
#[test]
fn more_salt_freezes_lower_and_boils_higher() {
    for (formula, cation, anion) in [
        ("NaCl", "Na^+", "Cl^-"),
        ("CaCl2", "Ca^2+", "Cl^-"),
        ("NaOH", "Na^+", "OH^-"),
        ("H2SO4", "H^+", "SO4^2-"),
        ("C3H8O3", "", ""),
    ] {
        let mut last = (273.16, 373.0);
        for percent in 1..=24 {
            let solution = solution(formula, cation, anion, f64::from(percent));
            let freezing = solution.freezing_point().unwrap().value.kelvin;
            let boiling = solution.boiling_point(101_325.0).unwrap().value;
            assert!(
                freezing <= last.0 && boiling >= last.1 - 0.05,
                "{formula} {percent} %: {freezing} {boiling} {last:?}"
            );
            last = (freezing, boiling);
        }
    }
}

/// A salt in a mixture counts as it does alone: one part in a million of another changes nothing.
#[test]
fn a_trace_of_another_salt_changes_nothing() {
    let alone = Aqueous::new(1000.0, &[("Na^+", 15.0), ("OH^-", 15.0)]).unwrap();
    let trace = Aqueous::new(
        1000.0,
        &[
            ("Na^+", 15.0),
            ("OH^-", 15.0),
            ("K^+", 1e-5),
            ("Cl^-", 1e-5),
        ],
    )
    .unwrap();
    for kelvin in [280.0, 300.0, 380.0] {
        assert!((alone.ln_water(kelvin) - trace.ln_water(kelvin)).abs() < 1e-4);
    }
    assert!(Aqueous::new(0.0, &[("Na^+", 1.0)]).is_none());
    assert!(Aqueous::new(-1.0, &[]).is_none());
    let unknown = Aqueous::new(1000.0, &[("C6H12O6", 1.0)]).unwrap();
    assert_eq!(
        unknown.boiling_point(101_325.0).unwrap().basis.ideal,
        ["C6H12O6"]
    );
}
