//! Density and heat capacity of water with several solutes in it, given as ions and molecules.
//!
//! The Laliberté model adds electrolytes; a vessel holds ions. Each cation is paired with each anion in the share of
//! their equivalents (T. F. Young, M. B. Smith, J. Phys. Chem. 58 (1954) 716), so that the answer does not depend on
//! which salts the ions came from. A pair without coefficients is made up from pairs that have them, by the additivity
//! of ionic volumes: V(c,a) = V(c,b) + V(d,a) − V(d,b) for one equivalent. What is left over is guessed and named.

use std::collections::BTreeSet;
use std::sync::{Arc, LazyLock};

use crate::data::{Memo, Range, Store};
use crate::matter::{Phase, Species};
use crate::number::{Number, ZERO_CELSIUS};
use crate::thermo;

use super::capacity;
use super::density::Known;
use super::laliberte::{RangeKind, Solute, water_density, water_heat_capacity};
use super::model::through;
use super::pair::{PairData, UNKNOWN_SALT};

/// A solution as amounts: grams of water, moles of ions and dissolved molecules.
#[derive(Clone, Copy, Debug)]
pub struct Mixture<'a> {
    /// g
    pub water: &'a Number,
    /// Ions and molecules in mol; phases are not looked at.
    pub solutes: &'a [(Species, Number)],
}

/// How a figure of a mixture was had.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum MixtureModel {
    /// Nothing but water.
    Water,
    /// One substance in water: by the rule of preference of [`super::density`].
    OneSolute,
    /// Laliberté's rule for mixtures, ions paired by equivalents.
    Pairs,
}

/// A figure of a mixture.
#[derive(Clone, Debug)]
pub struct Estimate {
    /// The value.
    pub value: Number,
    /// How it was had.
    pub model: MixtureModel,
    /// Codes of the publications behind it.
    pub sources: BTreeSet<&'static str>,
    /// Solutes beyond the range of their fit, which was held at its edge.
    pub beyond: Vec<Beyond>,
    /// Species without coefficients, made up from others or guessed.
    pub guessed: Vec<Species>,
}

/// A solute beyond its range.
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// The substance.
    pub formula: &'static str,
    /// Temperature, then mass fraction of all solutes.
    pub ranges: [Range; 2],
}

/// Apparent volume in mL/g of a dissolved molecule that nothing is known of: the median of the model's 13 molecules at
/// 25 °C and up to 10 %.
const UNKNOWN_MOLECULE: f64 = 0.65;

impl Mixture<'_> {
    /// Density in g/mL at a temperature in K.
    ///
    /// ```
    /// use aludel::{matter::Species, number::{Exact, Number}, solution::Mixture};
    /// let number = |text| Number::exact(Exact::decimal(text).unwrap());
    /// let ion = |text, n| (Species::parse(text).unwrap(), number(n));
    /// let brine = Mixture {
    ///     water: &number("90"),
    ///     solutes: &[ion("Na^+", "0.1711"), ion("Cl^-", "0.1711")],
    /// };
    /// let density = brine.density(&number("293.15"));
    /// assert!((density.value.to_f64() - 1.0707).abs() < 2e-4);
    /// ```
    pub fn density(&self, kelvin: &Number) -> Estimate {
        let parts = Parts::of(self);
        let mut made = Made::new(parts.model());
        let inputs = self.inputs(kelvin);
        let (amounts, celsius) = self.now(kelvin);
        let value = match &parts.lone {
            Some(known) if known.value(parts.fraction(&amounts), celsius).is_some() => {
                made.sources.extend(["CRC-density", "Laliberte2009"]);
                through(&inputs, |at| {
                    let (t, amounts) = split(at);
                    known.value(parts.fraction(amounts), t).unwrap_or(f64::NAN)
                })
            }
            _ => {
                if made.model == MixtureModel::OneSolute {
                    made.model = MixtureModel::Pairs;
                }
                parts.note_density(&amounts, celsius, &mut made);
                through(&inputs, |at| {
                    let (t, amounts) = split(at);
                    parts.mass(amounts) / parts.volume(amounts, t)
                })
            }
        };
        // Without a finite answer (no mass at all) water stands in.
        made.estimate(value.unwrap_or_else(Number::one))
    }

    /// Heat capacity in J/(g·K) at a temperature in K.
    ///
    /// Concentrated hydrochloric and nitric acid go by a handbook table beyond the fit. Any other solute beyond the mass
    /// fraction of its fit, or without one, counts with the heat capacity of the pure solid or
    /// liquid; a dissolved gas beyond its fit with nothing. Both are estimates, for sulfuric acid good to about 5 %.
    pub fn heat_capacity(&self, store: &Store, kelvin: &Number) -> Estimate {
        self.heat_capacity_by(store, kelvin, |parts, amounts| parts.mass(amounts))
    }

    /// The same for all of it, in J/K.
    pub fn whole_heat_capacity(&self, store: &Store, kelvin: &Number) -> Estimate {
        self.heat_capacity_by(store, kelvin, |_, _| 1.0)
    }

    fn heat_capacity_by(
        &self,
        store: &Store,
        kelvin: &Number,
        size: impl Fn(&Parts, &[f64]) -> f64,
    ) -> Estimate {
        let parts = Parts::of(self);
        let mut made = Made::new(parts.model());
        let (amounts, celsius) = self.now(kelvin);
        let own = parts.own_heat_capacities(store, &amounts, celsius, &mut made);
        let value = through(&self.inputs(kelvin), |at| {
            let (t, amounts) = split(at);
            parts.heat_capacity(amounts, t, &own) / size(&parts, amounts)
        });
        made.sources.insert("IAPWS-95");
        // Without a finite answer (no mass at all) water stands in.
        made.estimate(value.unwrap_or_else(Number::one))
    }

    /// Which solutes there are, whatever their amounts.
    pub(super) fn present(&self) -> Solutes {
        let present = |(species, moles): &(Species, Number)| (species.clone(), !moles.is_zero());
        self.solutes.iter().map(present).collect()
    }

    fn inputs<'b>(&'b self, kelvin: &'b Number) -> Vec<&'b Number> {
        let solutes = self.solutes.iter().map(|(_, moles)| moles);
        [kelvin, self.water].into_iter().chain(solutes).collect()
    }

    fn now(&self, kelvin: &Number) -> (Vec<f64>, f64) {
        let all = self.inputs(kelvin);
        let amounts = all[1..].iter().map(|number| number.to_f64()).collect();
        (amounts, kelvin.to_f64() - ZERO_CELSIUS)
    }
}

