//! Substances by name or CAS number, and the nearest names to one that is not there.

use super::{BOTTLE, Formation, SOLID_PHASE, SOLUBILITY};

/// The rows of a name or CAS number; letter case does not matter.
///
/// ```
/// use aludel::data;
/// let found = data::named("Calcium carbonate");
/// assert!(found.iter().all(|row| row.formula() == "CaCO3"));
/// assert_eq!(data::named("7647-14-5")[0].formula(), "NaCl");
/// ```
pub fn named(text: &str) -> Vec<Formation> {
    let wanted = text.trim().to_lowercase();
    if wanted.is_empty() {
        return Vec::new();
    }
    let fits = |row: &Formation| row.cas() == wanted || row.name().to_lowercase() == wanted;
    Formation::all().filter(fits).collect()
}

/// The formulas that a name, a CAS number or the name on a usual bottle stands for, each once; letter case does not matter.
///
/// ```
/// use aludel::data;
/// assert_eq!(data::formulas_named("hydrochloric acid"), ["HCl"]);
/// assert_eq!(data::formulas_named("7647-14-5"), ["NaCl"]);
/// ```
pub fn formulas_named(text: &str) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = named(text).iter().map(Formation::formula).collect();
    if all.is_empty() {
        all.extend(named_salt(text).or_else(|| named_bottle(text)));
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// `hydrochloric acid, concentrated (37 %)` by `hydrochloric acid`.
fn named_bottle(text: &str) -> Option<&'static str> {
    let wanted = text.trim().to_lowercase();
    let mut rows = BOTTLE.rows();
    let row = rows.find(|row| row.cell("kind").to_lowercase() == wanted);
    row.map(|row| row.cell("formula"))
}

/// The formula of a salt by the name it has in the solubility table, for salts without formation data.
pub fn named_salt(text: &str) -> Option<&'static str> {
    let wanted = text.trim().to_lowercase();
    let mut rows = SOLUBILITY.rows();
    rows.find(|row| row.cell("name").to_lowercase() == wanted)
        .map(|row| row.cell("formula"))
}

/// Up to three names that are nearly the one asked for, the nearest first; none that is far-fetched.
///
/// ```
/// use aludel::data;
/// assert_eq!(data::near_names("calcium carbonat")[0], "calcium carbonate");
/// assert!(data::near_names("xyzzy").is_empty());
/// ```
pub fn near_names(text: &str) -> Vec<&'static str> {
    let wanted = text.trim().to_lowercase();
    let allowed = wanted.chars().count() / 5 + usize::from(wanted.chars().count() > 3);
    let distance = |name: &'static str| {
        let far = name.len().abs_diff(wanted.len()) > allowed;
        let steps = || strsim::osa_distance(&name.to_lowercase(), &wanted);
        (!name.is_empty() && !far).then(steps)
    };
    let near = |name: &'static str| distance(name).filter(|d| *d <= allowed).map(|d| (d, name));
    let mut names: Vec<_> = Formation::all()
        .filter_map(|row| near(row.name()))
        .collect();
    names.extend(SOLUBILITY.rows().filter_map(|row| near(row.cell("name"))));
    names.sort_unstable();
    names.dedup();
    names.into_iter().take(3).map(|(_, name)| name).collect()
}

/// Formulas of the tables that are this one with water of crystallisation, the driest first.
///
/// ```
/// use aludel::data;
/// assert!(data::hydrates_of("CuSO4").contains(&"CuSO4·5H2O"));
/// ```
pub fn hydrates_of(salt: &str) -> Vec<&'static str> {
    let wet = |formula: &str| {
        let water = formula.strip_prefix(salt)?.strip_prefix('·')?;
        let count = water.strip_suffix("H2O")?;
        match count.split_once('/') {
            _ if count.is_empty() => Some(1.0),
            Some((above, below)) => Some(above.parse::<f64>().ok()? / below.parse::<f64>().ok()?),
            None => count.parse::<f64>().ok(),
        }
    };
    let formation = Formation::all().map(|row| row.formula());
    let stable = SOLID_PHASE.rows().map(|row| row.cell("solid"));
    let mut all: Vec<(f64, &'static str)> = formation
        .chain(stable)
        .filter_map(|formula| Some((wet(formula)?, formula)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup_by(|a, b| a.0 == b.0);
    all.into_iter().map(|(_, formula)| formula).collect()
}

/// Up to four formulas with data that differ from one by a letter, a digit or a charge.
///
/// ```
/// use aludel::data;
/// assert!(data::near_formulas("NaClO5").contains(&"NaClO4"));
/// ```
pub fn near_formulas(key: &str) -> Vec<&'static str> {
    let near = |formula: &'static str| {
        let close = formula.len().abs_diff(key.len()) <= 1 && key.len() > 2;
        (close && strsim::osa_distance(formula, key) == 1).then_some(formula)
    };
    let mut all: Vec<&'static str> = Formation::all()
        .filter_map(|row| near(row.formula()))
        .collect();
    all.sort_unstable();
    all.dedup();
    all.truncate(4);
    all
}
