//! What one item holds: the presence of every concept, its form and its traits, each with the evidence.
//!
//! Order of authority: the item's own named ingredients, then its claims, then the ordinary recipe.

mod form;
mod presence;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

pub(crate) use form::MIXED;
pub use form::{ItemForm, PartForm};
pub use presence::{MayReason, Presence};

use crate::evidence::Step;
use crate::ontology::{ConceptId, Kind, Ontology, Strength};
use crate::read::{Claim, Denied, Field, Lexicon, Mention, Reading, Unread, claim_name, read};
use crate::tray::Item;

/// How a concept was reached from a mention.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    Mention,
    KindOf,
    MadeWith(Strength, ConceptId),
    MayHide,
}

/// The weakest edge on the way to a concept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Certainty {
    Possible,
    Ordinary,
    Always,
    Definition,
}

/// One concept reached from one mention.
#[derive(Debug, Clone, Copy)]
struct Visit {
    concept: ConceptId,
    presence: Presence,
    edge: Edge,
    /// The visit before, in the same mention; itself for the first.
    from: usize,
    /// The concept was stated by itself, not only as the class of something stated.
    stated: bool,
    /// There is a recipe edge on the way here.
    by_recipe: bool,
    /// The first concept on the way that is by definition free of something.
    free_of: Option<ConceptId>,
    /// How surely the way holds: the weakest edge of it, and the fewer edges the better.
    certainty: (Certainty, std::cmp::Reverse<u8>),
    /// The claim that softened the way, by its place in the item's claims.
    softened: Option<usize>,
}

/// Everything reached from one mention.
#[derive(Debug, Clone)]
struct Walk {
    field: Field,
    mention: Mention,
    visits: Vec<Visit>,
}

/// Where the best evidence for a concept is.
#[derive(Debug, Clone, Copy)]
struct Held {
    presence: Presence,
    certainty: (Certainty, std::cmp::Reverse<u8>),
    walk: usize,
    visit: usize,
}

/// Why a concept is free in an item.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum FreeReason {
    /// The item's ingredient list was understood and does not bring it in.
    Label,
    /// This claim takes away what the ordinary recipe would hold.
    Claim(String),
    /// All words were understood, and nothing that they name brings it in.
    Recipe(Vec<ConceptId>),
}

/// What is known of one item on the tray.
#[derive(Debug, Clone)]
pub struct Contents {
    name: Reading,
    ingredients: Option<Reading>,
    /// The item has an ingredient list that says something.
    labelled: bool,
    walks: Vec<Walk>,
    held: BTreeMap<ConceptId, Held>,
    /// Concepts stated by themselves, with the walk and visit: what is a kind of them may be meant.
    general: BTreeMap<ConceptId, (usize, usize)>,
    /// Concepts that a claim took away, with the claim.
    freed: BTreeMap<ConceptId, usize>,
    claims: Vec<(Field, Claim)>,
    form: ItemForm,
    traits: BTreeMap<String, (usize, ConceptId)>,
    plain: bool,
}

impl Contents {
    /// Reads an item and works out what it holds.
    pub(crate) fn of(ontology: &Ontology, lexicon: &Lexicon, item: &Item) -> Self {
        let name = read(lexicon, &item.name);
        let ingredients = item.ingredients.as_ref().map(|text| read(lexicon, text));
        let labelled = ingredients.as_ref().is_some_and(|r| !r.mentions.is_empty());
        let claims = name
            .claims
            .iter()
            .map(|c| (Field::Name, c.clone()))
            .chain(ingredients.iter().flat_map(|r| r.claims.iter().map(|c| (Field::Ingredients, c.clone()))))
            .collect();
        let form = form::item_form(ontology, &name);
        let mut contents = Self {
            name,
            ingredients,
            labelled,
            walks: Vec::new(),
            held: BTreeMap::new(),
            general: BTreeMap::new(),
            freed: BTreeMap::new(),
            claims,
            form,
            traits: BTreeMap::new(),
            plain: false,
        };
        contents.walk_all(ontology, lexicon, item);
        contents.merge();
        contents.note_traits(ontology);
        contents
    }

    fn readings(&self) -> impl Iterator<Item = (Field, &Reading)> {
        [(Field::Name, Some(&self.name)), (Field::Ingredients, self.ingredients.as_ref())]
            .into_iter()
            .filter_map(|(field, reading)| Some((field, reading?)))
    }

