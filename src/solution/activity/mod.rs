//! Activities in water by ion interaction (Pitzer), mixtures included.
//!
//! [`Electrolytes`] are the species of a solution with all that the tables know of their pairs, found once;
//! [`Electrolytes::at`] gives the activity coefficients and the activity of water at molalities in mol/kg and a
//! temperature in K. What the figures rest on is a question of its own ([`Electrolytes::basis`]), so that a solver does
//! not pay for it.
//!
//! Hydrogen and sulfate ions share out the hydrogensulfate ion among themselves; the coefficients that are given count
//! for the whole of each ion, as the books of a vessel have it.
//!
//! Beyond the strength of their fit the coefficients stay at the value of the last strength: an estimate, and called one.

mod bisulfate;
mod electrostatic;
mod equations;
mod parameters;

use std::sync::{Arc, LazyLock};

use crate::data::Memo;

use equations::{Alike, Model, Pair};
use parameters::{Coefficients, MIXING, PAIRS, STANDARD, charge, debye_hueckel, specific, typical};

/// kg of a mole of water.
pub const WATER_MOLE: f64 = 0.018_015_268;

/// Equivalents in 1 kg of water up to which a pair counts whose table states no limit.
const UNSTATED_LIMIT: f64 = 6.0;

/// Past the limit of the usual coefficients by this part of it, those for strong solutions count alone.
const JOINED: f64 = 0.1;

/// Shares of a pair in all equivalents: up to the first it never counts as a strong solution, from the second on wholly.
const MINOR_SHARE: f64 = 0.4;
const MAIN_SHARE: f64 = 0.8;

/// Share from which on sulfuric acid counts as alone.
const ALONE_SHARE: f64 = 0.98;

/// How far beyond their limit the coefficients are carried before they stay at their last value: they run smoothly for ions of one charge,
/// and turn soon for others. Those for strong solutions end with the measurements.
const CARRIED_SINGLE: f64 = 1.75;
const CARRIED_MULTIPLE: f64 = 1.25;

/// The share of all equivalents from which on a pair is named.
const NAMED_SHARE: f64 = 0.01;

/// K; the temperature dependence of the coefficients is not carried further.
const COLDEST: f64 = 210.0;
const HOTTEST: f64 = 450.0;

const HYDROGENSULFATE: &str = "HSO4^-";

/// Ions and molecules in water, with what is known of each two.
#[derive(Debug)]
pub struct Electrolytes {
    /// The species that were asked for, then the hydrogensulfate ion where it forms.
    keys: Vec<String>,
    charges: Vec<f64>,
    asked: usize,
    cations: Vec<usize>,
    anions: Vec<usize>,
    molecules: Vec<usize>,
    pairs: Vec<Interaction>,
    alike: Vec<(Alike, Vec<&'static str>)>,
    salting: Vec<(usize, usize, f64)>,
    bisulfate: Option<bisulfate::Places>,
}

/// Interaction of a cation with an anion, for moderate and for strong solutions.
#[derive(Debug)]
struct Interaction {
    usual: Coefficients,
    strong: Option<Coefficients>,
    origin: Origin,
    /// Equivalents of a mole of the salt.
    equivalents: f64,
    /// Whether both ions have one charge.
    single: bool,
}

/// Where the coefficients of a pair are from.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Origin {
    Listed,
    Specific,
    Typical,
}

/// Activities in one solution.
#[derive(Clone, Debug, PartialEq)]
pub struct Activities {
    /// Natural logarithm of the activity coefficient of each species on the scale of molalities, in the order asked.
    pub ln_gamma: Vec<f64>,
    /// Natural logarithm of the activity of water.
    pub ln_water: f64,
}

/// What activities rest on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Basis {
    /// Codes of the publications.
    pub sources: Vec<&'static str>,
    /// Pairs of cation and anion without coefficients of their own: specific interaction or the median of their charges
    /// serves.
    pub guessed: Vec<(String, String)>,
    /// Pairs whose temperature dependence is not known, away from 25 °C.
    pub fixed: Vec<(String, String)>,
    /// Molecules that count by Raoult's law for want of anything better.
    pub ideal: Vec<String>,
    /// Volatile solutes outside the strength or temperature of their vapour pressures.
    pub vapour: Vec<&'static str>,
    /// Equivalents in 1 kg of water, and up to how many the coefficients hold, where that is less.
    pub beyond: Option<(f64, f64)>,
}

