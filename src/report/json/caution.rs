//! What to beware of, what protects, what is usual with the waste, and what to stick on the jar: as the sheet words it, with
//! formulas in plain notation.

use schemars::JsonSchema;
use serde::Serialize;

use crate::advice::{self, Kind};
use crate::hazard::{Disposal, Severity};
use crate::matter::{Notation, Species};
use crate::report::caution;
use crate::report::document::{self, Words};
use crate::report::label;
use crate::route::ledger::{Ledger, YieldRecord};

/// One thing to beware of.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "caution")]
pub(super) struct CautionJson {
    kind: KindJson,
    severity: SeverityJson,
    /// The vessel, or the waste jar.
    place: Option<String>,
    /// Rows of the safety tables (R237, T09) and hazard statements (H314).
    keys: Vec<&'static str>,
    text: String,
    sources: Vec<&'static str>,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum KindJson {
    Meeting,
    Gas,
    Heat,
    Filling,
    Pressure,
    Special,
    Substance,
    Contents,
    Neighbour,
}

#[derive(Debug, JsonSchema, Serialize)]
#[serde(rename_all = "lowercase")]
#[schemars(inline)]
enum SeverityJson {
    Caution,
    Danger,
    Stop,
    Forbidden,
}

/// What protects, with the hazard statements that it is for.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "measure")]
pub(super) struct MeasureJson {
    /// Empty where the tables have no advice.
    measure: &'static str,
    statements: Vec<StatementJson>,
}

/// A hazard statement with what carries it.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "statement")]
struct StatementJson {
    /// H314, EUH071
    code: &'static str,
    text: &'static str,
    /// Bottles with their strength, substances, vessels with what is in them.
    of: String,
}

/// Usual practice for what is left; local rules go first.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "waste")]
pub(super) struct WasteJson {
    practice: Vec<PracticeJson>,
    /// Species that no practice is known for and nobody calls harmless.
    without_practice: Vec<String>,
}

/// What is usual with a kind of waste.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "practice")]
struct PracticeJson {
    waste: &'static str,
    species: Vec<String>,
    treatment: &'static str,
    target_pH: Option<&'static str>,
    collect_as: &'static str,
    never_with: Option<&'static str>,
    source: &'static str,
}

/// What to stick on the jar, as the sheet words it.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "label")]
pub(super) struct LabelJson {
    name: Option<&'static str>,
    formula: String,
    strength: String,
    amount: String,
    signal: Option<&'static str>,
    statements: Vec<LabelStatementJson>,
    remarks: Vec<String>,
}

/// A hazard statement.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(deny_unknown_fields, rename = "label_statement")]
struct LabelStatementJson {
    code: &'static str,
    text: &'static str,
}

const WORDS: Words = Words(Notation::Plain);

/// The gravest first.
pub(super) fn cautions(ledger: &Ledger) -> Vec<CautionJson> {
    let all = caution::all(WORDS, ledger).into_iter();
    all.map(CautionJson::of).collect()
}

/// The gravest first.
pub(super) fn measures(ledger: &Ledger) -> Vec<MeasureJson> {
    let all = caution::protections(WORDS, ledger).into_iter();
    all.map(MeasureJson::of).collect()
}

impl CautionJson {
    fn of(caution: caution::Caution) -> Self {
        CautionJson {
            kind: match caution.kind {
                Kind::Meeting => KindJson::Meeting,
                Kind::Gas => KindJson::Gas,
                Kind::Heat => KindJson::Heat,
                Kind::Filling => KindJson::Filling,
                Kind::Pressure => KindJson::Pressure,
                Kind::Special => KindJson::Special,
                Kind::Substance => KindJson::Substance,
                Kind::Contents => KindJson::Contents,
                Kind::Neighbour => KindJson::Neighbour,
            },
            severity: match caution.severity {
                Severity::Caution => SeverityJson::Caution,
                Severity::Danger => SeverityJson::Danger,
                Severity::Stop => SeverityJson::Stop,
                Severity::Forbidden => SeverityJson::Forbidden,
            },
            place: caution.place,
            keys: caution.keys,
            text: caution.text,
            sources: caution.sources,
        }
    }
}

impl MeasureJson {
    fn of(protection: document::Protection) -> Self {
        let statements = protection.statements.into_iter();
        let statements = statements.map(|told| StatementJson {
            code: told.code,
            text: told.text,
            of: told.of,
        });
        MeasureJson {
            measure: protection.measure,
            statements: statements.collect(),
        }
    }
}

impl WasteJson {
    pub(super) fn of(ledger: &Ledger) -> Self {
        let found = advice::waste(ledger);
        WasteJson {
            practice: found.practices.iter().map(PracticeJson::of).collect(),
            without_practice: plain(&found.without_practice),
        }
    }
}

impl PracticeJson {
    fn of((one, species): &(Disposal, Vec<Species>)) -> Self {
        PracticeJson {
            waste: one.waste(),
            species: plain(species),
            treatment: one.treatment(),
            target_pH: one.target_ph(),
            collect_as: one.collect_as(),
            never_with: one.never_with(),
            source: one.source(),
        }
    }
}

fn plain(species: &[Species]) -> Vec<String> {
    species.iter().map(|one| one.plain().to_owned()).collect()
}

impl LabelJson {
    pub(super) fn of(record: &YieldRecord, ledger: &Ledger) -> Self {
        let label = label::label(WORDS, record, ledger);
        let statements = label.statements.into_iter();
        LabelJson {
            name: label.name,
            formula: label.formula,
            strength: label.strength,
            amount: label.amount,
            signal: label.signal,
            statements: statements
                .map(|(code, text)| LabelStatementJson { code, text })
                .collect(),
            remarks: label.remarks,
        }
    }
}
