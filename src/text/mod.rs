//! Source text, places in it, and its outline of statements and blocks.
//!
//! Promises: a [`Span`] is a range of bytes on character boundaries; columns and lines are worked out only when a
//! message is drawn. The [`outline()`] splits any text into statements without losing a byte and without recursion.
//!
//! Knows nothing of meaning: a statement is a stretch of text that a later room reads.

pub mod grammar;
mod layout;
mod list;
pub mod outline;
mod source;
mod suggest;

pub use layout::layout;
pub use list::{all_of, any_of, expected_here};
pub use outline::{Fault as OutlineFault, Node, Statement, outline};
pub use source::{Source, Span};
pub use suggest::near;
