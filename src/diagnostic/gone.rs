//! What is not there any more: vessels that were emptied, reagents that were used up.

use super::{Message, all_of};
use crate::route::ledger::{Emptied, UsedUp};

/// Who emptied a vessel, or that nobody filled it.
pub(super) fn empty(vessel: &str, emptied: Option<&Emptied>) -> Message {
    let say = |title: String| Message::warning("empty-vessel", title);
    let Some(emptied) = emptied else {
        return say(format!("{vessel} is empty here")).hint(format!(
            "nothing was ever put into {vessel}: charge it first"
        ));
    };
    let who = named_step(emptied.step);
    match &emptied.into {
        Some(into) if into.is_empty() => say(format!(
            "{vessel} is empty here, because {who} put all of it into the waste jar"
        ))
        .at(emptied.span, "this emptied it"),
        Some(into) => say(format!(
            "{vessel} is empty here, because {who} moved all of it to {}",
            all_of(into)
        ))
        .at(emptied.span, "this emptied it"),
        None => say(format!(
            "{vessel} is empty here, because {who} left nothing in it"
        ))
        .at(emptied.span, "nothing came into it here"),
    }
    .hint(format!(
        "charge {vessel} anew, or take what is meant from where it went"
    ))
}

fn named_step(step: Option<usize>) -> String {
    match step {
        Some(step) => format!("step {step}"),
        None => "an earlier statement".to_owned(),
    }
}

pub(super) fn absent(species: &str, vessel: &str, used_up: Option<&UsedUp>) -> Message {
    let gone = format!("nothing reacts: there is no {species} in {vessel}");
    let Some(used_up) = used_up else {
        return Message::warning("absent-reagent", gone)
            .hint(format!("charge something that brings {species}"));
    };
    let who = named_step(used_up.step);
    let title = format!("{gone}: {who} used it up");
    Message::warning("absent-reagent", title)
        .at(used_up.span, format!("{species} was used up here"))
        .hint(more_or_none(species))
}

pub(super) fn nearly_absent(species: &str, vessel: &str, used_up: &UsedUp) -> Message {
    let who = named_step(used_up.step);
    let title = format!(
        "hardly anything reacts: only a trace of {species} is in {vessel}, {who} used up the rest"
    );
    Message::warning("absent-reagent", title)
        .at(used_up.span, format!("{species} was nearly used up here"))
        .hint(more_or_none(species))
}

fn more_or_none(species: &str) -> String {
    format!("charge more of what brings {species}, or leave this step out")
}
