//! An order made ready to judge: every entry read, structured fields and text put together, the stricter reading holding.

use super::card::{CardLexicon, CardReading, Mode, read_card};
use super::{Allergy, AllergyKind, Order};
use crate::level::{DrinkLevel, FoodLevel};
use crate::ontology::{ConceptId, Ontology};
use crate::read::Lexicon;
use crate::tested::PieceSize;

/// One excluded concept.
#[derive(Debug, Clone)]
pub(crate) struct Exclusion {
    pub(crate) concept: ConceptId,
    pub(crate) kind: AllergyKind,
    pub(crate) severe: bool,
    /// The place in the order: `allergies[0]`, `text`.
    pub(crate) place: String,
    /// The word that excludes it.
    pub(crate) says: String,
    /// Ask instead of conflict, whatever the presence: a look-alike of an order group.
    pub(crate) only_ask: bool,
}

/// One ordered diet.
#[derive(Debug, Clone)]
pub(crate) struct PreparedDiet {
    /// Its place in the ontology's list.
    pub(crate) index: usize,
    pub(crate) place: String,
    pub(crate) says: String,
}

/// A question that the order itself raises.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum AskFor {
    /// The order states nothing at all.
    Missing,
    /// A part of it was not understood, or has several readings.
    Unclear { place: String, text: String, why: String },
    /// Two of its statements disagree; the stricter one holds.
    Disagreement { first: String, second: String, about: &'static str },
}

/// An order, ready to judge.
#[derive(Debug, Clone, Default)]
pub(crate) struct Prepared {
    pub(crate) exclusions: Vec<Exclusion>,
    pub(crate) diets: Vec<PreparedDiet>,
    /// Every ordered food level with its place; each is judged.
    pub(crate) food_levels: Vec<(FoodLevel, String, String)>,
    /// Every ordered liquid level with its place; each is judged.
    pub(crate) liquid_levels: Vec<(DrinkLevel, String, String)>,
    /// Mouth risks that the order clears, by id.
    pub(crate) cleared: Vec<String>,
    pub(crate) piece_size: PieceSize,
    /// Medicines that undo a thickener: place in `iddsi.json`, place in the order, words.
    pub(crate) thickener_cautions: Vec<(usize, String, String)>,
    /// Plain water is allowed between meals.
    pub(crate) free_water: bool,
    pub(crate) fluid_limit_ml: Option<u32>,
    pub(crate) asks: Vec<AskFor>,
    pub(crate) allergies_stated: bool,
    pub(crate) remarks: Vec<String>,
    pub(crate) notes_to_confirm: Vec<String>,
    pub(crate) drugs: Vec<String>,
    pub(crate) preferences: Vec<String>,
    pub(crate) precautions: Vec<String>,
    pub(crate) denied: Vec<String>,
}

impl Prepared {
    pub(crate) fn new(ontology: &Ontology, foods: &Lexicon, card: &CardLexicon, order: &Order) -> Self {
        let mut prepared = Self::default();
        if !order.states_anything() {
            prepared.asks.push(AskFor::Missing);
        }
        let read = |text: &str, mode| read_card(ontology, foods, card, text, mode);
        for (n, allergy) in order.allergies.iter().flatten().enumerate() {
            let reading = read(&allergy.to, Mode::Allergy(allergy.kind));
            prepared.take_allergy(ontology, &format!("allergies[{n}]"), allergy, reading);
        }
        prepared.allergies_stated = order.allergies.is_some();
        for (n, diet) in order.diets.iter().enumerate() {
            prepared.take(&format!("diets[{n}]"), read(diet, Mode::Open), true);
        }
        if let Some(level) = order.food_level {
            prepared.food_levels.push((level, "food_level".to_owned(), ontology.food_level_name(level)));
        }
        if let Some(level) = order.liquid_level {
            prepared.liquid_levels.push((level, "liquid_level".to_owned(), ontology.drink_level_name(level)));
        }
        prepared.fluid_limit_ml = order.fluid_limit_ml;
        prepared.piece_size = order.piece_size.unwrap_or_default();
        for (n, word) in order.cleared.iter().enumerate() {
            prepared.take_cleared(ontology, &format!("cleared[{n}]"), word, read(word, Mode::Open));
        }
        if let Some(text) = &order.text {
            prepared.take_text("text", order, read(text, Mode::Open));
        }
        for (n, note) in order.notes.iter().enumerate() {
            prepared.take_text(&format!("notes[{n}]"), order, read(note, Mode::Open));
        }
        prepared.disagreements();
        // Text that states nothing that could be judged is a missing order.
        let silent = prepared.exclusions.is_empty()
            && prepared.diets.is_empty()
            && prepared.food_levels.is_empty()
            && prepared.liquid_levels.is_empty()
            && prepared.fluid_limit_ml.is_none()
            && !prepared.allergies_stated;
        if silent && prepared.asks.is_empty() {
            prepared.asks.push(AskFor::Missing);
        }
        prepared
    }

    fn take_allergy(&mut self, ontology: &Ontology, place: &str, allergy: &Allergy, mut reading: CardReading) {
        let is_severe = |words: String| ontology.card.severe.iter().any(|s| words.contains(s.as_str()));
        let severe =
            allergy.severity.iter().chain(&allergy.reaction).any(|words| is_severe(ontology.unicode.lower(words)));
        for entry in &mut reading.allergies {
            entry.severe |= severe;
        }
        let read_something = !reading.allergies.is_empty()
            || !reading.drugs.is_empty()
            || !reading.diets.is_empty()
            || reading.none_known
            || !reading.unclear.is_empty();
        if !read_something {
            let why = "names no food that is known".to_owned();
            self.asks.push(AskFor::Unclear { place: place.to_owned(), text: allergy.to.clone(), why });
        }
        self.take(place, reading, false);
    }

