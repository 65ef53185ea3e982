//! Faults of braces and quotes in words.

use super::Message;
use crate::text::OutlineFault;

/// The message of an outline fault; its places are those of the fault.
pub fn outline_fault(fault: &OutlineFault) -> Message {
    let (span, title) = (fault.span(), fault.to_string());
    match fault {
        OutlineFault::UnclosedBlock { .. } => Message::error("unclosed-block", title)
            .at(span, "opened here")
            .hint("add a `}` on a line of its own where the block ends"),
        OutlineFault::StrayBrace { .. } => Message::error("stray-brace", title)
            .at(span, "no block is open here")
            .hint("remove it, or open the block with `{` at the end of its first line"),
        OutlineFault::UnclosedText { .. } => Message::error("unclosed-text", title)
            .at(span, "missing a closing `\"`")
            .hint("end the text with `\"` on the same line"),
        OutlineFault::TooDeep { .. } => Message::error("too-deep", title)
            .at(span, "this one goes too far")
            .hint("close a block before opening the next"),
        OutlineFault::TooMany { .. } => Message::error("too-large", title)
            .at(span, "from here on nothing is read")
            .hint("make several routes of it"),
    }
}
