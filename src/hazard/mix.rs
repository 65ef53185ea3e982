//! What is somewhere together, asked for its groups and their strengths.
//!
//! Figures are worked out only for the groups that a rule asks about: most meetings ask about none.

use crate::matter::{Phase, Species};
use crate::number::Exact;

use super::group::{Acid, GroupId, Groups, book};

/// Below this a substance is a trace that no rule looks at, in mol (own rule: what clings to a washed cake).
const TRACE: f64 = 1e-5;

/// Amounts in mol of what is in one place.
#[derive(Clone, Debug, Default)]
pub struct Mix<'m> {
    amounts: Vec<(&'m Species, &'m Exact)>,
    groups: Groups,
}

impl<'m> Mix<'m> {
    /// Of species with their phases and amounts in mol.
    pub fn of(amounts: impl IntoIterator<Item = (&'m Species, &'m Exact)>) -> Mix<'m> {
        let amounts: Vec<_> = amounts.into_iter().collect();
        let mut mix = Mix {
            amounts,
            groups: Groups::default(),
        };
        let known = book();
        for (species, _) in &mix.amounts {
            mix.groups.extend(known.of(species));
        }
        if mix.hydrogen().is_some() {
            let there = known.acids.iter().filter(|acid| mix.holds(acid));
            let groups = there.map(|acid| acid.groups).reduce(|mut sum, more| {
                sum.extend(more);
                sum
            });
            mix.groups.extend(groups.unwrap_or_default());
        }
        mix
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.amounts.is_empty()
    }

    /// In g, of everything.
    pub(super) fn grams(&self) -> f64 {
        grams(&self.amounts)
    }

    /// The species without their phases, in mol.
    pub(super) fn moles(&self) -> Vec<(Species, f64)> {
        let all = self.amounts.iter();
        all.map(|(species, moles)| (species.with_phase(None), moles.to_f64()))
            .collect()
    }

    /// Every group that something here belongs to, at whatever strength.
    pub(super) fn groups(&self) -> Groups {
        self.groups
    }

    /// Less than half of it is water, or nothing is there to speak of.
    pub(super) fn is_dry(&self) -> bool {
        let water = self
            .amounts
            .iter()
            .filter(|(s, _)| s.key() == "H2O" && s.phase() != Some(Phase::Solid));
        2.0 * grams(water) < grams(&self.amounts)
    }

    /// Whether more than a trace of a group is here.
    pub(super) fn more_than_a_trace(&self, group: GroupId) -> bool {
        let own: f64 = self.members(group).map(|(_, moles)| moles.to_f64()).sum();
        own > TRACE || self.acids(group).any(|acid| self.anions_of(acid) > TRACE)
    }

    /// In g.
    pub(super) fn grams_of(&self, group: GroupId) -> f64 {
        let acids = self
            .acids(group)
            .map(|acid| self.anions_of(acid) * acid.grams);
        acids.fold(grams(self.members(group)), f64::max)
    }

    /// Per cent by mass of the liquid for what is in it, of everything where there is hardly any liquid.
    pub(super) fn percent(&self, group: GroupId) -> f64 {
        /// Less liquid than this share only clings to a solid (own rule).
        const CLINGS: f64 = 0.05;
        let (liquid, whole) = (grams(self.liquid()), self.grams());
        let dissolved = grams(
            self.members(group)
                .filter(|(species, _)| is_liquid(species)),
        );
        let acids = self.acids(group);
        let here = acids
            .map(|acid| self.anions_of(acid) * acid.grams)
            .fold(dissolved, f64::max);
        match liquid > CLINGS * whole && here > 0.0 {
            true => 100.0 * here / liquid,
            // A solid is as strong as it is pure, whatever liquid it is about to meet.
            false => 100.0 * self.grams_of(group) / whole.max(f64::MIN_POSITIVE),
        }
    }

    fn liquid(&self) -> impl Iterator<Item = &(&'m Species, &'m Exact)> {
        self.amounts
            .iter()
            .filter(|(species, _)| is_liquid(species))
    }

    /// The species of a group, those of an acid by its anion.
    pub(super) fn named(&self, group: GroupId) -> Vec<Species> {
        let own = self.members(group).map(|(species, _)| (*species).clone());
        let acids = self
            .acids(group)
            .filter_map(|acid| Species::parse(acid.key).ok());
        let mut all: Vec<Species> = own
            .chain(acids)
            .map(|species| species.with_phase(None))
            .collect();
        all.dedup();
        all
    }

    fn members(&self, group: GroupId) -> impl Iterator<Item = &(&'m Species, &'m Exact)> {
        self.amounts
            .iter()
            .filter(move |(species, _)| book().of(species).contains(group))
    }

    /// The acids of a group that are there as ions.
    fn acids(&self, group: GroupId) -> impl Iterator<Item = &'static Acid> {
        let acids = self.hydrogen().map(|_| &book().acids);
        let of_group = acids.into_iter().flatten();
        of_group.filter(move |acid| acid.groups.contains(group) && self.holds(acid))
    }

    fn holds(&self, acid: &Acid) -> bool {
        self.ion(acid.anion.key()).is_some()
    }

    fn hydrogen(&self) -> Option<&Exact> {
        self.ion("H^+")
    }

    fn ion(&self, key: &str) -> Option<&Exact> {
        let found = self
            .amounts
            .iter()
            .find(|(species, _)| species.key() == key);
        found.map(|(_, moles)| *moles)
    }

    /// How much of an acid its ions make, in mol.
    fn anions_of(&self, acid: &Acid) -> f64 {
        let moles = |ion: Option<&Exact>| ion.map_or(0.0, Exact::to_f64);
        let hydrogen = moles(self.hydrogen()) / acid.hydrogens;
        moles(self.ion(acid.anion.key())).min(hydrogen)
    }
}

fn is_liquid(species: &Species) -> bool {
    matches!(species.phase(), Some(Phase::Liquid | Phase::Aqueous))
}

fn grams<'a>(amounts: impl IntoIterator<Item = &'a (&'a Species, &'a Exact)>) -> f64 {
    let mass =
        |(species, moles): &(&Species, &Exact)| moles.to_f64() * species.molar_mass().to_f64();
    amounts.into_iter().map(mass).sum()
}
