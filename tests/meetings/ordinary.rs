//! Everyday work, and the cautions that belong to it.

use aludel::hazard::Severity::{self, *};
use aludel::route::ledger::Level;

use crate::{BOTTLES, PRACTICE, follow, told};

/// Script, the gravest that is told, and where that is from.
const EVERYDAY: &[(&str, Option<Severity>, &str)] = &[
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

/// Everyday work: nothing is refused; where a caution or danger belongs to it, it is told.
#[test]
fn ordinary_preparations_run_with_their_cautions() {
    assert!(EVERYDAY.len() >= 60, "{}", EVERYDAY.len());
    let mut off = Vec::new();
    for (script, expected, because) in EVERYDAY {
        let ledger = follow(&format!("{BOTTLES}; {script}"));
        let faults: Vec<_> = ledger
            .remarks
            .iter()
            .filter(|r| r.level == Level::Fault)
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
