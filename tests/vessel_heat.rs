//! Final temperatures and heats of vessels against published figures, and what must hold whatever is mixed.
//!
//! Each row names its source. Glass and air are left out on both sides.

use aludel::data::Store;
use aludel::route::ledger::{Answer, Fact, Ledger, Outcome};
use aludel::route::{self, Fault};
use aludel::text::Source;

fn follow(text: &str) -> Ledger {
    let outcome = route::follow(&Source::new("heat.route", text), &Store::default(), &[]);
    let none: &[Fault] = &[];
    assert_eq!(outcome.faults, none, "{text}");
    for remark in &outcome.ledger.remarks {
        let unbalanced = matches!(remark.fact, Fact::Unbalanced { .. });
        assert!(!unbalanced, "{text}: {:?}", remark.fact);
    }
    outcome.ledger
}

/// The answers to `show`, in their own units: °C for temperatures.
fn answers(ledger: &Ledger) -> Vec<f64> {
    let shown = ledger.shows.iter().map(|shown| match &shown.answer {
        Answer::Quantity(quantity) => {
            let shown = quantity
                .written_in()
                .map(|unit| quantity.in_unit(&unit).unwrap());
            shown.unwrap_or_else(|| quantity.number().clone()).to_f64()
        }
        other => panic!("{}: {other:?}", shown.expression),
    });
    shown.collect()
}

fn celsius(text: &str) -> f64 {
    answers(&follow(&format!("{text}\nshow temperature(cup)\n")))[0]
}

#[test]
fn textbook_calorimetry_ends_where_the_books_say() {
    let rows: &[(&str, f64, f64, &str)] = &[
        (
            "vessel cup\ncharge cup: 100 g water at 80 °C\ncharge cup: 100 g water at 20 °C",
            50.0,
            0.1,
            "equal parts of hot and cold water, any textbook",
        ),
        (
            "vessel cup\ncharge cup: 200 g water at 50 °C\ncharge cup: 50 g ice",
            24.2,
            0.3,
            "melting takes 334 J/g and water 4.18 J/(g·K): (200·4.18·50 − 50·334)/(250·4.18); constants of Chemistry 2e, OpenStax 2019, tables 5.1 and 10.3, quoted from memory",
        ),
        (
            "vessel cup\ncharge cup: 100 g water at 20 °C\ncharge cup: 100 g H2O(s) at -10 °C",
            0.0,
            0.02,
            "ice is left over: both rest at 0 °C",
        ),
        (
            "ambient 25 °C\nvessel cup\nbottle acid: HCl 1.0 mol/L\nbottle lye: NaOH 1.0 mol/L\ncharge cup: 50 mL acid, 50 mL lye\nreact cup: HCl + NaOH -> NaCl + H2O",
            31.8,
            0.4,
            "molar acid and base of equal volumes rise by 6.6 to 6.8 K: 55.8 kJ/mol (CODATA ions) in 103 g of 0.5 mol/L brine; common school experiment, quoted from memory",
        ),
        (
            "ambient 25 °C\nvessel cup\ncharge cup: 100 g water\ncharge cup: 8.0 g NH4NO3",
            19.3,
            0.5,
            "25.69 kJ/mol (CRC Handbook, enthalpy of solution of electrolytes, quoted from memory): 2.57 kJ from 108 g",
        ),
        (
            "ambient 25 °C\nvessel cup\ncharge cup: 90 g water\ncharge cup: 10 g NaOH",
            54.0,
            2.5,
            "44.5 kJ/mol (CRC Handbook, from memory) less dilution to 10 %, cp 3.8 J/(g·K): 29 K",
        ),
        (
            "ambient 25 °C\nvessel cup\nbottle oil: H2SO4 98 %w/w\ncharge cup: 90 g water\ncharge cup: 10.2 g oil",
            43.0,
            2.0,
            "98 % to 10 %: 68 kJ/mol (NBS 1982 rows of the heats of solution), about 18 K",
        ),
    ];
    for (text, published, allowed, because) in rows {
        let ours = celsius(text);
        assert!(
            (ours - published).abs() <= *allowed,
            "{because}: {ours} against {published}\n{text}"
        );
    }
}

