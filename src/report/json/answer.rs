//! Answers to `show`, `expect`, `find` and `vary`.

use schemars::JsonSchema;
use serde::Serialize;

use super::RemarkJson;
use super::source_keys;
use crate::figure;
use crate::number::Quantity;
use crate::route::ledger::*;

/// What an expression came to.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "answer")]
pub(super) struct AnswerJson {
    /// A number; a list of shares for `budget(...)`; null where it is not known.
    value: ValueJson,
    /// The unit of `value`; empty for a plain number, null where there is none.
    unit: Option<String>,
    /// One standard uncertainty in the same unit; absent where `value` has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0))]
    uncertainty: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(inline)]
enum ValueJson {
    Number(Option<f64>),
    Shares(Vec<ShareJson>),
}

/// The share of an input in the variance.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "share")]
struct ShareJson {
    input: String,
    #[schemars(range(min = 0))]
    share: f64,
}

/// The answer to one expression of `show`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "shown")]
pub(super) struct ShownJson {
    /// As written.
    expression: String,
    #[serde(flatten)]
    answer: AnswerJson,
    /// Keys of `source_keys`: what its figures rest on.
    sources: Vec<String>,
}

/// The answer to `expect`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "expectation")]
pub(super) struct ExpectationJson {
    /// As written.
    expression: String,
    /// The left side.
    #[serde(flatten)]
    answer: AnswerJson,
    /// The right side.
    wanted: AnswerJson,
    met: bool,
    /// Keys of `source_keys`: what its figures rest on.
    sources: Vec<String>,
}

/// The answer to `find`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "finding")]
pub(super) struct FindingJson {
    unknowns: Vec<UnknownJson>,
    conditions: Vec<ConditionJson>,
    /// How often the route was run.
    runs: usize,
    met: bool,
}

/// A value that was looked for; the sheet is made with it.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "unknown")]
struct UnknownJson {
    name: String,
    #[serde(flatten)]
    answer: AnswerJson,
}

/// What the left side of a condition comes to.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "condition")]
struct ConditionJson {
    /// As written.
    condition: String,
    #[serde(flatten)]
    answer: AnswerJson,
}

/// The answer to `vary`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "comparison")]
pub(super) struct ComparisonJson {
    /// Names; the last changes fastest.
    varied: Vec<String>,
    /// Expressions as written.
    shown: Vec<String>,
    rows: Vec<RunJson>,
}

/// One run of a `vary`.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "run")]
struct RunJson {
    /// One for each of `varied`.
    values: Vec<AnswerJson>,
    /// One for each of `shown`; none where the run could not be made.
    answers: Vec<AnswerJson>,
    /// What went wrong in this run.
    faults: Vec<RemarkJson>,
}

impl AnswerJson {
    pub(super) fn of(answer: &Answer) -> Self {
        match answer {
            Answer::Quantity(quantity) => Self::of_quantity(quantity),
            Answer::Budget(shares) => {
                let shares = shares.iter().map(|(input, share)| ShareJson {
                    input: input.clone(),
                    share: *share,
                });
                Self::without_unit(ValueJson::Shares(shares.collect()))
            }
            Answer::Unknown => Self::without_unit(ValueJson::Number(None)),
        }
    }

    pub(super) fn of_quantity(quantity: &Quantity) -> Self {
        let unit = figure::unit_of(quantity);
        let number = figure::in_unit(quantity, unit).unwrap_or(quantity.number().clone());
        AnswerJson {
            value: ValueJson::Number(Some(number.to_f64())),
            unit: Some(unit.map_or(String::new(), |unit| unit.symbol())),
            uncertainty: (!number.is_exact()).then(|| number.standard_uncertainty()),
        }
    }

    fn without_unit(value: ValueJson) -> Self {
        AnswerJson {
            value,
            unit: None,
            uncertainty: None,
        }
    }
}

impl ShownJson {
    pub(super) fn of(shown: &Shown, ledger: &Ledger) -> Self {
        ShownJson {
            expression: shown.expression.clone(),
            answer: AnswerJson::of(&shown.answer),
            sources: source_keys(ledger, shown.span),
        }
    }
}

impl ExpectationJson {
    pub(super) fn of(expectation: &Expectation, ledger: &Ledger) -> Self {
        ExpectationJson {
            expression: expectation.expression.clone(),
            answer: AnswerJson::of(&expectation.value),
            wanted: AnswerJson::of(&expectation.wanted),
            met: expectation.met,
            sources: source_keys(ledger, expectation.span),
        }
    }
}

impl FindingJson {
    pub(super) fn of(finding: &Finding) -> Self {
        let unknowns = finding.unknowns.iter().map(|(name, value)| UnknownJson {
            name: name.clone(),
            answer: AnswerJson::of_quantity(value),
        });
        let conditions = finding.conditions.iter();
        let conditions = conditions.map(|(condition, left)| ConditionJson {
            condition: condition.clone(),
            answer: AnswerJson::of(left),
        });
        FindingJson {
            unknowns: unknowns.collect(),
            conditions: conditions.collect(),
            runs: finding.runs,
            met: finding.met,
        }
    }
}

impl ComparisonJson {
    pub(super) fn of(comparison: &Comparison) -> Self {
        let rows = comparison.rows.iter().map(|run| RunJson {
            values: run.values.iter().map(AnswerJson::of_quantity).collect(),
            answers: run.answers.iter().map(AnswerJson::of).collect(),
            faults: run.faults.iter().map(RemarkJson::of).collect(),
        });
        ComparisonJson {
            varied: comparison.varied.clone(),
            shown: comparison.shown.clone(),
            rows: rows.collect(),
        }
    }
}
