//! What holds for every equation, tried on random ones.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "tests read the collected equations, look at the clock and print their figures"
)]

use std::collections::BTreeMap;

use aludel::equation::{Balance, Reaction, balance, parse_equation, quick};
use aludel::matter::{Notation, Species};
use aludel::report::BalanceJson;
use aludel::shell::answer_line;
use num_bigint::BigInt;
use num_integer::Integer;
use proptest::prelude::*;

const ELEMENTS: [&str; 8] = ["H", "C", "N", "O", "Na", "S", "Cl", "Fe"];

/// Coefficients and formulas, left and right.
type Sides = (Vec<(u32, String)>, Vec<(u32, String)>);

/// A composition and a charge as a formula.
fn formula(counts: &[u32], charge: i32) -> String {
    let mut text = String::new();
    for (symbol, count) in ELEMENTS.iter().zip(counts) {
        match count {
            0 => {}
            1 => text += symbol,
            n => text += &format!("{symbol}{n}"),
        }
    }
    match charge {
        0 => {}
        1 => text += "^+",
        -1 => text += "^-",
        n => text += &format!("^{}{}", n.abs(), if n > 0 { '+' } else { '-' }),
    }
    text
}

/// Two to four reactants with coefficients, and how what they bring is shared out among two products.
fn reactions() -> impl Strategy<Value = Sides> {
    let species = (prop::collection::vec(0u32..5, 8), -3i32..=3);
    let reactants = prop::collection::vec((1u32..7, species), 2..5);
    (reactants, prop::collection::vec(0u32..=100, 8), -4i32..=4).prop_filter_map(
        "a product without atoms",
        |(left, shares, first)| {
            let total = |e: usize| {
                left.iter()
                    .map(|(n, (counts, _))| n * counts[e])
                    .sum::<u32>()
            };
            let charge: i32 = left.iter().map(|(n, (_, charge))| *n as i32 * charge).sum();
            let one: Vec<u32> = (0..8).map(|e| total(e) * shares[e] / 100).collect();
            let other: Vec<u32> = (0..8).map(|e| total(e) - one[e]).collect();
            let left: Vec<(u32, String)> = left
                .into_iter()
                .map(|(n, (counts, charge))| (n, formula(&counts, charge)))
                .collect();
            let right = vec![
                (1, formula(&one, first)),
                (1, formula(&other, charge - first)),
            ];
            let all: Vec<&String> = left.iter().chain(&right).map(|(_, text)| text).collect();
            let named = all.iter().all(|text| text.starts_with(char::is_alphabetic));
            let distinct = (1..all.len()).all(|i| !all[..i].contains(&all[i]));
            (named && distinct).then_some((left, right))
        },
    )
}

fn skeleton(sides: &Sides) -> String {
    let side = |terms: &[(u32, String)]| {
        terms
            .iter()
            .map(|(_, text)| text.clone())
            .collect::<Vec<_>>()
            .join(" + ")
    };
    format!("{} -> {}", side(&sides.0), side(&sides.1))
}

fn reactions_of(found: Balance) -> Vec<Reaction> {
    match found {
        Balance::Unique(reaction) | Balance::Settled { reaction, .. } => vec![reaction],
        Balance::Open { balances, .. } => balances,
    }
}

/// Atoms and charge of both sides, counted with nothing but the formulas.
fn conserves(reaction: &Reaction) -> bool {
    let mut totals: BTreeMap<String, BigInt> = BTreeMap::new();
    let terms = reaction
        .left
        .iter()
        .map(|t| (1, t))
        .chain(reaction.right.iter().map(|t| (-1, t)));
    for (sign, (n, species)) in terms {
        for (element, count) in &species.composition().atoms {
            *totals.entry(element.symbol().to_owned()).or_default() +=
                n * BigInt::from(*count) * sign;
        }
        *totals.entry("charge".to_owned()).or_default() +=
            n * BigInt::from(species.charge()) * sign;
    }
    totals.values().all(|total| *total == BigInt::from(0))
}

