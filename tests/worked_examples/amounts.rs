//! Formula masses, moles, and what follows from an equation.

use aludel::number::unit;
use aludel::route::ledger::{Outcome, ScaleRow};

use crate::{Book, follow, shown, species};

#[test]
fn formula_masses_and_moles() {
    let mut book = Book::default();
    for (question, wanted, printed, place) in [
        (
            "molar_mass(CHCl3)",
            &unit::GRAM_PER_MOLE,
            "119.37",
            "3.1, chloroform",
        ),
        (
            "molar_mass(C9H8O4)",
            &unit::GRAM_PER_MOLE,
            "180.15",
            "3.1, aspirin",
        ),
        (
            "molar_mass(Al2(SO4)3)",
            &unit::GRAM_PER_MOLE,
            "342.14",
            "3.1, aluminium sulfate",
        ),
        (
            "4.7 g / molar_mass(K)",
            &unit::MOLE,
            "0.12",
            "3.1, potassium of a day",
        ),
        (
            "9.2e-4 mol * molar_mass(Ar)",
            &unit::GRAM,
            "0.037",
            "3.1, argon in a litre of air",
        ),
        (
            "5.00 g / molar_mass(Cu)",
            &unit::MOLE,
            "0.0787",
            "3.1, copper wire",
        ),
        (
            "28.35 g / molar_mass(C2H5O2N)",
            &unit::MOLE,
            "0.378",
            "3.1, glycine",
        ),
        (
            "1.42e-4 mol * molar_mass(C6H8O6)",
            &unit::GRAM,
            "0.0250",
            "3.1, vitamin C",
        ),
        (
            "12.5 g / (32.9 g / molar_mass(CCl4) * molar_mass(CF2Cl2))",
            &unit::PER_CENT,
            "48.3",
            "4.4, yield of a refrigerant",
        ),
    ] {
        book.agrees(shown(&format!("show {question}"), wanted), printed, place);
    }
    book.close();
}

/// What is asked about a species of a scaled equation.
enum Asked {
    Moles,
    Grams,
    Litres,
}

/// The row of `asked` in the table for so much of a substance.
fn scaled(ambient: &str, equation: &str, to: &str, asked: &str) -> ScaleRow {
    let ledger = follow(&format!("ambient {ambient}\nscale {equation} to {to}\n"));
    let table = ledger
        .scales
        .first()
        .unwrap_or_else(|| panic!("{equation}"));
    let wanted = species(asked);
    let row = table
        .rows
        .iter()
        .find(|row| row.species.key() == wanted.key());
    row.expect(equation).clone()
}

#[test]
fn amounts_follow_the_equation() {
    let mut book = Book::default();
    const ROOM: &str = "25 °C, 1 atm";
    for (ambient, equation, to, asked, how, printed, place) in [
        (
            ROOM,
            "Al + I2 -> AlI3",
            "0.429 mol Al",
            "I2",
            Asked::Moles,
            "0.644",
            "4.3",
        ),
        (
            ROOM,
            "C3H8 + O2 -> CO2 + H2O",
            "0.75 mol C3H8",
            "CO2",
            Asked::Moles,
            "2.25",
            "4.3, propane",
        ),
        (
            ROOM,
            "MgCl2 + NaOH -> Mg(OH)2 + NaCl",
            "16 g Mg(OH)2",
            "NaOH",
            Asked::Grams,
            "22",
            "4.3, milk of magnesia",
        ),
        (
            ROOM,
            "C8H18 + O2 -> CO2 + H2O",
            "702 g C8H18",
            "O2",
            Asked::Grams,
            "2.46e3",
            "4.3, octane",
        ),
        (
            ROOM,
            "Fe2O3 + CO -> Fe + CO2",
            "25.13 g Fe2O3",
            "CO",
            Asked::Grams,
            "13.22",
            "4.3, iron ore",
        ),
        (
            "25 °C, 745 mmHg",
            "CH4 + O2 -> CO2 + H2O",
            "655 g CH4",
            "CH4",
            Asked::Litres,
            "1.02e3",
            "9.2, natural gas for a vehicle",
        ),
        (
            "25 °C, 760 mmHg",
            "C3H8(g) + O2(g) -> CO2 + H2O",
            "2.7 L C3H8(g)",
            "O2",
            Asked::Litres,
            "13.5",
            "9.3, propane",
        ),
        (
            ROOM,
            "N2(g) + H2(g) -> NH3(g)",
            "683 L NH3(g)",
            "H2",
            Asked::Litres,
            "1.02e3",
            "9.3, ammonia (683 billion cubic feet)",
        ),
        (
            "0 °C, 1 atm",
            "C2H2(g) + O2(g) -> CO2 + H2O",
            // A thousandth of the book's, which needs 3.34 cylinders of 7.00e3 L: more than a small lab is taken to mean.
            "9.34 L C2H2(g)",
            "O2",
            Asked::Litres,
            "23.4",
            "9.3, acetylene",
        ),
        (
            "27 °C, 723 mmHg",
            "Ga + HCl -> GaCl3 + H2",
            "8.88 g Ga",
            "H2",
            Asked::Litres,
            "4.94",
            "9.3, hydrogen from gallium",
        ),
        (
            "343 °C, 1.21 atm",
            "S + O2 -> SO2",
            "1.00 kg S",
            "SO2",
            Asked::Litres,
            "1.30e3",
            "9.3, sulfur dioxide",
        ),
    ] {
        let row = scaled(ambient, equation, to, asked);
        let ours = match how {
            Asked::Moles => row.moles.to_f64(),
            Asked::Grams => row.grams.to_f64(),
            Asked::Litres => row.litres.expect(equation).to_f64(),
        };
        book.agrees(ours, printed, &format!("{equation}, section {place}"));
    }
    book.close();
}

