//! One mention followed through the graph: everything that it brings along, how surely, and what claims leave of it.

use std::borrow::Cow;
use std::cmp::Reverse;
use std::collections::{BTreeMap, VecDeque};

use super::presence::{MayReason, Presence};
use crate::ontology::{ConceptId, Ingredient, Kind, Ontology, Strength};
use crate::read::{Claim, Denied, Field, Mention};

/// How a concept was reached from a mention.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Edge {
    Mention,
    KindOf,
    MadeWith(Strength, ConceptId),
    MayHide,
}

/// The weakest edge on the way to a concept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Certainty {
    Possible,
    Ordinary,
    Always,
    Definition,
}

/// One concept reached from one mention.
#[derive(Debug, Clone, Copy)]
pub(super) struct Visit {
    pub(super) concept: ConceptId,
    pub(super) presence: Presence,
    pub(super) edge: Edge,
    /// The visit before, in the same mention; itself for the first.
    pub(super) from: usize,
    /// The concept was stated by itself, not only as the class of something stated.
    pub(super) stated: bool,
    /// There is a recipe edge on the way here.
    pub(super) by_recipe: bool,
    /// The first concept on the way that is by definition free of something.
    pub(super) free_of: Option<ConceptId>,
    /// How surely the way holds: the weakest edge of it, and the fewer edges the better.
    pub(super) certainty: (Certainty, Reverse<u8>),
    /// The claim that softened the way, by its place in the item's claims.
    pub(super) softened: Option<usize>,
}

/// Everything reached from one mention.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    pub(super) field: Field,
    pub(super) mention: Mention,
    pub(super) visits: Vec<Visit>,
}

impl Walk {
    /// Follows a mention. `bare`: only what it is by definition counts, because a label says what is in it.
    /// What claims take away is noted in `freed`.
    pub(super) fn new(
        ontology: &Ontology,
        field: Field,
        mention: Mention,
        bare: bool,
        caps: &[Cap],
        freed: &mut BTreeMap<ConceptId, usize>,
    ) -> Self {
        let start = Visit {
            concept: mention.concept,
            presence: start_presence(&mention),
            edge: Edge::Mention,
            from: 0,
            stated: !bare && !mention.listed,
            by_recipe: false,
            free_of: None,
            certainty: (Certainty::Definition, Reverse(0)),
            softened: None,
        };
        let is_preparation = ontology.concept(mention.concept).kind == Kind::Preparation;
        let mut walker = Walker {
            ontology,
            caps,
            freed,
            visits: Vec::new(),
            seen: BTreeMap::new(),
            statement: field == Field::Ingredients,
            explained: mention.explained,
            queue: VecDeque::new(),
            later: VecDeque::new(),
        };
        walker.offer(start);
        while let Some(at) = walker.next() {
            let Some(visit) = walker.visits.get(at).copied() else {
                continue;
            };
            walker.kinds(at, visit);
            if visit.stated {
                walker.ingredients(at, visit);
            }
        }
        let mut visits = walker.visits;
        if is_preparation {
            // A way of cooking is no food; only what it brings in counts.
            if let Some(first) = visits.first_mut() {
                first.presence = Presence::Free;
                first.stated = false;
            }
        }
        Self { field, mention, visits }
    }
}

fn start_presence(mention: &Mention) -> Presence {
    if mention.precaution {
        Presence::May(MayReason::Precaution)
    } else if mention.guessed {
        Presence::May(MayReason::Spelling)
    } else if mention.restated {
        Presence::May(MayReason::RecipesDiffer)
    } else if mention.optional {
        Presence::May(MayReason::Choice)
    } else if mention.alluded {
        Presence::May(MayReason::Alluded)
    } else {
        Presence::Contains
    }
}

/// A claim as it bears on one mention.
pub(super) struct Cap {
    index: usize,
    left_out: bool,
    /// It also reaches what the food is by definition.
    pub(super) definition: bool,
    frees: Vec<ConceptId>,
    /// Only the concept itself is freed, not the kinds of it: gluten-free wheat starch is still wheat.
    exact: bool,
    softens: Vec<ConceptId>,
}

/// What a claim leaves of a concept.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Left {
    All,
    Softened,
    Nothing,
}

