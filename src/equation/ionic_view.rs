//! A reaction in ions: complete, net, what looks on, and what drives it.
//!
//! Knows no more than [`ionic`](super::ionic) does: which electrolytes are strong and which salts dissolve.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use crate::matter::{Phase, Species};

use super::Reaction;
use super::ionic::{Form, dissociate, in_water};

/// What takes ions out of the water.
#[derive(Clone, Debug, Eq, PartialEq)]
pub enum Driver {
    /// `AgNO3 + NaCl -> AgCl + NaNO3`: a solid that does not dissolve.
    Precipitate(Species),
    /// `Na2CO3 + HCl -> NaCl + H2O + CO2`: a gas.
    Gas(Species),
    /// `HCl + NaOH -> NaCl + H2O`: water.
    Water,
    /// `CH3COONa + HCl -> CH3COOH + NaCl`: a weak electrolyte, or whatever else stays whole.
    Weak(Species),
}

/// A reaction with its strong electrolytes as ions.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct IonicView {
    /// Every ion written out, with phases.
    pub complete: Reaction,
    /// Without spectators, in lowest terms; both sides are empty if nothing happens.
    pub net: Reaction,
    /// Ions that are the same on both sides, with how many.
    pub spectators: Vec<(BigInt, Species)>,
    /// What is formed that is not an ion in water.
    pub driven_by: Vec<Driver>,
}

/// The ionic view; `None` where no species is a strong electrolyte that comes apart, so that there is nothing to see.
///
/// ```
/// use aludel::{equation::{balance, ionic_view, parse_equation}, matter::Notation};
/// let found = balance(&parse_equation("AgNO3 + NaCl -> AgCl + NaNO3").unwrap()).unwrap();
/// let view = ionic_view(found.reaction().unwrap()).unwrap();
/// assert_eq!(view.net.to_text(Notation::Plain), "Ag^+(aq) + Cl^-(aq) -> AgCl(s)");
/// ```
pub fn ionic_view(reaction: &Reaction) -> Option<IonicView> {
    let complete = in_ions(reaction, true);
    let came_apart = |(_, species): &(BigInt, Species)| matches!(in_water(species), Form::Ions(_));
    if !reaction.left.iter().chain(&reaction.right).any(came_apart) {
        return None;
    }
    let mut net = complete.clone();
    let spectators = cancel(&mut net);
    net.reduce();
    let driven_by = net
        .right
        .iter()
        .filter_map(|(_, species)| driver(species))
        .collect();
    Some(IonicView {
        complete,
        net,
        spectators,
        driven_by,
    })
}

fn driver(species: &Species) -> Option<Driver> {
    match in_water(species) {
        Form::Solid => Some(Driver::Precipitate(species.clone())),
        Form::Gas => Some(Driver::Gas(species.clone())),
        Form::Liquid if species.key() == "H2O" => Some(Driver::Water),
        Form::Liquid | Form::Molecule if species.charge() == 0 => {
            Some(Driver::Weak(species.clone()))
        }
        Form::Liquid | Form::Molecule | Form::Ions(_) => None,
    }
}

/// Strong electrolytes as their ions; with phases, or without any.
fn in_ions(reaction: &Reaction, phases: bool) -> Reaction {
    taken_apart(reaction, phases, in_water)
}

/// The same without phases, in which some species keep together.
pub(super) fn in_ions_except(reaction: &Reaction, whole: &[Species]) -> Reaction {
    taken_apart(reaction, false, |species| match in_water(species) {
        Form::Ions(_) if whole.contains(species) => Form::Molecule,
        form => form,
    })
}

/// Every salt as its ions, without phases, whether it dissolves or not: a solid has them too.
pub(super) fn all_in_ions(reaction: &Reaction) -> Reaction {
    let has_metal = |species: &Species| {
        species
            .composition()
            .atoms
            .iter()
            .any(|(e, _)| e.is_metal())
    };
    taken_apart(reaction, false, |species| {
        let salt = has_metal(species).then(|| dissociate(&species.with_phase(None)));
        salt.flatten().map_or_else(|| in_water(species), Form::Ions)
    })
}

