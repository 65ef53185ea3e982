//! Keeping a hot step in hand: what ice would hold it, what a bath of stated strength makes of it, how slow is slow enough.
//!
//! Reckoned from the hottest moment of a step: what was in the vessel then, with all the heat it would have without baths.
//! An addition is taken as even in time, and what it sets free as set free at once: the fast reactions of the bench. A slow
//! one stores up what was added, and no figure here warns of that.

use crate::matter::Phase;
use crate::number::{Exact, Number, root};

use super::super::contents::{Contents, moles};
use super::super::ledger::{Fact, InHand, Remark, Weight};
use super::super::program::{HandQuestion, Program, VesselId};
use super::super::stuff;
use super::state::State;
use super::warmth::{Found, Warmth};

/// A rise that is told, in K: below it a bench hardly needs to mind.
const TOLD: f64 = 20.0;
/// Parts that an addition is reckoned in.
const PARTS: u32 = 400;
/// The longest addition that is asked for, in s: a hundred days.
const LONGEST: f64 = 1e7;
/// Coolant that a vessel of the bench could take, in g.
const MOST_COOLANT: f64 = 1e6;

/// The hottest moment of a step.
#[derive(Clone, Debug)]
pub(super) struct Hot {
    pub contents: Contents,
    /// With what baths took, in kJ.
    pub enthalpy: Number,
    /// Before the step, in K.
    pub start: Number,
    /// In K.
    pub uncooled: Number,
}

/// What a bath can take away.
#[derive(Clone, Debug)]
pub(super) enum Cooling {
    /// In W.
    Power(Number),
    /// In W for each K between vessel and bath.
    PerKelvin(Number),
}

/// How fast something is added.
#[derive(Clone, Debug)]
pub(super) struct Addition {
    /// In s.
    pub seconds: Number,
    /// Heat capacity before it, in J/K.
    pub before: f64,
}

/// `ice(V, T)`, `icewater(V, T)`, `shortest(V, T)`: g, g, s. `None` where nothing was hot or no coolant can do it.
pub(super) fn answer(
    program: &Program,
    state: &mut State,
    question: HandQuestion,
    vessel: VesselId,
    limit: &Number,
) -> Option<Number> {
    let hot = state.vessels[vessel].hot.clone()?;
    match question {
        HandQuestion::Ice => coolant(program, state, (&hot, limit), Phase::Solid),
        HandQuestion::IceWater => coolant(program, state, (&hot, limit), Phase::Liquid),
        HandQuestion::Shortest => shortest(program, state, vessel, (&hot, limit)),
    }
}

/// g of ice or water at 0 °C that, put in beside the rest, would hold the contents at a temperature in K.
fn coolant(
    program: &Program,
    state: &mut State,
    (hot, limit): (&Hot, &Number),
    phase: Phase,
) -> Option<Number> {
    if hot.uncooled.value() <= limit.value() {
        return Some(Number::zero());
    }
    let cold = Number::exact(Exact::ratio(27_315, 100));
    let mut short = |grams: f64| {
        let grams = Number::modelled(grams).unwrap_or_else(Number::zero);
        let mut coolant = Contents::new();
        let mut all = hot.contents.clone();
        if let Some(moles) = moles(&stuff::water(), &grams) {
            coolant.add(&stuff::water().with_phase(Some(phase)), &moles);
            all.add(&stuff::water(), &moles);
        }
        let enthalpy = |state: &mut State, contents: &Contents, at: &Number| {
            Warmth::of(program, state, contents).map_or(0.0, |warmth| warmth.enthalpy(at).to_f64())
        };
        let brought = hot.enthalpy.to_f64() + enthalpy(state, &coolant, &cold);
        enthalpy(state, &all, limit) - brought
    };
    if short(MOST_COOLANT) < 0.0 {
        return None;
    }
    // As if a gram took up as much as the first ones do.
    let (none, some) = (short(0.0), short(1.0));
    let guess = none / (none - some);
    Number::modelled(root::rising(short, (0.0, MOST_COOLANT), guess))
}

/// A step as heat and heat capacities, for its course in time.
struct Load {
    /// J, from the starting temperature.
    heat: f64,
    /// J/K
    before: f64,
    after: f64,
    start: f64,
    bath: f64,
}

impl Load {
    fn of(program: &Program, state: &mut State, vessel: VesselId, hot: &Hot) -> Option<Load> {
        let warmth = Warmth::of(program, state, &hot.contents)?;
        let rise = hot.uncooled.to_f64() - hot.start.to_f64();
        let heat = 1000.0 * (hot.enthalpy.to_f64() - warmth.enthalpy(&hot.start).to_f64());
        let after = heat / rise;
        let addition = state.vessels[vessel].addition.as_ref();
        let before = addition.map_or(after, |addition| addition.before.min(after));
        let held = state.vessels[vessel].held.as_ref()?;
        (rise > 0.0 && after > 0.0).then_some(Load {
            heat,
            before,
            after,
            start: hot.start.to_f64(),
            bath: held.to_f64(),
        })
    }

