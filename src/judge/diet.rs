//! Diets as data: what a diet's rules say of an item, by the concepts it holds and the traits it has.

use super::texture::form_steps;
use super::{Case, conflict};
use crate::contents::{Contents, Presence};
use crate::evidence::Step;
use crate::ontology::{RawDiet, RawDietRule, RuleAction};
use crate::order::PreparedDiet;
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for diet in &case.prepared.diets {
        let Some(raw) = case.ontology.diets.get(diet.index).filter(|d| d.judged && !d.nothing_by_mouth) else {
            continue;
        };
        for (n, item, contents) in case.items() {
            let met: Vec<Finding> =
                raw.rules.iter().filter_map(|rule| apply(case, n, item, contents, diet, raw, rule)).collect();
            if met.is_empty() && (contents.has_unread() || contents.names_no_food()) {
                findings.push(not_understood(n, item, contents, diet, raw));
            }
            findings.extend(met);
        }
    }
    findings.extend(fluid(case));
    findings
}

/// A fluid limit without volumes to compare it with: every drink is a question, never a silent pass.
fn fluid(case: &Case<'_>) -> Vec<Finding> {
    let Some(ml) = case.prepared.fluid_limit_ml else {
        return Vec::new();
    };
    let counts = |contents: &Contents| contents.form().drink().is_some() || contents.has_unread();
    case.items()
        .filter(|(_, _, contents)| counts(contents))
        .map(|(n, item, contents)| {
            let liquid = contents.form().parts.iter().find(|p| p.form.drink.is_some());
            let mut because = liquid.map(|p| form_steps(case.ontology, item, contents.form(), p)).unwrap_or_default();
            let says = format!("{ml} mL a day");
            because.push(Step::Rule { order: "fluid_limit_ml".to_owned(), says, source: Vec::new() });
            Finding {
                item: Some(n),
                rule: Rule::Diet,
                concept: Some("fluid-restriction".to_owned()),
                presence: Some(Presence::Unknown),
                action: Action::Ask,
                because,
                say: say::fluid_limit(&item.name, ml),
                remedies: Vec::new(),
            }
        })
        .collect()
}

fn step(diet: &PreparedDiet, source: &[String]) -> Step {
    Step::Rule { order: diet.place.clone(), says: diet.says.clone(), source: source.to_vec() }
}

fn apply(
    case: &Case<'_>,
    n: usize,
    item: &Item,
    contents: &Contents,
    diet: &PreparedDiet,
    raw: &RawDiet,
    rule: &RawDietRule,
) -> Option<Finding> {
    let ontology = case.ontology;
    let holds = |id: &String| ontology.find(id).map(|c| (c, contents.presence(ontology, c)));
    if rule.unless.iter().filter_map(holds).any(|(_, p)| p == Presence::Contains) {
        return None;
    }
    let (presence, mut because) =
        rule.traits.iter().find_map(|id| Some((Presence::Contains, contents.trait_of(ontology, item, id)?))).or_else(
            || {
                let found = rule.concepts.iter().filter_map(holds).filter(|(concept, presence)| match presence {
                    // A named claim such as "vegan" satisfies a diet, though not an allergy.
                    Presence::May(_) => !contents.softened_by_name(*concept),
                    Presence::Contains => true,
                    _ => false,
                });
                let (concept, presence) = found.max_by_key(|(_, p)| p.rank())?;
                Some((presence, contents.evidence(ontology, item, concept)))
            },
        )?;
    because.push(step(diet, &rule.source));
    let action = match (rule.action, presence) {
        (RuleAction::Conflict, Presence::Contains) => conflict(item),
        _ => Action::Ask,
    };
    Some(Finding {
        item: Some(n),
        rule: Rule::Diet,
        concept: Some(raw.id.clone()),
        presence: Some(presence),
        action,
        because,
        say: say::diet(&item.name, &rule.say, presence),
        remedies: Vec::new(),
    })
}

fn not_understood(n: usize, item: &Item, contents: &Contents, diet: &PreparedDiet, raw: &RawDiet) -> Finding {
    let mut because = contents.unread_steps(item);
    because.push(step(diet, &raw.source));
    Finding {
        item: Some(n),
        rule: Rule::Diet,
        concept: Some(raw.id.clone()),
        presence: Some(Presence::Unknown),
        action: Action::Ask,
        because,
        say: say::diet_unknown(&item.name, &raw.title),
        remedies: Vec::new(),
    }
}
