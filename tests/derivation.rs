//! `--explain`: what a figure is said to follow from gives that figure.

#![allow(clippy::disallowed_methods, reason = "the shipped routes are read")]

use aludel::data::Store;
use aludel::report::derivations;
use aludel::route;
use aludel::text::Source;

/// Worked out again from the other figures of the ledger, every figure of every shipped route is the one on the sheet.
#[test]
fn every_figure_follows_from_what_it_is_said_to_follow_from() {
    let mut checked = 0;
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scripts")).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let source = Source::new(path.display().to_string(), text);
        let ledger = route::follow(&source, &Store::default(), &[]).ledger;
        for group in derivations(&ledger, &Store::default()) {
            for figure in &group.figures {
                let Some((again, stated)) = &figure.check else {
                    continue;
                };
                let (again, stated) = (again.to_f64(), stated.to_f64());
                assert!(
                    (again - stated).abs() <= 1e-9 * stated.abs(),
                    "{}: {} is {again}, not {stated}: {}",
                    path.display(),
                    group.of,
                    figure.text
                );
                checked += 1;
            }
        }
    }
    assert!(
        checked > 80,
        "only {checked} figures can be worked out again"
    );
}

/// Every kind of figure on a sheet has a line, each kind on the route that has it.
#[test]
fn every_kind_of_figure_is_explained() {
    let explained = |name: &str, about: &str| {
        let path = format!("{}/scripts/{name}.route", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let source = Source::new(name, text);
        let ledger = route::follow(&source, &Store::default(), &[]).ledger;
        let told = aludel::report::explain(&ledger, &Store::default(), Some(about));
        told.unwrap_or_else(|| panic!("{name}: nothing on {about}"))
    };
    for (route, about, words) in [
        ("vinegar", "V(planned)", "use up by"),
        ("vinegar", "V(found)", "s/√3"),
        ("vinegar", "c(lye)", "V(planned) / V(found)"),
        ("vinegar", "0.08035", "n / V of its liquid"),
        ("zinc", "T uncooled", "heat capacity is"),
        ("zinc", "C(flask)", "J/K at 25 °C"),
        ("zinc", "boiling point", "activity of water"),
        ("zinc", "106.5 g", "of ice or"),
        ("zinc", "q of boiling down", "ΔvapH"),
        ("zinc", "1.74734", "H(20 °C) − H(30 °C)"),
        ("zinc", "Σ q = 0", "baths"),
        ("malachite", "q of dissolving", "ΔfH° of solid and ions"),
        ("alum", "clings", "0.2 mL for each gram"),
        ("alum", "in the waste jar", "H₂O"),
        ("alum", "n(K₂SO₄)", "its ions, paired"),
        ("alum", "taken up =", "solubility"),
        ("copper", "over water", "vapour pressure"),
        ("copper", "to the air", "all the liquid water"),
    ] {
        let told = explained(route, about);
        let flat = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{route}, {about}: {flat}");
    }
}
