//! Formulas of hundreds of symbols: read in a time that grows with their length, up to a limit.

#![allow(clippy::disallowed_methods, reason = "the test looks at the clock")]

use std::time::{Duration, Instant};

use aludel::data::Store;
use aludel::equation::ionic::{dissociate, in_water};
use aludel::equation::{Balance, balance, ionic_view, parse_equation, working};
use aludel::matter::Species;
use aludel::thermo::standard;

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

/// Without optimisation, too, a second is a hundred times what is needed; cubic reading took an hour for 3,200 symbols.
#[test]
fn a_long_formula_is_taken_apart_at_once() {
    for symbols in [800, 3_200] {
        for (front, back) in [
            ("Rb", "P"),
            ("Fe", "P"),
            ("C", "Na"),
            ("(NH4)", "SO4"),
            ("Na", "(SO4)2"),
        ] {
            let formula = format!("{}{back}", front.repeat(symbols));
            let species = Species::parse(&formula).unwrap();
            let took = timed(|| {
                in_water(&species);
                dissociate(&species);
                let _ = standard(&Store::default(), &species);
            });
            assert!(
                took < Duration::from_secs(1),
                "{symbols} × {front}, {back}: {took:?}"
            );
        }
    }
}

#[test]
fn an_equation_with_a_long_formula_is_worked_out_at_once() {
    for symbols in [800, 3_200] {
        let text = format!("{} + P -> Rb3P", "Rb".repeat(symbols));
        let skeleton = parse_equation(&text).unwrap();
        let took = timed(|| {
            let _ = working(&skeleton);
            let found = balance(&skeleton);
            if let Some(reaction) = found.as_ref().ok().and_then(Balance::reaction) {
                ionic_view(reaction);
            }
        });
        assert!(took < Duration::from_secs(1), "{symbols}: {took:?}");
    }
}

/// What is a salt stays one however often its cation is written.
#[test]
fn a_salt_of_many_symbols_is_a_salt() {
    let ions = dissociate(&Species::parse(&format!("{}SO4", "Na".repeat(2))).unwrap()).unwrap();
    let long =
        dissociate(&Species::parse(&format!("{}(SO4)400", "K".repeat(800))).unwrap()).unwrap();
    let counts = |ions: &[(aludel::number::Exact, Species)]| -> Vec<String> {
        ions.iter()
            .map(|(n, ion)| format!("{n} {}", ion.key()))
            .collect()
    };
    assert_eq!(counts(&ions), ["2 Na^+", "1 SO4^2-"]);
    assert_eq!(counts(&long), ["800 K^+", "400 SO4^2-"]);
}

/// The limit of a formula by itself is that of one in an equation and in a route.
#[test]
fn the_limit_of_a_formula_holds_in_an_equation() {
    let fits = "CO".repeat(9_999);
    let long = "CO".repeat(10_001);
    assert!(Species::parse(&fits).is_ok());
    assert!(parse_equation(&format!("{fits} -> C + O2")).is_ok());
    for text in [
        format!("{long} -> C + O2"),
        format!("C + O2 -> 2 {long}"),
        format!("C+O2->{long}"),
        format!("H2 + {}^2+ -> C", "CO".repeat(9_999) + "·H2O"),
        "CO".repeat(500_000),
    ] {
        let fault = parse_equation(&text).unwrap_err();
        let message = aludel::diagnostic::equation_fault(&fault);
        assert_eq!(message.kind, "too-long");
        assert!(fault.span.end - fault.span.start > 20_000);
    }
}
