//! From what files say to an [`Ontology`]: overlay, validate, build. All problems are reported at once.

use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

use sha2::{Digest, Sha256};

use super::graph::{self, Entry};
use super::model::{ConceptId, Ontology};
use super::overlay::{self, Overlay};
use super::schema::{AllergenFile, CardFile, ClaimFile, IddsiFile, Manifest, RawDiet, TraitFile, WordFile};
use super::validate;
use crate::error::{OntologyError, OntologyProblem};
use crate::read::Unicode;

/// The shape of the files that this version of the library reads.
pub(crate) const FORMAT: u32 = 1;

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
    pub(crate) manifest: Option<Manifest>,
    /// Of the files; a packed ontology carries it along.
    pub(crate) digest: String,
    /// Of the library, or brought along by a packed ontology.
    pub(crate) unicode: Unicode,
}

/// Lays an overlay over what `parse` gives; it is asked twice.
///
/// # Errors
/// The same, and whatever the overlay would loosen without an override.
pub(crate) fn with_overlay(
    parse: impl Fn() -> Result<(Parsed, Vec<OntologyProblem>), OntologyError>,
    text: &str,
) -> Result<Ontology, OntologyError> {
    let mut problems = Vec::new();
    let Some(overlay) = overlay::parse(text, &mut problems) else { return Err(OntologyError::new(problems)) };
    let build = |overlay: &Overlay| {
        let (parsed, problems) = parse()?;
        build(parsed, problems, Some(overlay))
    };
    let mut after = build(&overlay)?;
    let before = build(&overlay.only_overrides())?;
    overlay.loosened(&before, &after, &mut problems);
    after.overridden = overlay.reasons(&after);
    after.overlay = Some(format!("{} {}", overlay.name, overlay.version));
    after.digest = sha256(&[&after.digest, overlay::FILE, &without_layout(text)]);
    if problems.is_empty() { Ok(after) } else { Err(OntologyError::new(problems)) }
}

/// Lays an overlay over it, checks and builds. `problems` are those of parsing.
pub(crate) fn build(
    mut parsed: Parsed,
    mut problems: Vec<OntologyProblem>,
    overlay: Option<&Overlay>,
) -> Result<Ontology, OntologyError> {
    if let Some(overlay) = overlay {
        overlay.apply(&mut parsed, &mut problems);
    }
    validate::raw(&parsed, &by_id(&parsed), &mut problems);
    let Some(ontology) = parsed.ontology() else {
        let remedy = "see ontology/README.md for the list";
        problems.push(problem("manifest.json", "files", "a required file is missing or unreadable", remedy));
        return Err(OntologyError::new(problems));
    };
    validate::names(&ontology, &mut problems);
    if problems.is_empty() { Ok(ontology) } else { Err(OntologyError::new(problems)) }
}

fn by_id(parsed: &Parsed) -> HashMap<String, ConceptId> {
    (0..).zip(&parsed.entries).map(|(n, e)| (e.raw.id.clone(), ConceptId(n))).collect()
}

impl Parsed {
    /// What is parsed as an ontology, unchecked; `None` when a part is missing.
    pub(crate) fn ontology(self) -> Option<Ontology> {
        let by_id = by_id(&self);
        let manifest = self.manifest?;
        Some(Ontology {
            version: manifest.version,
            digest: self.digest,
            overlay: None,
            overridden: BTreeMap::new(),
            concepts: graph::build(&self.entries, &by_id),
            by_id,
            sources: self.sources,
            traits: self.traits?.traits.into_iter().map(|t| (t.id, t.means)).collect(),
            claims: self.claims?,
            words: self.words?,
            allergens: self.allergens?,
            iddsi: self.iddsi?,
            card: self.card?,
            diets: self.diets.into_iter().map(|(_, diet)| diet).collect(),
            unicode: self.unicode,
            lexicon: OnceLock::new(),
        })
    }
}

/// SHA-256 over texts, each with its end marked.
pub(crate) fn sha256(texts: &[&str]) -> String {
    let mut hash = Sha256::new();
    for text in texts {
        hash.update(text.as_bytes());
        hash.update([0]);
    }
    let hex: String = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    format!("sha256:{hex}")
}

/// JSON text without the white space between its parts.
fn without_layout(json: &str) -> String {
    let (mut in_string, mut escaped) = (false, false);
    let kept = |c: &char| {
        let ends = *c == '"' && !escaped;
        escaped = in_string && *c == '\\' && !escaped;
        in_string ^= ends;
        in_string || !c.is_ascii_whitespace()
    };
    json.chars().filter(kept).collect()
}
