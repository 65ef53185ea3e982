//! The two half-reactions of a net equation.
//!
//! The species in which numbers rise are one couple and those in which they fall the other; where a species takes part in
//! both, as the thiocyanate that gives sulfate and hydrogen cyanide, whatever hangs together is one couple. Each is
//! completed with what brings its other elements and balanced alone; where that leaves a choice, the proportions are
//! those of the net equation.

use num_bigint::BigInt;
use num_traits::One;

use crate::matter::{Element, Species};
use crate::number::Exact;
use crate::text::Span;

use super::couples::{Shift, shifts};
use super::working::{Course, Half};
use super::{Balance, Medium, Ratio, Reaction, Side, Skeleton, Term, balance};

/// A species of the net equation with how much of it there is.
struct Column<'r> {
    side: Side,
    species: &'r Species,
    amount: &'r BigInt,
}

/// What stands on the two sides of a couple, by columns of the net equation.
#[derive(Clone, Default)]
struct Couple {
    left: Vec<usize>,
    right: Vec<usize>,
    courses: Vec<Course>,
}

/// Oxidation and reduction, in the ways they can be told apart, the plainest first; `None` if no number changes.
pub(super) fn halves(net: &Reaction, medium: Medium) -> Option<Vec<(Half, Half)>> {
    let columns = columns(net);
    let sides: Vec<(Side, &Species)> = columns.iter().map(|c| (c.side, c.species)).collect();
    let shifts = shifts(&sides);
    let some = |up: bool| shifts.iter().any(|s| s.rises() == up);
    if !some(true) || !some(false) {
        return None;
    }
    let ways = [
        Some(by_direction(&shifts, &columns)),
        by_component(&shifts, &columns),
    ];
    let ways = ways.into_iter().flatten();
    Some(
        ways.filter_map(|couples| both(couples, &columns, medium))
            .collect(),
    )
}

fn columns(net: &Reaction) -> Vec<Column<'_>> {
    let of = |side: Side, terms: &'_ [(BigInt, Species)]| -> Vec<(Side, usize)> {
        (0..terms.len()).map(|at| (side, at)).collect()
    };
    let all = of(Side::Left, &net.left)
        .into_iter()
        .chain(of(Side::Right, &net.right));
    let column = |(side, at): (Side, usize)| {
        let terms = if side == Side::Left {
            &net.left
        } else {
            &net.right
        };
        let (amount, species) = &terms[at];
        Column {
            side,
            species,
            amount,
        }
    };
    all.map(column).collect()
}

