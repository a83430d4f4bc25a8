//! The checked-in JSON Schemas (2020-12) hold the ontology files, the demo and every answer.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};

use jsonschema::Validator;
use salver::{Checker, Ontology, wire};
use serde_json::{Value, json};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn schema(name: &str) -> Validator {
    let text = fs::read_to_string(root().join("tests/schemas").join(name)).expect("the schema is there");
    let value: Value = serde_json::from_str(&text).expect("the schema is JSON");
    jsonschema::draft202012::new(&value).expect("the schema is a schema")
}

fn hold(schema: &Validator, value: &Value, what: &str) {
    let faults: Vec<String> = schema.iter_errors(value).map(|e| format!("{}: {e}", e.instance_path)).collect();
    assert!(faults.is_empty(), "{what}: {faults:#?}");
}

#[test]
fn ontology_files_hold() {
    for file in Ontology::built_in_files() {
        let name = match file.path {
            "SOURCES.md" => continue,
            "manifest.json" => "manifest.schema.json",
            "traits.json" => "traits.schema.json",
            "claims.json" => "claims.schema.json",
            "words.json" => "words.schema.json",
            "allergens.json" => "allergens.schema.json",
            "iddsi.json" => "iddsi.schema.json",
            "card.json" => "card-words.schema.json",
            path if path.starts_with("diets/") => "diet.schema.json",
            _ => "concepts.schema.json",
        };
        let value = serde_json::from_str(file.text).expect("ontology files are JSON");
        hold(&schema(name), &value, file.path);
    }
}

#[test]
fn the_demo_and_the_cases_hold_and_so_do_their_verdicts() {
    let checker = Checker::built_in().expect("loads");
    let (check, verdict) = (schema("check.schema.json"), schema("verdict.schema.json"));
    let mut seen = 0;
    let mut judge = |value: Value, what: &str| {
        hold(&check, &value, what);
        let answer = wire::check(&checker, &value.to_string()).expect("within the bounds");
        hold(&verdict, &serde_json::from_str(&answer).expect("JSON"), what);
        seen += 1;
    };
    let demo = fs::read_to_string(root().join("examples/trays.jsonl")).expect("the demo is there");
    for line in demo.lines() {
        judge(serde_json::from_str(line).expect("JSON Lines"), line);
    }
    for entry in fs::read_dir(root().join("tests/cases")).expect("the cases are there") {
        let path = entry.expect("readable").path();
        let file: Value = serde_json::from_str(&fs::read_to_string(&path).expect("readable")).expect("JSON");
        for case in file["cases"].as_array().expect("cases") {
            judge(json!({"order": case["order"], "tray": case["tray"]}), case["name"].as_str().unwrap_or("?"));
        }
    }
    assert!(seen > 100, "{seen} checks");
}

#[test]
fn the_demo_overlay_holds() {
    let text = fs::read_to_string(root().join("examples/overlay.json")).expect("the demo overlay is there");
    hold(&schema("overlay.schema.json"), &serde_json::from_str(&text).expect("JSON"), "examples/overlay.json");
}

#[test]
fn read_and_card_answers_hold() {
    let checker = Checker::built_in().expect("loads");
    let (read, card) = (schema("read.schema.json"), schema("card.schema.json"));
    for name in ["falafel with tahini sauce", "egg-free pancakes, zorble", "", "coconut milk ice cream", "thin tea"] {
        let answer = wire::read(&checker, &json!({"id": "a", "name": name}).to_string()).expect("short");
        hold(&read, &serde_json::from_str(&answer).expect("JSON"), name);
    }
    for text in [
        "CCHO, soft & bite-sized, mildly thick. ALLERGY: sesame (hives)",
        "NPO",
        "zorble LF 1500 mL fluid restriction",
        "",
    ] {
        let answer = wire::card(&checker, &json!({"id": "a", "text": text}).to_string()).expect("short");
        hold(&card, &serde_json::from_str(&answer).expect("JSON"), text);
    }
}

#[test]
fn the_schemas_refuse_what_the_library_refuses() {
    let checker = Checker::built_in().expect("loads");
    let check = schema("check.schema.json");
    for bad in [
        json!({"order": {"alergies": ["egg"]}, "tray": {"items": []}}),
        json!({"order": {}, "tray": {"items": [{"nam": "egg"}]}}),
        json!({"order": {"food_level": 2}, "tray": {"items": []}}),
        json!({"order": {"liquid_level": 5}, "tray": {"items": []}}),
        json!({"order": {"allergies": [{"kind": "allergy"}]}, "tray": {"items": []}}),
        json!({"order": {}}),
    ] {
        assert!(!check.is_valid(&bad), "{bad}");
        assert!(wire::check(&checker, &bad.to_string()).is_err(), "{bad}");
    }
}
