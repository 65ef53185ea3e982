//! Published values against ours: the tables of docs/accuracy.md, and bounds on how far we may be off.
//!
//! The page is made here. When a table changes on purpose, run the test once with `UPDATE_ACCURACY=1`.

#![allow(clippy::disallowed_methods)] // This test reads and, when asked, writes the page it checks.

mod common;

use std::fmt::Write as _;

use aludel::data::{DENSITY, DILUTION, HEAT_CAPACITY, Property, Row, Store};
use aludel::equation::ionic::{self, Form};
use aludel::matter::Species;
use aludel::number::{Exact, Number, unit};
use aludel::solution::{self, Mixture, Strength};
use aludel::thermo;
use common::species;

/// One published value.
struct Case {
    what: String,
    ours: f64,
    published: f64,
    decimals: usize,
}

impl Case {
    fn off(&self) -> f64 {
        (self.ours - self.published).abs()
    }
}

/// One table of the page.
struct Section {
    title: &'static str,
    unit: &'static str,
    source: &'static str,
    cases: Vec<Case>,
    /// No case may be off by more.
    worst: f64,
    /// Half the cases are nearer than this.
    median: f64,
    /// There must be at least so many.
    least: usize,
}

impl Section {
    fn check(&self) {
        assert!(
            self.cases.len() >= self.least,
            "{}: {} cases",
            self.title,
            self.cases.len()
        );
        for case in &self.cases {
            let (off, allowed) = (case.off(), self.worst);
            assert!(
                off <= allowed,
                "{}: {} is off by {off}, allowed {allowed}",
                self.title,
                case.what
            );
        }
        assert!(
            self.middle() <= self.median,
            "{}: median {}",
            self.title,
            self.middle()
        );
    }

    fn middle(&self) -> f64 {
        let mut all: Vec<f64> = self.cases.iter().map(Case::off).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    }

    fn print(&self, page: &mut String) {
        let worst = self.cases.iter().max_by(|a, b| a.off().total_cmp(&b.off()));
        let worst = worst.expect("a section has cases");
        let places = worst.decimals;
        writeln!(page, "\n## {}\n\nPublished: {}\n", self.title, self.source).unwrap();
        writeln!(
            page,
            "{} values in {}. Median difference {:.places$}, worst {:.places$} ({}).\n",
            self.cases.len(),
            self.unit,
            self.middle(),
            worst.off(),
            worst.what,
        )
        .unwrap();
        page.push_str("| What | Ours | Published | Difference |\n| --- | ---: | ---: | ---: |\n");
        for Case {
            what,
            ours,
            published,
            decimals: d,
        } in &self.cases
        {
            // Adding zero takes the sign off a difference that rounds to nothing.
            let scale = 10f64.powi(*d as i32);
            let difference = ((ours - published) * scale).round() / scale + 0.0;
            writeln!(
                page,
                "| {what} | {ours:.d$} | {published:.d$} | {difference:+.d$} |"
            )
            .unwrap();
        }
    }
}

fn number(text: &str) -> Number {
    Number::exact(Exact::decimal(text).unwrap())
}

fn kelvin(t: f64) -> Number {
    Number::modelled(t).unwrap()
}

/// `2 H2(g) + O2(g) -> 2 H2O(l)`
fn terms(equation: &str) -> Vec<(Exact, Species)> {
    let (left, right) = equation.split_once(" -> ").expect("an arrow");
    let side = |text: &str, sign: i64| -> Vec<(Exact, Species)> {
        let term = |term: &str| match term.split_once(' ') {
            Some((n, what)) => (
                Exact::decimal(n).unwrap() * Exact::from(sign),
                species(what),
            ),
            None => (Exact::from(sign), species(term)),
        };
        text.split(" + ").map(term).collect()
    };
    [side(left, -1), side(right, 1)].concat()
}

