//! One file per kind of rule. Each is a pure function from order and contents to findings.

mod allergy;
mod diet;
mod identity;
mod liquid;
mod order;
mod remedy;
mod texture;

use crate::contents::Contents;
use crate::ontology::Ontology;
use crate::order::{Order, Prepared};
use crate::tray::{Item, Tray};
use crate::verdict::{Action, Finding};

/// What every rule sees.
pub(crate) struct Case<'a> {
    pub(crate) ontology: &'a Ontology,
    pub(crate) order: &'a Order,
    pub(crate) prepared: &'a Prepared,
    pub(crate) tray: &'a Tray,
    /// The contents of the tray's items, in their order.
    pub(crate) contents: &'a [Contents],
}

impl<'a> Case<'a> {
    /// Every item with its place and contents.
    pub(crate) fn items(&self) -> impl Iterator<Item = (usize, &'a Item, &'a Contents)> {
        self.tray.items.iter().zip(self.contents).enumerate().map(|(n, (item, contents))| (n, item, contents))
    }
}

/// The rules, in the order in which a tray is checked.
const RULES: [fn(&Case<'_>) -> Vec<Finding>; 6] =
    [identity::judge, order::judge, allergy::judge, texture::judge, liquid::judge, diet::judge];

/// Runs every rule; nothing stops at the first finding. Sorted by item (the order first), then rule.
pub(crate) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = RULES.iter().flat_map(|rule| rule(case)).collect();
    findings.sort_by_key(|f| (f.item, f.rule));
    findings
}

/// A conflict in a sealed item is taken off; in an open one it sends the tray back.
pub(crate) fn conflict(item: &Item) -> Action {
    if item.sealed { Action::Remove } else { Action::Return }
}
