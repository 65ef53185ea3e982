//! Pictures of a route in SVG 1.1 and in characters: where the temperature goes, what is in the vessels after each step,
//! where the element that matters goes, and what `vary` compared.
//!
//! Promises: one ink, so that black-and-white paper and any eye can read them; labels stand at what they name; each
//! picture has a title and its content in words for who cannot see it.

mod chart;
mod composition;
mod flow;
mod scale;
mod strip;
mod temperature;
mod titration;

pub use chart::chart;
pub use composition::composition;
pub use flow::flow;
pub use temperature::temperature;
pub use titration::titrations;

use super::typeset::escaped;
use crate::route::ledger::Ledger;

/// The width of every picture, in its own units. So narrow that its letters, 12 of them high, can be read on a phone and in
/// a column of paper.
const WIDTH: f64 = 480.0;

/// A drawing with its words.
#[derive(Clone, Debug)]
pub struct Picture {
    /// What it shows.
    pub title: String,
    /// The same in words.
    pub caption: String,
    /// How to read the drawing.
    pub drawn: &'static str,
    /// How to read its characters.
    pub typed: &'static str,
    height: f64,
    body: String,
    /// The same in characters, for a terminal: lines of at most 76 columns.
    pub lines: Vec<String>,
}

impl Picture {
    /// For a page that has its own colours.
    pub fn inline(&self) -> String {
        format!(
            "<svg viewBox=\"0 0 {WIDTH} {}\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n\
             <title>{}</title>\n<desc>{}</desc>\n{}</svg>\n",
            self.height,
            escaped(&self.title),
            escaped(&self.caption),
            self.body
        )
    }
}

/// Every picture that a route gives reason for.
pub fn all(ledger: &Ledger) -> Vec<Picture> {
    let course = temperature(ledger).into_iter();
    let inside = composition(ledger).into_iter();
    let compared = ledger.comparisons.iter().flat_map(chart);
    course
        .chain(inside)
        .chain(flow(ledger))
        .chain(titrations(ledger))
        .chain(compared)
        .collect()
}

/// All pictures of a route below each other in one file; `None` if there is nothing to draw.
pub fn svg(ledger: &Ledger) -> Option<String> {
    // Letters have a seam of paper, so that a line under them does not strike them through.
    const STYLE: &str = "svg { color: #16191d; background: #ffffff; --paper: #ffffff; }\n\
        @media (prefers-color-scheme: dark) { svg { color: #e9eae6; background: #17191c; --paper: #17191c; } }\n\
        text { paint-order: stroke; stroke: var(--paper); stroke-width: 3px; stroke-linejoin: round; }\n";
    let pictures = all(ledger);
    let mut body = String::new();
    let mut height = 0.0;
    for picture in &pictures {
        let heading = line_of_text(
            8.0,
            height + 22.0,
            "start",
            "font-weight=\"bold\"",
            &picture.title,
        );
        body += &format!(
            "{heading}<g transform=\"translate(0 {})\">\n{}</g>\n",
            height + 32.0,
            picture.body
        );
        height += picture.height + 44.0;
    }
    let title = escaped(ledger.title.as_deref().unwrap_or("Untitled route"));
    let words: Vec<String> = pictures
        .iter()
        .map(|picture| escaped(&picture.caption))
        .collect();
    (!pictures.is_empty()).then(|| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" \
             height=\"{height}\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n<style>{STYLE}</style>\n\
             <title>{title}</title>\n<desc>{}</desc>\n{body}</svg>\n",
            words.join(" ")
        )
    })
}

/// A mark of its own shape for each course, four in turn.
fn mark(index: usize, x: f64, y: f64) -> String {
    let (left, right, top, bottom) = (x - 4.0, x + 4.0, y - 4.0, y + 4.0);
    match index % 4 {
        0 => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3.5\" fill=\"currentColor\"/>\n"),
        1 => format!("<path d=\"M{left:.1} {top:.1}h8v8h-8z\" fill=\"currentColor\"/>\n"),
        2 => format!(
            "<path d=\"M{x:.1} {top:.1}L{right:.1} {bottom:.1}H{left:.1}z\" fill=\"currentColor\"/>\n"
        ),
        _ => format!(
            "<path d=\"M{x:.1} {top:.1}L{right:.1} {y:.1}L{x:.1} {bottom:.1}L{left:.1} {y:.1}z\" fill=\"currentColor\"/>\n"
        ),
    }
}

/// Anchored at its `start`, `middle` or `end`.
fn line_of_text(x: f64, y: f64, anchor: &str, more: &str, text: &str) -> String {
    let text = escaped(text);
    format!(
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"currentColor\" {more}>{text}</text>\n"
    )
}

/// At most `most` characters.
fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}
