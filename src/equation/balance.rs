//! From a skeleton to the smallest whole coefficients.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use crate::matter::Species;
use crate::number::Exact;

use super::matrix::{Conserved, Matrix, divisor, reduced};
use super::{Medium, Reaction, Side, Skeleton, couples, rays};

/// The most species an equation may have.
pub const MAX_SPECIES: usize = 400;

/// How a choice among several balances was made.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum SettledBy {
    /// The ratio after the equation.
    Ratio,
    /// Its couples.
    HalfReactions,
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

/// Why a skeleton has no balance: facts only.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Unbalanced {
    /// `H2O -> H2`: on one side only.
    OneSided {
        /// What.
        what: Conserved,
        /// Where it stands.
        side: Side,
        /// The species that bring it.
        species: Vec<Species>,
    },
    /// `CO -> CO2`: these cannot balance together.
    Conflict {
        /// The smallest set found.
        among: Vec<Conserved>,
    },
    /// `SO2 + H2O -> H2SO4 + O2`: in every balance of these the named species have a zero or negative coefficient.
    Unusable {
        /// Which.
        species: Vec<Species>,
    },
    /// `NaCl + H2O -> NaCl + H2O`
    NothingHappens,
    /// More than [`MAX_SPECIES`] species, more atoms than can be counted, or too many elementary balances.
    TooLarge,
}

/// Balances a skeleton; coefficients that were written are not looked at.
///
/// ```
/// use aludel::{equation::{balance, parse_equation}, matter::Notation};
/// let found = balance(&parse_equation("Fe + Cl2 -> FeCl3").unwrap()).unwrap();
/// assert_eq!(found.reaction().unwrap().to_text(Notation::Plain), "2 Fe + 3 Cl2 -> 2 FeCl3");
/// ```
pub fn balance(skeleton: &Skeleton) -> Result<Balance, Unbalanced> {
    let columns = Columns::of(skeleton)?;
    let matrix = Matrix::of(&columns.sides()).ok_or(Unbalanced::TooLarge)?;
    one_sided(&columns, &matrix)?;
    let kernel = matrix.kernel();
    match kernel.len() {
        0 => Err(conflict(&columns, &matrix)),
        1 => {
            let Some(vector) = columns.positive(&kernel[0]) else {
                return Err(conflict(&columns, &matrix));
            };
            Ok(Balance::Unique(columns.reaction(&vector)))
        }
        freedom => choose(skeleton, &columns, &matrix, freedom),
    }
}

/// What an equation without a balance may lack: the smallest sets of common species that give it exactly one, each as
/// the reaction it would then be.
///
/// ```
/// use aludel::{equation::{parse_equation, suggestions}, matter::Notation};
/// let found = suggestions(&parse_equation("MnO4^- + Fe^2+ -> Mn^2+ + Fe^3+").unwrap());
/// let first = found[0].to_text(Notation::Plain);
/// assert_eq!(first, "MnO4^- + 5 Fe^2+ + 8 H^+ -> Mn^2+ + 5 Fe^3+ + 4 H2O");
/// ```
pub fn suggestions(skeleton: &Skeleton) -> Vec<Reaction> {
    // What needs less comes first, and electrons last: an equation with them is no longer a whole one.
    const LACKING: [&[&[&str]]; 3] = [
        &[&["H2O"], &["O2"], &["CO2"], &["H2"]],
        &[
            &["H2O", "H^+"],
            &["H2O", "OH^-"],
            &["H2O", "CO2"],
            &["H2O", "O2"],
        ],
        &[&["e^-"], &["H2O", "H^+", "e^-"], &["H2O", "OH^-", "e^-"]],
    ];
    let tried = LACKING.iter().map(|level| {
        let mut found: Vec<Reaction> = Vec::new();
        for reaction in level
            .iter()
            .filter_map(|others| completed(skeleton, others))
        {
            if !found.contains(&reaction) {
                found.push(reaction);
            }
        }
        found
    });
    let mut useful = tried.filter(|found| !found.is_empty());
    useful.next().unwrap_or_default()
}

/// The only balance with these species beside those written.
fn completed(skeleton: &Skeleton, others: &[&str]) -> Option<Reaction> {
    let columns = Columns::with(skeleton, others).ok()?;
    let kernel = Matrix::of(&columns.sides())?.kernel();
    let [only] = kernel.as_slice() else {
        return None;
    };
    Some(columns.reaction(&columns.positive(only)?))
}

