//! What is worth saying about an operation: facts, with their place and how much they matter.
//!
//! Units as in the rest of the ledger. The diagnostic room words them.

use crate::equation::Skeleton;
use crate::hazard::Meeting;
use crate::matter::Species;
use crate::number::{Number, Quantity};
use crate::text::Span;
use crate::thermo::NoEnergetics;
use crate::vessel::phases::PhasePoint;

use super::super::check::CheckFault;
use super::super::program::{Inadmissible, RangeFault};
use super::{AlsoMet, NotFound, SolutionFact};

/// How much a remark matters.
#[derive(Clone, Copy, Debug, Eq, Ord, PartialEq, PartialOrd)]
pub enum Level {
    /// Worth knowing.
    Note,
    /// Looks wrong, or could hurt.
    Warning,
    /// The step could not be carried out: the input is wrong.
    Fault,
}

/// A fact about one operation.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// Where.
    pub span: Span,
    /// The calls of procedures it stands in, the outermost first.
    pub calls: Vec<Span>,
    /// The number of the operation that it is about, if that is on the sheet.
    pub on: Option<usize>,
    /// How much it matters.
    pub level: Level,
    /// What.
    pub fact: Fact,
}

impl Remark {
    /// A remark about something that stands in the route itself.
    pub fn new(span: Span, level: Level, fact: Fact) -> Remark {
        Remark {
            span,
            calls: Vec::new(),
            on: None,
            level,
            fact,
        }
    }

    /// Where it stands among all: by its place in the text, then by its operation, those without one last.
    pub fn place(&self) -> (Span, usize) {
        (self.span, self.on.unwrap_or(usize::MAX))
    }

    /// Whether it tells that the chemistry may not be done, rather than that the text is wrong.
    pub fn is_refusal(&self) -> bool {
        matches!(&self.fact, Fact::Hazard(encounter) if encounter.refused)
    }
}

/// Contents that met, or came to where they do harm.
#[derive(Clone, Debug, PartialEq)]
pub struct Encounter {
    /// The vessel, or `the waste jar`.
    pub place: String,
    /// What met and what comes of it.
    pub meeting: Meeting,
    /// Whether the route accepts it.
    pub accepted: bool,
    /// Whether the run ended here for it.
    pub refused: bool,
}

/// The operation that emptied a vessel, or put nothing into it.
#[derive(Clone, Debug, PartialEq)]
pub struct Emptied {
    /// Where it is written.
    pub span: Span,
    /// The step it stands in, as the sheet counts them; known at the end of a route.
    pub step: Option<usize>,
    /// The vessels that took what was in it; `None` where it never held anything.
    pub into: Option<Vec<String>>,
}

/// The operation that used up a reagent.
#[derive(Clone, Debug, PartialEq)]
pub struct UsedUp {
    /// Where it is written.
    pub span: Span,
    /// The step it stands in, as the sheet counts them; known at the end of a route.
    pub step: Option<usize>,
}

/// Why a statement changes nothing.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Idle {
    /// `warm`, `cool` to the temperature it has.
    ThatTemperature {
        /// The vessel.
        vessel: String,
    },
    /// `filter a -> b, b`
    NotParted {
        /// Where both parts go.
        vessel: String,
    },
    /// `vent` without gas.
    NoGas {
        /// The vessel.
        vessel: String,
    },
    /// `seal` of a sealed vessel, `open` of an open one.
    ClosureAsItWas {
        /// The vessel.
        vessel: String,
        /// Whether it is closed.
        sealed: bool,
    },
    /// `dry` without water.
    NoWater {
        /// The vessel.
        vessel: String,
    },
    /// `filter` without a solid.
    NoSolid {
        /// The vessel.
        vessel: String,
    },
    /// `dilute`, `evaporate` to what it has.
    ThatSize {
        /// The vessel.
        vessel: String,
    },
    /// `pour flask -> flask`
    IntoItself {
        /// The vessel.
        vessel: String,
    },
    /// A step in which nothing is done.
    EmptyStep,
}

/// How hot a step would be, and what would hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct InHand {
    /// The vessel.
    pub vessel: String,
    /// Given off, in kJ.
    pub heat: Number,
    /// Before, in K.
    pub start: Number,
    /// Without a bath, in K.
    pub uncooled: Number,
    /// The same in half the water, in K.
    pub halved: Option<Number>,
    /// Ice that would keep it where it started, in g.
    pub ice: Option<Number>,
    /// Water of 0 °C that would, in g.
    pub ice_water: Option<Number>,
    /// Over a stated time with a bath of stated strength: the time in s, the warmest in K.
    pub course: Option<(Number, Number)>,
}

impl InHand {
    /// Whether it rises by more than 50 K, which is of medium severity and more: F. Stoessel, Thermal Safety of Chemical
    /// Processes, Wiley-VCH 2008 (from memory).
    pub fn is_severe(&self) -> bool {
        (&self.uncooled - &self.start).to_f64() > 50.0
    }
}