/// Temperature in °C and amounts, from the inputs in their order.
fn split(at: &[f64]) -> (f64, &[f64]) {
    (at[0] - ZERO_CELSIUS, &at[1..])
}

/// What an estimate will say about itself.
struct Made {
    model: MixtureModel,
    sources: BTreeSet<&'static str>,
    beyond: Vec<Beyond>,
    guessed: BTreeSet<Species>,
}

impl Made {
    fn new(model: MixtureModel) -> Self {
        Made {
            model,
            sources: BTreeSet::new(),
            beyond: Vec::new(),
            guessed: BTreeSet::new(),
        }
    }

    fn estimate(self, value: Number) -> Estimate {
        Estimate {
            value,
            model: self.model,
            sources: self.sources,
            beyond: self.beyond,
            guessed: self.guessed.into_iter().collect(),
        }
    }
}

/// The solution taken apart; indices point into the amounts, where water is 0.
struct Parts {
    masses: Vec<f64>,
    species: Vec<Species>,
    cations: Vec<Ion>,
    anions: Vec<Ion>,
    pairs: Vec<Pair>,
    molecules: Vec<Molecule>,
    /// What is known of the one substance in the solution, if there is just one.
    lone: Option<Known>,
}

/// Dissolved species, and whether any of each is there.
pub(super) type Solutes = Vec<(Species, bool)>;

struct Ion {
    index: usize,
    charge: f64,
    key: String,
}

struct Pair {
    cation: usize,
    anion: usize,
    how: PairData,
}

struct Molecule {
    index: usize,
    solute: Option<Solute>,
}

impl Parts {
    /// Taken apart once for each set of solutes, whatever their amounts.
    fn of(mixture: &Mixture<'_>) -> Arc<Self> {
        static SEEN: LazyLock<Memo<Solutes, Arc<Parts>>> = LazyLock::new(Memo::default);
        SEEN.recall(mixture.present(), |solutes| {
            Arc::new(Parts::take_apart(solutes))
        })
    }

    fn take_apart(solutes: &[(Species, bool)]) -> Self {
        let mut parts = Parts {
            masses: vec![1.0],
            species: Vec::new(),
            cations: Vec::new(),
            anions: Vec::new(),
            pairs: Vec::new(),
            molecules: Vec::new(),
            lone: None,
        };
        for (position, (species, present)) in solutes.iter().enumerate() {
            parts.masses.push(species.molar_mass().to_f64());
            parts.species.push(species.clone());
            if *present {
                parts.sort_in(position + 1, species);
            }
        }
        parts.pair();
        parts.lone = parts.lone_density();
        parts
    }

