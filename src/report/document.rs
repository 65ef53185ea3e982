//! A ledger as a document: what a sheet says, in the order of use, before anybody decides how it is set.
//!
//! Promises: text, Markdown and HTML carry the same content, because all three are set from this; figures are rounded
//! here, formulas stand in the notation asked for.
//!
//! Knows nothing of columns, markup or paper.

use crate::diagnostic;
use crate::equation::Reaction;
use crate::matter::{Notation, Phase, Species};
use crate::number::Dimension;
use crate::route::ledger::*;

use super::caution;
use super::figure;
use super::label::{self, Label};
use super::outcome;
use super::picture::{self, Picture};

/// A sheet.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// What the route is called.
    pub title: String,
    /// In the order of use.
    pub sections: Vec<Section>,
}

/// One part of a sheet.
#[derive(Clone, Debug)]
pub struct Section {
    /// Which.
    pub part: Part,
    /// What stands over it.
    pub heading: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// The parts of a sheet.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Part {
    /// What can hurt somebody, and what the sheet does not replace.
    Cautions,
    /// What to weigh and pour.
    MeasureOut,
    /// A step of the route.
    Step,
    /// Product and yield.
    Product,
    /// Answers to `show`.
    Asked,
    /// Answers to `find`.
    Found,
    /// Answers to `vary`.
    Compared,
    /// Answers to `expect`.
    Expectations,
    /// The figures with their inputs drawn at random.
    Sampled,
    /// The table of a whole equation.
    Scale,
    /// Remarks that belong to no operation.
    Remarks,
    /// Drawings of the whole route.
    Pictures,
    /// What is left.
    Waste,
    /// Publications.
    Sources,
}

/// A piece of a section.
#[derive(Clone, Debug)]
pub enum Block {
    /// Plain words.
    Paragraph(String),
    /// An equation on its own.
    Equation(Reaction),
    /// Something worth saying, or a caution.
    Remark(Weight, String),
    /// What to measure out.
    Portions(Vec<Portion>),
    /// A note of the route.
    Note(String),
    /// Something to do.
    Operation {
        /// As the route says it.
        written: String,
        /// What comes of it.
        results: Vec<Line>,
        /// What is worth saying about it.
        remarks: Vec<(Weight, String)>,
    },
    /// A vessel and what is in it.
    Vessel {
        /// Its name.
        name: String,
        /// Mass, volume, capacity, temperature.
        state: String,
        /// A row a species: amount, mass, formula, and `solid` or nothing.
        contents: Vec<[String; 4]>,
    },
    /// A question and its answer.
    Answer {
        /// As the route asks it.
        asked: String,
        /// What came out.
        answer: String,
    },
    /// A condition and whether it holds.
    Verdict {
        /// Whether it holds.
        met: bool,
        /// As the route says it.
        expected: String,
        /// What came out.
        found: String,
    },
    /// The same route with other values, a row a run.
    Comparison {
        /// One a column: the names that are varied, then what is shown.
        columns: Vec<String>,
        /// As many cells as columns.
        rows: Vec<Vec<String>>,
    },
    /// Rows with a heading over each column.
    Table {
        /// One a column; empty where the cells speak for themselves.
        columns: Vec<&'static str>,
        /// As many cells as columns.
        rows: Vec<Vec<String>>,
    },
    /// What to stick on the jar.
    Label(Label),
    /// A drawing with its words.
    Picture(Picture),
}

/// What an operation comes to, line by line.
#[derive(Clone, Debug)]
pub enum Line {
    /// In words.
    Words(String),
    /// An equation.
    Equation(Reaction),
    /// What an equation comes to in the vessel, in ions.
    Net(Reaction),
}

/// Something to weigh or pour.
#[derive(Clone, Debug)]
pub struct Portion {
    /// By the measure that suits it: mL for a liquid, g for a solid.
    pub amount: String,
    /// The bottle with its label, or the substance.
    pub what: String,
    /// The vessel, and what for.
    pub purpose: String,
    /// The same portion by other measures.
    pub also: String,
}

