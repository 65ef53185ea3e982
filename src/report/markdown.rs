//! The bench sheet as Markdown: CommonMark with the tables and task lists that most readers know.
//!
//! Promises: words of the route are shown as they are; none of them becomes markup, a link or HTML.

use crate::equation::Reaction;
use crate::matter::Notation;
use crate::route::ledger::{Ledger, Level};

use super::document::{Block, Document, Line, Portion, Protection};
use super::label::Label;
use super::picture::Picture;

/// The whole sheet.
pub fn markdown(ledger: &Ledger) -> String {
    let document = Document::of(ledger, Notation::Printed);
    let mut out = format!("# {}\n", escaped(&document.title));
    for section in &document.sections {
        out += &format!("\n## {}\n\n", escaped(&section.heading));
        let blocks: Vec<String> = section.blocks.iter().map(block).collect();
        out += &joined(&section.blocks, &blocks);
    }
    out
}

/// List items stand close together, everything else has an empty line between.
fn joined(blocks: &[Block], written: &[String]) -> String {
    let is_item = |block: &Block| {
        matches!(
            block,
            Block::Operation { .. }
                | Block::Remark(..)
                | Block::Protection(_)
                | Block::Answer { .. }
                | Block::Verdict { .. }
        )
    };
    let mut out = String::new();
    for (index, text) in written.iter().enumerate() {
        let after_item = index > 0 && is_item(&blocks[index - 1]);
        if index > 0 && !(after_item && is_item(&blocks[index])) {
            out.push('\n');
        }
        out += text;
    }
    out
}

fn block(block: &Block) -> String {
    match block {
        Block::Paragraph(text) => format!("{}\n", escaped(text)),
        Block::Equation(reaction) => format!("{}\n", equation(reaction)),
        Block::Remark(level, text) => remark(*level, text, ""),
        Block::Protection(one) => protection(one),
        Block::Portions(all) => portions(all),
        Block::Note(text) => format!("> {}\n", escaped(text)),
        Block::Operation {
            written,
            results,
            remarks,
        } => {
            let mut out = format!("- [ ] {}\n", code(written));
            out.extend(results.iter().map(|line| format!("  - {}\n", result(line))));
            out.extend(
                remarks
                    .iter()
                    .map(|(level, text)| remark(*level, text, "  ")),
            );
            out
        }
        Block::Vessel {
            name,
            state,
            contents,
            traces,
            beware,
        } => {
            let rows: Vec<Vec<String>> = contents.iter().map(|row| row.to_vec()).collect();
            let mut out = format!("In **{}**: {}\n", escaped(name), escaped(state));
            if !rows.is_empty() {
                out += &format!("\n{}", table(&["amount", "mass", "species", ""], &rows));
            }
            if !traces.is_empty() {
                out += &format!("\n{}\n", escaped(traces));
            }
            if let Some((level, text)) = beware {
                out += &format!("\n{}", remark(*level, text, ""));
            }
            out
        }
        Block::Answer { asked, answer } => format!("- {} = {}\n", code(asked), escaped(answer)),
        Block::Verdict {
            met,
            expected,
            found,
        } => {
            let verdict = if *met { "met" } else { "**NOT MET**" };
            format!(
                "- {verdict}: {} (it is {})\n",
                code(expected),
                escaped(found)
            )
        }
        Block::Comparison { columns, rows } => table(columns, rows),
        Block::Table { columns, rows } => table(columns, rows),
        Block::Label(written) => label(written),
        Block::Picture(drawn) => picture(drawn),
    }
}

/// To copy onto the jar, as a quotation with a line for each of its lines.
fn label(label: &Label) -> String {
    let name = label.name.map(|name| format!("{}: ", escaped(name)));
    let formula = format!(
        "{}**{}**",
        name.unwrap_or_default(),
        escaped(&label.formula)
    );
    let signal = label.signal.map(|word| format!("**{word}**"));
    let statements = label.statements.iter();
    let statements = statements.map(|(code, text)| format!("**{code}** {}", escaped(text)));
    let remarks = label.remarks.iter().map(|remark| escaped(remark));
    let lines: Vec<String> = [formula, escaped(&label.strength), escaped(&label.amount)]
        .into_iter()
        .chain(signal)
        .chain(statements)
        .chain(remarks)
        .chain(["made on: by:".to_owned()])
        .map(|line| format!("> {line}"))
        .collect();
    lines.join("\\\n") + "\n"
}

