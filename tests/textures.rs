//! Properties of texture and liquid judging, over generated items and every ordered level.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::sync::OnceLock;

use proptest::prelude::*;
use proptest::sample::select;
use salver::{Action, Checker, DrinkLevel, FoodLevel, Item, Kind, Order, Tray};
use serde_json::Value;

fn checker() -> &'static Checker {
    static CHECKER: OnceLock<Checker> = OnceLock::new();
    CHECKER.get_or_init(|| Checker::built_in().expect("the built-in ontology loads"))
}

fn names(wanted: Kind) -> Vec<String> {
    let ontology = checker().ontology();
    let concepts = ontology.ids().map(|id| ontology.concept(id)).filter(|c| c.kind() == wanted);
    concepts.filter_map(|c| c.names().first().cloned()).collect()
}

fn judged(order: &Order, name: &str) -> Action {
    let tray = Tray { items: vec![Item::named(name)], ..Tray::default() };
    checker().check(order, &tray).expect("short").verdict
}

fn drink(number: u64) -> DrinkLevel {
    DrinkLevel::from_number(number).expect("0 to 4")
}

/// Names of one thin drink each: "coffee with cream" is two liquids, of which a word in front thickens one.
fn thin_drinks() -> Vec<String> {
    let thin = |name: &String| {
        let contents = checker().read(&Item::named(name)).expect("short");
        let form = contents.form();
        form.parts.len() == 1 && form.food().is_none() && form.drink() == Some(DrinkLevel::THIN)
    };
    names(Kind::Food).into_iter().filter(thin).collect()
}

/// Preparations whose effect can only make a food firmer or more dangerous, from the ontology's own file.
fn only_hazard() -> Vec<(String, String)> {
    let files = salver::Ontology::built_in_files();
    let text = files.iter().find(|f| f.path == "preparations.json").expect("the file").text;
    let file: Value = serde_json::from_str(text).expect("JSON");
    let only_adds = |effect: &Value| {
        effect.as_object().expect("an object").keys().all(|key| ["adds", "at_least"].contains(&key.as_str()))
            && effect["adds"].is_array()
    };
    let concepts = file["concepts"].as_array().expect("concepts").iter().filter(|c| only_adds(&c["effect"]));
    let word = |text: &Value| text.as_str().expect("a word").to_owned();
    concepts.map(|c| (word(&c["id"]), word(&c["names"][0]))).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Open items only: a conflict in a sealed one is taken off (`remove`), which ranks below a question.
    #[test]
    fn a_lower_food_level_never_improves_a_verdict(
        food in select(names(Kind::Food)),
        preparation in select(names(Kind::Preparation)),
        prepared in any::<bool>(),
        liquid in select(vec![None, Some(drink(0)), Some(drink(2)), Some(drink(4))]),
    ) {
        let name = if prepared { format!("{preparation} {food}") } else { food };
        let order = |level| Order {
            allergies: Some(Vec::new()), food_level: Some(level), liquid_level: liquid, ..Order::default()
        };
        let verdicts: Vec<Action> = FoodLevel::ALL.iter().map(|level| judged(&order(*level), &name)).collect();
        // Level 3 food flows: whether it suits the drink order is another question, so the food axis alone is compared.
        prop_assert!(verdicts.is_sorted_by(|lower, higher| lower >= higher), "{name}: {verdicts:?}");
    }

    #[test]
    fn a_drink_is_never_worse_at_its_own_level(
        food in select(thin_drinks()),
        level in 1..5u64,
        paired in select(vec![None, Some(FoodLevel::Pureed), Some(FoodLevel::Regular)]),
    ) {
        let thick = ["slightly thick", "mildly thick", "moderately thick", "extremely thick"];
        let contents = checker().read(&Item::named(&food)).expect("short");
        let name = format!("{} {food}", thick[usize::try_from(level).expect("small") - 1]);
        // "Slightly thick liquid seasoning" begins with a name of its own.
        let thickened = checker().read(&Item::named(&name)).expect("short");
        prop_assume!(thickened.named().first() == contents.named().first());
        let verdict = |ordered| judged(&Order {
            allergies: Some(Vec::new()), food_level: paired, liquid_level: Some(drink(ordered)), ..Order::default()
        }, &name);
        for other in 0..5 {
            prop_assert!(verdict(level) <= verdict(other), "{name}: {:?} at {level}, {:?} at {other}", verdict(level), verdict(other));
        }
    }

    #[test]
    fn a_preparation_that_only_adds_hazard_never_improves(
        food in select(names(Kind::Food)),
        (id, word) in select(only_hazard()),
        level in select(FoodLevel::ALL.to_vec()),
    ) {
        let ontology = checker().ontology();
        let plain = checker().read(&Item::named(&food)).expect("short").named();
        let name = format!("{word} {food}");
        let both: Vec<_> = plain.into_iter().chain(ontology.find(&id)).collect();
        // "Fried rice" is a dish of its own, not rice that was fried.
        prop_assume!(checker().read(&Item::named(&name)).expect("short").named() == both);
        let order = Order { allergies: Some(Vec::new()), food_level: Some(level), ..Order::default() };
        prop_assert!(judged(&order, &name) >= judged(&order, &food), "{name}");
    }
}

#[test]
fn generators_find_something() {
    assert!(only_hazard().len() >= 10, "{:?}", only_hazard());
    assert!(thin_drinks().len() >= 100, "{} drinks", thin_drinks().len());
    assert!(names(Kind::Food).len() > 3000);
}
