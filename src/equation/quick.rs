//! The common case, quickly: plain ASCII formulas without coefficients, and one balance in machine integers.
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
}

/// Reads and balances an equation of the simple kind; counted again before it is given.
///
/// ```
/// use aludel::equation::quick;
/// let found = quick("Fe + Cl2 -> FeCl3").unwrap();
/// assert_eq!(found.left(), [("Fe", 2), ("Cl2", 3)]);
/// assert_eq!(quick("2 Fe + 3 Cl2 -> 2 FeCl3"), None);
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
        let start = reader.at;
        charges[found.all] = reader.species()?;
        ends[found.all] = reader.filled;
        let formula = &text[start..reader.at];
        if found.species[..found.all]
            .iter()
            .any(|(known, _)| *known == formula)
        {
            return None;
        }
        found.species[found.all] = (formula, 0);
        found.all += 1;
        match reader.rest() {
            b"" => break,
            [b' ', b'+', b' ', ..] => reader.at += 3,
            [b' ', b'-', b'>', b' ', ..] if found.left == 0 => {
                found.left = found.all;
                reader.at += 4;
            }
            _ => return None,
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
    /// The positive vector of a kernel of dimension one, in lowest terms, by fraction-free elimination. `None` if there
    /// is another kernel, a coefficient that is not positive, or an overflow.
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
        let free = free?;
        let mut vector = [0; WIDTH];
        vector[free] = last;
        for row in 0..rank {
            vector[pivots[row]] = self.rows[row][free].checked_neg()?;
        }
        let used = &mut vector[..self.width];
        let common = used.iter().fold(0, |g: i64, n| g.gcd(n));
        let common = if last < 0 { -common } else { common };
        used.iter_mut().for_each(|n| *n /= common);
        used.iter().all(|n| *n > 0).then_some(vector)
    }

    /// Makes a column zero in all rows but the pivot's; every division by the pivot before it is exact.
    fn clear(&mut self, rank: usize, column: usize, last: i64) -> Option<()> {
        let pivot_row = self.rows[rank];
        let pivot = pivot_row[column];
        for index in (0..self.height).filter(|index| *index != rank) {
            let row = &mut self.rows[index];
            let factor = row[column];
            for at in 0..self.width {
                let kept = pivot.checked_mul(row[at])?;
                let taken = factor.checked_mul(pivot_row[at])?;
                row[at] = kept.checked_sub(taken)? / last;
            }
        }
        Some(())
    }
}
