//! The coefficients somebody wrote, counted as they stand.

use crate::number::Exact;

use super::matrix::Conserved;
use super::{Side, Skeleton};

/// Something that is not the same on both sides of an equation as it is written.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
#[error("{what} does not balance: {left} left, {right} right")]
pub struct Imbalance {
    /// What.
    pub what: Conserved,
    /// How much of it stands on the left.
    pub left: Exact,
    /// How much of it stands on the right.
    pub right: Exact,
}

/// What does not balance in an equation as written, one for a species without a coefficient; `None` if no coefficient
/// was written at all, so that nothing was claimed.
///
/// ```
/// use aludel::equation::{imbalances, parse_equation};
/// let of = |text| imbalances(&parse_equation(text).unwrap());
/// assert_eq!(of("H2 + O2 -> H2O"), None);
/// assert_eq!(of("2 H2 + O2 -> 2 H2O").unwrap(), []);
/// assert_eq!(of("2 H2 + O2 -> H2O").unwrap().len(), 2);
/// ```
pub fn imbalances(skeleton: &Skeleton) -> Option<Vec<Imbalance>> {
    skeleton
        .terms()
        .find(|(_, term)| term.coefficient.is_some())?;
    let mut all: Vec<Imbalance> = Vec::new();
    for (side, term) in skeleton.terms() {
        let times = term.coefficient.clone().unwrap_or_else(Exact::one);
        let atoms = term.species.composition().iter();
        let atoms = atoms.map(|(element, count)| (Conserved::Element(element), count));
        let charge = (Conserved::Charge, Exact::from(term.species.charge()));
        for (what, count) in atoms.chain([charge]) {
            let at = all
                .iter()
                .position(|known| known.what == what)
                .unwrap_or_else(|| {
                    let (left, right) = (Exact::zero(), Exact::zero());
                    all.push(Imbalance { what, left, right });
                    all.len() - 1
                });
            let total = match side {
                Side::Left => &mut all[at].left,
                Side::Right => &mut all[at].right,
            };
            *total += &(&times * &count);
        }
    }
    all.retain(|found| found.left != found.right);
    Some(all)
}
