//! The species of a skeleton as columns of its matrix.
//!
//! A species that stands twice on one side is one column; what a medium may add is a column that can come out on either
//! side. Vectors over the columns become reactions here, and are counted again before they leave.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, Zero};

use crate::matter::Species;
use crate::number::Exact;

use super::matrix::{divisor, reduced};
use super::{Medium, Reaction, Side, Skeleton, Unbalanced, imbalances, ionic, rays};

/// The most species an equation may have.
pub const MAX_SPECIES: usize = 400;

/// One species of the matrix.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) side: Side,
    pub(super) species: Species,
    /// Added for the medium: may come out on either side, or not at all.
    pub(super) free: bool,
}

#[derive(Clone, Debug)]
pub(super) struct Columns(pub(super) Vec<Column>);

impl Columns {
    pub(super) fn of(skeleton: &Skeleton) -> Result<Columns, Unbalanced> {
        Columns::with(skeleton, skeleton.medium.map_or(&[][..], medium_species))
    }

    /// The species written, and others that may come out on either side.
    pub(super) fn with(skeleton: &Skeleton, others: &[&str]) -> Result<Columns, Unbalanced> {
        let mut columns: Vec<Column> = Vec::new();
        for (side, term) in skeleton.terms() {
            let species = &term.species;
            if !columns
                .iter()
                .any(|c| c.side == side && c.species == *species)
            {
                columns.push(Column {
                    side,
                    species: species.clone(),
                    free: false,
                });
            }
            if columns.len() > MAX_SPECIES {
                return Err(Unbalanced::TooLarge);
            }
        }
        let left = columns.iter().filter(|c| c.side == Side::Left);
        let same = |c: &Column| {
            columns
                .iter()
                .any(|d| d.side == Side::Right && d.species == c.species)
        };
        // The same formulas on both sides may stand for isomers, or for other places: `C6H12O6 -> C6H12O6`, `H^+ + Na^+
        // -> H^+ + Na^+`. Beside a salt, an acid or a base they cannot: its ions are known, and are the same.
        let alike = left.clone().all(same) && left.clone().count() * 2 == columns.len();
        let electrolyte = |c: &Column| ionic::dissociate(&c.species).is_some();
        if alike && columns.len() > 2 && left.clone().any(electrolyte) {
            return Err(Unbalanced::NothingHappens);
        }
        for text in others {
            let species = Species::parse(text).expect("the species of a medium can be read");
            if !columns.iter().any(|c| c.species.key() == species.key()) {
                columns.push(Column {
                    side: Side::Right,
                    species,
                    free: true,
                });
            }
        }
        Ok(Columns(columns))
    }

    /// The coefficients written, if they balance; in lowest terms.
    pub(super) fn as_written(&self, skeleton: &Skeleton) -> Option<Reaction> {
        imbalances(skeleton).filter(Vec::is_empty)?;
        let mut amounts = vec![Exact::zero(); self.0.len()];
        for (side, term) in skeleton.terms() {
            let here = |c: &Column| c.side == side && c.species == term.species;
            let column = self.0.iter().position(here)?;
            amounts[column] += &term.coefficient.clone().unwrap_or_else(Exact::one);
        }
        let per_turn = |(n, c): (&Exact, &Column)| {
            n.checked_div(&Exact::from(i64::try_from(divisor(&c.species)).ok()?))
        };
        let amounts: Option<Vec<Exact>> = amounts.iter().zip(&self.0).map(per_turn).collect();
        let amounts = amounts?;
        let scale = amounts
            .iter()
            .fold(BigInt::from(1), |scale, n| scale.lcm(&n.denominator()));
        let whole = |n: &Exact| n.numerator() * &scale / n.denominator();
        let vector: Vec<BigInt> = amounts.iter().map(whole).collect();
        Some(self.reaction(&vector))
    }

    pub(super) fn sides(&self) -> Vec<(Side, &Species)> {
        self.0.iter().map(|c| (c.side, &c.species)).collect()
    }

