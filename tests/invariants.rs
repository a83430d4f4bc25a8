//! The invariants of the design, one property test each, by name.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::sync::OnceLock;
use std::thread;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use salver::{
    Action, Allergy, AllergyKind, Checker, DrinkLevel, FoodLevel, ForkDrip, ForkPressure, FreeReason, Item, Kind,
    Measure, Ontology, Order, PieceSize, Presence, SpoonTilt, Step, Strength, TestResults, Tray, Verdict, wire,
};
use serde_json::json;

/// Words that no entry of the ontology knows.
const UNKNOWN: [&str; 3] = ["zorble", "quaxil", "vrimp"];

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn names(of: impl Fn(Kind) -> bool) -> Vec<String> {
    let ontology = checker().ontology();
    let kinds = ontology.ids().filter(|id| of(ontology.concept(*id).kind()));
    kinds.flat_map(|id| ontology.concept(id).names().iter().cloned()).collect()
}

fn foods() -> Vec<String> {
    names(|kind| kind != Kind::Preparation)
}

fn any_name() -> impl Strategy<Value = String> {
    let claims = ["", "", "", "vegan ", "egg-free ", "dairy-free ", "gluten-free ", "no cheese, "];
    let extra = ["", "", "", "", " zorble", " with gravy", " and sauce", ", no butter", " (dairy-free)"];
    let preparations =
        names(|kind| kind == Kind::Preparation).into_iter().chain(vec![String::new(); 40]).collect::<Vec<_>>();
    (select(claims.to_vec()), select(preparations), select(foods()), select(extra.to_vec()))
        .prop_map(|(claim, preparation, food, extra)| format!("{claim}{preparation} {food}{extra}"))
}

fn any_ingredients() -> impl Strategy<Value = Option<String>> {
    let statement = ["", "", ". Contains: milk", ". May contain: peanut, sesame", "; egg-free"];
    let list =
        (vec(select(foods()), 1..6), select(statement.to_vec())).prop_map(|(foods, end)| Some(foods.join(", ") + end));
    prop_oneof![3 => Just(None), 2 => list, 1 => Just(Some("see carton".to_owned()))]
}

fn any_item() -> impl Strategy<Value = Item> {
    (any_name(), any_ingredients(), any::<bool>(), any_tested()).prop_map(|(name, ingredients, sealed, tested)| Item {
        name,
        ingredients,
        place: None,
        sealed,
        tested,
    })
}

fn any_measure(most: u32) -> impl Strategy<Value = Option<Measure>> {
    prop_oneof![1 => Just(None), 2 => (1..=most * 10).prop_map(|tenths| Measure::from_hundredths(tenths * 10))]
}

fn any_tested() -> impl Strategy<Value = Option<TestResults>> {
    let drip = select(vec![None, Some(ForkDrip::Through), Some(ForkDrip::Dollops), Some(ForkDrip::Mound)]);
    let tilt = select(vec![None, Some(SpoonTilt::Pours), Some(SpoonTilt::Drops), Some(SpoonTilt::Slides)]);
    let press =
        || select(vec![None, Some(ForkPressure::Light), Some(ForkPressure::Blanch), Some(ForkPressure::Resists)]);
    let lumps = select(vec![None, Some(false), Some(true)]);
    let results = (any_measure(10), drip, tilt, lumps, any_measure(30), any_measure(30), press(), press()).prop_map(
        |(flow_left_ml, fork_drip, spoon_tilt, lumps, width, length, fork_pressure, after_water)| TestResults {
            flow_left_ml,
            fork_drip,
            spoon_tilt,
            lumps,
            particle_width_mm: width,
            particle_length_mm: length,
            fork_pressure,
            fork_pressure_after_water: after_water,
            ..TestResults::default()
        },
    );
    prop_oneof![3 => Just(None), 1 => results.prop_map(Some)]
}

fn any_tray() -> impl Strategy<Value = Tray> {
    vec(any_item(), 0..4).prop_map(|items| Tray { items, ..Tray::default() })
}

