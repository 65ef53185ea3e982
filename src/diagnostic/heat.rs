//! Why a heat is not known, in words.

use super::{Message, all_of};
use crate::data::Range;
use crate::equation::{Balance, Skeleton};
use crate::matter::Species;
use crate::thermo::{Missing, NoEnergetics, ReactionData, TooFar, Unknown};

/// The message of a reaction for some of whose species there are no data.
pub fn no_heat(missing: &Missing, data: &ReactionData, skeleton: &Skeleton) -> Message {
    let mut message = Message::error("unknown-heat", missing.to_string());
    let terms = skeleton
        .terms()
        .filter(|(_, term)| missing.species.contains(&term.species));
    for (_, term) in terms {
        message = message.at(term.span, "no data");
    }
    if message.labels.is_empty() {
        message = message.at(skeleton.span, "");
    }
    let mut hinted = message;
    for unknown in data.unknown() {
        if let Some(hint) = instead(unknown) {
            hinted = hinted.hint(hint);
        }
    }
    hinted.hint("in a route, give its data: substance FORMULA(phase): dfH … kJ/mol, source \"…\"")
}

fn instead(unknown: &Unknown) -> Option<String> {
    let name = unknown.species.with_phase(None);
    let phases: Vec<String> = unknown
        .other_phases
        .iter()
        .map(|phase| format!("`{}`", unknown.species.with_phase(Some(*phase)).plain()))
        .collect();
    if !phases.is_empty() {
        return Some(format!("there are data for {}", all_of(&phases)));
    }
    let same: Vec<String> = unknown
        .same_composition
        .iter()
        .map(|s: &Species| format!("`{}`", s.plain()))
        .collect();
    (!same.is_empty()).then(|| {
        format!(
            "`{}` has the composition of {}: write the one that is meant",
            name.plain(),
            all_of(&same)
        )
    })
}

/// The message of an equation with several balances, where one is needed.
pub fn undecided(balance: &Balance, skeleton: &Skeleton) -> Message {
    let Balance::Open { freedom, balances } = balance else {
        return Message::error("several-balances", "one balance is needed").at(skeleton.span, "");
    };
    let ratio = super::several_balances(*freedom, balances, skeleton);
    Message {
        severity: super::Severity::Error,
        title: format!("this equation has {freedom} independent balances, and one is needed"),
        ..ratio
    }
}

/// The message of a question about a reaction that has no answer at all.
pub fn no_energetics(fault: &NoEnergetics, skeleton: &Skeleton) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        NoEnergetics::TooFar(TooFar::NotAboveZero) => {
            message("absurd-temperature").hint("write one in K or °C: --at \"500 K\"")
        }
        NoEnergetics::TooFar(TooFar::Outside { limits, .. }) => {
            too_far(message("beyond-data"), limits, skeleton)
        }
        NoEnergetics::NotInEquation(_) => message("no-such-species")
            .at(skeleton.span, "")
            .hint("give activities of species of the equation"),
        NoEnergetics::NotPositive(_) => message("not-positive"),
    }
}

fn too_far(mut message: Message, limits: &[(Species, Range)], skeleton: &Skeleton) -> Message {
    let reach = |range: Range| format!("{:.0} to {:.0} K", range.low, range.high);
    for (_, term) in skeleton.terms() {
        let short = limits.iter().find(|(species, _)| species == &term.species);
        if let Some((_, range)) = short {
            message = message.at(term.span, reach(*range));
        }
    }
    let message = message
        .at_first(skeleton.span)
        .hint("choose a temperature in that range");
    let liquid = limits.iter().find_map(|(species, _)| {
        let bare = species.with_phase(None);
        (species.phase() != Some(crate::matter::Phase::Gas) && bare.key() == "H2O").then_some(bare)
    });
    match liquid {
        Some(water) => message.hint(format!("or write `{}(g)`", water.plain())),
        None => message,
    }
}
