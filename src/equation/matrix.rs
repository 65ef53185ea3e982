//! The composition matrix of a skeleton, and its nullspace by fraction-free elimination.
//!
//! Every element is a row and charge is one more; left columns count positive, right ones negative, so a balance is a
//! positive vector of the nullspace.

use std::fmt::{self, Display, Formatter};

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{CheckedMul, CheckedSub, Signed};

use crate::matter::{Element, Species};

use super::Side;

/// What a reaction conserves.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Conserved {
    /// The atoms of an element.
    Element(Element),
    /// Charge.
    Charge,
}

/// An element's name, or `charge`.
impl Display for Conserved {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        to.write_str(match self {
            Conserved::Element(element) => element.name(),
            Conserved::Charge => "charge",
        })
    }
}

/// Rows of conserved things, columns of species with their side.
#[derive(Clone, Debug)]
pub(super) struct Matrix {
    pub(super) labels: Vec<Conserved>,
    pub(super) rows: Vec<Vec<i64>>,
}

impl Matrix {
    /// `None` where an atom count exceeds 63 bits. A fractional formula is counted times its divisor, and the caller
    /// multiplies the coefficient back.
    pub(super) fn of(columns: &[(Side, &Species)]) -> Option<Matrix> {
        let mut labels: Vec<Conserved> = Vec::new();
        let mut rows: Vec<Vec<i64>> = Vec::new();
        let mut add = |label: Conserved, column: usize, count: i64| {
            let row = labels.iter().position(|l| *l == label).unwrap_or_else(|| {
                labels.push(label);
                rows.push(vec![0; columns.len()]);
                labels.len() - 1
            });
            rows[row][column] = count;
        };
        for (column, (side, species)) in columns.iter().enumerate() {
            let sign = if *side == Side::Left { 1 } else { -1 };
            let composition = species.composition();
            for (element, count) in &composition.atoms {
                add(
                    Conserved::Element(*element),
                    column,
                    sign * i64::try_from(*count).ok()?,
                );
            }
            if species.charge() != 0 {
                let scaled = species
                    .charge()
                    .checked_mul(i64::try_from(divisor(species)).ok()?)?;
                add(Conserved::Charge, column, sign * scaled);
            }
        }
        Some(Matrix { labels, rows })
    }

    /// A basis of the nullspace.
    pub(super) fn nullspace(&self) -> Vec<Vec<BigInt>> {
        nullspace(&self.rows)
    }
}

/// A basis of the vectors that a matrix of whole numbers takes to zero, each in lowest terms with its last entry positive;
/// on machine integers as long as they suffice.
///
/// ```
/// use aludel::equation::nullspace;
/// let basis = nullspace(&[vec![2, 0, -2], vec![0, 2, -1]]);
/// assert_eq!(basis, [[2.into(), 1.into(), 2.into()]]);
/// ```
pub fn nullspace(rows: &[Vec<i64>]) -> Vec<Vec<BigInt>> {
    if let Some(basis) = nullspace_in::<i64>(rows) {
        return lift(basis);
    }
    if let Some(basis) = nullspace_in::<i128>(rows) {
        return lift(basis);
    }
    nullspace_in::<BigInt>(rows).expect("big integers do not overflow")
}

/// What the counts of a species were multiplied by to be whole.
pub(super) fn divisor(species: &Species) -> u64 {
    species.composition().divisor.max(1)
}

fn lift<T: Into<BigInt>>(basis: Vec<Vec<T>>) -> Vec<Vec<BigInt>> {
    basis
        .into_iter()
        .map(|vector| vector.into_iter().map(Into::into).collect())
        .collect()
}

/// Fraction-free elimination (Bareiss): every division is exact. `None` as soon as a product overflows.
fn nullspace_in<T>(rows: &[Vec<i64>]) -> Option<Vec<Vec<T>>>
where
    T: Integer + Signed + CheckedMul + CheckedSub + Clone + From<i64>,
{
    let width = rows.first().map_or(0, Vec::len);
    let mut work: Vec<Vec<T>> = rows
        .iter()
        .map(|row| row.iter().map(|n| T::from(*n)).collect())
        .collect();
    let mut pivots: Vec<usize> = Vec::new();
    let mut last = T::one();
    for column in 0..width {
        let rank = pivots.len();
        let filled = |row: &Vec<T>| row.iter().filter(|n| !n.is_zero()).count();
        let able = (rank..work.len()).filter(|&r| !work[r][column].is_zero());
        // The emptiest row spreads least.
        let Some(found) = able.min_by_key(|&r| filled(&work[r])) else {
            continue;
        };
        work.swap(rank, found);
        let (above, below) = work.split_at_mut(rank + 1);
        let pivot_row = &above[rank][column..];
        for row in below {
            clear(&mut row[column..], pivot_row, &last)?;
        }
        last = pivot_row[0].clone();
        pivots.push(column);
    }
    let free = (0..width).filter(|c| !pivots.contains(c));
    free.map(|column| solved(&work, &pivots, column, &last))
        .collect()
}

/// Takes so much of the pivot's row out of another that its first entry becomes zero.
fn clear<T>(row: &mut [T], pivot_row: &[T], last: &T) -> Option<()>
where
    T: Integer + CheckedMul + CheckedSub + Clone,
{
    let (pivot, factor) = (&pivot_row[0], row[0].clone());
    if factor.is_zero() && pivot == last {
        return Some(());
    }
    for (entry, above) in row.iter_mut().zip(pivot_row) {
        if entry.is_zero() && (above.is_zero() || factor.is_zero()) {
            continue;
        }
        let kept = pivot.checked_mul(entry)?;
        let taken = factor.checked_mul(above)?;
        *entry = kept.checked_sub(&taken)? / last.clone();
    }
    Some(())
}

/// The vector with the last pivot in one free column and zero in the others. By Cramer's rule it is whole.
fn solved<T>(work: &[Vec<T>], pivots: &[usize], free: usize, last: &T) -> Option<Vec<T>>
where
    T: Integer + Signed + CheckedMul + CheckedSub + Clone,
{
    let mut vector = vec![T::zero(); work.first().map_or(0, Vec::len)];
    vector[free] = last.clone();
    for (row, pivot) in pivots.iter().enumerate().rev() {
        let mut rest = T::zero();
        for (n, x) in work[row].iter().zip(&vector).skip(pivot + 1) {
            if !n.is_zero() && !x.is_zero() {
                rest = rest.checked_sub(&n.checked_mul(x)?)?;
            }
        }
        vector[*pivot] = rest / work[row][*pivot].clone();
    }
    Some(reduced(vector))
}

/// Divided by the common divisor, the last entry that is not zero positive.
pub(super) fn reduced<T: Integer + Signed + Clone>(mut vector: Vec<T>) -> Vec<T> {
    let common = vector.iter().fold(T::zero(), |g, n| g.gcd(n));
    if common.is_zero() {
        return vector;
    }
    let negative = vector
        .iter()
        .rev()
        .find(|n| !n.is_zero())
        .is_some_and(Signed::is_negative);
    let common = if negative { T::zero() - common } else { common };
    for entry in &mut vector {
        *entry = entry.clone() / common.clone();
    }
    vector
}
