//! Heats, temperatures, entropies and constants.

use aludel::data::Store;
use aludel::matter::Phase;
use aludel::number::unit;
use aludel::route::ledger::{Heat, Outcome};
use aludel::thermo::{self, ReactionData};

use crate::{Book, balanced, follow, shown, species};

/// Section 5.2: measured final temperatures. The book uses one heat capacity for each substance throughout, 0.449 J/(g·K)
/// for iron and 0.385 J/(g·K) for copper, so these routes do too; our tables let them rise with temperature.
#[test]
fn calorimeters_end_at_the_measured_temperature() {
    let mut book = Book::default();
    for (route, printed, allowed, because) in [
        (
            "substance Fe(s): dfH 0 kJ/mol, Cp 25.07 J/(mol·K), source \"Chemistry 2e, table 5.1\"\n\
             ambient 24.0 °C\nvessel pot\ncharge pot: 425 mL water\ncharge pot: 360.0 g Fe at 248 °C\nshow temperature(pot)",
            "42.7",
            0.2,
            "hot iron into water; the book takes 1 g/mL",
        ),
        (
            "substance Cu(s): dfH 0 kJ/mol, Cp 24.47 J/(mol·K), source \"Chemistry 2e, table 5.1\"\n\
             ambient 22.6 °C\nvessel pot\ncharge pot: 390 mL water\ncharge pot: 248 g Cu at 335.6 °C\nshow temperature(pot)",
            "39.9",
            0.2,
            "hot copper into water; the book takes 1 g/mL",
        ),
        (
            "ambient 22.0 °C\nbottle acid: HCl 1.00 mol/L\nbottle base: NaOH 1.00 mol/L\nvessel cup\n\
             charge cup: 50.0 mL acid, 50.0 mL base\nreact cup: HCl + NaOH -> NaCl + H2O\nshow temperature(cup)",
            "28.9",
            0.3,
            "neutralisation; measured in a foam cup",
        ),
        (
            "ambient 21.9 °C\nbottle salt: NaCl 0.200 mol/L\nbottle silver: AgNO3 0.200 mol/L\nvessel cup\n\
             charge cup: 100 mL salt, 100 mL silver\nreact cup: NaCl + AgNO3 -> AgCl + NaNO3\nshow temperature(cup)",
            "23.5",
            0.1,
            "silver chloride; measured in a foam cup",
        ),
        (
            "ambient 24.9 °C\nvessel cup\ncharge cup: 50.0 g water\ncharge cup: 3.21 g NH4NO3\nshow temperature(cup)",
            "20.3",
            0.3,
            "a cold pack; measured in a foam cup",
        ),
    ] {
        book.within(shown(route, &unit::CELSIUS), printed, allowed, because);
    }
    book.close();
}

/// Sections 5.1 to 5.3, in kJ.
#[test]
fn heats_of_vessels() {
    let mut book = Book::default();
    for (route, printed, allowed, because) in [
        (
            "ambient 21.9 °C\nbottle salt: NaCl 0.200 mol/L\nbottle silver: AgNO3 0.200 mol/L\nvessel cup\n\
             charge cup: 100 mL salt, 100 mL silver\nreact cup: NaCl + AgNO3 -> AgCl + NaNO3\nshow heat(cup)",
            "-1.34",
            0.04,
            "silver chloride; from a rise of 1.6 K",
        ),
        (
            "bottle acid: HCl 0.750 mol/L\nvessel cup\ncharge cup: 60.0 mL acid, 1.34 g Zn\n\
             react cup: Zn + HCl -> ZnCl2 + H2\nshow heat(cup)",
            "-3.14",
            0.02,
            "zinc in acid; measured",
        ),
        (
            "bottle acid: HCl 1.00 mol/L\nbottle base: NaOH 1.00 mol/L\nvessel cup\n\
             charge cup: 50.0 mL acid, 50.0 mL base\nreact cup: HCl + NaOH -> NaCl + H2O\nshow heat(cup)",
            "-2.9",
            0.15,
            "neutralisation; from a rise of 6.9 K",
        ),
    ] {
        book.within(shown(route, &unit::KILOJOULE), printed, allowed, because);
    }
    book.close();
}

/// Section 5.1: 8.0e2 g of water from 21 to 85 °C takes 210 kJ.
#[test]
fn warming_water_takes_the_heat_of_the_book() {
    let mut book = Book::default();
    let ledger = follow("ambient 21 °C\nvessel pot\ncharge pot: 800 g water\nwarm pot to 85 °C\n");
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let mut bath = operations.filter_map(|operation| match &operation.outcome {
        Outcome::Thermal {
            bath: Heat::Known(heat),
            ..
        } => Some(heat.to_f64()),
        _ => None,
    });
    book.agrees(-bath.next().unwrap(), "2.1e2", "heat into the water");
    book.close();
}

fn kilojoules(equation: &str) -> f64 {
    let found = data_of(equation)
        .enthalpy()
        .unwrap_or_else(|why| panic!("{equation}: {why:?}"));
    found.in_unit(&unit::KILOJOULE_PER_MOLE).unwrap().to_f64()
}

