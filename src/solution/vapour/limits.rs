//! What must not be concentrated by boiling, or heated dry, and why.

use crate::data::{NO_BOIL_DOWN, Row, Source, as_listed};

/// How grave it is.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Severity {
    /// Poisonous gas, attack on the vessel, or another product than meant.
    Caution,
    /// Explosion, fire or runaway: not to be done.
    Stop,
}

/// A limit for boiling down what is in a vessel.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// How grave it is.
    pub severity: Severity,
    /// What to do and not to do.
    pub rule: &'static str,
    /// Why.
    pub reason: &'static str,
    /// Mass fraction not to pass.
    pub mass_fraction: Option<f64>,
    /// Temperature in K not to pass.
    pub kelvin: Option<f64>,
    /// The species it is about.
    pub species: Vec<&'static str>,
    /// Where from; the figures are from memory.
    pub source: Source,
}

/// The limits that hold for species by their formulas without phase, the gravest first.
///
/// ```
/// use aludel::solution::vapour::{Severity, limits};
/// let found = limits(&["NH4^+", "NO3^-", "Na^+"]);
/// assert_eq!(found[0].severity, Severity::Stop);
/// assert!(limits(&["Na^+", "Cl^-"]).is_empty());
/// ```
pub fn limits(species: &[&str]) -> Vec<Limit> {
    let mut found: Vec<Limit> = NO_BOIL_DOWN
        .rows()
        .filter_map(|row| limit(row, species))
        .collect();
    found.sort_by_key(|limit| std::cmp::Reverse(limit.severity));
    found
}

fn limit(row: Row, species: &[&str]) -> Option<Limit> {
    let needs = row.cell("needs").split(' ');
    let holds = |one: &&str| species.iter().any(|key| as_listed(key) == as_listed(one));
    let there = needs.map(|any| any.split('|').find(holds));
    Some(Limit {
        species: there.collect::<Option<Vec<&'static str>>>()?,
        severity: match row.cell("severity") {
            "stop" => Severity::Stop,
            _ => Severity::Caution,
        },
        rule: row.cell("rule"),
        reason: row.cell("reason"),
        mass_fraction: row.float("mass_fraction"),
        kelvin: row.float("t_C").map(|celsius| celsius + 273.15),
        source: Source::published(row.cell("source"), ""),
    })
}
