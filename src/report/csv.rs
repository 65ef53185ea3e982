//! A ledger as one table in CSV (RFC 4180): one figure a row, with its unit, its uncertainty and where it belongs, so
//! that a spreadsheet can sort, filter and sum it.
//!
//! Promises: figures are unrounded and have a point for decimals; no cell of words can become a formula of the
//! spreadsheet that opens it.

mod answers;
mod operations;

use serde::Serialize;

use crate::matter::{Notation, Species};
use crate::number::{Number, unit};
use crate::route::ledger::*;

use super::caution;
use super::sampling::Told;
use crate::figure;

/// One figure.
#[derive(Debug, Default, Serialize)]
struct Row {
    /// `measure out`, `reaction`, `titration`, `bath`, `crystals`, `heat of step`, `vessel`, `yield`, `found`, `asked`, `expected`, `sampled`,
    /// `compared`, `scale`, `heat`, `solution`, `left` or `waste`.
    part: &'static str,
    /// Counted from one; empty outside the steps.
    step: Option<usize>,
    vessel: String,
    /// A species, an equation or an expression.
    item: String,
    quantity: String,
    value: Option<f64>,
    unit: String,
    /// One standard uncertainty; empty for an exact figure.
    uncertainty: Option<f64>,
}

/// The whole table with its heading.
pub fn csv(ledger: &Ledger) -> String {
    let mut table = csv::Writer::from_writer(Vec::new());
    for row in rows(ledger) {
        table
            .serialize(row)
            .expect("a row of text and numbers can always be written to memory");
    }
    let bytes = table.into_inner().expect("memory can always be flushed");
    String::from_utf8_lossy(&bytes).into_owned()
}

fn rows(ledger: &Ledger) -> Vec<Row> {
    let steps = ledger.steps.iter().enumerate();
    let steps = steps.flat_map(|(index, step)| step_rows(index + 1, step));
    let answers = ledger.shows.iter();
    let answers = answers.flat_map(|shown| match &shown.answer {
        Answer::Budget(_) => answers::budget(shown),
        other => vec![answer("asked", &shown.expression, "value", other)],
    });
    let sampled = ledger.sampling.iter().flatten();
    let sampled = sampled.flat_map(|sampling| sampling.figures.iter().flat_map(sampled_rows));
    let compared = ledger.comparisons.iter().flat_map(comparison);
    let drawn = ledger.draws.iter().flat_map(draw);
    drawn
        .chain(steps)
        .chain(ledger.yields.iter().flat_map(product))
        .chain(ledger.findings.iter().flat_map(answers::finding))
        .chain(answers)
        .chain(ledger.expectations.iter().flat_map(expectation))
        .chain(sampled)
        .chain(compared)
        .chain(ledger.scales.iter().flat_map(scale))
        .chain(ledger.energetics.iter().flat_map(answers::heat))
        .chain(ledger.solutions.iter().flat_map(answers::solution))
        .chain(ledger.outlets.iter().flat_map(outlet))
        .chain(answers::waste(ledger))
        .collect()
}

/// One row a quantity of one thing; what is not known has a row without a value.
fn figures<const N: usize>(
    part: &'static str,
    (step, vessel, item): (Option<usize>, &str, &str),
    all: [(&str, Option<&Number>, &str); N],
) -> Vec<Row> {
    let row = |(quantity, number, unit): (&str, Option<&Number>, &str)| Row {
        part,
        step,
        vessel: vessel.to_owned(),
        item: harmless(item),
        quantity: harmless(quantity),
        value: number.map(Number::to_f64),
        unit: unit.to_owned(),
        uncertainty: number
            .filter(|number| !number.is_exact())
            .map(Number::standard_uncertainty),
    };
    all.map(row).into()
}

/// A spreadsheet takes a cell that begins with one of these for a formula; an apostrophe before it makes it words.
fn harmless(words: &str) -> String {
    match words.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        true => format!("'{words}"),
        false => words.to_owned(),
    }
}

fn plain(species: &Species) -> String {
    species.to_text(Notation::Plain)
}

fn draw(draw: &Withdrawal) -> Vec<Row> {
    let substance = plain(&draw.substance.with_phase(None));
    let item = match &draw.bottle {
        Some(bottle) => format!("{bottle}: {substance} {}", draw.strength),
        None => substance,
    };
    let mut rows = figures(
        "measure out",
        (None, &draw.vessel, item.trim_end()),
        [
            ("mass", Some(&draw.grams), "g"),
            ("amount", Some(&draw.moles), "mol"),
        ],
    );
    if let Some(volume) = &draw.millilitres {
        rows.extend(figures(
            "measure out",
            (None, &draw.vessel, item.trim_end()),
            [("volume", Some(volume), "mL")],
        ));
    }
    rows
}

