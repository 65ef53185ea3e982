//! What is left and what is usual with it, in words, deferring to local rules.

use crate::advice::{self, parted};
use crate::figure;
use crate::hazard::Disposal;
use crate::matter::Species;
use crate::report::document::{Block, Words};
use crate::route::ledger::*;

/// What is said of the rest.
pub(in super::super) const NO_PRACTICE: &str =
    "no usual practice found; collect it by itself and ask";

/// The blocks of the section: the vessels and outlets, then the practice for each kind of waste.
pub(in super::super) fn waste(words: Words, ledger: &Ledger) -> Vec<Block> {
    let left = ledger.vessels.iter().filter(|vessel| !vessel.emptied);
    let left = left.map(|vessel| {
        let (much, traces) = parted(&vessel.contents);
        let names = much.iter().map(|content| words.bare(&content.species));
        let names: Vec<String> = names.chain(words.traces(&traces)).collect();
        let (name, mass) = (&vessel.name, figure::mass(&vessel.mass));
        format!("{name}: {mass} with {}", names.join(", "))
    });
    let gone = ledger.outlets.iter().flat_map(|outlet| gone(words, outlet));
    let found = advice::waste(ledger);
    let rule = found.practices.first().map_or(
        "Collect and dispose of it as your local rules and the safety data sheets say.",
        |(one, _)| one.defer(),
    );
    let practice = found.practices.iter();
    let practice = practice.map(|(one, species)| usual(words, *one, species));
    let unknown = &found.without_practice;
    let unknown = (!unknown.is_empty()).then(|| format!("{}: {NO_PRACTICE}", words.list(unknown)));
    let notes = practice.chain(unknown);
    let product = found.product.iter().map(|(product, share)| {
        format!(
            "{:.0} % of what there can be of {} is in the waste jar",
            100.0 * share,
            words.formula(product)
        )
    });
    left.chain(gone)
        .chain([format!("Usual for small amounts. {rule}")])
        .map(Block::Paragraph)
        .chain(notes.map(|text| Block::Remark(Level::Note, text)))
        .chain(product.map(|text| Block::Remark(Level::Warning, text)))
        .collect()
}

/// What left the vessels; what was found beyond the plan came from nowhere, and has a line of its own.
fn gone(words: Words, outlet: &Outlet) -> Vec<String> {
    let account = account(outlet.account);
    let amount = |content: &&Content| {
        let grams = match content.grams.is_negative() {
            true => -&content.grams,
            false => content.grams.clone(),
        };
        format!("{} {}", figure::mass(&grams), words.bare(&content.species))
    };
    let (figured, traces) = parted(&outlet.contents);
    let (more, much): (Vec<&Content>, Vec<&Content>) = figured
        .into_iter()
        .partition(|content| content.grams.is_negative());
    let much: Vec<String> = much
        .iter()
        .map(amount)
        .chain(words.traces(&traces))
        .collect();
    let more: Vec<String> = more.iter().map(amount).collect();
    let told = [(account, much), ("more found than planned", more)];
    let told = told.into_iter().filter(|(_, all)| !all.is_empty());
    told.map(|(account, all)| format!("{account}: {}", all.join(", ")))
        .collect()
}

/// What an account is called where a vessel could stand in its place: no vessel has such a name.
pub(in super::super) fn account(account: OutletAccount) -> &'static str {
    match account {
        OutletAccount::Air => "to the air",
        OutletAccount::Waste => "to the waste jar",
        OutletAccount::Losses => "less found than planned",
    }
}

fn usual(words: Words, one: Disposal, species: &[Species]) -> String {
    let (waste, species) = (one.waste(), words.list(species));
    format!("{waste} ({species}): {}", practice(one))
}

/// What is usual with a kind of waste, in words.
pub(in super::super) fn practice(one: Disposal) -> String {
    let ph = one
        .target_ph()
        .map_or_else(String::new, |ph| format!(", to pH {ph}"));
    let never = one
        .never_with()
        .map_or_else(String::new, |other| format!("; never with {other}"));
    let (treatment, jar) = (one.treatment(), one.collect_as());
    format!("{treatment}{ph}; collect as {jar}{never}")
}
