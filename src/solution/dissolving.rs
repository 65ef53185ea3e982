//! Heat of dissolving and of diluting at 25 °C, from measured heats against the moles of water.
//!
//! Between two dilutions the heat runs straight in ln n; from the last dilution listed to infinite dilution straight in
//! 1/√n, which is the limiting law of Debye and Hückel. Weak acids and ammonia stay at the last dilution listed, since
//! their value at infinite dilution is that of the ions. From a pure liquid to the first dilution the heat is taken as
//! proportional to the water.

use crate::data::{DILUTION, Row, Source, Sourced};
use crate::matter::Species;
use crate::number::Number;

use super::model::{rows_of, through};

/// Why there is no heat of solution.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoHeat {
    /// The substance is not in the table in this phase.
    #[error("no heat of solution is listed for this substance")]
    Unlisted,
    /// Less water than the most concentrated solution listed: so many moles for one of the substance.
    #[error("heats of solution are listed from {least} mol of water per mol only")]
    TooConcentrated {
        /// The least water that is listed, in mol per mol.
        least: f64,
    },
    /// Only one dilution is listed, so that nothing can be said about diluting.
    #[error("a heat of solution is listed for one dilution only")]
    OneDilution,
}

/// Heat in kJ when 1 mol of a substance dissolves in `water` mol of liquid water, negative when given off. The phase of
/// the species says in which state it is taken; without one, the state that is listed.
///
/// # Errors
/// [`NoHeat`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let lye = Species::parse("NaOH(s)").unwrap();
/// let heat = solution::heat_of_solution(&lye, &Number::exact(Exact::from(200))).unwrap();
/// assert!((heat.value.to_f64() + 44.1).abs() < 0.3);
/// ```
pub fn heat_of_solution(species: &Species, water: &Number) -> Result<Sourced<Number>, NoHeat> {
    let table = Dilutions::of(species).ok_or(NoHeat::Unlisted)?;
    let n = water.to_f64();
    table.refuse_concentrated(n)?;
    let value = through(&[water], |at| table.heat(at[0])).ok_or(NoHeat::Unlisted)?;
    Ok(Sourced::new(value, table.source(n)))
}

/// Heat in kJ when 1 mol of a substance dissolves at infinite dilution, or at the greatest that is listed.
///
/// # Errors
/// [`NoHeat::Unlisted`].
///
/// ```
/// use aludel::{matter::Species, solution};
/// let lye = Species::parse("NaOH(s)").unwrap();
/// let heat = solution::limiting_heat_of_solution(&lye).unwrap();
/// assert!((heat.value.to_f64() + 44.5).abs() < 0.5);
/// ```
pub fn limiting_heat_of_solution(species: &Species) -> Result<Sourced<Number>, NoHeat> {
    let table = Dilutions::of(species).ok_or(NoHeat::Unlisted)?;
    let value = Number::modelled(table.at_infinity()).ok_or(NoHeat::Unlisted)?;
    Ok(Sourced::new(value, table.source(f64::MAX)))
}

/// Heat in kJ when a solution of 1 mol in `from` mol of water is diluted to `to` mol of water.
///
/// # Errors
/// [`NoHeat`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let of = |n: i64| Number::exact(Exact::from(n));
/// let acid = Species::parse("H2SO4(l)").unwrap();
/// let heat = solution::heat_of_dilution(&acid, &of(1), &of(50)).unwrap();
/// assert!(heat.value.to_f64() < -40.0);
/// ```
pub fn heat_of_dilution(
    species: &Species,
    from: &Number,
    to: &Number,
) -> Result<Sourced<Number>, NoHeat> {
    let table = Dilutions::of(species).ok_or(NoHeat::Unlisted)?;
    if table.finite.len() + usize::from(table.infinite.is_some()) < 2 {
        return Err(NoHeat::OneDilution);
    }
    table.refuse_concentrated(from.to_f64().min(to.to_f64()))?;
    let difference = |at: &[f64]| table.heat(at[1]) - table.heat(at[0]);
    let value = through(&[from, to], difference).ok_or(NoHeat::Unlisted)?;
    Ok(Sourced::new(value, table.source(to.to_f64())))
}

/// What is listed for infinite dilution as fully ionised and is not so in any flask.
const WEAK: [&str; 4] = ["HF", "HCOOH", "CH3COOH", "NH3"];

