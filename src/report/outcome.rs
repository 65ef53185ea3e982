//! What an operation did, in lines of words.
//!
//! Promises: what is not known is said with the name of what is missing.
//!
//! Finds nothing worth remarking on: the ledger's remarks are worded in the diagnostic room.

use crate::equation::Reaction;
use crate::matter::{Notation, Species};
use crate::number::Number;
use crate::route::ledger::*;
use crate::solution;

use super::document::{Line, Words};
use super::portion::measure;
use super::titration;
use crate::figure;

/// In the order in which somebody at the bench wants them.
pub(super) fn lines(words: Words, outcome: &Outcome) -> Vec<Line> {
    match outcome {
        Outcome::Reacted(record) => reacted(words, record),
        Outcome::Titrated(record) => {
            let said = titration::titrated(words, record);
            let mut lines = reacted(words, &record.reaction);
            lines.extend(said.into_iter().map(Line::Words));
            lines
        }
        other => said(words, other).into_iter().map(Line::Words).collect(),
    }
}

/// `heat: 15.38 kJ given off`, or what is missing to know it.
pub(super) fn heat(words: Words, label: &str, heat: &Heat) -> String {
    match heat {
        Heat::Known(heat) if heat.is_negative() => {
            format!("{label}: {} given off", figure::heat(&-heat))
        }
        Heat::Known(heat) => format!("{label}: {} taken up", figure::heat(heat)),
        Heat::Unknown(species) => format!("{label}: unknown, no data for {}", words.list(species)),
    }
}

fn said(words: Words, outcome: &Outcome) -> Vec<String> {
    match outcome {
        Outcome::Charged { .. } => charged(words, outcome),
        Outcome::Reacted(_) | Outcome::Titrated(_) | Outcome::Noted(_) => Vec::new(),
        Outcome::Thermal {
            from,
            to,
            bath,
            held,
            seconds,
            ..
        } => {
            let stays = if *held { ", and the bath stays" } else { "" };
            let kept = seconds.as_ref().map_or(String::new(), |seconds| {
                format!(", kept there for {}", figure::time(seconds))
            });
            let course = format!(
                "from {} to {}{kept}{stays}",
                figure::temperature(from),
                figure::temperature(to)
            );
            vec![course, bath_line(words, bath)]
        }
        Outcome::Vented { gas, .. } => gases(words, gas).collect(),
        Outcome::Closure { sealed: true, .. } => vec!["closed: gas stays in".to_owned()],
        Outcome::Closure { sealed: false, .. } => vec!["open".to_owned()],
        Outcome::Moved {
            to,
            retained,
            dissolved,
            heat,
            ..
        } => {
            let mut lines = moved(to, retained.as_ref());
            lines.extend(dissolving(words, dissolved, heat));
            lines
        }
        Outcome::Washed {
            dissolved,
            retained,
            into,
            ..
        } => {
            let taken = self::dissolved(words, dissolved);
            let taken = taken.map(|taken| format!("the washings take up to {taken}"));
            let to = into.as_deref().unwrap_or("the waste jar");
            let kept = format!("{} of liquor clings to the solid", figure::volume(retained));
            let taken = taken.into_iter();
            taken.chain([format!("washings to {to}"), kept]).collect()
        }
        Outcome::Dried { water, residue, .. } => {
            let gone = format!("{} of water goes to the air", figure::mass(water));
            let left = dissolved(words, residue);
            let left = left.map(|left| format!("what was dissolved stays: {left}"));
            [gone].into_iter().chain(left).collect()
        }
        Outcome::Evaporated {
            temperature,
            water,
            heat: needed,
            ..
        } => {
            let at = figure::temperature(temperature);
            let gone = format!("{} of water goes as vapour, at {at}", figure::mass(water));
            vec![gone, heat(words, "heat needed", needed)]
        }
        Outcome::Diluted { draw, .. } => vec![format!("takes {} of water", measure(draw))],
        Outcome::Crystallised(record) => crystals(words, record),
        Outcome::Found {
            planned,
            found,
            lost,
            replaces,
            ..
        } => {
            let (planned, found) = (figure::quantity(planned), figure::quantity(found));
            let booked = lost.as_ref().filter(|lost| !lost.is_zero()).map(booked);
            let told = [format!("planned {planned}, found {found}")];
            let beside = (!replaces).then(|| {
                "noted only: it does not tell what was lost, and the plan goes on as it was"
                    .to_owned()
            });
            told.into_iter().chain(booked).chain(beside).collect()
        }
        Outcome::Waited { seconds } => vec![figure::time(seconds)],
        Outcome::Refused => vec!["left blank: it could not be carried out".to_owned()],
    }
}