/// ΔH and ΔG in kJ/mol at a temperature in K.
fn ours_at(equation: &str, t: f64) -> (f64, f64) {
    let data = thermo::reaction(&Store::default(), &terms(equation));
    let course = data.course();
    let at = course
        .at(&kelvin(t))
        .unwrap_or_else(|fault| panic!("{equation}: {fault:?}"));
    let kilojoules =
        |q: aludel::number::Quantity| q.in_unit(&unit::KILOJOULE_PER_MOLE).unwrap().to_f64();
    let enthalpy = at
        .enthalpy
        .unwrap_or_else(|missing| panic!("{equation}: {missing:?}"));
    let gibbs = at
        .gibbs
        .unwrap_or_else(|missing| panic!("{equation}: {missing:?}"))
        .0;
    (kilojoules(enthalpy), kilojoules(gibbs))
}

/// CODATA key values against the rows that are used, which come from other measurements and another network.
fn codata() -> Section {
    let table = include_str!("published/codata.csv");
    let store = Store::default();
    let mut cases = Vec::new();
    for line in table.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let what = format!("{}({})", cells[0], cells[1]);
        let standard =
            thermo::standard(&store, &species(&what)).unwrap_or_else(|_| panic!("{what}"));
        let Some(found) = standard.get(Property::FormationEnthalpy) else {
            continue;
        };
        let ours = found
            .value
            .in_unit(&unit::KILOJOULE_PER_MOLE)
            .unwrap()
            .to_f64();
        let published: f64 = cells[2].parse().unwrap();
        if published != 0.0 {
            cases.push(Case {
                what,
                ours,
                published,
                decimals: 2,
            });
        }
    }
    Section {
        title: "Enthalpies of formation",
        unit: "kJ/mol",
        source: "CODATA Key Values for Thermodynamics (Cox, Wagman, Medvedev 1989), from memory; ours: the NBS tables",
        cases,
        worst: 8.0,
        median: 0.25,
        least: 100,
    }
}

/// Reactions of gases and solids for which NASA gives absolute enthalpies and entropies of its own.
const REACTIONS: [&str; 34] = [
    "2 H2(g) + O2(g) -> 2 H2O(g)",
    "N2(g) + 3 H2(g) -> 2 NH3(g)",
    "N2(g) + O2(g) -> 2 NO(g)",
    "2 NO(g) + O2(g) -> 2 NO2(g)",
    "N2O4(g) -> 2 NO2(g)",
    "2 N2O(g) -> 2 N2(g) + O2(g)",
    "C(s) + O2(g) -> CO2(g)",
    "2 C(s) + O2(g) -> 2 CO(g)",
    "C(s) + CO2(g) -> 2 CO(g)",
    "C(s) + H2O(g) -> CO(g) + H2(g)",
    "CO(g) + H2O(g) -> CO2(g) + H2(g)",
    "CH4(g) + 2 O2(g) -> CO2(g) + 2 H2O(g)",
    "CH4(g) + H2O(g) -> CO(g) + 3 H2(g)",
    "H2(g) + Cl2(g) -> 2 HCl(g)",
    "4 HCl(g) + O2(g) -> 2 Cl2(g) + 2 H2O(g)",
    "H2(g) + I2(g) -> 2 HI(g)",
    "2 SO2(g) + O2(g) -> 2 SO3(g)",
    "2 H2S(g) + 3 O2(g) -> 2 SO2(g) + 2 H2O(g)",
    "2 H2S(g) + SO2(g) -> 3 S(g) + 2 H2O(g)",
    "CaCO3(s) -> CaO(s) + CO2(g)",
    "Ca(OH)2(s) -> CaO(s) + H2O(g)",
    "MgCO3(s) -> MgO(s) + CO2(g)",
    "Mg(OH)2(s) -> MgO(s) + H2O(g)",
    "Si(s) + O2(g) -> SiO2(s)",
    "4 Al(s) + 3 O2(g) -> 2 Al2O3(s)",
    "2 Mg(s) + O2(g) -> 2 MgO(s)",
    "2 Cu(s) + O2(g) -> 2 CuO(s)",
    "CuO(s) + H2(g) -> Cu(s) + H2O(g)",
    "2 CaSO4(s) -> 2 CaO(s) + 2 SO2(g) + O2(g)",
    "2 PbO(s) + C(s) -> 2 Pb(s) + CO2(g)",
    "2 Na(s) + Cl2(g) -> 2 NaCl(s)",
    "2 K(s) + Cl2(g) -> 2 KCl(s)",
    "3 Fe2O3(s) + CO(g) -> 2 Fe3O4(s) + CO2(g)",
    "NH4Cl(s) -> NH3(g) + HCl(g)",
];

