//! Bottles that must not stand side by side: what would be refused if the contents met.

use crate::hazard::{Circumstances, Mix, Rule, Severity, poured};
use crate::matter::Species;
use crate::number::Exact;
use crate::route::ledger::{Ledger, Withdrawal};

use super::caution::{About, Caution};
use super::statement::{bought, is_same_portion};

/// More bottles than this are not compared: their pairs grow with the square.
const MOST: usize = 40;

/// Two things measured out that must be kept apart.
#[derive(Clone, Debug)]
pub struct Neighbours<'l> {
    /// The two, in the order of use.
    pub between: [&'l Withdrawal; 2],
    /// What would come of it if they met.
    pub rule: Rule,
}

/// Every pair of things measured out that must be kept apart.
pub(super) fn neighbours(ledger: &Ledger) -> impl Iterator<Item = Caution<'_>> {
    let mut draws: Vec<&Withdrawal> = Vec::new();
    for draw in bought(ledger) {
        let known = draws.iter().any(|known| is_same_portion(known, draw));
        if !known && draws.len() < MOST {
            draws.push(draw);
        }
    }
    let water = Species::parse("H2O(l)").ok();
    let parts = |draw: &&Withdrawal| parts(draw, water.as_ref());
    let all: Vec<(&Withdrawal, Parts)> = draws.iter().map(|draw| (*draw, parts(draw))).collect();
    let pairs = all.iter().enumerate().flat_map(|(index, (one, parts))| {
        let others = all[index + 1..].iter();
        others.filter_map(move |(other, others)| {
            Some(Neighbours {
                between: [one, other],
                rule: reason([parts, others])?,
            })
        })
    });
    let pairs: Vec<Neighbours<'_>> = pairs.collect();
    pairs.into_iter().map(|pair| Caution {
        severity: Severity::Caution,
        about: About::Neighbours(pair),
    })
}

/// What a draw brings, in mol.
type Parts = Vec<(Species, Exact)>;

/// At its strength: the solute and the water it is dissolved in.
fn parts(draw: &Withdrawal, water: Option<&Species>) -> Parts {
    let solute = draw.moles.scaled(draw.substance.molar_mass());
    let rest = &draw.grams - &solute;
    let water = water.filter(|_| draw.bottle.is_some() && rest.is_positive());
    let water = water.and_then(|water| {
        let moles = rest.value().checked_div(water.molar_mass())?;
        Some((water.clone(), moles))
    });
    let own = (draw.substance.clone(), draw.moles.value().clone());
    [own].into_iter().chain(water).collect()
}

/// The gravest of what would be refused.
fn reason([one, other]: [&Parts; 2]) -> Option<Rule> {
    let shelf = Circumstances {
        celsius: 20.0,
        hours: 0.0,
        sealed: false,
        waste: false,
        gas: false,
        boiling: false,
    };
    let both = mix(one.iter().chain(other));
    let told = poured(&mix(one), (&mix(other), &shelf), (&both, &shelf));
    let worst = told.into_iter().next();
    let worst = worst.filter(|meeting| meeting.severity >= Severity::Stop);
    worst.map(|meeting| meeting.rule)
}

fn mix<'p>(parts: impl IntoIterator<Item = &'p (Species, Exact)>) -> Mix<'p> {
    let parts = parts.into_iter();
    Mix::of(parts.map(|(species, moles)| (species, moles)))
}
