//! A substance at a strength into its hazard statements, in the words of the rows.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::Row;
use crate::equation::identity;
use crate::matter::Species;

use super::group::book;
use super::tables::{ADVICE, GHS, STATEMENTS};

/// In what form a substance is at hand.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Form {
    /// As sold: the pure solid or liquid.
    Pure,
    /// A gas.
    Gas,
    /// Dissolved in water; the strength is asked for beside it.
    Solution,
}

/// One hazard statement that holds.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Hazard {
    /// `H314`, `EUH031`.
    pub code: &'static str,
    /// The regulatory text.
    pub text: &'static str,
    /// The same in plain words.
    pub consequence: &'static str,
    /// `Danger`, `Warning` or empty.
    pub signal_word: &'static str,
    /// What to do about it; empty where the table has no advice for the code.
    pub measure: &'static str,
    /// Where the classification comes from.
    pub source: &'static str,
    /// How: harmonised entry, computed band, or supplier practice from memory.
    pub basis: &'static str,
}

/// What the tables say of a substance.
#[derive(Clone, Debug, PartialEq)]
pub enum Cautions {
    /// No row. Never to be shown as "safe".
    NothingFound,
    /// A row without a class at this strength, which is not the same as harmless.
    NoClass {
        /// Where the row comes from.
        source: &'static str,
    },
    /// Statements that hold.
    Found {
        /// The statements in the order of the row.
        hazards: Vec<Hazard>,
        /// The rows speak of the salt with other crystal water, or with none.
        other_water: bool,
        /// No row for this strength or form: the statements are those of the substance as sold.
        as_sold: bool,
        /// Every row is of a powder: a piece of the same metal is far tamer.
        of_powder: bool,
    },
}

/// The cautions for a substance in a form, at a strength in per cent by mass where it is a solution.
///
/// ```
/// use aludel::{hazard::{cautions_for, Cautions, Form}, matter::Species};
/// let Cautions::Found { hazards, .. } = cautions_for(&Species::parse("HCl").unwrap(), Form::Solution, Some(30.0)) else { panic!() };
/// assert!(hazards.iter().any(|hazard| hazard.code == "H314"));
/// ```
pub fn cautions_for(species: &Species, form: Form, mass_percent: Option<f64>) -> Cautions {
    let identity = identity(species);
    let key = identity.key();
    match of_key(key, form, mass_percent, false) {
        Cautions::NothingFound => same_salt(key).map_or(Cautions::NothingFound, |row| {
            of_key(row.cell("formula"), form, mass_percent, true)
        }),
        found => found,
    }
}

/// The row of a salt with other crystal water, that without any first.
pub(super) fn same_salt(key: &str) -> Option<Row> {
    static BY_SALT: LazyLock<FxHashMap<&str, Row>> = LazyLock::new(|| {
        let mut all = FxHashMap::default();
        for row in GHS.rows() {
            all.entry(without_water(row.cell("formula"))).or_insert(row);
        }
        all
    });
    let salt = without_water(key);
    let dry = GHS.find(salt).next();
    dry.or_else(|| BY_SALT.get(salt).copied())
}

pub(super) fn without_water(key: &str) -> &str {
    key.split_once('·').map_or(key, |(salt, _)| salt)
}

fn of_key(key: &str, form: Form, mass_percent: Option<f64>, other_water: bool) -> Cautions {
    let exact: Vec<Row> = GHS
        .find(key)
        .filter(|row| fits(*row, form, mass_percent))
        .collect();
    let as_sold = exact.is_empty();
    let rows = if as_sold {
        GHS.find(key).filter(|row| !banded(*row)).collect()
    } else {
        exact
    };
    let Some(first) = rows.first() else {
        return Cautions::NothingFound;
    };
    let mut hazards: Vec<Hazard> = Vec::new();
    for hazard in rows.iter().flat_map(|row| statements(*row)) {
        if !hazards.iter().any(|other| other.code == hazard.code) {
            hazards.push(hazard);
        }
    }
    if hazards.is_empty() {
        return Cautions::NoClass {
            source: first.cell("source"),
        };
    }
    Cautions::Found {
        hazards,
        other_water,
        as_sold,
        of_powder: rows.iter().all(|row| row.cell("form") == "powder"),
    }
}

pub(super) fn banded(row: Row) -> bool {
    row.filled("conc_min_pct").is_some() || row.filled("conc_max_pct").is_some()
}

/// The lower bound of a band is in it, the upper is not.
fn fits(row: Row, form: Form, mass_percent: Option<f64>) -> bool {
    let sold_as = row.cell("form");
    match (form, mass_percent) {
        (Form::Pure, _) => !banded(row) && sold_as != "solution" && sold_as != "gas",
        (Form::Gas, _) => sold_as == "gas",
        (Form::Solution, None) => false,
        (Form::Solution, Some(percent)) => {
            let low = row.float("conc_min_pct").unwrap_or(0.0);
            let high = row.float("conc_max_pct").unwrap_or(f64::INFINITY);
            sold_as == "solution" && banded(row) && low <= percent && percent < high
        }
    }
}

fn statements(row: Row) -> impl Iterator<Item = Hazard> {
    let codes = row.cell("h_codes").split_whitespace();
    codes
        .chain(row.cell("euh_codes").split_whitespace())
        .map(move |code| {
            statement(
                code,
                row.cell("signal_word"),
                row.cell("source"),
                row.cell("basis"),
            )
        })
}

/// A measure that a substance calls for by itself, whatever its statements say.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Special {
    /// What the row is called: `hydrofluoric_acid`.
    pub class: &'static str,
    /// What to do.
    pub measure: &'static str,
    /// Where the row comes from.
    pub source: &'static str,
}

/// The measures for a substance by itself; most have none.
///
/// ```
/// use aludel::{hazard::special_measures, matter::Species};
/// let told = special_measures(&Species::parse("HF").unwrap());
/// assert!(told[0].measure.contains("calcium gluconate"));
/// assert!(special_measures(&Species::parse("HCl").unwrap()).is_empty());
/// ```
pub fn special_measures(species: &Species) -> Vec<Special> {
    let groups = book().of(species);
    let identity = identity(species);
    let spelled = [species.plain(), identity.key()];
    let for_it = |trigger: &str| match trigger.split_once(':') {
        Some(("formula", formula)) => spelled.contains(&formula),
        Some(("group", group)) => book().id(group).is_some_and(|group| groups.contains(group)),
        _ => false,
    };
    let rows = ADVICE.rows();
    let rows = rows.filter(|row| row.cell("trigger_codes").split_whitespace().any(for_it));
    rows.map(|row| Special {
        class: row.cell("advice_class"),
        measure: row.cell("what_we_show"),
        source: row.cell("source"),
    })
    .collect()
}

/// A code with its words and what to do about it.
pub(super) fn statement(
    code: &'static str,
    signal_word: &'static str,
    source: &'static str,
    basis: &'static str,
) -> Hazard {
    let statement = STATEMENTS.find(code).next();
    let words = |column| statement.map_or("", |statement| statement.cell(column));
    let advice = ADVICE.rows().find(|advice| {
        let triggers = advice.cell("trigger_codes");
        triggers.split_whitespace().any(|trigger| trigger == code)
    });
    Hazard {
        code,
        text: words("short_text"),
        consequence: words("plain_consequence"),
        signal_word,
        measure: advice.map_or("", |advice| advice.cell("what_we_show")),
        source,
        basis,
    }
}
