//! Moving contents between vessels: filtering, pouring, washing, drying, venting.

use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, unit};

use super::super::books::Account;
use super::super::contents::{Contents, grams};
use super::super::energy::Place;
use super::super::ledger::{DrawReason, Emptied, Fact, Heat, Idle, Outcome, Weight};
use super::super::program::{Portion, Program, Value, VesselId};
use super::super::stuff;
use super::react::{gas_records, gas_to_air};
use super::state::State;
use super::{Blank, Done, charge, dissolve, enthalpy, phases, properties, thermal, watch};

/// Liquor that a cake keeps if nothing is said, in mL for each gram of dry solid (common practice, no source).
pub(super) const RETAINED_PER_GRAM: (i64, i64) = (1, 5);

/// Fails with a remark if there is nothing in a vessel.
pub(super) fn not_empty(state: &mut State, vessel: VesselId) -> Done<()> {
    if !state.vessels[vessel].contents.is_empty() {
        return Ok(());
    }
    let fact = Fact::Empty {
        vessel: state.vessels[vessel].name.clone(),
        emptied: state.vessels[vessel].emptied.map(|span| Emptied {
            span,
            step: None,
            into: None,
        }),
    };
    state.remark(Weight::Fault, fact);
    Err(Blank)
}

/// Lets gas out of an open vessel; gives what left.
pub(super) fn release(program: &Program, state: &mut State, vessel: VesselId) -> Contents {
    let gas = state.vessels[vessel].contents.gas();
    if state.vessels[vessel].sealed {
        // It is made all the same, and counts as gas of this vessel when it is let out.
        return gas;
    }
    gas_to_air(program, state, vessel, &gas);
    gas
}

/// `vent V`
pub(super) fn vent(program: &Program, state: &mut State, vessel: VesselId) -> Done<Outcome> {
    not_empty(state, vessel)?;
    let gas = state.vessels[vessel].contents.gas();
    let name = state.vessels[vessel].name.clone();
    if gas.is_empty() {
        state.changes_nothing(Idle::NoGas {
            vessel: name.clone(),
        });
    }
    gas_to_air(program, state, vessel, &gas);
    state.touch(program, vessel);
    Ok(Outcome::Vented {
        vessel: name,
        gas: gas_records(program, &gas),
    })
}

/// `seal V` (and the first half of `open V`)
pub(super) fn closure(state: &mut State, vessel: VesselId, sealed: bool) -> Outcome {
    if state.vessels[vessel].sealed == sealed {
        let vessel = state.vessels[vessel].name.clone();
        state.changes_nothing(Idle::ClosureAsItWas { vessel, sealed });
    }
    state.vessels[vessel].sealed = sealed;
    Outcome::Closure {
        vessel: state.vessels[vessel].name.clone(),
        sealed,
    }
}

/// `open V`: what gas it kept leaves.
pub(super) fn open(program: &Program, state: &mut State, vessel: VesselId) -> Done<Outcome> {
    let outcome = closure(state, vessel, false);
    let gas = state.vessels[vessel].contents.gas();
    if gas.is_empty() {
        return Ok(outcome);
    }
    vent(program, state, vessel)
}

/// `discard V`
pub(super) fn discard(program: &Program, state: &mut State, vessel: VesselId) -> Done<Outcome> {
    not_empty(state, vessel)?;
    let all = state.vessels[vessel].contents.clone();
    to_drain(program, state, vessel, &all);
    let here = state.here;
    state.vessels[vessel].emptied = Some(here);
    state.change(vessel);
    Ok(Outcome::Moved {
        from: state.vessels[vessel].name.clone(),
        to: Vec::new(),
        retained: None,
        dissolved: Vec::new(),
        heat: Heat::none(),
    })
}

fn to_drain(program: &Program, state: &mut State, vessel: VesselId, what: &Contents) {
    let before = watch::jar(state);
    let at = state.vessels[vessel].temperature.clone();
    enthalpy::carry(
        program,
        state,
        Account::Vessel(vessel),
        Account::Drain,
        what,
        &at,
    );
    watch::drained(program, state, &before, (what, vessel));
}

/// `pour V -> W`
pub(super) fn pour(
    program: &Program,
    state: &mut State,
    from: VesselId,
    into: VesselId,
) -> Done<Outcome> {
    let all = state.vessels[from].contents.clone();
    move_part(program, state, from, &[(into, all)], None)
}

/// `decant V -> W`: the liquid leaves, solids stay with the liquor that clings to them.
pub(super) fn decant(
    program: &Program,
    state: &mut State,
    from: VesselId,
    into: VesselId,
) -> Done<Outcome> {
    not_empty(state, from)?;
    let retained = default_retained(state, from);
    let (moving, _) = split_liquid(program, state, from, &retained);
    move_part(program, state, from, &[(into, moving)], Some(retained))
}

