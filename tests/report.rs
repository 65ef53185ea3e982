//! The sheet in every form, as its reader meets it.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use aludel::matter::Notation;
use aludel::report::{self, Style};
use aludel::route::Ledger;
use aludel::{data::Store, route, text::Source};
use common::aludel;
use unicode_width::UnicodeWidthStr;

/// Quantities made up for the test; the title and the note are those of a colleague with bad manners.
const HOSTILE: &str = include_str!("browser/hostile.route");
fn ledger(name: &str, text: &str) -> Ledger {
    let outcome = route::follow(&Source::new(name, text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{name}: {:?}", outcome.faults);
    outcome.ledger
}

/// The shipped routes and the hostile one.
fn ledgers() -> Vec<(String, Ledger)> {
    let mut all = vec![("hostile".to_owned(), ledger("hostile", HOSTILE))];
    for entry in std::fs::read_dir("scripts").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|kind| kind == "route") {
            let name = path.display().to_string();
            let text = std::fs::read_to_string(&path).unwrap();
            all.push((name.clone(), ledger(&name, &text)));
        }
    }
    assert!(all.len() > 1, "no route ships");
    all
}

#[test]
fn lines_of_text_fit_a_page() {
    for (name, ledger) in ledgers() {
        for line in report::sheet(&ledger, Style::default()).lines() {
            assert!(line.width() <= 80, "{name}: {line}");
        }
    }
}

#[test]
fn pages_and_pictures_are_well_formed() {
    let mut drawn = 0;
    for (name, ledger) in ledgers() {
        well_formed(&report::html(&ledger)).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        if let Some(pictures) = report::svg(&ledger) {
            well_formed(&pictures).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            drawn += 1;
        }
    }
    assert!(drawn >= 3, "only {drawn} routes have pictures");
}

#[test]
fn the_checker_of_markup_notices_what_is_spoilt() {
    assert_eq!(well_formed("<p><b id=\"a\"/>a &amp; b</p>"), Ok(()));
    for (spoilt, because) in [
        ("<p><b>x</p></b>", "crossed"),
        ("<p>x", "never closed"),
        ("<p>x</p></p>", "never opened"),
        ("<p><b id=\"a\"/><i id=\"a\"/></p>", "two of one id"),
        ("<p>a & b</p>", "a bare ampersand"),
    ] {
        assert!(well_formed(spoilt).is_err(), "{because}");
    }
}

#[test]
fn words_of_a_route_never_become_markup() {
    let ledger = ledger("hostile", HOSTILE);
    let page = report::html(&ledger);
    for foreign in [
        "<script",
        "<img",
        "onerror=alert(1)>",
        "display:none}</style>",
        "href",
        "src=",
    ] {
        let hidden = page.replace("&lt;img src=x onerror=alert(1)&gt;", "");
        assert!(!hidden.contains(foreign), "{foreign}");
    }
    assert!(
        page.contains("{{body}}") && page.contains("{{style}}"),
        "what is put in is not looked at again"
    );
    assert_eq!(page.matches("<style>").count(), 1);
    let pictures = report::svg(&ledger).unwrap();
    for foreign in ["<script", "<img", "href", "{{body}}&"] {
        assert!(!pictures.contains(foreign), "{foreign}");
    }
    let json = serde_json::to_string(&report::RouteJson::of(&ledger)).unwrap();
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["title"].as_str(), ledger.title.as_deref());
    let markdown = report::markdown(&ledger);
    assert!(markdown.contains("\\<script\\>"), "{markdown}");
    assert!(
        !markdown.contains("[x](") && !markdown.contains("http://"),
        "{markdown}"
    );
}

#[test]
fn every_form_carries_the_same_figures() {
    for (name, ledger) in ledgers() {
        let document = report::document::Document::of(&ledger, Notation::Printed);
        let text = spaceless(&report::sheet(&ledger, Style::default()));
        let markdown = spaceless(&report::markdown(&ledger).replace('\\', ""));
        let page = spaceless(&bare_text(&report::html(&ledger)));
        for figure in document
            .sections
            .iter()
            .flat_map(|section| figures(&section.blocks))
        {
            let figure = spaceless(&figure);
            for (form, all) in [("text", &text), ("Markdown", &markdown), ("HTML", &page)] {
                assert!(all.contains(&figure), "{name}: {form} lacks {figure}");
            }
        }
    }
}

#[test]
fn plain_ascii_is_plain_and_fits_a_page() {
    let style = Style {
        notation: Notation::Ascii,
    };
    for (name, ledger) in ledgers() {
        let text = report::sheet(&ledger, style);
        for line in text.lines() {
            assert!(line.is_ascii() && line.len() <= 80, "{name}: {line}");
        }
        assert!(
            text.contains("degC") && !text.contains('?'),
            "{name}: {text}"
        );
    }
    let (sheet, _, status) = aludel(&["run", "scripts/alum.route", "--ascii"], "");
    assert!(
        status == 0 && sheet.is_ascii() && sheet.contains("+/-"),
        "{sheet}"
    );
}

