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

use super::super::books::Account;
use super::super::contents::Contents;
use super::super::ledger::{Encounter, Fact, Weight};
use super::super::program::{Program, VesselId};
use super::state::State;

/// What the waste jar is called in an encounter.
const JAR: &str = "the waste jar";

/// At the end of a route what is left stands for good, in h.
const FOR_GOOD: f64 = 1e4;

/// A portion came to what was in a vessel.
pub(super) fn met(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    there: &Contents,
    (came, from): (&Contents, Account),
) {
    let now = around(state, vessel);
    let before = match from {
        Account::Vessel(from) => around(state, from),
        _ => now,
    };
    let together = mix(&state.vessels[vessel].contents);
    if !concerns(&together, &now) {
        return;
    }
    let told = poured(&mix(there), (&mix(came), &before), (&together, &now));
    let place = state.vessels[vessel].name.clone();
    tell(program, state, &place, told);
}

/// Contents went to the drain; `before` is what the jar held.
pub(super) fn drained(
    program: &Program,
    state: &mut State,
    before: &[(Species, Exact)],
    (came, from): (&Contents, VesselId),
) {
    let waste = Circumstances {
        celsius: program.ambient.temperature.to_f64() - 273.15,
        hours: FOR_GOOD,
        sealed: false,
        waste: true,
        gas: false,
        boiling: false,
    };
    let after = jar(state);
    let from = around(state, from);
    let told = poured(
        &listed(before),
        (&mix(came), &from),
        (&listed(&after), &waste),
    );
    tell(program, state, JAR, told);
}

/// What the waste jar holds.
pub(super) fn jar(state: &State) -> Vec<(Species, Exact)> {
    let balance = state.books.balance(Account::Drain);
    balance
        .map(|(species, moles)| (species.clone(), moles.clone()))
        .collect()
}

/// The contents of a vessel as they were before an operation changed them, with what was around them.
pub(super) struct Before {
    contents: Contents,
    around: Circumstances,
}

/// Remembers a vessel.
pub(super) fn before(state: &State, vessel: VesselId) -> Before {
    Before {
        contents: state.vessels[vessel].contents.clone(),
        around: around(state, vessel),
    }
}

/// To what temperature something in a vessel may not be heated.
pub(super) fn heat_limit(state: &State, vessel: VesselId) -> Option<HeatLimit> {
    hazard::heat_limit(&mix(&state.vessels[vessel].contents))
}

/// Tells what an operation brought about in a vessel.
pub(super) fn after(program: &Program, state: &mut State, vessel: VesselId, before: &Before) {
    let now = around(state, vessel);
    tell_change(program, state, vessel, (before, now));
}

/// The same for a reaction, which may have made gas.
pub(super) fn reacted(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (before, gas): (&Before, bool),
) {
    let now = Circumstances {
        gas,
        ..around(state, vessel)
    };
    tell_change(program, state, vessel, (before, now));
}

/// The same for boiling down.
pub(super) fn boiled(program: &Program, state: &mut State, vessel: VesselId, before: &Before) {
    let now = Circumstances {
        boiling: true,
        ..around(state, vessel)
    };
    tell_change(program, state, vessel, (before, now));
}

fn tell_change(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (before, now): (&Before, Circumstances),
) {
    let is = mix(&state.vessels[vessel].contents);
    if !concerns(&is, &now) {
        return;
    }
    let told = changed((&mix(&before.contents), &before.around), (&is, &now));
    let place = state.vessels[vessel].name.clone();
    tell(program, state, &place, told);
}

/// Tells what comes of leaving every vessel as it is for a while, in s.
pub(super) fn stood(program: &Program, state: &mut State, seconds: &Number) {
    let hours = seconds.to_f64() / 3600.0;
    for id in 0..state.vessels.len() {
        let told = standing(state, id, hours);
        let place = state.vessels[id].name.clone();
        tell(program, state, &place, told);
    }
}

/// Tells what comes of leaving vessels as they are at the end: nothing is refused any more.
pub(super) fn left(program: &Program, state: &mut State, vessels: &[VesselId]) {
    for &id in vessels {
        let told = standing(state, id, FOR_GOOD);
        let place = state.vessels[id].name.clone();
        let tamed = told.into_iter().map(|meeting| Meeting {
            severity: meeting.severity.min(Severity::Danger),
            ..meeting
        });
        let tamed = tamed.collect();
        tell(program, state, &place, tamed);
    }
}

fn standing(state: &State, vessel: VesselId, hours: f64) -> Vec<Meeting> {
    let now = around(state, vessel);
    let later = Circumstances { hours, ..now };
    let contents = mix(&state.vessels[vessel].contents);
    changed((&contents, &now), (&contents, &later))
}

fn around(state: &State, vessel: VesselId) -> Circumstances {
    let vessel = &state.vessels[vessel];
    Circumstances {
        celsius: vessel.temperature.to_f64() - 273.15,
        hours: 0.0,
        sealed: vessel.sealed,
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

fn tell(program: &Program, state: &mut State, place: &str, told: Vec<Meeting>) {
    for meeting in told {
        let accepted = accepts(program, &meeting);
        let refused = match meeting.severity {
            Severity::Forbidden => true,
            Severity::Stop => !accepted,
            _ => false,
        };
        state.refused |= refused;
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
        state.remark(weight, Fact::Hazard(Box::new(encounter)));
    }
}

fn accepts(program: &Program, meeting: &Meeting) -> bool {
    let mut accepted = program.accepted.iter();
    accepted.any(|one| one.rule == meeting.rule)
}
