//! From a skeleton to the smallest whole coefficients.

use num_traits::Zero;

use crate::matter::Species;

use super::columns::Columns;
use super::matrix::Matrix;
use super::unbalanced::{Unbalanced, conflict, one_sided};
use super::{Medium, Reaction, Skeleton, couples};

/// How a choice among several balances was made.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SettledBy {
    /// The ratio after the equation.
    Ratio,
    /// Its couples.
    HalfReactions,
    /// The coefficients written, which balance.
    Coefficients,
}

/// The balances of a skeleton.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Balance {
    /// One, up to a common factor.
    Unique(Reaction),
    /// Several, and something chose.
    Settled {
        /// The choice.
        reaction: Reaction,
        /// What chose.
        by: SettledBy,
        /// Independent balances there are.
        freedom: usize,
    },
    /// Several, and nothing chooses.
    Open {
        /// Independent balances there are.
        freedom: usize,
        /// The elementary ones, of which all others are sums.
        balances: Vec<Reaction>,
    },
}

impl Balance {
    /// The reaction, if there is a choice of one.
    pub fn reaction(&self) -> Option<&Reaction> {
        match self {
            Balance::Unique(reaction) | Balance::Settled { reaction, .. } => Some(reaction),
            Balance::Open { .. } => None,
        }
    }
}

/// Balances a skeleton. Coefficients that were written count only where there are several balances and they are one.
///
/// ```
/// use aludel::{equation::{balance, parse_equation}, matter::Notation};
/// let found = balance(&parse_equation("Fe + Cl2 -> FeCl3").unwrap()).unwrap();
/// assert_eq!(found.reaction().unwrap().to_text(Notation::Plain), "2 Fe + 3 Cl2 -> 2 FeCl3");
/// ```
pub fn balance(skeleton: &Skeleton) -> Result<Balance, Unbalanced> {
    match skeleton.medium {
        Some(Medium::Neutral) => in_neutral(skeleton),
        _ => as_it_stands(skeleton),
    }
}

/// Water gives off H^+ or OH^-, but has none to give: what would use up H^+ forms OH^-.
fn in_neutral(skeleton: &Skeleton) -> Result<Balance, Unbalanced> {
    let found = as_it_stands(&skeleton.with_medium(Medium::Acid))?;
    let uses_up_acid = |reaction: &Reaction| reaction.left.iter().any(|(_, s)| s.key() == "H^+");
    match found.reaction() {
        Some(reaction) if uses_up_acid(reaction) => {
            as_it_stands(&skeleton.with_medium(Medium::Base))
        }
        _ => Ok(found),
    }
}

fn as_it_stands(skeleton: &Skeleton) -> Result<Balance, Unbalanced> {
    let columns = Columns::of(skeleton)?;
    let matrix = Matrix::of(&columns.sides()).ok_or(Unbalanced::TooLarge)?;
    one_sided(&columns, &matrix)?;
    let nullspace = matrix.nullspace();
    match nullspace.len() {
        0 => Err(conflict(&columns, &matrix)),
        1 => {
            let Some(vector) = columns.positive(&nullspace[0]) else {
                return Err(conflict(&columns, &matrix));
            };
            Ok(Balance::Unique(columns.reaction(&vector)))
        }
        freedom => choose(skeleton, &columns, &matrix, freedom),
    }
}

