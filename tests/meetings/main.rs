//! What may meet and what may not: everyday preparations run with their cautions, and dangerous meetings are told at
//! their severity. Each row names its source: a row of src/data/safety/incompatible.csv (whose own source stands there),
//! or `common practice, no source`.

use aludel::data::Store;
use aludel::hazard::Severity;
use aludel::route;
use aludel::route::ledger::{Encounter, Fact, Ledger};
use aludel::text::Source;
use common::aludel;

#[path = "../common/mod.rs"]
mod common;
mod dangerous;
mod ordinary;

const PRACTICE: &str = "common practice, no source";

fn follow(text: &str) -> Ledger {
    let lines = text.replace("; ", "\n");
    let outcome = route::follow(&Source::new("meeting", &lines), &Store::default(), &[]);
    assert_eq!(outcome.faults, [], "{lines}");
    outcome.ledger
}

fn encounters(ledger: &Ledger) -> Vec<&Encounter> {
    let facts = ledger.remarks.iter().map(|remark| &remark.fact);
    facts
        .filter_map(|fact| match fact {
            Fact::Hazard(encounter) => Some(&**encounter),
            _ => None,
        })
        .collect()
}

fn told(ledger: &Ledger) -> Vec<(&'static str, Severity)> {
    let all = encounters(ledger).into_iter();
    all.map(|one| (one.meeting.rule.key(), one.meeting.severity))
        .collect()
}

const BOTTLES: &str = "bottle hcl: HCl 10 %w/w; bottle hclc: HCl 37 %w/w; bottle vitriol: H2SO4 10 %w/w; \
    bottle oilv: H2SO4 96 %w/w; bottle nitric: HNO3 10 %w/w; bottle nitricc: HNO3 65 %w/w; bottle lye: NaOH 10 %w/w; \
    bottle ammonia: NH3 10 %w/w; bottle perox: H2O2 3 %w/w; bottle peroxc: H2O2 30 %w/w; bottle vinegar: CH3COOH 10 %w/w; \
    bottle bleach: NaClO 5 %w/w, density 1.07 g/mL; bottle silver: AgNO3 5 %w/w, density 1.04 g/mL; \
    bottle perchloric: HClO4 70 %w/w, density 1.67 g/mL; vessel v; vessel w; vessel jar";

/// Own rule: nothing after a refusal is carried out, and the books still balance.
#[test]
fn a_refused_route_ends_where_it_is_refused() {
    let ledger = follow(&format!(
        "{BOTTLES}; charge v: 50 mL bleach; charge v: 10 mL hcl; charge w: 1 g NaCl; show mass(w)"
    ));
    assert!(ledger.refused);
    assert!(ledger.shows.is_empty());
    assert!(ledger.vessels.iter().all(|vessel| vessel.name != "w"));
}

/// Own rule: a considered acceptance lets a `stop` run, and the sheet says so; other refusals stay.
#[test]
fn an_accepted_hazard_runs_and_is_told() {
    let script = "charge v: 2 g KMnO4; charge v: 20 mL hclc";
    for (accepting, refused) in [
        ("R057 chlorine, made in the hood with a trap", false),
        ("chlorine", false),
        ("R056", true),
    ] {
        let ledger = follow(&format!(
            "accept hazard \"{accepting}\"; {BOTTLES}; {script}"
        ));
        assert_eq!(ledger.refused, refused, "{accepting}");
        assert_eq!(ledger.accepted, [accepting]);
        let chlorine = encounters(&ledger)
            .into_iter()
            .find(|one| one.meeting.rule.key() == "R057");
        assert_eq!(chlorine.unwrap().accepted, !refused, "{accepting}");
    }
}

/// Own rule: what only harms cannot be accepted, by name or by key.
#[test]
fn a_forbidden_hazard_cannot_be_accepted() {
    for text in ["R292", "R186 lead azide", "nothing like it"] {
        let script = format!("accept hazard \"{text}\"");
        let outcome = route::follow(&Source::new("x", &script), &Store::default(), &[]);
        assert_eq!(outcome.faults.len(), 1, "{text}");
    }
    // R031 is forbidden when dry, and refused in water: the acceptance reaches the second only.
    let accept = "accept hazard \"R031\"";
    let wet = follow(&format!(
        "{accept}; {BOTTLES}; charge v: 2 g KClO3, 50 mL water; charge v: 2 g NH4Cl"
    ));
    let dry = follow(&format!(
        "{accept}; {BOTTLES}; charge v: 2 g KClO3; charge v: 2 g NH4Cl"
    ));
    assert_eq!((wet.refused, dry.refused), (false, true));
}

/// Own rule: an acceptance that nothing meets is pointed out.
#[test]
fn an_acceptance_that_nothing_meets_is_told() {
    let ledger = follow("accept hazard \"R057\"; vessel v; charge v: 1 g NaCl, 10 mL water");
    let unused = |fact: &Fact| matches!(fact, Fact::UnusedAcceptance { text } if text == "R057");
    assert!(ledger.remarks.iter().any(|remark| unused(&remark.fact)));
}

/// docs/errors.md: contents that may not meet are the chemistry saying no, status 1, and no sheet is printed.
#[test]
fn a_refused_route_prints_no_sheet_and_ends_with_one() {
    let script =
        "vessel v\nbottle acid: HCl 10 %w/w\ncharge v: 2 g KCN, 20 mL water\ncharge v: 5 mL acid\n";
    let (sheet, told, status) = aludel(&["run", "-"], script);
    assert_eq!((status, sheet.as_str()), (1, ""));
    for piece in ["refused-hazard", "NaCN + HCl", "accept hazard \"R145"] {
        assert!(told.contains(piece), "{piece}: {told}");
    }
}
