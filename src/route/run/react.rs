//! `react`: the one extent that the contents of a vessel allow.

use crate::data::Store;
use crate::equation::Reaction;
use crate::equation::ionic::{Form, in_water};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};

use super::super::books::Account;
use super::super::contents::Contents;
use super::super::ledger::{Fact, GasRecord, Heat, Outcome, ReactRecord, UsedUp, Weight};
use super::super::program::{Matter, Program, Value, VesselId};
use super::super::stuff;
use super::state::State;
use super::{Done, enthalpy, filling, gases, properties, separate, watch};

/// `react V: EQUATION, to P %, limited by X`
pub(super) fn react(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    reaction: &Reaction,
    degree: Option<&Value>,
    limit: Option<&Matter>,
) -> Done<Outcome> {
    let degree = match degree {
        Some(degree) => state.quantity(program, degree)?.number().clone(),
        None => Number::one(),
    };
    let terms = terms(state, vessel, reaction);
    let (full, limiting) = possible_extent(state, vessel, &terms);
    let start = state.vessels[vessel].temperature.clone();
    let uncooled_start = state.vessels[vessel].uncooled.clone();
    let extent = &full * &degree;
    let mut record = ReactRecord {
        vessel: state.vessels[vessel].name.clone(),
        reaction: reaction.clone(),
        net: as_reaction(&terms),
        extent: extent.clone(),
        limiting: None,
        leftovers: Vec::new(),
        heat: Heat::none(),
        gas: Vec::new(),
        start,
        heat_capacity: None,
        uncooled: Some(uncooled_start),
        held: state.vessels[vessel].held.clone(),
        boiling: properties::boiling_point(program, state, vessel),
        heat_limit: watch::heat_limit(state, vessel),
    };
    if !extent.is_positive() {
        absent(state, vessel, limiting);
        return Ok(Outcome::Reacted(Box::new(record)));
    }
    if let (Some(limit), Some(limiting)) = (limit, &limiting) {
        tell_other_limit(state, limit, limiting);
    }
    if let Some(limiting) = &limiting {
        tell_trace(state, vessel, &terms, limiting);
    }
    let before = watch::before(state, vessel);
    let there = state.vessels[vessel].contents.clone();
    record.heat = enthalpy::change(program, state, vessel, &terms, &extent);
    book_consumption(state, vessel, &terms, &there);
    record.leftovers = leftovers(state, vessel, &terms, limiting.as_ref());
    record.limiting = limiting;
    warm(program, state, vessel, &mut record);
    let gas = separate::release(program, state, vessel);
    record.gas = gas_records(program, &gas);
    gases::over_water(program, state, vessel, &mut record.gas);
    gases::tell_pressure(program, state, vessel);
    if !gas.is_empty() {
        filling::check_gas(program, state, vessel, &record);
    }
    watch::reacted(program, state, vessel, (&before, !gas.is_empty()));
    state.touch(program, vessel);
    Ok(Outcome::Reacted(Box::new(record)))
}

/// The species that really change in this vessel, with signed coefficients: ions in water, spectators left out.
pub(super) fn terms(state: &State, vessel: VesselId, reaction: &Reaction) -> Vec<(Exact, Species)> {
    terms_with(state, vessel, reaction, false)
}

/// The same when water is about to come.
pub(super) fn terms_with(
    state: &State,
    vessel: VesselId,
    reaction: &Reaction,
    more_water: bool,
) -> Vec<(Exact, Species)> {
    let contents = &state.vessels[vessel].contents;
    let hot = state.vessels[vessel].temperature.to_f64() > 373.15;
    let wet = contents
        .iter()
        .any(|(s, _)| s.key() == "H2O" && s.phase() == Some(Phase::Liquid));
    let brings_water = reaction.left.iter().any(|(_, s)| s.key() == "H2O");
    let setting = Setting {
        store: &state.store,
        contents,
        wet: wet || brings_water || more_water,
        hot,
    };
    let mut net: Vec<(Exact, Species)> = Vec::new();
    let mut add = |count: Exact, species: Species| match net.iter_mut().find(|(_, s)| *s == species)
    {
        Some((total, _)) => *total += &count,
        None => net.push((count, species)),
    };
    for (n, species) in &reaction.left {
        for (count, really) in setting.reactant(species) {
            add(-(Exact::from(n.clone()) * count), really);
        }
    }
    for (n, species) in &reaction.right {
        for (count, really) in setting.product(species) {
            add(Exact::from(n.clone()) * count, really);
        }
    }
    net.retain(|(n, _)| !n.is_zero());
    net
}

/// What a reaction needs in its vessel without being about it.
pub(super) fn is_medium(species: &Species) -> bool {
    matches!(species.key(), "H2O" | "H^+" | "H3O^+" | "OH^-")
}