#[test]
fn tables_can_be_summed_and_hold_no_formula_of_a_spreadsheet() {
    let route = "vessel jar\ncharge jar: 2.0 g ± 0.1 g NaCl, 10 mL water\nshow -1 * mass(jar)\n";
    let text = report::csv(&ledger("sums", route));
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let sum = |wanted: &dyn Fn(&csv::StringRecord) -> bool| -> f64 {
        let cells = rows
            .iter()
            .filter(|row| &row[0] == "vessel" && &row[4] == "mass" && wanted(row));
        cells.map(|row| row[5].parse::<f64>().unwrap()).sum()
    };
    let (whole, parts) = (
        sum(&|row| row[3].is_empty()),
        sum(&|row| !row[3].is_empty()),
    );
    assert!(
        whole > 11.9 && (whole - parts).abs() < 1e-9,
        "{whole} g of {parts} g"
    );
    let weighed = rows
        .iter()
        .find(|row| &row[0] == "measure out" && &row[4] == "mass")
        .unwrap();
    assert_eq!((&weighed[5], &weighed[6], &weighed[7]), ("2.0", "g", "0.1"));
    for cell in rows.iter().flatten() {
        let formula = cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
        assert!(!formula, "{cell}");
    }
    assert!(text.contains("'-1 * mass(jar)"), "{text}");
}

/// Every figure of a JSON answer stands in the CSV too: the two are made apart from each other.
#[test]
fn the_table_has_every_answer_of_the_sheet() {
    let route = "bottle acid: HCl 0.10 mol/L\nbottle lye: NaOH 0.100 mol/L\nlet salt = 5 g\nvessel cone\nvessel pot\n\
        charge cone: 25 mL lye, 20 mL water\n\
        titrate cone with acid: NaOH + HCl -> NaCl + H2O, found 24.95, 25.01 mL\n\
        charge pot: salt KNO3, 10 mL water at 60 °C\ncrystallise pot at 5 °C: KNO3 -> crop\n\
        heat Zn + Cu^2+ -> Zn^2+ + Cu, activity Cu^2+ = 0.01\n\
        solution make 100 g H2O2 6 %w/w from H2O2 30 %w/w and water\n\
        show budget(analyte(cone))\n\
        find salt in 1 g .. 20 g: mass(crop) = 3 g\ndiscard cone\n";
    let ledger = ledger("all tables", route);
    let text = report::csv(&ledger);
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let json = serde_json::to_value(report::RouteJson::of(&ledger)).unwrap();
    let cell = |part: &str, item: &str, quantity: &str| -> f64 {
        let here = |row: &&csv::StringRecord| {
            &row[0] == part && row[3].contains(item) && &row[4] == quantity
        };
        let found = rows.iter().find(here);
        let found = found.unwrap_or_else(|| panic!("{part}, {item}, {quantity}:\n{text}"));
        found[5].parse().unwrap()
    };
    let heat = &json["heats"][0];
    let made = &json["solutions"][0];
    let titrated = &json["steps"][0]["operations"][1]["titration"];
    for (part, item, quantity, wanted) in [
        ("heat", "Zn", "enthalpy", &heat["dH"]["value"]),
        ("heat", "Zn", "log10 K", &heat["log10K"]["value"]),
        ("heat", "Zn", "tabled potential", &heat["E_table"]["value"]),
        (
            "heat",
            "Zn",
            "enthalpy of Zn^2+(aq) at 298.15 K",
            &heat["species"][2]["dH"]["value"],
        ),
        (
            "heat",
            "Zn",
            "Gibbs energy at the activities",
            &heat["away"]["dG"]["value"],
        ),
        (
            "solution",
            "make",
            "mass of H2O2 30 %w/w",
            &made["take"][0]["g"],
        ),
        (
            "solution",
            "make",
            "density",
            &made["made"]["density_g_per_mL"],
        ),
        ("titration", "OH^-", "amount found", &titrated["found_mol"]),
        (
            "found",
            "mass(crop)",
            "salt",
            &json["found"][0]["unknowns"][0]["value"],
        ),
        (
            "crystals",
            "KNO3",
            "mass",
            &json["steps"][0]["operations"][3]["g"],
        ),
        (
            "asked",
            "budget",
            "scatter of 2 readings of cone",
            &json["shows"][0]["value"][0]["share"],
        ),
    ] {
        let found = cell(part, item, quantity);
        let wanted = wanted
            .as_f64()
            .unwrap_or_else(|| panic!("{quantity}: {json:#}"));
        assert!(
            (found - wanted).abs() <= 1e-12 * wanted.abs(),
            "{quantity}: {found}, {wanted}"
        );
    }
    let waste: Vec<_> = rows.iter().filter(|row| &row[0] == "waste").collect();
    let practices = json["waste"]["practice"].as_array().unwrap();
    let without = json["waste"]["without_practice"].as_array().unwrap();
    assert_eq!(waste.len(), practices.len() + without.len());
    assert!(
        waste.iter().any(|row| row[4].contains("collect as")),
        "{text}"
    );
}

