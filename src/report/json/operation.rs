//! One operation: its verb, its text, and the figures of its kind.

use schemars::{JsonSchema, Schema};
use serde::Serialize;

use super::answer::AnswerJson;
use super::figures::Uncertainties;
use super::vessel::{AmountJson, GasJson, PortionJson};
use super::{RemarkJson, source_keys};
use crate::matter::{Notation, Species};
use crate::number::{Number, Quantity};
use crate::route::ledger::*;

/// One operation: its verb, its text, its remarks, and the figures of its kind.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "operation")]
pub(super) struct OperationJson {
    /// The verb.
    operation: String,
    /// As written.
    text: String,
    #[serde(flatten)]
    outcome: OutcomeJson,
    remarks: Vec<RemarkJson>,
    /// Keys of `source_keys`: what its figures rest on.
    sources: Vec<String>,
}

/// The figures of each kind of operation.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(rename = "outcome")]
enum OutcomeJson {
    Charged(ChargedJson),
    Reacted(Box<ReactedJson>),
    Thermal(ThermalJson),
    Vented(VentedJson),
    Closure(ClosureJson),
    Moved(MovedJson),
    Washed(WashedJson),
    Dried(DriedJson),
    Evaporated(EvaporatedJson),
    Diluted(DilutedJson),
    Crystallised(CrystallisedJson),
    Titrated(Box<TitratedJson>),
    Found(FoundJson),
    Waited(WaitedJson),
    Noted(NotedJson),
    Blank(BlankJson),
}

/// The verbs, apart by blanks, of the operations that an object is for.
fn of(verbs: &'static str) -> impl Fn(&mut Schema) {
    move |schema| {
        let verbs: Vec<&str> = verbs.split(' ').collect();
        let verbs = serde_json::json!({ "enum": verbs });
        let properties = schema.ensure_object().entry("properties");
        let properties = properties.or_insert_with(|| serde_json::json!({}));
        properties["operation"] = verbs;
    }
}

/// Portions went in.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "charged", transform = of("charge"))]
struct ChargedJson {
    vessel: String,
    measured_out: Vec<PortionJson>,
    /// Of what came to the water in the vessel.
    dissolved: Vec<AmountJson>,
    /// Of dissolving; negative: given off.
    heat_kJ: Option<f64>,
    /// What diluting and mixing took up; negative: given off.
    mixing_kJ: f64,
    temperature_C: f64,
    /// How long it takes, if the route says.
    over_s: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A reaction ran, or found nothing to do.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "reacted", transform = of("react"))]
struct ReactedJson {
    #[serde(flatten)]
    reaction: ReactionJson,
}

/// How a reaction went.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "reaction")]
struct ReactionJson {
    vessel: String,
    /// Balanced, in plain notation.
    equation: String,
    /// What happens to the contents, in ions.
    net: String,
    /// Turns of `equation`; zero where a reagent is absent.
    #[schemars(range(min = 0))]
    extent_mol: f64,
    /// What runs out first.
    limiting: Option<String>,
    leftovers: Vec<AmountJson>,
    /// At 25 °C; negative: given off.
    heat_kJ: Option<f64>,
    gas: Vec<GasJson>,
    start_C: f64,
    /// Where it would come to if nothing cooled it.
    uncooled_C: Option<f64>,
    /// Where a bath holds it.
    held_C: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A bath brought or held a temperature.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "thermal", transform = of("warm cool hold boil"))]
