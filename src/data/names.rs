//! Substances by name or CAS number, and the nearest names to one that is not there.

use super::{Formation, SOLUBILITY};

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
