//! Overlays: they add and tighten freely, loosen only with a reason, and every verdict that used an override repeats it.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use salver::{Action, Allergy, Checker, Item, Ontology, Order, Tray, Verdict, limits};

const DEMO: &str = include_str!("../examples/overlay.json");

fn overlay(body: &str) -> String {
    format!(r#"{{"format": 1, "name": "house", "version": "1", "sources": {{"HOUSE": "recipe book"}}, {body}}}"#)
}

fn check(checker: &Checker, allergy: &str, item: &str) -> Verdict {
    let order = Order { allergies: Some(vec![Allergy::to(allergy)]), ..Order::default() };
    checker.check(&order, &Tray { items: vec![Item::named(item)], ..Tray::default() }).expect("within the bounds")
}

fn refused(body: &str, wanted: &str) {
    let error = Ontology::built_in_with_overlay(&overlay(body)).expect_err(wanted);
    let said: Vec<String> = error.problems().iter().map(ToString::to_string).collect();
    let hit = said.iter().find(|p| p.starts_with("overlay: ") && p.contains(wanted));
    let hit = hit.unwrap_or_else(|| panic!("should say `{wanted}`, with its place: {said:#?}"));
    assert!(hit.contains("; "), "the remedy comes last: {hit}");
}

#[test]
fn the_demo_adds_tightens_and_overrides_with_reasons() {
    let (base, house) = (Checker::built_in().expect("loads"), Checker::with_overlay(DEMO).expect("the demo loads"));
    // An unknown name becomes a known food.
    assert_eq!(check(&base, "almond", "sunday lindenhof").verdict, Action::Ask);
    assert_eq!(check(&house, "milk", "sunday lindenhof").verdict, Action::Return);
    assert_eq!(check(&house, "sesame", "sunday lindenhof").verdict, Action::Serve);
    // A local name, and a stricter edge.
    assert_eq!(check(&house, "celery", "lindenhof chicken stock").verdict, Action::Return);
    // Plain food gets butter in this kitchen.
    assert_eq!(check(&base, "milk", "steamed rice").verdict, Action::Serve);
    assert_eq!(check(&house, "milk", "steamed rice").verdict, Action::Ask);
    // Overrides loosen, and every verdict that used one says so.
    assert!(check(&base, "milk", "meatloaf").verdict > Action::Serve);
    let loosened = check(&house, "milk", "meatloaf");
    assert_eq!(loosened.verdict, Action::Serve);
    assert!(
        loosened.assumptions.iter().any(|a| a.item == Some(0) && a.say.contains("without milk and crumbs")),
        "{loosened:#?}"
    );
    assert!(check(&house, "egg", "oat pancakes").assumptions.iter().any(|a| a.say.contains("oats and egg only")));
    // The stamp names the overlay, and the digest is another one.
    let (plain, stamped) = (check(&base, "egg", "rice").ontology, check(&house, "egg", "rice").ontology);
    assert_eq!(stamped.overlay.as_deref(), Some("Lindenhof House, kitchen 2026-11"));
    assert_ne!(plain.digest, stamped.digest);
    assert_eq!((plain.version, plain.overlay), (stamped.version, None));
}

#[test]
fn an_overlay_only_tightens_unless_it_says_so() {
    let concept = |names: &str, rest: &str| {
        format!(
            r#""concepts": [{{"id": "house-x", "names": [{names}], "form": {{"food": 7}}, "source": ["HOUSE"]{rest}}}]"#
        )
    };
    refused(&concept(r#""peanut butter delight cookie""#, ""), "would hide");
    refused(&concept(r#""beef stew""#, ""), "is claimed by");
    refused(
        &concept(r#""crusty roll deluxe""#, r#", "kinds_of": ["crusty-roll"], "made_with": {"never": ["wheat"]}"#),
        "would hide",
    );
    refused(r#""additions": {"pancake": {"made_with": {"never": ["milk"]}}}"#, "`never` loosens");
    refused(r#""additions": {"no-such-food": {"names": ["x"]}}"#, "dangling id");
    refused(r#""additions": {"pancake": {"made_with": {"always": ["no-such-food"]}}}"#, "dangling id");
    refused(r#""additions": {"rice": {"names": ["salmon rice"]}}"#, "would hide");
    refused(
        r#""overrides": [{"concept": "pancake", "made_with": {"never": ["milk"]}, "reason": " "}]"#,
        "without a reason",
    );
    refused(r#""overrides": [{"reason": "because"}]"#, "one of the two");
    refused(
        r#""diet_rules": {"renal": [{"traits": ["high-potassium"], "action": "ask", "say": "x", "source": ["HOUSE"]}]}"#,
        "would loosen",
    );
    refused(r#""diet_rules": {"no-such-diet": []}"#, "no such diet");
    refused(r#""conceps": []"#, "unknown field `conceps`");
    refused(r#""concepts": [{"id": "house-x", "names": ["zorble"], "form": {"food": 7}}]"#, "no source");
    refused(
        r#""concepts": [{"id": "house-x", "names": ["zorble"], "form": {"food": 7}, "source": ["ELSEWHERE"]}]"#,
        "unknown source",
    );
    refused(
        r#""concepts": [{"id": "a", "names": ["zorble"], "kinds_of": ["a"], "form": {"food": 7}, "source": ["HOUSE"]}]"#,
        "kind of itself",
    );
}

#[test]
fn a_jurisdiction_is_chosen_with_a_reason_that_verdicts_repeat() {
    let chosen = |list: &str, why: &str| format!(r#""jurisdiction": {{"list": "{list}", "reason": "{why}"}}"#);
    let (base, item) = (Checker::built_in().expect("loads"), "vegetables in highly refined peanut oil");
    assert_eq!(check(&base, "peanut", item).verdict, Action::Ask);
    for (list, verdict) in [("us-2025", Action::Serve), ("eu-2014", Action::Ask)] {
        let house = Checker::with_overlay(&overlay(&chosen(list, "our supplier labels there"))).expect("loads");
        let answer = check(&house, "peanut", item);
        assert_eq!(answer.verdict, verdict, "{list}: {answer:#?}");
        let said = |words: &str| answer.assumptions.iter().any(|a| a.item == Some(0) && a.say.contains(words));
        assert_eq!(said("United States exempts"), list == "us-2025");
        assert_eq!(said("our supplier labels there"), list == "us-2025");
        // Exemption is about the label: who is not to have the oil itself does not get it.
        assert_eq!(check(&house, "highly refined peanut oil", item).verdict, Action::Return);
    }
    refused(&chosen("us-2025", " "), "without a reason");
    refused(&chosen("atlantis", "x"), "no such list");
}

#[test]
fn what_a_bare_word_is_taken_as_is_said_to_those_it_concerns() {
    let checker = Checker::built_in().expect("loads");
    let said = |allergy: &str, item: &str| {
        let answer = check(&checker, allergy, item);
        assert_eq!(answer.verdict, Action::Serve, "{answer:#?}");
        answer.assumptions.iter().any(|a| a.item == Some(0) && a.say.contains("taken as highly refined"))
    };
    assert!(said("soy", "potatoes in soybean oil"));
    assert!(!said("soy", "potatoes in fully refined soybean oil"));
    assert!(!said("egg", "potatoes in soybean oil"));
}

#[test]
fn a_softer_texture_is_a_loosening_too() {
    refused(
        r#""concepts": [{"id": "house-x", "names": ["crusty roll"], "kinds_of": ["bread"], "form": {"food": 4}, "source": ["HOUSE"]}]"#,
        "is claimed by",
    );
    refused(
        r#""concepts": [{"id": "house-x", "names": ["house crusty roll"], "kinds_of": ["crusty-roll"], "form": {"food": 4}, "source": ["HOUSE"]}]"#,
        "texture",
    );
}

#[test]
fn overlays_are_bounded() {
    let long = " ".repeat(limits::OVERLAY_BYTES + 1);
    let error = Ontology::built_in_with_overlay(&long).expect_err("past the bound");
    assert!(error.to_string().contains("over the bound"), "{error}");
    let one = r#"{"id": "", "names": [], "source": []}"#;
    let many = overlay(&format!(r#""concepts": [{}]"#, vec![one; limits::OVERLAY_CONCEPTS + 1].join(",")));
    let error = Ontology::built_in_with_overlay(&many).expect_err("past the bound");
    assert!(error.to_string().contains("100001 concepts"), "{error}");
}
