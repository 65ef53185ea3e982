//! What a sample of the values of a quantity says: JCGM 101:2008, clauses 7 and 8.

/// The share of the values that a coverage interval holds.
pub const COVERAGE: f64 = 0.95;
/// Half-width of that interval in standard uncertainties for a normal quantity.
pub const FACTOR: f64 = 1.959_963_984_540_054;
/// The sample is cut into so many parts to see how well the ends of its interval are known.
const PARTS: usize = 10;

/// Mean, standard uncertainty and coverage intervals of a sample, all in the unit of its values.
///
/// ```
/// use aludel::number::Sampled;
/// let even = Sampled::of((0..=1000).map(f64::from).collect()).unwrap();
/// assert_eq!((even.mean, even.symmetric), (500.0, (24.0, 975.0)));
/// assert!((even.standard_uncertainty - 1001.0 / 12_f64.sqrt()).abs() < 1.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Sampled {
    /// Of the values (7.6).
    pub mean: f64,
    /// The standard deviation of the values (7.6).
    pub standard_uncertainty: f64,
    /// The 95 % interval with as many values below as above it (7.7.2).
    pub symmetric: (f64, f64),
    /// The shortest interval that holds 95 % of the values (7.7.3).
    pub shortest: (f64, f64),
    /// How far the ends of the symmetric interval may be off by chance: two standard errors, from the spread between
    /// parts of the sample (7.9.4).
    pub noise: f64,
}

/// Whether the first-order figure is borne out by a sample (JCGM 101:2008, clause 8).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Validation {
    /// δ: half a unit in the last of the digits of the standard uncertainty that are held to (7.9.2).
    pub tolerance: f64,
    /// How far the ends of the two 95 % intervals lie apart, the lower and the upper.
    pub apart: (f64, f64),
    /// What that means.
    pub verdict: Verdict,
}

/// What a [`Validation`] comes to.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Verdict {
    /// Both ends agree within the tolerance.
    Agrees,
    /// One differs by more, and chance does not explain it.
    Differs,
    /// One differs by more, but so few samples may be off by as much.
    Undecided,
}

impl Sampled {
    /// `None` for fewer than forty values, which have no 95 % interval with something outside at both ends.
    pub fn of(mut values: Vec<f64>) -> Option<Sampled> {
        if values.len() < 40 {
            return None;
        }
        // Before they are sorted: a part is a sample like the whole.
        let noise = noise(&values);
        values.sort_by(f64::total_cmp);
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        Some(Sampled {
            mean,
            standard_uncertainty: root_mean_square(&values, mean, count - 1.0),
            symmetric: symmetric(&values),
            shortest: shortest(&values),
            noise,
        })
    }

    /// In another unit: every value times `scale`, then `zero` more.
    pub fn rescaled(&self, scale: f64, zero: f64) -> Sampled {
        let value = |value: f64| value * scale + zero;
        let both = |(low, high): (f64, f64)| (value(low), value(high));
        Sampled {
            mean: value(self.mean),
            standard_uncertainty: self.standard_uncertainty * scale,
            symmetric: both(self.symmetric),
            shortest: both(self.shortest),
            noise: self.noise * scale,
        }
    }

    /// Compares with an estimate and its standard uncertainty, within the [`tolerance`] for the latter; for that of the
    /// sample where the estimate has none.
    pub fn validate(&self, estimate: f64, standard: f64) -> Validation {
        let tolerance = match standard {
            0.0 => tolerance(self.standard_uncertainty),
            _ => tolerance(standard),
        };
        let apart = (
            (estimate - FACTOR * standard - self.symmetric.0).abs(),
            (estimate + FACTOR * standard - self.symmetric.1).abs(),
        );
        let most = apart.0.max(apart.1);
        let verdict = match most {
            _ if most <= tolerance => Verdict::Agrees,
            _ if most - self.noise > tolerance => Verdict::Differs,
            _ => Verdict::Undecided,
        };
        Validation {
            tolerance,
            apart,
            verdict,
        }
    }
}