impl Basis {
    /// Whether the figures are an estimate only.
    pub fn is_estimate(&self) -> bool {
        !self.guessed.is_empty()
            || !self.ideal.is_empty()
            || !self.vapour.is_empty()
            || self.beyond.is_some()
    }
}

impl Basis {
    /// Adds the code of a publication.
    pub fn note(&mut self, code: &'static str) {
        if !code.is_empty() && !self.sources.contains(&code) {
            self.sources.push(code);
        }
    }

    /// Adds all that another figure rests on.
    pub fn merge(&mut self, other: Basis) {
        other.sources.into_iter().for_each(|code| self.note(code));
        self.guessed.extend(other.guessed);
        self.fixed.extend(other.fixed);
        self.ideal.extend(other.ideal);
        self.vapour.extend(other.vapour);
        for pairs in [&mut self.guessed, &mut self.fixed] {
            pairs.sort();
            pairs.dedup();
        }
        self.ideal.sort();
        self.ideal.dedup();
        self.vapour.sort_unstable();
        self.vapour.dedup();
        self.beyond = other.beyond.or(self.beyond);
    }
}

/// A salt as a part of a mixture of ions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Salt<'a> {
    /// Its cation.
    pub cation: &'a str,
    /// Its anion.
    pub anion: &'a str,
    /// Its share of all equivalents: that of its cation times that of its anion.
    pub share: f64,
    /// mol/kg of it that would have all the equivalents of the mixture.
    pub alone: f64,
}

/// [`Electrolytes`] at a temperature and near a composition.
pub struct Tempered<'a> {
    electrolytes: &'a Electrolytes,
    model: Model,
    /// The part of each pair that counts with its coefficients for strong solutions.
    strong: Vec<f64>,
    kelvin: f64,
}

impl Electrolytes {
    /// The species of a solution by their formulas without a phase (`Na^+`, `SO4^2-`, `CO2`), water left out.
    ///
    /// ```
    /// use aludel::solution::activity::Electrolytes;
    /// let brine = Electrolytes::of(&["Na^+", "Cl^-"]);
    /// let at = brine.at(&[1.0, 1.0], 298.15);
    /// // 0.657 for 1 mol/kg at 25 °C (R. A. Robinson, R. H. Stokes, Electrolyte Solutions, 2nd ed., 1959).
    /// assert!((at.ln_gamma[0].exp() - 0.657).abs() < 0.003);
    /// assert!(!brine.basis(&[1.0, 1.0], 298.15).is_estimate());
    /// ```
    pub fn of(species: &[&str]) -> Arc<Electrolytes> {
        static SEEN: LazyLock<Memo<Vec<String>, Arc<Electrolytes>>> = LazyLock::new(Memo::default);
        let keys = species.iter().map(|key| (*key).to_owned()).collect();
        SEEN.recall(keys, |keys: &Vec<String>| Arc::new(Self::resolve(keys)))
    }

    fn resolve(asked: &[String]) -> Self {
        let mut keys = asked.to_vec();
        let bisulfate = bisulfate::Places::among(&mut keys);
        let charges: Vec<i32> = keys.iter().map(|key| charge(key)).collect();
        let of_sign = |sign: i32| {
            let places = charges.iter().enumerate();
            places
                .filter(|(_, z)| z.signum() == sign)
                .map(|(at, _)| at)
                .collect()
        };
        let (cations, anions, molecules): (Vec<usize>, Vec<usize>, Vec<usize>) =
            (of_sign(1), of_sign(-1), of_sign(0));
        let mut pairs = Vec::new();
        for &cation in &cations {
            for &anion in &anions {
                pairs.push(Interaction::of(&keys[cation], &keys[anion]));
            }
        }
        let mut alike = alike(&keys, &cations, &anions);
        alike.extend(self::alike(&keys, &anions, &cations));
        let mut salting = Vec::new();
        for &molecule in &molecules {
            for &ion in cations.iter().chain(&anions) {
                if let Some((lambda, _)) = MIXING.get(&[keys[molecule].as_str(), &keys[ion], ""]) {
                    salting.push((molecule, ion, *lambda));
                }
            }
        }
        Electrolytes {
            asked: asked.len(),
            charges: charges.into_iter().map(f64::from).collect(),
            keys,
            cations,
            anions,
            molecules,
            pairs,
            alike,
            salting,
            bisulfate,
        }
    }