/// In characters, set apart by blanks in front: nothing in it can end that.
fn picture(picture: &Picture) -> String {
    let words = format!("{} {}", picture.caption, picture.typed);
    let (title, words) = (escaped(&picture.title), escaped(&words));
    let lines = picture.lines.iter().map(|line| format!("    {line}\n"));
    format!("### {title}\n\n{}\n{words}\n", lines.collect::<String>())
}

fn result(line: &Line) -> String {
    match line {
        Line::Words(text) => escaped(text),
        Line::Equation(reaction) => equation(reaction),
        Line::Net(reaction) => format!("in the vessel: {}", equation(reaction)),
    }
}

fn remark(level: Level, text: &str, indent: &str) -> String {
    let mark = match level {
        Level::Note => "",
        Level::Warning => "**Take care:** ",
        Level::Fault => "**Cannot be done:** ",
    };
    format!("{indent}- {mark}{}\n", words(text))
}

/// Each statement with what carries it, then what to do.
fn protection(one: &Protection) -> String {
    let statements = one.statements.iter().map(|told| {
        let text = told.text.trim_end_matches('.');
        let text = format!("{} {text}: {}", told.code, told.of);
        remark(one.level, &text, "")
    });
    let measure = (!one.measure.is_empty()).then(|| remark(Level::Note, one.measure, "  "));
    statements.chain(measure).collect()
}

/// With an empty column for what was really weighed or poured.
fn portions(all: &[Portion]) -> String {
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|one| {
            let cells = [&one.amount, &one.what, &one.purpose, &one.also];
            cells.into_iter().cloned().chain([String::new()]).collect()
        })
        .collect();
    table(&["amount", "of", "for", "that is", "really taken"], &rows)
}

fn table(columns: &[impl AsRef<str>], rows: &[Vec<String>]) -> String {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let mut out = line(columns.iter().map(|cell| escaped(cell.as_ref())).collect());
    out += &line(columns.iter().map(|_| "---".to_owned()).collect());
    out.extend(
        rows.iter()
            .map(|row| line(row.iter().map(|cell| escaped(cell)).collect())),
    );
    out
}

fn equation(reaction: &Reaction) -> String {
    escaped(&reaction.to_text(Notation::Printed))
}

/// Words with no markup in them but the code that stands in pairs of backticks.
fn words(text: &str) -> String {
    let pieces: Vec<&str> = text.split('`').collect();
    if pieces.len().is_multiple_of(2) || text.contains("``") {
        return escaped(text);
    }
    let mut out = String::new();
    for (index, piece) in pieces.into_iter().enumerate() {
        out += &match index % 2 {
            0 => marked(piece),
            _ => code(piece),
        };
    }
    out
}

/// On one line, with a backslash before every character that could begin markup.
fn escaped(text: &str) -> String {
    let out = marked(&text.split_whitespace().collect::<Vec<_>>().join(" "));
    // A dash, a plus or a number with a point, and a blank behind, would begin a list.
    let number = out.trim_start_matches(|c: char| c.is_ascii_digit());
    let at = out.len() - number.len();
    let begins = match at {
        0 => number.starts_with(['-', '+']),
        _ => number.starts_with(['.', ')']) && !number[1..].starts_with(|c: char| c != ' '),
    };
    match begins {
        true => format!("{}\\{number}", &out[..at]),
        false => out,
    }
}

/// With a backslash before every character that could begin markup, and in every address that some readers link.
fn marked(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if "\\`*_{}[]<>#|~&!@".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out.replace("://", "\\://").replace("www.", "www\\.")
}

/// As it is written in the route; the fence is longer than any run of backticks in it.
fn code(text: &str) -> String {
    let longest = text.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(longest + 1);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match longest {
        0 => format!("{fence}{text}{fence}"),
        _ => format!("{fence} {text} {fence}"),
    }
}
