//! Balance and glassware, declared once: what they add, what they leave alone, and how they may not be declared.

mod common;

use aludel::data::Store;
use aludel::diagnostic::route_fault;
use aludel::number::{Unit, unit};
use aludel::route::ledger::{Fact, Samples};
use aludel::route::{self, Ledger, Surroundings};
use aludel::text::Source;
use common::{follow, shown};

#[track_caller]
fn spread(ledger: &Ledger, index: usize, unit: &Unit, expected: f64, because: &str) {
    let found = shown(ledger, index, unit).standard_uncertainty();
    assert!(
        (found - expected).abs() <= 1e-9 + 1e-5 * expected,
        "{found}, not {expected}: {because}"
    );
}

/// What each statement measures out, with one instrument of each kind; figures by hand.
#[test]
fn whatever_is_measured_out_has_the_uncertainty_of_its_instrument() {
    let declared = "instrument balance: ± 0.01 g\ninstrument cylinder: ± 1 %\nvessel pot\n";
    let mass = [
        ("charge pot: 5 g NaCl", 0.01, "weighed"),
        (
            "charge pot: 5 g NaCl, 3 g NaCl",
            0.01 * 2_f64.sqrt(),
            "twice, independently",
        ),
        ("charge pot: 5 g ± 0.2 g NaCl", 0.2, "its own"),
        (
            "let much = 5 g ± 0.2 g\ncharge pot: (2 * much) NaCl",
            0.4,
            "its own, by way of a value",
        ),
        (
            "let much = 5 g\ncharge pot: much NaCl",
            0.01,
            "a value that states none",
        ),
        ("charge pot: 0.1 mol NaCl", 0.0, "nobody measures moles"),
        (
            "charge pot: 5 g NaCl\nweigh pot: 4.9 g",
            0.01,
            "weighed again",
        ),
        (
            "charge pot: 5 g NaCl\nmeasure mass(pot): 4.9 g",
            0.01,
            "the same",
        ),
        (
            "charge pot: 5 g ± 0.2 g NaCl\nweigh pot: 4.9 g ± 0.05 g",
            0.05,
            "its own again",
        ),
    ];
    for (statements, expected, because) in mass {
        let ledger = follow(&format!("{declared}{statements}\nshow mass(pot)\n"));
        spread(&ledger, 0, &unit::GRAM, expected, because);
        let without = follow(&format!("vessel pot\n{statements}\nshow mass(pot)\n"));
        let kept = if because.contains("its own") {
            expected
        } else {
            0.0
        };
        spread(
            &without,
            0,
            &unit::GRAM,
            kept,
            "without a declaration nothing changes",
        );
    }
    // The density of water comes from its table and has no uncertainty.
    for (statements, expected, because) in [
        ("charge pot: 50 mL water", 0.5, "poured"),
        (
            "charge pot: 50 mL water\ntake 20 mL from pot -> cup",
            libm::hypot(0.5_f64, 0.2),
            "and poured off",
        ),
        (
            "charge pot: 10 g ± 0 g water\ndilute pot to 50 mL",
            0.0,
            "a mark is no measuring out",
        ),
        (
            "charge pot: 20 mL water by pipette",
            0.030 / 3_f64.sqrt(),
            "class A",
        ),
        (
            "charge pot: 50 mL water\nmeasure volume(pot): 48 mL",
            0.48,
            "measured",
        ),
    ] {
        let ledger = follow(&format!("{declared}{statements}\nshow volume(pot)\n"));
        spread(&ledger, 0, &unit::MILLILITRE, expected, because);
    }
}

