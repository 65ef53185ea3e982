//! What is left and what is usual with it, deferring to local rules.

use serde_json::{Value, json};

use crate::equation::ionic::dissociate;
use crate::figure;
use crate::hazard::{self, Disposal};
use crate::matter::{Notation, Species};
use crate::report::document::{Block, Words};
use crate::report::trace;
use crate::route::ledger::*;

/// Below this an amount is not asked about, in mol.
const TRACE: f64 = 1e-6;

/// What is said of the rest.
pub(in super::super) const NO_PRACTICE: &str =
    "no usual practice found; collect it by itself and ask";

/// Share of the theoretical yield from which product in the waste jar is told.
const WORTH_TELLING: f64 = 0.05;

/// The blocks of the section: the vessels and outlets, then the practice for each kind of waste.
pub(in super::super) fn waste(words: Words, ledger: &Ledger) -> Vec<Block> {
    let left = ledger.vessels.iter().filter(|vessel| !vessel.emptied);
    let left = left.map(|vessel| {
        let (much, traces) = trace::parted(&vessel.contents);
        let names = much.iter().map(|content| words.bare(&content.species));
        let names: Vec<String> = names.chain(words.traces(&traces)).collect();
        let (name, mass) = (&vessel.name, figure::mass(&vessel.mass));
        format!("{name}: {mass} with {}", names.join(", "))
    });
    let gone = ledger.outlets.iter().flat_map(|outlet| gone(words, outlet));
    let practice = practices(words, ledger)
        .into_iter()
        .map(|(one, species)| usual(one, &species));
    let rule = practices(words, ledger).first().map_or(
        "Collect and dispose of it as your local rules and the safety data sheets say.",
        |(one, _)| one.defer(),
    );
    let mut blocks: Vec<Block> = left.chain(gone).map(Block::Paragraph).collect();
    blocks.push(Block::Paragraph(format!("Usual for small amounts. {rule}")));
    blocks.extend(practice.map(|text| Block::Remark(Weight::Note, text)));
    let unknown = without_practice(words, ledger);
    blocks.extend((!unknown.is_empty()).then(|| {
        let names = unknown.join(", ");
        let text = format!("{names}: {NO_PRACTICE}");
        Block::Remark(Weight::Note, text)
    }));
    blocks.extend(drained_product(words, ledger));
    blocks
}

/// Where the practice comes from.
pub(super) fn sources(ledger: &Ledger) -> Vec<&'static str> {
    let all = practices(Words(Notation::Plain), ledger);
    all.into_iter().map(|(one, _)| one.source()).collect()
}