    /// The vector with every written species positive, or `None`.
    pub(super) fn positive(&self, vector: &[BigInt]) -> Option<Vec<BigInt>> {
        let written = || {
            self.0
                .iter()
                .zip(vector)
                .filter(|(c, _)| !c.free)
                .map(|(_, n)| n)
        };
        if written().all(Signed::is_positive) {
            Some(vector.to_vec())
        } else if written().all(Signed::is_negative) {
            Some(vector.iter().map(|n| -n).collect())
        } else {
            None
        }
    }

    /// A reaction of a vector whose written species are not negative; recounted before it leaves.
    pub(super) fn reaction(&self, vector: &[BigInt]) -> Reaction {
        // A fractional formula was counted times its divisor: so many whole formula units stand for each turn.
        let mut whole: Vec<BigInt> = self
            .0
            .iter()
            .zip(vector)
            .map(|(c, n)| n * BigInt::from(divisor(&c.species)))
            .collect();
        let common = whole.iter().fold(BigInt::zero(), |g, n| g.gcd(n));
        if !common.is_zero() {
            whole.iter_mut().for_each(|n| *n /= &common);
        }
        let mut reaction = Reaction {
            left: Vec::new(),
            right: Vec::new(),
        };
        for (column, n) in self.0.iter().zip(whole) {
            let leftwards = (column.side == Side::Left) != n.is_negative();
            let side = if leftwards {
                &mut reaction.left
            } else {
                &mut reaction.right
            };
            if !n.is_zero() {
                side.push((n.abs(), column.species.clone()));
            }
        }
        assert!(
            reaction.is_balanced(),
            "an answer that does not count right must not leave: {reaction:?}"
        );
        reaction
    }

    /// Elementary balances; a free column is taken as two, one for each side.
    pub(super) fn elementary(&self, rows: &[Vec<i64>]) -> Option<Vec<Vec<BigInt>>> {
        let width = self.0.len();
        let free: Vec<usize> = (0..width).filter(|c| self.0[*c].free).collect();
        let widened: Vec<Vec<i64>> = rows
            .iter()
            .map(|row| {
                row.iter()
                    .copied()
                    .chain(free.iter().map(|c| -row[*c]))
                    .collect()
            })
            .collect();
        let rays = rays::elementary(&widened, width + free.len())?;
        let folded = rays.into_iter().map(|ray| {
            let mut vector = ray[..width].to_vec();
            for (column, other) in free.iter().zip(&ray[width..]) {
                vector[*column] -= other;
            }
            vector
        });
        Some(
            folded
                .filter(|v| v.iter().any(|n| !n.is_zero()))
                .map(|v| keep_signs(self, v))
                .collect(),
        )
    }

    /// `b·x(A) − a·x(B) = 0` for A : B = a : b, in whole numbers of the matrix.
    pub(super) fn ratio_row(
        &self,
        first: &(Species, Exact),
        second: &(Species, Exact),
    ) -> Option<Vec<i64>> {
        let find = |s: &Species| self.0.iter().position(|c| c.species.key() == s.key());
        let (a, b) = (find(&first.0)?, find(&second.0)?);
        let scale = num_integer::lcm(
            first.1.denominator().clone(),
            second.1.denominator().clone(),
        );
        let whole = |n: &Exact| -> Option<i64> {
            (n.numerator() * &scale / n.denominator()).try_into().ok()
        };
        let mut row = vec![0; self.0.len()];
        row[a] = whole(&second.1)?.checked_mul(divisor(&self.0[a].species).try_into().ok()?)?;
        row[b] = -whole(&first.1)?.checked_mul(divisor(&self.0[b].species).try_into().ok()?)?;
        Some(row)
    }
}

fn keep_signs(columns: &Columns, vector: Vec<BigInt>) -> Vec<BigInt> {
    let reduced = reduced(vector);
    let negative = columns
        .0
        .iter()
        .zip(&reduced)
        .any(|(c, n)| !c.free && n.is_negative());
    if negative {
        reduced.into_iter().map(|n| -n).collect()
    } else {
        reduced
    }
}

fn medium_species(medium: Medium) -> &'static [&'static str] {
    match medium {
        Medium::Base => &["H2O", "OH^-"],
        Medium::Acid | Medium::Neutral => &["H2O", "H^+"],
    }
}
