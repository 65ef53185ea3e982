//! Declarations checked: what stands on the shelf and on the bench before anything is done.

use crate::data::Own;
use crate::matter::{Phase, Species};
use crate::number::{Dimension, Exact, Input, InputId, Number, Quantity, Unit, unit};
use crate::text::Span;
use crate::vessel::Reagent;

use super::super::program::*;
use super::super::syntax::{Datum, Expr, Literal, Name, Spanned, Statement};
use super::{CheckFault, Checked, Checker, Meaning};

/// A literal with its span, for callers that read quantities outside a script.
pub fn quantity(value: &Spanned<Literal>) -> Result<Quantity, CheckFault> {
    literal(&value.node, String::new, &mut Vec::new())
}

/// A literal as a quantity; the fault names the unit.
pub fn literal(
    value: &Literal,
    label: impl FnOnce() -> String,
    inputs: &mut Vec<Input>,
) -> Result<Quantity, CheckFault> {
    let unit = value.unit.as_ref().map(known_unit).transpose()?;
    let number = Number::exact(value.number.clone());
    let quantity = match &unit {
        Some(unit) => Quantity::of(number, unit),
        None => Quantity::plain(number),
    };
    let Some((size, name)) = &value.uncertainty else {
        return Ok(quantity.entered(value.places));
    };
    let size_unit = name.as_ref().map(known_unit).transpose()?;
    let standard = match (size_unit, name) {
        (Some(own), Some(name)) => {
            spread(&quantity, size, &own).ok_or(CheckFault::MixedDimensions {
                span: name.span,
                left: quantity.dimension(),
                right: own.dimension(),
            })?
        }
        _ => size.to_f64(),
    };
    if !is_small(standard, quantity.dimension()) {
        let span = value
            .unit
            .as_ref()
            .map_or_else(Span::default, |unit| unit.span);
        return Err(CheckFault::AbsurdUncertainty { span });
    }
    let input = InputId(inputs.len() as u32);
    inputs.push(Input {
        label: label(),
        distribution: value.distribution,
    });
    let number = quantity.number().clone().with_uncertainty(input, standard);
    let uncertain = Quantity::coherent(number, quantity.dimension());
    let uncertain = match &unit {
        Some(unit) => uncertain.shown_in(unit),
        None => uncertain,
    };
    // A `±` in another unit says nothing of the places of this one.
    Ok(match size_unit == unit {
        true => uncertain.entered(value.places),
        false => uncertain,
    })
}

/// Whether an uncertainty, in the coherent unit of its kind, is one that a small lab can mean.
fn is_small(standard: f64, kind: Dimension) -> bool {
    /// Of kinds without a limit of their own.
    const MOST: f64 = 1e15;
    let own = most(kind).filter(|_| kind != Dimension::NONE);
    standard <= own.map_or(MOST, |most| most.number().to_f64())
}

/// An uncertainty in the coherent unit of its quantity; `None` where it is of another kind.
fn spread(quantity: &Quantity, size: &Exact, own: &Unit) -> Option<f64> {
    // `2.00 g ± 1 %` is relative.
    if *own == unit::PER_CENT && quantity.dimension() != Dimension::NONE {
        return Some(quantity.number().to_f64() * size.to_f64() / 100.0);
    }
    let alike = own.dimension() == quantity.dimension();
    alike.then(|| size.to_f64() * own.factor().to_f64())
}

fn known_unit(name: &Name) -> Result<Unit, CheckFault> {
    unit::find(&name.node).ok_or_else(|| CheckFault::UnknownUnit {
        unit: name.clone(),
        near: unit::nearby(&name.node),
    })
}

