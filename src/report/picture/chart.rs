//! What `vary` compared: a line over a quantity that is varied in three values or more, else bars.
//!
//! One picture an expression, in one unit. A run that has no answer is a gap.

use super::scale::Scale;
use super::svg::{Svg, element, path, words};
use super::{Picture, WIDTH, mark, shortened, strip};
use crate::figure;
use crate::number::{Quantity, Unit};
use crate::route::ledger::*;

const HEIGHT: f64 = 280.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = WIDTH - 110.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = HEIGHT - 44.0;
/// From one bar to the next.
const ROW: f64 = 24.0;
const NAMES: f64 = 128.0;
/// More bars than these are in the table only.
const MOST: usize = 40;

/// One run: what was varied in words, the last value varied and the answer as numbers.
struct Point {
    name: String,
    outer: String,
    x: Option<f64>,
    y: f64,
    spread: f64,
    answer: String,
}

/// The answers to one expression.
struct Series<'a> {
    shown: &'a str,
    varied: &'a str,
    x_unit: String,
    y_unit: String,
    points: Vec<Point>,
}

/// A picture for each expression that has at least two answers.
pub fn chart(comparison: &Comparison) -> Vec<Picture> {
    let all = (0..comparison.shown.len()).filter_map(|index| series(comparison, index));
    all.map(|series| match is_line(&series.points) {
        true => line(&series),
        false => bars(&series),
    })
    .collect()
}

fn series(comparison: &Comparison, index: usize) -> Option<Series<'_>> {
    let answers = comparison
        .rows
        .iter()
        .filter_map(|row| Some((row, quantity(row.answers.get(index)?)?)));
    let answers: Vec<_> = answers.collect();
    let y_unit = figure::unit_of(answers.first()?.1);
    let x_unit = answers.first()?.0.values.last().and_then(figure::unit_of);
    let points = answers
        .iter()
        .filter_map(|(row, answer)| point(row, answer, x_unit, y_unit));
    let points: Vec<Point> = points.collect();
    (points.len() > 1).then(|| Series {
        shown: &comparison.shown[index],
        varied: comparison.varied.last().map_or("", String::as_str),
        x_unit: symbol(x_unit),
        y_unit: symbol(y_unit),
        points,
    })
}

fn symbol(unit: Option<Unit>) -> String {
    unit.map_or(String::new(), |unit| unit.symbol())
}

fn quantity(answer: &Answer) -> Option<&Quantity> {
    match answer {
        Answer::Quantity(quantity) => Some(quantity),
        _ => None,
    }
}

fn point(
    row: &ComparisonRow,
    answer: &Quantity,
    x_unit: Option<Unit>,
    y_unit: Option<Unit>,
) -> Option<Point> {
    let number = figure::in_unit(answer, y_unit)?;
    let words: Vec<String> = row.values.iter().map(figure::quantity).collect();
    let x = row
        .values
        .last()
        .and_then(|value| figure::in_unit(value, x_unit));
    Some(Point {
        outer: words[..words.len().saturating_sub(1)].join(", "),
        name: words.join(", "),
        x: x.map(|x| x.to_f64()),
        y: number.to_f64(),
        spread: number.standard_uncertainty(),
        answer: figure::quantity(answer),
    })
}

/// Whether three different values stand on the axis.
fn is_line(points: &[Point]) -> bool {
    let mut values: Vec<f64> = points.iter().filter_map(|point| point.x).collect();
    values.sort_by(f64::total_cmp);
    values.dedup();
    values.len() > 2 && points.iter().all(|point| point.x.is_some())
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// Quantity and unit as ISO 80000-1 labels an axis.
fn axis(name: &str, unit: &str) -> String {
    match unit {
        "" => name.to_owned(),
        unit => format!("{name} / {unit}"),
    }
}

fn caption(series: &Series) -> String {
    let told = series
        .points
        .iter()
        .map(|point| format!("{}: {}", point.name, point.answer));
    format!(
        "{} by {}. {}.",
        series.shown,
        series.varied,
        told.collect::<Vec<_>>().join("; ")
    )
}

fn line(series: &Series) -> Picture {
    let points = &series.points;
    let reach = points
        .iter()
        .flat_map(|point| [point.y - point.spread, point.y + point.spread]);
    let (low, high) = range(reach);
    let y = Scale::over(low, high, 5.0);
    let (low, high) = range(points.iter().filter_map(|point| point.x));
    let x = Scale::over(low, high, 6.0);
    let mut body = frame(series, &x, &y);
    for (index, run) in points.chunk_by(|a, b| a.outer == b.outer).enumerate() {
        body += course(run, index, &x, &y);
    }
    Picture {
        title: format!("{} by {}", series.shown, series.varied),
        caption: caption(series),
        drawn: spread_told(points),
        typed: "",
        height: HEIGHT,
        body,
        lines: lines(series),
    }
}

/// What the thin lines at points and bars are, if there are any.
fn spread_told(points: &[Point]) -> &'static str {
    match points.iter().any(|point| point.spread > 0.0) {
        true => "Thin lines: one standard uncertainty either way.",
        false => "",
    }
}

