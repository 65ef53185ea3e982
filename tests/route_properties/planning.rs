//! What must hold of laying out, of procedures and of `find`, tried on random routes.

use aludel::data::Store;
use aludel::number::{Exact, Number, Quantity, unit};
use aludel::route;
use aludel::route::ledger::{Answer, Ledger};
use aludel::text::{Source, layout};
use proptest::prelude::*;

use super::shelf::{SHELF, Step, VESSELS, any_step, exact_step};
use super::{audited, extensive, follow};

const CASES: u32 = 24;

/// What a route came to, without places and words.
fn meaning(ledger: &Ledger) -> String {
    let answers = ledger.shows.iter().map(|shown| &shown.answer);
    let answers: Vec<&Answer> = answers.collect();
    let steps: Vec<_> = ledger.steps.iter().map(|step| &step.after).collect();
    let figures: Vec<Number> = extensive(ledger).into_iter().map(|(_, n)| n).collect();
    format!("{:?} {figures:?} {steps:?} {answers:?}", ledger.vessels)
}

fn lines(steps: &[Step]) -> Vec<String> {
    steps.iter().map(|step| step.text(&Exact::one())).collect()
}

/// The same statements with blanks, blank lines and remarks that nobody asked for.
fn careless(text: &str, slips: &[u8]) -> String {
    let slip = |at: usize| slips[at % slips.len()];
    let lines = text.lines().enumerate();
    lines
        .map(|(at, line)| match slip(at) % 5 {
            0 => format!("\t{}\n", line.replace(", ", " ,   ")),
            1 => format!("   {line}   # as written\n\n\n"),
            2 => format!("{}\n", line.replace(": ", ":   ")),
            3 => format!("{}\n", line.replacen(' ', "     ", 1)),
            _ => format!("{line}\n"),
        })
        .collect()
}

/// The steps behind a choice of values, with what a `let` called `lot` charges.
fn with_lot(before: &[Step], after: &[Step], question: &str) -> String {
    let before = lines(before).join("\n");
    let after = lines(after).join("\n");
    format!("{SHELF}let lot = 1 g\n{before}\ncharge flask: lot K2SO4\n{question}\n{after}\n")
}

fn run_with(text: &str, lot: Quantity) -> Ledger {
    let outcome = route::follow(
        &Source::new("random.route", text),
        &Store::default(),
        &[("lot".to_owned(), lot)],
    );
    assert!(outcome.faults.is_empty(), "{text}\n{:?}", outcome.faults);
    outcome.ledger
}

fn grams(milligrams: u32) -> Quantity {
    let number = Number::exact(Exact::ratio(milligrams.into(), 1000));
    Quantity::of(number, &unit::GRAM)
}

/// The first answer in SI units; `None` where there is none.
fn first(ledger: &Ledger) -> Option<f64> {
    match ledger.shows.first().map(|shown| &shown.answer) {
        Some(Answer::Quantity(quantity)) => Some(quantity.number().to_f64()),
        _ => None,
    }
}