fn by_species(reaction: &Reaction) -> BTreeMap<String, BigInt> {
    reaction
        .left
        .iter()
        .chain(&reaction.right)
        .map(|(n, s)| (s.plain().to_owned(), n.clone()))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_balanced_equation_comes_back_when_its_coefficients_are_taken_away(sides in reactions()) {
        let text = skeleton(&sides);
        let found = balance(&parse_equation(&text).unwrap());
        let found = found.unwrap_or_else(|why| panic!("{text}: {why:?}"));
        if let Balance::Unique(reaction) = &found {
            let common = sides.0.iter().chain(&sides.1).fold(0, |g, (n, _)| g.gcd(n));
            let expected: BTreeMap<String, BigInt> =
                sides.0.iter().chain(&sides.1).map(|(n, s)| (s.clone(), BigInt::from(n / common))).collect();
            prop_assert_eq!(by_species(reaction), expected);
        }
        for reaction in reactions_of(found) {
            prop_assert!(conserves(&reaction), "{}", reaction.to_text(Notation::Plain));
            let common = reaction.left.iter().chain(&reaction.right).fold(BigInt::from(0), |g, (n, _)| g.gcd(n));
            prop_assert_eq!(common, BigInt::from(1));
        }
    }

    #[test]
    fn the_order_of_the_species_does_not_matter(sides in reactions(), turn in 0usize..4) {
        let mut turned = sides.clone();
        let by = turn % turned.0.len();
        turned.0.rotate_left(by);
        turned.1.reverse();
        let of = |sides| {
            let found = balance(&parse_equation(&skeleton(sides)).unwrap()).unwrap();
            let mut all: Vec<_> = reactions_of(found).iter().map(by_species).collect();
            all.sort();
            all
        };
        prop_assert_eq!(of(&sides), of(&turned));
    }

    #[test]
    fn what_is_printed_reads_back_as_the_same(sides in reactions()) {
        let skeleton = parse_equation(&skeleton(&sides)).unwrap();
        for notation in [Notation::Plain, Notation::Ascii, Notation::Printed] {
            let again = parse_equation(&skeleton.to_text(notation)).unwrap();
            prop_assert_eq!(again.to_text(Notation::Plain), skeleton.to_text(Notation::Plain));
        }
    }

    /// The quick way gives what the grammar gives, or nothing.
    #[test]
    fn the_quick_way_is_the_long_way(sides in reactions()) {
        same_both_ways(&skeleton(&sides))?;
    }

    /// With coefficients, right or wrong, close or apart, and with other arrows.
    #[test]
    fn the_quick_way_is_the_long_way_with_coefficients(sides in reactions(), off in 0u32..3, arrow in 0usize..5, close: bool) {
        let blank = if close { "" } else { " " };
        let side = |terms: &[(u32, String)]| {
            terms.iter().map(|(n, text)| format!("{}{blank}{text}", n + off)).collect::<Vec<_>>().join(" + ")
        };
        let arrow = ["->", "=", "→", "<=>", "⇌"][arrow];
        let text = format!("{} {arrow} {}", side(&sides.0), side(&sides.1));
        prop_assert_eq!(quick(&text).is_some(), quick(&skeleton(&sides)).is_some());
        same_both_ways(&text)?;
    }

    /// Also for texts that are nearly equations: pieces of notation in any order.
    #[test]
    fn the_quick_way_is_the_long_way_for_odd_texts(pieces in prop::collection::vec(0usize..46, 1..24)) {
        const PIECES: [&str; 46] = [
            "H2", "O2", "H2O", "Fe", "Cl2", "FeCl3", "SO4", "Na", "NaCl", "C", " + ", " + ", " -> ", " -> ", "(", ")",
            "[", "]", "2", "3", "12", "1", "0", "^", "^+", "^-", "^2-", "^3+", "·", "·5H2O", "(s)", "(aq)", "(OH)2",
            "e^-", "Co", "CO", "X", "D2", " ", "\u{200b}", "2 ", "10", " = ", " → ", " <=> ", " ⇌ ",
        ];
        let text: String = pieces.iter().map(|i| PIECES[*i]).collect();
        same_both_ways(&text)?;
    }
}

fn same_both_ways(text: &str) -> Result<(), TestCaseError> {
    let Some(found) = quick(text) else {
        return Ok(());
    };
    let skeleton = parse_equation(text.trim());
    prop_assert!(
        skeleton.is_ok(),
        "{}: read the quick way only: {:?}",
        text,
        skeleton
    );
    let skeleton = skeleton.unwrap();
    let answer = balance(&skeleton);
    let Ok(Balance::Unique(reaction)) = &answer else {
        return Err(TestCaseError::fail(format!(
            "{text}: {found:?}, but {answer:?}"
        )));
    };
    let terms = |terms: &[(BigInt, Species)]| {
        terms
            .iter()
            .map(|(n, s)| (s.plain().to_owned(), n.clone()))
            .collect::<Vec<_>>()
    };
    let quickly = |terms: &[(&str, i64)]| {
        terms
            .iter()
            .map(|(s, n)| ((*s).to_owned(), BigInt::from(*n)))
            .collect::<Vec<_>>()
    };
    prop_assert_eq!(quickly(found.left()), terms(&reaction.left));
    prop_assert_eq!(quickly(found.right()), terms(&reaction.right));
    let mut line = Vec::new();
    answer_line(text.as_bytes(), 1, &mut line);
    let slowly =
        serde_json::to_string(&BalanceJson::of(answer.as_ref().unwrap(), &skeleton)).unwrap();
    prop_assert_eq!(
        String::from_utf8(line).unwrap(),
        slowly.replacen('{', "{\"line\":1,", 1) + "\n"
    );
    Ok(())
}

/// Every collected equation the quick way takes, and how many those are.
#[test]
fn the_quick_way_is_the_long_way_for_every_collected_equation() {
    let (mut quickly, mut all) = (0, 0);
    for name in [
        "textbook",
        "school",
        "modelseed_sample",
        "combustion",
        "burnt_compounds",
        "infeasible",
        "ambiguous_data",
        "both_sides",
    ] {
        let path = format!(
            "{}/tests/corpora/equations/{name}.tsv",
            env!("CARGO_MANIFEST_DIR")
        );
        let table = std::fs::read_to_string(path).unwrap();
        for text in table
            .lines()
            .skip(1)
            .filter_map(|line| line.split('\t').nth(1))
        {
            all += 1;
            quickly += u32::from(quick(text).is_some());
            same_both_ways(text).unwrap();
        }
    }
    println!("{quickly} of {all} equations went the quick way");
    assert!(quickly * 2 > all);
}
