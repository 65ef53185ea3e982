//! The rows of what is done in a step: reactions, titrations, baths, crystals. What is poured or washed is measured out, and
//! has its rows there.

use super::{Row, figures, plain};
use crate::matter::Notation;
use crate::number::{Exact, Number, unit};
use crate::route::ledger::*;

/// Of one operation of a step, counted from one.
pub(super) fn rows(step: usize, outcome: &Outcome) -> Vec<Row> {
    match outcome {
        Outcome::Reacted(record) => reaction(step, record),
        Outcome::Titrated(record) => {
            let mut rows = reaction(step, &record.reaction);
            rows.extend(titration(step, record));
            rows
        }
        Outcome::Thermal {
            vessel,
            from,
            to,
            bath,
            ..
        } => figures(
            "bath",
            (Some(step), vessel, ""),
            [
                ("temperature before", Some(&celsius(from)), "°C"),
                ("temperature after", Some(&celsius(to)), "°C"),
                ("heat to the bath", bath.known(), "kJ"),
            ],
        ),
        Outcome::Evaporated {
            vessel,
            water,
            heat,
            ..
        } => figures(
            "bath",
            (Some(step), vessel, "H2O"),
            [
                ("mass of vapour", Some(water), "g"),
                ("heat needed", heat.known(), "kJ"),
            ],
        ),
        Outcome::Crystallised(record) => crystals(step, record),
        _ => Vec::new(),
    }
}

fn celsius(kelvins: &Number) -> Number {
    kelvins - &Number::exact(unit::CELSIUS.offset())
}

fn reaction(step: usize, record: &ReactRecord) -> Vec<Row> {
    let equation = record.reaction.to_text(Notation::Plain);
    let uncooled = record.uncooled.as_ref().map(celsius);
    let mut rows = figures(
        "reaction",
        (Some(step), &record.vessel, &equation),
        [
            ("extent", Some(&record.extent), "mol"),
            ("heat", record.heat.known(), "kJ"),
            ("uncooled temperature", uncooled.as_ref(), "°C"),
        ],
    );
    rows.extend(record.gas.iter().flat_map(|gas| {
        let place = (Some(step), record.vessel.as_str(), &*plain(&gas.species));
        figures(
            "reaction",
            place,
            [
                ("amount of gas", Some(&gas.moles), "mol"),
                ("volume of gas", Some(&gas.litres), "L"),
            ],
        )
    }));
    rows
}

fn titration(step: usize, record: &TitrationRecord) -> Vec<Row> {
    let analyte = plain(&record.analyte);
    let place = (Some(step), record.reaction.vessel.as_str(), &*analyte);
    let mut rows = figures(
        "titration",
        place,
        [
            ("amount by the plan", Some(&record.planned_analyte), "mol"),
            ("volume by the plan", Some(&record.planned), "mL"),
        ],
    );
    let readings = record.readings.iter();
    rows.extend(
        readings
            .flat_map(|reading| figures("titration", place, [("reading", Some(reading), "mL")])),
    );
    if let Some(mean) = &record.mean {
        let found = [
            ("mean of the readings", Some(mean), "mL"),
            ("amount found", Some(&record.found_analyte), "mol"),
        ];
        rows.extend(figures("titration", place, found));
    }
    rows
}

fn crystals(step: usize, record: &CrystalRecord) -> Vec<Row> {
    // By definition of the table: g of anhydrous salt in 100 g of water.
    let solubility = record.solubility.scaled(&Exact::ratio(1, 100));
    figures(
        "crystals",
        (Some(step), &record.into, &plain(&record.solid)),
        [
            ("amount", Some(&record.moles), "mol"),
            ("mass", Some(&record.grams), "g"),
            ("mass that stays dissolved", Some(&record.stays), "g"),
            (
                "solubility of the anhydrous salt in water",
                Some(&solubility),
                "g/g",
            ),
            ("heat to the bath", record.bath.known(), "kJ"),
        ],
    )
}

/// Signs as in JSON: positive is taken up, negative is given off.
pub(super) fn heat(step: usize, heat: &StepHeat) -> Vec<Row> {
    figures(
        "heat of step",
        (Some(step), "", ""),
        [
            ("reactions", heat.reactions.known(), "kJ"),
            ("dissolving and mixing", Some(&heat.dissolving), "kJ"),
            ("baths", Some(&heat.baths), "kJ"),
            ("boiling down", Some(&heat.boiling), "kJ"),
            ("vapour and gas", Some(&heat.vapour), "kJ"),
            ("warming the contents", Some(&heat.warming), "kJ"),
            ("not followed", Some(&heat.room), "kJ"),
        ],
    )
}
