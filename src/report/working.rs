//! The working of a redox equation, written down as on paper.

use std::fmt::Write;

use num_bigint::BigInt;

use crate::equation::{Course, Driver, Half, IonicView, Medium, Reaction, Working};
use crate::matter::{Notation, Species};
use crate::number::Exact;

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
            format!("{} × ", half.times)
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
        line(&mut page, "cancels", &list(&found.cancelled, notation));
    }
    line(&mut page, "sum", &found.sum.to_text(notation));
    if found.factor != Exact::one() {
        line(&mut page, "", &format!("times {}", found.factor));
    }
    if !found.spectators.is_empty() {
        line(&mut page, "spectators", &list(&found.spectators, notation));
    }
    page
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
        line(&mut page, "spectators", &list(&view.spectators, notation));
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
    let _ = writeln!(page, "  {name:<11}{text}");
}

fn list(terms: &[(BigInt, Species)], notation: Notation) -> String {
    let one = |(n, species): &(BigInt, Species)| match species.to_text(notation) {
        text if *n == BigInt::from(1) => text,
        text => format!("{n} {text}"),
    };
    terms.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn half_reaction(page: &mut String, name: &str, half: &Half, medium: Medium, notation: Notation) {
    let courses: Vec<String> = half.courses.iter().map(course).collect();
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
fn course(course: &Course) -> String {
    let signed = |n: &Exact| match n.to_plain() {
        text if n.is_positive() => format!("+{text}"),
        text => text.replace('-', "−"),
    };
    format!(
        "{} {} → {}",
        course.element.symbol(),
        signed(&course.from),
        signed(&course.to)
    )
}
