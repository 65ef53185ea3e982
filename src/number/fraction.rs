//! Sums and products of fractions in lowest terms, with as little work on common divisors as they allow.
//!
//! Following a route is mostly this arithmetic, on numbers of a few machine words, and most of its time went into
//! greatest common divisors. So operands of one word never touch a big integer's algorithms, and longer ones go
//! through Lehmer's.
//!
//! Promises: the same fraction as `num_rational`'s own operators (a property test compares), always in lowest terms.
//!
//! Source: D. E. Knuth, The Art of Computer Programming, vol. 2, 3rd ed., 1997: sections 4.5.1 (fractions) and 4.5.2,
//! algorithm L (Lehmer's greatest common divisor), from memory.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::{Arc, OnceLock};

use num_bigint::{BigInt, BigUint};
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive, Zero};

/// A fraction in lowest terms with a positive denominator: two words where they do, and a shared big one else.
///
/// Every value has just one form, so equality and hashes go by the form.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub(super) enum Fraction {
    /// Neither part is `i64::MIN`.
    Short { above: i64, below: i64 },
    /// At least one part needs more than a word.
    Long(Arc<Long>),
}

/// A big fraction; models ask for its floating-point number again and again.
pub(super) struct Long {
    ratio: BigRational,
    float: OnceLock<f64>,
}

impl fmt::Debug for Long {
    /// The fraction alone: whether somebody asked for its floating-point number is nobody's business.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.ratio.fmt(f)
    }
}

impl PartialEq for Long {
    fn eq(&self, other: &Self) -> bool {
        self.ratio == other.ratio
    }
}

impl Eq for Long {}

impl Hash for Long {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.ratio.hash(state);
    }
}

impl Fraction {
    pub(super) const ZERO: Fraction = Fraction::whole(0);
    pub(super) const ONE: Fraction = Fraction::whole(1);

    const fn whole(above: i64) -> Fraction {
        Fraction::Short { above, below: 1 }
    }

    /// `above / below` in lowest terms; `None` if `below` is zero or a part is `i64::MIN`.
    pub(super) fn of_words(above: i64, below: i64) -> Option<Fraction> {
        if below == 0 || above == i64::MIN || below == i64::MIN {
            return None;
        }
        let common = short_gcd(above, below);
        // A divisor of a word fits it again.
        let (above, below) = (above / common as i64, below / common as i64);
        Some(match below < 0 {
            true => Fraction::Short {
                above: -above,
                below: -below,
            },
            false => Fraction::Short { above, below },
        })
    }

    pub(super) fn to_big(&self) -> BigRational {
        match self {
            Fraction::Short { above, below } => {
                BigRational::new_raw((*above).into(), (*below).into())
            }
            Fraction::Long(long) => long.ratio.clone(),
        }
    }

    /// The parts as big integers, for what has no short way.
    fn with_parts<T>(&self, then: impl FnOnce(&BigInt, &BigInt) -> T) -> T {
        match self {
            Fraction::Short { above, below } => then(&(*above).into(), &(*below).into()),
            Fraction::Long(long) => then(long.ratio.numer(), long.ratio.denom()),
        }
    }

    pub(super) fn numerator(&self) -> BigInt {
        self.with_parts(|above, _| above.clone())
    }

    pub(super) fn denominator(&self) -> BigInt {
        self.with_parts(|_, below| below.clone())
    }

    /// Binary digits of both parts together.
    pub(super) fn bits(&self) -> u64 {
        match self {
            Fraction::Short { above, below } => {
                let zeros = above.unsigned_abs().leading_zeros() + below.leading_zeros();
                u64::from(2 * u64::BITS - zeros)
            }
            Fraction::Long(long) => long.ratio.numer().bits() + long.ratio.denom().bits(),
        }
    }

    /// -1, 0 or 1.
    pub(super) fn sign(&self) -> i64 {
        match self {
            Fraction::Short { above, .. } => above.signum(),
            Fraction::Long(long) if long.ratio.is_negative() => -1,
            Fraction::Long(_) => 1,
        }
    }

    pub(super) fn is_whole(&self) -> bool {
        match self {
            Fraction::Short { below, .. } => *below == 1,
            Fraction::Long(long) => long.ratio.is_integer(),
        }
    }