/// What every sheet says of itself.
pub const DISCLAIMER: &str = "This sheet does not replace the suppliers' safety data sheets, a risk assessment of your \
    own, local codes or licensed practice. What it does not name is not thereby safe.";

impl Document {
    /// The whole sheet, with formulas in `notation`.
    pub fn of(ledger: &Ledger, notation: Notation) -> Document {
        let words = Words(notation);
        let mut sections = vec![
            section(Part::Cautions, "Cautions", caution::cautions(words, ledger)),
            section(
                Part::MeasureOut,
                "What to measure out",
                words.portions(ledger),
            ),
        ];
        sections.extend(words.steps(ledger));
        sections.extend(words.labelled(ledger));
        sections.extend(words.found(&ledger.findings));
        sections.extend(words.asked(&ledger.shows));
        sections.extend(words.compared(&ledger.comparisons));
        sections.extend(words.expectations(&ledger.expectations));
        if let Some(Ok(sampling)) = &ledger.sampling {
            sections.push(words.sampled(sampling));
        }
        sections.extend(ledger.scales.iter().map(|table| words.scale(table)));
        let heats = ledger.energetics.iter();
        sections.extend(heats.map(|found| super::heat::section(found, notation)));
        let solutions = ledger.solutions.iter();
        sections.extend(solutions.map(|answer| super::solution::solution(words, answer)));
        sections.extend(words.remarks(ledger));
        sections.extend(words.pictures(ledger));
        sections.push(section(
            Part::Waste,
            "What is left, and waste",
            caution::waste(words, ledger),
        ));
        sections.push(section(Part::Sources, "Sources", words.sources(ledger)));
        Document {
            title: ledger
                .title
                .clone()
                .unwrap_or_else(|| "Untitled route".to_owned()),
            sections,
        }
    }
}

pub(super) fn section(part: Part, heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        part,
        heading: heading.to_owned(),
        blocks,
    }
}

/// Wording in one notation.
#[derive(Clone, Copy)]
pub(super) struct Words(pub(super) Notation);

impl Words {
    pub(super) fn formula(self, species: &Species) -> String {
        species.to_text(self.0)
    }

    pub(super) fn bare(self, species: &Species) -> String {
        species.with_phase(None).to_text(self.0)
    }

    pub(super) fn list(self, species: &[Species]) -> String {
        let all: Vec<String> = species.iter().map(|s| self.formula(s)).collect();
        all.join(", ")
    }

    pub(super) fn remark(self, remark: &Remark) -> (Weight, String) {
        let message = diagnostic::route_fact(&remark.fact, remark.weight, self.0);
        let hints = message.hints.iter().map(|hint| format!("; {hint}"));
        let text = hints.fold(message.title, |text, hint| text + &hint);
        (remark.weight, text)
    }

    fn portions(self, ledger: &Ledger) -> Vec<Block> {
        if ledger.draws.is_empty() {
            return vec![Block::Paragraph("nothing".to_owned())];
        }
        vec![Block::Portions(
            ledger.draws.iter().map(|draw| self.portion(draw)).collect(),
        )]
    }

    fn portion(self, draw: &Draw) -> Portion {
        let moles = stated(draw, Dimension::AMOUNT, || figure::amount(&draw.moles));
        Portion {
            amount: measure(draw),
            what: self.named(draw),
            purpose: self.purpose(draw),
            also: match draw.millilitres {
                Some(_) => format!("{}, {moles}", weighed(draw)),
                None => moles,
            },
        }
    }

    pub(super) fn named(self, draw: &Draw) -> String {
        let substance = self.bare(&draw.substance);
        match &draw.bottle {
            Some(bottle) if draw.strength.is_empty() => format!("{bottle}: {substance}"),
            Some(bottle) => format!("{bottle}: {substance} {}", draw.strength),
            None if draw.substance.key() == "H2O" => "water".to_owned(),
            None => substance,
        }
    }