impl Cap {
    pub(super) fn new(ontology: &Ontology, index: usize, claim: &Claim, definition: bool) -> Self {
        let find = |ids: &[String]| ids.iter().filter_map(|id| ontology.find(id)).collect::<Vec<_>>();
        match claim.denied {
            Denied::Concept { concept, left_out } => {
                let softens = ontology.claims.softens_with.get(ontology.concept(concept).id());
                let softens = softens.map(|ids| find(ids)).unwrap_or_default();
                let exact = softens.iter().any(|s| ontology.is_a(*s, concept));
                Self { index, left_out, definition, frees: vec![concept], exact, softens }
            }
            Denied::Named(n) => {
                let named = ontology.claims.named.get(n);
                let frees = named.map(|c| find(&c.frees)).unwrap_or_default();
                let softens = named.map(|c| find(&c.softens)).unwrap_or_default();
                Self { index, left_out: true, definition, frees, exact: false, softens }
            }
        }
    }

    fn leaves(&self, ontology: &Ontology, concept: ConceptId) -> Left {
        let freed = self.frees.iter().any(|f| *f == concept || (!self.exact && ontology.is_a(concept, *f)));
        if freed {
            Left::Nothing
        } else if self.softens.iter().any(|s| ontology.is_a(concept, *s)) {
            Left::Softened
        } else {
            Left::All
        }
    }
}

/// Breadth-first over one mention's graph: everything sure first, then what is only possible.
struct Walker<'a> {
    ontology: &'a Ontology,
    caps: &'a [Cap],
    freed: &'a mut BTreeMap<ConceptId, usize>,
    visits: Vec<Visit>,
    /// For each concept: visited as a class, visited as stated.
    seen: BTreeMap<ConceptId, (bool, bool)>,
    /// The mention stands in an ingredient statement.
    statement: bool,
    /// A source in brackets says what the mention is made from.
    explained: bool,
    queue: VecDeque<Visit>,
    later: VecDeque<Visit>,
}

impl<'a> Walker<'a> {
    /// Takes the next visit off the queue and records it; gives its place.
    fn next(&mut self) -> Option<usize> {
        loop {
            let visit = self.queue.pop_front().or_else(|| self.later.pop_front())?;
            let seen = self.seen.entry(visit.concept).or_default();
            if seen.1 || (!visit.stated && seen.0) {
                continue;
            }
            if visit.stated {
                seen.1 = true;
            } else {
                seen.0 = true;
            }
            self.visits.push(visit);
            return Some(self.visits.len() - 1);
        }
    }

    /// Queues a visit after the claims have had their say.
    fn offer(&mut self, mut visit: Visit) {
        let ontology = self.ontology;
        if visit.free_of.is_some_and(|by| ontology.concept(by).free_of.contains(&visit.concept)) {
            return;
        }
        if visit.free_of.is_none() && visit.stated_or_start() && !ontology.concept(visit.concept).free_of.is_empty() {
            visit.free_of = Some(visit.concept);
        }
        for cap in self.caps.iter().filter(|c| c.definition || visit.by_recipe) {
            match cap.leaves(ontology, visit.concept) {
                Left::All => {}
                // What the text names by itself stays: gluten-free oats are oats.
                Left::Softened => {
                    let named = cap.exact && !visit.by_recipe;
                    if !named && visit.presence != Presence::Free {
                        visit.softened = Some(cap.index);
                        if visit.presence == Presence::Contains {
                            visit.presence = Presence::May(MayReason::Claim);
                        }
                    }
                }
                Left::Nothing => {
                    self.freed.entry(visit.concept).or_insert(cap.index);
                    if visit.edge == Edge::Mention {
                        visit.presence = Presence::Free;
                        self.soften_classes(cap, visit, 0);
                        continue;
                    }
                    // Kept, so that a chain to a class of it has a way to go.
                    self.visits.push(Visit { presence: Presence::Free, stated: false, ..visit });
                    self.soften_classes(cap, visit, self.visits.len() - 1);
                    return;
                }
            }
        }
        if visit.presence == Presence::Contains || visit.presence == Presence::Free {
            self.queue.push_back(visit);
        } else {
            self.later.push_back(visit);
        }
    }

