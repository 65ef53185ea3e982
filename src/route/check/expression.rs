//! Expressions: names and functions resolved, dimensions worked out.

use crate::number::{Dimension, Quantity, Unit, unit};
use crate::text::near;

use super::super::program::{HandQuestion, Node, Property, SpeciesProperty, Stuff, Value};
use super::super::syntax::{Argument, Expr, Name, Operator, Spanned};
use super::scope::Found;
use super::{CheckFault, Checked, Checker, Meaning, NameKind, literal, temperature};
use crate::matter::Species;

/// The functions with how each is used.
pub(crate) const FUNCTIONS: &[(&str, &str)] = &[
    ("abs", "abs(EXPR)"),
    ("amount", "amount(SPECIES, VESSEL)"),
    ("analyte", "analyte(VESSEL)"),
    ("budget", "budget(EXPR)"),
    ("concentration", "concentration(SPECIES, VESSEL)"),
    ("density", "density(VESSEL)"),
    ("filling", "filling(SPECIES, VESSEL)"),
    ("fraction", "fraction(SPECIES, VESSEL)"),
    ("gas", "gas(SPECIES, VESSEL)"),
    ("heat", "heat(VESSEL)"),
    ("ice", "ice(VESSEL, TEMPERATURE)"),
    ("icewater", "icewater(VESSEL, TEMPERATURE)"),
    ("mass", "mass(VESSEL)"),
    ("max", "max(EXPR, EXPR, …)"),
    ("min", "min(EXPR, EXPR, …)"),
    ("moist", "moist(SPECIES, VESSEL)"),
    ("molar_mass", "molar_mass(FORMULA)"),
    ("peak", "peak(VESSEL)"),
    ("shortest", "shortest(VESSEL, TEMPERATURE)"),
    ("strength", "strength(BOTTLE)"),
    ("temperature", "temperature(VESSEL)"),
    ("titre", "titre(VESSEL)"),
    ("uncertainty", "uncertainty(EXPR)"),
    ("volume", "volume(VESSEL)"),
    ("warmest", "warmest(VESSEL)"),
];

