//! Bottles that must not stand side by side: what would be refused if the contents met.

use crate::hazard::{Circumstances, Mix, Severity, poured};
use crate::matter::Species;
use crate::number::Exact;
use crate::report::document::Words;
use crate::route::ledger::*;

use super::Caution;

/// More bottles than this are not compared: their pairs grow with the square.
const MOST: usize = 40;

/// Every pair of things measured out that must be kept apart.
pub(super) fn neighbours(words: Words, ledger: &Ledger) -> Vec<Caution> {
    let mut things: Vec<(String, &Draw)> = Vec::new();
    for draw in ledger
        .draws
        .iter()
        .filter(|draw| draw.substance.key() != "H2O")
    {
        let name = words.named(draw);
        if !things.iter().any(|(known, _)| *known == name) && things.len() < MOST {
            things.push((name, draw));
        }
    }
    let water = Species::parse("H2O(l)").ok();
    let portions: Vec<Portion> = things
        .iter()
        .map(|(_, draw)| Portion::of(draw, water.as_ref()))
        .collect();
    let pairs =
        (0..things.len()).flat_map(|one| (one + 1..things.len()).map(move |other| (one, other)));
    pairs
        .filter_map(|(one, other)| {
            let names = [&things[one].0, &things[other].0];
            apart(names, [&portions[one], &portions[other]])
        })
        .collect()
}

/// What a draw brings, at its strength.
struct Portion(Vec<(Species, Exact)>);

impl Portion {
    fn of(draw: &Draw, water: Option<&Species>) -> Portion {
        let solute = draw.moles.scaled(draw.substance.molar_mass());
        let rest = &draw.grams - &solute;
        let water = water.filter(|_| draw.bottle.is_some() && rest.is_positive());
        let water = water.and_then(|water| {
            let moles = rest.value().checked_div(water.molar_mass())?;
            Some((water.clone(), moles))
        });
        let own = (draw.substance.clone(), draw.moles.value().clone());
        Portion([own].into_iter().chain(water).collect())
    }

    fn mix(&self) -> Mix<'_> {
        Mix::of(self.0.iter().map(|(species, moles)| (species, moles)))
    }
}

fn apart(names: [&String; 2], [one, other]: [&Portion; 2]) -> Option<Caution> {
    let shelf = Circumstances {
        celsius: 20.0,
        hours: 0.0,
        sealed: false,
        waste: false,
        gas: false,
        boiling: false,
    };
    let both = Mix::of(
        one.0
            .iter()
            .chain(&other.0)
            .map(|(species, moles)| (species, moles)),
    );
    let told = poured(&one.mix(), (&other.mix(), &shelf), (&both, &shelf));
    let worst = told
        .into_iter()
        .next()
        .filter(|meeting| meeting.severity >= Severity::Stop)?;
    let rule = worst.rule;
    Some(Caution {
        kind: "neighbour",
        severity: Severity::Caution,
        place: None,
        keys: vec![rule.key()],
        text: format!(
            "keep {} apart from {}: {} if they meet [{}]",
            names[0],
            names[1],
            rule.consequence(),
            rule.key()
        ),
        sources: vec![rule.source()],
    })
}
