//! The writer: vessels, the books of matter and the account of heat, changed together or not at all.
//!
//! Promises: nobody else changes a vessel. Matter goes from one account to another with the heat in it; a change in a
//! vessel takes the heat of it from chemistry; a bath or the room takes up the rest. More than there is cannot be moved
//! ([`Short`]). The auditor compares vessels with both accounts.
//!
//! Knows nothing of statements, remarks or what a reaction is for.

mod books;
mod energy;
mod moved;
mod vessel;

use std::collections::BTreeSet;

use typed_index_collections::TiVec;

use crate::data::Store;
use crate::matter::Species;
use crate::number::{Exact, Number};
use crate::vessel::{Ambient, Cited, Contents, Heat, SensibleEnthalpy, reaction};

use super::program::VesselId;
use books::Books;
pub use books::{Account, Discrepancy};
use energy::Energy;
pub use energy::Place;
use moved::Moved;
pub use moved::Posted;
pub use vessel::{Addition, Cooling, Hot, Vessel};

/// Binary digits of an amount, above and below the line, that are followed one by one: some three hundred decimals.
const LONGEST: u64 = 2048;

/// More was asked of an account than there is.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{asked} mol of {species} asked for, and {there} mol are there")]
pub struct Short {
    /// Of what.
    pub species: Species,
    /// In mol.
    pub there: Number,
    /// In mol.
    pub asked: Number,
}

/// What the bench is worked for.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq)]
pub enum Digits {
    /// Amounts are followed exactly.
    #[default]
    All,
    /// Inputs are drawn at random: amounts are followed to the digits of a model.
    OfAModel,
}

/// All vessels with their accounts.
#[derive(Clone, Debug)]
pub struct Bench {
    store: Store,
    ambient: Ambient,
    vessels: TiVec<VesselId, Vessel>,
    books: Books,
    energy: Energy,
    /// Heat since the step began; `None` where nobody will look at it.
    moved: Option<Moved>,
    digits: Digits,
    touched: Touched,
}

/// Vessels that something was done with, for those who follow.
#[derive(Clone, Debug, Default)]
struct Touched {
    in_step: BTreeSet<VesselId>,
    since_counted: BTreeSet<VesselId>,
    unaudited: BTreeSet<VesselId>,
}

impl Bench {
    /// An empty bench in a room. Without `steps` no heat account of steps is kept.
    pub fn new(digits: Digits, steps: bool) -> Bench {
        Bench {
            store: Store::default(),
            ambient: Ambient::default(),
            vessels: TiVec::new(),
            books: Books::default(),
            energy: Energy::default(),
            moved: steps.then(Moved::default),
            digits,
            touched: Touched::default(),
        }
    }

    /// The tables and the room that figures rest on from here on.
    pub fn works_with(&mut self, store: &Store, ambient: &Ambient) {
        self.store = store.clone();
        self.ambient = ambient.clone();
    }

    /// Puts up an empty vessel at the temperature of the room; its capacity is in mL.
    pub fn put_up(&mut self, name: &str, capacity: Option<Number>) {
        let vessel = Vessel::new(name, capacity, &self.ambient.temperature);
        self.vessels.push(vessel);
    }

    /// How many vessels there are.
    pub fn count(&self) -> usize {
        self.vessels.len()
    }

    /// Every vessel.
    pub fn ids(&self) -> impl Iterator<Item = VesselId> + use<> {
        self.vessels.keys()
    }

    /// A vessel to look at.
    pub fn vessel(&self, id: VesselId) -> &Vessel {
        &self.vessels[id]
    }

    /// What an account other than a vessel's holds, in mol.
    pub fn balance(&self, account: Account) -> impl Iterator<Item = (&Species, &Exact)> {
        self.books.balance(account)
    }

    /// The mass of contents, in g, as this bench follows it.
    pub fn grams(&self, contents: &Contents) -> Number {
        match self.digits {
            Digits::OfAModel => contents.modelled_grams(),
            Digits::All => contents.grams(),
        }
    }

    /// Moves contents and the heat in them, at a temperature in K, from one account to another.
    pub fn transfer(
        &mut self,
        from: Account,
        to: Account,
        what: &Contents,
        at: &Number,
    ) -> Result<Cited<()>, Short> {
        self.covers(from, what)?;
        let mut kilojoules = Number::zero();
        let mut rests_on = Cited::default();
        if let Some(sensible) = SensibleEnthalpy::of(&self.store, what) {
            let sensible = sensible.noting(&mut rests_on.sources);
            kilojoules = sensible.enthalpy(at).settled();
            if let Some(moved) = &mut self.moved {
                moved.carried(from.into(), to.into(), &sensible, &kilojoules);
            }
        }
        self.share_removed(from, what);
        for (species, moles) in what.iter() {
            self.move_matter(from, to, species, moles);
        }
        self.carry_doubt(from, to, what);
        self.post(from.into(), to.into(), &kilojoules);
        Ok(rests_on)
    }