/// 16.82 mL of lye are poured with the cylinder, 1.05 times the copper, which the balance knows to 0.5 %.
#[test]
fn enough_is_measured_out_too() {
    let route = |declared: &str| {
        format!(
            "{declared}bottle lye: NaOH 1.00 mol/L\nvessel pot\ncharge pot: 2.00 g CuSO4·5H2O, 50 mL water\n\
             charge pot: enough lye for CuSO4 + NaOH -> Cu(OH)2 + Na2SO4, 5 % excess\nshow amount(Na^+, pot)\n"
        )
    };
    let ledger = follow(&route(
        "instrument balance: ± 0.01 g\ninstrument cylinder: ± 1 %\n",
    ));
    let moles = shown(&ledger, 0, &unit::MOLE).to_f64();
    spread(
        &ledger,
        0,
        &unit::MOLE,
        moles * libm::hypot(0.005_f64, 0.01),
        "both",
    );
    let ledger = follow(&route("instrument balance: ± 0.01 g\n"));
    spread(&ledger, 0, &unit::MOLE, moles * 0.005, "the balance alone");
    let ledger = follow(
        "instrument balance: ± 0.01 g\nbottle acid: HCl 1.00 mol/L\nvessel pot\ncharge pot: 20 mL acid\n\
         charge pot: enough CaCO3 for CaCO3 + HCl -> CaCl2 + CO2 + H2O\nshow mass(pot)\n",
    );
    spread(&ledger, 0, &unit::GRAM, 0.01, "a solid is weighed");
}

#[test]
fn glassware_of_ones_own_goes_before_class_a_and_a_size_before_none() {
    let taken = |declared: &str, volume: &str| {
        let text = format!(
            "{declared}vessel pot\ncharge pot: {volume} mL water by pipette\nshow volume(pot)\n"
        );
        follow(&text)
    };
    let class_a = 0.030 / 3_f64.sqrt();
    let sized = "instrument pipette 25 mL: ± 0.06 mL\n";
    let any = "instrument pipette: ± 0.1 mL\n";
    for (declared, volume, expected, because) in [
        ("".to_owned(), "25", class_a, "class A"),
        (sized.to_owned(), "25", 0.06, "declared"),
        (sized.to_owned(), "20", 0.030 / 3_f64.sqrt(), "another size"),
        (format!("{any}{sized}"), "25", 0.06, "its size first"),
        (format!("{sized}{any}"), "20", 0.1, "else any"),
        (
            any.to_owned(),
            "17",
            0.1,
            "also one that class A does not know",
        ),
    ] {
        spread(
            &taken(&declared, volume),
            0,
            &unit::MILLILITRE,
            expected,
            because,
        );
    }
    let flask = follow(
        "instrument flask 250 mL: ± 0.5 mL\nvessel pot\ncharge pot: 5 g water\ndilute pot to 250 mL by flask\nshow volume(pot)\n",
    );
    spread(&flask, 0, &unit::MILLILITRE, 0.5, "filled to the mark");
}

#[test]
fn a_burette_of_ones_own_reads_every_titration_that_states_nothing() {
    let titrated = |declared: &str, found: &str| {
        follow(&format!(
            "{declared}bottle lye: NaOH 0.100 mol/L\nbottle acid: HCl 0.1 mol/L\nvessel cone\ncharge cone: 25 mL acid\n\
             titrate cone with lye: HCl + NaOH -> NaCl + H2O, found {found}\nshow titre(cone)\n"
        ))
    };
    let any = "instrument burette: ± 0.04 mL\n";
    for (declared, found, expected, because) in [
        ("", "24.85 mL", 0.0, "nothing declared"),
        (any, "24.85 mL", 0.04, "declared"),
        (any, "24.85 mL ± 0.01 mL", 0.01, "its own"),
        (
            "",
            "24.85 mL, burette 50 mL",
            0.05 / 3_f64.sqrt(),
            "class A",
        ),
        (
            any,
            "24.85 mL, burette 50 mL",
            0.04,
            "declared, with a size said",
        ),
        (
            "instrument burette: ± 0.2 %\n",
            "25.00 mL",
            0.05,
            "a share of what ran out",
        ),
    ] {
        let ledger = titrated(declared, found);
        spread(&ledger, 0, &unit::MILLILITRE, expected, because);
    }
}

