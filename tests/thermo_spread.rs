//! The rule that gives a value without published uncertainty one, recounted from the rows that have a newer evaluated
//! value beside them.

use aludel::data::{Formation, Property};

/// Differences from the evaluated value in units of the last decimal of the kind `decimals`, sorted.
fn differences(property: Property, decimals: usize) -> Vec<f64> {
    let mut all = Vec::new();
    for row in Formation::all() {
        let (Some(ours), Some(newer)) = (row.figure(property), row.reference(property)) else {
            continue;
        };
        let places = ours
            .digits
            .split_once('.')
            .map_or(0, |(_, part)| part.len());
        if ours.source != "NBS1982" || places != decimals || ours.digits == "0" {
            continue;
        }
        let read = |digits: &str| digits.parse::<f64>().unwrap();
        all.push((read(ours.digits) - read(newer.value.digits)).abs());
    }
    all.sort_by(f64::total_cmp);
    all
}

/// One standard uncertainty is what 68 % of the differences stay within.
fn sixty_eight_percent(all: &[f64]) -> f64 {
    all[(0.68 * all.len() as f64) as usize]
}

/// CODATA Key Values (1989) and ATcT 1.112 as published uncertainties of the values beside ours.
#[test]
fn enthalpies_are_as_uncertain_as_they_differ_from_evaluated_ones() {
    for (decimals, rule) in [(1, 3.1), (2, 0.75), (3, 0.063)] {
        let all = differences(Property::FormationEnthalpy, decimals);
        assert!(all.len() >= 20, "{decimals}: {} rows", all.len());
        let found = sixty_eight_percent(&all);
        assert!(
            (rule / found - 1.0).abs() < 0.15,
            "{decimals} decimals: {found}, rule {rule}"
        );
    }
}

#[test]
fn entropies_are_as_uncertain_as_they_differ_from_evaluated_ones() {
    let mut units = Vec::new();
    for decimals in 0..=3 {
        let scale = 10f64.powi(decimals as i32);
        let all = differences(Property::Entropy, decimals);
        units.extend(all.into_iter().map(|difference| difference * scale));
    }
    units.sort_by(f64::total_cmp);
    let found = sixty_eight_percent(&units);
    assert!(
        units.len() > 100 && (found - 9.0).abs() < 1.5,
        "{found} units of {}",
        units.len()
    );
}