    /// The species in their order.
    pub fn species(&self) -> &[String] {
        &self.keys[..self.asked]
    }

    /// The charges of the species in their order.
    pub fn charges(&self) -> &[f64] {
        &self.charges[..self.asked]
    }

    /// Activities at molalities in mol/kg, in the order of the species, and a temperature in K.
    pub fn at(&self, molality: &[f64], kelvin: f64) -> Activities {
        self.tempered(molality, kelvin).activities(molality)
    }

    /// The model at a temperature in K; `molality` decides which pairs count as strong solutions.
    pub fn tempered(&self, molality: &[f64], kelvin: f64) -> Tempered<'_> {
        let kelvin = kelvin.clamp(COLDEST, HOTTEST);
        let equivalents = self.equivalents(molality);
        let strong = self.strong_parts(equivalents, &self.shares(molality));
        let mut decays = Vec::new();
        let mut place = |decay: f64| {
            let known = decays.iter().position(|other| *other == decay);
            known.unwrap_or_else(|| {
                decays.push(decay);
                decays.len() - 1
            })
        };
        let mut pairs = Vec::new();
        for ((pair, part), (cation, anion)) in self.pairs.iter().zip(&strong).zip(self.present()) {
            let sets = [
                (Some(&pair.usual), 1.0 - part),
                (pair.strong.as_ref(), *part),
            ];
            for (coefficients, part) in sets {
                let Some(coefficients) = coefficients.filter(|_| part > 0.0) else {
                    continue;
                };
                pairs.push(Pair {
                    ions: [cation, anion],
                    values: coefficients.at(kelvin).map(|value| part * value),
                    decays: coefficients.decays.map(&mut place),
                });
            }
        }
        let model = Model {
            charges: self.charges.clone(),
            cations: self.cations.clone(),
            anions: self.anions.clone(),
            pairs,
            alike: self.alike.iter().map(|(alike, _)| alike.clone()).collect(),
            salting: self.salting.clone(),
            decays,
            slope: debye_hueckel(kelvin),
        };
        Tempered {
            electrolytes: self,
            model,
            strong,
            kelvin,
        }
    }

    /// Of one salt: mol/kg to which its coefficients are listed; zero where they are not.
    pub fn listed_to(&self) -> f64 {
        let listed = self
            .pairs
            .first()
            .filter(|pair| pair.origin == Origin::Listed);
        listed.map_or(0.0, |pair| {
            let strong = pair.strong.as_ref().map_or(0.0, |_| pair.limit(true));
            pair.limit(false).max(strong) / pair.equivalents
        })
    }

    /// Whether two mixtures count with all but the same coefficients for every pair.
    pub fn same_model(&self, one: &[f64], other: &[f64]) -> bool {
        let parts = |m: &[f64]| self.strong_parts(self.equivalents(m), &self.shares(m));
        parts(one)
            .iter()
            .zip(parts(other))
            .all(|(a, b)| (a - b).abs() < 1e-6)
    }

    /// The part of each pair that counts as a strong solution: none below the limit of the usual coefficients, and all where the pair
    /// is most of the solution; mixing parameters and other pairs were made for the usual ones.
    fn strong_parts(&self, equivalents: f64, shares: &[f64]) -> Vec<f64> {
        let parts = self.pairs.iter().zip(shares);
        let mut parts: Vec<f64> = parts
            .map(|(pair, share)| pair.strong_part(equivalents, *share))
            .collect();
        // The two anions of sulfuric acid have one set of coefficients between them, fitted to the acid alone.
        if let Some(places) = self.bisulfate {
            let place = |anion: usize| {
                self.present()
                    .position(|pair| pair == (places.hydrogen, anion))
            };
            if let (Some(sulfate), Some(both)) = (place(places.sulfate), place(places.both)) {
                let alone = ((shares[sulfate] - ALONE_SHARE) / (1.0 - ALONE_SHARE)).clamp(0.0, 1.0);
                parts[sulfate] *= alone;
                parts[both] = parts[sulfate];
            }
        }
        parts
    }

    /// What the activities at these molalities and this temperature rest on.
    pub fn basis(&self, molality: &[f64], kelvin: f64) -> Basis {
        let tempered = self.tempered(molality, kelvin);
        let shares = self.shares(molality);
        let mut basis = Basis {
            sources: vec!["IAPWS-R8-97"],
            ..Basis::default()
        };
        let away = (kelvin - STANDARD).abs() > 5.0;
        let present = self.present();
        for ((pair, share), (strong, ions)) in self
            .pairs
            .iter()
            .zip(shares)
            .zip(tempered.strong.iter().zip(present))
        {
            if share < NAMED_SHARE {
                continue;
            }
            let coefficients = pair.chosen(*strong > 0.5);
            basis.note(coefficients.sources[0]);
            if away {
                basis.note(coefficients.sources[1]);
            }
            let named = || (self.keys[ions.0].clone(), self.keys[ions.1].clone());
            if pair.origin != Origin::Listed {
                basis.guessed.push(named());
            } else if away && coefficients.slopes.is_none() {
                basis.fixed.push(named());
            }
        }
        for (alike, codes) in &self.alike {
            if alike
                .ions
                .iter()
                .all(|ion| molality.get(*ion).is_some_and(|m| *m > 0.0))
            {
                codes.iter().for_each(|code| basis.note(code));
            }
        }
        let (equivalents, limit) = (self.equivalents(molality), tempered.limit(molality));
        basis.beyond = (equivalents > limit * (1.0 + 1e-6)).then_some((equivalents, limit));
        basis
    }

    /// The salts of which a mixture may be thought to consist (T. F. Young, M. B. Smith, J. Phys. Chem. 58 (1954) 716).
    pub fn salts(&self, molality: &[f64]) -> impl Iterator<Item = Salt<'_>> {
        let total = self.equivalents(molality);
        let parts = self.present().zip(self.shares(molality)).zip(&self.pairs);
        parts.map(move |((ions, share), pair)| Salt {
            cation: &self.keys[ions.0],
            anion: &self.keys[ions.1],
            share,
            alone: total / pair.equivalents,
        })
    }

    /// Cation and anion of each pair.
    fn present(&self) -> impl Iterator<Item = (usize, usize)> {
        let cations = self.cations.iter();
        cations.flat_map(|cation| self.anions.iter().map(|anion| (*cation, *anion)))
    }

    /// Equivalents of all cations, or of all anions if that is more, in mol/kg.
    fn equivalents(&self, molality: &[f64]) -> f64 {
        let sum = |sign: f64| -> f64 {
            let charged = self.charges.iter().zip(molality);
            charged.map(|(z, m)| (sign * z * m).max(0.0)).sum()
        };
        sum(1.0).max(sum(-1.0))
    }

    /// The share of each pair: that of its cation in all cations times that of its anion, by equivalents.
    fn shares(&self, molality: &[f64]) -> Vec<f64> {
        let equivalents =
            |ion: &usize| molality.get(*ion).copied().unwrap_or(0.0) * self.charges[*ion].abs();
        let whole = |ions: &[usize]| {
            ions.iter()
                .map(equivalents)
                .sum::<f64>()
                .max(f64::MIN_POSITIVE)
        };
        let both = whole(&self.cations) * whole(&self.anions);
        let pairs = self.present();
        pairs
            .map(|(cation, anion)| equivalents(&cation) * equivalents(&anion) / both)
            .collect()
    }
}

