//! Bad input: every bound at it and one past it, and every way a check can be malformed, each with a clear error.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::sync::OnceLock;

use salver::{Allergy, Checker, Item, Order, Tray, limits, wire};
use serde_json::json;

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn tray(item: Item) -> Tray {
    Tray { items: vec![item], ..Tray::default() }
}

fn stated() -> Order {
    Order { allergies: Some(vec![Allergy::to("egg")]), ..Order::default() }
}

/// The same input at a bound and one past it: taken, then refused by this field.
fn at_and_past(field: &str, bound: usize, make: impl Fn(usize) -> (Order, Tray)) {
    let checker = checker();
    let (order, tray) = make(bound);
    assert!(checker.check(&order, &tray).is_ok(), "{field} at its bound of {bound} is taken");
    let (order, tray) = make(bound + 1);
    let error = checker.check(&order, &tray).expect_err("past the bound");
    assert_eq!(error.field, field);
    assert!(error.what.contains(&bound.to_string()) && !error.remedy.is_empty(), "{error}");
}

#[test]
fn bounds_of_a_tray() {
    at_and_past("tray.items[0].name", limits::NAME_BYTES, |n| (stated(), tray(Item::named("a".repeat(n)))));
    at_and_past("tray.items[0].ingredients", limits::INGREDIENTS_BYTES, |n| {
        (stated(), tray(Item { ingredients: Some("a ".repeat(n / 2) + &"b".repeat(n % 2)), ..Item::named("egg") }))
    });
    at_and_past("tray.items[0].place", limits::WORD_BYTES, |n| {
        (stated(), tray(Item { place: Some("a".repeat(n)), ..Item::named("egg") }))
    });
    at_and_past("tray.items", limits::ITEMS, |n| {
        (stated(), Tray { items: vec![Item::named("rice"); n], ..Tray::default() })
    });
    at_and_past("tray.resident", limits::WORD_BYTES, |n| {
        (stated(), Tray { resident: Some("a".repeat(n)), ..Tray::default() })
    });
    at_and_past("tray.meal", limits::WORD_BYTES, |n| (stated(), Tray { meal: Some("a".repeat(n)), ..Tray::default() }));
}

#[test]
fn bounds_of_an_order() {
    let of = |order: Order| (order, Tray::default());
    at_and_past("order.allergies", limits::ORDER_ENTRIES, |n| {
        of(Order { allergies: Some(vec![Allergy::to("egg"); n]), ..Order::default() })
    });
    at_and_past("order.allergies[0].to", limits::WORD_BYTES, |n| {
        of(Order { allergies: Some(vec![Allergy::to("a".repeat(n))]), ..Order::default() })
    });
    at_and_past("order.allergies[0].severity", limits::WORD_BYTES, |n| {
        of(Order {
            allergies: Some(vec![Allergy { severity: Some("a".repeat(n)), ..Allergy::to("egg") }]),
            ..Order::default()
        })
    });
    at_and_past("order.allergies[0].reaction", limits::WORD_BYTES, |n| {
        of(Order {
            allergies: Some(vec![Allergy { reaction: Some("a".repeat(n)), ..Allergy::to("egg") }]),
            ..Order::default()
        })
    });
    at_and_past("order.diets", limits::ORDER_ENTRIES, |n| {
        of(Order { diets: vec!["nas".into(); n], ..Order::default() })
    });
    at_and_past("order.diets[0]", limits::WORD_BYTES, |n| of(Order { diets: vec!["a".repeat(n)], ..Order::default() }));
    at_and_past("order.notes", limits::ORDER_ENTRIES, |n| of(Order { notes: vec![String::new(); n], ..stated() }));
    at_and_past("order.notes[0]", limits::CARD_BYTES, |n| of(Order { notes: vec!["a".repeat(n)], ..Order::default() }));
    at_and_past("order.text", limits::CARD_BYTES, |n| of(Order { text: Some("a".repeat(n)), ..Order::default() }));
    at_and_past("order.resident", limits::WORD_BYTES, |n| of(Order { resident: Some("a".repeat(n)), ..stated() }));
    at_and_past("order.meal", limits::WORD_BYTES, |n| of(Order { meal: Some("a".repeat(n)), ..stated() }));
    at_and_past("order.fluid_limit_ml", limits::FLUID_ML as usize, |n| {
        of(Order { fluid_limit_ml: u32::try_from(n).ok(), ..Order::default() })
    });
}