#[test]
fn concentrated_hydrochloric_acid_warms_when_diluted() {
    // NBS 1982: apparent molar enthalpy of HCl in 3.6 H2O (37 %) to 50 H2O differs by about 15 to 17 kJ/mol.
    let ledger = follow(
        "ambient 25 °C\nbottle acid: HCl 12 mol/L\nvessel cup\ncharge cup: 75 mL water\ncharge cup: 25 mL acid\n",
    );
    let mixing = ledger
        .steps
        .iter()
        .flat_map(|s| &s.operations)
        .filter_map(|o| match &o.outcome {
            Outcome::Charged { mixing, .. } => Some(mixing.to_f64()),
            _ => None,
        });
    let molar = mixing.sum::<f64>() / 0.3;
    assert!((-18.0..=-12.0).contains(&molar), "{molar}");
}

#[test]
fn the_end_does_not_depend_on_the_order() {
    let head = "bottle oil: H2SO4 98 %w/w\nbottle lye: NaOH 40 %w/w\nvessel cup\n";
    let pairs = [
        (
            "charge cup: 20 mL oil\ncharge cup: 200 mL water",
            "charge cup: 200 mL water\ncharge cup: 20 mL oil",
        ),
        (
            "charge cup: 20 mL oil, 200 mL water",
            "charge cup: 200 mL water, 20 mL oil",
        ),
        (
            "charge cup: 100 mL water at 60 °C\ncharge cup: 20 g lye at 5 °C",
            "charge cup: 20 g lye at 5 °C\ncharge cup: 100 mL water at 60 °C",
        ),
        (
            "charge cup: 100 g water at 40 °C\ncharge cup: 30 g ice\ncharge cup: 20 g NaCl",
            "charge cup: 20 g NaCl\ncharge cup: 30 g ice\ncharge cup: 100 g water at 40 °C",
        ),
    ];
    for (one, other) in pairs {
        let (one, other) = (
            celsius(&[head, one].concat()),
            celsius(&[head, other].concat()),
        );
        assert!((one - other).abs() < 1e-6, "{one} {other}");
    }
}

#[test]
fn a_boiling_vessel_stops_there_and_loses_the_steam_that_carries_the_heat_away() {
    let ledger = follow(
        "ambient 25 °C\nbottle lye: NaOH 40 %w/w\nbottle oil: H2SO4 98 %w/w\nvessel cup\ncharge cup: 100 g lye\ncharge cup: 51 g oil\n\
         react cup: NaOH + H2SO4 -> Na2SO4 + H2O\nshow temperature(cup), peak(cup)\n",
    );
    let boils = ledger
        .remarks
        .iter()
        .filter_map(|remark| match &remark.fact {
            Fact::Boils { lost, .. } => Some(lost.to_f64()),
            _ => None,
        });
    let lost: f64 = boils.sum();
    let shown = answers(&ledger);
    assert!(
        lost > 5.0 && shown[0] < 125.0 && shown[1] > shown[0],
        "{lost} {shown:?}"
    );
}

#[test]
fn salt_and_ice_are_colder_than_ice() {
    // 24 % of salt in crushed ice comes to about −21 °C (the eutectic, any handbook); Raoult's law is an estimate.
    let cold = celsius(
        "vessel cup\ncharge cup: 30 g NaCl\ncharge cup: 100 g ice at 0 °C\ncharge cup: 1 g water at 0 °C",
    );
    assert!((-24.0..=-12.0).contains(&cold), "{cold}");
}

