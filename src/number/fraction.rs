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

use num_bigint::{BigInt, BigUint};
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive, Zero};

/// `left + right`.
pub(super) fn sum(left: &BigRational, right: &BigRational) -> BigRational {
    if left.is_zero() {
        return right.clone();
    }
    if right.is_zero() {
        return left.clone();
    }
    let ((a, b), (c, d)) = (parts(left), parts(right));
    if let Some(short) = short_sum(a, b, c, d) {
        return short;
    }
    let common = gcd(b, d);
    if common.is_one() {
        return BigRational::new_raw(a * d + c * b, b * d);
    }
    let (b_rest, d_rest) = (b / &common, d / &common);
    let above = a * &d_rest + c * &b_rest;
    if above.is_zero() {
        return BigRational::zero();
    }
    let left_over = gcd(&above, &common);
    if left_over.is_one() {
        return BigRational::new_raw(above, b_rest * d);
    }
    BigRational::new_raw(above / &left_over, b_rest * (d / left_over))
}

/// `left · right`.
pub(super) fn product(left: &BigRational, right: &BigRational) -> BigRational {
    let ((a, b), (c, d)) = (parts(left), parts(right));
    crosswise(a, b, c, d)
}

/// `left / right`.
///
/// # Panics
/// If `right` is zero, as for integers.
pub(super) fn quotient(left: &BigRational, right: &BigRational) -> BigRational {
    assert!(!right.is_zero(), "division by zero");
    let ((a, b), (c, d)) = (parts(left), parts(right));
    if c.is_negative() {
        crosswise(a, b, &-d, &-c)
    } else {
        crosswise(a, b, d, c)
    }
}

fn parts(number: &BigRational) -> (&BigInt, &BigInt) {
    (number.numer(), number.denom())
}

/// `(a / b) · (c / d)` with both in lowest terms and `b`, `d` positive.
fn crosswise(a: &BigInt, b: &BigInt, c: &BigInt, d: &BigInt) -> BigRational {
    if a.is_zero() || c.is_zero() {
        return BigRational::zero();
    }
    if let (Some(a), Some(b), Some(c), Some(d)) = (a.to_i64(), b.to_i64(), c.to_i64(), d.to_i64()) {
        let (left, right) = (short_gcd(a, d), short_gcd(c, b));
        // Each factor stays below 2^63 in size, so a product of two fits.
        let above = i128::from(a) / left * (i128::from(c) / right);
        let below = i128::from(b) / right * (i128::from(d) / left);
        return BigRational::new_raw(above.into(), below.into());
    }
    let (left, right) = (gcd(a, d), gcd(c, b));
    let shortened = |number: &BigInt, by: &BigInt| {
        if by.is_one() {
            number.clone()
        } else {
            number / by
        }
    };
    BigRational::new_raw(
        shortened(a, &left) * shortened(c, &right),
        shortened(b, &right) * shortened(d, &left),
    )
}

/// `a / b + c / d` where all four are of one word and the sum has no common divisor wider than that.
fn short_sum(a: &BigInt, b: &BigInt, c: &BigInt, d: &BigInt) -> Option<BigRational> {
    // 62 bits each, so that the two products and their sum stay within 126.
    const WIDEST: i64 = 1 << 62;
    let word = |number: &BigInt| number.to_i64().filter(|n| n.abs() < WIDEST).map(i128::from);
    let (a, b, c, d) = (word(a)?, word(b)?, word(c)?, word(d)?);
    let common = i128::from((b as u64).gcd(&(d as u64)));
    let (b_rest, d_rest) = (b / common, d / common);
    let above = a * d_rest + c * b_rest;
    // Only divisors of `common`, which is one word, can be left, and reducing first brings the other down to that.
    let rest = (above.unsigned_abs() % common.unsigned_abs()) as u64;
    let left_over = i128::from(rest.gcd(&(common as u64)));
    Some(BigRational::new_raw(
        (above / left_over).into(),
        (b_rest * (d / left_over)).into(),
    ))
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
            prop_assert_eq!(sum(&a, &b), &a + &b);
            prop_assert_eq!(sum(&a, &-&a), BigRational::zero());
            prop_assert_eq!(product(&a, &b), &a * &b);
            if !b.is_zero() {
                prop_assert_eq!(quotient(&a, &b), &a / &b);
            }
        }
    }
}
