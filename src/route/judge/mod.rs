//! After the end: what a second reader would point out.
//!
//! Reads the run that is over and adds remarks; changes nothing that was done.

mod discarded;
mod finish;
mod further;
mod left_over;
mod looking_back;

pub use finish::finish;
pub use further::{Further, further};
