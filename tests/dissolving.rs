//! What comes into water: acids and gases without a bottle, molecules, hydrates, salts that meet water in another vessel.

use aludel::data::Store;
use aludel::route;
use aludel::route::ledger::{Fact, Level, Outcome};
use aludel::text::Source;

/// Every `expect` of the route is met, and nothing goes wrong in it.
fn holds(text: &str) {
    let outcome = route::follow(&Source::new("bench", text), &Store::default(), &[]);
    assert_eq!(outcome.faults, [], "{text}");
    let ledger = outcome.ledger;
    for remark in &ledger.remarks {
        assert!(remark.level < Level::Fault, "{text}: {:?}", remark.fact);
        let unbalanced = matches!(remark.fact, Fact::Unbalanced { .. });
        assert!(!unbalanced, "{text}: {:?}", remark.fact);
    }
    assert!(!ledger.expectations.is_empty(), "{text}");
    for expectation in &ledger.expectations {
        assert!(expectation.met, "{text}: {expectation:?}");
    }
}

/// NBS tables (Wagman et al. 1982): -813.989 kJ/mol pure, -886.77 in 50 H2O; 0.2039 mol give off 14.8 kJ, which warms
/// 219.6 g of 3.9 J/(g·K) by 17 K.
#[test]
fn pure_sulfuric_acid_mixes_with_water_and_warms_it() {
    holds(
        "vessel cup: 500 mL
charge cup: 200 mL water
charge cup: 20 g H2SO4
expect amount(SO4^2-, cup) = 203.9 mmol ± 0.1 mmol
expect temperature(cup) = 37.3 °C ± 0.5 °C",
    );
}

/// NBS tables: -92.307 kJ/mol as gas, -165.5 in 40 H2O; 0.1371 mol give off 10.0 kJ. Ammonia -46.11 and -80.29: 10.0 kJ
/// too. Either 105 g of 3.9 to 4.2 J/(g·K).
#[test]
fn water_takes_up_hydrogen_chloride_and_ammonia() {
    holds(
        "vessel sour: 250 mL
vessel pungent: 250 mL
charge sour: 100 mL water, 5 g HCl
charge pungent: 100 mL water, 5 g NH3
expect amount(Cl^-, sour) = 137.1 mmol ± 0.1 mmol
expect temperature(sour) = 44.3 °C ± 1 °C
expect temperature(pungent) = 43.0 °C ± 1 °C",
    );
}

/// Seidell, 6.08 g in 100 g of water at 10 °C: x mol of dihydrate leave 21.43 - 90.03 x g of acid in 108.4 - 36.03 x g of
/// water, which makes x 0.1689 mol, 21.3 g.
#[test]
fn a_molecule_comes_out_with_its_crystal_water() {
    holds(
        "vessel pot: 250 mL
charge pot: 30 g H2C2O4·2H2O, 100 mL water at 40 °C
crystallise pot at 10 °C: H2C2O4·2H2O -> crop
expect amount(H2C2O4·2H2O(s), crop) = 168.9 mmol ± 0.5 mmol",
    );
}

/// A formula may be written in another order than in the table; NH4 and Fe stand in both.
#[test]
fn a_double_salt_comes_out_however_it_is_written() {
    for solid in ["Fe(NH4)2(SO4)2·6H2O", "(NH4)2Fe(SO4)2·6H2O"] {
        holds(&format!(
            "vessel pot: 250 mL
charge pot: 27.8 g FeSO4·7H2O, 13.2 g (NH4)2SO4, 60 mL water at 70 °C
crystallise pot at 5 °C: {solid} -> crop
expect mass(crop) > 20 g"
        ));
    }
}

/// Sugars, phthalate, gluconate and citrate dissolve (common practice, no source): the filter keeps only the silver.
#[test]
fn what_every_bench_dissolves_does_not_stay_on_the_filter() {
    holds(
        "vessel pot: 250 mL
charge pot: 10 g C6H12O6, 5 g KHC8H4O4, 5 g Na3C6H5O7, 5 g NaC6H11O7, 5 g CO(NH2)2, 1 g Ag, 100 mL water
filter pot -> liquor, cake
expect amount(C6H12O6, liquor) > 55 mmol
expect amount(HC8H4O4^-, liquor) > 24 mmol
expect amount(C6H5O7^3-, liquor) > 19 mmol
expect mass(cake) < 1.3 g",
    );
}

