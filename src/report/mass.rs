//! The molar mass of a species and what each element has in it.

use std::fmt::Write;

use super::page::{Align, table};
use crate::figure;
use crate::matter::{Element, FormulaUnit, Notation, Part, Species};
use crate::number::{Exact, InputId, Number};

/// The page of `aludel mass`.
///
/// ```
/// let water = aludel::matter::Species::parse("H2O").unwrap();
/// assert!(aludel::report::mass(&water).contains("18.015"));
/// ```
pub fn mass(species: &Species) -> String {
    let mut page = format!("{}\n", species.to_text(Notation::Printed));
    if species.is_electron() {
        page += "an electron: below the digits of the atomic weights\n";
        return page;
    }
    let total = molar_mass(species);
    let _ = writeln!(page, "molar mass  {} g/mol\n", in_words(species, &total));
    page += &elements(species, &total);
    page += &water(species, &total);
    let _ = writeln!(page, "\n{}", footnote(species));
    page
}

/// In g/mol, with the uncertainty of each element's standard atomic weight as an input of its own.
///
/// The published uncertainty is the half-width of a uniform distribution, so the standard uncertainty is that over √3
/// (A. Possolo et al., Interpreting and propagating the uncertainty of the standard atomic weights, IUPAC Technical
/// Report, Pure Appl. Chem. 90 (2018) 395; cited from memory).
fn molar_mass(species: &Species) -> Number {
    let mut total = Number::exact(species.molar_mass().clone());
    for (element, count) in species.composition().iter() {
        if let Some(half_width) = element.molar_mass_uncertainty() {
            let standard = count.to_f64() * half_width / 3f64.sqrt();
            total = total.with_uncertainty(InputId(element.index() as u32), standard);
        }
    }
    total
}

fn in_words(species: &Species, total: &Number) -> String {
    let known = weighed(species);
    match figure::with_uncertainty(total).filter(|_| known) {
        Some((value, spread)) => format!("{value} ± {spread}"),
        None => total.value().to_plain(),
    }
}

/// Whether every element has a standard atomic weight: without one an uncertainty would be too small to be true.
fn weighed(species: &Species) -> bool {
    let mut elements = species.composition().iter();
    elements.all(|(element, _)| element.molar_mass_uncertainty().is_some())
}

fn elements(species: &Species, total: &Number) -> String {
    let head = ["element", "atoms", "g/mol", "% by mass"].map(str::to_owned);
    let rows = species.composition().iter().map(|(element, count)| {
        let grams = &count * element.molar_mass();
        let share = (&grams * &Exact::from(100)).checked_div(total.value());
        vec![
            format!("{:<2} {}", element.symbol(), element.name()),
            count.to_plain(),
            grams.to_plain(),
            share.map_or(String::new(), |share| share.to_fixed(2)),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(head.to_vec()).chain(rows).collect();
    table(
        &rows,
        &[Align::Left, Align::Point, Align::Point, Align::Point],
    )
}

/// The water of a hydrate, and what is left without it.
fn water(species: &Species, total: &Number) -> String {
    let parts = &species.formula().parts;
    let mut waters = Exact::zero();
    for part in parts.iter().filter(|part| is_water(part)) {
        let count = num_rational::BigRational::new(
            part.multiplier.numerator().into(),
            part.multiplier.denominator().into(),
        );
        waters += &Exact::from(count);
    }
    if waters.is_zero() || parts.iter().all(is_water) {
        return String::new();
    }
    let one = Element::H.molar_mass() + Element::H.molar_mass();
    let grams = &waters * &(&one + Element::O.molar_mass());
    let rest = total.value() - &grams;
    let share = (&grams * &Exact::from(100)).checked_div(total.value());
    format!(
        "\nwater of crystallisation: {} H₂O, {} g/mol, {} % by mass\nwithout it: {} g/mol\n",
        waters.to_plain(),
        grams.to_plain(),
        share.map_or(String::new(), |share| share.to_fixed(2)),
        rest.to_plain(),
    )
}

fn is_water(part: &Part) -> bool {
    let atoms: Vec<(Element, u64)> = part
        .items
        .iter()
        .filter_map(|item| match &item.unit {
            FormulaUnit::Atom(element) => Some((*element, item.count.numerator())),
            FormulaUnit::Group(..) => None,
        })
        .collect();
    atoms == [(Element::H, 2), (Element::O, 1)] && part.items.len() == 2
}

fn footnote(species: &Species) -> String {
    let mut note =
        "Standard atomic weights: CIAAW 2021 (Pure Appl. Chem. 94 (2022) 573).".to_owned();
    if weighed(species) {
        note += "\n± is one standard uncertainty: the published one over √3 for each element.";
        return note;
    }
    let without: Vec<&str> = species
        .composition()
        .iter()
        .filter(|(element, _)| element.molar_mass_uncertainty().is_none())
        .map(|(element, _)| element.symbol())
        .collect();
    let _ = write!(
        note,
        "\nNo standard atomic weight: {}. The mass number of the longest-lived isotope is\n\
         used, and no uncertainty can be given.",
        without.join(", ")
    );
    note
}