fn frame(series: &Series, x: &Scale, y: &Scale) -> Svg {
    let name = axis(series.shown, &series.y_unit);
    let mut out = Svg::from(words(8.0, TOP - 14.0, "start", &name));
    for (value, word) in y.marks() {
        let at = y.at(value, BOTTOM, TOP);
        out += path(format_args!("M{LEFT} {at:.1}H{RIGHT}")).faint(0.15);
        out += words(LEFT - 8.0, at + 4.0, "end", &word);
    }
    for (value, word) in x.marks() {
        let at = x.at(value, LEFT, RIGHT);
        out += path(format_args!("M{at:.1} {BOTTOM}v5")).faint(0.4);
        out += words(at, BOTTOM + 18.0, "middle", &word);
    }
    let name = axis(series.varied, &series.x_unit);
    out + words(RIGHT, BOTTOM + 36.0, "end", &name)
}

/// Points in the order of their axis, with a bar of one standard uncertainty either way and the name at the end.
fn course(run: &[Point], index: usize, x: &Scale, y: &Scale) -> Svg {
    let mut places: Vec<(f64, &Point)> = run
        .iter()
        .filter_map(|point| Some((point.x?, point)))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut steps, mut out) = (String::new(), Svg::default());
    for (value, point) in &places {
        let (px, py) = (x.at(*value, LEFT, RIGHT), y.at(point.y, BOTTOM, TOP));
        steps += &format!(
            "{}{px:.1} {py:.1}",
            if steps.is_empty() { "M" } else { "L" }
        );
        out += mark(index, px, py);
        if point.spread > 0.0 {
            let (low, high) = (
                y.at(point.y - point.spread, BOTTOM, TOP),
                y.at(point.y + point.spread, BOTTOM, TOP),
            );
            out += path(format_args!("M{px:.1} {low:.1}V{high:.1}")).stroked();
        }
    }
    out += path(steps).course(1.5);
    if let Some((value, point)) = places.last() {
        let name = shortened(&point.outer, 15);
        let (x, y) = (x.at(*value, LEFT, RIGHT), y.at(point.y, BOTTOM, TOP));
        out += words(x + 8.0, y + 4.0, "start", &name);
    }
    out
}

fn bars(series: &Series) -> Picture {
    let points = &series.points[..series.points.len().min(MOST)];
    let (low, high) = range(points.iter().map(|point| point.y));
    let scale = Scale::over(low.min(0.0), high.max(0.0), 5.0);
    let foot = TOP + ROW * points.len() as f64;
    let right = WIDTH - 140.0;
    let name = axis(series.shown, &series.y_unit);
    let mut body = Svg::from(words(NAMES, TOP - 14.0, "start", &name));
    for (value, word) in scale.marks() {
        let x = scale.at(value, NAMES, right);
        body += path(format_args!("M{x:.1} {TOP}V{foot:.1}")).faint(0.15);
        body += words(x, foot + 16.0, "middle", &word);
    }
    for (row, point) in points.iter().enumerate() {
        body += bar(
            point,
            TOP + ROW * row as f64,
            &scale,
            (right, &series.y_unit),
        );
    }
    Picture {
        title: format!("{} by {}", series.shown, series.varied),
        caption: caption(series),
        drawn: spread_told(points),
        typed: "",
        height: foot + 24.0,
        body,
        lines: lines(series),
    }
}

fn bar(point: &Point, y: f64, scale: &Scale, (right, unit): (f64, &str)) -> Svg {
    let at = |value| scale.at(value, NAMES, right);
    let (zero, end) = (at(0.0), at(point.y));
    let (from, to) = (zero.min(end), zero.max(end));
    let width = (to - from).max(0.75);
    let bar = element("rect").at("x", from).at("y", y + 6.0);
    let bar = bar
        .with("width", format_args!("{width:.2}"))
        .with("height", 12);
    let mut out = Svg::from(bar.filled().with("fill-opacity", 0.6));
    let (low, high) = (at(point.y - point.spread), at(point.y + point.spread));
    if point.spread > 0.0 {
        let middle = y + 12.0;
        out += path(format_args!("M{low:.1} {middle:.1}H{high:.1}")).stroked();
    }
    // The unit stands on the axis.
    let answer = point.answer.strip_suffix(unit).unwrap_or(&point.answer);
    let answer = answer.trim().trim_matches(['(', ')']);
    let (name, answer) = (shortened(&point.name, 18), shortened(answer, 20));
    out += words(NAMES - 8.0, y + 16.0, "end", &name);
    out + words(to.max(high) + 6.0, y + 16.0, "start", &answer)
}

fn lines(series: &Series) -> Vec<String> {
    let (low, high) = range(series.points.iter().map(|point| point.y));
    let scale = Scale::over(low.min(0.0), high.max(0.0), 5.0);
    let rows = series.points.iter().map(|point| {
        let mut marks = vec![(scale.at(0.0, 0.0, 1.0), '│')];
        marks.push((scale.at(point.y, 0.0, 1.0), '●'));
        vec![
            shortened(&point.name, 22),
            point.answer.clone(),
            strip::marks(&marks, 28),
        ]
    });
    strip::rows(&rows.collect::<Vec<_>>())
}
