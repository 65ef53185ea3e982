//! The bench sheet as text for a terminal or a printer, 80 columns.

use std::borrow::Cow;

use unicode_width::UnicodeWidthStr;

use crate::matter::Notation;
use crate::route::ledger::*;

use super::ascii::ascii;
use super::document::{Block, Document, Line, Portion, Protection, Section, Words};
use super::label::Label;
use super::page::{self, Align, WIDTH};
use super::picture::{self, Picture};

/// How to write it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// For formulas and arrows.
    pub notation: Notation,
}

/// The whole sheet.
pub fn sheet(ledger: &Ledger, style: Style) -> String {
    let document = Document::of(ledger, style.notation);
    let mut page = Page::new(style);
    page.headed(&document.title, "=");
    for section in &document.sections {
        page.section(section);
    }
    page.text
}

/// The answers of `show` and `expect` alone, as the prompt prints them.
pub fn answers(shows: &[Shown], expectations: &[Expectation], style: Style) -> String {
    let words = Words(style.notation);
    let mut page = Page::new(style);
    for section in [words.asked(shows), words.expectations(expectations)]
        .iter()
        .flatten()
    {
        page.blocks(&section.blocks);
    }
    page.text
}

/// The answers of `find` and `vary` alone, as the prompt prints them.
pub fn planned(findings: &[Finding], comparisons: &[Comparison], style: Style) -> String {
    let words = Words(style.notation);
    let mut page = Page::new(style);
    for section in [words.found(findings), words.compared(comparisons)]
        .iter()
        .flatten()
    {
        page.blocks(&section.blocks);
    }
    page.text
}

/// The answers of `yield` alone, as the prompt prints them.
pub fn yields(yields: &[YieldRecord], style: Style) -> String {
    let mut page = Page::new(style);
    if let Some(section) = Words(style.notation).product(yields) {
        page.section(&section);
    }
    page.text
}

/// The table of a `scale` alone.
pub fn scale(table: &ScaleTable, style: Style) -> String {
    let mut page = Page::new(style);
    page.section(&Words(style.notation).scale(table));
    page.text
}

/// The answer to a `solution` alone.
pub fn solution(answer: &SolutionAnswer, style: Style) -> String {
    let mut page = Page::new(style);
    page.section(&super::solution::solution(Words(style.notation), answer));
    page.text
}

/// The pictures alone, in characters.
pub fn pictures(ledger: &Ledger, style: Style) -> String {
    let mut page = Page::new(style);
    for drawn in picture::all(ledger) {
        page.picture(&drawn);
    }
    page.text
}

/// What one operation of a ledger did, as the prompt prints it.
pub fn operation(record: &OperationRecord, ledger: &Ledger, style: Style) -> String {
    let mut page = Page::new(style);
    page.block(&Words(style.notation).operation(record, ledger));
    page.text
}

struct Page {
    text: String,
    style: Style,
}

impl Page {
    fn new(style: Style) -> Self {
        Page {
            text: String::new(),
            style,
        }
    }

