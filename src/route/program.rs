//! A checked route: names resolved, dimensions right, equations balanced. Running it cannot meet an unknown name.

use rustc_hash::FxHashMap;
use typed_index_collections::TiVec;

use crate::data::Store;
use crate::equation::Reaction;
use crate::hazard::Rule;
use crate::matter::Species;
use crate::number::{Dimension, Distribution, Input, Number, Quantity, SampleDraw, Unit};
use crate::text::Span;
use crate::vessel::Reagent;

use std::sync::Arc;

use super::syntax::{Comparison, Name, Operator, Spanned, Statement};
use crate::vessel::Ambient;

mod demand;
mod heat;
mod id;
mod instrument;
mod mark;
mod planning;
mod property;
mod solution;
mod titration;

pub use demand::{Beyond, Demand, HOTTEST, Inadmissible, Range, most};
pub use heat::HeatQuestion;
pub use id::{BottleId, LetId, ProcedureId, VesselId};
pub use instrument::{Instrument, Slack};
pub use mark::{Added, Mark};
pub use planning::{MOST_RUNS, RangeFault, Sought, Target, Values, Variation};
pub use property::{HandQuestion, Property, SpeciesProperty};
pub use solution::{Compared, DilutedTo, SolutionKind, SolutionQuestion};
pub use titration::Titration;

/// What a run works through: pure data, shared between threads.
#[derive(Clone, Debug, Default)]
pub struct Program {
    /// `title "…"`
    pub title: Option<String>,
    /// The room.
    pub ambient: Ambient,
    /// What the room was reckoned from, temperature and pressure, if it was stated.
    pub ambient_from: (Option<Value>, Option<Value>),
    /// Every `let`, in order.
    pub lets: TiVec<LetId, LetSlot>,
    /// Every bottle, in order.
    pub bottles: TiVec<BottleId, Bottle>,
    /// Every vessel, declared or made by `->`, in order.
    pub vessels: TiVec<VesselId, VesselSlot>,
    /// Hazards that the route accepts.
    pub accepted: Vec<Accepted>,
    /// What is measured with, as far as anybody said.
    pub instruments: Vec<Instrument>,
    /// The uncertain inputs; their index is their input id.
    pub inputs: Vec<Input>,
    /// Values at random in the place of uncertainties, for one run of a sample.
    pub draw: Option<Arc<SampleDraw>>,
    /// The embedded tables and the script's own substances.
    pub store: Store,
    /// Names of the whole route, in the order in which they were declared or made.
    pub order: Arc<Vec<String>>,
    /// Every procedure, in order.
    pub procedures: TiVec<ProcedureId, Arc<Procedure>>,
    /// How often each procedure was called.
    pub called: FxHashMap<String, usize>,
    /// What to do; shared, because many runs differ in their values alone.
    pub body: Arc<Vec<Instruction>>,
}

impl Program {
    /// One that does nothing yet.
    pub fn with_data(store: &Store) -> Program {
        Program {
            store: store.clone(),
            inputs: store.inputs().to_vec(),
            ..Program::default()
        }
    }
}

/// A value from outside that stands for that of a `let`.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Of the `let`.
    pub name: String,
    /// Its uncertainty is an input of its own, whatever input it is said to be.
    pub value: Quantity,
    /// How the values that it may have are distributed.
    pub distribution: Distribution,
}

impl From<&(String, Quantity)> for Setting {
    fn from((name, value): &(String, Quantity)) -> Setting {
        Setting {
            name: name.clone(),
            value: value.clone(),
            distribution: Distribution::Normal,
        }
    }
}

