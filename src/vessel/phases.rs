//! Where the water of a vessel changes its phase: ice that melts, water that boils off, a liquid colder than it can be.
//!
//! Boiling and freezing points are those of [`phase_change`](crate::solution::phase_change), and over volatile solutes
//! those of [`vapour`](crate::solution::vapour).

use crate::data::Store;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, ZERO_CELSIUS, root};
use crate::solution::activity::Basis;
use crate::solution::phase_change::{Aqueous, Based, ln_water_with_ice, water_vapour_pressure};
use crate::solution::vapour::Liquid;

use super::contents::Contents;
use super::enthalpy::{Found, SensibleEnthalpy, of_contents};
use super::reaction::heat_of;
use super::{Ambient, Cited, reagent};

/// The share of its water that a vessel may boil off on its own before the rest of the heat is given up as not followed.
const BOILED_AT_MOST: f64 = 0.9;

/// The models of solutions end here, in K; what boils no lower is taken to boil here, as an estimate.
const HOTTEST_SOLUTION: f64 = 640.0;
/// Salts far past saturation can have no freezing point that the models find; they are taken to freeze here, in K, as an
/// estimate.
const COLDEST_SOLUTION: f64 = 173.15;

/// A temperature at which a liquid changes its phase.
#[derive(Clone, Debug, PartialEq)]
pub struct PhasePoint {
    /// In K.
    pub kelvin: Number,
    /// Whether it is an estimate: by Raoult's law, by typical coefficients or beyond what was measured.
    pub estimate: bool,
}

impl From<Based<f64>> for Cited<PhasePoint> {
    fn from(found: Based<f64>) -> Self {
        cited(found.value, &found.basis)
    }
}

fn cited(kelvin: f64, basis: &Basis) -> Cited<PhasePoint> {
    Cited {
        value: PhasePoint {
            kelvin: Number::modelled(kelvin).unwrap_or_else(Number::zero),
            estimate: basis.is_estimate(),
        },
        sources: basis.sources.iter().collect(),
    }
}

fn estimated(kelvin: f64) -> Cited<PhasePoint> {
    Cited::plain(PhasePoint {
        kelvin: Number::modelled(kelvin).unwrap_or_else(Number::zero),
        estimate: true,
    })
}

/// g of water in the liquid, and mol of everything else in it by formula; `None` without water.
fn solution(contents: &Contents) -> Option<(f64, Vec<(&str, f64)>)> {
    let water = reagent::grams_of_water(contents).to_f64();
    let liquid = contents.iter();
    let solutes = liquid.filter(|(species, _)| {
        matches!(species.phase(), Some(Phase::Liquid | Phase::Aqueous)) && species.key() != "H2O"
    });
    let solutes = solutes.map(|(species, moles)| (species.key(), moles.to_f64()));
    (water > 0.0).then(|| (water, solutes.collect()))
}

fn aqueous(contents: &Contents) -> Option<Aqueous> {
    let (water, solutes) = solution(contents)?;
    Aqueous::new(water, &solutes)
}

fn pascal(ambient: &Ambient) -> f64 {
    1000.0 * ambient.pressure.to_f64()
}

/// Where the liquid boils under the pressure of the room; `None` without water.
pub fn boiling_point(contents: &Contents, ambient: &Ambient) -> Option<Cited<PhasePoint>> {
    let (water, solutes) = solution(contents)?;
    let liquid = Liquid::new(water, &solutes)?;
    let found = match liquid.is_volatile() {
        true => liquid.boiling_point(pascal(ambient)),
        false => Aqueous::new(water, &solutes)?.boiling_point(pascal(ambient)),
    };
    Some(found.map_or_else(|| estimated(HOTTEST_SOLUTION), Into::into))
}

/// Whether the liquid boils at a temperature in K, or below it, under the pressure of the room.
pub fn boils_at(contents: &Contents, ambient: &Ambient, kelvin: f64) -> bool {
    let Some((water, solutes)) = solution(contents) else {
        return false;
    };
    let Some(liquid) = Liquid::new(water, &solutes) else {
        return false;
    };
    match liquid.is_volatile() {
        true => liquid.boils_at(kelvin, pascal(ambient)),
        false => water_boils_at(contents, ambient, kelvin),
    }
}

/// Where the water in the liquid boils, whatever else leaves.
fn water_boiling_point(contents: &Contents, ambient: &Ambient) -> Cited<PhasePoint> {
    let found = aqueous(contents).and_then(|aqueous| aqueous.boiling_point(pascal(ambient)));
    found.map_or_else(|| estimated(HOTTEST_SOLUTION), Into::into)
}

