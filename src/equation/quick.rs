//! The common case, quickly: plain formulas, with or without coefficients, and one balance in machine integers.
//!
//! The grammar remains what defines the language. This reads a part of it, gives the very answer that
//! [`parse_equation`](super::parse_equation) and [`balance`](super::balance) give, and `None` for whatever is not that
//! simple; a property test holds the two together.
//!
//! Knows no faults: what it does not understand goes the long way and is explained there.

use num_integer::Integer;

use crate::matter::Element;

/// The most species and the most conserved things that are handled here.
const WIDTH: usize = 16;
/// The most atoms and groups of an equation, written out.
const ATOMS: usize = 160;
/// Counts stay below this, so that sums of them fit easily.
const MOST: i64 = 1_000_000_000;

/// An equation with its only balance.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Quick<'t> {
    species: [(&'t str, i64); WIDTH],
    left: usize,
    all: usize,
}

impl<'t> Quick<'t> {
    /// Formulas with their coefficients, left of the arrow.
    pub fn left(&self) -> &[(&'t str, i64)] {
        &self.species[..self.left]
    }

    /// Formulas with their coefficients, right of the arrow.
    pub fn right(&self) -> &[(&'t str, i64)] {
        &self.species[self.left..self.all]
    }

    /// One more formula; `None` if it is there already.
    fn add(&mut self, formula: &'t str) -> Option<()> {
        let mut known = self.species[..self.all].iter();
        if known.any(|(known, _)| *known == formula) {
            return None;
        }
        self.species[self.all] = (formula, 0);
        self.all += 1;
        Some(())
    }
}

/// Reads and balances an equation of the simple kind; counted again before it is given.
///
/// ```
/// use aludel::equation::quick;
/// let found = quick("Fe + Cl2 -> FeCl3").unwrap();
/// assert_eq!(found.left(), [("Fe", 2), ("Cl2", 3)]);
/// assert_eq!(quick("Fe + Cl2 = FeCl3").unwrap().right(), [("FeCl3", 2)]);
/// assert_eq!(quick("Fe³⁺ + SCN⁻ -> [Fe(SCN)]²⁺"), None);
/// ```
pub fn quick(text: &str) -> Option<Quick<'_>> {
    let text = text.trim_ascii();
    let mut reader = Reader {
        text: text.as_bytes(),
        at: 0,
        atoms: [(0, 0); ATOMS],
        filled: 0,
    };
    let mut found = Quick {
        species: [("", 0); WIDTH],
        left: 0,
        all: 0,
    };
    let mut ends = [0; WIDTH];
    let mut charges = [0; WIDTH];
    loop {
        reader.coefficient()?;
        let start = reader.at;
        charges[found.all] = reader.species()?;
        ends[found.all] = reader.filled;
        found.add(&text[start..reader.at])?;
        match reader.joint()? {
            Joint::End => break,
            Joint::Plus => {}
            Joint::Arrow if found.left == 0 => found.left = found.all,
            Joint::Arrow => return None,
        }
        if found.all == WIDTH {
            return None;
        }
    }
    if found.left == 0 {
        return None;
    }
    let composed = Composed {
        atoms: &reader.atoms,
        ends: &ends,
        charges: &charges,
    };
    let coefficients = composed.matrix(found.left, found.all)?.only_balance()?;
    for (species, n) in found.species.iter_mut().zip(coefficients) {
        species.1 = n;
    }
    composed.count_agrees(&found).then_some(found)
}

/// What follows a species.
enum Joint {
    Plus,
    Arrow,
    End,
}

/// A place in the text and the atoms read up to there: element and count, species by species.
struct Reader<'t> {
    text: &'t [u8],
    at: usize,
    atoms: [(u8, i64); ATOMS],
    filled: usize,
}

impl Reader<'_> {
    fn rest(&self) -> &[u8] {
        &self.text[self.at..]
    }

    fn peek(&self) -> u8 {
        self.text.get(self.at).copied().unwrap_or(0)
    }

    /// Passes over a coefficient: where there is one balance, what was written does not change it.
    fn coefficient(&mut self) -> Option<()> {
        let start = self.at;
        while self.peek().is_ascii_digit() {
            self.at += 1;
        }
        if self.at > start {
            let sound = self.text[start] != b'0' && self.at - start <= 18;
            sound.then_some(())?;
            if self.peek() == b' ' {
                self.at += 1;
            }
        }
        Some(())
    }

    fn joint(&mut self) -> Option<Joint> {
        const JOINTS: [(&str, Joint); 6] = [
            (" + ", Joint::Plus),
            (" -> ", Joint::Arrow),
            (" = ", Joint::Arrow),
            (" → ", Joint::Arrow),
            (" <=> ", Joint::Arrow),
            (" ⇌ ", Joint::Arrow),
        ];
        if self.rest().is_empty() {
            return Some(Joint::End);
        }
        let here = |(text, _): &(&str, Joint)| self.rest().starts_with(text.as_bytes());
        let (text, joint) = JOINTS.into_iter().find(here)?;
        self.at += text.len();
        Some(joint)
    }

    /// Reads one species and gives its charge.
    fn species(&mut self) -> Option<i64> {
        if self.rest().starts_with(b"e^-") {
            self.at += 3;
            return self.ended().then_some(-1);
        }
        let first = self.filled;
        self.items()?;
        let mut parts = 1;
        while self.rest().starts_with("·".as_bytes()) {
            self.at += "·".len();
            let times = if self.peek().is_ascii_digit() {
                self.count()?
            } else {
                1
            };
            let start = self.filled;
            self.items()?;
            self.multiply(start, times)?;
            parts += 1;
        }
        if self.filled == first {
            return None;
        }
        let charge = if self.peek() == b'^' && parts == 1 {
            self.charge()?
        } else {
            0
        };
        for phase in [&b"(s)"[..], b"(l)", b"(g)", b"(aq)"] {
            if self.rest().starts_with(phase) {
                self.at += phase.len();
                break;
            }
        }
        self.ended().then_some(charge)
    }

    fn ended(&self) -> bool {
        matches!(self.peek(), 0 | b' ')
    }

    /// Atoms and groups up to whatever else follows.
    fn items(&mut self) -> Option<()> {
        let mut open = [(0u8, 0usize); 8];
        let mut depth = 0;
        let first = self.at;
        loop {
            match self.peek() {
                letter @ b'A'..=b'Z' => self.atom(letter)?,
                b'(' if self
                    .text
                    .get(self.at + 1)
                    .is_some_and(u8::is_ascii_lowercase) =>
                {
                    break;
                }
                bracket @ (b'(' | b'[') => {
                    *open.get_mut(depth)? = (bracket, self.filled);
                    depth += 1;
                    self.at += 1;
                }
                bracket @ (b')' | b']') if depth > 0 => {
                    depth -= 1;
                    let (opened, start) = open[depth];
                    if (opened == b'(') != (bracket == b')') || start == self.filled {
                        return None;
                    }
                    self.at += 1;
                    let times = if self.peek().is_ascii_digit() {
                        self.count()?
                    } else {
                        1
                    };
                    self.multiply(start, times)?;
                }
                _ => break,
            }
        }
        (depth == 0 && self.at > first).then_some(())
    }

    fn atom(&mut self, first: u8) -> Option<()> {
        self.at += 1;
        let second = self.peek();
        let element = if second.is_ascii_lowercase() {
            self.at += 1;
            Element::of_letters(first, second)?
        } else {
            Element::of_letters(first, 0)?
        };
        let count = if self.peek().is_ascii_digit() {
            self.count()?
        } else {
            1
        };
        *self.atoms.get_mut(self.filled)? = (element.index() as u8, count);
        self.filled += 1;
        Some(())
    }

    /// A count as it is printed: without leading zeros, and not 1.
    fn count(&mut self) -> Option<i64> {
        let mut value = 0;
        let start = self.at;
        while self.peek().is_ascii_digit() {
            value = value * 10 + i64::from(self.peek() - b'0');
            self.at += 1;
            if self.at - start > 6 {
                return None;
            }
        }
        (value > 1 && self.text[start] != b'0').then_some(value)
    }

    /// `^2-`, `^+`
    fn charge(&mut self) -> Option<i64> {
        self.at += 1;
        let size = match self.peek() {
            digit @ b'2'..=b'9' => {
                self.at += 1;
                i64::from(digit - b'0')
            }
            _ => 1,
        };
        let sign = match self.peek() {
            b'+' => 1,
            b'-' => -1,
            _ => return None,
        };
        self.at += 1;
        Some(sign * size)
    }

    fn multiply(&mut self, start: usize, times: i64) -> Option<()> {
        for (_, count) in &mut self.atoms[start..self.filled] {
            *count *= times;
            if *count > MOST {
                return None;
            }
        }
        Some(())
    }
}

