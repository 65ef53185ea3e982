//! What running a route leaves behind: every operation with its figures, the vessels after each step, the answers.
//!
//! Amounts are in mol, masses in g, volumes in mL, temperatures in K, heats in kJ (negative: given off), pressures in
//! kPa; all unrounded, with their uncertainty if they have one. Facts only: the report rounds and words them.

use std::collections::{BTreeMap, BTreeSet};

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Input, Number, Quantity};
use crate::text::Span;
use crate::thermo::Energetics;

mod heat;
mod operation;
mod planning;
mod remark;
mod sampling;
mod solution;
mod titration;

pub use crate::vessel::{Ambient, Content, Heat};
pub use heat::StepHeat;
pub use operation::{
    CrystalRecord, GasRecord, OperationRecord, Outcome, ReactRecord, StepRecord, Withdrawal,
    WithdrawalReason,
};
pub use planning::{AlsoMet, Comparison, ComparisonRow, Constraint, Finding, NoValue, NotFound};
/// The name of it in `route::run`, until that is rebuilt.
pub use remark::Level as Weight;
pub use remark::{Emptied, Encounter, Fact, FillReason, Idle, InHand, Level, Remark, UsedUp};
pub use sampling::{AskedBy, NotSampled, SampledFigure, Samples, Sampling};
pub use solution::{
    ComparedBottle, ComparedBottles, MadeSolution, MixedSolution, SolutionAnswer, SolutionFact,
    Taken,
};
pub use titration::{GivenStrength, TitrationRecord};

/// Everything a sheet is made from.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// `title "…"`
    pub title: Option<String>,
    /// The room.
    pub ambient: Ambient,
    /// What to measure out, in the order of use.
    pub draws: Vec<Withdrawal>,
    /// Steps in order; operations outside any `step` stand in untitled ones.
    pub steps: Vec<StepRecord>,
    /// Every vessel at the end, in the order of making.
    pub vessels: Vec<VesselState>,
    /// Answers to `show`.
    pub shows: Vec<Shown>,
    /// Answers to `expect`.
    pub expectations: Vec<Expectation>,
    /// Answers to `yield`.
    pub yields: Vec<YieldRecord>,
    /// Answers to `scale`.
    pub scales: Vec<ScaleTable>,
    /// Answers to `heat`.
    pub energetics: Vec<Energetics>,
    /// Answers to `solution`.
    pub solutions: Vec<SolutionAnswer>,
    /// Answers to `vary`.
    pub comparisons: Vec<Comparison>,
    /// Answers to `find`.
    pub findings: Vec<Finding>,
    /// The route run again with its inputs drawn at random, if somebody asked for that.
    pub sampling: Option<Result<Sampling, NotSampled>>,
    /// Hazards that the route accepts, in the words it does so.
    pub accepted: Vec<String>,
    /// Whether the run ended at a meeting that may not be: what follows it was not carried out.
    pub refused: bool,
    /// Everything worth saying, in the order of the text.
    pub remarks: Vec<Remark>,
    /// What went to the waste container, the air and the losses account.
    pub outlets: Vec<Outlet>,
    /// Published sources of the data used, as printed in docs/sources.md.
    pub sources: BTreeSet<String>,
    /// The publications that the figures of a statement rest on, by the place of the statement.
    pub cited: BTreeMap<Span, BTreeSet<String>>,
    /// Substances the script brought its own data for.
    pub own_data: Vec<Species>,
    /// The uncertain inputs, by input id.
    pub inputs: Vec<Input>,
}

impl Ledger {
    /// Remarks on an operation, in the order in which they were made.
    pub fn remarks_on(&self, operation: &OperationRecord) -> impl Iterator<Item = &Remark> {
        let (span, number) = (operation.span, operation.number);
        let before = |remark: &Remark| remark.place() < (span, number);
        let from = self.remarks.partition_point(before);
        let here = move |remark: &&Remark| remark.place() == (span, number);
        self.remarks[from..].iter().take_while(here)
    }

    /// Brings the remarks into the order of the text, each operation's together: readers look for them there.
    pub fn sort_remarks(&mut self) {
        self.remarks.sort_by_key(Remark::place);
    }

    /// Remarks that no operation carries, in the order of the text.
    pub fn outside(&self) -> impl Iterator<Item = &Remark> {
        self.remarks.iter().filter(|remark| remark.on.is_none())
    }
}