/// H and S of NASA TM-4513 at a temperature, straight from its coefficients: its own formation enthalpies are in them.
fn nasa(species: &Species, t: f64) -> Option<(f64, f64)> {
    let phase = species.phase()?.symbol();
    let condensed = phase != "g";
    let row = HEAT_CAPACITY.find(species.key()).find(|row| {
        let fits = if condensed {
            row.cell("phase") != "g"
        } else {
            row.cell("phase") == "g"
        };
        let low = row.float("T_min_K").unwrap() - 2.0;
        fits && row.cell("model") == "nasa7" && low <= t && t <= row.float("T_max_K").unwrap()
    })?;
    let c: Vec<f64> = (1..=7)
        .map(|i| row.float(&format!("c{i}")).unwrap())
        .collect();
    let r = 8.314_51;
    let enthalpy = r
        * (c[5]
            + t * (c[0] + t * (c[1] / 2.0 + t * (c[2] / 3.0 + t * (c[3] / 4.0 + t * c[4] / 5.0)))));
    let entropy = r
        * (c[0] * t.ln()
            + t * (c[1] + t * (c[2] / 2.0 + t * (c[3] / 3.0 + t * c[4] / 4.0)))
            + c[6]);
    Some((enthalpy / 1000.0, entropy / 1000.0))
}

fn against_nasa(gibbs: bool) -> Section {
    let mut cases = Vec::new();
    for equation in REACTIONS {
        for t in [298.15, 500.0, 1000.0] {
            let all: Option<Vec<(f64, f64)>> = terms(equation)
                .iter()
                .map(|(n, s)| nasa(s, t).map(|(h, s)| (n.to_f64() * h, n.to_f64() * s)))
                .collect();
            let Some(all) = all else { continue };
            let data = thermo::reaction(&Store::default(), &terms(equation));
            if !data.course().range().holds(t) {
                continue;
            }
            let enthalpy: f64 = all.iter().map(|(h, _)| h).sum();
            let entropy: f64 = all.iter().map(|(_, s)| s).sum();
            let (h, g) = ours_at(equation, t);
            let (ours, published) = if gibbs {
                (g, enthalpy - t * entropy)
            } else {
                (h, enthalpy)
            };
            let what = format!("{equation} at {t} K");
            cases.push(Case {
                what,
                ours,
                published,
                decimals: 1,
            });
        }
    }
    let (title, worst, median) = if gibbs {
        ("Reaction Gibbs energies at three temperatures", 17.0, 0.5)
    } else {
        ("Reaction enthalpies at three temperatures", 17.0, 0.3)
    };
    Section {
        title,
        unit: "kJ/mol for the equation as written",
        source: "NASA TM-4513 (McBride, Gordon, Reno 1993) with its own enthalpies and entropies; ours: the NBS tables carried along the heat capacities. Where those are NASA's too, formation data and integration are compared, not the heat capacities: those stand against other equations below",
        cases,
        worst,
        median,
        least: 90,
    }
}