fn found(ledger: &Ledger) -> Option<Quantity> {
    let finding = ledger.findings.first().filter(|finding| finding.met)?;
    finding.unknowns.first().map(|(_, value)| value.clone())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn laying_out_keeps_what_a_route_means(
        steps in prop::collection::vec(any_step(), 1..12),
        slips in prop::collection::vec(any::<u8>(), 1..12),
        in_a_step in any::<bool>(),
    ) {
        let body = lines(&steps).join("\n");
        let body = match in_a_step {
            true => format!("step \"All of it\" {{\n{body}\n}}"),
            false => body,
        };
        let text = format!("{SHELF}{body}\nshow mass(flask), temperature(flask)\n");
        let careless = careless(&text, &slips);
        let laid = layout(&careless).unwrap();
        prop_assert_eq!(&layout(&laid).unwrap(), &laid);
        let (as_is, laid) = (follow(&careless).ledger, follow(&laid).ledger);
        prop_assert_eq!(meaning(&follow(&text).ledger), meaning(&as_is));
        prop_assert_eq!(meaning(&as_is), meaning(&laid));
    }

    /// A call does what its statements would do in its place, each time.
    #[test]
    fn a_procedure_is_its_statements(
        before in prop::collection::vec(any_step(), 0..5),
        inside in prop::collection::vec(any_step(), 1..6),
        after in prop::collection::vec(any_step(), 0..5),
    ) {
        let parameters = ["first", "second", "third", "fourth"];
        let renamed = |line: &String| {
            let vessels = VESSELS.iter().zip(parameters);
            vessels.fold(line.clone(), |line, (vessel, parameter)| line.replace(vessel, parameter))
        };
        let body: Vec<String> = lines(&inside).iter().map(renamed).collect();
        let call = format!("do work({})", VESSELS.join(", "));
        let called = format!(
            "{SHELF}procedure work({}) {{\n{}\n}}\n{}\n{call}\n{call}\n{}\n",
            parameters.join(", "), body.join("\n"), lines(&before).join("\n"), lines(&after).join("\n"),
        );
        let twice = [lines(&inside), lines(&inside)].concat().join("\n");
        let written_out = format!(
            "{SHELF}{}\n{twice}\n{}\n",
            lines(&before).join("\n"), lines(&after).join("\n"),
        );
        let called = follow(&called).ledger;
        audited(&called)?;
        prop_assert_eq!(meaning(&called), meaning(&follow(&written_out).ledger));
    }

    /// What is put in is found back from the mass at that place, whatever is done before and after.
    #[test]
    fn a_charge_is_found_back_from_the_mass(
        before in prop::collection::vec(exact_step(), 0..6),
        after in prop::collection::vec(any_step(), 0..4),
        hidden in 1_000u32..40_000,
    ) {
        let asks = with_lot(&before, &after, "show mass(flask)");
        // What may not meet ends a run before the question.
        let Some(wanted) = first(&run_with(&asks, grams(hidden))) else { return Ok(()) };
        let target = Exact::modelled(wanted * 1000.0).unwrap().to_plain();
        let find = format!("find lot in 0.5 g .. 50 g: mass(flask) = {target} g");
        let ledger = follow(&with_lot(&before, &after, &find)).ledger;
        audited(&ledger)?;
        let lot = found(&ledger);
        prop_assert!(lot.is_some(), "{find}: {:?}", ledger.remarks);
        let again = first(&run_with(&asks, lot.unwrap())).unwrap();
        prop_assert!((again / wanted - 1.0).abs() < 1e-9, "{again} for {wanted}");
    }

    /// Whatever `find` answers holds when the route runs with that value and without it.
    #[test]
    fn an_answer_holds_on_another_run(
        before in prop::collection::vec(any_step(), 0..5),
        after in prop::collection::vec(any_step(), 0..5),
        hidden in 1_000u32..40_000,
        asked in prop::sample::select(&[
            "temperature(beaker)", "volume(flask)", "amount(K^+, flask)", "concentration(SO4^2-, flask)",
            "mass(beaker)", "fraction(K2SO4, flask)", "heat(flask)",
        ][..]),
    ) {
        let show = with_lot(&before, &after, "") + &format!("show {asked}\n");
        let Some(wanted) = first(&run_with(&show, grams(hidden))) else { return Ok(()) };
        let shown = &run_with(&show, grams(hidden)).shows[0];
        let Answer::Quantity(quantity) = &shown.answer else { return Ok(()) };
        let unit = quantity.written_in().unwrap();
        let target = quantity.in_unit(&unit).unwrap().to_f64();
        let target = Exact::modelled(target).unwrap().to_plain();
        let find = format!("find lot in 0.5 g .. 50 g: {asked} = {target} {unit}\n");
        let ledger = follow(&(with_lot(&before, &after, "") + &find)).ledger;
        audited(&ledger)?;
        if let Some(lot) = found(&ledger) {
            let again = first(&run_with(&show, lot)).unwrap();
            let off = (again - wanted).abs();
            prop_assert!(off <= 2e-9 * wanted.abs().max(again.abs()), "{asked}: {again} for {wanted}");
        }
    }
}