/// `accept hazard "…"`
#[derive(Clone, Debug)]
pub struct Accepted {
    /// The row of the table it names.
    pub rule: Rule,
    /// As written.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// A `procedure`, as it is written: each call checks it anew with its own arguments.
#[derive(Clone, Debug)]
pub struct Procedure {
    /// Its name.
    pub name: Name,
    /// Names of what it is given.
    pub parameters: Vec<Name>,
    /// What it does.
    pub body: Arc<[Spanned<Statement>]>,
    /// How many names of the whole route it sees: those that stand above it.
    pub sees: usize,
}

/// A named value.
#[derive(Clone, Debug)]
pub struct LetSlot {
    /// Its name.
    pub name: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Where it is declared.
    pub span: Span,
    /// What it is reckoned from.
    pub value: Value,
    /// A value that stands for the written one (`--set`, `find`, `vary`).
    pub set: Option<Quantity>,
    /// What it is, if no vessel has to be asked.
    pub known: Option<Quantity>,
    /// The `find` that looks for it.
    pub sought: Option<Span>,
    /// Whether it is what lies between two readings of temperature.
    pub difference: bool,
}

/// A vessel's name and size.
#[derive(Clone, Debug)]
pub struct VesselSlot {
    /// Its name.
    pub name: String,
    /// In mL.
    pub capacity: Option<Number>,
    /// What the capacity is reckoned from.
    pub capacity_from: Option<Value>,
}

/// A bottle on the shelf.
#[derive(Clone, Debug)]
pub struct Bottle {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub stuff: Reagent,
    /// Where it is declared.
    pub span: Span,
    /// What is written on it.
    pub label: Label,
    /// Whether another file brought it.
    pub brought: bool,
}

/// What is written on a bottle: `stuff` is reckoned from it.
#[derive(Clone, Debug)]
pub struct Label {
    /// What is in it.
    pub species: Species,
    /// Strength or purity; none for a pure substance.
    pub strength: Option<Value>,
    /// Its density, if it is stated.
    pub density: Option<Value>,
}

/// Something measured out of a bottle or from the shelf.
#[derive(Clone, Debug)]
pub struct Matter {
    /// The bottle, or `None` for a pure substance named by its formula.
    pub bottle: Option<BottleId>,
    /// What.
    pub stuff: Reagent,
    /// As written.
    pub label: String,
}

impl Matter {
    /// Water from the tap of the lab.
    pub fn water() -> Matter {
        Matter {
            bottle: None,
            stuff: Reagent::water(),
            label: "water".to_owned(),
        }
    }

