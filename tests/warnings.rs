//! What a second reader would point out: leftovers, bottles that nothing is taken from, statements that change nothing,
//! vessels too full, products in the waste, and who emptied a vessel.

use aludel::data::Store;
use aludel::diagnostic;
use aludel::matter::Notation;
use aludel::route;
use aludel::text::Source;

/// The messages of a kind, title and hints in one line, with the line of the text that each is about.
fn told(text: &str, kind: &str) -> Vec<(usize, String)> {
    let source = Source::new("route", text);
    let outcome = route::follow(&source, &Store::default(), &[]);
    assert_eq!(outcome.faults, [], "{text}");
    let messages = outcome
        .ledger
        .remarks
        .iter()
        .map(|remark| diagnostic::route_remark(remark, Notation::Plain));
    let of_kind = messages.filter(|message| message.kind == kind);
    let line = |message: &diagnostic::Message| {
        let place = message.place().expect("a remark has a place");
        source.place(place.start).1
    };
    of_kind
        .map(|message| {
            let words = format!("{}; {}", message.title, message.hints.join("; "));
            (line(&message), words)
        })
        .collect()
}

const ZINC: &str = "bottle acid: HCl 2 mol/L\nvessel flask: 250 mL\ncharge flask: 1.0 g Zn, 50 mL acid\nreact flask: Zn + HCl -> ZnCl2 + H2\n";

/// Text, kind, line, words.
#[test]
fn what_looks_wrong_is_told_where_it_is_with_a_way_out() {
    let with = |more: &str| format!("{ZINC}{more}\n");
    for (text, kind, line, words) in [
        (
            with(""),
            "leftover-reagent",
            4,
            &["0.06941 mol of HCl", "flask", "69 %", "charge less HCl"][..],
        ),
        (
            format!("bottle lye: NaOH 1 mol/L\n{ZINC}"),
            "unused-bottle",
            1,
            &["lye"],
        ),
        (
            "vessel cup: 100 mL\nbottle acid: HCl 2 mol/L\ncharge cup: 80 mL acid, 5 g Na2CO3\nreact cup: Na2CO3 + HCl -> NaCl + CO2 + H2O".to_owned(),
            "foam-room",
            4,
            &["one third", "larger"],
        ),
        (with("warm flask to 40 °C\nwarm flask to 40 °C"), "changes-nothing", 6, &["that temperature"]),
        (with("vent flask"), "changes-nothing", 5, &["no gas"]),
        (with("open flask"), "changes-nothing", 5, &["open already"]),
        (with("seal flask\nseal flask"), "changes-nothing", 6, &["closed already"]),
        (with("filter flask -> liquor, cake"), "changes-nothing", 5, &["no solid", "pour"]),
        (with("pour flask -> flask"), "changes-nothing", 5, &["itself"]),
        (with("dilute flask to 200 mL\nvessel pot\ncharge pot: 5 g NaCl\ndry pot"), "changes-nothing", 8, &["no water"]),
        (with("vessel pot\ncharge pot: 5 g water\ndilute pot to 5 g"), "changes-nothing", 7, &["that much"]),
        (with("step \"Later\" {\n}"), "changes-nothing", 5, &["nothing is done"]),
        (with("react flask: Cu + HCl -> CuCl2 + H2"), "absent-reagent", 5, &["no Cu in flask"]),
        (
            "bottle acid: H2SO4 20 %w/w\nvessel pot\ncharge pot: 6.35 g Cu\ncharge pot: enough acid for Cu + H2O2 + H2SO4 -> CuSO4 + H2O".to_owned(),
            "still-missing",
            4,
            &["pot holds no H2O2 yet", "enough for the Cu there", "charge H2O2"],
        ),
        (with("charge flask: enough acid for Cu + HCl -> CuCl2 + H2"), "nothing-to-use-up", 5, &["flask holds no Cu", "charge that first"]),
        (with("charge flask: 5 g NaCI"), "no-solubility", 5, &["nothing is known of NaCI", "did you mean NaCl"]),
        (with("charge flask: 5 g water at (mass(flask) / (1 g) * 100 K)"), "absurd-temperature", 5, &[]),
        (with("react flask: Zn + HCl -> ZnCl2 + H2"), "absent-reagent", 5, &["no Zn in flask", "step 1 used it up", "charge more"]),
        (
            "bottle acid: HCl 2 mol/L\nvessel pot: 250 mL\nstep \"Lime\" {\n  charge pot: 5.0 g CaCO3, 50 mL acid\n  react pot: CaCO3 + HCl -> CaCl2 + CO2 + H2O\n}\nstep \"Iron\" {\n  charge pot: 2 g Fe\n  react pot: Fe + HCl -> FeCl2 + H2\n}".to_owned(),
            "absent-reagent",
            9,
            &["only a trace of H^+ is in pot", "step 1 used up the rest"],
        ),
        (
            with("step \"Move\" {\n  pour flask -> liquor\n}\nfilter flask -> a, b"),
            "empty-vessel",
            8,
            &["because step 2 moved all of it to liquor"],
        ),
        (
            with("discard flask\nfilter flask -> a, b"),
            "empty-vessel",
            6,
            &["because step 1 put all of it into the waste jar"],
        ),
        (
            with("filter flask -> a, b\ndry b"),
            "empty-vessel",
            6,
            &["b is empty here, because step 1 left nothing in it"],
        ),
        (
            "vessel pot\nfilter pot -> a, b".to_owned(),
            "empty-vessel",
            2,
            &["nothing was ever put into pot", "charge it first"],
        ),
    ] {
        let found = told(&text, kind);
        let [(at, said)] = &found[..] else {
            panic!("{kind}: {found:?}\n{text}");
        };
        assert_eq!(*at, line, "{said}\n{text}");
        for part in words {
            assert!(said.contains(part), "`{part}` in {said}\n{text}");
        }
    }
}

