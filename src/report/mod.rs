//! Answers as pages: the one place where figures are rounded, and where it is said to how many digits.
//!
//! Promises: a figure with an uncertainty is shown to the digits of that uncertainty; lines fit 80 columns; what is
//! shown can be read without colour.
//!
//! Computes nothing and finds no faults.

mod balance;
pub mod figure;
mod heat;
mod json;
mod mass;
pub mod page;
mod sheet;
mod substance;
mod working;

pub use balance::{BalanceJson, balance, count, quick_json};
pub use heat::{HeatJson, heat};
pub use json::RouteJson;
pub use mass::mass;
pub use sheet::{Style, answers, operation, scale, sheet, yields};
pub use substance::substance;
pub use working::{ionic, working};
