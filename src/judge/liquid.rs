//! IDDSI liquid level: exactly what is ordered. Thinner is a conflict, thicker is a question.

use super::texture::{form_steps, tested_step};
use super::{Case, conflict};
use crate::contents::{Contents, ItemForm, PartForm, Presence};
use crate::evidence::Step;
use crate::level::{DrinkLevel, FoodLevel};
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (level, place, says) in &case.prepared.liquid_levels {
        let rule = Step::Rule { order: place.clone(), says: says.clone(), source: Vec::new() };
        for (n, item, contents) in case.items() {
            findings.extend(one(case, n, item, contents, *level, &rule));
        }
    }
    findings
}

/// What stands between an item and an ordered liquid level.
pub(super) enum Trouble<'f> {
    /// A liquid thinner than ordered.
    Thinner(Option<&'f PartForm>, DrinkLevel),
    /// Test results leave more than one level open.
    Between(Option<&'f PartForm>, DrinkLevel, DrinkLevel),
    /// A liquid thicker than ordered.
    Thicker(Option<&'f PartForm>, DrinkLevel),
    /// Not known.
    NotKnown,
}

/// The thinnest and the thickest that a part may be; a liquidised food flows like a level 3 drink.
fn levels(part: &PartForm) -> Option<(DrinkLevel, DrinkLevel)> {
    if let Some(tested) = part.tested_drink {
        return Some((tested.from, tested.to));
    }
    let flows = (part.form.food == Some(FoodLevel::Liquidised)).then(|| DrinkLevel::from_number(3)).flatten();
    let level = [part.form.drink, flows].into_iter().flatten().min()?;
    Some((level, level))
}

/// The worst that stands between an item and the level; nothing when it is exactly that.
pub(super) fn trouble(form: &ItemForm, ordered: DrinkLevel, not_understood: bool) -> Option<Trouble<'_>> {
    let known = || form.heads().filter_map(|part| Some((Some(part), levels(part)?)));
    // Tests of the food itself need no name.
    let tested = form.measured.and_then(|m| m.drink).filter(|_| form.heads().next().is_none());
    let liquids = || known().chain(tested.map(|drink| (None, (drink.from, drink.to))));
    if let Some((part, (_, to))) = liquids().filter(|(_, (_, to))| *to < ordered).min_by_key(|(_, (_, to))| *to) {
        return Some(Trouble::Thinner(part, to));
    }
    if let Some((part, (from, to))) = liquids().find(|(_, (from, to))| from != to && *from <= ordered) {
        return Some(Trouble::Between(part, from, to));
    }
    if let Some((part, (from, _))) = liquids().find(|(_, (from, _))| *from > ordered) {
        return Some(Trouble::Thicker(part, from));
    }
    // With thin liquids ordered, nothing that is not understood can be too thin.
    let not_known = !form.unknown.is_empty() || not_understood || form.parts.is_empty();
    (not_known && tested.is_none() && ordered != DrinkLevel::THIN).then_some(Trouble::NotKnown)
}

fn one(case: &Case<'_>, n: usize, item: &Item, contents: &Contents, level: DrinkLevel, rule: &Step) -> Option<Finding> {
    let ontology = case.ontology;
    let form = contents.form().under(ontology, case.prepared.piece_size);
    let not_understood = contents.has_unread();
    let name = |level| ontology.drink_level_name(level);
    let ordered = name(level);
    let steps = |part: Option<&PartForm>| match part {
        Some(part) => form_steps(ontology, item, &form, part),
        None => contents.unread_steps(item).into_iter().chain(tested_step(ontology, &form)).collect(),
    };
    let (presence, action, mut because, mut say) = match trouble(&form, level, not_understood)? {
        Trouble::Thinner(part, found) => {
            let melts = part.is_some_and(|p| p.form.food.is_some());
            let tested = part.is_none_or(|p| p.tested_drink.is_some());
            let water = &ontology.iddsi.free_water;
            if case.prepared.free_water && part.is_some_and(|p| ontology.find(&water.concept) == Some(p.concept)) {
                (Presence::Contains, Action::Ask, steps(part), say::free_water(&item.name, &water.say))
            } else {
                let words = say::too_thin(&item.name, &name(found), &ordered, melts, tested);
                (Presence::Contains, conflict(item), steps(part), words)
            }
        }
        Trouble::Between(part, from, to) => {
            let words = say::between(&item.name, &name(from), &name(to), &ordered);
            (Presence::Unknown, Action::Ask, steps(part), words)
        }
        Trouble::Thicker(part, found) => {
            let words = say::too_thick(&item.name, &name(found), &ordered);
            (Presence::Contains, Action::Ask, steps(part), words)
        }
        Trouble::NotKnown => (Presence::Unknown, Action::Ask, steps(None), say::liquid_unknown(&item.name, &ordered)),
    };
    because.push(rule.clone());
    let remedies = if action == Action::Ask { Vec::new() } else { case.remedies(&form, not_understood) };
    say.push_str(&say::remedies(ontology, &remedies));
    let concept = Some(format!("liquid-level-{}", level.number()));
    let remedies = remedies.iter().map(|way| ontology.ids_of(way)).collect();
    Some(Finding {
        item: Some(n),
        rule: Rule::Liquid,
        concept,
        presence: Some(presence),
        action,
        because,
        say,
        remedies,
    })
}
