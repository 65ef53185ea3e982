//! What leaves a liquid as it evaporates, and what stays: each bubble has the composition of the vapour over the liquid of its
//! moment (Lord Rayleigh, Phil. Mag. 4 (1902) 521).

use crate::solution::activity::Basis;

use super::{Liquid, WATER_GRAMS};

/// How the liquid is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Evaporation {
    /// It boils under a pressure in Pa.
    Boiling {
        /// Pa
        pascal: f64,
    },
    /// It is held below boiling at a temperature in K, and the vapour is carried away.
    At {
        /// K
        kelvin: f64,
    },
}

/// The end of an evaporation.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaporated {
    /// What left, in mol by its formula in the vapour; `H2O` first.
    pub left: Vec<(&'static str, f64)>,
    /// What stays; `None` if the whole liquid left.
    pub liquid: Option<Liquid>,
    /// K at the end.
    pub kelvin: f64,
    /// Whether the aim was reached; else what stays gives nothing off below 640 K, or nothing stays.
    pub reached: bool,
    /// What the figures at the beginning and at the end rest on.
    pub basis: Basis,
}

/// Share of the liquid that leaves in one step.
const STEP: f64 = 0.04;
/// Steps after which an evaporation ends in any case.
const MOST_STEPS: usize = 2000;
/// Share of the liquid at the beginning below which nothing is left.
const NOTHING: f64 = 1e-7;

impl Liquid {
    /// Lets it evaporate until `aim` is no longer positive: `aim` says how far the liquid is from where it should end, for
    /// instance its mass less the one wanted.
    ///
    /// ```
    /// use aludel::solution::vapour::{Evaporation, Liquid};
    /// // Dilute hydrochloric acid loses mostly water and approaches 20.2 %.
    /// let acid = Liquid::new(900.0, &[("H^+", 2.743), ("Cl^-", 2.743)]).unwrap();
    /// let boiling = Evaporation::Boiling { pascal: 101_325.0 };
    /// let end = acid.evaporated(boiling, |liquid| liquid.water_grams() - 100.0);
    /// let liquid = end.liquid.unwrap();
    /// let acid = 36.46 * liquid.amount("Cl^-");
    /// assert!((acid / (acid + liquid.water_grams()) - 0.202).abs() < 0.012);
    /// ```
    pub fn evaporated(&self, how: Evaporation, aim: impl Fn(&Liquid) -> f64) -> Evaporated {
        if !self.is_volatile() {
            return self.dried(how, &aim);
        }
        let mut run = Run::of(self, how);
        let whole = self.moles();
        let mut reached = false;
        for _ in 0..MOST_STEPS {
            if aim(&run.liquid) <= 0.0 {
                reached = true;
                break;
            }
            if run.liquid.moles() < NOTHING * whole {
                break;
            }
            let before = run.clone();
            let size = STEP * run.liquid.moles();
            if !run.step(size) {
                break;
            }
            if aim(&run.liquid) <= 0.0 {
                run = before.shortened(size, &aim);
                reached = true;
                break;
            }
        }
        run.end(self, reached)
    }

    /// The same where nothing but water leaves.
    fn dried(&self, how: Evaporation, aim: &impl Fn(&Liquid) -> f64) -> Evaporated {
        let mut run = Run::of(self, how);
        let with = |water: f64| Liquid {
            water,
            solutes: self.solutes.clone(),
        };
        let (mut low, mut high) = (0.0, self.water);
        let reached = aim(self) <= 0.0 || aim(&with(NOTHING * self.water)) <= 0.0;
        if aim(self) <= 0.0 {
            low = high;
        }
        while reached && high - low > 1e-13 * self.water {
            let middle = 0.5 * (low + high);
            if aim(&with(middle)) > 0.0 {
                high = middle
            } else {
                low = middle
            }
        }
        let water = if reached { high } else { NOTHING * self.water };
        run.liquid = with(water);
        run.left[0].1 = self.water - water;
        if let Evaporation::Boiling { pascal } = how {
            run.kelvin = run.liquid.model().boiling(pascal).unwrap_or(run.kelvin);
        }
        run.end(self, reached)
    }

    /// mol of water and all that can leave; what stays has no limit.
    fn moles(&self) -> f64 {
        let volatile = super::VOLATILES
            .iter()
            .map(|volatile| self.holds(volatile))
            .sum::<f64>();
        self.water + volatile
    }
}

