//! IDDSI food level: at or below what is ordered, and without the characteristics that the level excludes.

use super::{Case, conflict};
use crate::contents::{Contents, ItemForm, MIXED, PartForm, Presence, TRANSITIONAL};
use crate::evidence::Step;
use crate::level::FoodLevel;
use crate::ontology::{Ontology, RawRisk};
use crate::order::Prepared;
use crate::say;
use crate::tray::Item;
use crate::verdict::{Action, Finding, Rule};

pub(super) fn judge(case: &Case<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (level, place, says) in case.prepared.food_levels.iter().filter(|(level, ..)| *level < FoodLevel::Regular) {
        let rule = Step::Rule { order: place.clone(), says: says.clone(), source: Vec::new() };
        for (n, item, contents) in case.items() {
            findings.extend(one(case, n, item, contents, *level, &rule));
        }
    }
    findings
}

/// What stands between an item and an ordered level.
pub(super) enum Trouble<'f> {
    /// A part is too firm, or does in the mouth what the level excludes.
    Excluded(&'f PartForm, Vec<String>),
    /// A part that staff must rule on.
    Question(&'f PartForm, Vec<String>),
    /// Pieces in a thin liquid.
    Mixed { solid: &'f PartForm, thin: &'f PartForm, say: String, excluded: bool },
    /// Something may be in it in pieces.
    Pieces(&'f PartForm),
    /// Nothing is known, and tests rule the level out.
    TestedOut,
    /// Nothing is known.
    NotKnown,
}

/// The order's side: a level, and the characteristics that the order clears.
pub(super) struct Ordered<'a> {
    pub(super) ontology: &'a Ontology,
    pub(super) level: FoodLevel,
    pub(super) cleared: &'a [String],
}

impl<'a> Ordered<'a> {
    pub(super) fn new(ontology: &'a Ontology, prepared: &'a Prepared, level: FoodLevel) -> Self {
        Self { ontology, level, cleared: &prepared.cleared }
    }

    fn risk(&self, id: &str) -> Option<&'a RawRisk> {
        self.ontology.iddsi.risks.iter().find(|r| r.id == id)
    }

    fn clears(&self, risk: &RawRisk) -> bool {
        self.cleared.contains(&risk.id)
    }

    /// A part against the ordered level: conflict, question or nothing, and the risks that say so.
    fn part(&self, form: &ItemForm, part: &PartForm) -> (Option<Action>, Vec<String>) {
        let risks: Vec<&RawRisk> = part.form.risks.iter().filter_map(|id| self.risk(id)).collect();
        let words = |risks: &[&RawRisk]| risks.iter().map(|r| r.say.clone()).collect::<Vec<_>>();
        let excluded: Vec<&RawRisk> = risks.iter().copied().filter(|r| r.excluded.contains(&self.level)).collect();
        let transitional = &self.ontology.iddsi.tests.transitional;
        if let Some(risk) = risks.iter().find(|r| r.id == TRANSITIONAL && self.clears(r))
            && self.level >= transitional.from
        {
            // No name is enough: only the test shows that it dissolves.
            let tested = form.measured.is_some_and(|m| m.transitional);
            return match (tested, excluded.is_empty()) {
                (true, true) => (None, Vec::new()),
                (true, false) => (Some(Action::Return), words(&excluded)),
                (false, _) => (Some(Action::Ask), vec![risk.say.clone()]),
            };
        }
        let asked: Vec<&RawRisk> =
            risks.iter().copied().filter(|r| r.ask.contains(&self.level) && !self.clears(r)).collect();
        // Bread at easy-to-chew is a question although it needs level 7: the level is that of the bread.
        let explained = risks.iter().any(|r| r.sets_level && r.ask.contains(&self.level));
        let too_high = part.form.food.is_some_and(|food| food > self.level) && !explained;
        // Easy-to-chew food has no size limit and level 6 has one: what is only too large is a question of cutting.
        let only_size = part.form.food == Some(FoodLevel::EasyToChew) && self.level == FoodLevel::SoftBiteSized;
        if only_size && excluded.is_empty() && form.measured.is_none_or(|m| m.food_from <= self.level) {
            return (Some(Action::Ask), vec![self.ontology.iddsi.bite_size.say.clone()]);
        }
        if too_high || !excluded.is_empty() {
            return (Some(Action::Return), words(&excluded));
        }
        if asked.is_empty() { (None, Vec::new()) } else { (Some(Action::Ask), words(&asked)) }
    }

    /// The worst that stands between an item and the level; nothing when it is within it.
    pub(super) fn trouble<'f>(&self, form: &'f ItemForm, not_understood: bool) -> Option<Trouble<'f>> {
        let mut question = None;
        for head in form.heads() {
            match self.part(form, head) {
                (Some(Action::Ask), why) => question = question.or(Some(Trouble::Question(head, why))),
                (Some(_), why) => return Some(Trouble::Excluded(head, why)),
                (None, _) => {}
            }
        }
        if let (Some((solid, thin)), Some(mixed)) = (form.mixed_parts(), self.risk(MIXED)) {
            let excluded = mixed.excluded.contains(&self.level);
            if excluded || (mixed.ask.contains(&self.level) && !self.clears(mixed)) {
                return Some(Trouble::Mixed { solid, thin, say: mixed.say.clone(), excluded });
            }
        }
        if question.is_some() {
            return question;
        }
        let only_drink = form.food().is_none() && form.drink().is_some();
        let pieces = form.parts.iter().filter(|p| p.modifier).find(|p| self.part(form, p).0.is_some());
        if let Some(modifier) = pieces.filter(|_| !only_drink) {
            return Some(Trouble::Pieces(modifier));
        }
        if !form.unknown.is_empty() || not_understood || form.parts.is_empty() {
            // Tests of the food itself need no name.
            return match form.measured {
                Some(measured) if measured.food_from > self.level => Some(Trouble::TestedOut),
                Some(measured) if measured.food_to <= self.level => None,
                _ => Some(Trouble::NotKnown),
            };
        }
        None
    }
}

