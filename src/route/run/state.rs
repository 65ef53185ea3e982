//! Everything that changes while a route runs.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::data::Store;
use crate::matter::Species;
use crate::number::{Exact, Number, Quantity};
use crate::text::Span;

use super::super::books::{Account, Books};
use super::super::contents::Contents;
use super::super::energy::Energy;
use super::super::ledger::{Answer, Draw, Fact, Heat, Ledger, Remark, StepRecord, Weight};
use super::super::program::{BottleId, Program, Stuff, VesselId};
use super::hand::{Addition, Cooling, Hot};
use super::properties;
use super::sample::Figures;
use super::step_heat::Moved;
use super::titrate::Titrated;
use super::warmth::Warmth;

/// Binary digits of an amount, above and below the line, that are followed one by one: some three hundred decimals.
const LONGEST: u64 = 2048;

/// A vessel while the route runs.
#[derive(Clone, Debug)]
pub struct Vessel {
    /// Its name.
    pub(super) name: String,
    /// What is in it.
    pub(super) contents: Contents,
    /// In K.
    pub(super) temperature: Number,
    /// Of the contents above pure or infinitely diluted ones at 25 °C, in kJ.
    pub(super) enthalpy: Number,
    /// What the standing bath and boiling have taken since the step began, in kJ.
    pub(super) removed: Number,
    /// What its enthalpy depends on, with the contents that is for.
    pub(super) warmth: Option<(Contents, Arc<Warmth>)>,
    /// Where the step began, in K.
    pub(super) begun: Number,
    /// The hottest moment of its last step.
    pub(super) hot: Option<Hot>,
    /// Whether that is still of a step before.
    pub(super) counting: bool,
    pub(super) cooling: Option<Cooling>,
    /// The last thing that was charged over some time.
    pub(super) addition: Option<Addition>,
    /// What it would have been without baths since the step began, in K.
    pub(super) uncooled: Number,
    /// The highest of that, in K.
    pub(super) peak: Option<Number>,
    /// Of the reactions in it, in kJ.
    pub(super) heat: Heat,
    /// A bath that stays, in K.
    pub(super) held: Option<Number>,
    pub(super) sealed: bool,
    /// How much too much it held when that was told last, in mL: told again where it is more.
    pub(super) overfull: Option<Number>,
    /// Whether its liquid is colder than it can be.
    pub(super) frozen: bool,
    /// Gas given off so far, in mol.
    pub(super) gas: Contents,
    /// The operation that emptied it.
    pub(super) emptied: Option<Span>,
    /// Species and the operation that used them up.
    pub(super) used_up: Vec<(Species, Span)>,
    /// In mL.
    pub(super) capacity: Option<Number>,
    /// Whether anything was ever in it.
    pub(super) made: bool,
    /// What all of it weighed, as long as nothing was done with it since.
    pub(super) weighed: Option<Quantity>,
    /// What its last titration found.
    pub(super) titrated: Option<Titrated>,
}

/// One thing that was charged, for yields and for "never consumed".
#[derive(Clone, Debug)]
pub(super) struct Charged {
    pub(super) span: Span,
    pub(super) calls: Vec<Span>,
    pub(super) substance: Species,
    pub(super) vessel: String,
    pub(super) moles: Number,
    /// The species it became in the vessel.
    pub(super) became: Vec<Species>,
}

/// Vessels, values and books at one moment.
#[derive(Clone, Debug)]
pub struct State {
    /// The data that the route works with.
    pub(super) store: Store,
    pub(super) vessels: Vec<Vessel>,
    pub(super) values: Vec<Option<Quantity>>,
    pub(super) books: Books,
    pub(super) energy: Energy,
    /// Heat since the step began.
    pub(super) moved: Moved,
    pub(super) ledger: Ledger,
    pub(super) open_step: Option<StepRecord>,
    /// Vessels that something was done with since its record began.
    pub(super) changed_in_step: BTreeSet<VesselId>,
    /// The same since heat was last counted from anew.
    pub(super) in_hand: BTreeSet<VesselId>,
    /// The operation of the record from which heat is counted.
    pub(super) counted_from: usize,
    /// Vessels that something was done with since the auditor last looked.
    pub(super) unaudited: BTreeSet<VesselId>,
    /// Remarks of the operation that runs now.
    pub(super) remarks: Vec<Remark>,
    /// Its place.
    pub(super) here: Span,
    /// The calls it stands in.
    pub(super) calls: Vec<Span>,
    pub(super) charged: Vec<Charged>,
    /// Species that some reaction, crystallisation or precipitation used.
    pub(super) consumed: BTreeSet<Species>,
    /// Species that some question was about.
    pub(super) asked: BTreeSet<Species>,
    pub(super) used_bottles: BTreeSet<usize>,
    /// What was found to be in a bottle, in the place of its label.
    pub(super) standardised: BTreeMap<BottleId, Stuff>,
    pub(super) operations_run: usize,
    /// Whether something may not be done: nothing after it is carried out.
    pub(super) refused: bool,
    /// How far this run goes, and what it brings back from there.
    pub(super) errand: Errand,
}

