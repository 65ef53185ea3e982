//! What is known of an uncertain input, and one draw of all inputs at random (JCGM 101:2008, clause 6.4).
//!
//! Promises: a draw is a function of seed, sample and input alone, so that the order in which anything asks, and the
//! number of threads that do, change nothing.
//!
//! Knows nothing of what is computed from the inputs.

use std::sync::{Arc, Mutex, PoisonError};

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use rustc_hash::FxHashMap;

use super::{Exact, InputId, Number};

/// How the values that an input may have are distributed about its best estimate.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Distribution {
    /// A standard uncertainty, or an expanded one with its factor, and nothing else is known (JCGM 101:2008, 6.4.7).
    #[default]
    Normal,
    /// Between two limits, and nothing else is known (6.4.2; JCGM 100:2008, 4.3.7).
    Rectangular,
    /// Between two limits, and likelier in the middle (6.4.5; JCGM 100:2008, 4.3.9).
    Triangular,
    /// The mean of some readings, with so many degrees of freedom: t, scaled by s/√n (6.4.9).
    Student(u32),
}

/// An uncertain input.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What a budget calls it.
    pub label: String,
    /// How its values are distributed.
    pub distribution: Distribution,
}

impl Input {
    /// An input of which a standard uncertainty is known.
    pub fn normal(label: impl Into<String>) -> Input {
        Input {
            label: label.into(),
            distribution: Distribution::Normal,
        }
    }
}

/// Numbers that are kept for one input; a value of the tables comes in one or two forms.
const ALIKE: usize = 4;

/// One value for every input, at random: how far each lies from its estimate.
///
/// ```
/// use aludel::number::{Distribution, SampleDraw, Exact, Input, InputId, Number};
/// let input = Input { label: "balance".into(), distribution: Distribution::Rectangular };
/// let mass = Number::exact(Exact::from(10)).with_uncertainty(InputId(0), 0.1 / 3_f64.sqrt());
/// let draw = SampleDraw::new(vec![input].into(), 1, 0);
/// let drawn = draw.of(&mass);
/// assert!(drawn.is_exact() && (drawn.to_f64() - 10.0).abs() <= 0.1);
/// assert_eq!(drawn, draw.of(&mass));
/// ```
#[derive(Debug)]
pub struct SampleDraw {
    inputs: Arc<[Input]>,
    seed: u64,
    sample: u64,
    /// Numbers of the tables by their first input, with what was drawn for them: a run asks for each many times.
    known: Mutex<FxHashMap<InputId, Vec<(Number, Number)>>>,
}

impl SampleDraw {
    /// The `sample`th draw with a seed. Inputs that are not listed are taken as normal.
    pub fn new(inputs: Arc<[Input]>, seed: u64, sample: u64) -> SampleDraw {
        SampleDraw {
            inputs,
            seed,
            sample,
            known: Mutex::default(),
        }
    }

    /// A number with the values drawn for its inputs in the place of its uncertainty; exact to first order, so for
    /// numbers as they were stated, and kept to the digits of a model.
    pub fn of(&self, number: &Number) -> Number {
        let Some((first, _)) = number.contributions().first() else {
            return number.clone();
        };
        // A thread that panicked between two whole numbers left nothing half done.
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let alike = known.entry(*first).or_default();
        if let Some((_, drawn)) = alike.iter().find(|(stated, _)| stated == number) {
            return drawn.clone();
        }
        let drawn = self.work_out(number);
        if alike.len() < ALIKE {
            alike.push((number.clone(), drawn.clone()));
        }
        drawn
    }

    fn work_out(&self, number: &Number) -> Number {
        let parts = number.contributions().iter();
        let off: f64 = parts.map(|(input, part)| part * self.deviate(*input)).sum();
        let drawn = Exact::modelled(number.to_f64() + off);
        Number::exact(drawn.unwrap_or_else(|| number.value().clone()))
    }

