//! How much of a salt dissolves, which hydrate it stands with, and how much of that separates.
//!
//! Between the temperatures of the table the logarithm of the solubility runs in a straight line within the range of one
//! solid phase. Where a transition lies between two temperatures, the line does not bend at it: at worst a few per cent,
//! since the two branches meet there. Common ions and acids are not reckoned with.

use std::sync::{Arc, LazyLock};

use crate::data::{Memo, OutOfRange, Range, Row, SOLID_PHASE, SOLUBILITY, Source, Sourced};
use crate::matter::Species;
use crate::number::{Exact, Number, ZERO_CELSIUS};

use super::model::{anhydrous, rows_of, through};

/// A saturated solution.
#[derive(Clone, Debug, PartialEq)]
pub struct Saturated {
    /// The salt without crystal water, as the table names it.
    pub salt: Species,
    /// g of it to 100 g of water.
    pub grams_per_100_g_water: Number,
    /// The solid it stands with; `None` for a lower hydrate whose composition is open.
    pub solid: Option<Species>,
}

/// Why there is no solubility.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoSolubility {
    /// The substance is not in the table.
    #[error("no solubility is listed for this substance")]
    Unlisted,
    /// The temperature is outside its rows.
    #[error(transparent)]
    OutOfRange(OutOfRange),
}

/// What separates when a solution is brought to a temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Crystals {
    /// The solid.
    pub solid: Species,
    /// mol of it.
    pub moles: Number,
    /// g of water it takes with it.
    pub water_taken: Number,
}

/// Why nothing can be said about crystals.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoCrystals {
    /// No solubility.
    #[error(transparent)]
    Solubility(NoSolubility),
    /// The stable solid is a lower hydrate whose composition the source leaves open.
    #[error("the source leaves the hydrate open that is stable at this temperature")]
    OpenHydrate,
    /// There is less water than the crystals themselves would take: the whole would set, and no liquor is left.
    #[error("all of it sets as {solid}, and no liquor is left")]
    SetsWhole {
        /// The solid it would become.
        solid: Species,
    },
}

/// Solubility of a salt (named anhydrous or as any of its hydrates) in water at a temperature in K.
///
/// # Errors
/// [`NoSolubility`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let alum = Species::parse("KAl(SO4)2·12H2O").unwrap();
/// let at = Number::exact(Exact::ratio(29315, 100));
/// let found = solution::solubility(&alum, &at).unwrap();
/// assert_eq!(found.value.solid.unwrap().plain(), "KAl(SO4)2·12H2O");
/// ```
pub fn solubility(species: &Species, kelvin: &Number) -> Result<Sourced<Saturated>, NoSolubility> {
    let listed = Listed::of(species).ok_or(NoSolubility::Unlisted)?;
    let outside = NoSolubility::OutOfRange(OutOfRange {
        value: kelvin.to_f64(),
        range: listed.range,
    });
    if !listed.range.holds(kelvin.to_f64()) {
        return Err(outside);
    }
    let grams = through(&[kelvin], |at| {
        between(&listed.points, at[0] - ZERO_CELSIUS)
    })
    .ok_or(outside)?;
    let celsius = kelvin.to_f64() - ZERO_CELSIUS;
    Ok(Sourced {
        value: Saturated {
            salt: listed.salt.clone(),
            grams_per_100_g_water: grams,
            solid: listed.solid_at(celsius),
        },
        source: listed.source(celsius),
        ranges: vec![listed.range],
    })
}

/// What the tables say of one salt.
struct Listed {
    salt: Species,
    /// °C and g to 100 g of water, ascending.
    points: Vec<(f64, f64)>,
    range: Range,
    /// °C with code and note of each row.
    origins: Vec<(f64, &'static str, &'static str)>,
    /// The solids it stands with, from and below so many °C.
    solids: Vec<(f64, f64, Option<Species>)>,
}

impl Listed {
    /// `None` for what is not listed. Vessels ask for the same few salts at each change of temperature.
    fn of(species: &Species) -> Option<Arc<Listed>> {
        static SEEN: LazyLock<Memo<Species, Option<Arc<Listed>>>> = LazyLock::new(Memo::default);
        SEEN.recall(species.with_phase(None), |bare| {
            Listed::read(bare).map(Arc::new)
        })
    }

    fn read(bare: &Species) -> Option<Listed> {
        let (salt, _) = anhydrous(bare);
        let rows = rows_of(&SOLUBILITY, &salt);
        let points: Vec<(f64, f64)> = rows
            .iter()
            .filter_map(|row| Some((row.float("t_C")?, row.float("solubility_g_100g")?)))
            .collect();
        let formula = rows.first()?.cell("formula");
        Some(Listed {
            salt: Species::parse(formula).unwrap_or(salt),
            range: Range::celsius(points.first()?.0, points.last()?.0),
            points,
            origins: rows.iter().map(origin).collect(),
            solids: solids(formula),
        })
    }

    fn source(&self, celsius: f64) -> Source {
        let off = |at: f64| (at - celsius).abs();
        let nearest = self
            .origins
            .iter()
            .min_by(|a, b| off(a.0).total_cmp(&off(b.0)));
        let (code, note) = nearest.map_or(("", ""), |(_, code, note)| (*code, *note));
        Source::published(code, note)
    }

