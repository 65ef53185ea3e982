//! Why a skeleton has no balance.
//!
//! Knows facts and one sentence for each: `diagnostic` says where it is and what to do.

use num_traits::Zero;

use crate::matter::Species;
use crate::text::all_of;

use super::Side;
use super::columns::Columns;
use super::matrix::{Conserved, Matrix};

/// Why a skeleton has no balance.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum Unbalanced {
    /// `H2O -> H2`: on one side only.
    #[error("{what} stands on the {side} only")]
    OneSided {
        /// What.
        what: Conserved,
        /// Where it stands.
        side: Side,
        /// The species that bring it.
        species: Vec<Species>,
    },
    /// `CO -> CO2`: these cannot balance together.
    #[error("{}", not_together(.among))]
    Conflict {
        /// The smallest set found.
        among: Vec<Conserved>,
    },
    /// `SO2 + H2O -> H2SO4 + O2`: in every balance of these the named species have a zero or negative coefficient.
    #[error("{}", no_part(.species))]
    Unusable {
        /// Which.
        species: Vec<Species>,
    },
    /// `NaCl + H2O -> NaCl + H2O`: the same on both sides, and a salt, acid or base among it.
    #[error("the same species stand on both sides")]
    NothingHappens,
    /// Several balances, and so many elementary ones that they are not listed.
    #[error(
        "this equation has {freedom} independent balances, and too many elementary ones to list them"
    )]
    Uncounted {
        /// Independent balances there are.
        freedom: usize,
    },
    /// More than `MAX_SPECIES` species, or more atoms than can be counted.
    #[error("this equation is larger than can be reckoned with")]
    TooLarge,
}

/// An element (or a charge of one sign) that stands on one side only.
pub(super) fn one_sided(columns: &Columns, matrix: &Matrix) -> Result<(), Unbalanced> {
    for (label, row) in matrix.labels.iter().zip(&matrix.rows) {
        let entries = || columns.0.iter().zip(row).filter(|(_, n)| **n != 0);
        if entries().any(|(c, _)| c.free) {
            continue;
        }
        // The sign in the matrix is that of the side for atoms; charges of both signs may stand on one side.
        let signs = entries()
            .map(|(_, n)| n.signum())
            .collect::<std::collections::BTreeSet<_>>();
        if signs.len() == 1 {
            let side = entries().next().map_or(Side::Left, |(c, _)| c.side);
            let species = entries().map(|(c, _)| c.species.clone()).collect();
            return Err(Unbalanced::OneSided {
                what: *label,
                side,
                species,
            });
        }
    }
    Ok(())
}

/// The smallest set of rows, by leaving out one after the other, that already has no balance.
pub(super) fn conflict(columns: &Columns, matrix: &Matrix) -> Unbalanced {
    let balances = |rows: &[Vec<i64>]| {
        let rays = columns.elementary(rows)?;
        let covered =
            (0..columns.0.len()).all(|c| columns.0[c].free || rays.iter().any(|r| !r[c].is_zero()));
        Some(covered)
    };
    let mut kept: Vec<usize> = (0..matrix.rows.len()).collect();
    let mut at = 0;
    while at < kept.len() {
        let without: Vec<usize> = kept.iter().copied().filter(|r| *r != kept[at]).collect();
        let rows: Vec<Vec<i64>> = without.iter().map(|r| matrix.rows[*r].clone()).collect();
        match balances(&rows) {
            Some(false) => kept = without,
            Some(true) => at += 1,
            None => return Unbalanced::TooLarge,
        }
    }
    Unbalanced::Conflict {
        among: kept.into_iter().map(|r| matrix.labels[r]).collect(),
    }
}

fn not_together(among: &[Conserved]) -> String {
    match among {
        [] => "these species have no balance".to_owned(),
        [only] => format!("{only} cannot be balanced"),
        many => format!("{} cannot be balanced at the same time", all_of(many)),
    }
}

fn no_part(species: &[Species]) -> String {
    let takes = if species.len() == 1 { "takes" } else { "take" };
    let names = species.iter().map(|one| format!("`{one}`"));
    format!("{} {takes} no part in any balance of these", all_of(names))
}
