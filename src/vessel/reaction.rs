//! The heat of a change in a vessel.

use crate::data::Store;
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::thermo;

use super::{Cited, Sources, reagent};

/// A heat in kJ, or the species for which data are missing.
#[derive(Clone, Debug, PartialEq)]
pub enum Heat {
    /// Negative: given off.
    Known(Number),
    /// No formation data for these.
    Unknown(Vec<Species>),
}

impl Heat {
    /// No heat.
    pub fn none() -> Heat {
        Heat::Known(Number::zero())
    }

    /// The number, if it is known.
    pub fn known(&self) -> Option<&Number> {
        match self {
            Heat::Known(heat) => Some(heat),
            Heat::Unknown(_) => None,
        }
    }

    /// The sum; what is missing on either side stays missing.
    pub fn plus(&self, other: &Heat) -> Heat {
        match (self, other) {
            (Heat::Known(a), Heat::Known(b)) => Heat::Known(a + b),
            (Heat::Unknown(a), Heat::Unknown(b)) => {
                let mut all = a.clone();
                all.extend(b.iter().filter(|s| !a.contains(s)).cloned());
                Heat::Unknown(all)
            }
            (Heat::Unknown(missing), _) | (_, Heat::Unknown(missing)) => {
                Heat::Unknown(missing.clone())
            }
        }
    }
}

/// The heat of a change that runs `extent` mol, in kJ. Ice counts as water: what melts it is in its own table.
pub fn heat_of(store: &Store, terms: &[(Exact, Species)], extent: &Number) -> Cited<Heat> {
    let melted: Vec<(Exact, Species)> = terms
        .iter()
        .map(
            |(n, s)| match s.key() == "H2O" && s.phase() == Some(Phase::Solid) {
                true => (n.clone(), reagent::water()),
                false => (n.clone(), s.clone()),
            },
        )
        .collect();
    let heat = thermo::reaction_heat(store, &melted);
    let mut sources = Sources::new();
    heat.sources.iter().for_each(|source| sources.add(source));
    let value = match &heat.enthalpy {
        Ok(molar) => {
            let molar = store.as_drawn(molar);
            Heat::Known((&molar * extent).scaled(&Exact::ratio(1, 1000)))
        }
        Err(missing) => Heat::Unknown(missing.clone()),
    };
    Cited { value, sources }
}
