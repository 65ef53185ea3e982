//! One operation as JSON: its verb, its text, and the figures of its kind.

use serde_json::{Value, json};

use super::object::{Object, list};
use super::{answer, draw, remark, source_keys};
use crate::matter::{Notation, Species};
use crate::number::Number;
use crate::route::ledger::*;

pub(super) fn operation(record: &OperationRecord, ledger: &Ledger) -> Value {
    let verb = record.text.split_whitespace().next().unwrap_or("");
    let mut object = Object::default()
        .with("operation", verb.trim_end_matches(':'))
        .with("text", &record.text)
        .done();
    let more = Object::default()
        .with("remarks", list(&record.remarks, remark))
        .with("sources", source_keys(ledger, record.span))
        .done();
    for value in [outcome(&record.outcome), more] {
        if let (Value::Object(object), Value::Object(keys)) = (&mut object, value) {
            object.extend(keys);
        }
    }
    object
}

fn outcome(outcome: &Outcome) -> Value {
    let object = Object::default();
    match outcome {
        Outcome::Charged {
            vessel,
            draws,
            dissolved,
            heat,
            mixing,
            temperature,
            over,
        } => object
            .with("vessel", vessel)
            .with("measured_out", list(draws, draw))
            .with("dissolved", list(dissolved, amount))
            .perhaps("heat_kJ", heat.known())
            .figure("mixing_kJ", mixing)
            .celsius("temperature_C", temperature)
            .perhaps("over_s", over.as_ref())
            .done(),
        Outcome::Reacted(record) => reaction(record),
        Outcome::Thermal {
            vessel,
            from,
            to,
            bath,
            held,
        } => object
            .with("vessel", vessel)
            .celsius("from_C", from)
            .celsius("to_C", to)
            .perhaps("bath_kJ", bath.known())
            .with("held", held)
            .done(),
        Outcome::Vented { vessel, gas } => object
            .with("vessel", vessel)
            .with("gas", list(gas, gas_given))
            .done(),
        Outcome::Closure { vessel, sealed } => json!({ "vessel": vessel, "sealed": sealed }),
        Outcome::Moved {
            from,
            to,
            retained,
            dissolved,
            heat,
        } => object
            .with("vessel", from)
            .with("into", list(to, portion))
            .perhaps("retained_mL", retained.as_ref())
            .with("dissolved", list(dissolved, amount))
            .perhaps("heat_kJ", heat.known())
            .done(),
        Outcome::Washed {
            vessel,
            draw: portion,
            dissolved,
            retained,
            into,
        } => object
            .with("vessel", vessel)
            .with("measured_out", [draw(portion)])
            .with("dissolved", list(dissolved, amount))
            .figure("retained_mL", retained)
            .with("into", into)
            .done(),
        Outcome::Dried {
            vessel,
            water,
            residue,
        } => object
            .with("vessel", vessel)
            .figure("water_g", water)
            .with("residue", list(residue, amount))
            .done(),
        Outcome::Evaporated {
            vessel,
            temperature,
            water,
            heat,
        } => object
            .with("vessel", vessel)
            .celsius("temperature_C", temperature)
            .figure("water_g", water)
            .perhaps("heat_kJ", heat.known())
            .done(),
        Outcome::Diluted {
            vessel,
            draw: portion,
        } => object
            .with("vessel", vessel)
            .with("measured_out", [draw(portion)])
            .done(),
        Outcome::Crystallised(record) => crystals(record),
        Outcome::Titrated(record) => Object::from(reaction(&record.reaction))
            .with("titration", titration(record))
            .done(),
        Outcome::Found {
            what,
            planned,
            found,
            lost,
            replaces,
        } => object
            .with("what", what)
            .with("planned", answer(&Answer::Quantity(planned.clone())))
            .with("found", answer(&Answer::Quantity(found.clone())))
            .perhaps("lost_g", lost.as_ref())
            .with("replaces_plan", replaces)
            .done(),
        Outcome::Waited { seconds } => object.figure("seconds", seconds).done(),
        Outcome::Noted(_) => json!({}),
        Outcome::Blank => json!({ "blank": true }),
    }
}

fn portion((name, grams): &(String, Number)) -> Value {
    Object::default()
        .with("vessel", name)
        .figure("g", grams)
        .done()
}

fn amount((species, moles): &(Species, Number)) -> Value {
    Object::default()
        .with("species", species.plain())
        .figure("mol", moles)
        .done()
}

fn gas_given(gas: &GasRecord) -> Value {
    Object::default()
        .with("species", gas.species.plain())
        .figure("mol", &gas.moles)
        .figure("L", &gas.litres)
        .done()
}

fn reaction(record: &ReactRecord) -> Value {
    Object::default()
        .with("vessel", &record.vessel)
        .with("equation", record.reaction.to_text(Notation::Plain))
        .with("net", record.net.to_text(Notation::Plain))
        .figure("extent_mol", &record.extent)
        .with("limiting", record.limiting.as_ref().map(Species::plain))
        .with("leftovers", list(&record.leftovers, amount))
        .perhaps("heat_kJ", record.heat.known())
        .with("gas", list(&record.gas, gas_given))
        .celsius("start_C", &record.start)
        .perhaps_celsius("uncooled_C", record.uncooled.as_ref())
        .perhaps_celsius("held_C", record.held.as_ref())
        .done()
}

fn titration(record: &TitrationRecord) -> Value {
    let given = record.given.as_ref().map(|given| {
        json!({
            "bottle": given.bottle,
            "planned": answer(&Answer::Quantity(given.planned.clone())),
            "found": answer(&Answer::Quantity(given.found.clone())),
        })
    });
    let readings: Vec<f64> = record.readings.iter().map(Number::to_f64).collect();
    Object::default()
        .with("bottle", &record.bottle)
        .with("analyte", record.analyte.plain())
        .figure("planned_mol", &record.planned_analyte)
        .figure("found_mol", &record.found_analyte)
        .with(
            "uncertainty_mol",
            record.found_analyte.standard_uncertainty(),
        )
        .perhaps("concentration_mol_per_L", record.concentration.as_ref())
        .figure("planned_mL", &record.planned)
        .with("readings_mL", readings)
        .perhaps("mean_mL", record.mean.as_ref())
        .with("scatter_mL", record.scatter)
        .perhaps("blank_mL", record.blank.as_ref())
        .with("given", given)
        .with("indicator", &record.indicator)
        .done()
}

fn crystals(record: &CrystalRecord) -> Value {
    Object::default()
        .with("vessel", &record.vessel)
        .with("into", &record.into)
        .with("solid", record.solid.plain())
        .celsius("temperature_C", &record.temperature)
        .figure("mol", &record.moles)
        .figure("g", &record.grams)
        .figure("stays_g", &record.stays)
        .perhaps("bath_kJ", record.bath.known())
        .figure("retained_mL", &record.retained)
        .done()
}
