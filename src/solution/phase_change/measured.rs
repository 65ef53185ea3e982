//! What was measured of one solute in water, as a correction to ion interaction.
//!
//! A freezing point, a boiling point and an activity of water each say what the osmotic sum at one molality and one
//! temperature is. The difference to ion interaction is kept along two curves against molality, one cold and one hot, and
//! runs straight in 1/T between them.

use std::sync::{Arc, LazyLock};

use rustc_hash::FxHashMap;

use crate::data::{EUTECTIC, Row, SOLUTION_POINTS};
use crate::matter::Species;
use crate::solution::activity::{Electrolytes, WATER_MOLE};

use super::saturated::{ln_water_with_ice, water_vapour_pressure};

/// 1 atm in Pa, at which the boiling points were measured.
const ATMOSPHERE: f64 = 101_325.0;

/// Where listed coefficients hold, nothing has to be corrected at 25 °C.
const STANDARD: f64 = 298.15;

/// Two sources with a point at nearly the same molality count as one point between them.
const SAME: f64 = 0.02;

/// The measured points of one solute.
#[derive(Debug)]
pub(super) struct Measured {
    cold: Vec<Point>,
    hot: Vec<Point>,
    /// mol/kg up to which ion interaction needs no correction at 25 °C; zero for a molecule.
    trusted: f64,
    sources: Vec<(f64, &'static str)>,
}

/// mol/kg, K, mol of particles for each mol of solute that ion interaction lacks.
#[derive(Clone, Copy, Debug)]
struct Point {
    molality: f64,
    kelvin: f64,
    lacking: f64,
}

/// A solute by its ions, or by its formula and nothing.
type Key = (&'static str, &'static str);

static ALL: LazyLock<FxHashMap<Key, Vec<Row>>> = LazyLock::new(|| {
    let mut all: FxHashMap<Key, Vec<Row>> = FxHashMap::default();
    // At its eutectic a solution is in equilibrium with ice, too.
    for row in SOLUTION_POINTS.rows().chain(EUTECTIC.rows()) {
        let key = match row.cell("cation") {
            "" => (row.cell("formula"), ""),
            cation => (cation, row.cell("anion")),
        };
        all.entry(key).or_default().push(row);
    }
    all
});

impl Measured {
    /// Of a salt or acid by its ions, or of a molecule with an empty second name.
    pub fn of(first: &str, second: &str) -> Option<Arc<Measured>> {
        type Seen = crate::data::Memo<(String, String), Option<Arc<Measured>>>;
        static SEEN: LazyLock<Seen> = LazyLock::new(Seen::default);
        let first = crate::data::formula_spelled(first).unwrap_or(first);
        let key = (first.to_owned(), second.to_owned());
        SEEN.recall(key, |(first, second)| {
            let rows = ALL.get(&(first.as_str(), second.as_str()))?;
            Self::read(rows, first, second).map(Arc::new)
        })
    }

    fn read(rows: &[Row], first: &str, second: &str) -> Option<Measured> {
        let species: Vec<&str> = [first, second]
            .into_iter()
            .filter(|key| !key.is_empty())
            .collect();
        let electrolytes = Electrolytes::of(&species);
        let numbers = numbers_of(electrolytes.charges());
        let mass = Species::parse(rows.first()?.cell("formula"))
            .ok()?
            .molar_mass()
            .to_f64();
        let mut measured = Measured {
            cold: Vec::new(),
            hot: Vec::new(),
            trusted: 0.0,
            sources: Vec::new(),
        };
        for row in rows {
            let fraction = row.float("mass_fraction")?;
            let molality = 1000.0 * fraction / (mass * (1.0 - fraction));
            let kelvin = row.float("t_C")? + 273.15;
            let kind = if row.table().name() == EUTECTIC.name() {
                "freezing"
            } else {
                row.cell("kind")
            };
            let (ln_water, curve) = match kind {
                "freezing" => (ln_water_with_ice(kelvin), &mut measured.cold),
                "boiling" => (
                    libm::log(ATMOSPHERE / water_vapour_pressure(kelvin)),
                    &mut measured.hot,
                ),
                _ => (libm::log(row.float("water_activity")?), &mut measured.cold),
            };
            let molalities: Vec<f64> = numbers.iter().map(|number| number * molality).collect();
            let model = electrolytes.at(&molalities, kelvin).ln_water;
            let lacking = (model - ln_water) / (WATER_MOLE * molality);
            curve.push(Point {
                molality,
                kelvin,
                lacking,
            });
            measured.sources.push((molality, row.cell("source")));
        }
        measured.trusted = electrolytes.listed_to();
        measured.cold = joined(measured.cold);
        measured.hot = joined(measured.hot);
        Some(measured)
    }

