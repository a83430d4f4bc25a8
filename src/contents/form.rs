//! How an item is ordinarily served, from the words of its name: IDDSI levels and mouth risks, part by part.

use std::collections::BTreeSet;

use crate::level::{DrinkLevel, FoodLevel};
use crate::ontology::{ConceptId, Form, Kind, Ontology, RawEffect};
use crate::read::{Mention, Reading};
use crate::tested::{Measure, Measured, MeasuredDrink, PieceSize, TestResults};

/// The risk id for thin liquid together with solid pieces.
pub(crate) const MIXED: &str = "mixed";
/// The risk id for juice that separates in the mouth.
const JUICY: &str = "juicy";
/// The risk id for what melts to a thin liquid.
pub(crate) const MELTS: &str = "melts";
/// The risk id of what dissolves in the mouth.
pub(crate) const TRANSITIONAL: &str = "transitional";

/// One food of the name and its form after the preparations beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartForm {
    /// What it is.
    pub concept: ConceptId,
    /// The concept whose entry states the form.
    pub stated_by: ConceptId,
    /// The bytes of the name that mention it.
    pub span: (usize, usize),
    /// The preparations that changed it, nearest first.
    pub preparations: Vec<ConceptId>,
    /// The form after them.
    pub form: Form,
    /// It stands before the word that says what the thing is ("strawberry" in "strawberry yogurt"):
    /// it may be there in pieces, or only as a flavour.
    pub modifier: bool,
    /// Before the preparations it was or gave off a liquid.
    pub(crate) level_was_liquid: bool,
    /// The size that the text states for its pieces, where a preparation cuts it.
    pub(crate) piece: Option<Measure>,
    /// Its liquid was tested; `form.drink` is the thinnest level that the results leave.
    pub(crate) tested_drink: Option<MeasuredDrink>,
}

/// The form of a whole item.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ItemForm {
    /// The foods of the name that have a form, in text order.
    pub parts: Vec<PartForm>,
    /// Foods of the name whose form is not known.
    pub unknown: Vec<ConceptId>,
    /// Results of tests on this item.
    pub(crate) tested: Option<TestResults>,
    /// What they show, once they are applied.
    pub(crate) measured: Option<Measured>,
    /// The thickest liquid that makes a mixed consistency.
    thin_up_to: Option<DrinkLevel>,
}

impl ItemForm {
    /// The foods that are served as such: not those that only describe another one.
    pub(crate) fn heads(&self) -> impl Iterator<Item = &PartForm> {
        self.parts.iter().filter(|p| !p.modifier)
    }

    /// The level that the most demanding solid part needs.
    #[must_use]
    pub fn food(&self) -> Option<FoodLevel> {
        self.heads().filter_map(|p| p.form.food).max()
    }

    /// The thinnest liquid of the item.
    #[must_use]
    pub fn drink(&self) -> Option<DrinkLevel> {
        self.heads().filter_map(|p| p.form.drink).min()
    }

    /// The risks of all parts, and `mixed` where one part is solid and another a thin liquid.
    #[must_use]
    pub fn risks(&self) -> Vec<String> {
        let mut risks: BTreeSet<String> = self.heads().flat_map(|p| p.form.risks.iter().cloned()).collect();
        if self.mixed_parts().is_some() {
            risks.insert(MIXED.to_owned());
        }
        risks.into_iter().collect()
    }

    /// A solid part and a thin liquid part that make the item mixed.
    #[must_use]
    pub fn mixed_parts(&self) -> Option<(&PartForm, &PartForm)> {
        let solid = self.heads().find(|p| p.form.food.is_some() && p.form.drink.is_none())?;
        let thin =
            self.heads().find(|p| p.form.food.is_none() && p.form.drink.is_some_and(|d| Some(d) <= self.thin_up_to))?;
        Some((solid, thin))
    }

    /// The form with its test results applied, under the piece sizes of a person. A measured level outranks the ordinary one.
    pub(crate) fn under(&self, ontology: &Ontology, sizes: PieceSize) -> Self {
        let mut form = self.clone();
        let tests = &ontology.iddsi.tests;
        // "Diced 20 mm" is cut, but not to the size of level 6.
        for part in &mut form.parts {
            if let (Some(piece), Some(level)) = (part.piece, part.form.food) {
                part.form.food = Some(tests.level_for_pieces(level, piece, sizes));
            }
        }
        let Some(results) = &self.tested else {
            return form;
        };
        let measured = results.measured(tests, sizes);
        let cleared = results.cleared(tests);
        let has = |part: &PartForm, risk: &str| part.form.risks.iter().any(|r| r == risk);
        for part in form.parts.iter_mut().filter(|p| !p.modifier) {
            if let Some(level) = part.form.food {
                part.form.food = Some(level.max(measured.food_from).min(measured.food_to));
                part.form.risks.retain(|risk| !cleared.contains(&risk));
                if measured.transitional {
                    part.form.risks.retain(|risk| !tests.transitional.clears.contains(risk));
                    part.form.risks.push(TRANSITIONAL.to_owned());
                }
            }
        }
        if let Some(drink) = measured.drink {
            // The test is done on what flows; what melts in the mouth stays what it is.
            let flows = |p: &PartForm| {
                !p.modifier
                    && !has(p, MELTS)
                    && (p.form.drink.is_some() || p.form.food.is_some_and(|food| food <= FoodLevel::Pureed))
            };
            let any = form.parts.iter().any(flows);
            let first = form.parts.iter().position(|p| !p.modifier && !any && !has(p, MELTS));
            for (n, part) in form.parts.iter_mut().enumerate() {
                if flows(part) || Some(n) == first {
                    part.form.drink = Some(drink.from);
                    part.tested_drink = Some(drink);
                }
            }
        }
        form.measured = Some(measured);
        form
    }

