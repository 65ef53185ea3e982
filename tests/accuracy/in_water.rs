//! Heats of solution and dilution, densities, strengths.

use aludel::data::{DENSITY, DILUTION};
use aludel::equation::ionic::{self, Form};
use aludel::matter::Species;
use aludel::number::{Exact, Number};
use aludel::solution::{self, Mixture, Strength};

use crate::common::species;
use crate::{Case, Section, kelvin, number};

pub fn heats_of_solution() -> Section {
    let mut cases = Vec::new();
    for row in DILUTION.rows() {
        let weak = ["HF", "HCOOH", "CH3COOH", "NH3"].contains(&row.cell("formula"));
        let other = row.cell("preferred").is_empty() && row.cell("source") == "Parker1965";
        if !other || weak || row.cell("n_H2O") != "inf" {
            continue;
        }
        let what = format!("{}({})", row.cell("formula"), row.cell("phase"));
        let heat = solution::heat_of_solution(&species(&what), &number("1e12")).unwrap();
        cases.push(Case {
            what,
            ours: heat.value.to_f64(),
            published: row.float("heat_of_solution_kJ_mol").unwrap(),
            decimals: 2,
        });
    }
    Section {
        title: "Heats of solution at infinite dilution",
        unit: "kJ/mol",
        source: "V. B. Parker, NSRDS-NBS 2 (1965), as reprinted in the CRC Handbook; ours: the NBS tables of 1982",
        cases,
        worst: 0.45,
        median: 0.03,
        least: 30,
    }
}

/// Acids at finite dilution: what is diluted is the difference of two of these.
pub fn heats_of_dilution() -> Section {
    let mut cases = Vec::new();
    let acids = DILUTION
        .rows()
        .filter(|row| row.cell("source") == "Parker1965-acids" && row.cell("n_H2O") != "inf");
    // What a weak acid gives off at great dilution depends on how far it is counted as ionised.
    let weak = ["HF", "HCOOH", "CH3COOH", "NH3"];
    for row in acids.filter(|row| !weak.contains(&row.cell("formula"))) {
        let what = format!("{}({})", row.cell("formula"), row.cell("phase"));
        let water = row.cell("n_H2O");
        let Ok(heat) = solution::heat_of_solution(&species(&what), &number(water)) else {
            continue;
        };
        if heat.source.code == "Parker1965-acids" {
            continue;
        }
        cases.push(Case {
            what: format!("{what} in {water} mol of water"),
            ours: heat.value.to_f64(),
            published: row.float("heat_of_solution_kJ_mol").unwrap(),
            decimals: 2,
        });
    }
    Section {
        title: "Heats of solution of strong acids, from concentrated to dilute",
        unit: "kJ/mol",
        source: "V. B. Parker, NSRDS-NBS 2 (1965) with the heats of dilution of the CRC Handbook; ours: the NBS tables of 1982",
        cases,
        worst: 0.5,
        median: 0.05,
        least: 20,
    }
}

/// One gram of solution as grams of water and moles of what the solute is there.
fn in_water(solute: &Species, w: &Number) -> Option<(Number, Vec<(Species, Number)>)> {
    let moles = w.scaled(&(Exact::one() / solute.molar_mass()));
    let water = &Number::one() - w;
    match ionic::in_water(solute) {
        Form::Ions(ions) => Some((
            water,
            ions.into_iter()
                .map(|(n, ion)| (ion, moles.scaled(&n)))
                .collect(),
        )),
        Form::Molecule => Some((water, vec![(solute.clone(), moles)])),
        Form::Solid | Form::Gas | Form::Liquid => None,
    }
}

/// For each solute the point where model and handbook differ most.
pub fn densities() -> Section {
    let mut cases: Vec<Case> = Vec::new();
    let at = kelvin(293.15);
    for row in DENSITY
        .rows()
        .filter(|row| row.cell("source") == "CRC-density")
    {
        let formula = row.cell("formula");
        let w = number(row.cell("mass_fraction"));
        let Some((water, mut solutes)) = in_water(&species(formula), &w) else {
            continue;
        };
        // A trace of a second solute makes the mixture rule answer instead of the table.
        solutes.push((species("H2O2"), number("1e-9")));
        let made = Mixture {
            water: &water,
            solutes: &solutes,
        }
        .density(&at);
        if !made.beyond.is_empty() || !made.guessed.is_empty() {
            continue;
        }
        let case = Case {
            what: format!("{formula} {} %", w.scaled(&Exact::from(100)).value()),
            ours: made.value.to_f64(),
            published: row.float("density_g_cm3").unwrap(),
            decimals: 4,
        };
        let same = |other: &Case| other.what.split(' ').next() == Some(formula);
        match cases.iter_mut().find(|other| same(other)) {
            Some(worst) if worst.off() >= case.off() => {}
            Some(worst) => *worst = case,
            None => cases.push(case),
        }
    }
    Section {
        title: "Densities at 20 °C, the worst point of each solute",
        unit: "g/mL",
        source: "CRC Handbook, 102nd ed. (2021), concentrative properties; ours: Laliberté's model for mixtures (2009). The program uses the handbook for one solute and the model for mixtures",
        cases,
        worst: 0.018,
        median: 0.0025,
        least: 35,
    }
}

pub fn strengths() -> Section {
    let cases = [
        ("CH3COOH", "99.5", 17.4),
        ("NH3", "28", 14.8),
        ("HCl", "36", 11.6),
        ("HNO3", "71", 16.0),
        ("HClO4", "70", 11.65),
        ("H3PO4", "85", 14.7),
        ("NaOH", "50", 19.1),
        ("H2SO4", "96", 18.0),
    ]
    .map(|(formula, percent, published)| {
        let strength = Strength::MassFraction(number(percent).scaled(&Exact::ratio(1, 100)));
        let made = solution::composition(&species(formula), &strength, &kelvin(293.15), None);
        Case {
            what: format!("{formula} {percent} %"),
            ours: made.unwrap().molarity.unwrap().to_f64(),
            published,
            decimals: 2,
        }
    });
    Section {
        title: "Molarity of commercial acids and bases",
        unit: "mol/L",
        source: "P. Flowers et al., Chemistry 2e, OpenStax (2019), appendix F",
        cases: cases.into(),
        worst: 0.06,
        median: 0.06,
        least: 8,
    }
}
