//! Everything to beware of: gathered from what the run remarked and from the safety tables.

use std::collections::BTreeSet;

use crate::hazard::{Cautions, GasHazard, Severity};
use crate::route::ledger::*;

use super::apart::{self, Neighbours};
use super::course::{self, RunawayCourse};
use super::gas::{self, ReleasedGas};
use super::protection::{self, SpecialMeasure};
use super::statement::{self, ClassifiedContents, Portion};

/// One thing to beware of.
#[derive(Clone, Debug)]
pub struct Caution<'l> {
    /// How grave it is.
    pub severity: Severity,
    /// What it is about.
    pub about: About<'l>,
}

/// What a caution is about.
#[derive(Clone, Debug)]
pub enum About<'l> {
    /// Contents that met.
    Meeting(Met),
    /// Gas that comes off.
    Gas(ReleasedGas),
    /// A reaction that could run away.
    Runaway(RunawayCourse<'l>),
    /// What the run remarked of a vessel that is too hot, too full or under pressure.
    Vessel {
        /// The vessel.
        vessel: &'l str,
        /// The remark.
        remark: &'l Remark,
    },
    /// What some substances call for by themselves.
    Special(SpecialMeasure),
    /// What is measured out.
    Portion(Portion<'l>),
    /// What is in a vessel.
    Contents(ClassifiedContents<'l>),
    /// What must not stand side by side.
    Neighbours(Neighbours<'l>),
}

/// A meeting with all the places where it happens.
#[derive(Clone, Debug)]
pub struct Met {
    /// With the substances of all the places on its two sides; its place is the first.
    pub encounter: Encounter,
    /// The vessels, or the waste jar.
    pub places: Vec<String>,
    /// Of the remark that says it first.
    pub level: Level,
}

/// The kinds of cautions.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Kind {
    /// What met.
    Meeting,
    /// Gas that comes off.
    Gas,
    /// Heat.
    Heat,
    /// A vessel too full.
    Filling,
    /// Gas in a closed vessel.
    Pressure,
    /// A substance that calls for something of its own.
    Special,
    /// What is measured out.
    Substance,
    /// What is in a vessel.
    Contents,
    /// What must be kept apart.
    Neighbour,
}

impl Caution<'_> {
    /// Of what kind.
    pub fn kind(&self) -> Kind {
        match &self.about {
            About::Meeting(_) => Kind::Meeting,
            About::Gas(_) => Kind::Gas,
            About::Runaway(_) => Kind::Heat,
            About::Vessel { remark, .. } => match remark.fact {
                Fact::Overfull { .. } | Fact::FoamRoom { .. } => Kind::Filling,
                Fact::UnderPressure { .. } => Kind::Pressure,
                _ => Kind::Heat,
            },
            About::Special(_) => Kind::Special,
            About::Portion(_) => Kind::Substance,
            About::Contents(_) => Kind::Contents,
            About::Neighbours(_) => Kind::Neighbour,
        }
    }

    /// The vessels that it is about, or the waste jar; none where it is about a substance or a gas.
    pub fn places(&self) -> Vec<&str> {
        match &self.about {
            About::Meeting(met) => met.places.iter().map(String::as_str).collect(),
            About::Runaway(course) => vec![&course.record.vessel],
            About::Vessel { vessel, .. } => vec![vessel],
            About::Contents(contents) => contents.vessels.clone(),
            About::Gas(_) | About::Special(_) | About::Portion(_) | About::Neighbours(_) => {
                Vec::new()
            }
        }
    }

    /// Rows of the tables and hazard statements: `R237`, `T09`, `H314`.
    pub fn keys(&self) -> Vec<&'static str> {
        match &self.about {
            About::Meeting(met) => vec![met.encounter.meeting.rule.key()],
            About::Gas(_) | About::Vessel { .. } => Vec::new(),
            About::Runaway(course) => vec![course.class.rule],
            About::Special(measure) => vec![measure.special.class],
            About::Portion(portion) => portion.hazards().iter().map(|one| one.code).collect(),
            About::Contents(contents) => {
                let hazards = contents.found.hazards.iter();
                hazards.map(|(hazard, _)| hazard.code).collect()
            }
            About::Neighbours(pair) => vec![pair.rule.key()],
        }
    }

    /// Where it comes from.
    pub fn sources(&self) -> Vec<&'static str> {
        match &self.about {
            About::Meeting(met) => vec![met.encounter.meeting.rule.source()],
            About::Gas(gas) => gas.hazard.map(GasHazard::source).into_iter().collect(),
            About::Vessel { .. } => vec!["common practice"],
            About::Runaway(course) => vec![course.class.source],
            About::Special(measure) => vec![measure.special.source],
            About::Portion(portion) => match &portion.found {
                Cautions::Found { hazards, .. } => {
                    hazards.iter().map(|one| one.source).take(1).collect()
                }
                Cautions::NoClass { source } => vec![source],
                Cautions::NothingFound => Vec::new(),
            },
            About::Contents(contents) => {
                let hazards = contents.found.hazards.iter();
                hazards.map(|(hazard, _)| hazard.source).take(1).collect()
            }
            About::Neighbours(pair) => vec![pair.rule.source()],
        }
    }
}

