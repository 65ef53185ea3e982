//! The working of a redox equation, written down as on paper.

use std::fmt::Write;

use num_bigint::BigInt;
use unicode_width::UnicodeWidthStr;

use super::balance::count;
use super::oxidation::{changing_numbers, electrons, listed, signed};
use crate::equation::{
    Course, Driver, Half, IonicView, Medium, NoWorking, Reaction, Skeleton, Working, ionic_view,
    transfers, working as worked,
};
use crate::matter::{Notation, Phase, Species};
use crate::number::Exact;

/// How an answer is found and how it can be checked: in ions, oxidation numbers, half-reactions (or the electrons, where
/// it does not part into two), and the count.
pub fn explained(skeleton: &Skeleton, reaction: &Reaction, notation: Notation) -> String {
    let mut page = String::new();
    let mut section = |title: &str, text: String| {
        if !text.is_empty() {
            let _ = write!(page, "\n{title}:\n{text}");
        }
    };
    if meets_in_water(reaction)
        && let Some(view) = ionic_view(reaction)
    {
        section("in water", ionic(&view, notation));
    }
    let all = transfers(reaction);
    section(
        "oxidation numbers",
        changing_numbers(reaction, &all, notation),
    );
    match worked(skeleton) {
        Ok(found) => section("half-reactions", working(&found, notation)),
        Err(NoWorking::Unclear) => section("electrons", electrons(&all, notation)),
        Err(_) => {}
    }
    section("count, left | right", count(reaction, notation));
    page
}

/// A lone substance that falls apart is in no water, unless the equation says so.
fn meets_in_water(reaction: &Reaction) -> bool {
    let wet =
        |s: &Species| s.charge() != 0 || s.key() == "H2O" || s.phase() == Some(Phase::Aqueous);
    let stated = |s: &Species| matches!(s.phase(), Some(Phase::Solid | Phase::Gas));
    reaction.left.iter().any(|(_, s)| wet(s))
        || reaction.left.iter().filter(|(_, s)| !stated(s)).count() > 1
}

/// The ionic view as a section of its own, or why there is none.
pub fn ions(reaction: &Reaction, notation: Notation) -> String {
    match ionic_view(reaction) {
        Some(view) => format!("\nin water:\n{}", ionic(&view, notation)),
        None => "\nin water:\n  none of these comes apart into ions\n".to_owned(),
    }
}

/// Couples, atoms, oxygen, hydrogen, charge, the multipliers, the sum and what cancels, one a line.
///
/// ```
/// use aludel::{equation::{parse_equation, working}, matter::Notation, report};
/// let found = working(&parse_equation("Fe^2+ + Cl2 -> Fe^3+ + Cl^-").unwrap()).unwrap();
/// let page = report::working(&found, Notation::Plain);
/// assert!(page.contains("Cl2 + 2 e^- -> 2 Cl^-"), "{page}");
/// ```
pub fn working(found: &Working, notation: Notation) -> String {
    let mut page = String::new();
    if let Some(ionic) = &found.ionic {
        line(&mut page, "in ions", &ionic.to_text(notation));
    }
    for (name, half) in [
        ("oxidation", &found.oxidation),
        ("reduction", &found.reduction),
    ] {
        half_reaction(&mut page, name, half, found.medium, notation);
    }
    let times = |half: &Half| {
        if half.times == BigInt::from(1) {
            String::new()
        } else {
            format!(
                "{} {} ",
                half.times,
                if notation == Notation::Ascii {
                    "x"
                } else {
                    "×"
                }
            )
        }
    };
    line(
        &mut page,
        "electrons",
        &format!(
            "{} pass: {}oxidation + {}reduction",
            found.electrons,
            times(&found.oxidation),
            times(&found.reduction)
        ),
    );
    if !found.cancelled.is_empty() {
        line(&mut page, "cancels", &listed(&found.cancelled, notation));
    }
    line(&mut page, "sum", &found.sum.to_text(notation));
    if found.factor != Exact::one() {
        line(&mut page, "", &multiple(&found.factor));
    }
    if let Some(besides) = &found.besides {
        line(&mut page, "besides", &besides.to_text(notation));
        line(&mut page, "", "without electrons");
    }
    if !found.spectators.is_empty() {
        line(
            &mut page,
            "spectators",
            &listed(&found.spectators, notation),
        );
        line(&mut page, "with them", &found.answer.to_text(notation));
    }
    page
}

