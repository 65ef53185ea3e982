//! Expectations that are not met, in words.

use super::Message;
use crate::route::ledger::{Answer, Expectation};

/// The message of an expectation that does not hold, or of which a side is unknown.
pub fn unmet(expectation: &Expectation) -> Message {
    let unknown = [&expectation.value, &expectation.wanted]
        .into_iter()
        .any(|side| matches!(side, Answer::Unknown));
    let label = if unknown {
        "a side of it is not known"
    } else {
        "it does not hold"
    };
    Message::error("unmet-expectation", "an expectation is not met")
        .at(expectation.span, label)
        .hint("the sheet shows both sides under its expectations; change the plan, or what is expected of it")
}