    pub(super) fn negated(&self) -> Fraction {
        match self {
            Fraction::Short { above, below } => Fraction::Short {
                above: -above,
                below: *below,
            },
            Fraction::Long(long) => Fraction::long(-long.ratio.clone()),
        }
    }

    /// A floating-point number within two units in the last place; the nearest one of parts below 2^53.
    pub(super) fn to_f64(&self) -> f64 {
        match self {
            Fraction::Short { above, below } => *above as f64 / *below as f64,
            Fraction::Long(long) => *long.float.get_or_init(|| floating(&long.ratio)),
        }
    }

    fn long(ratio: BigRational) -> Fraction {
        let float = OnceLock::new();
        Fraction::Long(Arc::new(Long { ratio, float }))
    }

    /// Of two products or a sum of them, in lowest terms.
    fn of_wide(above: i128, below: i128) -> Fraction {
        match (i64::try_from(above), i64::try_from(below)) {
            (Ok(above), Ok(below)) if above != i64::MIN => Fraction::Short { above, below },
            _ => Fraction::long(BigRational::new_raw(above.into(), below.into())),
        }
    }

    /// Of parts in lowest terms, the lower one positive.
    fn of_parts(above: BigInt, below: BigInt) -> Fraction {
        match (above.to_i64(), below.to_i64()) {
            (Some(above), Some(below)) if above != i64::MIN => Fraction::Short { above, below },
            _ => Fraction::long(BigRational::new_raw(above, below)),
        }
    }
}

/// Each part rounded, then their quotient, as long as the parts are within the range of floating-point numbers; else by the
/// library, which has no such range.
fn floating(ratio: &BigRational) -> f64 {
    const WIDEST: u64 = 1000;
    let (above, below) = (ratio.numer(), ratio.denom());
    if above.bits().max(below.bits()) > WIDEST {
        return ratio.to_f64().unwrap_or(f64::NAN);
    }
    match (above.to_f64(), below.to_f64()) {
        (Some(above), Some(below)) => above / below,
        _ => f64::NAN,
    }
}

impl From<BigRational> for Fraction {
    fn from(value: BigRational) -> Self {
        let (above, below) = value.into_raw();
        Fraction::of_parts(above, below)
    }
}

impl Ord for Fraction {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self, other) {
            (Fraction::Short { above: a, below: b }, Fraction::Short { above: c, below: d }) => {
                let cross = |x: i64, y: i64| i128::from(x) * i128::from(y);
                cross(*a, *d).cmp(&cross(*c, *b))
            }
            _ => match self.sign().cmp(&other.sign()) {
                Ordering::Equal => {
                    self.with_parts(|a, b| other.with_parts(|c, d| (a * d).cmp(&(c * b))))
                }
                decided => decided,
            },
        }
    }
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// `left + right`.
pub(super) fn sum(left: &Fraction, right: &Fraction) -> Fraction {
    match (left, right) {
        (Fraction::Short { above: 0, .. }, _) => right.clone(),
        (_, Fraction::Short { above: 0, .. }) => left.clone(),
        (Fraction::Short { above: a, below: b }, Fraction::Short { above: c, below: d }) => {
            short_sum(*a, *b, *c, *d)
        }
        _ => left.with_parts(|a, b| right.with_parts(|c, d| long_sum((a, b), (c, d)))),
    }
}

/// `left · right`.
pub(super) fn product(left: &Fraction, right: &Fraction) -> Fraction {
    match (left, right) {
        (Fraction::Short { above: a, below: b }, Fraction::Short { above: c, below: d }) => {
            short_product((*a, *b), (*c, *d))
        }
        _ => left.with_parts(|a, b| right.with_parts(|c, d| crosswise((a, b), (c, d)))),
    }
}

/// `left / right`.
///
/// # Panics
/// If `right` is zero, as for integers.
pub(super) fn quotient(left: &Fraction, right: &Fraction) -> Fraction {
    assert!(right.sign() != 0, "division by zero");
    product(left, &inverse(right))
}

/// `1 / number`, which is not zero.
fn inverse(number: &Fraction) -> Fraction {
    match number {
        Fraction::Short { above, below } if *above < 0 => Fraction::Short {
            above: -below,
            below: -above,
        },
        Fraction::Short { above, below } => Fraction::Short {
            above: *below,
            below: *above,
        },
        Fraction::Long(long) => Fraction::from(long.ratio.recip()),
    }
}

