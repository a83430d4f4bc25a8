//! The ontology as the rest of the library sees it: one graph, indexed.

use std::collections::{BTreeMap, HashMap, VecDeque};
use std::fmt;
use std::sync::OnceLock;

use serde::Serialize;

use super::schema::{AllergenFile, CardFile, ClaimFile, IddsiFile, Kind, RawDiet, RawEffect, WordFile};
use crate::level::{DrinkLevel, FoodLevel};
use crate::read::{Lexicon, Unicode};

/// A concept of one ontology. Only meaningful with the ontology that made it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConceptId(pub(crate) u32);

/// How surely a food has an ingredient when no label says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Strength {
    /// Recipes differ.
    Sometimes,
    /// The ordinary recipe has it.
    Often,
    /// By definition or standard of identity.
    Always,
}

/// One ingredient edge, as it holds for a concept after inheritance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ingredient {
    /// What goes in.
    pub to: ConceptId,
    /// How surely.
    pub strength: Strength,
    /// The concept whose entry says so: the concept itself or one it is a kind of.
    pub stated_by: ConceptId,
}

/// How a food is ordinarily served.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Form {
    /// IDDSI level that the solid part needs.
    pub food: Option<FoodLevel>,
    /// IDDSI level of what is, becomes or gives off liquid.
    pub drink: Option<DrinkLevel>,
    /// What it does in the mouth: ids in `iddsi.json`, sorted.
    pub risks: Vec<String>,
}

/// One concept, with everything it inherits.
#[derive(Debug, Clone)]
pub struct Concept {
    pub(crate) id: String,
    pub(crate) file: String,
    pub(crate) kind: Kind,
    pub(crate) names: Vec<String>,
    pub(crate) names_in: BTreeMap<String, Vec<String>>,
    pub(crate) parents: Vec<ConceptId>,
    /// Strict ancestors along `kinds_of`, sorted.
    pub(crate) ancestors: Vec<ConceptId>,
    pub(crate) recipe: Vec<Ingredient>,
    pub(crate) in_statements: Vec<Ingredient>,
    pub(crate) may_hide: Vec<ConceptId>,
    pub(crate) free_of: Vec<ConceptId>,
    pub(crate) form: Option<(Form, ConceptId)>,
    pub(crate) effect: Option<RawEffect>,
    /// Traits with inheritance, sorted.
    pub(crate) traits: Vec<String>,
    pub(crate) source: Vec<String>,
    pub(crate) note: Option<String>,
    pub(crate) matches: Vec<String>,
    pub(crate) rejects: Vec<String>,
}

impl Concept {
    /// The stable id.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The file of the ontology folder that holds the entry.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// What it is used as.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// What texts call it, in English.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// What texts call it in other languages, by language code.
    #[must_use]
    pub fn names_in(&self) -> &BTreeMap<String, Vec<String>> {
        &self.names_in
    }

    /// What it directly is.
    #[must_use]
    pub fn kinds_of(&self) -> &[ConceptId] {
        &self.parents
    }

    /// Everything above it along `kinds_of`, without itself.
    #[must_use]
    pub fn ancestors(&self) -> &[ConceptId] {
        &self.ancestors
    }

    /// What goes into it, after inheritance.
    #[must_use]
    pub fn recipe(&self) -> &[Ingredient] {
        &self.recipe
    }

    /// The edges that hold instead of the same ones of the recipe where an ingredient statement names it;
    /// kinds of it do not inherit them.
    #[must_use]
    pub fn in_statements(&self) -> &[Ingredient] {
        &self.in_statements
    }

    /// What the bare word may hide.
    #[must_use]
    pub fn may_hide(&self) -> &[ConceptId] {
        &self.may_hide
    }

    /// What neither it nor anything in it brings along, by definition or law.
    #[must_use]
    pub fn free_of(&self) -> &[ConceptId] {
        &self.free_of
    }

    /// How it is ordinarily served, and the concept whose entry says so.
    #[must_use]
    pub fn form(&self) -> Option<(&Form, ConceptId)> {
        self.form.as_ref().map(|(form, by)| (form, *by))
    }

    /// The diet traits it has, inherited ones included.
    #[must_use]
    pub fn traits(&self) -> &[String] {
        &self.traits
    }

    /// Source keys of its own entry.
    #[must_use]
    pub fn source(&self) -> &[String] {
        &self.source
    }