/// A product that was asked for and went to the waste.
#[test]
fn a_product_in_the_waste_jar_is_told() {
    let text = "bottle lye: NaOH 2 mol/L\nvessel flask\ncharge flask: 5 g CuSO4·5H2O, 50 mL water, 20 mL lye\n\
        react flask: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\nfilter flask -> liquor, cake\ndiscard cake\n\
        yield cake: Cu(OH)2 on CuSO4·5H2O\n";
    let outcome = route::follow(&Source::new("route", text), &Store::default(), &[]);
    let sheet = aludel::report::sheet(&outcome.ledger, aludel::report::Style::default());
    assert!(sheet.contains("of Cu(OH)₂ is in the waste jar"), "{sheet}");
}

/// What is meant to be so is not told.
#[test]
fn ordinary_work_is_left_alone() {
    for (text, kind) in [
        (
            "bottle acid: HCl 2 mol/L\nvessel cup: 250 mL\ncharge cup: 1.0 g CaCO3\ncharge cup: enough acid for CaCO3 + HCl -> CaCl2 + CO2 + H2O, 2 % excess\nreact cup: CaCO3 + HCl -> CaCl2 + CO2 + H2O",
            "leftover-reagent",
        ),
        (&format!("{ZINC}discard flask"), "leftover-reagent"),
        (
            &format!("{ZINC}warm flask to 40 °C\nhold flask at 40 °C"),
            "changes-nothing",
        ),
        (
            &format!("{ZINC}step \"Look\" {{\n  note \"clear\"\n}}"),
            "changes-nothing",
        ),
        (&format!("{ZINC}seal flask\nopen flask"), "changes-nothing"),
    ] {
        assert_eq!(told(text, kind), [], "{text}");
    }
}

