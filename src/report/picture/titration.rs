//! The volumes of a titration against the end point by the plan.

use super::scale::Scale;
use super::svg::{Element, Svg, path, words};
use super::{Picture, WIDTH, mark, strip};
use crate::figure;
use crate::number::Number;
use crate::report::titration;
use crate::route::ledger::{Ledger, Outcome, TitrationRecord};

const LEFT: f64 = 70.0;
const RIGHT: f64 = WIDTH - 40.0;
const TOP: f64 = 38.0;
/// From one reading to the next.
const ROW: f64 = 20.0;

/// A picture for each titration with volumes found.
pub fn titrations(ledger: &Ledger) -> Vec<Picture> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let records = operations.filter_map(|operation| match &operation.outcome {
        Outcome::Titrated(record) if !record.readings.is_empty() => Some(&**record),
        _ => None,
    });
    records.map(picture).collect()
}

fn picture(record: &TitrationRecord) -> Picture {
    let scale = scale(record);
    let foot = TOP + ROW * record.readings.len() as f64 + 6.0;
    let mut body = axis(&scale, foot);
    let (planned, named) = line(&scale, &record.planned, "by the plan", (14.0, foot));
    body += planned.with("stroke-dasharray", "5 4");
    body += named;
    if let Some(mean) = &record.mean {
        let (mean, named) = line(&scale, mean, "mean", (28.0, foot));
        body += mean.with("stroke-width", 1.5);
        body += named;
    }
    for (row, reading) in record.readings.iter().enumerate() {
        let y = TOP + ROW * (row as f64 + 0.5);
        body += words(LEFT - 8.0, y + 4.0, "end", &format!("volume {}", row + 1));
        body += mark(0, scale.at(reading.to_f64(), LEFT, RIGHT), y);
    }
    Picture {
        title: format!("Volumes of {} for {}", record.bottle, record.vessel),
        caption: caption(record),
        drawn: "Broken line: the end point by the plan; full line: the mean.",
        typed: "│: the end point by the plan; ●: found.",
        height: foot + 40.0,
        body,
        lines: lines(record, &scale),
    }
}

/// Close around the volumes: their scatter is what one looks for.
fn scale(record: &TitrationRecord) -> Scale {
    let volumes = record.readings.iter().chain([&record.planned]);
    let volumes: Vec<f64> = volumes.map(Number::to_f64).collect();
    let low = volumes.iter().copied().fold(f64::INFINITY, f64::min);
    let high = volumes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = ((high - low) * 0.1).max(0.02);
    Scale::over(low - room, high + room, 5.0)
}

fn axis(scale: &Scale, foot: f64) -> Svg {
    let mut out = Svg::default();
    for (value, word) in scale.marks() {
        let x = scale.at(value, LEFT, RIGHT);
        out += path(format_args!("M{x:.1} {TOP}V{foot:.1}")).faint(0.15);
        out += words(x, foot + 16.0, "middle", &word);
    }
    out + words(RIGHT, foot + 34.0, "end", "volume / mL")
}

/// An upright line at a volume from one height to another, and its name over it.
fn line(scale: &Scale, volume: &Number, name: &str, (top, foot): (f64, f64)) -> (Element, Element) {
    let x = scale.at(volume.to_f64(), LEFT, RIGHT);
    let anchor = if x > WIDTH / 2.0 { "end" } else { "start" };
    let text = format!("{name} {}", figure::volume(volume));
    let line = path(format_args!("M{x:.1} {top:.1}V{foot:.1}")).stroked();
    (line, words(x, top - 2.0, anchor, &text))
}

fn caption(record: &TitrationRecord) -> String {
    let readings: Vec<String> = record.readings.iter().map(titration::reading).collect();
    let mean = record
        .mean
        .as_ref()
        .map(|mean| format!(", mean {}", figure::volume(mean)));
    format!(
        "Found {} mL{}; by the plan {}.",
        readings.join(", "),
        mean.unwrap_or_default(),
        figure::volume(&record.planned)
    )
}

fn lines(record: &TitrationRecord, scale: &Scale) -> Vec<String> {
    let share = |volume: &Number| scale.at(volume.to_f64(), 0.0, 1.0);
    let rows = record.readings.iter().map(|reading| {
        let marks = [(share(&record.planned), '│'), (share(reading), '●')];
        vec![
            strip::marks(&marks, 40),
            format!("{} mL", titration::reading(reading)),
        ]
    });
    strip::rows(&rows.collect::<Vec<_>>())
}