/// What left the vessels; what was found beyond the plan came from nowhere, and has a line of its own.
fn gone(words: Words, outlet: &Outlet) -> Vec<String> {
    let account = match outlet.account {
        "air" => "to the air",
        "drain" => "to the waste jar",
        _ => "less found than planned",
    };
    let amount = |content: &&Content| {
        let grams = match content.grams.is_negative() {
            true => -&content.grams,
            false => content.grams.clone(),
        };
        format!("{} {}", figure::mass(&grams), words.bare(&content.species))
    };
    let (figured, traces) = trace::parted(&outlet.contents);
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

/// What is left of each species, and what it stands with: in the vessels, those of products left out, and in the waste jar.
fn wasted(ledger: &Ledger) -> impl Iterator<Item = (&[Content], &Content)> {
    let product = |vessel: &&VesselState| ledger.yields.iter().any(|one| one.vessel == vessel.name);
    let left = ledger.vessels.iter();
    let left = left.filter(move |vessel| !vessel.emptied && !product(vessel));
    let jar = ledger.outlets.iter();
    let jar = jar.filter(|outlet| outlet.account == "drain");
    let places = left.map(|vessel| vessel.contents.as_slice());
    let places = places.chain(jar.map(|outlet| outlet.contents.as_slice()));
    let contents = places.flat_map(|place| place.iter().map(move |content| (place, content)));
    contents.filter(|(_, content)| content.moles.to_f64() > TRACE)
}

/// Every kind of waste with the species it is for.
pub(in super::super) fn practices(words: Words, ledger: &Ledger) -> Vec<(Disposal, Vec<String>)> {
    let mut all: Vec<(Disposal, Vec<String>)> = Vec::new();
    for (place, content) in wasted(ledger) {
        let name = words.bare(&content.species);
        for one in usual_for(content, place) {
            match all.iter_mut().find(|(known, _)| *known == one) {
                Some((_, species)) if species.contains(&name) => {}
                Some((_, species)) => species.push(name.clone()),
                None => all.push((one, vec![name.clone()])),
            }
        }
    }
    all
}

/// What no practice is known for and nobody calls harmless.
pub(in super::super) fn without_practice(words: Words, ledger: &Ledger) -> Vec<String> {
    let unknown = wasted(ledger).filter(|(place, content)| {
        !hazard::is_harmless_waste(&content.species) && usual_for(content, place).is_empty()
    });
    let mut names: Vec<String> = Vec::new();
    for (_, content) in unknown {
        let name = words.bare(&content.species);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The practice for JSON, row by row.
pub(in super::super) fn waste_json(ledger: &Ledger) -> Value {
    let words = Words(Notation::Plain);
    let practices = practices(words, ledger);
    let row = |(one, species): &(Disposal, Vec<String>)| {
        json!({
            "waste": one.waste(),
            "species": species,
            "treatment": one.treatment(),
            "target_pH": one.target_ph(),
            "collect_as": one.collect_as(),
            "never_with": one.never_with(),
            "source": one.source(),
        })
    };
    json!({
        "practice": practices.iter().map(row).collect::<Vec<_>>(),
        "without_practice": without_practice(words, ledger),
    })
}

/// Strong acids and bases are treated by their strength, everything else as what it is.
fn usual_for(content: &Content, place: &[Content]) -> Vec<Disposal> {
    /// In mol for each kg of water (T59 of the rules of thumb).
    const DILUTE: f64 = 1.0;
    let water = place.iter().find(|other| other.species.key() == "H2O");
    let kilograms = water.map_or(0.0, |water| water.grams.to_f64() / 1000.0);
    let dilute = content.moles.to_f64() < DILUTE * kilograms;
    let weak = hazard::disposal_of_dilute(&content.species).filter(|_| dilute);
    weak.map_or_else(|| hazard::disposal(&content.species), |weak| vec![weak])
}

fn usual(one: Disposal, species: &[String]) -> String {
    let of = format!("({}): {}", species.join(", "), practice(one));
    format!("{} {of}", one.waste())
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

/// Product that went to the waste jar: perhaps not what was meant.
fn drained_product(words: Words, ledger: &Ledger) -> Vec<Block> {
    let jar = ledger
        .outlets
        .iter()
        .filter(|outlet| outlet.account == "drain");
    let jar: Vec<&Content> = jar.flat_map(|outlet| &outlet.contents).collect();
    let told = ledger.yields.iter().filter_map(|one| {
        let share = in_jar(&one.product, &jar) / one.theoretical.0.to_f64();
        let much = share > WORTH_TELLING && share.is_finite();
        let product = words.bare(&one.product);
        much.then(|| {
            format!(
                "{:.0} % of what there can be of {product} is in the waste jar",
                100.0 * share
            )
        })
    });
    told.map(|text| Block::Remark(Weight::Warning, text))
        .collect()
}

/// How much of a product the jar holds, as itself or as its ions, in mol.
fn in_jar(product: &Species, jar: &[&Content]) -> f64 {
    let moles = |key: &str| -> f64 {
        let same = jar.iter().filter(|content| content.species.key() == key);
        same.map(|content| content.moles.to_f64()).sum()
    };
    let ions = dissociate(&product.with_phase(None)).unwrap_or_default();
    let ions = ions.iter().filter(|(_, ion)| ion.key() != "H2O");
    let dissolved = ions.map(|(count, ion)| moles(ion.key()) / count.to_f64());
    moles(product.key()) + dissolved.reduce(f64::min).unwrap_or(0.0)
}