/// Whether the water in the liquid has the pressure of the room at a temperature in K.
pub fn water_boils_at(contents: &Contents, ambient: &Ambient, kelvin: f64) -> bool {
    // No salt makes water boil below its own boiling point.
    let pascal = pascal(ambient);
    if water_vapour_pressure(kelvin) < pascal {
        return false;
    }
    aqueous(contents).is_some_and(|aqueous| aqueous.water_pressure(kelvin) >= pascal)
}

/// The same, and that of water itself where there is no liquid.
pub fn boiling_point_or_waters(contents: &Contents, ambient: &Ambient) -> Cited<PhasePoint> {
    if let Some(found) = boiling_point(contents, ambient) {
        return found;
    }
    let water = Aqueous::new(1000.0, &[]);
    let found = water.and_then(|water| water.boiling_point(pascal(ambient)));
    found.map_or_else(|| estimated(HOTTEST_SOLUTION), Into::into)
}

/// Where ice or another solid and the liquid are at rest beside each other; `None` without water.
pub fn freezing_point(contents: &Contents) -> Option<Cited<PhasePoint>> {
    let found = aqueous(contents)?.freezing_point();
    Some(found.map_or_else(
        || estimated(COLDEST_SOLUTION),
        |found| cited(found.value.kelvin, &found.basis),
    ))
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
    /// The temperature of contents with this supply, in K.
    fn temperature(&self, store: &Store, contents: &Contents) -> Option<f64> {
        let enthalpy = match self {
            Supply::Bath(held) => return Some(held.to_f64()),
            Supply::Own(enthalpy) => enthalpy,
        };
        let sensible = SensibleEnthalpy::of(store, contents)?;
        Some(match sensible.value.temperature(enthalpy) {
            Found::At(kelvin) => kelvin.to_f64(),
            Found::TooCold => 0.0,
            Found::TooHot => f64::MAX,
        })
    }
}

/// Ice that melts, in mol: it takes up heat until it is gone or the liquid is as cold as it, where both are at rest, and
/// no colder than the eutectic.
pub fn melting(store: &Store, contents: &Contents, supply: Supply<'_>) -> Option<Number> {
    let ice = reagent::ice();
    let there = contents.amount(&ice);
    if !there.is_positive() {
        return None;
    }
    let melt = |melted: f64| {
        let mut contents = contents.clone();
        let melted = Number::modelled(melted).unwrap_or_else(Number::zero);
        contents.add(&ice, &-&melted);
        contents.add(&reagent::water(), &melted);
        contents
    };
    let all = there.to_f64();
    // It depends on what is dissolved, not on how much water there is.
    let eutectic = aqueous(&melt(all)).and_then(|aqueous| aqueous.eutectic_point());
    let surplus = |melted: f64| {
        let contents = melt(melted);
        let at = supply.temperature(store, &contents);
        at.map_or(0.0, |at| warmer_than_ice(&contents, at, eutectic))
    };
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

/// By how many K, nearly, a liquid is warmer than ice can be beside it; exactly none where both are at rest.
fn warmer_than_ice(contents: &Contents, kelvin: f64, eutectic: Option<f64>) -> f64 {
    /// Change of ln of the activity of water beside ice with 1 K, at 0 °C.
    const PER_KELVIN: f64 = 0.0097;
    let Some(aqueous) = aqueous(contents) else {
        return kelvin - ZERO_CELSIUS;
    };
    if kelvin >= ZERO_CELSIUS + 1.0 {
        return kelvin - ZERO_CELSIUS;
    }
    let above = kelvin.max(COLDEST_SOLUTION);
    let by_ice = (ln_water_with_ice(above) - aqueous.ln_water(above)) / PER_KELVIN;
    let by_ice = by_ice - (above - kelvin);
    match eutectic {
        Some(lowest) => by_ice.min(kelvin - lowest),
        None => by_ice,
    }
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
    /// Where what stays boils.
    pub boiling: Cited<PhasePoint>,
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
/// given too.
fn heat_left(
    store: &Store,
    ambient: &Ambient,
    contents: &Contents,
    enthalpy: &Number,
    moles: f64,
) -> (f64, Cited<PhasePoint>) {
    let mut rest = contents.clone();
    let moles = Number::modelled(moles).unwrap_or_else(Number::zero);
    rest.add(&reagent::water(), &-&moles);
    let at = water_boiling_point(&rest, ambient);
    let kelvin = &at.value.kelvin;
    let mut gone = Contents::new();
    gone.add(&reagent::steam(), &moles);
    let bound = heat_of(store, &vaporisation(), &moles).value;
    let needed =
        &of_contents(store, &rest, kelvin).value + &of_contents(store, &gone, kelvin).value;
    let needed = &needed + bound.known().unwrap_or(&Number::zero());
    (enthalpy.to_f64() - needed.to_f64(), at)
}