/// What decides the form a species takes in a vessel.
struct Setting<'c> {
    store: &'c Store,
    contents: &'c Contents,
    wet: bool,
    hot: bool,
}

impl Setting<'_> {
    /// A reactant is what the vessel holds of it, else what it would be in water.
    fn reactant(&self, species: &Species) -> Vec<(Exact, Species)> {
        let one = |species: Species| vec![(Exact::one(), species)];
        if species.phase().is_some_and(|phase| phase != Phase::Aqueous) {
            return one(species.clone());
        }
        let form = in_water(species);
        if let Form::Ions(ions) = &form {
            let dissolved = ions.iter().all(|(_, ion)| self.contents.holds(ion));
            if dissolved || self.contents.find(species.key()).is_none() {
                return ions.clone();
            }
        }
        match self.contents.find(species.key()) {
            Some(there) => one(there.clone()),
            None => one(stuff::in_form(species, &form)),
        }
    }

    /// A product is what it is in water if there is water, else the dry substance.
    fn product(&self, species: &Species) -> Vec<(Exact, Species)> {
        let one = |species: Species| vec![(Exact::one(), species)];
        if species.phase().is_some_and(|phase| phase != Phase::Aqueous) {
            return one(species.clone());
        }
        let form = in_water(species);
        if !self.wet {
            let phase = match (&form, species.key()) {
                (Form::Liquid, "H2O") if self.hot => Phase::Gas,
                (Form::Ions(_), _) => Phase::Solid,
                (Form::Molecule, _) => return one(stuff::dry(self.store, species)),
                _ => return one(stuff::in_form(species, &form)),
            };
            return one(species.with_phase(Some(phase)));
        }
        match form {
            Form::Ions(ions) => ions,
            form => one(stuff::in_form(species, &form)),
        }
    }
}

/// How often the change can run, in mol, and the reactant that decides.
fn possible_extent(
    state: &State,
    vessel: VesselId,
    terms: &[(Exact, Species)],
) -> (Number, Option<Species>) {
    let contents = &state.vessels[vessel].contents;
    let used = terms.iter().filter(|(n, _)| n.is_negative());
    let turns = used.filter_map(|(n, species)| {
        let turns = contents
            .amount(species)
            .checked_div(&Number::exact(n.abs()))?;
        Some((turns, species.clone()))
    });
    match turns.min_by(|(a, _), (b, _)| a.value().cmp(b.value())) {
        Some((extent, species)) => (extent, Some(species)),
        None => (Number::zero(), None),
    }
}

fn absent(state: &mut State, vessel: VesselId, missing: Option<Species>) {
    let Some(species) = missing else { return };
    let used_up = used_up(state, vessel, &species);
    let vessel = state.vessels[vessel].name.clone();
    state.remark(
        Weight::Warning,
        Fact::Absent {
            vessel,
            species,
            used_up,
        },
    );
}

/// Where a species was used up, wholly or but for a trace.
fn used_up(state: &State, vessel: VesselId, species: &Species) -> Option<UsedUp> {
    let mut used = state.vessels[vessel].used_up.iter().rev();
    let (_, span) = used.find(|(s, _)| s.key() == species.key())?;
    Some(UsedUp {
        span: *span,
        step: None,
    })
}

/// Tells of a reagent that an earlier step left so little of that the others hardly find any.
fn tell_trace(state: &mut State, vessel: VesselId, terms: &[(Exact, Species)], limiting: &Species) {
    let Some(used_up) = used_up(state, vessel, limiting) else {
        return;
    };
    let part = |wanted: bool| {
        let of = |(_, species): &&(Exact, Species)| (species == limiting) == wanted;
        let terms: Vec<_> = terms.iter().filter(of).cloned().collect();
        possible_extent(state, vessel, &terms).0
    };
    if is_trace(&part(true), &part(false)) {
        let fact = Fact::NearlyAbsent {
            vessel: state.vessels[vessel].name.clone(),
            species: limiting.clone(),
            used_up,
        };
        state.remark(Weight::Warning, fact);
    }
}

/// A hundredth, which no bench counts as a reagent (own rule).
fn is_trace(left: &Number, of: &Number) -> bool {
    left.scaled(&Exact::from(100)).value() < of.value()
}

fn tell_other_limit(state: &mut State, limit: &Matter, limiting: &Species) {
    let named = limit.stuff.substance();
    let meant = stuff::in_solution(named);
    let agrees =
        named.key() == limiting.key() || meant.iter().any(|(_, s)| s.key() == limiting.key());
    if !agrees {
        let fact = Fact::OtherLimit {
            named: named.clone(),
            limiting: limiting.clone(),
        };
        state.remark(Weight::Warning, fact);
    }
}

