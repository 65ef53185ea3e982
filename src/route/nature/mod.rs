//! What follows by itself when something was done to a vessel: its temperature, ice that melts, water that boils off,
//! what dissolves, gas that leaves; and what must not happen.
//!
//! Knows nothing of statements: every operation ends here.

pub mod dissolve;
pub mod encounters;
pub mod filling;
pub mod gases;
pub mod phases;
pub mod rest;
