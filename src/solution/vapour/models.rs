//! Vapour over water with one volatile solute.
//!
//! Each model gives the pressure of the solute and the activity of water from molality or mole fraction and temperature. The
//! parameters are in `vapour_model.csv`; they were fitted to published vapour pressures and constant-boiling mixtures.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::{GAS_SOLUBILITY, VAPOUR_MODEL};
use crate::solution::activity::WATER_MOLE;

/// mol of water in 1 kg.
pub(super) const WATER_MOLALITY: f64 = 1.0 / WATER_MOLE;

const STANDARD: f64 = 298.15;

/// What is in the vapour beside water.
#[derive(Debug)]
pub(super) struct Volatile {
    /// Its formula in the vapour.
    pub formula: &'static str,
    /// What it is made of in the liquid.
    pub takes: &'static [&'static str],
    model: Model,
    pub source: &'static str,
    /// Mole fractions of the two in a liquid of nothing else, within which the model was compared with measurements.
    pub range: (f64, f64),
    /// K
    pub kelvins: (f64, f64),
}

#[derive(Debug)]
enum Model {
    Acid(Parameters),
    Nitric(Parameters),
    Ions(Parameters),
    Ammonia(Parameters),
    Peroxide(Parameters),
    Fluoride(Parameters),
    RedlichKister(Parameters),
    Nrtl(Parameters),
    /// Henry constant in mol/(m³·Pa) at 25 °C and its slope in K.
    Gas(f64, f64),
}

type Parameters = FxHashMap<&'static str, f64>;

/// A volatile solute over water that holds nothing else.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Over {
    /// ln of its pressure in Pa. For ions: at mean molality, to be corrected for what else is there.
    pub ln_pressure: f64,
    /// ln of the activity of water.
    pub ln_water: f64,
}

/// The acids that the books keep as ions.
const ACIDS: [(&str, &[&str]); 3] = [
    ("HCl", &["H^+", "Cl^-"]),
    ("HNO3", &["H^+", "NO3^-"]),
    ("HBr", &["H^+", "Br^-"]),
];

/// Every volatile solute that is known.
pub(super) static VOLATILES: LazyLock<Vec<Volatile>> = LazyLock::new(|| {
    let mut all: Vec<Volatile> = Vec::new();
    let mut parameters: FxHashMap<&str, (Parameters, &str, &str)> = FxHashMap::default();
    for row in VAPOUR_MODEL.rows() {
        let entry = parameters.entry(row.cell("formula"));
        let known =
            entry.or_insert_with(|| (Parameters::default(), row.cell("model"), row.cell("source")));
        known
            .0
            .insert(row.cell("parameter"), row.float("p1").unwrap_or(0.0));
    }
    let mut names: Vec<&'static str> = VAPOUR_MODEL.rows().map(|row| row.cell("formula")).collect();
    names.dedup();
    for formula in names {
        let Some((parameters, model, source)) = parameters.remove(formula) else {
            continue;
        };
        let (model, range, kelvins) = match model {
            "acid" => (Model::Acid(parameters), (0.005, 0.264), (273.15, 390.0)),
            "margules" => (Model::Nitric(parameters), (0.0, 0.462), (273.15, 395.0)),
            "ions" => (Model::Ions(parameters), (0.0, 0.16), (283.15, 400.0)),
            "ammonia" => (Model::Ammonia(parameters), (0.0, 0.363), (273.15, 373.15)),
            "peroxide" => (Model::Peroxide(parameters), (0.0, 1.0), (273.15, 423.15)),
            "gas" => (
                Model::Gas(parameters["h0"], parameters["h1"]),
                (0.0, 0.05),
                (273.15, 333.15),
            ),
            "fluoride" => (Model::Fluoride(parameters), (0.0, 0.0), (298.15, 390.0)),
            "redlich-kister" => (
                Model::RedlichKister(parameters),
                (0.0, 1.0),
                (298.15, 383.15),
            ),
            _ => (Model::Nrtl(parameters), (0.0, 1.0), (328.15, 393.15)),
        };
        let acid = ACIDS.iter().find(|(name, _)| *name == formula);
        let takes = acid.map_or(&[] as &[&str], |(_, ions)| ions);
        all.push(Volatile {
            formula,
            takes,
            model,
            source,
            range,
            kelvins,
        });
    }
    for row in GAS_SOLUBILITY.rows() {
        let formula = row.cell("formula");
        let known = all.iter().any(|volatile| volatile.formula == formula);
        if known || row.cell("note").starts_with("ionises") {
            continue;
        }
        if let (Some(henry), Some(slope)) = (row.float("Hcp_mol_m3Pa"), row.float("slope_K")) {
            all.push(Volatile {
                formula,
                takes: &[],
                model: Model::Gas(henry, slope),
                source: row.cell("source"),
                range: (0.0, 0.05),
                kelvins: (273.15, 323.15),
            });
        }
    }
    all
});

