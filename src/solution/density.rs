//! Density of a solution of one substance.
//!
//! The rule of preference, for a mass fraction w at t: at 20 °C the handbook table, else the Laliberté model; at other
//! temperatures the model scaled to the table at 20 °C, the model alone, a table of other temperatures, and last the
//! table at 20 °C with the thermal expansion of water, which is an estimate and called one. Where no table or model
//! reaches, the density on a supplier's label serves within the usual range of that label.

use std::sync::{Arc, LazyLock};

use crate::data::{BOTTLE, DENSITY, Memo, Range, Row, Source, Sourced};
use crate::matter::Species;
use crate::number::{Number, ZERO_CELSIUS};

use super::laliberte::{RangeKind, Solute, water_density};
use super::model::{interpolate, rows_of, through};

/// No density: what is known of the substance instead.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("no density is known of {species} at {:.3} % by mass and {kelvin} K", .mass_fraction * 100.0)]
pub struct NoDensity {
    /// What was asked for.
    pub species: Species,
    /// At this mass fraction.
    pub mass_fraction: f64,
    /// At this temperature in K.
    pub kelvin: f64,
    /// The ranges that could be answered, in pairs of temperature and mass fraction; empty if nothing is known.
    pub known: Vec<Range>,
}

/// The widest step between two points of a table that is bridged.
const GAP: f64 = 0.11;

/// Density in g/mL of `species` in water at a mass fraction (0 to 1, anhydrous) and a temperature in K.
///
/// # Errors
/// [`NoDensity`] where neither a table nor the model reaches.
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let acid = Species::parse("HCl").unwrap();
/// let found = solution::density(&acid, &number("0.37"), &number("293.15")).unwrap();
/// assert!((found.value.to_f64() - 1.1839).abs() < 1e-4);
/// assert_eq!(found.source.code, "CRC-density");
/// ```
pub fn density(
    species: &Species,
    mass_fraction: &Number,
    kelvin: &Number,
) -> Result<Sourced<Number>, NoDensity> {
    static SEEN: LazyLock<Memo<Species, Arc<Known>>> = LazyLock::new(Memo::default);
    let known = SEEN.recall(species.clone(), |species| Arc::new(Known::of(species)));
    let (w, t) = (mass_fraction.to_f64(), kelvin.to_f64() - ZERO_CELSIUS);
    let answer = known.at(w, t).and_then(|road| {
        let model = |at: &[f64]| {
            let found = known.along(road, at[0], at[1] - ZERO_CELSIUS);
            found.unwrap_or(f64::NAN)
        };
        let value = through(&[mass_fraction, kelvin], model)?;
        Some(Sourced {
            value,
            source: known.source(road, w),
            ranges: known.ranges(road),
        })
    });
    answer.ok_or_else(|| NoDensity {
        species: species.clone(),
        mass_fraction: w,
        kelvin: kelvin.to_f64(),
        known: known.all_ranges(),
    })
}

/// A way to a density.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Road {
    Table20,
    Scaled,
    Model,
    Tables,
    Expanded,
    Label(usize),
}

/// All that is known of the density of one substance in water.
pub(super) struct Known {
    curves: Vec<Curve>,
    solute: Option<Solute>,
    labels: Vec<Row>,
    model_first: bool,
}

/// Density against mass fraction at one temperature.
struct Curve {
    celsius: f64,
    points: Vec<(f64, f64)>,
    rows: Vec<Row>,
}

impl Known {
    pub(super) fn of(species: &Species) -> Self {
        let rows = rows_of(&DENSITY, species);
        let solute = Solute::of(species);
        let doubted = rows.iter().any(|row| row.cell("prefer") == "model");
        Known {
            curves: curves(&rows),
            model_first: doubted && solute.is_some(),
            solute,
            labels: rows_of(&BOTTLE, species),
        }
    }

    /// The density in g/mL at w and °C.
    pub(super) fn value(&self, w: f64, celsius: f64) -> Option<f64> {
        self.along(self.at(w, celsius)?, w, celsius)
    }

