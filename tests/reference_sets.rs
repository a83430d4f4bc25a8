//! Outside reference sets resolve: WordNet 3.1 hyponyms, the Indian Food Composition Tables 2017 and the dish names of the
//! US dietary survey (FNDDS).
//!
//! The sets are read from the folder that `SALVER_DATA` names; without it there is nothing to check and the tests say so.
//! `tests/published/reference_sets.json` holds the sets, their families, and argued exceptions.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]
#![allow(clippy::print_stderr, reason = "a test that has nothing to read says so")]

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

use salver::{Checker, Item, Presence};
use serde_json::Value;

/// No set may argue away more than this share of its foods.
const MOST_EXCEPTIONS: f64 = 0.25;

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn data(file: &str) -> Option<Vec<Vec<String>>> {
    let Some(folder) = std::env::var_os("SALVER_DATA").map(PathBuf::from) else {
        eprintln!("SALVER_DATA is not set: {file} is not checked");
        return None;
    };
    let text = fs::read_to_string(folder.join(file)).expect("the folder holds the set");
    Some(text.lines().skip(1).map(|line| line.split('\t').map(str::to_owned).collect()).collect())
}

fn file() -> Value {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/published/reference_sets.json");
    serde_json::from_str(&fs::read_to_string(path).expect("there")).expect("JSON")
}

fn sets(key: &str) -> Vec<Value> {
    file()[key].as_array().expect("a list of sets").clone()
}

fn words<'a>(set: &'a Value, key: &str) -> BTreeSet<&'a str> {
    set[key].as_array().into_iter().flatten().filter_map(Value::as_str).collect()
}

/// Whether a name resolves to the family. A proper name (a brand, a place) may stay not understood, never free.
fn resolves(name: &str, family: &str) -> bool {
    let ontology = checker().ontology();
    let family = ontology.find(family).unwrap_or_else(|| panic!("{family} is no concept"));
    match checker().read(&Item::named(name)).expect("short").presence(ontology, family) {
        Presence::Contains | Presence::May(_) => true,
        Presence::Unknown => name.chars().next().is_some_and(char::is_uppercase),
        Presence::Free => false,
    }
}

/// Holds every name of a set against its family.
fn hold(set: &Value, names: &BTreeSet<String>, wrong: &mut Vec<String>) {
    let family = set["family"].as_str().expect("a family");
    let exceptions = set["exceptions"].as_object().expect("exceptions");
    assert!(exceptions.values().all(|reason| reason.as_str().is_some_and(|r| !r.is_empty())), "each with a reason");
    assert!(!names.is_empty(), "an empty set shows nothing: {set}");
    let misses: Vec<&String> = names.iter().filter(|name| !resolves(name, family)).collect();
    let open: Vec<_> = misses.iter().filter(|n| !exceptions.contains_key(**n)).collect();
    let trade_names = set["trade_names"].as_u64().unwrap_or(0);
    let not_understood =
        open.iter().filter(|n| checker().read(&Item::named(***n)).expect("short").has_unread()).count();
    if not_understood as u64 > trade_names || open.len() > not_understood {
        wrong.extend(open.iter().map(|n| format!("{n} is not {family}")));
    }
    let share = misses.len() as f64 / names.len() as f64;
    assert!(share <= MOST_EXCEPTIONS, "{family}: {share:.2} of {} names do not resolve", names.len());
}

#[test]
fn wordnet_hyponyms_resolve() {
    let Some(rows) = data("wordnet_hyponyms.tsv") else { return };
    let mut wrong = Vec::new();
    for set in sets("wordnet") {
        let roots = words(&set, "roots");
        let below = rows.iter().filter(|row| roots.contains(row[0].as_str()));
        let names = below.map(|row| row[2].replace('_', " ")).collect();
        hold(&set, &names, &mut wrong);
    }
    assert!(wrong.is_empty(), "{} lemmas:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn indian_foods_resolve() {
    let Some(rows) = data("ifct2017_foods.tsv") else { return };
    let mut wrong = Vec::new();
    for set in sets("ifct") {
        let groups = words(&set, "groups");
        let names = rows.iter().filter(|row| groups.contains(row[3].as_str())).map(|row| row[1].clone()).collect();
        hold(&set, &names, &mut wrong);
    }
    for set in sets("ifct_species") {
        let start = set["starts_with"].as_str().expect("the start of a scientific name");
        let names = rows.iter().filter(|row| row[2].starts_with(start)).map(|row| row[1].clone()).collect();
        hold(&set, &names, &mut wrong);
    }
    assert!(wrong.is_empty(), "{} foods:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn survey_dishes_resolve() {
    let Some(rows) = data("usda_fdc_descriptions.tsv") else { return };
    let dishes: Vec<_> = rows.iter().filter(|row| row[1] == "survey_fndds_food").collect();
    let survey = &file()["survey"];
    let mut wrong = Vec::new();
    for set in survey["sets"].as_array().expect("a list of sets") {
        let categories = words(set, "categories");
        let of_set = dishes.iter().filter(|row| categories.contains(row[3].as_str()));
        let names = of_set.map(|row| row[2].clone()).collect();
        hold(set, &names, &mut wrong);
    }
    assert!(wrong.is_empty(), "{} dishes:\n{}", wrong.len(), wrong.join("\n"));
    let unread = |name: &str| checker().read(&Item::named(name)).expect("short").unread().any(|(_, u)| !u.trade_name);
    let open: Vec<_> = dishes.iter().map(|row| row[2].as_str()).filter(|name| unread(name)).collect();
    let read = 1.0 - open.len() as f64 / dishes.len() as f64;
    let least = survey["names_read_at_least"].as_f64().expect("a share");
    assert!(read >= least, "only {read:.4} of {} dish names are read:\n{}", dishes.len(), open.join("\n"));
}
