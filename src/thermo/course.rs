//! The heat capacity of a species along the temperature: how its enthalpy and entropy rise from 298.15 K.
//!
//! NASA polynomials carry enthalpy and entropy through melting and changes of crystal form; Shomate equations know only
//! one form, so those of solids and liquids are used within one range. Where there is neither, the heat capacity at
//! 298.15 K is taken as constant, not far.

use std::sync::{Arc, LazyLock};

use crate::data::{HEAT_CAPACITY, Property, Range, Row, Source, Sourced, Store, StoreMemo};
use crate::matter::{Phase, Species};
use crate::number::{Quantity, ZERO_CELSIUS};

use super::reaction::STANDARD_TEMPERATURE;
use super::standard::{Standard, standard};

/// The gas constant the NASA polynomials were fitted with, J/(mol·K).
const NASA_GAS_CONSTANT: f64 = 8.314_51;

/// Where the heat capacity comes from.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum CapacityFrom {
    /// A published function of temperature.
    Function,
    /// The value at 298.15 K, taken as constant.
    Constant,
    /// Not known.
    Nothing,
}

/// The rise of a species from 298.15 K, per mole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// J/mol
    pub enthalpy: f64,
    /// J/(mol·K)
    pub entropy: f64,
    /// Heat capacity at the temperature itself, J/(mol·K).
    pub heat_capacity: f64,
}

/// Heat capacity of one species against temperature.
#[derive(Clone, Debug)]
pub(super) struct Course {
    pub from: CapacityFrom,
    pub range: Range,
    /// In ascending order; one for a constant heat capacity, none for an unknown one.
    segments: Vec<Segment>,
    start: usize,
}

#[derive(Clone, Debug)]
pub(super) struct Segment {
    low: f64,
    high: f64,
    pub phase: Phase,
    pub form: &'static str,
    pub source: Source,
    model: Model,
}

#[derive(Clone, Copy, Debug)]
enum Model {
    Nasa([f64; 7]),
    /// The five coefficients, then what makes enthalpy and entropy join the range below.
    Shomate([f64; 5], f64, f64),
    Constant(f64),
}

/// How a species takes up heat from 298.15 K on, ready for many temperatures.
#[derive(Clone, Debug)]
pub struct Warming {
    course: Course,
    phase: Option<Phase>,
    standard: Option<Sourced<Quantity>>,
}

/// The heat capacity of a species along the temperature; `None` for a species without data.
///
/// ```
/// use aludel::{data::Store, matter::Species, thermo};
/// let iron = thermo::warming(&Store::default(), &Species::parse("Fe(s)").unwrap()).unwrap();
/// // 25.09 J/(mol·K) at 25 °C, and more when hot.
/// assert!((iron.enthalpy(308.15).unwrap() - 252.0).abs() < 2.0);
/// ```
pub fn warming(store: &Store, species: &Species) -> Option<Arc<Warming>> {
    static SEEN: LazyLock<StoreMemo<Species, Option<Arc<Warming>>>> =
        LazyLock::new(StoreMemo::default);
    let look_up = |species: &Species| {
        // Remembered as it is stated, whatever is drawn for it now.
        let standard = standard(&store.stated(), species).ok()?;
        Some(Arc::new(Warming {
            course: Course::of(&standard),
            phase: standard.species.phase(),
            standard: standard.get(Property::HeatCapacity).cloned(),
        }))
    };
    SEEN.recall_by(store, species.clone(), look_up)
}

impl Warming {
    /// How far the heat capacity is known, in K.
    pub fn range(&self) -> Range {
        self.course.range
    }

    /// The phase the data are for.
    pub fn phase(&self) -> Option<Phase> {
        self.phase
    }

    /// The heat capacity at 298.15 K, in J/(mol·K).
    pub fn standard(&self) -> Option<&Sourced<Quantity>> {
        self.standard.as_ref()
    }

    /// What warming from 298.15 K takes, in J/mol; nothing where no heat capacity is known. `None` outside the range.
    pub fn enthalpy(&self, kelvin: f64) -> Option<f64> {
        Some(self.rise(kelvin)?.enthalpy)
    }

    /// At a temperature in K, in J/(mol·K); as [`Warming::enthalpy`].
    pub fn heat_capacity(&self, kelvin: f64) -> Option<f64> {
        Some(self.rise(kelvin)?.heat_capacity)
    }

    fn rise(&self, kelvin: f64) -> Option<Rise> {
        if self.course.from == CapacityFrom::Nothing {
            return self.course.range.holds(kelvin).then_some(Rise::NONE);
        }
        self.course.rise(kelvin).map(|(rise, _)| rise)
    }
}

