//! Checks against published sources: every row of `tests/published/*.json` names its document.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use salver::{Checker, ConceptId, Item, Ontology, Presence, wire};
use serde_json::Value;

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn table(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(name);
    serde_json::from_str(&fs::read_to_string(path).expect("the table is there")).expect("the table is JSON")
}

fn rows<'a>(table: &'a Value, key: &str) -> &'a Vec<Value> {
    table[key].as_array().unwrap_or_else(|| panic!("a list `{key}`"))
}

fn text<'a>(row: &'a Value, key: &str) -> &'a str {
    row[key].as_str().unwrap_or_else(|| panic!("`{key}` is missing in {row}"))
}

/// The concept that a published name stands for.
fn named(ontology: &Ontology, name: &str) -> ConceptId {
    let found =
        ontology.find(name).or_else(|| checker().read(&Item::named(name)).expect("short").named().first().copied());
    found.unwrap_or_else(|| panic!("`{name}` names nothing"))
}

/// Whether a presence is what a source says. `found` is contains or may, `not-contains` is may or free;
/// `free` also wants every word understood.
fn agrees(expected: &str, presence: Presence) -> bool {
    match expected {
        "contains" => presence == Presence::Contains,
        "may" => matches!(presence, Presence::May(_)),
        "free" => presence == Presence::Free,
        "found" => matches!(presence, Presence::Contains | Presence::May(_)),
        "not-contains" => matches!(presence, Presence::Free | Presence::May(_)),
        other => panic!("no such expectation: {other}"),
    }
}

/// Every row needs a source that the bibliography knows.
fn sourced(row: &Value) {
    let source = text(row, "source");
    assert!(checker().ontology().source(source).is_some(), "`{source}` is no key of SOURCES.md: {row}");
}

fn report(what: &str, wrong: &[String], of: usize, at_least: usize) {
    assert!(wrong.is_empty(), "{} of {of} {what} disagree:\n{}", wrong.len(), wrong.join("\n"));
    assert!(of >= at_least, "only {of} {what}");
}

#[test]
fn allergen_terms() {
    let ontology = checker().ontology();
    let table = table("allergen_terms.json");
    let mut wrong = Vec::new();
    for row in rows(&table, "rows") {
        sourced(row);
        let (term, family, expected) = (text(row, "term"), text(row, "family"), text(row, "expect"));
        let contents = checker().read(&Item::named(term)).expect("short");
        let presence = contents.presence(ontology, named(ontology, family));
        if !agrees(expected, presence) {
            wrong.push(format!(
                "{term}: {} for {family}, the source says {expected} [{}]",
                presence.word(),
                text(row, "source")
            ));
        }
    }
    report("allergen terms", &wrong, rows(&table, "rows").len(), 700);
}

#[test]
fn label_statements() {
    let ontology = checker().ontology();
    let table = table("label_statements.json");
    let mut wrong = Vec::new();
    for row in rows(&table, "rows") {
        sourced(row);
        let item =
            Item { ingredients: row["ingredients"].as_str().map(str::to_owned), ..Item::named(text(row, "name")) };
        let family = text(row, "family");
        let presence = checker().read(&item).expect("short").presence(ontology, named(ontology, family));
        if !agrees(text(row, "expect"), presence) {
            wrong.push(format!("{row}: {}", presence.word()));
        }
    }
    report("label statements", &wrong, rows(&table, "rows").len(), 80);
}

#[test]
fn labels_in_other_languages() {
    let ontology = checker().ontology();
    let table = table("label_languages.json");
    let mut wrong = Vec::new();
    let mut languages = BTreeSet::new();
    for row in rows(&table, "rows") {
        sourced(row);
        languages.insert(text(row, "lang"));
        let item = Item { ingredients: Some(text(row, "text").to_owned()), ..Item::named("product") };
        let presence = checker().read(&item).expect("short").presence(ontology, named(ontology, text(row, "family")));
        if !agrees(text(row, "expect"), presence) {
            wrong.push(format!("{row}: {}", presence.word()));
        }
    }
    report("label lines", &wrong, rows(&table, "rows").len(), 150);
    assert!(languages.len() >= 6, "{languages:?}");
}

#[test]
fn allergen_lists_by_jurisdiction() {
    let ontology = checker().ontology();
    let table = table("allergen_lists.json");
    let mut wrong = Vec::new();
    let mut facts = 0;
    for list in rows(&table, "lists") {
        let jurisdiction = text(list, "jurisdiction");
        let listed = |name: &str, how: &str| {
            ontology
                .listed_by(named(ontology, name))
                .iter()
                .any(|l| l.starts_with(&format!("{jurisdiction} (")) && l.contains(how))
        };
        // What must be declared from a threshold on is mandatory there.
        let mandatory = |name: &str| listed(name, "): mandatory") || listed(name, "): declared at");
        for (key, wanted) in [("mandatory", true), ("recommended", true), ("not_listed", false)] {
            for name in list[key].as_array().into_iter().flatten().filter_map(Value::as_str) {
                facts += 1;
                let found = if key == "recommended" { listed(name, "): recommended") } else { mandatory(name) };
                if found != wanted {
                    wrong.push(format!(
                        "{jurisdiction}: {name} ({key}): {:?}",
                        ontology.listed_by(named(ontology, name))
                    ));
                }
            }
        }
    }
    report("list entries", &wrong, facts, 150);
}