/// What the species are made of.
struct Composed<'r> {
    atoms: &'r [(u8, i64); ATOMS],
    /// Where the atoms of each species end.
    ends: &'r [usize; WIDTH],
    charges: &'r [i64; WIDTH],
}

impl Composed<'_> {
    fn of(&self, species: usize) -> &[(u8, i64)] {
        let start = if species == 0 {
            0
        } else {
            self.ends[species - 1]
        };
        &self.atoms[start..self.ends[species]]
    }

    fn matrix(&self, left: usize, width: usize) -> Option<Small> {
        let mut small = Small {
            rows: [[0; WIDTH]; WIDTH],
            height: 0,
            width,
        };
        let mut row_of = [0u8; 121];
        let mut row = |small: &mut Small, what: usize| -> Option<usize> {
            if row_of[what] == 0 {
                if small.height == WIDTH {
                    return None;
                }
                small.height += 1;
                row_of[what] = small.height as u8;
            }
            Some(usize::from(row_of[what]) - 1)
        };
        for column in 0..width {
            let sign = if column < left { 1 } else { -1 };
            for (element, count) in self.of(column) {
                let at = row(&mut small, usize::from(*element))?;
                small.rows[at][column] += sign * count;
            }
            if self.charges[column] != 0 {
                let at = row(&mut small, 120)?;
                small.rows[at][column] = sign * self.charges[column];
            }
        }
        Some(small)
    }

    /// Counts atoms and charge by the coefficients found, without the matrix.
    fn count_agrees(&self, found: &Quick<'_>) -> bool {
        let mut totals = [0i128; 121];
        for column in 0..found.all {
            let sign = if column < found.left { 1 } else { -1 };
            let n = sign * i128::from(found.species[column].1);
            for (element, count) in self.of(column) {
                totals[usize::from(*element)] += n * i128::from(*count);
            }
            totals[120] += n * i128::from(self.charges[column]);
        }
        totals.iter().all(|total| *total == 0)
    }
}