impl Checker<'_> {
    /// A statement that names something or sets the scene; only `let` has something to do when the route runs.
    pub(super) fn declaration(
        &mut self,
        statement: &Statement,
        span: Span,
    ) -> Checked<Option<Action>> {
        use Statement as S;
        match statement {
            S::Title(title) => self.program.title = Some(title.clone()),
            S::Ambient {
                temperature,
                pressure,
            } => self.ambient(temperature, pressure.as_ref())?,
            S::Bottle {
                name,
                species,
                strength,
                density,
            } => self.bottle(name, species, strength.as_ref(), density.as_ref(), span)?,
            S::Vessel { name, capacity } => self.vessel_slot(name, capacity.as_ref())?,
            S::Substance { species, data } => self.substance(species, data)?,
            S::Let { name, value } => return self.let_slot(name, value).map(Some),
            _ => return Err(()),
        }
        Ok(None)
    }

    fn vessel_slot(&mut self, name: &Name, capacity: Option<&Spanned<Expr>>) -> Checked<()> {
        let capacity = match capacity {
            Some(capacity) => Some(self.stated(capacity, Demand::VOLUME, &unit::MILLILITRE)?),
            None => None,
        };
        let (capacity_from, capacity) = capacity.unzip();
        self.define(name, |program, name| {
            Meaning::Vessel(program.vessels.push_and_get_key(VesselSlot {
                name,
                capacity,
                capacity_from,
            }))
        })
    }

    fn let_slot(&mut self, name: &Name, value: &Spanned<Expr>) -> Checked<Action> {
        let value = self.value(value)?;
        let mut slot = LetSlot {
            name: String::new(),
            dimension: value.dimension,
            span: name.span,
            value: value.clone(),
            set: None,
            known: self.program.constant(&value),
            sought: None,
            difference: self.is_difference(&value),
        };
        let mut id = self.program.lets.next_key();
        self.define(name, |program, name| {
            slot.name = name;
            id = program.lets.push_and_get_key(slot);
            Meaning::Let(id)
        })?;
        Ok(Action::Let { slot: id, value })
    }

    fn ambient(
        &mut self,
        temperature: &Spanned<Expr>,
        pressure: Option<&Spanned<Expr>>,
    ) -> Checked<()> {
        let (from, kelvins) = self.stated(temperature, Demand::ROOM, &unit::KELVIN)?;
        self.program.ambient.temperature = kelvins;
        self.program.ambient_from.0 = Some(from);
        if let Some(pressure) = pressure {
            let (from, pressure) = self.stated(pressure, Demand::PRESSURE, &unit::KILOPASCAL)?;
            self.program.ambient.pressure = pressure;
            self.program.ambient_from.1 = Some(from);
        }
        Ok(())
    }

    fn bottle(
        &mut self,
        name: &Name,
        species: &Spanned<Species>,
        strength: Option<&Spanned<Expr>>,
        density: Option<&Spanned<Expr>>,
        span: Span,
    ) -> Checked<()> {
        let (stuff, label) = self.labelled(&name.node, species, strength, density)?;
        let mut bottle = Bottle {
            name: String::new(),
            stuff,
            span,
            label,
            brought: !self.own.contains(&span.start),
        };
        self.define(name, |program, name| {
            bottle.name = name;
            Meaning::Bottle(program.bottles.push_and_get_key(bottle))
        })
    }

    /// What a label says, at the temperature of the room.
    pub(super) fn labelled(
        &mut self,
        called: &str,
        species: &Spanned<Species>,
        strength: Option<&Spanned<Expr>>,
        density: Option<&Spanned<Expr>>,
    ) -> Checked<(Reagent, Label)> {
        let density = match density {
            Some(density) => Some(
                self.stated(density, Demand::DENSITY, &unit::GRAM_PER_MILLILITRE)?
                    .0,
            ),
            None => None,
        };
        let strength = match strength {
            Some(strength) => Some(self.strength(strength, called)?),
            None => None,
        };
        let label = Label {
            species: species.node.clone(),
            strength,
            density,
        };
        let made = self.program.fill(&label).map_err(|fault| match fault {
            // A label without a strength has no place of its own.
            CheckFault::Reagent { span, fault } if span == Span::default() => CheckFault::Reagent {
                span: species.span,
                fault,
            },
            other => other,
        });
        Ok((self.keep(made)?, label))
    }

    /// A strength; an uncertain one is named after its bottle.
    fn strength(&mut self, strength: &Spanned<Expr>, bottle: &str) -> Checked<Value> {
        let first = self.program.inputs.len();
        let value = self.value(strength)?;
        for input in &mut self.program.inputs[first..] {
            input.label = format!("{} of {bottle}", input.label);
        }
        self.demanded(value, Demand::STRENGTH)
    }

    fn substance(&mut self, species: &Spanned<Species>, data: &[Spanned<Datum>]) -> Checked<()> {
        let phase = species.node.phase().unwrap_or(Phase::Solid);
        let mut own = Own {
            formula: species.node.key().to_owned(),
            phase: phase.symbol().to_owned(),
            formation_enthalpy: None,
            formation_gibbs: None,
            entropy: None,
            heat_capacity: None,
            source: String::new(),
        };
        for datum in data {
            match &datum.node {
                Datum::Source(text) => own.source = text.clone(),
                Datum::Value(key, value) => {
                    let per_kelvin = match phase {
                        Phase::Aqueous => Demand::MOLAR_ENTROPY_IN_WATER,
                        _ => Demand::MOLAR_ENTROPY,
                    };
                    let label = format!("{} of {}", key.node, own.formula);
                    let span = datum.span;
                    let value = self.written_quantity(value, span, label)?;
                    let (slot, demand) = match key.node.as_str() {
                        "dfH" => (&mut own.formation_enthalpy, Demand::FORMATION),
                        "dfG" => (&mut own.formation_gibbs, Demand::FORMATION),
                        "S" => (&mut own.entropy, per_kelvin),
                        _ => (&mut own.heat_capacity, per_kelvin),
                    };
                    let right_kind = demand.dimensions().any(|kind| kind == value.dimension());
                    if !right_kind || slot.is_some() {
                        return self.fault(CheckFault::BadDatum { span });
                    }
                    self.admit(&value, span, demand)?;
                    *slot = Some(value);
                }
            }
        }
        self.program.store.add(own);
        Ok(())
    }

    /// A literal as a quantity; an uncertain one is called by `label` among the inputs.
    pub(super) fn written_quantity(
        &mut self,
        value: &Literal,
        span: Span,
        label: String,
    ) -> Checked<Quantity> {
        let quantity = literal(value, || label, &mut self.program.inputs);
        self.keep(quantity.map_err(|fault| match fault {
            CheckFault::AbsurdUncertainty { .. } => CheckFault::AbsurdUncertainty { span },
            other => other,
        }))
    }

    /// Fails for a quantity as written that is not what its place demands.
    pub(super) fn admit(&mut self, quantity: &Quantity, span: Span, demand: Demand) -> Checked<()> {
        let admitted = demand.admit(quantity);
        let expression = self.written(span);
        self.keep(admitted.map_err(|fault| CheckFault::OutOfRange {
            span,
            expression,
            fault,
        }))
    }

    /// A literal as a number of `wanted`.
    pub(super) fn measured(
        &mut self,
        value: &Spanned<Literal>,
        demand: Demand,
        wanted: &Unit,
    ) -> Checked<Number> {
        let expr = Spanned {
            node: Expr::Literal(value.node.clone()),
            span: value.span,
        };
        Ok(self.stated(&expr, demand, wanted)?.1)
    }

    /// An expression that is known before the route runs, and what it comes to in a unit.
    fn stated(
        &mut self,
        expr: &Spanned<Expr>,
        demand: Demand,
        wanted: &Unit,
    ) -> Checked<(Value, Number)> {
        let value = self.value_of(expr, demand)?;
        let number = self.program.stated_in(&value, wanted);
        Ok((value, self.keep(number)?))
    }
}
