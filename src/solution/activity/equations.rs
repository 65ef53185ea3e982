//! Pitzer's equations: from molalities to activity coefficients and the osmotic coefficient.
//!
//! K. S. Pitzer, J. Phys. Chem. 77 (1973) 268; unsymmetrical mixing after J. Solution Chem. 4 (1975) 249; the third
//! coefficient against ionic strength after D. G. Archer, J. Phys. Chem. Ref. Data 20 (1991) 509.

use super::electrostatic::electrostatic;

/// b of the Debye–Hückel term in (kg/mol)^½.
const B: f64 = 1.2;

/// Ions and molecules by charge, with what is between them at one temperature.
pub(super) struct Model {
    /// Charges in the order of the species.
    pub charges: Vec<f64>,
    pub cations: Vec<usize>,
    pub anions: Vec<usize>,
    /// Cations with anions; a pair may count with parts of two sets of coefficients.
    pub pairs: Vec<Pair>,
    /// Two ions of like sign.
    pub alike: Vec<Alike>,
    /// Molecule, ion, coefficient in kg/mol.
    pub salting: Vec<(usize, usize, f64)>,
    /// The distinct decays that the pairs name by their place.
    pub decays: Vec<f64>,
    /// The Debye–Hückel slope of the osmotic coefficient.
    pub slope: f64,
}

/// Interaction of a cation with an anion.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    /// Places among the species.
    pub ions: [usize; 2],
    pub values: [f64; 5],
    /// Places in [`Model::decays`].
    pub decays: [usize; 3],
}

/// Interaction of two ions of like sign.
#[derive(Clone, Debug)]
pub(super) struct Alike {
    pub ions: [usize; 2],
    pub theta: f64,
    /// With each ion of the other sign, in their order.
    pub psi: Vec<f64>,
}

/// What follows from molalities.
pub(super) struct Outcome {
    /// Natural logarithm of the activity coefficient of each species.
    pub ln_gamma: Vec<f64>,
    /// The osmotic sum in mol/kg: the osmotic coefficient times the molality of all ions.
    pub osmotic_sum: f64,
}

/// The functions of one decay at one ionic strength.
#[derive(Clone, Copy)]
struct Decay {
    /// e^−x
    e: f64,
    /// 2 [1 − (1 + x) e^−x] / x²
    g: f64,
    /// −2 [1 − (1 + x + x²/2) e^−x] / x²
    dg: f64,
    /// [6 − (6 + 6x + 3x² + x³) e^−x] / x⁴
    h: f64,
}

impl Decay {
    fn of(x: f64) -> Decay {
        let e = libm::exp(-x);
        if x < 0.02 {
            // Series: the closed forms lose their figures here.
            return Decay {
                e,
                g: 1.0 - 2.0 * x / 3.0 + x * x / 4.0,
                dg: -x / 3.0 + x * x / 4.0,
                h: 0.25 - x / 5.0 + x * x / 12.0,
            };
        }
        let square = x * x;
        Decay {
            e,
            g: 2.0 * (1.0 - (1.0 + x) * e) / square,
            dg: -2.0 * (1.0 - (1.0 + x + 0.5 * square) * e) / square,
            h: (6.0 - (6.0 + 6.0 * x + 3.0 * square + square * x) * e) / (square * square),
        }
    }
}

impl Model {
    /// Activity coefficients and the osmotic sum at molalities in mol/kg.
    pub fn outcome(&self, molality: &[f64]) -> Outcome {
        let mut work = Work::of(self, molality);
        if work.strength > 0.0 {
            work.add_pairs();
            work.add_alike();
        }
        work.add_molecules();
        work.finish()
    }
}

/// Sums under way.
struct Work<'a> {
    model: &'a Model,
    m: &'a [f64],
    strength: f64,
    /// Σ m |z|
    equivalents: f64,
    /// The sum that counts with the square of the charge.
    shared: f64,
    /// The sum that counts with the size of the charge: ΣΣ m m C.
    third: f64,
    osmotic: f64,
    ln_gamma: Vec<f64>,
}

