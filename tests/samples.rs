//! Samples of a route: what is drawn, what is not, and what they say of yields. Limits on sampled figures are four standard
//! errors or more.

mod common;

use aludel::data::Store;
use aludel::number::{Exact, InputId, Number, Sampled};
use aludel::route::ledger::{Answer, AskedBy, NotSampled};
use aludel::text::Source;
use common::samples::{first_order, follow, of, sampled};
use common::{between, close};
use proptest::prelude::*;

const SAMPLES: usize = 20_000;
/// Of routes with a chemistry: their runs take longer.
const FEW: usize = 400;

/// JCGM 101:2008, 6.4.9: the mean of n readings follows t with n − 1 degrees of freedom, whose standard deviation is
/// s/√n·√((n − 1)/(n − 3)). With six readings that is 1.291 times the first-order figure, and 95 % lie within ±2.571.
#[test]
fn readings_of_a_burette_follow_students_t() {
    let sampling = sampled(
        "bottle lye: NaOH 0.1000 mol/L\nbottle acid: HCl 0.1 mol/L\nvessel cone\ncharge cone: 25 mL acid\n\
         titrate cone with lye: HCl + NaOH -> NaCl + H2O, found 24.92, 25.08, 25.02, 24.95, 25.04, 24.99 mL\n\
         show titre(cone)\n",
        3 * FEW,
    );
    let titre = &sampling.figures[0];
    let (mean, standard) = first_order(titre);
    let deviation = (readings_off(mean) / 5.0).sqrt();
    close(standard, deviation / 6_f64.sqrt(), 1e-9, "s/√n");
    let found = of(titre);
    close(
        found.standard_uncertainty / standard,
        (5.0 / 3.0_f64).sqrt(),
        0.25,
        "u",
    );
    between(
        found.symmetric,
        (mean - 2.571 * standard, mean + 2.571 * standard),
        0.6 * standard,
        "95 %",
    );
}

fn readings_off(mean: f64) -> f64 {
    let readings = [24.92, 25.08, 25.02, 24.95, 25.04, 24.99];
    readings.iter().map(|v| (v - mean).powi(2)).sum()
}

#[test]
fn limits_are_never_overstepped() {
    let sampling = sampled(
        "let even = 10 g ± 1 g tolerance\nlet middling = 10 g ± 1 g triangular\nlet expanded = 10 g ± 1 g (k = 2)\n\
         show even, middling, expanded\n",
        SAMPLES,
    );
    let [even, middling, expanded] = &sampling.figures[..] else {
        panic!("{:?}", sampling.figures);
    };
    // 95 % of an even distribution lie within 0.95 of its half-width, of a triangular one within 1 − √0.05.
    between(of(even).symmetric, (9.05, 10.95), 0.02, "rectangular");
    let triangular = 1.0 - 0.05_f64.sqrt();
    let ends = (10.0 - triangular, 10.0 + triangular);
    between(of(middling).symmetric, ends, 0.03, "triangular");
    between(of(expanded).symmetric, (9.02, 10.98), 0.04, "normal");
    for (figure, u) in [
        (even, 1.0 / 3_f64.sqrt()),
        (middling, 1.0 / 6_f64.sqrt()),
        (expanded, 0.5),
    ] {
        close(of(figure).standard_uncertainty, u, 0.02 * u, "u");
    }
}

/// Bottles, the room, vessels and published heats are drawn as well as what the statements say.
#[test]
fn every_uncertain_input_of_a_route_is_drawn() {
    let route = "ambient 20 °C ± 1 °C\nbottle acid: HCl 37 %w/w ± 0.5 %w/w\nbottle lye: NaOH 2.00 mol/L ± 0.02 mol/L\n\
         let batch = 25 mL ± 0.1 mL\nvessel beaker: 250 mL\ncharge beaker: batch lye, 50 mL water\n\
         charge beaker: enough acid for NaOH + HCl -> NaCl + H2O\nreact beaker: NaOH + HCl -> NaCl + H2O\n\
         show amount(NaCl, beaker), mass(beaker), temperature(beaker), heat(beaker)\n\
         expect amount(NaCl, beaker) < 50.0 mmol\nexpect amount(NaCl, beaker) = 50.0 mmol ± 1 mmol\n\
         yield beaker: NaCl on NaOH\n";
    let ledger = follow(route, FEW, 1);
    let sampling = ledger.sampling.unwrap().unwrap();
    assert_eq!(sampling.failed, 0);
    for figure in &sampling.figures[..4] {
        let (value, standard) = first_order(figure);
        let (name, found) = (&figure.expression, of(figure));
        assert!(standard > 0.0, "{name}");
        close(found.mean, value, 0.2 * standard, name);
        close(found.standard_uncertainty, standard, 0.05 * standard, name);
    }
    let below = &sampling.figures[4];
    assert_eq!(below.asked_by, AskedBy::Expect);
    // The estimate is the limit itself, to a hair: half of the samples lie below.
    close(below.holds.unwrap(), 0.5, 0.11, "share below");
    assert_eq!(sampling.figures[5].holds, None);
    // All of the acid and no more for all of the lye: whatever was drawn, the yield is whole.
    let whole = of(&sampling.figures[6]);
    between(whole.symmetric, (100.0, 100.0), 1e-6, "yield");
}

