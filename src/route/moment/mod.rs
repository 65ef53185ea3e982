//! A run of a program at one moment: the bench, the record so far, the values, and how far the run goes.
//!
//! Knows nothing of what a statement does.

pub mod gas;
pub mod heat_control;
mod record;
mod refusal;
mod sampled;
mod scope;
mod shelf;
mod value;

use typed_index_collections::TiVec;

use crate::matter::Species;
use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::phases::{self, PhasePoint};
use crate::vessel::{Cited, Contents, Heat, Sources, liquid};

use super::bench::{Account, Bench, Digits};
use super::ledger::{Fact, Idle, VesselState, Weight};
use super::program::{LetId, Program, VesselId};

pub use record::{Boiled, Charged, History, Record, Titrated};
pub use refusal::{Done, Refusal};
pub use sampled::{Figures, Met};
pub use scope::RunScope;
pub use shelf::strength;
pub use value::admitted;

/// Everything that changes while a route runs.
#[derive(Clone, Debug)]
pub struct State {
    /// Vessels and accounts.
    pub bench: Bench,
    /// What happened.
    pub record: Record,
    /// Of each `let`, in their order.
    pub values: TiVec<LetId, Option<Quantity>>,
    /// How far this run goes, and what it brings back from there.
    pub scope: RunScope,
}

impl State {
    /// Empty vessels at the temperature of the room.
    pub fn new(program: &Program) -> State {
        State::with_scope(program, RunScope::default())
    }

    /// The same for a run that serves a question.
    pub fn with_scope(program: &Program, scope: RunScope) -> State {
        let digits = match scope.figures {
            Some(_) => Digits::OfAModel,
            None => Digits::All,
        };
        let mut state = State {
            bench: Bench::new(digits, !scope.serves_a_question()),
            record: Record::default(),
            values: TiVec::new(),
            scope,
        };
        state.make_room(program);
        state
    }

    /// Adds what the program has learnt since.
    pub fn make_room(&mut self, program: &Program) {
        self.values.resize(program.lets.len(), None);
        self.bench.works_with(&program.store, &program.ambient);
        for slot in program.vessels.iter().skip(self.bench.count()) {
            self.bench.put_up(&slot.name, slot.capacity.clone());
        }
        self.record.make_room(self.bench.count());
    }

    /// The run of a program that goes on from here.
    pub fn run<'r>(&'r mut self, program: &'r Program) -> Run<'r> {
        Run {
            program,
            bench: &mut self.bench,
            record: &mut self.record,
            values: &mut self.values,
            scope: &mut self.scope,
        }
    }
}

/// A run of a program at one moment.
#[derive(Debug)]
pub struct Run<'r> {
    /// What is run.
    pub program: &'r Program,
    /// Vessels and accounts.
    pub bench: &'r mut Bench,
    /// What happened.
    pub record: &'r mut Record,
    /// Of each `let`, in their order.
    pub values: &'r mut TiVec<LetId, Option<Quantity>>,
    /// How far this run goes.
    pub scope: &'r mut RunScope,
}

