//! `instrument …` checked, and what each use of an instrument adds to a quantity.
//!
//! Each use is an input of its own: what two weighings have in common is not known here.

use crate::number::{Dimension, Distribution, Exact, Input, InputId, Number, Quantity, unit};
use crate::text::Span;
use crate::vessel::reagent;

use super::super::glassware;
use super::super::program::{Demand, Instrument, Matter, Node, Slack, Value};
use super::super::syntax::{self, Glass, InstrumentKind, Literal, Operator, Spanned};
use super::{CheckFault, Checked, Checker};

/// Why something cannot be measured like that.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum InstrumentFault {
    /// `take 17 mL by pipette from flask -> cup`: no glassware of that size.
    #[error("no class A glassware of this size is known here")]
    NoSuchGlass {
        /// Where.
        span: Span,
        /// The kind.
        glass: Glass,
    },
    /// `instrument balance: ± 0.01 g` twice.
    #[error("this `{}` is declared already", .kind.word())]
    Twice {
        /// The second.
        span: Span,
        /// What.
        kind: InstrumentKind,
        /// The first.
        first: Span,
    },
    /// `instrument balance 200 g: ± 0.01 g`, `instrument pipette 25 g: ± 0.01 mL`
    #[error("{}", no_such_size(*.kind))]
    Size {
        /// The size.
        span: Span,
        /// What has no such size.
        kind: InstrumentKind,
    },
    /// `instrument pipette 25 mL: ± 30 mL`, `instrument balance: ± 0 g`
    #[error("nothing is measured out with an instrument like that")]
    Slack {
        /// The uncertainty.
        span: Span,
    },
}

impl InstrumentFault {
    /// Where.
    pub fn span(self) -> Span {
        match self {
            InstrumentFault::NoSuchGlass { span, .. }
            | InstrumentFault::Twice { span, .. }
            | InstrumentFault::Size { span, .. }
            | InstrumentFault::Slack { span } => span,
        }
    }
}

