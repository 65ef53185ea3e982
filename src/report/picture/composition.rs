//! What is in each vessel after each step: what is dissolved and what is solid, by mass.
//!
//! Water is left out: it would leave no room for the rest.

use super::scale::Scale;
use super::svg::{Element, Svg, element, path, words};
use super::{Picture, WIDTH, shortened, strip};
use crate::advice::parted;
use crate::figure;
use crate::matter::{Notation, Species};
use crate::number::Number;
use crate::route::ledger::*;

const LEFT: f64 = 96.0;
const RIGHT: f64 = WIDTH - 110.0;
/// From one bar to the next, with room for the names over it.
const ROW: f64 = 32.0;
const BAR: f64 = 11.0;
const TOP: f64 = 8.0;
/// About the width of a letter.
const LETTER: f64 = 6.6;
/// More bars than these go on in another picture, so that none is taller than a page.
const MOST: usize = 18;

/// One vessel after one step.
struct Bar<'a> {
    name: String,
    parts: Vec<(&'a Species, &'a Number)>,
    /// In g.
    total: f64,
}

/// The vessels after each step; as many pictures as it takes.
pub fn composition(ledger: &Ledger) -> Vec<Picture> {
    let bars = bars(&ledger.steps);
    let most = bars.iter().map(|bar| bar.total).fold(0.0, f64::max);
    if bars.is_empty() || most <= 0.0 {
        return Vec::new();
    }
    let scale = Scale::over(0.0, most, 5.0);
    let pages = bars.chunks(MOST).enumerate();
    pages
        .map(|(index, page)| picture(page, index, &scale))
        .collect()
}

fn picture(bars: &[Bar], index: usize, scale: &Scale) -> Picture {
    let mut body = Svg::default();
    for (row, bar) in bars.iter().enumerate() {
        body += drawn(bar, TOP + ROW * row as f64, scale);
    }
    let foot = TOP + ROW * bars.len() as f64;
    let again = if index > 0 { ", continued" } else { "" };
    Picture {
        title: format!("In the vessels after each step, without water{again}"),
        caption: "The mass of what is dissolved or solid, in g.".to_owned(),
        drawn: "Each part stands under its formula, those too small for it behind the bar.",
        typed: "Each part is a run of its letter; those too small for one have none.",
        height: foot + 30.0,
        body: body + axis(scale, foot),
        lines: lines(bars, scale),
    }
}

fn bars(steps: &[StepRecord]) -> Vec<Bar<'_>> {
    let numbered = steps.iter().enumerate();
    let all = numbered.flat_map(|(index, step)| {
        let after = step.after.iter().filter(|vessel| !vessel.emptied);
        after.map(move |vessel| bar(index + 1, vessel))
    });
    all.filter(|bar| !bar.parts.is_empty()).collect()
}

fn bar(step: usize, vessel: &VesselState) -> Bar<'_> {
    let figured = parted(&vessel.contents).0.into_iter();
    let counted =
        figured.filter(|content| content.species.key() != "H2O" && content.grams.is_positive());
    let parts: Vec<_> = counted
        .map(|content| (&content.species, &content.grams))
        .collect();
    Bar {
        name: format!("{step} {}", vessel.name),
        total: parts.iter().map(|(_, grams)| grams.to_f64()).sum(),
        parts,
    }
}

fn formula(species: &Species) -> String {
    species.with_phase(None).to_text(Notation::Printed)
}

fn drawn(bar: &Bar, y: f64, scale: &Scale) -> Svg {
    let (foot, name) = (y + 12.0 + BAR, shortened(&bar.name, 14));
    let mut out = Svg::from(words(LEFT - 8.0, foot, "end", &name));
    let (mut from, mut unnamed) = (0.0, Vec::new());
    for (index, (species, grams)) in bar.parts.iter().enumerate() {
        let to = from + grams.to_f64();
        let (left, right) = (scale.at(from, LEFT, RIGHT), scale.at(to, LEFT, RIGHT));
        out += segment(left, right, y + 14.0, index);
        let name = formula(species);
        match name.chars().count() as f64 * LETTER < right - left {
            true => out += words(left + 1.0, y + 10.0, "start", &name).with("font-size", 11),
            false => unnamed.push(name),
        }
        from = to;
    }
    let rest = shortened(&unnamed.join(", "), 17);
    let end = scale.at(from, LEFT, RIGHT) + 5.0;
    let rest = (!rest.is_empty()).then(|| words(end, foot, "start", &rest).with("font-size", 11));
    out + rest
}

/// A gap of the paper's colour before each part and three depths in turn tell neighbours apart.
fn segment(left: f64, right: f64, y: f64, index: usize) -> Element {
    let depth = [0.75, 0.25, 0.5][index % 3];
    let width = (right - left - 1.0).max(0.5);
    let part = element("rect").at("x", left).at("y", y);
    let part = part.with("width", format_args!("{width:.2}"));
    part.with("height", BAR)
        .filled()
        .with("fill-opacity", depth)
}

fn axis(scale: &Scale, y: f64) -> Svg {
    let mut out = Svg::from(path(format_args!("M{LEFT} {y:.1}H{RIGHT}")).faint(0.4));
    for (value, mark) in scale.marks() {
        let x = scale.at(value, LEFT, RIGHT);
        out += path(format_args!("M{x:.1} {TOP}V{:.1}", y + 4.0)).faint(0.15);
        out += words(x, y + 18.0, "middle", &mark);
    }
    out + words(RIGHT + 24.0, y + 18.0, "start", "g")
}

/// Each part is a run of its letter.
fn lines(bars: &[Bar], scale: &Scale) -> Vec<String> {
    let mut seen: Vec<String> = Vec::new();
    let rows: Vec<Vec<String>> = bars
        .iter()
        .map(|bar| {
            let total = figure::mass(
                &bar.parts
                    .iter()
                    .fold(Number::zero(), |sum, (_, grams)| &sum + grams),
            );
            vec![shortened(&bar.name, 18), total, runs(bar, scale, &mut seen)]
        })
        .collect();
    let names = seen.iter().enumerate();
    let names: Vec<String> = names
        .map(|(index, name)| format!("{} {name}", letter(index)))
        .collect();
    let mut lines = strip::rows(&rows);
    lines.extend(names.chunks(5).map(|some| some.join("   ")));
    lines
}

fn runs(bar: &Bar, scale: &Scale, seen: &mut Vec<String>) -> String {
    const COLUMNS: f64 = 30.0;
    let mut out = String::new();
    for (species, grams) in &bar.parts {
        let name = formula(species);
        let index = seen
            .iter()
            .position(|known| *known == name)
            .unwrap_or_else(|| {
                seen.push(name);
                seen.len() - 1
            });
        let count = (grams.to_f64() / scale.high * COLUMNS).round() as usize;
        out.extend(std::iter::repeat_n(letter(index), count));
    }
    out
}

/// After the last letter of the alphabet there is only one more sign.
fn letter(index: usize) -> char {
    char::from_digit(index as u32 + 10, 36).unwrap_or('+')
}
