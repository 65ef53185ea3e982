//! What a titration did, in lines of words.

use crate::number::{Exact, Number, Quantity, unit};
use crate::route::ledger::TitrationRecord;

use super::document::Words;
use crate::figure;

/// Plan, readings, and what they come to.
pub(super) fn titrated(words: Words, record: &TitrationRecord) -> Vec<String> {
    let analyte = words.bare(&record.analyte);
    let mut lines = vec![format!(
        "planned: {} of {} for {} of {analyte}",
        figure::volume(&record.planned),
        record.bottle,
        figure::amount(&record.planned_analyte)
    )];
    lines.extend(
        record
            .indicator
            .as_ref()
            .map(|indicator| format!("indicator: {indicator}")),
    );
    let Some(mean) = &record.mean else {
        return lines;
    };
    lines.push(readings(record, mean));
    lines.push(match &record.given {
        Some(given) => format!(
            "{} is {}, not {}",
            given.bottle,
            figure::quantity(&given.found),
            figure::quantity(&given.planned)
        ),
        None => format!(
            "found: {} of {analyte}{}",
            figure::amount(&record.found_analyte),
            of_liquid(record)
        ),
    });
    lines
}

fn of_liquid(record: &TitrationRecord) -> String {
    let Some(concentration) = &record.concentration else {
        return String::new();
    };
    let concentration = Quantity::of(concentration.clone(), &unit::MOLAR);
    let concentration = figure::quantity(&concentration);
    format!(", {concentration} in {} before", record.vessel)
}

/// `found: 24.95, 25.01 mL, mean (24.980 ± 0.030) mL`
fn readings(record: &TitrationRecord, mean: &Number) -> String {
    let each = record.readings.iter().map(reading);
    let each: Vec<String> = each.collect();
    let blank = record.blank.as_ref().map_or(String::new(), |blank| {
        format!(", less a blank of {} mL", reading(blank))
    });
    let scatter = record.scatter.map_or(String::new(), |scatter| {
        format!(" (standard deviation {scatter:.3} mL)")
    });
    match each.as_slice() {
        [only] if mean.is_exact() && record.blank.is_none() => format!("found: {only} mL"),
        [_] => format!("found: {}{blank}", figure::volume(mean)),
        _ => format!(
            "found: {} mL, mean {}{scatter}{blank}",
            each.join(", "),
            figure::volume(mean)
        ),
    }
}

/// As a burette is read: to 0.01 mL, or finer where somebody did.
pub(super) fn reading(millilitres: &Number) -> String {
    let value = millilitres.value();
    let fine = |places: &usize| Exact::decimal(&value.to_fixed(*places)).as_ref() == Ok(value);
    value.to_fixed((2..5).find(fine).unwrap_or(2))
}