/// A small matrix.
struct Small {
    rows: [[i64; WIDTH]; WIDTH],
    height: usize,
    width: usize,
}

impl Small {
    /// The positive vector of a nullspace of dimension one, in lowest terms, by fraction-free elimination. `None` if there
    /// is another nullspace, a coefficient that is not positive, or an overflow.
    fn only_balance(mut self) -> Option<[i64; WIDTH]> {
        let mut pivots = [0; WIDTH];
        let (mut rank, mut free, mut last) = (0, None, 1i64);
        for column in 0..self.width {
            let Some(found) = (rank..self.height).find(|row| self.rows[*row][column] != 0) else {
                if free.replace(column).is_some() {
                    return None;
                }
                continue;
            };
            self.rows.swap(rank, found);
            self.clear(rank, column, last)?;
            last = self.rows[rank][column];
            pivots[rank] = column;
            rank += 1;
        }
        let mut vector = self.solved(&pivots[..rank], free?, last)?;
        let used = &mut vector[..self.width];
        let common = used.iter().fold(0, |g: i64, n| g.gcd(n));
        let common = if last < 0 { -common } else { common };
        if common != 1 {
            used.iter_mut().for_each(|n| *n /= common);
        }
        used.iter().all(|n| *n > 0).then_some(vector)
    }

    /// The vector with the last pivot in the free column, from the last row up; by Cramer's rule it is whole.
    fn solved(&self, pivots: &[usize], free: usize, last: i64) -> Option<[i64; WIDTH]> {
        let mut vector = [0; WIDTH];
        vector[free] = last;
        for (row, pivot) in pivots.iter().enumerate().rev() {
            let row = &self.rows[row];
            let mut rest = 0i64;
            for at in pivot + 1..self.width {
                rest = rest.checked_sub(row[at].checked_mul(vector[at])?)?;
            }
            vector[*pivot] = rest / row[*pivot];
        }
        Some(vector)
    }

    /// Makes a column zero in the rows below the pivot's; every division by the pivot before it is exact.
    fn clear(&mut self, rank: usize, column: usize, last: i64) -> Option<()> {
        let pivot_row = self.rows[rank];
        let pivot = pivot_row[column];
        for index in rank + 1..self.height {
            let row = &mut self.rows[index];
            let factor = row[column];
            // Nothing to take out, and nothing to scale by.
            if factor == 0 && pivot == last {
                continue;
            }
            for at in column..self.width {
                let kept = pivot.checked_mul(row[at])?;
                let taken = factor.checked_mul(pivot_row[at])?;
                let difference = kept.checked_sub(taken)?;
                // Division is slow, and by one it is most of them.
                row[at] = if last == 1 {
                    difference
                } else {
                    difference / last
                };
            }
        }
        Some(())
    }
}