/// A run that serves a `find` or a `vary` ends at that statement; they are counted in the order of the text.
#[derive(Clone, Debug, Default)]
pub(super) struct Errand {
    /// Statements of that kind to meet; `None` goes to the end.
    pub(super) until: Option<usize>,
    /// Met so far.
    pub(super) met: usize,
    /// Both sides of each condition of the last `find`, where they have a value.
    pub(super) sides: Vec<(Option<Quantity>, Option<Quantity>)>,
    /// The answers of the last `vary`.
    pub(super) answers: Vec<Answer>,
    /// The figures that are asked for, where the run serves a sample.
    pub(super) figures: Option<Figures>,
}

impl State {
    /// Empty vessels at ambient temperature.
    pub fn new(program: &Program) -> State {
        let mut state = State {
            store: Store::default(),
            vessels: Vec::new(),
            values: Vec::new(),
            books: Books::default(),
            energy: Energy::default(),
            moved: Moved::default(),
            ledger: Ledger::default(),
            open_step: None,
            changed_in_step: BTreeSet::new(),
            in_hand: BTreeSet::new(),
            counted_from: 0,
            unaudited: BTreeSet::new(),
            remarks: Vec::new(),
            here: Span::default(),
            calls: Vec::new(),
            charged: Vec::new(),
            consumed: BTreeSet::new(),
            asked: BTreeSet::new(),
            used_bottles: BTreeSet::new(),
            standardised: BTreeMap::new(),
            operations_run: 0,
            refused: false,
            errand: Errand::default(),
        };
        state.make_room(program);
        state
    }

    /// The beginning of a run that ends at the `until`th statement that plans.
    pub(super) fn until(program: &Program, until: usize) -> State {
        let mut state = State::new(program);
        state.errand.until = Some(until);
        state
    }

    /// Whether the run serves a `find`, a `vary` or a sample.
    pub(super) fn on_errand(&self) -> bool {
        self.errand.until.is_some() || self.errand.figures.is_some()
    }

    /// Whether the run is where it was to go.
    pub(super) fn arrived(&self) -> bool {
        self.errand
            .until
            .is_some_and(|until| self.errand.met >= until)
    }

    /// Adds what the program has learnt since.
    pub(super) fn make_room(&mut self, program: &Program) {
        self.store = program.store.clone();
        self.values.resize(program.lets.len(), None);
        for slot in program.vessels.iter().skip(self.vessels.len()) {
            self.vessels.push(Vessel {
                name: slot.name.clone(),
                contents: Contents::new(),
                temperature: program.ambient.temperature.clone(),
                enthalpy: Number::zero(),
                removed: Number::zero(),
                warmth: None,
                begun: program.ambient.temperature.clone(),
                hot: None,
                counting: true,
                cooling: None,
                addition: None,
                uncooled: program.ambient.temperature.clone(),
                peak: None,
                heat: Heat::none(),
                held: None,
                sealed: false,
                overfull: None,
                frozen: false,
                gas: Contents::new(),
                emptied: None,
                used_up: Vec::new(),
                capacity: slot.capacity.clone(),
                made: false,
                weighed: None,
                titrated: None,
            });
        }
    }

    /// Writes a remark about the operation that runs now.
    pub(super) fn remark(&mut self, weight: Weight, fact: Fact) {
        let span = self.here;
        let mut remark = Remark::new(span, weight, fact);
        remark.calls.clone_from(&self.calls);
        self.remarks.push(remark);
    }

    /// Moves an amount from one account to another, in the books and in the vessels.
    pub(super) fn transfer(
        &mut self,
        from: Account,
        to: Account,
        species: &Species,
        moles: &Number,
    ) {
        let moles = &self.followed(from, species, moles);
        if moles.is_zero() {
            return;
        }
        self.books.transfer((from, to), species, moles.value());
        if let Account::Vessel(id) = from {
            self.change(id);
            self.vessels[id].contents.add(species, &-moles);
        }
        if let Account::Vessel(id) = to {
            self.change(id);
            self.vessels[id].contents.add(species, moles);
        }
    }

