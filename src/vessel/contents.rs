//! What is in a vessel: species with their amounts.

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};

/// Amounts in mol by species; every species has its phase, none has a zero amount.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contents {
    amounts: Vec<(Species, Number)>,
}

impl Contents {
    /// Nothing.
    pub fn new() -> Self {
        Contents::default()
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.amounts.is_empty()
    }

    /// The amount of a species, zero if it is not there.
    pub fn amount(&self, species: &Species) -> Number {
        let found = self.amounts.iter().find(|(s, _)| s == species);
        found.map_or_else(Number::zero, |(_, n)| n.clone())
    }

    /// Whether there is any of a species.
    pub fn holds(&self, species: &Species) -> bool {
        self.amounts.iter().any(|(s, _)| s == species)
    }

    /// Adds an amount, which may be negative.
    pub fn add(&mut self, species: &Species, moles: &Number) {
        match self.amounts.iter_mut().find(|(s, _)| s == species) {
            Some((_, total)) => *total += moles,
            None => self.amounts.push((species.clone(), moles.clone())),
        }
        self.amounts.retain(|(_, n)| !n.is_zero());
    }

    /// Adds everything of another.
    pub fn add_all(&mut self, other: &Contents) {
        for (species, moles) in other.iter() {
            self.add(species, moles);
        }
    }

    /// Species and amounts, in the order of coming.
    pub fn iter(&self) -> impl Iterator<Item = (&Species, &Number)> {
        self.amounts.iter().map(|(s, n)| (s, n))
    }

    /// The part of these phases.
    pub fn of_phases(&self, wanted: impl Fn(Phase) -> bool) -> Contents {
        let part = self
            .amounts
            .iter()
            .filter(|(s, _)| s.phase().is_some_and(&wanted));
        Contents {
            amounts: part.cloned().collect(),
        }
    }

    /// Liquids and what is dissolved in them.
    pub fn liquid(&self) -> Contents {
        self.of_phases(|phase| matches!(phase, Phase::Liquid | Phase::Aqueous))
    }

    /// Solids.
    pub fn solid(&self) -> Contents {
        self.of_phases(|phase| phase == Phase::Solid)
    }

    /// Gases that a closed vessel keeps.
    pub fn gas(&self) -> Contents {
        self.of_phases(|phase| phase == Phase::Gas)
    }

    /// Every amount times a factor.
    pub fn scaled(&self, factor: &Number) -> Contents {
        let scaled = self.amounts.iter().map(|(s, n)| (s.clone(), n * factor));
        Contents {
            amounts: scaled.filter(|(_, n)| !n.is_zero()).collect(),
        }
    }

    /// In g, by a model's digits.
    pub fn modelled_grams(&self) -> Number {
        let terms = self.iter().map(|(s, n)| (n, s.molar_mass().to_f64()));
        Number::modelled_sum(&terms.collect::<Vec<_>>())
    }

    /// In g.
    pub fn grams(&self) -> Number {
        self.amounts.iter().map(|(s, n)| grams(s, n)).sum()
    }

    /// The species of a formula and charge, in whatever phase, with its amount; the largest if there are several.
    pub fn find(&self, key: &str) -> Option<&Species> {
        let same = self.amounts.iter().filter(|(s, _)| s.key() == key);
        same.max_by(|(_, a), (_, b)| a.value().cmp(b.value()))
            .map(|(s, _)| s)
    }

    /// As the ledger lists them: largest mass first.
    pub fn listed(&self) -> Vec<Content> {
        let mut all: Vec<Content> = self
            .amounts
            .iter()
            .map(|(species, moles)| Content {
                species: species.clone(),
                moles: moles.clone(),
                grams: grams(species, moles),
            })
            .collect();
        all.sort_by(|a, b| {
            b.grams
                .value()
                .cmp(a.grams.value())
                .then_with(|| a.species.cmp(&b.species))
        });
        all
    }
}

/// One species in a vessel.
#[derive(Clone, Debug)]
pub struct Content {
    /// Which, with its phase.
    pub species: Species,
    /// In mol.
    pub moles: Number,
    /// In g.
    pub grams: Number,
}

/// The mass of an amount, in g.
pub fn grams(species: &Species, moles: &Number) -> Number {
    moles.scaled(species.molar_mass())
}

/// The amount of a mass, in mol; `None` for the electron, which has no mass here.
pub fn moles(species: &Species, grams: &Number) -> Option<Number> {
    let per_gram = Exact::one().checked_div(species.molar_mass())?;
    Some(grams.scaled(&per_gram))
}