    /// "wheat-free" says nothing of rye: what a denied food is a kind of stays possible,
    /// always where `claims.json` says so, and for every class when the food is a substitute ("X-free").
    fn soften_classes(&mut self, cap: &Cap, visit: Visit, from: usize) {
        let ontology = self.ontology;
        for denied in &cap.frees {
            for class in &ontology.concept(*denied).ancestors {
                let substitute = !cap.left_out && ontology.concept(*class).kind != Kind::Group;
                if substitute || cap.softens.contains(class) {
                    let presence = Presence::May(MayReason::Claim);
                    let softened = Some(cap.index);
                    self.later.push_back(Visit {
                        concept: *class,
                        presence,
                        edge: Edge::KindOf,
                        from,
                        stated: false,
                        softened,
                        ..visit
                    });
                }
            }
        }
    }

    fn kinds(&mut self, at: usize, visit: Visit) {
        let ontology = self.ontology;
        for parent in ontology.concept(visit.concept).kinds_of() {
            let onward = visit.passed_on(Certainty::Definition);
            self.offer(Visit { concept: *parent, edge: Edge::KindOf, from: at, stated: false, ..onward });
        }
    }

    /// The recipe, as it holds for a word of an ingredient statement where the mention is one:
    /// there some words mean another thing ("chocolate", "caramel"), and labels must name what others ordinarily bring.
    fn edges(&self, visit: Visit) -> Cow<'a, [Ingredient]> {
        let concept = self.ontology.concept(visit.concept);
        let (recipe, stated) = (concept.recipe(), concept.in_statements());
        if !self.statement || visit.edge != Edge::Mention || stated.is_empty() {
            return Cow::Borrowed(recipe);
        }
        let restated = |edge: &Ingredient| stated.iter().any(|s| s.to == edge.to);
        let in_recipe = |edge: &Ingredient| recipe.iter().any(|r| r.to == edge.to);
        let kept = recipe.iter().filter(|edge| !restated(edge));
        // A source in brackets says more than the word does.
        Cow::Owned(kept.chain(stated.iter().filter(|edge| !self.explained || in_recipe(edge))).copied().collect())
    }

    fn ingredients(&mut self, at: usize, visit: Visit) {
        let ontology = self.ontology;
        let concept = ontology.concept(visit.concept);
        for ingredient in self.edges(visit).iter() {
            let mut onward = visit.passed_on(match ingredient.strength {
                Strength::Always => Certainty::Always,
                Strength::Often => Certainty::Ordinary,
                Strength::Sometimes => Certainty::Possible,
            });
            if ingredient.strength == Strength::Sometimes && onward.presence == Presence::Contains {
                onward.presence = Presence::May(MayReason::RecipesDiffer);
            }
            let edge = Edge::MadeWith(ingredient.strength, ingredient.stated_by);
            let named = concept.kind == Kind::Preparation && ingredient.strength == Strength::Always;
            let by_recipe = visit.by_recipe || !named;
            self.offer(Visit { concept: ingredient.to, edge, from: at, stated: true, by_recipe, ..onward });
        }
        // Only the bare word of a text hides something; a recipe says what it means, and so does a source in brackets.
        let bare_word = visit.edge == Edge::Mention && !self.explained;
        for hidden in concept.may_hide().iter().filter(|_| bare_word) {
            let mut onward = visit.passed_on(Certainty::Possible);
            if onward.presence == Presence::Contains {
                onward.presence = Presence::May(MayReason::RecipesDiffer);
            }
            self.offer(Visit {
                concept: *hidden,
                edge: Edge::MayHide,
                from: at,
                stated: true,
                by_recipe: true,
                ..onward
            });
        }
    }
}

impl Visit {
    fn stated_or_start(&self) -> bool {
        self.stated || self.edge == Edge::Mention
    }

    /// What a visit hands to the next one: a substitute's other ingredients are there all the same.
    fn passed_on(self, edge: Certainty) -> Self {
        let presence = if self.presence == Presence::Free { Presence::Contains } else { self.presence };
        let (weakest, Reverse(length)) = self.certainty;
        let certainty = (weakest.min(edge), Reverse(length.saturating_add(1)));
        Self { presence, certainty, ..self }
    }
}
