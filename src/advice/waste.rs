//! What is usual with what is left.

use crate::equation::ionic::dissociate;
use crate::hazard::{self, Disposal};
use crate::matter::Species;
use crate::route::ledger::*;

/// Below this an amount is not asked about, in mol.
const TRACE: f64 = 1e-6;

/// Share of the theoretical yield from which product in the waste jar is told (own rule).
const WORTH_TELLING: f64 = 0.05;

/// What is usual with what a route leaves behind.
#[derive(Clone, Debug, Default)]
pub struct Waste {
    /// Every kind of waste with the species it is for, without phase.
    pub practices: Vec<(Disposal, Vec<Species>)>,
    /// What no practice is known for and nobody calls harmless, without phase.
    pub without_practice: Vec<Species>,
    /// Products in the waste jar, perhaps not as it was meant: each with the share of what there can be of it.
    pub product: Vec<(Species, f64)>,
}

/// What is usual with what is left in the vessels and in the waste jar.
pub fn waste(ledger: &Ledger) -> Waste {
    let mut all = Waste {
        product: wasted_product(ledger),
        ..Waste::default()
    };
    for (place, content) in wasted(ledger) {
        let species = content.species.with_phase(None);
        let usual = usual_for(content, place);
        if usual.is_empty() && !hazard::is_harmless_waste(&content.species) {
            add(&mut all.without_practice, &species);
        }
        for one in usual {
            match all.practices.iter_mut().find(|(known, _)| *known == one) {
                Some((_, known)) => add(known, &species),
                None => all.practices.push((one, vec![species.clone()])),
            }
        }
    }
    all
}

fn add(all: &mut Vec<Species>, species: &Species) {
    if !all.contains(species) {
        all.push(species.clone());
    }
}

/// What is left of each species, and what it stands with: in the vessels, those of products left out, and in the waste jar.
fn wasted(ledger: &Ledger) -> impl Iterator<Item = (&[Content], &Content)> {
    let product = |vessel: &&VesselState| ledger.yields.iter().any(|one| one.vessel == vessel.name);
    let left = ledger.vessels.iter();
    let left = left.filter(move |vessel| !vessel.emptied && !product(vessel));
    let places = left.map(|vessel| vessel.contents.as_slice());
    let places = places.chain(jar(ledger).map(|outlet| outlet.contents.as_slice()));
    let contents = places.flat_map(|place| place.iter().map(move |content| (place, content)));
    contents.filter(|(_, content)| content.moles.to_f64() > TRACE)
}

fn jar(ledger: &Ledger) -> impl Iterator<Item = &Outlet> {
    let outlets = ledger.outlets.iter();
    outlets.filter(|outlet| outlet.account == OutletAccount::Waste)
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

/// Product that went to the waste jar.
fn wasted_product(ledger: &Ledger) -> Vec<(Species, f64)> {
    let jar: Vec<&Content> = jar(ledger).flat_map(|outlet| &outlet.contents).collect();
    let shares = ledger.yields.iter().map(|one| {
        let share = in_jar(&one.product, &jar) / one.theoretical.0.to_f64();
        (one.product.with_phase(None), share)
    });
    shares
        .filter(|(_, share)| *share > WORTH_TELLING && share.is_finite())
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