    fn sort_in(&mut self, index: usize, species: &Species) {
        let ion = || Ion {
            index,
            charge: species.charge().unsigned_abs() as f64,
            key: species.key().to_owned(),
        };
        match species.charge() {
            0 => self.molecules.push(Molecule {
                index,
                solute: Solute::of(&species.with_phase(None)),
            }),
            1.. => self.cations.push(ion()),
            _ => self.anions.push(ion()),
        }
    }

    fn pair(&mut self) {
        for (cation, plus) in self.cations.iter().enumerate() {
            for (anion, minus) in self.anions.iter().enumerate() {
                let how = PairData::of(&plus.key, &minus.key);
                self.pairs.push(Pair { cation, anion, how });
            }
        }
    }

    fn model(&self) -> MixtureModel {
        match (self.cations.len(), self.anions.len(), self.molecules.len()) {
            (0, 0, 0) => MixtureModel::Water,
            (1, 1, 0) | (0, 0, 1) => MixtureModel::OneSolute,
            _ => MixtureModel::Pairs,
        }
    }

    fn lone_density(&self) -> Option<Known> {
        let formula = match (self.pairs.as_slice(), self.molecules.as_slice()) {
            (
                [
                    Pair {
                        how: PairData::Listed(solute),
                        ..
                    },
                ],
                [],
            ) => Species::parse(solute.formula).ok()?,
            ([], [only]) if self.cations.is_empty() && self.anions.is_empty() => {
                self.species[only.index - 1].with_phase(None)
            }
            _ => return None,
        };
        Some(Known::of(&formula))
    }

    fn mass(&self, amounts: &[f64]) -> f64 {
        amounts.iter().zip(&self.masses).map(|(n, m)| n * m).sum()
    }

    /// Mass fraction of all solutes.
    fn fraction(&self, amounts: &[f64]) -> f64 {
        1.0 - amounts[0] / self.mass(amounts)
    }

    /// Equivalents of each pair. With an imbalance of charge the smaller side decides, and the rest is unpaired.
    fn equivalents(&self, amounts: &[f64], pair: &Pair) -> f64 {
        let of = |ion: &Ion| amounts[ion.index] * ion.charge;
        let total = |ions: &[Ion]| ions.iter().map(of).sum::<f64>();
        let larger = total(&self.cations).max(total(&self.anions));
        if larger <= 0.0 {
            return 0.0;
        }
        of(&self.cations[pair.cation]) * of(&self.anions[pair.anion]) / larger
    }

    /// Grams of one equivalent of a pair.
    fn equivalent_mass(&self, pair: &Pair) -> f64 {
        let of = |ion: &Ion| self.masses[ion.index] / ion.charge;
        of(&self.cations[pair.cation]) + of(&self.anions[pair.anion])
    }

    /// mL
    fn volume(&self, amounts: &[f64], celsius: f64) -> f64 {
        let w = self.fraction(amounts);
        let salt = |pair: &Pair| {
            let grams = self.equivalent_mass(pair);
            self.equivalents(amounts, pair) * pair.how.volume(grams, w, celsius)
        };
        let molecule = |one: &Molecule| {
            let listed = one
                .solute
                .as_ref()
                .and_then(|s| s.apparent_volume(w, celsius));
            amounts[one.index] * self.masses[one.index] * listed.unwrap_or(UNKNOWN_MOLECULE)
        };
        let paired: f64 = self.pairs.iter().map(salt).sum();
        let molecules: f64 = self.molecules.iter().map(molecule).sum();
        let unpaired = self.unpaired_mass(amounts) * UNKNOWN_SALT;
        amounts[0] / water_density(celsius) + paired + molecules + unpaired
    }

    /// Grams of ions that found no partner.
    fn unpaired_mass(&self, amounts: &[f64]) -> f64 {
        let ions = self.cations.iter().chain(&self.anions);
        let all: f64 = ions
            .map(|ion| amounts[ion.index] * self.masses[ion.index])
            .sum();
        let paired = self.pairs.iter();
        let paired: f64 = paired
            .map(|pair| self.equivalents(amounts, pair) * self.equivalent_mass(pair))
            .sum();
        (all - paired).max(0.0)
    }