    /// Moves contents out of the books of a vessel, which keeps its heat: [`Bench::follow_losses`] sends that after them.
    pub fn lose(&mut self, vessel: VesselId, what: &Contents) -> Result<(), Short> {
        let from = Account::Vessel(vessel);
        self.covers(from, what)?;
        for (species, moles) in what.iter() {
            self.move_matter(from, Account::Losses, species, moles);
        }
        Ok(())
    }

    /// Whether a vessel has what is asked of it; other accounts give what they are asked for.
    fn covers(&self, from: Account, what: &Contents) -> Result<(), Short> {
        let Account::Vessel(id) = from else {
            return Ok(());
        };
        let contents = &self.vessels[id].contents;
        for (species, asked) in what.iter() {
            let there = contents.amount(species);
            // The rounding of parts that went before is taken for nothing: `followed` moves what there is.
            let more = asked.value() > there.value()
                && asked.to_f64() - there.to_f64() > ROUNDED_PARTS * there.to_f64();
            if more {
                return Err(Short {
                    species: species.clone(),
                    there,
                    asked: asked.clone(),
                });
            }
        }
        Ok(())
    }

    fn move_matter(&mut self, from: Account, to: Account, species: &Species, moles: &Number) {
        let moles = &self.followed(from, species, moles);
        if moles.is_zero() {
            return;
        }
        self.books.transfer((from, to), species, moles.value());
        if let Account::Vessel(id) = from {
            self.contents_mut(id).add(species, &-moles);
        }
        if let Account::Vessel(id) = to {
            self.contents_mut(id).add(species, moles);
        }
    }

    /// How much of an amount moves: all of it. But a sample, whose inputs are drawn at random, follows the digits of a
    /// model only; and so does every run where shares of shares have grown longer than any figure of a bench. So numbers
    /// stay short, and the books balance as exactly.
    fn followed(&self, from: Account, species: &Species, moles: &Number) -> Number {
        let there = match from {
            Account::Vessel(id) => Some(self.vessels[id].contents.amount(species)),
            _ => None,
        };
        if let Some(there) = &there
            && moles.value() > there.value()
        {
            return there.clone();
        }
        if self.digits == Digits::All && moles.value().bits() <= LONGEST {
            return moles.clone();
        }
        let Some(there) = there else {
            return moles.settled();
        };
        // What is all but everything is everything: a vessel whose parts went two ways is empty.
        let left = there.to_f64() - moles.to_f64();
        match left <= ROUNDING * there.to_f64() {
            true => there,
            false => moles.settled(),
        }
    }

    /// A part of what a bath took since the step began goes with what is taken out.
    fn share_removed(&mut self, from: Account, what: &Contents) {
        let Account::Vessel(id) = from else { return };
        let vessel = &mut self.vessels[id];
        if vessel.removed.is_zero() {
            return;
        }
        let stays = &Number::one()
            - &what
                .modelled_grams()
                .checked_div(&vessel.contents.modelled_grams())
                .unwrap_or_else(Number::zero);
        vessel.removed = (&vessel.removed * &stays).settled();
    }

    /// Runs `extent` mol of a change in a vessel and gives its contents the heat of it, which is returned. Where that is not
    /// known the temperature stays, and the room is debited.
    pub fn react(
        &mut self,
        vessel: VesselId,
        terms: &[(Exact, Species)],
        extent: &Number,
    ) -> Result<Cited<Heat>, Short> {
        let heat = reaction::heat_of(&self.store, terms, extent);
        self.react_with(vessel, terms, extent, &heat.value)?;
        Ok(heat)
    }

    /// The same with a heat that is known otherwise, in kJ.
    pub fn react_with(
        &mut self,
        vessel: VesselId,
        terms: &[(Exact, Species)],
        extent: &Number,
        heat: &Heat,
    ) -> Result<(), Short> {
        self.allows(vessel, terms, extent)?;
        for (coefficient, species) in terms {
            let moles = extent.scaled(coefficient);
            self.books
                .post(Account::Vessel(vessel), species, moles.value());
            self.contents_mut(vessel).add(species, &moles);
        }
        match heat {
            Heat::Known(heat) => self.post(Place::Chemistry, Place::Vessel(vessel), &-heat),
            Heat::Unknown(_) => {
                let at = self.vessels[vessel].temperature.clone();
                self.leave_at(vessel, &at, Place::Room);
            }
        }
        Ok(())
    }