fn any_allergy() -> impl Strategy<Value = Allergy> {
    let reported = checker().ontology().reported().to_vec();
    let groups = ["nuts", "shellfish", "seafood", "dairy", "alpha-gal"].map(str::to_owned).to_vec();
    let word = prop_oneof![3 => select(reported), 1 => select(groups), 2 => select(foods())];
    let kind = select(&[AllergyKind::Allergy, AllergyKind::Intolerance, AllergyKind::Excluded][..]);
    let severity = select(&[None, None, Some("severe"), Some("mild")][..]);
    (word, kind, severity).prop_map(|(to, kind, severity)| Allergy {
        to,
        kind,
        severity: severity.map(str::to_owned),
        reaction: None,
    })
}

fn any_order() -> impl Strategy<Value = Order> {
    let diets = ["nas", "consistent carbohydrate", "gluten-free", "vegan", "no pork"].map(str::to_owned).to_vec();
    let food = select([None].into_iter().chain(FoodLevel::ALL.map(Some)).collect::<Vec<_>>());
    let liquid =
        select(vec![None, None, DrinkLevel::from_number(0), DrinkLevel::from_number(2), DrinkLevel::from_number(4)]);
    let cleared = select(vec![vec![], vec![], vec!["bread".to_owned()], vec!["transitional foods allowed".to_owned()]]);
    let piece_size = select(vec![None, Some(PieceSize::Adult), Some(PieceSize::Paediatric)]);
    (vec(any_allergy(), 0..3), vec(select(diets), 0..2), food, liquid, cleared, piece_size).prop_map(
        |(allergies, diets, food_level, liquid_level, cleared, piece_size)| Order {
            cleared,
            piece_size,
            allergies: Some(allergies),
            diets,
            food_level,
            liquid_level,
            ..Order::default()
        },
    )
}

fn check(order: &Order, tray: &Tray) -> Verdict {
    checker().check(order, tray).expect("generated input is within the bounds")
}

/// Other ways to write the same text: case, composed and decomposed accents, full-width letters, spaces, dashes.
fn rewritten(text: &str, way: usize) -> String {
    match way {
        0 => text.to_uppercase(),
        1 => text.split(' ').collect::<Vec<_>>().join("  \u{a0}"),
        2 => text.replace('-', "\u{2013}"),
        3 => text
            .chars()
            .map(|c| if c.is_ascii_lowercase() { char::from_u32(c as u32 + 0xfee0).unwrap_or(c) } else { c })
            .collect(),
        4 => text
            .chars()
            .flat_map(|c| match c {
                'é' => vec!['e', '\u{301}'],
                'è' => vec!['e', '\u{300}'],
                'ñ' => vec!['n', '\u{303}'],
                'ü' => vec!['u', '\u{308}'],
                other => vec![other],
            })
            .collect(),
        _ => text.replace(' ', " \u{200b}"),
    }
}

/// The parts of a finding that do not depend on how a text is written.
fn essence(verdict: &Verdict, items: usize, reversed: bool) -> BTreeSet<String> {
    let place = |item: Option<usize>| item.map(|n| if reversed { items - 1 - n } else { n });
    verdict
        .findings
        .iter()
        .map(|f| format!("{:?} {:?} {:?} {:?} {:?}", place(f.item), f.rule, f.concept, f.presence, f.action))
        .collect()
}

fn id(ontology: &Ontology, name: &str) -> salver::ConceptId {
    ontology.find(name).unwrap_or_else(|| panic!("{name} is no concept"))
}

