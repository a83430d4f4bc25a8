//! What `read` answers for makers' names and names that commas take apart.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::sync::OnceLock;

use salver::{Checker, Item, Presence, wire};
use serde_json::{Value, json};

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn read(name: &str) -> Value {
    serde_json::from_str(&wire::read(checker(), &json!({ "name": name }).to_string()).expect("read")).expect("JSON")
}

fn words(answer: &Value, key: &str) -> Vec<String> {
    let list = answer[key].as_array().into_iter().flatten();
    list.map(|u| u["text"].as_str().expect("words").to_owned()).collect()
}

#[test]
fn makers_names_are_known_as_such_and_make_nothing_free() {
    for (text, makers) in [
        ("Zorble's granola with raisins", vec!["Zorble's"]),
        ("granola, ZORBLE’S", vec!["ZORBLE’S"]),
        ("Zorblamil, with iron, infant formula, ready-to-feed", vec!["Zorblamil"]),
        ("Energy drink (Zorble Quix)", vec!["Zorble", "Quix"]),
    ] {
        let answer = read(text);
        assert_eq!(words(&answer, "trade_names"), makers, "{text}");
        assert!(words(&answer, "unread").is_empty(), "{text}: {answer}");
        let fish = checker().ontology().find("fish").expect("a family");
        let presence = checker().read(&Item::named(text)).expect("short").presence(checker().ontology(), fish);
        assert_ne!(presence, Presence::Free, "{text}");
    }
}

#[test]
fn what_may_be_a_food_is_no_makers_name() {
    for text in [
        "Zorble granola",
        "granola with zorble",
        "infant formula with zorble",
        "infant formula and zorble",
        "energy drink, zorble banana",
        "Zorble's",
        "Hazlenut's spread",
    ] {
        assert!(words(&read(text), "trade_names").is_empty(), "{text}");
    }
}

#[test]
fn commas_take_names_apart() {
    for (text, name) in
        [("Egg, Benedict", "eggs benedict"), ("Soup, bean, black", "black bean soup"), ("Rolls, (egg)", "egg roll")]
    {
        let whole = checker().read(&Item::named(name)).expect("short").named()[0];
        let named = checker().read(&Item::named(text)).expect("short").named();
        assert!(named.contains(&whole), "{text} does not name {name}");
    }
}
