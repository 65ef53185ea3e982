//! What comes of it when contents meet in a vessel or in the waste jar, grow hot, fall dry or stand.
//!
//! Promises: what the hazard room tells becomes a remark of the operation; what may not be done ends the run there,
//! unless the route accepts it.
//!
//! Knows no chemistry: it only says what is where.

use crate::hazard::{
    self, Circumstances, HeatLimit, Meeting, Mix, Severity, changed, concerns, poured,
};
use crate::matter::Species;
use crate::number::{Exact, Number};

use crate::vessel::Contents;

use super::super::bench::Account;
use super::super::ledger::{Encounter, Fact, Weight};
use super::super::moment::Run;
use super::super::program::{Program, VesselId};

/// What the waste jar is called in an encounter.
const JAR: &str = "the waste jar";

/// At the end of a route what is left stands for good, in h.
const FOR_GOOD: f64 = 1e4;

/// A portion came to what was in a vessel.
pub fn met(
    run: &mut Run<'_>,
    vessel: VesselId,
    there: &Contents,
    (came, from): (&Contents, Account),
) {
    let now = around(run, vessel);
    let before = match from {
        Account::Vessel(from) => around(run, from),
        _ => now,
    };
    let together = mix(run.contents(vessel));
    if !concerns(&together, &now) {
        return;
    }
    let told = poured(&mix(there), (&mix(came), &before), (&together, &now));
    let place = run.name(vessel);
    tell(run, &place, told);
}

/// Contents went to the drain; `before` is what the jar held.
pub fn drained(
    run: &mut Run<'_>,
    before: &[(Species, Exact)],
    (came, from): (&Contents, VesselId),
) {
    let waste = Circumstances {
        celsius: run.program.ambient.temperature.to_f64() - 273.15,
        hours: FOR_GOOD,
        sealed: false,
        waste: true,
        gas: false,
        boiling: false,
    };
    let after = jar(run);
    let from = around(run, from);
    let told = poured(
        &listed(before),
        (&mix(came), &from),
        (&listed(&after), &waste),
    );
    tell(run, JAR, told);
}

/// What the waste jar holds.
pub fn jar(run: &Run<'_>) -> Vec<(Species, Exact)> {
    let balance = run.bench.balance(Account::Drain);
    balance
        .map(|(species, moles)| (species.clone(), moles.clone()))
        .collect()
}

/// The contents of a vessel as they were before an operation changed them, with what was around them.
pub struct Before {
    contents: Contents,
    around: Circumstances,
}

/// Remembers a vessel.
pub fn before(run: &Run<'_>, vessel: VesselId) -> Before {
    Before {
        contents: run.contents(vessel).clone(),
        around: around(run, vessel),
    }
}

/// To what temperature something in a vessel may not be heated.
pub fn heat_limit(run: &Run<'_>, vessel: VesselId) -> Option<HeatLimit> {
    hazard::heat_limit(&mix(run.contents(vessel)))
}

/// Tells what an operation brought about in a vessel.
pub fn after(run: &mut Run<'_>, vessel: VesselId, before: &Before) {
    let now = around(run, vessel);
    tell_change(run, vessel, (before, now));
}

/// The same for a reaction, which may have made gas.
pub fn reacted(run: &mut Run<'_>, vessel: VesselId, (before, gas): (&Before, bool)) {
    let now = Circumstances {
        gas,
        ..around(run, vessel)
    };
    tell_change(run, vessel, (before, now));
}

/// The same for boiling down.
pub fn boiled(run: &mut Run<'_>, vessel: VesselId, before: &Before) {
    let now = Circumstances {
        boiling: true,
        ..around(run, vessel)
    };
    tell_change(run, vessel, (before, now));
}

fn tell_change(run: &mut Run<'_>, vessel: VesselId, (before, now): (&Before, Circumstances)) {
    let is = mix(run.contents(vessel));
    if !concerns(&is, &now) {
        return;
    }
    let told = changed((&mix(&before.contents), &before.around), (&is, &now));
    let place = run.name(vessel);
    tell(run, &place, told);
}

/// Tells what comes of leaving every vessel as it is for a while, in s.
pub fn stood(run: &mut Run<'_>, seconds: &Number) {
    let hours = seconds.to_f64() / 3600.0;
    for id in run.bench.ids() {
        let told = standing(run, id, hours);
        let place = run.name(id);
        tell(run, &place, told);
    }
}

/// Tells what comes of leaving vessels as they are at the end: nothing is refused any more.
pub fn left(run: &mut Run<'_>, vessels: &[VesselId]) {
    for &id in vessels {
        let told = standing(run, id, FOR_GOOD);
        let place = run.name(id);
        let tamed = told.into_iter().map(|meeting| Meeting {
            severity: meeting.severity.min(Severity::Danger),
            ..meeting
        });
        let tamed = tamed.collect();
        tell(run, &place, tamed);
    }
}

fn standing(run: &Run<'_>, vessel: VesselId, hours: f64) -> Vec<Meeting> {
    let now = around(run, vessel);
    let later = Circumstances { hours, ..now };
    let contents = mix(run.contents(vessel));
    changed((&contents, &now), (&contents, &later))
}

fn around(run: &Run<'_>, vessel: VesselId) -> Circumstances {
    let vessel = run.bench.vessel(vessel);
    Circumstances {
        celsius: vessel.temperature().to_f64() - 273.15,
        hours: 0.0,
        sealed: vessel.sealed(),
        waste: false,
        gas: false,
        boiling: false,
    }
}

fn mix(contents: &Contents) -> Mix<'_> {
    Mix::of(
        contents
            .iter()
            .map(|(species, moles)| (species, moles.value())),
    )
}

fn listed(all: &[(Species, Exact)]) -> Mix<'_> {
    Mix::of(all.iter().map(|(species, moles)| (species, moles)))
}

fn tell(run: &mut Run<'_>, place: &str, told: Vec<Meeting>) {
    for meeting in told {
        let accepted = accepts(run.program, &meeting);
        let refused = match meeting.severity {
            Severity::Forbidden => true,
            Severity::Stop => !accepted,
            _ => false,
        };
        run.record.refused |= refused;
        let weight = match (refused, meeting.severity) {
            (true, _) => Weight::Fault,
            (_, Severity::Caution) => Weight::Note,
            _ => Weight::Warning,
        };
        let encounter = Encounter {
            place: place.to_owned(),
            meeting,
            accepted,
            refused,
        };
        run.remark(weight, Fact::Hazard(Box::new(encounter)));
    }
}

fn accepts(program: &Program, meeting: &Meeting) -> bool {
    let mut accepted = program.accepted.iter();
    accepted.any(|one| one.rule == meeting.rule)
}
