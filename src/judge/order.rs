//! The order itself: missing, unclear, contradictory, or nothing by mouth.

use super::Case;
use crate::evidence::Step;
use crate::level::DrinkLevel;
use crate::order::AskFor;
use crate::say;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let about_order = |concept: Option<String>, action, because, say| Finding {
        item: None,
        rule: Rule::Order,
        concept,
        presence: None,
        action,
        because,
        say,
        remedies: Vec::new(),
    };
    for diet in &case.prepared.diets {
        let Some(raw) = case.ontology.diets.get(diet.index) else {
            continue;
        };
        let step = Step::Rule { order: diet.place.clone(), says: diet.says.clone(), source: raw.source.clone() };
        if raw.nothing_by_mouth {
            findings.push(about_order(Some(raw.id.clone()), Action::Return, vec![step], say::nothing_by_mouth()));
        } else if !raw.judged {
            let words = say::diet_not_judged(&raw.title);
            findings.push(about_order(Some(raw.id.clone()), Action::Ask, vec![step], words));
        }
    }
    let thickened = case.prepared.liquid_levels.iter().any(|(level, ..)| *level > DrinkLevel::THIN);
    for (n, place, says) in case.prepared.thickener_cautions.iter().filter(|_| thickened) {
        let Some(raw) = case.ontology.iddsi.thickener_cautions.get(*n) else {
            continue;
        };
        let step = Step::Rule { order: place.clone(), says: says.clone(), source: raw.source.clone() };
        findings.push(about_order(None, Action::Ask, vec![step], say::thickener_caution(says, &raw.say)));
    }
    for ask in &case.prepared.asks {
        let because = match ask {
            AskFor::Unclear { place, text, .. } => {
                vec![Step::Rule { order: place.clone(), says: text.clone(), source: Vec::new() }]
            }
            _ => Vec::new(),
        };
        findings.push(about_order(None, Action::Ask, because, say::order_question(ask)));
    }
    findings
}
