//! What one item holds: the presence of every concept, its form and its traits, each with the evidence.
//!
//! Order of authority: the item's own named ingredients, then its claims, then the ordinary recipe.

mod chain;
mod form;
mod presence;
mod walk;

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

pub use form::{ItemForm, PartForm};
pub(crate) use form::{MELTS, MIXED, TRANSITIONAL};
pub use presence::{MayReason, Presence};

use walk::{Cap, Certainty, Walk};

use crate::ontology::{ConceptId, Ontology, Strength};
use crate::read::{Claim, Denied, Field, Lexicon, Mention, PreparationMention, Reading, Unread, claim_name, read};
use crate::tray::Item;

/// Where the best evidence for a concept is.
#[derive(Debug, Clone, Copy)]
struct Held {
    presence: Presence,
    certainty: (Certainty, Reverse<u8>),
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
        let name = read(lexicon, &item.name, Field::Name);
        let ingredients = item.ingredients.as_ref().map(|text| read(lexicon, text, Field::Ingredients));
        let labelled = ingredients.as_ref().is_some_and(|r| r.mentions.iter().any(|m| !m.guessed));
        let claims = name
            .claims
            .iter()
            .map(|c| (Field::Name, c.clone()))
            .chain(ingredients.iter().flat_map(|r| r.claims.iter().map(|c| (Field::Ingredients, c.clone()))))
            .collect();
        let form = form::item_form(ontology, &name, item.tested.as_ref());
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
        contents.merge(ontology);
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
                let repeats = owner.is_some_and(|owner| ontology.is_a(owner.concept, mention.concept));
                mention.explained |= repeats;
                mention.restated = field == Field::Name && restated(ontology, &reading.mentions, &item.name, &mention);
                mention.listed |= repeats;
                let bare = field == Field::Name && self.labelled;
                for (stand_in, claim) in self.stand_ins(ontology, field, &mention).into_iter().filter(|_| !bare) {
                    // The claim and the food together say it: "vegan steak".
                    let span = (claim.0.min(mention.span.0), claim.1.max(mention.span.1));
                    let mut instead = Mention::plain(stand_in, span, mention.part);
                    instead.restated = true;
                    walks.push(Walk::new(ontology, field, instead, bare, &caps, &mut freed));
                }
                walks.push(Walk::new(ontology, field, mention, bare, &caps, &mut freed));
            }
            for preparation in &reading.preparations {
                let mut mention = Mention::plain(preparation.concept, preparation.span, preparation.part);
                // "Rice, creamed" is creamed rice: the entry of the whole name says what the word brings.
                mention.restated = reading.mentions.iter().any(|m| m.covers(preparation.span));
                // What a way of cooking brings in by definition counts as named: "dairy-free buttered toast" is buttered.
                let mut caps = self.caps(ontology, lexicon, item, field, &mention);
                caps.iter_mut().for_each(|cap| cap.definition = false);
                let bare = field == Field::Name && self.labelled;
                walks.push(Walk::new(ontology, field, mention, bare, &caps, &mut freed));
            }
        }
        let plain = |p: &PreparationMention| {
            let cooked = ontology.concept(p.concept);
            cooked.effect.as_ref().is_some_and(|e| e.plain) && cooked.recipe.is_empty()
        };
        self.plain = self.name.preparations.iter().any(plain);
        self.walks = walks;
        self.freed = freed;
    }

    /// "Vegan steak" is no steak, and what is served in its place is made of something that the name does not say.
    /// Gives it with the bytes of the claim.
    fn stand_ins(&self, ontology: &Ontology, field: Field, mention: &Mention) -> BTreeMap<ConceptId, (usize, usize)> {
        let claims = &ontology.claims;
        let denies = |claim: &Claim, class: ConceptId| match claim.denied {
            Denied::Concept { concept, .. } => concept == class,
            Denied::Named(n) => claims.named.get(n).is_some_and(|named| {
                named.softens.iter().chain(&named.frees).any(|id| ontology.find(id) == Some(class))
            }),
        };
        let stands_in = |(class, stand_in): (&String, &String)| {
            let class = ontology.find(class).filter(|class| ontology.is_a(mention.concept, *class))?;
            let here = |(f, claim): &&(Field, Claim)| *f == field && claim.part == mention.part;
            let (_, claim) = self.claims.iter().filter(here).find(|(_, claim)| denies(claim, class))?;
            Some((ontology.find(stand_in)?, claim.span))
        };
        claims.stand_ins.iter().filter_map(stands_in).collect()
    }

    /// The claims that bear on a mention. One in the same part also reaches what the food is by definition
    /// ("dairy-free cheese"); one that stands alone beside a single food reaches its recipe; another reaches nothing here.
    /// None reaches a food whose own words name what it denies, unless it is sold as a substitute under that name:
    /// "egg-free" says nothing of the egg in "egg salad", nor "nut-free" of almonds.
    fn caps(&self, ontology: &Ontology, lexicon: &Lexicon, item: &Item, field: Field, mention: &Mention) -> Vec<Cap> {
        let mut caps = Vec::new();
        if self.claims.is_empty() || mention.precaution || mention.excepted {
            return caps;
        }
        let words = item.text(field).get(mention.span.0..mention.span.1).unwrap_or_default();
        let named = lexicon.foods_within(words);
        for (n, (claim_field, claim)) in self.claims.iter().enumerate() {
            let same_part = *claim_field == field && claim.part == mention.part;
            let whole = claim.whole && field == Field::Name && *claim_field == Field::Name;
            // A claim inside the mention's own name is part of what the food is.
            let own = claim.food.is_none();
            let names_it = match claim.denied {
                Denied::Concept { concept, .. } if !own => {
                    named.iter().any(|food| ontology.is_a(*food, concept) && !ontology.has_substitute(*food))
                }
                _ => false,
            };
            if (same_part || whole) && !names_it {
                caps.push(Cap::new(ontology, n, claim, same_part));
            }
        }
        caps
    }

    fn merge(&mut self, ontology: &Ontology) {
        let listed = self.listed();
        for (w, walk) in self.walks.iter().enumerate() {
            for (v, visit) in walk.visits.iter().enumerate() {
                let mut presence = visit.presence;
                if presence == Presence::Contains && !self.in_every_choice(walk, visit.concept) {
                    presence = Presence::May(MayReason::Choice);
                }
                if presence == Presence::Contains && self.only_the_name_says(ontology, &listed, walk, visit.concept) {
                    presence = Presence::May(MayReason::Unlisted);
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
        let Some(choice) = walk.mention.choice else {
            return true;
        };
        self.walks
            .iter()
            .filter(|w| w.field == walk.field && w.mention.choice == Some(choice))
            .all(|w| w.visits.iter().any(|v| v.concept == concept && v.presence == Presence::Contains))
    }

    /// What the ingredient list surely holds; `true` for what it states by itself.
    fn listed(&self) -> BTreeMap<ConceptId, bool> {
        let mut listed = BTreeMap::new();
        let walks = self.walks.iter().filter(|w| w.field == Field::Ingredients);
        for visit in walks.flat_map(|w| &w.visits).filter(|v| v.presence == Presence::Contains) {
            *listed.entry(visit.concept).or_default() |= visit.stated;
        }
        listed
    }

    /// The name of a labelled item names a food beside others, and the list neither has it nor names it in general:
    /// flavours, pictures and makers stand in names. What the whole name says the item is stays.
    fn only_the_name_says(
        &self,
        ontology: &Ontology,
        listed: &BTreeMap<ConceptId, bool>,
        walk: &Walk,
        concept: ConceptId,
    ) -> bool {
        let whole = self.name.names_one_food() && !walk.mention.explained;
        if walk.field == Field::Ingredients || !self.labelled || whole || listed.contains_key(&concept) {
            return false;
        }
        let above = &ontology.concept(concept).ancestors;
        !above.iter().any(|up| listed.get(up) == Some(&true))
    }

    fn note_traits(&mut self, ontology: &Ontology) {
        let mut traits = BTreeMap::new();
        for (w, walk) in
            self.walks.iter().enumerate().filter(|(_, walk)| walk.field == Field::Name && !walk.mention.guessed)
        {
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
        let Some(held) = self.held.get(&concept) else {
            return false;
        };
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
            let Denied::Concept { concept, .. } = entry.1.denied else {
                continue;
            };
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

    /// How the item is ordinarily served. Test results are not applied: they depend on whose piece sizes hold.
    #[must_use]
    pub fn form(&self) -> &ItemForm {
        &self.form
    }

    /// The overlay's overrides that bear on this item, with their reasons.
    pub(crate) fn overrides_used<'o>(&self, ontology: &'o Ontology) -> Vec<(ConceptId, &'o str)> {
        let reached: BTreeSet<ConceptId> = self.walks.iter().flat_map(|w| &w.visits).map(|v| v.concept).collect();
        ontology.overridden.iter().filter(|(id, _)| reached.contains(id)).map(|(id, why)| (*id, why.as_str())).collect()
    }

    /// The conventions by which what this item surely holds counts as free of something excluded, in words.
    pub(crate) fn taken_as<'o>(&self, ontology: &'o Ontology, excluded: &[ConceptId]) -> Vec<&'o str> {
        let visits = self.walks.iter().flat_map(|walk| &walk.visits);
        let sure: BTreeSet<ConceptId> =
            visits.filter(|v| v.stated && v.presence == Presence::Contains).map(|v| v.concept).collect();
        let any =
            |ids: &[String], is: &dyn Fn(ConceptId) -> bool| ids.iter().filter_map(|id| ontology.find(id)).any(is);
        let bears = |id| excluded.iter().any(|e| ontology.is_a(id, *e) || ontology.is_a(*e, id));
        let taken = ontology.allergens.taken_as.iter();
        let taken = taken.filter(|t| any(&t.foods, &|id| sure.contains(&id)) && any(&t.free_of, &bears));
        taken.map(|t| t.say.as_str()).collect()
    }

    /// The foods and preparations that the item's text names, in order; guesses at misspelt words are not among them.
    #[must_use]
    pub fn named(&self) -> Vec<ConceptId> {
        self.walks.iter().filter(|walk| !walk.mention.guessed).map(|walk| walk.mention.concept).collect()
    }

    /// Whether the item names no food at all.
    #[must_use]
    pub fn names_no_food(&self) -> bool {
        self.readings().all(|(_, reading)| reading.mentions.iter().all(|m| m.guessed))
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
}

/// Whether another name in the item's text says more exactly what a mention is or how much of it there is:
/// in "cake, shortcake" the first word is only the class of the second, and chocolate milk says by its cocoa
/// how chocolate is in "milk, chocolate".
fn restated(ontology: &Ontology, mentions: &[Mention], text: &str, one: &Mention) -> bool {
    let plain = |m: &&Mention| !m.guessed && !m.alluded && !m.optional && m.choice.is_none();
    let mut others = mentions.iter().filter(plain).filter(|other| other.span != one.span);
    let recipe = |m: &Mention| ontology.concept(m.concept).recipe();
    let always = || recipe(one).iter().filter(|i| i.strength == Strength::Always);
    others.any(|other| {
        let holds = |id: ConceptId| recipe(other).iter().any(|i| i.to == id);
        let is_kind = other.concept != one.concept && ontology.is_a(other.concept, one.concept);
        if other.covers(one.span) {
            return is_kind || holds(one.concept) || (always().next().is_some() && always().all(|i| holds(i.to)));
        }
        let heads = mentions.first().is_some_and(|first| first.span == one.span);
        is_kind && heads && text.get(one.span.1..other.span.0).map(str::trim) == Some(",")
    })
}
