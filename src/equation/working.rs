//! How a redox equation is balanced on paper: couples, half-reactions, electrons, sum.
//!
//! The answer is found first; this takes it apart into what is oxidised and what is reduced, balances each alone with
//! water, H^+ (or OH^-) and electrons, and adds them up again. What is left then reacts besides, without electrons. A
//! working that does not add up to the answer is not given.
//!
//! Knows no words: `report` writes it down.

use std::collections::BTreeSet;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, Zero};

use crate::matter::{Element, Species};
use crate::number::Exact;

use super::couples::shifts;
use super::electrons::transfers;
use super::halves::halves;
use super::ionic_view::{add, all_in_ions, cancel, in_ions_except};
use super::{Medium, Reaction, Side, Skeleton, Unbalanced, balance};

/// One element of a half-reaction and its oxidation numbers before and after.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Course {
    /// Which.
    pub element: Element,
    /// On the left.
    pub from: Exact,
    /// On the right.
    pub to: Exact,
}

/// A half-reaction.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Half {
    /// What changes its number.
    pub courses: Vec<Course>,
    /// Balanced with H2O, H^+ and e^-.
    pub in_acid: Reaction,
    /// Balanced in the medium of the equation.
    pub reaction: Reaction,
    /// Electrons in it.
    pub electrons: BigInt,
    /// By what it is multiplied.
    pub times: BigInt,
}

/// The working of a redox equation.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Working {
    /// The medium it is worked in.
    pub medium: Medium,
    /// The equation in ions, without spectators, if that is not the equation itself.
    pub ionic: Option<Reaction>,
    /// Gives off electrons.
    pub oxidation: Half,
    /// Takes them up.
    pub reduction: Half,
    /// Electrons that pass from one to the other in the sum.
    pub electrons: BigInt,
    /// What stands on both sides of the sum and cancels, with how much.
    pub cancelled: Vec<(BigInt, Species)>,
    /// The sum without what cancels.
    pub sum: Reaction,
    /// By what the sum is multiplied to be the answer, or its ionic form.
    pub factor: Exact,
    /// What reacts besides, without electrons: `FeSO4 -> Fe2O3 + SO2 + SO3` gives off SO3 as well.
    pub besides: Option<Reaction>,
    /// Ions that take no part, with how many stand on each side of the answer.
    pub spectators: Vec<(BigInt, Species)>,
    /// The answer.
    pub answer: Reaction,
}

/// Why there is no working.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
pub enum NoWorking {
    /// There is no answer to take apart.
    #[error(transparent)]
    Unbalanced(Unbalanced),
    /// `C + O2 -> CO + CO2`: there are several.
    #[error("the equation has several balances, and a working shows one")]
    Open,
    /// `HCl + NaOH -> NaCl + H2O`: no oxidation number changes.
    #[error("no oxidation number changes")]
    NoRedox,
    /// `Zn -> Zn^2+ + e^-`: it is one itself.
    #[error("this is a half-reaction itself")]
    HalfReaction,
    /// `NI3 -> N2 + I2`: no two half-reactions add up to the answer; [`transfers`] tells the electrons.
    #[error("no two half-reactions add up to this equation")]
    Unclear,
}

/// The half-reactions of a skeleton and how they add up to its balance.
///
/// ```
/// use aludel::{equation::{parse_equation, working}, matter::Notation};
/// let found = working(&parse_equation("MnO4^- + SO3^2- -> MnO2 + SO4^2- in base").unwrap()).unwrap();
/// let text = |r: &aludel::equation::Reaction| r.to_text(Notation::Plain);
/// assert_eq!(text(&found.oxidation.reaction), "SO3^2- + 2 OH^- -> SO4^2- + 2 e^- + H2O");
/// assert_eq!(found.oxidation.times, 3.into());
/// ```
pub fn working(skeleton: &Skeleton) -> Result<Working, NoWorking> {
    let found = balance(skeleton).map_err(NoWorking::Unbalanced)?;
    let answer = found.reaction().ok_or(NoWorking::Open)?.clone();
    if transfers(&answer).is_empty() {
        return Err(NoWorking::NoRedox);
    }
    if answer
        .left
        .iter()
        .chain(&answer.right)
        .any(|(_, s)| s.is_electron())
    {
        return Err(NoWorking::HalfReaction);
    }
    // A salt of which two ions change at once keeps together, or nothing would tell how much of each there is; a solid one
    // comes apart only if nothing else helps.
    let written = (answer.clone(), Vec::new());
    let nets = [
        net_of(in_ions_except(&answer, &changing_together(&answer))),
        written,
        net_of(all_in_ions(&answer)),
    ];
    let media = |net: &Reaction| {
        let stated = skeleton.medium.map(|medium| vec![medium]);
        stated.unwrap_or_else(|| likely_media(net))
    };
    let attempts = || {
        let nets = nets.iter();
        nets.flat_map(|net| media(&net.0).into_iter().map(move |medium| (net, medium)))
            .flat_map(|(net, medium)| {
                let ways = halves(&net.0, medium).unwrap_or_default();
                ways.into_iter().map(move |halves| (net, medium, halves))
            })
            .filter_map(|(net, medium, halves)| added(net, &answer, medium, halves))
    };
    let complete = attempts().find(|found| found.besides.is_none());
    complete
        .or_else(|| attempts().next())
        .ok_or(NoWorking::Unclear)
}

