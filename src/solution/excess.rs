//! The enthalpy of a solution above that of its ions and molecules at infinite dilution: what mixing, diluting and
//! concentrating give off or take up.
//!
//! The books count dissolved salts as ions, whose enthalpies of formation are those at infinite dilution. What is missing
//! to a real solution is its excess: heat of solution at the strength it has, less that at infinite dilution. So the heat
//! of any mixing at 25 °C is the excess after less the excesses before.
//!
//! Ions are paired by equivalents as for the density; each pair counts as if all equivalents in the water were its own.
//! Diluted sulfuric acid, counted as 2 H^+ and SO4^2-, carries the heat of its second dissociation in its excess.

use std::sync::{Arc, LazyLock};

use crate::data::{Property, Store, StoreMemo};
use crate::matter::Species;
use crate::number::Number;
use crate::thermo;

use super::dissolving::Dilutions;
use super::mixture::{Mixture, Solutes};
use super::model::through;

/// The excess enthalpy of a solution.
#[derive(Clone, Debug)]
pub struct Excess {
    /// kJ; positive where diluting gives off heat.
    pub value: Number,
    /// Codes of the publications behind it.
    pub sources: Vec<&'static str>,
    /// Substances with less water than their data begin at: held there. So many mol per mol are listed.
    pub concentrated: Vec<(Species, f64)>,
    /// Ions and molecules whose heats of dilution are not known: counted as zero.
    pub unknown: Vec<Species>,
}

impl Mixture<'_> {
    /// Enthalpy of the solution above that of its ions and molecules at infinite dilution, at 25 °C.
    ///
    /// ```
    /// use aludel::{data::Store, matter::Species, number::{Exact, Number}, solution::Mixture};
    /// let number = |text| Number::exact(Exact::decimal(text).unwrap());
    /// let acid = |water| {
    ///     let ions = [
    ///         (Species::parse("H^+").unwrap(), number("2")),
    ///         (Species::parse("SO4^2-").unwrap(), number("1")),
    ///     ];
    ///     let water = number(water);
    ///     Mixture { water: &water, solutes: &ions }.excess(&Store::default()).value.to_f64()
    /// };
    /// // A mole of sulfuric acid from 98 % (2 g of water) to 10 % (883 g) gives off about 68 kJ.
    /// assert!((acid("2") - acid("883") - 68.0).abs() < 2.0);
    /// ```
    pub fn excess(&self, store: &Store) -> Excess {
        let shares = Shares::of(self, store);
        let inputs: Vec<&Number> = [self.water]
            .into_iter()
            .chain(self.solutes.iter().map(|(_, n)| n))
            .collect();
        let value = through(&inputs, |amounts| shares.excess(amounts));
        let now: Vec<f64> = inputs.iter().map(|number| number.to_f64()).collect();
        let mut excess = Excess {
            value: value.unwrap_or_else(Number::zero),
            sources: Vec::new(),
            concentrated: Vec::new(),
            unknown: shares.unknown.clone(),
        };
        for (share, water) in shares.dilutions(&now) {
            excess.sources.push(share.heats.source(water).code);
            if let Some(least) = share.heats.least()
                && water < least * (1.0 - 1e-9)
                && share.heats.phase != "l"
            {
                excess.concentrated.push((share.formula.clone(), least));
            }
        }
        excess.sources.sort_unstable();
        excess.sources.dedup();
        excess
    }
}

const WATER: f64 = 18.015;

/// The heats that the parts of a solution have.
struct Shares {
    cations: Vec<(usize, f64)>,
    anions: Vec<(usize, f64)>,
    /// Cation, anion and what they make.
    pairs: Vec<(usize, usize, Option<Share>)>,
    molecules: Vec<(usize, Option<Share>)>,
    /// Ions and molecules whose heats of dilution are not known.
    unknown: Vec<Species>,
}

struct Share {
    formula: Species,
    heats: Dilutions,
    /// kJ/mol at infinite dilution.
    limit: f64,
    /// Charges of one sort in a formula unit.
    equivalents: f64,
}

impl Shares {
    /// Taken apart once for each set of solutes, whatever their amounts.
    fn of(mixture: &Mixture<'_>, store: &Store) -> Arc<Self> {
        static SEEN: LazyLock<StoreMemo<Solutes, Arc<Shares>>> = LazyLock::new(StoreMemo::default);
        let stated = store.stated();
        SEEN.recall_by(store, mixture.present(), |solutes| {
            Arc::new(Shares::take_apart(solutes, &stated))
        })
    }

    fn take_apart(solutes: &[(Species, bool)], store: &Store) -> Self {
        let mut shares = Shares {
            cations: Vec::new(),
            anions: Vec::new(),
            pairs: Vec::new(),
            molecules: Vec::new(),
            unknown: Vec::new(),
        };
        for (position, (species, present)) in solutes.iter().enumerate() {
            let (index, charge) = (position + 1, species.charge());
            if !present {
                continue;
            }
            match charge {
                0 => shares.molecules.push((index, molecule(species, store))),
                1.. => shares.cations.push((index, charge as f64)),
                _ => shares.anions.push((index, -charge as f64)),
            }
        }
        for (c, (cation, _)) in shares.cations.iter().enumerate() {
            for (a, (anion, _)) in shares.anions.iter().enumerate() {
                let [cation, anion] = [cation, anion].map(|i| &solutes[i - 1].0);
                shares.pairs.push((c, a, salt(cation, anion)));
            }
        }
        shares.unknown = shares.without_heats(solutes);
        shares
    }