/// Replays a chain: every step is in the ontology, and starts where the one before ended.
fn replay(ontology: &Ontology, item: &Item, steps: &[Step]) {
    let mut at: Option<String> = None;
    let starts = |step: &Step| matches!(step, Step::Text { .. } | Step::Unread { .. } | Step::Claim { .. });
    assert!(steps.first().is_some_and(starts), "a chain starts at a span: {steps:?}");
    for step in steps {
        match step {
            Step::Text { field, text, span, read_as } => {
                assert_eq!(item.text(*field).get(span.0..span.1), Some(text.as_str()));
                let concept = id(ontology, read_as);
                let contents = checker().read(&Item::named(text)).expect("short");
                let guessed = contents.unread().any(|(_, u)| u.read_as.contains(&concept));
                assert!(contents.named().contains(&concept) || guessed, "`{text}` is {read_as}");
                at = Some(read_as.clone());
            }
            Step::Unread { field, text, span } | Step::Claim { field, text, span, .. } => {
                assert_eq!(item.text(*field).get(span.0..span.1), Some(text.as_str()));
            }
            Step::KindOf { from, to, .. } => {
                assert_eq!(at.as_ref(), Some(from), "{steps:?}");
                assert!(ontology.concept(id(ontology, from)).kinds_of().contains(&id(ontology, to)), "{from} is {to}");
                at = Some(to.clone());
            }
            Step::MadeWith { from, to, strength, source } => {
                assert_eq!(at.as_ref(), Some(from), "{steps:?}");
                let concept = ontology.concept(id(ontology, from));
                assert!(
                    concept.recipe().iter().chain(concept.in_statements()).any(|e| e.to == id(ontology, to)
                        && e.strength == *strength
                        && e.stated_by == id(ontology, from))
                );
                assert!(!source.is_empty(), "an edge has a source");
                at = Some(to.clone());
            }
            Step::MayHide { from, to, .. } => {
                assert_eq!(at.as_ref(), Some(from), "{steps:?}");
                assert!(ontology.concept(id(ontology, from)).may_hide().contains(&id(ontology, to)));
                at = Some(to.clone());
            }
            Step::MoreGeneral { concept, than } => {
                assert_eq!(at.as_ref(), Some(concept), "{steps:?}");
                assert!(ontology.is_a(id(ontology, than), id(ontology, concept)));
            }
            Step::Form { concept, .. } | Step::Trait { concept, .. } => {
                assert!(at.as_ref().is_none_or(|a| a == concept), "{steps:?}");
                at = None;
            }
            Step::Tested { results, .. } => assert_eq!(item.tested.as_ref(), Some(results)),
            Step::SameGroup { concept, .. } => assert_eq!(at.as_ref(), Some(concept), "{steps:?}"),
            _ => {}
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_allergies_never_safer(order in any_order(), more in any_allergy(), tray in any_tray()) {
        let mut stricter = order.clone();
        stricter.allergies.get_or_insert_default().push(more);
        prop_assert!(check(&stricter, &tray).verdict >= check(&order, &tray).verdict);
    }

    #[test]
    fn more_food_never_safer(order in any_order(), tray in any_tray(), more in any_item()) {
        let mut fuller = tray.clone();
        fuller.items.push(more);
        prop_assert!(check(&order, &fuller).verdict >= check(&order, &tray).verdict);
    }

    #[test]
    fn unknown_is_never_served(allergy in any_allergy(), tray in any_tray(), word in select(&UNKNOWN[..]), at in 0..40usize) {
        let mut tray = tray;
        let mut item = Item::named("steamed rice");
        let at = at.min(item.name.len());
        let cut = item.name.char_indices().map(|(n, _)| n).take_while(|n| *n <= at).last().unwrap_or(0);
        item.name.insert_str(cut, &format!(" {word} "));
        tray.items.push(item);
        let order = Order { allergies: Some(vec![allergy]), ..Order::default() };
        let verdict = check(&order, &tray);
        prop_assert!(verdict.verdict >= Action::Ask, "{}", verdict.say);
        prop_assert!(verdict.unread.iter().any(|u| u.text == word));
    }

    #[test]
    fn spelling_case_order_do_not_matter(order in any_order(), tray in any_tray(), way in 0..6usize) {
        let before = check(&order, &tray);
        let mut other = tray.clone();
        other.items.reverse();
        for item in &mut other.items {
            item.name = rewritten(&item.name, way);
            item.ingredients = item.ingredients.as_ref().map(|text| rewritten(text, way));
        }
        let after = check(&order, &other);
        prop_assert_eq!(before.verdict, after.verdict);
        prop_assert_eq!(essence(&before, tray.items.len(), false), essence(&after, tray.items.len(), true));
    }

    #[test]
    fn offenders_explain(order in any_order(), tray in any_tray()) {
        let verdict = check(&order, &tray);
        prop_assume!(verdict.findings.iter().all(|f| f.item.is_some()));
        let named: BTreeSet<usize> = verdict.findings.iter().filter_map(|f| f.item).collect();
        let left = tray.items.iter().enumerate().filter(|(n, _)| !named.contains(n)).map(|(_, item)| item.clone()).collect();
        prop_assert_eq!(check(&order, &Tray { items: left, ..tray }).verdict, Action::Serve);
    }

    #[test]
    fn evidence_replays(order in any_order(), tray in any_tray()) {
        for finding in check(&order, &tray).findings {
            let Some(item) = finding.item else { continue };
            replay(checker().ontology(), &tray.items[item], &finding.because);
        }
    }

    #[test]
    fn claims_only_soften_recipes(
        name in select(foods()),
        list in vec(select(foods()), 1..5),
        family in select(checker().ontology().reported().to_vec()),
        shape in select(&["{}-free ", "no {}, ", "vegan ", "without {}, "][..]),
    ) {
        let ontology = checker().ontology();
        let plain = Item { ingredients: Some(list.join(", ")), ..Item::named(&name) };
        let claimed = Item { name: format!("{}{name}", shape.replace("{}", &family)), ..plain.clone() };
        let listed = Item { ingredients: plain.ingredients.clone(), ..Item::named("x") };
        let (stated, after) = (checker().read(&listed).expect("short"), checker().read(&claimed).expect("short"));
        for family in ontology.reported() {
            let family = id(ontology, family);
            if stated.presence(ontology, family) == Presence::Contains {
                prop_assert_eq!(after.presence(ontology, family), Presence::Contains);
            }
        }
    }

    #[test]
    fn free_has_a_reason(item in any_item()) {
        let ontology = checker().ontology();
        let contents = checker().read(&item).expect("short");
        for family in ontology.reported() {
            let family = id(ontology, family);
            let free = contents.presence(ontology, family) == Presence::Free;
            match contents.free_because(ontology, family) {
                None => prop_assert!(!free),
                Some(reason) => {
                    prop_assert!(free && !contents.has_unread());
                    match reason {
                        FreeReason::Label => prop_assert!(item.ingredients.is_some()),
                        FreeReason::Claim(claim) => prop_assert!(contents.claims(ontology).contains(&claim)),
                        FreeReason::Recipe(read_as) => prop_assert!(!read_as.is_empty()),
                        _ => prop_assert!(false, "a reason that this test does not know"),
                    }
                }
            }
        }
    }

    #[test]
    fn same_in_same_out(order in any_order(), tray in any_tray()) {
        let ask = json!({"id": "x", "order": order, "tray": tray}).to_string();
        let once = wire::check(checker(), &ask).expect("within the bounds");
        let elsewhere = thread::scope(|s| s.spawn(|| wire::check(checker(), &ask)).join()).expect("no panic");
        prop_assert_eq!(&once, &elsewhere.expect("within the bounds"));
        let again: wire::Check = serde_json::from_str(&ask).expect("round trip");
        prop_assert_eq!((&again.order, &again.tray), (&order, &tray));
    }

    #[test]
    fn never_panics(bytes in vec(any::<u8>(), 0..400), text in "\\PC{0,200}", brackets in "[\\[\\](){},.;: a-z0-9%/-]{0,200}") {
        for text in [String::from_utf8_lossy(&bytes).into_owned(), text, brackets] {
            let _ = wire::check(checker(), &text);
            let _ = wire::read(checker(), &text);
            let _ = wire::card(checker(), &text);
            let item = Item { ingredients: Some(text.clone()), ..Item::named(&text) };
            for unread in checker().read(&item).expect("short").unread().map(|(field, u)| (field, u.clone())) {
                prop_assert_eq!(item.text(unread.0).get(unread.1.span.0..unread.1.span.1), Some(unread.1.text.as_str()));
            }
            let order = Order { text: Some(text.clone()), notes: vec![text.clone()], allergies: Some(vec![Allergy::to(text)]), ..Order::default() };
            let _ = checker().check(&order, &Tray { items: vec![item], ..Tray::default() });
        }
    }
}

#[test]
fn strengths_are_ordered() {
    assert!(Strength::Always > Strength::Often && Strength::Often > Strength::Sometimes);
    assert!(Action::Return > Action::Ask && Action::Ask > Action::Remove && Action::Remove > Action::Serve);
}
