//! What `run --format json` prints is what docs/sheet.schema.json describes, and nothing besides.
//!
//! The checker knows the keywords of JSON Schema (draft 2020-12) that the schema uses and refuses any other.

#![allow(clippy::disallowed_methods, reason = "tests may read files")]

use aludel::{data::Store, report::RouteJson, route, text::Source};
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
expect mass(cake) > 1 g
expect mass(cake) > 1 kg
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
    let schema = schema();
    for (name, text) in &routes {
        let mut faults = Vec::new();
        check(&sheet(name, text), &schema, &schema, "$", &mut faults);
        assert_eq!(faults, Vec::<String>::new(), "{name}");
    }
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
    let (schema, sound) = (schema(), sheet("everything", EVERYTHING));
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

fn schema() -> Value {
    serde_json::from_str(&std::fs::read_to_string("docs/sheet.schema.json").unwrap()).unwrap()
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
            let name = asked.as_str().unwrap().trim_start_matches('#');
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
            if !kinds.iter().any(|kind| kind == kind_of(value)) {
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