/// `filter V -> FILTRATE, CAKE, retaining Q`
pub(super) fn filter(
    program: &Program,
    state: &mut State,
    from: VesselId,
    (filtrate, cake): (VesselId, VesselId),
    retaining: Option<&Value>,
) -> Done<Outcome> {
    not_empty(state, from)?;
    let retained = match retaining {
        Some(value) => stated_retained(program, state, from, value)?,
        None => default_retained(state, from),
    };
    let (through, stays) = split_liquid(program, state, from, &retained);
    let mut on_paper = state.vessels[from].contents.solid();
    if on_paper.is_empty() {
        let vessel = state.vessels[from].name.clone();
        state.changes_nothing(Idle::NoSolid { vessel });
    }
    on_paper.add_all(&stays);
    move_part(
        program,
        state,
        from,
        &[(filtrate, through), (cake, on_paper)],
        Some(retained),
    )
}

/// `take Q from V -> W`: a part of the liquid, or of a dry solid.
pub(super) fn take(
    program: &Program,
    state: &mut State,
    amount: &Value,
    from: VesselId,
    into: VesselId,
) -> Done<Outcome> {
    not_empty(state, from)?;
    let asked = charge::positive(program, state, amount)?;
    let liquid = state.vessels[from].contents.liquid();
    let source = if liquid.is_empty() {
        state.vessels[from].contents.solid()
    } else {
        liquid
    };
    let there = match asked.dimension() {
        Dimension::NONE => Quantity::plain(Number::one()),
        Dimension::MASS => Quantity::of(source.grams(), &unit::GRAM),
        _ => {
            let volume = properties::volume(program, state, from).ok_or(Blank)?;
            Quantity::of(volume, &unit::MILLILITRE)
        }
    };
    let share = asked.number().checked_div(there.number()).ok_or(Blank)?;
    if share.value() > &Exact::one() {
        let vessel = state.vessels[from].name.clone();
        state.remark(
            Weight::Fault,
            Fact::TooMuch {
                vessel,
                asked,
                there,
            },
        );
        return Err(Blank);
    }
    move_part(program, state, from, &[(into, source.scaled(&share))], None)
}

/// `wash V with Q X -> W`: the liquid mixes with what clings to the cake, takes up what it can dissolve, and leaves
/// but for what clings to the cake: stated, or as much as any cake keeps. Reckoned to saturation, so the loss shown is the largest there can be.
pub(super) fn wash(
    program: &Program,
    state: &mut State,
    cake: VesselId,
    with: &Portion,
    retaining: Option<&Value>,
    into: Option<VesselId>,
) -> Done<Outcome> {
    not_empty(state, cake)?;
    let amount = charge::positive(program, state, &with.amount)?;
    let matter = state.as_it_is(program, &with.matter);
    let draw = charge::draw(state, cake, &matter, &amount, DrawReason::Wash).ok_or(Blank)?;
    let portion = charge::contents_of(&matter.stuff, &draw);
    let ambient = program.ambient.temperature.clone();
    charge::receive(program, state, cake, Account::Shelf, &portion, &ambient);
    enthalpy::settle(program, state, cake);
    let (dissolved, _) = dissolve::dissolve(program, state, cake);
    let retained = match retaining {
        Some(value) => stated_retained(program, state, cake, value)?,
        None => default_retained(state, cake),
    };
    let (leaving, _) = split_liquid(program, state, cake, &retained);
    match into {
        Some(into) => {
            let at = state.vessels[cake].temperature.clone();
            charge::receive(program, state, into, Account::Vessel(cake), &leaving, &at);
            enthalpy::settle(program, state, into);
            state.touch(program, into);
        }
        None => to_drain(program, state, cake, &leaving),
    }
    state.note_draw(&draw);
    state.used_bottles.extend(with.matter.bottle);
    state.touch(program, cake);
    Ok(Outcome::Washed {
        vessel: state.vessels[cake].name.clone(),
        draw: Box::new(draw),
        dissolved,
        retained,
        into: into.map(|id| state.vessels[id].name.clone()),
    })
}

