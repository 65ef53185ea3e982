//! Keeping a hot step in hand: what ice would hold it, what a bath of stated strength makes of it, how slow is slow enough.
//!
//! Reckoned from the hottest moment of a step: what was in the vessel then, with all the heat it would have without baths.
//! An addition is taken as even in time, and what it sets free as set free at once: the fast reactions of the bench. A slow
//! one stores up what was added, and no figure here warns of that.

use crate::matter::Phase;
use crate::number::{Exact, Number, root};
use crate::vessel::enthalpy::{Found, SensibleEnthalpy, of_contents};
use crate::vessel::{Contents, moles, reagent};

use super::super::bench::{Cooling, Hot};
use super::super::ledger::{Fact, InHand, Remark, Weight};
use super::super::program::{HandQuestion, VesselId};
use super::Run;

/// A rise that is told, in K: below it a bench hardly needs to mind.
const TOLD: f64 = 20.0;
/// Parts that an addition is reckoned in.
const PARTS: u32 = 400;
/// The longest addition that is asked for, in s: a hundred days.
const LONGEST: f64 = 1e7;
/// Coolant that a vessel of the bench could take, in g.
const MOST_COOLANT: f64 = 1e6;

/// `ice(V, T)`, `icewater(V, T)`, `shortest(V, T)`: g, g, s. `None` where nothing was hot, no coolant can do it or a heat is
/// not known.
pub fn answer(
    run: &Run<'_>,
    question: HandQuestion,
    vessel: VesselId,
    limit: &Number,
) -> Option<Number> {
    if !run.bench.vessel(vessel).knew_temperature() {
        return None;
    }
    let hot = run.bench.vessel(vessel).hot().cloned()?;
    match question {
        HandQuestion::Ice => coolant(run, (&hot, limit), Phase::Solid),
        HandQuestion::IceWater => coolant(run, (&hot, limit), Phase::Liquid),
        HandQuestion::Shortest => shortest(run, vessel, (&hot, limit)),
    }
}

/// g of ice or water at 0 °C that, put in beside the rest, would hold the contents at a temperature in K.
fn coolant(run: &Run<'_>, (hot, limit): (&Hot, &Number), phase: Phase) -> Option<Number> {
    if hot.uncooled.value() <= limit.value() {
        return Some(Number::zero());
    }
    let cold = Number::exact(Exact::ratio(27_315, 100));
    let short = |grams: f64| {
        let grams = Number::modelled(grams).unwrap_or_else(Number::zero);
        let mut coolant = Contents::new();
        let mut all = hot.contents.clone();
        if let Some(moles) = moles(&reagent::water(), &grams) {
            coolant.add(&reagent::water().with_phase(Some(phase)), &moles);
            all.add(&reagent::water(), &moles);
        }
        let enthalpy = |contents: &Contents, at: &Number| {
            of_contents(&run.program.store, contents, at).value.to_f64()
        };
        let brought = hot.enthalpy.to_f64() + enthalpy(&coolant, &cold);
        enthalpy(&all, limit) - brought
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
    fn of(run: &Run<'_>, vessel: VesselId, hot: &Hot) -> Option<Load> {
        let warmth = SensibleEnthalpy::of(&run.program.store, &hot.contents)?.value;
        let rise = hot.uncooled.to_f64() - hot.start.to_f64();
        let heat = 1000.0 * (hot.enthalpy.to_f64() - warmth.enthalpy(&hot.start).to_f64());
        let after = heat / rise;
        let addition = run.bench.vessel(vessel).addition();
        let before = addition.map_or(after, |addition| addition.before.min(after));
        let held = run.bench.vessel(vessel).held()?;
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
fn shortest(run: &Run<'_>, vessel: VesselId, (hot, limit): (&Hot, &Number)) -> Option<Number> {
    if hot.uncooled.value() <= limit.value() {
        return Some(Number::zero());
    }
    let cooling = run.bench.vessel(vessel).cooling().cloned()?;
    let load = Load::of(run, vessel, hot)?;
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
pub fn warmest(run: &Run<'_>, vessel: VesselId) -> Option<Number> {
    let hot = run.bench.vessel(vessel).hot().cloned()?;
    let Some(held) = run.bench.vessel(vessel).held().cloned() else {
        return Some(hot.uncooled);
    };
    let Some(cooling) = run.bench.vessel(vessel).cooling().cloned() else {
        return Some(held.max(hot.start));
    };
    let Some(addition) = run.bench.vessel(vessel).addition().cloned() else {
        return Some(hot.uncooled);
    };
    let load = Load::of(run, vessel, &hot)?;
    Number::modelled(load.warmest(&cooling, addition.seconds.to_f64()))
}

/// At the end of a step: what its rise means and what would hold it.
pub fn tell(run: &Run<'_>, vessel: VesselId) -> Option<Remark> {
    let hot = run.bench.vessel(vessel).hot().cloned()?;
    let rise = (&hot.uncooled - &hot.start).to_f64();
    if rise < TOLD || !run.bench.vessel(vessel).grew_hot() {
        return None;
    }
    let warmth = SensibleEnthalpy::of(&run.program.store, &hot.contents)?.value;
    let heat = (&hot.enthalpy - &warmth.enthalpy(&hot.start)).settled();
    let addition = run.bench.vessel(vessel).addition().cloned();
    let stated = run.bench.vessel(vessel).cooling().is_some();
    let warmest = addition.and_then(|addition| {
        let warmest = warmest(run, vessel).filter(|_| stated)?;
        Some((addition.seconds, warmest))
    });
    let in_hand = InHand {
        vessel: run.name(vessel),
        ice: coolant(run, (&hot, &hot.start), Phase::Solid),
        ice_water: coolant(run, (&hot, &hot.start), Phase::Liquid),
        halved: in_half_the_water(run, &hot, &heat),
        course: warmest,
        heat,
        start: hot.start,
        uncooled: hot.uncooled,
    };
    let weight = match in_hand.is_severe() {
        true => Weight::Warning,
        false => Weight::Note,
    };
    let (span, fact) = (run.record.here, Fact::InHand(Box::new(in_hand)));
    Some(Remark::new(span, weight, fact))
}

/// Where the same heat would bring the contents in half their water, in K.
fn in_half_the_water(run: &Run<'_>, hot: &Hot, heat: &Number) -> Option<Number> {
    let mut contents = hot.contents.clone();
    let less = contents
        .amount(&reagent::water())
        .scaled(&Exact::ratio(-1, 2));
    if less.is_zero() {
        return None;
    }
    contents.add(&reagent::water(), &less);
    let warmth = SensibleEnthalpy::of(&run.program.store, &contents)?.value;
    let enthalpy = &warmth.enthalpy(&hot.start) + heat;
    match warmth.temperature(&enthalpy) {
        Found::At(kelvin) => Some(kelvin),
        Found::TooCold | Found::TooHot => None,
    }
}
