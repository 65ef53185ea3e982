//! Skeletons into balanced reactions, with the reasons where there is none or more than one.
//!
//! Promises: exact arithmetic only; the order of writing never changes the answer; a skeleton with several independent
//! answers is reported, never settled by a guess; every answer is counted again before it leaves this room.
//!
//! Knows nothing of heats, vessels or terminals.

mod balance;
mod columns;
mod couples;
mod electrons;
mod halves;
mod identity;
pub mod ionic;
mod ionic_view;
mod matrix;
pub mod oxidation;
mod quick;
mod rays;
mod reaction;
mod read;
mod skeleton;
mod stated;
mod suggestion;
mod unbalanced;
mod working;
mod written;

pub use balance::{Balance, SettledBy, balance};
pub use columns::MAX_SPECIES;
pub use electrons::{Transfer, transfers};
pub use identity::identity;
pub(crate) use identity::of_same_composition;
pub use ionic_view::{Driver, IonicView, ionic_view};
pub use matrix::{Conserved, nullspace};
pub use quick::{Quick, quick};
pub use reaction::Reaction;
pub use read::{EquationFault, EquationFaultKind, parse_equation, read_equation};
pub use skeleton::{Medium, Ratio, Side, Skeleton, Term};
pub use stated::Stated;
pub use suggestion::{media, suggestions};
pub use unbalanced::Unbalanced;
pub use working::{Course, Half, NoWorking, Working, working};
pub use written::{Imbalance, imbalances};