    /// Where the temperature of what came is not known, neither is that of the mixture.
    fn carry_doubt(&mut self, from: Account, to: Account, what: &Contents) {
        let (Account::Vessel(from), Account::Vessel(to)) = (from, to) else {
            return;
        };
        if self.vessels[from].adrift && !what.is_empty() {
            self.vessels[to].adrift = true;
            self.vessels[to].was_adrift = true;
        }
    }

    fn allows(
        &self,
        vessel: VesselId,
        terms: &[(Exact, Species)],
        extent: &Number,
    ) -> Result<(), Short> {
        let contents = &self.vessels[vessel].contents;
        for (coefficient, species) in terms {
            let change = extent.scaled(coefficient);
            let there = contents.amount(species);
            if (&there + &change).is_negative() {
                return Err(Short {
                    species: species.clone(),
                    there,
                    asked: -&change,
                });
            }
        }
        Ok(())
    }

    /// Moves heat in the vessels and in the account, in kJ.
    pub fn post(&mut self, from: Place, to: Place, kilojoules: &Number) {
        self.energy.post(from, to, kilojoules.to_f64());
        if let Some(moved) = &mut self.moved {
            moved.posted(from, to, kilojoules);
        }
        if let Place::Vessel(id) = from {
            self.touch(id);
            let vessel = &mut self.vessels[id];
            vessel.enthalpy = (&vessel.enthalpy - kilojoules).settled();
        }
        if let Place::Vessel(id) = to {
            self.touch(id);
            let vessel = &mut self.vessels[id];
            vessel.enthalpy = (&vessel.enthalpy + kilojoules).settled();
        }
    }

    /// Brings the contents to a temperature, in K; what another place takes up for it is returned, in kJ.
    pub fn leave_at(&mut self, vessel: VesselId, at: &Number, place: Place) -> Number {
        let after = match self.sensible(vessel) {
            Some(sensible) => sensible.value.enthalpy(at).settled(),
            None => Number::zero(),
        };
        if place == Place::Bath && at.value() != self.vessels[vessel].temperature.value() {
            self.settles_temperature(vessel);
        }
        let taken = &self.vessels[vessel].enthalpy - &after;
        self.post(Place::Vessel(vessel), place, &taken);
        self.vessels[vessel].temperature = at.settled();
        taken.settled()
    }

    /// A reaction of unknown heat ran: how hot the vessel became is not known from here on, nor its temperature unless a bath
    /// holds it there.
    pub fn loses_temperature(&mut self, vessel: VesselId) {
        let vessel = &mut self.vessels[vessel];
        vessel.adrift = vessel.held.is_none() || vessel.cooling.is_some();
        vessel.was_adrift = true;
    }

    /// A bath or a thermometer says what the temperature is.
    pub fn settles_temperature(&mut self, vessel: VesselId) {
        self.vessels[vessel].adrift = false;
    }

    /// The same by a bath, whose share is kept with the vessel: without it the contents would be hotter, or colder.
    pub fn bathe(&mut self, vessel: VesselId, at: &Number) {
        let taken = self.leave_at(vessel, at, Place::Bath);
        self.remove(vessel, &taken);
    }

    /// Notes heat, in kJ, that left a vessel since its heat was last counted from anew.
    pub fn remove(&mut self, vessel: VesselId, kilojoules: &Number) {
        let vessel = &mut self.vessels[vessel];
        vessel.removed = (&vessel.removed + kilojoules).settled();
    }

    /// Contents went to the losses account, and their heat goes after them; before that `mixing` kJ of the vessel's were from
    /// mixing. The temperature stays.
    pub fn follow_losses(&mut self, vessel: VesselId, mixing: &Number) {
        let at = self.vessels[vessel].temperature.clone();
        let taken = self.leave_at(vessel, &at, Place::Losses);
        let mixing = mixing - &self.excess(vessel);
        if let Some(moved) = &mut self.moved {
            moved.lost(&taken, &mixing);
        }
    }

    /// What the enthalpy of a vessel depends on; `None` for an empty one.
    pub fn sensible(&self, vessel: VesselId) -> Option<&Cited<SensibleEnthalpy>> {
        let vessel = &self.vessels[vessel];
        let of = || SensibleEnthalpy::of(&self.store, &vessel.contents);
        vessel
            .sensible
            .get_or_init(|| of().map(Box::new))
            .as_deref()
    }

