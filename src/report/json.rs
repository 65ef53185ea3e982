//! A ledger as JSON. The keys are a contract, described in docs/json.md; figures are numbers in the unit their key names,
//! unrounded, and null where they are not known.

use serde::Serialize;
use serde_json::{Map, Value, json};

use super::caution;
use crate::diagnostic;
use crate::matter::{Notation, Species};
use crate::number::{Number, Quantity, unit};
use crate::route::ledger::*;

/// The object of a whole route.
#[derive(Debug, Serialize)]
pub struct RouteJson {
    title: Option<String>,
    ambient: Value,
    measure_out: Vec<Value>,
    steps: Vec<StepJson>,
    vessels: Vec<Value>,
    yields: Vec<Value>,
    shows: Vec<Value>,
    expectations: Vec<Value>,
    remarks: Vec<Value>,
    cautions: Vec<Value>,
    accepted: Vec<String>,
    refused: bool,
    sources: Vec<String>,
}

#[derive(Debug, Serialize)]
struct StepJson {
    title: Option<String>,
    operations: Vec<Value>,
    vessels: Vec<Value>,
}

impl RouteJson {
    /// Everything a program may want to know about a route.
    pub fn of(ledger: &Ledger) -> Self {
        RouteJson {
            title: ledger.title.clone(),
            ambient: json!({
                "temperature_C": celsius(&ledger.ambient.temperature),
                "pressure_kPa": ledger.ambient.pressure.to_f64(),
            }),
            measure_out: ledger.draws.iter().map(draw).collect(),
            steps: ledger.steps.iter().map(step).collect(),
            vessels: ledger.vessels.iter().map(vessel).collect(),
            yields: ledger.yields.iter().map(product).collect(),
            shows: ledger.shows.iter().map(shown).collect(),
            expectations: ledger.expectations.iter().map(expectation).collect(),
            remarks: ledger.remarks.iter().map(remark).collect(),
            cautions: caution::cautions_json(ledger),
            accepted: ledger.accepted.clone(),
            refused: ledger.refused,
            sources: ledger.sources.iter().cloned().collect(),
        }
    }
}

fn celsius(kelvins: &Number) -> f64 {
    (kelvins - &Number::exact(unit::CELSIUS.offset())).to_f64()
}

fn figure(number: Option<&Number>) -> Value {
    number.map_or(Value::Null, |number| json!(number.to_f64()))
}

fn step(step: &StepRecord) -> StepJson {
    StepJson {
        title: step.title.clone(),
        operations: step.operations.iter().map(operation).collect(),
        vessels: step.after.iter().map(vessel).collect(),
    }
}

fn vessel(state: &VesselState) -> Value {
    json!({
        "name": state.name,
        "contents": state.contents.iter().map(content).collect::<Vec<_>>(),
        "temperature_C": celsius(&state.temperature),
        "volume_mL": figure(state.volume.as_ref()),
        "mass_g": state.mass.to_f64(),
        "capacity_mL": figure(state.capacity.as_ref()),
    })
}

fn content(content: &Content) -> Value {
    json!({
        "species": content.species.plain(),
        "mol": content.moles.to_f64(),
        "g": content.grams.to_f64(),
    })
}

fn draw(draw: &Draw) -> Value {
    json!({
        "bottle": draw.bottle,
        "substance": draw.substance.plain(),
        "strength": draw.strength,
        "vessel": draw.vessel,
        "mol": draw.moles.to_f64(),
        "g": draw.grams.to_f64(),
        "mL": figure(draw.millilitres.as_ref()),
    })
}

fn amounts(all: &[(Species, Number)]) -> Vec<Value> {
    let one = |(species, moles): &(Species, Number)| json!({ "species": species.plain(), "mol": moles.to_f64() });
    all.iter().map(one).collect()
}

fn gases(all: &[GasRecord]) -> Vec<Value> {
    let one = |gas: &GasRecord| json!({ "species": gas.species.plain(), "mol": gas.moles.to_f64(), "L": gas.litres.to_f64() });
    all.iter().map(one).collect()
}

