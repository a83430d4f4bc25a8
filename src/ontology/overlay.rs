//! A facility's own file over the base: house foods, local names, stricter edges; and, each with a reason, overrides.
//!
//! An overlay may add and may tighten. Whatever it makes looser (a new name that hides what the base reads in the same
//! words, an edge taken away) must stand under `overrides`, and every verdict that used it repeats the reason.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use super::graph::Entry;
use super::load::{Parsed, problem};
use super::model::{ConceptId, Ontology};
use super::schema::{RawConcept, RawDietRule, RawForm, RawRecipe};
use crate::contents::{Contents, MayReason, Presence};
use crate::error::OntologyProblem;
use crate::limits;
use crate::tray::Item;

/// The name under which problems of an overlay are reported.
pub(crate) const FILE: &str = "overlay";

/// An overlay file, format 1.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Overlay {
    format: u32,
    /// Whose file it is; shown with every verdict.
    pub(crate) name: String,
    pub(crate) version: String,
    /// Source keys of the facility: its recipe book, its diet manual.
    #[serde(default)]
    sources: BTreeMap<String, String>,
    /// House foods and brand items.
    #[serde(default)]
    concepts: Vec<RawConcept>,
    /// Local names and stricter edges for foods of the base.
    #[serde(default)]
    additions: BTreeMap<String, Addition>,
    /// Stricter rules for diets of the base.
    #[serde(default)]
    diet_rules: BTreeMap<String, Vec<RawDietRule>>,
    /// What this kitchen finishes plainly cooked food with; the base takes plain food as having nothing added.
    #[serde(default)]
    plain_food_is_finished_with: Vec<String>,
    /// Whose exemptions of derived ingredients this kitchen goes by; the base goes by none.
    #[serde(default)]
    jurisdiction: Option<Jurisdiction>,
    /// Everything that loosens, each with its reason.
    #[serde(default)]
    overrides: Vec<Override>,
}

/// A list of `allergens.json` whose exemptions hold here; it loosens, so it has a reason.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Jurisdiction {
    list: String,
    reason: String,
}

/// What is added to a food of the base.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Addition {
    names: Vec<String>,
    kinds_of: Vec<String>,
    made_with: RawRecipe,
    may_hide: Vec<String>,
    traits: Vec<String>,
}

/// One loosening, with its reason.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Override {
    /// The food of the base whose recipe or form is restated here.
    #[serde(default)]
    concept: Option<String>,
    #[serde(default)]
    made_with: Option<RawRecipe>,
    #[serde(default)]
    form: Option<RawForm>,
    #[serde(default)]
    free_of: Vec<String>,
    /// A name that this overlay gives to a food of its own although the base reads more in it.
    #[serde(default)]
    name: Option<String>,
    /// Why; repeated by every verdict that used it.
    reason: String,
}

/// Parses an overlay.
pub(crate) fn parse(text: &str, problems: &mut Vec<OntologyProblem>) -> Option<Overlay> {
    if text.len() > limits::OVERLAY_BYTES {
        let what = format!("{} bytes are over the bound of {}", text.len(), limits::OVERLAY_BYTES);
        problems.push(problem(FILE, "-", what, "split the overlay or shorten it"));
        return None;
    }
    let overlay: Overlay = match serde_json::from_str(text) {
        Ok(overlay) => overlay,
        Err(error) => {
            let place = format!("line {}", error.line());
            problems.push(problem(
                FILE,
                &place,
                error.to_string(),
                "correct the file; its fields are listed in ontology/README.md",
            ));
            return None;
        }
    };
    if overlay.format != super::load::FORMAT {
        problems.push(problem(FILE, "format", format!("format {} is not known", overlay.format), "write format 1"));
    }
    if overlay.concepts.len() > limits::OVERLAY_CONCEPTS {
        let what = format!("{} concepts are over the bound of {}", overlay.concepts.len(), limits::OVERLAY_CONCEPTS);
        problems.push(problem(FILE, "concepts", what, "split the overlay"));
        return None;
    }
    Some(overlay)
}

impl Overlay {
    /// The same overlay with nothing but its overrides: what its other parts are held against.
    pub(crate) fn only_overrides(&self) -> Self {
        Self {
            concepts: Vec::new(),
            additions: BTreeMap::new(),
            diet_rules: BTreeMap::new(),
            plain_food_is_finished_with: Vec::new(),
            overrides: self.overrides.iter().filter(|o| o.concept.is_some()).cloned().collect(),
            ..self.clone()
        }
    }

