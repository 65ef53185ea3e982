//! Hazard statements in words: of what is measured out, of what is in the vessels, and what protects against them.

use crate::advice::{self, ClassifiedContents, Portion, ReadAs, UnknownHazard, component};
use crate::hazard::{Cautions, Hazard};
use crate::matter::Species;
use crate::report::document::{Block, Protection, Statement, Words};
use crate::route::ledger::{Ledger, Level};

use super::level;

const NOTHING_FOUND: &str = "nothing found, which does not make it safe; read its data sheet";
const NO_CLASS: &str = "no hazard class in the table, which is not the same as harmless";

/// By code and in words.
pub(super) fn portion(words: Words, portion: &Portion) -> String {
    let told = match &portion.found {
        Cautions::NothingFound => NOTHING_FOUND.to_owned(),
        Cautions::NoClass { .. } => NO_CLASS.to_owned(),
        Cautions::Found { hazards, .. } => {
            let all = hazards.iter();
            let all: Vec<String> = all
                .map(|one| format!("{} {}", one.code, one.text))
                .collect();
            all.join(" ") + read_as(portion.read_as())
        }
    };
    format!("{}: {told}", words.named(portion.draw))
}

/// What a portion does to who handles it, in plain words.
pub(super) fn handled(words: Words, portion: &Portion) -> String {
    let draw = portion.draw;
    let name = draw
        .bottle
        .clone()
        .unwrap_or_else(|| words.bare(&draw.substance));
    let form = match portion.read_as() {
        ReadAs::Powder => ", if a powder",
        _ => "",
    };
    format!("{name}{form}: {}", plainly(portion.hazards().iter()))
}

/// In what form the tables know it, where that is not the form at hand.
fn read_as(form: ReadAs) -> &'static str {
    match form {
        ReadAs::AtHand => "",
        ReadAs::Powder => " (as for a powder)",
        ReadAs::Sold => " (as for the substance as sold)",
        ReadAs::OtherWater => " (as for the salt with other crystal water or none)",
    }
}

/// With the components that bring each statement.
pub(super) fn contents(words: Words, contents: &ClassifiedContents) -> String {
    let told = contents.found.hazards.iter().map(|(hazard, from)| {
        let from: Vec<String> = from
            .iter()
            .map(|formula| printed(words, component(formula, contents.state)))
            .collect();
        format!("{} {} ({})", hazard.code, hazard.text, from.join(", "))
    });
    let unknown = unknown(words, &contents.found.unknown);
    let pieces: Vec<String> = told.chain(unknown).collect();
    format!("in {}: {}", contents.vessels.join(", "), pieces.join(" "))
}

/// What the contents do to who handles them.
pub(super) fn plain_contents(words: Words, contents: &ClassifiedContents) -> String {
    let hazards = &contents.found.hazards;
    let told = (!hazards.is_empty()).then(|| plainly(hazards.iter().map(|(hazard, _)| hazard)));
    let unknown = unknown(words, &contents.found.unknown);
    let pieces: Vec<String> = told.into_iter().chain(unknown).collect();
    pieces.join("; ")
}

fn unknown(words: Words, species: &[Species]) -> Option<String> {
    let names: Vec<String> = species.iter().map(|one| words.bare(one)).collect();
    let names = names.join(", ");
    (!names.is_empty()).then(|| format!("nothing found for {names}, which does not make it safe"))
}

/// `H314 burns skin deeply and can blind; H331 breathing it poisons`
fn plainly<'h>(hazards: impl Iterator<Item = &'h Hazard>) -> String {
    let each: Vec<String> = hazards
        .map(|hazard| format!("{} {}", hazard.code, hazard.consequence))
        .collect();
    each.join("; ")
}

/// One measure after the other, the gravest first.
pub(in super::super) fn protections(words: Words, ledger: &Ledger) -> Vec<Protection> {
    let all = advice::protections(ledger).into_iter();
    let told = all.map(|one| Protection {
        level: level(one.severity()),
        statements: one
            .statements
            .iter()
            .map(|of| statement(words, of))
            .collect(),
        measure: one.measure,
    });
    told.collect()
}

/// `nitric: HNO₃ 65 %w/w; in beaker (HNO₃)`
fn statement(words: Words, one: &advice::Statement) -> Statement {
    let portions = one.portions.iter();
    let portions = portions.map(|portion| words.named(portion.draw) + read_as(portion.read_as()));
    let vessels = one.vessels.iter().map(|(name, from)| {
        let from: Vec<String> = from.iter().map(|one| printed(words, one)).collect();
        format!("in {name} ({})", from.join(", "))
    });
    let all: Vec<String> = portions.chain(vessels).collect();
    Statement {
        code: one.code,
        text: one.text,
        of: all.join("; "),
    }
}

/// What has no statement, and why that does not make it harmless.
pub(super) fn without(words: Words, ledger: &Ledger) -> Vec<Block> {
    let found = advice::without_statement(ledger);
    let unknown = found.unknown.iter().map(|one| match one {
        UnknownHazard::Portion(draw) => words.named(draw),
        UnknownHazard::In { species, vessel } => format!("{} in {vessel}", words.bare(species)),
    });
    let unclassed = found.unclassed.iter().map(|draw| words.named(draw));
    let told: [(Vec<String>, &str); 2] = [
        (unknown.collect(), NOTHING_FOUND),
        (unclassed.collect(), NO_CLASS),
    ];
    let told = told.into_iter().filter(|(names, _)| !names.is_empty());
    told.map(|(names, what)| Block::Remark(Level::Note, format!("{}: {what}", names.join(", "))))
        .collect()
}

/// The formula of a component as the sheet spells it.
fn printed(words: Words, formula: &str) -> String {
    Species::parse(formula).map_or_else(|_| formula.to_owned(), |species| words.bare(&species))
}
