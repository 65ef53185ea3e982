//! A vessel while a route runs.

use std::sync::OnceLock;

use crate::number::Number;
use crate::vessel::{Cited, Contents, SensibleEnthalpy};

/// Contents with their heat, and how both came about since the step began. Only the bench changes it.
#[derive(Clone, Debug)]
pub struct Vessel {
    name: String,
    capacity: Option<Number>,
    pub(super) contents: Contents,
    pub(super) temperature: Number,
    /// Of the contents above pure or infinitely diluted ones at 25 °C, in kJ.
    pub(super) enthalpy: Number,
    /// What that depends on besides the temperature, found when it is asked for.
    pub(super) sensible: OnceLock<Option<Box<Cited<SensibleEnthalpy>>>>,
    pub(super) sealed: bool,
    pub(super) held: Option<Number>,
    pub(super) cooling: Option<Cooling>,
    pub(super) addition: Option<Addition>,
    pub(super) removed: Number,
    pub(super) begun: Number,
    pub(super) uncooled: Number,
    /// Where an open vessel stops on its way to that, in K: it boils there.
    pub(super) stops: Option<Number>,
    peak: Option<Number>,
    /// Whether its temperature is not known: a reaction of unknown heat ran, and nothing has settled it since.
    pub(super) adrift: bool,
    /// Whether that was so at any time, so that neither is the highest temperature.
    pub(super) was_adrift: bool,
    hot: Option<Hot>,
    /// Whether that is still of a step before.
    counting: bool,
}

/// The hottest moment of a step.
#[derive(Clone, Debug)]
pub struct Hot {
    /// What was there.
    pub contents: Contents,
    /// With what baths took, in kJ.
    pub enthalpy: Number,
    /// Before the step, in K.
    pub start: Number,
    /// In K.
    pub uncooled: Number,
}

/// What a bath can take away.
#[derive(Clone, Debug)]
pub enum Cooling {
    /// In W.
    Power(Number),
    /// In W for each K between vessel and bath.
    PerKelvin(Number),
}

/// How fast something is added.
#[derive(Clone, Debug)]
pub struct Addition {
    /// In s.
    pub seconds: Number,
    /// Heat capacity before it, in J/K.
    pub before: f64,
}

impl Vessel {
    pub(super) fn new(name: &str, capacity: Option<Number>, kelvin: &Number) -> Vessel {
        Vessel {
            name: name.to_owned(),
            capacity,
            contents: Contents::new(),
            temperature: kelvin.clone(),
            enthalpy: Number::zero(),
            sensible: OnceLock::new(),
            sealed: false,
            held: None,
            cooling: None,
            addition: None,
            removed: Number::zero(),
            begun: kelvin.clone(),
            uncooled: kelvin.clone(),
            stops: None,
            peak: None,
            adrift: false,
            was_adrift: false,
            hot: None,
            counting: true,
        }
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How much it holds, in mL.
    pub fn capacity(&self) -> Option<&Number> {
        self.capacity.as_ref()
    }

    /// What is in it.
    pub fn contents(&self) -> &Contents {
        &self.contents
    }

    /// In K; where it is not known, what it was last.
    pub fn temperature(&self) -> &Number {
        &self.temperature
    }

    /// Whether the temperature is known: no reaction of unknown heat has run since something settled it.
    pub fn knows_temperature(&self) -> bool {
        !self.adrift
    }

    /// Whether the temperature was known all the time.
    pub fn knew_temperature(&self) -> bool {
        !self.was_adrift
    }

    /// Of the contents above pure or infinitely diluted ones at 25 °C, in kJ.
    pub fn enthalpy(&self) -> &Number {
        &self.enthalpy
    }

    /// Whether it is closed.
    pub fn sealed(&self) -> bool {
        self.sealed
    }

    /// A bath that stays, in K.
    pub fn held(&self) -> Option<&Number> {
        self.held.as_ref()
    }

    /// What its bath can take away.
    pub fn cooling(&self) -> Option<&Cooling> {
        self.cooling.as_ref()
    }

    /// The last thing that was charged over some time.
    pub fn addition(&self) -> Option<&Addition> {
        self.addition.as_ref()
    }

    /// What the standing bath and boiling have taken since the step began, in kJ.
    pub fn removed(&self) -> &Number {
        &self.removed
    }

    /// What its temperature would be without baths since the step began, in K.
    pub fn uncooled(&self) -> &Number {
        &self.uncooled
    }

    /// The highest of that, in K, for an open vessel no higher than where it boils; `None` as long as nothing was done
    /// with it.
    pub fn peak(&self) -> Option<&Number> {
        self.peak.as_ref()
    }

    /// The hottest moment of its last step.
    pub fn hot(&self) -> Option<&Hot> {
        self.hot.as_ref()
    }

    /// Whether that moment is of the step that runs now.
    pub fn grew_hot(&self) -> bool {
        !self.counting
    }

    pub(super) fn raise_peak(&mut self) {
        let hottest = match &self.stops {
            Some(stops) => self.uncooled.clone().min(stops.clone()),
            None => self.uncooled.clone(),
        };
        let known = self.peak.as_ref();
        if known.is_none_or(|peak| peak.value() < hottest.value()) {
            self.peak = Some(hottest);
        }
    }

    pub(super) fn count_from_here(&mut self) {
        self.removed = Number::zero();
        self.uncooled = self.temperature.clone();
        self.begun = self.temperature.clone();
        self.stops = None;
        self.counting = true;
    }

    /// Keeps the hottest moment of the step, for what it takes to hold it.
    pub(super) fn note_hot(&mut self, kelvin: &Number, enthalpy: &Number) {
        let cooler = |hot: &Hot| hot.uncooled.value() >= kelvin.value();
        if !self.counting && self.hot.as_ref().is_some_and(cooler) {
            return;
        }
        self.counting = false;
        self.hot = Some(Hot {
            contents: self.contents.clone(),
            enthalpy: enthalpy.settled(),
            start: self.begun.clone(),
            uncooled: kelvin.clone(),
        });
    }
}
