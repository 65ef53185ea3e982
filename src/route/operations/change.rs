//! What an equation changes in a vessel, and how often it can run there.

use crate::data::Store;
use crate::equation::Reaction;
use crate::equation::ionic::{Form, in_water};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::vessel::{Contents, reagent, stock};

use super::super::moment::Run;
use super::super::program::VesselId;

/// The species that really change in this vessel, with signed coefficients: ions in water, spectators left out.
pub(super) fn terms(run: &Run<'_>, vessel: VesselId, reaction: &Reaction) -> Vec<(Exact, Species)> {
    terms_with(run, vessel, reaction, false)
}

/// The same when water is about to come.
pub(super) fn terms_with(
    run: &Run<'_>,
    vessel: VesselId,
    reaction: &Reaction,
    more_water: bool,
) -> Vec<(Exact, Species)> {
    let contents = run.contents(vessel);
    let hot = run.kelvins(vessel).to_f64() > 373.15;
    let wet = contents
        .iter()
        .any(|(s, _)| s.key() == "H2O" && s.phase() == Some(Phase::Liquid));
    let brings_water = reaction.left.iter().any(|(_, s)| s.key() == "H2O");
    let setting = Setting {
        store: &run.program.store,
        contents,
        wet: wet || brings_water || more_water,
        hot,
    };
    let mut net: Vec<(Exact, Species)> = Vec::new();
    let mut add = |count: Exact, species: Species| match net.iter_mut().find(|(_, s)| *s == species)
    {
        Some((total, _)) => *total += &count,
        None => net.push((count, species)),
    };
    for (n, species) in &reaction.left {
        for (count, really) in setting.reactant(species) {
            add(-(Exact::from(n.clone()) * count), really);
        }
    }
    for (n, species) in &reaction.right {
        for (count, really) in setting.product(species) {
            add(Exact::from(n.clone()) * count, really);
        }
    }
    net.retain(|(n, _)| !n.is_zero());
    net
}

/// What a reaction needs in its vessel without being about it.
pub(super) fn is_medium(species: &Species) -> bool {
    matches!(species.key(), "H2O" | "H^+" | "H3O^+" | "OH^-")
}

/// What decides the form a species takes in a vessel.
struct Setting<'c> {
    store: &'c Store,
    contents: &'c Contents,
    wet: bool,
    hot: bool,
}

impl Setting<'_> {
    /// A reactant is what the vessel holds of it, else what it would be in water.
    fn reactant(&self, species: &Species) -> Vec<(Exact, Species)> {
        let one = |species: Species| vec![(Exact::one(), species)];
        if species.phase().is_some_and(|phase| phase != Phase::Aqueous) {
            return one(species.clone());
        }
        let form = in_water(species);
        if let Form::Ions(ions) = &form {
            let dissolved = ions.iter().all(|(_, ion)| self.contents.holds(ion));
            if dissolved || self.contents.find(species.key()).is_none() {
                return ions.clone();
            }
        }
        if let Some(there) = self.contents.find(species.key()) {
            return one(there.clone());
        }
        match stock::hydrate_of(self.contents, species) {
            // Its water stays behind.
            Some((hydrate, water)) => vec![(Exact::one(), hydrate), (-water, reagent::water())],
            None => one(reagent::in_form(species, &form)),
        }
    }

    /// A product is what it is in water if there is water, else the dry substance.
    fn product(&self, species: &Species) -> Vec<(Exact, Species)> {
        let one = |species: Species| vec![(Exact::one(), species)];
        if species.phase().is_some_and(|phase| phase != Phase::Aqueous) {
            return one(species.clone());
        }
        let form = in_water(species);
        if !self.wet {
            let phase = match (&form, species.key()) {
                (Form::Liquid, "H2O") if self.hot => Phase::Gas,
                (Form::Ions(_), _) => Phase::Solid,
                (Form::Molecule, _) => return one(reagent::dry(self.store, species)),
                _ => return one(reagent::in_form(species, &form)),
            };
            return one(species.with_phase(Some(phase)));
        }
        match form {
            Form::Ions(ions) => ions,
            form => one(reagent::in_form(species, &form)),
        }
    }
}

/// How often a change can run with what is there as it is, in mol.
pub(super) fn possible_extent(
    run: &Run<'_>,
    vessel: VesselId,
    terms: &[(Exact, Species)],
) -> Number {
    let contents = run.contents(vessel);
    least_extent(terms, |species| contents.amount(species)).0
}

/// How often it can run, in mol, with all there is of each reactant, and the reactant that decides.
pub(super) fn full_extent(
    run: &Run<'_>,
    vessel: VesselId,
    terms: &[(Exact, Species)],
) -> (Number, Option<Species>) {
    least_extent(terms, |species| stock_of(run, vessel, species))
}

/// mol of a species that a reaction in a vessel can draw on.
pub(super) fn stock_of(run: &Run<'_>, vessel: VesselId, species: &Species) -> Number {
    stock::stock(run.contents(vessel), species, run.kelvins(vessel))
}

fn least_extent(
    terms: &[(Exact, Species)],
    there: impl Fn(&Species) -> Number,
) -> (Number, Option<Species>) {
    let used = terms.iter().filter(|(n, _)| n.is_negative());
    let turns = used.filter_map(|(n, species)| {
        let turns = there(species).checked_div(&Number::exact(n.abs()))?;
        Some((turns, species.clone()))
    });
    match turns.min_by(|(a, _), (b, _)| a.value().cmp(b.value())) {
        Some((extent, species)) => (extent, Some(species)),
        None => (Number::zero(), None),
    }
}

/// The change as a reaction with whole coefficients, for print.
pub(super) fn as_reaction(terms: &[(Exact, Species)]) -> Reaction {
    let mut denominators = num_bigint::BigInt::from(1);
    for (n, _) in terms {
        denominators = num_integer::lcm(denominators, n.denominator().clone());
    }
    let numerators: Vec<num_bigint::BigInt> = terms
        .iter()
        .map(|(n, _)| n.numerator() * &denominators / n.denominator())
        .collect();
    let common = numerators.iter().fold(num_bigint::BigInt::from(0), |g, n| {
        num_integer::gcd(g, n.clone())
    });
    let mut reaction = Reaction {
        left: Vec::new(),
        right: Vec::new(),
    };
    for ((n, species), whole) in terms.iter().zip(numerators) {
        let whole = if common == num_bigint::BigInt::from(0) {
            whole
        } else {
            whole / &common
        };
        if n.is_negative() {
            reaction.left.push((-whole, species.clone()));
        } else {
            reaction.right.push((whole, species.clone()));
        }
    }
    reaction
}