    /// How far an input lies from its estimate, in standard uncertainties (for readings in s/√n).
    pub fn deviate(&self, input: InputId) -> f64 {
        let mut random = Random::of(self.seed, self.sample, input);
        match self.distribution(input) {
            Distribution::Normal => random.normal(),
            Distribution::Rectangular => 3_f64.sqrt() * (2.0 * random.uniform() - 1.0),
            Distribution::Triangular => 6_f64.sqrt() * (random.uniform() + random.uniform() - 1.0),
            Distribution::Student(degrees) => random.student(degrees),
        }
    }

    fn distribution(&self, input: InputId) -> Distribution {
        let known = self.inputs.get(input.0 as usize);
        known.map_or(Distribution::Normal, |input| input.distribution)
    }
}

struct Random(ChaCha8Rng);

impl Random {
    /// The stream of one input in one sample: all three are its key.
    fn of(seed: u64, sample: u64, input: InputId) -> Random {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..16].copy_from_slice(&sample.to_le_bytes());
        key[16..20].copy_from_slice(&input.0.to_le_bytes());
        Random(ChaCha8Rng::from_seed(key))
    }

    /// Above 0, below 1: the middle of one of 2⁵³ equal parts.
    fn uniform(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Mean 0, standard deviation 1, by the Box-Muller transform (JCGM 101:2008, C.4).
    fn normal(&mut self) -> f64 {
        let size = (-2.0 * libm::log(self.uniform())).sqrt();
        size * libm::cos(std::f64::consts::TAU * self.uniform())
    }

    /// Student's t: a normal deviate over the root of a mean square of `degrees` others.
    fn student(&mut self, degrees: u32) -> f64 {
        // A route has a few readings; beyond this many, t is normal to three digits.
        if degrees > 1000 {
            return self.normal();
        }
        let value = self.normal();
        let squares: f64 = (0..degrees).map(|_| self.normal().powi(2)).sum();
        value / (squares / f64::from(degrees)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moments(distribution: Distribution) -> (f64, f64, f64) {
        let inputs: Arc<[Input]> = vec![Input {
            label: String::new(),
            distribution,
        }]
        .into();
        let drawn = (0..40_000).map(|i| SampleDraw::new(inputs.clone(), 7, i).deviate(InputId(0)));
        let drawn: Vec<f64> = drawn.collect();
        let n = drawn.len() as f64;
        let mean = drawn.iter().sum::<f64>() / n;
        let of_order = |k| drawn.iter().map(|x| (x - mean).powi(k)).sum::<f64>() / n;
        (mean, of_order(2), of_order(4) / of_order(2).powi(2))
    }

    /// Variances 1 and kurtoses 3, 9/5 and 12/5; for t with 10 degrees of freedom 10/8 and 3 + 6/6. The limits are five
    /// standard errors or more of 40,000 draws.
    #[test]
    fn draws_have_the_moments_of_their_distributions() {
        for (distribution, variance, kurtosis) in [
            (Distribution::Normal, 1.0, 3.0),
            (Distribution::Rectangular, 1.0, 1.8),
            (Distribution::Triangular, 1.0, 2.4),
            (Distribution::Student(10), 1.25, 4.0),
        ] {
            let (mean, found, peaked) = moments(distribution);
            assert!(mean.abs() < 0.03, "{distribution:?}: mean {mean}");
            assert!(
                (found - variance).abs() < 0.05,
                "{distribution:?}: variance {found}"
            );
            assert!(
                (peaked - kurtosis).abs() < 0.3,
                "{distribution:?}: kurtosis {peaked}"
            );
        }
    }

    #[test]
    fn inputs_and_samples_are_independent_and_seeds_differ() {
        let none: Arc<[Input]> = Vec::new().into();
        let draw = |seed, sample, input| {
            SampleDraw::new(none.clone(), seed, sample).deviate(InputId(input))
        };
        let pairs = (0..20_000).map(|i| (draw(1, i, 0), draw(1, i, 1), draw(1, i + 1, 0)));
        let (mut between_inputs, mut between_samples) = (0.0, 0.0);
        for (one, other, next) in pairs {
            between_inputs += one * other / 20_000.0;
            between_samples += one * next / 20_000.0;
        }
        assert!(between_inputs.abs() < 0.03 && between_samples.abs() < 0.03);
        assert_ne!(draw(1, 0, 0), draw(2, 0, 0));
    }
}
