//! `react V: EQUATION, to P %, limited by X`: the one extent that the contents of a vessel allow.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::vessel::phases::PhasePoint;
use crate::vessel::{Cited, Contents, Heat, reagent};

use super::super::ledger::{Fact, Outcome, ReactRecord, UsedUp, Weight};
use super::super::moment::{Done, Run};
use super::super::nature::{dissolve, encounters, filling, gases, rest};
use super::super::program::{Matter, Value, VesselId};
use super::change::{as_reaction, full_extent, possible_extent, stock_of, terms};
use super::heating::tell_boiling;

pub(super) fn statement(
    run: &mut Run<'_>,
    vessel: VesselId,
    reaction: &Reaction,
    degree: Option<&Value>,
    limit: Option<&Matter>,
) -> Done<Outcome> {
    let degree = match degree {
        Some(degree) => run.quantity(degree)?.number().clone(),
        None => Number::one(),
    };
    let record = react(run, vessel, reaction, &degree, limit)?;
    // A titration is dilute and done in drops; it keeps the temperature of its vessel.
    if record.heat.known().is_none() {
        run.lose_temperature(vessel);
    }
    Ok(Outcome::Reacted(Box::new(record)))
}

/// Runs a reaction as far as `degree` of what the contents allow.
pub(super) fn react(
    run: &mut Run<'_>,
    vessel: VesselId,
    reaction: &Reaction,
    degree: &Number,
    limit: Option<&Matter>,
) -> Done<ReactRecord> {
    let terms = terms(run, vessel, reaction);
    let (full, limiting) = full_extent(run, vessel, &terms);
    let boiling = run.boiling_point(vessel);
    let inside = run.bench.vessel(vessel);
    let extent = &full * degree;
    let mut record = ReactRecord {
        vessel: run.name(vessel),
        reaction: reaction.clone(),
        net: as_reaction(&terms),
        extent: extent.clone(),
        limiting: None,
        leftovers: Vec::new(),
        heat: Heat::none(),
        gas: Vec::new(),
        start: inside.temperature().clone(),
        heat_capacity: None,
        uncooled: Some(inside.uncooled().clone()),
        held: inside.held().cloned(),
        boiling: boiling.value.clone(),
        heat_limit: encounters::heat_limit(run, vessel),
    };
    if !extent.is_positive() {
        absent(run, vessel, limiting);
        return Ok(record);
    }
    if let (Some(limit), Some(limiting)) = (limit, &limiting) {
        tell_other_limit(run, limit, limiting);
    }
    if let Some(limiting) = &limiting {
        tell_trace(run, vessel, &terms, limiting);
    }
    let before = encounters::before(run, vessel);
    let there = run.contents(vessel).clone();
    record.extent = run_through(run, vessel, &extent, &mut record)?;
    note_consumption(run, vessel, &terms, &there);
    record.leftovers = leftovers(run, vessel, &terms, limiting.as_ref());
    record.limiting = limiting;
    warm(run, vessel, &mut record, &boiling)?;
    let gas = gases::release(run, vessel)?;
    record.gas = gases::records(run, &gas);
    gases::over_water(run, vessel, &mut record.gas);
    gases::tell_pressure(run, vessel);
    if !gas.is_empty() {
        filling::check_gas(run, vessel, &record);
    }
    encounters::reacted(run, vessel, (&before, !gas.is_empty()));
    run.touch(vessel);
    Ok(record)
}

/// Rounds in which a reagent under the liquid may dissolve while it is used up.
const ROUNDS: usize = 60;
/// What is left of an extent, as a share of it, when it is as good as run.
const RUN: f64 = 1e-11;

/// Runs a reaction `extent` mol in a vessel, in rounds: what is dissolved reacts, and what lies under the liquid dissolves.
/// Gives how far it went, and notes the heat of the reaction.
fn run_through(
    run: &mut Run<'_>,
    vessel: VesselId,
    extent: &Number,
    record: &mut ReactRecord,
) -> Done<Number> {
    let mut done = Number::zero();
    for _ in 0..ROUNDS {
        let terms = terms(run, vessel, &record.reaction);
        let left = extent - &done;
        let turn = possible_extent(run, vessel, &terms).min(left.clone());
        if turn.is_positive() {
            let heat = run.react(vessel, &terms, &turn)?;
            record.heat = record.heat.plus(&heat);
            done += &turn;
        }
        let left = (&left - &turn).to_f64();
        if left <= RUN * extent.to_f64() {
            break;
        }
        let dissolved = dissolve::take_up(run, vessel)?;
        if dissolved.what.is_empty() {
            break;
        }
    }
    Ok(done)
}

