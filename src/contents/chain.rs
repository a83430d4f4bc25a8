//! The chain of evidence behind what an item holds.

use super::Contents;
use super::presence::{MayReason, Presence};
use super::walk::Edge;
use crate::evidence::Step;
use crate::ontology::{ConceptId, Kind, Ontology};
use crate::read::{Field, claim_name};
use crate::tray::Item;

impl Contents {
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
    pub(crate) fn words_for<'i>(
        &self,
        ontology: &Ontology,
        item: &'i Item,
        concept: ConceptId,
    ) -> Option<(Field, &'i str)> {
        let walk = match self.presence(ontology, concept) {
            Presence::Free | Presence::Unknown => return None,
            Presence::May(MayReason::TooGeneral) => self.general_for(ontology, concept)?.0,
            Presence::Contains | Presence::May(_) => self.held.get(&concept)?.walk,
        };
        let walk = self.walks.get(walk)?;
        // "Steamed may contain milk" names no food: the item speaks for itself.
        if ontology.concept(walk.mention.concept).kind() == Kind::Preparation {
            return None;
        }
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
                let Some((walk, visit)) = self.general_for(ontology, concept) else {
                    return Vec::new();
                };
                let mut steps = self.chain(ontology, item, walk, visit);
                let general = self.walks.get(walk).and_then(|w| w.visits.get(visit)).map_or(concept, |v| v.concept);
                steps.push(Step::MoreGeneral {
                    concept: ontology.concept(general).id().to_owned(),
                    than: ontology.concept(concept).id().to_owned(),
                });
                steps
            }
            Presence::Contains | Presence::May(_) => {
                let Some(held) = self.held.get(&concept) else {
                    return Vec::new();
                };
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
        let Some(walk) = self.walks.get(walk) else {
            return steps;
        };
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