impl Volatile {
    /// Whether it leaves as a gas that no water comes along with.
    pub fn is_gas(&self) -> bool {
        matches!(self.model, Model::Gas(..))
    }

    /// Whether the vapour holds double molecules, as over acetic acid.
    pub fn dimer(&self, kelvin: f64) -> Option<f64> {
        let (Model::Nrtl(p) | Model::RedlichKister(p)) = &self.model else {
            return None;
        };
        let constant = libm::exp10(p.get("k0")? + p.get("k1")? / kelvin);
        // From 1/mmHg to 1/Pa.
        Some(constant / 133.322)
    }

    /// Over water with `molality` mol/kg of it, at a temperature in K.
    ///
    /// For ions, `ln_mean` is the logarithm of the mean activity coefficient by ion interaction at this molality, and at
    /// the molality of [`Self::floor`].
    pub fn over(&self, molality: f64, kelvin: f64, ln_mean: &dyn Fn(f64) -> f64) -> Over {
        let fraction = molality / (molality + WATER_MOLALITY);
        match &self.model {
            Model::Acid(p) => acid(p, molality, kelvin),
            Model::Ions(p) => Over {
                ln_pressure: 2.0 * (libm::log(molality) + ln_mean(molality))
                    + p["k0"]
                    + p["k1"] / kelvin,
                ln_water: f64::NAN,
            },
            Model::Nitric(p) => nitric(p, molality, kelvin, ln_mean),
            Model::Ammonia(p) => {
                let warmer = p["d0"] * libm::log(kelvin / STANDARD);
                let by_fraction = p["a0"] + fraction * (p["a1"] + p["a2"] * fraction);
                let by_heat = (p["b0"] + p["b1"] * fraction) / kelvin;
                Over {
                    ln_pressure: KILO + libm::log(fraction) + by_fraction + by_heat + warmer,
                    ln_water: libm::log1p(-fraction),
                }
            }
            Model::Peroxide(p) => peroxide(p, fraction, kelvin),
            Model::Fluoride(p) => {
                let colder = 1.0 / kelvin - 1.0 / STANDARD;
                let slope = p["a1"] + p["b1"] * colder;
                Over {
                    ln_pressure: KILO
                        + libm::log(fraction)
                        + p["a0"]
                        + p["b0"] * colder
                        + slope * fraction,
                    // The Gibbs-Duhem equation of a straight ln γ.
                    ln_water: libm::log1p(-fraction) + slope * (fraction + libm::log1p(-fraction)),
                }
            }
            Model::RedlichKister(p) => {
                let g = redlich_kister(p, fraction, kelvin);
                binary(fraction, self.pure(p, kelvin), g)
            }
            Model::Nrtl(p) => binary(fraction, self.pure(p, kelvin), nrtl(p, fraction)),
            Model::Gas(henry, slope) => {
                let constant = henry * libm::exp(slope * (1.0 / kelvin - 1.0 / STANDARD));
                // mol/m³ of a dilute solution: 0.997 kg of water in a litre.
                let dissolved = 997.0 * self.molecular(molality, kelvin);
                Over {
                    ln_pressure: libm::log(dissolved / constant),
                    ln_water: libm::log1p(-fraction),
                }
            }
        }
    }

