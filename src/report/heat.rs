//! The quantities of a reaction with what they are made of, as a page.

use super::document::{Block, Part, Section};
use super::page::{Align, table, wrapped};
use crate::data::{How, Property, Source, Sourced};
use crate::figure::{self, Spread};
use crate::matter::{Notation, Phase, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::thermo::{
    AtTemperature, Basis, CapacityFrom, Cell, Contribution, Couple, Energetics, GibbsFrom,
    Standard, Tabled,
};

/// The page of `aludel heat`, for a reaction of which at least something is known.
pub fn heat(found: &Energetics, spread: Spread) -> String {
    let mut page = format!("{}\n", found.equation.to_text(Notation::Printed));
    page += &format!("at {}, 1 bar\n\n", temperature(&found.at.kelvin));
    page += &table(
        &quantities(found, spread),
        &[Align::Left, Align::Point, Align::Left],
    );
    page += "per mole of the equation as written above, each substance in its standard state\n";
    page += &away(found, spread);
    page += &potentials(found.cell.as_ref());
    page += &format!("\n{}", contributions(found));
    page += &carried(&found.at);
    page += &notes(found);
    page + "\n" + &sources_of(&all_sources(found))
}

/// The same in short as a section of a sheet.
pub(super) fn section(found: &Energetics, notation: Notation) -> Section {
    let equation = found.equation.to_text(notation);
    let mut blocks = vec![
        Block::Paragraph(equation),
        Block::Paragraph(format!("at {}, 1 bar", temperature(&found.at.kelvin))),
        Block::Table {
            columns: vec!["", "", ""],
            rows: quantities(found, Spread::PlusMinus),
        },
    ];
    blocks.extend(remarks(found).into_iter().map(Block::Paragraph));
    Section {
        part: Part::Asked,
        heading: "Heat of a reaction".to_owned(),
        blocks,
    }
}

fn temperature(kelvin: &Number) -> String {
    let kelvins = figure::with_spread(kelvin, Spread::PlusMinus, 5);
    format!("{} ({kelvins} K)", figure::temperature(kelvin))
}

/// One row a quantity: name, value, unit and what is to be said.
fn quantities(found: &Energetics, spread: Spread) -> Vec<Vec<String>> {
    let at = &found.at;
    let mut rows = Vec::new();
    let mut row = |name: &str, number: &Number, unit: &str| {
        let value = signed(&figure::with_spread(number, spread, 5));
        rows.push(vec![name.to_owned(), value, unit.to_owned()]);
    };
    if let Ok(heat) = &at.enthalpy {
        let kilojoules = in_unit(heat, &unit::KILOJOULE_PER_MOLE);
        row(
            "ΔH",
            &kilojoules,
            &format!("kJ/mol  {}", direction(&kilojoules)),
        );
    }
    if let Ok(entropy) = &at.entropy {
        let joules = in_unit(entropy, &unit::JOULE_PER_MOLE_KELVIN);
        row("ΔS", &joules, "J/(mol·K)");
    }
    if let Ok((gibbs, from)) = &at.gibbs {
        let how = match from {
            GibbsFrom::Formation => "",
            GibbsFrom::EnthalpyAndEntropy => "  from ΔH and ΔS",
        };
        let kilojoules = in_unit(gibbs, &unit::KILOJOULE_PER_MOLE);
        row("ΔG", &kilojoules, &format!("kJ/mol{how}"));
    }
    if let Some(capacity) = &at.heat_capacity {
        row("ΔCp", capacity, "J/(mol·K)");
    }
    if let Some(volts) = found
        .cell
        .as_ref()
        .and_then(|cell| cell.from_gibbs.as_ref())
    {
        row("E°", volts, "V  from ΔG");
    }
    if let Ok(log) = &at.log10_k {
        row("log10 K", log, "");
        if let Some(constant) = constant(log) {
            rows.push(vec!["K".to_owned(), constant, String::new()]);
        }
    }
    let tabled = found.cell.as_ref().and_then(|cell| cell.tabled.as_ref());
    if let Some(tabled) = tabled {
        let value = signed(&tabled.potential.value().to_fixed(4));
        let unit = "V  from the table of potentials, 25 °C".to_owned();
        rows.push(vec!["E°".to_owned(), value, unit]);
    }
    rows
}

fn direction(heat: &Number) -> &'static str {
    match () {
        () if heat.is_negative() => "given off",
        () if heat.is_positive() => "taken up",
        () => "neither given off nor taken up",
    }
}

