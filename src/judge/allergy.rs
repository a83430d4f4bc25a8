//! Allergies, intolerances and exclusions, for any concept of the ontology.

use super::{Case, conflict};
use crate::contents::{Contents, MayReason, Presence};
use crate::evidence::Step;
use crate::ontology::ConceptId;
use crate::order::{AllergyKind, Exclusion};
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (n, item, contents) in case.items() {
        for exclusion in &case.prepared.exclusions {
            findings.extend(excluded(case, n, item, contents, exclusion));
        }
        if !case.prepared.exclusions.is_empty() {
            findings.extend(contradictions(case, n, item, contents));
        }
    }
    findings
}

fn rule_of(kind: AllergyKind) -> Rule {
    match kind {
        AllergyKind::Allergy | AllergyKind::Excluded => Rule::Allergy,
        AllergyKind::Intolerance => Rule::Intolerance,
    }
}

fn rule_step(exclusion: &Exclusion) -> Step {
    Step::Rule { order: exclusion.place.clone(), says: exclusion.says.clone(), source: Vec::new() }
}

fn excluded(case: &Case<'_>, n: usize, item: &Item, contents: &Contents, exclusion: &Exclusion) -> Option<Finding> {
    let ontology = case.ontology;
    let concept = exclusion.concept;
    let presence = contents.presence(ontology, concept);
    let certain = match presence {
        Presence::Contains => true,
        // A precautionary statement is a conflict for an allergy and a question for an intolerance.
        Presence::May(MayReason::Precaution) => exclusion.kind != AllergyKind::Intolerance,
        _ => false,
    };
    let title = ontology.title(concept);
    let finding = |presence, action, mut because: Vec<Step>, say| {
        because.push(rule_step(exclusion));
        let concept = Some(ontology.concept(concept).id().to_owned());
        Some(Finding {
            item: Some(n),
            rule: rule_of(exclusion.kind),
            concept,
            presence: Some(presence),
            action,
            because,
            say,
            remedies: Vec::new(),
        })
    };
    if presence == Presence::Free {
        if let Some(sibling) = sibling(case, contents, concept) {
            let mut because = contents.evidence(ontology, item, sibling.0);
            because.push(Step::SameGroup {
                concept: ontology.concept(sibling.0).id().to_owned(),
                excluded: ontology.concept(concept).id().to_owned(),
                source: sibling.1,
            });
            let words = say::sibling(&item.name, ontology.title(sibling.0), title);
            return finding(Presence::May(MayReason::TooGeneral), Action::Ask, because, words);
        }
        let (field, claim) = contents.freed_by(ontology, concept)?;
        // A bare claim without an ingredient list is not enough for a severe allergy.
        if !exclusion.severe || contents.labelled() {
            return None;
        }
        let text = item.text(*field).get(claim.span.0..claim.span.1).unwrap_or_default();
        let step = Step::Claim {
            field: *field,
            text: text.to_owned(),
            span: claim.span,
            claim: crate::read::claim_name(ontology, claim),
        };
        return finding(Presence::Free, Action::Ask, vec![step], say::only_a_claim(&item.name, text, title));
    }
    let action = if certain && !exclusion.only_ask { conflict(item) } else { Action::Ask };
    let words = say::presence(&item.name, contents.words_for(ontology, item, concept), title, presence);
    finding(presence, action, contents.evidence(ontology, item, concept), words)
}

/// Another member, surely present, of a cross-reactive group of which the order names one.
fn sibling(case: &Case<'_>, contents: &Contents, excluded: ConceptId) -> Option<(ConceptId, Vec<String>)> {
    let ontology = case.ontology;
    for group in &ontology.allergens.cross_reactive {
        let members: Vec<ConceptId> = group.members.iter().filter_map(|id| ontology.find(id)).collect();
        let within = group.kinds_of.as_deref().and_then(|id| ontology.find(id));
        let in_group = within.is_some_and(|family| excluded != family && ontology.is_a(excluded, family))
            || members.iter().any(|m| ontology.is_a(excluded, *m));
        if !in_group {
            continue;
        }
        let others = within.into_iter().chain(members.into_iter().filter(|m| !ontology.is_a(excluded, *m)));
        for other in others {
            if matches!(contents.presence(ontology, other), Presence::Contains | Presence::May(MayReason::Precaution)) {
                return Some((other, group.source.clone()));
            }
        }
    }
    None
}

/// A claim that the item's own words contradict makes its label unreliable.
fn contradictions(case: &Case<'_>, n: usize, item: &Item, contents: &Contents) -> Vec<Finding> {
    let ontology = case.ontology;
    let finding = |(entry, concept): (&(crate::read::Field, crate::read::Claim), ConceptId)| {
        let (field, claim) = entry;
        let text = item.text(*field).get(claim.span.0..claim.span.1).unwrap_or_default();
        let mut because = contents.evidence(ontology, item, concept);
        because.push(Step::Claim {
            field: *field,
            text: text.to_owned(),
            span: claim.span,
            claim: crate::read::claim_name(ontology, claim),
        });
        Finding {
            item: Some(n),
            rule: Rule::Allergy,
            concept: Some(ontology.concept(concept).id().to_owned()),
            presence: Some(contents.presence(ontology, concept)),
            action: Action::Ask,
            because,
            say: say::contradiction(&item.name, text, ontology.title(concept)),
            remedies: Vec::new(),
        }
    };
    contents.contradictions().into_iter().map(finding).collect()
}
