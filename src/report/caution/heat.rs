//! How far each reaction could run away, by the scale of thermal process safety.

use crate::figure;
use crate::hazard::{self, Course, HeatLimit, Severity};
use crate::number::{Number, unit};
use crate::report::document::Detail;
use crate::route::ledger::*;

use super::Caution;

/// The course of every reaction that is worth a word.
pub(super) fn courses(ledger: &Ledger) -> Vec<Caution> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let reactions = operations.filter_map(|operation| match &operation.outcome {
        Outcome::Reacted(record) => Some(&**record),
        Outcome::Titrated(record) => Some(&record.reaction),
        _ => None,
    });
    reactions
        .filter_map(|record| course(record, Detail::Full))
        .collect()
}

/// One reaction: `None` where the rise is small and far from boiling, or not known.
pub(super) fn course(record: &ReactRecord, detail: Detail) -> Option<Caution> {
    let uncooled = record.uncooled.as_ref()?;
    let decomposes = record.heat_limit.as_ref();
    let told = hazard::runaway(Course {
        start: celsius(&record.start),
        highest: celsius(uncooled),
        boiling: celsius(&record.boiling),
        decomposes: decomposes.map(|limit| limit.celsius),
    });
    let severity = told.severity?;
    let rise = figure::rise(&(uncooled - &record.start));
    // Without a temperature of decomposition a class can only be worse than it looks.
    let class = match decomposes {
        Some(_) => format!("class {}", told.class),
        None => format!("class {} at best", told.class),
    };
    let (meaning, rule) = (told.meaning, told.rule);
    let text = match detail {
        Detail::Short => {
            // What the row advises stands behind its last colon.
            let advice = meaning.rsplit(':').next().unwrap_or(meaning).trim();
            format!("uncooled and all at once it rises by {rise}, {class}: {advice} [{rule}]")
        }
        Detail::Full => format!(
            "{}: uncooled and all at once the reaction warms it by {rise} to {}; it boils at {}, and {}: criticality \
             {class}; {meaning} [{rule}]",
            record.vessel,
            figure::temperature(uncooled),
            figure::temperature(&record.boiling),
            decomposition(decomposes),
        ),
    };
    Some(Caution {
        kind: "heat",
        // Nothing is refused for its heat alone: how fast the reagent goes in decides.
        severity: severity.min(Severity::Danger),
        place: Some(record.vessel.clone()),
        keys: vec![told.rule],
        text,
        sources: vec![told.source],
    })
}

fn decomposition(limit: Option<&HeatLimit>) -> String {
    match limit {
        Some(limit) => format!(
            "{} may not be heated to {:.0} °C ({})",
            limit.what,
            limit.celsius,
            limit.rule.key()
        ),
        None => "no temperature of decomposition is known for what is in it".to_owned(),
    }
}

fn celsius(kelvins: &Number) -> f64 {
    (kelvins - &Number::exact(unit::CELSIUS.offset())).to_f64()
}