struct ThermalJson {
    vessel: String,
    from_C: f64,
    to_C: f64,
    /// What the bath takes up; negative: what it gives.
    bath_kJ: Option<f64>,
    held: bool,
    /// How long it was kept there, where that is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Gas left.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "vented", transform = of("vent"))]
struct VentedJson {
    vessel: String,
    gas: Vec<GasJson>,
}

/// A vessel was closed or opened.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "closure", transform = of("seal open"))]
struct ClosureJson {
    vessel: String,
    sealed: bool,
}

/// Contents went to other vessels, or to the waste container.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "moved", transform = of("filter decant pour take discard"))]
struct MovedJson {
    vessel: String,
    /// Empty: the waste container.
    into: Vec<ShareJson>,
    /// Liquor that a cake keeps.
    retained_mL: Option<f64>,
    /// Of what came to the water in the vessel.
    dissolved: Vec<AmountJson>,
    /// Of dissolving; negative: given off.
    heat_kJ: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// What one vessel took.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "moved_share")]
struct ShareJson {
    vessel: String,
    g: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A cake was washed.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "washed", transform = of("wash"))]
struct WashedJson {
    vessel: String,
    measured_out: [PortionJson; 1],
    /// Of the cake.
    dissolved: Vec<AmountJson>,
    /// Liquor that the cake keeps.
    retained_mL: f64,
    /// The vessel that took the washings; null: the waste container.
    into: Option<String>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Water went to the air.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "dried", transform = of("dry"))]
struct DriedJson {
    vessel: String,
    /// Water lost.
    water_g: f64,
    /// What the lost water had dissolved.
    residue: Vec<AmountJson>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Water went as vapour.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "evaporated", transform = of("evaporate"))]
struct EvaporatedJson {
    vessel: String,
    temperature_C: f64,
    /// Water lost.
    water_g: f64,
    /// What it takes.
    heat_kJ: Option<f64>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Water was added up to a mark.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "diluted", transform = of("dilute"))]
struct DilutedJson {
    vessel: String,
    measured_out: [PortionJson; 1],
}

/// Crystals came.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "crystallised", transform = of("crystallise"))]
struct CrystallisedJson {
    vessel: String,
    /// The vessel that took the crystals.
    into: String,
    solid: String,
    temperature_C: f64,
    mol: f64,
    g: f64,
    /// What stays dissolved.
    stays_g: f64,
    /// What the bath takes up; negative: what it gives.
    bath_kJ: Option<f64>,
    /// Liquor that the crystals keep.
    retained_mL: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Something was titrated.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "titrated", transform = of("titrate"))]
struct TitratedJson {
    #[serde(flatten)]
    reaction: ReactionJson,
    titration: TitrationJson,
}

/// The end point by the plan and by the readings.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "titration")]
struct TitrationJson {
    bottle: String,
    analyte: String,
    planned_mol: f64,
    found_mol: f64,
    uncertainty_mol: f64,
    /// In the vessel before.
    concentration_mol_per_L: Option<f64>,
    /// At the end point.
    planned_mL: f64,
    readings_mL: Vec<f64>,
    mean_mL: Option<f64>,
    /// Standard deviation of the readings.
    scatter_mL: Option<f64>,
    blank_mL: Option<f64>,
    given: Option<GivenJson>,
    indicator: Option<String>,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// A bottle with its planned and found strength.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "given")]
struct GivenJson {
    bottle: String,
    planned: AnswerJson,
    found: AnswerJson,
}

/// Something was weighed or measured.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "found", transform = of("weigh measure"))]
struct FoundJson {
    /// What was weighed or measured.
    what: String,
    planned: AnswerJson,
    found: AnswerJson,
    /// What a finding booked to the losses; negative if more was found; null if nothing was.
    lost_g: Option<f64>,
    /// Whether the route goes on with what was found; otherwise it stands beside the plan.
    replaces_plan: bool,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Time passed.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "waited", transform = of("wait"))]
struct WaitedJson {
    seconds: f64,
    #[serde(skip_serializing_if = "Uncertainties::is_empty")]
    uncertainty: Uncertainties,
}

/// Words of the route.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "noted", transform = of("note"))]
struct NotedJson {}

/// It could not be carried out; the remarks say why.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "blank")]
struct BlankJson {
    #[schemars(extend("const" = true))]
    blank: bool,
}

impl OperationJson {
    pub(super) fn of(record: &OperationRecord, ledger: &Ledger) -> Self {
        let verb = record.text.split_whitespace().next().unwrap_or("");
        OperationJson {
            operation: verb.trim_end_matches(':').to_owned(),
            text: record.text.clone(),
            outcome: OutcomeJson::of(&record.outcome),
            remarks: ledger.remarks_on(record).map(RemarkJson::of).collect(),
            sources: source_keys(ledger, record.span),
        }
    }
}