#[test]
fn sugar_and_oxalic_acid_dissolve_as_far_as_they_can() {
    let ledger = follow(
        "vessel cup\nvessel pot\ncharge cup: 100 g water, 50 g C12H22O11\ncharge pot: 100 g water, 50 g H2C2O4·2H2O\n\
         show amount(C12H22O11(aq), cup), amount(H2C2O4(aq), pot), temperature(pot)\n",
    );
    let shown = answers(&ledger);
    assert!((shown[0] - 50.0 / 342.297).abs() < 1e-4, "{shown:?}");
    // 9.5 g of the anhydrous acid in 100 g of water at 20 °C, less since it grows cold.
    assert!((0.05..0.13).contains(&shown[1]), "{shown:?}");
}

#[test]
fn a_dry_reaction_is_as_hot_as_the_heat_capacities_of_its_products_allow() {
    // Iron and sulfur glow: ΔH = −100 kJ/mol (CRC Handbook) and 60 to 70 J/(mol·K) above 600 K (NIST-JANAF) make some
    // 1200 to 1600 °C; with the heat capacity of 25 °C it would be 1950 °C.
    let hot = celsius("vessel cup\ncharge cup: 5.585 g Fe, 3.206 g S\nreact cup: Fe + S -> FeS");
    assert!((1100.0..1650.0).contains(&hot), "{hot}");
}

/// Over a time in which the bath takes all of the heat the vessel stays at the bath; q/UA above it if it is slow and even.
#[test]
fn a_bath_of_stated_strength_holds_what_it_can() {
    let route = |with: &str, over: &str, limit: &str| {
        let text = format!(
            "ambient 25 °C\nbottle oil: H2SO4 98 %w/w\nvessel cup\nstep \"in\" {{\ncharge cup: 500 mL water\nhold cup at 25 °C {with}\n\
             charge cup: 50 mL oil over {over}\n}}\nshow warmest(cup), shortest(cup, {limit}), peak(cup)\n"
        );
        answers(&follow(&text))
    };
    // About 68 kJ/mol of 0.94 mol (see above) against 40 W: 1600 s; the whole rise is about 27 K.
    let [warmest, shortest, peak] = route("with 40 W", "40 min", "25.01 °C")[..] else {
        panic!()
    };
    assert!((warmest - 25.0).abs() < 0.01, "{warmest}");
    assert!((24.0..30.0).contains(&shortest), "{shortest}");
    assert!((45.0..60.0).contains(&peak), "{peak}");
    let hot = route("with 40 W", "10 min", "40 °C");
    assert!(
        hot[0] > 35.0 && hot[0] < peak && hot[1] < shortest,
        "{hot:?}"
    );
    // Even heat of 64 kJ in 6400 s is 10 W: with 2 W/K five degrees above the bath, by Newton's law of cooling.
    let newton = route("with 2 W/K", "6400 s", "30 °C");
    assert!((newton[0] - 30.0).abs() < 0.6, "{newton:?}");
    // The shortest time keeps what it promises.
    let minutes = newton[1];
    let kept = route("with 2 W/K", &format!("{minutes} min"), "30 °C");
    assert!((kept[0] - 30.0).abs() < 0.01, "{kept:?}");
}

#[test]
fn the_ice_that_is_named_holds_what_it_is_named_for() {
    let acid = "ambient 20 °C\nbottle oil: H2SO4 98 %w/w\nvessel cup\n";
    let hot = follow(&format!(
        "{acid}charge cup: 100 mL water, 40 mL oil\nshow ice(cup, 30 °C), icewater(cup, 30 °C)\n"
    ));
    let [ice, water] = answers(&hot)[..] else {
        panic!()
    };
    let with = |coolant: &str| {
        celsius(&format!(
            "{acid}charge cup: 100 mL water, 40 mL oil, {coolant}"
        ))
    };
    assert!((with(&format!("{ice} g ice")) - 30.0).abs() < 0.02);
    assert!(
        (with(&format!("{water} g water")) - 30.0).abs() > 0.5,
        "the water of the room is warmer"
    );
    let cold = celsius(&format!(
        "{acid}charge cup: 100 mL water, 40 mL oil\ncharge cup: {water} g water at 0 °C"
    ));
    assert!((cold - 30.0).abs() < 0.02, "{cold}");
}

