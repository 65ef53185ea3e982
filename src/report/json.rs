//! A ledger as JSON. The keys are a contract, described in docs/json.md and, key by key, in the schemas that are made from
//! these types; figures are numbers in the unit their key names, unrounded, and null where they are not known.

#![allow(non_snake_case, reason = "a key ends in the unit of its figure")]

mod answer;
mod balance;
mod caution;
mod figures;
mod heat;
mod operation;
mod sampling;
mod scale;
mod schema;
mod solution;
mod vessel;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use self::answer::{ComparisonJson, ExpectationJson, FindingJson, ShownJson};
use self::caution::{CautionJson, LabelJson, MeasureJson, WasteJson};
use self::heat::StepHeatJson;
use self::operation::OperationJson;
use self::sampling::SamplingJson;
use self::solution::SolutionJson;
use self::vessel::{AmbientJson, OutletJson, PortionJson, VesselJson, YieldJson};
use super::heat_json::HeatJson;
use crate::data;
use crate::diagnostic;
use crate::matter::Notation;
use crate::route::ledger::*;
use crate::text::Span;

pub use self::balance::{
    AnswerJson as BalanceAnswerJson, BalanceJson, FaultJson, LineAnswerJson, LineJson, RefusedJson,
    quick_json,
};
pub use self::scale::ScaleJson;
pub use self::schema::schemas;

/// What `aludel run FILE --format json` prints. Figures stand in the unit that their key names, unrounded, and are null where
/// they are not known. New keys may come; none changes its meaning.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, title = "The bench sheet of a route")]
pub struct RouteJson {
    title: Option<String>,
    ambient: AmbientJson,
    /// What can hurt somebody, the gravest first.
    cautions: Vec<CautionJson>,
    /// What protects, the gravest first, each with the hazard statements that it is for.
    measures: Vec<MeasureJson>,
    /// The words of every accept hazard.
    accepted: Vec<String>,
    /// Whether the run ended at a meeting that may not be; what follows it was not carried out.
    refused: bool,
    /// Every portion, in the order of use.
    measure_out: Vec<PortionJson>,
    steps: Vec<StepJson>,
    /// All of them, at the end.
    vessels: Vec<VesselJson>,
    yields: Vec<YieldJson>,
    labels: Vec<LabelJson>,
    shows: Vec<ShownJson>,
    expectations: Vec<ExpectationJson>,
    /// The answers to scale.
    scales: Vec<ScaleJson>,
    /// The answers to heat, each as `aludel heat --json` prints it.
    heats: Vec<HeatJson>,
    /// The answers to solution.
    solutions: Vec<SolutionJson>,
    /// The answers to vary.
    comparisons: Vec<ComparisonJson>,
    /// The answers to find.
    found: Vec<FindingJson>,
    sampling: Option<SamplingJson>,
    /// What left the vessels.
    left: Vec<OutletJson>,
    waste: WasteJson,
    remarks: Vec<RemarkJson>,
    /// Publications whose data were used.
    sources: Vec<String>,
    /// The citation of each source key.
    source_keys: BTreeMap<String, String>,
}

/// One step.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "step")]
struct StepJson {
    /// null outside any step.
    title: Option<String>,
    operations: Vec<OperationJson>,
    /// Those touched in it, as they are after it.
    vessels: Vec<VesselJson>,
    heat: StepHeatJson,
}

/// Something worth saying.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "remark")]
struct RemarkJson {
    #[serde(rename = "weight")]
    level: LevelJson,
    /// A stable word.
    kind: &'static str,
    message: String,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum LevelJson {
    Note,
    Warning,
    Fault,
}

impl RouteJson {
    /// Everything a program may want to know about a route.
    pub fn of(ledger: &Ledger) -> Self {
        let (vessels, yields) = (ledger.vessels.iter(), ledger.yields.iter());
        let labels = ledger.yields.iter();
        let (shows, expectations) = (ledger.shows.iter(), ledger.expectations.iter());
        let keyed = ledger.sources.iter();
        let keyed = keyed.map(|citation| (key(citation), citation.clone()));
        RouteJson {
            title: ledger.title.clone(),
            ambient: AmbientJson::of(&ledger.ambient),
            cautions: caution::cautions(ledger),
            measures: caution::measures(ledger),
            accepted: ledger.accepted.clone(),
            refused: ledger.refused,
            measure_out: ledger.draws.iter().map(PortionJson::of).collect(),
            steps: ledger
                .steps
                .iter()
                .map(|one| StepJson::of(one, ledger))
                .collect(),
            vessels: vessels.map(VesselJson::of).collect(),
            yields: yields.map(YieldJson::of).collect(),
            labels: labels.map(|one| LabelJson::of(one, ledger)).collect(),
            shows: shows.map(|one| ShownJson::of(one, ledger)).collect(),
            expectations: expectations
                .map(|one| ExpectationJson::of(one, ledger))
                .collect(),
            scales: ledger.scales.iter().map(ScaleJson::of).collect(),
            heats: ledger.energetics.iter().map(HeatJson::of).collect(),
            solutions: ledger.solutions.iter().map(SolutionJson::of).collect(),
            comparisons: ledger.comparisons.iter().map(ComparisonJson::of).collect(),
            found: ledger.findings.iter().map(FindingJson::of).collect(),
            sampling: match &ledger.sampling {
                Some(Ok(found)) => Some(SamplingJson::of(found)),
                _ => None,
            },
            left: ledger.outlets.iter().map(OutletJson::of).collect(),
            waste: WasteJson::of(ledger),
            remarks: ledger.remarks.iter().map(RemarkJson::of).collect(),
            sources: ledger.sources.iter().cloned().collect(),
            source_keys: keyed.collect(),
        }
    }
}

/// The short name of a publication; what has none, such as data of the route's own, is its own name.
fn key(citation: &str) -> String {
    data::code_of(citation).unwrap_or(citation).to_owned()
}

/// The keys of the sources that the statement at this place rests on.
fn source_keys(ledger: &Ledger, place: Span) -> Vec<String> {
    // Statements do not overlap, so the last that begins no later is the only one that can hold the place.
    let cited = ledger.cited.range(..=Span::new(place.start, usize::MAX));
    let statement = cited.last().filter(|(span, _)| place.end <= span.end);
    let mut keys: Vec<String> = statement
        .into_iter()
        .flat_map(|(_, sources)| sources)
        .map(|source| key(source))
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

impl StepJson {
    fn of(step: &StepRecord, ledger: &Ledger) -> Self {
        let operations = step.operations.iter();
        StepJson {
            title: step.title.clone(),
            operations: operations
                .map(|one| OperationJson::of(one, ledger))
                .collect(),
            vessels: step.after.iter().map(VesselJson::of).collect(),
            heat: StepHeatJson::of(&step.heat),
        }
    }
}

impl RemarkJson {
    fn of(remark: &Remark) -> Self {
        let message = diagnostic::route_fact(&remark.fact, remark.level, Notation::Plain);
        RemarkJson {
            level: match remark.level {
                Level::Note => LevelJson::Note,
                Level::Warning => LevelJson::Warning,
                Level::Fault => LevelJson::Fault,
            },
            kind: message.kind,
            message: message.title,
        }
    }
}
