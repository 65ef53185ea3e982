//! Elementary balances: the vectors of the nullspace without negative entries that have as few species as can be. Every
//! other balance is a sum of them.
//!
//! One conserved row after the other is imposed on the rays of the positive orthant; a ray whose species include all
//! those of another is no longer elementary and goes.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, Zero};

use super::matrix::reduced;

/// The most rays that are followed at once.
const MAX_RAYS: usize = 4096;

/// The elementary balances in a stable order, or `None` if there are too many to list. `free` columns may be negative.
pub(super) fn elementary(rows: &[Vec<i64>], width: usize) -> Option<Vec<Vec<BigInt>>> {
    let mut rays: Vec<Vec<BigInt>> = (0..width)
        .map(|column| {
            (0..width)
                .map(|c| BigInt::from(u8::from(c == column)))
                .collect()
        })
        .collect();
    for row in rows {
        rays = imposed(&rays, row)?;
    }
    let mut rays: Vec<_> = rays.into_iter().map(reduced).collect();
    rays.sort_by(|a, b| {
        let size = |v: &[BigInt]| v.iter().map(Signed::abs).sum::<BigInt>();
        size(a).cmp(&size(b)).then_with(|| b.cmp(a))
    });
    Some(rays)
}

fn imposed(rays: &[Vec<BigInt>], row: &[i64]) -> Option<Vec<Vec<BigInt>>> {
    let value = |ray: &[BigInt]| ray.iter().zip(row).map(|(x, n)| x * n).sum::<BigInt>();
    let values: Vec<BigInt> = rays.iter().map(|ray| value(ray)).collect();
    let mut kept: Vec<Vec<BigInt>> = Vec::new();
    for (ray, value) in rays.iter().zip(&values) {
        if value.is_zero() {
            kept.push(ray.clone());
        }
    }
    for (up, above) in rays.iter().zip(&values).filter(|(_, v)| v.is_positive()) {
        for (down, below) in rays.iter().zip(&values).filter(|(_, v)| v.is_negative()) {
            let common = above.gcd(below);
            let (a, b) = (-below / &common, above / &common);
            let sum: Vec<BigInt> = up.iter().zip(down).map(|(u, d)| u * &a + d * &b).collect();
            kept.push(reduced(sum));
            if kept.len() > MAX_RAYS {
                return None;
            }
        }
    }
    Some(minimal(kept))
}

/// Only those whose set of species contains no other's.
fn minimal(mut rays: Vec<Vec<BigInt>>) -> Vec<Vec<BigInt>> {
    rays.sort();
    rays.dedup();
    let supports: Vec<Vec<bool>> = rays
        .iter()
        .map(|r| r.iter().map(|n| !n.is_zero()).collect())
        .collect();
    let contains = |a: &[bool], b: &[bool]| a.iter().zip(b).all(|(a, b)| *a || !*b);
    let keep: Vec<bool> = (0..rays.len())
        .map(|i| {
            let others = (0..rays.len()).filter(|j| *j != i && supports[*j] != supports[i]);
            let mut strictly = others.filter(|j| contains(&supports[i], &supports[*j]));
            strictly.next().is_none()
        })
        .collect();
    let mut keep = keep.into_iter();
    rays.retain(|_| keep.next().unwrap_or(false));
    rays
}