/// The verb, the text as written, and the figures of that kind of operation.
fn operation(record: &OperationRecord) -> Value {
    let verb = record.text.split_whitespace().next().unwrap_or("");
    let mut object = Map::new();
    object.insert("operation".into(), json!(verb));
    object.insert("text".into(), json!(record.text));
    if let Value::Object(figures) = outcome(&record.outcome) {
        object.extend(figures);
    }
    object.insert(
        "remarks".into(),
        record.remarks.iter().map(remark).collect(),
    );
    Value::Object(object)
}

fn outcome(outcome: &Outcome) -> Value {
    match outcome {
        Outcome::Charged {
            vessel,
            draws,
            dissolved,
            heat,
            mixing,
            temperature,
            over,
        } => json!({
            "vessel": vessel,
            "measured_out": draws.iter().map(draw).collect::<Vec<_>>(),
            "dissolved": amounts(dissolved),
            "heat_kJ": figure(heat.known()),
            "mixing_kJ": mixing.to_f64(),
            "temperature_C": celsius(temperature),
            "over_s": figure(over.as_ref()),
        }),
        Outcome::Reacted(record) => reaction(record),
        Outcome::Thermal {
            vessel,
            from,
            to,
            bath,
            held,
        } => json!({
            "vessel": vessel,
            "from_C": celsius(from),
            "to_C": celsius(to),
            "bath_kJ": figure(bath.known()),
            "held": held,
        }),
        Outcome::Vented { vessel, gas } => json!({ "vessel": vessel, "gas": gases(gas) }),
        Outcome::Closure { vessel, sealed } => json!({ "vessel": vessel, "sealed": sealed }),
        Outcome::Moved { from, to, retained } => json!({
            "vessel": from,
            "into": to.iter().map(|(name, grams)| json!({ "vessel": name, "g": grams.to_f64() })).collect::<Vec<_>>(),
            "retained_mL": figure(retained.as_ref()),
        }),
        Outcome::Washed {
            vessel,
            draw: portion,
            dissolved,
            into,
        } => json!({
            "vessel": vessel,
            "measured_out": [draw(portion)],
            "dissolved": amounts(dissolved),
            "into": into,
        }),
        Outcome::Dried {
            vessel,
            water,
            residue,
        } => json!({
            "vessel": vessel,
            "water_g": water.to_f64(),
            "residue": amounts(residue),
        }),
        Outcome::Evaporated {
            vessel,
            water,
            heat,
        } => json!({
            "vessel": vessel,
            "water_g": water.to_f64(),
            "heat_kJ": figure(heat.known()),
        }),
        Outcome::Diluted {
            vessel,
            draw: portion,
        } => json!({ "vessel": vessel, "measured_out": [draw(portion)] }),
        Outcome::Crystallised(record) => crystals(record),
        Outcome::Titrated(record) => titration(record),
        Outcome::Found {
            what,
            planned,
            found,
        } => json!({
            "what": what,
            "planned": answer(&Answer::Quantity(planned.clone())),
            "found": answer(&Answer::Quantity(found.clone())),
        }),
        Outcome::Waited { seconds } => json!({ "seconds": seconds.to_f64() }),
        Outcome::Noted(_) => json!({}),
        Outcome::Blank => json!({ "blank": true }),
    }
}

fn reaction(record: &ReactRecord) -> Value {
    json!({
        "vessel": record.vessel,
        "equation": record.reaction.to_text(Notation::Plain),
        "net": record.net.to_text(Notation::Plain),
        "extent_mol": record.extent.to_f64(),
        "limiting": record.limiting.as_ref().map(Species::plain),
        "leftovers": amounts(&record.leftovers),
        "heat_kJ": figure(record.heat.known()),
        "gas": gases(&record.gas),
        "start_C": celsius(&record.start),
        "uncooled_C": record.uncooled.as_ref().map(celsius),
        "held_C": record.held.as_ref().map(celsius),
    })
}

