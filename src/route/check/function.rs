//! Calls of functions: which there are, what each works on, and what kind of quantity comes out.

use crate::matter::Species;
use crate::number::{Dimension, Number, Quantity, Unit, unit};
use crate::text::near;
use crate::vessel::Reagent;

use super::super::program::{
    Demand, HandQuestion, Node, Property, SpeciesProperty, Value, VesselId,
};
use super::super::syntax::{Argument, Expr, Name, Spanned};
use super::scope::Found;
use super::{CheckFault, Checked, Checker, Meaning, NameKind, temperature};

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

/// What is worked out, its dimension, and the unit it is told in.
type Typed = (Node, Dimension, Option<Unit>);

impl Checker<'_> {
    /// A call, as a value of the dimension that the function has.
    pub(super) fn function(
        &mut self,
        function: &Name,
        arguments: &[Spanned<Argument>],
        expr: &Spanned<Expr>,
    ) -> Checked<Value> {
        let Some((name, usage)) = FUNCTIONS.iter().find(|(name, _)| *name == function.node) else {
            return self.no_function(function);
        };
        let Some((node, dimension, unit)) = self.called(name, arguments)? else {
            return self.fault(CheckFault::WrongArguments {
                span: expr.span,
                function: (*name).to_owned(),
                usage,
            });
        };
        Ok(Value {
            node,
            dimension,
            unit,
            demand: Demand::ANY,
            span: expr.span,
            text: self.written(expr.span),
        })
    }

    fn no_function(&mut self, function: &Name) -> Checked<Value> {
        let function = function.clone();
        if function.node == "pH" {
            return self.fault(CheckFault::FunctionNotYet { function });
        }
        let near = near(&function.node, FUNCTIONS.iter().map(|(name, _)| *name));
        self.fault(CheckFault::UnknownFunction { function, near })
    }

    /// `None` where a function of that name has other arguments.
    fn called(&mut self, name: &str, arguments: &[Spanned<Argument>]) -> Checked<Option<Typed>> {
        if let (Some(property), [vessel]) = (Property::named(name), arguments) {
            let vessel = self.vessel_argument(vessel)?;
            let (dimension, unit) = property.kind();
            return Ok(Some((Node::Of(property, vessel), dimension, Some(unit))));
        }
        if let (Some(property), [species, vessel]) = (SpeciesProperty::named(name), arguments) {
            let species = self.species_argument(species)?;
            let vessel = self.vessel_argument(vessel)?;
            let (dimension, unit) = property.kind();
            let node = Node::OfSpecies(property, species, vessel);
            return Ok(Some((node, dimension, Some(unit))));
        }
        Ok(Some(match (name, arguments) {
            ("ice", [v, t]) => self.in_hand(HandQuestion::Ice, v, t)?,
            ("icewater", [v, t]) => self.in_hand(HandQuestion::IceWater, v, t)?,
            ("shortest", [v, t]) => self.in_hand(HandQuestion::Shortest, v, t)?,
            ("strength", [bottle]) => self.strength_of(bottle)?,
            ("molar_mass", [one]) => match &one.node {
                Argument::Species(species) => molar_mass(species),
                Argument::Expr(_) => return Ok(None),
            },
            ("uncertainty", [one]) => {
                let inner = self.argument(one)?;
                let (dimension, unit) = (inner.dimension, inner.unit);
                let unit = unit.map(temperature::between_readings);
                (Node::Uncertainty(Box::new(inner)), dimension, unit)
            }
            ("budget", [one]) => {
                let inner = self.argument(one)?;
                let (dimension, unit) = (inner.dimension, inner.unit);
                (Node::Budget(Box::new(inner)), dimension, unit)
            }
            ("abs", [one]) => {
                let inner = self.argument(one)?;
                self.no_reading(&inner)?;
                let (dimension, unit) = (inner.dimension, inner.unit);
                (Node::Magnitude(Box::new(inner)), dimension, unit)
            }
            ("min" | "max", [_, ..]) => self.extreme(name == "max", arguments)?,
            _ => return Ok(None),
        }))
    }

    fn extreme(&mut self, largest: bool, arguments: &[Spanned<Argument>]) -> Checked<Typed> {
        let among: Vec<_> = arguments.iter().map(|a| self.argument(a)).collect();
        let among = among.into_iter().collect::<Checked<Vec<Value>>>()?;
        let (dimension, unit) = (among[0].dimension, among[0].unit);
        for other in &among[1..] {
            self.same_kind(&among[0], other)?;
        }
        Ok((Node::Extreme { largest, among }, dimension, unit))
    }

    /// About holding a vessel below a temperature: g of coolant, or a time in min.
    fn in_hand(
        &mut self,
        question: HandQuestion,
        vessel: &Spanned<Argument>,
        limit: &Spanned<Argument>,
    ) -> Checked<Typed> {
        let vessel = self.vessel_argument(vessel)?;
        let limit = self.argument(limit)?;
        self.expected(&limit, &[Dimension::TEMPERATURE])?;
        self.no_difference(&limit)?;
        let limit = self.demanded(limit, Demand::TEMPERATURE)?;
        let node = Node::InHand(question, vessel, Box::new(limit));
        Ok(match question {
            HandQuestion::Shortest => (node, Dimension::TIME, Some(unit::MINUTE)),
            _ => (node, Dimension::MASS, Some(unit::GRAM)),
        })
    }

    /// In mol/L, or as mass fraction for a substance by itself.
    fn strength_of(&mut self, bottle: &Spanned<Argument>) -> Checked<Typed> {
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
            Reagent::Pure { .. } => (Dimension::NONE, unit::PER_CENT),
            Reagent::Solution { .. } => (Dimension::CONCENTRATION, unit::MOLAR),
        };
        Ok((Node::Strength(id), dimension, Some(unit)))
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

    fn vessel_argument(&mut self, argument: &Spanned<Argument>) -> Checked<VesselId> {
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
}

fn molar_mass(species: &Species) -> Typed {
    let mass = Number::exact(species.molar_mass().clone());
    let quantity = Quantity::of(mass, &unit::GRAM_PER_MOLE);
    let unit = Some(unit::GRAM_PER_MOLE);
    (Node::Constant(quantity), Dimension::MOLAR_MASS, unit)
}