/// K with the digits its logarithm allows; `None` beyond what anybody can picture.
fn constant(log: &Number) -> Option<String> {
    let power = log.to_f64();
    if power.abs() > 300.0 {
        return None;
    }
    // An uncertainty of 0.04 in the logarithm is 10 % of K.
    let digits = match log.standard_uncertainty() {
        small if small < 0.004 => 3,
        middling if middling < 0.04 => 2,
        _ => 1,
    };
    let value = Exact::modelled(libm::exp10(power))?;
    Some(figure::significant(&value, digits))
}

/// What the activities given make of it.
fn away(found: &Energetics, spread: Spread) -> String {
    let Some(away) = &found.away else {
        return String::new();
    };
    let given = away.activities.iter().map(|(_, species, activity)| {
        let activity = figure::with_spread(activity, spread, 4);
        format!("{} {activity}", species.to_text(Notation::Printed))
    });
    let given: Vec<String> = given.collect();
    let mut rows = Vec::new();
    let mut row = |name: &str, number: Option<&Number>, unit: &str| {
        if let Some(number) = number {
            let value = signed(&figure::with_spread(number, spread, 5));
            rows.push(vec![name.to_owned(), value, unit.to_owned()]);
        }
    };
    let gibbs = away.gibbs.as_ref();
    let gibbs = gibbs.map(|gibbs| in_unit(gibbs, &unit::KILOJOULE_PER_MOLE));
    row("ΔG", gibbs.as_ref(), "kJ/mol");
    row("E", away.from_gibbs.as_ref(), "V  from ΔG");
    row("E", away.tabled.as_ref(), "V  from the table of potentials");
    let head = format!("at the activities {}, all others 1", given.join(", "));
    let rows = table(&rows, &[Align::Left, Align::Point, Align::Left]);
    format!("\n{}{rows}", wrapped(&head, 2))
}

/// The couples behind the potentials.
fn potentials(cell: Option<&Cell>) -> String {
    let Some(cell) = cell else {
        return String::new();
    };
    let electrons = cell.electrons.to_plain();
    let mut text = match cell.electrons == Exact::one() {
        true => "\n1 electron passes\n".to_owned(),
        false => format!("\n{electrons} electrons pass\n"),
    };
    let Some(tabled) = &cell.tabled else {
        return text + "no couple of the table of potentials fits\n";
    };
    for (role, couple) in couples(tabled) {
        let other = match couple.value.other {
            "" => String::new(),
            other => format!("; also {other}"),
        };
        let line = format!(
            "{role}: {}, {} V{other} ({})",
            couple.value.reduction,
            signed(&couple.value.potential.value().to_plain()),
            couple.source.code
        );
        text += &wrapped(&line, 2);
    }
    if let Some(apart) = apart(cell, tabled) {
        let line = format!(
            "the two potentials are {apart} V apart: the table is for dissolved ions at unit activity"
        );
        text += &wrapped(&line, 2);
    }
    text
}

/// By how much the two potentials differ, where that is more than their data would.
fn apart(cell: &Cell, tabled: &Tabled) -> Option<String> {
    const DATA: f64 = 0.05;
    let gibbs = cell.from_gibbs.as_ref()?;
    let apart = gibbs - &tabled.potential;
    let more = apart.to_f64().abs() > DATA + 2.0 * gibbs.standard_uncertainty();
    more.then(|| apart.value().abs().to_fixed(2))
}

pub(super) fn couples(tabled: &Tabled) -> Vec<(&'static str, &Sourced<Couple>)> {
    let reduction = tabled.reduction.as_ref().map(|couple| ("takes up", couple));
    let oxidation = tabled
        .oxidation
        .as_ref()
        .map(|couple| ("gives off", couple));
    reduction.into_iter().chain(oxidation).collect()
}

const COLUMNS: [Property; 4] = Property::ALL;

