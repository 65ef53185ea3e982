//! What is wrong with an `instrument`, in words.

use super::Message;
use crate::route::syntax::{Glass, InstrumentKind};
use crate::route::{check::InstrumentFault, glassware};

/// Why something cannot be measured like that.
pub(super) fn fault(fault: InstrumentFault) -> Message {
    let message = |kind| Message::error(kind, fault.to_string()).at(fault.span(), "");
    match fault {
        InstrumentFault::NoSuchGlass { glass, .. } => {
            message("no-such-glass").hint(sizes_of(glass))
        }
        InstrumentFault::Twice { first, .. } => message("instrument-twice")
            .at(first, "first time")
            .hint("keep one of them; where another was used, write its `±` behind the quantity"),
        InstrumentFault::Size { kind, .. } => message("instrument-size").hint(match kind {
            InstrumentKind::Glass(_) => "write a volume, or leave it out to mean every size",
            _ => "leave it out: there is one for all",
        }),
        InstrumentFault::Slack { .. } => message("instrument-slack")
            .hint("write an uncertainty above zero and smaller than what is measured"),
    }
}

fn sizes_of(glass: Glass) -> String {
    let sizes: Vec<String> = glassware::sizes(glass).map(|s| s.to_string()).collect();
    format!(
        "write the volume as a number, one of {} mL, or give its `±` yourself",
        sizes.join(", ")
    )
}