    fn walk_all(&mut self, ontology: &Ontology, lexicon: &Lexicon, item: &Item) {
        let mut walks = Vec::new();
        let mut freed = BTreeMap::new();
        for (field, reading) in self.readings() {
            for mention in &reading.mentions {
                let caps = self.caps(ontology, lexicon, item, field, mention);
                let owner = mention.within.and_then(|owner| reading.mentions.get(owner));
                let mut mention = mention.clone();
                // "soya lecithin (E322)": the more general word in the brackets adds nothing.
                mention.explained |= owner.is_some_and(|owner| ontology.is_a(owner.concept, mention.concept));
                walks.push(self.walk(ontology, field, mention, &caps, &mut freed));
            }
            for preparation in &reading.preparations {
                let mention = Mention {
                    concept: preparation.concept,
                    span: preparation.span,
                    part: preparation.part,
                    precaution: false,
                    alluded: false,
                    choice: None,
                    listed: false,
                    explained: false,
                    within: None,
                };
                // What a way of cooking brings in by definition counts as named: "dairy-free buttered toast" is buttered.
                let mut caps = self.caps(ontology, lexicon, item, field, &mention);
                caps.iter_mut().for_each(|cap| cap.definition = false);
                walks.push(self.walk(ontology, field, mention, &caps, &mut freed));
            }
        }
        self.plain = self.name.preparations.iter().any(|p| ontology.concept(p.concept).effect.as_ref().is_some_and(|e| e.plain));
        self.walks = walks;
        self.freed = freed;
    }

    /// The claims that bear on a mention. One in the same part also reaches what the food is by definition
    /// ("dairy-free cheese"); one that stands alone in the name reaches every recipe of it; another reaches nothing here.
    /// None reaches a food whose own words name what it denies: "egg-free" says nothing of the egg in "egg salad".
    fn caps(&self, ontology: &Ontology, lexicon: &Lexicon, item: &Item, field: Field, mention: &Mention) -> Vec<Cap> {
        let mut caps = Vec::new();
        let words = item.text(field).get(mention.span.0..mention.span.1).unwrap_or_default();
        for (n, (claim_field, claim)) in self.claims.iter().enumerate() {
            let same_part = *claim_field == field && claim.part == mention.part;
            let whole = claim.whole && field == Field::Name && *claim_field == Field::Name;
            let denied_words = claim.food.and_then(|food| item.text(*claim_field).get(food.0..food.1));
            let names_it = denied_words.is_some_and(|denied| lexicon.has_words(words, denied));
            if (same_part || whole) && !names_it {
                caps.push(Cap::new(ontology, n, claim, same_part));
            }
        }
        caps
    }

