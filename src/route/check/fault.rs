//! What can be wrong with a statement that can be read, each with its sentence; the diagnostic room says where it is and
//! what to do.

use std::fmt::{self, Display, Formatter};

use crate::equation::{Reaction, Skeleton, Unbalanced};
use crate::hazard::Rule;
use crate::number::Dimension;
use crate::text::{Span, all_of, any_of};
use crate::vessel::ReagentFault;

use super::super::program::{Inadmissible, RangeFault};
use super::super::syntax::Name;
use super::InstrumentFault;

/// What a name stands for.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum NameKind {
    /// `let`
    Value,
    /// `bottle`
    Bottle,
    /// `vessel`, or made by `->`
    Vessel,
    /// `procedure`
    Procedure,
    /// A formula, given to a procedure.
    Formula,
}

/// How a reading and a difference of temperature are taken for each other.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum ReadingFault {
    /// `2 * 20 °C`, `-temperature(flask)`
    #[error(
        "a reading in °C has a zero of its own: it cannot be multiplied, divided or turned in sign"
    )]
    Scaled,
    /// `20 °C + 5 °C`
    #[error("two readings in °C cannot be added")]
    Added,
    /// `300 K - 20 °C`
    #[error("a reading in °C cannot be taken from what is written in K")]
    TakenFromDifference,
    /// `warm flask to peak(flask) - temperature(flask)`
    #[error("this is a difference of two temperatures, and a temperature is needed")]
    DifferenceForReading,
    /// `expect peak(flask) - temperature(flask) < 5 °C`
    #[error("this is a reading in °C, and it stands against a difference of two temperatures")]
    ReadingForDifference,
}

