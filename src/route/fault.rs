//! What is wrong with the text of a route, found before anything runs.

use crate::text::Span;

use super::check::CheckFault;
use super::parse::SyntaxFault;

/// A fault of the text, found before anything runs.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Fault {
    /// It cannot be read.
    #[error(transparent)]
    Syntax(SyntaxFault),
    /// It can be read, and cannot stand.
    #[error(transparent)]
    Check(CheckFault),
}

impl Fault {
    /// Where it is; at the start for settings, which stand outside the text.
    pub fn span(&self) -> Span {
        match self {
            Fault::Syntax(fault) => fault.span(),
            Fault::Check(fault) => fault.span(),
        }
    }
}
