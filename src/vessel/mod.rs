//! A vessel as a thing with a nature of its own: what is in it, and what that does by itself.
//!
//! Every model is a pure function of contents, conditions and tables, and carries its sources with it ([`Cited`]).
//!
//! Promises: asking changes nothing; the answer depends on contents and conditions alone, not on how they came about.
//!
//! Knows no script, no ledger, no words.

mod ambient;
mod cited;
mod contents;
pub mod enthalpy;
pub mod liquid;
pub mod phases;
pub mod reaction;
pub mod reagent;
pub mod salts;
pub mod saturation;
pub mod stock;

pub use ambient::Ambient;
pub use cited::{Cited, Sources};
pub use contents::{Content, Contents, grams, moles};
pub use enthalpy::SensibleEnthalpy;
pub use reaction::Heat;
pub use reagent::{Reagent, ReagentFault};