    fn solid_at(&self, celsius: f64) -> Option<Species> {
        solid_at(&self.solids, celsius)
    }
}

fn origin(row: &Row) -> (f64, &'static str, &'static str) {
    let note = match (row.cell("note"), row.cell("flag")) {
        ("", "conflict") => "a second compilation differs by more than 8 %",
        (note, _) => note,
    };
    (
        row.float("t_C").unwrap_or(f64::MAX),
        row.cell("source"),
        note,
    )
}

/// Straight in ln s against t; the line of the outermost two points serves a hair outside.
fn between(points: &[(f64, f64)], celsius: f64) -> f64 {
    let [only] = points else {
        let above = points.partition_point(|(t, _)| *t < celsius);
        let above = above.clamp(1, points.len() - 1);
        let ((t0, s0), (t1, s1)) = (points[above - 1], points[above]);
        let share = (celsius - t0) / (t1 - t0);
        return s0 * libm::pow(s1 / s0, share);
    };
    only.1
}

/// The stable solid of a salt against its saturated solution at a temperature in K.
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let soda = Species::parse("Na2CO3").unwrap();
/// let solid = solution::stable_solid(&soda, &Number::exact(Exact::from(293)));
/// assert_eq!(solid.unwrap().plain(), "Na2CO3·10H2O");
/// ```
pub fn stable_solid(species: &Species, kelvin: &Number) -> Option<Species> {
    let (salt, _) = anhydrous(&species.with_phase(None));
    let row = rows_of(&SOLID_PHASE, &salt).into_iter().next()?;
    solid_at(&solids(row.cell("formula")), kelvin.to_f64() - ZERO_CELSIUS)
}

fn solids(formula: &str) -> Vec<(f64, f64, Option<Species>)> {
    let read = |row: Row| {
        let low = row.float("t_min_C").unwrap_or(f64::MIN);
        let high = row.float("t_max_C").unwrap_or(f64::MAX);
        let solid = row.filled("solid").map(Species::parse);
        (low, high, solid.and_then(Result::ok))
    };
    SOLID_PHASE.find(formula).map(read).collect()
}

fn solid_at(solids: &[(f64, f64, Option<Species>)], celsius: f64) -> Option<Species> {
    let mut stable = solids.iter();
    let (.., solid) = stable.find(|(low, high, _)| (*low..*high).contains(&celsius))?;
    solid.clone()
}

/// How much of the stable solid separates from `water` grams of water (crystal water of what is dissolved counted in)
/// with `moles` of the anhydrous salt, brought to a temperature in K.
///
/// The solid takes its water with it: x mol of a hydrate with h waters leave n − x mol of salt in W − h·x·M(H2O) grams of
/// water, and that is the saturated solution.
///
/// # Errors
/// [`NoCrystals`].
///
/// ```
/// use aludel::{matter::Species, number::{Exact, Number}, solution};
/// let number = |text| Number::exact(Exact::decimal(text).unwrap());
/// let salt = Species::parse("CuSO4").unwrap();
/// // 100 g of water saturated hot, cooled to 20 °C.
/// let found = solution::crystals(&salt, &number("100"), &number("0.4"), &number("293.15")).unwrap();
/// assert_eq!(found.value.solid.plain(), "CuSO4·5H2O");
/// assert!(found.value.moles.to_f64() > 0.2);
/// ```
pub fn crystals(
    species: &Species,
    water: &Number,
    moles: &Number,
    kelvin: &Number,
) -> Result<Sourced<Crystals>, NoCrystals> {
    let saturated = solubility(species, kelvin).map_err(NoCrystals::Solubility)?;
    let Saturated {
        salt,
        grams_per_100_g_water: solubility,
        solid,
    } = &saturated.value;
    let solid = solid.clone().ok_or(NoCrystals::OpenHydrate)?;
    let water_mass = solvent_mass();
    let salt_mass = salt.molar_mass().clone();
    // Mass of water in the solid for one mole of salt: exact for hydrates that bring a fraction of a molecule too.
    let crystal_water = solid.molar_mass() - &salt_mass;
    let hydration = &crystal_water / &water_mass;
    let per_gram = solubility.scaled(&Exact::ratio(1, 100));
    let salt_grams = moles.scaled(&salt_mass);
    let excess = &salt_grams - &(&per_gram * water);
    if !excess.is_positive() {
        let value = Crystals {
            solid,
            moles: Number::zero(),
            water_taken: Number::zero(),
        };
        return Ok(saturated.map(|_| value));
    }
    let lost = &Number::exact(salt_mass) - &per_gram.scaled(&crystal_water);
    let separated = (lost.is_positive())
        .then(|| excess.checked_div(&lost))
        .flatten();
    let taken = |x: &Number| x.scaled(&hydration).scaled(&water_mass);
    match separated {
        Some(x) if x.value() <= moles.value() && taken(&x).value() <= water.value() => {
            let value = Crystals {
                water_taken: taken(&x),
                moles: x.settled(),
                solid,
            };
            Ok(saturated.map(|_| value))
        }
        _ => Err(NoCrystals::SetsWhole { solid }),
    }
}

fn solvent_mass() -> Exact {
    Species::parse("H2O")
        .expect("water can be read")
        .molar_mass()
        .clone()
}
