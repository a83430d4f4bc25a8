//! Inheritance along `kinds_of`: ancestors, recipes, forms and traits, computed once when an ontology is loaded.

use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};

use super::model::{Concept, ConceptId, Form, Ingredient, Strength};
use super::schema::{RawConcept, RawForm, RawRecipe};

/// One concept as written, with the file it stands in.
pub(crate) struct Entry {
    pub(crate) file: String,
    pub(crate) raw: RawConcept,
}

/// Turns validated entries into concepts. Ids that do not exist are skipped; `validate` has refused them before.
pub(crate) fn build(entries: &[Entry], by_id: &HashMap<String, ConceptId>) -> Vec<Concept> {
    let graph = Graph { entries, by_id };
    let order = graph.parents_first();
    let mut recipes: BTreeMap<ConceptId, Vec<Ingredient>> = BTreeMap::new();
    let ancestors: BTreeMap<ConceptId, Vec<ConceptId>> = order.iter().map(|id| (*id, graph.ancestors(*id))).collect();
    for id in &order {
        let recipe = graph.recipe(*id, &recipes, &ancestors);
        recipes.insert(*id, recipe);
    }
    (0..).zip(entries).map(|(n, entry)| graph.concept(ConceptId(n), entry, &mut recipes, &ancestors)).collect()
}

struct Graph<'a> {
    entries: &'a [Entry],
    by_id: &'a HashMap<String, ConceptId>,
}

impl Graph<'_> {
    fn entry(&self, id: ConceptId) -> Option<&RawConcept> {
        self.entries.get(id.0 as usize).map(|e| &e.raw)
    }

    fn ids<'b>(&'b self, names: &'b [String]) -> impl Iterator<Item = ConceptId> + 'b {
        names.iter().filter_map(|n| self.by_id.get(n).copied())
    }

    fn parents(&self, id: ConceptId) -> Vec<ConceptId> {
        self.entry(id).map(|e| self.ids(&e.kinds_of).collect()).unwrap_or_default()
    }

    fn ancestors(&self, id: ConceptId) -> Vec<ConceptId> {
        let mut seen = BTreeSet::new();
        let mut queue: VecDeque<_> = self.parents(id).into();
        while let Some(at) = queue.pop_front() {
            if at != id && seen.insert(at) {
                queue.extend(self.parents(at));
            }
        }
        seen.into_iter().collect()
    }

    /// Every concept after all that it is a kind of.
    fn parents_first(&self) -> Vec<ConceptId> {
        let mut done = BTreeSet::new();
        let mut order = Vec::new();
        for (n, _) in (0..).zip(self.entries) {
            let mut stack = vec![(ConceptId(n), false)];
            while let Some((id, ready)) = stack.pop() {
                if ready {
                    order.push(id);
                } else if done.insert(id) {
                    stack.push((id, true));
                    stack.extend(self.parents(id).into_iter().map(|p| (p, false)));
                }
            }
        }
        order
    }

    /// The edges that an entry states itself.
    fn edges(&self, id: ConceptId, made: &RawRecipe) -> Vec<Ingredient> {
        [(&made.always, Strength::Always), (&made.often, Strength::Often), (&made.sometimes, Strength::Sometimes)]
            .into_iter()
            .flat_map(|(names, strength)| self.ids(names).map(move |to| Ingredient { to, strength, stated_by: id }))
            .collect()
    }

    /// Own edges, then inherited ones that no own edge replaces; the strongest where two parents differ.
    fn recipe(
        &self,
        id: ConceptId,
        recipes: &BTreeMap<ConceptId, Vec<Ingredient>>,
        ancestors: &BTreeMap<ConceptId, Vec<ConceptId>>,
    ) -> Vec<Ingredient> {
        let Some(entry) = self.entry(id) else {
            return Vec::new();
        };
        let made = &entry.made_with;
        let mut own = self.edges(id, made);
        // An own edge replaces the same inherited edge; only `never` also reaches the kinds of its target:
        // "sometimes vegetable" must not take away an inherited "often celery".
        let own_targets: BTreeSet<ConceptId> = own.iter().map(|i| i.to).collect();
        let never: BTreeSet<ConceptId> = self.ids(&made.never).collect();
        let is_replaced = |to: ConceptId| {
            own_targets.contains(&to)
                || never.contains(&to)
                || ancestors.get(&to).is_some_and(|up| up.iter().any(|a| never.contains(a)))
        };
        let mut inherited: BTreeMap<ConceptId, Ingredient> = BTreeMap::new();
        for parent in self.parents(id) {
            for edge in recipes.get(&parent).into_iter().flatten() {
                if is_replaced(edge.to) {
                    continue;
                }
                let best = inherited.entry(edge.to).or_insert(*edge);
                if edge.strength > best.strength {
                    *best = *edge;
                }
            }
        }
        own.extend(inherited.into_values());
        own
    }

    /// Inherited too: a roll that is gluten-free bread is free of gluten.
    fn free_of(&self, raw: &RawConcept, ancestors: &[ConceptId]) -> Vec<ConceptId> {
        let above = ancestors.iter().filter_map(|up| self.entry(*up)).flat_map(|e| &e.free_of);
        let all: BTreeSet<ConceptId> =
            raw.free_of.iter().chain(above).filter_map(|id| self.by_id.get(id).copied()).collect();
        all.into_iter().collect()
    }

    /// The nearest stated form; at equal distance the most demanding one.
    fn form(&self, id: ConceptId) -> Option<(Form, ConceptId)> {
        let mut level = vec![id];
        let mut seen = BTreeSet::from([id]);
        while !level.is_empty() {
            let stated = level.iter().filter_map(|at| {
                let form = self.entry(*at)?.form.as_ref()?;
                Some((form_of(form), *at))
            });
            if let Some(best) = stated.max_by(|a, b| a.0.food.cmp(&b.0.food).then(b.1.cmp(&a.1))) {
                return Some(best);
            }
            level = level.iter().flat_map(|at| self.parents(*at)).filter(|p| seen.insert(*p)).collect();
        }
        None
    }

    fn concept(
        &self,
        id: ConceptId,
        entry: &Entry,
        recipes: &mut BTreeMap<ConceptId, Vec<Ingredient>>,
        ancestors: &BTreeMap<ConceptId, Vec<ConceptId>>,
    ) -> Concept {
        let raw = &entry.raw;
        let ancestors = ancestors.get(&id).cloned().unwrap_or_default();
        let mut traits: BTreeSet<String> = raw.traits.iter().cloned().collect();
        for up in &ancestors {
            traits.extend(self.entry(*up).into_iter().flat_map(|e| e.traits.iter().cloned()));
        }
        Concept {
            id: raw.id.clone(),
            file: entry.file.clone(),
            kind: raw.kind,
            names: raw.names.clone(),
            names_in: raw.names_in.clone(),
            parents: self.parents(id),
            free_of: self.free_of(raw, &ancestors),
            ancestors,
            recipe: recipes.remove(&id).unwrap_or_default(),
            in_statements: self.edges(id, &raw.in_statements),
            may_hide: self.ids(&raw.may_hide).collect(),
            form: self.form(id),
            effect: raw.effect.clone(),
            traits: traits.into_iter().collect(),
            source: raw.source.clone(),
            note: raw.note.clone(),
            matches: raw.matches.clone(),
            rejects: raw.rejects.clone(),
        }
    }
}

fn form_of(raw: &RawForm) -> Form {
    let mut risks = raw.risks.clone();
    risks.sort();
    risks.dedup();
    Form { food: raw.food, drink: raw.drink, risks }
}