/// The heats of one substance in one phase.
pub(super) struct Dilutions {
    /// Moles of water and heat, ascending.
    finite: Vec<(f64, f64)>,
    pub infinite: Option<f64>,
    /// `s`, `l` or `g`.
    pub phase: &'static str,
    /// The logarithm of each dilution listed, with where it comes from.
    origins: Vec<(f64, Origin)>,
}

/// Code and note of a row.
type Origin = (&'static str, &'static str);

impl Dilutions {
    pub fn of(species: &Species) -> Option<Self> {
        let listed = rows_of(&DILUTION, &species.with_phase(None));
        let preferred = listed
            .into_iter()
            .filter(|row| row.cell("preferred") == "y");
        let all: Vec<Row> = preferred.collect();
        let phase = match species.phase() {
            Some(phase) => phase.symbol(),
            None => all.first()?.cell("phase"),
        };
        let rows: Vec<Row> = all
            .into_iter()
            .filter(|row| row.cell("phase") == phase)
            .collect();
        let heat = |row: &Row| row.float("heat_of_solution_kJ_mol");
        let mut finite: Vec<(f64, f64)> = rows
            .iter()
            .filter(|row| row.cell("n_H2O") != "inf")
            .filter_map(|row| Some((row.float("n_H2O")?, heat(row)?)))
            .collect();
        finite.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = |dilution: &str| rows.iter().find(|row| row.cell("n_H2O") == dilution);
        // "Much water" stands for infinite dilution where the source says no more.
        let ionised = finite.is_empty() || !WEAK.contains(&species.with_phase(None).key());
        let limit = at("inf").or_else(|| at("aq")).and_then(heat);
        let infinite = limit.filter(|_| ionised);
        let phase = rows.first()?.cell("phase");
        (!finite.is_empty() || infinite.is_some()).then_some(Dilutions {
            finite,
            infinite,
            phase,
            origins: rows.iter().map(origin).collect(),
        })
    }

    fn refuse_concentrated(&self, water: f64) -> Result<(), NoHeat> {
        match self.finite.first() {
            Some((least, _)) if water < least * (1.0 - 1e-9) && self.phase != "l" => {
                Err(NoHeat::TooConcentrated { least: *least })
            }
            _ => Ok(()),
        }
    }

    /// The least water listed, in mol per mol; `None` where only infinite dilution is.
    pub fn least(&self) -> Option<f64> {
        self.finite.first().map(|(n, _)| *n)
    }

    /// kJ for 1 mol in so many mol of water, held at the first dilution listed.
    pub fn heat(&self, water: f64) -> f64 {
        let above = self.finite.partition_point(|(n, _)| *n < water);
        match (
            above.checked_sub(1).map(|i| self.finite[i]),
            self.finite.get(above),
        ) {
            (Some((n0, h0)), Some((n1, h1))) => {
                h0 + (h1 - h0) * libm::log(water / n0) / libm::log(n1 / n0)
            }
            (None, Some((n, first))) if self.phase == "l" => first * water / n,
            (None, Some((_, first))) => *first,
            (Some((last, heat)), None) => match self.infinite {
                Some(limit) => limit + (heat - limit) * (last / water).sqrt(),
                None => heat,
            },
            (None, None) => self.infinite.unwrap_or(f64::NAN),
        }
    }

    /// kJ for 1 mol at infinite dilution; where that is not listed, at the greatest dilution that is.
    pub fn at_infinity(&self) -> f64 {
        let last = self.finite.last().map(|(_, heat)| *heat);
        self.infinite.or(last).unwrap_or(f64::NAN)
    }

    /// Of the dilution listed that is nearest to so many mol of water.
    pub fn source(&self, water: f64) -> Source {
        let off = |at: &f64| (at - libm::log(water)).abs();
        let nearest = self
            .origins
            .iter()
            .min_by(|a, b| off(&a.0).total_cmp(&off(&b.0)));
        let (code, note) = nearest.map_or(("", ""), |(_, origin)| *origin);
        let note = match self.finite.is_empty() {
            true => "at infinite dilution, the only one listed",
            false => note,
        };
        Source::published(code, note)
    }
}

fn origin(row: &Row) -> (f64, Origin) {
    let water = row.float("n_H2O").unwrap_or(f64::MAX).min(1e9);
    (libm::log(water), (row.cell("source"), row.cell("note")))
}