impl OutcomeJson {
    fn of(outcome: &Outcome) -> Self {
        let mut beside = Uncertainties::default();
        match outcome {
            Outcome::Charged {
                vessel,
                draws,
                dissolved,
                heat,
                mixing,
                temperature,
                over,
            } => Self::Charged(ChargedJson {
                vessel: vessel.clone(),
                measured_out: draws.iter().map(PortionJson::of).collect(),
                dissolved: amounts(dissolved),
                heat_kJ: beside.perhaps("heat_kJ", heat.known()),
                mixing_kJ: beside.figure("mixing_kJ", mixing),
                temperature_C: beside.celsius("temperature_C", temperature),
                over_s: beside.perhaps("over_s", over.as_ref()),
                uncertainty: beside,
            }),
            Outcome::Reacted(record) => Self::Reacted(Box::new(ReactedJson {
                reaction: ReactionJson::of(record),
            })),
            Outcome::Thermal {
                vessel,
                from,
                to,
                bath,
                held,
                seconds,
            } => Self::Thermal(ThermalJson {
                vessel: vessel.clone(),
                from_C: beside.celsius("from_C", from),
                to_C: beside.celsius("to_C", to),
                bath_kJ: beside.perhaps("bath_kJ", bath.known()),
                held: *held,
                seconds: seconds.as_ref().map(|time| beside.figure("seconds", time)),
                uncertainty: beside,
            }),
            Outcome::Vented { vessel, gas } => Self::Vented(VentedJson {
                vessel: vessel.clone(),
                gas: gas.iter().map(GasJson::of).collect(),
            }),
            Outcome::Closure { vessel, sealed } => Self::Closure(ClosureJson {
                vessel: vessel.clone(),
                sealed: *sealed,
            }),
            Outcome::Moved {
                from,
                to,
                retained,
                dissolved,
                heat,
            } => Self::Moved(MovedJson {
                vessel: from.clone(),
                into: to.iter().map(ShareJson::of).collect(),
                retained_mL: beside.perhaps("retained_mL", retained.as_ref()),
                dissolved: amounts(dissolved),
                heat_kJ: beside.perhaps("heat_kJ", heat.known()),
                uncertainty: beside,
            }),
            Outcome::Washed {
                vessel,
                draw,
                dissolved,
                retained,
                into,
            } => Self::Washed(WashedJson {
                vessel: vessel.clone(),
                measured_out: [PortionJson::of(draw)],
                dissolved: amounts(dissolved),
                retained_mL: beside.figure("retained_mL", retained),
                into: into.clone(),
                uncertainty: beside,
            }),
            Outcome::Dried {
                vessel,
                water,
                residue,
            } => Self::Dried(DriedJson {
                vessel: vessel.clone(),
                water_g: beside.figure("water_g", water),
                residue: amounts(residue),
                uncertainty: beside,
            }),
            Outcome::Evaporated {
                vessel,
                temperature,
                water,
                heat,
            } => Self::Evaporated(EvaporatedJson {
                vessel: vessel.clone(),
                temperature_C: beside.celsius("temperature_C", temperature),
                water_g: beside.figure("water_g", water),
                heat_kJ: beside.perhaps("heat_kJ", heat.known()),
                uncertainty: beside,
            }),
            Outcome::Diluted { vessel, draw } => Self::Diluted(DilutedJson {
                vessel: vessel.clone(),
                measured_out: [PortionJson::of(draw)],
            }),
            Outcome::Crystallised(record) => Self::Crystallised(CrystallisedJson::of(record)),
            Outcome::Titrated(record) => Self::Titrated(Box::new(TitratedJson {
                reaction: ReactionJson::of(&record.reaction),
                titration: TitrationJson::of(record),
            })),
            Outcome::Found {
                what,
                planned,
                found,
                lost,
                replaces,
            } => Self::Found(FoundJson {
                what: what.clone(),
                planned: AnswerJson::of_quantity(planned),
                found: AnswerJson::of_quantity(found),
                lost_g: beside.perhaps("lost_g", lost.as_ref()),
                replaces_plan: *replaces,
                uncertainty: beside,
            }),
            Outcome::Waited { seconds } => Self::Waited(WaitedJson {
                seconds: beside.figure("seconds", seconds),
                uncertainty: beside,
            }),
            Outcome::Noted(_) => Self::Noted(NotedJson {}),
            Outcome::Refused => Self::Blank(BlankJson { blank: true }),
        }
    }
}

