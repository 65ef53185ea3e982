//! The books: every transfer and extent is posted here too, and the auditor compares.
//!
//! Promises: after each operation the atoms of every element and the charge, summed over all accounts, are exactly
//! zero, since accounts begin empty and a bottle that gives goes negative; and every vessel holds exactly what its
//! account says.
//!
//! Knows nothing of heat, volume or order: it is an independent count.

use std::collections::BTreeMap;

use crate::matter::{Element, Species};
use crate::number::Exact;

use super::super::program::VesselId;
use crate::vessel::Contents;

/// Where matter can be.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Account {
    /// A bottle or the shelf: goes negative by what it gave.
    Shelf,
    /// A vessel.
    Vessel(VesselId),
    /// Gas that left an open vessel, and water vapour.
    Air,
    /// Discarded.
    Drain,
    /// The difference between plan and finding.
    Losses,
}

/// What the auditor can find: each is a fault of the program, never of the route.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Discrepancy {
    /// Atoms of an element were made or lost.
    #[error("atoms of {} were made or lost", .0.name())]
    Atoms(Element),
    /// Charge was made or lost.
    #[error("charge was made or lost")]
    Charge,
    /// A vessel does not hold what was posted to it.
    #[error("vessel {0} does not hold the {1} that was posted to it")]
    Contents(VesselId, Species),
    /// A vessel holds less than nothing of a species.
    #[error("vessel {0} holds less than nothing of {1}")]
    Negative(VesselId, Species),
}

/// Balances of all accounts since the beginning.
#[derive(Clone, Debug, Default)]
pub struct Books {
    balances: BTreeMap<Account, BTreeMap<Species, Exact>>,
    atoms: BTreeMap<Element, Exact>,
    charge: Exact,
}

impl Books {
    /// Moves an amount, in mol, from one account to another. What one gives the other takes, so the sums over all stay as
    /// they are.
    pub fn transfer(&mut self, (from, to): (Account, Account), species: &Species, moles: &Exact) {
        self.enter(from, species, &-moles);
        self.enter(to, species, moles);
    }

    /// Posts an amount, in mol, that a reaction makes or uses up, to an account.
    pub fn post(&mut self, account: Account, species: &Species, moles: &Exact) {
        self.enter(account, species, moles);
        for (element, count) in species.composition().iter() {
            *self.atoms.entry(element).or_default() += &(count * moles);
        }
        if species.charge() != 0 {
            self.charge += &(Exact::from(species.charge()) * moles);
        }
    }

    fn enter(&mut self, account: Account, species: &Species, moles: &Exact) {
        let balance = self.balances.entry(account).or_default();
        let total = balance.entry(species.clone()).or_default();
        *total += moles;
        if total.is_zero() {
            balance.remove(species);
        }
    }

    /// What an account holds.
    pub fn balance(&self, account: Account) -> impl Iterator<Item = (&Species, &Exact)> {
        self.balances.get(&account).into_iter().flatten()
    }

    /// Proves the sums zero and one vessel's contents equal to its account.
    pub fn audit(&self, vessels: &[(VesselId, &Contents)]) -> Result<(), Discrepancy> {
        if let Some((element, _)) = self.atoms.iter().find(|(_, sum)| !sum.is_zero()) {
            return Err(Discrepancy::Atoms(*element));
        }
        if !self.charge.is_zero() {
            return Err(Discrepancy::Charge);
        }
        for (id, contents) in vessels {
            self.audit_vessel(*id, contents)?;
        }
        Ok(())
    }

    fn audit_vessel(&self, id: VesselId, contents: &Contents) -> Result<(), Discrepancy> {
        let mut posted = 0;
        for (species, moles) in self.balance(Account::Vessel(id)) {
            posted += 1;
            if contents.amount(species).value() != moles {
                return Err(Discrepancy::Contents(id, species.clone()));
            }
            if moles.is_negative() {
                return Err(Discrepancy::Negative(id, species.clone()));
            }
        }
        match contents.iter().nth(posted) {
            // More species than were posted: name one of them.
            Some((species, _)) => Err(Discrepancy::Contents(id, species.clone())),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::Number;

    fn species(text: &str) -> Species {
        Species::parse(text).unwrap()
    }

    #[test]
    fn the_auditor_sees_a_lost_atom_a_lost_charge_and_a_forged_vessel() {
        let mut books = Books::default();
        let cup = VesselId::FIRST;
        let one = Exact::one();
        let minus = Exact::from(-1);
        books.post(Account::Shelf, &species("NaCl(s)"), &minus);
        books.post(Account::Vessel(cup), &species("Na^+(aq)"), &one);
        assert!(matches!(books.audit(&[]), Err(Discrepancy::Atoms(_))));
        books.post(Account::Vessel(cup), &species("Cl(g)"), &one);
        assert_eq!(books.audit(&[]), Err(Discrepancy::Charge));
        books.post(Account::Vessel(cup), &species("Cl(g)"), &minus);
        books.post(Account::Vessel(cup), &species("Cl^-(aq)"), &one);
        assert_eq!(books.audit(&[]), Ok(()));
        let mut contents = Contents::new();
        contents.add(&species("Na^+(aq)"), &Number::one());
        let forged = books.audit(&[(cup, &contents)]);
        assert_eq!(forged, Err(Discrepancy::Contents(cup, species("Cl^-(aq)"))));
    }
}