#[test]
fn bound_of_the_json_text() {
    let checker = checker();
    let check = |pad: usize| {
        wire::check(
            checker,
            &format!("{}{}", json!({"order": {"allergies": []}, "tray": {"items": []}}), " ".repeat(pad)),
        )
    };
    let plain = json!({"order": {"allergies": []}, "tray": {"items": []}}).to_string().len();
    assert!(check(limits::CHECK_BYTES - plain).is_ok());
    let error = check(limits::CHECK_BYTES - plain + 1).expect_err("past the bound");
    assert_eq!(error.field, "the JSON text");
}

#[test]
fn deep_brackets_are_read_and_nothing_in_them_is_lost() {
    let checker = checker();
    let ontology = checker.ontology();
    let egg = ontology.find("egg").expect("egg");
    for depth in [1, limits::NESTING - 1, limits::NESTING, limits::NESTING + 1, 5_000] {
        let text = format!("flour {}egg{}", "(".repeat(depth), ")".repeat(depth));
        let item = Item { ingredients: Some(text), ..Item::named("loaf cake") };
        let contents = checker.read(&item).expect("within the bounds");
        assert_eq!(contents.presence(ontology, egg), salver::Presence::Contains, "at depth {depth}");
    }
}

#[test]
fn malformed_checks_are_refused_with_field_and_remedy() {
    let checker = checker();
    let item = r#""tray":{"items":[{"name":"egg"}]}"#;
    for (bad, wanted) in [
        (String::new(), "EOF"),
        ("nonsense".into(), "expected"),
        ("[]".into(), "expected an object"),
        ("7 8".into(), "expected an object"),
        (r#"{"order":{},"tray":{"items":[]}} {}"#.into(), "trailing characters"),
        (r#"{"order":[],"tray":{"items":[]}}"#.into(), "expected an object"),
        (r#"{"order":{},"tray":{"items":[["egg"]]}}"#.into(), "expected an object"),
        (format!(r#"{{"order":{{"alergies":["egg"]}},{item}}}"#), "unknown field `alergies`"),
        (format!(r#"{{"order":{{"allergies":[{{"too":"egg"}}]}},{item}}}"#), "unknown field `too`"),
        (format!(r#"{{"order":{{"allergies":[7]}},{item}}}"#), "a word or an object with `to`"),
        (format!(r#"{{"order":{{"allergies":[{{"to":"egg","kind":"fear"}}]}},{item}}}"#), "unknown variant `fear`"),
        (format!(r#"{{"order":{{"food_level":2}},{item}}}"#), "a food level is"),
        (format!(r#"{{"order":{{"food_level":5.5}},{item}}}"#), "a food level is"),
        (format!(r#"{{"order":{{"liquid_level":5}},{item}}}"#), "a liquid level is"),
        (format!(r#"{{"order":{{"liquid_level":-1}},{item}}}"#), "a liquid level is"),
        (format!(r#"{{"order":{{"fluid_limit_ml":-5}},{item}}}"#), "invalid value"),
        (format!(r#"{{"order":{{}},"order":{{}},{item}}}"#), "duplicate field `order`"),
        (r#"{"order":{}}"#.into(), "missing field `tray`"),
        (r#"{"order":{},"tray":{"items":[{"sealed":true}]}}"#.into(), "missing field `name`"),
        (r#"{"order":{},"tray":{"items":[{"name":"egg","seal":true}]}}"#.into(), "unknown field `seal`"),
        (r#"{"order":{},"tray":{"items":[{"name":"egg""#.into(), "EOF"),
        (r#"{"order":{},"tray":{"items":[{"name":"\ud800"}]}}"#.into(), "hex escape"),
    ] {
        let error = wire::check(checker, &bad).expect_err(&bad);
        assert!(error.what.contains(wanted), "{bad} should say `{wanted}`, said: {error}");
        assert!(error.field.starts_with("line ") && !error.remedy.is_empty(), "{error}");
    }
    for bad in [r#"{"nam":"egg"}"#, r#"{"id":"a"}"#, "7"] {
        assert!(wire::read(checker, bad).is_err() && wire::card(checker, bad).is_err(), "{bad}");
    }
}

#[test]
fn an_error_never_repeats_the_resident() {
    let checker = checker();
    let order = Order { resident: Some("secret-name".repeat(60)), ..stated() };
    let error = checker.check(&order, &Tray::default()).expect_err("past the bound").to_string();
    assert!(!error.contains("secret-name"), "{error}");
}
