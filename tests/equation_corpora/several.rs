//! Equations with several balances, and those that have none.

use std::collections::BTreeMap;

use aludel::equation::{Balance, Reaction, SettledBy, Side, Term, balance, parse_equation};
use num_bigint::BigInt;
use num_rational::BigRational;

use crate::{Row, answer, every_row, has_coefficients};

#[test]
fn ambiguous() {
    every_row("ambiguous", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        match (row.get("verdict"), answer(text)?) {
            (
                "unique by couples",
                Balance::Settled {
                    reaction,
                    by: SettledBy::HalfReactions,
                    freedom,
                },
            ) if freedom == nullity => has_coefficients(&reaction, row),
            ("ambiguous", Balance::Open { freedom, balances }) if freedom == nullity => {
                is_a_sum(&coefficients_of(row.get("one_solution"))?, &balances)
            }
            (verdict, found) => Err(format!("{text}: {verdict}, but {found:?}")),
        }
    });
}

/// Species with their net coefficients, positive on the right.
type Net = BTreeMap<String, BigInt>;

fn net(terms: impl Iterator<Item = (BigInt, String)>) -> Net {
    let mut net = Net::new();
    for (n, species) in terms {
        *net.entry(species).or_default() += n;
    }
    net
}

fn net_of(reaction: &Reaction) -> Net {
    let left = reaction
        .left
        .iter()
        .map(|(n, s)| (-n.clone(), format!("< {s}")));
    let right = reaction
        .right
        .iter()
        .map(|(n, s)| (n.clone(), format!("> {s}")));
    net(left.chain(right))
}

/// The coefficients of a balanced equation as text, those of the two sides apart.
fn coefficients_of(text: &str) -> Result<Net, String> {
    let skeleton = parse_equation(text).map_err(|fault| format!("{text}: {fault:?}"))?;
    let term = |(side, term): (Side, &Term)| {
        let n = term
            .coefficient
            .as_ref()
            .map_or(BigInt::from(1), |n| n.numerator().clone());
        match side {
            Side::Left => (-n, format!("< {}", term.species)),
            Side::Right => (n, format!("> {}", term.species)),
        }
    };
    Ok(net(skeleton.terms().map(term)))
}

/// Coefficients in two columns of a row, put before the species of its equation.
fn with_columns(row: &Row<'_>) -> Result<Net, String> {
    let skeleton = parse_equation(row.get("equation")).map_err(|fault| format!("{fault:?}"))?;
    let side = |terms: &[Term], column: &str, sign: i64, mark: &str| {
        let numbers = row.get(column).split(' ').map(str::parse::<i64>);
        let numbers: Vec<i64> = numbers
            .collect::<Result<_, _>>()
            .map_err(|e| format!("{e}"))?;
        if numbers.len() != terms.len() {
            return Err(format!("{column} has {} numbers", numbers.len()));
        }
        let pairs = numbers.iter().zip(terms);
        Ok(pairs
            .map(|(n, t)| (BigInt::from(n * sign), format!("{mark} {}", t.species)))
            .collect::<Vec<_>>())
    };
    let left = side(&skeleton.left, "left", -1, "<")?;
    let right = side(&skeleton.right, "right", 1, ">")?;
    Ok(net(left.into_iter().chain(right)))
}

/// Whether a balance is a sum of elementary ones: as long as something is left, some elementary balance whose species are
/// all among those left can be taken from it until one of them is used up.
fn is_a_sum(wanted: &Net, balances: &[Reaction]) -> Result<(), String> {
    let elementary: Vec<Net> = balances.iter().map(net_of).collect();
    let mut left: BTreeMap<String, BigRational> = wanted
        .iter()
        .map(|(s, n)| (s.clone(), BigRational::from(n.clone())))
        .collect();
    loop {
        left.retain(|_, n| *n != BigRational::from(BigInt::from(0)));
        if left.is_empty() {
            return Ok(());
        }
        let within = |one: &&Net| one.keys().all(|s| left.contains_key(s));
        let Some(one) = elementary.iter().find(within) else {
            return Err(format!(
                "{left:?} is left of {wanted:?}, which no elementary balance is within"
            ));
        };
        let times = one
            .iter()
            .map(|(s, n)| &left[s] / n)
            .min()
            .ok_or("an empty balance")?;
        for (species, n) in one {
            *left.get_mut(species).ok_or("no such species")? -= &times * n;
        }
    }
}

/// The balance of the table is a sum of the elementary ones listed, or the answer that the couples settle.
#[test]
fn ambiguous_data() {
    let settled = std::cell::Cell::new(0);
    every_row("ambiguous_data", |row| {
        let text = row.get("equation");
        let nullity: usize = row.get("nullity").parse().map_err(|e| format!("{e}"))?;
        match answer(text)? {
            Balance::Open { freedom, balances } if freedom == nullity => {
                is_a_sum(&with_columns(row)?, &balances)
            }
            Balance::Settled { freedom, .. } if freedom == nullity => {
                settled.set(settled.get() + 1);
                Ok(())
            }
            other => Err(format!("{text}: freedom {nullity}, but {other:?}")),
        }
    });
    println!(
        "ambiguous_data: {} of these settled by couples",
        settled.get()
    );
}

#[test]
fn infeasible() {
    every_row("infeasible", |row| {
        match parse_equation(row.get("equation")) {
            Err(fault) => Err(format!("not read: {fault:?}")),
            Ok(skeleton) => match balance(&skeleton) {
                Err(_) => Ok(()),
                Ok(found) => Err(format!("{}: {found:?}", row.get("equation"))),
            },
        }
    });
}

/// A pseudo-element is refused, whatever the rest of the equation.
#[test]
fn pseudo() {
    every_row("pseudo", |row| match parse_equation(row.get("equation")) {
        Err(_) => Ok(()),
        Ok(skeleton) => Err(format!("read: {skeleton:?}")),
    });
}

/// What changes only its place or shape balances with itself; where several balances are possible, that of the table is a
/// sum of them.
#[test]
fn both_sides() {
    every_row("both_sides", |row| {
        let text = row.get("equation");
        // Listed without an answer, but 2 + 1 + 2 + 1 -> 2 + 2 + 1 balances: C 42 + 8, H 54 + 2 + 10, O 28 + 2 + 1, charge
        // -4 + 2 on either side.
        let unsolved = row.get("left").is_empty() && row.get("id") != "rxn06914";
        match answer(text) {
            Ok(Balance::Unique(reaction)) if !unsolved => has_coefficients(&reaction, row),
            Ok(Balance::Open { freedom, balances })
                if !unsolved && freedom.to_string() == row.get("nullity") =>
            {
                let wanted = match row.get("id") {
                    "rxn06914" => coefficients_of(
                        "2 C21H27N7O14P2^2- + O2 + 2 H^+ + C8H10O -> 2 H2O + 2 C21H26N7O14P2^- + C8H10O",
                    )?,
                    _ => with_columns(row)?,
                };
                is_a_sum(&wanted, &balances)
            }
            Err(_) if unsolved => Ok(()),
            other => Err(format!("{text}: {other:?}")),
        }
    });
}
