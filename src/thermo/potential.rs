//! Electrode potentials: from Gibbs energies, from the table of measured ones, and at given activities.

use crate::data::{POTENTIAL, Row, Source, Sourced};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};

use super::reaction::GAS_CONSTANT;

/// The Faraday constant in C/mol, exact since 2019 to the digits shown (SI Brochure, 9th ed.).
pub const FARADAY_CONSTANT: f64 = 96_485.332_123_310_02;

/// A standard potential from the table.
#[derive(Clone, Debug)]
pub struct Couple {
    /// V against the standard hydrogen electrode at 298.15 K, for the reduction.
    pub potential: Number,
    /// The reduction as the table writes it.
    pub reduction: &'static str,
    /// `acid`, `base`, or `any` where neither H^+ nor OH^- takes part.
    pub medium: &'static str,
    /// Electrons taken up.
    pub electrons: Exact,
    /// A second published figure in words; may be empty.
    pub other: &'static str,
}

/// The potential in V that belongs to a Gibbs energy in J/mol with so many electrons: E = −G/(n·F). `None` for no
/// electrons.
///
/// ```
/// use aludel::{number::{Exact, Number}, thermo};
/// // Zn + Cu^2+ -> Zn^2+ + Cu, -212.55 kJ/mol.
/// let gibbs = Number::exact(Exact::from(-212_550));
/// let volts = thermo::potential(&gibbs, &Exact::from(2)).unwrap();
/// assert!((volts.to_f64() - 1.1015).abs() < 1e-4);
/// ```
pub fn potential(gibbs: &Number, electrons: &Exact) -> Option<Number> {
    let slope = -1.0 / (electrons.to_f64() * FARADAY_CONSTANT);
    gibbs.through_model(gibbs.to_f64() * slope, slope)
}

/// The table's potential of a half-reaction, given as signed coefficients with the electron among them (negative: used
/// up, so a reduction). A multiple of the table's equation is found as well, and an oxidation too: the potential is that of
/// the reduction either way.
///
/// Phases that are given must be the table's; those that are not are taken as the table has them.
///
/// ```
/// use aludel::{matter::Species, number::Exact, thermo};
/// let of = |n: i64, text| (Exact::from(n), Species::parse(text).unwrap());
/// let dissolving = [of(-1, "Zn"), of(1, "Zn^2+"), of(2, "e^-")];
/// let found = thermo::tabled_potential(&dissolving).unwrap();
/// assert_eq!(found.value.potential.to_f64(), -0.7618);
/// assert_eq!(found.source.code, "OpenStax-L");
/// ```
pub fn tabled_potential(half_reaction: &[(Exact, Species)]) -> Option<Sourced<Couple>> {
    let wanted = per_electron(half_reaction)?;
    // The text narrows the search before any formula is read.
    let named = |row: &Row| {
        let text = row.cell("half_reaction");
        wanted
            .iter()
            .all(|(_, species)| text.contains(species.key()))
    };
    let mut rows = POTENTIAL.rows().filter(named);
    rows.find_map(|row| {
        let listed = read(row)?;
        let same = same_terms(&wanted, &per_electron(&listed)?);
        same.then(|| couple(row)).flatten()
    })
}

/// The potential in V at given activities (Nernst): E = E° − (R·T/(n·F))·ln Q, where Q is the product of the activities to
/// the power of their signed coefficients. `None` for an activity of zero or below.
///
/// ```
/// use aludel::{number::{Exact, Number}, thermo};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// // Cu^2+ at 0.010: 0.3419 V - 0.0592 V.
/// let terms = [(Exact::from(-1), number("0.010"))];
/// let volts = thermo::nernst(&number("0.3419"), &Exact::from(2), &terms, &number("298.15")).unwrap();
/// assert!((volts.to_f64() - 0.2827).abs() < 1e-4);
/// ```
pub fn nernst(
    standard: &Number,
    electrons: &Exact,
    activities: &[(Exact, Number)],
    kelvin: &Number,
) -> Option<Number> {
    let per_volt = Exact::modelled(-1.0 / (electrons.to_f64() * FARADAY_CONSTANT))?;
    Some(standard + &quotient_energy(activities, kelvin)?.scaled(&per_volt))
}

/// R·T·ln Q in J/mol, by which a reaction Gibbs energy at given activities is above the standard one; signed coefficients.
/// `None` for an activity of zero or below.
pub(super) fn quotient_energy(activities: &[(Exact, Number)], kelvin: &Number) -> Option<Number> {
    if activities.iter().any(|(_, a)| !a.is_positive()) {
        return None;
    }
    let t = kelvin.to_f64();
    let log = |(coefficient, a): &(Exact, Number)| coefficient.to_f64() * libm::log(a.to_f64());
    let quotient: f64 = activities.iter().map(log).sum();
    let mut energy = kelvin.through_model(GAS_CONSTANT * t * quotient, GAS_CONSTANT * quotient)?;
    for (coefficient, activity) in activities {
        let slope = GAS_CONSTANT * t * coefficient.to_f64() / activity.to_f64();
        energy += &activity.through_model(0.0, slope)?;
    }
    Some(energy)
}

type Terms = Vec<(Exact, Species)>;

/// For the uptake of one electron, the electron itself left out; `None` without an electron.
fn per_electron(terms: &[(Exact, Species)]) -> Option<Terms> {
    let electron = terms.iter().find(|(_, species)| species.is_electron())?;
    let scale = -electron.0.clone();
    let rest = terms.iter().filter(|(_, species)| !species.is_electron());
    rest.map(|(n, species)| Some((n.checked_div(&scale)?, species.clone())))
        .collect()
}

fn same_terms(wanted: &Terms, listed: &Terms) -> bool {
    let agrees = |(n, species): &(Exact, Species)| {
        listed.iter().any(|(m, other)| {
            let phases = species.phase().is_none() || species.phase() == other.phase();
            m == n && other.key() == species.key() && phases
        })
    };
    wanted.len() == listed.len() && wanted.iter().all(agrees)
}

/// The terms of a row, each with its phase.
fn read(row: Row) -> Option<Terms> {
    let (left, right) = row.cell("half_reaction").split_once(" -> ")?;
    let phases = row.cell("phases");
    let phase = |key: &str| {
        let mut given = phases.split("; ").filter_map(|entry| entry.split_once(':'));
        let found = given.find(|(formula, _)| *formula == key);
        match found {
            Some((_, symbol)) => Phase::of_symbol(symbol),
            None if key == "H2O" => Some(Phase::Liquid),
            None => Some(Phase::Aqueous),
        }
    };
    let term = |text: &str, sign: i64| {
        let (count, formula) = text.split_once(' ').unwrap_or(("1", text));
        let count = Exact::decimal(count).ok()? * Exact::from(sign);
        let species = Species::parse(formula).ok()?;
        let species = if species.is_electron() {
            species
        } else {
            species.with_phase(phase(species.key()))
        };
        Some((count, species))
    };
    let left = left.split(" + ").map(|text| term(text, -1));
    left.chain(right.split(" + ").map(|text| term(text, 1)))
        .collect()
}

fn couple(row: Row) -> Option<Sourced<Couple>> {
    let couple = Couple {
        potential: Number::exact(Exact::decimal(row.cell("E0_V")).ok()?),
        reduction: row.cell("half_reaction"),
        medium: row.cell("medium"),
        electrons: Exact::decimal(row.cell("electrons")).ok()?,
        other: row.cell("other"),
    };
    Some(Sourced::new(
        couple,
        Source::published(row.cell("source"), row.cell("note")),
    ))
}
