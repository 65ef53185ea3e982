//! The chemical elements and the two named isotopes of hydrogen.

use std::sync::LazyLock;

use crate::data::{self, ELEMENTS};
use crate::number::Exact;

/// A chemical element by atomic number, or deuterium or tritium, which balance apart from hydrogen.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct Element(u8);

/// The symbols in the order of atomic numbers, then D and T (IUPAC Red Book 2005, table I and IR-3.3.2).
const SYMBOLS: [&str; 120] = [
    "H", "He", "Li", "Be", "B", "C", "N", "O", "F", "Ne", "Na", "Mg", "Al", "Si", "P", "S", "Cl",
    "Ar", "K", "Ca", "Sc", "Ti", "V", "Cr", "Mn", "Fe", "Co", "Ni", "Cu", "Zn", "Ga", "Ge", "As",
    "Se", "Br", "Kr", "Rb", "Sr", "Y", "Zr", "Nb", "Mo", "Tc", "Ru", "Rh", "Pd", "Ag", "Cd", "In",
    "Sn", "Sb", "Te", "I", "Xe", "Cs", "Ba", "La", "Ce", "Pr", "Nd", "Pm", "Sm", "Eu", "Gd", "Tb",
    "Dy", "Ho", "Er", "Tm", "Yb", "Lu", "Hf", "Ta", "W", "Re", "Os", "Ir", "Pt", "Au", "Hg", "Tl",
    "Pb", "Bi", "Po", "At", "Rn", "Fr", "Ra", "Ac", "Th", "Pa", "U", "Np", "Pu", "Am", "Cm", "Bk",
    "Cf", "Es", "Fm", "Md", "No", "Lr", "Rf", "Db", "Sg", "Bh", "Hs", "Mt", "Ds", "Rg", "Cn", "Nh",
    "Fl", "Mc", "Lv", "Ts", "Og", "D", "T",
];

impl Element {
    /// Hydrogen.
    pub const H: Element = Element(1);
    /// Carbon.
    pub const C: Element = Element(6);
    /// Oxygen.
    pub const O: Element = Element(8);
    /// Sulfur.
    pub const S: Element = Element(16);
    /// Deuterium.
    pub const D: Element = Element(119);
    /// Tritium.
    pub const T: Element = Element(120);

    /// The element of a symbol, in the right letter case.
    ///
    /// ```
    /// use aludel::matter::Element;
    /// assert_eq!(Element::of_symbol("Fe").map(Element::atomic_number), Some(26));
    /// assert_eq!(Element::of_symbol("FE"), None);
    /// ```
    pub fn of_symbol(symbol: &str) -> Option<Element> {
        match *symbol.as_bytes() {
            [first @ b'A'..=b'Z'] => Element::of_letters(first, 0),
            [first @ b'A'..=b'Z', second @ b'a'..=b'z'] => Element::of_letters(first, second),
            _ => None,
        }
    }

    /// The element of a capital and a small letter, 0 for none.
    pub(crate) fn of_letters(first: u8, second: u8) -> Option<Element> {
        static BY_LETTERS: LazyLock<[[u8; 27]; 26]> = LazyLock::new(|| {
            let mut table = [[0; 27]; 26];
            for (index, symbol) in SYMBOLS.iter().enumerate() {
                let letters = symbol.as_bytes();
                let second = letters.get(1).map_or(0, |b| b - b'a' + 1);
                table[usize::from(letters[0] - b'A')][usize::from(second)] = index as u8 + 1;
            }
            table
        });
        let row = BY_LETTERS.get(usize::from(first.wrapping_sub(b'A')))?;
        let second = if second == 0 {
            0
        } else {
            second.wrapping_sub(b'a').wrapping_add(1)
        };
        match row.get(usize::from(second))? {
            0 => None,
            number => Some(Element(*number)),
        }
    }

    /// The symbol.
    pub fn symbol(self) -> &'static str {
        SYMBOLS[usize::from(self.0) - 1]
    }

    /// The atomic number; 1 for deuterium and tritium.
    pub fn atomic_number(self) -> u8 {
        if self.0 > 118 { 1 } else { self.0 }
    }

    /// A dense index from 0, different for each element and for D and T.
    pub fn index(self) -> usize {
        usize::from(self.0) - 1
    }

    /// The name, IUPAC spelling.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// The molar mass in g/mol (CIAAW 2021; D and T after AME2020).
    pub fn molar_mass(self) -> &'static Exact {
        &self.row().weight
    }

    /// The published uncertainty of [`Element::molar_mass`] in g/mol; `None` for an element without a standard weight.
    pub fn molar_mass_uncertainty(self) -> Option<f64> {
        self.row().uncertainty
    }

    /// Whether it is a metal by the usual line of the textbooks; metalloids count as non-metals.
    pub fn is_metal(self) -> bool {
        !matches!(self.0, 1 | 2 | 5..=10 | 14..=18 | 32..=36 | 51..=54 | 85 | 86 | 117..=120)
    }

    fn row(self) -> &'static Row {
        static ROWS: LazyLock<Vec<Row>> =
            LazyLock::new(|| ELEMENTS.rows().filter_map(Row::read).collect());
        &ROWS[self.index()]
    }
}

/// One line of the table of atomic weights.
struct Row {
    name: &'static str,
    weight: Exact,
    uncertainty: Option<f64>,
}

impl Row {
    fn read(row: data::Row) -> Option<Row> {
        Some(Row {
            name: row.cell("name"),
            weight: Exact::decimal(row.cell("weight")).ok()?,
            uncertainty: row.float("uncertainty"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_symbol_finds_its_element_and_its_row() {
        for (index, symbol) in SYMBOLS.iter().enumerate() {
            let element = Element::of_symbol(symbol).unwrap();
            assert_eq!(element.index(), index);
            assert!(element.molar_mass().is_positive());
        }
    }

    /// CIAAW, Standard atomic weights 2021 (Pure Appl. Chem. 94 (2022) 573), abridged values.
    #[test]
    fn weights_are_those_of_the_ciaaw() {
        for (symbol, weight) in [
            ("H", "1.0080"),
            ("O", "15.999"),
            ("Al", "26.9815384"),
            ("S", "32.06"),
            ("K", "39.0983"),
            ("Fe", "55.845"),
            ("Cu", "63.546"),
            ("Pb", "207.2"),
        ] {
            let element = Element::of_symbol(symbol).unwrap();
            assert_eq!(
                element.molar_mass(),
                &Exact::decimal(weight).unwrap(),
                "{symbol}"
            );
        }
    }
}
