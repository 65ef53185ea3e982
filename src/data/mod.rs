//! The embedded tables with their sources, and the user's data on top.
//!
//! A table is a CSV file: `#` lines that say what it is, one line of column names with the unit in the name, one row a
//! fact, the source in the row. `build.rs` reads it and puts its rows in order; cells stay text until somebody asks for a
//! number, so a look-up costs a binary search and a command that needs no data pays nothing. [`docs/sources.md`](https://docs.rs/aludel) lists the publications.
//!
//! Promises: every row of every table can be read, names its source, and agrees with the composition of its formula
//! (`tests/data.rs` reads them all).
//!
//! Knows nothing of models, species or what a value is good for.

mod formation;
mod letters;
mod memo;
mod names;
mod source;
mod spelling;
mod store;
mod table;

pub use formation::{Figure, Formation, Property, Reference};
pub use letters::elements_named;
pub use memo::{Memo, StoreMemo};
pub use names::{formulas_named, hydrates_of, named, named_salt, near_formulas, near_names};
pub use source::{
    How, OutOfRange, Publication, Range, RangeOf, Source, Sourced, code_of, publication,
};
pub use spelling::{as_listed, formula_spelled, formulas_of_same_elements, is_listed};
pub use store::{Own, Store};
pub use table::{Encoded, Row, Table};

/// Declares the tables of a list with their docs, and the list.
macro_rules! tables {
    ($(#[$all_doc:meta])* $all:ident: $($(#[$doc:meta])* $name:ident = $file:literal;)*) => {
        $($(#[$doc])* pub static $name: Table =
            Table::new($file, include!(concat!(env!("OUT_DIR"), "/", $file, ".rs")));)*
        $(#[$all_doc])*
        pub static $all: &[&Table] = &[$(&$name),*];
    };
}
pub(crate) use tables;

tables! {
    /// What textbooks say of elements and ions; their sources are in the heads of the files.
    TEXTBOOK_TABLES:
    /// Ions that salts, acids and bases dissociate into.
    IONS = "ions.csv";
    /// What a substance is in water, where its ions do not tell.
    IN_WATER = "in_water.csv";
    /// Which salts dissolve.
    SOLUBILITY_RULES = "solubility_rules.csv";
    /// Electronegativity and oxidation numbers of the elements.
    OXIDATION = "oxidation.csv";
    /// Formulas that are written in several ways.
    SPELLING = "spelling.csv";
}

tables! {
    /// Every table of measured data.
    TABLES:
    /// Publications by code.
    SOURCES = "sources.csv";
    /// Atomic weights.
    ELEMENTS = "elements.csv";
    /// Standard formation data.
    FORMATION = "formation.csv";
    /// Further formation data, asked when [`FORMATION`] has nothing.
    FORMATION_MORE = "formation_more.csv";
    /// Heat capacity against temperature.
    HEAT_CAPACITY = "heat_capacity.csv";
    /// Standard electrode potentials.
    POTENTIAL = "potential.csv";
    /// Density of aqueous solutions by mass fraction.
    DENSITY = "density.csv";
    /// Coefficients for density and heat capacity of aqueous solutions.
    LALIBERTE = "laliberte.csv";
    /// Heat capacity of concentrated acids.
    SOLUTION_CAPACITY = "solution_capacity.csv";
    /// Heat of solution against dilution.
    DILUTION = "dilution.csv";
    /// Solubility against temperature.
    SOLUBILITY = "solubility.csv";
    /// The solid that stands with a saturated solution.
    SOLID_PHASE = "solid_phase.csv";
    /// Water and ice.
    WATER = "water.csv";
    /// Henry's law constants.
    GAS_SOLUBILITY = "gas_solubility.csv";
    /// Ion interaction of cations with anions.
    ION_INTERACTION = "ion_interaction.csv";
    /// Ion interaction in mixtures.
    ION_MIXING = "ion_mixing.csv";
    /// Specific ion interaction coefficients.
    SPECIFIC_INTERACTION = "specific_interaction.csv";
    /// Slope of the Debye-Hückel law.
    DEBYE_HUECKEL = "debye_hueckel.csv";
    /// Measured freezing points, boiling points and activities of water.
    SOLUTION_POINTS = "solution_points.csv";
    /// Eutectic points with ice.
    EUTECTIC = "eutectic.csv";
    /// Vapour over water with one volatile solute.
    VAPOUR_MODEL = "vapour_model.csv";
    /// Constant-boiling mixtures with water.
    AZEOTROPE = "azeotrope.csv";
    /// What must not be concentrated by boiling.
    NO_BOIL_DOWN = "no_boil_down.csv";
    /// Liquor held by filtered solids.
    RETAINED = "retained.csv";
    /// How solids pack on a filter.
    PRECIPITATE = "precipitate.csv";
    /// Ratios of products that were observed where a balance leaves them open.
    PRODUCT_RATIOS = "product_ratios.csv";
    /// Solubility products.
    SOLUBILITY_PRODUCT = "solubility_product.csv";
    /// Usual bottles: strength and density.
    BOTTLE = "bottle.csv";
}