    /// The warmest of an addition that takes so many seconds, in K. Steps are implicit, so that none can overshoot.
    fn warmest(&self, cooling: &Cooling, seconds: f64) -> f64 {
        let part = 1.0 / f64::from(PARTS);
        let (mut at, mut warmest) = (self.start, self.start);
        for step in 1..=PARTS {
            let capacity = self.before + (self.after - self.before) * f64::from(step) * part;
            let uncooled = at + self.heat * part / capacity;
            at = match cooling {
                Cooling::Power(watts) => {
                    let colder = uncooled - watts.to_f64() * seconds * part / capacity;
                    colder.max(self.bath.min(uncooled))
                }
                Cooling::PerKelvin(each) => {
                    let pull = each.to_f64() * seconds * part;
                    (capacity * uncooled + pull * self.bath) / (capacity + pull)
                }
            };
            warmest = warmest.max(at);
        }
        warmest
    }
}

/// s over which an addition must be spread so that the vessel stays at or below a temperature in K.
fn shortest(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (hot, limit): (&Hot, &Number),
) -> Option<Number> {
    if hot.uncooled.value() <= limit.value() {
        return Some(Number::zero());
    }
    let cooling = state.vessels[vessel].cooling.clone()?;
    let load = Load::of(program, state, vessel, hot)?;
    let limit = limit.to_f64();
    if load.warmest(&cooling, LONGEST) > limit {
        return None;
    }
    // Halved on a logarithmic scale: from a second to the longest in fifty steps.
    let (mut low, mut high) = (1e-3f64, LONGEST);
    for _ in 0..50 {
        let middle = (low * high).sqrt();
        if load.warmest(&cooling, middle) > limit {
            low = middle;
        } else {
            high = middle;
        }
    }
    Number::modelled(high)
}

/// The warmest that the vessel comes to in its last hot step, in K: with a bath of stated strength as the course goes, with a
/// perfect one at its temperature, without one uncooled.
pub(super) fn warmest(program: &Program, state: &mut State, vessel: VesselId) -> Option<Number> {
    let hot = state.vessels[vessel].hot.clone()?;
    let Some(held) = state.vessels[vessel].held.clone() else {
        return Some(hot.uncooled);
    };
    let Some(cooling) = state.vessels[vessel].cooling.clone() else {
        return Some(held.max(hot.start));
    };
    let Some(addition) = state.vessels[vessel].addition.clone() else {
        return Some(hot.uncooled);
    };
    let load = Load::of(program, state, vessel, &hot)?;
    Number::modelled(load.warmest(&cooling, addition.seconds.to_f64()))
}

/// At the end of a step: what its rise means and what would hold it.
pub(super) fn tell(program: &Program, state: &mut State, vessel: VesselId) -> Option<Remark> {
    let hot = state.vessels[vessel].hot.clone()?;
    let rise = (&hot.uncooled - &hot.start).to_f64();
    if rise < TOLD || state.vessels[vessel].counting {
        return None;
    }
    let warmth = Warmth::of(program, state, &hot.contents)?;
    let heat = (&hot.enthalpy - &warmth.enthalpy(&hot.start)).settled();
    let addition = state.vessels[vessel].addition.clone();
    let stated = state.vessels[vessel].cooling.is_some();
    let warmest = addition.and_then(|addition| {
        let warmest = warmest(program, state, vessel).filter(|_| stated)?;
        Some((addition.seconds, warmest))
    });
    let in_hand = InHand {
        vessel: state.vessels[vessel].name.clone(),
        ice: coolant(program, state, (&hot, &hot.start), Phase::Solid),
        ice_water: coolant(program, state, (&hot, &hot.start), Phase::Liquid),
        halved: in_half_the_water(program, state, &hot, &heat),
        course: warmest,
        heat,
        start: hot.start,
        uncooled: hot.uncooled,
    };
    let weight = if rise > 50.0 {
        Weight::Warning
    } else {
        Weight::Note
    };
    let (span, fact) = (state.here, Fact::InHand(Box::new(in_hand)));
    Some(Remark::new(span, weight, fact))
}

/// Where the same heat would bring the contents in half their water, in K.
fn in_half_the_water(
    program: &Program,
    state: &mut State,
    hot: &Hot,
    heat: &Number,
) -> Option<Number> {
    let mut contents = hot.contents.clone();
    let less = contents
        .amount(&stuff::water())
        .scaled(&Exact::ratio(-1, 2));
    if less.is_zero() {
        return None;
    }
    contents.add(&stuff::water(), &less);
    let warmth = Warmth::of(program, state, &contents)?;
    let enthalpy = &warmth.enthalpy(&hot.start) + heat;
    match warmth.temperature(&enthalpy) {
        Found::At(kelvin) => Some(kelvin),
        Found::TooCold | Found::TooHot => None,
    }
}
