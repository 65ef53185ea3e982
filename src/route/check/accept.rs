//! `accept hazard "…"`: a declaration that names one row of the table of what must not meet.

use crate::hazard::Rule;

use super::super::program::Accepted;
use super::super::syntax::Name;
use super::{CheckFault, Checked, Checker};

impl Checker<'_> {
    /// It holds for the whole route, wherever it stands; a forbidden row cannot be named.
    pub(super) fn accept(&mut self, text: &Name) -> Checked<()> {
        let fault = match Rule::named(&text.node) {
            Some(rule) if !rule.can_be_accepted() => CheckFault::ForbiddenHazard {
                text: text.clone(),
                rule,
            },
            Some(rule) => {
                self.program.accepted.push(Accepted {
                    rule,
                    text: text.node.clone(),
                    span: text.span,
                });
                return Ok(());
            }
            None => CheckFault::UnknownHazard { text: text.clone() },
        };
        self.faults.push(fault);
        Err(())
    }
}