/// `dry V at T`: water goes to the air; what was dissolved in it stays as salts.
pub(super) fn dry(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    at: Option<&Value>,
) -> Done<Outcome> {
    not_empty(state, vessel)?;
    let at = match at {
        Some(at) => Some(thermal::temperature(program, state, at)?),
        None => None,
    };
    let water = stuff::water();
    let before = watch::before(state, vessel);
    neutralise(state, vessel);
    let moles = state.vessels[vessel].contents.amount(&water);
    let at = at.unwrap_or_else(|| state.vessels[vessel].temperature.clone());
    phases::vapour_leaves(program, state, vessel, &moles, &at);
    let residue = leave_salts(program, state, vessel);
    enthalpy::leave_at(program, state, vessel, &at, Place::Bath);
    state.count_from_here(vessel);
    state.raise_peak(vessel);
    state.touch(program, vessel);
    watch::after(program, state, vessel, &before);
    let name = state.vessels[vessel].name.clone();
    if moles.is_zero() {
        state.changes_nothing(Idle::NoWater {
            vessel: name.clone(),
        });
    }
    Ok(Outcome::Dried {
        vessel: name,
        water: grams(&water, &moles),
        residue,
    })
}

/// Acid and base that nobody let react are water by the time they are dry.
fn neutralise(state: &mut State, vessel: VesselId) {
    let made = stuff::acid_beside_base(&state.vessels[vessel].contents);
    let mut terms = stuff::neutralisation().to_vec();
    terms.push((Exact::one(), stuff::water()));
    state.extent(vessel, &terms, &made);
}

/// Turns the ions that a dried liquor leaves behind into solid salts.
fn leave_salts(program: &Program, state: &mut State, vessel: VesselId) -> Vec<(Species, Number)> {
    let mut residue = Vec::new();
    // Each round uses up one ion at least, so there are fewer rounds than ions.
    loop {
        let ions = state.vessels[vessel]
            .contents
            .of_phases(|phase| phase == Phase::Aqueous);
        let Some((salt, terms, moles)) = stuff::next_salt(&program.store, &ions) else {
            return residue;
        };
        enthalpy::change(program, state, vessel, &terms, &moles);
        residue.push((salt, moles));
    }
}

/// Moves parts of a vessel into others, each with its temperature.
fn move_part(
    program: &Program,
    state: &mut State,
    from: VesselId,
    parts: &[(VesselId, Contents)],
    retained: Option<Number>,
) -> Done<Outcome> {
    not_empty(state, from)?;
    let at = state.vessels[from].temperature.clone();
    let mut to = Vec::new();
    let (mut dissolved, mut heat) = (Vec::new(), Heat::none());
    for (into, part) in parts {
        if *into == from {
            let vessel = state.vessels[from].name.clone();
            state.changes_nothing(Idle::IntoItself { vessel });
            continue;
        }
        let met = !state.vessels[*into].contents.is_empty();
        charge::receive(program, state, *into, Account::Vessel(from), part, &at);
        enthalpy::settle(program, state, *into);
        if met {
            let (more, of_it) = dissolve::dissolve(program, state, *into);
            dissolved.extend(more);
            heat = heat.plus(&of_it);
        }
        to.push((state.vessels[*into].name.clone(), state.grams(part)));
        state.touch(program, *into);
        state.vessels[*into].made = true;
    }
    state.touch(program, from);
    Ok(Outcome::Moved {
        from: state.vessels[from].name.clone(),
        to,
        retained,
        dissolved,
        heat,
    })
}

/// Liquor that clings to the solids of a vessel, in mL.
pub(super) fn default_retained(state: &State, vessel: VesselId) -> Number {
    let solid = state.grams(&state.vessels[vessel].contents.solid());
    solid.scaled(&Exact::ratio(RETAINED_PER_GRAM.0, RETAINED_PER_GRAM.1))
}

fn stated_retained(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    value: &Value,
) -> Done<Number> {
    let quantity = state.quantity(program, value)?;
    if let Ok(volume) = quantity.in_unit(&unit::MILLILITRE) {
        return Ok(volume);
    }
    let liquid = state.grams(&state.vessels[vessel].contents.liquid());
    let share = match quantity.in_unit(&unit::GRAM) {
        Ok(mass) => mass.checked_div(&liquid).ok_or(Blank)?,
        Err(_) => quantity.number().clone(),
    };
    let volume = properties::volume(program, state, vessel).ok_or(Blank)?;
    Ok(&volume * &share)
}

/// The liquid that leaves and the liquid that stays, when `retained` mL stay.
pub(super) fn split_liquid(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    retained: &Number,
) -> (Contents, Contents) {
    let liquid = state.vessels[vessel].contents.liquid();
    let share = properties::volume(program, state, vessel)
        .and_then(|volume| retained.checked_div(&volume))
        .unwrap_or_else(Number::zero)
        .min(Number::one());
    let stays = liquid.scaled(&share);
    // What leaves is the rest, so that both add up exactly.
    let mut leaves = liquid;
    for (species, moles) in stays.iter() {
        leaves.add(species, &-moles);
    }
    (leaves, stays)
}
