//! Which atoms turn into which: the redox couples of a skeleton as further rows of its matrix.
//!
//! Where atoms and charge leave several balances, the half-reaction method still has one answer if each product of an
//! element comes from one reactant. Such atoms are then conserved apart: the sulfur of sulfide apart from that of the
//! sulfate beside it, the oxygen of a peroxide apart from that of water.
//!
//! Knows no mechanism: a product that could come from two reactants is left to the user, unless the ratio was observed and
//! stands in the table (`data/product_ratios.csv`).

use std::sync::LazyLock;

use crate::data::{self, Row};
use crate::matter::{Element, Species};
use crate::number::Exact;

use super::Side;
use super::matrix::divisor;
use super::oxidation::{Numbers, Rule, numbers};

/// A species with its side and its numbers.
struct Place<'s> {
    side: Side,
    species: &'s Species,
    numbers: Numbers,
}

fn places<'a>(columns: &[(Side, &'a Species)]) -> Vec<Place<'a>> {
    let place = |(side, species): &(Side, &'a Species)| Place {
        side: *side,
        species,
        numbers: numbers(species),
    };
    columns.iter().map(place).collect()
}

/// Rows that hold if the couples are as chemistry would have them; none where that is not clear.
pub(super) fn rows(columns: &[(Side, &Species)]) -> Vec<Vec<i64>> {
    let places = places(columns);
    let changes: Vec<Change> = elements(&places)
        .into_iter()
        .map(|e| Change::of(e, &places))
        .collect();
    let mut rows: Vec<Vec<i64>> = Vec::new();
    for change in &changes {
        if change.is_clear(&places) {
            rows.extend(change.rows(&places));
        }
    }
    rows.extend(active_oxygen(&places, &changes));
    rows.extend(fragments(&places, &changes));
    rows.extend(OBSERVED.iter().find_map(|ratio| ratio.matched(&places)));
    rows
}

