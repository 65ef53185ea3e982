//! The tables of ion interaction, read into numbers.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::data::{DEBYE_HUECKEL, ION_INTERACTION, ION_MIXING, Row, SPECIFIC_INTERACTION};

/// 25 °C, at which the tables hold.
pub(super) const STANDARD: f64 = 298.15;

/// Interaction of a cation with an anion: a value at 25 °C, and the slope per K, of each coefficient.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Coefficients {
    /// b0, b1, b2 in kg/mol, c0, c1 in kg²/mol².
    pub values: [f64; 5],
    /// The slopes; `None` where no temperature dependence is known.
    pub slopes: Option<[f64; 5]>,
    /// a1, a2, o1 in (kg/mol)^½.
    pub decays: [f64; 3],
    /// mol of salt in 1 kg of water up to which it was compared with published coefficients.
    pub most: Option<f64>,
    /// Codes of the publications.
    pub sources: [&'static str; 2],
}

/// What is known of a pair.
#[derive(Clone, Debug, Default)]
pub(super) struct Known {
    pub usual: Option<Coefficients>,
    pub strong: Option<Coefficients>,
}

type Ions = (&'static str, &'static str);

/// Every pair of the table.
pub(super) static PAIRS: LazyLock<FxHashMap<Ions, Known>> = LazyLock::new(|| {
    let mut pairs: FxHashMap<Ions, Known> = FxHashMap::default();
    for row in ION_INTERACTION.rows() {
        let ions = (row.cell("cation"), row.cell("anion"));
        let known = pairs.entry(ions).or_default();
        let coefficients = Some(read(row));
        match row.cell("set") {
            "strong" => known.strong = coefficients,
            _ => known.usual = coefficients,
        }
    }
    pairs
});

fn read(row: Row) -> Coefficients {
    let numbers = |names: [&str; 5]| names.map(|name| row.float(name).unwrap_or(0.0));
    let decay = |name: &str| row.float(name).unwrap_or(0.0);
    Coefficients {
        values: numbers(["b0", "b1", "b2", "c0", "c1"]),
        slopes: row
            .filled("d0")
            .map(|_| numbers(["d0", "d1", "d2", "e0", "e1"])),
        decays: ["a1", "a2", "o1"].map(decay),
        most: row.float("max_mol_kg"),
        sources: [row.cell("source"), row.cell("temperature_source")],
    }
}

/// A mixing parameter with the code of its publication.
pub(super) type Mixing = (f64, &'static str);

/// Mixing parameters by their ions, the two of like sign in either order.
pub(super) static MIXING: LazyLock<FxHashMap<[&'static str; 3], Mixing>> = LazyLock::new(|| {
    let mut all = FxHashMap::default();
    for row in ION_MIXING.rows() {
        let [i, j, k] = ["i", "j", "k"].map(|name| row.cell(name));
        let value = (row.float("p1").unwrap_or(0.0), row.cell("source"));
        all.insert([i, j, k], value);
        all.insert([j, i, k], value);
    }
    all
});

/// The SIT coefficient of a pair in kg/mol.
pub(super) fn specific(cation: &str, anion: &str) -> Option<(f64, &'static str)> {
    let mut rows = SPECIFIC_INTERACTION.find(cation);
    let row = rows.find(|row| row.cell("anion") == anion)?;
    Some((row.float("e1")?, row.cell("source")))
}

/// The median of each coefficient over the listed pairs of the same charges; of the nearest product of charges where
/// there are none.
pub(super) fn typical(cation: i32, anion: i32) -> Coefficients {
    type Typical = FxHashMap<(i32, i32), Coefficients>;
    static BY_CHARGES: LazyLock<Typical> = LazyLock::new(|| {
        let mut groups: FxHashMap<(i32, i32), Vec<&Coefficients>> = FxHashMap::default();
        for ((cation, anion), known) in PAIRS.iter() {
            let charges = (charge(cation), charge(anion).abs());
            groups.entry(charges).or_default().extend(&known.usual);
        }
        let medians = groups.into_iter().filter(|(_, group)| !group.is_empty());
        medians
            .map(|(charges, group)| (charges, medians_of(&group)))
            .collect()
    });
    let wanted = (cation, anion.abs());
    let off = |charges: &&(i32, i32)| {
        let product = (charges.0 * charges.1 - wanted.0 * wanted.1).abs();
        (product, (charges.0 - wanted.0).abs(), **charges)
    };
    let nearest = BY_CHARGES.keys().min_by_key(off);
    let found = nearest.and_then(|charges| BY_CHARGES.get(charges));
    found.cloned().expect("the table has pairs")
}

fn medians_of(group: &[&Coefficients]) -> Coefficients {
    let median = |pick: &dyn Fn(&Coefficients) -> f64| {
        let mut values: Vec<f64> = group.iter().map(|one| pick(one)).collect();
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    Coefficients {
        values: std::array::from_fn(|at| median(&|one| one.values[at])),
        slopes: None,
        decays: std::array::from_fn(|at| median(&|one| one.decays[at])),
        most: None,
        sources: ["", ""],
    }
}

/// The charge of an ion from its formula.
pub(super) fn charge(key: &str) -> i32 {
    let Some((_, charge)) = key.rsplit_once('^') else {
        return 0;
    };
    let number = charge.trim_end_matches(['+', '-']);
    let size = if number.is_empty() {
        1
    } else {
        number.parse().unwrap_or(0)
    };
    if charge.ends_with('-') { -size } else { size }
}

/// The Debye–Hückel slope of the osmotic coefficient at a temperature in K: through the points of the table from 0 to
/// 100 °C; the parabola through the outermost three beyond.
pub(super) fn debye_hueckel(kelvin: f64) -> f64 {
    static POINTS: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
        let rows = DEBYE_HUECKEL.rows();
        rows.filter_map(|row| Some((row.float("t_C")?, row.float("a1")?)))
            .collect()
    });
    let t = kelvin - 273.15;
    let first = POINTS.partition_point(|(at, _)| *at < t).saturating_sub(2);
    let first = first.min(POINTS.len().saturating_sub(3));
    let Some([(t0, a0), (t1, a1), (t2, a2)]) = POINTS
        .get(first..first + 3)
        .and_then(|near| near.first_chunk())
    else {
        return f64::NAN;
    };
    let (first, second) = ((a1 - a0) / (t1 - t0), (a2 - a1) / (t2 - t1));
    a0 + (t - t0) * (first + (t - t1) * (second - first) / (t2 - t0))
}