    /// Lays the overlay over parsed files.
    pub(crate) fn apply(&self, parsed: &mut Parsed, problems: &mut Vec<OntologyProblem>) {
        parsed.sources.extend(self.sources.clone());
        self.dangling(parsed, problems);
        self.exempt(parsed, problems);
        for change in &self.overrides {
            self.apply_override(change, parsed, problems);
        }
        for (id, addition) in &self.additions {
            match parsed.entries.iter_mut().find(|e| e.raw.id == *id) {
                Some(entry) => add(&mut entry.raw, addition, problems),
                None => problems.push(problem(
                    FILE,
                    id,
                    "dangling id in `additions`",
                    "correct it, or put the food under `concepts`",
                )),
            }
        }
        for entry in parsed.entries.iter_mut().filter(|e| e.raw.effect.as_ref().is_some_and(|f| f.plain)) {
            entry.raw.made_with.sometimes.extend(self.plain_food_is_finished_with.iter().cloned());
        }
        for (id, rules) in &self.diet_rules {
            match parsed.diets.iter_mut().find(|(_, diet)| diet.id == *id) {
                Some((_, diet)) if diet.judged => diet.rules.extend(rules.iter().cloned()),
                Some(_) => problems.push(problem(
                    FILE,
                    id,
                    "rules for a diet that the base only asks about would loosen it",
                    "not possible in this version",
                )),
                None => problems.push(problem(FILE, id, "no such diet", "correct the diet's id")),
            }
        }
        parsed.entries.extend(self.concepts.iter().map(|raw| Entry { file: FILE.to_owned(), raw: raw.clone() }));
    }

    /// References of additions and overrides; a base file is not to blame for them.
    fn dangling(&self, parsed: &Parsed, problems: &mut Vec<OntologyProblem>) {
        let own = self.concepts.iter().map(|c| c.id.as_str());
        let known: BTreeSet<&str> = parsed.entries.iter().map(|e| e.raw.id.as_str()).chain(own).collect();
        let mut check = |entry: &str, ids: &mut dyn Iterator<Item = &String>| {
            for id in ids.filter(|id| !known.contains(id.as_str())) {
                problems.push(problem(
                    FILE,
                    entry,
                    format!("dangling id `{id}`"),
                    "add that concept or correct the id",
                ));
            }
        };
        fn targets(made: &RawRecipe) -> impl Iterator<Item = &String> {
            made.always.iter().chain(&made.often).chain(&made.sometimes).chain(&made.never)
        }
        for (id, addition) in &self.additions {
            check(id, &mut targets(&addition.made_with).chain(&addition.kinds_of).chain(&addition.may_hide));
        }
        for change in &self.overrides {
            let entry = change.concept.as_deref().unwrap_or("overrides");
            check(entry, &mut change.made_with.iter().flat_map(targets).chain(&change.free_of));
        }
        check("plain_food_is_finished_with", &mut self.plain_food_is_finished_with.iter());
    }

    /// What the chosen jurisdiction exempts counts as free of what it is derived from.
    fn exempt(&self, parsed: &mut Parsed, problems: &mut Vec<OntologyProblem>) {
        let Some(chosen) = &self.jurisdiction else {
            return;
        };
        if chosen.reason.trim().is_empty() {
            let remedy = "say why; every verdict that uses an exemption repeats it";
            problems.push(problem(FILE, "jurisdiction", "a jurisdiction without a reason", remedy));
        }
        let lists = parsed.allergens.iter().flat_map(|f| &f.lists);
        let Some(list) = lists.clone().find(|list| list.id == chosen.list) else {
            let known: Vec<&str> = lists.map(|list| list.id.as_str()).collect();
            let what = format!("no such list `{}`", chosen.list);
            problems.push(problem(FILE, "jurisdiction", what, format!("choose one of {}", known.join(", "))));
            return;
        };
        for exemption in &list.exempt {
            for entry in parsed.entries.iter_mut().filter(|e| exemption.foods.contains(&e.raw.id)) {
                entry.raw.free_of.extend(exemption.free_of.iter().cloned());
            }
        }
    }

    fn apply_override(&self, change: &Override, parsed: &mut Parsed, problems: &mut Vec<OntologyProblem>) {
        let entry = change.concept.clone().or_else(|| change.name.clone()).unwrap_or_default();
        if change.reason.trim().is_empty() {
            problems.push(problem(
                FILE,
                &entry,
                "an override without a reason",
                "say why; every verdict that uses it repeats it",
            ));
        }
        match (&change.concept, &change.name) {
            (Some(id), None) => match parsed.entries.iter_mut().find(|e| e.raw.id == *id) {
                Some(found) => restate(&mut found.raw, change),
                None => problems.push(problem(FILE, id, "dangling id in `overrides`", "correct it")),
            },
            (None, Some(name)) => {
                // The name passes to the overlay's food.
                for base in parsed.entries.iter_mut() {
                    base.raw.names.retain(|n| n != name);
                }
            }
            _ => problems.push(problem(
                FILE,
                &entry,
                "an override names a `concept` or a `name`, one of the two",
                "state one",
            )),
        }
    }

