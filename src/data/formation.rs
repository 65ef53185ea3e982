//! Rows of the two tables of formation data.

use std::fmt::{self, Display, Formatter};

use super::{FORMATION, FORMATION_MORE, Row, Table};

/// Which of the four standard quantities.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Property {
    /// Enthalpy of formation, kJ/mol.
    FormationEnthalpy,
    /// Gibbs energy of formation, kJ/mol.
    FormationGibbs,
    /// Entropy, J/(mol·K).
    Entropy,
    /// Heat capacity at constant pressure, J/(mol·K).
    HeatCapacity,
}

impl Display for Property {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        to.write_str(match self {
            Property::FormationEnthalpy => "enthalpy of formation",
            Property::FormationGibbs => "Gibbs energy of formation",
            Property::Entropy => "entropy",
            Property::HeatCapacity => "heat capacity",
        })
    }
}

impl Property {
    /// All four.
    pub const ALL: [Property; 4] = [
        Property::FormationEnthalpy,
        Property::FormationGibbs,
        Property::Entropy,
        Property::HeatCapacity,
    ];

    /// The columns of the value and of its source.
    fn columns(self) -> (&'static str, &'static str) {
        match self {
            Property::FormationEnthalpy => ("dfH_kJ_mol", "dfH_source"),
            Property::FormationGibbs => ("dfG_kJ_mol", "dfG_source"),
            Property::Entropy => ("S_J_mol_K", "S_source"),
            Property::HeatCapacity => ("Cp_J_mol_K", "Cp_source"),
        }
    }

    /// The columns of a newer evaluated value and of its uncertainty, where the tables have any.
    fn reference_columns(self) -> Option<(&'static str, &'static str)> {
        match self {
            Property::FormationEnthalpy => {
                Some(("reference_dfH_kJ_mol", "reference_dfH_uncertainty_kJ_mol"))
            }
            Property::Entropy => Some(("reference_S_J_mol_K", "reference_S_uncertainty_J_mol_K")),
            Property::FormationGibbs | Property::HeatCapacity => None,
        }
    }
}

/// A published number as it is printed, with the code of its source.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Figure {
    /// Its digits, in the unit of its column.
    pub digits: &'static str,
    /// A code of `sources.csv`.
    pub source: &'static str,
}

/// A newer evaluated value beside the one used: for comparison and for an estimate of uncertainty.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Reference {
    /// The evaluated value.
    pub value: Figure,
    /// Its published uncertainty, about two standard deviations; may be empty.
    pub uncertainty: &'static str,
}

/// Standard data of one substance in one phase and form.
#[derive(Clone, Copy)]
pub struct Formation(Row);

impl Formation {
    /// The rows of a spelling: of the first table if it has any, else of the second.
    ///
    /// ```
    /// use aludel::data::{Formation, Property};
    /// let water = Formation::of("H2O").find(|row| row.phase() == "l").unwrap();
    /// assert_eq!(water.figure(Property::FormationEnthalpy).unwrap().digits, "-285.830");
    /// ```
    pub fn of(key: &str) -> impl Iterator<Item = Formation> {
        let second = match FORMATION.find(key).next() {
            Some(_) => "",
            None => key,
        };
        let more = (!second.is_empty()).then(|| FORMATION_MORE.find(second));
        FORMATION
            .find(key)
            .chain(more.into_iter().flatten())
            .map(Formation)
    }

    /// Every row of both tables, the first table first.
    pub fn all() -> impl Iterator<Item = Formation> {
        FORMATION.rows().chain(FORMATION_MORE.rows()).map(Formation)
    }

    /// The formula without phase: `[Al(OH)4]^-`.
    pub fn formula(&self) -> &'static str {
        self.0.cell("formula")
    }

    /// `s`, `l`, `g` or `aq`.
    pub fn phase(&self) -> &'static str {
        self.0.cell("phase")
    }

    /// The crystal or other form: `calcite`, `white`, `undissociated`; may be empty.
    pub fn form(&self) -> &'static str {
        self.0.cell("form")
    }

    /// The name, may be empty.
    pub fn name(&self) -> &'static str {
        self.0.cell("name")
    }

    /// The CAS number, may be empty.
    pub fn cas(&self) -> &'static str {
        self.0.cell("cas")
    }

    /// Another spelling of the formula.
    pub fn alternative(&self) -> Option<&'static str> {
        self.0.filled("alternatives")
    }

    /// What the reader of the source must know; may be empty.
    pub fn note(&self) -> &'static str {
        self.0.cell("note")
    }

    /// Whether it is the form meant where none is named.
    pub fn is_default(&self) -> bool {
        self.0.cell("default") == "y"
    }

    /// A dissolved molecule or ion pair, as against the ions of the dissolved salt.
    pub fn is_undissociated(&self) -> bool {
        self.form() == "undissociated"
    }

    /// The molar mass that was printed, g/mol: only for narrowing a search.
    pub fn printed_molar_mass(&self) -> Option<f64> {
        self.0.float("molar_mass_g_mol")
    }

    /// The published value of `property`.
    pub fn figure(&self, property: Property) -> Option<Figure> {
        let (value, source) = property.columns();
        Some(Figure {
            digits: self.0.filled(value)?,
            source: self.0.cell(source),
        })
    }

    /// A newer evaluated value of `property`.
    pub fn reference(&self, property: Property) -> Option<Reference> {
        let (value, uncertainty) = property.reference_columns()?;
        Some(Reference {
            value: Figure {
                digits: self.0.filled(value)?,
                source: self.0.cell("reference_source"),
            },
            uncertainty: self.0.cell(uncertainty),
        })
    }

    /// A number that no other row of both tables has.
    pub fn id(&self) -> u32 {
        let second = std::ptr::eq::<Table>(self.0.table(), &FORMATION_MORE);
        2 * self.0.number() + u32::from(second)
    }
}

impl Formation {
    /// The row of a number given by [`Formation::id`].
    pub fn of_id(id: u32) -> Option<Formation> {
        let table = if id % 2 == 1 {
            &FORMATION_MORE
        } else {
            &FORMATION
        };
        table.row(id / 2).map(Formation)
    }
}