/// One row a species: what it brings to each quantity at 298.15 K, coefficient included.
fn contributions(found: &Energetics) -> String {
    let head = ["at 25 °C", "n", "n·ΔfH", "n·ΔfG", "n·S", "n·Cp", "source"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(found.data.contributions.iter().map(contribution));
    let [left, point] = [Align::Left, Align::Point];
    table(&rows, &[left, point, point, point, point, point, left])
        + "n·ΔfH and n·ΔfG in kJ/mol, n·S and n·Cp in J/(mol·K)\n"
}

fn contribution(of: &Contribution) -> Vec<String> {
    let data = of.data.as_ref().ok();
    let named = data.map_or(&of.species, |found| &found.species);
    let mut row = vec![
        named.to_text(Notation::Printed),
        signed(&of.coefficient.to_plain()),
    ];
    for property in COLUMNS {
        let share = of.share(property).map(|share| digits_of(&share, property));
        row.push(share.unwrap_or_else(|| "–".to_owned()));
    }
    let codes = data.map_or_else(|| "unknown".to_owned(), |found| codes(found).join(", "));
    row.push(codes);
    row
}

/// All digits as published, times the coefficient.
fn digits_of(share: &Number, property: Property) -> String {
    let value = match property {
        Property::FormationEnthalpy | Property::FormationGibbs => {
            share.scaled(&Exact::ratio(1, 1000))
        }
        Property::Entropy | Property::HeatCapacity => share.clone(),
    };
    match value.value().to_plain() {
        // A third of something published has no last digit.
        endless if endless.contains('/') => signed(&figure::significant(value.value(), 6)),
        plain => signed(&plain),
    }
}

fn codes(data: &Standard) -> Vec<&'static str> {
    let all = COLUMNS.iter().filter_map(|property| data.get(*property));
    let mut codes: Vec<&str> = Vec::new();
    for value in all {
        if !codes.contains(&value.source.code) {
            codes.push(value.source.code);
        }
    }
    codes
}