fn absent(run: &mut Run<'_>, vessel: VesselId, missing: Option<Species>) {
    let Some(species) = missing else { return };
    let fact = Fact::Absent {
        used_up: used_up(run, vessel, &species),
        vessel: run.name(vessel),
        species,
    };
    run.remark(Weight::Warning, fact);
}

/// Where a species was used up, wholly or but for a trace.
fn used_up(run: &Run<'_>, vessel: VesselId, species: &Species) -> Option<UsedUp> {
    let mut used = run.record.histories[vessel].used_up.iter().rev();
    let (_, span) = used.find(|(s, _)| s.key() == species.key())?;
    Some(UsedUp {
        span: *span,
        step: None,
    })
}

/// Tells of a reagent that an earlier step left so little of that the others hardly find any.
fn tell_trace(run: &mut Run<'_>, vessel: VesselId, terms: &[(Exact, Species)], limiting: &Species) {
    let Some(used_up) = used_up(run, vessel, limiting) else {
        return;
    };
    let part = |wanted: bool| {
        let of = |(_, species): &&(Exact, Species)| (species == limiting) == wanted;
        let terms: Vec<_> = terms.iter().filter(of).cloned().collect();
        full_extent(run, vessel, &terms).0
    };
    if is_trace(&part(true), &part(false)) {
        let fact = Fact::NearlyAbsent {
            vessel: run.name(vessel),
            species: limiting.clone(),
            used_up,
        };
        run.remark(Weight::Warning, fact);
    }
}

/// A hundredth, which no bench counts as a reagent (own rule).
fn is_trace(left: &Number, of: &Number) -> bool {
    left.scaled(&Exact::from(100)).value() < of.value()
}

fn tell_other_limit(run: &mut Run<'_>, limit: &Matter, limiting: &Species) {
    let named = limit.stuff.substance();
    let meant = reagent::in_solution(named);
    let agrees =
        named.key() == limiting.key() || meant.iter().any(|(_, s)| s.key() == limiting.key());
    if !agrees {
        let fact = Fact::OtherLimit {
            named: named.clone(),
            limiting: limiting.clone(),
        };
        run.remark(Weight::Warning, fact);
    }
}

fn note_consumption(
    run: &mut Run<'_>,
    vessel: VesselId,
    terms: &[(Exact, Species)],
    before: &Contents,
) {
    let here = run.record.here;
    for (_, species) in terms.iter().filter(|(n, _)| n.is_negative()) {
        run.record.consumed.insert(species.clone());
        let left = run.contents(vessel).amount(species);
        if is_trace(&left, &before.amount(species)) {
            run.history(vessel).used_up.push((species.clone(), here));
        }
    }
}

fn leftovers(
    run: &Run<'_>,
    vessel: VesselId,
    terms: &[(Exact, Species)],
    limiting: Option<&Species>,
) -> Vec<(Species, Number)> {
    let others = terms
        .iter()
        .filter(|(n, s)| n.is_negative() && Some(s) != limiting && s.key() != "H2O");
    let left = others.map(|(_, species)| (species.clone(), stock_of(run, vessel, species)));
    left.filter(|(_, n)| n.is_positive()).collect()
}

/// Heat of the reaction into the contents, or into the bath that holds them.
fn warm(
    run: &mut Run<'_>,
    vessel: VesselId,
    record: &mut ReactRecord,
    boiling: &Cited<PhasePoint>,
) -> Done<()> {
    let history = run.history(vessel);
    history.heat = history.heat.plus(&record.heat);
    if let Heat::Unknown(species) = record.heat.clone() {
        run.remark(Weight::Note, Fact::NoHeatData { species });
        record.uncooled = None;
        return Ok(());
    }
    let came_to = rest::settle(run, vessel)?;
    if !run.scope.serves_a_question() {
        record.heat_capacity = Some(run.bench.capacity(vessel));
    }
    let uncooled = run.bench.vessel(vessel).uncooled().clone();
    if record.held.is_some() {
        tell_boiling(run, vessel, &uncooled, boiling);
    }
    record.uncooled = (came_to == rest::Rest::Found).then_some(uncooled);
    Ok(())
}