/// Everything, the gravest first; of equal gravity what happens before what is at hand, and the measures last.
pub fn cautions(ledger: &Ledger) -> Vec<Caution<'_>> {
    let mut all = remarked(ledger);
    all.extend(gas::released(ledger));
    all.extend(course::courses(ledger));
    all.extend(statement::bought(ledger).map(|draw| Portion::of(draw).caution()));
    all.extend(statement::contents(ledger));
    all.extend(protection::special(ledger));
    all.extend(apart::neighbours(ledger));
    all.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    all
}

/// What to beware of in one operation, besides what the run remarked.
pub fn at_operation(outcome: &Outcome) -> Vec<Caution<'_>> {
    match outcome {
        Outcome::Charged { draws, .. } => draws.iter().filter_map(handled).collect(),
        Outcome::Washed { draw, .. } => handled(draw).into_iter().collect(),
        Outcome::Reacted(record) => reacts(record).collect(),
        Outcome::Titrated(record) => {
            let titrant = handled(&record.titrant).into_iter();
            titrant.chain(reacts(&record.reaction)).collect()
        }
        _ => Vec::new(),
    }
}

/// A portion that has hazard statements.
fn handled(draw: &Withdrawal) -> Option<Caution<'_>> {
    let portion = Portion::of(draw);
    matches!(portion.found, Cautions::Found { .. }).then(|| portion.caution())
}

/// The gas that comes off, and where the heat ends.
fn reacts(record: &ReactRecord) -> impl Iterator<Item = Caution<'_>> {
    let gases = record.gas.iter();
    let gases = gases.map(|one| gas::caution(one.species.clone(), one.litres.clone()));
    gases.chain(course::course(record))
}

/// What the run found dangerous, each once; the same meeting in several places is one.
fn remarked(ledger: &Ledger) -> Vec<Caution<'_>> {
    let mut meetings: Vec<Met> = Vec::new();
    let mut others: Vec<Caution<'_>> = Vec::new();
    let mut filled: BTreeSet<(&str, bool)> = BTreeSet::new();
    for remark in &ledger.remarks {
        // A vessel that is too small once is too small.
        if let Fact::FoamRoom { vessel, .. } | Fact::Overfull { vessel, .. } = &remark.fact
            && !filled.insert((vessel, matches!(remark.fact, Fact::Overfull { .. })))
        {
            continue;
        }
        let Fact::Hazard(encounter) = &remark.fact else {
            others.extend(of_vessel(ledger, remark));
            continue;
        };
        match meetings.iter_mut().find(|met| met.is_also(encounter)) {
            Some(known) => known.add(encounter),
            None => meetings.push(Met {
                places: vec![encounter.place.clone()],
                encounter: (**encounter).clone(),
                level: remark.level,
            }),
        }
    }
    let meetings = meetings.into_iter().map(|met| Caution {
        severity: met.encounter.meeting.severity,
        about: About::Meeting(met),
    });
    meetings.chain(others).collect()
}

impl Met {
    fn is_also(&self, other: &Encounter) -> bool {
        let key = |one: &Encounter| (one.meeting.rule, one.meeting.severity, one.refused);
        key(&self.encounter) == key(other)
    }

    /// With the place and the substances of another.
    fn add(&mut self, other: &Encounter) {
        if !self.places.contains(&other.place) {
            self.places.push(other.place.clone());
        }
        let sides = self.encounter.meeting.between.iter_mut();
        for (side, more) in sides.zip(&other.meeting.between) {
            let fresh: Vec<_> = more.iter().filter(|one| !side.contains(one)).collect();
            side.extend(fresh.into_iter().cloned());
        }
    }
}

fn of_vessel<'l>(ledger: &Ledger, remark: &'l Remark) -> Option<Caution<'l>> {
    let vessel = match &remark.fact {
        Fact::UnknownRise { vessel }
        | Fact::WouldBoil { vessel, .. }
        | Fact::Boils { vessel, .. }
        | Fact::Overfull { vessel, .. }
        | Fact::FoamRoom { vessel, .. }
        | Fact::UnderPressure { vessel, .. } => vessel,
        // The course of a reaction says it with its class.
        Fact::InHand(hot) if hot.is_severe() && !is_reacted(ledger, &hot.vessel) => &hot.vessel,
        _ => return None,
    };
    Some(Caution {
        severity: Severity::Danger,
        about: About::Vessel { vessel, remark },
    })
}

/// Whether a reaction runs in a vessel.
fn is_reacted(ledger: &Ledger, vessel: &str) -> bool {
    let mut operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations.any(|operation| matches!(&operation.outcome, Outcome::Reacted(record) if record.vessel == vessel))
}
