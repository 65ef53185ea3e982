//! Where the element that matters goes: from what was measured out to the product, the liquors, the air and the waste.
//!
//! The element is the one that the basis of the first `yield` shares with its product, hydrogen and oxygen apart.

use super::svg::{self, Svg, element, path, words};
use super::{Picture, WIDTH, shortened, strip};
use crate::figure;
use crate::matter::{Element, Species};
use crate::number::{Exact, Number};
use crate::report::caution;
use crate::route::ledger::*;

const LEFT: f64 = 138.0;
const RIGHT: f64 = WIDTH - 200.0;
const MIDDLE: f64 = (LEFT + RIGHT) / 2.0;
const BAR: f64 = 12.0;
/// The height of the whole amount.
const WHOLE: f64 = 150.0;
/// Between two bars, so that two lines of a label never touch.
const GAP: f64 = 18.0;
const TOP: f64 = 20.0;

/// An amount of the element, in mol, and where it comes from or goes to.
#[derive(Clone, Debug)]
pub(super) struct Share {
    name: String,
    moles: Number,
}

/// Both sides of the books for one element; they come to the same sum.
pub(super) struct Books {
    element: Element,
    from: Vec<Share>,
    to: Vec<Share>,
}

/// The flow of the key element; `None` without a `yield` that tells which one it is.
pub fn flow(ledger: &Ledger) -> Option<Picture> {
    let books = books(ledger)?;
    let total: Number = sum(&books.from);
    // From one place to one place there is nothing to draw.
    let parts = books.from.len().max(books.to.len());
    if !total.is_positive() || parts < 2 {
        return None;
    }
    let rows = parts as f64;
    let height = 2.0 * TOP + WHOLE + GAP * (rows - 1.0).max(0.0) + 16.0;
    let centre = (height - WHOLE) / 2.0;
    let whole = element("rect").at("x", MIDDLE - BAR / 2.0).at("y", centre);
    let mut body = Svg::from(whole.with("width", BAR).with("height", WHOLE).filled());
    body += side(&books.from, &total, height, Side::From);
    body += side(&books.to, &total, height, Side::To);
    Some(Picture {
        title: format!(
            "Where the {} goes: {} in all",
            books.element.name(),
            figure::amount(&total)
        ),
        caption: in_words(&books, &total),
        drawn: "",
        typed: "",
        height,
        body,
        lines: lines(&books, &total),
    })
}

/// The element's way in and out, in the order of use; what is zero is left out.
pub(super) fn books(ledger: &Ledger) -> Option<Books> {
    let element = key_element(ledger.yields.first()?)?;
    let mut from: Vec<Share> = Vec::new();
    let mut to: Vec<Share> = Vec::new();
    for draw in &ledger.draws {
        let name = draw
            .bottle
            .clone()
            .unwrap_or_else(|| printed(&draw.substance));
        add(
            &mut from,
            name,
            draw.moles.scaled(&count(&draw.substance, element)),
        );
    }
    let held = |contents: &[Content]| -> Number {
        let each = contents
            .iter()
            .map(|content| content.moles.scaled(&count(&content.species, element)));
        each.fold(Number::zero(), |sum, moles| &sum + &moles)
    };
    for vessel in &ledger.vessels {
        add(&mut to, vessel.name.clone(), held(&vessel.contents));
    }
    for outlet in &ledger.outlets {
        let moles = held(&outlet.contents);
        let name = caution::account(outlet.account);
        match moles.is_negative() {
            true => add(&mut from, "more found than planned".to_owned(), -&moles),
            false => add(&mut to, name.to_owned(), moles),
        }
    }
    Some(Books { element, from, to })
}

fn add(shares: &mut Vec<Share>, name: String, moles: Number) {
    if moles.is_zero() {
        return;
    }
    match shares.iter_mut().find(|share| share.name == name) {
        Some(share) => share.moles = &share.moles + &moles,
        None => shares.push(Share { name, moles }),
    }
}

fn key_element(record: &YieldRecord) -> Option<Element> {
    let common = ["H", "O"].map(Element::of_symbol);
    let shared = record
        .basis
        .composition()
        .iter()
        .map(|(element, _)| element);
    let mut shared = shared.filter(|element| record.product.contains(*element));
    shared.find(|element| !common.contains(&Some(*element)))
}

fn count(species: &Species, element: Element) -> Exact {
    species.composition().count(element)
}

fn sum(shares: &[Share]) -> Number {
    shares
        .iter()
        .fold(Number::zero(), |sum, share| &sum + &share.moles)
}

fn printed(species: &Species) -> String {
    species
        .with_phase(None)
        .to_text(crate::matter::Notation::Printed)
}