impl<'a> Work<'a> {
    fn of(model: &'a Model, m: &'a [f64]) -> Self {
        let ions = || model.charges.iter().zip(m);
        let strength = 0.5 * ions().map(|(z, m)| m * z * z).sum::<f64>();
        let root = strength.sqrt();
        let screened = root / (1.0 + B * root);
        Work {
            model,
            m,
            strength,
            equivalents: ions().map(|(z, m)| m * z.abs()).sum(),
            shared: -model.slope * (screened + 2.0 / B * libm::log(1.0 + B * root)),
            third: 0.0,
            osmotic: -model.slope * strength * screened,
            ln_gamma: vec![0.0; m.len()],
        }
    }

    fn add_pairs(&mut self) {
        let model = self.model;
        let root = self.strength.sqrt();
        let decays: Vec<Decay> = model.decays.iter().map(|a| Decay::of(a * root)).collect();
        let mut third_slope = 0.0;
        for pair in &model.pairs {
            let [b0, b1, b2, c0, c1] = pair.values;
            let [one, two, three] = pair.decays.map(|place| decays[place]);
            let [cation, anion] = pair.ions;
            let (mc, ma) = (self.m[cation], self.m[anion]);
            let product = mc * ma;
            let b = b0 + b1 * one.g + b2 * two.g;
            let b_osmotic = b0 + b1 * one.e + b2 * two.e;
            let c = c0 + 4.0 * c1 * three.h;
            self.shared += product * (b1 * one.dg + b2 * two.dg) / self.strength;
            third_slope += product * 2.0 * c1 * (three.e - 4.0 * three.h) / self.strength;
            self.third += product * c;
            let both = 2.0 * b + self.equivalents * c;
            self.ln_gamma[cation] += ma * both;
            self.ln_gamma[anion] += mc * both;
            self.osmotic += product * (b_osmotic + self.equivalents * (c0 + c1 * three.e));
        }
        self.shared += 0.5 * self.equivalents * third_slope;
    }

    fn add_alike(&mut self) {
        let model = self.model;
        for Alike {
            ions: [i, j],
            theta,
            psi,
        } in &model.alike
        {
            let (zi, zj) = (model.charges[*i], model.charges[*j]);
            let product = self.m[*i] * self.m[*j];
            let (by_charge, slope) = match zi == zj {
                true => (0.0, 0.0),
                false => electrostatic(zi, zj, model.slope, self.strength),
            };
            let phi = theta + by_charge;
            let others = if zi > 0.0 {
                &model.anions
            } else {
                &model.cations
            };
            let mut triple = 0.0;
            for (&k, psi) in others.iter().zip(psi) {
                triple += self.m[k] * psi;
                self.ln_gamma[k] += product * psi;
            }
            self.shared += product * slope;
            self.ln_gamma[*i] += self.m[*j] * (2.0 * phi + triple);
            self.ln_gamma[*j] += self.m[*i] * (2.0 * phi + triple);
            self.osmotic += product * (phi + self.strength * slope + triple);
        }
    }

    fn add_molecules(&mut self) {
        for &(molecule, ion, lambda) in &self.model.salting {
            self.ln_gamma[molecule] += 2.0 * self.m[ion] * lambda;
            self.ln_gamma[ion] += 2.0 * self.m[molecule] * lambda;
            self.osmotic += self.m[molecule] * self.m[ion] * lambda;
        }
    }

    fn finish(mut self) -> Outcome {
        let model = self.model;
        for &ion in model.cations.iter().chain(&model.anions) {
            let z = model.charges[ion];
            self.ln_gamma[ion] += z * z * self.shared + z.abs() * self.third;
        }
        let ions = model.cations.iter().chain(&model.anions);
        let molality: f64 = ions.map(|&ion| self.m[ion]).sum();
        Outcome {
            ln_gamma: self.ln_gamma,
            osmotic_sum: molality + 2.0 * self.osmotic,
        }
    }
}