/// `CrI3`, of which chromium and iodine are oxidised at once.
fn changing_together(answer: &Reaction) -> Vec<Species> {
    let left = answer.left.iter().map(|(_, s)| (Side::Left, s));
    let right = answer.right.iter().map(|(_, s)| (Side::Right, s));
    let columns: Vec<(Side, &Species)> = left.chain(right).collect();
    let shifts = shifts(&columns);
    let at_once = |column: &usize| {
        [true, false].into_iter().any(|up| {
            let own = shifts
                .iter()
                .filter(|s| s.from.0 == *column && s.rises() == up);
            let elements: BTreeSet<Element> = own.map(|s| s.element).collect();
            elements.len() > 1
        })
    };
    let together = (0..answer.left.len()).filter(at_once);
    together.map(|column| columns[column].1.clone()).collect()
}

fn likely_media(net: &Reaction) -> Vec<Medium> {
    let has = |key: &str| {
        net.left
            .iter()
            .chain(&net.right)
            .any(|(_, s)| s.key() == key)
    };
    if has("OH^-") {
        vec![Medium::Base, Medium::Acid]
    } else {
        vec![Medium::Acid, Medium::Base]
    }
}

/// The equation in ions, and what is the same on both sides taken out.
type Net = (Reaction, Vec<(BigInt, Species)>);

fn net_of(mut net: Reaction) -> Net {
    let spectators = cancel(&mut net);
    (net, spectators)
}

/// Multiplies the halves so that the electrons cancel, adds them, and compares the sum with the net equation.
fn added(
    (net, spectators): &Net,
    answer: &Reaction,
    medium: Medium,
    (mut oxidation, mut reduction): (Half, Half),
) -> Option<Working> {
    let electrons = oxidation.electrons.lcm(&reduction.electrons);
    if electrons.is_zero() {
        return None;
    }
    oxidation.times = &electrons / &oxidation.electrons;
    reduction.times = &electrons / &reduction.electrons;
    let mut sum = sum_of(&[&oxidation, &reduction]);
    let cancelled = cancel(&mut sum);
    let (factor, besides) = fitted(&sum, net)?;
    Some(Working {
        medium,
        factor,
        ionic: (net != answer).then(|| net.clone()),
        oxidation,
        reduction,
        electrons,
        cancelled: cancelled
            .into_iter()
            .filter(|(_, s)| !s.is_electron())
            .collect(),
        sum,
        besides,
        spectators: spectators.clone(),
        answer: answer.clone(),
    })
}

fn sum_of(halves: &[&Half]) -> Reaction {
    let mut sum = Reaction {
        left: Vec::new(),
        right: Vec::new(),
    };
    for half in halves {
        for (n, species) in &half.reaction.left {
            add(&mut sum.left, n * &half.times, species.clone());
        }
        for (n, species) in &half.reaction.right {
            add(&mut sum.right, n * &half.times, species.clone());
        }
    }
    sum
}