    /// What it is in this program: a bottle's strength may have been given another value.
    pub fn stuff<'m>(&'m self, program: &'m Program) -> &'m Reagent {
        match self.bottle {
            Some(id) => &program.bottles[id].stuff,
            None => &self.stuff,
        }
    }
}

/// One operation or question with its place.
#[derive(Clone, Debug)]
pub struct Instruction {
    /// Where.
    pub span: Span,
    /// As written, with what a procedure was given in the place of its parameters.
    pub text: String,
    /// The calls it stands in, the outermost first.
    pub calls: Vec<Span>,
    /// The vessels that it names, in what it does and in its values.
    pub vessels: Vec<VesselId>,
    /// What to do.
    pub action: Action,
}

/// A quantity of something.
#[derive(Clone, Debug)]
pub struct Portion {
    /// How much: a mass, a volume or an amount.
    pub amount: Value,
    /// Of what.
    pub matter: Matter,
}

/// An expression of known dimension, with its place and text.
#[derive(Clone, Debug)]
pub struct Value {
    /// What to work out.
    pub node: Node,
    /// What it measures.
    pub dimension: Dimension,
    /// A unit to show it in.
    pub unit: Option<Unit>,
    /// What it must be where it stands.
    pub demand: Demand,
    /// Where.
    pub span: Span,
    /// As written.
    pub text: String,
}

/// The kinds of expression.
#[derive(Clone, Debug)]
pub enum Node {
    /// A literal.
    Constant(Quantity),
    /// A named value.
    Let(LetId),
    /// With the opposite sign.
    Negative(Box<Value>),
    /// Arithmetic.
    Binary(Operator, Box<Value>, Box<Value>),
    /// A figure of a vessel.
    Of(Property, VesselId),
    /// A figure of a species in a vessel.
    OfSpecies(SpeciesProperty, Species, VesselId),
    /// How strong a bottle is, as far as anybody has found out.
    Strength(BottleId),
    /// `ice(V, T)` and its like.
    InHand(HandQuestion, VesselId, Box<Value>),
    /// The standard uncertainty of a value.
    Uncertainty(Box<Value>),
    /// Which inputs it comes from.
    Budget(Box<Value>),
    /// The smallest, the largest.
    Extreme {
        /// Whether the largest.
        largest: bool,
        /// Of these.
        among: Vec<Value>,
    },
    /// Without its sign.
    Magnitude(Box<Value>),
}

/// `enough X for EQUATION, P % excess`
#[derive(Clone, Debug)]
pub struct Enough {
    /// What is measured out.
    pub matter: Matter,
    /// What measuring it out adds.
    pub slack: Option<Slack>,
    /// What it is to use something up by.
    pub reaction: Reaction,
    /// More than needed, as a share of that.
    pub excess: Option<Value>,
    /// Its temperature.
    pub at: Option<Value>,
    /// The time it takes.
    pub over: Option<Value>,
}

/// What an instruction does.
#[derive(Clone, Debug)]
#[allow(missing_docs)] // One variant a statement of docs/language.md; fields are the words of the statement.
pub enum Action {
    Step {
        title: Option<String>,
        body: Vec<Instruction>,
    },
    Let {
        slot: LetId,
        value: Value,
    },
    Charge {
        vessel: VesselId,
        portions: Vec<Portion>,
        at: Option<Value>,
        over: Option<Value>,
    },
    ChargeEnough {
        vessel: VesselId,
        enough: Box<Enough>,
    },
    React {
        vessel: VesselId,
        reaction: Reaction,
        degree: Option<Value>,
        limit: Option<Matter>,
    },
    Bath {
        vessel: VesselId,
        to: Value,
        kind: BathKind,
        /// What the bath can take away: a power, or one for each kelvin; `None` for all there is.
        with: Option<Value>,
    },
    Vent(VesselId),
    Seal(VesselId),
    Open(VesselId),
    Discard(VesselId),
    Filter {
        vessel: VesselId,
        filtrate: VesselId,
        cake: VesselId,
        retaining: Option<Value>,
    },
    Decant {
        vessel: VesselId,
        into: VesselId,
    },
    Pour {
        vessel: VesselId,
        into: VesselId,
    },
    Take {
        amount: Value,
        vessel: VesselId,
        into: VesselId,
    },
    Wash {
        vessel: VesselId,
        with: Portion,
        retaining: Option<Value>,
        into: Option<VesselId>,
    },
    Dry {
        vessel: VesselId,
        at: Option<Value>,
    },
    Boil {
        vessel: VesselId,
        time: Value,
    },
    Evaporate {
        vessel: VesselId,
        to: Value,
    },
    Dilute {
        vessel: VesselId,
        to: Value,
    },
    Crystallise {
        vessel: VesselId,
        at: Value,
        solid: Species,
        into: VesselId,
    },
    Titrate(Box<Titration>),
    Weigh {
        vessel: VesselId,
        found: Value,
    },
    Measure {
        what: Value,
        found: Value,
    },
    Wait(Value),
    Note(String),
    Scale {
        reaction: Reaction,
        to: Value,
        basis: Species,
    },
    Heat(Box<HeatQuestion>),
    Solution(Box<SolutionQuestion>),
    Show(Vec<Value>),
    Expect {
        text: String,
        conditions: Vec<(Value, Comparison, Value)>,
    },
    Yield {
        vessel: VesselId,
        product: Species,
        basis: Species,
    },
    Find {
        unknowns: Vec<Sought>,
        targets: Vec<Target>,
    },
    Vary {
        variations: Vec<Variation>,
        shown: Vec<Value>,
    },
}

impl Action {
    /// Questions leave no operation on the sheet.
    pub fn is_question(&self) -> bool {
        matches!(
            self,
            Action::Show(_)
                | Action::Expect { .. }
                | Action::Yield { .. }
                | Action::Scale { .. }
                | Action::Heat(_)
                | Action::Solution(_)
                | Action::Find { .. }
                | Action::Vary { .. }
        )
    }
}

/// What a bath does.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum BathKind {
    /// `warm … to`
    Warm,
    /// `cool … to`
    Cool,
    /// `hold … at`: and stays.
    Hold,
}
