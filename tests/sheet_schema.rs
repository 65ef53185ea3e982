//! What the commands print as JSON is what docs/*.schema.json describe, and nothing besides.
//!
//! The schemas are made from the types that are printed: `ALUDEL_WRITE_SCHEMAS=1 cargo test --test sheet_schema` writes them.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use aludel::report::{RouteJson, schemas};
use aludel::{data::Store, route, text::Source};
use common::aludel;
use jsonschema::Validator;
use serde_json::{Value, json};

/// Every kind of operation and answer once; quantities made up for the test.
const EVERYTHING: &str = r#"
title "Everything once"
ambient 22 °C, 100 kPa
bottle acid: HCl 37 %w/w
bottle lye: NaOH 2.00 mol/L
let chalk = 5.0 g ± 0.1 g
vessel flask: 250 mL
vessel beaker
vessel hot
step "First" {
  note "made up"
  charge flask: chalk CaCO3, 40 mL water
  charge flask: enough acid for CaCO3 + HCl -> CaCl2 + CO2 + H2O, 5 % excess
  hold flask at 25 °C
  react flask: CaCO3 + HCl -> CaCl2 + CO2 + H2O
  vent flask
  wait 5 min
  warm flask to 60 °C
  cool flask to 20 °C
  dilute flask to 100 mL
  take 10 mL from flask -> sample
  react flask: Fe + HCl -> FeCl2 + H2
}
step {
  charge beaker: 10 g CuSO4·5H2O, 20 mL lye over 2 min
  react beaker: CuSO4 + NaOH -> Cu(OH)2 + Na2SO4
  filter beaker -> liquor, cake
  wash cake with 10 mL water
  dry cake
  weigh cake: 3.5 g
  evaporate liquor to 10 mL
  seal flask
  open flask
  decant flask -> clear
  pour clear -> jar
  discard jar
  charge hot: 60 g KNO3, 60 mL water
  warm hot to 70 °C
  crystallise hot at 5 °C: KNO3 -> crystals
}
yield cake: Cu(OH)2 on CuSO4·5H2O
show mass(cake), budget(mass(sample)), concentration(Cl^-, sample), volume(cake), molar_mass(NaCl), gas(CO2, flask)
scale CaCO3 + HCl -> CaCl2 + CO2 + H2O to 10 g ± 0.1 g CaCO3
expect mass(cake) > 1 g
expect mass(cake) > 1 kg
heat CaO(s) + H2O(l) -> Ca(OH)2(s)
solution HCl 37 %w/w at 25 °C
solution make 250 mL NaOH 0.50 mol/L from lye and water
solution compare HCl 37 %w/w and HCl 10 %w/w for Zn + HCl -> ZnCl2 + H2 to 5 g Zn
"#;

#[test]
fn the_schemas_are_those_of_the_types() {
    let write = std::env::var_os("ALUDEL_WRITE_SCHEMAS").is_some();
    for (name, schema) in schemas() {
        let path = format!("docs/{name}.schema.json");
        let made = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if write {
            std::fs::write(&path, &made).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap();
        assert!(
            kept == made,
            "{path} is out of date; see the head of this file"
        );
    }
}

#[test]
fn sheets_are_as_their_schema_says() {
    let mut routes = vec![("everything".to_owned(), EVERYTHING.to_owned())];
    for entry in std::fs::read_dir("scripts").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|kind| kind == "route") {
            let text = std::fs::read_to_string(&path).unwrap();
            routes.push((path.display().to_string(), text));
        }
    }
    assert!(routes.len() > 1, "no route ships");
    let schema = schema("sheet");
    for (name, text) in &routes {
        assert_eq!(faults(&schema, &sheet(name, text)), "", "{name}");
    }
    let asked = ["run", "-", "--format", "json", "--samples", "100"];
    let overfull = b"let much = 60 mL \xc2\xb1 1 mL\nvessel pot: 61 mL\ncharge pot: much water\nshow volume(pot)\n";
    for (name, text) in [("sampled", EVERYTHING.as_bytes()), ("overfull", overfull)] {
        for sheet in printed(&asked, text) {
            assert!(
                sheet["sampling"]["figures"][0]["mean"].is_number(),
                "{name}"
            );
            assert_eq!(faults(&schema, &sheet), "", "{name}");
        }
    }
}