impl Checker<'_> {
    /// An expression of any dimension. Recursion is bounded by the parser's limit on nesting.
    pub(super) fn value(&mut self, expr: &Spanned<Expr>) -> Checked<Value> {
        let span = expr.span;
        let made = |node, dimension, unit: Option<Unit>| (node, dimension, unit);
        let (node, dimension, unit) = match &expr.node {
            Expr::Literal(value) => {
                let label = bare(self.written(span));
                let quantity = literal(value, || label, &mut self.program.inputs);
                let quantity = self.keep(quantity)?;
                let unit = quantity.written_in();
                let dimension = quantity.dimension();
                made(Node::Constant(quantity), dimension, unit)
            }
            Expr::Name(name) => {
                let name = Name {
                    node: name.clone(),
                    span,
                };
                let Meaning::Let(id) = self.resolve(&name, NameKind::Value)? else {
                    return Err(());
                };
                let slot = &self.program.lets[id];
                made(Node::Let(id), slot.dimension, slot.value.unit)
            }
            // `-10 °C` is ten degrees of frost, not the negative of 283.15 K.
            Expr::Negative(inner) if matches!(inner.node, Expr::Literal(_)) => {
                let Expr::Literal(value) = &inner.node else {
                    return Err(());
                };
                let below = Spanned {
                    node: Expr::Literal(value.negated()),
                    span,
                };
                return self.value(&below);
            }
            Expr::Negative(inner) => {
                let inner = self.value(inner)?;
                self.no_reading(&inner)?;
                let (dimension, unit) = (inner.dimension, inner.unit);
                made(Node::Negative(Box::new(inner)), dimension, unit)
            }
            Expr::Binary(operator, left, right) => {
                let (left, right) = (self.value(left), self.value(right));
                let (left, right) = (left?, right?);
                let dimension = self.combined(*operator, &left, &right, span)?;
                let unit = temperature::unit_of(*operator, &left, &right).or_else(|| {
                    let kept = left.dimension == dimension;
                    kept.then(|| left.unit.or(right.unit)).flatten()
                });
                made(
                    Node::Binary(*operator, Box::new(left), Box::new(right)),
                    dimension,
                    unit,
                )
            }
            Expr::Call(function, arguments) => return self.function(function, arguments, expr),
        };
        Ok(Value {
            node,
            dimension,
            unit,
            span,
            text: self.written(span),
        })
    }

    /// An expression that must have one of some dimensions.
    pub(super) fn value_of(
        &mut self,
        expr: &Spanned<Expr>,
        allowed: &[Dimension],
    ) -> Checked<Value> {
        let value = self.value(expr)?;
        self.expected(&value, allowed)?;
        if allowed == [Dimension::TEMPERATURE] {
            self.no_difference(&value)?;
        }
        Ok(value)
    }

    pub(super) fn expected(&mut self, value: &Value, allowed: &[Dimension]) -> Checked<()> {
        if allowed.contains(&value.dimension) {
            return Ok(());
        }
        self.fault(CheckFault::WrongDimension {
            span: value.span,
            found: value.dimension,
            expected: allowed.to_vec(),
        })
    }

    pub(super) fn optional(
        &mut self,
        expr: Option<&Spanned<Expr>>,
        allowed: &[Dimension],
    ) -> Checked<Option<Value>> {
        expr.map(|expr| self.value_of(expr, allowed)).transpose()
    }

    fn combined(
        &mut self,
        operator: Operator,
        left: &Value,
        right: &Value,
        span: crate::text::Span,
    ) -> Checked<Dimension> {
        match operator {
            _ if left.dimension == Dimension::TEMPERATURE
                || right.dimension == Dimension::TEMPERATURE =>
            {
                self.readings(operator, left, right, span)?;
                self.of_dimensions(operator, left, right, span)
            }
            _ => self.of_dimensions(operator, left, right, span),
        }
    }

    fn of_dimensions(
        &mut self,
        operator: Operator,
        left: &Value,
        right: &Value,
        span: crate::text::Span,
    ) -> Checked<Dimension> {
        match operator {
            Operator::Multiply => Ok(left.dimension * right.dimension),
            Operator::Divide => Ok(left.dimension / right.dimension),
            Operator::Add | Operator::Subtract if left.dimension == right.dimension => {
                Ok(left.dimension)
            }
            Operator::Add | Operator::Subtract => self.fault(CheckFault::MixedDimensions {
                span,
                left: left.dimension,
                right: right.dimension,
            }),
            Operator::Power => {
                match Self::small_integer(right).and_then(|n| left.dimension.power(n)) {
                    Some(dimension) => Ok(dimension),
                    None => self.fault(CheckFault::BadPower { span }),
                }
            }
        }
    }

    fn function(
        &mut self,
        function: &Name,
        arguments: &[Spanned<Argument>],
        expr: &Spanned<Expr>,
    ) -> Checked<Value> {
        let Some((name, usage)) = FUNCTIONS.iter().find(|(name, _)| *name == function.node) else {
            if function.node == "pH" {
                return self.fault(CheckFault::FunctionNotYet {
                    function: function.clone(),
                });
            }
            let near = near(&function.node, FUNCTIONS.iter().map(|(name, _)| *name));
            return self.fault(CheckFault::UnknownFunction {
                function: function.clone(),
                near,
            });
        };
        let (node, dimension, unit) = match (*name, arguments) {
            ("mass", [v]) => self.of(Property::Mass, v, Dimension::MASS, unit::GRAM)?,
            ("volume", [v]) => self.of(Property::Volume, v, Dimension::VOLUME, unit::MILLILITRE)?,
            ("temperature", [v]) => self.of(
                Property::Temperature,
                v,
                Dimension::TEMPERATURE,
                unit::CELSIUS,
            )?,
            ("peak", [v]) => self.of(Property::Peak, v, Dimension::TEMPERATURE, unit::CELSIUS)?,
            ("warmest", [v]) => {
                self.of(Property::Warmest, v, Dimension::TEMPERATURE, unit::CELSIUS)?
            }
            ("ice", [v, t]) => self.in_hand(HandQuestion::Ice, v, t)?,
            ("icewater", [v, t]) => self.in_hand(HandQuestion::IceWater, v, t)?,
            ("shortest", [v, t]) => self.in_hand(HandQuestion::Shortest, v, t)?,
            ("density", [v]) => self.of(
                Property::Density,
                v,
                Dimension::DENSITY,
                unit::GRAM_PER_MILLILITRE,
            )?,
            ("heat", [v]) => self.of(Property::Heat, v, Dimension::ENERGY, unit::KILOJOULE)?,
            ("titre", [v]) => self.of(Property::Titre, v, Dimension::VOLUME, unit::MILLILITRE)?,
            ("analyte", [v]) => self.of(Property::Analyte, v, Dimension::AMOUNT, unit::MOLE)?,
            ("strength", [bottle]) => self.strength_of(bottle)?,
            ("amount", [s, v]) => {
                self.of_species(SpeciesProperty::Amount, s, v, Dimension::AMOUNT, unit::MOLE)?
            }
            ("concentration", [s, v]) => self.of_species(
                SpeciesProperty::Concentration,
                s,
                v,
                Dimension::CONCENTRATION,
                unit::MOLAR,
            )?,
            ("fraction", [s, v]) => self.of_species(
                SpeciesProperty::Fraction,
                s,
                v,
                Dimension::NONE,
                unit::PER_CENT,
            )?,
            ("moist", [s, v]) => {
                self.of_species(SpeciesProperty::Moist, s, v, Dimension::VOLUME, unit::LITRE)?
            }
            ("filling", [s, v]) => self.of_species(
                SpeciesProperty::Filling,
                s,
                v,
                Dimension::TIME,
                unit::MINUTE,
            )?,
            ("gas", [s, v]) => {
                self.of_species(SpeciesProperty::Gas, s, v, Dimension::VOLUME, unit::LITRE)?
            }
            (
                "molar_mass",
                [
                    Spanned {
                        node: Argument::Species(species),
                        ..
                    },
                ],
            ) => {
                let mass = crate::number::Number::exact(species.molar_mass().clone());
                let quantity = Quantity::of(mass, &unit::GRAM_PER_MOLE);
                (
                    Node::Constant(quantity),
                    Dimension::MOLAR_MASS,
                    Some(unit::GRAM_PER_MOLE),
                )
            }
            ("uncertainty" | "budget" | "abs", [one]) => {
                let inner = self.argument(one)?;
                if *name == "abs" {
                    self.no_reading(&inner)?;
                }
                let (dimension, unit) = (inner.dimension, inner.unit);
                let inner = Box::new(inner);
                match *name {
                    "uncertainty" => {
                        let unit = unit.map(temperature::between_readings);
                        (Node::Uncertainty(inner), dimension, unit)
                    }
                    "budget" => (Node::Budget(inner), dimension, unit),
                    _ => (Node::Magnitude(inner), dimension, unit),
                }
            }
            ("min" | "max", [_, ..]) => {
                let among: Vec<_> = arguments.iter().map(|a| self.argument(a)).collect();
                let among = among.into_iter().collect::<Checked<Vec<Value>>>()?;
                let (dimension, unit) = (among[0].dimension, among[0].unit);
                for other in &among[1..] {
                    self.same_kind(&among[0], other)?;
                }
                (
                    Node::Extreme {
                        largest: *name == "max",
                        among,
                    },
                    dimension,
                    unit,
                )
            }
            _ => {
                return self.fault(CheckFault::WrongArguments {
                    span: expr.span,
                    function: (*name).to_owned(),
                    usage,
                });
            }
        };
        Ok(Value {
            node,
            dimension,
            unit,
            span: expr.span,
            text: self.written(expr.span),
        })
    }

    /// Both sides measure the same kind, and where that is temperature, both a reading or both a difference.
    pub(super) fn same_kind(&mut self, left: &Value, right: &Value) -> Checked<()> {
        if left.dimension == right.dimension {
            return self.same_scale(left, right);
        }
        self.fault(CheckFault::MixedDimensions {
            span: right.span,
            left: left.dimension,
            right: right.dimension,
        })
    }

    fn argument(&mut self, argument: &Spanned<Argument>) -> Checked<Value> {
        match &argument.node {
            Argument::Expr(expr) => self.value(&Spanned {
                node: expr.clone(),
                span: argument.span,
            }),
            Argument::Species(_) => self.fault(CheckFault::WrongArguments {
                span: argument.span,
                function: String::new(),
                usage: "a quantity, not a formula",
            }),
        }
    }

    /// In mol/L, or as mass fraction for a substance by itself.
    fn strength_of(
        &mut self,
        bottle: &Spanned<Argument>,
    ) -> Checked<(Node, Dimension, Option<Unit>)> {
        let Argument::Expr(Expr::Name(name)) = &bottle.node else {
            return self.fault(CheckFault::WrongArguments {
                span: bottle.span,
                function: String::new(),
                usage: "the name of a bottle",
            });
        };
        let name = Name {
            node: name.clone(),
            span: bottle.span,
        };
        let Meaning::Bottle(id) = self.resolve(&name, NameKind::Bottle)? else {
            return Err(());
        };
        let (dimension, unit) = match self.program.bottles[id].stuff {
            Stuff::Pure { .. } => (Dimension::NONE, unit::PER_CENT),
            Stuff::Solution { .. } => (Dimension::CONCENTRATION, unit::MOLAR),
        };
        Ok((Node::Strength(id), dimension, Some(unit)))
    }

    fn vessel_argument(&mut self, argument: &Spanned<Argument>) -> Checked<usize> {
        match &argument.node {
            Argument::Expr(Expr::Name(name)) => {
                let name = Name {
                    node: name.clone(),
                    span: argument.span,
                };
                self.vessel(&name)
            }
            _ => self.fault(CheckFault::WrongArguments {
                span: argument.span,
                function: String::new(),
                usage: "the name of a vessel",
            }),
        }
    }

    /// A formula, or a parameter that stands for one.
    fn species_argument(&mut self, argument: &Spanned<Argument>) -> Checked<Species> {
        match &argument.node {
            Argument::Species(species) => return Ok(species.clone()),
            Argument::Expr(Expr::Name(name)) => {
                let name = Name {
                    node: name.clone(),
                    span: argument.span,
                };
                if let Found::Formula(species) = self.find_name(&name) {
                    return Ok(species);
                }
            }
            Argument::Expr(_) => {}
        }
        self.fault(CheckFault::WrongArguments {
            span: argument.span,
            function: String::new(),
            usage: "a formula first, then the name of a vessel",
        })
    }

    fn of(
        &mut self,
        property: Property,
        vessel: &Spanned<Argument>,
        dimension: Dimension,
        unit: Unit,
    ) -> Checked<(Node, Dimension, Option<Unit>)> {
        let vessel = self.vessel_argument(vessel)?;
        Ok((Node::Of(property, vessel), dimension, Some(unit)))
    }

    /// About holding a vessel below a temperature: g of coolant, or a time in min.
    fn in_hand(
        &mut self,
        question: HandQuestion,
        vessel: &Spanned<Argument>,
        limit: &Spanned<Argument>,
    ) -> Checked<(Node, Dimension, Option<Unit>)> {
        let vessel = self.vessel_argument(vessel)?;
        let limit = self.argument(limit)?;
        self.expected(&limit, &[Dimension::TEMPERATURE])?;
        self.no_difference(&limit)?;
        let node = Node::InHand(question, vessel, Box::new(limit));
        Ok(match question {
            HandQuestion::Shortest => (node, Dimension::TIME, Some(unit::MINUTE)),
            _ => (node, Dimension::MASS, Some(unit::GRAM)),
        })
    }

    fn of_species(
        &mut self,
        property: SpeciesProperty,
        species: &Spanned<Argument>,
        vessel: &Spanned<Argument>,
        dimension: Dimension,
        unit: Unit,
    ) -> Checked<(Node, Dimension, Option<Unit>)> {
        let species = self.species_argument(species)?;
        let vessel = self.vessel_argument(vessel)?;
        Ok((
            Node::OfSpecies(property, species, vessel),
            dimension,
            Some(unit),
        ))
    }
}

/// Without the brackets around all of it.
fn bare(text: String) -> String {
    let inner = text.strip_prefix('(').and_then(|t| t.strip_suffix(')'));
    inner.map_or(text.clone(), |inner| inner.trim().to_owned())
}
