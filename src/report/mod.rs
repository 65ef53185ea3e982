//! Answers as pages: the one place where figures are rounded, and where it is said to how many digits.
//!
//! Promises: a figure with an uncertainty is shown to the digits of that uncertainty; lines fit 80 columns; what is
//! shown can be read without colour.
//!
//! Computes nothing and finds no faults.

pub mod figure;
mod mass;
pub mod sheet;

pub use mass::mass;