impl Tempered<'_> {
    /// Activities at molalities in mol/kg, in the order of the species.
    pub fn activities(&self, molality: &[f64]) -> Activities {
        let electrolytes = self.electrolytes;
        let equivalents = electrolytes.equivalents(molality);
        let limit = self.carried(molality);
        // Beyond: the coefficients of the same mixture at the end.
        let within = if equivalents > limit {
            limit / equivalents
        } else {
            1.0
        };
        let mut scaled: Vec<f64> = molality.iter().map(|m| m * within).collect();
        scaled.resize(electrolytes.keys.len(), 0.0);
        let molecules: f64 = electrolytes.molecules.iter().map(|at| scaled[*at]).sum();
        let (mut ln_gamma, osmotic_sum, ions) = match electrolytes.bisulfate {
            Some(places) => bisulfate::shared(&self.model, places, scaled, self.kelvin),
            None => {
                let outcome = self.model.outcome(&scaled);
                (
                    outcome.ln_gamma,
                    outcome.osmotic_sum,
                    scaled.iter().sum::<f64>() - molecules,
                )
            }
        };
        // Molecules take part by their mole fraction among all molecules: Raoult's law.
        let among = libm::log1p(WATER_MOLE * molecules / within);
        for &molecule in &electrolytes.molecules {
            ln_gamma[molecule] -= among;
        }
        ln_gamma.truncate(electrolytes.asked);
        // Where the coefficients stay the same, what is added counts as in an ideal solution (the Gibbs-Duhem equation).
        let added = ions * (1.0 / within - 1.0);
        let ln_water = -WATER_MOLE * (osmotic_sum + added) - among;
        Activities { ln_gamma, ln_water }
    }

    /// Up to how many equivalents in 1 kg of water the coefficients hold, weighted by the shares of the pairs.
    fn limit(&self, molality: &[f64]) -> f64 {
        self.weighted(molality, |pair, strong| pair.limit(strong))
    }

    /// Up to how many they are carried.
    fn carried(&self, molality: &[f64]) -> f64 {
        self.weighted(molality, |pair, strong| {
            let factor = match (strong, pair.single && pair.origin == Origin::Listed) {
                (true, _) => 1.0,
                (false, true) => CARRIED_SINGLE,
                (false, false) => CARRIED_MULTIPLE,
            };
            factor * pair.limit(strong)
        })
    }

    fn weighted(&self, molality: &[f64], limit: impl Fn(&Interaction, bool) -> f64) -> f64 {
        let shares = self.electrolytes.shares(molality);
        let pairs = self
            .electrolytes
            .pairs
            .iter()
            .zip(&self.strong)
            .zip(&shares);
        let sum: f64 = pairs
            .map(|((pair, strong), share)| share * limit(pair, *strong > 0.0))
            .sum();
        if sum > 0.0 { sum } else { UNSTATED_LIMIT }
    }
}