    /// A word that clears nothing known is a question, not a permission.
    fn take_cleared(&mut self, ontology: &Ontology, place: &str, word: &str, reading: CardReading) {
        let by_id = ontology.iddsi.risks.iter().find(|r| r.id == word && !r.cleared_by.is_empty());
        match by_id {
            Some(risk) => self.cleared.push(risk.id.clone()),
            None if reading.cleared.is_empty() => {
                let why = "clears nothing that is known".to_owned();
                self.asks.push(AskFor::Unclear { place: place.to_owned(), text: word.to_owned(), why });
            }
            None => self.take(place, reading, false),
        }
    }

    fn take_text(&mut self, place: &str, order: &Order, reading: CardReading) {
        self.allergies_stated |= reading.none_known || !reading.allergies.is_empty();
        let none_known_by_field = order.allergies.as_ref().is_some_and(Vec::is_empty);
        if reading.none_known && (!self.exclusions.is_empty() || !reading.allergies.is_empty()) {
            self.disagree("an allergy", "no known food allergies", "allergies");
        } else if none_known_by_field && reading.allergies.iter().any(|a| a.kind == AllergyKind::Allergy) {
            self.disagree("an empty allergy list", "an allergy in the text", "allergies");
        }
        if let (Some(field), Some(text)) = (order.fluid_limit_ml, reading.fluid_limit_ml)
            && field != text
        {
            self.disagree(&format!("{field} mL"), &format!("{text} mL"), "the fluid limit");
        }
        self.take(place, reading, false);
    }

    fn take(&mut self, place: &str, reading: CardReading, diet_entry: bool) {
        let known = !reading.diet_places.is_empty()
            || !reading.food_levels.is_empty()
            || !reading.liquid_levels.is_empty()
            || !reading.unclear.is_empty()
            || reading.fluid_limit_ml.is_some();
        if diet_entry && !known {
            let why = "names no diet that is known".to_owned();
            self.asks.push(AskFor::Unclear { place: place.to_owned(), text: place.to_owned(), why });
        }
        for entry in reading.allergies {
            if entry.kind == AllergyKind::Excluded {
                self.notes_to_confirm.push(format!("\"{}\" is judged as an allergy; confirm it", entry.to));
            }
            if let Some(note) = entry.note {
                self.notes_to_confirm.push(format!("\"{}\" is read as {note}", entry.to));
            }
            for (ids, only_ask) in [(entry.ids, false), (entry.asks, true)] {
                self.exclusions.extend(ids.into_iter().map(|concept| Exclusion {
                    concept,
                    kind: entry.kind,
                    severe: entry.severe,
                    place: place.to_owned(),
                    says: entry.to.clone(),
                    only_ask,
                }));
            }
        }
        for (index, says) in reading.diet_places {
            if !self.diets.iter().any(|d| d.index == index) {
                self.diets.push(PreparedDiet { index, place: place.to_owned(), says });
            }
        }
        let levels = reading.food_levels.into_iter().map(|(level, says)| (level, place.to_owned(), says));
        self.food_levels.extend(levels);
        let levels = reading.liquid_levels.into_iter().map(|(level, says)| (level, place.to_owned(), says));
        self.liquid_levels.extend(levels);
        self.fluid_limit_ml = match (self.fluid_limit_ml, reading.fluid_limit_ml) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        self.cleared.extend(reading.cleared);
        self.free_water |= reading.free_water;
        let cautions = reading.thickener_cautions.into_iter().map(|(n, says)| (n, place.to_owned(), says));
        self.thickener_cautions.extend(cautions);
        self.piece_size = self.piece_size.max(reading.piece_size.unwrap_or_default());
        for unclear in reading.unclear {
            self.asks.push(AskFor::Unclear { place: place.to_owned(), text: unclear.text, why: unclear.why });
        }
        self.remarks.extend(reading.remarks);
        self.drugs.extend(reading.drugs);
        self.preferences.extend(reading.preferences);
        self.precautions.extend(reading.precautions);
        self.precautions.extend(reading.supplements.into_iter().map(|s| format!("supplement: {s}")));
        self.denied.extend(reading.denied);
    }

    fn disagree(&mut self, first: &str, second: &str, about: &'static str) {
        self.asks.push(AskFor::Disagreement { first: first.to_owned(), second: second.to_owned(), about });
    }

    /// Two different levels on one axis: each is judged, and it is said.
    fn disagreements(&mut self) {
        let (food, liquid) = (self.food_levels.clone(), self.liquid_levels.clone());
        for pair in food.windows(2) {
            if let [first, second] = pair
                && first.0 != second.0
            {
                self.disagree(&first.2, &second.2, "the food level");
            }
        }
        for pair in liquid.windows(2) {
            if let [first, second] = pair
                && first.0 != second.0
            {
                self.disagree(&first.2, &second.2, "the liquid level");
            }
        }
    }

    /// Whether anything is restricted, so that an unknown food cannot simply be served.
    pub(crate) fn restricts(&self) -> bool {
        !self.exclusions.is_empty()
            || !self.diets.is_empty()
            || self.food_levels.iter().any(|(level, ..)| *level < FoodLevel::Regular)
            || self.liquid_levels.iter().any(|(level, ..)| *level != DrinkLevel::THIN)
    }
}