/// Table 5.2, standard molar enthalpies of combustion, here for so many moles of fuel as the whole coefficients ask for.
#[test]
fn heats_of_combustion_are_those_of_the_table() {
    let mut book = Book::default();
    for (equation, moles, printed) in [
        ("C + O2 -> CO2", 1.0, "-393.5"),
        ("H2 + O2 -> H2O(l)", 2.0, "-285.8"),
        ("Mg + O2 -> MgO", 2.0, "-601.6"),
        ("S + O2 -> SO2", 1.0, "-296.8"),
        ("CO + O2 -> CO2", 2.0, "-283.0"),
        ("CH4(g) + O2 -> CO2 + H2O(l)", 1.0, "-890.8"),
        ("C2H2(g) + O2 -> CO2 + H2O(l)", 2.0, "-1301.1"),
        ("CH3OH(l) + O2 -> CO2 + H2O(l)", 2.0, "-726.1"),
        ("C2H5OH(l) + O2 -> CO2 + H2O(l)", 1.0, "-1366.8"),
    ] {
        // Organic compounds differ by some tenths of a kJ between the sources of the book and ours.
        book.within(kilojoules(equation) / moles, printed, 1.0, equation);
    }
    book.close();
}

/// Boiling points as in the CRC Handbook (from memory): below 25 °C a gas, above it a liquid. The tables give some of
/// these liquids an enthalpy and nothing else.
#[test]
fn a_substance_without_a_phase_has_its_usual_one() {
    for (formula, phase, boils) in [
        ("SO2", Phase::Gas, "-10 °C"),
        ("C3H8", Phase::Gas, "-42 °C"),
        ("(CH3)2O", Phase::Gas, "-25 °C"),
        ("CH3Br", Phase::Gas, "3.5 °C"),
        ("CNCl", Phase::Gas, "13 °C"),
        ("HCOOCH3", Phase::Liquid, "32 °C"),
        ("SOCl2", Phase::Liquid, "76 °C"),
        ("SO2Cl2", Phase::Liquid, "69 °C"),
        ("CCl4", Phase::Liquid, "77 °C"),
        ("NH3", Phase::Gas, "-33 °C"),
        ("Cl2", Phase::Gas, "-34 °C"),
        ("Br2", Phase::Liquid, "59 °C"),
        ("H2O", Phase::Liquid, "100 °C"),
    ] {
        let found = thermo::standard(&Store::default(), &species(formula)).unwrap();
        let usual = found.species.phase();
        assert_eq!(usual, Some(phase), "{formula} boils at {boils}");
    }
}

/// Section 5.3: enthalpies of reaction by Hess's law, in kJ for the equation with whole coefficients.
#[test]
fn enthalpies_by_hess_law() {
    let mut book = Book::default();
    for (equation, printed, allowed) in [
        ("Fe(s) + Cl2(g) -> FeCl2(s)", "-341.8", 0.5),
        // Twice FeCl3, -399.5 each.
        ("Fe(s) + Cl2(g) -> FeCl3(s)", "-799.0", 1.0),
        ("Al(s) + Cl2(g) -> AlCl3(s)", "-1407", 2.0),
        ("N2(g) + O2(g) -> NO2(g)", "66.4", 0.5),
        ("O2(g) -> O3(g)", "286", 1.0),
        ("H2O(l) -> H2O(g)", "44.01", 0.02),
        // The book has -207.4 for HNO3(aq); tables give the nitrate ion between -205.0 and -207.4.
        ("NO2(g) + H2O(l) -> H^+ + NO3^- + NO(g)", "-138.4", 5.0),
        // 0.0500 mol of water for 2.9 kJ, so -58 kJ/mol, measured in a foam cup.
        ("H^+ + OH^- -> H2O(l)", "-58", 2.5),
    ] {
        book.within(kilojoules(equation), printed, allowed, equation);
    }
    book.close();
}

/// Sections 16.2 to 16.4: entropies in J/K, Gibbs energies in kJ, constants as log10.
#[test]
fn entropies_gibbs_energies_and_constants() {
    let mut book = Book::default();
    let boiling = data_of("H2O(l) -> H2O(g)");
    let entropy = boiling.entropy().unwrap();
    book.within(
        entropy.number().to_f64(),
        "118.8",
        // The book has 70.0 for the liquid, tables 69.9.
        0.15,
        "entropy of vaporisation",
    );
    let gibbs = |data: &ReactionData| {
        let (found, _) = data.gibbs().unwrap();
        found.in_unit(&unit::KILOJOULE_PER_MOLE).unwrap().to_f64()
    };
    book.within(gibbs(&boiling), "8.58", 0.03, "vaporisation of water");
    // Twice HgO; the book has the yellow form, our usual one is the red.
    let mercury = data_of("HgO(s) -> Hg(l) + O2(g)");
    book.within(gibbs(&mercury) / 2.0, "58.43", 0.2, "mercury(II) oxide");
    // Solubility product of silver chloride, appendix J: 1.6e-10.
    let silver = data_of("AgCl(s) -> Ag^+ + Cl^-")
        .log10_k()
        .unwrap()
        .to_f64();
    book.within(silver, "-9.80", 0.1, "silver chloride");
    book.close();
}

fn data_of(equation: &str) -> ReactionData {
    thermo::reaction(&Store::default(), &balanced(equation).signed())
}