impl Run<'_> {
    /// The name of a vessel, for the ledger.
    pub fn name(&self, id: VesselId) -> String {
        self.bench.vessel(id).name().to_owned()
    }

    /// What is in a vessel.
    pub fn contents(&self, id: VesselId) -> &Contents {
        self.bench.vessel(id).contents()
    }

    /// The temperature of a vessel, in K.
    pub fn kelvins(&self, id: VesselId) -> &Number {
        self.bench.vessel(id).temperature()
    }

    /// What happened to a vessel.
    pub fn history(&mut self, id: VesselId) -> &mut History {
        &mut self.record.histories[id]
    }

    /// Writes a remark about the operation that runs now.
    pub fn remark(&mut self, weight: Weight, fact: Fact) {
        self.record.remark(weight, fact);
    }

    /// Says that a statement leaves everything as it was.
    pub fn changes_nothing(&mut self, why: Idle) {
        self.remark(Weight::Note, Fact::ChangesNothing(why));
    }

    /// A figure, its sources noted for the operation that runs now.
    pub fn noted<T>(&mut self, figure: Cited<T>) -> T {
        self.note(&figure.sources);
        figure.value
    }

    /// Notes sources of a figure for the operation that runs now; nobody looks at those of a run that serves a question.
    pub fn note(&mut self, sources: &Sources) {
        if self.scope.serves_a_question() {
            return;
        }
        for source in sources.iter() {
            self.record.cite(source.citation());
        }
    }

    /// Volume of the liquid in a vessel, in mL; `None` without a liquid.
    pub fn volume(&mut self, vessel: VesselId) -> Option<Number> {
        let vessel = self.bench.vessel(vessel);
        let found = liquid::volume(vessel.contents(), vessel.temperature())?;
        Some(self.noted(found))
    }

    /// The same, or why there is none.
    pub fn known_volume(&mut self, vessel: VesselId) -> Done<Number> {
        let name = self.name(vessel);
        self.volume(vessel)
            .ok_or_else(|| Refusal::of(Fact::NoVolume { vessel: name }))
    }

    /// Where the liquid of a vessel boils in this room; water itself where there is no liquid.
    pub fn boiling_point(&self, vessel: VesselId) -> Cited<PhasePoint> {
        phases::boiling_point_or_waters(self.contents(vessel), &self.program.ambient)
    }

    /// A reaction of unknown heat ran in a vessel: how hot it becomes is not known, and that is a danger.
    pub fn lose_temperature(&mut self, vessel: VesselId) {
        self.bench.loses_temperature(vessel);
        let vessel = self.name(vessel);
        self.remark(Weight::Warning, Fact::UnknownRise { vessel });
    }

    /// Whether the liquid of a vessel boils in this room at a temperature in K, or below it.
    pub fn boils_at(&self, vessel: VesselId, kelvin: &Number) -> bool {
        phases::boils_at(
            self.contents(vessel),
            &self.program.ambient,
            kelvin.to_f64(),
        )
    }

    /// Moves contents and the heat in them, at a temperature in K.
    pub fn transfer(
        &mut self,
        from: Account,
        to: Account,
        what: &Contents,
        at: &Number,
    ) -> Done<()> {
        let moved = self.bench.transfer(from, to, what, at);
        let moved = moved.map_err(|short| self.short(from, short))?;
        self.note(&moved.sources);
        Ok(())
    }

    /// Runs `extent` mol of a change in a vessel with the heat of it, which is returned.
    pub fn react(
        &mut self,
        vessel: VesselId,
        terms: &[(Exact, Species)],
        extent: &Number,
    ) -> Done<Heat> {
        let heat = self.bench.react(vessel, terms, extent);
        let heat = heat.map_err(|short| self.short(Account::Vessel(vessel), short))?;
        Ok(self.noted(heat))
    }

    /// A refusal of what an account does not have.
    pub fn short(&self, of: Account, short: super::bench::Short) -> Refusal {
        let vessel = match of {
            Account::Vessel(id) => self.name(id),
            _ => String::new(),
        };
        Refusal::of(Fact::TooMuch {
            vessel: format!("{} in {vessel}", short.species.key()),
            asked: Quantity::of(short.asked, &unit::MOLE),
            there: Quantity::of(short.there, &unit::MOLE),
        })
    }

    /// What would come of something; this run stays as it is.
    pub fn trial<T>(&self, ask: impl FnOnce(&mut Run<'_>) -> T) -> T {
        let mut state = State {
            bench: self.bench.clone(),
            record: self.record.aside(),
            values: self.values.clone(),
            scope: self.scope.aside(),
        };
        ask(&mut state.run(self.program))
    }

    /// Whether a vessel has liquid water.
    pub fn is_wet(&self, vessel: VesselId) -> bool {
        self.contents(vessel)
            .holds(&crate::vessel::reagent::water())
    }

    /// After contents came to or left a vessel: it exists, and an overflow is reported.
    pub fn touch(&mut self, id: VesselId) {
        self.bench.touch(id);
        let here = self.record.here;
        let empty = self.contents(id).is_empty();
        let history = self.history(id);
        if empty {
            history.emptied = Some(here);
            history.overfull = None;
            return;
        }
        history.made = true;
        history.emptied = None;
        history.weighed = None;
        self.bench.raise_peak(id);
        self.tell_overfull(id);
    }

    fn tell_overfull(&mut self, id: VesselId) {
        let Some(capacity) = self.bench.vessel(id).capacity().cloned() else {
            return;
        };
        let Some(volume) = self.volume(id) else {
            return;
        };
        // What was filled to a mark at one temperature is a little above it at another.
        let told = self.history(id).overfull.clone();
        let most = told.unwrap_or_else(|| capacity.clone());
        let overfull = volume.value() > capacity.value();
        let fuller = volume.value() > &(most.value() * &Exact::ratio(1001, 1000));
        if fuller || !overfull {
            self.history(id).overfull = overfull.then(|| volume.clone());
        }
        if fuller {
            let fact = Fact::Overfull {
                vessel: self.name(id),
                volume,
                capacity,
            };
            self.remark(Weight::Fault, fact);
        }
    }

    /// A vessel as the ledger shows it.
    pub fn vessel_state(&mut self, id: VesselId) -> VesselState {
        let volume = self.volume(id);
        if let Some(sensible) = self.bench.sensible(id) {
            let sources = sensible.sources.clone();
            self.note(&sources);
        }
        let heat_capacity = Some(self.bench.capacity(id)).filter(|capacity| *capacity > 0.0);
        let vessel = self.bench.vessel(id);
        VesselState {
            heat_capacity,
            name: vessel.name().to_owned(),
            contents: vessel.contents().listed(),
            temperature: vessel.temperature().clone(),
            knows_temperature: vessel.knows_temperature(),
            volume,
            mass: vessel.contents().grams(),
            capacity: vessel.capacity().cloned(),
            emptied: vessel.contents().is_empty(),
        }
    }
}