#[test]
fn a_route_of_many_steps_has_a_list_of_them_and_pictures_no_taller_than_a_page() {
    let step =
        |n: usize| format!("step \"Portion {n}\" {{\n charge jar: 0.10 g NaCl, 1 mL water\n}}\n");
    let text: String = (1..=100).map(step).collect();
    let ledger = ledger("long", &format!("vessel jar\n{text}"));
    let page = report::html(&ledger);
    assert_eq!(page.matches("<li><a href=\"#part").count(), 100);
    well_formed(&page).unwrap();
    // A page of A4 is as tall as it is wide times the root of two (ISO 216).
    for picture in report::picture::all(&ledger) {
        let (_, size) = picture
            .inline()
            .split_once("viewBox=\"0 0 ")
            .map(|(a, b)| (a.len(), b.to_owned()))
            .unwrap();
        let sides: Vec<f64> = size
            .split('"')
            .next()
            .unwrap()
            .split(' ')
            .map(|side| side.parse().unwrap())
            .collect();
        assert!(sides[1] < sides[0] * 1.41, "{}: {sides:?}", picture.title);
    }
}

#[test]
fn markdown_reads_as_it_should() {
    insta::assert_snapshot!("markdown", report::markdown(&ledger("hostile", HOSTILE)));
}

#[test]
fn text_reads_as_it_should() {
    insta::assert_snapshot!(
        "text",
        report::sheet(&ledger("hostile", HOSTILE), Style::default())
    );
}

#[test]
fn pictures_look_as_they_were_when_looked_at() {
    insta::assert_snapshot!(
        "pictures",
        report::svg(&ledger("hostile", HOSTILE)).unwrap()
    );
}

#[test]
fn a_route_without_course_and_yield_has_no_picture() {
    assert!(report::svg(&ledger("bare", "vessel flask\nnote \"nothing\"\n")).is_none());
    let (_, messages, status) = aludel(&["run", "-", "--format", "svg"], "vessel flask\n");
    assert_eq!(status, 2, "{messages}");
    assert!(messages.contains("error[no-picture]"), "{messages}");
}