fn choose(
    skeleton: &Skeleton,
    columns: &Columns,
    matrix: &Matrix,
    freedom: usize,
) -> Result<Balance, Unbalanced> {
    if skeleton.ratio.is_none()
        && let Some(reaction) = columns.as_written(skeleton)
    {
        let by = SettledBy::Coefficients;
        return Ok(Balance::Settled {
            reaction,
            by,
            freedom,
        });
    }
    if let Some(ratio) = &skeleton.ratio {
        let pairs = ratio.shares.windows(2);
        let rows = pairs.filter_map(|pair| columns.ratio_row(&pair[0], &pair[1]));
        if let Some(reaction) = narrowed(columns, matrix, rows.collect()) {
            let by = SettledBy::Ratio;
            return Ok(Balance::Settled {
                reaction,
                by,
                freedom,
            });
        }
    } else if let Some(reaction) = narrowed(columns, matrix, couples::rows(&columns.sides())) {
        let by = SettledBy::HalfReactions;
        return Ok(Balance::Settled {
            reaction,
            by,
            freedom,
        });
    }
    let rays = columns
        .elementary(&matrix.rows)
        .ok_or(Unbalanced::Uncounted { freedom })?;
    let unused: Vec<Species> = (0..columns.0.len())
        .filter(|&c| !columns.0[c].free && rays.iter().all(|ray| ray[c].is_zero()))
        .map(|c| columns.0[c].species.clone())
        .collect();
    if !unused.is_empty() {
        return Err(Unbalanced::Unusable { species: unused });
    }
    if let [only] = rays.as_slice() {
        return Ok(Balance::Unique(columns.reaction(only)));
    }
    let balances = rays.iter().map(|ray| columns.reaction(ray)).collect();
    Ok(Balance::Open { freedom, balances })
}

