//! Answers as pages, their figures rounded by [`crate::figure`].
//!
//! Promises: a figure with an uncertainty is shown to the digits of that uncertainty; lines fit 80 columns; what is
//! shown can be read without colour.
//!
//! Computes nothing and finds no faults.

pub mod ascii;
mod balance;
mod caution;
mod csv;
mod derivation;
pub mod document;
mod heat;
mod heat_json;
mod html;
mod json;
pub mod label;
mod markdown;
mod mass;
mod outcome;
mod oxidation;
pub mod page;
pub mod picture;
mod planning;
mod portion;
mod sampling;
mod scale;
mod sheet;
mod solution;
mod step_heat;
mod substance;
mod titration;
mod trace;
pub mod typeset;
mod working;

pub use self::csv::csv;
pub use balance::{balance, count};
pub use derivation::{Derivation, Group, derivations, explain};
pub use heat::heat;
pub use heat_json::HeatJson;
pub use html::html;
pub use json::{
    BalanceAnswerJson, BalanceJson, FaultJson, LineAnswerJson, LineJson, RefusedJson, RouteJson,
    ScaleJson, quick_json, schemas,
};
pub use markdown::markdown;
pub use mass::mass;
pub use oxidation::{changing_numbers, electrons, oxidation_choices, oxidation_numbers};
pub use picture::svg;
pub use sheet::{Style, answers, operation, pictures, planned, scale, sheet, solution, yields};
pub use substance::substance;
pub use working::{explained, ionic, ions, working};
