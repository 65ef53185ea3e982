//! A formula with its charge and, where it is known, its phase.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::{Arc, OnceLock};

use crate::number::Exact;

use super::{Composition, Element, Formula, FormulaFault, Notation, print, read};

/// Solid, liquid, gas or dissolved in water (IUPAC Green Book, 3rd ed., 2.10.1).
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Phase {
    /// `(s)`
    Solid,
    /// `(l)`
    Liquid,
    /// `(g)`
    Gas,
    /// `(aq)`
    Aqueous,
}

impl Phase {
    /// `s`, `l`, `g` or `aq`.
    pub fn symbol(self) -> &'static str {
        match self {
            Phase::Solid => "s",
            Phase::Liquid => "l",
            Phase::Gas => "g",
            Phase::Aqueous => "aq",
        }
    }

    /// The phase of its symbol.
    pub fn of_symbol(symbol: &str) -> Option<Phase> {
        Some(match symbol {
            "s" => Phase::Solid,
            "l" => Phase::Liquid,
            "g" => Phase::Gas,
            "aq" => Phase::Aqueous,
            _ => return None,
        })
    }
}

/// A formula, a charge and perhaps a phase; cheap to copy.
///
/// Two species are equal when their plain text is: `Al(OH)3` and `AlO3H3` are different species of one composition.
///
/// ```
/// use aludel::matter::Species;
/// let ion = Species::parse("SO₄²⁻").unwrap();
/// assert_eq!(ion.plain(), "SO4^2-");
/// assert_eq!(ion.charge(), -2);
/// assert_eq!(ion, Species::parse("SO4^2-").unwrap());
/// ```
#[derive(Clone)]
pub struct Species(Arc<Inner>);

struct Inner {
    formula: Formula,
    charge: i64,
    phase: Option<Phase>,
    composition: Composition,
    /// Reckoned when first asked for: most species are only counted.
    molar_mass: OnceLock<Exact>,
    /// The same without its phase, which tables are asked by.
    bare: OnceLock<Species>,
    plain: Box<str>,
}

impl Species {
    /// Reads one species and nothing else.
    pub fn parse(text: &str) -> Result<Species, FormulaFault> {
        read::parse_species(text)
    }

    /// From its pieces; `None` where an atom count exceeds 64 bits.
    pub fn new(formula: Formula, charge: i64, phase: Option<Phase>) -> Option<Species> {
        let composition = formula.composition()?;
        let plain = print::species(&formula, charge, phase, Notation::Plain).into();
        Some(Species(Arc::new(Inner {
            molar_mass: OnceLock::new(),
            bare: OnceLock::new(),
            formula,
            charge,
            phase,
            composition,
            plain,
        })))
    }

    /// The electron.
    pub fn electron() -> Species {
        Species::new(Formula { parts: Vec::new() }, -1, None)
            .expect("an electron has no atoms to count")
    }

    /// Whether it is the electron.
    pub fn is_electron(&self) -> bool {
        self.0.formula.parts.is_empty()
    }

    /// The formula as it was written.
    pub fn formula(&self) -> &Formula {
        &self.0.formula
    }

    /// The charge number.
    pub fn charge(&self) -> i64 {
        self.0.charge
    }

    /// The phase, if one is stated.
    pub fn phase(&self) -> Option<Phase> {
        self.0.phase
    }

    /// The same species in another phase.
    pub fn with_phase(&self, phase: Option<Phase>) -> Species {
        if phase == self.0.phase {
            return self.clone();
        }
        match phase {
            Some(_) => self.rephased(phase),
            None => self.0.bare.get_or_init(|| self.rephased(None)).clone(),
        }
    }

    fn rephased(&self, phase: Option<Phase>) -> Species {
        Species::new(self.0.formula.clone(), self.0.charge, phase)
            .expect("the same formula was counted before")
    }

    /// What it is made of.
    pub fn composition(&self) -> &Composition {
        &self.0.composition
    }

    /// Whether it holds atoms of `element`.
    pub fn contains(&self, element: Element) -> bool {
        self.0.composition.atoms.iter().any(|(e, _)| *e == element)
    }

    /// In g/mol; the mass of missing or surplus electrons is below the digits of the atomic weights and left out.
    pub fn molar_mass(&self) -> &Exact {
        let reckoned = || self.0.composition.molar_mass();
        self.0.molar_mass.get_or_init(reckoned)
    }

    /// The plain text, with charge and phase: `[Al(OH)4]^-(aq)`. It reads back as the same species.
    pub fn plain(&self) -> &str {
        &self.0.plain
    }

    /// The plain text without the phase: the key of most tables.
    pub fn key(&self) -> &str {
        let suffix = self.0.phase.map_or(0, |phase| phase.symbol().len() + 2);
        &self.0.plain[..self.0.plain.len() - suffix]
    }

    /// As text in `notation`.
    pub fn to_text(&self, notation: Notation) -> String {
        print::species(&self.0.formula, self.0.charge, self.0.phase, notation)
    }
}

impl fmt::Debug for Species {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.plain())
    }
}

impl fmt::Display for Species {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.plain())
    }
}

impl PartialEq for Species {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) || self.plain() == other.plain()
    }
}

impl Eq for Species {}

impl Hash for Species {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.plain().hash(state);
    }
}

impl PartialOrd for Species {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Species {
    fn cmp(&self, other: &Self) -> Ordering {
        self.plain().cmp(other.plain())
    }
}