fn choose(
    skeleton: &Skeleton,
    columns: &Columns,
    matrix: &Matrix,
    freedom: usize,
) -> Result<Balance, Unbalanced> {
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
        .ok_or(Unbalanced::TooLarge)?;
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
    let kernel = narrowed.kernel();
    let [only] = kernel.as_slice() else {
        return None;
    };
    Some(columns.reaction(&columns.positive(only)?))
}

/// One species of the matrix.
#[derive(Clone, Debug)]
struct Column {
    side: Side,
    species: Species,
    /// Added for the medium: may come out on either side, or not at all.
    free: bool,
}

#[derive(Clone, Debug)]
struct Columns(Vec<Column>);

impl Columns {
    fn of(skeleton: &Skeleton) -> Result<Columns, Unbalanced> {
        Columns::with(skeleton, skeleton.medium.map_or(&[][..], medium_species))
    }

    /// The species written, and others that may come out on either side.
    fn with(skeleton: &Skeleton, others: &[&str]) -> Result<Columns, Unbalanced> {
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
        // A lone species may change its place or its shape: `C6H12O6 -> C6H12O6` is one to one.
        if columns.len() > 2 && left.clone().all(same) && left.count() * 2 == columns.len() {
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

    fn sides(&self) -> Vec<(Side, &Species)> {
        self.0.iter().map(|c| (c.side, &c.species)).collect()
    }

    /// The vector with every written species positive, or `None`.
    fn positive(&self, vector: &[BigInt]) -> Option<Vec<BigInt>> {
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
    fn reaction(&self, vector: &[BigInt]) -> Reaction {
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
    fn elementary(&self, rows: &[Vec<i64>]) -> Option<Vec<Vec<BigInt>>> {
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
    fn ratio_row(&self, first: &(Species, Exact), second: &(Species, Exact)) -> Option<Vec<i64>> {
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
        Medium::Acid => &["H2O", "H^+"],
        Medium::Base => &["H2O", "OH^-"],
        Medium::Neutral => &["H2O", "H^+"],
    }
}

/// An element (or a charge of one sign) that stands on one side only.
fn one_sided(columns: &Columns, matrix: &Matrix) -> Result<(), Unbalanced> {
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
fn conflict(columns: &Columns, matrix: &Matrix) -> Unbalanced {
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

impl Reaction {
    /// An independent count: atoms of each element and charge, term by term, with nothing shared with the matrix.
    pub fn is_balanced(&self) -> bool {
        let mut totals: std::collections::BTreeMap<Conserved, Exact> =
            std::collections::BTreeMap::new();
        let sides = [(&self.left, Exact::one()), (&self.right, Exact::from(-1))];
        for (terms, sign) in sides {
            for (coefficient, species) in terms {
                let n = Exact::from(coefficient.clone()) * &sign;
                for (element, count) in species.composition().iter() {
                    *totals.entry(Conserved::Element(element)).or_default() += &(count * &n);
                }
                *totals.entry(Conserved::Charge).or_default() +=
                    &(Exact::from(species.charge()) * &n);
            }
        }
        let positive = self
            .left
            .iter()
            .chain(&self.right)
            .all(|(n, _)| n >= &BigInt::one());
        positive && totals.values().all(Exact::is_zero)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::parse_equation;
    use crate::matter::Notation;

    fn balanced(text: &str) -> String {
        match balance(&parse_equation(text).unwrap()) {
            Ok(Balance::Unique(reaction) | Balance::Settled { reaction, .. }) => {
                reaction.to_text(Notation::Plain)
            }
            other => format!("{other:?}"),
        }
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

    #[test]
    fn what_is_missing_is_suggested() {
        let all = |text: &str| -> Vec<String> {
            let found = suggestions(&parse_equation(text).unwrap());
            found.iter().map(|r| r.to_text(Notation::Plain)).collect()
        };
        assert_eq!(
            all("CaCO3 + HCl -> CaCl2 + CO2"),
            ["CaCO3 + 2 HCl -> CaCl2 + CO2 + H2O"]
        );
        assert_eq!(all("CO -> CO2"), ["2 CO + O2 -> 2 CO2"]);
        assert_eq!(all("Fe^3+ -> Fe^2+"), ["Fe^3+ + e^- -> Fe^2+"]);
        assert_eq!(
            all("MnO4^- + SO3^2- -> MnO2 + SO4^2-"),
            [
                "2 MnO4^- + 3 SO3^2- + 2 H^+ -> 2 MnO2 + 3 SO4^2- + H2O",
                "2 MnO4^- + 3 SO3^2- + H2O -> 2 MnO2 + 3 SO4^2- + 2 OH^-"
            ]
        );
        assert_eq!(all("H2 + O2 -> H2O + He"), Vec::<String>::new());
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
