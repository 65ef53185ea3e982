//! Published values against ours: the tables of docs/accuracy.md, and bounds on how far we may be off.
//!
//! The page is made here. When a table changes on purpose, run the test once with `UPDATE_ACCURACY=1`.

#![allow(clippy::disallowed_methods)] // This test reads and, when asked, writes the page it checks.

#[path = "../common/mod.rs"]
mod common;

use std::fmt::Write as _;

use aludel::data::Store;
use aludel::matter::Species;
use aludel::number::{Exact, Number, unit};
use aludel::thermo;
use common::species;

mod calorimetry;
mod formation;
mod in_water;

/// One published value.
struct Case {
    what: String,
    ours: f64,
    published: f64,
    decimals: usize,
}

impl Case {
    fn off(&self) -> f64 {
        (self.ours - self.published).abs()
    }
}

/// One table of the page.
struct Section {
    title: &'static str,
    unit: &'static str,
    source: &'static str,
    cases: Vec<Case>,
    /// No case may be off by more.
    worst: f64,
    /// Half the cases are nearer than this.
    median: f64,
    /// There must be at least so many.
    least: usize,
}

impl Section {
    fn check(&self) {
        assert!(
            self.cases.len() >= self.least,
            "{}: {} cases",
            self.title,
            self.cases.len()
        );
        for case in &self.cases {
            let (off, allowed) = (case.off(), self.worst);
            assert!(
                off <= allowed,
                "{}: {} is off by {off}, allowed {allowed}",
                self.title,
                case.what
            );
        }
        assert!(
            self.middle() <= self.median,
            "{}: median {}",
            self.title,
            self.middle()
        );
    }

    fn middle(&self) -> f64 {
        let mut all: Vec<f64> = self.cases.iter().map(Case::off).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    }

    fn print(&self, page: &mut String) {
        let worst = self.cases.iter().max_by(|a, b| a.off().total_cmp(&b.off()));
        let worst = worst.expect("a section has cases");
        let places = worst.decimals;
        writeln!(page, "\n## {}\n\nPublished: {}\n", self.title, self.source).unwrap();
        writeln!(
            page,
            "{} values in {}. Median difference {:.places$}, worst {:.places$} ({}).\n",
            self.cases.len(),
            self.unit,
            self.middle(),
            worst.off(),
            worst.what,
        )
        .unwrap();
        page.push_str("| What | Ours | Published | Difference |\n| --- | ---: | ---: | ---: |\n");
        for Case {
            what,
            ours,
            published,
            decimals: d,
        } in &self.cases
        {
            // Adding zero takes the sign off a difference that rounds to nothing.
            let scale = 10f64.powi(*d as i32);
            let difference = ((ours - published) * scale).round() / scale + 0.0;
            writeln!(
                page,
                "| {what} | {ours:.d$} | {published:.d$} | {difference:+.d$} |"
            )
            .unwrap();
        }
    }
}

fn number(text: &str) -> Number {
    Number::exact(Exact::decimal(text).unwrap())
}

fn kelvin(t: f64) -> Number {
    Number::modelled(t).unwrap()
}

/// `2 H2(g) + O2(g) -> 2 H2O(l)`
fn terms(equation: &str) -> Vec<(Exact, Species)> {
    let (left, right) = equation.split_once(" -> ").expect("an arrow");
    let side = |text: &str, sign: i64| -> Vec<(Exact, Species)> {
        let term = |term: &str| match term.split_once(' ') {
            Some((n, what)) => (
                Exact::decimal(n).unwrap() * Exact::from(sign),
                species(what),
            ),
            None => (Exact::from(sign), species(term)),
        };
        text.split(" + ").map(term).collect()
    };
    [side(left, -1), side(right, 1)].concat()
}

/// ΔH and ΔG in kJ/mol at a temperature in K.
fn ours_at(equation: &str, t: f64) -> (f64, f64) {
    let data = thermo::reaction(&Store::default(), &terms(equation));
    let course = data.course();
    let at = course
        .at(&kelvin(t))
        .unwrap_or_else(|fault| panic!("{equation}: {fault:?}"));
    let kilojoules =
        |q: aludel::number::Quantity| q.in_unit(&unit::KILOJOULE_PER_MOLE).unwrap().to_f64();
    let enthalpy = at
        .enthalpy
        .unwrap_or_else(|missing| panic!("{equation}: {missing:?}"));
    let gibbs = at
        .gibbs
        .unwrap_or_else(|missing| panic!("{equation}: {missing:?}"))
        .0;
    (kilojoules(enthalpy), kilojoules(gibbs))
}

/// Every section in a line.
fn summary(sections: &[Section]) -> String {
    let mut table = String::from(
        "\n| What | Values | Median difference | Worst | Unit |\n| --- | ---: | ---: | ---: | --- |\n",
    );
    for section in sections {
        let places = section.cases[0].decimals;
        let worst = section.cases.iter().map(Case::off).fold(0.0, f64::max);
        let (title, count, unit) = (section.title, section.cases.len(), section.unit);
        let middle = section.middle();
        writeln!(
            table,
            "| {title} | {count} | {middle:.places$} | {worst:.places$} | {unit} |"
        )
        .unwrap();
    }
    let total: usize = sections.iter().map(|section| section.cases.len()).sum();
    table + &format!("\n{total} values in all.\n")
}

#[test]
fn published_values_are_met_and_the_page_says_how_nearly() {
    let sections = [
        formation::codata(),
        formation::against_nasa(false),
        formation::against_nasa(true),
        formation::increments(),
        formation::janaf(),
        formation::potentials(),
        in_water::heats_of_solution(),
        in_water::heats_of_dilution(),
        in_water::densities(),
        in_water::strengths(),
        calorimetry::calorimetry(),
    ];
    let mut page = String::from(
        "# How near the published values\n\nMade by `tests/accuracy` from the same functions that the program uses; the test fails when a\nvalue leaves its bound or this page is out of date.\n",
    );
    page += &summary(&sections);
    for section in &sections {
        section.check();
        section.print(&mut page);
    }
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/accuracy.md");
    if std::env::var_os("UPDATE_ACCURACY").is_some() {
        std::fs::write(file, &page).expect("docs/accuracy.md can be written");
    }
    let kept = std::fs::read_to_string(file).unwrap_or_default();
    assert!(
        kept == page,
        "docs/accuracy.md is out of date: run with UPDATE_ACCURACY=1"
    );
}
