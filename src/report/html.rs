//! The bench sheet as one HTML file: no script, no network, for a screen of any width and for paper.
//!
//! Promises: words of the route are escaped wherever they stand, and the page forbids itself scripts and every
//! connection; every picture has its words; whatever is told by colour is told by words too.

use crate::hazard::{Cautions, Form, cautions_for};
use crate::matter::{Notation, Phase};
use crate::route::ledger::{Ledger, Weight, YieldRecord};

use super::document::{Block, Document, Line, Part, Portion, Section};
use super::figure;
use super::page::{self, Align};
use super::picture;
use super::typeset::{equation, escaped, words};

const TEMPLATE: &str = include_str!("templates/sheet.html");
const STYLE: &str = include_str!("templates/sheet.css");

/// The whole sheet.
pub fn html(ledger: &Ledger) -> String {
    let document = Document::of(ledger, Notation::Printed);
    let mut body = String::new();
    for (index, part) in document.sections.iter().enumerate() {
        if part.part == Part::Waste {
            body += &pictures(ledger);
        }
        body += &section(part, index);
        if part.part == Part::Product {
            body.extend(ledger.yields.iter().map(|record| label(record, ledger)));
        }
    }
    let title = words(&document.title);
    filled(
        TEMPLATE,
        &[("title", &title), ("style", STYLE), ("body", &body)],
    )
}

/// A template with its `{{names}}` replaced; what is put in is not looked at again.
fn filled(template: &str, values: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        out += before;
        let (name, after) = after.split_once("}}").unwrap_or((after, ""));
        let value = values.iter().find(|(known, _)| *known == name);
        out += value.map_or("", |(_, value)| value);
        rest = after;
    }
    out + rest
}

fn section(section: &Section, index: usize) -> String {
    let mut body = String::new();
    for group in section.blocks.chunk_by(|a, b| frame(a) == frame(b)) {
        let (open, close) = frame(&group[0]);
        body += open;
        body.extend(group.iter().map(written));
        body += close;
    }
    let heading = words(&section.heading);
    format!(
        "<section aria-labelledby=\"part{index}\">\n<h2 id=\"part{index}\">{heading}</h2>\n{body}</section>\n"
    )
}

/// What stands around a run of blocks of one kind.
fn frame(block: &Block) -> (&'static str, &'static str) {
    match block {
        Block::Operation { .. } => ("<ul class=\"todo\">\n", "</ul>\n"),
        Block::Vessel { .. } => ("<div class=\"vessels\">\n", "</div>\n"),
        _ => ("", ""),
    }
}

fn written(block: &Block) -> String {
    match block {
        Block::Paragraph(text) => format!("<p>{}</p>\n", words(text)),
        Block::Equation(reaction) => {
            format!("<div class=\"scroll\">{}</div>\n", equation(reaction))
        }
        Block::Remark(weight, text) => format!("<p{}\n", remark(*weight, text, "p")),
        Block::Portions(all) => portions(all),
        Block::Note(text) => format!("<p class=\"note\">{}</p>\n", words(text)),
        Block::Operation {
            written,
            results,
            remarks,
        } => operation(written, results, remarks),
        Block::Vessel {
            name,
            state,
            contents,
        } => {
            let first = |[amount, mass, species, note]: &[String; 4]| {
                [species, amount, mass, note].map(Clone::clone).to_vec()
            };
            let rows: Vec<Vec<String>> = contents.iter().map(first).collect();
            let table = table(&["species", "amount", "mass", ""], &rows);
            format!(
                "<div>\n<h3>In {}</h3>\n<p class=\"quiet\">{}</p>\n{table}</div>\n",
                escaped(name),
                words(state)
            )
        }
        Block::Answer { asked, answer } => {
            format!(
                "<p><code>{}</code> = {}</p>\n",
                escaped(asked),
                words(answer)
            )
        }
        Block::Verdict {
            met,
            expected,
            found,
        } => {
            let verdict = if *met { "met" } else { "NOT MET" };
            let class = if *met { "" } else { " class=\"care\"" };
            let (expected, found) = (escaped(expected), words(found));
            format!("<p{class}><b>{verdict}</b>: <code>{expected}</code> (it is {found})</p>\n")
        }
        Block::Table { columns, rows } => table(columns, rows),
    }
}

fn operation(written: &str, results: &[Line], remarks: &[(Weight, String)]) -> String {
    let mut lines: Vec<String> = results
        .iter()
        .map(|line| format!("<li>{}</li>", result(line)))
        .collect();
    lines.extend(
        remarks
            .iter()
            .map(|(weight, text)| format!("<li{}", remark(*weight, text, "li"))),
    );
    let results = match lines.is_empty() {
        true => String::new(),
        false => format!("\n<ul class=\"results\">\n{}\n</ul>", lines.join("\n")),
    };
    let written = escaped(written);
    format!("<li><label><input type=\"checkbox\"><code>{written}</code></label>{results}</li>\n")
}

fn result(line: &Line) -> String {
    match line {
        Line::Words(text) => words(text),
        Line::Equation(reaction) => format!("<div class=\"scroll\">{}</div>", equation(reaction)),
        Line::Net(reaction) => format!(
            "in the vessel: <div class=\"scroll\">{}</div>",
            equation(reaction)
        ),
    }
}

