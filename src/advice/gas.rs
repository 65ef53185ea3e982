//! Gas that comes off: how much, where it goes, how grave it is, and the air that takes it below its limits.

use crate::hazard::{self, GasHazard, RoomAir, Severity};
use crate::matter::Species;
use crate::number::Number;
use crate::route::ledger::{GasRecord, Ledger, Outcome};

use super::caution::{About, Caution};

/// A gas that is set free.
#[derive(Clone, Debug)]
pub struct ReleasedGas {
    /// Which.
    pub species: Species,
    /// In L at ambient conditions.
    pub litres: Number,
    /// What the tables know of it.
    pub hazard: Option<GasHazard>,
}

/// Where a gas goes by itself.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Buoyancy {
    /// It is lighter than air.
    Rises,
    /// It is about as dense as air.
    Mixes,
    /// It is heavier than air and gathers low.
    Sinks,
}

impl ReleasedGas {
    /// The air that takes it below its limits; `None` where the tables do not know the gas.
    pub fn room_air(&self) -> Option<RoomAir> {
        let hazard = self.hazard?;
        Some(hazard::room_air(hazard, self.litres.to_f64()))
    }

    /// By its density against air; within 5 % of it (own rule) it mixes.
    pub fn buoyancy(&self) -> Option<Buoyancy> {
        let density = self.hazard?.density_against_air()?;
        Some(match density {
            light if light < 0.95 => Buoyancy::Rises,
            heavy if heavy > 1.05 => Buoyancy::Sinks,
            _ => Buoyancy::Mixes,
        })
    }

    /// What burns or has an exposure limit is a danger, unless the air over a bench takes it below both (own rule); steam,
    /// nitrogen and the like are worth a caution. A gas that no table knows is a danger.
    fn severity(&self) -> Severity {
        /// In L: a cube of less than half a metre.
        const OVER_A_BENCH: f64 = 100.0;
        let Some(air) = self.room_air() else {
            return Severity::Danger;
        };
        let needed = [air.below_quarter_of_explosive, air.below_exposure];
        match needed.into_iter().flatten().any(|air| air > OVER_A_BENCH) {
            true => Severity::Danger,
            false => Severity::Caution,
        }
    }
}

/// Every gas of the route with its whole volume.
pub(super) fn released(ledger: &Ledger) -> impl Iterator<Item = Caution<'_>> {
    let mut sums: Vec<(Species, Number)> = Vec::new();
    for gas in records(ledger) {
        match sums.iter_mut().find(|(species, _)| *species == gas.species) {
            Some((_, litres)) => *litres = &*litres + &gas.litres,
            None => sums.push((gas.species.clone(), gas.litres.clone())),
        }
    }
    sums.into_iter()
        .map(|(species, litres)| caution(species, litres))
}

fn records(ledger: &Ledger) -> impl Iterator<Item = &GasRecord> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    operations.flat_map(|operation| match &operation.outcome {
        Outcome::Reacted(reaction) => reaction.gas.as_slice(),
        Outcome::Titrated(titration) => titration.reaction.gas.as_slice(),
        _ => &[],
    })
}

/// So much of one gas, in L.
pub(super) fn caution<'l>(species: Species, litres: Number) -> Caution<'l> {
    let gas = ReleasedGas {
        hazard: hazard::gas(&species.with_phase(None)),
        species,
        litres,
    };
    Caution {
        severity: gas.severity(),
        about: About::Gas(gas),
    }
}