fn one(case: &Case<'_>, n: usize, item: &Item, contents: &Contents, level: FoodLevel, rule: &Step) -> Option<Finding> {
    let ontology = case.ontology;
    let form = contents.form().under(ontology, case.prepared.piece_size);
    let not_understood = contents.has_unread() || contents.names_no_food();
    let ordered = ontology.food_level_name(level);
    let trouble = Ordered::new(ontology, case.prepared, level).trouble(&form, not_understood)?;
    let (presence, action, mut because, mut say) = match &trouble {
        Trouble::Excluded(part, why) => {
            let needs = part.form.food.filter(|food| *food > level).map(|food| ontology.food_level_name(food));
            let words = say::texture(&item.name, needs.as_deref(), &ordered, why, form.measured.is_some());
            (Presence::Contains, conflict(item), form_steps(ontology, item, &form, part), words)
        }
        Trouble::Question(part, why) => {
            let words = say::texture_question(&item.name, &ordered, &why.join(", "));
            (Presence::Unknown, Action::Ask, form_steps(ontology, item, &form, part), words)
        }
        Trouble::Mixed { solid, thin, say, excluded } => {
            let mut steps = form_steps(ontology, item, &form, solid);
            steps.extend(form_steps(ontology, item, &form, thin));
            if *excluded {
                let words = say::texture(&item.name, None, &ordered, std::slice::from_ref(say), false);
                (Presence::Contains, conflict(item), steps, words)
            } else {
                (Presence::Unknown, Action::Ask, steps, say::texture_question(&item.name, &ordered, say))
            }
        }
        Trouble::Pieces(modifier) => {
            let words = say::pieces(&item.name, ontology.title(modifier.concept), &ordered);
            (Presence::Unknown, Action::Ask, form_steps(ontology, item, &form, modifier), words)
        }
        Trouble::TestedOut => {
            let needs = form.measured.map(|m| ontology.food_level_name(m.food_from));
            let words = say::texture(&item.name, needs.as_deref(), &ordered, &[], true);
            let mut steps = contents.unread_steps(item);
            steps.extend(tested_step(ontology, &form));
            (Presence::Contains, conflict(item), steps, words)
        }
        Trouble::NotKnown => {
            let mut steps = contents.unread_steps(item);
            steps.extend(tested_step(ontology, &form));
            (Presence::Unknown, Action::Ask, steps, say::form_unknown(&item.name, &ordered))
        }
    };
    because.push(rule.clone());
    let remedies = if presence == Presence::Contains { case.remedies(&form, not_understood) } else { Vec::new() };
    say.push_str(&say::remedies(ontology, &remedies));
    let concept = Some(format!("food-level-{}", level_word(level)));
    let remedies = remedies.iter().map(|way| ontology.ids_of(way)).collect();
    Some(Finding {
        item: Some(n),
        rule: Rule::Texture,
        concept,
        presence: Some(presence),
        action,
        because,
        say,
        remedies,
    })
}

/// The steps that say how a part is served: ordinarily, after preparations, and by tests.
pub(super) fn form_steps(ontology: &Ontology, item: &Item, form: &ItemForm, part: &PartForm) -> Vec<Step> {
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
    steps.extend(tested_step(ontology, form));
    steps
}

/// The step that repeats test results, where there are any.
pub(super) fn tested_step(ontology: &Ontology, form: &ItemForm) -> Vec<Step> {
    let step = form.tested.clone().zip(form.measured).map(|(results, measured)| Step::Tested {
        results,
        food_from: measured.food_from,
        food_to: measured.food_to,
        drink: measured.drink.map(|d| (d.from, d.to)),
        transitional: measured.transitional,
        source: ontology.iddsi.tests.source.clone(),
    });
    step.into_iter().collect()
}

fn level_word(level: FoodLevel) -> String {
    match level {
        FoodLevel::EasyToChew => "easy-to-chew".to_owned(),
        other => other.number().to_string(),
    }
}
