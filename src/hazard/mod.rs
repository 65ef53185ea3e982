//! Substances, strengths and meetings into the usual cautions.
//!
//! Promises: every answer names its row's source; a substance without a row is [`Cautions::NothingFound`], never safe;
//! a meeting without a row is not thereby harmless.
//!
//! Knows nothing of vessels, routes or syntax. It does not replace the safety data sheet, local codes or licensed
//! practice.

mod caution;
mod disposal;
mod gas;
mod group;
mod meeting;
mod mix;
mod mixture;
mod rule;
mod runaway;
pub mod tables;

pub use caution::{Cautions, Form, Hazard, Special, cautions_for, special_measures};
pub use disposal::{Disposal, disposal, disposal_of_dilute, is_harmless_waste};
pub use gas::{GasHazard, RoomAir, gas, room_air};
pub use group::can_hold;
pub use meeting::{Circumstances, Meeting, changed, concerns, poured};
pub use mix::Mix;
pub use mixture::{Classified, classify, signal_word};
pub use rule::{Rule, Severity};
pub use runaway::{Course, HeatLimit, Runaway, heat_limit, runaway};
