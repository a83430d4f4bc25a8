//! Words that stand where a maker's name stands. What they name is not known, so they make nothing safe;
//! but they are known to be names, not foods that the reader has never heard of.

use std::collections::BTreeSet;

use super::lexicon::{Meaning, Unit, What};
use super::normalize::is_apostrophe;
use super::{Reading, Unread};
use crate::ontology::ConceptId;

/// Marks the unread words of a reading that are names of makers.
///
/// A possessive beside a food ("Zorble's granola") is one, and so is a word beside a food that is only sold under
/// makers' names ("Zorble, with iron, infant formula"), in a stretch that names nothing else and that no "with" opens.
pub(super) fn mark(reading: &mut Reading, units: &[Unit], trade_named: &BTreeSet<ConceptId>) {
    let mut foods = reading.mentions.iter().filter(|m| !m.guessed && !m.precaution).peekable();
    if foods.peek().is_none() {
        return;
    }
    let sold_by_name = foods.any(|m| trade_named.contains(&m.concept));
    for unread in reading.unread.iter_mut().filter(|u| u.read_as.is_empty()) {
        let place = units.iter().position(|u| u.span == unread.span && u.what == What::Unknown);
        let named = |at| sold_by_name && stands_as_a_name(units, at, trade_named);
        unread.trade_name = place.is_some_and(|at| is_possessive(unread) || named(at));
    }
}

/// "Zorble's", with a name of more than one letter.
fn is_possessive(unread: &Unread) -> bool {
    let stem = unread.text.strip_suffix(['s', 'S']).and_then(|text| text.strip_suffix(is_apostrophe));
    stem.is_some_and(|stem| stem.chars().filter(|c| c.is_alphabetic()).count() > 1)
}

/// Whether the stretch around a word, from sign to sign, names no other food and is not joined on by "with".
fn stands_as_a_name(units: &[Unit], at: usize, trade_named: &BTreeSet<ConceptId>) -> bool {
    let (before, after) = units.split_at_checked(at).unwrap_or_default();
    let apart = |unit: &&Unit| !matches!(unit.what, What::Sign(_));
    let fits = |unit: &Unit| match unit.what {
        What::Phrase(Meaning::Food(concept)) => trade_named.contains(&concept),
        What::Phrase(Meaning::Joiner | Meaning::Conjunction | Meaning::Alternative) => false,
        _ => true,
    };
    before.iter().rev().take_while(apart).all(fits) && after.iter().take_while(apart).all(fits)
}
