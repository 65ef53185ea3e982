//! The route run again and again with its uncertain inputs drawn at random.

use crate::number::{Quantity, Sampled};
use crate::text::Span;

use super::Remark;

/// How many samples, and from which beginning.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub struct Samples {
    /// Runs of the route.
    pub count: usize,
    /// The same seed gives the same samples.
    pub seed: u64,
}

impl Samples {
    /// The fewest that say something about a 95 % interval.
    pub const FEWEST: usize = 100;
    /// The most that a machine of the bench gets through.
    pub const MOST: usize = 1_000_000;
    /// The seed if none is given.
    pub const SEED: u64 = 1;
}

/// What the samples came to.
#[derive(Clone, Debug)]
pub struct Sampling {
    /// What was asked.
    pub asked: Samples,
    /// Runs that ended in a fault, and so are left out of the figures.
    pub failed: usize,
    /// The faults in which they ended: how many, and the first of the kind.
    pub faults: Vec<(usize, Remark)>,
    /// One for each figure that is asked for, in the order of the route.
    pub figures: Vec<SampledFigure>,
}

/// Why no samples were drawn.
#[derive(Clone, Copy, Debug, Eq, PartialEq, thiserror::Error)]
pub enum NotSampled {
    /// The route has no `show`, `expect` or `yield` with a figure.
    #[error("this route asks for no figure that could be sampled")]
    NothingAsked,
    /// None of its figures hangs on an uncertain input.
    #[error("no figure of this route hangs on anything uncertain: every sample would be the same")]
    NothingUncertain,
    /// The run by the plan went wrong already.
    #[error("the route has faults of its own")]
    Faulty,
}

/// A figure by the plan and in the samples.
#[derive(Clone, Debug)]
pub struct SampledFigure {
    /// Which question asked for it.
    pub asked_by: AskedBy,
    /// As written.
    pub expression: String,
    /// Where.
    pub span: Span,
    /// By the plan, with its uncertainty to first order.
    pub planned: Quantity,
    /// In the samples, in the unit in which `planned` was written, else in coherent SI units; `None` where fewer than
    /// forty of them have it.
    pub sampled: Option<Sampled>,
    /// The condition it was asked for, if that is one of `<` and `>`.
    pub condition: Option<String>,
    /// The share of the samples in which the condition holds.
    pub holds: Option<f64>,
}

/// The questions whose figures are sampled.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum AskedBy {
    /// `show`
    Show,
    /// `expect`: the left side.
    Expect,
    /// `yield`
    Yield,
}