    /// mol/kg that stay molecules of a gas that forms an acid with water.
    fn molecular(&self, molality: f64, kelvin: f64) -> f64 {
        let colder = 1.0 / kelvin - 1.0 / STANDARD;
        match self.formula {
            // SO2 + H2O → H⁺ + HSO3⁻: pKa 1.85, −17.8 kJ/mol (NBS tables).
            "SO2" => {
                let k = 0.0141 * libm::exp(2140.0 * colder);
                let ionised = 0.5 * ((k * k + 4.0 * k * molality).sqrt() - k);
                molality - ionised
            }
            // Cl2 + H2O → H⁺ + Cl⁻ + HClO: 4.2e-4 at 25 °C (handbooks), x³ = K (m − x).
            "Cl2" => {
                let k = 4.2e-4 * libm::exp(-2600.0 * colder);
                let mut x = libm::cbrt(k * molality).min(molality);
                for _ in 0..30 {
                    let f = x * x * x + k * (x - molality);
                    x -= f / (3.0 * x * x + k);
                }
                molality - x
            }
            _ => molality,
        }
    }

    /// Pressure in Pa of the pure liquid, of its single molecules where it has double ones in the vapour.
    fn pure(&self, p: &Parameters, kelvin: f64) -> f64 {
        let pressure = 1000.0 * libm::exp10(p["s0"] - p["s1"] / (p["s2"] + kelvin - 273.15));
        match self.dimer(kelvin) {
            Some(k) => ((1.0 + 4.0 * k * pressure).sqrt() - 1.0) / (2.0 * k),
            None => pressure,
        }
    }
}

/// ln of 1000 Pa in 1 kPa.
const KILO: f64 = 6.907_755_278_982_137;

/// ln(p/kPa) = 2 ln m + Σ a m^i + Σ b m^i / T; ln a_w = Σ c m^i + Σ d m^i / T.
fn acid(p: &Parameters, molality: f64, kelvin: f64) -> Over {
    // The strongest acid of the table; beyond it the polynomials turn.
    let m = molality.min(20.0);
    let cubic = |names: [&str; 4]| {
        let [a, b, c, d] = names.map(|name| p.get(name).copied().unwrap_or(0.0));
        a + m * (b + m * (c + m * d))
    };
    let own = cubic(["a0", "a1", "a2", "a3"]) + cubic(["b0", "b1", "b2", "b3"]) / kelvin;
    let water = cubic(["", "c1", "c2", "c3"]) + cubic(["", "d1", "d2", "d3"]) / kelvin;
    Over {
        ln_pressure: KILO + 2.0 * libm::log(molality) + own,
        ln_water: water,
    }
}

/// Nitric acid as molecules (G/RT = x1 x2 Σ c d^i) from 15 to 80 %; below, the square of its mean activity; above, towards the
/// pure acid.
fn nitric(p: &Parameters, molality: f64, kelvin: f64, ln_mean: &dyn Fn(f64) -> f64) -> Over {
    const FROM: f64 = 0.048;
    const TO: f64 = 0.53;
    let pure = KILO + p["s0"] + p["s1"] / kelvin + p["s2"] * libm::log(kelvin);
    let model = |x: f64| {
        let warm = STANDARD / kelvin - 1.0;
        let c = [
            p["c0"] + p["e0"] * warm,
            p["c1"] + p["e1"] * warm,
            p["c2"] + p["e2"] * warm,
            p["c3"],
            p["c4"],
        ];
        let (own, water) = margules(&c, x);
        Over {
            ln_pressure: pure + libm::log(x) + own,
            ln_water: libm::log1p(-x) + water,
        }
    };
    let x = molality / (molality + WATER_MOLALITY);
    if x < FROM {
        let floor = FROM * WATER_MOLALITY / (1.0 - FROM);
        let activity = |m: f64| 2.0 * (libm::log(m) + ln_mean(m));
        let at_floor = model(FROM);
        return Over {
            ln_pressure: at_floor.ln_pressure + activity(molality) - activity(floor),
            ln_water: at_floor.ln_water * molality / floor,
        };
    }
    if x > TO {
        let edge = model(TO);
        let share = (x - TO) / (1.0 - TO);
        return Over {
            ln_pressure: edge.ln_pressure + share * (pure - edge.ln_pressure),
            ln_water: edge.ln_water + libm::log((1.0 - x) / (1.0 - TO)),
        };
    }
    model(x)
}

