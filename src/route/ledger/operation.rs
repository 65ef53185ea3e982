//! What each step and each operation of it did, with its figures.
//!
//! Units are those of the [ledger](super); facts only.

use crate::equation::Reaction;
use crate::hazard::HeatLimit;
use crate::matter::Species;
use crate::number::{Number, Quantity};
use crate::text::Span;
use crate::vessel::Heat;
use crate::vessel::phases::PhasePoint;

use super::{StepHeat, TitrationRecord, VesselState};

/// A portion that is measured out of a bottle or from the shelf.
#[derive(Clone, Debug)]
pub struct Withdrawal {
    /// Where the amount was asked for.
    pub span: Span,
    /// The bottle's name, or `None` for a pure substance.
    pub bottle: Option<String>,
    /// What is in the bottle, or the pure substance.
    pub substance: Species,
    /// The label: `9.0 mol/L`, `98 %`; empty for a pure substance.
    pub strength: String,
    /// How much, as the route states it; `None` where it is reckoned.
    pub stated: Option<Quantity>,
    /// The vessel it goes to.
    pub vessel: String,
    /// Of the substance (the solute of a solution), in mol.
    pub moles: Number,
    /// As weighed (bottle contents with water and impurity), in g.
    pub grams: Number,
    /// As poured, in mL; `None` for solids.
    pub millilitres: Option<Number>,
    /// Why that much.
    pub reason: WithdrawalReason,
}

/// Why an amount is measured out.
#[derive(Clone, Debug)]
pub enum WithdrawalReason {
    /// The script says so.
    Stated,
    /// `enough … for …`: it uses up what the vessel holds.
    Enough {
        /// The reaction it must suffice for.
        reaction: Reaction,
        /// What it uses up.
        for_species: Species,
        /// As a fraction of what is needed.
        excess: Option<Number>,
    },
    /// To wash a cake.
    Wash,
    /// To fill up to a mark.
    Dilution,
}

/// One step of the route.
#[derive(Clone, Debug)]
pub struct StepRecord {
    /// Its title; `None` outside any `step`.
    pub title: Option<String>,
    /// In order.
    pub operations: Vec<OperationRecord>,
    /// The vessels that exist after it and were touched in it.
    pub after: Vec<VesselState>,
    /// Where its heat came from and where it went.
    pub heat: StepHeat,
}

/// One operation.
#[derive(Clone, Debug)]
pub struct OperationRecord {
    /// Where it is written.
    pub span: Span,
    /// As it is written.
    pub text: String,
    /// What happened.
    pub outcome: Outcome,
    /// Its number among the operations of the route: remarks name it.
    pub number: usize,
}

