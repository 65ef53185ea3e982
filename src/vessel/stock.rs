//! All there is of a species in a vessel, in whatever form a reaction in water can draw on.
//!
//! In a flask a salt dissolves as it is used up: what lies under the liquid counts as much as what is in it.

use crate::equation::ionic::{Form, Ions, in_water, is_known_to_dissolve};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::solution;

use super::contents::Contents;
use super::reagent;

/// What a pure substance becomes in water at a temperature in K: ions, or molecules if a solubility is known for them, and
/// the water of a hydrate. Without a solubility a liquid or solid that the table of forms in water lists as a molecule is
/// taken to dissolve. `None` for what stays as it is.
pub fn dissolves_to(substance: &Species, kelvin: &Number) -> Option<Ions> {
    let bare = substance.with_phase(None);
    if let Form::Ions(ions) = in_water(&bare) {
        return Some(ions);
    }
    let (molecule, water) = solution::anhydrous(&bare);
    if in_water(&molecule) != Form::Molecule {
        return None;
    }
    if !is_known_to_dissolve(&molecule) {
        solution::solubility(&bare, &within_the_tables(kelvin)).ok()?;
    }
    let dissolved = (Exact::one(), molecule.with_phase(Some(Phase::Aqueous)));
    let water = (!water.is_zero()).then(|| (water, reagent::water()));
    Some(std::iter::once(dissolved).chain(water).collect())
}

/// The tables of solubilities begin at 0 °C and end at 100 °C; beyond them the value at their end is the best there is.
pub fn within_the_tables(kelvin: &Number) -> Number {
    let [coldest, hottest] =
        [27_315, 37_315].map(|kelvin| Number::exact(Exact::ratio(kelvin, 100)));
    kelvin.clone().max(coldest).min(hottest)
}

/// The hydrate of a substance that lies in contents which hold none of the substance itself, with its water.
pub fn hydrate_of(contents: &Contents, anhydrous: &Species) -> Option<(Species, Exact)> {
    let solids = contents
        .iter()
        .filter(|(s, _)| s.phase() == Some(Phase::Solid));
    let mut hydrates = solids.filter_map(|(solid, _)| {
        let (salt, water) = solution::anhydrous(&solid.with_phase(None));
        let is_it = !water.is_zero() && salt.key() == anhydrous.key();
        is_it.then(|| (solid.clone(), water))
    });
    hydrates.next()
}

/// mol of a species that a reaction in contents at a temperature in K can draw on: itself, and what would dissolve into it.
pub fn stock(contents: &Contents, species: &Species, kelvin: &Number) -> Number {
    if !contents.holds(&reagent::water()) {
        return contents.amount(species);
    }
    let dissolved = species.with_phase(Some(Phase::Aqueous));
    let is_pure = |s: &Species| matches!(s.phase(), Some(Phase::Solid | Phase::Liquid));
    // A solid molecule counts with what is dissolved of it; any other solid by itself.
    let wanted = match is_pure(species) {
        true if brings(species, &dissolved, kelvin).is_some() => &dissolved,
        _ => species,
    };
    let mut all = contents.amount(wanted);
    if wanted.phase() != Some(Phase::Aqueous) {
        return all;
    }
    for (pure, moles) in contents
        .iter()
        .filter(|(s, _)| is_pure(s) && s.key() != "H2O")
    {
        if let Some(count) = brings(pure, wanted, kelvin) {
            all += &moles.scaled(&count);
        }
    }
    all
}

/// How many of a dissolved species a formula unit of a pure substance brings.
fn brings(pure: &Species, dissolved: &Species, kelvin: &Number) -> Option<Exact> {
    let ions = dissolves_to(pure, kelvin)?;
    let found = ions
        .into_iter()
        .find(|(_, ion)| ion.key() == dissolved.key());
    found.map(|(count, _)| count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn species(text: &str) -> Species {
        Species::parse(text).unwrap()
    }

    fn number(value: i64) -> Number {
        Number::exact(Exact::from(value))
    }

    fn flask(all: &[(&str, i64)]) -> Contents {
        let mut contents = Contents::new();
        for (text, moles) in all {
            contents.add(&species(text), &number(*moles));
        }
        contents
    }

    #[test]
    fn what_lies_under_the_liquid_counts() {
        let at = number(293);
        let slurry = flask(&[
            ("H2O(l)", 50),
            ("Cu^2+(aq)", 1),
            ("SO4^2-(aq)", 1),
            ("CuSO4·5H2O(s)", 2),
            ("CuSO4(s)", 3),
        ]);
        assert_eq!(stock(&slurry, &species("Cu^2+(aq)"), &at), number(6));
        let boric = flask(&[("H2O(l)", 50), ("H3BO3(aq)", 1), ("H3BO3(s)", 4)]);
        assert_eq!(stock(&boric, &species("H3BO3(s)"), &at), number(5));
        assert_eq!(stock(&boric, &species("H3BO3(aq)"), &at), number(5));
    }

    #[test]
    fn a_dry_vessel_and_an_insoluble_solid_hold_what_they_hold() {
        let at = number(293);
        let dry = flask(&[("NaCl(s)", 2)]);
        assert_eq!(stock(&dry, &species("Cl^-(aq)"), &at), number(0));
        assert_eq!(stock(&dry, &species("NaCl(s)"), &at), number(2));
        let chalk = flask(&[("H2O(l)", 50), ("CaCO3(s)", 2), ("Ca^2+(aq)", 1)]);
        assert_eq!(stock(&chalk, &species("Ca^2+(aq)"), &at), number(1));
        let gypsum = flask(&[("H2O(l)", 50), ("CaSO4·2H2O(s)", 2)]);
        let found = hydrate_of(&gypsum, &species("CaSO4")).unwrap();
        assert_eq!(found, (species("CaSO4·2H2O(s)"), Exact::from(2)));
    }
}