/// Enthalpies above 298.15 K where ours go by NASA polynomials, against the Shomate equations of NIST.
fn increments() -> Section {
    let mut cases: Vec<Case> = Vec::new();
    let shomate = HEAT_CAPACITY
        .rows()
        .filter(|row| row.cell("model") == "shomate" && row.cell("source") == "NIST-WebBook");
    for row in shomate.filter(|row| row.float("T_min_K").unwrap() < 298.2) {
        let what = format!("{}({})", row.cell("formula"), row.cell("phase"));
        let data = thermo::reaction(&Store::default(), &[(Exact::one(), species(&what))]);
        let course = data.course();
        for t in [500.0, 1000.0] {
            if t > row.float("T_max_K").unwrap() {
                continue;
            }
            let Ok(at) = course.at(&kelvin(t)) else {
                continue;
            };
            let Some(one) = at.species.first() else {
                continue;
            };
            let nasa = one.source.as_ref().is_some_and(|s| s.code == "NASA-TM4513");
            let same = one.phase == one.species.phase() && one.form == row.cell("form");
            if !nasa
                || !same
                || cases
                    .iter()
                    .any(|case| case.what == format!("{what} to {t} K"))
            {
                continue;
            }
            cases.push(Case {
                what: format!("{what} to {t} K"),
                ours: one.rise.enthalpy / 1000.0,
                published: (shomate_enthalpy(row, t) - shomate_enthalpy(row, 298.15)) / 1000.0,
                decimals: 2,
            });
        }
    }
    Section {
        title: "Enthalpy above 298.15 K",
        unit: "kJ/mol",
        source: "Shomate equations of the NIST Chemistry WebBook (after Chase 1998); ours: NASA TM-4513. Two fits by different hands, both to JANAF tables where there are any",
        cases,
        worst: 3.0,
        median: 0.05,
        least: 60,
    }
}

/// J/mol from a zero of the equation's own.
fn shomate_enthalpy(row: Row, t: f64) -> f64 {
    let c: Vec<f64> = (1..=5)
        .map(|i| row.float(&format!("c{i}")).unwrap_or(0.0))
        .collect();
    t * (c[0] + t * (c[1] / 2.0 + t * (c[2] / 3.0 + t * c[3] / 4.0))) - c[4] / t
}

/// Formation at 500 and 1000 K: ΔH and ΔG in kJ/mol.
fn janaf() -> Section {
    let mut cases = Vec::new();
    for (equation, enthalpies, energies) in [
        (
            "H2(g) + 0.5 O2(g) -> H2O(g)",
            [-243.826, -247.857],
            [-219.051, -192.590],
        ),
        (
            "C(s) + O2(g) -> CO2(g)",
            [-393.666, -394.623],
            [-394.939, -395.886],
        ),
        (
            "C(s) + 0.5 O2(g) -> CO(g)",
            [-110.003, -111.983],
            [-155.414, -200.275],
        ),
        (
            "0.5 N2(g) + 1.5 H2(g) -> NH3(g)",
            [-49.857, -55.013],
            [4.800, 61.910],
        ),
        (
            "C(s) + 2 H2(g) -> CH4(g)",
            [-80.802, -89.849],
            [-32.741, 19.492],
        ),
        (
            "0.5 N2(g) + 0.5 O2(g) -> NO(g)",
            [90.352, 90.437],
            [84.079, 77.775],
        ),
        (
            "0.5 N2(g) + O2(g) -> NO2(g)",
            [32.154, 32.005],
            [63.867, 95.779],
        ),
        (
            "0.5 H2(g) + 0.5 Cl2(g) -> HCl(g)",
            [-92.913, -94.388],
            [-97.166, -100.799],
        ),
        (
            "2 C(s) + 2 H2(g) -> C2H4(g)",
            [46.641, 38.183],
            [80.933, 119.122],
        ),
    ] {
        for (at, t) in [500.0, 1000.0].into_iter().enumerate() {
            let (h, g) = ours_at(equation, t);
            let product = equation.rsplit(' ').next().unwrap();
            cases.push(Case {
                what: format!("ΔH of {product} at {t} K"),
                ours: h,
                published: enthalpies[at],
                decimals: 2,
            });
            cases.push(Case {
                what: format!("ΔG of {product} at {t} K"),
                ours: g,
                published: energies[at],
                decimals: 2,
            });
        }
    }
    Section {
        title: "Formation at 500 and 1000 K",
        unit: "kJ/mol",
        source: "NIST-JANAF Thermochemical Tables, 4th ed. (Chase 1998), from memory",
        cases,
        worst: 0.8,
        median: 0.1,
        least: 36,
    }
}