impl Interaction {
    fn of(cation: &str, anion: &str) -> Self {
        let (z_cation, z_anion) = (charge(cation), charge(anion));
        let equivalents =
            f64::from(z_cation * z_anion.abs()) / f64::from(common(z_cation, z_anion.abs()));
        let single = z_cation * z_anion == -1;
        let guess = |coefficients, origin| Interaction {
            usual: coefficients,
            strong: None,
            origin,
            equivalents,
            single,
        };
        if (cation, anion) == ("H^+", "OH^-") {
            return guess(Coefficients::none(), Origin::Listed);
        }
        if let Some(known) = PAIRS.get(&(cation, anion))
            && let Some(usual) = known.usual.clone().or(known.strong.clone())
        {
            let strong = known.strong.clone();
            return Interaction {
                usual,
                strong,
                origin: Origin::Listed,
                equivalents,
                single,
            };
        }
        let typical = typical(z_cation, z_anion);
        match specific(cation, anion) {
            Some((epsilon, source)) => {
                let charges = (f64::from(z_cation), f64::from(z_anion));
                guess(
                    with_specific(typical, charges, epsilon, source),
                    Origin::Specific,
                )
            }
            None => guess(typical, Origin::Typical),
        }
    }

    fn strong_part(&self, equivalents: f64, share: f64) -> f64 {
        if self.strong.is_none() {
            return 0.0;
        }
        let over = (equivalents / self.limit(false) - 1.0) / JOINED;
        let main = (share - MINOR_SHARE) / (MAIN_SHARE - MINOR_SHARE);
        over.clamp(0.0, 1.0) * main.clamp(0.0, 1.0)
    }

