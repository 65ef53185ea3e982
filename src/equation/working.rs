//! How a redox equation is balanced on paper: couples, half-reactions, electrons, sum.
//!
//! The answer is found first; this takes it apart into what is oxidised and what is reduced, balances each alone with
//! water, H^+ (or OH^-) and electrons, and adds them up again. A working that does not add up to the answer is not given.
//!
//! Knows no words: `report` writes it down.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Zero};

use crate::matter::{Element, Species};
use crate::number::Exact;
use crate::text::Span;

use super::couples::{Shift, shifts};
use super::ionic_view::{add, cancel, in_ions};
use super::{Medium, Reaction, Side, Skeleton, Term, Unbalanced, balance};

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
    /// Ions that take no part, with how many stand on each side of the answer.
    pub spectators: Vec<(BigInt, Species)>,
    /// The answer.
    pub answer: Reaction,
}

/// Why there is no working.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum NoWorking {
    /// There is no answer to take apart.
    Unbalanced(Unbalanced),
    /// `C + O2 -> CO + CO2`: there are several.
    Open,
    /// `HCl + NaOH -> NaCl + H2O`: no oxidation number changes.
    NoRedox,
    /// More than one oxidation or reduction at once, or couples that do not add up to the answer.
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
    let mut why = NoWorking::Unclear;
    // A salt of which two ions change at once keeps together, or nothing would tell how much of each there is.
    for (net, spectators) in [net_of(&answer), (answer.clone(), Vec::new())] {
        let media = skeleton
            .medium
            .map_or_else(|| likely_media(&net), |medium| vec![medium]);
        for medium in media {
            match worked(&net, medium) {
                Ok(halves) => {
                    if let Some(found) = added(&net, &answer, &spectators, medium, halves) {
                        return Ok(found);
                    }
                }
                Err(reason) => why = reason,
            }
        }
    }
    Err(why)
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

/// Strong electrolytes as ions, and what is the same on both sides taken out.
fn net_of(answer: &Reaction) -> (Reaction, Vec<(BigInt, Species)>) {
    let mut net = in_ions(answer, false);
    let spectators = cancel(&mut net);
    (net, spectators)
}

/// What stands on the two sides of a couple, by columns of the net equation.
#[derive(Default)]
struct Couple {
    left: Vec<usize>,
    right: Vec<usize>,
    courses: Vec<Course>,
}

fn worked(net: &Reaction, medium: Medium) -> Result<(Half, Half), NoWorking> {
    let columns: Vec<(Side, &Species)> = net
        .left
        .iter()
        .map(|(_, s)| (Side::Left, s))
        .chain(net.right.iter().map(|(_, s)| (Side::Right, s)))
        .collect();
    let shifts = shifts(&columns);
    let half = |up: bool| -> Option<Half> {
        let mut couple = couple(&shifts, up, &columns);
        complete(&mut couple, &columns);
        half_reaction(&couple, &columns, up, medium)
    };
    let some = |up: bool| shifts.iter().any(|s| (s.to.1 > s.from.1) == up);
    if !some(true) || !some(false) {
        return Err(NoWorking::NoRedox);
    }
    Ok((
        half(true).ok_or(NoWorking::Unclear)?,
        half(false).ok_or(NoWorking::Unclear)?,
    ))
}

/// Water, hydrogen ions and hydroxide are for the medium to supply.
fn is_medium(species: &Species) -> bool {
    ["H2O", "H^+", "OH^-"].contains(&species.key())
}

fn is_oxygen(species: &Species, atoms: u64) -> bool {
    species.charge() == 0 && species.composition().atoms == [(Element::O, atoms)]
}

fn couple(shifts: &[Shift], up: bool, columns: &[(Side, &Species)]) -> Couple {
    let mut couple = Couple::default();
    let put = |list: fn(&mut Couple) -> &mut Vec<usize>, column: usize, couple: &mut Couple| {
        if !is_medium(columns[column].1) && !list(couple).contains(&column) {
            list(couple).push(column);
        }
    };
    for shift in shifts.iter().filter(|s| (s.to.1 > s.from.1) == up) {
        // Oxygen as -2 and hydrogen as +1 are everywhere: which species they end in (or come from) says nothing.
        let common = match shift.element.symbol() {
            "O" => Some(Exact::from(-2)),
            "H" | "D" => Some(Exact::from(1)),
            _ => None,
        };
        if common.as_ref() != Some(&shift.from.1) {
            put(|c| &mut c.left, shift.from.0, &mut couple);
        }
        if common.as_ref() != Some(&shift.to.1) {
            put(|c| &mut c.right, shift.to.0, &mut couple);
        }
        // Ozone gives off the rest of itself as O2.
        if shift.element == Element::O && !up && is_oxygen(columns[shift.from.0].1, 3) {
            let rest = (0..columns.len())
                .find(|c| columns[*c].0 == Side::Right && is_oxygen(columns[*c].1, 2));
            if let Some(column) = rest {
                put(|c| &mut c.right, column, &mut couple);
            }
        }
        let course = Course {
            element: shift.element,
            from: shift.from.1.clone(),
            to: shift.to.1.clone(),
        };
        if !couple.courses.contains(&course) {
            couple.courses.push(course);
        }
    }
    couple
}