    fn walk(
        &self,
        ontology: &Ontology,
        field: Field,
        mention: Mention,
        caps: &[Cap],
        freed: &mut BTreeMap<ConceptId, usize>,
    ) -> Walk {
        let bare = field == Field::Name && self.labelled;
        let start = Visit {
            concept: mention.concept,
            presence: start_presence(&mention),
            edge: Edge::Mention,
            from: 0,
            stated: !bare && !mention.listed,
            by_recipe: false,
            free_of: None,
            certainty: (Certainty::Definition, std::cmp::Reverse(0)),
            softened: None,
        };
        let is_preparation = ontology.concept(mention.concept).kind == Kind::Preparation;
        let mut walker = Walker {
            ontology,
            caps,
            freed,
            visits: Vec::new(),
            seen: BTreeMap::new(),
            explained: mention.explained,
            queue: VecDeque::new(),
            later: VecDeque::new(),
        };
        walker.offer(start);
        while let Some(at) = walker.next() {
            let Some(visit) = walker.visits.get(at).copied() else { continue };
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
        Walk { field, mention, visits }
    }

    fn merge(&mut self) {
        for (w, walk) in self.walks.iter().enumerate() {
            for (v, visit) in walk.visits.iter().enumerate() {
                let mut presence = visit.presence;
                if presence == Presence::Contains && !self.in_every_choice(walk, visit.concept) {
                    presence = Presence::May(MayReason::Choice);
                }
                if presence == Presence::Free {
                    continue;
                }
                let held = Held { presence, certainty: visit.certainty, walk: w, visit: v };
                let best = self.held.entry(visit.concept).or_insert(held);
                if (presence.rank(), visit.certainty) > (best.presence.rank(), best.certainty) {
                    *best = held;
                }
                let explained = v == 0 && walk.mention.explained;
                if visit.stated && !explained {
                    self.general.entry(visit.concept).or_insert((w, v));
                }
            }
        }
    }

    /// "butter or margarine" contains what both of them contain.
    fn in_every_choice(&self, walk: &Walk, concept: ConceptId) -> bool {
        let Some(choice) = walk.mention.choice else { return true };
        self.walks.iter().filter(|w| w.field == walk.field && w.mention.choice == Some(choice)).all(|w| {
            w.visits.iter().any(|v| v.concept == concept && v.presence == Presence::Contains)
        })
    }

    fn note_traits(&mut self, ontology: &Ontology) {
        let mut traits = BTreeMap::new();
        for (w, walk) in self.walks.iter().enumerate().filter(|(_, walk)| walk.field == Field::Name) {
            for id in ontology.concept(walk.mention.concept).traits() {
                traits.entry(id.clone()).or_insert((w, walk.mention.concept));
            }
        }
        self.traits = traits;
    }

    /// What is known of a concept in this item.
    #[must_use]
    pub fn presence(&self, ontology: &Ontology, concept: ConceptId) -> Presence {
        let held = self.held.get(&concept).map(|h| h.presence);
        if held == Some(Presence::Contains) {
            return Presence::Contains;
        }
        let general = self.general_for(ontology, concept).map(|_| Presence::May(MayReason::TooGeneral));
        let unread = (self.has_unread() || self.names_no_food()).then_some(Presence::Unknown);
        [held, general, unread].into_iter().flatten().max_by_key(|p| p.rank()).unwrap_or(Presence::Free)
    }

    /// The stated concept that is more general than this one: "fish" for salmon.
    fn general_for(&self, ontology: &Ontology, concept: ConceptId) -> Option<(usize, usize)> {
        let above = &ontology.concept(concept).ancestors;
        above.iter().find_map(|up| self.general.get(up).copied())
    }

    /// The claim that took the concept away, if one did.
    pub(crate) fn freed_by(&self, ontology: &Ontology, concept: ConceptId) -> Option<&(Field, Claim)> {
        let claim = self.freed.iter().find(|(freed, _)| ontology.is_a(**freed, concept)).map(|(_, claim)| *claim)?;
        self.claims.get(claim)
    }

    /// Whether the way to a concept was only softened by a claim with a name of its own, such as "vegan".
    pub(crate) fn softened_by_name(&self, concept: ConceptId) -> bool {
        let Some(held) = self.held.get(&concept) else { return false };
        let visit = self.walks.get(held.walk).and_then(|w| w.visits.get(held.visit));
        let claim = visit.and_then(|v| v.softened).and_then(|c| self.claims.get(c));
        matches!(held.presence, Presence::May(reason) if reason != MayReason::Precaution)
            && claim.is_some_and(|(_, claim)| matches!(claim.denied, Denied::Named(_)))
    }

    /// Why a concept is `free`; `None` when it is not.
    #[must_use]
    pub fn free_because(&self, ontology: &Ontology, concept: ConceptId) -> Option<FreeReason> {
        if self.presence(ontology, concept) != Presence::Free {
            return None;
        }
        if let Some((_, claim)) = self.freed_by(ontology, concept) {
            return Some(FreeReason::Claim(claim_name(ontology, claim)));
        }
        Some(if self.labelled { FreeReason::Label } else { FreeReason::Recipe(self.named()) })
    }

    /// Claims that the item's own words contradict: the claim and the concept.
    pub(crate) fn contradictions(&self) -> Vec<(&(Field, Claim), ConceptId)> {
        let mut found = Vec::new();
        for entry in &self.claims {
            let Denied::Concept { concept, .. } = entry.1.denied else { continue };
            let named = self.walks.iter().filter(|w| !w.mention.precaution).flat_map(|w| &w.visits).any(|v| {
                v.concept == concept && v.presence == Presence::Contains && v.certainty.0 >= Certainty::Always
            });
            if named {
                found.push((entry, concept));
            }
        }
        found
    }

    /// Whether any part of the item's text was not understood.
    #[must_use]
    pub fn has_unread(&self) -> bool {
        self.readings().any(|(_, reading)| !reading.unread.is_empty())
    }

    /// Everything that was not understood, with the text it stands in.
    pub fn unread(&self) -> impl Iterator<Item = (Field, &Unread)> {
        self.readings().flat_map(|(field, reading)| reading.unread.iter().map(move |u| (field, u)))
    }

    /// The claims that the item makes, as the exchange format names them.
    #[must_use]
    pub fn claims(&self, ontology: &Ontology) -> Vec<String> {
        let names: BTreeSet<String> = self.claims.iter().map(|(_, claim)| claim_name(ontology, claim)).collect();
        names.into_iter().collect()
    }

    /// How the item is ordinarily served.
    #[must_use]
    pub fn form(&self) -> &ItemForm {
        &self.form
    }

    /// The foods and preparations that the item's text names, in order.
    #[must_use]
    pub fn named(&self) -> Vec<ConceptId> {
        self.walks.iter().map(|walk| walk.mention.concept).collect()
    }

    /// Whether the item names no food at all.
    #[must_use]
    pub fn names_no_food(&self) -> bool {
        self.readings().all(|(_, reading)| reading.mentions.is_empty())
    }

    /// Whether the item has an ingredient list that says something.
    #[must_use]
    pub fn labelled(&self) -> bool {
        self.labelled
    }

    /// Whether words stand where a label should, without saying anything: "see carton".
    pub(crate) fn empty_label(&self) -> bool {
        self.ingredients.as_ref().is_some_and(|r| r.mentions.is_empty() && r.unread.is_empty())
    }

    /// Whether it is taken as having nothing added because its name only says how it was cooked.
    pub(crate) fn plain(&self) -> bool {
        self.plain && !self.labelled
    }

    /// The mention and concept that give the item a diet trait.
    pub(crate) fn trait_of(&self, ontology: &Ontology, item: &Item, id: &str) -> Option<Vec<Step>> {
        let (walk, concept) = self.traits.get(id)?;
        let mut steps = self.text_step(ontology, item, *walk).into_iter().collect::<Vec<_>>();
        let stated_by = std::iter::once(*concept)
            .chain(ontology.concept(*concept).ancestors.iter().copied())
            .find(|c| ontology.states_trait(*c, id))
            .unwrap_or(*concept);
        steps.extend(Step::kinds(ontology, *concept, stated_by));
        steps.push(Step::Trait {
            concept: ontology.concept(stated_by).id().to_owned(),
            id: id.to_owned(),
            source: ontology.concept(stated_by).source().to_vec(),
        });
        Some(steps)
    }

    /// The words of the item that a concept's evidence starts from, and which text they stand in.
    pub(crate) fn words_for<'i>(&self, ontology: &Ontology, item: &'i Item, concept: ConceptId) -> Option<(Field, &'i str)> {
        let walk = match self.presence(ontology, concept) {
            Presence::Free | Presence::Unknown => return None,
            Presence::May(MayReason::TooGeneral) => self.general_for(ontology, concept)?.0,
            Presence::Contains | Presence::May(_) => self.held.get(&concept)?.walk,
        };
        let walk = self.walks.get(walk)?;
        Some((walk.field, item.text(walk.field).get(walk.mention.span.0..walk.mention.span.1)?))
    }

