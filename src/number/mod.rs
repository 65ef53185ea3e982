//! Exact rationals, numbers with an uncertainty that may be empty, and quantities with a dimension.
//!
//! Promises: no value is rounded here except by [`Exact::modelled`], the one door from a floating-point model, which the
//! plain text of a number for logs and errors takes, too;
//! uncertainty is carried to first order with its correlations (JCGM 100:2008, 5.1 and 5.2).
//!
//! Knows nothing of formulas, vessels or how many digits anybody wants to see.

mod dimension;
mod draw;
mod exact;
mod fraction;
mod number_with_spread;
mod quantity;
pub mod root;
mod sampled;
mod temperature;
pub mod unit;

pub use dimension::Dimension;
pub use draw::{Distribution, Input, SampleDraw};
pub use exact::{Exact, NotANumber};
pub use number_with_spread::{InputId, Number};
pub use quantity::{Mismatch, Places, Quantity};
pub use sampled::{COVERAGE, FACTOR, Sampled, Validation, Verdict, tolerance};
pub use temperature::{STANDARD_TEMPERATURE, ZERO_CELSIUS, standard_temperature, zero_celsius};
pub use unit::Unit;