#[test]
fn the_same_seed_gives_the_same_samples_and_another_others() {
    let route = "let a = 1 g ± 0.1 g\nlet b = 2 g ± 0.1 g tolerance\nshow a * b / (1 g)\n";
    let figures = |seed| {
        let ledger = follow(route, 1000, seed);
        of(&ledger.sampling.unwrap().unwrap().figures[0]).clone()
    };
    assert_eq!(figures(1), figures(1));
    assert_ne!(figures(1), figures(2));
}

#[test]
fn runs_that_go_wrong_are_counted_and_left_out() {
    // 60 mL into 61 mL with a standard uncertainty of 1 mL overflows in one run of six.
    let ledger = follow(
        "let much = 60 mL ± 1 mL\nvessel pot: 61 mL\ncharge pot: much water\nshow volume(pot)\n",
        2000,
        1,
    );
    let sampling = ledger.sampling.unwrap().unwrap();
    // Beyond (61.061 − 60)/1 standard uncertainties lie 14.4 % of a normal distribution.
    close(sampling.failed as f64 / 2000.0, 0.144, 0.032, "share");
    let [(count, fault)] = &sampling.faults[..] else {
        panic!("{:?}", sampling.faults);
    };
    assert_eq!(*count, sampling.failed);
    assert!(format!("{:?}", fault.fact).contains("Overfull"));
    assert!(of(&sampling.figures[0]).symmetric.1 <= 61.061);
}

#[test]
fn what_cannot_be_sampled_says_why() {
    for (route, why) in [
        (
            "vessel pot\ncharge pot: 1 g ± 0.1 g NaCl, 10 mL water\n",
            NotSampled::NothingAsked,
        ),
        ("let a = 1 g\nshow a\n", NotSampled::NothingUncertain),
        (
            "let a = 1 g ± 0.1 g\nlet b = 2 g\nshow b, uncertainty(a)\n",
            NotSampled::NothingUncertain,
        ),
        (
            "let a = 1 g ± 0.1 g\nvessel pot\ndiscard pot\nshow a\n",
            NotSampled::Faulty,
        ),
    ] {
        let found = follow(route, 100, 1).sampling.unwrap();
        assert_eq!(found.err(), Some(why), "{route}");
    }
}

/// What is found by working back stays in every sample, and its `±` is drawn about it; an uncertainty that was asked for stays
/// what it is by the plan.
#[test]
fn what_was_found_and_what_was_asked_of_the_plan_stays() {
    let sampling = sampled(
        "let salt = 1 g ± 0.1 g\nvessel pot\ncharge pot: salt NaCl, 10 mL water\n\
         find salt in 0.5 g .. 50 g: mass(pot) = 12 g\n\
         let margin = 2 * uncertainty(salt)\nshow salt, margin + salt\n",
        FEW,
    );
    let [salt, more] = &sampling.figures[..] else {
        panic!("{:?}", sampling.figures);
    };
    close(of(salt).mean, first_order(salt).0, 0.02, "salt");
    close(of(salt).standard_uncertainty, 0.1, 0.015, "its uncertainty");
    let margin = of(more).mean - first_order(more).0;
    let salt_off = of(salt).mean - first_order(salt).0;
    close(
        margin,
        salt_off,
        1e-9,
        "both move by what was drawn, and the margin stays",
    );
}

/// The same bottle on both sides of a yield: its strength cancels, as first order and sample both see.
#[test]
fn a_yield_on_the_same_bottle_does_not_hang_on_its_strength() {
    let route = "bottle blue: CuSO4 1.00 mol/L ± 0.05 mol/L\nbottle lye: NaOH 2.00 mol/L\nvessel pot\n\
         charge pot: 20 mL ± 0.1 mL blue\ncharge pot: enough lye for CuSO4 + NaOH -> Cu(OH)2 + Na2SO4, 5 % excess\n\
         react pot: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\nyield pot: Cu(OH)2 on CuSO4\n\
         take 10 mL from pot -> half\nshow amount(Na2SO4, pot)\n";
    let ledger = follow(route, FEW, 1);
    let fraction = ledger.yields[0].fraction.as_ref().unwrap();
    let found = &ledger.yields[0].found.0;
    close(
        found.standard_uncertainty() / found.to_f64(),
        0.0502,
        1e-3,
        "of the product",
    );
    assert!(fraction.standard_uncertainty() < 1e-12, "{fraction:?}");
    let sampling = ledger.sampling.unwrap().unwrap();
    let share = of(&sampling.figures[0]);
    between(share.symmetric, (100.0, 100.0), 1e-6, "yield by samples");
}

