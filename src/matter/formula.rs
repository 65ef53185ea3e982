//! A formula as it is written, and what it is made of.

use std::fmt;

use num_integer::Integer;

use crate::number::Exact;

use super::Element;

/// How many: a whole number nearly always, a fraction in `CaSO4·0.5H2O` and `Fe0.947O`.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct Count {
    numerator: u64,
    denominator: u64,
}

impl Count {
    /// One.
    pub const ONE: Count = Count {
        numerator: 1,
        denominator: 1,
    };

    /// The largest count that can be written.
    pub const MAX: u64 = 1_000_000_000_000;

    /// `numerator / denominator` in lowest terms; `None` for zero on either side or beyond [`Count::MAX`].
    pub fn new(numerator: u64, denominator: u64) -> Option<Count> {
        if numerator == 0 || denominator == 0 || numerator > Self::MAX || denominator > Self::MAX {
            return None;
        }
        let common = numerator.gcd(&denominator);
        Some(Count {
            numerator: numerator / common,
            denominator: denominator / common,
        })
    }

    /// The number above the line.
    pub fn numerator(self) -> u64 {
        self.numerator
    }

    /// The number below the line, 1 for a whole number.
    pub fn denominator(self) -> u64 {
        self.denominator
    }

    fn times(self, other: Count) -> Option<Count> {
        // Cancelling crosswise first keeps the products as small as they can be.
        let a = self.numerator.gcd(&other.denominator);
        let b = other.numerator.gcd(&self.denominator);
        Some(Count {
            numerator: (self.numerator / a).checked_mul(other.numerator / b)?,
            denominator: (self.denominator / b).checked_mul(other.denominator / a)?,
        })
    }
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.denominator == 1 {
            return write!(f, "{}", self.numerator);
        }
        let ratio = num_rational::BigRational::new(self.numerator.into(), self.denominator.into());
        f.write_str(&Exact::from(ratio).to_plain())
    }
}

/// An atom or a bracketed group.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub enum FormulaUnit {
    /// `Fe`
    Atom(Element),
    /// `(SO4)`, `[Fe(CN)6]`, `{…}`, with the opening bracket.
    Group(char, Vec<Item>),
}

/// An atom or group with its subscript.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub struct Item {
    /// What.
    pub unit: FormulaUnit,
    /// How many.
    pub count: Count,
}

/// What stands between two dots of a hydrate or double salt.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub struct Part {
    /// The number before it, as in `5H2O`.
    pub multiplier: Count,
    /// Its atoms and groups.
    pub items: Vec<Item>,
}

/// A formula as it is written: `CuSO4·5H2O` has two parts. The electron has none.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub struct Formula {
    /// The parts between the dots.
    pub parts: Vec<Part>,
}

/// How many atoms of each element: integers over one common divisor, which is 1 but for fractional hydrates and
/// non-stoichiometric solids.
#[derive(Clone, Debug, Default, Eq, Hash, PartialEq)]
pub struct Composition {
    /// Element and count times divisor, sorted by element, no zeros.
    pub atoms: Vec<(Element, u64)>,
    /// What the counts are to be divided by.
    pub divisor: u64,
}

impl Formula {
    /// The composition; `None` where a count exceeds 64 bits.
    pub fn composition(&self) -> Option<Composition> {
        let mut counts: Vec<(Element, Count)> = Vec::new();
        for part in &self.parts {
            collect(&part.items, part.multiplier, &mut counts)?;
        }
        counts.sort_unstable_by_key(|(element, _)| *element);
        let divisor = counts
            .iter()
            .try_fold(1u64, |all, (_, c)| checked_lcm(all, c.denominator))?;
        let mut atoms: Vec<(Element, u64)> = Vec::with_capacity(counts.len());
        for (element, count) in counts {
            let scaled = count.numerator.checked_mul(divisor / count.denominator)?;
            match atoms.last_mut() {
                Some((last, total)) if *last == element => *total = total.checked_add(scaled)?,
                _ => atoms.push((element, scaled)),
            }
        }
        Some(Composition { atoms, divisor })
    }
}

impl Composition {
    /// How many atoms of `element` in one formula unit.
    pub fn count(&self, element: Element) -> Exact {
        let found = self.atoms.iter().find(|(e, _)| *e == element);
        self.per_unit(found.map_or(0, |(_, count)| *count))
    }

    /// Element and exact count.
    pub fn iter(&self) -> impl Iterator<Item = (Element, Exact)> + '_ {
        self.atoms.iter().map(|(e, n)| (*e, self.per_unit(*n)))
    }

    /// In g/mol, from the standard atomic weights.
    pub fn molar_mass(&self) -> Exact {
        self.iter().map(|(e, n)| n * e.molar_mass()).sum()
    }

    fn per_unit(&self, scaled: u64) -> Exact {
        num_rational::BigRational::new(scaled.into(), self.divisor.max(1).into()).into()
    }
}

fn collect(items: &[Item], times: Count, counts: &mut Vec<(Element, Count)>) -> Option<()> {
    for item in items {
        let count = times.times(item.count)?;
        match &item.unit {
            FormulaUnit::Atom(element) => counts.push((*element, count)),
            FormulaUnit::Group(_, inner) => collect(inner, count, counts)?,
        }
    }
    Some(())
}

fn checked_lcm(a: u64, b: u64) -> Option<u64> {
    (a / a.gcd(&b)).checked_mul(b)
}
