//! Substances and strengths into the usual cautions.
//!
//! Promises: every answer names its row's source; a substance without a row is [`Cautions::NothingFound`], never safe.
//!
//! Knows nothing of vessels, amounts or syntax. It does not replace the safety data sheet, local codes or licensed
//! practice.

mod caution;
mod gas;
pub mod tables;

pub use caution::{Cautions, Form, Hazard, cautions_for};
pub use gas::{GasHazard, RoomAir, gas, room_air};