/// The salt does not mind which of the two vessels the water was in.
#[test]
fn a_salt_dissolves_in_water_that_is_poured_onto_it() {
    holds(
        "vessel dry: 250 mL
vessel wet: 250 mL
vessel both: 250 mL
charge dry: 5 g NaCl
charge wet: 50 mL water
pour wet -> dry
charge both: 5 g NaCl, 50 mL water
expect amount(Na^+, dry) = 85.56 mmol ± 0.01 mmol
expect temperature(dry) - temperature(both) = 0 K ± 1 mK",
    );
}

/// Two reagents of a reaction may each be `enough` for the third, whichever comes first: 6.35 g of copper, 99.93 mmol,
/// want as much of acid and of peroxide.
#[test]
fn each_of_two_reagents_is_reckoned_from_what_is_there() {
    holds(
        "bottle acid: H2SO4 20 %w/w
bottle perox: H2O2 3 %w/w
vessel pot: 250 mL
charge pot: 6.35 g Cu
charge pot: enough acid for Cu + H2O2 + H2SO4 -> CuSO4 + H2O
charge pot: enough perox for Cu + H2O2 + H2SO4 -> CuSO4 + H2O
expect amount(SO4^2-, pot) = 99.93 mmol ± 0.02 mmol
expect amount(H2O2, pot) = 99.93 mmol ± 0.02 mmol",
    );
}

/// What is made up hot has its volume at the temperature that it then has.
#[test]
fn a_hot_solution_is_diluted_to_the_mark() {
    holds(
        "vessel pot: 250 mL
charge pot: 10 g NaCl, 20 mL water at 80 °C
dilute pot to 100 mL
expect temperature(pot) > 30 °C
expect volume(pot) = 100 mL ± 0.001 mL",
    );
}

/// Water into acid is told as such, with the way round; acid into water is only cautioned.
#[test]
fn the_order_of_acid_and_water_is_told() {
    for (poured, wrong) in [
        ("100 mL conc, 300 mL water", true),
        ("300 mL water, 100 mL conc", false),
    ] {
        let text = format!("bottle conc: H2SO4 96 %w/w\nvessel pot: 1 L\ncharge pot: {poured}");
        let outcome = route::follow(&Source::new("bench", &text), &Store::default(), &[]);
        let sheet = aludel::report::sheet(&outcome.ledger, aludel::report::Style::default());
        assert!(sheet.contains("R201"), "{sheet}");
        let words = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
        let told =
            words.contains("here water comes onto sulfuric acid: charge them the other way round");
        assert_eq!(told, wrong, "{sheet}");
    }
}

/// What rounding leaves of nothing is nothing, not fifteen zeros.
#[test]
fn a_bath_that_has_nothing_to_do_gives_nothing() {
    let text = "vessel pot: 400 mL
charge pot: 38.1 g ± 0.1 g Na2B4O7·10H2O, 120 mL water at 80 °C
warm pot to 80 °C";
    let outcome = route::follow(&Source::new("bench", text), &Store::default(), &[]);
    let sheet = aludel::report::sheet(&outcome.ledger, aludel::report::Style::default());
    assert!(!sheet.contains("0.00000"), "{sheet}");
}

/// What dries up is in the phase that the user's data say, not in that of the tables, which know nothing of it.
#[test]
fn what_dries_up_has_the_phase_of_the_users_data() {
    let residue = |own: &str| {
        let text = format!(
            "{own}bottle syrup: C9H18O9 10 %w/w\nvessel v\ncharge v: 10 g syrup\ndry v at 60 °C\n"
        );
        let outcome = route::follow(&Source::new("bench", &text), &Store::default(), &[]);
        assert_eq!(outcome.faults, [], "{text}");
        let operations = outcome
            .ledger
            .steps
            .iter()
            .flat_map(|step| &step.operations);
        let dried = operations.filter_map(|operation| match &operation.outcome {
            Outcome::Dried { residue, .. } => Some(residue[0].0.plain().to_owned()),
            _ => None,
        });
        dried.collect::<Vec<_>>()
    };
    let own = "substance C9H18O9(l): dfH -1500 kJ/mol, source \"invented for this test\"\n";
    assert_eq!(residue(""), ["C9H18O9(s)"]);
    assert_eq!(residue(own), ["C9H18O9(l)"]);
    assert_eq!(residue(""), ["C9H18O9(s)"]);
}
