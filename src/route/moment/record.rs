//! What happened in a run so far.

use std::collections::{BTreeMap, BTreeSet};

use typed_index_collections::TiVec;

use crate::matter::Species;
use crate::number::{Number, Quantity};
use crate::text::Span;
use crate::vessel::phases::PhasePoint;
use crate::vessel::{Contents, Heat, Reagent};

use super::super::ledger::{Fact, Ledger, Remark, StepRecord, Weight, Withdrawal};
use super::super::program::{BottleId, VesselId};

/// What happened to a vessel.
#[derive(Clone, Debug)]
pub struct History {
    /// Whether anything was ever in it.
    pub made: bool,
    /// Of the reactions in it, in kJ.
    pub heat: Heat,
    /// Gas given off so far, in mol.
    pub gas: Contents,
    /// The operation that emptied it.
    pub emptied: Option<Span>,
    /// Species and the operation that used them up.
    pub used_up: Vec<(Species, Span)>,
    /// How much too much it held when that was told last, in mL: told again where it is more.
    pub overfull: Option<Number>,
    /// Whether its liquid is colder than it can be.
    pub frozen: bool,
    /// What all of it weighed, as long as nothing was done with it since.
    pub weighed: Option<Quantity>,
    /// What its last titration found.
    pub titrated: Option<Titrated>,
}

impl Default for History {
    fn default() -> Self {
        History {
            made: false,
            heat: Heat::none(),
            gas: Contents::new(),
            emptied: None,
            used_up: Vec::new(),
            overfull: None,
            frozen: false,
            weighed: None,
            titrated: None,
        }
    }
}

/// What a titration found about a vessel, for `titre(V)` and `analyte(V)`.
#[derive(Clone, Debug)]
pub struct Titrated {
    /// Run out less the blank, in mL.
    pub titre: Number,
    /// In mol.
    pub analyte: Number,
}

/// What an operation boiled off a vessel.
#[derive(Clone, Debug)]
pub struct Boiled {
    /// What its temperature would have been without boiling, in K.
    pub uncooled: Number,
    /// Where it boils.
    pub boiling: PhasePoint,
    /// Water, in g.
    pub lost: Number,
    /// Whether more would have gone, had there been more.
    pub dry: bool,
}

/// One thing that was charged, for yields and for what is never consumed.
#[derive(Clone, Debug)]
pub struct Charged {
    /// The statement.
    pub span: Span,
    /// The calls it is in.
    pub calls: Vec<Span>,
    /// What.
    pub substance: Species,
    /// Into which vessel.
    pub vessel: String,
    /// How much, in mol.
    pub moles: Number,
    /// The species it became in the vessel.
    pub became: Vec<Species>,
}

/// The record of a run.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// What readers will see.
    pub ledger: Ledger,
    /// The step that runs now.
    pub open_step: Option<StepRecord>,
    /// The operation of it from which heat is counted.
    pub counted_from: usize,
    /// Operations on the sheet so far.
    operations: usize,
    /// Remarks of the operation that runs now.
    pub remarks: Vec<Remark>,
    /// Vessels that boiled in it: one operation may boil more than once while its solids dissolve.
    pub boiled: BTreeMap<VesselId, Boiled>,
    /// Its place.
    pub here: Span,
    /// The calls it is in.
    pub calls: Vec<Span>,
    /// Of each vessel.
    pub histories: TiVec<VesselId, History>,
    /// Everything that was charged, in its order.
    pub charged: Vec<Charged>,
    /// Species that some reaction, crystallisation or precipitation used.
    pub consumed: BTreeSet<Species>,
    /// Species that some question was about.
    pub asked: BTreeSet<Species>,
    /// Bottles that something was taken from.
    pub used_bottles: BTreeSet<BottleId>,
    /// What was found to be in a bottle, in the place of its label.
    pub standardised: BTreeMap<BottleId, Reagent>,
    /// Whether something may not be done: nothing after it is carried out.
    pub refused: bool,
}

impl Record {
    /// The record of a trial on the side, which begins where this one is.
    pub fn aside(&self) -> Record {
        Record {
            here: self.here,
            histories: self.histories.clone(),
            standardised: self.standardised.clone(),
            refused: self.refused,
            ..Record::default()
        }
    }

    /// The number of the operation that is put on the sheet next.
    pub fn next_number(&mut self) -> usize {
        self.operations += 1;
        self.operations
    }

    /// Adds vessels.
    pub fn make_room(&mut self, vessels: usize) {
        self.histories.resize_with(vessels, History::default);
    }

    /// Writes a remark about the operation that runs now.
    pub fn remark(&mut self, weight: Weight, fact: Fact) {
        let mut remark = Remark::new(self.here, weight, fact);
        remark.calls.clone_from(&self.calls);
        self.remarks.push(remark);
    }

    /// Puts the portion of a draw on the list of what to measure out.
    pub fn note_draw(&mut self, draw: &Withdrawal) {
        self.ledger.draws.push(draw.clone());
    }

    /// Notes what boiled off a vessel, on top of what it lost in this operation so far.
    pub fn note_boiled(&mut self, vessel: VesselId, boiled: Boiled) {
        let before = self.boiled.remove(&vessel);
        let lost = before.map_or_else(Number::zero, |before| before.lost);
        let lost = &lost + &boiled.lost;
        self.boiled.insert(vessel, Boiled { lost, ..boiled });
    }

    /// Notes a source that a figure rests on.
    pub fn cite(&mut self, source: &str) {
        let here = self.ledger.cited.entry(self.here).or_default();
        if here.contains(source) {
            return;
        }
        here.insert(source.to_owned());
        self.ledger.sources.insert(source.to_owned());
    }
}