/// `(a / b) · (c / d)` of words in lowest terms.
fn short_product((a, b): (i64, i64), (c, d): (i64, i64)) -> Fraction {
    let (left, right) = (short_gcd(a, d), short_gcd(c, b));
    // Each factor stays below 2^63 in size, so a product of two fits.
    let above = i128::from(a) / left * (i128::from(c) / right);
    let below = i128::from(b) / right * (i128::from(d) / left);
    Fraction::of_wide(above, below)
}

/// `(a / b) · (c / d)` with both in lowest terms and `b`, `d` positive.
fn crosswise((a, b): (&BigInt, &BigInt), (c, d): (&BigInt, &BigInt)) -> Fraction {
    if a.is_zero() || c.is_zero() {
        return Fraction::ZERO;
    }
    let (left, right) = (gcd(a, d), gcd(c, b));
    let shortened = |number: &BigInt, by: &BigInt| {
        if by.is_one() {
            number.clone()
        } else {
            number / by
        }
    };
    Fraction::of_parts(
        shortened(a, &left) * shortened(c, &right),
        shortened(b, &right) * shortened(d, &left),
    )
}

/// `a / b + c / d` with both in lowest terms and `b`, `d` positive.
fn long_sum((a, b): (&BigInt, &BigInt), (c, d): (&BigInt, &BigInt)) -> Fraction {
    let common = gcd(b, d);
    if common.is_one() {
        return Fraction::of_parts(a * d + c * b, b * d);
    }
    let (b_rest, d_rest) = (b / &common, d / &common);
    let above = a * &d_rest + c * &b_rest;
    if above.is_zero() {
        return Fraction::ZERO;
    }
    let left_over = gcd(&above, &common);
    if left_over.is_one() {
        return Fraction::of_parts(above, b_rest * d);
    }
    Fraction::of_parts(above / &left_over, b_rest * (d / left_over))
}

/// `a / b + c / d` of words in lowest terms: each product stays below 2^126 in size, and their sum below 2^127.
fn short_sum(a: i64, b: i64, c: i64, d: i64) -> Fraction {
    let common = short_gcd(b, d);
    let [a, b, c, d] = [a, b, c, d].map(i128::from);
    let (b_rest, d_rest) = (b / common, d / common);
    let above = a * d_rest + c * b_rest;
    // Only divisors of `common`, which is one word, can be left, and reducing first brings the other down to that.
    let rest = (above.unsigned_abs() % common.unsigned_abs()) as u64;
    let left_over = i128::from(rest.gcd(&(common as u64)));
    Fraction::of_wide(above / left_over, b_rest * (d / left_over))
}

fn short_gcd(a: i64, b: i64) -> i128 {
    i128::from(a.unsigned_abs().gcd(&b.unsigned_abs()))
}

/// The greatest common divisor, positive unless both are zero.
fn gcd(a: &BigInt, b: &BigInt) -> BigInt {
    let (mut high, mut low) = (a.magnitude().clone(), b.magnitude().clone());
    if high < low {
        std::mem::swap(&mut high, &mut low);
    }
    while low.bits() > u64::BITS.into() {
        (high, low) = match Cofactors::of_leading_bits(&high, &low) {
            Some(steps) => steps.apply(&high, &low),
            None => {
                let rest = &high % &low;
                (low, rest)
            }
        };
    }
    match low.to_u64() {
        None | Some(0) => high.into(),
        // One division makes the other one word, too.
        Some(low) => low.gcd(&(&high % low).to_u64().unwrap_or(0)).into(),
    }
}

/// What several steps of Euclid's algorithm do at once: `(u·high − v·low, y·low − x·high)`, or with the signs
/// exchanged after an odd number of steps.
struct Cofactors {
    of_high: (u64, u64),
    of_low: (u64, u64),
    odd: bool,
}

