//! Published reaction quantities at 298.15 K, and what happens without data.

mod common;

use aludel::data::{Own, Property, Store};
use aludel::matter::{Phase, Species};
use aludel::number::{Exact, Number, Quantity, unit};
use aludel::thermo::{self, ReactionData};
use common::species;

/// `2 H2(g) + O2(g) -> 2 H2O(l)`, balanced as written.
fn terms(equation: &str) -> Vec<(Exact, Species)> {
    let (left, right) = equation.split_once(" -> ").expect("an arrow");
    let side = |text: &str, sign: i64| -> Vec<(Exact, Species)> {
        text.split(" + ")
            .map(|term| match term.split_once(' ') {
                Some((n, what)) => (
                    Exact::decimal(n).unwrap() * Exact::from(sign),
                    species(what),
                ),
                None => (Exact::from(sign), species(term)),
            })
            .collect()
    };
    [side(left, -1), side(right, 1)].concat()
}

fn reaction(equation: &str) -> ReactionData {
    thermo::reaction(&Store::default(), &terms(equation))
}

fn kilojoules(quantity: &Quantity) -> f64 {
    quantity
        .in_unit(&unit::KILOJOULE_PER_MOLE)
        .unwrap()
        .to_f64()
}

/// A table of published enthalpies and how far ours may be off, in kJ for the equation as written.
fn enthalpies_agree(cases: &[(&str, f64, f64)]) {
    for (equation, published, allowed) in cases {
        let ours = kilojoules(&reaction(equation).enthalpy().expect(equation));
        assert!(
            (ours - published).abs() <= *allowed,
            "{equation}: {ours}, published {published}"
        );
    }
}

/// V. B. Parker, Thermal Properties of Aqueous Uni-univalent Electrolytes, NSRDS-NBS 2 (1965), infinite dilution,
/// as reprinted in the CRC Handbook (from memory).
#[test]
fn heats_of_solution_are_those_of_parker() {
    enthalpies_agree(&[
        ("NaCl(s) -> Na^+ + Cl^-", 3.88, 0.05),
        ("KCl(s) -> K^+ + Cl^-", 17.22, 0.05),
        ("NH4Cl(s) -> NH4^+ + Cl^-", 14.78, 0.05),
        ("NH4NO3(s) -> NH4^+ + NO3^-", 25.69, 0.05),
        ("NaOH(s) -> Na^+ + OH^-", -44.51, 0.05),
        ("KOH(s) -> K^+ + OH^-", -57.61, 0.05),
        ("KNO3(s) -> K^+ + NO3^-", 34.89, 0.05),
        ("NaNO3(s) -> Na^+ + NO3^-", 20.50, 0.15),
        ("LiCl(s) -> Li^+ + Cl^-", -37.03, 0.05),
        ("KI(s) -> K^+ + I^-", 20.33, 0.05),
        ("AgNO3(s) -> Ag^+ + NO3^-", 22.59, 0.05),
        ("KClO3(s) -> K^+ + ClO3^-", 41.38, 0.05),
        ("KMnO4(s) -> K^+ + MnO4^-", 43.56, 0.20),
        ("CH3COONa(s) -> Na^+ + CH3COO^-", -17.32, 0.05),
        ("H^+ + OH^- -> H2O(l)", -55.84, 0.02),
    ]);
}

/// The figure that the shipped alum route rests on: aluminium in lye, from the NBS tables.
#[test]
fn aluminium_in_lye_gives_off_830_kilojoules_as_written() {
    let heat = reaction("2 Al(s) + 2 OH^- + 6 H2O(l) -> 2 [Al(OH)4]^- + 3 H2(g)");
    assert!((kilojoules(&heat.enthalpy().unwrap()) + 830.0).abs() < 0.5);
}

#[test]
fn the_usual_phase_is_the_stable_one_at_ambient() {
    for (text, phase) in [
        ("H2O", Phase::Liquid),
        ("CO2", Phase::Gas),
        ("NaCl", Phase::Solid),
        ("Br2", Phase::Liquid),
        ("I2", Phase::Solid),
        ("Hg", Phase::Liquid),
        ("H2SO4", Phase::Liquid),
        ("NH3", Phase::Gas),
        ("HCl", Phase::Gas),
        ("C2H5OH", Phase::Liquid),
        ("H2O2", Phase::Liquid),
        ("HNO3", Phase::Liquid),
        ("S", Phase::Solid),
        ("SO4^2-", Phase::Aqueous),
        ("[Al(OH)4]^-", Phase::Aqueous),
    ] {
        let found = thermo::standard(&Store::default(), &species(text)).unwrap();
        assert_eq!(found.species.phase(), Some(phase), "{text}");
        assert!(found.phase_assumed);
    }
}

