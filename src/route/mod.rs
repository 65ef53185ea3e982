//! Routes: text into a syntax tree, into a checked program, into a ledger.
pub mod ledger;
pub mod parse;
pub mod syntax;