/// Crystals, and the only cake, are what a route is for; with another product they are what it gets rid of.
#[test]
fn a_product_in_the_waste_jar_is_told_and_waste_is_not() {
    let crystals = "vessel pot\nvessel jar\ncharge pot: 20 g KNO3, 25 mL water at 80 °C\ncrystallise pot at 5 °C: KNO3 -> crop\n";
    let cake = "vessel pot\ncharge pot: 2.5 g CuSO4·5H2O, 0.80 g NaOH, 50 mL water\n\
                react pot: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4\nfilter pot -> liquor, cake\n";
    for (text, line, words) in [
        (format!("{crystals}discard crop\n"), 5, "of KNO3"),
        (
            format!("{crystals}pour crop -> jar\ndiscard jar\n"),
            6,
            "of KNO3",
        ),
        (format!("{cake}discard cake\n"), 5, "of Cu(OH)2"),
        (
            format!("{cake}discard liquor\ndiscard cake\n"),
            6,
            "of Cu(OH)2",
        ),
        // What only looks like the name of a vessel is none: a word of a note, a unit, a text.
        (
            format!(
                "{}note \"keep stirring on\"\ndiscard cake\n",
                cake.replace("liquor", "on")
            ),
            6,
            "of Cu(OH)2",
        ),
        (
            format!(
                "{}vessel rest\ncharge rest: 1 g NaCl, 10 mL water\ndiscard cake\n",
                cake.replace("liquor", "g")
            ),
            7,
            "of Cu(OH)2",
        ),
    ] {
        let told = told(&text, "product-discarded");
        assert_eq!(told.len(), 1, "{text}: {told:?}");
        assert_eq!(told[0].0, line, "{text}: {told:?}");
        assert!(told[0].1.contains(words), "{told:?}");
    }
    for text in [
        format!("{crystals}discard pot\n"),
        format!("{cake}discard liquor\n"),
        format!("{cake}discard cake\nshow concentration(Na^+, liquor)\n"),
        format!("{cake}discard cake\nevaporate liquor to 10 mL\n"),
        format!("{cake}discard cake\nlet kept = mass(liquor)\nshow kept\n"),
        format!("{cake}discard cake\nstep \"Salt\" {{\n evaporate liquor to 10 mL\n}}\n"),
        format!("procedure shrink(v) {{\n evaporate v to 10 mL\n}}\n{cake}discard cake\ndo shrink(liquor)\n"),
        format!("{cake}discard cake\nyield liquor: Na2SO4 on NaOH\n"),
        "vessel pot\ncharge pot: 2 g CaCO3, 1 g NaCl, 20 mL water\nfilter pot -> brine, dross\ndiscard dross\n".to_owned(),
    ] {
        let told = told(&text, "product-discarded");
        assert!(told.is_empty(), "{text}: {told:?}");
    }
}

/// Solubilities are those in pure water; a second salt with an ion of the crystals drives more of them out.
#[test]
fn ions_beyond_those_of_the_crystals_are_told_with_the_most_that_may_come() {
    let liquor = |more: &str| {
        format!(
            "vessel pot: 250 mL\ncharge pot: 40 g KNO3, 100 g water at 60 °C{more}\ncrystallise pot at 10 °C: KNO3 -> crop\n"
        )
    };
    assert!(told(&liquor(""), "ions-in-common").is_empty());
    let with_chloride = told(&liquor("\ncharge pot: 10 g KCl"), "ions-in-common");
    let [(4, words)] = &with_chloride[..] else {
        panic!("{with_chloride:?}");
    };
    assert!(
        words.contains("more K^+") && words.contains("up to 40.00 g"),
        "{words}"
    );
}

/// Brine of 9 % freezes at −5.84 °C, of 10 % at −6.56 °C (CRC Handbook of Chemistry and Physics, from memory); this has 9.1 %.
#[test]
fn a_liquid_colder_than_it_can_be_is_told_once() {
    let cooled = |celsius: &str| {
        format!(
            "vessel pot: 250 mL\ncharge pot: 100 g water, 10 g NaCl\ncool pot to {celsius}\nwait 10 min\ncharge pot: 1 g NaCl\n"
        )
    };
    assert!(told(&cooled("-5 °C"), "freezes").is_empty());
    let [(3, words)] = &told(&cooled("-15 °C"), "freezes")[..] else {
        panic!("once, at the bath");
    };
    assert!(words.contains("begins to freeze at -5.8 °C"), "{words}");
}

/// Once, and again where it is more: not at every statement while it stays too full.
#[test]
fn a_vessel_too_full_is_told_when_it_grows_fuller() {
    let text = "vessel cup: 50 mL\nvessel pot: 1 L\ncharge cup: 60 mL water\ncharge cup: 10 mg NaCl\ncharge cup: 10 mL water\npour cup -> pot\ncharge cup: 60 mL water\n";
    let lines: Vec<usize> = told(text, "overfull")
        .into_iter()
        .map(|(line, _)| line)
        .collect();
    assert_eq!(lines, [3, 5, 7]);
}
