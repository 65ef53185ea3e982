//! Reaction quantities along the temperature: through phase changes, joined at 298.15 K, refused outside.

use aludel::data::{Own, Store};
use aludel::matter::{Phase, Species};
use aludel::number::{Exact, InputId, Number, Quantity, unit};
use aludel::thermo::{self, Basis, CapacityFrom, ReactionData, TooFar};

fn reaction(terms: &[(i64, &str)]) -> ReactionData {
    let terms: Vec<(Exact, Species)> = terms
        .iter()
        .map(|(n, text)| (Exact::from(*n), Species::parse(text).unwrap()))
        .collect();
    thermo::reaction(&Store::default(), &terms)
}

fn kelvin(t: f64) -> Number {
    Number::modelled(t).unwrap()
}

fn kilojoules(q: &aludel::number::Quantity) -> f64 {
    q.in_unit(&unit::KILOJOULE_PER_MOLE).unwrap().to_f64()
}

/// NIST-JANAF (Chase 1998): aluminium melts at 933.45 K with 10.711 kJ/mol; from memory.
#[test]
fn melting_is_passed_through_with_its_heat() {
    let oxide = reaction(&[(-4, "Al(s)"), (-3, "O2(g)"), (2, "Al2O3(s)")]);
    let course = oxide.course();
    let at = |t: f64| course.at(&kelvin(t)).unwrap();
    let (below, above) = (at(933.0), at(934.0));
    let jump = kilojoules(&above.enthalpy.unwrap()) - kilojoules(&below.enthalpy.unwrap());
    assert!((jump + 4.0 * 10.711).abs() < 0.3, "{jump}");
    assert_eq!(above.species[0].phase, Some(Phase::Liquid));
    assert_eq!(below.species[0].phase, Some(Phase::Solid));
    // At the melting point itself nothing is gained by melting.
    let difference = kilojoules(&above.gibbs.unwrap().0) - kilojoules(&below.gibbs.unwrap().0);
    assert!(difference.abs() < 0.8, "{difference}");
}

#[test]
fn the_values_join_those_at_298_kelvin() {
    let data = reaction(&[(-1, "CaCO3(s)"), (1, "CaO(s)"), (1, "CO2(g)")]);
    let course = data.course();
    let standard = course.at(&kelvin(298.15)).unwrap();
    assert_eq!(standard.basis, Basis::Standard);
    let near = course.at(&kelvin(298.150_001)).unwrap();
    let off = |a: &Number, b: &Number| (a.to_f64() - b.to_f64()).abs();
    assert!(
        off(
            standard.enthalpy.unwrap().number(),
            near.enthalpy.unwrap().number()
        ) < 0.1
    );
    assert!(
        off(
            standard.gibbs.unwrap().0.number(),
            near.gibbs.unwrap().0.number()
        ) < 0.1
    );
    assert!(off(&standard.log10_k.unwrap(), &near.log10_k.unwrap()) < 1e-4);
}

/// Common practice, no source: limestone gives one bar of carbon dioxide at a little below 900 °C.
#[test]
fn limestone_burns_below_900_degrees() {
    let data = reaction(&[(-1, "CaCO3(s)"), (1, "CaO(s)"), (1, "CO2(g)")]);
    let course = data.course();
    let log = |t: f64| course.at(&kelvin(t)).unwrap().log10_k.unwrap().to_f64();
    assert!(
        log(1100.0) < 0.0 && log(1190.0) > 0.0,
        "{} {}",
        log(1100.0),
        log(1190.0)
    );
}

#[test]
fn outside_the_data_the_range_is_named() {
    let burning = reaction(&[(-2, "H2(g)"), (-1, "O2(g)"), (2, "H2O(l)")]);
    let course = burning.course();
    let fault = course.at(&kelvin(900.0)).unwrap_err();
    let TooFar::Outside { limits, common } = fault else {
        panic!("{fault:?}")
    };
    assert_eq!(limits.len(), 1);
    assert_eq!(limits[0].0.plain(), "H2O(l)");
    assert_eq!((common.low, common.high), (200.0, 600.0));
    assert_eq!(course.at(&kelvin(-5.0)).unwrap_err(), TooFar::NotAboveZero);
}

