//! What may meet and what may not: everyday preparations run with their cautions, and dangerous meetings are told at
//! their severity. Each row names its source: a row of src/data/safety/incompatible.csv (whose own source stands there),
//! or `common practice, no source`.

use std::io::Write;
use std::process::{Command, Stdio};

use aludel::data::Store;
use aludel::hazard::Severity::{self, *};
use aludel::route::ledger::{Encounter, Fact, Ledger, Weight};
use aludel::route::{self};
use aludel::text::Source;

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

/// Everyday work: nothing is refused; where a caution or danger belongs to it, it is told.
#[test]
fn ordinary_preparations_run_with_their_cautions() {
    let rows: &[(&str, Option<Severity>, &str)] = &[
        (
            "charge v: 5 g FeSO4·7H2O, 50 mL water; cool v to 5 °C; charge v: 5 mL perox",
            Some(Caution),
            "R086",
        ),
        (
            "charge v: 5 g FeSO4·7H2O, 50 mL water; cool v to 5 °C; charge v: 5 mL peroxc",
            Some(Danger),
            "R086",
        ),
        (
            "charge v: 5 g SnCl2·2H2O, 50 mL hcl; cool v to 5 °C; charge v: 5 mL peroxc",
            Some(Caution),
            "R092: the acid is not strong",
        ),
        (
            "charge v: 2 g Cu, 20 mL nitric; react v: Cu + HNO3 -> Cu(NO3)2 + NO + H2O",
            Some(Danger),
            "R107",
        ),
        (
            "charge v: 2 g Cu, 20 mL nitricc; react v: Cu + HNO3 -> Cu(NO3)2 + NO2 + H2O",
            Some(Danger),
            "R106",
        ),
        (
            "charge v: 5 g Zn, 30 mL hcl; react v: Zn + HCl -> ZnCl2 + H2",
            Some(Danger),
            "R237",
        ),
        (
            "charge v: 5 g Zn, 60 mL vitriol; react v: Zn + H2SO4 -> ZnSO4 + H2",
            Some(Danger),
            "R237",
        ),
        (
            "charge v: 2 g Fe, 30 mL vitriol; react v: Fe + H2SO4 -> FeSO4 + H2",
            Some(Caution),
            "R239",
        ),
        (
            "charge v: 2 g Mg, 40 mL hcl; react v: Mg + HCl -> MgCl2 + H2",
            Some(Danger),
            "R236",
        ),
        (
            "charge v: 1 g Al, 40 mL hcl; react v: Al + HCl -> AlCl3 + H2",
            Some(Danger),
            "R238",
        ),
        (
            "charge v: 1 g Al, 30 mL lye; react v: Al + NaOH + H2O -> Na[Al(OH)4] + H2",
            Some(Danger),
            "R240",
        ),
        ("charge v: 1 g Zn, 30 mL lye", Some(Danger), "R241"),
        (
            "charge v: 10 mL hcl; charge v: 12 mL lye; react v: HCl + NaOH -> NaCl + H2O",
            Some(Caution),
            "R212",
        ),
        (
            "charge v: 80 mL water; charge v: 20 mL oilv",
            Some(Caution),
            "R201: acid into water",
        ),
        (
            "charge v: 5 g NaHCO3, 20 mL water; charge v: 40 mL vinegar",
            Some(Caution),
            "R214",
        ),
        (
            "charge v: 5 g CaCO3, 40 mL hcl; react v: CaCO3 + HCl -> CaCl2 + CO2 + H2O",
            Some(Caution),
            "R213",
        ),
        (
            "charge v: 5 g CuSO4·5H2O, 50 mL water; charge w: 5 g Na2CO3, 50 mL water; pour v -> w",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g CuSO4·5H2O, 50 mL water; charge v: 20 mL lye",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g CuSO4·5H2O, 50 mL water; charge v: 30 mL ammonia",
            None,
            PRACTICE,
        ),
        (
            "charge v: 1 g FeCl3, 50 mL water; charge v: 20 mL ammonia",
            None,
            PRACTICE,
        ),
        (
            "charge v: 0.2 g H2C2O4·2H2O, 50 mL vitriol; warm v to 60 °C; charge v: 0.1 g KMnO4",
            Some(Caution),
            "R066",
        ),
        (
            "charge v: 1 g FeSO4·7H2O, 50 mL vitriol; charge v: 0.1 g KMnO4",
            None,
            PRACTICE,
        ),
        (
            "charge v: 1 g FeCl2, 50 mL water, 10 mL hcl; charge v: 0.1 g KMnO4",
            Some(Caution),
            "R057: dilute",
        ),
        (
            "charge v: 0.5 g KMnO4, 50 mL vitriol; charge v: 10 mL perox",
            Some(Caution),
            "R061",
        ),
        (
            "charge v: 5 mL silver; charge v: 2 mL ammonia",
            Some(Danger),
            "R283: a caution at the step, worse if left standing",
        ),
        (
            "charge v: 1 g AgNO3, 20 mL water; charge v: 1 g NaCl",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g BaCl2, 50 mL water; charge v: 20 mL vitriol",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g Pb(NO3)2, 50 mL water; charge v: 5 g KI",
            None,
            PRACTICE,
        ),
        (
            "charge v: 10 g KNO3, 20 mL water; warm v to 80 °C; cool v to 5 °C",
            None,
            PRACTICE,
        ),
        (
            "charge v: 10 g NH4Cl, 50 mL water; charge v: 30 mL lye",
            Some(Danger),
            "R220",
        ),
        (
            "charge v: 30 mL ammonia; charge v: 30 mL vitriol; react v: NH3 + H2SO4 -> (NH4)2SO4",
            None,
            PRACTICE,
        ),
        (
            "charge v: 30 mL nitric; charge v: 20 mL ammonia",
            None,
            "R121 is for the strong acid",
        ),
        (
            "charge v: 5 g Na2SO3, 50 mL water; charge v: 20 mL hcl",
            Some(Danger),
            "R172",
        ),
        (
            "charge v: 5 g Na2S2O3·5H2O, 50 mL water; charge v: 10 mL hcl",
            Some(Caution),
            "R175",
        ),
        (
            "charge v: 1 g I2, 2 g KI, 20 mL water; charge v: 5 g Na2S2O3·5H2O",
            Some(Caution),
            "R302",
        ),
        (
            "charge v: 1 g KIO3, 2 g KI, 50 mL water; charge v: 10 mL vitriol",
            Some(Caution),
            "R053",
        ),
        (
            "charge v: 5 g K2Cr2O7, 50 mL water; charge v: 20 mL vitriol; charge v: 5 g Na2SO3",
            Some(Danger),
            "R172, R078",
        ),
        (
            "charge v: 1 g MnO2; charge v: 20 mL perox",
            Some(Caution),
            "R087",
        ),
        (
            "charge v: 1 g MnO2; charge v: 20 mL hclc",
            Some(Danger),
            "R196",
        ),
        (
            "charge v: 5 g KClO3, 50 mL water; warm v to 60 °C",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g KClO3, 0.5 g MnO2; warm v to 250 °C",
            Some(Danger),
            "R036",
        ),
        (
            "charge v: 5 g NaCl, 1 g KNO3, 50 mL water; evaporate v to 20 mL",
            None,
            PRACTICE,
        ),
        (
            "charge v: 2 g NaOH, 50 mL water",
            Some(Caution),
            "R218: solid into water",
        ),
        (
            "charge v: 50 mL water; charge v: 5 g CaO",
            Some(Caution),
            "R218",
        ),
        (
            "charge v: 5 g K4[Fe(CN)6]·3H2O, 50 mL water; charge v: 3 g FeCl3",
            Some(Caution),
            "R156: left standing in the light",
        ),
        (
            "charge v: 1 g KSCN, 50 mL water; charge v: 0.1 g FeCl3; charge v: 2 mL hcl",
            Some(Caution),
            "R159: only strong acid decomposes it",
        ),
        (
            "charge v: 5 g ZnSO4·7H2O, 50 mL water; charge v: 3 g Na2S",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g CuCl2·2H2O, 50 mL water; charge v: 1 g Al",
            Some(Caution),
            "R244",
        ),
        (
            "charge v: 1 g Cu, 50 mL hcl; charge v: 10 mL perox",
            Some(Caution),
            "R092",
        ),
        (
            "charge v: 5 g CH3COONa, 50 mL water; charge v: 5 mL hcl",
            None,
            "R217 is for strong acid",
        ),
        (
            "charge v: 5 g CuO, 50 mL vitriol; warm v to 60 °C",
            None,
            PRACTICE,
        ),
        ("charge v: 5 g Fe2O3; charge v: 50 mL hcl", None, PRACTICE),
        (
            "charge v: 5 g Na2CO3, 50 mL water; charge v: 3 g CaCl2",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g MgSO4·7H2O, 50 mL water; charge v: 30 mL lye",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g NH4NO3, 50 mL water; evaporate v to 20 mL",
            None,
            "R133 is for the dry salt, heated",
        ),
        (
            "charge v: 2 g Na3PO4, 50 mL water; charge v: 3 g CaCl2",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g AlCl3·6H2O, 50 mL water; charge v: 30 mL ammonia",
            None,
            PRACTICE,
        ),
        (
            "charge v: 3 g NiSO4·6H2O, 50 mL water; charge v: 30 mL ammonia",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g Cu(NO3)2·3H2O; warm v to 200 °C",
            Some(Danger),
            "R132",
        ),
        (
            "charge v: 5 g FeSO4·7H2O, 50 mL water; charge v: 3 g Na2C2O4; discard v",
            None,
            PRACTICE,
        ),
        (
            "charge v: 5 g NaNO2, 50 mL water; charge v: 2 g H3NSO3",
            Some(Danger),
            "R140",
        ),
        (
            "charge v: 20 mL hcl; charge w: 20 mL lye; discard v; discard w",
            Some(Caution),
            "R323: in the waste jar",
        ),
        (
            "charge v: 1 g KI, 20 mL water; charge v: 5 mL perox",
            Some(Caution),
            "R088",
        ),
        (
            "charge v: 5 g Na2S2O8, 50 mL water; charge v: 1 g Cu",
            Some(Caution),
            "R105: if left standing",
        ),
        (
            "charge v: 50 mL water; charge v: 5 mL oilv",
            Some(Caution),
            "R201: acid into water",
        ),
        (
            "charge v: 5 mL oilv; charge v: 50 mL water",
            Some(Danger),
            "R201: water into acid",
        ),
        (
            "charge v: 100 mL water; charge v: 6 g NaOH",
            Some(Caution),
            "R218: alkali into water",
        ),
        (
            "charge v: 6 g NaOH; charge v: 100 mL water",
            Some(Danger),
            "R218: water on alkali",
        ),
        (
            "charge v: 60 mL water, 20 g NaCl; warm v to 90 °C; evaporate v to 40 mL",
            Some(Caution),
            "R332: boiling down",
        ),
        (
            "charge v: 2 g Ca; charge v: 100 mL water",
            Some(Danger),
            "R233",
        ),
        (
            "charge v: 1 g Sn, 20 mL hclc; warm v to 60 °C",
            None,
            PRACTICE,
        ),
    ];
    assert!(rows.len() >= 60, "{}", rows.len());
    let mut off = Vec::new();
    for (script, expected, because) in rows {
        let ledger = follow(&format!("{BOTTLES}; {script}"));
        let faults: Vec<_> = ledger
            .remarks
            .iter()
            .filter(|r| r.weight == Weight::Fault)
            .collect();
        let found = told(&ledger);
        let gravest = found.iter().map(|(_, severity)| *severity).max();
        if !faults.is_empty() || ledger.refused || gravest != *expected {
            off.push(format!(
                "{script}\n   {because}: wanted {expected:?}, told {found:?} {faults:?}"
            ));
        }
        if let Some(key) = because.strip_prefix('R')
            && expected.is_some()
        {
            let key = format!("R{}", &key[..3]);
            if !found.iter().any(|(told, _)| *told == key) {
                off.push(format!("{script}\n   {key} is not told, but {found:?}"));
            }
        }
    }
    assert!(off.is_empty(), "{}", off.join("\n"));
}

/// What harms: told at the severity of the row.
#[test]
fn dangerous_meetings_are_told_at_their_severity() {
    let rows: &[(&str, Severity, &str)] = &[
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
    assert!(rows.len() >= 60, "{}", rows.len());
    let mut off = Vec::new();
    for (script, expected, key) in rows {
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
    let mut child = Command::new(env!("CARGO_BIN_EXE_aludel"))
        .args(["run", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(script.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    let told = String::from_utf8(output.stderr).unwrap();
    for piece in ["refused-hazard", "NaCN + HCl", "accept hazard \"R145"] {
        assert!(told.contains(piece), "{piece}: {told}");
    }
}