/// What needs room above the liquid.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum FillReason {
    /// Gas that bubbles.
    Gas,
    /// Gas of carbonates and peroxide, which foams.
    Foam,
    /// Boiling down.
    Boiling,
}

impl FillReason {
    /// How full a vessel may be, as a ratio (common practice, no source: T29, T30, T31 of the rules of thumb).
    pub fn most(self) -> (i64, i64) {
        match self {
            FillReason::Gas => (1, 2),
            FillReason::Foam => (1, 3),
            FillReason::Boiling => (2, 3),
        }
    }
}

/// What a remark says; worded in the diagnostic room.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// `react` had nothing to do: a reagent is absent.
    Absent {
        /// The vessel.
        vessel: String,
        /// What is missing.
        species: Species,
        /// The operation that used it up, if one did.
        used_up: Option<UsedUp>,
    },
    /// A reaction of unknown heat ran: how hot its vessel becomes is not known.
    UnknownRise {
        /// The vessel.
        vessel: String,
    },
    /// All but a trace of a reagent was used up before.
    NearlyAbsent {
        /// Where.
        vessel: String,
        /// Which.
        species: Species,
        /// The step that used it up.
        used_up: UsedUp,
    },
    /// `react` ended at the reagent named by `limited by`, but another ran out first.
    OtherLimit {
        /// Named.
        named: Species,
        /// Really.
        limiting: Species,
    },
    /// Heat unknown for want of data.
    NoHeatData {
        /// For these.
        species: Vec<Species>,
    },
    /// A reagent was charged and no reaction ever used it.
    NeverConsumed {
        /// What, as charged.
        substance: Species,
        /// Into.
        vessel: String,
    },
    /// Hydrogen ions and hydroxide stand side by side: no reaction was written for them.
    AcidBesideBase {
        /// Where.
        vessel: String,
    },
    /// A bottle was declared and never used.
    UnusedBottle {
        /// Its name.
        bottle: String,
    },
    /// The mixture would boil.
    WouldBoil {
        /// The vessel.
        vessel: String,
        /// It would come to, in K.
        uncooled: Number,
        /// It boils at.
        boiling: PhasePoint,
    },
    /// A question about a reaction that has no answer.
    NoEnergetics {
        /// Why not.
        why: Box<NoEnergetics>,
        /// The equation as written.
        skeleton: Box<Skeleton>,
    },
    /// About strengths and densities.
    Solution(SolutionFact),
    /// It boils on its own heat: the temperature stops there, and water leaves.
    Boils {
        /// The vessel.
        vessel: String,
        /// It would come to, in K.
        uncooled: Number,
        /// It boils at.
        boiling: PhasePoint,
        /// Water that leaves as steam, in g.
        lost: Number,
        /// Whether there was heat left when nine tenths of the water were gone.
        dry: bool,
    },
    /// Gas in a closed vessel.
    UnderPressure {
        /// The vessel.
        vessel: String,
        /// With the air closed in, in kPa; `None` without a stated capacity.
        pressure: Option<Number>,
    },
    /// A step that grows hot, and what would hold it: a warning where the rise exceeds 50 K.
    InHand(Box<InHand>),
    /// A reaction takes up more heat than its vessel holds: only a flame or a furnace can bring it.
    NeedsHeating {
        /// The vessel.
        vessel: String,
        /// To be brought, in kJ.
        heat: Number,
    },
    /// Ice above its melting point.
    WarmIce {
        /// As stated, in K.
        kelvins: Number,
    },
    /// More than the vessel holds.
    Overfull {
        /// The vessel.
        vessel: String,
        /// In it, in mL.
        volume: Number,
        /// It holds, in mL.
        capacity: Number,
    },
    /// Too full for the gas that comes off, or for boiling.
    FoamRoom {
        /// The vessel.
        vessel: String,
        /// In it, in mL.
        volume: Number,
        /// It holds, in mL.
        capacity: Number,
        /// What needs the room.
        reason: FillReason,
    },
    /// Filtering, pouring, washing an empty vessel.
    Empty {
        /// The vessel.
        vessel: String,
        /// The operation that emptied it, if one did.
        emptied: Option<Emptied>,
    },
    /// A reagent of which much is still there at the end.
    Leftover {
        /// The vessel that holds most of it.
        vessel: String,
        /// What.
        species: Species,
        /// In all vessels, in mol.
        moles: Number,
        /// Of what was charged.
        share: Number,
    },
    /// What a route made as a solid is in the waste jar, and none of it is kept.
    ProductDiscarded {
        /// What.
        species: Species,
        /// In the jar, in g.
        grams: Number,
    },
    /// A statement after which everything is as it was.
    ChangesNothing(Idle),
    /// A quantity that is not what its place demands.
    OutOfRange {
        /// As written.
        expression: String,
        /// What is wrong.
        fault: Inadmissible,
    },
    /// `boil` of what is dry, `retaining` a part of a liquid that is not there.
    NoLiquid {
        /// What holds no liquid.
        vessel: String,
    },
    /// `crystallise` of what is dry.
    NoSolution {
        /// What holds no water.
        vessel: String,
    },
    /// The mean of the readings of a titration is not more than its blank.
    NotAboveBlank {
        /// What is titrated.
        vessel: String,
    },
    /// More was asked for than the vessel holds.
    TooMuch {
        /// The vessel.
        vessel: String,
        /// What was asked for.
        asked: Quantity,
        /// What is there.
        there: Quantity,
    },
    /// `titrate`: the medium runs out before what is sought.
    MediumShort {
        /// The vessel.
        vessel: String,
        /// Acid, base or water.
        medium: Species,
        /// What the titration is to find.
        sought: Species,
    },
    /// Readings of equal portions that lie further apart than is usual.
    Discordant {
        /// The vessel.
        vessel: String,
        /// From the smallest to the largest, in mL.
        apart: Number,
        /// What is usual, in mL.
        usual: Number,
    },
    /// `enough … for …`, but the bottle holds nothing that the reaction uses, or the vessel nothing to use up.
    NothingToUseUp {
        /// The vessel.
        vessel: String,
        /// The bottle or substance.
        matter: String,
        /// What the vessel lacks for the reaction; nothing if it needs no more of the bottle.
        missing: Vec<Species>,
    },
    /// `enough … for …` while the vessel holds nothing yet of something else that the reaction needs.
    StillMissing {
        /// The vessel.
        vessel: String,
        /// What is not there.
        missing: Vec<Species>,
        /// What is there and will be used up.
        counted: Species,
    },
    /// Division by zero.
    DivisionByZero {
        /// As written.
        expression: String,
    },
    /// A result with more digits than can be kept.
    TooManyDigits,
    /// A question about something that is not known: a concentration without a volume.
    NoAnswer {
        /// As written.
        expression: String,
    },
    /// A solid stays undissolved.
    Undissolved {
        /// Which.
        species: Species,
        /// In g.
        grams: Number,
        /// Solubility, g of anhydrous salt in 100 g of water, if that is the reason.
        solubility: Number,
    },
    /// No table says anything of a substance that came to water: taken to stay as it is.
    UnknownInWater {
        /// Which.
        species: Species,
    },
    /// No solubility datum: taken to dissolve completely.
    NoSolubility {
        /// Which.
        species: Species,
    },
    /// The liquid of a vessel is colder than it can be: the plan does not follow its freezing.
    Freezes {
        /// The vessel.
        vessel: String,
        /// Where it would freeze.
        freezing: PhasePoint,
    },
    /// The liquor holds more of an ion of the crystals than belongs to them, which the solubility in pure water knows
    /// nothing of.
    IonsInCommon {
        /// The crystals.
        species: Species,
        /// What is there besides.
        ions: Vec<Species>,
        /// If nothing stayed dissolved, in g.
        most: Number,
    },
    /// Crystallising found the solution not saturated.
    NotSaturated {
        /// Which.
        species: Species,
    },
    /// Crystallising asked for a solid that is not the stable one at that temperature.
    OtherHydrate {
        /// Asked for.
        asked: Species,
        /// Stable by the table.
        stable: String,
    },
    /// Cooling to above, or warming to below, the temperature the vessel has.
    WrongWay {
        /// It has, in K.
        has: Number,
    },
    /// Found more than the plan allows, by this fraction of the plan.
    FoundMore {
        /// Excess over the plan.
        fraction: Number,
    },
    /// Density of the mixture unknown: no volume.
    NoVolume {
        /// The vessel.
        vessel: String,
    },
    /// A model's own caveat, in the words of the room that made it.
    Model(String),
    /// A model was used outside its range.
    Modelled {
        /// What was modelled.
        what: &'static str,
        /// Where it stood.
        detail: String,
    },
    /// A dangerous or noteworthy meeting.
    Hazard(Box<Encounter>),
    /// `accept hazard "…"`, and nothing meets it.
    UnusedAcceptance {
        /// As written.
        text: String,
    },
    /// `find` found no value that meets its conditions.
    NotFound(Box<NotFound>),
    /// `find` found one value of several.
    AlsoMet(Box<AlsoMet>),
    /// A value that `find` or `vary` tried cannot stand on a label or a vessel.
    CannotStand(Box<CheckFault>),
    /// A range has no values once other values are set.
    NoRange(RangeFault),
    /// The books do not balance: a fault of the program.
    Unbalanced {
        /// What does not.
        what: String,
    },
}