/// An evaporation under way.
#[derive(Clone)]
struct Run {
    liquid: Liquid,
    how: Evaporation,
    left: Vec<(&'static str, f64)>,
    kelvin: f64,
}

impl Run {
    fn of(liquid: &Liquid, how: Evaporation) -> Self {
        let kelvin = match how {
            Evaporation::At { kelvin } => kelvin,
            Evaporation::Boiling { pascal } => liquid.model().boiling(pascal).unwrap_or(f64::NAN),
        };
        Run {
            liquid: liquid.clone(),
            how,
            left: vec![("H2O", 0.0)],
            kelvin,
        }
    }

    /// Lets `moles` of vapour leave, by the vapour in the middle of the step. `false` if nothing can.
    fn step(&mut self, moles: f64) -> bool {
        let Some(first) = self.rates() else {
            return false;
        };
        let mut half = self.clone();
        half.take(&first, 0.5 * moles);
        let middle = half.rates().unwrap_or(first);
        self.kelvin = half.kelvin;
        self.take(&middle, moles);
        true
    }

    /// mol of each in one mole of vapour, with the amount that the liquid holds.
    fn rates(&mut self) -> Option<Vec<(&'static str, f64, f64)>> {
        let model = self.liquid.model();
        if let Evaporation::Boiling { pascal } = self.how {
            self.kelvin = model
                .boiling_near(pascal, self.kelvin)
                .or_else(|| model.boiling(pascal))?;
        }
        let partials = model.partials(self.kelvin);
        let counted = partials.iter().enumerate();
        let total: f64 = counted
            .filter(|(at, _)| *at == 0 || !model.leaving[at - 1].volatile.is_gas())
            .map(|(_, partial)| partial.single)
            .sum();
        if !total.is_finite() || total <= 0.0 {
            return None;
        }
        let held =
            std::iter::once(self.liquid.water).chain(model.leaving.iter().map(|one| one.amount));
        let rates = partials.iter().zip(held);
        Some(
            rates
                .map(|(partial, held)| (partial.formula, partial.single / total, held))
                .collect(),
        )
    }

    /// Each leaves in the ratio of its rate to its amount, so that none falls below zero.
    fn take(&mut self, rates: &[(&'static str, f64, f64)], moles: f64) {
        for (formula, rate, held) in rates {
            if *held <= 0.0 {
                continue;
            }
            let there = match *formula {
                "H2O" => self.liquid.water,
                formula => self.liquid.volatile_amount(formula),
            };
            let gone = there * -libm::expm1(-rate * moles / held);
            self.liquid.remove(formula, gone);
            match self.left.iter_mut().find(|(known, _)| known == formula) {
                Some((_, sum)) => *sum += gone,
                None => self.left.push((formula, gone)),
            }
        }
    }

    /// As far of the last step as the aim asks.
    fn shortened(&self, size: f64, aim: &impl Fn(&Liquid) -> f64) -> Run {
        let (mut low, mut high) = (0.0, size);
        let mut best = self.clone();
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            let mut tried = self.clone();
            tried.step(middle);
            let off = aim(&tried.liquid);
            if off > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
            best = tried;
            if (high - low) < 1e-12 * size {
                break;
            }
        }
        best
    }

    fn end(self, from: &Liquid, reached: bool) -> Evaporated {
        let start = Run::of(from, self.how).kelvin;
        let mut basis = from.basis(start);
        let gone = self.liquid.moles() <= NOTHING * from.moles();
        if !gone {
            let last = self.liquid.basis(self.kelvin);
            basis.merge(last);
        }
        Evaporated {
            left: self.left,
            liquid: (!gone).then_some(self.liquid),
            kelvin: self.kelvin,
            reached,
            basis,
        }
    }
}

impl Liquid {
    /// mol of a volatile solute by its formula in the vapour.
    fn volatile_amount(&self, formula: &str) -> f64 {
        let mut all = super::VOLATILES.iter();
        all.find(|volatile| volatile.formula == formula)
            .map_or(0.0, |volatile| self.holds(volatile))
    }

    fn remove(&mut self, formula: &str, moles: f64) {
        if formula == "H2O" {
            self.water = (self.water - moles).max(f64::MIN_POSITIVE / WATER_GRAMS);
            return;
        }
        let mut all = super::VOLATILES.iter();
        let Some(volatile) = all.find(|volatile| volatile.formula == formula) else {
            return;
        };
        let parts = if volatile.takes.is_empty() {
            std::slice::from_ref(&volatile.formula)
        } else {
            volatile.takes
        };
        for (key, n) in &mut self.solutes {
            if parts.contains(&key.as_str()) {
                *n = (*n - moles).max(0.0);
            }
        }
        self.solutes.retain(|(_, n)| *n > 0.0);
    }
}