#[test]
fn answers_of_the_other_commands_are_as_their_schemas_say() {
    let equations = b"H2 + O2 -> H2O\nH2 -> O2\nCO + CO2 + H2 -> CH4 + H2O\nH2 + -> O2\n";
    for (name, arguments, least) in [
        ("balance", &["balance", "--json", "H2 + O2 -> H2O"][..], 1),
        (
            "balance",
            &["balance", "--json", "CO + CO2 + H2 -> CH4 + H2O"],
            1,
        ),
        ("balance", &["balance", "--json", "H2 -> O2"], 1),
        ("batch", &["batch"], 4),
        (
            "heat",
            &["heat", "--json", "CaO(s) + H2O(l) -> Ca(OH)2(s)"],
            1,
        ),
        ("heat", &["heat", "--json", "Zn + Cu^2+ -> Zn^2+ + Cu"], 1),
        (
            "scale",
            &[
                "scale",
                "--json",
                "Fe + HCl -> FeCl2 + H2",
                "--to",
                "50 g Fe",
                "--bottle",
                "HCl 37 %w/w",
            ],
            1,
        ),
    ] {
        let (schema, answers) = (schema(name), printed(arguments, equations));
        assert!(answers.len() >= least, "{arguments:?}: {answers:?}");
        for answer in answers {
            assert_eq!(faults(&schema, &answer), "", "{arguments:?}: {answer}");
        }
    }
}

#[test]
fn uncertainties_stand_beside_their_figures_and_sources_have_their_citations() {
    let sheet = sheet("everything", EVERYTHING);
    let chalk = &sheet["measure_out"][0];
    // 5.0 g ± 0.1 g as the route says; 0.1 g / 100.087 g/mol (IUPAC CIAAW 2021) is 0.000999 mol.
    assert_eq!(chalk["uncertainty"]["g"], 0.1);
    let moles = chalk["uncertainty"]["mol"].as_f64().unwrap();
    assert!((moles - 0.000_999).abs() < 1e-6, "{moles}");
    let react = &sheet["steps"][0]["operations"][4];
    let keys = react["sources"].as_array().unwrap();
    assert!(!keys.is_empty(), "{react}");
    for key in keys {
        let citation = &sheet["source_keys"][key.as_str().unwrap()];
        assert!(
            sheet["sources"].as_array().unwrap().contains(citation),
            "{key}"
        );
    }
    assert!(sheet["scales"][0]["rows"][0]["mol"].is_number());
    assert!(!sheet["cautions"].as_array().unwrap().is_empty());
}

#[test]
fn everything_leaves_no_kind_of_operation_out() {
    let sheet = sheet("everything", EVERYTHING);
    let done: Vec<&Value> = sheet["steps"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|step| step["operations"].as_array().unwrap())
        .collect();
    for verb in [
        "charge",
        "react",
        "warm",
        "cool",
        "hold",
        "vent",
        "seal",
        "open",
        "filter",
        "decant",
        "wash",
        "dry",
        "evaporate",
        "crystallise",
        "dilute",
        "take",
        "pour",
        "discard",
        "weigh",
        "wait",
        "note",
    ] {
        let carried_out = |operation: &&&Value| {
            operation["operation"] == verb && operation.get("blank").is_none()
        };
        assert!(
            done.iter().any(|operation| carried_out(&operation)),
            "no {verb} was carried out"
        );
    }
}

#[test]
fn the_schema_notices_what_is_spoilt() {
    let (schema, sound) = (schema("sheet"), sheet("everything", EVERYTHING));
    for (path, spoil, because) in [
        ("/title", json!(5), "a title is text"),
        (
            "/steps/0/operations/1/heat_kJ",
            json!("much"),
            "a heat is a number",
        ),
        (
            "/remarks/0/weight",
            json!("grave"),
            "a weight is one of three",
        ),
        (
            "/steps/0/operations/2",
            json!({"operation": "react", "text": "", "remarks": [], "sources": []}),
            "a reaction has figures",
        ),
        (
            "/vessels/0/contents",
            json!([{"species": "X", "mol": 1}]),
            "a content has its grams",
        ),
        ("/vessels/0", json!({"colour": "blue"}), "no unknown key"),
    ] {
        let mut sheet = sound.clone();
        *sheet.pointer_mut(path).unwrap_or_else(|| panic!("{path}")) = spoil;
        assert!(!schema.is_valid(&sheet), "{path}: {because}");
    }
}

fn sheet(name: &str, text: &str) -> Value {
    let outcome = route::follow(&Source::new(name, text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{name}: {:?}", outcome.faults);
    serde_json::to_value(RouteJson::of(&outcome.ledger)).unwrap()
}

fn schema(name: &str) -> Validator {
    let path = format!("docs/{name}.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    jsonschema::draft202012::meta::validate(&schema)
        .unwrap_or_else(|fault| panic!("{name}: {fault}"));
    jsonschema::draft202012::new(&schema).unwrap()
}

/// What is wrong with a document, a line each; empty where nothing is.
fn faults(schema: &Validator, document: &Value) -> String {
    let faults = schema.iter_errors(document);
    let lines = faults.map(|fault| format!("{}: {fault}\n", fault.instance_path()));
    lines.collect()
}

/// What a command prints, an object a line.
fn printed(arguments: &[&str], input: &[u8]) -> Vec<Value> {
    let (lines, ..) = aludel(arguments, input);
    let objects = lines
        .lines()
        .map(|line| serde_json::from_str(line).unwrap());
    objects.collect()
}