/// Adds what brings the other elements of a couple to its other side: `HgS -> S` needs [HgCl4]^2-, and that Cl^-.
fn complete(couple: &mut Couple, columns: &[(Side, &Species)]) {
    let elements = |list: &[usize]| -> Vec<Element> {
        let atoms = list
            .iter()
            .flat_map(|c| columns[*c].1.composition().atoms.iter().map(|(e, _)| *e));
        let mut all: Vec<Element> = atoms
            .filter(|e| !["H", "O", "D"].contains(&e.symbol()))
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    for _ in 0..columns.len() {
        let (left, right) = (elements(&couple.left), elements(&couple.right));
        let missing =
            |here: &[Element], there: &[Element]| here.iter().copied().find(|e| !there.contains(e));
        let (element, side) = match (missing(&left, &right), missing(&right, &left)) {
            (Some(element), _) => (element, Side::Right),
            (_, Some(element)) => (element, Side::Left),
            _ => return,
        };
        let brings = |(column, (on, species)): (usize, &(Side, &Species))| {
            (*on == side && species.contains(element)).then_some(column)
        };
        let Some(column) = columns.iter().enumerate().find_map(brings) else {
            return;
        };
        match side {
            Side::Left => couple.left.push(column),
            Side::Right => couple.right.push(column),
        }
    }
}

fn half_reaction(
    couple: &Couple,
    columns: &[(Side, &Species)],
    up: bool,
    medium: Medium,
) -> Option<Half> {
    let term = |species: Species| Term {
        coefficient: None,
        species,
        span: Span::new(0, 0),
    };
    let terms = |list: &[usize]| -> Vec<Term> {
        list.iter().map(|c| term(columns[*c].1.clone())).collect()
    };
    let (mut left, mut right) = (terms(&couple.left), terms(&couple.right));
    let electron = term(Species::electron());
    if up {
        right.push(electron)
    } else {
        left.push(electron)
    }
    let mut skeleton = Skeleton {
        left,
        right,
        medium: Some(Medium::Acid),
        ratio: None,
        span: Span::new(0, 0),
    };
    let in_acid = balance(&skeleton).ok()?.reaction()?.clone();
    skeleton.medium = Some(medium);
    let reaction = balance(&skeleton).ok()?.reaction()?.clone();
    let all = reaction.left.iter().chain(&reaction.right);
    let electrons = all
        .filter(|(_, s)| s.is_electron())
        .map(|(n, _)| n.clone())
        .sum();
    let courses = couple.courses.clone();
    Some(Half {
        courses,
        in_acid,
        reaction,
        electrons,
        times: BigInt::one(),
    })
}

/// Multiplies the halves so that the electrons cancel, adds them, and compares the sum with the answer.
fn added(
    net: &Reaction,
    answer: &Reaction,
    spectators: &[(BigInt, Species)],
    medium: Medium,
    (mut oxidation, mut reduction): (Half, Half),
) -> Option<Working> {
    let electrons = oxidation.electrons.lcm(&reduction.electrons);
    if electrons.is_zero() {
        return None;
    }
    oxidation.times = &electrons / &oxidation.electrons;
    reduction.times = &electrons / &reduction.electrons;
    let mut sum = Reaction {
        left: Vec::new(),
        right: Vec::new(),
    };
    for half in [&oxidation, &reduction] {
        for (n, species) in &half.reaction.left {
            add(&mut sum.left, n * &half.times, species.clone());
        }
        for (n, species) in &half.reaction.right {
            add(&mut sum.right, n * &half.times, species.clone());
        }
    }
    let cancelled = cancel(&mut sum);
    let factor = factor(&sum, net)?;
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
        spectators: spectators.to_vec(),
        answer: answer.clone(),
    })
}

/// By what one must be multiplied to be the other.
fn factor(sum: &Reaction, net: &Reaction) -> Option<Exact> {
    let (sum, net) = (sum.signed(), net.signed());
    let (first, species) = sum.first()?;
    let (other, _) = net.iter().find(|(_, s)| s == species)?;
    let factor = other.checked_div(first)?;
    let same = |(n, s): &(Exact, Species)| net.iter().any(|(m, t)| s == t && &(n * &factor) == m);
    (sum.len() == net.len() && sum.iter().all(same)).then_some(factor)
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