    /// The remark of the entry.
    #[must_use]
    pub fn note(&self) -> Option<&str> {
        self.note.as_deref()
    }

    /// Texts that must be read as this concept.
    #[must_use]
    pub fn matches(&self) -> &[String] {
        &self.matches
    }

    /// Texts that must not be read as this concept.
    #[must_use]
    pub fn rejects(&self) -> &[String] {
        &self.rejects
    }
}

/// Everything `salver` knows about food, in one version.
pub struct Ontology {
    pub(crate) version: String,
    pub(crate) digest: String,
    /// Name and version of the overlay, if there is one.
    pub(crate) overlay: Option<String>,
    /// Concepts that the overlay makes looser, with its reasons.
    pub(crate) overridden: BTreeMap<ConceptId, String>,
    pub(crate) concepts: Vec<Concept>,
    pub(crate) by_id: HashMap<String, ConceptId>,
    pub(crate) sources: BTreeMap<String, String>,
    pub(crate) traits: BTreeMap<String, String>,
    pub(crate) claims: ClaimFile,
    pub(crate) words: WordFile,
    pub(crate) allergens: AllergenFile,
    pub(crate) iddsi: IddsiFile,
    pub(crate) card: CardFile,
    pub(crate) diets: Vec<RawDiet>,
    pub(crate) unicode: Unicode,
    /// Built once: loading checks it for names claimed twice, and a checker reads with it.
    pub(crate) lexicon: OnceLock<Lexicon>,
}

impl fmt::Debug for Ontology {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Ontology")
            .field("version", &self.version)
            .field("digest", &self.digest)
            .field("overlay", &self.overlay)
            .field("concepts", &self.concepts.len())
            .finish_non_exhaustive()
    }
}

impl Ontology {
    /// The ontology's own semantic version.
    #[must_use]
    pub fn version(&self) -> &str {
        &self.version
    }

    /// `sha256:` and the hash of the canonical content.
    #[must_use]
    pub fn digest(&self) -> &str {
        &self.digest
    }

    /// Name and version of the overlay that lies over it.
    #[must_use]
    pub fn overlay(&self) -> Option<&str> {
        self.overlay.as_deref()
    }