/// From behind the name of the element `tag` to its end.
fn remark(weight: Weight, text: &str, tag: &str) -> String {
    let text = words(text);
    match weight {
        Weight::Note => format!(">{text}</{tag}>"),
        Weight::Warning => format!(" class=\"care\"><b>Take care:</b> {text}</{tag}>"),
        Weight::Fault => format!(" class=\"care\"><b>Cannot be done:</b> {text}</{tag}>"),
    }
}

/// A box to tick and a blank for what was really taken.
fn portions(all: &[Portion]) -> String {
    let mut items = String::new();
    for portion in all {
        let (amount, what) = (words(&portion.amount), words(&portion.what));
        let (purpose, also) = (words(&portion.purpose), words(&portion.also));
        let spoken = escaped(&format!(
            "{} of {} measured out",
            portion.amount, portion.what
        ));
        items += &format!(
            "<li><input type=\"checkbox\" aria-label=\"{spoken}\"><b>{amount}</b>\
             <span>{what} <small>{purpose}; {also}</small></span><span class=\"taken quiet\">taken:</span></li>\n"
        );
    }
    format!("<ul class=\"portions\">\n{items}</ul>\n")
}

fn table(columns: &[&str], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let heads: String = columns
        .iter()
        .map(|name| match *name {
            "" => "<td></td>".to_owned(),
            name => format!("<th scope=\"col\">{}</th>", escaped(name)),
        })
        .collect();
    let classes: Vec<&str> = (0..columns.len())
        .map(|column| match page::suits(rows, column) {
            Align::Point => " class=\"figure\"",
            Align::Left => "",
        })
        .collect();
    let mut body = String::new();
    for row in rows {
        let cells = row.iter().zip(&classes);
        let cells = cells.map(|(cell, class)| format!("<td{class}>{}</td>", words(cell)));
        body += &format!("<tr>{}</tr>\n", cells.collect::<String>());
    }
    format!(
        "<div class=\"scroll\"><table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{body}</tbody>\n</table></div>\n"
    )
}

fn pictures(ledger: &Ledger) -> String {
    let drawn = [picture::temperature(ledger), picture::flow(ledger)];
    let figures: Vec<String> = drawn
        .into_iter()
        .flatten()
        .map(|picture| {
            format!(
                "<figure>\n<h3>{}</h3>\n{}<figcaption>{}</figcaption>\n</figure>\n",
                words(&picture.title),
                picture.inline(),
                words(&picture.caption)
            )
        })
        .collect();
    if figures.is_empty() {
        return String::new();
    }
    format!(
        "<section aria-labelledby=\"pictures\">\n<h2 id=\"pictures\">Pictures</h2>\n<div class=\"figures\">\n{}</div></section>\n",
        figures.concat()
    )
}

/// To cut out and stick on the jar: what is in it, how much, how pure by the plan, and its hazards.
fn label(record: &YieldRecord, ledger: &Ledger) -> String {
    let product = record.product.with_phase(None).to_text(Notation::Printed);
    let jar = ledger
        .vessels
        .iter()
        .find(|vessel| vessel.name == record.vessel);
    let share = jar.and_then(|jar| record.found.1.checked_div(&jar.mass));
    let amount = match (jar, share) {
        (Some(jar), Some(share)) => format!(
            "{}, of which {} {product}",
            figure::mass(&jar.mass),
            figure::percent(&share)
        ),
        _ => figure::mass(&record.found.1),
    };
    format!(
        "<section class=\"label\" aria-label=\"label for the product\">\n<p class=\"formula\">{}</p>\n<p>{}</p>\n{}\n\
         <p class=\"blanks\"><span>Date</span><span>Initials</span></p>\n</section>\n",
        words(&product),
        words(&amount),
        hazards(record),
    )
}

fn hazards(record: &YieldRecord) -> String {
    // A gas or a solution is not what a jar of product holds; its strength would be needed to say more.
    let found = match record.product.phase() {
        Some(Phase::Gas | Phase::Aqueous) => Cautions::NothingFound,
        _ => cautions_for(&record.product, Form::Pure, None),
    };
    let Cautions::Found {
        hazards,
        of_anhydrous,
        ..
    } = found
    else {
        let known = match found {
            Cautions::NoClass { .. } => {
                "No hazard class in our table, which is not the same as harmless"
            }
            _ => "Hazards not known to us",
        };
        return format!("<p>{known}; see the safety data sheet.</p>");
    };
    let signal = hazards
        .iter()
        .map(|hazard| hazard.signal_word)
        .find(|word| !word.is_empty());
    let mut lines: Vec<String> = signal
        .iter()
        .map(|word| format!("<p><b>{}</b></p>", escaped(word)))
        .collect();
    lines.extend(hazards.iter().map(|hazard| {
        format!(
            "<p><b>{}</b> {}</p>",
            escaped(hazard.code),
            escaped(hazard.text)
        )
    }));
    let salt = if of_anhydrous {
        "of the salt without its water, "
    } else {
        ""
    };
    let sources = hazards
        .iter()
        .map(|hazard| hazard.source)
        .collect::<std::collections::BTreeSet<_>>();
    let sources: Vec<String> = sources.into_iter().map(escaped).collect();
    lines.push(format!(
        "<p><small>{salt}after {}</small></p>",
        sources.join(", ")
    ));
    lines.concat()
}
