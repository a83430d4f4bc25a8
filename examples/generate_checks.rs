//! Invented checks in the exchange format, for measuring: `cargo run --release --example generate_checks -- 100000`.
//!
//! Orders and trays are drawn from the ontology's own names by a fixed sequence, so that every run writes the same lines.

#![allow(clippy::print_stdout, reason = "a program for people at a terminal")]

use std::error::Error;
use std::io::{self, BufWriter, Write};

use salver::{Checker, Kind};
use serde_json::{Map, Value, json};

/// A linear congruential sequence (Knuth, MMIX constants); good enough to draw foods.
struct Sequence(u64);

impl Sequence {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % bound.max(1)
    }

    fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T
    where
        &'a T: Default,
    {
        list.get(self.below(list.len())).copied().unwrap_or_default()
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let count: usize = std::env::args().nth(1).unwrap_or_else(|| "1000".to_owned()).parse()?;
    let checker = Checker::built_in()?;
    let ontology = checker.ontology();
    let served = ontology.ids().map(|id| ontology.concept(id)).filter(|c| c.kind() == Kind::Food);
    let foods: Vec<&str> = served.flat_map(|c| c.names().iter().map(String::as_str)).collect();
    let families: Vec<&str> = ontology.reported().iter().map(String::as_str).collect();
    let before = ["", "", "", "pureed ", "grilled ", "steamed ", "vegan ", "egg-free "];
    let after = ["", "", "", " with gravy", " and sauce", ", no butter", " zorble"];
    let diets = ["nas", "consistent carbohydrate", "gluten-free", "vegetarian", "halal"];
    let mut draw = Sequence(1);
    let mut out = BufWriter::new(io::stdout().lock());
    for n in 0..count {
        let mut order = Map::new();
        order.insert("allergies".into(), (0..draw.below(3)).map(|_| draw.pick(&families)).collect::<Vec<_>>().into());
        if draw.below(3) == 0 {
            order.insert("diets".into(), json!([draw.pick(&diets)]));
        }
        if draw.below(3) == 0 {
            order.insert("food_level".into(), json!(draw.below(5) + 3));
        }
        if draw.below(4) == 0 {
            order.insert("liquid_level".into(), json!(draw.below(5)));
        }
        let items: Vec<Value> = (0..draw.below(5) + 2)
            .map(|_| {
                let name = format!("{}{}{}", draw.pick(&before), draw.pick(&foods), draw.pick(&after));
                let list =
                    (draw.below(4) == 0).then(|| (0..6).map(|_| draw.pick(&foods)).collect::<Vec<_>>().join(", "));
                json!({"name": name, "ingredients": list, "sealed": draw.below(4) == 0})
            })
            .collect();
        writeln!(out, "{}", json!({"id": n.to_string(), "order": order, "tray": {"items": items}}))?;
    }
    out.flush()?;
    Ok(())
}
