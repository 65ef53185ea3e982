//! Strengths, dilutions and titrations.

use aludel::number::unit;
use aludel::route::ledger::Answer;
use aludel::solution::{self, Strength};

use crate::{Book, follow, number, shown, species};

#[test]
fn solutions_of_the_book() {
    let mut book = Book::default();
    for (route, wanted, printed, place) in [
        (
            "bottle drink: C12H22O11 0.375 mol/L\nvessel cup\ncharge cup: 10 mL drink\nshow amount(C12H22O11, cup)",
            &unit::MOLE,
            "0.004",
            "3.3, a sip of a soft drink",
        ),
        (
            "bottle brine: NaCl 5.30 mol/L\nvessel cup\ncharge cup: 0.250 L brine\nshow amount(NaCl, cup) * molar_mass(NaCl)",
            &unit::GRAM,
            "77.4",
            "3.3, salt in brine",
        ),
        (
            "bottle vinegar: CH3COOH 0.839 mol/L\nvessel jug\ncharge jug: (75.6 g / molar_mass(CH3COOH)) vinegar\nshow volume(jug)",
            &unit::LITRE,
            "1.50",
            "3.3, vinegar with so much acid",
        ),
        (
            "bottle vinegar: CH3COOH 50.4 g/L\nvessel jug\ncharge jug: 0.500 L vinegar\nshow concentration(CH3COOH, jug)",
            &unit::MOLAR,
            "0.839",
            "3.3, 25.2 g of acid in half a litre",
        ),
        (
            // So strong that only a label tells its density; the one given here cancels.
            "bottle blue: Cu(NO3)2 5.00 mol/L, density 1.65 g/mL\nvessel jug\ncharge jug: 0.850 L blue\ndilute jug to 1.80 L\nshow concentration(Cu^2+, jug)",
            &unit::MOLAR,
            "2.36",
            "3.3, diluting to a volume",
        ),
        (
            "bottle stock: HBr 0.45 mol/L\nvessel cup\ncharge cup: 11 mL stock\nshow amount(Br^-, cup) / 0.12 mol/L",
            &unit::LITRE,
            "0.041",
            "3.3, volume that can be made",
        ),
        (
            "bottle acid: HCl 37.2 %w/w, density 1.19 g/mL\nvessel cup\ncharge cup: 0.500 L acid\nshow amount(HCl, cup) * molar_mass(HCl)",
            &unit::GRAM,
            "221",
            "3.4, concentrated acid",
        ),
        (
            "bottle acid: HCl 37.2 %w/w, density 1.19 g/mL\nvessel cup\ncharge cup: (125 g / 0.372) acid\nshow mass(cup) / 1.19 g/mL",
            &unit::MILLILITRE,
            "282",
            "3.4, volume with 125 g",
        ),
    ] {
        book.agrees(shown(route, wanted), printed, place);
    }
    book.close();
}

/// Section 3.3: 5.00 L of 0.100 mol/L from a stock of 1.59 mol/L takes 0.314 L of it.
#[test]
fn a_stock_solution_is_measured_out_for_a_dilution() {
    let mut book = Book::default();
    let ledger = follow(
        "bottle stock: KOH 1.59 mol/L\nvessel jug\ncharge jug: (5.00 L * 0.100 mol/L) stock\ndilute jug to 5.00 L\nshow concentration(OH^-, jug)",
    );
    let poured = ledger.draws[0].millilitres.as_ref().unwrap().to_f64();
    book.agrees(poured / 1000.0, "0.314", "stock");
    match &ledger.shows[0].answer {
        Answer::Quantity(found) => {
            book.agrees(
                found.in_unit(&unit::MOLAR).unwrap().to_f64(),
                "0.100",
                "made",
            );
        }
        other => panic!("{other:?}"),
    }
    book.close();
}

#[test]
fn strengths_into_one_another() {
    let mut book = Book::default();
    let at = number("298.15");
    // 2.22e3 g of ethylene glycol in 2.00e3 g of water, section 11.4.
    let strength = Strength::MassFraction(number("2.22").checked_div(&number("4.22")).unwrap());
    let glycol = solution::composition(&species("C2H4(OH)2"), &strength, &at, None).unwrap();
    book.agrees(
        glycol.molality.unwrap().to_f64(),
        "17.9",
        "molality of a coolant",
    );
    // 3.0 mol/kg of salt, section 11.4: a mole fraction of 0.051.
    let strength = Strength::Molal(number("3.0"));
    let salt = solution::composition(&species("NaCl"), &strength, &at, None).unwrap();
    let fraction = salt.mass_fraction.to_f64();
    let (salt, water) = (fraction / 58.44, (1.0 - fraction) / 18.015);
    book.agrees(salt / (salt + water), "0.051", "mole fraction of salt");
    book.close();
}

#[test]
fn titrations_and_a_weighed_precipitate() {
    let mut book = Book::default();
    for (route, wanted, printed, place) in [
        (
            "bottle base: NaOH 0.250 mol/L\nvessel flask\ncharge flask: 35.23 mL base\nshow amount(OH^-, flask) / 50.00 mL",
            &unit::MOLAR,
            "0.176",
            "4.5, acid by base",
        ),
        (
            "bottle violet: KMnO4 0.09113 mol/L\nbottle acid: H2SO4 1.00 mol/L\nvessel flask\n\
             charge flask: 23.24 mL violet, 20 mL acid\n\
             charge flask: enough H2C2O4 for MnO4^- + H2C2O4 + H^+ -> CO2 + Mn^2+ + H2O\n\
             show amount(H2C2O4, flask) / 20.00 mL",
            &unit::MOLAR,
            "0.2648",
            "4.5, oxalic acid by permanganate",
        ),
        (
            "vessel cup\ncharge cup: 0.6168 g BaSO4, 100 mL water\nshow amount(BaSO4, cup) * molar_mass(MgSO4) / 0.4550 g",
            &unit::PER_CENT,
            "69.91",
            "4.5, sulfate by weighing",
        ),
    ] {
        book.agrees(shown(route, wanted), printed, place);
    }
    book.close();
}