#[test]
fn sheets_go_into_files_or_it_is_said_why_not() {
    let folder = std::env::temp_dir().join(format!("aludel-sheet-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("sheet.html");
    let (output, messages, status) = aludel(
        &[
            "run",
            "scripts/alum.route",
            "--format",
            "html",
            "-o",
            file.to_str().unwrap(),
        ],
        "",
    );
    assert_eq!((status, output.as_str(), messages.as_str()), (0, "", ""));
    assert!(
        std::fs::read_to_string(&file)
            .unwrap()
            .starts_with("<!DOCTYPE html>")
    );
    for (path, kind) in [
        (folder.join("no/such/folder.html"), "unwritable-file"),
        (folder.clone(), "not-a-file"),
    ] {
        let (_, messages, status) = aludel(
            &["run", "scripts/alum.route", "-o", path.to_str().unwrap()],
            "",
        );
        assert_eq!(status, 2, "{messages}");
        assert!(messages.contains(&format!("error[{kind}]")), "{messages}");
        assert!(messages.contains("hint"), "{messages}");
    }
    std::fs::remove_dir_all(&folder).unwrap();
}

/// What a reader of any form must find.
fn figures(blocks: &[report::document::Block]) -> Vec<String> {
    use report::document::{Block, Line};
    let of = |block: &Block| match block {
        Block::Paragraph(text) | Block::Remark(_, text) | Block::Note(text) => {
            vec![text.replace('`', "")]
        }
        Block::Portions(all) => all
            .iter()
            .flat_map(|one| {
                [
                    one.amount.clone(),
                    one.what.clone(),
                    one.purpose.clone(),
                    one.also.clone(),
                ]
            })
            .collect(),
        Block::Operation {
            written, results, ..
        } => {
            let words = results.iter().filter_map(|line| match line {
                Line::Words(text) => Some(text.clone()),
                _ => None,
            });
            [written.clone()].into_iter().chain(words).collect()
        }
        Block::Protection(one) => {
            let statements = one.statements.iter();
            let told = statements.flat_map(|told| [told.code.to_owned(), told.of.clone()]);
            told.chain([one.measure.to_owned()]).collect()
        }
        Block::Vessel {
            state,
            contents,
            traces,
            beware,
            ..
        } => contents
            .iter()
            .flatten()
            .cloned()
            .chain([state.clone(), traces.clone()])
            .chain(beware.iter().map(|(_, text)| text.clone()))
            .collect(),
        Block::Answer { asked, answer } => vec![asked.clone(), answer.clone()],
        Block::Verdict {
            expected, found, ..
        } => vec![expected.clone(), found.clone()],
        Block::Table { rows, .. } | Block::Comparison { rows, .. } => rows.concat(),
        Block::Label(label) => {
            let statements = label.statements.iter();
            let statements = statements.flat_map(|(code, text)| [*code, *text]);
            let lines = [&label.formula, &label.strength, &label.amount].map(String::as_str);
            let lines = lines.into_iter().chain(label.name).chain(label.signal);
            lines.chain(statements).map(str::to_owned).collect()
        }
        Block::Picture(picture) => vec![picture.title.clone(), picture.caption.clone()],
        Block::Equation(_) => Vec::new(),
    };
    blocks.iter().flat_map(of).collect()
}

/// Without blanks, line breaks and code marks, and with formulas at one height.
fn spaceless(text: &str) -> String {
    let level = |c: char| match c {
        '₀'..='₉' => char::from_digit(c as u32 - '₀' as u32, 10).unwrap(),
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁰' | '⁴'..='⁹' => char::from_digit(c as u32 - '⁰' as u32, 10).unwrap(),
        '⁺' => '+',
        '⁻' => '−',
        other => other,
    };
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '`')
        .map(level)
        .collect()
}

/// The words of a page without its marks.
fn bare_text(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some((before, after)) = rest.split_once('<') {
        out += before;
        rest = after.split_once('>').map_or("", |(_, after)| after);
    }
    out += rest;
    for (entity, plain) in [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ] {
        out = out.replace(entity, plain);
    }
    out
}

/// XML 1.0, with no id twice. Pages of HTML are written so that they are both.
fn well_formed(page: &str) -> Result<(), String> {
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        ..roxmltree::ParsingOptions::default()
    };
    let document = roxmltree::Document::parse_with_options(page, options);
    let document = document.map_err(|fault| fault.to_string())?;
    let ids = document
        .descendants()
        .filter_map(|node| node.attribute("id"));
    let mut ids: Vec<&str> = ids.collect();
    ids.sort_unstable();
    match ids.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => Err(format!("two of id {}", pair[0])),
        None => Ok(()),
    }
}

/// A vessel may be called as an account is: what went to the air stands apart from what is in it.
#[test]
fn a_vessel_called_air_is_not_the_air() {
    let ledger = ledger(
        "air",
        "bottle acid: HCl 2 mol/L\nvessel air: 250 mL\ncharge air: 2 g Na2CO3, 50 mL acid\n\
         react air: Na2CO3 + HCl -> NaCl + CO2 + H2O\nvent air\ntake 5 mL from air -> losses\n\
         take 5 mL from air -> drain\ndiscard drain\nyield air: NaCl(aq) on Na2CO3\n",
    );
    let table = report::csv(&ledger);
    let gone = table.lines().filter(|row| row.starts_with("left,"));
    let places: Vec<&str> = gone.map(|row| row.split(',').nth(2).unwrap()).collect();
    assert!(places.contains(&"to the air"), "{places:?}");
    assert!(places.contains(&"to the waste jar"), "{places:?}");
    for name in ["air", "losses", "drain"] {
        assert!(!places.contains(&name), "{name}: {places:?}");
    }
    let sheet = report::sheet(&ledger, Style::default());
    assert!(sheet.contains("  to the air: 0.8305 g CO₂\n"), "{sheet}");
    let json = serde_json::to_value(report::RouteJson::of(&ledger)).unwrap();
    let name = |one: &serde_json::Value| one["name"].as_str().map(str::to_owned);
    let vessels = json["vessels"].as_array().unwrap().iter().filter_map(name);
    assert_eq!(vessels.filter(|name| name == "air").count(), 1);
    assert_eq!(
        json["left"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(name)
            .count(),
        0
    );
}

/// What stands in the README is what the sheet says, in its order; lines may be left out.
#[test]
fn the_readme_shows_the_sheet_as_it_is() {
    let readme = std::fs::read_to_string("README.md").unwrap();
    let (_, excerpt) = readme.split_once("```text\n").expect("an excerpt");
    let (excerpt, _) = excerpt.split_once("```").expect("its end");
    let route = std::fs::read_to_string("scripts/alum.route").unwrap();
    let sheet = report::sheet(&ledger("alum", &route), Style::default());
    let mut lines = sheet.lines();
    for wanted in excerpt.lines() {
        assert!(lines.any(|line| line == wanted), "{wanted}");
    }
}