fn amounts(all: &[(Species, Number)]) -> Vec<AmountJson> {
    all.iter().map(AmountJson::of).collect()
}

impl ShareJson {
    fn of((vessel, grams): &(String, Number)) -> Self {
        let mut beside = Uncertainties::default();
        ShareJson {
            vessel: vessel.clone(),
            g: beside.figure("g", grams),
            uncertainty: beside,
        }
    }
}

impl ReactionJson {
    fn of(record: &ReactRecord) -> Self {
        let mut beside = Uncertainties::default();
        ReactionJson {
            vessel: record.vessel.clone(),
            equation: record.reaction.to_text(Notation::Plain),
            net: record.net.to_text(Notation::Plain),
            extent_mol: beside.figure("extent_mol", &record.extent),
            limiting: record.limiting.as_ref().map(|one| one.plain().to_owned()),
            leftovers: amounts(&record.leftovers),
            heat_kJ: beside.perhaps("heat_kJ", record.heat.known()),
            gas: record.gas.iter().map(GasJson::of).collect(),
            start_C: beside.celsius("start_C", &record.start),
            uncooled_C: beside.perhaps_celsius("uncooled_C", record.uncooled.as_ref()),
            held_C: beside.perhaps_celsius("held_C", record.held.as_ref()),
            uncertainty: beside,
        }
    }
}

impl TitrationJson {
    fn of(record: &TitrationRecord) -> Self {
        let quantity = |quantity: &Quantity| AnswerJson::of_quantity(quantity);
        let given = record.given.as_ref().map(|given| GivenJson {
            bottle: given.bottle.clone(),
            planned: quantity(&given.planned),
            found: quantity(&given.found),
        });
        let concentration = record.concentration.as_ref();
        let mut beside = Uncertainties::default();
        TitrationJson {
            bottle: record.bottle.clone(),
            analyte: record.analyte.plain().to_owned(),
            planned_mol: beside.figure("planned_mol", &record.planned_analyte),
            found_mol: beside.figure("found_mol", &record.found_analyte),
            uncertainty_mol: record.found_analyte.standard_uncertainty(),
            concentration_mol_per_L: beside.perhaps("concentration_mol_per_L", concentration),
            planned_mL: beside.figure("planned_mL", &record.planned),
            readings_mL: record.readings.iter().map(Number::to_f64).collect(),
            mean_mL: beside.perhaps("mean_mL", record.mean.as_ref()),
            scatter_mL: record.scatter,
            blank_mL: beside.perhaps("blank_mL", record.blank.as_ref()),
            given,
            indicator: record.indicator.clone(),
            uncertainty: beside,
        }
    }
}

impl CrystallisedJson {
    fn of(record: &CrystalRecord) -> Self {
        let mut beside = Uncertainties::default();
        CrystallisedJson {
            vessel: record.vessel.clone(),
            into: record.into.clone(),
            solid: record.solid.plain().to_owned(),
            temperature_C: beside.celsius("temperature_C", &record.temperature),
            mol: beside.figure("mol", &record.moles),
            g: beside.figure("g", &record.grams),
            stays_g: beside.figure("stays_g", &record.stays),
            bath_kJ: beside.perhaps("bath_kJ", record.bath.known()),
            retained_mL: beside.figure("retained_mL", &record.retained),
            uncertainty: beside,
        }
    }
}