#[test]
fn the_reagent_that_runs_out_is_named() {
    for (charge, equation, limiting, place) in [
        (
            "2.00 g Si, 1.50 g N2(g)",
            "Si + N2 -> Si3N4",
            "Si",
            "4.4, silicon nitride",
        ),
        (
            "5.00 g H2(g), 10.0 g O2(g)",
            "H2 + O2 -> H2O",
            "O2",
            "4.4, water",
        ),
    ] {
        let text = format!("vessel pot\nseal pot\ncharge pot: {charge}\nreact pot: {equation}\n");
        let ledger = follow(&text);
        let record = ledger
            .steps
            .iter()
            .flat_map(|step| &step.operations)
            .find_map(|operation| match &operation.outcome {
                Outcome::Reacted(record) => Some(record),
                _ => None,
            });
        let found = record.expect(place).limiting.as_ref().expect(place);
        assert_eq!(found.key(), species(limiting).key(), "{place}");
    }
}

/// Section 4.4: 1.274 g of copper sulfate and zinc gave 0.392 g of copper, a yield of 77.3 %.
#[test]
fn copper_from_its_sulfate_has_the_yield_of_the_book() {
    let mut book = Book::default();
    let ledger = follow(
        "vessel beaker\ncharge beaker: 1.274 g CuSO4, 50 mL water\n\
         charge beaker: enough Zn for CuSO4 + Zn -> Cu + ZnSO4\n\
         react beaker: CuSO4 + Zn -> Cu + ZnSO4\n\
         filter beaker -> liquor, copper\nwash copper with 50 mL water\nwash copper with 50 mL water\ndry copper\n\
         weigh copper: 0.392 g\nyield copper: Cu on CuSO4\n",
    );
    let record = &ledger.yields[0];
    assert!(record.weighed.is_some());
    book.agrees(record.theoretical.1.to_f64(), "0.5072", "at most");
    book.agrees(
        record.fraction.as_ref().unwrap().to_f64() * 100.0,
        "77.3",
        "yield",
    );
    book.close();
}

/// Common practice, no source: 37 % hydrochloric acid is about 12 mol/L, and 50 g of iron needs about 150 mL of it.
#[test]
fn fifty_grams_of_iron_need_150_ml_of_fuming_acid() {
    let mut book = Book::default();
    let ledger = follow("bottle acid: HCl 37 %w/w\nscale Fe + HCl -> FeCl2 + H2 to 50 g Fe\n");
    let acid = ledger.scales[0]
        .rows
        .iter()
        .find(|row| row.species.key() == "HCl")
        .unwrap();
    let (name, millilitres, _) = acid.bottle.as_ref().unwrap();
    assert_eq!(name, "acid");
    book.within(
        millilitres.as_ref().unwrap().to_f64(),
        "150",
        2.0,
        "acid for iron",
    );
    book.close();
}

/// Figures a plan for alum rests on: 1.00 g of aluminium is 0.03706 mol, makes at most 17.58 g of alum and, at 25 °C
/// and 101.325 kPa, 1.36 L of hydrogen (by hand, CIAAW 2021 atomic weights and R = 8.314462618 J/(mol·K)).
#[test]
fn one_gram_of_aluminium() {
    let mut book = Book::default();
    let row = |asked| {
        scaled(
            "25 °C, 101.325 kPa",
            "Al + OH^- + H2O -> [Al(OH)4]^- + H2",
            "1.00 g Al",
            asked,
        )
    };
    book.agrees(row("Al").moles.to_f64(), "0.03706", "aluminium");
    book.agrees(row("H2").litres.unwrap().to_f64(), "1.36", "hydrogen");
    let alum = "1.00 g / molar_mass(Al) * molar_mass(KAl(SO4)2·12H2O)";
    book.agrees(shown(&format!("show {alum}"), &unit::GRAM), "17.58", "alum");
    book.close();
}
