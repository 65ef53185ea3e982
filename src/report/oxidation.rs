//! Oxidation numbers and the electrons that follow from them, written down.

use std::fmt::Write;

use num_bigint::BigInt;

use crate::equation::oxidation::{Atoms, Choice, Numbers, numbers};
use crate::equation::{Reaction, Transfer};
use crate::matter::{Element, Notation, Species};
use crate::number::Exact;

/// `K +1, Mn +7, O −2`; empty for the electron. Where one element has several, each is told with how many atoms have it.
///
/// ```
/// use aludel::{matter::{Notation, Species}, report::oxidation_numbers};
/// let of = |text| oxidation_numbers(&Species::parse(text).unwrap(), Notation::Printed);
/// assert_eq!(of("KMnO4"), "K +1, Mn +7, O −2");
/// assert_eq!(of("NaNO3"), "Na +1, N +5, O −2");
/// assert_eq!(of("NH4NO3"), "N −3 (1 atom), N +5 (1 atom), H +1, O −2");
/// ```
pub fn oxidation_numbers(species: &Species, notation: Notation) -> String {
    let found = numbers(species);
    let mut atoms: Vec<_> = found.atoms.iter().collect();
    // Cations first, as in the formula; one element keeps together.
    atoms.sort_by_key(|a| {
        let first = place_of(a.element, species.plain());
        (first, a.element, a.number.clone())
    });
    let told = |one: &&Atoms| {
        let text = format!("{} {}", one.element.symbol(), signed(&one.number, notation));
        match found.of(one.element).nth(1) {
            Some(_) => format!("{text} ({})", atoms_of(&one.count)),
            None => text,
        }
    };
    atoms.iter().map(told).collect::<Vec<_>>().join(", ")
}

/// Where an element stands first in a formula: the `N` of `NaNO3` is not that of `Na`.
fn place_of(element: Element, formula: &str) -> Option<usize> {
    let whole = |(at, found): &(usize, &str)| {
        let behind = formula[at + found.len()..].chars().next();
        !behind.is_some_and(|c| c.is_ascii_lowercase())
    };
    let mut places = formula.match_indices(element.symbol()).filter(whole);
    places.next().map(|(at, _)| at)
}

/// What was chosen where the rules leave a choice, one sentence each.
pub fn oxidation_choices(species: &Species) -> Vec<String> {
    let Numbers { choices, .. } = numbers(species);
    choices.iter().map(|one| choice(*one)).collect()
}

fn choice(choice: Choice) -> String {
    match choice {
        Choice::Metal(metal) => format!(
            "{} is given its usual number; another is possible",
            metal.name()
        ),
        Choice::Disulfide(metal) => {
            format!(
                "taken as a disulfide: {} keeps its usual number",
                metal.name()
            )
        }
        Choice::Nitrosyl => "NO is counted as a neutral ligand".to_owned(),
        Choice::Average(element) => {
            format!("{}: a mean over atoms that are not alike", element.name())
        }
    }
}

fn atoms_of(count: &Exact) -> String {
    if count == &Exact::one() {
        "1 atom".to_owned()
    } else {
        format!("{} atoms", count.to_plain())
    }
}

/// `+7`, `−2`, `0`
pub(super) fn signed(number: &Exact, notation: Notation) -> String {
    match number.to_plain() {
        text if number.is_positive() => format!("+{text}"),
        text if notation == Notation::Ascii => text,
        text => text.replace('-', "−"),
    }
}

/// The numbers of every species in which something changes its own, one a line.
pub fn changing_numbers(reaction: &Reaction, transfers: &[Transfer], notation: Notation) -> String {
    let mut page = String::new();
    let mut known: Vec<&Species> = Vec::new();
    let sides = [(&reaction.left, true), (&reaction.right, false)];
    for (terms, left) in sides {
        for (_, species) in terms.iter().filter(|(_, s)| changes(s, left, transfers)) {
            if known.contains(&species) {
                continue;
            }
            known.push(species);
            let text = oxidation_numbers(species, notation);
            let _ = writeln!(page, "  {:<10} {text}", species.to_text(notation));
            for choice in oxidation_choices(species) {
                let _ = writeln!(page, "  {:<10} ({choice})", "");
            }
        }
    }
    page
}

fn changes(species: &Species, left: bool, transfers: &[Transfer]) -> bool {
    let found = numbers(species);
    transfers.iter().any(|t| {
        let number = if left { &t.from } else { &t.to };
        found.of(t.element).any(|a| a.number == *number)
    })
}

/// What gives off and what takes up electrons, by oxidation numbers, with the sum; for reactions that do not part into
/// two half-reactions.
pub fn electrons(transfers: &[Transfer], notation: Notation) -> String {
    let mut page = String::new();
    for transfer in transfers {
        let electrons = transfer.electrons();
        let verb = match (electrons.is_negative(), transfer.atoms == Exact::one()) {
            (true, true) => "takes up",
            (true, false) => "take up",
            (false, true) => "gives off",
            (false, false) => "give off",
        };
        let _ = writeln!(
            page,
            "  {} {} {} {}: {} {verb} {} {}",
            transfer.element.symbol(),
            signed(&transfer.from, notation),
            notation.arrow(),
            signed(&transfer.to, notation),
            atoms_of(&transfer.atoms),
            electrons.abs().to_plain(),
            Species::electron().to_text(notation)
        );
    }
    let given: Exact = transfers
        .iter()
        .map(Transfer::electrons)
        .filter(|n| n.is_positive())
        .sum();
    let taken: Exact = transfers
        .iter()
        .map(Transfer::electrons)
        .filter(|n| n.is_negative())
        .sum();
    let _ = writeln!(
        page,
        "  given off {}, taken up {}",
        given.to_plain(),
        taken.abs().to_plain()
    );
    page
}

/// How a species stands in a list of terms.
pub(super) fn listed(terms: &[(BigInt, Species)], notation: Notation) -> String {
    let one = |(n, species): &(BigInt, Species)| match species.to_text(notation) {
        text if *n == BigInt::from(1) => text,
        text => format!("{n} {text}"),
    };
    terms.iter().map(one).collect::<Vec<_>>().join(", ")
}
