//! What the kitchen could do to bring an item within the ordered levels. The result must still be tested.

use super::{Case, liquid, texture};
use crate::contents::{ItemForm, MELTS, PartForm};
use crate::ontology::{ConceptId, RawEffect};

impl Case<'_> {
    /// Lists of preparations, the smallest change first, after each of which every ordered level is met.
    pub(super) fn remedies(&self, form: &ItemForm, not_understood: bool) -> Vec<Vec<ConceptId>> {
        let remedies = &self.ontology.iddsi.remedies;
        let mut trimmed = form.clone();
        let mut trims = Vec::new();
        for id in remedies.trims.iter().filter_map(|id| self.ontology.find(id)) {
            if let Some(after) = self.after(&trimmed, id, &[]) {
                trimmed = after;
                trims.push(id);
            }
        }
        let mut found = Vec::new();
        if !trims.is_empty() && self.fits(&trimmed, not_understood) {
            found.push(trims.clone());
        }
        for change in &remedies.changes {
            let Some(id) = self.ontology.find(&change.preparation) else { continue };
            let fits = |form: &ItemForm| {
                self.after(form, id, &change.with).is_some_and(|after| self.fits(&after, not_understood))
            };
            if fits(form) {
                found.push(vec![id]);
            } else if !trims.is_empty() && fits(&trimmed) {
                found.push(trims.iter().copied().chain([id]).collect());
            }
        }
        found
    }

    /// The form after a preparation; `None` where it changes nothing or nobody would do it.
    fn after(&self, form: &ItemForm, id: ConceptId, with: &[String]) -> Option<ItemForm> {
        let effect: &RawEffect = self.ontology.concept(id).effect.as_ref()?;
        let any = |is: &dyn Fn(&PartForm) -> bool| form.heads().any(is);
        let has = |part: &PartForm, risk: &str| part.form.risks.iter().any(|r| r == risk);
        let wanted = with.is_empty() || any(&|part| with.iter().any(|risk| has(part, risk)));
        // Only drinks are thickened: what melts still melts, and solids stay solid.
        let thickens = effect.drink.is_some() && effect.food.is_none();
        let solid = any(&|part| part.form.food.is_some());
        let possible = !any(&|part| has(part, MELTS)) && thickens != solid;
        let after = form.prepared(effect);
        (wanted && possible && after.parts != form.parts).then_some(after)
    }

    fn fits(&self, form: &ItemForm, not_understood: bool) -> bool {
        let food = |level| texture::Ordered::new(self.ontology, self.prepared, level);
        let levels = &self.prepared.food_levels;
        levels.iter().all(|(level, ..)| food(*level).trouble(form, not_understood).is_none())
            && self
                .prepared
                .liquid_levels
                .iter()
                .all(|(level, ..)| liquid::trouble(form, *level, not_understood).is_none())
    }
}