/// By what the sum must be multiplied so that what it then lacks of the net equation needs no electrons; and what that is,
/// if it is anything.
fn fitted(sum: &Reaction, net: &Reaction) -> Option<(Exact, Option<Reaction>)> {
    let (ours, wanted) = (sum.signed(), net.signed());
    let mut factors: Vec<Exact> = Vec::new();
    for (n, species) in &ours {
        let there = wanted.iter().find(|(_, s)| s == species);
        let factor = there.and_then(|(m, _)| m.checked_div(n));
        factors.extend(factor.filter(|f| f.is_positive()));
    }
    let fitting = factors.into_iter().filter_map(|factor| {
        let rest = rest(&ours, &wanted, &factor)?;
        let nothing = rest.left.is_empty() && rest.right.is_empty();
        (nothing || transfers(&rest).is_empty()).then_some((factor, (!nothing).then_some(rest)))
    });
    let mut fitting: Vec<_> = fitting.collect();
    fitting.sort_by_key(|(_, rest)| rest.as_ref().map_or(0, |r| r.left.len() + r.right.len()));
    fitting.into_iter().next()
}

/// What is left of a net equation when so many times another is taken out; `None` if that is not whole.
fn rest(
    ours: &[(Exact, Species)],
    wanted: &[(Exact, Species)],
    factor: &Exact,
) -> Option<Reaction> {
    let mut left_over = wanted.to_vec();
    for (n, species) in ours {
        let taken = n * factor;
        match left_over.iter_mut().find(|(_, s)| s == species) {
            Some((m, _)) => *m -= &taken,
            None => left_over.push((-taken, species.clone())),
        }
    }
    let mut rest = Reaction {
        left: Vec::new(),
        right: Vec::new(),
    };
    for (n, species) in left_over.into_iter().filter(|(n, _)| !n.is_zero()) {
        let whole = n.is_integer().then(|| n.numerator().clone())?;
        let side = if whole.is_negative() {
            &mut rest.left
        } else {
            &mut rest.right
        };
        side.push((whole.abs(), species));
    }
    Some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::parse_equation;
    use crate::matter::Notation;

    fn halves(text: &str) -> String {
        match working(&parse_equation(text).unwrap()) {
            Ok(found) => {
                let half =
                    |h: &Half| format!("{} x ({})", h.times, h.reaction.to_text(Notation::Plain));
                format!("{}; {}", half(&found.oxidation), half(&found.reduction))
            }
            Err(why) => format!("{why:?}"),
        }
    }

    /// Worked by hand; the couples are those of every textbook (common practice, no source).
    #[test]
    fn halves_are_those_one_writes_on_paper() {
        for (text, expected) in [
            (
                "MnO4^- + Fe^2+ -> Mn^2+ + Fe^3+ in acid",
                "5 x (Fe^2+ -> Fe^3+ + e^-); 1 x (MnO4^- + 5 e^- + 8 H^+ -> Mn^2+ + 4 H2O)",
            ),
            (
                "Cu + HNO3 -> Cu(NO3)2 + NO + H2O",
                "3 x (Cu -> Cu^2+ + 2 e^-); 2 x (NO3^- + 3 e^- + 4 H^+ -> NO + 2 H2O)",
            ),
            (
                "Cl2 -> ClO3^- + Cl^- in base",
                "1 x (Cl2 + 12 OH^- -> 2 ClO3^- + 10 e^- + 6 H2O); 5 x (Cl2 + 2 e^- -> 2 Cl^-)",
            ),
            (
                "Zn + HCl -> ZnCl2 + H2",
                "1 x (Zn -> Zn^2+ + 2 e^-); 1 x (2 e^- + 2 H^+ -> H2)",
            ),
            (
                "KMnO4 + H2O2 + H2SO4 -> K2SO4 + MnSO4 + O2 + H2O",
                "5 x (H2O2 -> O2 + 2 e^- + 2 H^+); 2 x (MnO4^- + 5 e^- + 8 H^+ -> Mn^2+ + 4 H2O)",
            ),
            ("HCl + NaOH -> NaCl + H2O", "NoRedox"),
            ("C + O2 -> CO + CO2", "Open"),
        ] {
            assert_eq!(halves(text), expected, "{text}");
        }
    }

    #[test]
    fn spectators_are_named() {
        let found = working(
            &parse_equation("KMnO4 + FeSO4 + H2SO4 -> Fe2(SO4)3 + MnSO4 + K2SO4 + H2O").unwrap(),
        )
        .unwrap();
        let names: Vec<String> = found
            .spectators
            .iter()
            .map(|(n, s)| format!("{n} {s}"))
            .collect();
        assert_eq!(names, ["2 K^+", "18 SO4^2-"]);
        assert_eq!(found.electrons, BigInt::from(5));
    }
}
