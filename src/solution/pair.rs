//! What the density model knows of one cation with one anion.

use crate::matter::Species;

use super::laliberte::Solute;

/// Apparent volume in mL/g of a dissolved salt that nothing is known of: the median of the model's 96 salts at 25 °C and
/// up to 10 %; half of them lie between 0.14 and 0.35.
pub(super) const UNKNOWN_SALT: f64 = 0.21;

/// The coefficients of a pair of ions.
pub(super) enum PairData {
    /// Its own.
    Listed(Solute),
    /// Those of (c,b), (d,a), (d,b), with the grams of one equivalent of each.
    MadeUp(Box<[(Solute, f64); 3]>),
    /// None.
    Unknown,
}

impl PairData {
    /// The coefficients of two ions by their formulas.
    pub fn of(cation: &str, anion: &str) -> Self {
        match Solute::of_ions(cation, anion) {
            Some(solute) => PairData::Listed(solute),
            None => made_up(cation, anion).map_or(PairData::Unknown, PairData::MadeUp),
        }
    }

    /// Its own coefficients, if it has any.
    pub fn listed(&self) -> Option<&Solute> {
        match self {
            PairData::Listed(solute) => Some(solute),
            PairData::MadeUp(_) | PairData::Unknown => None,
        }
    }

    /// mL of one equivalent that weighs `grams`, at the mass fraction of all solutes and a temperature in °C.
    pub fn volume(&self, grams: f64, w: f64, celsius: f64) -> f64 {
        let known = match self {
            PairData::Listed(solute) => {
                let volume = solute.apparent_volume(w, celsius);
                volume.map(|volume| grams * volume)
            }
            PairData::MadeUp(made) => {
                let of = |(solute, grams): &(Solute, f64)| {
                    Some(grams * solute.apparent_volume(w, celsius)?)
                };
                let [cb, da, db] = made.as_ref();
                let sum = of(cb).zip(of(da)).zip(of(db));
                sum.map(|((cb, da), db)| cb + da - db)
            }
            PairData::Unknown => None,
        };
        known.unwrap_or(grams * UNKNOWN_SALT)
    }
}

/// Three listed pairs that make up an unlisted one; the commonest salts are tried first.
fn made_up(cation: &str, anion: &str) -> Option<Box<[(Solute, f64); 3]>> {
    const CATIONS: [&str; 5] = ["Na^+", "K^+", "NH4^+", "Mg^2+", "Ca^2+"];
    const ANIONS: [&str; 5] = ["Cl^-", "SO4^2-", "NO3^-", "CH3COO^-", "Br^-"];
    let one = |plus: &str, minus: &str| {
        let solute = Solute::of_ions(plus, minus)?;
        let grams = equivalent(plus)? + equivalent(minus)?;
        Some((solute, grams))
    };
    CATIONS.iter().find_map(|other| {
        let with_anion = one(other, anion)?;
        ANIONS.iter().find_map(|bridge| {
            Some(Box::new([
                one(cation, bridge)?,
                with_anion.clone(),
                one(other, bridge)?,
            ]))
        })
    })
}

/// Grams of one equivalent of an ion.
fn equivalent(key: &str) -> Option<f64> {
    let ion = Species::parse(key).ok()?;
    Some(ion.molar_mass().to_f64() / ion.charge().unsigned_abs() as f64)
}