fn both(
    [first, second]: [Couple; 2],
    columns: &[Column<'_>],
    medium: Medium,
) -> Option<(Half, Half)> {
    let half = |own: &Couple, other: &Couple, up: bool| {
        let mut own = own.clone();
        complete(&mut own, columns);
        half_reaction(&own, other, columns, up, medium)
    };
    let oxidised = |a: &Couple, b: &Couple| half(a, b, true).zip(half(b, a, false));
    oxidised(&first, &second).or_else(|| oxidised(&second, &first))
}

/// Water, hydrogen ions and hydroxide are for the medium to supply.
fn is_medium(species: &Species) -> bool {
    ["H2O", "H^+", "OH^-"].contains(&species.key())
}

fn is_oxygen(species: &Species, atoms: u64) -> bool {
    species.charge() == 0 && species.composition().atoms == [(Element::O, atoms)]
}

/// The columns at the two ends of a shift that say something. Oxygen as -2 and hydrogen as +1 are everywhere: which
/// species they end in (or come from) says nothing.
fn ends(shift: &Shift, columns: &[Column<'_>]) -> [Option<usize>; 2] {
    let common = match shift.element.symbol() {
        "O" => Some(Exact::from(-2)),
        "H" | "D" => Some(Exact::from(1)),
        _ => None,
    };
    let telling = |(column, number): &(usize, Exact)| {
        let silent = common.as_ref() == Some(number) || is_medium(columns[*column].species);
        (!silent).then_some(*column)
    };
    [telling(&shift.from), telling(&shift.to)]
}

impl Couple {
    fn put(&mut self, column: usize, columns: &[Column<'_>]) {
        let list = match columns[column].side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        };
        if !list.contains(&column) {
            list.push(column);
        }
    }

    fn take(&mut self, shift: &Shift, columns: &[Column<'_>]) {
        for column in ends(shift, columns).into_iter().flatten() {
            self.put(column, columns);
        }
        // Ozone gives off the rest of itself as O2.
        if shift.element == Element::O
            && !shift.rises()
            && is_oxygen(columns[shift.from.0].species, 3)
            && let Some(rest) = columns
                .iter()
                .position(|c| c.side == Side::Right && is_oxygen(c.species, 2))
        {
            self.put(rest, columns);
        }
        let course = Course {
            element: shift.element,
            from: shift.from.1.clone(),
            to: shift.to.1.clone(),
        };
        if !self.courses.contains(&course) {
            self.courses.push(course);
        }
    }

    fn has(&self, column: usize) -> bool {
        self.left.contains(&column) || self.right.contains(&column)
    }
}

fn by_direction(shifts: &[Shift], columns: &[Column<'_>]) -> [Couple; 2] {
    [true, false].map(|up| {
        let mut couple = Couple::default();
        for shift in shifts.iter().filter(|s| s.rises() == up) {
            couple.take(shift, columns);
        }
        couple
    })
}

/// The shifts that share a species are one couple; `None` unless that makes two.
fn by_component(shifts: &[Shift], columns: &[Column<'_>]) -> Option<[Couple; 2]> {
    let mut groups: Vec<Vec<&Shift>> = Vec::new();
    for shift in shifts {
        let mine = ends(shift, columns);
        let touches = |group: &Vec<&Shift>| {
            let theirs = group.iter().flat_map(|s| ends(s, columns)).flatten();
            theirs.into_iter().any(|c| mine.contains(&Some(c)))
        };
        let (touched, mut apart): (Vec<_>, Vec<_>) = groups.into_iter().partition(touches);
        let mut joined: Vec<&Shift> = touched.into_iter().flatten().collect();
        joined.push(shift);
        apart.push(joined);
        groups = apart;
    }
    let [first, second] = groups.as_slice() else {
        return None;
    };
    Some([first, second].map(|group| {
        let mut couple = Couple::default();
        group.iter().for_each(|shift| couple.take(shift, columns));
        couple
    }))
}

/// Adds what brings the other elements of a couple to its other side: `HgS -> S` needs [HgCl4]^2-, and that Cl^-. Of
/// several species it is the one of which there is most.
fn complete(couple: &mut Couple, columns: &[Column<'_>]) {
    for _ in 0..columns.len() {
        let (left, right) = (
            elements(&couple.left, columns),
            elements(&couple.right, columns),
        );
        let missing =
            |here: &[Element], there: &[Element]| here.iter().copied().find(|e| !there.contains(e));
        let (element, side) = match (missing(&left, &right), missing(&right, &left)) {
            (Some(element), _) => (element, Side::Right),
            (_, Some(element)) => (element, Side::Left),
            _ => return,
        };
        let brings = |column: &usize| {
            let found = &columns[*column];
            found.side == side && found.species.contains(element)
        };
        // `max_by_key` gives the last of equals; the first one written shall count.
        let all = (0..columns.len()).rev().filter(brings);
        let Some(column) = all.max_by_key(|column| columns[*column].amount) else {
            return;
        };
        couple.put(column, columns);
    }
}

/// The elements in some columns that water does not bring.
fn elements(list: &[usize], columns: &[Column<'_>]) -> Vec<Element> {
    let atoms = list.iter().flat_map(|c| {
        columns[*c]
            .species
            .composition()
            .atoms
            .iter()
            .map(|(e, _)| *e)
    });
    let mut all: Vec<Element> = atoms
        .filter(|e| !["H", "O", "D"].contains(&e.symbol()))
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

fn half_reaction(
    couple: &Couple,
    other: &Couple,
    columns: &[Column<'_>],
    up: bool,
    medium: Medium,
) -> Option<Half> {
    let mut skeleton = couple.skeleton(columns, up);
    let proportions = couple.proportions(other, columns);
    let in_acid = alone(&skeleton, &proportions)?;
    skeleton.medium = Some(medium);
    let reaction = alone(&skeleton, &proportions)?;
    let all = reaction.left.iter().chain(&reaction.right);
    let electrons = all
        .filter(|(_, s)| s.is_electron())
        .map(|(n, _)| n.clone())
        .sum();
    Some(Half {
        courses: couple.courses.clone(),
        in_acid,
        reaction,
        electrons,
        times: BigInt::one(),
    })
}

/// The only balance, by the proportions if it needs them.
fn alone(skeleton: &Skeleton, proportions: &Option<Ratio>) -> Option<Reaction> {
    match balance(skeleton).ok()? {
        Balance::Open { .. } => {
            let ratio = Some(proportions.clone()?);
            let narrowed = Skeleton {
                ratio,
                ..skeleton.clone()
            };
            Some(balance(&narrowed).ok()?.reaction()?.clone())
        }
        found => found.reaction().cloned(),
    }
}

impl Couple {
    fn skeleton(&self, columns: &[Column<'_>], up: bool) -> Skeleton {
        let term = |species: Species| Term {
            coefficient: None,
            species,
            span: Span::new(0, 0),
        };
        let terms = |list: &[usize]| -> Vec<Term> {
            list.iter()
                .map(|c| term(columns[*c].species.clone()))
                .collect()
        };
        let (mut left, mut right) = (terms(&self.left), terms(&self.right));
        let side = if up { &mut right } else { &mut left };
        side.push(term(Species::electron()));
        Skeleton {
            left,
            right,
            medium: Some(Medium::Acid),
            ratio: None,
            span: Span::new(0, 0),
        }
    }

    /// How much of its species there is in the net equation, those aside that the other couple has as well.
    fn proportions(&self, other: &Couple, columns: &[Column<'_>]) -> Option<Ratio> {
        let own = self
            .left
            .iter()
            .chain(&self.right)
            .filter(|c| !other.has(**c));
        let share = |c: &usize| {
            let column = &columns[*c];
            (column.species.clone(), Exact::from(column.amount.clone()))
        };
        let shares: Vec<(Species, Exact)> = own.map(share).collect();
        let span = Span::new(0, 0);
        (shares.len() > 1).then_some(Ratio { shares, span })
    }
}
