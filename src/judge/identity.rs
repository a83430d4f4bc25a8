//! Is this the right resident's tray, for the right meal?

use super::Case;
use crate::say;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let pairs = [
        ("resident", &case.order.resident, &case.tray.resident),
        ("meal", &case.order.meal, &case.tray.meal),
    ];
    let differs = |(what, order, tray): (&'static str, &Option<String>, &Option<String>)| {
        let (order, tray) = (order.as_ref()?, tray.as_ref()?);
        // Meals are words and may differ in case; residents are opaque.
        let same = if what == "meal" { order.trim().to_lowercase() == tray.trim().to_lowercase() } else { order == tray };
        (!same).then(|| Finding {
            item: None,
            rule: Rule::Identity,
            concept: Some(what.to_owned()),
            presence: None,
            action: Action::Return,
            because: Vec::new(),
            say: say::wrong(what),
        })
    };
    pairs.into_iter().filter_map(differs).collect()
}