    /// Words as the style spells them; before anything is measured, since spelling out takes room.
    fn spelt<'t>(&self, text: &'t str) -> Cow<'t, str> {
        match self.style.notation {
            Notation::Ascii => ascii(text).into(),
            Notation::Plain | Notation::Printed => text.into(),
        }
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Text broken at blanks, later lines indented like the first plus `hang`.
    fn wrapped(&mut self, indent: usize, hang: usize, text: &str) {
        let spelt = self.spelt(text);
        let words: Vec<&str> = spelt.split_whitespace().collect();
        let lines = match words.is_empty() {
            true => Vec::new(),
            false => page::lines(&words.join(" "), indent, indent + hang),
        };
        lines.iter().for_each(|line| self.line(line));
    }

    fn section(&mut self, section: &Section) {
        self.line("");
        self.headed(&section.heading, "-");
        self.blocks(&section.blocks);
    }

    fn headed(&mut self, heading: &str, rule: &str) {
        self.wrapped(0, 0, heading);
        let width = self.spelt(heading).width();
        self.line(&rule.repeat(width.min(WIDTH)));
    }

    fn blocks(&mut self, blocks: &[Block]) {
        let mut vessels = blocks
            .iter()
            .map(|block| matches!(block, Block::Vessel { .. }));
        let first_vessel = vessels.position(|is_vessel| is_vessel);
        for (index, block) in blocks.iter().enumerate() {
            if Some(index) == first_vessel {
                self.line("  Now in the vessels:");
            }
            self.block(block);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Paragraph(text) => self.wrapped(2, 2, text),
            Block::Equation(reaction) => self.wrapped(2, 4, &reaction.to_text(self.style.notation)),
            Block::Remark(level, text) => self.remark(2, *level, text),
            Block::Protection(protection) => self.protection(protection),
            Block::Portions(all) => self.portions(all),
            Block::Note(text) => self.wrapped(2, 2, text),
            Block::Operation {
                written,
                results,
                remarks,
            } => {
                self.wrapped(2, 4, written);
                results.iter().for_each(|line| self.result(line));
                remarks
                    .iter()
                    .for_each(|(level, text)| self.remark(6, *level, text));
            }
            Block::Vessel {
                name,
                state,
                contents,
                traces,
                beware,
            } => {
                self.wrapped(4, 2, &format!("{name}: {state}"));
                let rows: Vec<Vec<String>> = contents.iter().map(|row| row.to_vec()).collect();
                self.rows(6, &rows);
                self.wrapped(6, 2, traces);
                if let Some((level, text)) = beware {
                    self.remark(6, *level, text);
                }
            }
            Block::Answer { asked, answer } => self.wrapped(2, 4, &format!("{asked} = {answer}")),
            Block::Verdict {
                met,
                expected,
                found,
            } => {
                let verdict = if *met { "met" } else { "NOT MET" };
                self.wrapped(2, 4, &format!("{verdict}: {expected} (it is {found})"));
            }
            Block::Comparison { columns, rows } => {
                let headed: Vec<Vec<String>> = [columns].into_iter().chain(rows).cloned().collect();
                self.rows(2, &headed);
            }
            Block::Table { rows, .. } => self.rows(2, rows),
            Block::Label(label) => self.label(label),
            Block::Picture(picture) => self.picture(picture),
        }
    }

    /// Each statement with what carries it, then what to do.
    fn protection(&mut self, protection: &Protection) {
        for told in &protection.statements {
            let text = format!(
                "{} {}: {}",
                told.code,
                told.text.trim_end_matches('.'),
                told.of
            );
            self.remark(2, protection.level, &text);
        }
        if !protection.measure.is_empty() {
            self.wrapped(6, 2, &format!("→ {}", protection.measure));
        }
    }

    /// To copy onto the jar.
    fn label(&mut self, label: &Label) {
        self.line("  Label:");
        let statements = label.statements.iter();
        let statements = statements.map(|(code, text)| format!("{code} {text}"));
        let lines = label.name.into_iter().map(str::to_owned);
        let lines =
            lines.chain([&label.formula, &label.strength, &label.amount].map(String::clone));
        let lines = lines
            .chain(label.signal.map(str::to_owned))
            .chain(statements);
        for line in lines.chain(label.remarks.iter().cloned()) {
            self.wrapped(4, 2, &line);
        }
        self.line("    made on ______________  by ______________");
    }

    fn picture(&mut self, picture: &Picture) {
        self.wrapped(2, 2, &picture.title);
        for line in &picture.lines {
            let line = self.spelt(line).into_owned();
            self.line(&format!("    {line}"));
        }
        self.wrapped(2, 2, &format!("{} {}", picture.caption, picture.typed));
    }

    fn result(&mut self, line: &Line) {
        match line {
            Line::Words(text) => self.wrapped(6, 2, text),
            Line::Equation(reaction) => self.wrapped(6, 4, &reaction.to_text(self.style.notation)),
            Line::Net(reaction) => {
                let text = reaction.to_text(self.style.notation);
                self.wrapped(6, 4, &format!("in the vessel: {text}"));
            }
        }
    }

    fn remark(&mut self, indent: usize, level: Level, text: &str) {
        let mark = match level {
            Level::Note => "-",
            Level::Warning => "!",
            Level::Fault => "!!",
        };
        self.wrapped(indent, 2, &format!("{mark} {text}"));
    }

    /// The amount in its column, everything else beside and below it.
    fn portions(&mut self, all: &[Portion]) {
        let amounts: Vec<Vec<String>> = all
            .iter()
            .map(|portion| vec![self.spelt(&portion.amount).into_owned()])
            .collect();
        let amounts = page::table(&amounts, &[Align::Point]);
        let column = 4 + amounts
            .lines()
            .map(UnicodeWidthStr::width)
            .max()
            .unwrap_or(0);
        for (portion, amount) in all.iter().zip(amounts.lines()) {
            let start = self.text.len();
            self.wrapped(column, 2, &format!("{}, {}", portion.what, portion.purpose));
            let blanks = amount.width() + 2;
            self.text
                .replace_range(start..start + blanks, &format!("  {amount}"));
            self.wrapped(column, 2, &portion.also);
        }
    }

    fn rows(&mut self, indent: usize, rows: &[Vec<String>]) {
        let spelt = |row: &Vec<String>| {
            row.iter()
                .map(|cell| self.spelt(cell).into_owned())
                .collect()
        };
        let rows: &[Vec<String>] = &rows.iter().map(spelt).collect::<Vec<_>>();
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let aligned: Vec<Align> = (0..columns)
            .map(|column| page::suits(rows, column))
            .collect();
        for line in page::table(rows, &aligned).lines() {
            if indent + line.width() <= WIDTH {
                self.line(&format!("{}{line}", " ".repeat(indent)));
            } else {
                // Out of its columns, but on the page.
                self.wrapped(indent, 4, line);
            }
        }
    }
}