/// Every half-reaction of the textbook's table whose species all have a Gibbs energy.
fn potentials() -> Section {
    let mut cases = Vec::new();
    for row in aludel::data::POTENTIAL
        .rows()
        .filter(|row| row.cell("source") == "OpenStax-L")
    {
        let text = row.cell("half_reaction");
        let Some(half) = half_reaction(row) else {
            continue;
        };
        let data = thermo::reaction(&Store::default(), &half);
        let Ok((gibbs, thermo::GibbsFrom::Formation)) = data.gibbs() else {
            continue;
        };
        let electrons = Exact::decimal(row.cell("electrons")).unwrap();
        let ours = thermo::potential(gibbs.number(), &electrons)
            .unwrap()
            .to_f64();
        let found = thermo::tabled_potential(&half).unwrap_or_else(|| panic!("{text}"));
        let published = found.value.potential.to_f64();
        cases.push(Case {
            what: text.to_owned(),
            ours,
            published,
            decimals: 3,
        });
    }
    Section {
        title: "Standard electrode potentials",
        unit: "V",
        source: "P. Flowers et al., Chemistry 2e, OpenStax (2019), appendix L; ours: Gibbs energies of the NBS tables",
        cases,
        worst: 0.10,
        median: 0.006,
        least: 20,
    }
}

/// The terms of a row of the table with the phases it states.
fn half_reaction(row: Row) -> Option<Vec<(Exact, Species)>> {
    let mut all = terms(row.cell("half_reaction"));
    for (_, what) in &mut all {
        if what.is_electron() {
            continue;
        }
        let mut stated = row.cell("phases").split("; ");
        let phase = stated.find_map(|entry| entry.strip_prefix(&format!("{}:", what.key())));
        let symbol = phase.unwrap_or(if what.key() == "H2O" { "l" } else { "aq" });
        *what = what.with_phase(aludel::matter::Phase::of_symbol(symbol));
    }
    Some(all)
}

fn heats_of_solution() -> Section {
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
fn heats_of_dilution() -> Section {
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
fn densities() -> Section {
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

fn strengths() -> Section {
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
        worst: 0.1,
        median: 0.06,
        least: 8,
    }
}

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
fn calorimetry() -> Section {
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

/// Every section in a line.
fn summary(sections: &[Section]) -> String {
    let mut table = String::from(
        "\n| What | Values | Median difference | Worst | Unit |\n| --- | ---: | ---: | ---: | --- |\n",
    );
    for section in sections {
        let places = section.cases[0].decimals;
        let worst = section.cases.iter().map(Case::off).fold(0.0, f64::max);
        let (title, count, unit) = (section.title, section.cases.len(), section.unit);
        let middle = section.middle();
        writeln!(
            table,
            "| {title} | {count} | {middle:.places$} | {worst:.places$} | {unit} |"
        )
        .unwrap();
    }
    let total: usize = sections.iter().map(|section| section.cases.len()).sum();
    table + &format!("\n{total} values in all.\n")
}

#[test]
fn published_values_are_met_and_the_page_says_how_nearly() {
    let sections = [
        codata(),
        against_nasa(false),
        against_nasa(true),
        increments(),
        janaf(),
        potentials(),
        heats_of_solution(),
        heats_of_dilution(),
        densities(),
        strengths(),
        calorimetry(),
    ];
    let mut page = String::from(
        "# How near the published values\n\nMade by `tests/accuracy.rs` from the same functions that the program uses; the test fails when a\nvalue leaves its bound or this page is out of date.\n",
    );
    page += &summary(&sections);
    for section in &sections {
        section.check();
        section.print(&mut page);
    }
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/accuracy.md");
    if std::env::var_os("UPDATE_ACCURACY").is_some() {
        std::fs::write(file, &page).expect("docs/accuracy.md can be written");
    }
    let kept = std::fs::read_to_string(file).unwrap_or_default();
    assert!(
        kept == page,
        "docs/accuracy.md is out of date: run with UPDATE_ACCURACY=1"
    );
}
