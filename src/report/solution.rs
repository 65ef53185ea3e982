//! Answers to `solution …` as sections of a sheet.

use super::document::{Block, Part, Section, Words};
use crate::figure;
use crate::number::{Exact, Number};
use crate::route::ledger::{
    ComparedBottle, ComparedBottles, Level, MadeSolution, MixedSolution, SolutionAnswer, Taken,
};

/// What to take, what is made, what becomes of it, bottles side by side: as much of that as was asked.
pub(super) fn solution(words: Words, answer: &SolutionAnswer) -> Section {
    let kelvin = figure::temperature(&answer.kelvin);
    let mut blocks = vec![Block::Paragraph(format!("at {kelvin}"))];
    if !answer.take.is_empty() {
        let rows = answer.take.iter().map(taken).collect();
        let columns = vec!["take", "of", "weighs"];
        blocks.push(Block::Table { columns, rows });
    }
    if let Some(made) = &answer.made {
        blocks.extend(strengths(words, made));
    }
    if let Some(mixed) = &answer.mixed {
        blocks.extend(mixture(words, mixed, answer.made.is_some()));
    }
    if let Some(compared) = &answer.compared {
        blocks.extend(side_by_side(words, compared));
    }
    Section {
        part: Part::Asked,
        heading: match &answer.compared {
            Some(_) => "Bottles side by side".to_owned(),
            None => format!("Solution: {}", answer.text),
        },
        blocks,
    }
}

fn taken(taken: &Taken) -> Vec<String> {
    let grams = figure::mass(&taken.grams);
    match &taken.millilitres {
        Some(millilitres) => vec![figure::volume(millilitres), taken.label.clone(), grams],
        None => vec![grams.clone(), taken.label.clone(), grams],
    }
}

/// Every measure of strength, and where the density is from.
fn strengths(words: Words, made: &MadeSolution) -> Vec<Block> {
    let composition = &made.composition;
    let name = words.bare(&composition.solute);
    let mut blocks = vec![
        Block::Paragraph(format!(
            "{name} in water, reckoned without water of crystallisation"
        )),
        Block::Table {
            columns: vec!["", ""],
            rows: measures(made),
        },
    ];
    blocks.push(match &composition.density {
        Some(density) => {
            let note = match density.source.note.as_ref() {
                "" => String::new(),
                note => format!(" ({note})"),
            };
            Block::Paragraph(format!("density: {}{note}", density.source.citation()))
        }
        None => {
            let text = "no density is known for this strength, so it can only be weighed";
            Block::Remark(Level::Warning, text.to_owned())
        }
    });
    blocks
}

/// Name and figure of every measure of strength, those unknown left out.
fn measures(made: &MadeSolution) -> Vec<Vec<String>> {
    let composition = &made.composition;
    let restated = &made.restated;
    let hundred = |share: &Number| share.scaled(&Exact::from(100));
    let plain = |number: &Number, unit: &str| format!("{} {unit}", figure::number(number));
    let fraction = &composition.mass_fraction;
    let small = fraction.to_f64() < 0.01;
    let millionth = fraction.scaled(&Exact::from(1_000_000));
    let density = composition.density.as_ref();
    let grams = restated.grams_per_litre.as_ref();
    let percent = grams.map(|g| g.scaled(&Exact::ratio(1, 10)));
    let share = restated.volume_fraction.as_ref();
    let oxygen = restated.peroxide_volumes.as_ref();
    let saturated = restated.saturated.as_ref();
    let rows = [
        ("mass", made.grams.as_ref().map(figure::mass)),
        ("volume", made.millilitres.as_ref().map(figure::volume)),
        ("density", density.map(|d| plain(&d.value, "g/mL"))),
        ("mass fraction", Some(plain(&hundred(fraction), "%w/w"))),
        ("", small.then(|| plain(&millionth, "ppm by mass"))),
        (
            "amount concentration",
            composition.molarity.as_ref().map(|c| plain(c, "mol/L")),
        ),
        (
            "molality",
            composition.molality.as_ref().map(|b| plain(b, "mol/kg")),
        ),
        ("mass concentration", grams.map(|g| plain(g, "g/L"))),
        ("", percent.map(|w| plain(&w, "%w/v"))),
        ("volume fraction", share.map(|v| plain(&hundred(v), "%v/v"))),
        ("volume strength", oxygen.map(|v| plain(v, "vol of oxygen"))),
        (
            "saturated at",
            saturated.map(|s| plain(&hundred(&s.value), "%w/w")),
        ),
    ];
    let known = rows
        .into_iter()
        .filter_map(|(name, value)| Some((name, value?)));
    known
        .map(|(name, value)| vec![name.to_owned(), value])
        .collect()
}

