//! What holds for every route, tried on random ones: the books balance, the same text gives the same ledger, and twice
//! as much of everything gives twice as much of everything.

use std::collections::BTreeMap;

use aludel::data::Store;
use aludel::matter::{Element, Species};
use aludel::number::{Exact, Number};
use aludel::report;
use aludel::route::ledger::{
    Content, Fact, Heat, Ledger, OperationRecord, Outcome, Remark, Withdrawal,
};
use aludel::route::{self, Outcome as Followed};
use aludel::text::Source;
use proptest::prelude::*;
use shelf::{any_step, exact_step, text_of};

mod planning;
mod room;
mod shelf;

/// Tried of each; a route takes some tens of milliseconds without optimisation.
const CASES: u32 = 48;

fn follow(text: &str) -> Followed {
    let outcome = route::follow(&Source::new("random.route", text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{text}\n{:?}", outcome.faults);
    outcome
}

fn operations(ledger: &Ledger) -> impl Iterator<Item = &OperationRecord> {
    ledger.steps.iter().flat_map(|step| &step.operations)
}

/// Atoms and charge of some amounts.
#[derive(Debug, Default, PartialEq)]
struct Count {
    atoms: BTreeMap<Element, Exact>,
    charge: Exact,
}

impl Count {
    fn add(&mut self, species: &Species, moles: &Exact) {
        for (element, count) in species.composition().iter() {
            let total = self.atoms.entry(element).or_default();
            *total += &(count * moles);
        }
        self.charge += &(Exact::from(species.charge()) * moles);
        self.atoms.retain(|_, total| !total.is_zero());
    }

    fn add_contents(&mut self, contents: &[Content]) {
        for content in contents {
            self.add(&content.species, content.moles.value());
        }
    }

    /// What was measured out: the substance, and the water of its solution.
    fn add_draw(&mut self, draw: &Withdrawal) {
        let moles = draw.moles.value();
        self.add(&draw.substance, moles);
        let is_solution = draw.substance.phase().is_none();
        if is_solution {
            let water = Species::parse("H2O(l)").unwrap();
            let dissolved = draw.substance.molar_mass() * moles;
            let grams = draw.grams.value() - &dissolved;
            self.add(&water, &grams.checked_div(water.molar_mass()).unwrap());
        }
    }
}

/// Counts atoms from what was measured out to what is in vessels, air, drain and losses, apart from the auditor.
fn counted_again(ledger: &Ledger) -> Result<(), TestCaseError> {
    let (mut taken, mut there) = (Count::default(), Count::default());
    ledger.draws.iter().for_each(|draw| taken.add_draw(draw));
    for vessel in &ledger.vessels {
        there.add_contents(&vessel.contents);
    }
    for outlet in &ledger.outlets {
        there.add_contents(&outlet.contents);
    }
    prop_assert_eq!(taken, there);
    Ok(())
}

/// What warms the contents is reckoned from the vessels, everything else from what was posted.
fn heat_of_steps_closes(ledger: &Ledger) -> Result<(), TestCaseError> {
    for heat in ledger.steps.iter().map(|step| &step.heat) {
        let Heat::Known(reactions) = &heat.reactions else {
            continue;
        };
        let parts = [
            reactions,
            &heat.dissolving,
            &heat.baths,
            &-&heat.boiling,
            &heat.vapour,
            &heat.warming,
            &heat.room,
        ];
        let parts = parts.map(Number::to_f64);
        let turnover: f64 = parts.iter().map(|part| part.abs()).sum();
        let off = parts.iter().sum::<f64>().abs();
        prop_assert!(off <= 1e-6 * turnover + 1e-9, "{heat:?} is off by {off} kJ");
    }
    Ok(())
}

/// What the auditor says, and what is counted apart from it.
fn audited(ledger: &Ledger) -> Result<(), TestCaseError> {
    for remark in &ledger.remarks {
        let unbalanced = matches!(remark.fact, Fact::Unbalanced { .. });
        prop_assert!(!unbalanced, "{:?}", remark.fact);
    }
    counted_again(ledger)?;
    heat_of_steps_closes(ledger)?;
    nothing_is_less_than_nothing(ledger)
}

fn nothing_is_less_than_nothing(ledger: &Ledger) -> Result<(), TestCaseError> {
    let after_steps = ledger.steps.iter().flat_map(|step| &step.after);
    for vessel in ledger.vessels.iter().chain(after_steps) {
        for content in &vessel.contents {
            prop_assert!(content.moles.is_positive(), "{:?}", content.species.plain());
        }
        prop_assert!(vessel.temperature.is_positive());
        prop_assert!(vessel.volume.as_ref().is_none_or(|v| !v.is_negative()));
    }
    Ok(())
}

/// Every extensive figure of a ledger by what it is, in its order: amounts, masses, volumes, heats, gas.
fn extensive(ledger: &Ledger) -> Vec<(String, Number)> {
    let mut all = Vec::new();
    for draw in &ledger.draws {
        all.push((format!("drawn {}", draw.substance), draw.moles.clone()));
        all.push((format!("weighed {}", draw.substance), draw.grams.clone()));
        let poured = draw.millilitres.clone();
        all.extend(poured.map(|ml| (format!("poured {}", draw.substance), ml)));
    }
    for operation in operations(ledger) {
        if let Outcome::Reacted(record) = &operation.outcome {
            all.push((
                format!("extent of {}", operation.text),
                record.extent.clone(),
            ));
            if let Heat::Known(heat) = &record.heat {
                all.push((format!("heat of {}", operation.text), heat.clone()));
            }
            let gas = record
                .gas
                .iter()
                .map(|gas| (format!("gas {}", gas.species), &gas.moles));
            all.extend(gas.map(|(what, moles)| (what, moles.clone())));
        }
    }
    let vessels = ledger.vessels.iter().map(|v| (v.name.clone(), &v.contents));
    let outlets = ledger
        .outlets
        .iter()
        .map(|o| (format!("the account {:?}", o.account), &o.contents));
    for (place, contents) in vessels.chain(outlets) {
        // Listed by mass, so that a tie may fall either way.
        let mut contents: Vec<&Content> = contents.iter().collect();
        contents.sort_by_key(|content| content.species.plain());
        let amounts = contents.into_iter();
        all.extend(amounts.map(|c| (format!("{} in {place}", c.species), c.moles.clone())));
    }
    all
}

#[test]
fn a_reaction_that_only_a_furnace_can_heat_does_not_cool_its_vessel_below_nothing() {
    let ledger =
        follow("vessel dish\ncharge dish: 1 g CaCO3\nreact dish: CaCO3 -> CaO + CO2\n").ledger;
    nothing_is_less_than_nothing(&ledger).unwrap();
    let unmet = |fact: &Fact| matches!(fact, Fact::NeedsHeating { heat, .. } if heat.is_positive());
    assert!(ledger.remarks.iter().any(|remark| unmet(&remark.fact)));
    let held = follow(
        "vessel dish\ncharge dish: 1 g CaCO3\nhold dish at 900 °C\nreact dish: CaCO3 -> CaO + CO2\n",
    );
    assert!(!held.ledger.remarks.iter().any(|remark| unmet(&remark.fact)));
}

/// At 20 °C 1 mL of water is 0.9982 g (CRC Handbook, from memory).
#[test]
fn an_empty_vessel_is_filled_to_the_mark_and_not_a_trace_less() {
    let milligrams = |volume: &str| {
        let ledger = follow(&format!("vessel flask\ndilute flask to {volume}\n")).ledger;
        ledger.draws[0].grams.to_f64() * 1000.0
    };
    assert!((milligrams("1 mL") - 998.2).abs() < 0.05);
    assert!((milligrams("1 mL") / milligrams("1 µL") - 1000.0).abs() < 0.01);
}

/// The figures of a ledger with the same name added up, as plain numbers.
fn summed(ledger: &Ledger) -> BTreeMap<String, f64> {
    let mut all = BTreeMap::new();
    for (what, number) in extensive(ledger) {
        *all.entry(what).or_default() += number.to_f64();
    }
    all
}

fn batch() -> impl Strategy<Value = Exact> {
    prop_oneof![(1i64..=9), Just(10), Just(25)].prop_map(|tenths| Exact::ratio(tenths, 4))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_books_balance_whatever_is_done(steps in prop::collection::vec(any_step(), 1..25)) {
        let ledger = follow(&text_of(&steps, &Exact::one())).ledger;
        audited(&ledger)?;
    }

    #[test]
    fn the_same_text_gives_the_same_ledger(steps in prop::collection::vec(any_step(), 1..20)) {
        let text = text_of(&steps, &Exact::one());
        let (once, again) = (follow(&text), follow(&text));
        prop_assert_eq!(format!("{:?}", once.ledger), format!("{:?}", again.ledger));
        let printed = |followed: &Followed| report::sheet(&followed.ledger, report::Style::default());
        prop_assert_eq!(printed(&once), printed(&again));
    }

    #[test]
    fn a_larger_batch_is_larger_exactly(
        steps in prop::collection::vec(exact_step(), 1..25),
        batch in batch(),
    ) {
        let one = follow(&text_of(&steps, &Exact::one())).ledger;
        // What boils off is a model's figure: the test below has that case.
        let boils = |remark: &Remark| matches!(remark.fact, Fact::Boils { .. });
        prop_assume!(!one.remarks.iter().any(boils));
        let scaled = follow(&text_of(&steps, &batch)).ledger;
        // What ends a route is a matter of size: traces are let pass.
        if one.refused || scaled.refused {
            return Ok(());
        }
        let (one, scaled) = (extensive(&one), extensive(&scaled));
        prop_assert_eq!(one.len(), scaled.len());
        for ((what, small), (_, large)) in one.iter().zip(&scaled) {
            prop_assert_eq!(&(small.value() * &batch), large.value(), "{}", what);
        }
    }

    /// Densities and solubilities are floating-point models: their last digits may fall otherwise in a larger batch.
    #[test]
    fn a_larger_batch_is_larger_in_every_figure(
        steps in prop::collection::vec(any_step(), 1..25),
        batch in batch(),
    ) {
        let [one, scaled] = [&Exact::one(), &batch].map(|batch| follow(&text_of(&steps, batch)).ledger);
        // What ends a route is a matter of size: traces are let pass.
        if one.refused || scaled.refused {
            return Ok(());
        }
        let [one, scaled] = [one, scaled].map(|ledger| summed(&ledger));
        let times = batch.to_f64();
        let most = one.values().fold(1.0, |most: f64, figure| most.max(figure.abs()));
        for what in one.keys().chain(scaled.keys()) {
            let of = |figures: &BTreeMap<String, f64>| figures.get(what).copied().unwrap_or(0.0);
            let (small, large) = (of(&one), of(&scaled));
            let off = (large - times * small).abs();
            prop_assert!(off <= 1e-8 * times * most, "{}: {} times {} is {}", what, times, small, large);
        }
    }
}
