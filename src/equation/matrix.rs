//! The composition matrix of a skeleton, and its kernel by fraction-free elimination.
//!
//! Every element is a row and charge is one more; left columns count positive, right ones negative, so a balance is a
//! positive vector of the kernel.

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

    /// A basis of the kernel, on machine integers as long as they suffice.
    pub(super) fn kernel(&self) -> Vec<Vec<BigInt>> {
        if let Some(basis) = kernel_in::<i64>(&self.rows) {
            return lift(basis);
        }
        if let Some(basis) = kernel_in::<i128>(&self.rows) {
            return lift(basis);
        }
        kernel_in::<BigInt>(&self.rows).expect("big integers do not overflow")
    }
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

/// Fraction-free Gauss-Jordan elimination (Bareiss): every division is exact, and after each step all pivots are equal.
/// `None` as soon as a product overflows.
fn kernel_in<T>(rows: &[Vec<i64>]) -> Option<Vec<Vec<T>>>
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
        let Some(found) = (rank..work.len()).find(|&r| !work[r][column].is_zero()) else {
            continue;
        };
        work.swap(rank, found);
        let pivot_row = work[rank].clone();
        let pivot = pivot_row[column].clone();
        for (index, row) in work.iter_mut().enumerate() {
            if index == rank {
                continue;
            }
            let factor = row[column].clone();
            for (entry, above) in row.iter_mut().zip(&pivot_row) {
                let kept = pivot.checked_mul(entry)?;
                let taken = factor.checked_mul(above)?;
                *entry = kept.checked_sub(&taken)? / last.clone();
            }
        }
        last = pivot;
        pivots.push(column);
    }
    let free = (0..width).filter(|c| !pivots.contains(c));
    let basis = free.map(|column| {
        let mut vector = vec![T::zero(); width];
        vector[column] = last.clone();
        for (row, pivot) in pivots.iter().enumerate() {
            vector[*pivot] = T::zero() - work[row][column].clone();
        }
        reduced(vector)
    });
    Some(basis.collect())
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