/// What mixing makes of it; the contents only where no single strength says them.
fn mixture(words: Words, mixed: &MixedSolution, one_solute: bool) -> Vec<Block> {
    let volume = |number: &Number| format!("{} mL", figure::significant(number.value(), 4));
    let mut lines = format!(
        "together {}, {} after mixing with nothing carried off",
        figure::mass(&mixed.grams),
        figure::temperature(&mixed.temperature)
    );
    if let Some(found) = &mixed.millilitres {
        lines += &format!(
            "; {} at that temperature by the density of the mixture (the table of the one solute, else Laliberté's model)",
            volume(found)
        );
    }
    if let (Some(_), Some(summed)) = (&mixed.millilitres, &mixed.summed) {
        lines += &format!(", where the volumes add up to {}", volume(summed));
    }
    let mut blocks = vec![Block::Paragraph(lines)];
    if !one_solute {
        let litres = mixed
            .millilitres
            .as_ref()
            .map(|v| v.scaled(&Exact::ratio(1, 1000)));
        let rows = mixed.contents.iter().map(|content| {
            let strength = litres.as_ref().filter(|_| content.species.key() != "H2O");
            let strength = strength.and_then(|litres| content.moles.checked_div(litres));
            vec![
                words.formula(&content.species),
                figure::amount(&content.moles),
                figure::mass(&content.grams),
                strength.map_or_else(String::new, |c| format!("{} mol/L", figure::number(&c))),
            ]
        });
        blocks.push(Block::Table {
            columns: vec!["", "amount", "mass", "concentration"],
            rows: rows.collect(),
        });
    }
    blocks
}

/// A row a quantity, a column a bottle.
fn side_by_side(words: Words, compared: &ComparedBottles) -> Vec<Block> {
    let row = |name: &str, cell: &dyn Fn(&ComparedBottle) -> String| {
        let cells = compared.rows.iter().map(cell);
        [name.to_owned()]
            .into_iter()
            .chain(cells)
            .collect::<Vec<_>>()
    };
    let value =
        |number: &Number, unit: &str| format!("{} {unit}", figure::significant(number.value(), 4));
    let volume =
        |number: Option<&Number>| number.map_or_else(|| "–".to_owned(), |v| value(v, "mL"));
    let mut rows = vec![
        row("bottle", &|one| one.label.clone()),
        row("take", &|one| volume(one.millilitres.as_ref())),
        row("weighs", &|one| value(&one.grams, "g")),
        row("volume at the end", &|one| volume(one.volume.as_ref())),
    ];
    let first = compared.rows.first();
    let products = first.map_or(&[][..], |one| &one.products);
    for (species, _) in products {
        let concentration = |one: &ComparedBottle| {
            let found = one.products.iter().find(|(other, _)| other == species);
            found.map_or_else(|| "–".to_owned(), |(_, c)| value(c, "mol/L"))
        };
        rows.push(row(&words.formula(species), &concentration));
    }
    rows.push(row("uncooled", &|one| {
        let peak = one
            .peak
            .as_ref()
            .map_or_else(|| "–".to_owned(), figure::temperature);
        if one.boils {
            format!("{peak}, boils")
        } else {
            peak
        }
    }));
    let amount = figure::quantity(&compared.amount);
    vec![
        Block::Equation(compared.reaction.clone()),
        Block::Paragraph(format!("for {amount} of {}", words.bare(&compared.basis))),
        Block::Table {
            columns: vec![""; compared.rows.len() + 1],
            rows,
        },
    ]
}