fn titration(record: &TitrationRecord) -> Value {
    let mut object = match reaction(&record.reaction) {
        Value::Object(object) => object,
        _ => Map::new(),
    };
    let given = record.given.as_ref().map(|given| {
        json!({
            "bottle": given.bottle,
            "planned": answer(&Answer::Quantity(given.planned.clone())),
            "found": answer(&Answer::Quantity(given.found.clone())),
        })
    });
    object.insert(
        "titration".into(),
        json!({
            "bottle": record.bottle,
            "analyte": record.analyte.plain(),
            "planned_mol": record.planned_analyte.to_f64(),
            "found_mol": record.found_analyte.to_f64(),
            "uncertainty_mol": record.found_analyte.standard_uncertainty(),
            "concentration_mol_per_L": figure(record.concentration.as_ref()),
            "planned_mL": record.planned.to_f64(),
            "readings_mL": record.readings.iter().map(Number::to_f64).collect::<Vec<_>>(),
            "mean_mL": figure(record.mean.as_ref()),
            "scatter_mL": record.scatter,
            "blank_mL": figure(record.blank.as_ref()),
            "given": given,
            "indicator": record.indicator,
        }),
    );
    Value::Object(object)
}

fn crystals(record: &CrystalRecord) -> Value {
    json!({
        "vessel": record.vessel,
        "into": record.into,
        "solid": record.solid.plain(),
        "temperature_C": celsius(&record.temperature),
        "mol": record.moles.to_f64(),
        "g": record.grams.to_f64(),
        "stays_g": record.stays.to_f64(),
        "bath_kJ": figure(record.bath.known()),
        "retained_mL": record.retained.to_f64(),
    })
}

fn product(record: &YieldRecord) -> Value {
    json!({
        "vessel": record.vessel,
        "product": record.product.plain(),
        "basis": record.basis.plain(),
        "theoretical_g": record.theoretical.1.to_f64(),
        "found_g": record.found.1.to_f64(),
        "fraction": figure(record.fraction.as_ref()),
        "weighed": record.weighed,
    })
}

fn shown(shown: &Shown) -> Value {
    let mut object = Map::new();
    object.insert("expression".into(), json!(shown.expression));
    object.extend(answer(&shown.answer));
    Value::Object(object)
}

fn expectation(expectation: &Expectation) -> Value {
    let mut object = Map::new();
    object.insert("expression".into(), json!(expectation.expression));
    object.extend(answer(&expectation.value));
    object.insert("wanted".into(), Value::Object(answer(&expectation.wanted)));
    object.insert("met".into(), json!(expectation.met));
    Value::Object(object)
}

/// `value`, `unit` and, if there is one, `uncertainty`: one standard uncertainty in the same unit.
fn answer(answer: &Answer) -> Map<String, Value> {
    let mut object = Map::new();
    match answer {
        Answer::Quantity(quantity) => {
            let (number, unit) = in_a_unit(quantity);
            object.insert("value".into(), json!(number.to_f64()));
            object.insert("unit".into(), json!(unit));
            if !number.is_exact() {
                object.insert("uncertainty".into(), json!(number.standard_uncertainty()));
            }
        }
        Answer::Budget(shares) => {
            let share = |(input, share): &(String, f64)| json!({ "input": input, "share": share });
            object.insert("value".into(), shares.iter().map(share).collect());
            object.insert("unit".into(), Value::Null);
        }
        Answer::Unknown => {
            object.insert("value".into(), Value::Null);
            object.insert("unit".into(), Value::Null);
        }
    }
    object
}

/// In the unit it was written in, else in a usual one of its dimension, else in SI units without a symbol.
fn in_a_unit(quantity: &Quantity) -> (Number, &'static str) {
    const USUAL: [&unit::Unit; 11] = [
        &unit::GRAM,
        &unit::MILLILITRE,
        &unit::MOLE,
        &unit::CELSIUS,
        &unit::KILOJOULE,
        &unit::KILOPASCAL,
        &unit::MOLAR,
        &unit::GRAM_PER_MILLILITRE,
        &unit::GRAM_PER_MOLE,
        &unit::KILOJOULE_PER_MOLE,
        &unit::SECOND,
    ];
    let usual = USUAL
        .into_iter()
        .find(|unit| unit.dimension == quantity.dimension());
    match quantity
        .written_in()
        .or(usual)
        .and_then(|unit| Some((quantity.in_unit(unit).ok()?, unit.symbol)))
    {
        Some(found) => found,
        None => (quantity.number().clone(), ""),
    }
}

fn remark(remark: &Remark) -> Value {
    let message = diagnostic::route_fact(&remark.fact, remark.weight, Notation::Plain);
    let weight = match remark.weight {
        Weight::Note => "note",
        Weight::Warning => "warning",
        Weight::Fault => "fault",
    };
    json!({ "weight": weight, "kind": message.kind, "message": message.title })
}
