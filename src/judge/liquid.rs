//! IDDSI liquid level: exactly what is ordered. Thinner is a conflict, thicker is a question.

use super::texture::form_steps;
use super::{Case, conflict};
use crate::contents::{Contents, Presence};
use crate::evidence::Step;
use crate::level::{DrinkLevel, FoodLevel};
use crate::ontology::Ontology;
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (level, place, says) in &case.prepared.liquid_levels {
        let rule = Step::Rule { order: place.clone(), says: says.clone(), source: Vec::new() };
        for (n, item, contents) in case.items() {
            findings.extend(one(case.ontology, n, item, contents, *level, &rule));
        }
    }
    findings
}

/// A liquidised food flows like a level 3 drink.
fn liquid_of(food: Option<FoodLevel>, drink: Option<DrinkLevel>) -> Option<DrinkLevel> {
    let flows = (food == Some(FoodLevel::Liquidised)).then(|| DrinkLevel::from_number(3)).flatten();
    [drink, flows].into_iter().flatten().min()
}

fn one(
    ontology: &Ontology,
    n: usize,
    item: &Item,
    contents: &Contents,
    ordered: DrinkLevel,
    rule: &Step,
) -> Option<Finding> {
    let form = contents.form();
    let finding = |presence, action, mut because: Vec<Step>, say| {
        because.push(rule.clone());
        let concept = Some(format!("liquid-level-{}", ordered.number()));
        Some(Finding { item: Some(n), rule: Rule::Liquid, concept, presence: Some(presence), action, because, say })
    };
    let ordered_name = ontology.drink_level_name(ordered);
    let heads = || form.parts.iter().filter(|p| !p.modifier);
    let liquids = || heads().filter_map(|p| Some((p, liquid_of(p.form.food, p.form.drink)?)));
    if let Some((part, level)) = liquids().filter(|(_, level)| *level < ordered).min_by_key(|(_, level)| *level) {
        let melts = part.form.food.is_some();
        let words = say::too_thin(&item.name, &ontology.drink_level_name(level), &ordered_name, melts);
        return finding(Presence::Contains, conflict(item), form_steps(ontology, item, part), words);
    }
    if let Some((part, level)) = liquids().find(|(_, level)| *level > ordered) {
        let words = say::too_thick(&item.name, &ontology.drink_level_name(level), &ordered_name);
        return finding(Presence::Contains, Action::Ask, form_steps(ontology, item, part), words);
    }
    // With thin liquids ordered, nothing that is not understood can be too thin.
    let not_known = !form.unknown.is_empty() || contents.has_unread() || form.parts.is_empty();
    if not_known && ordered != DrinkLevel::THIN {
        return finding(
            Presence::Unknown,
            Action::Ask,
            contents.unread_steps(item),
            say::liquid_unknown(&item.name, &ordered_name),
        );
    }
    None
}