#[test]
fn gas_is_moist_over_water_fills_its_room_and_presses_when_closed_in() {
    let ledger = follow(
        "ambient 25 °C, 101.325 kPa\nbottle acid: HCl 2.0 mol/L\nvessel cup: 1 L\ncharge cup: 10.009 g CaCO3, 400 mL water\n\
         charge cup: 110 mL acid over 10 min\nreact cup: CaCO3 + HCl -> CaCl2 + CO2 + H2O\n\
         show gas(CO2, cup), moist(CO2, cup), filling(CO2, cup)\n",
    );
    let shown = answers(&ledger);
    // 24.465 L/mol dry; vapour pressure 3.17 kPa at 25 °C (any handbook): 25.25 L/mol.
    assert!(
        (shown[0] - 2.4465).abs() < 0.01 && (shown[1] - 2.525).abs() < 0.01,
        "{shown:?}"
    );
    // About half a litre of room, 2.45 L in 10 min: 2.0 min.
    assert!((1.8..2.2).contains(&shown[2]), "{shown:?}");
    let closed = follow(
        "vessel cup: 1 L\nbottle acid: HCl 2.0 mol/L\ncharge cup: 10.009 g CaCO3, 400 mL water\ncharge cup: 110 mL acid\nseal cup\n\
         react cup: CaCO3 + HCl -> CaCl2 + CO2 + H2O\n",
    );
    let pressure = closed.remarks.iter().find_map(|remark| match &remark.fact {
        Fact::UnderPressure { pressure, .. } => pressure.as_ref().map(|kpa| kpa.to_f64()),
        _ => None,
    });
    // 0.1 mol in half a litre at 20 °C: 490 kPa, and the air.
    assert!((550.0..650.0).contains(&pressure.unwrap()), "{pressure:?}");
}

#[test]
fn a_room_full_of_gas_can_be_asked_for() {
    let shown = answers(&follow(
        "vessel cup\ncharge cup: 9340 L CO2\nshow amount(CO2, cup)\n",
    ));
    assert!((shown[0] - 388.3).abs() < 0.5, "{shown:?}");
}

/// The heat of a step by its account: water from 20 to 60 °C takes 4.18 J/(g·K) (IAPWS, as in the tables of water), all of it
/// from the bath; and what a bath holds back of a reaction is what the reaction and mixing gave off.
#[test]
fn the_account_of_a_step_counts_what_a_bath_takes_while_it_holds() {
    let heat = |text: &str| follow(text).steps.last().unwrap().heat.clone();
    let warmed =
        heat("vessel cup\ncharge cup: 100 g water\nstep \"Warm\" {\nwarm cup to 60 °C\n}\n");
    let baths = warmed.baths.to_f64();
    assert!((baths + 16.72).abs() < 0.02, "{baths} kJ");
    assert!((warmed.warming.to_f64() + baths).abs() < 1e-9);
    let held = heat(
        "bottle lye: NaOH 2.0 mol/L\nbottle acid: HCl 2.0 mol/L\nvessel cup\ncharge cup: 50 mL lye\n\
         step \"Neutralise\" {\nhold cup at 20 °C\ncharge cup: 50 mL acid\nreact cup: NaOH + HCl -> NaCl + H2O\n}\n",
    );
    let given = held.reactions.known().unwrap().to_f64() + held.dissolving.to_f64();
    // H+ + OH-: -55.8 kJ/mol at 25 °C (Wagman 1982) for a tenth of a mole.
    assert!((held.reactions.known().unwrap().to_f64() + 5.58).abs() < 0.02);
    // The solutions are at 20 °C from beginning to end; the capacity that the reaction changes is what is left.
    let warming = held.warming.to_f64();
    assert!((held.baths.to_f64() + given + warming).abs() < 1e-6);
    assert!(warming.abs() < 0.2, "{warming} kJ");
}