    fn at(&self, w: f64, celsius: f64) -> Option<Road> {
        let labels = (0..self.labels.len()).map(Road::Label);
        let roads = match (self.model_first, (celsius - 20.0).abs() < 0.01) {
            (true, _) => [Road::Model, Road::Table20, Road::Scaled],
            (false, true) => [Road::Table20, Road::Model, Road::Scaled],
            (false, false) => [Road::Scaled, Road::Model, Road::Table20],
        };
        let rest = [Road::Tables, Road::Expanded];
        let mut all = roads.into_iter().chain(rest).chain(labels);
        all.find(|road| self.along(*road, w, celsius).is_some())
    }

    fn along(&self, road: Road, w: f64, celsius: f64) -> Option<f64> {
        match road {
            Road::Table20 => (celsius - 20.0).abs().lt(&0.01).then(|| self.at_20(w))?,
            Road::Model => {
                let solute = self.solute.as_ref()?;
                let inside = solute.covers(RangeKind::Density, w, celsius);
                inside.then(|| solute.density(w, celsius))?
            }
            Road::Scaled => {
                let solute = self.solute.as_ref()?;
                let inside = solute.covers(RangeKind::Density, w, celsius);
                let ratio = solute.density(w, celsius)? / solute.density(w, 20.0)?;
                inside.then(|| self.at_20(w).map(|table| table * ratio))?
            }
            Road::Tables => self.between_curves(w, celsius),
            Road::Expanded => {
                let near = (0.0..=40.0).contains(&celsius) && w <= 0.7;
                let swell = water_density(celsius) / water_density(20.0);
                near.then(|| self.at_20(w).map(|table| table * swell))?
            }
            Road::Label(index) => label_density(*self.labels.get(index)?, w, celsius),
        }
    }

    fn at_20(&self, w: f64) -> Option<f64> {
        self.curve(20.0)?.value(w)
    }

    fn curve(&self, celsius: f64) -> Option<&Curve> {
        let mut curves = self.curves.iter();
        curves.find(|curve| (curve.celsius - celsius).abs() < 0.01)
    }

    /// Straight between the two nearest temperatures whose tables reach w.
    fn between_curves(&self, w: f64, celsius: f64) -> Option<f64> {
        let reaching = self
            .curves
            .iter()
            .filter_map(|c| Some((c.celsius, c.value(w)?)));
        let (below, above): (Vec<_>, Vec<_>) = reaching.partition(|(t, _)| *t <= celsius);
        let low = below.into_iter().max_by(|a, b| a.0.total_cmp(&b.0));
        let high = above.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
        match (low, high) {
            (Some(low), _) if (low.0 - celsius).abs() < 0.01 => Some(low.1),
            (Some(low), Some(high)) => {
                let share = (celsius - low.0) / (high.0 - low.0);
                Some(low.1 + share * (high.1 - low.1))
            }
            _ => None,
        }
    }

    fn source(&self, road: Road, w: f64) -> Source {
        let from_20 = || self.curve(20.0).and_then(|curve| curve.nearest(w));
        let note = |row: Option<Row>| row.map_or("", |row| row.cell("note"));
        match road {
            Road::Model => {
                let note = self.solute.as_ref().map_or("", |solute| solute.note);
                Source::published("Laliberte2009", note)
            }
            Road::Table20 => Source::published(code(from_20()), note(from_20())),
            Road::Scaled => Source::published(
                code(from_20()),
                "table at 20 °C, carried to the temperature by the Laliberté model",
            ),
            Road::Tables => {
                let row = self.curves.iter().find_map(|curve| curve.nearest(w));
                Source::published(code(row), "between the tables of two temperatures")
            }
            Road::Expanded => Source::published(
                code(from_20()),
                "table at 20 °C, carried to the temperature by the expansion of water: an estimate",
            ),
            Road::Label(index) => {
                let row = self.labels.get(index).copied();
                Source::published(code(row), "density of the usual bottle of this strength")
            }
        }
    }

