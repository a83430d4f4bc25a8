//! From the files of an ontology to what they say.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;
use serde_json::Value;

use super::graph::Entry;
use super::load::{FORMAT, Parsed, problem, sha256};
use super::schema::ConceptFile;
use crate::error::OntologyProblem;

/// One file of an ontology: its path below the ontology folder, and its text.
#[derive(Debug, Clone, Copy)]
pub struct OntologyFile<'a> {
    /// For example `foods/groups.json`.
    pub path: &'a str,
    /// The whole content.
    pub text: &'a str,
}

/// Parses files, and says what is wrong with them.
pub(crate) fn parse_files(files: &[OntologyFile<'_>]) -> (Parsed, Vec<OntologyProblem>) {
    let mut problems = Vec::new();
    let mut parsed = Parsed { digest: digest(files), ..Parsed::default() };
    for file in files {
        parse_file(file, &mut parsed, &mut problems);
    }
    check_manifest(files, &parsed, &mut problems);
    (parsed, problems)
}

fn parse<T: DeserializeOwned>(file: &OntologyFile<'_>, problems: &mut Vec<OntologyProblem>) -> Option<T> {
    match serde_json::from_str(file.text) {
        Ok(value) => Some(value),
        Err(error) => {
            let place = format!("line {}", error.line());
            problems.push(problem(
                file.path,
                &place,
                error.to_string(),
                "correct the file; the fields are listed in ontology/README.md",
            ));
            None
        }
    }
}

fn parse_file(file: &OntologyFile<'_>, parsed: &mut Parsed, problems: &mut Vec<OntologyProblem>) {
    match file.path {
        "manifest.json" => parsed.manifest = parse(file, problems),
        "traits.json" => parsed.traits = parse(file, problems),
        "claims.json" => parsed.claims = parse(file, problems),
        "words.json" => parsed.words = parse(file, problems),
        "allergens.json" => parsed.allergens = parse(file, problems),
        "iddsi.json" => parsed.iddsi = parse(file, problems),
        "card.json" => parsed.card = parse(file, problems),
        "SOURCES.md" => parsed.sources = source_keys(file.text),
        path if path.starts_with("diets/") => {
            if let Some(diet) = parse(file, problems) {
                parsed.diets.push((path.to_owned(), diet));
            }
        }
        path if path.starts_with("foods/") || path == "preparations.json" => {
            if let Some(concepts) = parse::<ConceptFile>(file, problems) {
                let entries = concepts.concepts.into_iter().map(|raw| Entry { file: path.to_owned(), raw });
                parsed.entries.extend(entries);
            }
        }
        path => {
            problems.push(problem(path, "-", "no such kind of file", "put concepts into `foods/`, diets into `diets/`"))
        }
    }
}

fn check_manifest(files: &[OntologyFile<'_>], parsed: &Parsed, problems: &mut Vec<OntologyProblem>) {
    let Some(manifest) = &parsed.manifest else {
        return;
    };
    if manifest.format != FORMAT {
        let what = format!("format {} is not the format {FORMAT} that this library reads", manifest.format);
        problems.push(problem("manifest.json", "format", what, "use a matching version of the library"));
    }
    for listed in &manifest.files {
        if !files.iter().any(|f| f.path == listed) {
            problems.push(problem(
                "manifest.json",
                listed,
                "is listed and was not given",
                "add the file or take it off the list",
            ));
        }
    }
    for file in files.iter().filter(|f| f.path != "manifest.json") {
        if !manifest.files.iter().any(|listed| listed == file.path) {
            problems.push(problem("manifest.json", file.path, "was given and is not listed", "list it under `files`"));
        }
    }
}

/// The keys of the bibliography: rows of the table in `SOURCES.md` that begin with a key in backticks.
fn source_keys(markdown: &str) -> BTreeMap<String, String> {
    let row = |line: &str| {
        let (key, rest) = line.strip_prefix("| `")?.split_once("` | ")?;
        Some((key.to_owned(), rest.trim_end_matches(['|', ' ']).to_owned()))
    };
    markdown.lines().filter_map(row).collect()
}

/// SHA-256 over every file's path and canonical content (JSON without layout, keys sorted).
fn digest(files: &[OntologyFile<'_>]) -> String {
    let mut sorted: Vec<&OntologyFile<'_>> = files.iter().collect();
    sorted.sort_by_key(|f| f.path);
    let mut texts = Vec::new();
    for file in &sorted {
        let mut canonical = String::new();
        match serde_json::from_str::<Value>(file.text) {
            Ok(value) => write_canonical(&value, &mut canonical),
            Err(_) => canonical.push_str(file.text),
        }
        texts.extend([file.path.to_owned(), canonical]);
    }
    sha256(&texts.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Sorts keys itself: whether `serde_json` keeps their order depends on features of other crates in the build.
fn write_canonical(value: &Value, out: &mut String) {
    match value {
        Value::Object(map) => {
            let sorted: BTreeMap<_, _> = map.iter().collect();
            out.push('{');
            for (n, (key, inner)) in sorted.into_iter().enumerate() {
                out.push_str(if n == 0 { "" } else { "," });
                out.push_str(&Value::String(key.clone()).to_string());
                out.push(':');
                write_canonical(inner, out);
            }
            out.push('}');
        }
        Value::Array(list) => {
            out.push('[');
            for (n, inner) in list.iter().enumerate() {
                out.push_str(if n == 0 { "" } else { "," });
                write_canonical(inner, out);
            }
            out.push(']');
        }
        leaf => out.push_str(&leaf.to_string()),
    }
}