/// What an operation did.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// Portions went in.
    Charged {
        /// The vessel.
        vessel: String,
        /// What was measured out.
        draws: Vec<Withdrawal>,
        /// What dissolved of the solids in the vessel, in mol.
        dissolved: Vec<(Species, Number)>,
        /// The heat of that, to an endlessly thin solution.
        heat: Heat,
        /// What mixing and diluting took up besides, in kJ: negative where it was given off.
        mixing: Number,
        /// After mixing, in K.
        temperature: Number,
        /// How long it takes, in s, if said.
        over: Option<Number>,
    },
    /// A reaction ran, or found nothing to do.
    Reacted(Box<ReactRecord>),
    /// `warm`, `cool`, `hold`, `boil`.
    Thermal {
        /// The vessel.
        vessel: String,
        /// Before, in K.
        from: Number,
        /// After, in K.
        to: Number,
        /// What the bath took up, in kJ: negative if it gave heat.
        bath: Heat,
        /// Whether the bath stays.
        held: bool,
        /// How long it was kept there, in s, where that is stated.
        seconds: Option<Number>,
    },
    /// Gas left.
    Vented {
        /// The vessel.
        vessel: String,
        /// What left.
        gas: Vec<GasRecord>,
    },
    /// `seal` or `open`.
    Closure {
        /// The vessel.
        vessel: String,
        /// Whether it is closed now.
        sealed: bool,
    },
    /// `filter`, `decant`, `pour`, `take`, `discard`: contents moved.
    Moved {
        /// From.
        from: String,
        /// To: vessels with the mass each took, in g; none for the waste container.
        to: Vec<(String, Number)>,
        /// Liquor a cake keeps, in mL.
        retained: Option<Number>,
        /// What dissolved where it came to what was there, in mol.
        dissolved: Vec<(Species, Number)>,
        /// The heat of that.
        heat: Heat,
    },
    /// A cake was washed.
    Washed {
        /// The cake.
        vessel: String,
        /// What it was washed with.
        draw: Box<Withdrawal>,
        /// What of the cake the washings took, in mol.
        dissolved: Vec<(Species, Number)>,
        /// Liquor that clings to it afterwards, in mL.
        retained: Number,
        /// Where they went; `None` for the waste container.
        into: Option<String>,
    },
    /// Water went to the air.
    Dried {
        /// The vessel.
        vessel: String,
        /// Water lost, in g.
        water: Number,
        /// Salts that the liquor left behind, in mol.
        residue: Vec<(Species, Number)>,
    },
    /// Water went as vapour, at the temperature that the vessel has.
    Evaporated {
        /// The vessel.
        vessel: String,
        /// In K.
        temperature: Number,
        /// Water lost, in g.
        water: Number,
        /// The heat for that, in kJ.
        heat: Heat,
    },
    /// Water was added up to a mark.
    Diluted {
        /// The vessel.
        vessel: String,
        /// The water.
        draw: Box<Withdrawal>,
    },
    /// Crystals came.
    Crystallised(Box<CrystalRecord>),
    /// Something was titrated.
    Titrated(Box<TitrationRecord>),
    /// Something was weighed or measured.
    Found {
        /// What: the vessel or the quantity as written.
        what: String,
        /// By the plan, shown in the unit of `found`.
        planned: Quantity,
        /// Really.
        found: Quantity,
        /// What the difference booked to the losses weighs, in g, negative if more was found than planned; `None` where
        /// nothing is lost by it.
        lost: Option<Number>,
        /// Whether the route goes on with it; otherwise it stands beside the plan and changes nothing.
        replaces: bool,
    },
    /// `wait`.
    Waited {
        /// In s.
        seconds: Number,
    },
    /// `note`.
    Noted(String),
    /// The operation could not be carried out, and the remark says why; the sheet leaves its place blank.
    Refused,
}

/// How a `react` went.
#[derive(Clone, Debug)]
pub struct ReactRecord {
    /// The vessel.
    pub vessel: String,
    /// As written, balanced.
    pub reaction: Reaction,
    /// What really happens to the contents: ions in water, spectators left out.
    pub net: Reaction,
    /// Turns of `reaction`, in mol; zero if a reagent is absent.
    pub extent: Number,
    /// The reagent that ran out first and so decided.
    pub limiting: Option<Species>,
    /// What is left of the other reagents, in mol.
    pub leftovers: Vec<(Species, Number)>,
    /// Of the reaction, at 25 °C.
    pub heat: Heat,
    /// Gas set free, in mol and in L at ambient conditions.
    pub gas: Vec<GasRecord>,
    /// Before, in K.
    pub start: Number,
    /// Of the contents afterwards at 25 °C, in J/K; `None` where nobody looks at it.
    pub heat_capacity: Option<f64>,
    /// After, if nothing cooled it, in K; `None` if the heat or the heat capacity is unknown.
    pub uncooled: Option<Number>,
    /// Held by a bath at, in K.
    pub held: Option<Number>,
    /// Where the solution boils at ambient pressure.
    pub boiling: PhasePoint,
    /// To what temperature something in it may not be heated, if the safety tables name any.
    pub heat_limit: Option<HeatLimit>,
}

/// An amount of gas.
#[derive(Clone, Debug)]
pub struct GasRecord {
    /// Which.
    pub species: Species,
    /// In mol.
    pub moles: Number,
    /// In L at ambient temperature and pressure, ideal.
    pub litres: Number,
    /// The same collected over water, in L, if it comes off a vessel with water.
    pub moist: Option<Number>,
    /// What may stay dissolved in that water, in mol at most, if a Henry constant is known.
    pub dissolved: Option<Number>,
}

/// How a crystallisation went.
#[derive(Clone, Debug)]
pub struct CrystalRecord {
    /// Where the liquor stays.
    pub vessel: String,
    /// Where the crystals went.
    pub into: String,
    /// The solid.
    pub solid: Species,
    /// In K.
    pub temperature: Number,
    /// Crystals, in mol.
    pub moles: Number,
    /// Crystals, in g.
    pub grams: Number,
    /// What stays dissolved, as the same solid, in g.
    pub stays: Number,
    /// Solubility, g of anhydrous salt in 100 g of water.
    pub solubility: Number,
    /// Heat the bath took for cooling and crystallising, in kJ.
    pub bath: Heat,
    /// Liquor that clings to the crystals, in mL.
    pub retained: Number,
}
