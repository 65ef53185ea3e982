//! Several salts at saturation: the liquid comes to rest with all solids at once, so that it does not matter which came
//! first.

use crate::equation::ionic::Ions;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution::saturation::{AtRest, Slurry};
use crate::vessel::{Contents, Heat, Sources, reagent, stock};

use super::super::bench::Account;
use super::super::moment::{Done, Run};
use super::super::program::VesselId;
use super::dissolve::heat_of;
use super::rest;

/// Rounds in which amounts and temperature come to agree.
const ROUNDS: usize = 30;
/// A change, as a share of the largest amount of a solid, that is none.
const AT_REST: f64 = 1e-9;

/// Whether a solid that dissolves is left beside another salt: then one takes room from the other.
pub(super) fn is_crowded(run: &Run<'_>, vessel: VesselId) -> bool {
    let contents = run.contents(vessel);
    let at = run.kelvins(vessel);
    let dissolves = |s: &Species| {
        s.phase() == Some(Phase::Solid)
            && s.key() != "H2O"
            && stock::dissolves_to(s, at).is_some_and(|ions| ions.len() > 1)
    };
    let undissolved = contents.iter().filter(|(s, _)| dissolves(s)).count();
    let of_sign = |sign: i64| {
        let ions = contents
            .iter()
            .filter(move |(s, _)| s.charge().signum() == sign);
        ions.count()
    };
    run.is_wet(vessel) && undissolved > 0 && undissolved.max(of_sign(1)).max(of_sign(-1)) > 1
}

/// Brings the liquid of a vessel and all solids of its ions to rest with each other.
pub(super) fn come_to_rest(run: &mut Run<'_>, vessel: VesselId) -> Done<Heat> {
    let mut heat = Heat::none();
    for _ in 0..ROUNDS {
        let Some(rest) = at_rest(run, vessel) else {
            break;
        };
        let mut changes = changes(run.contents(vessel), &rest);
        let most = changes.iter().map(|(_, n)| n.abs()).fold(0.0, f64::max);
        let there = rest.solids.iter().map(|(_, n)| *n).fold(0.0, f64::max);
        if most <= AT_REST * there.max(1e-6) {
            break;
        }
        // What dissolves goes first: it brings the ions of what comes out.
        changes.sort_by(|a, b| a.1.total_cmp(&b.1));
        for (solid, grown) in changes {
            heat = heat.plus(&grow(run, vessel, &solid, grown)?);
        }
        rest::settle(run, vessel)?;
    }
    Ok(heat)
}

fn at_rest(run: &mut Run<'_>, vessel: VesselId) -> Option<AtRest> {
    let contents = run.contents(vessel);
    let of_phase = |phase: Phase| {
        let all = contents
            .iter()
            .filter(move |(s, _)| s.phase() == Some(phase));
        all.filter(|(s, _)| s.key() != "H2O")
    };
    let dissolved: Vec<(&str, f64)> = of_phase(Phase::Aqueous)
        .map(|(s, n)| (s.key(), n.to_f64()))
        .collect();
    let solids: Vec<(Species, f64)> = of_phase(Phase::Solid)
        .map(|(s, n)| (s.clone(), n.to_f64()))
        .collect();
    let water = reagent::grams_of_water(contents).to_f64();
    let slurry = Slurry::new(water, &dissolved, &solids)?;
    let kelvin = stock::within_the_tables(run.kelvins(vessel)).to_f64();
    let found = slurry.at_rest(kelvin);
    let sources: Sources = found.basis.sources.iter().collect();
    run.note(&sources);
    (found.value.settled && !found.value.sets_whole).then_some(found.value)
}

/// By how much each solid is to grow, in mol.
fn changes(contents: &Contents, rest: &AtRest) -> Vec<(Species, f64)> {
    let solid = |s: &Species| s.with_phase(Some(Phase::Solid));
    let wanted = rest.solids.iter().map(|(s, n)| (solid(s), *n));
    let mut all: Vec<(Species, f64)> = wanted.collect();
    for (there, moles) in contents.solid().iter().filter(|(s, _)| s.key() != "H2O") {
        match all.iter_mut().find(|(s, _)| s == there) {
            Some((_, n)) => *n -= moles.to_f64(),
            None if rest.inert.iter().any(|s| s.key() == there.key()) => {}
            None => all.push((there.clone(), -moles.to_f64())),
        }
    }
    all.retain(|(_, n)| *n != 0.0);
    all
}

/// Lets some mol of a solid come out of solution, or dissolve where they are below zero, as far as its ions go.
fn grow(run: &mut Run<'_>, vessel: VesselId, solid: &Species, moles: f64) -> Done<Heat> {
    let Some(ions) = stock::dissolves_to(solid, run.kelvins(vessel)) else {
        return Ok(Heat::none());
    };
    let terms: Ions = std::iter::once((Exact::from(-1), solid.clone()))
        .chain(ions)
        .collect();
    let contents = run.contents(vessel);
    let most = match moles < 0.0 {
        true => contents.amount(solid),
        false => {
            let used = terms.iter().filter(|(n, _)| n.is_positive());
            let turns = used
                .filter_map(|(n, ion)| contents.amount(ion).checked_div(&Number::exact(n.clone())));
            let least = turns.min_by(|a, b| a.value().cmp(b.value()));
            least.unwrap_or_else(Number::zero)
        }
    };
    let wanted = Number::modelled(moles.abs()).unwrap_or_else(Number::zero);
    let turns = wanted.min(most);
    let turns = match moles < 0.0 {
        true => turns,
        false => -&turns,
    };
    let heat = heat_of(run, (solid, &terms), &turns);
    let none = Heat::none();
    let posted = heat.known().map_or(&none, |_| &heat);
    let done = run.bench.react_with(vessel, &terms, &turns, posted);
    done.map_err(|short| run.short(Account::Vessel(vessel), short))?;
    Ok(heat)
}