/// A vessel at some moment.
#[derive(Clone, Debug)]
pub struct VesselState {
    /// Its name.
    pub name: String,
    /// Species with their phases, in mol and g, largest mass first.
    pub contents: Vec<Content>,
    /// In K; what it was last where it is not known.
    pub temperature: Number,
    /// Whether that is known: no reaction of unknown heat has run since a bath or a thermometer settled it.
    pub knows_temperature: bool,
    /// Of the liquid, in mL; `None` if there is none or its density is unknown.
    pub volume: Option<Number>,
    /// Of everything, in g.
    pub mass: Number,
    /// Of the contents at 25 °C, in J/K, ice and steam left out; `None` if it is empty.
    pub heat_capacity: Option<f64>,
    /// What it holds at most, in mL.
    pub capacity: Option<Number>,
    /// Whether it was emptied.
    pub emptied: bool,
}

impl VesselState {
    /// The temperature in K, where it is known.
    pub fn known_temperature(&self) -> Option<&Number> {
        self.knows_temperature.then_some(&self.temperature)
    }
}

/// Where matter goes that leaves the vessels.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum OutletAccount {
    /// The air.
    Air,
    /// The waste container.
    Waste,
    /// What was found less than planned; negative where more was found.
    Losses,
}

/// Where matter left the vessels.
#[derive(Clone, Debug)]
pub struct Outlet {
    /// Where to.
    pub account: OutletAccount,
    /// What, in mol and g.
    pub contents: Vec<Content>,
}

/// The answer to one expression of `show`.
#[derive(Clone, Debug)]
pub struct Shown {
    /// As written.
    pub expression: String,
    /// Where.
    pub span: Span,
    /// What came out.
    pub answer: Answer,
}

/// What an expression can come to.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A quantity, with the unit it wants to be shown in.
    Quantity(Quantity),
    /// `budget(…)`: the share of each uncertain input in the variance, largest first, 0 to 1.
    Budget(Vec<(String, f64)>),
    /// Nothing: why is told in a remark.
    Unknown,
}

/// The answer to an `expect`.
#[derive(Clone, Debug)]
pub struct Expectation {
    /// As written.
    pub expression: String,
    /// Where.
    pub span: Span,
    /// The left side.
    pub value: Answer,
    /// The right side.
    pub wanted: Answer,
    /// Whether it holds; `false` if a side is unknown.
    pub met: bool,
}

/// The answer to `yield`.
#[derive(Clone, Debug)]
pub struct YieldRecord {
    /// Where.
    pub span: Span,
    /// The vessel with the product.
    pub vessel: String,
    /// The product.
    pub product: Species,
    /// What it is reckoned on.
    pub basis: Species,
    /// Of the basis that was charged, in mol.
    pub basis_moles: Number,
    /// At most, in mol and g.
    pub theoretical: (Number, Number),
    /// In the vessel, in mol and g (as weighed, if it was).
    pub found: (Number, Number),
    /// `found / theoretical`; `None` if nothing of the basis was charged.
    pub fraction: Option<Number>,
    /// What the product was found to weigh; `None` by the plan.
    pub weighed: Option<Quantity>,
}

/// The table of a whole equation for one amount.
#[derive(Clone, Debug)]
pub struct ScaleTable {
    /// Balanced.
    pub reaction: Reaction,
    /// What the amount was given of.
    pub basis: Species,
    /// The amount as it was given; a volume is of a bottle's contents where one holds the basis.
    pub asked: Quantity,
    /// A row a species, in the order of the equation.
    pub rows: Vec<ScaleRow>,
    /// Of the whole amount.
    pub heat: Heat,
}

/// One species of a [`ScaleTable`].
#[derive(Clone, Debug)]
pub struct ScaleRow {
    /// Which, with the phase it is taken in.
    pub species: Species,
    /// Whether it is used up.
    pub reactant: bool,
    /// In mol.
    pub moles: Number,
    /// Pure, in g.
    pub grams: Number,
    /// From the bottle that holds it: its name, the mL to pour (`None` for a solid) and the g to weigh.
    pub bottle: Option<(String, Option<Number>, Number)>,
    /// As a gas, in L at ambient conditions.
    pub litres: Option<Number>,
}
