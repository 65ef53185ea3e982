//! What is wrong with an `instrument`, in words.

use super::Message;
use crate::route::syntax::{Glass, InstrumentKind};
use crate::route::{check::InstrumentFault, glassware};

/// Why something cannot be measured like that.
pub(super) fn fault(fault: InstrumentFault) -> Message {
    match fault {
        InstrumentFault::NoSuchGlass { span, glass } => no_such_glass(glass).at(span, ""),
        InstrumentFault::Twice { span, kind, first } => {
            let title = format!("this `{}` is declared already", kind.word());
            Message::error("instrument-twice", title)
                .at(span, "")
                .at(first, "first time")
                .hint("keep one of them; where another was used, write its `±` behind the quantity")
        }
        InstrumentFault::Size { span, kind } => {
            let message = Message::error("instrument-size", size_of(kind)).at(span, "");
            match kind {
                InstrumentKind::Glass(_) => {
                    message.hint("write a volume, or leave it out to mean every size")
                }
                _ => message.hint("leave it out: there is one for all"),
            }
        }
        InstrumentFault::Slack { span } => Message::error(
            "instrument-slack",
            "nothing is measured out with an instrument like that",
        )
        .at(span, "")
        .hint("write an uncertainty above zero and smaller than what is measured"),
    }
}

fn size_of(kind: InstrumentKind) -> String {
    match kind {
        InstrumentKind::Glass(_) => "the size of glassware is a volume".to_owned(),
        other => format!("a {} has no size here", other.word()),
    }
}

fn no_such_glass(glass: Glass) -> Message {
    let sizes: Vec<String> = glassware::sizes(glass).map(|s| s.to_string()).collect();
    Message::error(
        "no-such-glass",
        "no class A glassware of this size is known here",
    )
    .hint(format!(
        "write the volume as a number, one of {} mL, or give its `±` yourself",
        sizes.join(", ")
    ))
}