/// The only balance that meets further rows as well.
fn narrowed(columns: &Columns, matrix: &Matrix, rows: Vec<Vec<i64>>) -> Option<Reaction> {
    if rows.is_empty() {
        return None;
    }
    let mut narrowed = matrix.clone();
    narrowed.rows.extend(rows);
    let nullspace = narrowed.nullspace();
    let [only] = nullspace.as_slice() else {
        return None;
    };
    Some(columns.reaction(&columns.positive(only)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::parse_equation;
    use crate::equation::{Conserved, Side};
    use crate::matter::Notation;

    fn balanced(text: &str) -> String {
        match balance(&parse_equation(text).unwrap()) {
            Ok(Balance::Unique(reaction) | Balance::Settled { reaction, .. }) => {
                reaction.to_text(Notation::Plain)
            }
            other => format!("{other:?}"),
        }
    }

    /// 28 species of 4 elements: 24 independent balances, and more elementary ones than are listed.
    #[test]
    fn balances_too_many_to_list_are_counted() {
        let text = "CH4 + C2H6 + C3H8 + C4H10 + C5H12 + C6H14 + C7H16 + C8H18 + O2 + NO2 + N2O + N2O4 + N2O5 + H2O2 \
             -> CO + CO2 + H2O + C + N2 + NO + NH3 + HNO3 + HNO2 + HCN + CH3OH + CH2O + HCOOH + C2H5OH";
        let found = balance(&parse_equation(text).unwrap());
        assert_eq!(found, Err(Unbalanced::Uncounted { freedom: 24 }));
        let words = found.unwrap_err().to_string();
        assert!(words.contains("24 independent balances"), "{words}");
    }

    /// Worked by hand; the classes are those of every textbook (common practice, no source).
    #[test]
    fn textbook_skeletons_balance() {
        for (text, expected, because) in [
            (
                "Fe + Cl2 -> FeCl3",
                "2 Fe + 3 Cl2 -> 2 FeCl3",
                "odd against even",
            ),
            (
                "Cu + HNO3 -> Cu(NO3)2 + NO + H2O",
                "3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 2 NO + 4 H2O",
                "nitrate in two roles",
            ),
            (
                "MnO4^- + Fe^2+ + H^+ -> Mn^2+ + Fe^3+ + H2O",
                "MnO4^- + 5 Fe^2+ + 8 H^+ -> Mn^2+ + 5 Fe^3+ + 4 H2O",
                "charge is a row",
            ),
            (
                "MnO4^- + SO3^2- -> MnO2 + SO4^2- in base",
                "2 MnO4^- + 3 SO3^2- + H2O -> 2 MnO2 + 3 SO4^2- + 2 OH^-",
                "water and hydroxide come from the medium",
            ),
            (
                "MnO4^- + SO3^2- -> MnO2 + SO4^2- in neutral",
                "2 MnO4^- + 3 SO3^2- + H2O -> 2 MnO2 + 3 SO4^2- + 2 OH^-",
                "neutral water has no H^+ to give",
            ),
            (
                "SO2 + I2 -> SO4^2- + I^- in neutral",
                "SO2 + I2 + 2 H2O -> SO4^2- + 2 I^- + 4 H^+",
                "but H^+ may be formed in it",
            ),
            (
                "CaSO4·0.5H2O + H2O -> CaSO4·2H2O",
                "2 CaSO4·0.5H2O + 3 H2O -> 2 CaSO4·2H2O",
                "a half hydrate",
            ),
            (
                "KMnO4 + H2O2 + H2SO4 -> K2SO4 + MnSO4 + O2 + H2O, with O2 : H2O2 = 1 : 1",
                "2 KMnO4 + 5 H2O2 + 3 H2SO4 -> K2SO4 + 2 MnSO4 + 5 O2 + 8 H2O",
                "a ratio settles it",
            ),
        ] {
            assert_eq!(balanced(text), expected, "{text}: {because}");
        }
    }

    #[test]
    fn reasons_name_what_cannot_balance() {
        let why = |text: &str| balance(&parse_equation(text).unwrap()).unwrap_err();
        assert!(matches!(
            why("H2O -> H2"),
            Unbalanced::OneSided {
                side: Side::Left,
                ..
            }
        ));
        assert!(matches!(why("CO -> CO2"), Unbalanced::Conflict { among } if among.len() == 2));
        assert!(
            matches!(why("Fe^3+ -> Fe^2+"), Unbalanced::Conflict { among } if among.contains(&Conserved::Charge))
        );
        assert_eq!(why("NaCl + H2O -> NaCl + H2O"), Unbalanced::NothingHappens);
    }

    /// A sum formula may hide an isomer, an isotope or another side of a membrane; a salt in water hides nothing.
    #[test]
    fn what_changes_only_its_place_balances_with_itself() {
        for text in ["H^+ + Na^+ -> H^+ + Na^+", "HO + H2O -> HO + H2O"] {
            let found = balance(&parse_equation(text).unwrap());
            assert!(
                matches!(&found, Ok(Balance::Open { freedom: 2, balances }) if balances.len() == 2),
                "{text}: {found:?}"
            );
        }
    }

    #[test]
    fn coefficients_that_balance_are_taken() {
        for (text, by) in [
            ("3 C + 2 O2 -> 2 CO + CO2", SettledBy::Coefficients),
            (
                "2 KMnO4 + 3 H2O2 + 3 H2SO4 -> K2SO4 + 2 MnSO4 + 4 O2 + 6 H2O",
                SettledBy::Coefficients,
            ),
            (
                "2 KMnO4 + 3 H2O2 + 3 H2SO4 -> K2SO4 + 2 MnSO4 + 5 O2 + 8 H2O",
                SettledBy::HalfReactions,
            ),
        ] {
            let found = balance(&parse_equation(text).unwrap()).unwrap();
            assert!(
                matches!(&found, Balance::Settled { by: own, .. } if *own == by),
                "{text}: {found:?}"
            );
            let own = found.reaction().map(|r| r.to_text(Notation::Plain));
            assert_eq!(
                own.as_deref() == Some(text),
                by == SettledBy::Coefficients,
                "{text}: {own:?}"
            );
        }
    }

    #[test]
    fn several_balances_are_listed() {
        let found = balance(&parse_equation("KClO3 -> KCl + KClO4 + O2").unwrap()).unwrap();
        let Balance::Open { freedom, balances } = found else {
            panic!("{found:?}")
        };
        assert_eq!((freedom, balances.len()), (2, 2));
    }
}
