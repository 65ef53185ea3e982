//! Half-reactions and oxidation numbers.

use aludel::equation::{NoWorking, Transfer, balance, parse_equation, transfers, working};
use aludel::matter::Species;
use aludel::number::Exact;
use num_bigint::BigInt;

use crate::{Table, every_row};

/// The half-reactions of the completions: the electrons transferred, and each couple as the row gives it.
#[test]
fn workings() {
    every_row("completion", |row| {
        let text = format!("{} in {}", row.get("skeleton"), row.get("medium"));
        let skeleton = parse_equation(&text).map_err(|fault| format!("{fault:?}"))?;
        let found = working(&skeleton).map_err(|why| format!("{text}: {why:?}"))?;
        let electrons = Exact::from(found.electrons.clone()) * &found.factor;
        if electrons.to_plain() != row.get("electrons") {
            return Err(format!(
                "{text}: {electrons} electrons, not {}",
                row.get("electrons")
            ));
        }
        for (half, column) in [
            (&found.oxidation, "oxidation"),
            (&found.reduction, "reduction"),
        ] {
            let own = |terms: &[(BigInt, Species)]| {
                let mut all: Vec<String> = terms
                    .iter()
                    .filter(|(_, s)| !s.is_electron() && !["H2O", "H^+", "OH^-"].contains(&s.key()))
                    .map(|(_, s)| s.plain().to_owned())
                    .collect();
                all.sort();
                all.join(" + ")
            };
            let (left, right) = row.get(column).split_once("->").ok_or("no arrow")?;
            let sorted = |side: &str| {
                let mut all: Vec<&str> = side
                    .split(" + ")
                    .map(str::trim)
                    .filter(|s| !s.is_empty())
                    .collect();
                all.sort_unstable();
                all.join(" + ")
            };
            let expected = (sorted(left), sorted(right));
            let got = (own(&half.reaction.left), own(&half.reaction.right));
            if got != expected {
                return Err(format!("{text}: {column} {got:?} instead of {expected:?}"));
            }
        }
        Ok(())
    });
}

/// The textbook equations in which an oxidation number changes: most part into half-reactions that add up to the answer, and
/// for the rest the electrons given off are those taken up.
#[test]
fn textbook_workings() {
    let (mut halves, mut lone, mut plain, mut counted) = (0, 0, 0, Vec::new());
    for row in Table::read("textbook").rows() {
        let text = row.get("equation");
        let skeleton = parse_equation(text).unwrap();
        let found = balance(&skeleton).unwrap();
        let all = transfers(found.reaction().unwrap());
        match working(&skeleton) {
            Ok(_) => halves += 1,
            Err(NoWorking::HalfReaction) => lone += 1,
            Err(NoWorking::NoRedox) => plain += 1,
            Err(NoWorking::Unclear) => {
                let total: Exact = all.iter().map(Transfer::electrons).sum();
                assert!(total.is_zero() && !all.is_empty(), "{text}: {all:?}");
                counted.push(text.to_owned());
            }
            Err(why) => panic!("{text}: {why:?}"),
        }
    }
    println!(
        "textbook: {halves} with half-reactions, {lone} half-reactions themselves, {plain} without redox, {} by electrons:",
        counted.len()
    );
    println!("{}", counted.join("\n"));
    assert!(
        halves >= 195 && counted.len() <= 10,
        "{halves}; {}",
        counted.join("\n")
    );
}