fn step_rows(number: usize, step: &StepRecord) -> Vec<Row> {
    let done = step.operations.iter();
    let done = done.map(|operation| operations::rows(number, &operation.outcome));
    let vessels = step.after.iter().map(|state| vessel(number, state));
    let heat = operations::heat(number, &step.heat);
    done.chain([heat]).chain(vessels).flatten().collect()
}

fn vessel(step: usize, state: &VesselState) -> Vec<Row> {
    let zero = Number::exact(unit::CELSIUS.offset());
    let temperature = state.known_temperature().map(|kelvins| kelvins - &zero);
    let mut rows = figures(
        "vessel",
        (Some(step), &state.name, ""),
        [
            ("mass", Some(&state.mass), "g"),
            ("volume", state.volume.as_ref(), "mL"),
            ("temperature", temperature.as_ref(), "°C"),
        ],
    );
    rows.extend(state.contents.iter().flat_map(|content| {
        let place = (Some(step), state.name.as_str(), &*plain(&content.species));
        figures(
            "vessel",
            place,
            [
                ("amount", Some(&content.moles), "mol"),
                ("mass", Some(&content.grams), "g"),
            ],
        )
    }));
    rows
}

fn product(record: &YieldRecord) -> Vec<Row> {
    let item = plain(&record.product);
    figures(
        "yield",
        (None, &record.vessel, &item),
        [
            ("mass found", Some(&record.found.1), "g"),
            ("mass at most", Some(&record.theoretical.1), "g"),
            ("yield", record.fraction.as_ref(), ""),
        ],
    )
}

/// In the unit that the sheet shows it in.
fn answer(part: &'static str, item: &str, name: &str, answer: &Answer) -> Row {
    let (number, unit) = match answer {
        Answer::Quantity(quantity) => {
            let unit = figure::unit_of(quantity);
            (figure::in_unit(quantity, unit), unit)
        }
        Answer::Budget(_) | Answer::Unknown => (None, None),
    };
    let symbol = unit.map_or(String::new(), |unit| unit.symbol());
    figures(part, (None, "", item), [(name, number.as_ref(), &symbol)]).remove(0)
}

/// Whether it is met is a figure of its own, 1 or 0.
fn expectation(one: &Expectation) -> Vec<Row> {
    let met = if one.met {
        Number::one()
    } else {
        Number::zero()
    };
    let sides = [("value", &one.value), ("wanted", &one.wanted)];
    let mut rows: Vec<Row> = sides
        .map(|(name, side)| answer("expected", &one.expression, name, side))
        .into();
    let place = (None, "", one.expression.as_str());
    rows.extend(figures("expected", place, [("met", Some(&met), "")]));
    rows
}

/// Mean and uncertainty of the samples, and the ends of the interval that holds 95 % of them.
fn sampled_rows(one: &SampledFigure) -> Vec<Row> {
    let Some(told) = Told::of(one) else {
        return Vec::new();
    };
    let ends = told.sampled.symmetric;
    let [low, high] = [ends.0, ends.1].map(Number::modelled);
    let symbol = told.unit.map_or(String::new(), |unit| unit.symbol());
    let mean = told.mean();
    figures(
        "sampled",
        (None, "", &one.expression),
        [
            ("mean", Some(&mean), &symbol),
            ("2.5 %", low.as_ref(), &symbol),
            ("97.5 %", high.as_ref(), &symbol),
        ],
    )
}

fn comparison(comparison: &Comparison) -> Vec<Row> {
    let mut rows = Vec::new();
    for run in &comparison.rows {
        let values = comparison.varied.iter().zip(&run.values);
        let values: Vec<String> = values
            .map(|(name, value)| format!("{name} = {}", figure::quantity(value)))
            .collect();
        let asked = comparison.shown.iter().zip(&run.answers);
        rows.extend(
            asked.map(|(shown, found)| answer("compared", &values.join(", "), shown, found)),
        );
    }
    rows
}

fn scale(table: &ScaleTable) -> Vec<Row> {
    let rows = table.rows.iter().flat_map(|row| {
        let place = (None, "", &*plain(&row.species));
        figures(
            "scale",
            place,
            [
                ("amount", Some(&row.moles), "mol"),
                ("mass", Some(&row.grams), "g"),
            ],
        )
    });
    let equation = table.reaction.to_text(Notation::Plain);
    let heat = figures(
        "scale",
        (None, "", &equation),
        [("heat", table.heat.known(), "kJ")],
    );
    rows.chain(heat).collect()
}

fn outlet(outlet: &Outlet) -> Vec<Row> {
    let rows = outlet.contents.iter().flat_map(|content| {
        let place = (
            None,
            caution::account(outlet.account),
            &*plain(&content.species),
        );
        figures(
            "left",
            place,
            [
                ("amount", Some(&content.moles), "mol"),
                ("mass", Some(&content.grams), "g"),
            ],
        )
    });
    rows.collect()
}