/// ln γ of both of G/RT = x1 x2 Σ c (x1 − x2)^i.
fn margules(c: &[f64], x: f64) -> (f64, f64) {
    let d = 2.0 * x - 1.0;
    // Horner's rule, with the derivative.
    let (mut sum, mut slope) = (0.0, 0.0);
    for c in c.iter().rev() {
        slope = slope * d + sum;
        sum = sum * d + c;
    }
    // g = x (1 − x) sum; dg/dx = (1 − 2x) sum + x (1 − x) · 2 slope.
    let g = x * (1.0 - x) * sum;
    let derivative = -d * sum + 2.0 * x * (1.0 - x) * slope;
    (g + (1.0 - x) * derivative, g - x * derivative)
}

fn redlich_kister(p: &Parameters, x: f64, kelvin: f64) -> (f64, f64) {
    let warm = STANDARD / kelvin - 1.0;
    let c = [
        p["c0"] + p["e0"] * warm,
        p["c1"] + p["e1"] * warm,
        p["c2"] + p["e2"] * warm,
        p["c3"],
    ];
    margules(&c, x)
}

/// H. Renon, J. M. Prausnitz, AIChE J. 14 (1968) 135.
fn nrtl(p: &Parameters, x1: f64) -> (f64, f64) {
    let (t12, t21, alpha) = (p["a1"], p["a2"], p["a3"]);
    let (g12, g21) = (libm::exp(-alpha * t12), libm::exp(-alpha * t21));
    let x2 = 1.0 - x1;
    let (n1, n2) = (x1 + x2 * g21, x2 + x1 * g12);
    let own = x2 * x2 * (t21 * (g21 / n1).powi(2) + t12 * g12 / (n2 * n2));
    let water = x1 * x1 * (t12 * (g12 / n2).powi(2) + t21 * g21 / (n1 * n1));
    (own, water)
}

fn binary(x: f64, pure: f64, (own, water): (f64, f64)) -> Over {
    Over {
        ln_pressure: libm::log(pure) + libm::log(x) + own,
        ln_water: libm::log1p(-x) + water,
    }
}

/// G. Scatchard, G. M. Kavanagh, L. B. Ticknor, J. Am. Chem. Soc. 74 (1952) 3715, in cal/mol, mmHg and °C.
fn peroxide(p: &Parameters, fraction: f64, kelvin: f64) -> Over {
    let x = 1.0 - fraction;
    let b0 = p["b0"] + p["e0"] * (kelvin - 273.15);
    let rt = 1.98720 * kelvin;
    let (b1, b2) = (p["b1"], p["b2"]);
    let water =
        fraction * fraction * (b0 + b1 * (1.0 - 4.0 * x) + b2 * (1.0 - 2.0 * x) * (1.0 - 6.0 * x))
            / rt;
    let own = x * x * (b0 + b1 * (3.0 - 4.0 * x) + b2 * (1.0 - 2.0 * x) * (5.0 - 6.0 * x)) / rt;
    let pure = p["s0"] + p["s1"] / kelvin + p["s2"] * libm::log10(kelvin) + p["s3"] * kelvin;
    let ln_pure = pure * std::f64::consts::LN_10 + libm::log(133.322f64);
    Over {
        ln_pressure: ln_pure + libm::log(fraction) + own,
        ln_water: libm::log(x) + water,
    }
}