    fn text_step(&self, ontology: &Ontology, item: &Item, walk: usize) -> Option<Step> {
        let walk = self.walks.get(walk)?;
        let span = walk.mention.span;
        Some(Step::Text {
            field: walk.field,
            text: item.text(walk.field).get(span.0..span.1).unwrap_or_default().to_owned(),
            span,
            read_as: ontology.concept(walk.mention.concept).id().to_owned(),
        })
    }

    /// The chain from the item's words to a concept: what the presence rests on. Empty when the concept is free.
    #[must_use]
    pub fn evidence(&self, ontology: &Ontology, item: &Item, concept: ConceptId) -> Vec<Step> {
        match self.presence(ontology, concept) {
            Presence::Free => Vec::new(),
            Presence::Unknown => self.unread_steps(item),
            Presence::May(MayReason::TooGeneral) => {
                let Some((walk, visit)) = self.general_for(ontology, concept) else { return Vec::new() };
                let mut steps = self.chain(ontology, item, walk, visit);
                let general = self.walks.get(walk).and_then(|w| w.visits.get(visit)).map_or(concept, |v| v.concept);
                steps.push(Step::MoreGeneral {
                    concept: ontology.concept(general).id().to_owned(),
                    than: ontology.concept(concept).id().to_owned(),
                });
                steps
            }
            Presence::Contains | Presence::May(_) => {
                let Some(held) = self.held.get(&concept) else { return Vec::new() };
                self.chain(ontology, item, held.walk, held.visit)
            }
        }
    }