#[test]
fn exemptions_by_jurisdiction() {
    let table = table("exemptions.json");
    let lists: BTreeSet<&str> = rows(&table, "rows").iter().map(|row| text(row, "list")).collect();
    let house = |list: &str| {
        let overlay = serde_json::json!({
            "format": 1, "name": "house", "version": "1",
            "jurisdiction": {"list": list, "reason": "the kitchen buys food labelled there"}
        });
        (list.to_owned(), Checker::with_overlay(&overlay.to_string()).expect("the overlay loads"))
    };
    let houses: BTreeMap<String, Checker> = lists.into_iter().map(house).collect();
    let mut wrong = Vec::new();
    for row in rows(&table, "rows") {
        sourced(row);
        for (key, checker) in [("without", checker()), ("with", &houses[text(row, "list")])] {
            let ontology = checker.ontology();
            let contents = checker.read(&Item::named(text(row, "term"))).expect("short");
            let presence = contents.presence(ontology, named(ontology, text(row, "family")));
            if !agrees(text(row, key), presence) || contents.has_unread() {
                wrong.push(format!("{row}: {key} a jurisdiction it is {}", presence.word()));
            }
        }
    }
    report("exemptions", &wrong, rows(&table, "rows").len(), 40);
}

#[test]
fn iddsi_levels_and_names() {
    let table = table("iddsi.json");
    let ontology = checker().ontology();
    let mut wrong = Vec::new();
    for row in rows(&table, "levels") {
        sourced(row);
        let card = checker().card(text(row, "term")).expect("short");
        let food = serde_json::to_value(card.food_level).expect("a level");
        let drink = serde_json::to_value(card.liquid_level).expect("a level");
        if food != row["food"] || drink != row["drink"] || card.unclear.is_empty() == (row["unclear"] == true) {
            wrong.push(format!("{row}: food {food}, drink {drink}, unclear {:?}", card.unclear));
        }
    }
    report("level terms", &wrong, rows(&table, "levels").len(), 60);
    assert!(ontology.iddsi_attribution().contains("2019"));
}

#[test]
fn iddsi_foods_against_ordered_levels() {
    let table = table("iddsi.json");
    let mut wrong = Vec::new();
    for row in rows(&table, "foods") {
        sourced(row);
        let mut order = serde_json::Map::new();
        for key in ["food_level", "liquid_level"] {
            if !row[key].is_null() {
                order.insert(key.to_owned(), row[key].clone());
            }
        }
        let ask = serde_json::json!({"order": order, "tray": {"items": [{"name": text(row, "food")}]}}).to_string();
        let answer: Value = serde_json::from_str(&wire::check(checker(), &ask).expect("short")).expect("JSON");
        let allowed: BTreeSet<&str> = text(row, "verdict").split('|').collect();
        if !allowed.contains(answer["verdict"].as_str().unwrap_or_default()) {
            wrong.push(format!("{row}: {} {}", answer["verdict"], answer["say"]));
        }
    }
    report("foods against levels", &wrong, rows(&table, "foods").len(), 100);
}

/// Numbers of the IDDSI tests: what was measured, what is ordered, what to do.
#[test]
fn iddsi_tests_of_the_food_itself() {
    let table = table("iddsi.json");
    let mut wrong = Vec::new();
    for row in rows(&table, "tests") {
        sourced(row);
        let mut order = serde_json::json!({"allergies": []});
        for key in ["food_level", "liquid_level", "piece_size", "text"] {
            if !row[key].is_null() {
                order[key] = row[key].clone();
            }
        }
        let item = serde_json::json!({"name": row["name"], "tested": row["tested"]});
        let ask = serde_json::json!({"order": order, "tray": {"items": [item]}}).to_string();
        let answer: Value = serde_json::from_str(&wire::check(checker(), &ask).expect("short")).expect("JSON");
        let allowed: BTreeSet<&str> = text(row, "verdict").split('|').collect();
        if !allowed.contains(answer["verdict"].as_str().unwrap_or_default()) {
            wrong.push(format!("{row}: {} {}", answer["verdict"], answer["say"]));
        }
    }
    report("test results", &wrong, rows(&table, "tests").len(), 150);
}

#[test]
fn iddsi_codes_of_records() {
    let table = table("iddsi.json");
    for row in rows(&table, "codes") {
        sourced(row);
        let (food, drink) = checker().ontology().levels_of_code(text(row, "code"));
        assert_eq!(serde_json::to_value(food).expect("a level"), row["food"], "{row}");
        assert_eq!(serde_json::to_value(drink).expect("a level"), row["drink"], "{row}");
    }
}
