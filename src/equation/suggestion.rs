//! What an equation without a balance may lack.
//!
//! Promises: nothing is added silently; whoever asks gets reactions to choose from.

use super::columns::Columns;
use super::matrix::Matrix;
use super::{Balance, Medium, Reaction, Skeleton, balance};

/// What an equation without a balance may lack: the smallest sets of common species that give it exactly one, each as
/// the reaction it would then be.
///
/// ```
/// use aludel::{equation::{parse_equation, suggestions}, matter::Notation};
/// let found = suggestions(&parse_equation("MnO4^- + Fe^2+ -> Mn^2+ + Fe^3+").unwrap());
/// let first = found[0].to_text(Notation::Plain);
/// assert_eq!(first, "MnO4^- + 5 Fe^2+ + 8 H^+ -> Mn^2+ + 5 Fe^3+ + 4 H2O");
/// ```
pub fn suggestions(skeleton: &Skeleton) -> Vec<Reaction> {
    // What needs less comes first, and electrons last: an equation with them is no longer a whole one.
    const LACKING: [&[&[&str]]; 3] = [
        &[&["H2O"], &["O2"], &["CO2"], &["H2"]],
        &[
            &["H2O", "H^+"],
            &["H2O", "OH^-"],
            &["H2O", "CO2"],
            &["H2O", "O2"],
        ],
        &[&["e^-"], &["H2O", "H^+", "e^-"], &["H2O", "OH^-", "e^-"]],
    ];
    let tried = LACKING.iter().map(|level| {
        let mut found: Vec<Reaction> = Vec::new();
        for reaction in level
            .iter()
            .filter_map(|others| completed(skeleton, others))
        {
            if !found.contains(&reaction) {
                found.push(reaction);
            }
        }
        found
    });
    let mut useful = tried.filter(|found| !found.is_empty());
    useful.next().unwrap_or_default()
}

/// The only balance with these species beside those written.
fn completed(skeleton: &Skeleton, others: &[&str]) -> Option<Reaction> {
    let columns = Columns::with(skeleton, others).ok()?;
    let nullspace = Matrix::of(&columns.sides())?.nullspace();
    let [only] = nullspace.as_slice() else {
        return None;
    };
    Some(columns.reaction(&columns.positive(only)?))
}

/// The media in which an equation that states none would have a balance, each with that balance; none if it makes no
/// difference, since then only water is missing.
///
/// ```
/// use aludel::{equation::{Medium, media, parse_equation}, matter::Notation};
/// let of = |text| media(&parse_equation(text).unwrap());
/// let found = of("MnO4^- + SO3^2- -> MnO2 + SO4^2-");
/// assert_eq!(found[1].0, Medium::Base);
/// assert_eq!(found[1].1.to_text(Notation::Plain), "2 MnO4^- + 3 SO3^2- + H2O -> 2 MnO2 + 3 SO4^2- + 2 OH^-");
/// assert!(of("CaCO3 + HCl -> CaCl2 + CO2").is_empty());
/// ```
pub fn media(skeleton: &Skeleton) -> Vec<(Medium, Reaction)> {
    if skeleton.medium.is_some() {
        return Vec::new();
    }
    // An equation that names one of the two ions says by that in what it runs.
    let names = |key: &str| skeleton.terms().any(|(_, t)| t.species.key() == key);
    let fits = |medium: &Medium| match medium {
        Medium::Base => !names("H^+"),
        Medium::Acid | Medium::Neutral => !names("OH^-"),
    };
    let within = |medium| match balance(&skeleton.with_medium(medium)) {
        Ok(Balance::Unique(reaction) | Balance::Settled { reaction, .. }) => {
            Some((medium, reaction))
        }
        _ => None,
    };
    let found: Vec<(Medium, Reaction)> = [Medium::Acid, Medium::Base]
        .into_iter()
        .filter(fits)
        .filter_map(within)
        .collect();
    let of_the_medium = |(_, reaction): &(Medium, Reaction)| {
        let all = reaction.left.iter().chain(&reaction.right);
        let added = all.filter(|(_, s)| ["H^+", "OH^-"].contains(&s.key()));
        let mut added = added.filter(|(_, s)| skeleton.terms().all(|(_, t)| t.species != *s));
        added.next().is_some()
    };
    if found.iter().any(of_the_medium) {
        found
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::parse_equation;
    use crate::matter::Notation;

    #[test]
    fn what_is_missing_is_suggested() {
        let all = |text: &str| -> Vec<String> {
            let found = suggestions(&parse_equation(text).unwrap());
            found.iter().map(|r| r.to_text(Notation::Plain)).collect()
        };
        assert_eq!(
            all("CaCO3 + HCl -> CaCl2 + CO2"),
            ["CaCO3 + 2 HCl -> CaCl2 + CO2 + H2O"]
        );
        assert_eq!(all("CO -> CO2"), ["2 CO + O2 -> 2 CO2"]);
        assert_eq!(all("Fe^3+ -> Fe^2+"), ["Fe^3+ + e^- -> Fe^2+"]);
        assert_eq!(
            all("MnO4^- + SO3^2- -> MnO2 + SO4^2-"),
            [
                "2 MnO4^- + 3 SO3^2- + 2 H^+ -> 2 MnO2 + 3 SO4^2- + H2O",
                "2 MnO4^- + 3 SO3^2- + H2O -> 2 MnO2 + 3 SO4^2- + 2 OH^-"
            ]
        );
        assert_eq!(all("H2 + O2 -> H2O + He"), Vec::<String>::new());
    }
}
