//! Hydrogen and sulfate ions in equilibrium with the hydrogensulfate ion.

use super::HYDROGENSULFATE;
use super::equations::Model;

/// Where the three are among the species.
#[derive(Clone, Copy, Debug)]
pub(super) struct Places {
    pub hydrogen: usize,
    pub sulfate: usize,
    pub both: usize,
}

impl Places {
    /// Among species that hold at least two of the three; the third is added.
    pub fn among(keys: &mut Vec<String>) -> Option<Places> {
        let place = |keys: &[String], wanted: &str| keys.iter().position(|key| key == wanted);
        let names = ["H^+", "SO4^2-", HYDROGENSULFATE];
        let found = names.map(|name| place(keys, name));
        let acid = found[0].is_some() && found[1].is_some();
        if !acid && (found[2].is_none() || (found[0].is_none() && found[1].is_none())) {
            return None;
        }
        let [hydrogen, sulfate, both] = names.map(|name| {
            place(keys, name).unwrap_or_else(|| {
                keys.push(name.to_owned());
                keys.len() - 1
            })
        });
        Some(Places {
            hydrogen,
            sulfate,
            both,
        })
    }
}

/// ln K of HSO4⁻ → H⁺ + SO4²⁻ at a temperature in K: 0.0105 at 25 °C.
///
/// K. S. Pitzer, R. N. Roy, L. F. Silvester, J. Am. Chem. Soc. 99 (1977) 4930; from memory.
fn ln_dissociation(kelvin: f64) -> f64 {
    -14.0321 + 2825.2 / kelvin
}

/// A usual ln(γ(H⁺) γ(SO4²⁻) / γ(HSO4⁻)) at bench strength, from which the search begins, with its sign turned.
const LN_GAMMA_RATIO: f64 = 2.0;

/// Logarithms of the activity coefficients, counted for the whole of each ion, the osmotic sum, and the
/// molality of all ions.
///
/// Molalities are those of the books; how much of hydrogen and sulfate is joined follows from mass action.
pub(super) fn shared(
    model: &Model,
    places: Places,
    mut molality: Vec<f64>,
    kelvin: f64,
) -> (Vec<f64>, f64, f64) {
    let Places {
        hydrogen,
        sulfate,
        both,
    } = places;
    let joined = molality[both];
    let whole = (molality[hydrogen] + joined, molality[sulfate] + joined);
    let most = whole.0.min(whole.1);
    let constant = ln_dissociation(kelvin);
    let others = model.cations.iter().chain(&model.anions);
    let others = others.filter(|ion| ![hydrogen, sulfate, both].contains(ion));
    let apart = others.map(|ion| molality[*ion]).sum::<f64>() + whole.0 + whole.1;
    let ions = |joined: f64| apart - joined;
    let mut share = |x: f64| {
        molality[hydrogen] = whole.0 - x;
        molality[sulfate] = whole.1 - x;
        molality[both] = x;
        model.outcome(&molality)
    };
    if most <= 0.0 {
        let outcome = share(0.0);
        return (outcome.ln_gamma, outcome.osmotic_sum, ions(0.0));
    }
    // Too much joined is positive.
    let excess = |x: f64, ln_gamma: &[f64]| {
        let free = libm::log(whole.0 - x) + libm::log(whole.1 - x);
        libm::log(x) - free + ln_gamma[both] - ln_gamma[hydrogen] - ln_gamma[sulfate] + constant
    };
    let (mut low, mut high) = (0.0, most);
    let mut x = by_mass_action(whole, libm::exp(constant + LN_GAMMA_RATIO));
    let mut outcome = share(x);
    let mut last: Option<(f64, f64)> = None;
    for _ in 0..60 {
        let off = excess(x, &outcome.ln_gamma);
        if off > 0.0 {
            high = x
        } else {
            low = x
        }
        if off.abs() < 1e-10 || high - low < 1e-13 * most {
            break;
        }
        // The secant; at first as if the coefficients did not change. Where a step leaves the bracket, its middle.
        let next = match last {
            Some((x0, off0)) if off != off0 => x - off * (x - x0) / (off - off0),
            _ => by_mass_action(
                whole,
                libm::exp(off - libm::log(x) + libm::log(whole.0 - x) + libm::log(whole.1 - x)),
            ),
        };
        last = Some((x, off));
        x = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
        outcome = share(x);
    }
    let mut ln_gamma = outcome.ln_gamma;
    let counted = |free: f64, whole: f64| {
        if whole > 0.0 {
            libm::log(free / whole)
        } else {
            0.0
        }
    };
    // The coefficient for the whole of an ion: its activity over its molality in the books.
    ln_gamma[hydrogen] += counted(whole.0 - x, whole.0 - joined);
    ln_gamma[sulfate] += counted(whole.1 - x, whole.1 - joined);
    if joined > 0.0 {
        ln_gamma[both] += libm::log(x / joined);
    }
    (ln_gamma, outcome.osmotic_sum, ions(x))
}

/// x of (a − x)(b − x) = r x below a and b.
fn by_mass_action((a, b): (f64, f64), ratio: f64) -> f64 {
    let half = 0.5 * (a + b + ratio);
    let root = (half * half - a * b).max(0.0).sqrt();
    a * b / (half + root)
}
