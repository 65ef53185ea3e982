//! Faults of braces and quotes in words.

use super::Message;
use crate::text::OutlineFault;
use crate::text::outline::MAX_DEPTH;

/// The message of an outline fault; its places are those of the fault.
pub fn outline_fault(fault: &OutlineFault) -> Message {
    let span = fault.span();
    match fault {
        OutlineFault::UnclosedBlock { .. } => {
            Message::error("unclosed-block", "this block is never closed")
                .at(span, "opened here")
                .hint("add a `}` on a line of its own where the block ends")
        }
        OutlineFault::StrayBrace { .. } => Message::error("stray-brace", "this `}` closes nothing")
            .at(span, "no block is open here")
            .hint("remove it, or open the block with `{` at the end of its first line"),
        OutlineFault::UnclosedText { .. } => {
            Message::error("unclosed-text", "the text that begins here has no end")
                .at(span, "missing a closing `\"`")
                .hint("end the text with `\"` on the same line")
        }
        OutlineFault::TooDeep { .. } => Message::error(
            "too-deep",
            format!("more than {MAX_DEPTH} blocks stand inside each other"),
        )
        .at(span, "this one goes too far")
        .hint("close a block before opening the next"),
    }
}