impl Cofactors {
    /// As many steps as the leading 64 bits of both decide; `None` if they do not even decide the first.
    fn of_leading_bits(high: &BigUint, low: &BigUint) -> Option<Cofactors> {
        // Cofactors of half a word keep every product below within a word and its carry.
        const LARGEST: u64 = 1 << 31;
        let shift = high.bits() - 64;
        let (mut a, mut b) = ((high >> shift).to_u64()?, (low >> shift).to_u64()?);
        let mut steps = Cofactors {
            of_high: (1, 0),
            of_low: (0, 1),
            odd: false,
        };
        // Collins' condition: the quotient is right whatever the bits below are if the remainder is at least the
        // cofactor on one side and leaves room for both on the other.
        while b != 0 {
            let quotient = a / b;
            let rest = a - quotient * b;
            let next_high = quotient
                .checked_mul(steps.of_low.0)?
                .checked_add(steps.of_high.0)?;
            let next_low = quotient
                .checked_mul(steps.of_low.1)?
                .checked_add(steps.of_high.1)?;
            if next_high >= LARGEST
                || next_low >= LARGEST
                || rest < next_low
                || b - rest < next_low + steps.of_low.1
            {
                break;
            }
            (a, b) = (b, rest);
            (steps.of_high, steps.of_low) = (steps.of_low, (next_high, next_low));
            steps.odd = !steps.odd;
        }
        (steps.of_high != (1, 0)).then_some(steps)
    }

    fn apply(&self, high: &BigUint, low: &BigUint) -> (BigUint, BigUint) {
        let difference = |(of_high, of_low): (u64, u64), odd: bool| {
            let (a, b) = (high * of_high, low * of_low);
            if odd { b - a } else { a - b }
        };
        (
            difference(self.of_high, self.odd),
            difference(self.of_low, !self.odd),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_rational::Ratio;
    use proptest::prelude::*;

    /// Whole numbers of one to nine words, small ones and shared factors among them.
    fn whole() -> impl Strategy<Value = BigInt> {
        let word = prop_oneof![any::<u64>(), 0..30_u64, Just(u64::MAX), Just(1 << 62)];
        (prop::collection::vec(word, 1..10), any::<bool>()).prop_map(|(words, negative)| {
            let size = words
                .iter()
                .fold(BigInt::zero(), |sum, word| (sum << 64) + *word);
            if negative { -size } else { size }
        })
    }

    fn fraction() -> impl Strategy<Value = BigRational> {
        (whole(), whole(), whole())
            .prop_filter("a denominator", |(_, below, shared)| {
                !below.is_zero() && !shared.is_zero()
            })
            .prop_map(|(above, below, shared)| Ratio::new(above * &shared, below * shared))
    }

    proptest! {
        #[test]
        fn common_divisors_are_euclid_s(a in whole(), b in whole(), shared in whole()) {
            let (a, b) = (a * &shared, b * shared);
            prop_assert_eq!(gcd(&a, &b), Integer::gcd(&a, &b));
        }

        #[test]
        fn fractions_are_those_of_the_library(a in fraction(), b in fraction()) {
            let [x, y] = [&a, &b].map(|long| Fraction::from(long.clone()));
            prop_assert_eq!(x.to_big(), a.clone());
            prop_assert_eq!(sum(&x, &y), (&a + &b).into());
            prop_assert_eq!(sum(&x, &x.negated()), Fraction::ZERO);
            prop_assert_eq!(product(&x, &y), (&a * &b).into());
            prop_assert_eq!(x.cmp(&y), a.cmp(&b));
            prop_assert_eq!(x.cmp(&x), Ordering::Equal);
            prop_assert_eq!(x.bits(), a.numer().bits() + a.denom().bits());
            prop_assert_eq!(x.sign(), i64::from(a.is_positive()) - i64::from(a.is_negative()));
            let nearest = a.to_f64().unwrap();
            prop_assert!((x.to_f64() - nearest).abs() <= 2.0 * f64::EPSILON * nearest.abs());
            if !b.is_zero() {
                prop_assert_eq!(quotient(&x, &y), (&a / &b).into());
            }
        }

        #[test]
        fn words_are_brought_to_lowest_terms(a in any::<i64>(), b in any::<i64>()) {
            match Fraction::of_words(a, b) {
                None => prop_assert!(b == 0 || a == i64::MIN || b == i64::MIN),
                Some(short) => {
                    prop_assert_eq!(short, Ratio::new(BigInt::from(a), BigInt::from(b)).into());
                }
            }
        }
    }
}