fn multiple(factor: &Exact) -> String {
    match Exact::one().checked_div(factor) {
        Some(divisor) if divisor.is_integer() => format!("divided by {}", divisor.to_plain()),
        _ => format!("times {}", factor.to_plain()),
    }
}

/// The complete and the net ionic equation, the spectators and what drives the reaction, one a line.
pub fn ionic(view: &IonicView, notation: Notation) -> String {
    let mut page = String::new();
    line(&mut page, "complete", &view.complete.to_text(notation));
    if view.net.left.is_empty() && view.net.right.is_empty() {
        line(&mut page, "net", "nothing happens: all ions stay in water");
        return page;
    }
    line(&mut page, "net", &view.net.to_text(notation));
    if !view.spectators.is_empty() {
        line(&mut page, "spectators", &listed(&view.spectators, notation));
    }
    let drivers: Vec<String> = view.driven_by.iter().map(|d| driver(d, notation)).collect();
    if !drivers.is_empty() {
        line(&mut page, "driven by", &drivers.join(", "));
    }
    page
}

fn driver(driver: &Driver, notation: Notation) -> String {
    match driver {
        Driver::Precipitate(species) => format!("the solid {}", species.to_text(notation)),
        Driver::Gas(species) => format!("the gas {}", species.to_text(notation)),
        Driver::Water => "water".to_owned(),
        Driver::Weak(species) => format!("{}, which stays whole", species.to_text(notation)),
    }
}

fn line(page: &mut String, name: &str, text: &str) {
    let mut lines = wrapped(text, WIDTH - INDENT).into_iter();
    let _ = writeln!(page, "  {name:<11}{}", lines.next().unwrap_or_default());
    for further in lines {
        let _ = writeln!(page, "{:INDENT$}{further}", "");
    }
}

/// Columns of a line, and those before its text.
const WIDTH: usize = 80;
const INDENT: usize = 13;

/// Broken before ` + ` and arrows, so that a long equation stays readable.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for piece in pieces(text) {
        let line = lines.last_mut().expect("it begins with one line");
        if !line.is_empty() && line.width() + piece.trim_end().width() > width {
            *line = line.trim_end().to_owned();
            lines.push(piece);
        } else {
            *line += &piece;
        }
    }
    lines
}

/// Stretches that keep together: a term with the sign before it.
fn pieces(text: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in text.split_inclusive(' ') {
        let opens = ["+", "→", "->"].contains(&word.trim_end());
        match all.last_mut() {
            Some(last) if !opens => *last += word,
            _ => all.push(word.to_owned()),
        }
    }
    all
}

fn half_reaction(page: &mut String, name: &str, half: &Half, medium: Medium, notation: Notation) {
    let courses: Vec<String> = half
        .courses
        .iter()
        .map(|one| course(one, notation))
        .collect();
    line(page, name, &courses.join(", "));
    // Each stage has all the species of the one before; one that adds nothing is not shown.
    let stages: [(&str, &[&str]); 4] = [
        ("atoms", &["H2O", "H^+", "e^-"]),
        ("oxygen", &["H^+", "e^-"]),
        ("hydrogen", &["e^-"]),
        ("charge", &[]),
    ];
    let mut before = String::new();
    for (stage, without) in stages {
        let text = stripped(&half.in_acid, without, notation);
        if text != before {
            line(page, "", &format!("{stage:<10}{text}"));
            before = text;
        }
    }
    let own = half.reaction.to_text(notation);
    if medium == Medium::Base && half.reaction != half.in_acid {
        line(page, "", &format!("{:<10}{own}", "in base"));
    }
}

/// A half-reaction as it stands before the named species were added.
fn stripped(reaction: &Reaction, without: &[&str], notation: Notation) -> String {
    let side = |terms: &[(BigInt, Species)]| {
        let kept = terms.iter().filter(|(_, s)| !without.contains(&s.key()));
        kept.cloned().collect::<Vec<_>>()
    };
    let (left, right) = (side(&reaction.left), side(&reaction.right));
    Reaction { left, right }.to_text(notation).trim().to_owned()
}

/// `Mn +7 → +2`
fn course(course: &Course, notation: Notation) -> String {
    format!(
        "{} {} {} {}",
        course.element.symbol(),
        signed(&course.from, notation),
        notation.arrow(),
        signed(&course.to, notation)
    )
}
