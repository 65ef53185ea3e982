//! A ledger as a document: what a sheet says, in the order of use, before anybody decides how it is set.
//!
//! Promises: text, Markdown and HTML carry the same content, because all three are set from this; figures are rounded
//! here, formulas stand in the notation asked for.
//!
//! Knows nothing of columns, markup or paper.

use crate::advice::{self, parted};
use crate::diagnostic;
use crate::equation::Reaction;
use crate::matter::{Notation, Phase, Species};
use crate::route::ledger::*;

use super::caution;
use super::label::{self, Label};
use super::outcome;
use super::picture::{self, Picture};
pub use super::portion::Portion;
use super::step_heat;
use crate::figure;

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
    Remark(Level, String),
    /// Hazard statements with what protects against them.
    Protection(Protection),
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
        remarks: Vec<(Level, String)>,
    },
    /// A vessel and what is in it.
    Vessel {
        /// Its name.
        name: String,
        /// Mass, volume, capacity, temperature.
        state: String,
        /// A row a species: amount, mass, formula, and `solid` or nothing.
        contents: Vec<[String; 4]>,
        /// What is too little for a row; empty if nothing is.
        traces: String,
        /// What the contents do to who handles them; empty if nothing is known against them.
        beware: Option<(Level, String)>,
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

/// A protective measure and what it is for.
#[derive(Clone, Debug)]
pub struct Protection {
    /// Of the gravest statement.
    pub level: Level,
    /// The gravest first.
    pub statements: Vec<Statement>,
    /// What to do; empty where the tables have no advice.
    pub measure: &'static str,
}

/// A hazard statement and what it holds for.
#[derive(Clone, Debug)]
pub struct Statement {
    /// `H314`
    pub code: &'static str,
    /// The regulatory text.
    pub text: &'static str,
    /// Bottles with their strength, substances, vessels with what is in them.
    pub of: String,
}

/// How much is said of a caution.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum Detail {
    /// Everything.
    Full,
    /// What is needed where it acts; the rest stands on top.
    Short,
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

    pub(super) fn remark(self, remark: &Remark) -> (Level, String) {
        let message = diagnostic::route_fact(&remark.fact, remark.level, self.0);
        let hints = message.hints.iter().map(|hint| format!("; {hint}"));
        let text = hints.fold(message.title, |text, hint| text + &hint);
        (remark.level, text)
    }

    fn steps(self, ledger: &Ledger) -> Vec<Section> {
        let all = ledger.steps.iter().enumerate();
        all.map(|(index, step)| {
            let number = index + 1;
            let heading = match &step.title {
                Some(title) => format!("Step {number}: {title}"),
                None => format!("Step {number}"),
            };
            let operations = step.operations.iter();
            let mut said = Vec::new();
            let mut operations: Vec<Block> = operations
                .map(|record| self.told(record, ledger, Detail::Short, &mut said))
                .collect();
            operations.extend(step_heat::line(&step.heat).map(Block::Paragraph));
            let there = step.after.iter().filter(|vessel| !vessel.emptied);
            operations.extend(there.map(|vessel| self.vessel(vessel)));
            section(Part::Step, &heading, operations)
        })
        .collect()
    }

    /// One operation, what comes of it and what is worth saying about it.
    pub(super) fn operation(self, record: &OperationRecord, ledger: &Ledger) -> Block {
        self.told(record, ledger, Detail::Full, &mut Vec::new())
    }

    /// What `said` holds of bottles and gases is not said again.
    fn told(
        self,
        record: &OperationRecord,
        ledger: &Ledger,
        detail: Detail,
        said: &mut Vec<(Level, String)>,
    ) -> Block {
        if let Outcome::Noted(note) = &record.outcome {
            return Block::Note(note.clone());
        }
        let remarks = ledger.remarks_on(record);
        let remarks = remarks.filter_map(|remark| match (detail, &remark.fact) {
            // The line of the heat says it.
            (Detail::Short, Fact::NoHeatData { .. }) => None,
            (Detail::Short, _) => Some(self.reminder(remark)),
            (Detail::Full, _) => Some(self.remark(remark)),
        });
        let mut remarks: Vec<(Level, String)> = remarks.collect();
        for caution in caution::at_operation(self, &record.outcome, detail) {
            if !said.contains(&caution) {
                said.push(caution.clone());
                remarks.push(caution);
            }
        }
        Block::Operation {
            written: record.text.clone(),
            results: outcome::lines(self, &record.outcome),
            remarks,
        }
    }

    /// A remark of which the cautions on top say the rest.
    fn reminder(self, remark: &Remark) -> (Level, String) {
        let short = diagnostic::reminder(&remark.fact);
        short.map_or_else(|| self.remark(remark), |text| (remark.level, text))
    }

    fn vessel(self, vessel: &VesselState) -> Block {
        let mut state = figure::mass(&vessel.mass);
        if let Some(volume) = &vessel.volume {
            state += &format!(", {} of liquid", figure::volume(volume));
            if let Some(capacity) = &vessel.capacity {
                state += &format!(" in {}", figure::capacity(capacity));
            }
        }
        let temperature = vessel.known_temperature().map(figure::temperature);
        state += &format!(
            ", {}",
            temperature.as_deref().unwrap_or("temperature not known")
        );
        let (figured, traces) = parted(&vessel.contents);
        let contents = figured.into_iter().map(|content| {
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
            traces: self.traces(&traces).unwrap_or_default(),
            beware: caution::of_vessel(self, vessel),
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
        let found = if record.weighed.is_some() {
            "as weighed, taken as pure"
        } else {
            "by the plan"
        };
        let moles = &record.found.0;
        let there = format!(
            "{} in {}, {found}: {} ({})",
            self.bare(&record.product),
            record.vessel,
            product_mass(record),
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
            found: figure::answer_beside(&one.value, &one.wanted),
        };
        let blocks: Vec<Block> = all.iter().map(verdict).collect();
        (!blocks.is_empty()).then(|| section(Part::Expectations, "Expectations", blocks))
    }

    /// Remarks that no operation carries.
    fn remarks(self, ledger: &Ledger) -> Option<Section> {
        let blocks: Vec<Block> = ledger
            .outside()
            .map(|remark| self.remark(remark))
            .map(|(level, text)| Block::Remark(level, text))
            .collect();
        (!blocks.is_empty()).then(|| section(Part::Remarks, "Worth a look", blocks))
    }

    fn sources(self, ledger: &Ledger) -> Vec<Block> {
        let own = ledger.own_data.iter();
        let own =
            own.map(|own| format!("{}: data of your own, from the script", self.formula(own)));
        let weights =
            "Standard atomic weights 2021, IUPAC CIAAW (Pure Appl. Chem. 94 (2022) 573)".to_owned();
        let safety = advice::sources(ledger);
        // One that another goes on from is told with it.
        let goes_on = |source: &str| {
            let mut others = safety.iter().filter(|other| **other != source);
            others.any(|other| other.starts_with(source))
        };
        let safety: Vec<&str> = safety
            .iter()
            .copied()
            .filter(|source| !goes_on(source))
            .collect();
        let safety = (!safety.is_empty()).then(|| format!("Hazards: {}", safety.join("; ")));
        let published = ledger.sources.iter().cloned().chain(safety);
        own.chain([weights])
            .chain(published)
            .map(Block::Paragraph)
            .collect()
    }
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

/// Of the product: as it was weighed, else as it is reckoned.
pub(super) fn product_mass(record: &YieldRecord) -> String {
    let weighed = record.weighed.as_ref().map(figure::quantity);
    weighed.unwrap_or_else(|| figure::mass(&record.found.1))
}
