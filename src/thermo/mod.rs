//! Species and balanced reactions into enthalpies, entropies, Gibbs energies, heat capacities, equilibrium constants
//! and cell potentials.
//!
//! Promises: every figure names its source; a species without data is named, all of them at once, and never stands for
//! zero; isomers are never taken for one another; a temperature outside the range of the data is refused with the
//! range.
//!
//! Knows nothing of vessels, amounts or what an equation looked like; bond energies and group guesses are not given.

mod course;
mod energetics;
mod potential;
mod reaction;
mod spread;
mod standard;
mod temperature;

pub use course::{CapacityFrom, Rise, Warming, warming};
pub use energetics::{
    Alternative, Asked, Away, Cell, Energetics, NoEnergetics, Tabled, energetics,
};
pub use potential::{Couple, FARADAY_CONSTANT, nernst, potential, tabled_potential};
pub use reaction::{
    Contribution, GAS_CONSTANT, GibbsFrom, Missing, ReactionData, ReactionHeat,
    STANDARD_TEMPERATURE, reaction, reaction_heat,
};
pub use spread::{FIRST_DATUM, datum, input};
pub use standard::{Standard, Unknown, forms, standard};
pub use temperature::{AtTemperature, Basis, ReactionCourse, SpeciesAt, TooFar};