impl Rise {
    pub(super) const NONE: Rise = Rise {
        enthalpy: 0.0,
        entropy: 0.0,
        heat_capacity: 0.0,
    };
}

impl Course {
    /// The course of a species from its standard data.
    pub fn of(standard: &Standard) -> Self {
        let phase = standard.species.phase().unwrap_or(Phase::Aqueous);
        let constant = standard.get(Property::HeatCapacity);
        let own = constant.is_some_and(|value| value.source.is_own());
        let functions = if own {
            Vec::new()
        } else {
            rows(standard, phase)
        };
        if let Some(course) = best_function(&functions, standard.form, phase) {
            return course;
        }
        let Some(value) = constant else {
            return Course {
                from: CapacityFrom::Nothing,
                range: reach(phase, 30.0, 30.0),
                segments: Vec::new(),
                start: 0,
            };
        };
        let range = reach(phase, 50.0, 100.0);
        Course {
            from: CapacityFrom::Constant,
            range,
            segments: vec![Segment {
                low: range.low,
                high: range.high,
                phase,
                form: standard.form,
                source: value.source.clone(),
                model: Model::Constant(value.value.number().to_f64()),
            }],
            start: 0,
        }
    }

    /// The rise to a temperature in K and the segment it ends in; `None` outside the range and without heat capacity.
    pub fn rise(&self, kelvin: f64) -> Option<(Rise, &Segment)> {
        if !self.range.holds(kelvin) {
            return None;
        }
        let start = self.segments.get(self.start)?;
        let inside = |segment: &&Segment| kelvin <= segment.high;
        let end = self.segments.iter().find(inside).or(self.segments.last())?;
        let from = start.model.at(STANDARD_TEMPERATURE);
        let to = end.model.at(kelvin);
        let rise = Rise {
            enthalpy: to.enthalpy - from.enthalpy,
            entropy: to.entropy - from.entropy,
            heat_capacity: to.heat_capacity,
        };
        Some((rise, end))
    }
}

/// How far from 298.15 K a constant serves; water bounds what is dissolved in it.
fn reach(phase: Phase, down: f64, up: f64) -> Range {
    let (low, high) = (STANDARD_TEMPERATURE - down, STANDARD_TEMPERATURE + up);
    match phase {
        Phase::Aqueous => Range::kelvin(low.max(ZERO_CELSIUS), high.min(373.15)),
        _ => Range::kelvin(low, high),
    }
}

/// The rows of a substance that its phase can run through.
fn rows(standard: &Standard, phase: Phase) -> Vec<Row> {
    let listed = standard.listed_as.as_ref().unwrap_or(&standard.species);
    let reachable = |row: &Row| match phase {
        Phase::Gas => row.cell("phase") == "g",
        Phase::Solid | Phase::Liquid => matches!(row.cell("phase"), "s" | "l"),
        Phase::Aqueous => false,
    };
    HEAT_CAPACITY.find(listed.key()).filter(reachable).collect()
}

fn best_function(rows: &[Row], form: &str, phase: Phase) -> Option<Course> {
    let start = |model: &str| {
        let mut fitting = rows.iter().filter(|row| {
            row.cell("model") == model
                && row.cell("phase") == phase.symbol()
                && row.cell("form") == form
                && row.float("T_min_K").is_some_and(|low| low <= 300.1)
                && row
                    .float("T_max_K")
                    .is_some_and(|high| high > STANDARD_TEMPERATURE)
        });
        // Two rows for one form are isomers that the table does not tell apart.
        let first = fitting.next();
        first.filter(|_| fitting.next().is_none()).copied()
    };
    let off = |row: Row| row.float("janaf_deviation_percent").unwrap_or(0.0);
    match (start("nasa7"), start("shomate")) {
        (Some(nasa), Some(shomate)) if off(nasa) > 5.0 && off(shomate) < off(nasa) => {
            shomate_course(rows, shomate, phase)
        }
        (Some(nasa), _) => nasa_course(rows, nasa),
        (None, Some(shomate)) => shomate_course(rows, shomate, phase),
        (None, None) => None,
    }
}

