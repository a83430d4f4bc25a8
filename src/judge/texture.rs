//! IDDSI food level: at or below what is ordered, and without the characteristics that the level excludes.

use super::{Case, conflict};
use crate::contents::{Contents, PartForm, Presence};
use crate::evidence::Step;
use crate::level::FoodLevel;
use crate::ontology::Ontology;
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (level, place, says) in case.prepared.food_levels.iter().filter(|(level, ..)| *level < FoodLevel::Regular) {
        let rule = Step::Rule { order: place.clone(), says: says.clone(), source: Vec::new() };
        for (n, item, contents) in case.items() {
            findings.extend(one(case.ontology, n, item, contents, *level, &rule));
        }
    }
    findings
}

/// A part against the ordered level: conflict, question or nothing, and the risks that say so.
fn part(ontology: &Ontology, part: &PartForm, ordered: FoodLevel) -> (Option<Action>, Vec<String>) {
    let too_high = part.form.food.is_some_and(|food| food > ordered);
    let risk = |id: &String| ontology.iddsi.risks.iter().find(|r| r.id == *id);
    let excluded: Vec<_> = part.form.risks.iter().filter_map(risk).filter(|r| r.excluded.contains(&ordered)).collect();
    let asked: Vec<_> = part.form.risks.iter().filter_map(risk).filter(|r| r.ask.contains(&ordered)).collect();
    let words = |risks: &[&crate::ontology::RawRisk]| risks.iter().map(|r| r.say.clone()).collect();
    // Bread at easy-to-chew is a question although it needs level 7.
    if !asked.is_empty() && excluded.is_empty() && ordered == FoodLevel::EasyToChew {
        return (Some(Action::Ask), words(&asked));
    }
    // Easy-to-chew food has no size limit and level 6 has one: what is only too large is a question of cutting.
    let only_size = part.form.food == Some(FoodLevel::EasyToChew) && ordered == FoodLevel::SoftBiteSized;
    if only_size && excluded.is_empty() {
        return (Some(Action::Ask), vec![ontology.iddsi.bite_size.say.clone()]);
    }
    if too_high || !excluded.is_empty() {
        return (Some(Action::Return), words(&excluded));
    }
    if asked.is_empty() { (None, Vec::new()) } else { (Some(Action::Ask), words(&asked)) }
}

fn one(
    ontology: &Ontology,
    n: usize,
    item: &Item,
    contents: &Contents,
    ordered: FoodLevel,
    rule: &Step,
) -> Option<Finding> {
    let form = contents.form();
    let finding = |presence, action, mut because: Vec<Step>, say| {
        because.push(rule.clone());
        let concept = Some(format!("food-level-{}", level_word(ordered)));
        Some(Finding { item: Some(n), rule: Rule::Texture, concept, presence: Some(presence), action, because, say })
    };
    let ordered_name = ontology.food_level_name(ordered);
    let mut question: Option<(&PartForm, Vec<String>)> = None;
    for head in form.parts.iter().filter(|p| !p.modifier) {
        match part(ontology, head, ordered) {
            (Some(Action::Ask), why) => question = question.or(Some((head, why))),
            (Some(_), why) => {
                let needs = head.form.food.map(|level| ontology.food_level_name(level));
                let words = say::texture(&item.name, needs.as_deref(), &ordered_name, &why);
                return finding(Presence::Contains, conflict(item), form_steps(ontology, item, head), words);
            }
            (None, _) => {}
        }
    }
    if let Some((solid, thin)) = form.mixed_parts() {
        let mixed = ontology.iddsi.risks.iter().find(|r| r.id == crate::contents::MIXED);
        let because = form_steps(ontology, item, solid).into_iter().chain(form_steps(ontology, item, thin)).collect();
        if mixed.is_some_and(|r| r.excluded.contains(&ordered)) {
            let why: Vec<String> = mixed.map(|r| r.say.clone()).into_iter().collect();
            return finding(
                Presence::Contains,
                conflict(item),
                because,
                say::texture(&item.name, None, &ordered_name, &why),
            );
        }
        if mixed.is_some_and(|r| r.ask.contains(&ordered)) {
            let why = mixed.map(|r| r.say.clone()).unwrap_or_default();
            return finding(
                Presence::Unknown,
                Action::Ask,
                because,
                say::texture_question(&item.name, &ordered_name, &why),
            );
        }
    }
    if let Some((head, why)) = question {
        let words = say::texture_question(&item.name, &ordered_name, &why.join(", "));
        return finding(Presence::Unknown, Action::Ask, form_steps(ontology, item, head), words);
    }
    let pieces = form.parts.iter().filter(|p| p.modifier).find(|p| part(ontology, p, ordered).0.is_some());
    let only_drink = form.food().is_none() && form.drink().is_some();
    if let Some(modifier) = pieces.filter(|_| !only_drink) {
        let words = say::pieces(&item.name, ontology.title(modifier.concept), &ordered_name);
        return finding(Presence::Unknown, Action::Ask, form_steps(ontology, item, modifier), words);
    }
    if !form.unknown.is_empty() || contents.has_unread() || contents.names_no_food() || form.parts.is_empty() {
        return finding(
            Presence::Unknown,
            Action::Ask,
            contents.unread_steps(item),
            say::form_unknown(&item.name, &ordered_name),
        );
    }
    None
}

/// The step that says how a part is ordinarily served.
pub(super) fn form_steps(ontology: &Ontology, item: &Item, part: &PartForm) -> Vec<Step> {
    let text = item.name.get(part.span.0..part.span.1).unwrap_or_default().to_owned();
    let mut steps = vec![Step::Text {
        field: crate::read::Field::Name,
        text,
        span: part.span,
        read_as: ontology.concept(part.concept).id().to_owned(),
    }];
    steps.extend(Step::kinds(ontology, part.concept, part.stated_by));
    steps.push(Step::Form {
        concept: ontology.concept(part.stated_by).id().to_owned(),
        food: part.form.food,
        drink: part.form.drink,
        risks: part.form.risks.clone(),
        prepared: part.preparations.iter().map(|p| ontology.concept(*p).id().to_owned()).collect(),
        source: ontology.concept(part.stated_by).source().to_vec(),
    });
    steps
}

fn level_word(level: FoodLevel) -> String {
    match level {
        FoodLevel::EasyToChew => "easy-to-chew".to_owned(),
        other => other.number().to_string(),
    }
}