    /// Enthalpy of the solution in a vessel above infinite dilution, in kJ.
    pub fn excess(&self, vessel: VesselId) -> Number {
        let sensible = self.sensible(vessel);
        sensible.map_or_else(Number::zero, |found| found.value.excess().clone())
    }

    /// Heat capacity of a vessel's contents at 25 °C, in J/K.
    pub fn capacity(&self, vessel: VesselId) -> f64 {
        let sensible = self.sensible(vessel);
        sensible.map_or(0.0, |found| found.value.capacity().to_f64())
    }

    /// An empty vessel takes the temperature, in K, of what comes first.
    pub fn begin_at(&mut self, vessel: VesselId, kelvin: &Number) {
        let vessel = &mut self.vessels[vessel];
        if vessel.contents.is_empty() {
            vessel.temperature = kelvin.settled();
            vessel.begun = vessel.temperature.clone();
            vessel.removed = Number::zero();
            vessel.adrift = false;
        }
    }

    /// The temperature, in K, that was found for the enthalpy that a vessel has.
    pub fn found_at(&mut self, vessel: VesselId, kelvin: &Number) {
        self.touch(vessel);
        self.vessels[vessel].temperature = kelvin.clone();
    }

    /// The temperature, in K, that was found for a vessel without its bath, and the enthalpy of that, in kJ.
    /// Below that, an open vessel may boil at `boiling`, in K.
    pub fn without_bath_at(
        &mut self,
        vessel: VesselId,
        (kelvin, enthalpy): (&Number, &Number),
        boiling: Option<Number>,
    ) {
        let vessel = &mut self.vessels[vessel];
        vessel.note_hot(kelvin, enthalpy);
        vessel.uncooled = kelvin.clone();
        vessel.stops = boiling;
        vessel.raise_peak();
    }

    /// Where an open vessel boils, in K, on its way to the temperature that it would have otherwise.
    pub fn stops_at(&mut self, vessel: VesselId, boiling: &Number) {
        self.vessels[vessel].stops = Some(boiling.clone());
        self.vessels[vessel].raise_peak();
    }

    /// Remembers the temperature without a bath if it is the highest so far.
    pub fn raise_peak(&mut self, vessel: VesselId) {
        self.vessels[vessel].raise_peak();
    }

    /// Puts a vessel into a bath that keeps it at a temperature in K, or takes it out.
    pub fn hold(&mut self, vessel: VesselId, at: Option<Number>) {
        self.touch(vessel);
        self.vessels[vessel].held = at;
    }

    /// What the bath of a vessel can take away.
    pub fn cool_with(&mut self, vessel: VesselId, cooling: Option<Cooling>) {
        self.vessels[vessel].cooling = cooling;
    }

    /// How fast the last thing was added.
    pub fn adds(&mut self, vessel: VesselId, addition: Option<Addition>) {
        self.vessels[vessel].addition = addition;
    }

    /// Closes a vessel, or opens it.
    pub fn close(&mut self, vessel: VesselId, sealed: bool) {
        self.vessels[vessel].sealed = sealed;
    }

    fn contents_mut(&mut self, id: VesselId) -> &mut Contents {
        self.touch(id);
        let vessel = &mut self.vessels[id];
        vessel.sensible.take();
        &mut vessel.contents
    }

    /// Notes that something is done with a vessel, for the record of the step and for the auditor.
    pub fn touch(&mut self, id: VesselId) {
        self.touched.in_step.insert(id);
        self.touched.since_counted.insert(id);
        self.touched.unaudited.insert(id);
    }

    /// Vessels that something was done with since the step began; the next step begins.
    pub fn changed_in_step(&mut self) -> BTreeSet<VesselId> {
        std::mem::take(&mut self.touched.in_step)
    }

    /// The same since heat was last counted from anew.
    pub fn changed_since_counted(&self) -> BTreeSet<VesselId> {
        self.touched.since_counted.clone()
    }

    /// The same since this was last asked: an operation is over.
    pub fn changed_by_operation(&self) -> BTreeSet<VesselId> {
        self.touched.unaudited.clone()
    }

    /// Begins to count anew what baths take from every vessel; the others were not changed since that was done last.
    pub fn count_anew(&mut self) {
        for id in std::mem::take(&mut self.touched.since_counted) {
            self.count_from_here(id);
        }
    }

    /// Begins to count anew what a bath takes: for a step, or a new bath.
    pub fn count_from_here(&mut self, id: VesselId) {
        self.vessels[id].count_from_here();
    }