/// Joins ranges that touch, upwards and downwards from the one at 298.15 K.
fn chain(rows: &[Row], start: Row, fits: impl Fn(Row) -> bool) -> (Vec<Row>, usize) {
    let low = |row: Row| row.float("T_min_K");
    let high = |row: Row| row.float("T_max_K");
    let touch = |a: Option<f64>, b: Option<f64>| a.zip(b).is_some_and(|(a, b)| (a - b).abs() < 0.6);
    let mut joined = vec![start];
    // Each row joined reaches farther out than the one before, so this ends.
    while let Some(next) = rows.iter().copied().find(|row| {
        let last = joined[joined.len() - 1];
        fits(*row) && touch(low(*row), high(last)) && high(*row) > high(last)
    }) {
        joined.push(next);
    }
    let above = joined.len();
    while let Some(next) = rows.iter().copied().find(|row| {
        let first = joined[0];
        fits(*row) && touch(high(*row), low(first)) && low(*row) < low(first)
    }) {
        joined.insert(0, next);
    }
    let start = joined.len() - above;
    (joined, start)
}

fn nasa_course(rows: &[Row], start: Row) -> Option<Course> {
    let (joined, start) = chain(rows, start, |row| row.cell("model") == "nasa7");
    let segments: Option<Vec<Segment>> = joined
        .iter()
        .map(|row| segment(*row, Model::Nasa(coefficients(*row))))
        .collect();
    course(segments?, start)
}

fn shomate_course(rows: &[Row], start: Row, phase: Phase) -> Option<Course> {
    // The latent heat of a change of form is not in these equations, so only gases go on into the next range.
    let fits = |row: Row| row.cell("model") == "shomate" && phase == Phase::Gas;
    let (joined, start) = chain(rows, start, fits);
    let mut segments: Vec<Segment> = Vec::with_capacity(joined.len());
    for row in joined {
        let mut model = Model::Shomate(coefficients(row), 0.0, 0.0);
        if let Some(below) = segments.last() {
            let (before, after) = (below.model.at(below.high), model.at(below.high));
            model = Model::Shomate(
                coefficients(row),
                before.enthalpy - after.enthalpy,
                before.entropy - after.entropy,
            );
        }
        segments.push(segment(row, model)?);
    }
    course(segments, start)
}

fn course(segments: Vec<Segment>, start: usize) -> Option<Course> {
    // A range that begins at 300 K was fitted to the value at 298.15 K as well.
    let low = segments.first()?.low.min(STANDARD_TEMPERATURE);
    let high = segments.last()?.high;
    Some(Course {
        from: CapacityFrom::Function,
        range: Range::kelvin(low, high),
        segments,
        start,
    })
}

fn segment(row: Row, model: Model) -> Option<Segment> {
    Some(Segment {
        low: row.float("T_min_K")?,
        high: row.float("T_max_K")?,
        phase: Phase::of_symbol(row.cell("phase"))?,
        form: row.cell("form"),
        source: Source::published(row.cell("source"), row.cell("note")),
        model,
    })
}

fn coefficients<const N: usize>(row: Row) -> [f64; N] {
    let mut all = [0.0; N];
    for (index, to) in all.iter_mut().enumerate() {
        *to = row.float(&format!("c{}", index + 1)).unwrap_or(0.0);
    }
    all
}

impl Model {
    /// Enthalpy and entropy from a zero of the model's own, and heat capacity.
    fn at(&self, t: f64) -> Rise {
        match self {
            Model::Nasa(c) => {
                let heat = c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4])));
                let over = c[0]
                    + t * (c[1] / 2.0 + t * (c[2] / 3.0 + t * (c[3] / 4.0 + t * c[4] / 5.0)))
                    + c[5] / t;
                let order = c[0] * libm::log(t)
                    + t * (c[1] + t * (c[2] / 2.0 + t * (c[3] / 3.0 + t * c[4] / 4.0)))
                    + c[6];
                Rise {
                    enthalpy: NASA_GAS_CONSTANT * t * over,
                    entropy: NASA_GAS_CONSTANT * order,
                    heat_capacity: NASA_GAS_CONSTANT * heat,
                }
            }
            Model::Shomate(c, enthalpy, entropy) => Rise {
                enthalpy: t * (c[0] + t * (c[1] / 2.0 + t * (c[2] / 3.0 + t * c[3] / 4.0)))
                    - c[4] / t
                    + enthalpy,
                entropy: c[0] * libm::log(t) + t * (c[1] + t * (c[2] / 2.0 + t * c[3] / 3.0))
                    - c[4] / (2.0 * t * t)
                    + entropy,
                heat_capacity: c[0] + t * (c[1] + t * (c[2] + t * c[3])) + c[4] / (t * t),
            },
            Model::Constant(cp) => Rise {
                enthalpy: cp * t,
                entropy: cp * libm::log(t),
                heat_capacity: *cp,
            },
        }
    }
}