/// δ for a standard uncertainty c × 10^l: ½ × 10^l (7.9.2). One significant digit is held to, and two where the first is a
/// one, since half a unit of that would be up to half of the uncertainty.
///
/// ```
/// use aludel::number::tolerance;
/// for (standard, expected) in [(0.35, 0.05), (0.0539, 0.005), (10.1, 0.5), (0.96, 0.05)] {
///     assert!((tolerance(standard) / expected - 1.0).abs() < 1e-12, "{standard}");
/// }
/// ```
pub fn tolerance(standard: f64) -> f64 {
    if standard <= 0.0 || !standard.is_finite() {
        return 0.0;
    }
    // Rounded first: 0.96 is 1 to one digit, and then 1.0 × 10⁰ to two.
    let text = format!("{standard:.0e}");
    let (digit, power) = text.split_once('e').unwrap_or(("", "0"));
    let power: i32 = power.parse().unwrap_or(0);
    0.5 * 10_f64.powi(if digit == "1" { power - 1 } else { power })
}

/// Values that a coverage interval holds of so many (7.7.1).
fn held(count: usize) -> usize {
    ((COVERAGE * count as f64 + 0.5).floor() as usize).min(count - 1)
}

fn symmetric(sorted: &[f64]) -> (f64, f64) {
    let held = held(sorted.len());
    let first = (sorted.len() - held).div_ceil(2) - 1;
    (sorted[first], sorted[first + held])
}

fn shortest(sorted: &[f64]) -> (f64, f64) {
    let held = held(sorted.len());
    let pairs = sorted.iter().zip(&sorted[held..]);
    let shortest = pairs.min_by(|(a, b), (c, d)| (*b - *a).total_cmp(&(*d - *c)));
    shortest.map_or((sorted[0], sorted[held]), |(low, high)| (*low, *high))
}

fn noise(values: &[f64]) -> f64 {
    let size = (values.len() / PARTS).max(2);
    let parts = values.chunks_exact(size).map(|part| {
        let mut part = part.to_vec();
        part.sort_by(f64::total_cmp);
        symmetric(&part)
    });
    let (low, high): (Vec<f64>, Vec<f64>) = parts.unzip();
    2.0 * standard_error(&low).max(standard_error(&high))
}

fn standard_error(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    root_mean_square(values, mean, count * (count - 1.0))
}

/// √(Σ (value − mean)² / among), also where the squares leave the range of floating-point numbers before the root does.
fn root_mean_square(values: &[f64], mean: f64, among: f64) -> f64 {
    let off = values.iter().map(|value| value - mean);
    match off.clone().map(|off| off.powi(2)).sum::<f64>() {
        squares if squares.is_finite() => (squares / among).sqrt(),
        _ => off.fold(0.0, libm::hypot) / among.sqrt(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten parts of forty equal values, from 0 to 9: s of the ends of their intervals is √(82.5 / 9), and √10 times less
    /// that of their mean.
    #[test]
    fn the_noise_is_two_standard_errors_between_parts() {
        let values = (0..400).map(|at| f64::from(at / 40)).collect();
        let found = Sampled::of(values).unwrap();
        assert!((found.noise - 2.0 * (82.5_f64 / 90.0).sqrt()).abs() < 1e-12);
    }

    /// 20 °C are 293.15 K: a mean moves with the zero of its scale, an uncertainty does not.
    #[test]
    fn a_scale_with_a_zero_of_its_own_moves_values_and_not_uncertainties() {
        let kelvin =
            Sampled::of((0..400).map(|at| 293.15 + f64::from(at % 3 - 1)).collect()).unwrap();
        let celsius = kelvin.rescaled(1.0, -273.15);
        assert!((celsius.mean - 20.0).abs() < 0.01, "{celsius:?}");
        assert!(
            (celsius.symmetric.0 - 19.0).abs() < 1e-9 && (celsius.shortest.1 - 21.0).abs() < 1e-9
        );
        assert_eq!(celsius.standard_uncertainty, kelvin.standard_uncertainty);
        assert_eq!(celsius.noise, kelvin.noise);
    }

    #[test]
    fn huge_values_have_a_standard_uncertainty() {
        let values = (0..400).map(|at| 1e200 * f64::from(at % 2)).collect();
        let found = Sampled::of(values).unwrap();
        assert!((found.standard_uncertainty / 1e200 - 0.5).abs() < 0.01);
        assert!(found.noise.is_finite());
    }
}