/// What can be wrong with a statement that can be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CheckFault {
    /// `charge flsk: …`
    #[error("there is no {wanted} `{}`", .name.node)]
    UnknownName {
        /// The name.
        name: Name,
        /// What was wanted.
        wanted: NameKind,
        /// A near name of that kind.
        near: Option<String>,
        /// Where such a name is made further down.
        later: Option<Span>,
    },
    /// `charge lye: …` where `lye` is a bottle.
    #[error("`{}` is a {is}, and a {wanted} is needed here", .name.node)]
    WrongKind {
        /// The name.
        name: Name,
        /// What it is.
        is: NameKind,
        /// What was wanted.
        wanted: NameKind,
    },
    /// The same name declared twice.
    #[error("`{}` has a meaning already", .name.node)]
    Redefined {
        /// The second.
        name: Name,
        /// The first.
        first: Span,
    },
    /// `vessel flask: 250 mLL`
    #[error("`{}` is no unit that is known here", .unit.node)]
    UnknownUnit {
        /// The unit.
        unit: Name,
        /// A near spelling.
        near: Option<&'static str>,
    },
    /// `warm flask to 5 g`
    #[error("this is {found}, and {} is needed", any_of(.expected))]
    WrongDimension {
        /// Where.
        span: Span,
        /// What was there.
        found: Dimension,
        /// What is possible.
        expected: Vec<Dimension>,
    },
    /// `5 g + 5 mL`
    #[error("{left} and {right} cannot stand beside each other")]
    MixedDimensions {
        /// Where.
        span: Span,
        /// Left of the sign.
        left: Dimension,
        /// Right of the sign.
        right: Dimension,
    },
    /// `x ^ y` with a `y` that is no small whole number, or `x` with a dimension.
    #[error("an exponent is a whole number up to 16")]
    BadPower {
        /// Where.
        span: Span,
    },
    /// `show weight(flask)`
    #[error("there is no function `{}`", .function.node)]
    UnknownFunction {
        /// The function.
        function: Name,
        /// A near one.
        near: Option<&'static str>,
    },
    /// `show pH(flask)`
    #[error("`{}` is not there yet", .function.node)]
    FunctionNotYet {
        /// The function.
        function: Name,
    },
    /// `show mass(Al)`
    #[error("{}", wrong_arguments(.function, .usage))]
    WrongArguments {
        /// Where.
        span: Span,
        /// The function.
        function: String,
        /// How it is used.
        usage: &'static str,
    },
    /// An equation that cannot be balanced.
    #[error("{why}")]
    CannotBalance {
        /// The equation.
        skeleton: Skeleton,
        /// Why.
        why: Unbalanced,
    },
    /// An equation with more than one balance.
    #[error("this equation has {freedom} independent balances, and one is needed")]
    ManyBalances {
        /// The equation.
        skeleton: Skeleton,
        /// Independent ones.
        freedom: usize,
        /// The elementary ones.
        balances: Vec<Reaction>,
    },
    /// A strength, purity or amount that the substance does not allow.
    #[error("{fault}")]
    Reagent {
        /// Where.
        span: Span,
        /// What is wrong.
        fault: ReagentFault,
    },
    /// `substance X(s): dfH 3 g`, or a second `S`.
    #[error("this datum has the wrong unit or comes twice")]
    BadDatum {
        /// Where.
        span: Span,
    },
    /// Something is measured with what there is not, or an instrument cannot be as declared.
    #[error(transparent)]
    Instrument(InstrumentFault),
    /// `2 * 20 °C`, `20 °C + 5 °C`: readings and differences of temperature taken for each other.
    #[error("{fault}")]
    Reading {
        /// Where.
        span: Span,
        /// How.
        fault: ReadingFault,
    },
    /// A step inside a step, or a declaration where it cannot stand.
    #[error("`{what}` cannot stand inside a {inside}")]
    Misplaced {
        /// Where.
        span: Span,
        /// The statement.
        what: &'static str,
        /// What it stands in.
        inside: &'static str,
    },
    /// `procedure a() { do a() }`
    #[error("{}", recursion(.cycle))]
    Recursion {
        /// The calls in their order; the last is that of the procedure in which the first stands.
        cycle: Vec<Name>,
    },
    /// `do wash(a, b)` of a procedure with one parameter.
    #[error("`{}` is given {given}, and takes {}", .call.node, taken(.parameters))]
    Arity {
        /// The name in the call.
        call: Name,
        /// What it wants.
        parameters: Vec<String>,
        /// How many it was given.
        given: usize,
    },
    /// Procedures that call procedures that call …
    #[error("procedures call each other too deep here")]
    TooDeep {
        /// The call that goes too far.
        span: Span,
    },
    /// Calls that come to more statements than anybody could run.
    #[error("the calls of this route come to more than {most} statements")]
    TooManyStatements {
        /// The call that goes too far.
        span: Span,
        /// The limit.
        most: usize,
    },
    /// A fault inside a procedure, with these arguments.
    #[error("{fault}")]
    Inside {
        /// The procedures with the places of their calls, the outermost first.
        calls: Vec<(String, Span)>,
        /// What is wrong there.
        fault: Box<CheckFault>,
    },
    /// `accept hazard "all"`
    #[error("no hazard has the key or the words `{}`", .text.node)]
    UnknownHazard {
        /// What was written.
        text: Name,
    },
    /// `accept hazard "R292"`: that one cannot be accepted.
    #[error("{} cannot be accepted: {}", .rule.key(), .rule.consequence())]
    ForbiddenHazard {
        /// What was written.
        text: Name,
        /// The row it names.
        rule: Rule,
    },
    /// `vessel cup: (1 mL / 0)`
    #[error("nothing comes out of this: it divides by zero, or has too many digits")]
    NoResult {
        /// Where.
        span: Span,
    },
    /// `bottle acid: HCl c`, where `c` hangs on what a vessel holds.
    #[error("{}", RangeFault::NotStated(*.span))]
    NotStated {
        /// Where.
        span: Span,
    },
    /// `vessel cup: -5 mL`
    #[error("`{expression}` {fault}")]
    OutOfRange {
        /// Where.
        span: Span,
        /// As written.
        expression: String,
        /// What is wrong.
        fault: Inadmissible,
    },
    /// `2 g ± 1e30 g`
    #[error("this uncertainty is more than a small lab can mean")]
    AbsurdUncertainty {
        /// Where.
        span: Span,
    },
    /// `find x in 5 g .. 1 g: …`, `vary x: 0 g .. 1 g by 0 g show …`
    #[error(transparent)]
    Range(RangeFault),
    /// `find x in …, y in …: a = b`
    #[error("{unknowns} to find and {conditions} to meet: there must be as many")]
    Unmatched {
        /// Where.
        span: Span,
        /// What is looked for.
        unknowns: usize,
        /// What must be met.
        conditions: usize,
    },
    /// `let c = 10 %`, `bottle acid: HCl c` and `--set c=900%`: what is wrong with the label of a bottle that is filled again.
    #[error("in the bottle `{bottle}`: {fault}")]
    OfBottle {
        /// Its name.
        bottle: String,
        /// What is wrong.
        fault: Box<CheckFault>,
    },
    /// A second `find` of the same name.
    #[error("`{}` is what a `find` looks for already", .name.node)]
    SoughtTwice {
        /// The name.
        name: Name,
        /// The first `find`.
        first: Span,
    },
    /// `--set` of a name that a `find` looks for.
    #[error("`{name}` cannot be set: the route looks for it")]
    SetSought {
        /// The name.
        name: String,
        /// The `find`.
        find: Span,
    },
    /// `--set` of a name that no `let` declares.
    #[error("the route has no `let {name}`")]
    UnknownSetting {
        /// The name.
        name: String,
        /// A near one.
        near: Option<String>,
    },
    /// `--set` with another dimension than the `let` has.
    #[error("`{name}` is {expected}, and was set to {found}")]
    SettingDimension {
        /// The name.
        name: String,
        /// What was given.
        found: Dimension,
        /// What it has.
        expected: Dimension,
    },
}

