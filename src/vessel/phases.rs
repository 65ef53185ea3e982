//! Where the water of a vessel changes its phase: ice that melts, water that boils off, a liquid colder than it can be.
//!
//! Boiling and freezing points are those of water shifted by Raoult's law with every ion counted.

use crate::data::Store;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, root};
use crate::solution;

use super::contents::Contents;
use super::enthalpy::{Found, SensibleEnthalpy, of_contents};
use super::reaction::heat_of;
use super::{Ambient, reagent};

/// The share of its water that a vessel may boil off on its own before the rest of the heat is given up as not followed.
const BOILED_AT_MOST: f64 = 0.9;

/// g of water and mol of everything else in the liquid; `None` without water.
fn particles(contents: &Contents) -> Option<(f64, f64)> {
    let liquid = contents.liquid();
    let solutes = liquid.iter().filter(|(species, _)| species.key() != "H2O");
    let moles = solutes.map(|(_, moles)| moles.to_f64()).sum();
    let water = reagent::grams_of_water(contents).to_f64();
    (water > 0.0).then_some((water, moles))
}

/// Where the liquid boils under the pressure of the room, in K; `None` without water.
pub fn boiling_point(contents: &Contents, ambient: &Ambient) -> Option<f64> {
    let (water, solutes) = particles(contents)?;
    solution::solution_boiling_point(water, solutes, ambient.pressure.to_f64())
}

/// The same, and that of water itself where there is no liquid.
pub fn boiling_point_or_waters(contents: &Contents, ambient: &Ambient) -> Number {
    let solution = boiling_point(contents, ambient);
    if let Some(kelvins) = solution.and_then(Number::modelled) {
        return kelvins;
    }
    match solution::boiling_point(&ambient.pressure) {
        Ok(found) => found.value,
        Err(_) => Number::exact(Exact::ratio(37_315, 100)),
    }
}

/// Where ice and the liquid are at rest beside each other, in K; `None` without water.
pub fn freezing_point(contents: &Contents) -> Option<f64> {
    let (water, solutes) = particles(contents)?;
    Some(solution::solution_freezing_point(water, solutes))
}

/// The heat that contents have, or the bath that they are in.
#[derive(Clone, Copy, Debug)]
pub enum Supply<'s> {
    /// An enthalpy in kJ.
    Own(&'s Number),
    /// A bath that keeps them at a temperature in K.
    Bath(&'s Number),
}

impl Supply<'_> {
    /// By how many K contents with this supply are warmer than `than`.
    fn warmer_than(&self, store: &Store, contents: &Contents, than: f64) -> f64 {
        let enthalpy = match self {
            Supply::Bath(held) => return held.to_f64() - than,
            Supply::Own(enthalpy) => enthalpy,
        };
        let Some(sensible) = SensibleEnthalpy::of(store, contents) else {
            return 0.0;
        };
        match sensible.value.temperature(enthalpy) {
            Found::At(kelvin) => kelvin.to_f64() - than,
            Found::TooCold => -than,
            Found::TooHot => than,
        }
    }
}

/// Ice that melts, in mol: it takes up heat until it is gone or the liquid is as cold as it, where both are at rest.
pub fn melting(store: &Store, contents: &Contents, supply: Supply<'_>) -> Option<Number> {
    let ice = reagent::ice();
    let there = contents.amount(&ice);
    if !there.is_positive() {
        return None;
    }
    let surplus = |melted: f64| {
        let mut contents = contents.clone();
        let melted = Number::modelled(melted).unwrap_or_else(Number::zero);
        contents.add(&ice, &-&melted);
        contents.add(&reagent::water(), &melted);
        let rest = freezing_point(&contents).unwrap_or(273.15);
        supply.warmer_than(store, &contents, rest)
    };
    let all = there.to_f64();
    if surplus(all) >= 0.0 {
        return Some(there);
    }
    if surplus(0.0) <= 0.0 {
        return None;
    }
    // More melted is colder, so the difference falls.
    let part = root::rising(|melted| -surplus(melted), (0.0, all), 0.5 * all);
    Number::modelled(part)
}

/// The change that melts ice.
pub fn fusion() -> [(Exact, Species); 2] {
    [
        (Exact::from(-1), reagent::ice()),
        (Exact::one(), reagent::water()),
    ]
}

/// `H2O(l) -> H2O(g)`
pub fn vaporisation() -> [(Exact, Species); 2] {
    let water = reagent::water();
    let vapour = water.with_phase(Some(Phase::Gas));
    [(Exact::from(-1), water), (Exact::one(), vapour)]
}

/// Water that leaves an open vessel by its own heat.
#[derive(Clone, Debug)]
pub struct BoilOff {
    /// mol
    pub moles: f64,
    /// Where what stays boils, in K.
    pub boiling: f64,
    /// kJ that are left when all that may boil off is gone; zero otherwise but for rounding.
    pub left: f64,
}

/// What boils off contents with an enthalpy in kJ, whose liquid would be above its boiling point.
pub fn boil_off(
    store: &Store,
    ambient: &Ambient,
    contents: &Contents,
    enthalpy: &Number,
) -> BoilOff {
    let most = BOILED_AT_MOST * contents.amount(&reagent::water()).to_f64();
    let surplus = |moles: f64| heat_left(store, ambient, contents, enthalpy, moles).0;
    let moles = if surplus(most) > 0.0 {
        most
    } else {
        root::rising(|moles| -surplus(moles), (0.0, most), 0.5 * most)
    };
    let (left, boiling) = heat_left(store, ambient, contents, enthalpy, moles);
    BoilOff {
        moles,
        boiling,
        left,
    }
}

/// kJ that contents which boil off some mol of water still have above what they need at their boiling point, which is
/// given too, in K.
fn heat_left(
    store: &Store,
    ambient: &Ambient,
    contents: &Contents,
    enthalpy: &Number,
    moles: f64,
) -> (f64, f64) {
    let mut rest = contents.clone();
    let moles = Number::modelled(moles).unwrap_or_else(Number::zero);
    rest.add(&reagent::water(), &-&moles);
    let at = boiling_point(&rest, ambient).unwrap_or(373.15);
    let kelvin = Number::modelled(at).unwrap_or_else(Number::zero);
    let mut gone = Contents::new();
    gone.add(&reagent::steam(), &moles);
    let bound = heat_of(store, &vaporisation(), &moles).value;
    let needed =
        &of_contents(store, &rest, &kelvin).value + &of_contents(store, &gone, &kelvin).value;
    let needed = &needed + bound.known().unwrap_or(&Number::zero());
    (enthalpy.to_f64() - needed.to_f64(), at)
}