    /// Begins the heat account of a step.
    pub fn begin_step(&mut self) {
        if self.moved.is_some() {
            let begun = self.in_vessels();
            self.moved = Some(Moved::since(begun));
        }
    }

    /// What was posted in the step that ends here; `None` where no account is kept.
    pub fn end_step(&self) -> Option<Posted> {
        let moved = self.moved.as_ref()?;
        Some(moved.posted_until(&self.in_vessels()))
    }

    fn in_vessels(&self) -> moved::Split {
        let mut all = moved::Split::default();
        for id in self.ids() {
            all.add(&self.excess(id), &self.vessels[id].enthalpy);
        }
        all
    }

    /// Both audits of the vessels that were worked on since the last.
    pub fn audit(&mut self) -> Vec<Wrong> {
        let worked_on = std::mem::take(&mut self.touched.unaudited);
        self.audit_of(worked_on)
    }

    /// Both audits of all vessels: nothing may have changed behind the books.
    pub fn audit_all(&mut self) -> Vec<Wrong> {
        self.touched.unaudited.clear();
        self.audit_of(self.ids().collect())
    }

    fn audit_of(&self, vessels: BTreeSet<VesselId>) -> Vec<Wrong> {
        let contents: Vec<_> = vessels
            .iter()
            .map(|id| (*id, &self.vessels[*id].contents))
            .collect();
        let matter = self.books.audit(&contents).err().map(Wrong::Matter);
        let heat = vessels.iter().find(|id| !self.heat_is_right(**id));
        matter
            .into_iter()
            .chain(heat.copied().map(Wrong::Heat))
            .collect()
    }

    fn heat_is_right(&self, id: VesselId) -> bool {
        let at = &self.vessels[id].temperature;
        let (found, resolution) = match self.sensible(id) {
            Some(sensible) => (
                sensible.value.enthalpy(at).to_f64(),
                sensible.value.resolution(at.to_f64()),
            ),
            None => (0.0, 0.0),
        };
        self.energy.audit(id, found, resolution).is_ok()
    }
}

/// What of an amount is lost to the digits of a model.
const ROUNDING: f64 = 1e-11;
/// The same where a small part is left of an amount whose other parts were rounded.
const ROUNDED_PARTS: f64 = 1e-8;

/// What the auditor can find: a fault of the program, never of the route.
#[derive(Clone, Debug, PartialEq)]
pub enum Wrong {
    /// Matter.
    Matter(Discrepancy),
    /// The heat of a vessel.
    Heat(VesselId),
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vessel::reagent;

    const CUP: VesselId = VesselId::FIRST;

    fn kelvin(value: i64) -> Number {
        Number::exact(Exact::from(value))
    }

    fn water(moles: i64) -> Contents {
        let mut contents = Contents::new();
        contents.add(&reagent::water(), &kelvin(moles));
        contents
    }

    fn cup_with(moles: i64) -> Bench {
        let mut bench = Bench::new(Digits::All, true);
        bench.put_up("cup", None);
        bench.begin_at(CUP, &kelvin(333));
        let (shelf, cup) = (Account::Shelf, Account::Vessel(CUP));
        bench
            .transfer(shelf, cup, &water(moles), &kelvin(333))
            .unwrap();
        bench.found_at(CUP, &kelvin(333));
        bench
    }

    #[test]
    fn heat_that_was_tampered_with_is_found() {
        let mut bench = cup_with(5);
        assert_eq!(bench.audit(), []);
        // A joule that nobody posted.
        let vessel = &mut bench.vessels[CUP];
        vessel.temperature = &vessel.temperature + &Number::exact(Exact::ratio(1, 400));
        bench.touch(CUP);
        assert_eq!(bench.audit(), [Wrong::Heat(CUP)]);
    }

    #[test]
    fn more_than_there_is_cannot_be_moved() {
        let mut bench = cup_with(5);
        let (cup, air) = (Account::Vessel(CUP), Account::Air);
        let short = bench
            .transfer(cup, air, &water(6), &kelvin(333))
            .unwrap_err();
        assert_eq!((short.there, short.asked), (kelvin(5), kelvin(6)));
        let steam = [
            (Exact::from(-1), reagent::water()),
            (Exact::one(), reagent::steam()),
        ];
        assert!(bench.react(CUP, &steam, &kelvin(6)).is_err());
        assert_eq!(bench.audit(), []);
        assert_eq!(bench.vessel(CUP).contents(), &water(5));
    }
}
