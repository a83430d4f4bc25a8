//! Counts over the ontology, and places that a keeper may want to look at.

use std::collections::BTreeMap;

use serde::Serialize;

use super::model::{Ontology, Strength};
use super::schema::Kind;

/// Source keys that say openly that there is no document.
const NO_DOCUMENT: [&str; 3] = ["COMMON", "MEMORY", "IDDSI-EST"];
/// Names of so few letters are often another word too.
const SHORT_NAME: usize = 3;
/// Source key of what nobody checked.
const UNCHECKED: &str = "MEMORY";

/// What the ontology holds, in numbers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Census {
    /// Concepts by kind.
    pub concepts: BTreeMap<String, usize>,
    /// Names by language; `en` for English.
    pub names: BTreeMap<String, usize>,
    /// `kinds_of` edges.
    pub kinds_of: usize,
    /// `made_with` edges as entries state them, by strength.
    pub made_with: BTreeMap<String, usize>,
    /// Concepts whose entry names at least one document.
    pub with_document: usize,
    /// Served foods that state a form of their own; the others inherit one.
    pub own_form: usize,
    /// Served foods.
    pub served: usize,
    /// Examples: texts that must be read so.
    pub matches: usize,
    /// Examples: texts that must not.
    pub rejects: usize,
    /// Places to look at: concept and remark.
    pub remarks: Vec<(String, String)>,
}

impl Ontology {
    /// Counts concepts, names, edges and sources, and lists what is suspiciously generic or rests on memory.
    #[must_use]
    pub fn census(&self) -> Census {
        let mut census = Census {
            concepts: BTreeMap::new(),
            names: BTreeMap::new(),
            kinds_of: 0,
            made_with: BTreeMap::new(),
            with_document: 0,
            own_form: 0,
            served: 0,
            matches: 0,
            rejects: 0,
            remarks: Vec::new(),
        };
        for id in self.ids() {
            let concept = self.concept(id);
            let kind = format!("{:?}", concept.kind).to_lowercase();
            *census.concepts.entry(kind).or_default() += 1;
            *census.names.entry("en".to_owned()).or_default() += concept.names.len();
            for (language, names) in &concept.names_in {
                *census.names.entry(language.clone()).or_default() += names.len();
            }
            census.kinds_of += concept.parents.len();
            for edge in concept.recipe.iter().filter(|edge| edge.stated_by == id) {
                let strength = match edge.strength {
                    Strength::Always => "always",
                    Strength::Often => "often",
                    Strength::Sometimes => "sometimes",
                };
                *census.made_with.entry(strength.to_owned()).or_default() += 1;
            }
            census.with_document += usize::from(concept.source.iter().any(|s| !NO_DOCUMENT.contains(&s.as_str())));
            if concept.kind == Kind::Food {
                census.served += 1;
                census.own_form += usize::from(concept.form.as_ref().is_some_and(|(_, by)| *by == id));
            }
            census.matches += concept.matches.len();
            census.rejects += concept.rejects.len();
            let mut remark = |what: String| census.remarks.push((concept.id.clone(), what));
            if concept.source.iter().all(|s| s == UNCHECKED) {
                remark("rests on memory alone".to_owned());
            }
            for name in concept.names.iter().filter(|n| n.chars().count() <= SHORT_NAME) {
                remark(format!("the name `{name}` is short: is it another word too?"));
            }
            if concept.kind != Kind::Group
                && concept.recipe.is_empty()
                && concept.parents.is_empty()
                && concept.effect.is_none()
            {
                remark("is nothing and is made with nothing".to_owned());
            }
        }
        census
    }
}
