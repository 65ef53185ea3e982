//! The bottles, as far as anybody has found out what is in them.

use typed_index_collections::TiVec;

use crate::number::{Exact, Quantity, unit};
use crate::vessel::Reagent;

use super::super::program::{Bottle, BottleId, Matter};
use super::Run;

impl Run<'_> {
    /// The bottles as far as anybody has found out what is in them.
    pub fn shelf(&self) -> TiVec<BottleId, Bottle> {
        let all = self.program.bottles.iter_enumerated();
        all.map(|(id, bottle)| Bottle {
            stuff: self.stuff(id),
            ..bottle.clone()
        })
        .collect()
    }

    /// What is in a bottle as far as anybody has found out.
    pub fn stuff(&self, bottle: BottleId) -> Reagent {
        let found = self.record.standardised.get(&bottle);
        found.unwrap_or(&self.program.bottles[bottle].stuff).clone()
    }

    /// Something measured out, with the strength that was found for its bottle.
    pub fn as_it_is(&self, matter: &Matter) -> Matter {
        let stuff = match matter.bottle {
            Some(bottle) => self.stuff(bottle),
            None => matter.stuff.clone(),
        };
        Matter {
            stuff,
            ..matter.clone()
        }
    }
}

/// In mol/L for a solution of known density, as mass fraction for a substance by itself.
pub fn strength(stuff: &Reagent) -> Option<Quantity> {
    match stuff {
        Reagent::Pure { purity, .. } => {
            Some(Quantity::plain(purity.clone()).shown_in(&unit::PER_CENT))
        }
        Reagent::Solution {
            per_gram, density, ..
        } => {
            let per_litre = (per_gram * density.as_ref()?).scaled(&Exact::from(1000));
            Some(Quantity::of(per_litre, &unit::MOLAR))
        }
    }
}