    /// The form after a preparation of the whole item.
    pub(crate) fn prepared(&self, effect: &RawEffect) -> Self {
        let mut form = self.clone();
        // Draining an item takes a liquid part off it: the syrup that fruit stands in.
        let solid = form.heads().any(|p| p.form.food.is_some());
        form.parts.retain(|p| p.modifier || !(effect.no_drink && solid && p.form.food.is_none()));
        form.parts.iter_mut().filter(|p| !p.modifier).for_each(|part| apply(effect, &mut part.form));
        form
    }
}

/// Works out the form of an item from its name.
pub(crate) fn item_form(ontology: &Ontology, name: &Reading, tested: Option<&TestResults>) -> ItemForm {
    let mut form =
        ItemForm { thin_up_to: Some(ontology.iddsi.thin_up_to.level), tested: tested.cloned(), ..ItemForm::default() };
    let mut formless = Vec::new();
    let parts: BTreeSet<usize> = name.mentions.iter().filter(|m| !m.guessed).map(|m| m.part).collect();
    for part in parts {
        let foods: Vec<&Mention> =
            name.mentions.iter().filter(|m| m.part == part && !m.alluded && !m.guessed && !m.precaution).collect();
        let Some((head, modifiers)) = foods.split_last() else {
            continue;
        };
        // "Not mildly thick", "half pureed": how the food is served is not known.
        if name.unsure.contains(&part) {
            form.unknown.push(head.concept);
        }
        for modifier in modifiers {
            form.parts.extend(part_form(ontology, name, modifier, true));
        }
        match part_form(ontology, name, head, false) {
            Some(part) => {
                let unsaid = |p: &ConceptId| ontology.concept(*p).effect.as_ref().is_some_and(|e| e.level_unsaid);
                if part.level_was_liquid && part.preparations.iter().any(unsaid) {
                    form.unknown.push(head.concept);
                }
                form.parts.push(part);
            }
            None if ontology.concept(head.concept).kind == Kind::Ingredient => formless.push(head.concept),
            None => form.unknown.push(head.concept),
        }
    }
    // "Pureed on request" says how it may be had, not how it is.
    if name.no_label {
        form.unknown.extend(name.mentions.iter().map(|m| m.concept));
    }
    // Salt or flour beside a food changes no form; alone on the tray its form is not known.
    if form.heads().next().is_none() {
        form.unknown.extend(formless);
    }
    form
}

fn part_form(ontology: &Ontology, name: &Reading, mention: &Mention, modifier: bool) -> Option<PartForm> {
    let (stated, stated_by) = ontology.concept(mention.concept).form()?;
    let mut form = stated.clone();
    let level_was_liquid = form.drink.is_some();
    let mut preparations = Vec::new();
    if !modifier {
        let (mut before, after): (Vec<_>, Vec<_>) = name
            .preparations
            .iter()
            .filter(|p| p.part == mention.part && p.holds)
            .partition(|p| p.span.0 < mention.span.0);
        before.reverse();
        for preparation in before.into_iter().chain(after) {
            if let Some(effect) = &ontology.concept(preparation.concept).effect {
                apply(effect, &mut form);
                preparations.push(preparation.concept);
            }
        }
    }
    let cuts = |id: &ConceptId| ontology.concept(*id).effect.as_ref().is_some_and(|e| e.food.is_some());
    let sizes = name.sizes.iter().filter(|(part, _)| *part == mention.part).map(|(_, size)| *size);
    let piece = sizes.max().filter(|_| preparations.iter().any(cuts));
    Some(PartForm {
        concept: mention.concept,
        stated_by,
        span: mention.span,
        preparations,
        form,
        modifier,
        level_was_liquid,
        piece,
        tested_drink: None,
    })
}

/// A preparation changes the level and takes away only the risks that it names: puréed nuts stay sticky.
fn apply(effect: &RawEffect, form: &mut Form) {
    if let (Some(level), Some(_)) = (effect.food, form.food) {
        form.food = Some(level);
    }
    if let (Some(least), Some(level)) = (effect.at_least, form.food) {
        form.food = Some(level.max(least));
    }
    // Nobody drains a drink, and what melts cannot be drained.
    let drains = effect.no_drink && form.food.is_some() && !form.risks.iter().any(|r| r == MELTS);
    let only_juice = form.risks.iter().any(|r| r == JUICY) && !form.risks.iter().any(|r| r == MIXED || r == MELTS);
    if drains || (effect.binds_juice && only_juice) {
        form.drink = None;
    }
    // Thin custard runs; thin ham does not.
    let runs = effect.runs && form.food.is_some_and(|food| food <= FoodLevel::MincedMoist);
    if let (Some(level), true) = (effect.drink, form.drink.is_some() || runs) {
        form.drink = Some(level);
    }
    if effect.level_unsaid {
        form.drink = None;
    }
    form.risks.retain(|risk| !effect.clears.contains(risk));
    form.risks.extend(effect.adds.iter().cloned());
    form.risks.sort();
    form.risks.dedup();
}
