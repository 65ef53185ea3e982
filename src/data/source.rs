//! Where a value comes from and how far it holds.

use std::borrow::Cow;
use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use super::{Row, SOURCES};
use crate::number::ZERO_CELSIUS;

/// How a value came into the tables.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum How {
    /// Seen in the publication or in an open copy of it.
    Read,
    /// From memory of the publication named, not seen again.
    Memory,
    /// Worked out from what is named.
    Computed,
    /// Given by the user.
    Given,
}

/// A publication, one line of `sources.csv`.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Publication {
    /// What the tables call it.
    pub code: &'static str,
    /// How its values came here.
    pub how: How,
    /// Authors, title, place, year.
    pub citation: &'static str,
    /// The open copy it was read in, or empty.
    pub access: &'static str,
}

/// Where one value comes from.
#[derive(Clone, Debug, Eq, Hash, PartialEq)]
pub struct Source {
    /// A code of `sources.csv`; `own` for the user's data.
    pub code: &'static str,
    /// What the row says besides, such as a caution; for the user's data their own words. May be empty.
    pub note: Cow<'static, str>,
}

impl Source {
    /// The code of the user's own data.
    pub const OWN: &'static str = "own";

    /// A published source with the note of its row.
    pub fn published(code: &'static str, note: &'static str) -> Self {
        Source {
            code,
            note: Cow::Borrowed(note),
        }
    }

    /// The user's data with what they say about it.
    pub fn own(words: impl Into<String>) -> Self {
        Source {
            code: Self::OWN,
            note: Cow::Owned(words.into()),
        }
    }

    /// Whether the user gave it.
    pub fn is_own(&self) -> bool {
        self.code == Self::OWN
    }

    /// The publication; `None` for a code that `sources.csv` lacks, which its test rules out.
    pub fn publication(&self) -> Option<Publication> {
        publication(self.code)
    }

    /// Authors, title, place and year, or the user's words for their own data.
    pub fn citation(&self) -> &str {
        if self.is_own() && !self.note.is_empty() {
            return &self.note;
        }
        self.publication().map_or(self.code, |found| found.citation)
    }
}

/// The publication of a code.
///
/// ```
/// use aludel::data::{self, How};
/// let nbs = data::publication("NBS1982").unwrap();
/// assert_eq!(nbs.how, How::Read);
/// assert!(nbs.citation.starts_with("D. D. Wagman"));
/// ```
pub fn publication(code: &str) -> Option<Publication> {
    /// Every figure of a route names its source, so they are read once.
    static ALL: LazyLock<FxHashMap<&str, Publication>> = LazyLock::new(|| {
        let all = SOURCES.rows().filter_map(read);
        all.map(|publication| (publication.code, publication))
            .collect()
    });
    ALL.get(code).copied()
}

fn read(row: Row) -> Option<Publication> {
    Some(Publication {
        code: row.cell("code"),
        how: match row.cell("how") {
            "read" => How::Read,
            "memory" => How::Memory,
            "computed" => How::Computed,
            "given" => How::Given,
            _ => return None,
        },
        citation: row.cell("citation"),
        access: row.cell("access"),
    })
}

/// The code of the publication that is cited so.
///
/// ```
/// use aludel::data;
/// let nbs = data::publication("NBS1982").unwrap();
/// assert_eq!(data::code_of(nbs.citation), Some("NBS1982"));
/// ```
pub fn code_of(citation: &str) -> Option<&'static str> {
    let mut rows = SOURCES.rows();
    rows.find(|row| row.cell("citation") == citation)
        .map(|row| row.cell("code"))
}

/// What a range is about.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum RangeOf {
    /// Temperature in K.
    Temperature,
    /// Mass fraction of all solutes, from 0 to 1.
    MassFraction,
}

/// Within which bounds a value or a model holds, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// What of.
    pub of: RangeOf,
    /// From.
    pub low: f64,
    /// To.
    pub high: f64,
}

impl Range {
    /// A temperature range in K.
    pub fn kelvin(low: f64, high: f64) -> Self {
        let of = RangeOf::Temperature;
        Range { of, low, high }
    }

    /// A temperature range given in °C.
    pub fn celsius(low: f64, high: f64) -> Self {
        Self::kelvin(low + ZERO_CELSIUS, high + ZERO_CELSIUS)
    }

    /// A range of mass fractions.
    pub fn mass_fraction(low: f64, high: f64) -> Self {
        let of = RangeOf::MassFraction;
        Range { of, low, high }
    }

    /// Whether `value` lies in it; a last digit lost in a change of units does not throw it out.
    pub fn holds(&self, value: f64) -> bool {
        let slack = 1e-9 * self.high.abs().max(1.0);
        value >= self.low - slack && value <= self.high + slack
    }
}

/// A value outside the range of a model or table.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{value} lies outside the range of the data, {} to {}", .range.low, .range.high)]
pub struct OutOfRange {
    /// What was asked for.
    pub value: f64,
    /// What can be answered.
    pub range: Range,
}

/// A value with where it comes from and how far it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced<T> {
    /// The value; it knows its unit.
    pub value: T,
    /// Where from.
    pub source: Source,
    /// How far; empty for a value that holds at one stated condition only.
    pub ranges: Vec<Range>,
}

impl<T> Sourced<T> {
    /// A value without a range.
    pub fn new(value: T, source: Source) -> Self {
        Sourced {
            value,
            source,
            ranges: Vec::new(),
        }
    }

    /// Another value from the same source with the same range.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            source: self.source,
            ranges: self.ranges,
        }
    }
}