    fn note_density(&self, amounts: &[f64], celsius: f64, made: &mut Made) {
        let w = self.fraction(amounts);
        made.sources.insert(if made.model == MixtureModel::Water {
            "IAPWS-95"
        } else {
            "Laliberte2009"
        });
        for pair in &self.pairs {
            match &pair.how {
                PairData::Listed(solute) => {
                    note_beyond(solute, RangeKind::Density, w, celsius, made)
                }
                PairData::MadeUp(_) | PairData::Unknown => made.guessed.extend(self.ions_of(pair)),
            }
        }
        for one in &self.molecules {
            match &one.solute {
                Some(solute) => note_beyond(solute, RangeKind::Density, w, celsius, made),
                None => {
                    made.guessed.insert(self.species[one.index - 1].clone());
                }
            }
        }
        if self.unpaired_mass(amounts) > 1e-9 * self.mass(amounts) {
            let ions = self.cations.iter().chain(&self.anions);
            made.guessed
                .extend(ions.map(|ion| self.species[ion.index - 1].clone()));
        }
    }

    fn ions_of(&self, pair: &Pair) -> [Species; 2] {
        [&self.cations[pair.cation], &self.anions[pair.anion]]
            .map(|ion| self.species[ion.index - 1].clone())
    }

    /// For each pair, then each molecule: J/(g·K) of its own, where the model does not reach.
    fn own_heat_capacities(
        &self,
        store: &Store,
        amounts: &[f64],
        celsius: f64,
        made: &mut Made,
    ) -> Vec<Option<f64>> {
        let w = self.fraction(amounts);
        let mut own = Vec::with_capacity(self.pairs.len() + self.molecules.len());
        for pair in &self.pairs {
            let solute = pair.how.listed();
            own.push(Self::own_share(
                store,
                solute,
                w,
                celsius,
                &self.ions_of(pair),
                made,
            ));
        }
        for one in &self.molecules {
            let species = std::slice::from_ref(&self.species[one.index - 1]);
            own.push(Self::own_share(
                store,
                one.solute.as_ref(),
                w,
                celsius,
                species,
                made,
            ));
        }
        own
    }

    fn own_share(
        store: &Store,
        solute: Option<&Solute>,
        w: f64,
        celsius: f64,
        species: &[Species],
        made: &mut Made,
    ) -> Option<f64> {
        if let Some(solute) = solute
            && solute.apparent_heat_capacity(w, celsius).is_some()
        {
            made.sources.insert("Laliberte2009");
            note_beyond(solute, RangeKind::HeatCapacity, w, celsius, made);
            return None;
        }
        let listed = solute.and_then(|solute| solute.concentrated.apparent(solute, w, celsius));
        if listed.is_some() {
            made.sources.insert(capacity::SOURCE);
            return listed;
        }
        let formula = solute.and_then(|solute| solute.species.clone());
        let pure = formula.or_else(|| species.first().filter(|_| species.len() == 1).cloned());
        made.guessed.extend(species.iter().cloned());
        let Some((share, code)) = pure.and_then(|pure| pure_heat_capacity(store, &pure)) else {
            return Some(0.0);
        };
        made.sources.insert(code);
        Some(share)
    }

    /// J/K
    fn heat_capacity(&self, amounts: &[f64], celsius: f64, own: &[Option<f64>]) -> f64 {
        let w = self.fraction(amounts);
        let share = |solute: Option<&Solute>, own: Option<f64>| {
            let modelled = || solute.and_then(|s| s.apparent_heat_capacity(w, celsius));
            own.or_else(modelled).unwrap_or(0.0)
        };
        let (pairs, molecules) = own.split_at(self.pairs.len());
        let salts = self.pairs.iter().zip(pairs).map(|(pair, own)| {
            let solute = pair.how.listed();
            let grams = self.equivalents(amounts, pair) * self.equivalent_mass(pair);
            grams * share(solute, *own)
        });
        let rest = self.molecules.iter().zip(molecules).map(|(one, own)| {
            amounts[one.index] * self.masses[one.index] * share(one.solute.as_ref(), *own)
        });
        amounts[0] * water_heat_capacity(celsius) + salts.sum::<f64>() + rest.sum::<f64>()
    }
}

fn note_beyond(solute: &Solute, kind: RangeKind, w: f64, celsius: f64, made: &mut Made) {
    if solute.covers(kind, w, celsius) {
        return;
    }
    if let Some(ranges) = solute.ranges(kind) {
        made.beyond.push(Beyond {
            formula: solute.formula,
            ranges,
        });
    }
}

/// J/(g·K) of a pure solid or liquid, and its source; a gas has no heat capacity that it could bring into a solution.
fn pure_heat_capacity(store: &Store, species: &Species) -> Option<(f64, &'static str)> {
    let warming = thermo::warming(store, &species.with_phase(None))?;
    if warming.phase() == Some(Phase::Gas) {
        return None;
    }
    let molar = warming.standard()?;
    let per_gram = molar.value.number().to_f64() / species.molar_mass().to_f64();
    Some((per_gram, molar.source.code))
}
