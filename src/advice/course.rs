//! How far each reaction could run away, by the scale of thermal process safety.

use crate::hazard::{self, Course, Runaway, Severity};
use crate::number::{Number, unit};
use crate::route::ledger::{Ledger, Outcome, ReactRecord};

use super::caution::{About, Caution};

/// A reaction all at once and uncooled.
#[derive(Clone, Debug)]
pub struct RunawayCourse<'l> {
    /// The reaction, with its vessel and its temperatures.
    pub record: &'l ReactRecord,
    /// Where it would end, in K.
    pub uncooled: &'l Number,
    /// How much warmer that is than where it starts, in K.
    pub rise: Number,
    /// Its criticality class and what that means; without a temperature of decomposition the best that it can be.
    pub class: Runaway,
}

/// The course of every reaction that is grave enough.
pub(super) fn courses(ledger: &Ledger) -> impl Iterator<Item = Caution<'_>> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let reactions = operations.filter_map(|operation| match &operation.outcome {
        Outcome::Reacted(record) => Some(&**record),
        Outcome::Titrated(record) => Some(&record.reaction),
        _ => None,
    });
    reactions.filter_map(course)
}

/// One reaction: `None` where the rise is small and far from boiling, or not known.
pub(super) fn course(record: &ReactRecord) -> Option<Caution<'_>> {
    let uncooled = record.uncooled.as_ref()?;
    let decomposes = record.heat_limit.as_ref();
    let class = hazard::runaway(Course {
        start: celsius(&record.start),
        highest: celsius(uncooled),
        boiling: celsius(&record.boiling.kelvin),
        decomposes: decomposes.map(|limit| limit.celsius),
    });
    // Nothing is refused for its heat alone: how fast the reagent goes in decides.
    let severity = class.severity?.min(Severity::Danger);
    let course = RunawayCourse {
        record,
        uncooled,
        rise: uncooled - &record.start,
        class,
    };
    Some(Caution {
        severity,
        about: About::Runaway(course),
    })
}

fn celsius(kelvins: &Number) -> f64 {
    (kelvins - &Number::exact(unit::CELSIUS.offset())).to_f64()
}