#[test]
fn other_spellings_are_found_and_isomers_are_not_merged() {
    let store = Store::default();
    let listed = |text: &str| {
        let found = thermo::standard(&store, &species(text)).ok()?;
        Some(found.listed_as.as_ref()?.key().to_owned())
    };
    assert_eq!(listed("Al(OH)4^-").as_deref(), Some("[Al(OH)4]^-"));
    assert_eq!(listed("NaCH3COO").as_deref(), Some("CH3COONa"));
    assert_eq!(listed("K2Zn(CN)4").as_deref(), Some("K2[Zn(CN)4]"));
    assert_eq!(listed("NaCl"), None);
    // Ethanol or dimethyl ether: named, not chosen.
    let unknown = thermo::standard(&store, &species("C2H6O(l)")).unwrap_err();
    assert!(unknown.same_composition.contains(&species("C2H5OH")));
    assert!(unknown.same_composition.len() > 1);
}

#[test]
fn every_species_without_data_is_named() {
    let missing = reaction("K2MnO4(s) + Na3PO4·12H2O(s) -> H2O(l)")
        .enthalpy()
        .unwrap_err();
    assert_eq!(missing.property, Property::FormationEnthalpy);
    assert_eq!(
        missing.species,
        [species("K2MnO4(s)"), species("Na3PO4·12H2O(s)")]
    );
    let unknown = thermo::standard(&Store::default(), &species("NaCl(l)")).unwrap_err();
    assert!(unknown.other_phases.contains(&Phase::Solid));
}

#[test]
fn own_data_win_and_say_so() {
    let mut store = Store::default();
    store.add(Own {
        formula: "K2MnO4".into(),
        phase: "s".into(),
        formation_enthalpy: Some(Quantity::of(
            Number::exact(Exact::from(-1180)),
            &unit::KILOJOULE_PER_MOLE,
        )),
        formation_gibbs: None,
        entropy: None,
        heat_capacity: None,
        source: "my notebook".into(),
    });
    let found = thermo::standard(&store, &species("K2MnO4")).unwrap();
    let value = found.get(Property::FormationEnthalpy).unwrap();
    assert_eq!(kilojoules(&value.value), -1180.0);
    assert!(value.source.is_own());
    assert_eq!(value.source.citation(), "my notebook");
}

/// What is remembered for one user's data holds neither for another's nor for the tables, and data given for one spelling
/// are found by another.
#[test]
fn what_is_remembered_belongs_to_its_data() {
    let with = |enthalpy: i64| {
        let mut store = Store::default();
        let enthalpy = Number::exact(Exact::from(enthalpy));
        store.add(Own {
            formula: "CH3COOH".into(),
            phase: "l".into(),
            formation_enthalpy: Some(Quantity::of(enthalpy, &unit::KILOJOULE_PER_MOLE)),
            formation_gibbs: None,
            entropy: None,
            heat_capacity: None,
            source: "invented for this test".into(),
        });
        store
    };
    let of = |store: &Store, text: &str| {
        let found = thermo::standard(store, &species(text)).unwrap();
        kilojoules(&found.get(Property::FormationEnthalpy).unwrap().value)
    };
    let (one, other) = (with(-400), with(-500));
    let tables = of(&Store::default(), "CH3COOH(l)");
    for spelled in ["CH3COOH(l)", "HC2H3O2(l)"] {
        assert_eq!(of(&one, spelled), -400.0);
        assert_eq!(of(&other, spelled), -500.0);
        assert_eq!(of(&one.clone(), spelled), -400.0);
        assert_eq!(of(&Store::default(), spelled), tables);
    }
}

/// NIST-JANAF (Chase 1998) and textbooks give K_w = 1.0e-14 at 25 °C; here from the NBS tables.
#[test]
fn the_ion_product_of_water_comes_out() {
    let k = reaction("H2O(l) -> H^+ + OH^-").log10_k().unwrap();
    assert!((k.to_f64() + 14.0).abs() < 0.01, "{}", k.to_f64());
}

/// JCGM 100:2008, 5.2: an input on both sides cancels, so a reaction that changes nothing is exact.
#[test]
fn uncertainty_is_correlated_through_shared_species() {
    let heat = reaction("NaCl(s) + H2O(l) -> H2O(l) + NaCl(s)")
        .enthalpy()
        .unwrap();
    assert!(heat.number().is_exact());
    let melting = reaction("H2O(l) -> H2O(g)").enthalpy().unwrap();
    let standard = melting.number().standard_uncertainty();
    assert!(standard > 0.0 && standard < 100.0, "{standard} J/mol");
}