#[test]
fn a_liquid_that_would_boil_away_says_so() {
    let burning = reaction(&[(-2, "H2(g)"), (-1, "O2(g)"), (2, "H2O(l)")]);
    let course = burning.course();
    let boils = |t: f64| course.at(&kelvin(t)).unwrap().species[2].boils;
    assert!(!boils(360.0));
    assert!(boils(385.0));
}

/// Invented data: a liquid whose gas has the lower Gibbs energy from 47 kJ/mol / 140 J/(mol·K) = 336 K on.
#[test]
fn a_liquid_of_the_users_own_boils_by_their_data() {
    let mut store = Store::default();
    for (phase, enthalpy, entropy) in [("l", -275, 390), ("g", -228, 530)] {
        let of = |value: i64, unit| Quantity::of(Number::exact(Exact::from(value)), unit);
        store.add(Own {
            formula: "C9H19F".into(),
            phase: phase.into(),
            formation_enthalpy: Some(of(enthalpy, &unit::KILOJOULE_PER_MOLE)),
            formation_gibbs: None,
            entropy: Some(of(entropy, &unit::JOULE_PER_MOLE_KELVIN)),
            heat_capacity: Some(of(250, &unit::JOULE_PER_MOLE_KELVIN)),
            source: "invented for this test".into(),
        });
    }
    let terms = [(-1, "C9H19F(l)"), (1, "C9H19F(g)")];
    let terms = terms.map(|(n, text)| (Exact::from(n), Species::parse(text).unwrap()));
    let going = thermo::reaction(&store, &terms);
    let course = going.course();
    let boils = |t: f64| course.at(&kelvin(t)).unwrap().species[0].boils;
    assert!(!boils(325.0));
    assert!(boils(345.0));
}

#[test]
fn without_functions_constants_serve_near_298_kelvin_and_say_so() {
    // Dissolved calcium has no heat capacity in the tables.
    let data = reaction(&[
        (-1, "CaSO4·2H2O(s)"),
        (1, "Ca^2+"),
        (1, "SO4^2-"),
        (2, "H2O(l)"),
    ]);
    let course = data.course();
    let warm = course.at(&kelvin(310.0)).unwrap();
    assert!(matches!(warm.basis, Basis::NoHeatCapacity(ref all) if all.len() == 1));
    assert!(warm.heat_capacity.is_none());
    assert!(course.at(&kelvin(350.0)).is_err());
    let neutral = reaction(&[(-1, "H^+"), (-1, "OH^-"), (1, "H2O(l)")]);
    let warm = neutral.course().at(&kelvin(323.15)).unwrap();
    assert!(matches!(warm.basis, Basis::SomeConstant(_)));
    assert_eq!(warm.species[0].from, CapacityFrom::Constant);
    // NIST and handbooks: pK_w = 13.26 at 50 °C; a constant heat capacity comes within 0.02 of it.
    assert!((warm.log10_k.unwrap().to_f64() - 13.26).abs() < 0.02);
}

/// JCGM 100:2008, 5.1.2: an uncertain temperature acts with the slope of the result.
#[test]
fn uncertainty_of_the_temperature_reaches_the_constant() {
    let data = reaction(&[(-1, "N2O4(g)"), (2, "NO2(g)")]);
    let course = data.course();
    let exact = |t: f64| course.at(&kelvin(t)).unwrap().log10_k.unwrap().to_f64();
    let slope = (exact(351.0) - exact(349.0)) / 2.0;
    let t = kelvin(350.0).with_uncertainty(InputId(7), 2.0);
    let found = course.at(&t).unwrap().log10_k.unwrap();
    let parts = found.contributions();
    let part = parts
        .iter()
        .find(|(input, _)| *input == InputId(7))
        .unwrap()
        .1;
    assert!((part - 2.0 * slope).abs() < 1e-4, "{part} {slope}");
}

/// A hundred thousand temperatures of one reaction: the sum of rises is a few multiplications a species.
#[test]
fn many_temperatures_are_cheap() {
    let data = reaction(&[(-1, "N2(g)"), (-3, "H2(g)"), (2, "NH3(g)")]);
    let course = data.course();
    let all: f64 = (0..100_000)
        .filter_map(|i| course.rise(300.0 + f64::from(i) * 0.01))
        .map(|rise| rise.enthalpy)
        .sum();
    assert!(all.is_finite() && all < 0.0);
}
