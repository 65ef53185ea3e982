//! Meetings that do harm, and their acceptance, in words.

use super::Message;
use crate::hazard::{Rule, Severity};
use crate::matter::{Notation, Species};
use crate::route::ledger::Encounter;

/// What meets where, what comes of it, and what to do.
pub(super) fn encounter(encounter: &Encounter, notation: Notation) -> Message {
    let rule = encounter.meeting.rule;
    let [a, b] = sides(encounter, notation);
    let meets = [a, b]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" with ");
    let title = format!(
        "{}: {}in {}: {}{}",
        rule.key(),
        // A circumstance alone has no sides.
        if meets.is_empty() { meets } else { meets + " " },
        encounter.place,
        rule.consequence(),
        equation(rule, notation),
    );
    let message = Message::warning(kind(encounter), title).hint(action(encounter));
    match (encounter.refused, encounter.meeting.severity) {
        (true, Severity::Forbidden) => message.hint("nothing in a route makes this acceptable"),
        (true, _) => message.hint(format!(
            "if you have considered it and have what it takes, write `accept hazard \"{} {}\"`",
            rule.key(),
            rule.consequence()
        )),
        (false, Severity::Stop | Severity::Forbidden) => message.hint("the route accepts this"),
        _ => message,
    }
}

/// Key, consequence and what to do, where the whole has been said before; `None` for what ended the run or would have.
pub(super) fn reminder(encounter: &Encounter) -> Option<String> {
    let rule = encounter.meeting.rule;
    let grave = encounter.refused || encounter.meeting.severity > Severity::Danger;
    (!grave).then(|| {
        format!(
            "{} in {}: {}; {}",
            rule.key(),
            encounter.place,
            rule.consequence(),
            action(encounter)
        )
    })
}

/// What to do; where the order of pouring makes the danger, and is the wrong one, with the right one.
fn action(encounter: &Encounter) -> String {
    let rule = encounter.meeting.rule;
    let [first, second] = rule.briefly_between();
    match rule.is_wrong_way_round(encounter.meeting.severity) {
        true => format!(
            "{}; here {second} comes onto {first}: charge them the other way round",
            rule.action()
        ),
        false => rule.action().to_owned(),
    }
}

fn kind(encounter: &Encounter) -> &'static str {
    match (encounter.refused, encounter.meeting.severity) {
        (true, Severity::Forbidden) => "forbidden-hazard",
        (true, _) => "refused-hazard",
        _ => "hazard",
    }
}

/// The groups by name, each with what is there of it; the second side is `None` for a circumstance.
fn sides(encounter: &Encounter, notation: Notation) -> [Option<String>; 2] {
    let [a, b] = encounter.meeting.rule.between();
    let [own, others] = &encounter.meeting.between;
    [(a, own), (b, others)].map(|(group, species)| match species.as_slice() {
        [] => None,
        [only] if only.key() == group => Some(only.to_text(notation)),
        _ => Some(format!("{group} ({})", listed(species, notation))),
    })
}

fn listed(species: &[Species], notation: Notation) -> String {
    let all: Vec<String> = species.iter().map(|one| one.to_text(notation)).collect();
    all.join(", ")
}

fn equation(rule: Rule, notation: Notation) -> String {
    let equation = rule.equation();
    equation.map_or_else(String::new, |reaction| {
        format!(" (as in {})", reaction.to_text(notation))
    })
}
