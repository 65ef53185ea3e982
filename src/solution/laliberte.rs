//! Laliberté's model of aqueous solutions (J. Chem. Eng. Data 54 (2009) 1725-1760): its coefficients and equations.
//!
//! Density is a sum of volumes, heat capacity a sum of shares; each solute's own term depends on the temperature and on
//! the mass fraction of all solutes together. The fits are rational functions with poles, so they are only evaluated
//! inside the range of the data behind them or at its edge.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::{LALIBERTE, Range, Row};
use crate::matter::Species;
use crate::number::ZERO_CELSIUS;

use super::capacity::Concentrated;
use super::model::rows_of;
use super::water::{Water, water_at};

/// Which fit a range belongs to.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum RangeKind {
    /// The density equation.
    Density,
    /// The heat capacity equation.
    HeatCapacity,
}

/// The coefficients of one solute.
#[derive(Clone, Debug)]
pub(super) struct Solute {
    pub formula: &'static str,
    pub note: &'static str,
    /// The formula read; every row has one that can be.
    pub species: Option<Species>,
    /// For a heat capacity beyond the fit.
    pub concentrated: Concentrated,
    density: Option<Fit<5>>,
    heat_capacity: Option<Fit<6>>,
}

#[derive(Clone, Copy, Debug)]
struct Fit<const N: usize> {
    coefficients: [f64; N],
    low_c: f64,
    high_c: f64,
    most: f64,
}

impl<const N: usize> Fit<N> {
    fn read(row: Row, names: [&str; N], range: [&str; 3]) -> Option<Self> {
        let mut coefficients = [0.0; N];
        for (to, name) in coefficients.iter_mut().zip(names) {
            // An empty cell beside filled ones is a coefficient of zero.
            *to = row.float(name).unwrap_or(0.0);
        }
        names
            .iter()
            .any(|name| row.filled(name).is_some())
            .then_some(())?;
        Some(Fit {
            coefficients,
            low_c: row.float(range[0])?,
            high_c: row.float(range[1])?,
            most: row.float(range[2])?,
        })
    }

    fn ranges(&self) -> [Range; 2] {
        [
            Range::celsius(self.low_c, self.high_c),
            Range::mass_fraction(0.0, self.most),
        ]
    }

    fn held(&self, solutes: f64, celsius: f64) -> (f64, f64) {
        (
            solutes.clamp(0.0, self.most),
            celsius.clamp(self.low_c, self.high_c),
        )
    }
}

impl Solute {
    fn read(row: Row) -> Self {
        let species = Species::parse(row.cell("formula")).ok();
        Solute {
            formula: row.cell("formula"),
            note: row.cell("note"),
            concentrated: species
                .as_ref()
                .map_or_else(Concentrated::default, Concentrated::of),
            species,
            density: Fit::read(
                row,
                ["c0", "c1", "c2", "c3", "c4"],
                ["density_t_min_C", "density_t_max_C", "density_w_max"],
            ),
            heat_capacity: Fit::read(
                row,
                ["a1", "a2", "a3", "a4", "a5", "a6"],
                ["cp_t_min_C", "cp_t_max_C", "cp_w_max"],
            ),
        }
    }

    /// The coefficients of a substance, if the model has it.
    pub fn of(species: &Species) -> Option<Self> {
        let row = rows_of(&LALIBERTE, species).into_iter().next()?;
        Some(Self::read(row))
    }

    /// The electrolyte of two ions.
    pub fn of_ions(cation: &str, anion: &str) -> Option<Self> {
        static PAIRS: LazyLock<FxHashMap<(&str, &str), u32>> = LazyLock::new(|| {
            let pair = |row: Row| {
                let (cation, anion) = row.cell("ions").split_once(" + ")?;
                Some(((bare(cation), bare(anion)), row.number()))
            };
            LALIBERTE.rows().filter_map(pair).collect()
        });
        let number = PAIRS.get(&(cation, anion))?;
        LALIBERTE.row(*number).map(Self::read)
    }

    /// The ranges of a fit: temperature, then mass fraction.
    pub fn ranges(&self, kind: RangeKind) -> Option<[Range; 2]> {
        match kind {
            RangeKind::Density => self.density.map(|fit| fit.ranges()),
            RangeKind::HeatCapacity => self.heat_capacity.map(|fit| fit.ranges()),
        }
    }

    /// Apparent volume of the solute in mL/g, held at the edge of its range. It may be negative: lye shrinks the water it
    /// dissolves in.
    pub fn apparent_volume(&self, solutes: f64, celsius: f64) -> Option<f64> {
        let fit = self.density?;
        let [c0, c1, c2, c3, c4] = fit.coefficients;
        let (w, t) = fit.held(solutes, celsius);
        let swell = libm::exp(1e-6 * (t + c4).powi(2));
        let volume = 1000.0 * (w + c2 + c3 * t) / ((c0 * w + c1) * swell);
        volume.is_finite().then_some(volume)
    }

    /// Apparent heat capacity of the solute in J/(g·K), held at the edge of its temperature range; `None` beyond its
    /// mass fraction, where holding would be wrong.
    pub fn apparent_heat_capacity(&self, solutes: f64, celsius: f64) -> Option<f64> {
        let fit = self.heat_capacity?;
        if solutes > fit.most * 1.02 + 0.002 {
            return None;
        }
        let [a1, a2, a3, a4, a5, a6] = fit.coefficients;
        // The power a6 may be negative: the limit of infinite dilution is kept away from.
        let (w, t) = fit.held(solutes.max(1e-6), celsius);
        let alpha = a2 * t + a3 * libm::exp(0.01 * t) + a4 * w;
        let value = a1 * libm::exp(alpha) + a5 * libm::pow(w, a6);
        value.is_finite().then_some(value)
    }

    /// The mass fraction of all solutes at which the fit of the heat capacity ends.
    pub fn capacity_edge(&self) -> Option<f64> {
        self.heat_capacity.map(|fit| fit.most)
    }

    /// Density in g/mL of this solute alone in water.
    pub fn density(&self, mass_fraction: f64, celsius: f64) -> Option<f64> {
        let own = self.apparent_volume(mass_fraction, celsius)?;
        let water = (1.0 - mass_fraction) / water_density(celsius);
        Some(1.0 / (water + mass_fraction * own))
    }

    /// Whether both arguments lie within the range of a fit.
    pub fn covers(&self, kind: RangeKind, mass_fraction: f64, celsius: f64) -> bool {
        self.ranges(kind).is_some_and(|[temperature, fraction]| {
            temperature.holds(celsius + ZERO_CELSIUS) && fraction.holds(mass_fraction)
        })
    }
}

/// Density of water in g/mL by the equation that belongs to the coefficients, held to 0 and 100 °C.
pub(super) fn water_density(celsius: f64) -> f64 {
    let t = celsius.clamp(0.0, 100.0);
    let polynomial = ((((-2.805_425_3e-10 * t + 1.055_630_2e-7) * t - 4.617_046_1e-5) * t
        - 0.007_987_040_1)
        * t
        + 16.945_176)
        * t
        + 999.839_52;
    polynomial / (1.0 + 0.016_879_85 * t) / 1000.0
}

/// Heat capacity of water in J/(g·K).
pub(super) fn water_heat_capacity(celsius: f64) -> f64 {
    water_at(Water::HeatCapacity, celsius)
}

/// `2 NH4^+` without its number.
fn bare(term: &'static str) -> &'static str {
    term.split_once(' ').map_or(term, |(_, ion)| ion)
}