    /// The concepts that an override touches, with its reason.
    pub(crate) fn reasons(&self, ontology: &Ontology) -> BTreeMap<ConceptId, String> {
        let mut reasons = BTreeMap::new();
        if let Some(chosen) = &self.jurisdiction {
            for list in ontology.allergens.lists.iter().filter(|list| list.id == chosen.list) {
                for exemption in &list.exempt {
                    let why = format!("{} exempts {}; {}", list.jurisdiction, exemption.what, chosen.reason);
                    let foods = exemption.foods.iter().filter_map(|id| ontology.find(id));
                    reasons.extend(foods.map(|id| (id, why.clone())));
                }
            }
        }
        for change in &self.overrides {
            let owner = change.concept.as_ref().or_else(|| {
                let name = change.name.as_ref()?;
                self.concepts.iter().find(|c| c.names.contains(name)).map(|c| &c.id)
            });
            if let Some(id) = owner.and_then(|id| ontology.find(id)) {
                reasons.insert(id, change.reason.clone());
            }
        }
        reasons
    }

    /// Names that read less than the base does in the same words, and are not overridden.
    pub(crate) fn loosened(&self, before: &Ontology, after: &Ontology, problems: &mut Vec<OntologyProblem>) {
        let allowed: BTreeSet<&String> = self.overrides.iter().filter_map(|o| o.name.as_ref()).collect();
        let own = self.concepts.iter().map(|c| (&c.id, &c.names));
        let added = self.additions.iter().map(|(id, a)| (id, &a.names));
        for (id, names) in own.chain(added) {
            for name in names.iter().filter(|n| !allowed.contains(n)) {
                if let Some(what) = loosened(before, after, name) {
                    let remedy = "state it in the entry, or put the name under `overrides` with a reason";
                    problems.push(problem(
                        FILE,
                        id,
                        format!("the name `{name}` would hide {what}, which the base reads in it"),
                        remedy,
                    ));
                }
            }
        }
    }
}

/// Adds what only tightens; an edge never becomes weaker.
fn add(raw: &mut RawConcept, addition: &Addition, problems: &mut Vec<OntologyProblem>) {
    if !addition.made_with.never.is_empty() {
        problems.push(problem(FILE, &raw.id, "`never` loosens", "put it under `overrides` with a reason"));
    }
    raw.names.extend(addition.names.iter().cloned());
    raw.kinds_of.extend(addition.kinds_of.iter().cloned());
    raw.may_hide.extend(addition.may_hide.iter().cloned());
    raw.traits.extend(addition.traits.iter().cloned());
    let made = &mut raw.made_with;
    for target in &addition.made_with.always {
        made.often.retain(|t| t != target);
        made.sometimes.retain(|t| t != target);
        made.always.push(target.clone());
    }
    for target in &addition.made_with.often {
        made.sometimes.retain(|t| t != target);
        if !made.always.contains(target) {
            made.often.push(target.clone());
        }
    }
    for target in &addition.made_with.sometimes {
        if !made.always.contains(target) && !made.often.contains(target) {
            made.sometimes.push(target.clone());
        }
    }
}

/// States anew what an override restates.
fn restate(raw: &mut RawConcept, change: &Override) {
    if let Some(recipe) = &change.made_with {
        let stated: Vec<&String> =
            recipe.always.iter().chain(&recipe.often).chain(&recipe.sometimes).chain(&recipe.never).collect();
        let made = &mut raw.made_with;
        for list in [&mut made.always, &mut made.often, &mut made.sometimes, &mut made.never] {
            list.retain(|t| !stated.contains(&t));
        }
        made.always.extend(recipe.always.iter().cloned());
        made.often.extend(recipe.often.iter().cloned());
        made.sometimes.extend(recipe.sometimes.iter().cloned());
        made.never.extend(recipe.never.iter().cloned());
    }
    if let Some(form) = &change.form {
        raw.form = Some(form.clone());
    }
    raw.free_of.extend(change.free_of.iter().cloned());
}

/// What a name loses between two ontologies. What the base did not understand may become known;
/// what it did read in the words may not go away.
fn loosened(before: &Ontology, after: &Ontology, name: &str) -> Option<String> {
    let item = Item::named(name);
    let old = Contents::of(before, before.lexicon(), &item);
    let new = Contents::of(after, after.lexicon(), &item);
    // The families first: they are what a reader of the message looks for.
    let families = before.reported().iter().filter_map(|id| before.find(id));
    let lost = families.chain(before.ids()).find(|id| {
        let was = old.presence(before, *id);
        // A house name may say which kind of a general food is meant.
        let read = matches!(was, Presence::Contains | Presence::May(_)) && was != Presence::May(MayReason::TooGeneral);
        let now = after.find(before.concept(*id).id()).map(|id| new.presence(after, id));
        read && now.is_none_or(|now| now.rank() < was.rank())
    });
    if let Some(id) = lost {
        return Some(before.concept(id).id().to_owned());
    }
    if old.has_unread() || old.names_no_food() {
        return None;
    }
    let (was, now) = (old.form(), new.form());
    let softer = now.food() < was.food() || was.risks().iter().any(|r| !now.risks().contains(r));
    let other_liquid = was.drink().is_some() && now.drink() != was.drink();
    (softer || other_liquid).then(|| "its texture or liquid level".to_owned())
}
