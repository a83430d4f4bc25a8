//! The ontology files: complete, consistent, and read as their own examples say.

#![allow(clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use salver::{Checker, Item, Ontology, OntologyError, OntologyFile};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("ontology")
}

#[test]
fn the_built_in_files_are_the_folder() {
    let mut on_disk = BTreeSet::new();
    for sub in ["", "foods", "diets"] {
        for entry in fs::read_dir(folder().join(sub)).expect("the folder is there") {
            let path = entry.expect("readable").path();
            if path.extension().is_some_and(|e| e == "json") {
                let relative = path.strip_prefix(folder()).expect("inside").to_string_lossy().replace('\\', "/");
                on_disk.insert(relative);
            }
        }
    }
    on_disk.insert("SOURCES.md".to_owned());
    let built_in: BTreeSet<String> = Ontology::built_in_files().iter().map(|f| f.path.to_owned()).collect();
    assert_eq!(built_in, on_disk, "src/ontology/baked.rs and ontology/manifest.json list the files");
}

#[test]
fn every_example_is_read_as_its_entry_says() {
    let checker = Checker::built_in().expect("the built-in ontology loads");
    let ontology = checker.ontology();
    let mut wrong = Vec::new();
    let mut examples = 0;
    for id in ontology.ids() {
        let concept = ontology.concept(id);
        for text in concept.matches() {
            examples += 1;
            if !checker.read(&Item::named(text)).expect("short").named().contains(&id) {
                wrong.push(format!("{}: `{text}` is not read as it", concept.id()));
            }
        }
        for text in concept.rejects() {
            examples += 1;
            if checker.read(&Item::named(text)).expect("short").named().contains(&id) {
                wrong.push(format!("{}: `{text}` is read as it", concept.id()));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {examples} examples are wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert!(examples > 1000, "the examples are run, not only counted: {examples}");
}

#[test]
fn every_name_is_read_as_its_concept() {
    let checker = Checker::built_in().expect("the built-in ontology loads");
    let ontology = checker.ontology();
    let mut wrong = Vec::new();
    for id in ontology.ids() {
        let concept = ontology.concept(id);
        for name in concept.names().iter().chain(concept.names_in().values().flatten()) {
            let contents = checker.read(&Item::named(name)).expect("short");
            if contents.named() != [id] || contents.has_unread() {
                let read: Vec<&str> = contents.named().iter().map(|c| ontology.concept(*c).id()).collect();
                wrong.push(format!("{}: its name `{name}` is read as {read:?}", ontology.concept(id).id()));
            }
        }
    }
    assert!(wrong.is_empty(), "{} names are not read as their concept:\n{}", wrong.len(), wrong.join("\n"));
}

/// The built-in ontology with one file changed.
fn with_change(path: &str, change: impl Fn(&str) -> String) -> Result<Ontology, OntologyError> {
    let texts: Vec<(&str, String)> = Ontology::built_in_files()
        .iter()
        .map(|f| (f.path, if f.path == path { change(f.text) } else { f.text.to_owned() }))
        .collect();
    let files: Vec<OntologyFile<'_>> = texts.iter().map(|(path, text)| OntologyFile { path, text }).collect();
    Ontology::from_files(&files)
}

fn with_concepts(added: &str) -> Result<Ontology, OntologyError> {
    let end = "\n]}";
    with_change("foods/groups.json", |text| {
        let at = text.rfind(end).expect("a concept file ends so");
        format!("{},\n{added}{end}", &text[..at])
    })
}

fn problems(outcome: Result<Ontology, OntologyError>) -> Vec<String> {
    outcome.expect_err("must be refused").problems().iter().map(ToString::to_string).collect()
}

#[test]
fn every_kind_of_fault_is_named_with_file_entry_and_remedy() {
    let base = r#""source": ["COMMON"]"#;
    let cases = [
        (
            format!(
                r#"{{"id": "zzz", "names": ["zzz"], "made_with": {{"always": ["not-there"]}}, "form": {{"food": 7}}, {base}}}"#
            ),
            "dangling id `not-there`",
        ),
        (format!(r#"{{"id": "milk", "names": ["zzz"], "form": {{"food": 7}}, {base}}}"#), "duplicate id"),
        (
            format!(
                r#"{{"id": "zzz", "names": ["zzz"], "kinds_of": ["yyy"], "form": {{"food": 7}}, {base}}}, {{"id": "yyy", "names": ["yyy"], "kinds_of": ["zzz"], {base}}}"#
            ),
            "kind of itself",
        ),
        (format!(r#"{{"id": "zzz", "names": ["wheat"], "form": {{"food": 7}}, {base}}}"#), "is claimed by"),
        (r#"{"id": "zzz", "names": ["zzz"], "form": {"food": 7}}"#.to_owned(), "no source"),
        (
            r#"{"id": "zzz", "names": ["zzz"], "form": {"food": 7}, "source": ["NOT-A-KEY"]}"#.to_owned(),
            "unknown source",
        ),
        (format!(r#"{{"id": "zzz", "names": [], "form": {{"food": 7}}, {base}}}"#), "unreachable"),
        (format!(r#"{{"id": "zzz", "names": ["zzz"], {base}}}"#), "without a form"),
        (
            format!(r#"{{"id": "zzz", "names": ["zzz"], "form": {{"food": 7, "risks": ["lumpy"]}}, {base}}}"#),
            "unknown risk",
        ),
        (
            format!(r#"{{"id": "zzz", "names": ["zzz"], "form": {{"food": 7}}, "traits": ["nice"], {base}}}"#),
            "unknown trait",
        ),
        (format!(r#"{{"id": "Zzz", "names": ["zzz"], "form": {{"food": 7}}, {base}}}"#), "kebab-case"),
        (format!(r#"{{"id": "zzz", "names": ["zzz"], "form": {{}}, {base}}}"#), "without food and drink"),
        (format!(r#"{{"id": "zzz", "names": ["zzz"], "form": {{"food": 9}}, {base}}}"#), "a food level is"),
        (format!(r#"{{"id": "zzz", "names": ["zzz"], "frm": {{"food": 7}}, {base}}}"#), "unknown field `frm`"),
    ];
    for (added, wanted) in cases {
        let said = problems(with_concepts(&added));
        let hit = said.iter().find(|p| p.contains(wanted));
        let hit = hit.unwrap_or_else(|| panic!("{added}\nshould give `{wanted}`, gave {said:#?}"));
        assert!(hit.starts_with("foods/groups.json: "), "the file comes first: {hit}");
        assert!(hit.contains("; "), "the remedy comes last: {hit}");
    }
}

#[test]
fn all_problems_are_reported_at_once() {
    let added = r#"{"id": "zzz", "names": ["zzz"], "kinds_of": ["gone-a"], "traits": ["gone-b"]}"#;
    let said = problems(with_concepts(added));
    for wanted in ["gone-a", "gone-b", "no source", "without a form"] {
        assert!(said.iter().any(|p| p.contains(wanted)), "{wanted} missing in {said:#?}");
    }
}

#[test]
fn a_file_that_is_not_listed_or_not_json_is_refused() {
    let said = problems(with_change("manifest.json", |text| text.replace("\"traits.json\",", "")));
    assert!(said.iter().any(|p| p.contains("traits.json") && p.contains("not listed")), "{said:#?}");
    let said = problems(with_change("iddsi.json", |text| text.replacen('{', "[", 1)));
    assert!(said.iter().any(|p| p.starts_with("iddsi.json: line ")), "{said:#?}");
    let said = problems(with_change("manifest.json", |text| text.replace("\"format\": 1", "\"format\": 2")));
    assert!(said.iter().any(|p| p.contains("format 2")), "{said:#?}");
}

#[test]
fn the_digest_is_over_content_not_layout() {
    let plain = Ontology::built_in().expect("loads");
    let spaced = with_change("traits.json", |text| text.replace("{\"id\"", "{ \"id\"")).expect("loads");
    assert_eq!(plain.digest(), spaced.digest());
    let other = with_change("traits.json", |text| text.replace("holds caffeine", "has caffeine")).expect("loads");
    assert_ne!(plain.digest(), other.digest());
    assert!(plain.digest().starts_with("sha256:") && plain.digest().len() == 71, "{}", plain.digest());
}

#[test]
fn shared_between_threads() {
    fn safe<T: Send + Sync + std::panic::UnwindSafe>() {}
    safe::<Checker>();
    safe::<Ontology>();
}