fn book_consumption(
    state: &mut State,
    vessel: VesselId,
    terms: &[(Exact, Species)],
    before: &Contents,
) {
    let here = state.here;
    for (_, species) in terms.iter().filter(|(n, _)| n.is_negative()) {
        state.consumed.insert(species.clone());
        let left = state.vessels[vessel].contents.amount(species);
        if is_trace(&left, &before.amount(species)) {
            state.vessels[vessel].used_up.push((species.clone(), here));
        }
    }
}

fn leftovers(
    state: &State,
    vessel: VesselId,
    terms: &[(Exact, Species)],
    limiting: Option<&Species>,
) -> Vec<(Species, Number)> {
    let contents = &state.vessels[vessel].contents;
    let others = terms
        .iter()
        .filter(|(n, s)| n.is_negative() && Some(s) != limiting && s.key() != "H2O");
    let left = others.map(|(_, species)| (species.clone(), contents.amount(species)));
    left.filter(|(_, n)| n.is_positive()).collect()
}

/// Heat of the reaction into the contents, or into the bath that holds them.
fn warm(program: &Program, state: &mut State, vessel: VesselId, record: &mut ReactRecord) {
    let total = state.vessels[vessel].heat.plus(&record.heat);
    state.vessels[vessel].heat = total;
    if let Heat::Unknown(species) = record.heat.clone() {
        state.remark(Weight::Note, Fact::NoHeatData { species });
        record.uncooled = None;
        return;
    }
    enthalpy::settle(program, state, vessel);
    if !state.on_errand() {
        record.heat_capacity = Some(enthalpy::capacity(program, state, vessel));
    }
    let uncooled = state.vessels[vessel].uncooled.clone();
    if state.vessels[vessel].held.is_some() {
        tell_boiling(state, vessel, &uncooled, &record.boiling);
    }
    let told = |fact: &Fact| matches!(fact, Fact::NeedsHeating { .. });
    let unmet = state.remarks.iter().any(|remark| told(&remark.fact));
    record.uncooled = (!unmet).then_some(uncooled);
}

pub(super) fn tell_boiling(
    state: &mut State,
    vessel: VesselId,
    uncooled: &Number,
    boiling: &Number,
) {
    let wet = state.vessels[vessel]
        .contents
        .iter()
        .any(|(s, _)| s.key() == "H2O");
    if wet && uncooled.value() >= boiling.value() {
        let vessel = state.vessels[vessel].name.clone();
        let fact = Fact::WouldBoil {
            vessel,
            uncooled: uncooled.clone(),
            boiling: boiling.clone(),
        };
        state.remark(Weight::Warning, fact);
    }
}

/// Gas as the ledger lists it, at ambient conditions.
pub(super) fn gas_records(program: &Program, gas: &Contents) -> Vec<GasRecord> {
    let per_mole = properties::molar_gas_volume(program);
    let records = gas.iter().map(|(species, moles)| GasRecord {
        species: species.clone(),
        moles: moles.clone(),
        litres: moles * &per_mole,
        moist: None,
        dissolved: None,
    });
    records.collect()
}

/// The change as a reaction with whole coefficients, for print.
fn as_reaction(terms: &[(Exact, Species)]) -> Reaction {
    let mut denominators = num_bigint::BigInt::from(1);
    for (n, _) in terms {
        denominators = num_integer::lcm(denominators, n.denominator().clone());
    }
    let numerators: Vec<num_bigint::BigInt> = terms
        .iter()
        .map(|(n, _)| n.numerator() * &denominators / n.denominator())
        .collect();
    let common = numerators.iter().fold(num_bigint::BigInt::from(0), |g, n| {
        num_integer::gcd(g, n.clone())
    });
    let mut reaction = Reaction {
        left: Vec::new(),
        right: Vec::new(),
    };
    for ((n, species), whole) in terms.iter().zip(numerators) {
        let whole = if common == num_bigint::BigInt::from(0) {
            whole
        } else {
            whole / &common
        };
        if n.is_negative() {
            reaction.left.push((-whole, species.clone()));
        } else {
            reaction.right.push((whole, species.clone()));
        }
    }
    reaction
}

/// Moves gas that an open vessel does not keep.
pub(super) fn gas_to_air(program: &Program, state: &mut State, vessel: VesselId, gas: &Contents) {
    let at = state.vessels[vessel].temperature.clone();
    enthalpy::carry(
        program,
        state,
        Account::Vessel(vessel),
        Account::Air,
        gas,
        &at,
    );
    state.vessels[vessel].gas.add_all(gas);
}