    pub(super) fn purpose(self, draw: &Draw) -> String {
        let vessel = &draw.vessel;
        match &draw.reason {
            DrawReason::Stated => format!("into {vessel}"),
            DrawReason::Wash => format!("to wash {vessel}"),
            DrawReason::Dilution => format!("to fill up {vessel}"),
            DrawReason::Enough {
                for_species,
                excess,
                ..
            } => {
                let over = excess.as_ref().map_or(String::new(), |excess| {
                    format!(", {} more than needed", figure::percent(excess))
                });
                format!("into {vessel}, to use up {}{over}", self.bare(for_species))
            }
        }
    }

    fn steps(self, ledger: &Ledger) -> Vec<Section> {
        let all = ledger.steps.iter().enumerate();
        all.map(|(index, step)| {
            let number = index + 1;
            let heading = match &step.title {
                Some(title) => format!("Step {number}: {title}"),
                None => format!("Step {number}"),
            };
            let operations = step.operations.iter().map(|record| self.operation(record));
            let there = step.after.iter().filter(|vessel| !vessel.emptied);
            let vessels = there.flat_map(|vessel| {
                let beware = caution::of_vessel(self, vessel);
                [self.vessel(vessel)].into_iter().chain(beware)
            });
            section(Part::Step, &heading, operations.chain(vessels).collect())
        })
        .collect()
    }

    /// One operation, what comes of it and what is worth saying about it.
    pub(super) fn operation(self, record: &OperationRecord) -> Block {
        if let Outcome::Noted(note) = &record.outcome {
            return Block::Note(note.clone());
        }
        Block::Operation {
            written: record.text.clone(),
            results: outcome::lines(self, &record.outcome),
            remarks: record
                .remarks
                .iter()
                .map(|remark| self.remark(remark))
                .chain(caution::at_operation(self, &record.outcome))
                .collect(),
        }
    }

    fn vessel(self, vessel: &VesselState) -> Block {
        let mut state = figure::mass(&vessel.mass);
        if let Some(volume) = &vessel.volume {
            state += &format!(", {} of liquid", figure::volume(volume));
            if let Some(capacity) = &vessel.capacity {
                state += &format!(" in {}", figure::capacity(capacity));
            }
        }
        state += &format!(", {}", figure::temperature(&vessel.temperature));
        let contents = vessel.contents.iter().map(|content| {
            let solid = content.species.phase() == Some(Phase::Solid);
            [
                figure::amount(&content.moles),
                figure::mass(&content.grams),
                self.bare(&content.species),
                if solid { "solid" } else { "" }.to_owned(),
            ]
        });
        Block::Vessel {
            name: vessel.name.clone(),
            state,
            contents: contents.collect(),
        }
    }

    /// The product with its label, which the prompt has no use for.
    fn labelled(self, ledger: &Ledger) -> Option<Section> {
        let mut section = self.product(&ledger.yields)?;
        let labels = ledger.yields.iter();
        let labels = labels.map(|record| Block::Label(label::label(self, record, ledger)));
        section.blocks.extend(labels);
        Some(section)
    }

    fn pictures(self, ledger: &Ledger) -> Option<Section> {
        let drawn = picture::all(ledger).into_iter().map(Block::Picture);
        let blocks: Vec<Block> = drawn.collect();
        (!blocks.is_empty()).then(|| section(Part::Pictures, "Pictures", blocks))
    }

    pub(super) fn product(self, yields: &[YieldRecord]) -> Option<Section> {
        let blocks: Vec<Block> = yields
            .iter()
            .flat_map(|record| self.one_yield(record))
            .collect();
        (!blocks.is_empty()).then(|| section(Part::Product, "Product and yield", blocks))
    }

    fn one_yield(self, record: &YieldRecord) -> [Block; 3] {
        let found = if record.weighed {
            "as weighed, taken as pure"
        } else {
            "by the plan"
        };
        let (moles, grams) = &record.found;
        let there = format!(
            "{} in {}, {found}: {} ({})",
            self.bare(&record.product),
            record.vessel,
            figure::mass(grams),
            figure::amount(moles)
        );
        let basis = self.bare(&record.basis);
        let most = format!(
            "at most, on {} of {basis}: {}",
            figure::amount(&record.basis_moles),
            figure::mass(&record.theoretical.1)
        );
        let share = match &record.fraction {
            Some(fraction) => format!("yield: {}", figure::percent(fraction)),
            None => format!("yield: none to reckon, since no {basis} was charged"),
        };
        [there, most, share].map(Block::Paragraph)
    }