fn elements(places: &[Place<'_>]) -> Vec<Element> {
    let atoms = places
        .iter()
        .flat_map(|p| p.numbers.atoms.iter().map(|a| a.element));
    let mut all: Vec<Element> = atoms.collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// One oxidation number of an element on one side.
#[derive(Clone, Debug)]
struct State {
    side: Side,
    number: Exact,
    /// Atoms that keep their number whatever happens: the outer pair of an azide, which leaves as N2.
    fixed: bool,
    /// Which states turn into each other; states with the same group do.
    group: usize,
}

/// What becomes of one element.
struct Change {
    element: Element,
    states: Vec<State>,
}

impl Change {
    fn of(element: Element, places: &[Place<'_>]) -> Change {
        let mut change = Change {
            element,
            states: Vec::new(),
        };
        for place in places {
            for (number, _, fixed) in place.atoms(element) {
                if !change
                    .states
                    .iter()
                    .any(|s| s.is(place.side, &number, fixed))
                {
                    let group = change.states.len();
                    change.states.push(State {
                        side: place.side,
                        number,
                        fixed,
                        group,
                    });
                }
            }
        }
        change.link();
        change
    }

    /// Equal numbers first; then each reactant left over takes its nearest new product, and each product left over its
    /// nearest reactant. What lies equally near is linked to both.
    fn link(&mut self) {
        let on = |side: Side| -> Vec<usize> {
            (0..self.states.len())
                .filter(|i| self.states[*i].side == side)
                .collect()
        };
        let (left, right) = (on(Side::Left), on(Side::Right));
        let mut linked = vec![false; self.states.len()];
        for &l in &left {
            for &r in &right {
                if self.states[l].number == self.states[r].number {
                    self.join(l, r);
                    linked[l] = true;
                    linked[r] = true;
                }
            }
        }
        let new: Vec<usize> = right.iter().copied().filter(|r| !linked[*r]).collect();
        let left_over: Vec<usize> = left.iter().copied().filter(|l| !linked[*l]).collect();
        for l in left_over {
            let among = if new.is_empty() { &right } else { &new };
            for r in self.nearest(l, among) {
                self.join(l, r);
                linked[r] = true;
            }
        }
        let sources: Vec<usize> = left
            .iter()
            .copied()
            .filter(|l| !self.states[*l].fixed)
            .collect();
        for r in new.into_iter().filter(|r| !linked[*r]) {
            for l in self.nearest(r, &sources) {
                self.join(l, r);
            }
        }
    }

    fn nearest(&self, to: usize, among: &[usize]) -> Vec<usize> {
        let distance = |i: &usize| (&self.states[to].number - &self.states[*i].number).abs();
        let Some(least) = among.iter().map(distance).min() else {
            return Vec::new();
        };
        among
            .iter()
            .copied()
            .filter(|i| distance(i) == least)
            .collect()
    }

    fn join(&mut self, a: usize, b: usize) {
        let (from, to) = (self.states[a].group, self.states[b].group);
        for state in &mut self.states {
            if state.group == from {
                state.group = to;
            }
        }
    }

    /// New states on the right above (or below) a state that they can come from.
    fn goes(&self, up: bool) -> bool {
        let pairs = self
            .states
            .iter()
            .filter(|s| s.side == Side::Left)
            .flat_map(|l| {
                let same = move |r: &&State| r.side == Side::Right && r.group == l.group;
                self.states.iter().filter(same).map(move |r| (l, r))
            });
        let mut moved = pairs.filter(|(l, r)| l.number != r.number);
        moved.any(|(l, r)| (r.number > l.number) == up)
    }

    /// Averages of organic molecules say nothing about single atoms, and oxygen and hydrogen have rules of their own.
    fn is_clear(&self, places: &[Place<'_>]) -> bool {
        let own_rules = ["H", "D", "T", "C", "O"].contains(&self.element.symbol());
        let organic = |p: &&Place<'_>| p.species.contains(self.element) && p.is_organic();
        !own_rules && (self.element.is_metal() || !places.iter().any(|p| organic(&p)))
    }

    /// One row for each group, if there is more than one.
    fn rows(&self, places: &[Place<'_>]) -> Vec<Vec<i64>> {
        let mut groups: Vec<usize> = self.states.iter().map(|s| s.group).collect();
        groups.sort_unstable();
        groups.dedup();
        if groups.len() < 2 {
            return Vec::new();
        }
        let row = |group: usize| -> Option<Vec<i64>> {
            let entry = |place: &Place<'_>| {
                let atoms = place.atoms(self.element).into_iter();
                let own = atoms.filter(|(number, _, fixed)| {
                    self.states
                        .iter()
                        .any(|s| s.group == group && s.is(place.side, number, *fixed))
                });
                place.entry(own.map(|(_, count, _)| count).sum())
            };
            places.iter().map(entry).collect()
        };
        groups.into_iter().filter_map(row).collect()
    }
}

impl State {
    fn is(&self, side: Side, number: &Exact, fixed: bool) -> bool {
        self.side == side && self.number == *number && self.fixed == fixed
    }
}

impl Place<'_> {
    /// Number, count and whether fixed, of the atoms of an element.
    fn atoms(&self, element: Element) -> Vec<(Exact, Exact, bool)> {
        let azide = |number: &Exact| element.symbol() == "N" && *number == Exact::ratio(-1, 3);
        let third = |count: &Exact| count * &Exact::ratio(1, 3);
        self.numbers
            .of(element)
            .flat_map(|a| {
                if azide(&a.number) {
                    let outer = (Exact::zero(), third(&a.count) * Exact::from(2), true);
                    vec![outer, (Exact::from(-1), third(&a.count), false)]
                } else {
                    vec![(a.number.clone(), a.count.clone(), false)]
                }
            })
            .collect()
    }

    fn is_organic(&self) -> bool {
        self.species.contains(Element::C) && self.species.contains(Element::H)
    }

    /// As an entry of the matrix: signed by the side, whole for as many formula units as the matrix counts.
    fn entry(&self, count: Exact) -> Option<i64> {
        let scaled = count * Exact::from(i64::try_from(divisor(self.species)).ok()?);
        let sign = if self.side == Side::Left { 1 } else { -1 };
        scaled.is_integer().then_some(())?;
        i64::try_from(scaled.numerator()).ok().map(|n| sign * n)
    }

    fn oxygens(&self) -> Exact {
        self.species.composition().count(Element::O)
    }

    fn is_oxygen(&self, atoms: i64) -> bool {
        self.species.composition().atoms.len() == 1
            && self.species.charge() == 0
            && self.oxygens() == Exact::from(atoms)
    }

    /// `H2O2`, `Na2O2`, `HO2^-`: every oxygen is -1 and nothing else can change.
    fn is_peroxide(&self) -> bool {
        let inert = |rule: Rule| matches!(rule, Rule::Metal | Rule::Hydrogen | Rule::OddOxygen);
        self.numbers.mean(Element::O) == Some(Exact::from(-1))
            && self.numbers.atoms.iter().all(|a| inert(a.rule))
    }
}

/// O2 that is formed comes from the peroxide that is oxidised, and two atoms of three from ozone.
fn active_oxygen(places: &[Place<'_>], changes: &[Change]) -> Option<Vec<i64>> {
    let on = |side: Side| places.iter().filter(move |p| p.side == side);
    let formed = on(Side::Right).any(|p| p.is_oxygen(2));
    if !formed || on(Side::Left).any(|p| p.is_oxygen(2)) {
        return None;
    }
    let peroxide = on(Side::Left).any(Place::is_peroxide);
    let ozone = on(Side::Left).any(|p| p.is_oxygen(3));
    let others_rise = changes
        .iter()
        .any(|c| c.element != Element::O && c.goes(true));
    if !(peroxide || ozone) || (peroxide && others_rise) {
        return None;
    }
    let share = |place: &Place<'_>| match place.side {
        Side::Right if place.is_oxygen(2) => Exact::from(2),
        Side::Left if place.is_oxygen(3) => Exact::from(2),
        Side::Left if place.is_peroxide() => place.oxygens(),
        _ => Exact::zero(),
    };
    places
        .iter()
        .map(|place| place.entry(share(place)))
        .collect()
}

/// A molecule that an oxidant cuts into pieces which together have all its carbon gives each of them once.
fn fragments(places: &[Place<'_>], changes: &[Change]) -> Vec<Vec<i64>> {
    let carbon = |p: &Place<'_>| p.species.composition().count(Element::C);
    let with = |side: Side| -> Vec<usize> {
        (0..places.len())
            .filter(|i| places[*i].side == side && places[*i].species.contains(Element::C))
            .collect()
    };
    let (left, right) = (with(Side::Left), with(Side::Right));
    let oxidant = changes
        .iter()
        .any(|c| !["H", "C", "O"].contains(&c.element.symbol()) && c.goes(false));
    let [whole] = left.as_slice() else {
        return Vec::new();
    };
    let pieces: Exact = right.iter().map(|i| carbon(&places[*i])).sum();
    if !oxidant
        || right.len() < 2
        || !places[*whole].is_organic()
        || pieces != carbon(&places[*whole])
    {
        return Vec::new();
    }
    let row = |piece: &usize| -> Option<Vec<i64>> {
        let entry = |(i, place): (usize, &Place<'_>)| {
            place.entry(if i == *whole || i == *piece {
                Exact::one()
            } else {
                Exact::zero()
            })
        };
        places.iter().enumerate().map(entry).collect()
    };
    right.iter().filter_map(row).collect()
}

/// A row of the table of product ratios that were observed.
struct Observed {
    element: Element,
    /// Where both numbers stand.
    side: Side,
    first: Vec<Exact>,
    second: Vec<Exact>,
    /// Atoms with the first numbers to atoms with the second.
    ratio: (Exact, Exact),
    /// All numbers of the element on the other side.
    opposite: Vec<Exact>,
    /// The key of a molecule that is formed as well.
    beside: &'static str,
}

static OBSERVED: LazyLock<Vec<Observed>> = LazyLock::new(|| {
    let read = data::PRODUCT_RATIOS.rows().map(Observed::read);
    read.collect::<Option<_>>()
        .expect("every row of the table can be read; a test counts them")
});

impl Observed {
    fn read(row: Row) -> Option<Observed> {
        let numbers = |column| -> Option<Vec<Exact>> {
            let cells = row.cell(column).split_whitespace();
            cells.map(|cell| Exact::decimal(cell).ok()).collect()
        };
        let (of_first, of_second) = row.cell("ratio").split_once(" : ")?;
        Some(Observed {
            element: Element::of_symbol(row.cell("element"))?,
            side: match row.cell("side") {
                "left" => Side::Left,
                "right" => Side::Right,
                _ => return None,
            },
            first: numbers("first_numbers")?,
            second: numbers("second_numbers")?,
            ratio: (
                Exact::decimal(of_first).ok()?,
                Exact::decimal(of_second).ok()?,
            ),
            opposite: numbers("opposite_numbers")?,
            beside: row.cell("beside"),
        })
    }

    /// The row of the matrix, if this is the case that was observed: every place of the element has one of the numbers.
    fn matched(&self, places: &[Place<'_>]) -> Option<Vec<i64>> {
        let holding = |here: bool| {
            let on = places.iter().filter(move |p| (p.side == self.side) == here);
            on.filter(|p| p.species.contains(self.element))
        };
        let is = |place: &Place<'_>, of: &[Exact]| {
            place
                .numbers
                .mean(self.element)
                .is_some_and(|n| of.contains(&n))
        };
        let both = [&self.first, &self.second];
        let known = holding(true).all(|p| both.iter().any(|of| is(p, of)))
            && both.iter().all(|of| holding(true).any(|p| is(p, of)))
            && holding(false).all(|p| is(p, &self.opposite));
        let formed = |p: &Place<'_>| p.side == Side::Right && p.species.key() == self.beside;
        if !known || !(self.beside.is_empty() || places.iter().any(formed)) {
            return None;
        }
        let (of_first, of_second) = &self.ratio;
        let entry = |place: &Place<'_>| {
            let atoms = place.species.composition().count(self.element);
            match place.side == self.side {
                true if is(place, &self.first) => place.entry(&atoms * of_second),
                true if is(place, &self.second) => place.entry(-(&atoms * of_first)),
                _ => Some(0),
            }
        };
        places.iter().map(entry).collect()
    }
}

/// One element changing its number from one species (left) to another (right), by their columns.
#[derive(Clone, Debug, Eq, PartialEq)]
pub(super) struct Shift {
    pub(super) element: Element,
    pub(super) from: (usize, Exact),
    pub(super) to: (usize, Exact),
}

impl Shift {
    /// Whether electrons are given off.
    pub(super) fn rises(&self) -> bool {
        self.to.1 > self.from.1
    }
}

/// Every change of an oxidation number between two species.
pub(super) fn shifts(columns: &[(Side, &Species)]) -> Vec<Shift> {
    let places = places(columns);
    let mut all = Vec::new();
    for element in elements(&places) {
        let change = Change::of(element, &places);
        let at = |side: Side| -> Vec<(usize, Exact, usize)> {
            let on = places.iter().enumerate().filter(|(_, p)| p.side == side);
            on.flat_map(|(column, place)| {
                let group = |number: &Exact, fixed| {
                    let state = change.states.iter().find(|s| s.is(side, number, fixed));
                    state.map_or(usize::MAX, |s| s.group)
                };
                let atoms = place.atoms(element).into_iter();
                atoms
                    .map(|(number, _, fixed)| (column, number.clone(), group(&number, fixed)))
                    .collect::<Vec<_>>()
            })
            .collect()
        };
        for (from, before, source) in at(Side::Left) {
            for (to, after, target) in at(Side::Right) {
                if source == target && before != after {
                    let (from, to) = ((from, before.clone()), (to, after));
                    all.push(Shift { element, from, to });
                }
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::{balance, parse_equation};
    use crate::matter::Notation;

    fn balanced(text: &str) -> Option<String> {
        let found = balance(&parse_equation(text).unwrap()).ok()?;
        Some(found.reaction()?.to_text(Notation::Plain))
    }

    /// The publications of the table.
    #[test]
    fn observed_ratios_settle_what_was_observed_and_nothing_else() {
        assert_eq!(OBSERVED.len(), 2);
        for (text, expected) in [
            (
                "XeF6 + NaOH -> Na4XeO6 + Xe + O2 + NaF + H2O",
                Some("2 XeF6 + 16 NaOH -> Na4XeO6 + Xe + O2 + 12 NaF + 8 H2O"),
            ),
            (
                "HXeO4^- + OH^- -> XeO6^4- + Xe + O2 + H2O",
                Some("2 HXeO4^- + 2 OH^- -> XeO6^4- + Xe + O2 + 2 H2O"),
            ),
            // From xenon(IV) nothing of the kind was observed.
            ("XeF4 + NaOH -> Na4XeO6 + Xe + O2 + NaF + H2O", None),
            (
                "NH3 + NO + O2 -> N2 + H2O",
                Some("4 NH3 + 4 NO + O2 -> 4 N2 + 6 H2O"),
            ),
            (
                "NH3 + NO + NO2 -> N2 + H2O",
                Some("2 NH3 + NO + NO2 -> 2 N2 + 3 H2O"),
            ),
            ("NH3 + NO + O2 -> N2 + N2O + H2O", None),
            ("NH3 + O2 -> NO + N2 + H2O", None),
        ] {
            assert_eq!(balanced(text).as_deref(), expected, "{text}");
        }
    }
}
