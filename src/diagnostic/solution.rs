//! What a question about solutions could not be answered for, in words.

use super::Message;
use crate::matter::{Notation, Species};
use crate::number::Number;
use crate::route::ledger::SolutionFact;

/// The words of a fact about strengths and densities.
pub(super) fn worded(fact: &SolutionFact, notation: Notation) -> Message {
    let plain = |species: &Species| species.with_phase(None).to_text(notation);
    let say = |kind, title: String| Message::warning(kind, title);
    let share = |fraction: f64| format!("{:.3} %", 100.0 * fraction);
    let percent = |fraction: &Number| share(fraction.to_f64());
    let figure = |density: &Number| density.value().to_fixed(4);
    match fact {
        SolutionFact::NotOfSolute { label, solute } => match solute {
            Some(solute) => say(
                "other-solute",
                format!("{label} holds no {}", plain(solute)),
            )
            .hint("name bottles of one and the same substance, or water"),
            None => say(
                "other-solute",
                format!("{label} is water, which has no strength"),
            ),
        },
        SolutionFact::NotBetween { wanted, low, high } => say(
            "not-between",
            format!(
                "{} by mass cannot be had from {} and {}",
                percent(wanted),
                share(*low),
                share(*high)
            ),
        )
        .hint("take a stronger bottle, or a strength between the two"),
        SolutionFact::TooStrong {
            solute,
            fraction,
            saturated,
        } => {
            let most = saturated.as_ref().map_or_else(
                || "more than the pure substance".to_owned(),
                |most| format!("{} is saturated", percent(most)),
            );
            let solute = plain(solute);
            say(
                "strength",
                format!("so much {solute} does not dissolve: {} by mass, and {most}", percent(fraction)),
            )
        }
        SolutionFact::DensitiesDisagree {
            label,
            given,
            known,
            source,
        } => say(
            "two-densities",
            format!(
                "{label}: the density given, {} g/mL, and that of the tables, {} g/mL by {source}, are more than 2 % apart",
                figure(given),
                figure(known)
            ),
        )
        .hint("check the label: the strength and the density belong to two different solutions"),
    }
}