    /// How much of an amount a run moves: all of it. But a sample, whose inputs are drawn at random, follows the digits of a
    /// model only; and so does every run where shares of shares have grown longer than any figure of a bench. So numbers
    /// stay short, and the books balance as exactly.
    fn followed(&self, from: Account, species: &Species, moles: &Number) -> Number {
        if self.errand.figures.is_none() && moles.value().bits() <= LONGEST {
            return moles.clone();
        }
        let there = match from {
            Account::Vessel(id) => self.vessels[id].contents.amount(species),
            _ => return moles.settled(),
        };
        // What is all but everything is everything: a vessel whose parts went two ways is empty.
        let left = there.to_f64() - moles.to_f64();
        match left <= 1e-11 * there.to_f64() {
            true => there,
            false => moles.settled(),
        }
    }

    /// The mass of contents, in g, as this run follows it.
    pub(super) fn grams(&self, contents: &Contents) -> Number {
        match self.errand.figures {
            Some(_) => contents.modelled_grams(),
            None => contents.grams(),
        }
    }

    /// Moves everything of `what`.
    pub(super) fn transfer_all(&mut self, from: Account, to: Account, what: &Contents) {
        for (species, moles) in what.iter() {
            self.transfer(from, to, species, moles);
        }
    }

    /// Runs `extent` turns, in mol, of a change in one vessel; the terms must conserve atoms and charge, and the
    /// auditor checks that they do.
    pub(super) fn extent(&mut self, vessel: VesselId, terms: &[(Exact, Species)], extent: &Number) {
        self.change(vessel);
        for (coefficient, species) in terms {
            let moles = extent.scaled(coefficient);
            self.books
                .post(Account::Vessel(vessel), species, moles.value());
            self.vessels[vessel].contents.add(species, &moles);
        }
    }

    /// Puts the portion of a draw on the list of what to measure out.
    pub(super) fn note_draw(&mut self, draw: &Draw) {
        self.ledger.draws.push(draw.clone());
    }

    /// After contents came to or left a vessel: it exists, and is told if it overflows.
    pub(super) fn touch(&mut self, program: &Program, id: VesselId) {
        let here = self.here;
        self.change(id);
        let vessel = &mut self.vessels[id];
        if vessel.contents.is_empty() {
            vessel.emptied = Some(here);
            vessel.overfull = None;
            return;
        }
        vessel.made = true;
        vessel.emptied = None;
        vessel.weighed = None;
        self.raise_peak(id);
        let Some(capacity) = self.vessels[id].capacity.clone() else {
            return;
        };
        let Some(volume) = properties::volume(program, self, id) else {
            return;
        };
        // What was filled to a mark at one temperature stands a little above it at another.
        let most = self.vessels[id]
            .overfull
            .clone()
            .unwrap_or_else(|| capacity.clone());
        let overfull = volume.value() > capacity.value();
        let fuller = volume.value() > &(most.value() * &Exact::ratio(1001, 1000));
        if fuller || !overfull {
            self.vessels[id].overfull = overfull.then(|| volume.clone());
        }
        if fuller {
            let vessel = self.vessels[id].name.clone();
            self.remark(
                Weight::Fault,
                Fact::Overfull {
                    vessel,
                    volume,
                    capacity,
                },
            );
        }
    }

    /// Remembers the uncooled temperature if it is the highest so far.
    pub(super) fn raise_peak(&mut self, id: VesselId) {
        let vessel = &mut self.vessels[id];
        let higher = vessel
            .peak
            .as_ref()
            .is_none_or(|p| p.value() < vessel.uncooled.value());
        if higher {
            vessel.peak = Some(vessel.uncooled.clone());
        }
    }

    /// Notes that something is done with a vessel, for the record of the step and for the auditor.
    pub(super) fn change(&mut self, id: VesselId) {
        self.changed_in_step.insert(id);
        self.in_hand.insert(id);
        self.unaudited.insert(id);
    }

    /// Begins to count anew what baths take from every vessel; the others were not changed since that was done last.
    pub(super) fn count_anew(&mut self) {
        for id in std::mem::take(&mut self.in_hand) {
            self.count_from_here(id);
        }
        let record = self.open_step.as_ref();
        self.counted_from = record.map_or(0, |record| record.operations.len());
    }

    /// Begins to count anew what a bath takes: for a step, or a new bath.
    pub(super) fn count_from_here(&mut self, id: VesselId) {
        let vessel = &mut self.vessels[id];
        vessel.removed = Number::zero();
        vessel.uncooled = vessel.temperature.clone();
        vessel.begun = vessel.temperature.clone();
        vessel.counting = true;
    }

    /// Notes a source that a figure rests on.
    pub(super) fn cite(&mut self, source: impl Into<String>) {
        let source = source.into();
        let here = self.ledger.cited.entry(self.here).or_default();
        if !here.contains(&source) {
            here.insert(source.clone());
        }
        self.ledger.sources.insert(source);
    }
}