    /// kJ
    fn excess(&self, amounts: &[f64]) -> f64 {
        let water = amounts[0] / WATER;
        let of = |all: &[(usize, f64)]| all.iter().map(|(i, z)| amounts[*i] * z).sum::<f64>();
        let total = of(&self.cations).max(of(&self.anions));
        let mut sum = 0.0;
        for (c, a, share) in &self.pairs {
            let (Some(share), true) = (share, total > 0.0) else {
                continue;
            };
            let ((ci, cz), (ai, az)) = (self.cations[*c], self.anions[*a]);
            let equivalents = amounts[ci] * cz * amounts[ai] * az / total;
            sum += share.above(water * share.equivalents / total) * equivalents / share.equivalents;
        }
        for (index, share) in &self.molecules {
            if let Some(share) = share
                && amounts[*index] > 0.0
            {
                sum += share.above(water / amounts[*index]) * amounts[*index];
            }
        }
        sum
    }

    /// Each share with the mol of water to one mol of it.
    fn dilutions(&self, amounts: &[f64]) -> Vec<(&Share, f64)> {
        let water = amounts[0] / WATER;
        let of = |all: &[(usize, f64)]| all.iter().map(|(i, z)| amounts[*i] * z).sum::<f64>();
        let total = of(&self.cations).max(of(&self.anions));
        let pairs = self.pairs.iter().filter_map(|(_, _, share)| {
            let share = share.as_ref()?;
            Some((share, water * share.equivalents / total))
        });
        let molecules = self
            .molecules
            .iter()
            .filter_map(|(index, share)| Some((share.as_ref()?, water / amounts[*index])));
        pairs.chain(molecules).collect()
    }

    fn without_heats(&self, solutes: &[(Species, bool)]) -> Vec<Species> {
        let mut unknown = Vec::new();
        for (c, a, share) in &self.pairs {
            if share.is_none() {
                unknown.push(solutes[self.cations[*c].0 - 1].0.clone());
                unknown.push(solutes[self.anions[*a].0 - 1].0.clone());
            }
        }
        for (index, share) in &self.molecules {
            if share.is_none() {
                unknown.push(solutes[index - 1].0.clone());
            }
        }
        unknown.sort_unstable();
        unknown.dedup();
        unknown
    }
}

impl Share {
    /// kJ/mol above infinite dilution, in so many mol of water.
    fn above(&self, water: f64) -> f64 {
        self.heats.heat(water) - self.limit
    }
}

/// The salt or acid of two ions in the table of heats of solution.
fn salt(cation: &Species, anion: &Species) -> Option<Share> {
    let (plus, minus) = (
        cation.charge().unsigned_abs(),
        anion.charge().unsigned_abs(),
    );
    let common = num_integer::Integer::gcd(&plus, &minus);
    let (cations, anions) = (minus / common, plus / common);
    let [first, last] = [(cation, cations), (anion, anions)].map(|(ion, n)| counted(ion, n));
    // Acetates and formates are written with their anion first.
    [format!("{first}{last}"), format!("{last}{first}")]
        .iter()
        .filter_map(|text| Species::parse(text).ok())
        .find_map(|formula| {
            let heats = Dilutions::of(&formula)?;
            let limit = heats.infinite?;
            heats.least()?;
            let equivalents = (plus * cations) as f64;
            Some(Share {
                formula,
                heats,
                limit,
                equivalents,
            })
        })
}

/// `SO4` as it stands in a formula with a number.
fn counted(ion: &Species, count: u64) -> String {
    let bare = ion.key().split('^').next().unwrap_or("");
    let several = bare.chars().filter(char::is_ascii_uppercase).count() > 1
        || bare.ends_with(|last: char| last.is_ascii_digit());
    match (count, several && !bare.starts_with('[')) {
        (1, _) => bare.to_owned(),
        (_, true) => format!("({bare}){count}"),
        (_, false) => format!("{bare}{count}"),
    }
}

/// A molecule: its limit is the heat of forming the dissolved molecule from the pure substance.
fn molecule(species: &Species, store: &Store) -> Option<Share> {
    let bare = species.with_phase(None);
    let heats = Dilutions::of(&bare)?;
    heats.least()?;
    let enthalpy = |symbol: &str| {
        let phase = crate::matter::Phase::of_symbol(symbol);
        let standard = thermo::standard(store, &bare.with_phase(phase)).ok()?;
        let found = standard.get(Property::FormationEnthalpy)?;
        Some(found.value.number().to_f64() / 1000.0)
    };
    let formed = enthalpy("aq").zip(enthalpy(heats.phase));
    let limit = formed.map_or_else(|| heats.at_infinity(), |(aq, pure)| aq - pure);
    Some(Share {
        formula: bare,
        heats,
        limit,
        equivalents: 1.0,
    })
}
