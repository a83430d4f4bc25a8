//! Two things in one run, and their ratio: never a time by itself.
//!
//! * a check with an allergy against the same check with none: what judging costs beside reading;
//! * an ingredient statement of twice the length: reading must stay linear.

#![allow(missing_docs, reason = "criterion's macros make public items")]

use criterion::{Criterion, criterion_group, criterion_main};
use salver::{Allergy, Checker, Item, Order, Tray};

fn benches(criterion: &mut Criterion) {
    let Ok(checker) = Checker::built_in() else {
        return;
    };
    let items = [
        "falafel with tahini sauce",
        "mashed potatoes",
        "mildly thick apple juice",
        "chicken noodle soup",
        "vanilla pudding",
    ];
    let tray = Tray { items: items.iter().map(|name| Item::named(*name)).collect(), ..Tray::default() };
    let none = Order { allergies: Some(Vec::new()), ..Order::default() };
    let five = ["sesame", "milk", "shellfish", "peanut", "wheat"].map(Allergy::to).to_vec();
    let five = Order { allergies: Some(five), ..Order::default() };
    criterion.bench_function("check/no restriction", |b| b.iter(|| checker.check(&none, &tray)));
    criterion.bench_function("check/five allergies", |b| b.iter(|| checker.check(&five, &tray)));
    let statement =
        "wheat flour, sugar, palm oil, whey powder (milk), soya lecithin, natural flavor, salt, ".repeat(20);
    for (name, text) in [("read/20 lines", statement.clone()), ("read/40 lines", statement.repeat(2))] {
        let item = Item { ingredients: Some(text), ..Item::named("biscuit") };
        criterion.bench_function(name, |b| b.iter(|| checker.read(&item)));
    }
}

criterion_group!(group, benches);
criterion_main!(group);