impl Checker<'_> {
    fn unmeasurable<T>(&mut self, fault: InstrumentFault) -> Checked<T> {
        self.fault(CheckFault::Instrument(fault))
    }

    pub(super) fn instrument(&mut self, declared: &syntax::Instrument, span: Span) -> Checked<()> {
        let kind = declared.kind.node;
        let size = match &declared.size {
            Some(size) => Some(self.size(kind, size)?),
            None => None,
        };
        let slack = self.aside(&declared.slack)?;
        let measured = measures(kind);
        if ![measured, Dimension::NONE].contains(&slack.dimension()) {
            return self.fault(CheckFault::WrongDimension {
                span: declared.slack.span,
                found: slack.dimension(),
                expected: vec![measured, Dimension::NONE],
            });
        }
        self.fits(&slack, size, declared.slack.span)?;
        let instruments = &self.program.instruments;
        let like = |known: &&Instrument| known.kind == kind && known.size == size;
        if let Some(known) = instruments.iter().find(like) {
            let first = known.span;
            return self.unmeasurable(InstrumentFault::Twice { span, kind, first });
        }
        let standard = Number::modelled(slack.number().standard_uncertainty());
        self.program.instruments.push(Instrument {
            kind,
            size,
            standard: Quantity::coherent(standard.unwrap_or_else(Number::zero), slack.dimension()),
            distribution: declared.slack.node.distribution,
            span,
        });
        Ok(())
    }

    /// In mL; balance and cylinder have none.
    fn size(&mut self, kind: InstrumentKind, size: &Spanned<Literal>) -> Checked<f64> {
        let quantity = self.aside(size)?;
        let millilitres = quantity.in_unit(&unit::MILLILITRE);
        match (kind, millilitres) {
            (InstrumentKind::Glass(_), Ok(number)) if number.is_exact() && number.is_positive() => {
                self.admit(&quantity, size.span, Demand::VOLUME)?;
                Ok(number.to_f64())
            }
            _ => self.unmeasurable(InstrumentFault::Size {
                span: size.span,
                kind,
            }),
        }
    }

    /// A literal that describes an instrument: its uncertainty is no input by itself.
    fn aside(&mut self, value: &Spanned<Literal>) -> Checked<Quantity> {
        let inputs = self.program.inputs.len();
        let quantity = self.written_quantity(&value.node, value.span, String::new());
        self.program.inputs.truncate(inputs);
        quantity
    }

    /// Fails for an uncertainty of nothing, and for one as large as what is measured.
    fn fits(&mut self, slack: &Quantity, millilitres: Option<f64>, span: Span) -> Checked<()> {
        let standard = slack.number().standard_uncertainty();
        let whole = match (slack.dimension(), millilitres) {
            (Dimension::NONE, _) => Some(1.0),
            (_, Some(size)) => Some(size * unit::MILLILITRE.factor().to_f64()),
            (_, None) => None,
        };
        if standard > 0.0 && whole.is_none_or(|whole| standard < whole) {
            return Ok(());
        }
        self.unmeasurable(InstrumentFault::Slack { span })
    }

    /// A quantity with what weighing it, or measuring its volume, adds; as it is, if it states how well it is known, or if
    /// no instrument was declared for it.
    pub(super) fn by_instrument(&mut self, value: Value, what: &str) -> Value {
        let kind = match value.dimension {
            Dimension::MASS => InstrumentKind::Balance,
            Dimension::VOLUME => InstrumentKind::Cylinder,
            _ => return value,
        };
        if self.states_spread(&value) {
            return value;
        }
        let label = format!("{}, {} {what}", kind.word(), value.text);
        match self.slack(kind, None, label.trim_end()) {
            Some(slack) => with(value, slack),
            None => value,
        }
    }

    /// What measuring out a portion adds that is worked out only when the route runs.
    pub(super) fn measuring(&mut self, matter: &Matter) -> Option<Slack> {
        let kind = match reagent::pourable(&matter.stuff) {
            Ok(()) => InstrumentKind::Cylinder,
            Err(_) => InstrumentKind::Balance,
        };
        let label = format!("{}, enough {}", kind.word(), matter.label);
        self.slack(kind, None, &label)
    }

    /// What one use of a declared instrument adds: of that size, or of any.
    fn slack(&mut self, kind: InstrumentKind, size: Option<f64>, label: &str) -> Option<Slack> {
        let same = |known: f64| size.is_some_and(|size| (known - size).abs() < 1e-9 * size);
        let fitting = self.program.instruments.iter();
        let mut fitting = fitting.filter(|known| known.kind == kind && known.size.is_none_or(same));
        let mut found = fitting.next()?.clone();
        // One of its own size is a better guess than one of any.
        if found.size.is_none() {
            found = fitting.next().cloned().unwrap_or(found);
        }
        let input = self.input(label.to_owned(), found.distribution);
        let nothing = match found.standard.dimension() {
            Dimension::NONE => Number::one(),
            _ => Number::zero(),
        };
        let number = nothing.with_uncertainty(input, found.standard.number().to_f64());
        Some(Slack(Quantity::coherent(
            number,
            found.standard.dimension(),
        )))
    }

    pub(super) fn input(&mut self, label: String, distribution: Distribution) -> InputId {
        let input = Input {
            label,
            distribution,
        };
        self.program.inputs.push(input);
        InputId(self.program.inputs.len() as u32 - 1)
    }

    /// What a burette of a size, or the one that was declared for all, adds to what has run out of it.
    pub(super) fn burette(
        &mut self,
        size: Option<&Spanned<Literal>>,
        called: &str,
    ) -> Checked<Option<Slack>> {
        let Some(size) = size else {
            let kind = InstrumentKind::Glass(Glass::Burette);
            return Ok(self.slack(kind, None, called));
        };
        let quantity = self.aside(size)?;
        self.tolerance(Glass::Burette, Some(&quantity), size.span)
            .map(Some)
    }

    /// A volume measured by glassware carries the tolerance of that size.
    pub(super) fn by_glass(&mut self, value: Value, glass: &Spanned<Glass>) -> Checked<Value> {
        let volume = match &value.node {
            Node::Constant(volume) => Some(volume.clone()),
            _ => None,
        };
        let slack = self.tolerance(glass.node, volume.as_ref(), value.span)?;
        Ok(with(value, slack))
    }

    /// Of the instrument that was declared, else of class A.
    fn tolerance(&mut self, glass: Glass, size: Option<&Quantity>, span: Span) -> Checked<Slack> {
        let size = size.and_then(|size| size.in_unit(&unit::MILLILITRE).ok());
        let size = size.map(|size| size.to_f64());
        let name = match glass {
            Glass::Pipette => "pipette",
            Glass::Flask => "volumetric flask",
            Glass::Burette => "burette",
        };
        let called = match size {
            Some(size) => format!("{size} mL {name}"),
            None => name.to_owned(),
        };
        if let Some(slack) = self.slack(InstrumentKind::Glass(glass), size, &called) {
            return Ok(slack);
        }
        let standard = size.and_then(|size| glassware::standard_uncertainty(glass, size));
        let Some(standard) = standard else {
            return self.unmeasurable(InstrumentFault::NoSuchGlass { span, glass });
        };
        let input = self.input(format!("{called}, class A"), Distribution::Rectangular);
        let nothing = Number::exact(Exact::zero()).with_uncertainty(input, standard);
        Ok(Slack(Quantity::of(nothing, &unit::MILLILITRE)))
    }

    /// Whether an uncertainty was stated for it, or for a value that it is reckoned from.
    pub(super) fn states_spread(&self, value: &Value) -> bool {
        let states = |value: &Value| self.states_spread(value);
        match &value.node {
            Node::Constant(quantity) => !quantity.number().is_exact(),
            Node::Let(id) => states(&self.program.lets[*id].value),
            Node::Negative(inner) | Node::Magnitude(inner) => states(inner),
            Node::Binary(_, left, right) => states(left) || states(right),
            Node::Extreme { among, .. } => among.iter().any(states),
            _ => false,
        }
    }
}

fn measures(kind: InstrumentKind) -> Dimension {
    match kind {
        InstrumentKind::Balance => Dimension::MASS,
        InstrumentKind::Cylinder | InstrumentKind::Glass(_) => Dimension::VOLUME,
    }
}

/// A quantity with the slack of one instrument.
fn with(value: Value, slack: Slack) -> Value {
    let operator = match slack.is_factor() {
        true => Operator::Multiply,
        false => Operator::Add,
    };
    let slack = Value {
        dimension: slack.0.dimension(),
        node: Node::Constant(slack.0),
        demand: Demand::ANY,
        ..value.clone()
    };
    let (dimension, unit, demand) = (value.dimension, value.unit, value.demand);
    let (text, span) = (value.text.clone(), value.span);
    Value {
        dimension,
        unit,
        demand,
        node: Node::Binary(operator, Box::new(value), Box::new(slack)),
        span,
        text,
    }
}

fn no_such_size(kind: InstrumentKind) -> String {
    match kind {
        InstrumentKind::Glass(_) => "the size of glassware is a volume".to_owned(),
        other => format!("a {} has no size here", other.word()),
    }
}
