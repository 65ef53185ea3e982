//! Hazard statements, each once, with all that carries it and what protects against it.

use crate::hazard::{self, Cautions, Hazard, Severity, Special, signal_word};
use crate::matter::Species;
use crate::route::ledger::{Ledger, Withdrawal};

use super::caution::{About, Caution};
use super::statement::{Portion, after_steps, bought, classified, component, is_same_portion};
use super::trace;

/// A protective measure and what it is for.
#[derive(Clone, Debug)]
pub struct Protection<'l> {
    /// The gravest first.
    pub statements: Vec<Statement<'l>>,
    /// What to do; empty where the tables have no advice.
    pub measure: &'static str,
}

/// A hazard statement with what carries it.
#[derive(Clone, Debug)]
pub struct Statement<'l> {
    /// `H314`
    pub code: &'static str,
    /// The regulatory text.
    pub text: &'static str,
    /// Bottles and substances.
    pub portions: Vec<Portion<'l>>,
    /// Vessels, each with the formulas of the components that bring it.
    pub vessels: Vec<(&'l str, Vec<&'static str>)>,
    measure: &'static str,
}

/// What some substances call for by themselves.
#[derive(Clone, Debug)]
pub struct SpecialMeasure {
    /// The row of the table.
    pub special: Special,
    /// The substances, without phase.
    pub species: Vec<Species>,
}

/// What has no hazard statement, which does not make it harmless.
#[derive(Clone, Debug, Default)]
pub struct WithoutStatement<'l> {
    /// No table knows these.
    pub unknown: Vec<UnknownHazard<'l>>,
    /// The tables know these, and have no class for them at that strength.
    pub unclassed: Vec<&'l Withdrawal>,
}

/// Something that no safety table knows.
#[derive(Clone, Debug)]
pub enum UnknownHazard<'l> {
    /// Measured out.
    Portion(&'l Withdrawal),
    /// Made on the way.
    In {
        /// Which, without phase.
        species: Species,
        /// The vessel it is in.
        vessel: &'l str,
    },
}

impl Statement<'_> {
    /// Whether it carries the signal word `Danger`.
    fn is_danger(&self) -> bool {
        signal_word(self.code) == "Danger"
    }
}

impl Protection<'_> {
    /// Of the gravest statement.
    pub fn severity(&self) -> Severity {
        match self.statements.first().is_some_and(Statement::is_danger) {
            true => Severity::Danger,
            false => Severity::Caution,
        }
    }
}

/// One measure after the other, the gravest first.
pub fn protections(ledger: &Ledger) -> Vec<Protection<'_>> {
    let mut carried = gathered(ledger);
    carried.sort_by_key(|one| (!one.is_danger(), one.code));
    let mut all: Vec<Protection<'_>> = Vec::new();
    for one in carried {
        // What no measure is known for stands by itself.
        let same =
            |other: &&mut Protection| other.measure == one.measure && !one.measure.is_empty();
        match all.iter_mut().find(same) {
            Some(known) => known.statements.push(one),
            None => all.push(Protection {
                measure: one.measure,
                statements: vec![one],
            }),
        }
    }
    all
}

/// What some substances call for by themselves, whether measured out or made.
pub(super) fn special(ledger: &Ledger) -> impl Iterator<Item = Caution<'_>> {
    let made = after_steps(ledger).flat_map(|vessel| trace::parted(&vessel.contents).0);
    let made = made.map(|content| &content.species);
    let sold = bought(ledger).map(|draw| &draw.substance);
    let mut all: Vec<SpecialMeasure> = Vec::new();
    for species in sold.chain(made) {
        for special in hazard::special_measures(species) {
            let species = species.with_phase(None);
            match all.iter_mut().find(|known| known.special == special) {
                Some(known) => add(&mut known.species, species),
                None => all.push(SpecialMeasure {
                    special,
                    species: vec![species],
                }),
            }
        }
    }
    all.into_iter().map(|measure| Caution {
        severity: Severity::Danger,
        about: About::Special(measure),
    })
}

/// What has no statement; each once.
pub fn without_statement(ledger: &Ledger) -> WithoutStatement<'_> {
    let mut all = WithoutStatement::default();
    for draw in bought(ledger) {
        match Portion::of(draw).found {
            Cautions::NothingFound => all.add_unknown(UnknownHazard::Portion(draw)),
            Cautions::NoClass { .. } => {
                let mut known = all.unclassed.iter();
                if !known.any(|known| is_same_portion(known, draw)) {
                    all.unclassed.push(draw);
                }
            }
            Cautions::Found { .. } => {}
        }
    }
    for vessel in after_steps(ledger) {
        for species in classified(vessel).unknown {
            all.add_unknown(UnknownHazard::In {
                species: species.with_phase(None),
                vessel: &vessel.name,
            });
        }
    }
    all
}

impl<'l> WithoutStatement<'l> {
    fn add_unknown(&mut self, one: UnknownHazard<'l>) {
        if !self.unknown.iter().any(|known| known.is_same(&one)) {
            self.unknown.push(one);
        }
    }
}

impl UnknownHazard<'_> {
    fn is_same(&self, other: &Self) -> bool {
        use UnknownHazard::*;
        match (self, other) {
            (Portion(one), Portion(other)) => is_same_portion(one, other),
            (
                In { species, vessel },
                In {
                    species: other,
                    vessel: place,
                },
            ) => species == other && vessel == place,
            _ => false,
        }
    }
}

fn gathered(ledger: &Ledger) -> Vec<Statement<'_>> {
    let mut all: Vec<Statement<'_>> = Vec::new();
    for draw in bought(ledger) {
        let portion = Portion::of(draw);
        for hazard in portion.hazards() {
            of(&mut all, hazard).add_portion(&portion);
        }
    }
    for vessel in after_steps(ledger) {
        for (hazard, from) in classified(vessel).hazards {
            let components = of(&mut all, &hazard).in_vessel(&vessel.name);
            for formula in from {
                add(components, component(formula, vessel));
            }
        }
    }
    all
}

fn of<'s, 'l>(all: &'s mut Vec<Statement<'l>>, hazard: &Hazard) -> &'s mut Statement<'l> {
    let at = all.iter().position(|one| one.code == hazard.code);
    let at = at.unwrap_or_else(|| {
        all.push(Statement {
            code: hazard.code,
            text: hazard.text,
            portions: Vec::new(),
            vessels: Vec::new(),
            measure: hazard.measure,
        });
        all.len() - 1
    });
    &mut all[at]
}

impl<'l> Statement<'l> {
    fn add_portion(&mut self, portion: &Portion<'l>) {
        let same = |known: &Portion<'_>| {
            is_same_portion(known.draw, portion.draw) && known.read_as() == portion.read_as()
        };
        if !self.portions.iter().any(same) {
            self.portions.push(portion.clone());
        }
    }

    /// The components of a vessel that bring it.
    fn in_vessel(&mut self, vessel: &'l str) -> &mut Vec<&'static str> {
        let known = self.vessels.iter().position(|(name, _)| *name == vessel);
        let at = known.unwrap_or_else(|| {
            self.vessels.push((vessel, Vec::new()));
            self.vessels.len() - 1
        });
        &mut self.vessels[at].1
    }
}

fn add<T: PartialEq>(all: &mut Vec<T>, one: T) {
    if !all.contains(&one) {
        all.push(one);
    }
}