fn part(share: &Share, total: &Number) -> String {
    let percent = share.moles.to_f64() / total.to_f64() * 100.0;
    match percent {
        99.5.. if share.moles != *total => "over 99 %".to_owned(),
        ..0.5 => "below 1 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}

fn in_words(books: &Books, total: &Number) -> String {
    let told = |shares: &[Share]| {
        let each = shares.iter().map(|share| {
            format!(
                "{} {} ({})",
                share.name,
                figure::amount(&share.moles),
                part(share, total)
            )
        });
        each.collect::<Vec<_>>().join(", ")
    };
    format!(
        "{} comes from {}; it goes to {}.",
        capital(books.element.name()),
        told(&books.from),
        told(&books.to)
    )
}

fn lines(books: &Books, total: &Number) -> Vec<String> {
    let whole = total.to_f64();
    let sides = [("from", &books.from), ("to", &books.to)];
    let rows = sides.into_iter().flat_map(|(side, shares)| {
        let numbered = shares.iter().enumerate();
        numbered.map(move |(index, share)| {
            let side = if index == 0 { side } else { "" };
            let bar = strip::bar(share.moles.to_f64(), whole, 26);
            vec![
                side.to_owned(),
                shortened(&share.name, 26),
                part(share, total),
                bar,
            ]
        })
    });
    strip::rows(&rows.collect::<Vec<_>>())
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[derive(Clone, Copy, Eq, PartialEq)]
enum Side {
    From,
    To,
}

/// Bars below each other, each with its band to the bar in the middle.
fn side(shares: &[Share], total: &Number, height: f64, side: Side) -> Svg {
    let scale = WHOLE / total.to_f64();
    let tall = WHOLE + GAP * (shares.len() as f64 - 1.0);
    let mut y = (height - tall) / 2.0;
    let mut inner = (height - WHOLE) / 2.0;
    let mut out = Svg::default();
    for share in shares {
        let thick = (share.moles.to_f64() * scale).max(0.0);
        let (outer_x, inner_x) = match side {
            Side::From => (LEFT, MIDDLE - BAR / 2.0),
            Side::To => (RIGHT, MIDDLE + BAR / 2.0),
        };
        out += band((outer_x, y), (inner_x, inner), thick);
        let (bar, anchor, label, most) = match side {
            Side::From => (outer_x - BAR, "end", outer_x - BAR - 6.0, 12),
            Side::To => (outer_x, "start", outer_x + BAR + 6.0, 23),
        };
        // A bar is at least a hairline, so that what is little is still there.
        let drawn = thick.max(0.75);
        let bar = element("rect").at("x", bar).at("y", y).with("width", BAR);
        out += bar.with("height", format_args!("{drawn:.2}")).filled();
        let text = format!("{}: {}", shortened(&share.name, most), part(share, total));
        out += words(label, y + thick / 2.0 + 4.0, anchor, &text);
        y += thick + GAP;
        inner += thick;
    }
    out
}

/// From a bar on a side to the bar in the middle, each by its upper corner.
fn band(
    (outer_x, outer_y): (f64, f64),
    (inner_x, inner_y): (f64, f64),
    thick: f64,
) -> svg::Element {
    let bend = (outer_x + inner_x) / 2.0;
    let (outer_low, inner_low) = (outer_y + thick, inner_y + thick);
    let band = path(format_args!(
        "M{outer_x:.1} {outer_y:.2}C{bend:.1} {outer_y:.2} {bend:.1} {inner_y:.2} {inner_x:.1} {inner_y:.2}\
         V{inner_low:.2}C{bend:.1} {inner_low:.2} {bend:.1} {outer_low:.2} {outer_x:.1} {outer_low:.2}z"
    ));
    band.filled().with("fill-opacity", 0.22)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::data::Store;
    use crate::route;
    use crate::text::Source;

    #[test]
    fn what_goes_in_comes_out() {
        for (name, text, element) in [
            ("alum", include_str!("../../../scripts/alum.route"), "Al"),
            (
                "malachite",
                include_str!("../../../scripts/malachite.route"),
                "Cu",
            ),
            ("zinc", include_str!("../../../scripts/zinc.route"), "Zn"),
        ] {
            let outcome = route::follow(&Source::new(name, text), &Store::default(), &[]);
            let books = books(&outcome.ledger).expect(name);
            assert_eq!(Some(books.element), Element::of_symbol(element), "{name}");
            let (from, to) = (sum(&books.from).to_f64(), sum(&books.to).to_f64());
            assert!(
                (from / to - 1.0).abs() < 1e-9,
                "{name}: {from} mol in, {to} mol out"
            );
        }
    }
}
