//! Meetings that harm, each at its severity.

use aludel::hazard::Severity::{self, *};

use crate::{BOTTLES, follow, told};

/// Script, severity, and the row that tells it.
const HARMFUL: &[(&str, Severity, &str)] = &[
    ("charge v: 50 mL bleach; charge v: 10 mL hcl", Stop, "R001"),
    (
        "charge v: 10 mL vinegar; charge v: 50 mL bleach",
        Stop,
        "R003",
    ),
    (
        "charge v: 50 mL bleach; charge v: 10 mL vitriol",
        Stop,
        "R002",
    ),
    ("charge v: 50 mL bleach; charge v: 5 g NaHSO4", Stop, "R004"),
    (
        "charge v: 50 mL bleach; charge v: 10 mL ammonia",
        Stop,
        "R007",
    ),
    (
        "charge v: 5 g NH4Cl, 50 mL water; charge v: 50 mL bleach",
        Stop,
        "R008",
    ),
    (
        "charge v: 50 mL bleach; charge v: 5 g CO(NH2)2",
        Forbidden,
        "R009",
    ),
    (
        "charge v: 50 mL bleach; charge v: 5 g CH3COCH3",
        Stop,
        "R012",
    ),
    ("charge v: 5 g Ca(ClO)2; charge v: 50 mL hcl", Stop, "R005"),
    (
        "charge v: 50 mL bleach; charge v: 10 mL perox",
        Danger,
        "R014",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; charge v: 10 mL hcl",
        Stop,
        "R145",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; charge v: 10 mL vinegar",
        Stop,
        "R147",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; charge v: 10 mL nitric",
        Stop,
        "R146",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; charge v: 2 g NH4Cl",
        Stop,
        "R149",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; charge v: 2 g CuSO4·5H2O",
        Stop,
        "R150",
    ),
    (
        "charge v: 2 g Na2S, 50 mL water; charge v: 10 mL hcl",
        Stop,
        "R163",
    ),
    (
        "charge v: 2 g Na2S, 50 mL water; charge v: 10 mL vinegar",
        Stop,
        "R165",
    ),
    ("charge v: 5 g FeS; charge v: 50 mL hcl", Danger, "R164"),
    (
        "charge v: 2 g NaN3, 50 mL water; charge v: 10 mL vitriol",
        Stop,
        "R185",
    ),
    (
        "charge v: 2 g NaN3, 50 mL water; charge v: 2 g Pb(NO3)2",
        Forbidden,
        "R186",
    ),
    (
        "charge v: 2 g NaN3, 50 mL water; charge v: 10 mL silver",
        Forbidden,
        "R186",
    ),
    ("charge v: 2 g KMnO4; charge v: 10 mL oilv", Stop, "R056"),
    ("charge v: 2 g KMnO4; charge v: 20 mL hclc", Stop, "R057"),
    ("charge v: 2 g KMnO4; charge v: 2 g C3H8O3(l)", Stop, "R058"),
    ("charge v: 2 g KMnO4; charge v: 2 g S", Forbidden, "R062"),
    ("charge v: 2 g KMnO4; charge v: 2 g Zn", Forbidden, "R067"),
    (
        "charge v: 20 mL nitricc; charge v: 5 g C2H5OH(l)",
        Stop,
        "R111",
    ),
    (
        "charge v: 20 mL nitricc; charge v: 5 g CH3COCH3(l)",
        Stop,
        "R112",
    ),
    (
        "charge v: 20 mL nitricc; charge v: 5 g C12H22O11",
        Stop,
        "R113",
    ),
    ("charge v: 20 mL nitricc; charge v: 2 g KCN", Stop, "R123"),
    ("charge v: 2 g KClO3; charge v: 10 mL oilv", Stop, "R025"),
    ("charge v: 2 g KClO3; charge v: 20 mL hclc", Stop, "R026"),
    ("charge v: 2 g KClO3; charge v: 1 g S", Forbidden, "R028"),
    ("charge v: 2 g KClO3; charge v: 1 g P", Forbidden, "R029"),
    (
        "charge v: 2 g KClO3; charge v: 1 g C12H22O11",
        Forbidden,
        "R030",
    ),
    ("charge v: 2 g KClO3; charge v: 1 g Al", Forbidden, "R032"),
    (
        "charge v: 2 g KClO3, 50 mL water; charge v: 2 g NH4Cl",
        Stop,
        "R031",
    ),
    ("charge v: 2 g KClO4; charge v: 1 g Mg", Forbidden, "R043"),
    (
        "charge v: 20 mL perchloric; charge v: 5 g C2H5OH(l)",
        Stop,
        "R039",
    ),
    (
        "charge v: 20 mL perchloric; charge v: 5 g C12H22O11",
        Stop,
        "R038",
    ),
    (
        "charge v: 20 mL peroxc; charge v: 5 g CH3COCH3(l)",
        Forbidden,
        "R081",
    ),
    (
        "charge v: 20 mL perox; charge v: 5 g CH3COCH3(l)",
        Stop,
        "R081",
    ),
    (
        "charge v: 20 mL peroxc, 5 mL hcl; charge v: 5 g CH3COCH3(l)",
        Forbidden,
        "R080",
    ),
    ("charge v: 20 mL peroxc; charge v: 20 mL oilv", Stop, "R091"),
    (
        "charge v: 20 mL peroxc; charge v: 5 g C2H5OH(l)",
        Stop,
        "R083",
    ),
    ("charge v: 100 mL water; charge v: 1 g Na", Stop, "R226"),
    (
        "charge v: 100 mL water; charge v: 0.05 g Na",
        Danger,
        "R226",
    ),
    ("charge v: 1 g K; charge v: 20 mL hcl", Stop, "R226"),
    (
        "charge v: 20 mL oilv; charge v: 80 mL water",
        Danger,
        "R201",
    ),
    ("charge v: 20 mL oilv; charge v: 20 mL lye", Danger, "R207"),
    ("charge v: 5 g Al; charge v: 10 g Fe2O3", Forbidden, "R247"),
    ("charge v: 5 g Al; charge v: 10 g CuO", Forbidden, "R248"),
    ("charge v: 5 g KNO3; charge v: 1 g C", Stop, "R316"),
    ("charge v: 5 g KNO3; charge v: 2 g Mg", Forbidden, "R127"),
    ("charge v: 5 g NH4NO3; warm v to 180 °C", Stop, "R133"),
    ("charge v: 5 g (NH4)2Cr2O7; warm v to 200 °C", Stop, "R077"),
    (
        "charge v: 5 mL silver, 5 mL ammonia; wait 24 h",
        Stop,
        "R283",
    ),
    (
        "charge v: 5 mL silver, 5 mL ammonia; discard v",
        Stop,
        "R325",
    ),
    (
        "charge v: 2 g I2; charge v: 20 mL ammonia",
        Forbidden,
        "R292",
    ),
    (
        "charge v: 2 g AgNO3; charge v: 20 mL nitric; charge v: 5 g C2H5OH(l)",
        Forbidden,
        "R287",
    ),
    ("charge v: 2 g CaC2; charge v: 20 mL water", Danger, "R269"),
    ("charge v: 2 g AlP; charge v: 20 mL water", Stop, "R271"),
    ("charge v: 2 g PCl5; charge v: 20 mL water", Stop, "R275"),
    (
        "charge v: 2 g NaF, 20 mL water; charge v: 20 mL hcl",
        Stop,
        "R179",
    ),
    (
        "charge v: 2 g As2O3, 20 mL hcl; charge v: 2 g Zn",
        Stop,
        "R260",
    ),
    ("charge v: 5 g NaCl; charge v: 10 mL oilv", Danger, "R192"),
    ("charge v: 2 g HCOOH(l); charge v: 10 mL oilv", Stop, "R205"),
    (
        "charge v: 50 mL bleach; discard v; charge w: 20 mL hcl; discard w",
        Stop,
        "R001",
    ),
    (
        "charge v: 2 g KCN, 50 mL water; discard v; charge w: 20 mL vinegar; discard w",
        Stop,
        "R147",
    ),
    (
        "charge v: 5 g K4[Fe(CN)6]·3H2O, 50 mL vitriol; warm v to 90 °C",
        Stop,
        "R155",
    ),
];

/// What harms: told at the severity of the row.
#[test]
fn dangerous_meetings_are_told_at_their_severity() {
    assert!(HARMFUL.len() >= 60, "{}", HARMFUL.len());
    let mut off = Vec::new();
    for (script, expected, key) in HARMFUL {
        let ledger = follow(&format!("{BOTTLES}; {script}"));
        let found = told(&ledger);
        let gravest = found.iter().map(|(_, severity)| *severity).max();
        if gravest != Some(*expected) || !found.iter().any(|(told, _)| told == key) {
            off.push(format!(
                "{script}\n   wanted {key} {expected:?}, told {found:?}"
            ));
        }
        if ledger.refused != (*expected >= Stop) {
            off.push(format!("{script}\n   refused: {}", ledger.refused));
        }
    }
    assert!(off.is_empty(), "{}", off.join("\n"));
}
