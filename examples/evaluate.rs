//! How much of real food text is understood: `cargo run --release --example evaluate -- FOLDER`.
//!
//! Reads every `*.jsonl` and `*.tsv` file of the folder that holds food texts, sends each text through the reader, and
//! prints the share of words and of texts understood; where rows carry declared families, recall and precision too.
//! Field names: `name`, `title`, `ingredient`, `text` (an ingredient statement), `ingredients` (recipe lines).

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a program for people at a terminal")]

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fs;
use std::path::Path;

use salver::{Checker, Item, Presence, limits};
use serde_json::Value;

/// Counts over one file.
#[derive(Default)]
struct Tally {
    texts: usize,
    fully_read: usize,
    words: usize,
    unread_words: usize,
    too_long: usize,
    declared: usize,
    found: usize,
    sure: usize,
    false_contains: usize,
    most_unread: BTreeMap<String, usize>,
}

/// Reported members that a declaration of the family covers.
const NUTS: [&str; 10] =
    ["almond", "walnut", "cashew", "pistachio", "pecan", "hazelnut", "macadamia", "brazil-nut", "pine-nut", "chestnut"];
const GLUTEN_CEREALS: [&str; 5] = ["wheat", "gluten", "barley", "rye", "oats"];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).or_else(|| std::env::var("SALVER_DATA").ok());
    let folder = folder.ok_or("name a folder with *.jsonl or *.tsv files, as argument or in SALVER_DATA")?;
    let checker = Checker::built_in()?;
    let mut files: Vec<_> =
        fs::read_dir(&folder)?.collect::<Result<Vec<_>, _>>()?.into_iter().map(|e| e.path()).collect();
    files.sort();
    for path in files {
        let tally = match path.extension().and_then(|e| e.to_str()) {
            Some("jsonl") => json_lines(&checker, &path)?,
            Some("tsv") => table(&checker, &path)?,
            _ => continue,
        };
        if tally.texts > 0 {
            print(&path, &tally);
        }
    }
    Ok(())
}

fn json_lines(checker: &Checker, path: &Path) -> Result<Tally, Box<dyn Error>> {
    let mut tally = Tally::default();
    for line in fs::read_to_string(path)?.lines().filter(|l| !l.trim().is_empty()) {
        let row: Value = serde_json::from_str(line)?;
        for item in items(&row) {
            measure(checker, &item, &row, &mut tally);
        }
    }
    Ok(tally)
}

/// The texts of a row: a labelled product, an ingredient, a dish, a title, or the lines of a recipe.
fn items(row: &Value) -> Vec<Item> {
    let text = |key: &str| row[key].as_str().map(str::to_owned).filter(|t| !t.is_empty());
    if let Some(lines) = row["ingredients"].as_array().filter(|l| l.iter().all(Value::is_string)) {
        return lines.iter().filter_map(Value::as_str).map(Item::named).collect();
    }
    if let Some(statement) = text("text") {
        return vec![Item {
            ingredients: Some(statement),
            ..Item::named(text("title").unwrap_or_else(|| "product".to_owned()))
        }];
    }
    ["name", "ingredient", "title"].iter().find_map(|key| text(key)).map(Item::named).into_iter().collect()
}

/// The column of a table that holds food names, by its header.
fn table(checker: &Checker, path: &Path) -> Result<Tally, Box<dyn Error>> {
    let mut tally = Tally::default();
    let content = fs::read_to_string(path)?;
    let mut lines = content.lines();
    let header: Vec<&str> = lines.next().unwrap_or_default().split('\t').collect();
    let Some(column) =
        ["description", "name", "lemma"].iter().find_map(|wanted| header.iter().position(|h| h == wanted))
    else {
        return Ok(tally);
    };
    for name in lines.filter_map(|l| l.split('\t').nth(column)).filter(|n| !n.is_empty()) {
        measure(checker, &Item::named(name.replace('_', " ")), &Value::Null, &mut tally);
    }
    Ok(tally)
}