    /// mol of particles for each mol of solute to add to those of ion interaction.
    pub fn lacking(&self, molality: f64, kelvin: f64) -> f64 {
        let cold = on(&self.cold, molality);
        let hot = on(&self.hot, molality);
        let usable = molality <= self.trusted
            && cold.is_none_or(|point| point.kelvin < STANDARD - 8.0)
            && hot.is_none_or(|point| point.kelvin > STANDARD + 8.0);
        let middle = usable.then_some(Point {
            molality,
            kelvin: STANDARD,
            lacking: 0.0,
        });
        let anchors = [cold, middle, hot];
        let mut below: Option<Point> = None;
        for anchor in anchors.into_iter().flatten() {
            if kelvin <= anchor.kelvin {
                return below.map_or(anchor.lacking, |below| between(below, anchor, kelvin));
            }
            below = Some(anchor);
        }
        below.map_or(0.0, |last| last.lacking)
    }

    /// The sources of the points around a molality.
    pub fn sources(&self, molality: f64) -> impl Iterator<Item = &'static str> {
        let near = 0.5 * molality..=2.0 * molality;
        let points = self.sources.iter();
        points
            .filter(move |(at, _)| near.contains(at))
            .map(|(_, code)| *code)
    }

    /// The highest molality that was measured, cold or hot.
    pub fn most(&self, kelvin: f64) -> f64 {
        let last = |curve: &[Point]| curve.last().map_or(0.0, |point| point.molality);
        let curve = if kelvin < 330.0 {
            last(&self.cold)
        } else {
            last(&self.hot)
        };
        curve.max(self.trusted)
    }
}

fn between(cold: Point, hot: Point, kelvin: f64) -> f64 {
    let span = 1.0 / cold.kelvin - 1.0 / hot.kelvin;
    if span.abs() < 1e-12 {
        return hot.lacking;
    }
    let share = (1.0 / cold.kelvin - 1.0 / kelvin) / span;
    cold.lacking + share * (hot.lacking - cold.lacking)
}

/// On a curve; below its first point straight to nothing at no solute; beyond its last the last.
fn on(curve: &[Point], molality: f64) -> Option<Point> {
    let (first, last) = (curve.first()?, curve.last()?);
    if molality >= last.molality {
        return Some(Point { molality, ..*last });
    }
    let above = curve.partition_point(|point| point.molality <= molality);
    let origin = Point {
        molality: 0.0,
        kelvin: first.kelvin,
        lacking: 0.0,
    };
    let (low, high) = match above {
        0 => (origin, *first),
        above => (curve[above - 1], curve[above]),
    };
    // As good as a mass fraction, so that 98 % acid is not far from 96 %.
    let scale = |m: f64| m / (m + 10.0);
    let share =
        (scale(molality) - scale(low.molality)) / (scale(high.molality) - scale(low.molality));
    let along = |low: f64, high: f64| low + share * (high - low);
    Some(Point {
        molality,
        kelvin: along(low.kelvin, high.kelvin),
        lacking: along(low.lacking, high.lacking),
    })
}

fn joined(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.molality.total_cmp(&b.molality));
    let mut curve: Vec<Point> = Vec::new();
    for point in points {
        match curve.last_mut() {
            Some(last) if point.molality <= last.molality * (1.0 + SAME) => {
                last.molality = 0.5 * (last.molality + point.molality);
                last.kelvin = 0.5 * (last.kelvin + point.kelvin);
                last.lacking = 0.5 * (last.lacking + point.lacking);
            }
            _ => curve.push(point),
        }
    }
    curve
}

/// How many of each ion a unit of a salt has; one for a molecule.
pub(super) fn numbers_of(charges: &[f64]) -> Vec<f64> {
    let [cation, anion] = charges else {
        return vec![1.0; charges.len()];
    };
    let (cation, anion) = (cation.abs() as u32, anion.abs() as u32);
    let common = (1..=cation.min(anion))
        .rev()
        .find(|n| cation.is_multiple_of(*n) && anion.is_multiple_of(*n));
    let common = common.unwrap_or(1);
    vec![f64::from(anion / common), f64::from(cation / common)]
}