    /// The words that were not understood; the whole name where it names no food at all.
    pub(crate) fn unread_steps(&self, item: &Item) -> Vec<Step> {
        let mut steps: Vec<Step> =
            self.unread().map(|(field, u)| Step::Unread { field, text: u.text.clone(), span: u.span }).collect();
        if steps.is_empty() {
            steps.push(Step::Unread { field: Field::Name, text: item.name.clone(), span: (0, item.name.len()) });
        }
        steps
    }

    fn chain(&self, ontology: &Ontology, item: &Item, walk: usize, visit: usize) -> Vec<Step> {
        let mut steps: Vec<Step> = self.text_step(ontology, item, walk).into_iter().collect();
        let Some(walk) = self.walks.get(walk) else { return steps };
        let mut way = Vec::new();
        let mut at = visit;
        while let Some(here) = walk.visits.get(at) {
            way.push(here);
            if here.edge == Edge::Mention {
                break;
            }
            at = here.from;
        }
        way.reverse();
        for pair in way.windows(2) {
            let [before, here] = pair else { continue };
            match here.edge {
                Edge::Mention => {}
                Edge::KindOf => steps.extend(Step::kinds(ontology, before.concept, here.concept)),
                Edge::MadeWith(strength, stated_by) => {
                    steps.extend(Step::kinds(ontology, before.concept, stated_by));
                    steps.push(Step::made_with(ontology, stated_by, here.concept, strength));
                }
                Edge::MayHide => steps.push(Step::may_hide(ontology, before.concept, here.concept)),
            }
        }
        let softened = way.last().and_then(|v| v.softened).and_then(|c| self.claims.get(c));
        if let Some((field, claim)) = softened {
            steps.push(Step::Claim {
                field: *field,
                text: item.text(*field).get(claim.span.0..claim.span.1).unwrap_or_default().to_owned(),
                span: claim.span,
                claim: claim_name(ontology, claim),
            });
        }
        if walk.mention.precaution {
            steps.push(Step::Precaution);
        }
        steps
    }
}

fn start_presence(mention: &Mention) -> Presence {
    if mention.precaution {
        Presence::May(MayReason::Precaution)
    } else if mention.alluded {
        Presence::May(MayReason::Alluded)
    } else {
        Presence::Contains
    }
}

/// A claim as it bears on one mention.
struct Cap {
    index: usize,
    left_out: bool,
    /// It also reaches what the food is by definition.
    definition: bool,
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
    fn new(ontology: &Ontology, index: usize, claim: &Claim, definition: bool) -> Self {
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
    /// A source in brackets says what the mention is made from.
    explained: bool,
    queue: VecDeque<Visit>,
    later: VecDeque<Visit>,
}

impl Walker<'_> {
    /// Takes the next visit off the queue and records it; gives its place.
    fn next(&mut self) -> Option<usize> {
        loop {
            let visit = self.queue.pop_front().or_else(|| self.later.pop_front())?;
            let seen = self.seen.entry(visit.concept).or_default();
            if (visit.stated && seen.1) || (!visit.stated && (seen.0 || seen.1)) {
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
                    self.later.push_back(Visit { concept: *class, presence, edge: Edge::KindOf, from, stated: false, softened, ..visit });
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

    fn ingredients(&mut self, at: usize, visit: Visit) {
        let ontology = self.ontology;
        let concept = ontology.concept(visit.concept);
        for ingredient in concept.recipe() {
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
            self.offer(Visit { concept: *hidden, edge: Edge::MayHide, from: at, stated: true, by_recipe: true, ..onward });
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
        let (weakest, std::cmp::Reverse(length)) = self.certainty;
        let certainty = (weakest.min(edge), std::cmp::Reverse(length.saturating_add(1)));
        Self { presence, certainty, ..self }
    }
}