/// How each species comes to the temperature.
fn carried(at: &AtTemperature) -> String {
    if at.species.is_empty() {
        return String::new();
    }
    let head = [
        "from 25 °C",
        "ΔH, kJ/mol",
        "ΔS, J/(mol·K)",
        "Cp",
        "by",
        "from K",
        "to K",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for one in &at.species {
        let figure = |value: f64| {
            let exact = Exact::modelled(value).unwrap_or_else(Exact::zero);
            signed(&exact.to_fixed(2))
        };
        let mut name = one.species.with_phase(one.phase).to_text(Notation::Printed);
        if one.species.phase() != one.phase && one.species.phase().is_some() {
            name = format!("{} as {name}", one.species.to_text(Notation::Printed));
        }
        let by = match (one.from, &one.source) {
            (CapacityFrom::Function, Some(source)) => source.code,
            (CapacityFrom::Constant, _) => "constant Cp",
            _ => "not carried",
        };
        rows.push(vec![
            name,
            figure(one.rise.enthalpy / 1000.0),
            figure(one.rise.entropy),
            figure(one.rise.heat_capacity),
            by.to_owned(),
            format!("{:.0}", one.range.low),
            format!("{:.0}", one.range.high),
        ]);
    }
    let [left, point] = [Align::Left, Align::Point];
    format!(
        "\n{}",
        table(&rows, &[left, point, point, point, left, point, point])
    )
}

fn notes(found: &Energetics) -> String {
    let notes = remarks(found);
    let lines: String = notes.iter().map(|note| wrapped(note, 2)).collect();
    if lines.is_empty() {
        lines
    } else {
        format!("\n{lines}")
    }
}

/// What the figures rest on: phases that were assumed, what others would change, spellings, heat capacities.
fn remarks(found: &Energetics) -> Vec<String> {
    let data: Vec<&Standard> = found
        .data
        .contributions
        .iter()
        .filter_map(|contribution| contribution.data.as_deref().ok())
        .collect();
    let mut notes: Vec<String> = Vec::new();
    let printed = |species: &Species| species.to_text(Notation::Printed);
    let assumed: Vec<String> = data
        .iter()
        .filter(|one| one.phase_assumed && !one.species.is_electron())
        .map(|one| printed(&one.species))
        .collect();
    if !assumed.is_empty() {
        notes.push(format!(
            "phase not stated, the usual one at 25 °C taken: {}",
            assumed.join(", ")
        ));
    }
    for other in &found.alternatives {
        let phases: Vec<String> = other.phases.iter().map(printed).collect();
        let heat = in_unit(&other.enthalpy, &unit::KILOJOULE_PER_MOLE);
        notes.push(format!(
            "with {} ΔH at 25 °C would be {} kJ/mol",
            phases.join(", "),
            signed(&heat.value().to_fixed(2))
        ));
    }
    notes.extend(data.iter().filter_map(|one| spelling(one)));
    notes.extend(basis(&found.at));
    notes
}

/// How the tables hold a species, where that is not as it was written.
fn spelling(one: &Standard) -> Option<String> {
    let asked = one.species.to_text(Notation::Printed);
    if let Some(listed) = &one.listed_as {
        let listed = listed.to_text(Notation::Printed);
        return Some(format!("{asked} is listed as {listed}"));
    }
    let ions = one.ions.iter().map(|(n, ion)| {
        let ion = ion.to_text(Notation::Printed);
        match n == &Exact::one() {
            true => ion,
            false => format!("{} {ion}", n.to_plain()),
        }
    });
    let ions: Vec<String> = ions.collect();
    (!ions.is_empty()).then(|| format!("{asked} is taken as {}", ions.join(" + ")))
}

fn basis(at: &AtTemperature) -> Vec<String> {
    let names = |all: &[Species]| {
        let names: Vec<String> = all.iter().map(|s| s.to_text(Notation::Printed)).collect();
        names.join(", ")
    };
    let mut notes = match &at.basis {
        Basis::Standard => Vec::new(),
        Basis::Functions => {
            vec!["carried along published heat capacity functions of every species".to_owned()]
        }
        Basis::SomeConstant(some) => vec![format!(
            "heat capacity taken as constant from 25 °C for {}",
            names(some)
        )],
        Basis::NoHeatCapacity(none) => vec![format!(
            "ΔH and ΔS taken as constant: no heat capacity is known for {}",
            names(none)
        )],
    };
    for one in at.species.iter().filter(|one| one.boils) {
        let name = one.species.to_text(Notation::Printed);
        let gas = one.species.with_phase(Some(Phase::Gas));
        notes.push(format!(
            "{name} would boil away at this temperature and 1 bar: {} is the stable form",
            gas.to_text(Notation::Printed)
        ));
    }
    notes
}

/// Every source of the answer, in the order of use.
pub(super) fn all_sources(found: &Energetics) -> Vec<Source> {
    let data = found.data.contributions.iter();
    let data = data.filter_map(|contribution| contribution.data.as_ref().ok());
    let formation = data.flat_map(|one| COLUMNS.iter().filter_map(|p| one.get(*p)));
    let mut all: Vec<Source> = formation.map(|value| value.source.clone()).collect();
    all.extend(found.at.species.iter().filter_map(|one| one.source.clone()));
    if let Some(tabled) = found.cell.as_ref().and_then(|cell| cell.tabled.as_ref()) {
        all.extend(
            couples(tabled)
                .iter()
                .map(|(_, couple)| couple.source.clone()),
        );
    }
    all
}

/// Each publication once, in the order of use.
pub(super) fn sources_of(all: &[Source]) -> String {
    let mut seen: Vec<String> = Vec::new();
    for source in all {
        let memory = source
            .publication()
            .is_some_and(|found| found.how == How::Memory);
        let seen_not = if memory {
            " (values from memory, not seen again)"
        } else {
            ""
        };
        let line = match source.citation() {
            whole if whole == source.code => whole.to_owned(),
            citation => format!("{}: {citation}{seen_not}", source.code),
        };
        if !seen.contains(&line) {
            seen.push(line);
        }
    }
    seen.iter().map(|line| wrapped(line, 2)).collect()
}

/// The number of a unit of the same dimension.
pub(super) fn in_unit(quantity: &Quantity, unit: &unit::Unit) -> Number {
    quantity
        .in_unit(unit)
        .unwrap_or_else(|_| quantity.number().clone())
}

/// With the minus sign of print.
pub(super) fn signed(text: &str) -> String {
    text.replacen('-', "−", 1)
}
