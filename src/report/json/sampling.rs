//! The route run again with its inputs drawn at random.

use schemars::JsonSchema;
use serde::Serialize;

use super::RemarkJson;
use crate::figure;
use crate::number::{Number, Verdict};
use crate::report::sampling::Told;
use crate::route::ledger::{AskedBy, SampledFigure, Sampling};

/// The route run again with its uncertain inputs drawn at random (`--samples`); null without.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "sampling")]
pub(super) struct SamplingJson {
    runs: usize,
    seed: u64,
    /// Runs that went wrong and are left out.
    failed: usize,
    /// The faults in which runs ended, the first of each kind.
    faults: Vec<FaultJson>,
    figures: Vec<FigureJson>,
}

/// A fault in which runs ended.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "sampled_fault")]
struct FaultJson {
    runs: usize,
    #[serde(flatten)]
    fault: RemarkJson,
}

/// A figure by the plan and by the samples; null where too few samples have it.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "sampled_figure")]
struct FigureJson {
    asked_by: AskedByJson,
    expression: String,
    /// Of every figure of this object.
    unit: String,
    /// By the plan, with its standard uncertainty to first order.
    first_order: FirstOrderJson,
    mean: Option<f64>,
    /// Standard deviation of the samples.
    uncertainty: Option<f64>,
    /// 2.5 % of the samples lie below, 2.5 % above.
    symmetric_95: Option<[f64; 2]>,
    /// The shortest interval that holds 95 % of the samples.
    shortest_95: Option<[f64; 2]>,
    /// Within which both ends of the 95 % intervals must agree (JCGM 101:2008, clause 8), for one digit of the uncertainty.
    tolerance: Option<f64>,
    /// How far the lower and the upper ends lie apart.
    apart: Option<[f64; 2]>,
    /// undecided: too few samples to tell.
    verdict: Option<VerdictJson>,
    /// Of an expect with < or >.
    condition: Option<String>,
    /// Share of the samples in which the condition holds.
    holds: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum AskedByJson {
    Show,
    Expect,
    Yield,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum VerdictJson {
    Agrees,
    Differs,
    Undecided,
}

/// A figure by the plan.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "first_order")]
struct FirstOrderJson {
    value: Option<f64>,
    uncertainty: Option<f64>,
}

impl SamplingJson {
    pub(super) fn of(found: &Sampling) -> Self {
        let faults = found.faults.iter().map(|(runs, fault)| FaultJson {
            runs: *runs,
            fault: RemarkJson::of(fault),
        });
        SamplingJson {
            runs: found.asked.count,
            seed: found.asked.seed,
            failed: found.failed,
            faults: faults.collect(),
            figures: found.figures.iter().map(FigureJson::of).collect(),
        }
    }
}

impl FigureJson {
    fn of(one: &SampledFigure) -> Self {
        let told = Told::of(one);
        let told = told.as_ref();
        let sampled = told.map(|told| &told.sampled);
        let pair = |(low, high): (f64, f64)| [low, high];
        let unit = figure::unit_of(&one.planned);
        let planned = figure::in_unit(&one.planned, unit);
        let planned = planned.as_ref();
        FigureJson {
            asked_by: match one.asked_by {
                AskedBy::Show => AskedByJson::Show,
                AskedBy::Expect => AskedByJson::Expect,
                AskedBy::Yield => AskedByJson::Yield,
            },
            expression: one.expression.clone(),
            unit: unit.map_or(String::new(), |unit| unit.symbol()),
            first_order: FirstOrderJson {
                value: planned.map(Number::to_f64),
                uncertainty: planned.map(Number::standard_uncertainty),
            },
            mean: sampled.map(|sampled| sampled.mean),
            uncertainty: sampled.map(|sampled| sampled.standard_uncertainty),
            symmetric_95: sampled.map(|sampled| pair(sampled.symmetric)),
            shortest_95: sampled.map(|sampled| pair(sampled.shortest)),
            tolerance: told.map(|told| told.validation.tolerance),
            apart: told.map(|told| pair(told.validation.apart)),
            verdict: told.map(|told| match told.validation.verdict {
                Verdict::Agrees => VerdictJson::Agrees,
                Verdict::Differs => VerdictJson::Differs,
                Verdict::Undecided => VerdictJson::Undecided,
            }),
            condition: one.condition.clone(),
            holds: one.holds,
        }
    }
}