    /// How many concepts there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.concepts.len()
    }

    /// Whether there is no concept at all; never true of a loaded ontology.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.concepts.is_empty()
    }

    /// Every concept, in file order.
    pub fn ids(&self) -> impl Iterator<Item = ConceptId> + '_ {
        (0..u32::try_from(self.concepts.len()).unwrap_or(u32::MAX)).map(ConceptId)
    }

    pub(crate) fn lexicon(&self) -> &Lexicon {
        self.lexicon.get_or_init(|| Lexicon::new(self))
    }

    /// The concept with this id, if there is one.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<ConceptId> {
        self.by_id.get(id).copied()
    }

    /// The concept behind an id of this ontology.
    ///
    /// # Panics
    /// When the id was made by a larger ontology.
    #[must_use]
    #[expect(clippy::indexing_slicing, reason = "INVARIANT: ids are made by `find` and `ids` of the same ontology")]
    pub fn concept(&self, id: ConceptId) -> &Concept {
        &self.concepts[id.0 as usize]
    }

    /// The document behind a source key.
    #[must_use]
    pub fn source(&self, key: &str) -> Option<&str> {
        self.sources.get(key).map(String::as_str)
    }

    /// What a diet trait means.
    #[must_use]
    pub fn trait_meaning(&self, id: &str) -> Option<&str> {
        self.traits.get(id).map(String::as_str)
    }

    /// The allergen families and named members that `read` reports, in order.
    #[must_use]
    pub fn reported(&self) -> &[String] {
        &self.allergens.reported
    }

    /// The attribution that the IDDSI licence asks for.
    #[must_use]
    pub fn iddsi_attribution(&self) -> &str {
        &self.iddsi.attribution
    }

    /// The levels that a SNOMED CT code stands for: on the food axis, and on the drink axis.
    ///
    /// Level 3 has one code for both axes, so both are given: which axis is meant must be asked. A code that is not
    /// listed gives neither.
    #[must_use]
    pub fn levels_of_code(&self, code: &str) -> (Option<FoodLevel>, Option<DrinkLevel>) {
        let has = |codes: &[String]| codes.iter().any(|c| c == code);
        let food = self.iddsi.food_levels.iter().find(|l| has(&l.snomed)).map(|l| l.level);
        let drink = self.iddsi.drink_levels.iter().find(|l| has(&l.snomed)).map(|l| l.level);
        (food, drink)
    }

    /// The allergen lists that name a concept or something it is a kind of, in words:
    /// jurisdiction, version, and whether it is mandatory, recommended or declared from a threshold on.
    #[must_use]
    pub fn listed_by(&self, id: ConceptId) -> Vec<String> {
        let names_it = |listed: &String| self.find(listed).is_some_and(|l| self.is_a(id, l));
        let mut said = Vec::new();
        for list in &self.allergens.lists {
            let exempt: Vec<&str> = list.exempt.iter().map(|e| e.what.as_str()).collect();
            let exempt = if exempt.is_empty() { String::new() } else { format!("; exempt: {}", exempt.join(", ")) };
            let mut say = |how: &str| said.push(format!("{} ({}): {how}{exempt}", list.jurisdiction, list.version));
            if list.mandatory.iter().any(names_it) {
                say("mandatory");
            } else if list.recommended.iter().any(names_it) {
                say("recommended");
            } else if let Some((_, from)) = list.threshold.iter().find(|(listed, _)| names_it(listed)) {
                say(&format!("declared at {from}"));
            }
        }
        said
    }

    /// Whether `one` is `other` or a kind of it.
    #[must_use]
    pub fn is_a(&self, one: ConceptId, other: ConceptId) -> bool {
        one == other || self.concept(one).ancestors.binary_search(&other).is_ok()
    }

    /// The concepts from `one` up to `ancestor` along `kinds_of`, both included; empty when there is no way.
    #[must_use]
    pub fn kind_path(&self, one: ConceptId, ancestor: ConceptId) -> Vec<ConceptId> {
        let mut came_from: BTreeMap<ConceptId, ConceptId> = BTreeMap::new();
        let mut queue = VecDeque::from([one]);
        while let Some(at) = queue.pop_front() {
            if at == ancestor {
                let mut path = vec![at];
                let mut here = at;
                while let Some(before) = came_from.get(&here) {
                    path.push(*before);
                    here = *before;
                }
                path.reverse();
                return path;
            }
            for parent in &self.concept(at).parents {
                if *parent != one && !came_from.contains_key(parent) {
                    came_from.insert(*parent, at);
                    queue.push_back(*parent);
                }
            }
        }
        Vec::new()
    }

    /// Whether the concept's own entry has a trait, not only something it is a kind of.
    pub(crate) fn states_trait(&self, id: ConceptId, name: &str) -> bool {
        let has = |c: ConceptId| self.concept(c).traits.iter().any(|t| t == name);
        has(id) && !self.concept(id).parents.iter().any(|p| has(*p))
    }

    /// Whether a food is also sold as a substitute under its own name ("dairy-free cheese"), so that a claim may replace it.
    pub(crate) fn has_substitute(&self, id: ConceptId) -> bool {
        let claims = &self.claims;
        let found = |listed: &String| self.find(listed);
        claims.substitutes.iter().filter_map(found).any(|s| self.is_a(id, s))
            || claims.substitute_words.iter().filter_map(found).any(|s| id == s)
    }

    /// The ids of concepts, for the exchange format.
    pub(crate) fn ids_of(&self, concepts: &[ConceptId]) -> Vec<String> {
        concepts.iter().map(|id| self.concept(*id).id.clone()).collect()
    }

    /// The plainest name of a concept, for sentences.
    #[must_use]
    pub fn title(&self, id: ConceptId) -> &str {
        let concept = self.concept(id);
        concept.names.first().map_or(concept.id.as_str(), String::as_str)
    }

    pub(crate) fn food_level_name(&self, level: FoodLevel) -> String {
        let name = self.iddsi.food_levels.iter().find(|l| l.level == level).map_or("", |l| l.name.as_str());
        format!("level {} {name}", level.number())
    }

    pub(crate) fn drink_level_name(&self, level: DrinkLevel) -> String {
        let name = self.iddsi.drink_levels.iter().find(|l| l.level == level).map_or("", |l| l.name.as_str());
        format!("level {} {name}", level.number())
    }
}
