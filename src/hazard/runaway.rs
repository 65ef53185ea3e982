//! How far a reaction could run away: the rise if nothing cools it, and where that ends.
//!
//! F. Stoessel, Thermal Safety of Chemical Processes, Wiley-VCH 2008, and Chem. Eng. Prog. 89 (1993) no. 10, 68 (both
//! from memory), by the rows of the rules of thumb. The temperature at which a bench mixture decomposes is not known to
//! this program: classes 2, 4 and 5, which need it, are never given, and 1 and 3 hold on the condition that it lies higher.

use super::rule::Severity;
use super::tables::RULES;

/// What the rise comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Runaway {
    /// The rise if nothing cools it, in K.
    pub rise: f64,
    /// How grave that rise is, in four steps; `None` for the lowest.
    pub severity: Option<Severity>,
    /// The criticality class, 1 or 3.
    pub class: u8,
    /// The row of the class or of the rise, whichever is graver.
    pub rule: &'static str,
    /// What the row says.
    pub meaning: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// A reaction in an open vessel that starts at one temperature, would come to another, and boils at a third, in °C.
///
/// ```
/// use aludel::hazard::{Severity, runaway};
/// assert_eq!(runaway(20.0, 45.0, 100.0).class, 1);
/// let hot = runaway(20.0, 130.0, 100.0);
/// assert_eq!((hot.class, hot.severity), (3, Some(Severity::Caution)));
/// ```
pub fn runaway(start: f64, highest: f64, boiling: f64) -> Runaway {
    let rise = highest - start;
    let class = if highest < boiling { 1 } else { 3 };
    let scale = row_of_rise(rise);
    let severity = scale.and_then(|row| severity(row.cell("severity")));
    let told = match (class, severity) {
        (3, None | Some(Severity::Caution)) => RULES.find("T09").next(),
        _ => scale,
    };
    let cell = |column| told.map_or("", |row| row.cell(column));
    Runaway {
        rise,
        severity,
        class,
        rule: cell("rule_id"),
        meaning: cell("meaning"),
        source: cell("source"),
    }
}

fn row_of_rise(rise: f64) -> Option<crate::data::Row> {
    ["T01", "T02", "T03", "T04"].into_iter().find_map(|rule| {
        let row = RULES.find(rule).next()?;
        let low = row.float("limit_low").unwrap_or(f64::NEG_INFINITY);
        let high = row.float("limit_high").unwrap_or(f64::INFINITY);
        (low <= rise && rise < high).then_some(row)
    })
}

fn severity(word: &str) -> Option<Severity> {
    [Severity::Caution, Severity::Danger, Severity::Stop]
        .into_iter()
        .find(|severity| severity.word() == word)
}
