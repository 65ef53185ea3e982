//! Water, aqueous solutions and gases over them: density, heat capacity, strength, solubility, heat of solution.
//!
//! Units are those of the bench: g, mL, mol, L, kPa, J, K; density in g/mL, heat capacity in J/(g·K). Mass fractions
//! are of the anhydrous solute, from 0 to 1.
//!
//! Promises: every figure names its source or model and the range it holds in; an estimate is called one; more than
//! 100 % and more than saturation are refused.
//!
//! Knows nothing of vessels, or of reactions in the solution: acids and bases are what the caller says they are.

pub mod activity;
mod blend;
mod bottle;
mod capacity;
mod density;
mod dissolving;
mod excess;
mod gas;
mod laliberte;
mod mixture;
mod model;
mod pair;
pub mod phase_change;
mod phase_heat;
mod restate;
mod retained;
pub mod saturation;
mod solubility;
mod strength;
pub mod vapour;
mod water;

pub use blend::{
    Aliquots, Diluted, NoDilution, NotBetween, aliquots, blended, dilute, dilute_to_mark,
};
pub use bottle::{UsualBottle, usual_bottles};
pub use density::{NoDensity, density};
pub use dissolving::{NoHeat, heat_of_dilution, heat_of_solution, limiting_heat_of_solution};
pub use excess::Excess;
pub use gas::{NoHenry, dissolved_share, filling_time, henry, moist_molar_volume, molar_volume};
pub use laliberte::RangeKind;
pub use mixture::{Beyond, Estimate, Mixture, MixtureModel};
pub use model::anhydrous;
pub use phase_heat::{ice_enthalpy, vapour_enthalpy, water_enthalpy};
pub use restate::{Restated, restate};
pub use retained::{RetainedLiquor, Separation, retained_liquor};
pub use solubility::{
    Crystals, NoCrystals, NoSolubility, Saturated, crystals, solubility, stable_solid,
};
pub use strength::{Composition, Strength, StrengthFault, composition};
pub use water::{Ice, Water, boiling_point, fusion, ice, water};