    pub(super) fn asked(self, shows: &[Shown]) -> Option<Section> {
        let blocks: Vec<Block> = shows.iter().flat_map(answered).collect();
        (!blocks.is_empty()).then(|| section(Part::Asked, "Asked", blocks))
    }

    pub(super) fn expectations(self, all: &[Expectation]) -> Option<Section> {
        let verdict = |one: &Expectation| Block::Verdict {
            met: one.met,
            expected: one.expression.clone(),
            found: figure::answer(&one.value),
        };
        let blocks: Vec<Block> = all.iter().map(verdict).collect();
        (!blocks.is_empty()).then(|| section(Part::Expectations, "Expectations", blocks))
    }

    /// Remarks that no operation carries.
    fn remarks(self, ledger: &Ledger) -> Option<Section> {
        let operations = ledger.steps.iter().flat_map(|step| &step.operations);
        let inside: Vec<&Remark> = operations
            .flat_map(|operation| &operation.remarks)
            .collect();
        let outside = ledger
            .remarks
            .iter()
            .filter(|remark| !inside.contains(remark));
        let blocks: Vec<Block> = outside
            .map(|remark| self.remark(remark))
            .map(|(weight, text)| Block::Remark(weight, text))
            .collect();
        (!blocks.is_empty()).then(|| section(Part::Remarks, "Worth a look", blocks))
    }

    fn sources(self, ledger: &Ledger) -> Vec<Block> {
        let own = ledger.own_data.iter();
        let own =
            own.map(|own| format!("{}: data of your own, from the script", self.formula(own)));
        let weights =
            "Standard atomic weights 2021, IUPAC CIAAW (Pure Appl. Chem. 94 (2022) 573)".to_owned();
        let safety = caution::sources(ledger).into_iter();
        let safety = safety.map(|source| format!("Hazards: {source}"));
        let published = ledger.sources.iter().cloned().chain(safety);
        own.chain([weights])
            .chain(published)
            .map(Block::Paragraph)
            .collect()
    }
}

/// The measure that suits it: mL for a liquid, g for a solid.
pub(super) fn measure(draw: &Draw) -> String {
    let poured = draw.millilitres.as_ref();
    let poured = poured.map(|poured| stated(draw, Dimension::VOLUME, || figure::volume(poured)));
    poured.unwrap_or_else(|| weighed(draw))
}

fn weighed(draw: &Draw) -> String {
    stated(draw, Dimension::MASS, || figure::mass(&draw.grams))
}

/// What the route states, to the digits and in the unit it does so; any other measure as it is reckoned.
fn stated(draw: &Draw, measure: Dimension, reckoned: impl Fn() -> String) -> String {
    let stated = draw.stated.as_ref();
    let stated = stated.filter(|stated| stated.dimension() == measure);
    stated.map_or_else(reckoned, figure::quantity)
}

fn answered(shown: &Shown) -> Vec<Block> {
    let answer = |answer: String| Block::Answer {
        asked: shown.expression.clone(),
        answer,
    };
    match &shown.answer {
        Answer::Budget(shares) if shares.is_empty() => {
            vec![answer("nothing in it is uncertain".to_owned())]
        }
        Answer::Budget(shares) => {
            let rows = shares
                .iter()
                .map(|(input, share)| vec![format!("{:.1} %", share * 100.0), input.clone()]);
            let table = Block::Table {
                columns: vec!["share of the variance", "input"],
                rows: rows.collect(),
            };
            vec![
                Block::Paragraph(format!("{}, share of the variance:", shown.expression)),
                table,
            ]
        }
        other => vec![answer(figure::answer(other))],
    }
}
