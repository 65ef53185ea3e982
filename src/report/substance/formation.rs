//! Formation data of a card: values with their uncertainty and source, newer values beside them, heat capacity along the
//! temperature, potentials.

use crate::data::{POTENTIAL, Property, Range, Source, Sourced, Store};
use crate::figure;
use crate::matter::{Notation, Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::report::heat::{in_unit, signed};
use crate::report::page::{Align, table, wrapped};
use crate::thermo::{self, CapacityFrom, Standard};

const COLUMNS: [(Property, &str, &unit::Unit); 4] = [
    (
        Property::FormationEnthalpy,
        "ΔfH",
        &unit::KILOJOULE_PER_MOLE,
    ),
    (Property::FormationGibbs, "ΔfG", &unit::KILOJOULE_PER_MOLE),
    (Property::Entropy, "S", &unit::JOULE_PER_MOLE_KELVIN),
    (Property::HeatCapacity, "Cp", &unit::JOULE_PER_MOLE_KELVIN),
];

/// The values of every form, what disagrees with them, and how far their heat capacities reach.
pub(super) fn section(known: &[Standard], store: &Store, used: &mut Vec<Source>) -> String {
    if known.is_empty() {
        return String::new();
    }
    let head = ["at 25 °C, 1 bar", "ΔfH", "ΔfG", "S", "Cp", "source"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for found in known {
        rows.push(values(found, used));
        rows.push(spreads(found));
    }
    let [left, point] = [Align::Left, Align::Point];
    let mut text = format!(
        "\n{}ΔfH and ΔfG in kJ/mol, S and Cp in J/(mol·K), ± one standard uncertainty\n",
        table(&rows, &[left, point, point, point, point, left])
    );
    for found in known {
        text += &disagreements(found, used);
        text += &note(found);
    }
    text + &capacities(known, store, used)
}

fn named(found: &Standard) -> String {
    let listed = found.listed_as.as_ref().unwrap_or(&found.species);
    let printed = listed.to_text(Notation::Printed);
    match (found.ions.is_empty(), found.form) {
        (false, _) => format!("{printed} as ions"),
        (true, form) => format!("{printed} {form}").trim_end().to_owned(),
    }
}

/// The digits as published, and where from.
fn values(found: &Standard, used: &mut Vec<Source>) -> Vec<String> {
    let mut row = vec![named(found)];
    let mut codes: Vec<&'static str> = Vec::new();
    for (property, _, unit) in COLUMNS {
        let value = found.get(property);
        if let Some(value) = value {
            used.push(value.source.clone());
            if !codes.contains(&value.source.code) {
                codes.push(value.source.code);
            }
        }
        row.push(value.map_or("–".into(), |value| plain(&value.value, unit)));
    }
    row.push(codes.join(", "));
    row
}

fn plain(value: &Quantity, unit: &unit::Unit) -> String {
    let number = in_unit(value, unit);
    signed(&number.value().to_plain())
}

/// The uncertainties, in a row below the values.
fn spreads(found: &Standard) -> Vec<String> {
    let spread = |(property, _, unit): (Property, &str, &unit::Unit)| {
        let number = in_unit(&found.get(property)?.value, unit);
        let (_, spread) = figure::with_uncertainty(&number)?;
        Some(format!("±{spread}"))
    };
    let cells = COLUMNS.map(|column| spread(column).unwrap_or_default());
    [vec![String::new()], cells.to_vec()].concat()
}

/// Newer evaluated values that differ from the one used by more than they claim to be good for.
fn disagreements(found: &Standard, used: &mut Vec<Source>) -> String {
    let mut text = String::new();
    for (property, symbol, unit) in COLUMNS {
        let (Some(value), Some(newer)) = (found.get(property), found.newer(property)) else {
            continue;
        };
        let (ours, theirs) = (in_unit(&value.value, unit), in_unit(&newer.value, unit));
        let apart = &ours - &theirs;
        if apart.to_f64().abs() <= 2.0 * theirs.standard_uncertainty() {
            continue;
        }
        used.push(newer.source.clone());
        let line = format!(
            "{}: {symbol} is {} by {}; {} is preferred, since differences between substances are right inside one network only",
            named(found),
            signed(&figure::with_spread(&theirs, figure::Spread::PlusMinus, 5)),
            newer.source.code,
            value.source.code,
        );
        text += &wrapped(&line, 2);
    }
    text
}

/// What the source says besides.
fn note(found: &Standard) -> String {
    let noted = COLUMNS
        .iter()
        .filter_map(|(property, ..)| found.get(*property));
    let notes = noted.map(|value: &Sourced<Quantity>| &value.source);
    let mut notes = notes.filter(|source| !source.is_own() && !source.note.is_empty());
    match notes.next() {
        Some(source) if found.ions.is_empty() => {
            wrapped(&format!("{}: {}", named(found), source.note), 2)
        }
        _ => String::new(),
    }
}

/// How far the heat capacity of each phase reaches, and by what.
fn capacities(known: &[Standard], store: &Store, used: &mut Vec<Source>) -> String {
    let mut text = String::new();
    let mut seen: Vec<Phase> = Vec::new();
    for found in known {
        let Some(phase) = found.species.phase().filter(|phase| !seen.contains(phase)) else {
            continue;
        };
        seen.push(phase);
        let Some((range, source)) = reach(&found.species, store) else {
            continue;
        };
        let printed = found.species.to_text(Notation::Printed);
        let how = match source {
            Some(source) => {
                let code = source.code;
                used.push(source);
                format!("along the temperature by {code}")
            }
            None => "taken as constant".to_owned(),
        };
        let line = format!(
            "Cp of {printed} {how}, {:.0} to {:.0} K",
            range.low, range.high
        );
        text += &wrapped(&line, 2);
    }
    text
}

/// Range in K and source of a published function; no source for a constant. `None` without any heat capacity.
fn reach(species: &Species, store: &Store) -> Option<(Range, Option<Source>)> {
    let alone = thermo::reaction(store, &[(Exact::one(), species.clone())]);
    let course = alone.course();
    let range = course.range();
    let warm = Number::modelled(range.high.min(298.15 + 0.5 * (range.high - 298.15)))?;
    let at = course.at(&warm).ok()?;
    let one = at.species.first()?;
    match one.from {
        CapacityFrom::Function => Some((range, one.source.clone())),
        CapacityFrom::Constant => Some((range, None)),
        CapacityFrom::Nothing => None,
    }
}

/// Couples of the table that a species takes part in.
pub(super) fn potentials(species: &Species, used: &mut Vec<Source>) -> String {
    const MOST: usize = 12;
    let common = ["H2O", "H^+", "OH^-", "H2"].contains(&species.key());
    let stands = |text: &str| {
        let mut words = text.split(' ');
        words.any(|word| word == species.key())
    };
    let rows = POTENTIAL
        .rows()
        .filter(|row| stands(row.cell("half_reaction")));
    let rows: Vec<_> = rows.filter(|_| !common).collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut cells = Vec::new();
    for row in rows.iter().take(MOST) {
        used.push(Source::published(row.cell("source"), ""));
        cells.push(vec![
            row.cell("half_reaction").to_owned(),
            signed(row.cell("E0_V")),
            row.cell("source").to_owned(),
        ]);
    }
    let mut text = "\nstandard potentials at 25 °C, V\n".to_owned();
    text += &table(&cells, &[Align::Left, Align::Point, Align::Left]);
    if rows.len() > MOST {
        text += &format!("and {} more\n", rows.len() - MOST);
    }
    text
}
