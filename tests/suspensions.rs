//! A reagent is all there is of it in a vessel: dissolved, solid, and solid as any of its hydrates.
//!
//! Expected figures are stoichiometry by hand: amounts from the masses as written and molar masses of the standard atomic
//! weights (IUPAC), strengths as on the label.

use aludel::data::Store;
use aludel::number::unit;
use aludel::route::ledger::{Answer, Ledger, Outcome};
use aludel::route::{self};
use aludel::text::Source;

fn run(text: &str) -> Ledger {
    let outcome = route::follow(&Source::new("s.route", text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{text}: {:?}", outcome.faults);
    outcome.ledger
}

/// The last portion measured out, in mL where it is poured, else in g.
fn last_portion(ledger: &Ledger) -> f64 {
    let portion = ledger.draws.last().unwrap();
    let poured = portion.millilitres.as_ref();
    poured.unwrap_or(&portion.grams).to_f64()
}

fn close(found: f64, wanted: f64, share: f64, what: &str) {
    assert!(
        (found / wanted - 1.0).abs() < share,
        "{what}: {found} for {wanted}"
    );
}

fn shown(ledger: &Ledger, index: usize) -> f64 {
    match &ledger.shows[index].answer {
        Answer::Quantity(quantity) => {
            let unit = quantity.written_in().unwrap_or(unit::MOLE);
            quantity.in_unit(&unit).unwrap().to_f64()
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn enough_counts_what_lies_under_the_liquid() {
    for (text, wanted) in [
        // 2 · 25/249.68 mol of hydroxide in 4 mol/L.
        (
            "bottle lye: NaOH 4 mol/L\nvessel a\ncharge a: 25 g CuSO4·5H2O, 20 mL water\n\
             charge a: enough lye for CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\n",
            50.06,
        ),
        (
            "vessel d\ncharge d: 20 g Ba(OH)2·8H2O, 20 mL water\n\
             charge d: enough Na2CO3 for Ba(OH)2 + Na2CO3 -> BaCO3 + NaOH\n",
            6.72,
        ),
        (
            "bottle acid: HCl 2 mol/L\nvessel d\ncharge d: 10 g Li2CO3, 100 mL water\n\
             charge d: enough acid for Li2CO3 + HCl -> LiCl + CO2 + H2O\n",
            135.3,
        ),
        (
            "vessel c\ncharge c: 20 g FeSO4·7H2O, 10 mL water\n\
             charge c: enough Na2CO3 for FeSO4 + Na2CO3 -> FeCO3 + Na2SO4\n",
            7.62,
        ),
        // Boric acid, the dissolved part with the solid: 20/61.83 mol.
        (
            "bottle lye: NaOH 4 mol/L\nvessel b\ncharge b: 20 g H3BO3, 30 mL water\n\
             charge b: enough lye for H3BO3 + NaOH -> NaB(OH)4\n",
            80.9,
        ),
        // Gypsum in suspension is calcium sulfate: 10/172.17 mol.
        (
            "vessel c\ncharge c: 10 g CaSO4·2H2O, 100 mL water\n\
             charge c: enough Na2CO3 for CaSO4 + Na2CO3 -> CaCO3 + Na2SO4\n",
            6.156,
        ),
    ] {
        close(last_portion(&run(text)), wanted, 2e-3, text);
    }
}

/// `enough` and `react` agree: what one measures out the other uses up.
#[test]
fn a_reaction_draws_on_what_lies_under_the_liquid() {
    let ledger = run(
        "vessel pink\ncharge pink: 29.16 g MnSO4·H2O, 100 mL water\n\
         charge pink: enough NaHCO3 for MnSO4 + NaHCO3 -> MnCO3 + Na2SO4 + CO2 + H2O\n\
         react pink: MnSO4 + NaHCO3 -> MnCO3 + Na2SO4 + CO2 + H2O\n\
         show amount(MnCO3, pink), amount(NaHCO3(s), pink)\n",
    );
    close(shown(&ledger, 0), 29.16 / 169.02, 2e-3, "rhodochrosite");
    assert!(shown(&ledger, 1).abs() < 1e-6, "{}", shown(&ledger, 1));
}

#[test]
fn gas_of_a_slurry_is_not_under_told() {
    // 12.6/126.04 mol of sulfur dioxide at 20 °C, 24.055 L/mol.
    let ledger = run(
        "bottle acid: H2SO4 40 %w/w\nvessel gen: 250 mL\ncharge gen: 12.6 g Na2SO3\n\
         charge gen: enough acid for Na2SO3 + H2SO4 -> Na2SO4 + SO2 + H2O, 5 % excess over 30 min\n\
         react gen: Na2SO3 + H2SO4 -> Na2SO4 + SO2 + H2O\nshow gas(SO2, gen)\n",
    );
    close(shown(&ledger, 0), 2.405, 3e-3, "sulfur dioxide");
}

/// The water of the hydrate stays behind, and the account of heat closes: the auditor looks after each operation.
#[test]
fn a_hydrate_in_suspension_reacts_and_leaves_its_water() {
    let ledger = run("vessel c\ncharge c: 10 g CaSO4·2H2O, 100 g water\n\
         charge c: enough Na2CO3 for CaSO4 + Na2CO3 -> CaCO3 + Na2SO4\n\
         react c: CaSO4 + Na2CO3 -> CaCO3 + Na2SO4\nshow amount(CaCO3, c), amount(H2O, c)\n");
    let moles = 10.0 / 172.17;
    close(shown(&ledger, 0), moles, 2e-3, "chalk");
    close(
        shown(&ledger, 1),
        100.0 / 18.015 + 2.0 * moles,
        2e-3,
        "water",
    );
    let Outcome::Reacted(record) = &ledger.steps[0].operations[2].outcome else {
        panic!("no reaction");
    };
    assert!(record.leftovers.is_empty(), "{:?}", record.leftovers);
}

/// Where all is dissolved nothing changes: the neighbour of each row above.
#[test]
fn a_clear_solution_reacts_as_it_did() {
    let ledger = run(
        "bottle lye: NaOH 4 mol/L\nvessel a\ncharge a: 2.5 g CuSO4·5H2O, 50 mL water\n\
         charge a: enough lye for CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\n\
         react a: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\nshow amount(Cu(OH)2, a)\n",
    );
    close(shown(&ledger, 0), 2.5 / 249.68, 2e-3, "copper hydroxide");
}

/// What is in a vessel at the end does not depend on what was put in first: sugar with strong acid and base, whose heat of
/// solution no table has, counts with none whenever it dissolves.
#[test]
fn the_order_of_pouring_makes_no_difference() {
    let portions = ["20 g C12H22O11", "10 mL acid", "10 mL caustic"];
    let mut temperatures = Vec::new();
    for order in [
        [0, 1, 2],
        [0, 2, 1],
        [1, 0, 2],
        [1, 2, 0],
        [2, 0, 1],
        [2, 1, 0],
    ] {
        let [a, b, c] = order.map(|i: usize| portions[i]);
        let text = format!(
            "bottle acid: HCl 37 %w/w\nbottle caustic: KOH 40 %w/w\nvessel v\ncharge v: 20 mL water\n\
             charge v: {a}\ncharge v: {b}\ncharge v: {c}\nshow temperature(v)\n"
        );
        temperatures.push(shown(&run(&text), 0));
    }
    let low = temperatures.iter().copied().fold(f64::MAX, f64::min);
    let high = temperatures.iter().copied().fold(f64::MIN, f64::max);
    assert!(high - low < 1e-4, "{temperatures:?}");
}
