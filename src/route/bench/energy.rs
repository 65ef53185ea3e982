//! The account of heat: every kilojoule that moves is posted from one place to another, and the auditor compares.
//!
//! A vessel's balance is the enthalpy of its contents above that of the same substances pure, or at infinite dilution in
//! water, at 25 °C. What a reaction sets free at 25 °C is drawn from the chemistry account.
//!
//! Promises: every posting takes from one place what it gives to another, so that the sum is always zero; the auditor
//! compares the balance of a vessel with what its contents and temperature come to on their own.
//!
//! Knows nothing of species, or of how an enthalpy is calculated. Rounding is allowed for: models are floating-point, and
//! temperatures are kept to a number of digits.

use std::collections::BTreeMap;

use super::super::program::VesselId;
use super::books::Account;

/// Where heat can be.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Place {
    /// What came from bottles: cold or hot against 25 °C, and diluted less than without end.
    Shelf,
    /// The contents of a vessel.
    Vessel(VesselId),
    /// Baths, heaters, coolers.
    Bath,
    /// With gas and vapour.
    Air,
    /// With what was discarded.
    Drain,
    /// With what was not found again.
    Losses,
    /// Set free or bound by reactions, at 25 °C.
    Chemistry,
    /// The room: what a measured temperature shows to be gone, and what could not be followed.
    Room,
}

impl From<Account> for Place {
    fn from(account: Account) -> Self {
        match account {
            Account::Shelf => Place::Shelf,
            Account::Vessel(id) => Place::Vessel(id),
            Account::Air => Place::Air,
            Account::Drain => Place::Drain,
            Account::Losses => Place::Losses,
        }
    }
}

/// A vessel whose heat is not what was posted: a fault of the program.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("the heat of vessel {vessel} is {found} kJ, and {posted} kJ were posted to it")]
pub struct Imbalance {
    /// Which.
    pub vessel: VesselId,
    /// By its account, in kJ.
    pub posted: f64,
    /// By its contents and temperature, in kJ.
    pub found: f64,
}

/// Balances in kJ since the beginning.
#[derive(Clone, Debug, Default)]
pub struct Energy {
    balances: BTreeMap<Place, f64>,
    /// The sizes of all postings, which rounding is measured by.
    turnover: f64,
}

/// What rounding may come to, as a fraction of all that was posted: thousands of postings of twelve digits each.
const ROUNDING: f64 = 1e-8;

impl Energy {
    /// Moves heat, in kJ.
    pub fn post(&mut self, from: Place, to: Place, kilojoules: f64) {
        *self.balances.entry(from).or_default() -= kilojoules;
        *self.balances.entry(to).or_default() += kilojoules;
        self.turnover += kilojoules.abs();
    }

    /// Of a place, in kJ.
    pub fn balance(&self, place: Place) -> f64 {
        self.balances.get(&place).copied().unwrap_or(0.0)
    }

    /// Proves that a vessel has the heat that its account says. `found` is its enthalpy by its contents and temperature, and
    /// `resolution` what the digits of that temperature leave open of it, both in kJ.
    pub fn audit(&self, vessel: VesselId, found: f64, resolution: f64) -> Result<(), Imbalance> {
        let posted = self.balance(Place::Vessel(vessel));
        let allowed = ROUNDING * (self.turnover + found.abs()) + resolution + 1e-12;
        if (posted - found).abs() <= allowed {
            return Ok(());
        }
        Err(Imbalance {
            vessel,
            posted,
            found,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_digits_of_a_temperature_leave_open_is_allowed_for_and_no_more() {
        let (energy, cup) = (Energy::default(), VesselId::FIRST);
        assert_eq!(energy.audit(cup, 1e-9, 2e-9), Ok(()));
        assert!(energy.audit(cup, 3e-9, 2e-9).is_err());
    }

    #[test]
    fn the_auditor_sees_heat_that_nobody_posted() {
        let mut energy = Energy::default();
        let cup = VesselId::FIRST;
        energy.post(Place::Shelf, Place::Vessel(cup), -1.5);
        energy.post(Place::Chemistry, Place::Vessel(cup), 12.0);
        energy.post(Place::Vessel(cup), Place::Bath, 4.0);
        assert_eq!(energy.audit(cup, 6.5, 0.0), Ok(()));
        assert!(energy.audit(cup, 6.5 + 1e-6, 0.0).is_err());
        assert!(energy.audit(VesselId::from(1), 1e-3, 0.0).is_err());
        let all = [
            Place::Shelf,
            Place::Vessel(cup),
            Place::Chemistry,
            Place::Bath,
        ];
        assert!(
            all.map(|place| energy.balance(place))
                .iter()
                .sum::<f64>()
                .abs()
                < 1e-12
        );
    }
}