impl CheckFault {
    /// Where it is; at the start for settings, which stand outside the text.
    pub fn span(&self) -> Span {
        match self {
            CheckFault::UnknownName { name, .. }
            | CheckFault::WrongKind { name, .. }
            | CheckFault::Redefined { name, .. } => name.span,
            CheckFault::UnknownUnit { unit, .. } => unit.span,
            CheckFault::UnknownFunction { function, .. }
            | CheckFault::FunctionNotYet { function } => function.span,
            CheckFault::WrongDimension { span, .. }
            | CheckFault::MixedDimensions { span, .. }
            | CheckFault::BadPower { span }
            | CheckFault::WrongArguments { span, .. }
            | CheckFault::Reagent { span, .. }
            | CheckFault::BadDatum { span }
            | CheckFault::Reading { span, .. }
            | CheckFault::NotStated { span }
            | CheckFault::NoResult { span }
            | CheckFault::OutOfRange { span, .. }
            | CheckFault::AbsurdUncertainty { span }
            | CheckFault::TooDeep { span }
            | CheckFault::TooManyStatements { span, .. }
            | CheckFault::Unmatched { span, .. }
            | CheckFault::SetSought { find: span, .. }
            | CheckFault::Misplaced { span, .. } => *span,
            CheckFault::Instrument(fault) => fault.span(),
            CheckFault::UnknownHazard { text } | CheckFault::ForbiddenHazard { text, .. } => {
                text.span
            }
            CheckFault::Recursion { cycle } => cycle.first().map_or(Span::default(), |n| n.span),
            CheckFault::Inside { fault, .. } => fault.span(),
            CheckFault::SoughtTwice { name, .. } | CheckFault::Arity { call: name, .. } => {
                name.span
            }
            CheckFault::OfBottle { fault, .. } => fault.span(),
            CheckFault::Range(fault) => fault.span(),
            CheckFault::CannotBalance { skeleton, .. }
            | CheckFault::ManyBalances { skeleton, .. } => skeleton.span,
            CheckFault::UnknownSetting { .. } | CheckFault::SettingDimension { .. } => {
                Span::default()
            }
        }
    }
}

impl Display for NameKind {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        to.write_str(match self {
            NameKind::Value => "value",
            NameKind::Bottle => "bottle",
            NameKind::Vessel => "vessel",
            NameKind::Procedure => "procedure",
            NameKind::Formula => "formula",
        })
    }
}

fn wrong_arguments(function: &str, usage: &str) -> String {
    match function {
        "" => format!("expected {usage}"),
        function => format!("this is not how `{function}` is used"),
    }
}

fn recursion(cycle: &[Name]) -> String {
    let home = cycle.last().map_or("", |name| name.node.as_str());
    let way: Vec<&str> = cycle.iter().map(|name| name.node.as_str()).collect();
    format!("`{home}` would call itself: {home} → {}", way.join(" → "))
}

fn taken(parameters: &[String]) -> String {
    match parameters {
        [] => "nothing".to_owned(),
        some => all_of(some),
    }
}