fn measure(checker: &Checker, item: &Item, row: &Value, tally: &mut Tally) {
    tally.texts += 1;
    let Ok(contents) = checker.read(item) else {
        tally.too_long += 1;
        return;
    };
    let texts = [item.name.as_str(), item.ingredients.as_deref().unwrap_or_default()];
    tally.words += texts
        .iter()
        .flat_map(|t| t.split(|c: char| !c.is_alphanumeric()))
        .filter(|w| w.chars().any(char::is_alphabetic))
        .count();
    // A maker's name is known as such; what is in the food stays unknown all the same.
    let unread: Vec<_> = contents.unread().filter(|(_, unread)| !unread.trade_name).collect();
    for (_, unread) in &unread {
        tally.unread_words += 1;
        *tally.most_unread.entry(unread.text.to_lowercase()).or_default() += 1;
    }
    tally.fully_read += usize::from(unread.is_empty());
    labels(checker, &contents, row, tally);
}

/// Declared families against what was found. Families that a row calls suspect are left out, and coconut always.
fn labels(checker: &Checker, contents: &salver::Contents, row: &Value, tally: &mut Tally) {
    let list = |key: &str| -> BTreeSet<String> {
        row[key]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .map(folded)
            .filter(|f| f != "coconut")
            .collect()
    };
    let declared: BTreeSet<String> = list("contains").into_iter().chain(list("main")).chain(list("at_least")).collect();
    let ontology = checker.ontology();
    let (mut sure, mut any) = (BTreeSet::new(), BTreeSet::new());
    for family in ontology.reported() {
        let presence = ontology.find(family).map_or(Presence::Unknown, |id| contents.presence(ontology, id));
        if presence == Presence::Contains {
            sure.insert(folded(family));
        }
        if presence != Presence::Free {
            any.insert(folded(family));
        }
    }
    tally.declared += declared.len();
    tally.found += declared.intersection(&any).count();
    tally.sure += declared.intersection(&sure).count();
    if row["complete"] == true {
        let suspect = list("suspect");
        let known = ["milk", "egg", "fish", "crustacean", "tree-nut", "peanut", "gluten-cereals", "soy"];
        let alarms = sure.iter().filter(|f| known.contains(&f.as_str()));
        tally.false_contains += alarms.filter(|f| !declared.contains(*f) && !suspect.contains(*f)).count();
    }
}

/// Named nuts count as tree nuts, gluten cereals as one family.
fn folded(family: &str) -> String {
    if NUTS.contains(&family) {
        "tree-nut".to_owned()
    } else if GLUTEN_CEREALS.contains(&family) {
        "gluten-cereals".to_owned()
    } else {
        family.to_owned()
    }
}

fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 { 1.0 } else { part as f64 / whole as f64 }
}

fn print(path: &Path, tally: &Tally) {
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
    println!(
        "{name}: {} texts, {} too long for the bound of {} bytes",
        tally.texts,
        tally.too_long,
        limits::INGREDIENTS_BYTES
    );
    println!(
        "  words understood {:.4}, texts fully read {:.4}",
        1.0 - share(tally.unread_words, tally.words),
        share(tally.fully_read, tally.texts)
    );
    if tally.declared > 0 {
        println!(
            "  declared families {}: recall {:.4}, of that sure {:.4}; false contains among the eight {}",
            tally.declared,
            share(tally.found, tally.declared),
            share(tally.sure, tally.found),
            tally.false_contains
        );
    }
    let mut most: Vec<_> = tally.most_unread.iter().collect();
    most.sort_by_key(|(word, count)| (std::cmp::Reverse(**count), (*word).clone()));
    let words: Vec<String> = most.iter().take(12).map(|(word, count)| format!("{word} {count}")).collect();
    println!("  most often unread: {}", words.join(", "));
}