/// An instrument holds from where it stands, and is drawn with its own distribution, each use anew.
#[test]
fn what_stands_above_an_instrument_is_not_measured_with_it() {
    let text = "vessel pot\nvessel cup\ncharge pot: 5 g NaCl\ninstrument balance: ± 0.3 g tolerance\n\
         charge cup: 5 g NaCl, 5 g KCl\nshow mass(pot), mass(cup)\n";
    let ledger = follow(text);
    spread(&ledger, 0, &unit::GRAM, 0.0, "above");
    spread(
        &ledger,
        1,
        &unit::GRAM,
        0.3 * (2.0 / 3.0_f64).sqrt(),
        "below",
    );
    let store = Store::default();
    let bench = Surroundings {
        samples: Some(Samples {
            count: 500,
            seed: 1,
        }),
        ..Surroundings::new(&store)
    };
    let ledger = bench.follow(&Source::new("test", text)).ledger;
    let sampling = ledger.sampling.unwrap().unwrap();
    let both = sampling.figures[1].sampled.as_ref().unwrap();
    // The sum of two even errors is a triangle: its 95 % end at 1 − √0.05 of the 0.6 g.
    let end = 0.6 * (1.0 - 0.05_f64.sqrt());
    let (low, high) = both.symmetric;
    assert!((low - 10.0 + end).abs() < 0.05 && (high - 10.0 - end).abs() < 0.05);
}

#[test]
fn another_file_brings_its_instruments() {
    let store = Store::default();
    let shelf = |_: &str, _: &str| {
        Ok(Source::new(
            "shelf.route",
            "instrument balance: ± 0.01 g\ntitle \"Shelf\"\n",
        ))
    };
    let bench = Surroundings {
        load: &shelf,
        ..Surroundings::new(&store)
    };
    let text = "use \"shelf.route\"\nvessel pot\ncharge pot: 5 g NaCl\nshow mass(pot)\n";
    let outcome = bench.follow(&Source::new("test", text));
    assert_eq!(outcome.faults, []);
    spread(&outcome.ledger, 0, &unit::GRAM, 0.01, "brought");
}

#[test]
fn an_instrument_that_cannot_be_is_refused() {
    for (text, kind) in [
        (
            "instrument balance: ± 0.01 g\ninstrument balance: ± 0.1 g",
            "instrument-twice",
        ),
        (
            "instrument pipette 25 mL: ± 1 %\ninstrument pipette 25 mL: ± 1 %",
            "instrument-twice",
        ),
        ("instrument balance: ± 0.01 mL", "wrong-dimension"),
        ("instrument cylinder: ± 1 g", "wrong-dimension"),
        ("instrument balance: ± 1 parsec", "unknown-unit"),
        ("instrument balance 200 g: ± 0.01 g", "instrument-size"),
        ("instrument cylinder 100 mL: ± 1 mL", "instrument-size"),
        ("instrument pipette 25 g: ± 0.1 mL", "instrument-size"),
        ("instrument pipette 0 mL: ± 0.1 mL", "instrument-size"),
        ("instrument pipette 25 mL: ± 30 mL", "instrument-slack"),
        ("instrument balance: ± 0 g", "instrument-slack"),
        ("instrument cylinder: ± 100 %", "instrument-slack"),
        ("instrument thermometer: ± 1 K", "unexpected"),
        ("instrument balance: 0.01 g", "unexpected"),
        (
            "procedure a() {\n instrument balance: ± 0.01 g\n}\ndo a()",
            "misplaced",
        ),
        (
            "vessel pot\ncharge pot: 17 mL water by pipette",
            "no-such-glass",
        ),
    ] {
        let outcome = route::follow(&Source::new("test", text), &Store::default(), &[]);
        let kinds: Vec<_> = outcome
            .faults
            .iter()
            .map(|fault| route_fault(fault).kind)
            .collect();
        assert_eq!(kinds, [kind], "{text}");
    }
}

/// 0.1 mL between readings is common practice, no source.
#[test]
fn readings_too_far_apart_are_pointed_out() {
    for (found, told) in [
        ("24.90, 25.00, 24.95 mL", false),
        ("24.90, 25.01 mL", true),
        ("0.00 to 24.90 mL, 24.90 to 50.00 mL", true),
        ("25.40 mL", false),
    ] {
        let ledger = follow(&format!(
            "bottle lye: NaOH 0.100 mol/L\nbottle acid: HCl 0.1 mol/L\nvessel cone\ncharge cone: 25 mL acid\n\
             titrate cone with lye: HCl + NaOH -> NaCl + H2O, found {found}\n"
        ));
        let discordant =
            |remark: &aludel::route::ledger::Remark| matches!(remark.fact, Fact::Discordant { .. });
        assert_eq!(ledger.remarks.iter().any(discordant), told, "{found}");
    }
}
