//! From files to an [`Ontology`]: parse, validate, build. All problems are reported at once.

use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

use serde::de::DeserializeOwned;
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::graph::{self, Entry};
use super::model::{ConceptId, Ontology};
use super::overlay::{self, Overlay};
use super::schema::{
    AllergenFile, CardFile, ClaimFile, ConceptFile, IddsiFile, Manifest, RawDiet, TraitFile, WordFile,
};
use super::validate;
use crate::error::{OntologyError, OntologyProblem};

/// The shape of the files that this version of the library reads.
pub(crate) const FORMAT: u32 = 1;

/// One file of an ontology: its path below the ontology folder, and its text.
#[derive(Debug, Clone, Copy)]
pub struct OntologyFile<'a> {
    /// For example `foods/groups.json`.
    pub path: &'a str,
    /// The whole content.
    pub text: &'a str,
}

pub(crate) fn problem(file: &str, entry: &str, what: impl Into<String>, remedy: impl Into<String>) -> OntologyProblem {
    OntologyProblem { file: file.to_owned(), entry: entry.to_owned(), what: what.into(), remedy: remedy.into() }
}

/// Everything parsed, nothing checked.
#[derive(Default)]
pub(crate) struct Parsed {
    pub(crate) entries: Vec<Entry>,
    pub(crate) sources: BTreeMap<String, String>,
    pub(crate) traits: Option<TraitFile>,
    pub(crate) claims: Option<ClaimFile>,
    pub(crate) words: Option<WordFile>,
    pub(crate) allergens: Option<AllergenFile>,
    pub(crate) iddsi: Option<IddsiFile>,
    pub(crate) card: Option<CardFile>,
    pub(crate) diets: Vec<(String, RawDiet)>,
    manifest: Option<Manifest>,
}

/// Loads an ontology from its files.
///
/// # Errors
/// Every problem found in any file: not JSON, an unknown field, a dangling or duplicate id, a cycle,
/// a name claimed twice, a missing source, an unreachable concept.
pub(crate) fn load(files: &[OntologyFile<'_>]) -> Result<Ontology, OntologyError> {
    build(files, None)
}

/// Loads an ontology with an overlay over it.
///
/// # Errors
/// The same, and whatever the overlay would loosen without an override.
pub(crate) fn load_with_overlay(files: &[OntologyFile<'_>], text: &str) -> Result<Ontology, OntologyError> {
    let mut problems = Vec::new();
    let Some(overlay) = overlay::parse(text, &mut problems) else { return Err(OntologyError::new(problems)) };
    let mut after = build(files, Some(&overlay))?;
    let before = build(files, Some(&overlay.only_overrides()))?;
    overlay.loosened(&before, &after, &mut problems);
    after.overridden = overlay.reasons(&after);
    after.overlay = Some(format!("{} {}", overlay.name, overlay.version));
    after.digest = digest(files, Some(text));
    if problems.is_empty() { Ok(after) } else { Err(OntologyError::new(problems)) }
}

fn build(files: &[OntologyFile<'_>], overlay: Option<&Overlay>) -> Result<Ontology, OntologyError> {
    let mut problems = Vec::new();
    let mut parsed = Parsed::default();
    for file in files {
        parse_file(file, &mut parsed, &mut problems);
    }
    check_manifest(files, &parsed, &mut problems);
    if let Some(overlay) = overlay {
        overlay.apply(&mut parsed, &mut problems);
    }
    let by_id: HashMap<String, ConceptId> =
        (0..).zip(&parsed.entries).map(|(n, e)| (e.raw.id.clone(), ConceptId(n))).collect();
    validate::raw(&parsed, &by_id, &mut problems);
    let complete =
        (parsed.manifest, parsed.traits, parsed.claims, parsed.words, parsed.allergens, parsed.iddsi, parsed.card);
    let (Some(manifest), Some(traits), Some(claims), Some(words), Some(allergens), Some(iddsi), Some(card)) = complete
    else {
        let remedy = "see ontology/README.md for the list";
        problems.push(problem("manifest.json", "files", "a required file is missing or unreadable", remedy));
        return Err(OntologyError::new(problems));
    };
    let ontology = Ontology {
        version: manifest.version,
        digest: digest(files, None),
        overlay: None,
        overridden: BTreeMap::new(),
        concepts: graph::build(&parsed.entries, &by_id),
        by_id,
        sources: parsed.sources,
        traits: traits.traits.into_iter().map(|t| (t.id, t.means)).collect(),
        claims,
        words,
        allergens,
        iddsi,
        card,
        diets: parsed.diets.into_iter().map(|(_, diet)| diet).collect(),
        lexicon: OnceLock::new(),
    };
    validate::names(&ontology, &mut problems);
    if problems.is_empty() { Ok(ontology) } else { Err(OntologyError::new(problems)) }
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
fn digest(files: &[OntologyFile<'_>], overlay: Option<&str>) -> String {
    let overlay = overlay.map(|text| OntologyFile { path: overlay::FILE, text });
    let mut sorted: Vec<&OntologyFile<'_>> = files.iter().chain(&overlay).collect();
    sorted.sort_by_key(|f| f.path);
    let mut hash = Sha256::new();
    for file in sorted {
        hash.update(file.path.as_bytes());
        hash.update([0]);
        match serde_json::from_str::<Value>(file.text) {
            Ok(value) => {
                let mut canonical = String::new();
                write_canonical(&value, &mut canonical);
                hash.update(canonical.as_bytes());
            }
            Err(_) => hash.update(file.text.as_bytes()),
        }
        hash.update([0]);
    }
    let hex: String = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    format!("sha256:{hex}")
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