fn taken_apart(reaction: &Reaction, phases: bool, form: impl Fn(&Species) -> Form) -> Reaction {
    let phased = |species: &Species, phase: Phase| species.with_phase(phases.then_some(phase));
    let side = |terms: &[(BigInt, Species)]| {
        let mut all: Vec<(BigInt, Species)> = Vec::new();
        for (n, species) in terms {
            match form(species) {
                // A half hydrate cannot be shared out in whole ions; it stays as it is.
                Form::Ions(ions) if ions.iter().all(|(count, _)| count.is_integer()) => {
                    for (count, ion) in ions {
                        let ion = if phases { ion } else { ion.with_phase(None) };
                        add(&mut all, n * count.numerator(), ion);
                    }
                }
                Form::Gas => add(&mut all, n.clone(), phased(species, Phase::Gas)),
                Form::Solid => add(&mut all, n.clone(), phased(species, Phase::Solid)),
                Form::Liquid => add(&mut all, n.clone(), phased(species, Phase::Liquid)),
                Form::Molecule | Form::Ions(_) => {
                    add(&mut all, n.clone(), phased(species, Phase::Aqueous));
                }
            }
        }
        all
    };
    Reaction {
        left: side(&reaction.left),
        right: side(&reaction.right),
    }
}

/// Adds so much of a species to a side.
pub(super) fn add(all: &mut Vec<(BigInt, Species)>, n: BigInt, species: Species) {
    match all.iter_mut().find(|(_, known)| *known == species) {
        Some((total, _)) => *total += n,
        None => all.push((n, species)),
    }
}

/// Takes from both sides what they have in common and gives it.
pub(super) fn cancel(reaction: &mut Reaction) -> Vec<(BigInt, Species)> {
    let mut common = Vec::new();
    for (n, species) in &mut reaction.left {
        if let Some((m, _)) = reaction
            .right
            .iter_mut()
            .find(|(_, other)| other == species)
        {
            let both = (&*n).min(&*m).clone();
            *n -= &both;
            *m -= &both;
            if both.is_positive() {
                common.push((both, species.clone()));
            }
        }
    }
    reaction.left.retain(|(n, _)| !n.is_zero());
    reaction.right.retain(|(n, _)| !n.is_zero());
    common
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::equation::{balance, parse_equation};
    use crate::matter::Notation;

    /// OpenStax Chemistry 2e, section 4.1 and 4.2: net ionic equations of these types.
    #[test]
    fn net_equations_and_what_drives_them() {
        for (text, net, spectators, drivers) in [
            (
                "AgNO3 + NaCl -> AgCl + NaNO3",
                "Ag^+(aq) + Cl^-(aq) -> AgCl(s)",
                "NO3^-(aq) Na^+(aq)",
                "Precipitate(AgCl(s))",
            ),
            (
                "HCl + NaOH -> NaCl + H2O",
                "H^+(aq) + OH^-(aq) -> H2O(l)",
                "Cl^-(aq) Na^+(aq)",
                "Water",
            ),
            (
                "H2SO4 + NaOH -> Na2SO4 + H2O",
                "H^+(aq) + OH^-(aq) -> H2O(l)",
                "SO4^2-(aq) Na^+(aq)",
                "Water",
            ),
            (
                "Na2CO3 + HCl -> NaCl + CO2 + H2O",
                "CO3^2-(aq) + 2 H^+(aq) -> CO2(g) + H2O(l)",
                "Na^+(aq) Cl^-(aq)",
                "Gas(CO2(g)) Water",
            ),
            (
                "CH3COONa + HCl -> CH3COOH + NaCl",
                "CH3COO^-(aq) + H^+(aq) -> CH3COOH(aq)",
                "Na^+(aq) Cl^-(aq)",
                "Weak(CH3COOH(aq))",
            ),
            (
                "Zn + CuSO4 -> ZnSO4 + Cu",
                "Zn(s) + Cu^2+(aq) -> Zn^2+(aq) + Cu(s)",
                "SO4^2-(aq)",
                "Precipitate(Cu(s))",
            ),
        ] {
            let found = balance(&parse_equation(text).unwrap()).unwrap();
            let view = ionic_view(found.reaction().unwrap()).unwrap();
            assert_eq!(view.net.to_text(Notation::Plain), net, "{text}");
            assert!(
                view.net.is_balanced() && view.complete.is_balanced(),
                "{text}"
            );
            let names: Vec<&str> = view.spectators.iter().map(|(_, s)| s.plain()).collect();
            assert_eq!(names.join(" "), spectators, "{text}");
            let driven: Vec<String> = view.driven_by.iter().map(|d| format!("{d:?}")).collect();
            assert_eq!(driven.join(" "), drivers, "{text}");
        }
    }

    #[test]
    fn nothing_is_seen_where_nothing_comes_apart() {
        let found = balance(&parse_equation("Fe2O3 + CO -> Fe + CO2").unwrap()).unwrap();
        assert_eq!(ionic_view(found.reaction().unwrap()), None);
    }
}