    fn chosen(&self, strong: bool) -> &Coefficients {
        match (&self.strong, strong) {
            (Some(coefficients), true) => coefficients,
            _ => &self.usual,
        }
    }

    /// Equivalents in 1 kg of water up to which the coefficients hold.
    fn limit(&self, strong: bool) -> f64 {
        let most = self.chosen(strong).most;
        most.map_or(UNSTATED_LIMIT, |most| most * self.equivalents)
    }
}

impl Coefficients {
    /// No interaction: hydrogen and hydroxide ions are never both there in an amount that counts.
    fn none() -> Self {
        Coefficients {
            values: [0.0; 5],
            slopes: Some([0.0; 5]),
            decays: [2.0, 0.0, 0.0],
            most: None,
            sources: ["", ""],
        }
    }

    /// At a temperature in K: the enthalpy of interaction stays constant.
    fn at(&self, kelvin: f64) -> [f64; 5] {
        let Some(slopes) = self.slopes else {
            return self.values;
        };
        let warmer = STANDARD * (kelvin - STANDARD) / kelvin;
        std::array::from_fn(|at| self.values[at] + slopes[at] * warmer)
    }
}

fn common(a: i32, b: i32) -> i32 {
    if b == 0 { a.max(1) } else { common(b, a % b) }
}

/// Each two of the ions of one sign, with their mixing parameters and the codes of these.
fn alike(keys: &[String], ions: &[usize], others: &[usize]) -> Vec<(Alike, Vec<&'static str>)> {
    let mut all = Vec::new();
    for (at, &i) in ions.iter().enumerate() {
        for &j in &ions[at + 1..] {
            let mut codes = Vec::new();
            let mut listed = |k: &str| {
                let found = MIXING.get(&[keys[i].as_str(), &keys[j], k]);
                found.map_or(0.0, |(value, code)| {
                    codes.push(*code);
                    *value
                })
            };
            let theta = listed("");
            let psi: Vec<f64> = others.iter().map(|k| listed(&keys[*k])).collect();
            codes.dedup();
            all.push((
                Alike {
                    ions: [i, j],
                    theta,
                    psi,
                },
                codes,
            ));
        }
    }
    all
}

/// Typical coefficients whose first is moved so that the mean activity coefficient at an ionic strength of 2 mol/kg is
/// that of the specific interaction.
fn with_specific(
    mut typical: Coefficients,
    (z_cation, z_anion): (f64, f64),
    epsilon: f64,
    source: &'static str,
) -> Coefficients {
    const STRENGTH: f64 = 2.0;
    let (cations, anions) = (z_anion.abs(), z_cation);
    // I = ½ (m₊ z₊² + m₋ z₋²)
    let salt = 2.0 * STRENGTH / (cations * z_cation * z_cation + anions * z_anion * z_anion);
    let (m_cation, m_anion) = (salt * cations, salt * anions);
    let root = STRENGTH.sqrt();
    let screened = 0.509 * root / (1.0 + 1.5 * root);
    let product = z_cation * z_anion.abs();
    let mean = |cation: f64, anion: f64| (cations * cation + anions * anion) / (cations + anions);
    let wanted =
        std::f64::consts::LN_10 * (-product * screened + epsilon * mean(m_anion, m_cation));
    let model = Model {
        charges: vec![z_cation, z_anion],
        cations: vec![0],
        anions: vec![1],
        pairs: vec![Pair {
            ions: [0, 1],
            values: typical.values,
            decays: [0, 1, 2],
        }],
        alike: Vec::new(),
        salting: Vec::new(),
        decays: typical.decays.to_vec(),
        slope: debye_hueckel(STANDARD),
    };
    let ln_gamma = model.outcome(&[m_cation, m_anion]).ln_gamma;
    // ln γ± is straight in the first coefficient, which counts with 2 m of the other ion.
    typical.values[0] +=
        (wanted - mean(ln_gamma[0], ln_gamma[1])) / (2.0 * mean(m_anion, m_cation));
    typical.sources[0] = source;
    typical
}
