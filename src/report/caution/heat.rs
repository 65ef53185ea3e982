//! How far each reaction could run away, by the scale of thermal process safety.

use crate::hazard::{self, Severity};
use crate::number::{Number, unit};
use crate::report::figure;
use crate::route::ledger::*;

use super::Caution;

/// The course of every reaction that is worth a word.
pub(super) fn courses(ledger: &Ledger) -> Vec<Caution> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations
        .filter_map(|operation| course(&operation.outcome))
        .collect()
}

/// One reaction: `None` where the rise is small and far from boiling, or not known.
pub(super) fn course(outcome: &Outcome) -> Option<Caution> {
    let Outcome::Reacted(record) = outcome else {
        return None;
    };
    let uncooled = record.uncooled.as_ref()?;
    let told = hazard::runaway(
        celsius(&record.start),
        celsius(uncooled),
        celsius(&record.boiling),
    );
    let severity = match (told.severity, told.class) {
        (None, 1) => return None,
        (severity, 3) => severity.unwrap_or(Severity::Caution).max(Severity::Danger),
        (severity, _) => severity.unwrap_or(Severity::Caution),
    };
    let (rise, class) = (&(uncooled - &record.start), told.class);
    let text = format!(
        "{}: all at once and uncooled the reaction warms it by {}, criticality class {class} if nothing in it \
         decomposes below that; {} [{}]",
        record.vessel,
        figure::rise(rise),
        told.meaning,
        told.rule,
    );
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

fn celsius(kelvins: &Number) -> f64 {
    (kelvins - &Number::exact(unit::CELSIUS.offset())).to_f64()
}
