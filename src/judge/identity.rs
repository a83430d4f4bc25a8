//! Is this the right resident's tray, for the right meal?

use super::Case;
use crate::read::Unicode;
use crate::say;
use crate::verdict::{Action, Finding, Rule};

/// Case, white space, dashes and Unicode form make no other resident of a label; everything else does.
fn folded(label: &str, unicode: &Unicode) -> String {
    let plain = |c: char| {
        if matches!(c, '\u{2010}'..='\u{2015}' | '\u{2212}') { '-' } else { c }
    };
    let text: String = unicode.lower(&unicode.nfkd(label)).chars().map(plain).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let unicode = &case.ontology.unicode;
    let pairs = [("resident", &case.order.resident, &case.tray.resident), ("meal", &case.order.meal, &case.tray.meal)];
    let differs = |(what, order, tray): (&'static str, &Option<String>, &Option<String>)| {
        let (order, tray) = (order.as_ref()?, tray.as_ref()?);
        (folded(order, unicode) != folded(tray, unicode)).then(|| Finding {
            item: None,
            rule: Rule::Identity,
            concept: Some(what.to_owned()),
            presence: None,
            action: Action::Return,
            because: Vec::new(),
            say: say::wrong(what),
            remedies: Vec::new(),
        })
    };
    pairs.into_iter().filter_map(differs).collect()
}