/// A weighed crop breaks that tie: then the yield has the uncertainty of the strength and of the balance, reckoned by hand.
#[test]
fn a_yield_by_weight_has_both_uncertainties() {
    let route = "bottle blue: CuSO4 1.00 mol/L ± 0.05 mol/L\nbottle lye: NaOH 2.00 mol/L\nvessel pot\n\
         charge pot: 20 mL blue, 25 mL lye\nreact pot: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\nfilter pot -> liquor, cake\n\
         wash cake with 20 mL water\ndry cake\nweigh cake: 1.80 g ± 0.02 g\nyield cake: Cu(OH)2 on CuSO4\n";
    let ledger = follow(route, FEW, 1);
    let fraction = ledger.yields[0].fraction.as_ref().unwrap();
    let relative = libm::hypot(0.05_f64, 0.02 / 1.80);
    close(
        fraction.standard_uncertainty() / fraction.to_f64(),
        relative,
        1e-6,
        "to first order",
    );
    let sampling = ledger.sampling.unwrap().unwrap();
    let share = of(&sampling.figures[0]);
    close(
        share.standard_uncertainty / share.mean,
        relative,
        0.007,
        "by samples",
    );
}

#[test]
fn a_value_set_from_outside_is_an_input_of_its_own() {
    let store = Store::default();
    let source = Source::new(
        "test",
        "let a = 1 g ± 0.1 g\nlet b = 2 g\nshow a + b, budget(a + b)\n",
    );
    let value = aludel::number::Quantity::of(
        Number::exact(Exact::from(2)).with_uncertainty(InputId(0), 0.1),
        &aludel::number::unit::GRAM,
    );
    let outcome = aludel::route::follow(&source, &store, &[("b".to_owned(), value)]);
    let Answer::Quantity(sum) = &outcome.ledger.shows[0].answer else {
        panic!("no sum");
    };
    close(
        sum.number().standard_uncertainty() * 1000.0,
        0.1 * 2_f64.sqrt(),
        1e-9,
        "independent of `a`",
    );
    let Answer::Budget(shares) = &outcome.ledger.shows[1].answer else {
        panic!("no budget");
    };
    assert!(
        shares.iter().any(|(label, _)| label == "b as set"),
        "{shares:?}"
    );
}

proptest! {
    /// JCGM 101:2008, 7.7: both intervals hold 95 % of the values, to the nearest whole one, and none is shorter than the
    /// shortest.
    #[test]
    fn intervals_hold_their_share(values in proptest::collection::vec(-1e6..1e6_f64, 40..400)) {
        let sampled = Sampled::of(values.clone()).unwrap();
        let held = |(low, high): (f64, f64)| values.iter().filter(|v| (low..=high).contains(v)).count();
        let wanted = (0.95 * values.len() as f64 + 0.5).floor() as usize;
        // One more than the difference of their ranks.
        prop_assert!(held(sampled.symmetric) > wanted);
        prop_assert!(held(sampled.shortest) > wanted);
        let length = |(low, high): (f64, f64)| high - low;
        prop_assert!(length(sampled.shortest) <= length(sampled.symmetric));
        let doubled = Sampled::of(values.iter().map(|v| 2.0 * v).collect()).unwrap();
        prop_assert_eq!(sampled.rescaled(2.0, 0.0).symmetric, doubled.symmetric);
    }

    /// A draw is the same whoever asks, and in whatever order: so is a sample on any number of cores.
    #[test]
    fn a_draw_hangs_on_nothing_but_its_key(seed: u64, sample: u64, inputs in proptest::collection::vec(any::<u32>(), 1..20)) {
        let draw = || aludel::number::SampleDraw::new(Vec::new().into(), seed, sample);
        let forward: Vec<f64> = inputs.iter().map(|i| draw().deviate(InputId(*i))).collect();
        let one = draw();
        let mut backward: Vec<f64> = inputs.iter().rev().map(|i| one.deviate(InputId(*i))).collect();
        backward.reverse();
        prop_assert_eq!(&forward, &backward);
        prop_assert!(forward.iter().all(|z| z.abs() < 9.0));
    }
}

#[test]
fn a_run_that_goes_wrong_names_the_bottle() {
    let text = "bottle salt: NaCl(s) 99 % ± 1 %\nvessel pot\ncharge pot: 2 g salt, 10 mL water\nshow amount(NaCl, pot)\n";
    let found = sampled(text, FEW);
    let (_, remark) = &found.faults[0];
    let message =
        aludel::diagnostic::route_fact(&remark.fact, remark.level, aludel::matter::Notation::Plain);
    assert_eq!(
        message.title,
        "in the bottle `salt`: a purity is more than 0 % and at most 100 %"
    );
}
