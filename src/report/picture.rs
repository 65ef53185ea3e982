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
mod svg;
mod temperature;
mod titration;

pub use chart::chart;
pub use composition::composition;
pub use flow::flow;
pub use temperature::temperature;
pub use titration::titrations;

use self::svg::{Element, Svg, element, path, words};
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
    body: Svg,
    /// The same in characters, for a terminal: lines of at most 76 columns.
    pub lines: Vec<String>,
}

impl Picture {
    /// For a page that has its own colours.
    pub fn inline(&self) -> String {
        let size = format!("0 0 {WIDTH} {}", self.height);
        let drawing = root(element("svg").with("viewBox", size));
        let drawing = drawing
            .holding(element("title").words(&self.title))
            .holding(element("desc").words(&self.caption))
            .holding(self.body.clone());
        Svg::from(drawing).into_text()
    }
}

/// What holds for every drawing.
fn root(drawing: Element) -> Element {
    let drawing = drawing.with("role", "img");
    drawing
        .with("font-family", "sans-serif")
        .with("font-size", 12)
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
    let mut body = Svg::default();
    let mut height = 0.0;
    for picture in &pictures {
        body += words(8.0, height + 22.0, "start", &picture.title).with("font-weight", "bold");
        let place = format!("translate(0 {})", height + 32.0);
        body += element("g")
            .with("transform", place)
            .holding(picture.body.clone());
        height += picture.height + 44.0;
    }
    let captions: Vec<&str> = pictures.iter().map(|one| one.caption.as_str()).collect();
    let drawing = element("svg").with("xmlns", "http://www.w3.org/2000/svg");
    let drawing = drawing.with("viewBox", format!("0 0 {WIDTH} {height}"));
    let drawing = root(drawing.with("width", WIDTH).with("height", height));
    let drawing = drawing
        .holding(element("style").words(STYLE))
        .holding(element("title").words(ledger.title.as_deref().unwrap_or("Untitled route")))
        .holding(element("desc").words(&captions.join(" ")))
        .holding(body);
    (!pictures.is_empty()).then(|| Svg::from(drawing).into_text())
}

/// A mark of its own shape for each course, four in turn.
fn mark(index: usize, x: f64, y: f64) -> Element {
    let (left, right, top, bottom) = (x - 4.0, x + 4.0, y - 4.0, y + 4.0);
    match index % 4 {
        0 => element("circle").at("cx", x).at("cy", y).with("r", 3.5),
        1 => path(format_args!("M{left:.1} {top:.1}h8v8h-8z")),
        2 => path(format_args!(
            "M{x:.1} {top:.1}L{right:.1} {bottom:.1}H{left:.1}z"
        )),
        _ => path(format_args!(
            "M{x:.1} {top:.1}L{right:.1} {y:.1}L{x:.1} {bottom:.1}L{left:.1} {y:.1}z"
        )),
    }
    .filled()
}

/// At most `most` characters.
fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}
