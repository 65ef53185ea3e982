//! How far a reaction could run away: the rise if nothing cools it, and where that ends.
//!
//! F. Stoessel, Thermal Safety of Chemical Processes, Wiley-VCH 2008, and Chem. Eng. Prog. 89 (1993) no. 10, 68 (both
//! from memory), by the rows of the rules of thumb: four temperatures in their order make one of five classes.
//!
//! The temperature at which a mixture decomposes within a day is measured for hardly any mixture of a bench. In its place
//! stands the temperature to which the table of meetings lets something be heated; where it names none, the class is one of
//! 1 and 3, and only says that it cannot be better.

use super::mix::Mix;
use super::rule::{Rule, Severity};
use super::tables::RULES;

/// A reaction in an open vessel, all at once and uncooled; in °C.
#[derive(Clone, Copy, Debug)]
pub struct Course {
    /// Where it begins.
    pub start: f64,
    /// Where it would end: the maximum temperature of the synthesis reaction.
    pub highest: f64,
    /// Where it boils: in open glass nothing grows hotter while there is liquid.
    pub boiling: f64,
    /// Where something in it decomposes; `None` where that is not known.
    pub decomposes: Option<f64>,
}

/// What the rise comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Runaway {
    /// The rise if nothing cools it, in K.
    pub rise: f64,
    /// The criticality class, 1 to 5; without a temperature of decomposition the best that it can be.
    pub class: u8,
    /// How grave rise and class are together; `None` where neither is worth a word.
    pub severity: Option<Severity>,
    /// The row of the class or of the rise, whichever is graver.
    pub rule: &'static str,
    /// What the row says.
    pub meaning: &'static str,
    /// What it advises, for a line by itself.
    pub advice: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// Rise and class of a course.
///
/// ```
/// use aludel::hazard::{Course, Severity, runaway};
/// let course = Course { start: 20.0, highest: 45.0, boiling: 100.0, decomposes: None };
/// assert_eq!((runaway(course).class, runaway(course).severity), (1, None));
/// let hot = Course { highest: 130.0, decomposes: Some(120.0), ..course };
/// assert_eq!((runaway(hot).class, runaway(hot).severity), (4, Some(Severity::Danger)));
/// ```
pub fn runaway(course: Course) -> Runaway {
    let rise = course.highest - course.start;
    let class = class(course);
    let of_class = CLASSES.get(usize::from(class) - 1).copied();
    let told = [of_class.and_then(row), row_of_rise(rise)];
    let told = told
        .into_iter()
        .flatten()
        .max_by_key(|row| severity(row.cell("severity")));
    let cell = |column| told.map_or("", |row| row.cell(column));
    Runaway {
        rise,
        class,
        severity: severity(cell("severity")),
        rule: cell("rule_id"),
        meaning: cell("meaning"),
        advice: cell("advice"),
        source: cell("source"),
    }
}

/// The rows of classes 1 to 5.
const CLASSES: [&str; 5] = ["T07", "T08", "T09", "T10", "T11"];

/// Which of boiling and decomposing comes before the end of the rise, and in which order.
fn class(course: Course) -> u8 {
    let Course {
        start,
        highest,
        boiling,
        decomposes,
    } = course;
    let decomposes = decomposes.unwrap_or(f64::INFINITY);
    let boils = highest >= boiling;
    match highest.max(start) >= decomposes {
        false if boils => 3,
        false if boiling < decomposes => 1,
        false => 2,
        true if boiling < decomposes => 4,
        true => 5,
    }
}

fn row(rule: &'static str) -> Option<crate::data::Row> {
    RULES.find(rule).next()
}

fn row_of_rise(rise: f64) -> Option<crate::data::Row> {
    ["T01", "T02", "T03", "T04"].into_iter().find_map(|rule| {
        let row = row(rule)?;
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

/// The temperature to which something may not be heated, by the table of meetings.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatLimit {
    /// Which row.
    pub rule: Rule,
    /// What may not: a formula or the name of a group.
    pub what: &'static str,
    /// In °C.
    pub celsius: f64,
}

/// The lowest such temperature for what is in a mix; `None` where the table has none, which does not mean that it is stable.
///
/// ```
/// use aludel::{hazard::{Mix, heat_limit}, matter::Species, number::Exact};
/// let (salt, much) = (Species::parse("NH4NO3(s)").unwrap(), Exact::one());
/// assert_eq!(heat_limit(&Mix::of([(&salt, &much)])).unwrap().celsius, 150.0);
/// ```
pub fn heat_limit(mix: &Mix<'_>) -> Option<HeatLimit> {
    let rules = mix.groups().iter().flat_map(Rule::of);
    let limits = rules.filter_map(|rule| {
        let celsius = rule.own_heat_limit()?;
        mix.more_than_a_trace(rule.compiled().a).then(|| HeatLimit {
            rule,
            what: rule.between()[0],
            celsius,
        })
    });
    limits.min_by(|one, other| one.celsius.total_cmp(&other.celsius))
}
