//! How heats and temperatures came about.

use super::{Derivation, Maker};
use crate::figure;
use crate::number::{Exact, Number};
use crate::route::ledger::*;

/// What a law gives that rests on nothing else in the ledger.
fn told(text: String) -> Derivation {
    Derivation {
        text,
        terms: Vec::new(),
        check: None,
    }
}

fn joules_per_kelvin(capacity: f64) -> String {
    let number = Exact::modelled(capacity).unwrap_or_else(Exact::zero);
    format!("{} J/K", figure::significant(&number, 4))
}

impl Maker<'_> {
    /// What dissolved with its heat, what mixing gave, and the temperature of all that.
    pub(super) fn charged(&self, outcome: &Outcome) -> Vec<Derivation> {
        let Outcome::Charged {
            draws,
            dissolved,
            heat,
            mixing,
            temperature,
            ..
        } = outcome
        else {
            return Vec::new();
        };
        let mut figures: Vec<Derivation> = draws.iter().flat_map(|draw| self.draw(draw)).collect();
        if let (false, Heat::Known(heat)) = (dissolved.is_empty(), heat) {
            figures.push(told(format!(
                "q of dissolving = Σ n·ΔsolH° at 25 °C = {}, to an endlessly thin solution, with ΔfH° of solid and ions",
                figure::heat(heat)
            )));
        }
        if mixing.to_f64().abs() >= 0.1 {
            figures.push(told(format!(
                "q of diluting and mixing = {}: the excess enthalpy of the mixture by its pairs of ions, less that of what was poured",
                figure::heat(mixing)
            )));
        }
        figures.push(told(format!(
            "T = {}: where the contents have the enthalpy that they came with, heats of dissolving and mixing counted",
            figure::temperature(temperature)
        )));
        figures
    }

    /// `T` after a reaction that nothing cooled.
    pub(super) fn uncooled(&self, record: &ReactRecord) -> Option<Derivation> {
        let uncooled = record.uncooled.as_ref()?;
        let heat = record.heat.known()?;
        let capacity = record.heat_capacity.filter(|capacity| *capacity > 0.0)?;
        let alone = -1000.0 * heat.to_f64() / capacity;
        Some(told(format!(
            "T uncooled = {}, from {}: where the contents have the enthalpy they had and the heat of the reaction; their heat \
             capacity is {} at 25 °C (solution by its composition, solids by their data), by which alone it would be −q / C = {:.1} \
             K, and mixing, warmer water and boiling make the rest",
            figure::temperature(uncooled),
            figure::temperature(&record.start),
            joules_per_kelvin(capacity),
            alone
        )))
    }

    /// What a bath took to bring a vessel from one temperature to another.
    pub(super) fn bath(&self, from: &Number, to: &Number, bath: &Heat) -> Vec<Derivation> {
        let Heat::Known(bath) = bath else {
            return Vec::new();
        };
        let span = to - from;
        let share = match span.is_zero() {
            true => String::new(),
            false => {
                let capacity = -1000.0 * bath.to_f64() / span.to_f64();
                format!(", {} on the way", joules_per_kelvin(capacity))
            }
        };
        vec![told(format!(
            "the bath takes H({}) − H({}) of the contents = {}{share}; what dissolves, melts or boils on the way is in it",
            figure::temperature(from),
            figure::temperature(to),
            figure::heat(bath)
        ))]
    }

    /// The heat of boiling down.
    pub(super) fn evaporated(&self, water: &Number, heat: &Heat) -> Vec<Derivation> {
        let (Heat::Known(heat), true) = (heat, water.is_positive()) else {
            return Vec::new();
        };
        let each = heat.checked_div(water);
        let each = each.map_or(String::new(), |each| {
            format!(
                ", {} kJ for each gram",
                figure::significant(each.value(), 3)
            )
        });
        vec![told(format!(
            "q of boiling down = m·ΔvapH at the temperature of the vessel = {} for {} of water{each}; what diluting it would give \
             off is in it",
            figure::heat(heat),
            figure::mass(water)
        ))]
    }

    /// The temperature and the heat capacity of a vessel.
    pub(super) fn warmth(&self, vessel: &VesselState) -> Option<Derivation> {
        let capacity = vessel.heat_capacity?;
        let temperature = vessel.known_temperature()?;
        Some(told(format!(
            "T({0}) = {1}: where its contents have the enthalpy that was carried, poured and set free into it and that baths left; \
             C({0}) = {2} at 25 °C, glass left out",
            vessel.name,
            figure::temperature(temperature),
            joules_per_kelvin(capacity)
        )))
    }

    /// The account of a step, which closes.
    pub(super) fn step_heat(&self, heat: &StepHeat) -> Option<Derivation> {
        let Heat::Known(reactions) = &heat.reactions else {
            return None;
        };
        let parts = [
            ("reactions", reactions.clone()),
            (
                "dissolving, crystallising, melting and mixing",
                heat.dissolving.clone(),
            ),
            ("baths", heat.baths.clone()),
            ("the heater for boiling down", -&heat.boiling),
            ("vapour and gas", heat.vapour.clone()),
            (
                "the contents, warmer at the end or cooler",
                heat.warming.clone(),
            ),
            ("not followed", heat.room.clone()),
        ];
        let some = parts
            .iter()
            .filter(|(_, part)| part.to_f64().abs() >= 0.0005);
        let terms: Vec<String> = some
            .map(|(name, part)| {
                let signed = part.value().to_fixed(3).replace('-', "−");
                format!("{signed} kJ: {name}")
            })
            .collect();
        (terms.len() > 1).then(|| Derivation {
            text: "Σ q = 0: taken up +, given off −".to_owned(),
            terms,
            check: None,
        })
    }
}
