//! Kinds of docs/errors.md by the shortest route that is told so, where no other test is about them.

mod common;

use aludel::data::Store;
use aludel::diagnostic::{route_fault, route_remark};
use aludel::matter::Notation;
use aludel::route;
use aludel::text::Source;
use common::aludel;

/// The kinds that a route is told, and for each whether it says what to do.
fn told(text: &str) -> Vec<(&'static str, bool)> {
    let outcome = route::follow(&Source::new("short", text), &Store::default(), &[]);
    let faults = outcome.faults.iter().map(route_fault);
    let remarks = outcome.ledger.remarks.iter();
    let remarks = remarks.map(|remark| route_remark(remark, Notation::Plain));
    let all = faults.chain(remarks);
    all.map(|message| (message.kind, !message.hints.is_empty()))
        .collect()
}

#[test]
fn every_fault_of_a_script_has_its_kind_and_a_way_out() {
    for (text, kind) in [
        ("substance NaCl(s): dfH 3 g", "bad-datum"),
        (
            "let a = 2 ^ 16\nlet b = a ^ 16\nlet c = b ^ 16\nlet d = c ^ 16\nshow d ^ 16",
            "bad-number",
        ),
        ("show 2 ^ 1.5", "bad-power"),
        ("vessel v\ncharge v: 1 g Na^+", "lone-ion"),
        ("= 5", "not-a-statement"),
        ("vessel v\nsettle v", "not-yet"),
        ("vessel v\nshow pH(v)", "not-yet"),
        ("bottle x: HCl -1 mol/L", "strength"),
        ("bottle x: NaCl 10 vol", "strength"),
        ("bottle x: NaCl(s) 110 %", "purity"),
        ("let b = 1 g\nwarm b to 30 °C", "wrong-kind"),
        ("vessel v\nshow v", "wrong-kind"),
        ("vessel v\nvessel w\ncharge v: 1 g w", "wrong-kind"),
        (
            "substance NaCl(s): S 200 J/(mol·K)\nvessel v\nhold v at 20 °C with 3 g",
            "wrong-dimension",
        ),
        ("instrument balance: 0.01 g", "unexpected"),
        ("instrument balance: ± g", "unexpected"),
        ("instrument scales: ± 0.01 g", "unexpected"),
        ("bottle x: NaCl 3 s", "not-a-strength"),
        ("vessel v\ncharge v: 1 g NaCl { }", "stray-block"),
        ("vessel v\nshow weight(v)", "unknown-function"),
        ("accept hazard \"all\"", "unknown-hazard"),
    ] {
        let found = told(text);
        assert!(
            found.contains(&(kind, true)),
            "{text}: {kind}, not {found:?}"
        );
    }
}

#[test]
fn every_remark_on_a_run_has_its_kind() {
    for (text, kind) in [
        (
            "vessel v\ncharge v: 50 mL water\ntake 80 mL from v -> w",
            "too-much",
        ),
        (
            "bottle purple: KMnO4 0.02 mol/L\nbottle acid: H2SO4 1 mol/L\nvessel v\n\
             charge v: 1 g FeSO4·7H2O, 50 mL water, 0.1 mL acid\n\
             titrate v with purple: MnO4^- + Fe^2+ + H^+ -> Mn^2+ + Fe^3+ + H2O",
            "medium-short",
        ),
        ("vessel v\nshow density(v)", "no-answer"),
        (
            "vessel v\ncharge v: 50 mL water\nwarm v to 10 °C",
            "wrong-way",
        ),
        (
            "vessel v\ncharge v: 1 g KNO3, 50 mL water\ncrystallise v at 5 °C: KNO3 -> w",
            "not-saturated",
        ),
        (
            "vessel v\ncharge v: 60 g Na2SO4, 100 mL water at 40 °C\ncrystallise v at 5 °C: Na2SO4 -> w",
            "other-hydrate",
        ),
        ("vessel v\ncharge v: 5 g ice at 5 °C", "warm-ice"),
        (
            "accept hazard \"R057\"\nvessel v\ncharge v: 1 g NaCl, 10 mL water\nshow mass(v)",
            "unused-acceptance",
        ),
        ("accept hazard \"R292\"", "forbidden-hazard"),
        (
            "vessel v\ncharge v: 1 g NaCl, 1 g KCl, 10 mL water\nfilter v -> w, c",
            "never-consumed",
        ),
        (
            "bottle acid: HCl 1 mol/L\nbottle lye: NaOH 1 mol/L\nvessel v\ncharge v: 10 mL acid, 10 mL lye",
            "acid-beside-base",
        ),
        (
            "vessel v\ncharge v: 2 g Zn, 20 mL water\nreact v: Zn + H2O -> ZnO + H2, limited by H2O",
            "other-limit",
        ),
        (
            "bottle acid: HCl 2 mol/L\nvessel v: 250 mL\ncharge v: 5 g CaCO3, 60 mL acid\nseal v\nreact v: CaCO3 + HCl -> CaCl2 + CO2 + H2O",
            "under-pressure",
        ),
        ("vessel v\ncharge v: 20 g NaOH, 100 mL water", "large-rise"),
        (
            "vessel v\ncharge v: 10 g CaCO3\nreact v: CaCO3(s) -> CaO(s) + CO2(g)",
            "needs-heating",
        ),
        (
            "vessel v\ncharge v: 1 g K2MnO4, 10 mL water\nreact v: K2MnO4 + H2O -> KMnO4 + MnO2 + KOH",
            "no-heat-data",
        ),
    ] {
        let found = told(text);
        let kinds: Vec<_> = found.iter().map(|(kind, _)| *kind).collect();
        assert!(kinds.contains(&kind), "{text}: {kind}, not {kinds:?}");
    }
}

#[test]
fn every_slip_on_the_command_line_has_its_kind() {
    let sought = "let x = 1 g\nvessel v\ncharge v: x NaCl, 10 mL water\nfind x in 1 g .. 9 g: mass(v) = 12 g\n";
    for (arguments, input, kind) in [
        (&[][..], "save\n", "missing-name"),
        (&["run", "-", "--set", "x=2 g"], sought, "set-and-sought"),
        (&["substance", "chlorine"], "", "ambiguous-name"),
        (&["substance", "calcium carbonat"], "", "unknown-substance"),
        (&["fmt", "--write", "-"], "", "nothing-to-change"),
        (
            &["run", "scripts/zinc.route", "--explain", "--format", "html"],
            "",
            "explained-as-text",
        ),
        (
            &["run", "scripts/zinc.route", "--explain=platinum"],
            "",
            "nothing-explained",
        ),
        (
            &["scale", "Fe + HCl -> FeCl2 + H2", "--to", "5 g Fe # twice"],
            "",
            "malformed-argument",
        ),
    ] {
        let (_, messages, status) = aludel(arguments, input);
        assert!(
            messages.contains(&format!("[{kind}]")),
            "{arguments:?}: {messages}"
        );
        assert!(messages.contains("hint"), "{messages}");
        assert_ne!(status, 0, "{arguments:?}");
    }
}