    fn ranges(&self, road: Road) -> Vec<Range> {
        let table = |celsius: Range| {
            let ends = self.curve(20.0).and_then(Curve::ends);
            let fraction = ends.map(|(low, high)| Range::mass_fraction(low, high));
            [Some(celsius), fraction].into_iter().flatten().collect()
        };
        match road {
            Road::Table20 => table(Range::celsius(20.0, 20.0)),
            Road::Expanded => table(Range::celsius(0.0, 40.0)),
            Road::Scaled | Road::Model => {
                let ranges = self
                    .solute
                    .as_ref()
                    .and_then(|s| s.ranges(RangeKind::Density));
                ranges.map_or(Vec::new(), Vec::from)
            }
            Road::Tables => {
                let low = self
                    .curves
                    .iter()
                    .map(|c| c.celsius)
                    .fold(f64::MAX, f64::min);
                let high = self
                    .curves
                    .iter()
                    .map(|c| c.celsius)
                    .fold(f64::MIN, f64::max);
                table(Range::celsius(low, high))
            }
            Road::Label(index) => self
                .labels
                .get(index)
                .map_or(Vec::new(), |row| label_ranges(*row)),
        }
    }

    fn all_ranges(&self) -> Vec<Range> {
        let mut all = Vec::new();
        if self.curve(20.0).is_some() {
            all.extend(self.ranges(Road::Table20));
        }
        all.extend(self.ranges(Road::Model));
        for index in 0..self.labels.len() {
            all.extend(self.ranges(Road::Label(index)));
        }
        all
    }
}

fn code(row: Option<Row>) -> &'static str {
    row.map_or("CRC-density", |row| row.cell("source"))
}

impl Curve {
    fn value(&self, w: f64) -> Option<f64> {
        interpolate(&self.points, w, GAP)
    }

    fn ends(&self) -> Option<(f64, f64)> {
        Some((self.points.first()?.0, self.points.last()?.0))
    }

    fn nearest(&self, w: f64) -> Option<Row> {
        let distance = |row: &Row| {
            row.float("mass_fraction")
                .map_or(f64::MAX, |at| (at - w).abs())
        };
        let rows = self.rows.iter().copied();
        rows.min_by(|a, b| distance(a).total_cmp(&distance(b)))
    }
}

/// One curve a temperature: the handbook table, continued by the others where it ends, begun with pure water where the
/// first point is a thin solution.
fn curves(rows: &[Row]) -> Vec<Curve> {
    let mut curves: Vec<Curve> = Vec::new();
    let rank = |row: &Row| {
        ["CRC-density", "chemstudy"]
            .iter()
            .position(|c| *c == row.cell("source"))
    };
    let mut ordered = rows.to_vec();
    ordered.sort_by_key(|row| rank(row).unwrap_or(2));
    for row in ordered {
        let read = |name: &str| row.float(name);
        let (Some(w), Some(celsius), Some(rho)) =
            (read("mass_fraction"), read("t_C"), read("density_g_cm3"))
        else {
            continue;
        };
        let at = curves
            .iter()
            .position(|c| (c.celsius - celsius).abs() < 0.01);
        let curve = match at {
            Some(at) => &mut curves[at],
            None => {
                curves.push(Curve {
                    celsius,
                    points: Vec::new(),
                    rows: Vec::new(),
                });
                let last = curves.len() - 1;
                &mut curves[last]
            }
        };
        let beyond = curve.points.last().is_none_or(|(last, _)| w > last + 1e-9);
        if beyond {
            curve.points.push((w, rho));
            curve.rows.push(row);
        }
    }
    for curve in &mut curves {
        if curve
            .points
            .first()
            .is_some_and(|(first, _)| *first <= 0.05)
        {
            curve.points.insert(0, (0.0, water_density(curve.celsius)));
        }
    }
    curves
}

/// The density on a label, in the usual range of that label: straight from water to the strength named.
fn label_density(row: Row, w: f64, celsius: f64) -> Option<f64> {
    let (low, high) = (
        row.float("mass_fraction_min")?,
        row.float("mass_fraction_max")?,
    );
    let at = row.float("t_C")?;
    if !(low - 1e-9..=high + 1e-9).contains(&w) || (celsius - at).abs() > 10.0 {
        return None;
    }
    let water = water_density(at);
    let slope = (row.float("density_g_mL")? - water) / row.float("mass_fraction")?;
    Some(water + slope * w)
}

fn label_ranges(row: Row) -> Vec<Range> {
    let fraction = || {
        let (low, high) = (
            row.float("mass_fraction_min")?,
            row.float("mass_fraction_max")?,
        );
        Some(Range::mass_fraction(low, high))
    };
    let celsius = row
        .float("t_C")
        .map(|at| Range::celsius(at - 10.0, at + 10.0));
    [celsius, fraction()].into_iter().flatten().collect()
}
