//! A packed ontology gives the answers of its files, with and without an overlay; damaged bytes are refused.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use salver::{Checker, Ontology, wire};
use serde_json::{Value, json};

static PACKED: LazyLock<Vec<u8>> = LazyLock::new(|| Ontology::pack(Ontology::built_in_files()).expect("packs"));

/// Every order and tray of the case files.
fn cases() -> Vec<(Value, Value)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let files = fs::read_dir(folder).expect("the folder is there").map(|e| e.expect("readable").path());
    let parsed = files.map(|path| fs::read_to_string(path).expect("readable"));
    let parsed = parsed.map(|text| serde_json::from_str::<Value>(&text).expect("JSON"));
    parsed
        .flat_map(|file| file["cases"].as_array().expect("cases").clone())
        .map(|case| (case["order"].clone(), case["tray"].clone()))
        .collect()
}

fn same_answers(one: &Checker, other: &Checker) {
    let cases = cases();
    assert!(cases.len() >= 100, "{} cases", cases.len());
    for (order, tray) in cases {
        let check = json!({"order": order, "tray": tray}).to_string();
        assert_eq!(wire::check(one, &check), wire::check(other, &check), "{check}");
        for item in tray["items"].as_array().into_iter().flatten() {
            let food = json!({"name": item["name"], "ingredients": item.get("ingredients")}).to_string();
            assert_eq!(wire::read(one, &food), wire::read(other, &food), "{food}");
        }
        if let Some(text) = order["text"].as_str() {
            let card = json!({"text": text}).to_string();
            assert_eq!(wire::card(one, &card), wire::card(other, &card), "{card}");
        }
    }
}

#[test]
fn a_packed_ontology_answers_as_its_files_do() {
    let packed = Checker::new(Ontology::from_packed(&PACKED).expect("unpacks"));
    same_answers(&Checker::built_in().expect("loads"), &packed);
}

#[test]
fn an_overlay_lies_over_a_packed_ontology_too() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let overlay = fs::read_to_string(folder.join("examples/overlay.json")).expect("readable");
    let packed = Checker::new(Ontology::from_packed_with_overlay(&PACKED, &overlay).expect("unpacks"));
    same_answers(&Checker::with_overlay(&overlay).expect("loads"), &packed);

    for bad in ["", "{}", r#"{"format": 1, "name": "x", "version": "1", "additions": {"nope": {}}}"#] {
        let said = |outcome: Result<Ontology, salver::OntologyError>| outcome.expect_err("is refused").to_string();
        assert_eq!(
            said(Ontology::from_packed_with_overlay(&PACKED, bad)),
            said(Ontology::built_in_with_overlay(bad)),
            "{bad}"
        );
    }
}

#[test]
fn every_concept_is_as_in_the_files() {
    let (files, packed) = (Ontology::built_in().expect("loads"), Ontology::from_packed(&PACKED).expect("unpacks"));
    assert_eq!((files.version(), files.digest(), files.len()), (packed.version(), packed.digest(), packed.len()));
    for id in files.ids() {
        let (one, other) = (files.concept(id), packed.concept(id));
        assert_eq!((one.id(), one.file(), one.kind()), (other.id(), other.file(), other.kind()));
        assert_eq!((one.names(), one.names_in()), (other.names(), other.names_in()), "{}", one.id());
        assert_eq!((one.kinds_of(), one.recipe()), (other.kinds_of(), other.recipe()), "{}", one.id());
        assert_eq!((one.in_statements(), one.may_hide()), (other.in_statements(), other.may_hide()), "{}", one.id());
        assert_eq!((one.free_of(), one.form()), (other.free_of(), other.form()), "{}", one.id());
        assert_eq!((one.traits(), one.source()), (other.traits(), other.source()), "{}", one.id());
    }
}

#[test]
fn damaged_bytes_are_refused() {
    let mut flipped = PACKED.clone();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 1;
    for bytes in
        [&[][..], &PACKED[..31], &PACKED[..PACKED.len() - 1], &flipped, b"no ontology, but as long as a check sum"]
    {
        let error = Ontology::from_packed(bytes).expect_err("is refused").to_string();
        assert!(error.contains("packed ontology") && error.contains("damaged"), "{error}");
    }
}