/// `0.20 mmol of KNO₃, traces of HNO₃`; `None` where there is nothing.
fn dissolved(words: Words, amounts: &[(Species, Number)]) -> Option<String> {
    /// In mol: less than a balance of a bench can weigh, of nearly everything.
    const TRACE: f64 = 1e-6;
    let (figured, traces): (Vec<_>, Vec<_>) = amounts
        .iter()
        .partition(|(_, moles)| moles.to_f64() >= TRACE);
    let traces: Vec<String> = traces.iter().map(|(s, _)| words.bare(s)).collect();
    let traces = (!traces.is_empty()).then(|| format!("traces of {}", traces.join(", ")));
    let figured = figured
        .iter()
        .map(|(s, moles)| format!("{} of {}", figure::amount(moles), words.bare(s)));
    let all: Vec<String> = figured.chain(traces).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// What a finding does to the books.
fn booked(lost: &Number) -> String {
    let amount = figure::mass(&if lost.is_negative() {
        -lost
    } else {
        lost.clone()
    });
    match lost.is_negative() {
        true => format!("{amount} more than planned, taken from the losses"),
        false => format!("{amount} booked to the losses"),
    }
}

fn charged(words: Words, outcome: &Outcome) -> Vec<String> {
    let Outcome::Charged {
        draws,
        dissolved,
        heat: of_dissolving,
        mixing,
        temperature,
        over,
        ..
    } = outcome
    else {
        return Vec::new();
    };
    let enough = draws
        .iter()
        .filter(|draw| matches!(draw.reason, WithdrawalReason::Enough { .. }));
    let mut lines: Vec<String> = enough
        .map(|draw| {
            let name = draw.bottle.clone();
            let name = name.unwrap_or_else(|| words.bare(&draw.substance));
            format!("that is {} of {name}", measure(draw))
        })
        .collect();
    lines.extend(dissolving(words, dissolved, of_dissolving));
    lines.extend(of_mixing(mixing));
    let time = over.as_ref().map_or(String::new(), |time| {
        format!(", over {}", figure::time(time))
    });
    lines.push(format!(
        "then at {}{time}",
        figure::temperature(temperature)
    ));
    lines
}

fn dissolving(words: Words, dissolved: &[(Species, Number)], of_it: &Heat) -> Vec<String> {
    let mut lines: Vec<String> = dissolved
        .iter()
        .map(|(species, moles)| {
            format!(
                "{} of {} dissolves",
                figure::amount(moles),
                words.bare(species)
            )
        })
        .collect();
    if !dissolved.is_empty() {
        lines.push(heat(words, "heat of dissolving", of_it));
    }
    lines
}

/// What mixing and diluting gave off or took up; nothing below a tenth of a kilojoule, which no bench notices.
fn of_mixing(mixing: &Number) -> Option<String> {
    let told = mixing.to_f64().abs() >= 0.1;
    told.then(|| match mixing.is_negative() {
        true => format!(
            "heat of diluting and mixing: {} given off",
            figure::heat(&-mixing)
        ),
        false => format!(
            "heat of diluting and mixing: {} taken up",
            figure::heat(mixing)
        ),
    })
}

fn reacted(words: Words, record: &ReactRecord) -> Vec<Line> {
    let mut lines = vec![Line::Equation(record.reaction.clone())];
    let net = without_phases(&record.net);
    if net.to_text(Notation::Plain) != without_phases(&record.reaction).to_text(Notation::Plain) {
        lines.push(Line::Net(net));
    }
    let mut said = Vec::new();
    if record.extent.is_zero() {
        said.push("nothing happens".to_owned());
    } else {
        said.extend(
            record
                .limiting
                .as_ref()
                .map(|limiting| limit(words, limiting, &record.leftovers)),
        );
        said.push(heat(words, "heat", &record.heat));
        said.extend(gases(words, &record.gas));
        said.push(course(words, record));
    }
    lines.extend(said.into_iter().map(Line::Words));
    lines
}

fn limit(words: Words, limiting: &Species, leftovers: &[(Species, Number)]) -> String {
    let amount = |(species, moles): &(Species, Number)| {
        format!("{} {}", figure::amount(moles), words.bare(species))
    };
    let left: Vec<String> = leftovers.iter().map(amount).collect();
    let left = match left.is_empty() {
        true => "nothing is left over".to_owned(),
        false => format!("left over: {}", left.join(", ")),
    };
    format!("{} runs out first; {left}", words.bare(limiting))
}

/// Where the temperature goes.
fn course(words: Words, record: &ReactRecord) -> String {
    let Some(uncooled) = &record.uncooled else {
        return "temperature unknown, since the heat is".to_owned();
    };
    let (start, uncooled) = (
        figure::temperature(&record.start),
        figure::temperature(uncooled),
    );
    match &record.held {
        Some(held) => format!(
            "held at {}; uncooled it would come to {uncooled}",
            figure::temperature(held)
        ),
        None => format!("uncooled: {start} {} {uncooled}", words.0.arrow()),
    }
}

fn crystals(words: Words, record: &CrystalRecord) -> Vec<String> {
    let (_, crystal_water) = solution::anhydrous(&record.solid.with_phase(None));
    let anhydrous = match crystal_water.is_zero() {
        true => "",
        false => " of the anhydrous salt",
    };
    let crop = format!(
        "{} ({}) of {} to {}; {} stays dissolved (solubility {} g{anhydrous} in 100 g of water at {})",
        figure::mass(&record.grams),
        figure::amount(&record.moles),
        words.bare(&record.solid),
        record.into,
        figure::mass(&record.stays),
        figure::number(&record.solubility),
        figure::temperature(&record.temperature),
    );
    let clings = record.retained.is_positive().then(|| {
        let liquor = figure::volume(&record.retained);
        format!("{liquor} of liquor clings to the crystals (0.2 mL for each gram)")
    });
    [crop]
        .into_iter()
        .chain(clings)
        .chain([bath_line(words, &record.bath)])
        .collect()
}

fn moved(to: &[(String, Number)], retained: Option<&Number>) -> Vec<String> {
    let mut lines: Vec<String> = to
        .iter()
        .map(|(name, grams)| format!("{} to {name}", figure::mass(grams)))
        .collect();
    if to.is_empty() {
        lines.push("all of it to the waste jar".to_owned());
    }
    let clings = retained.filter(|retained| retained.is_positive());
    lines.extend(clings.map(|retained| {
        format!(
            "{} of liquor stays with the solid",
            figure::volume(retained)
        )
    }));
    lines
}

fn gases(words: Words, gas: &[GasRecord]) -> impl Iterator<Item = String> {
    gas.iter().map(move |record| {
        let (litres, moles) = (
            figure::litres(&record.litres),
            figure::amount(&record.moles),
        );
        let moist = record.moist.as_ref();
        let moist = moist.map(|moist| format!("; {} moist over water", figure::litres(moist)));
        let stays = record.dissolved.as_ref();
        let stays =
            stays.map(|stays| format!("; up to {} may stay dissolved", figure::amount(stays)));
        format!(
            "gas: {litres} of {} ({moles}){}{}",
            words.bare(&record.species),
            moist.unwrap_or_default(),
            stays.unwrap_or_default()
        )
    })
}

fn bath_line(words: Words, bath: &Heat) -> String {
    match bath {
        Heat::Known(heat) if heat.is_negative() => {
            format!("the bath gives {}", figure::heat(&-heat))
        }
        Heat::Known(heat) => format!("the bath takes up {}", figure::heat(heat)),
        Heat::Unknown(species) => format!(
            "heat for the bath unknown, no data for {}",
            words.list(species)
        ),
    }
}

fn without_phases(reaction: &Reaction) -> Reaction {
    let bare = |terms: &[(num_bigint::BigInt, Species)]| {
        terms
            .iter()
            .map(|(n, species)| (n.clone(), species.with_phase(None)))
            .collect()
    };
    Reaction {
        left: bare(&reaction.left),
        right: bare(&reaction.right),
    }
}
