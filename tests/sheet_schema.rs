//! What the commands print as JSON is what docs/*.schema.json describe, and nothing besides.
//!
//! The checker knows the keywords of JSON Schema (draft 2020-12) that the schemas use and refuses any other.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

mod common;

use aludel::{data::Store, report::RouteJson, route, text::Source};
use common::aludel;
use serde_json::{Map, Value, json};

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
        let mut faults = Vec::new();
        check(&sheet(name, text), &schema, &schema, "$", &mut faults);
        assert_eq!(faults, Vec::<String>::new(), "{name}");
    }
    let asked = ["run", "-", "--format", "json", "--samples", "100"];
    let overfull = b"let much = 60 mL \xc2\xb1 1 mL\nvessel pot: 61 mL\ncharge pot: much water\nshow volume(pot)\n";
    for (name, text) in [("sampled", EVERYTHING.as_bytes()), ("overfull", overfull)] {
        for sheet in printed(&asked, text) {
            assert!(
                sheet["sampling"]["figures"][0]["mean"].is_number(),
                "{name}"
            );
            let mut faults = Vec::new();
            check(&sheet, &schema, &schema, "$", &mut faults);
            assert_eq!(faults, Vec::<String>::new(), "{name}");
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
            let mut faults = Vec::new();
            check(&answer, &schema, &schema, "$", &mut faults);
            assert_eq!(faults, Vec::<String>::new(), "{arguments:?}: {answer}");
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
fn the_checker_notices_what_is_spoilt() {
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
            json!({"operation": "react", "text": "", "remarks": []}),
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
        let mut faults = Vec::new();
        check(&sheet, &schema, &schema, "$", &mut faults);
        assert!(!faults.is_empty(), "{path}: {because}");
    }
}

fn sheet(name: &str, text: &str) -> Value {
    let outcome = route::follow(&Source::new(name, text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{name}: {:?}", outcome.faults);
    serde_json::to_value(RouteJson::of(&outcome.ledger)).unwrap()
}

fn schema(name: &str) -> Value {
    let path = format!("docs/{name}.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// What a command prints, an object a line.
fn printed(arguments: &[&str], input: &[u8]) -> Vec<Value> {
    let (lines, ..) = aludel(arguments, input);
    let objects = lines
        .lines()
        .map(|line| serde_json::from_str(line).unwrap());
    objects.collect()
}

fn holds(value: &Value, schema: &Value, root: &Value) -> bool {
    let mut faults = Vec::new();
    check(value, schema, root, "", &mut faults);
    faults.is_empty()
}

fn check(value: &Value, schema: &Value, root: &Value, at: &str, faults: &mut Vec<String>) {
    match schema {
        Value::Bool(true) => {}
        Value::Bool(false) => faults.push(format!("{at} must not be there")),
        Value::Object(schema) => {
            for keyword in schema.keys() {
                keyword_holds(keyword, value, schema, root, at, faults);
            }
        }
        other => panic!("{at}: {other} is no schema"),
    }
}

fn keyword_holds(
    keyword: &str,
    value: &Value,
    schema: &Map<String, Value>,
    root: &Value,
    at: &str,
    faults: &mut Vec<String>,
) {
    let asked = &schema[keyword];
    let all = |value: &Value| value.as_array().expect("a list").clone();
    match keyword {
        "$schema" | "$defs" | "title" | "description" | "then" => {}
        "$ref" => {
            let name = asked.as_str().unwrap();
            if let Some(other) = name.strip_suffix(".schema.json") {
                let other = self::schema(other);
                return check(value, &other, &other, at, faults);
            }
            let name = name.trim_start_matches('#');
            let target = root
                .pointer(name)
                .unwrap_or_else(|| panic!("{at}: no {name}"));
            check(value, target, root, at, faults);
        }
        "type" => {
            let kinds = if asked.is_array() {
                all(asked)
            } else {
                vec![asked.clone()]
            };
            let whole = value.is_i64() || value.is_u64();
            if !kinds
                .iter()
                .any(|kind| kind == kind_of(value) || whole && kind == "integer")
            {
                faults.push(format!("{at} is {value}, not {asked}"));
            }
        }
        "const" if value != asked => faults.push(format!("{at} is not {asked}")),
        "enum" if !all(asked).contains(value) => faults.push(format!("{at} is none of {asked}")),
        "minimum" if value.as_f64() < asked.as_f64() => {
            faults.push(format!("{at} is below {asked}"))
        }
        "const" | "enum" | "minimum" => {}
        "required" => {
            for key in all(asked).iter().map(|key| key.as_str().unwrap()) {
                if value.is_object() && value.get(key).is_none() {
                    faults.push(format!("{at} lacks {key}"));
                }
            }
        }
        "properties" => {
            for (key, inner) in value.as_object().into_iter().flatten() {
                if let Some(schema) = asked.get(key) {
                    check(inner, schema, root, &format!("{at}.{key}"), faults);
                }
            }
        }
        "additionalProperties" => {
            assert_eq!(asked, false, "{at}");
            for key in value.as_object().into_iter().flat_map(Map::keys) {
                if schema["properties"].get(key).is_none() {
                    faults.push(format!("{at} has an unknown {key}"));
                }
            }
        }
        "items" => {
            for (index, inner) in value.as_array().into_iter().flatten().enumerate() {
                check(inner, asked, root, &format!("{at}[{index}]"), faults);
            }
        }
        "allOf" => all(asked)
            .iter()
            .for_each(|schema| check(value, schema, root, at, faults)),
        "anyOf" if !all(asked).iter().any(|schema| holds(value, schema, root)) => {
            faults.push(format!("{at} is none of {asked}"));
        }
        "anyOf" => {}
        "if" if holds(value, asked, root) => check(value, &schema["then"], root, at, faults),
        "if" => {}
        other => panic!("{at}: the checker does not know {other}"),
    }
}

fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}
