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
