//! Formation, reactions at temperatures, heat capacity, potentials.

use aludel::data::{HEAT_CAPACITY, Property, Row, Store};
use aludel::matter::Species;
use aludel::number::{Exact, unit};
use aludel::thermo;

use crate::common::species;
use crate::{Case, Section, kelvin, ours_at, terms};

/// CODATA key values against the rows that are used, which come from other measurements and another network.
pub fn codata() -> Section {
    let table = include_str!("../published/codata.csv");
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
        * (c[0] * libm::log(t)
            + t * (c[1] + t * (c[2] / 2.0 + t * (c[3] / 3.0 + t * c[4] / 4.0)))
            + c[6]);
    Some((enthalpy / 1000.0, entropy / 1000.0))
}

pub fn against_nasa(gibbs: bool) -> Section {
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
pub fn increments() -> Section {
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
pub fn janaf() -> Section {
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
pub fn potentials() -> Section {
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
