//! The bench sheet as one HTML file: no script, no network, for a screen of any width and for paper.
//!
//! The page itself stands in `templates/`; here is only what its templates ask for.
//!
//! Promises: words of the route are escaped wherever they stand, and the page forbids itself scripts and every
//! connection; every picture has its words; whatever is told by colour is told by words too.

use std::fmt;

use askama::Template;
use askama::filters::HtmlSafe;

use crate::equation::Reaction;
use crate::matter::Notation;
use crate::route::ledger::{Ledger, Level};

use super::document::{Block, Document, Line, Part, Section};
use super::page::{self, Align};
use super::typeset;

const STYLE: &str = include_str!("templates/sheet.css");

/// A route of more steps gets a list of them at the top.
const FEW_STEPS: usize = 8;

/// A route of so many operations is set smaller on paper, so that it stays on two pages; a longer one does not stay there.
const DENSE: std::ops::RangeInclusive<usize> = 15..=40;

/// The whole sheet.
pub fn html(ledger: &Ledger) -> String {
    let document = Document::of(ledger, Notation::Printed);
    let sections: Vec<View> = document.sections.iter().enumerate().map(view).collect();
    let steps = document.sections.iter().zip(&sections);
    let steps = steps.filter(|(section, _)| section.part == Part::Step);
    let operations: usize = ledger.steps.iter().map(|step| step.operations.len()).sum();
    let page = Page {
        title: &document.title,
        dense: DENSE.contains(&operations),
        contents: steps
            .map(|(_, view)| (view.anchor.as_str(), view.heading))
            .collect(),
        runs: sections
            .chunk_by(|one, next| one.wide == next.wide)
            .map(run)
            .collect(),
    };
    page.render()
        .expect("a template fails only where a value cannot be written, and text always can")
}

#[derive(Template)]
#[template(path = "sheet.html", config = "src/report/templates/askama.toml")]
struct Page<'a> {
    title: &'a str,
    /// Set smaller on paper.
    dense: bool,
    /// Anchor and heading of each step.
    contents: Vec<(&'a str, &'a str)>,
    runs: Vec<Run<'a>>,
}

/// Sections that on paper stand in the same columns.
struct Run<'a> {
    class: &'static str,
    sections: &'a [View<'a>],
}

/// A section as its template wants it.
struct View<'a> {
    /// Across the whole width of a paper.
    wide: bool,
    class: &'static str,
    anchor: String,
    heading: &'a str,
    groups: Vec<Group<'a>>,
}

/// A run of blocks of one kind, and the element around them.
struct Group<'a> {
    element: &'static str,
    class: &'static str,
    blocks: &'a [Block],
}

fn view((index, section): (usize, &Section)) -> View<'_> {
    let runs = section.blocks.chunk_by(|a, b| frame(a) == frame(b));
    View {
        wide: matches!(
            section.part,
            Part::Cautions | Part::MeasureOut | Part::Pictures
        ),
        class: class_of(section.part),
        anchor: format!("part{index}"),
        heading: &section.heading,
        groups: runs.map(group).collect(),
    }
}

fn run<'a>(sections: &'a [View<'a>]) -> Run<'a> {
    let wide = sections.iter().any(|section| section.wide);
    let class = if wide { "wide" } else { "columns" };
    Run { class, sections }
}

fn group(blocks: &[Block]) -> Group<'_> {
    let (element, class) = frame(&blocks[0]);
    Group {
        element,
        class,
        blocks,
    }
}

/// What stands around a run of blocks of one kind.
fn frame(block: &Block) -> (&'static str, &'static str) {
    match block {
        Block::Portions(_) => ("ul", "portions"),
        Block::Operation { .. } => ("ul", "todo"),
        Block::Protection(_) => ("ul", "protections"),
        Block::Vessel { .. } => ("div", "vessels"),
        Block::Picture(_) => ("div", "figures"),
        _ => ("div", "words"),
    }
}

fn class_of(part: Part) -> &'static str {
    match part {
        Part::Cautions => "cautions",
        Part::MeasureOut => "measure-out",
        Part::Step => "step",
        Part::Pictures => "pictures",
        Part::Sources => "sources quiet",
        _ => "answers",
    }
}

/// Text that is markup already.
struct Markup(String);

impl fmt::Display for Markup {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl HtmlSafe for Markup {}

/// Words with formulas and code in them.
fn words(text: impl AsRef<str>) -> Markup {
    Markup(typeset::words(text.as_ref()))
}

/// Text as it is, control characters apart; for attributes too.
fn plain(text: impl AsRef<str>) -> Markup {
    Markup(typeset::escaped(text.as_ref()))
}

fn equation(reaction: &Reaction) -> Markup {
    Markup(typeset::equation(reaction))
}

fn class(level: &Level) -> &'static str {
    match level {
        Level::Note => "",
        Level::Warning | Level::Fault => "care",
    }
}

/// What a remark of this level begins with.
fn lead(level: &Level) -> Markup {
    let lead = match level {
        Level::Note => "",
        Level::Warning => "<b>Take care:</b> ",
        Level::Fault => "<b>Cannot be done:</b> ",
    };
    Markup(lead.to_owned())
}

fn verdict(met: &bool) -> &'static str {
    if *met { "met" } else { "NOT MET" }
}

/// One class a column.
fn figure_classes(rows: &[Vec<String>]) -> Vec<&'static str> {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let class = |column| match page::suits(rows, column) {
        Align::Point => "figure",
        Align::Left => "",
    };
    (0..columns).map(class).collect()
}
