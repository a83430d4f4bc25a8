//! From phrases to a reading: brackets, parts, statements, claims and choices.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use super::hollow::hollow;
use super::lexicon::{Composed, Guess, Lexicon, Meaning, Unit, What};
use super::{Claim, Denied, Field, Mention, PreparationMention, Reading, Unicode, Unread, decimal};
use crate::limits;
use crate::ontology::{ConceptId, Reach};
use crate::tested::Measure;

/// How many phrases may stand between a shared place and what it does: "facility which in other seasons also handles".
const SHARED_REACH: usize = 8;

/// Reads a food text: a menu line, a recipe line or an ingredient statement.
///
/// Names may be inverted ("salad, potato"); in an ingredient statement a comma only separates.
pub(crate) fn read(lexicon: &Lexicon, text: &str, field: Field) -> Reading {
    let (units, guesses) = lexicon.units(text);
    let mut reader = Reader {
        lexicon,
        field,
        text,
        units: &units,
        guesses: &guesses,
        out: Reading::default(),
        state: State::default(),
    };
    let mut at = 0;
    while at < units.len() {
        at = reader.step(at);
    }
    if field == Field::Name {
        reader.composed();
    }
    reader.hollow();
    let mut reading = reader.finish();
    super::trade::mark(&mut reading, &units, &lexicon.trade_named);
    reading
}

#[derive(Default)]
struct State {
    part: usize,
    next_part: usize,
    /// For each open bracket: the part outside, and the mention that the bracket follows.
    brackets: Vec<(usize, Option<usize>)>,
    /// Foods read inside each open bracket; `None` once the bracket says that it lists only some.
    inside: Vec<Option<usize>>,
    /// How many brackets were open when "may contain" was read.
    precaution: Option<usize>,
    choices: usize,
    /// The choice that "one of" announced, and the units that it reaches over.
    offered: Option<(usize, RangeInclusive<usize>)>,
    /// How many brackets were open when "omit" was read: what follows says what the dish is without the food.
    omission: Option<usize>,
    /// Something was denied in this sentence.
    denied: bool,
    /// "except" took what follows out of a denial.
    excepted: bool,
    /// "ingredients" was read.
    headed: bool,
    /// Parts in which something weakens what is said.
    weak: BTreeSet<usize>,
    /// Parts that say who made the product.
    makers: BTreeSet<usize>,
    /// For each part, the sentence that it stands in.
    sentences: BTreeMap<usize, usize>,
    sentence: usize,
    /// The mention just before this point in the same part.
    last: Option<usize>,
}

struct Reader<'a> {
    lexicon: &'a Lexicon,
    field: Field,
    text: &'a str,
    units: &'a [Unit],
    guesses: &'a [Guess],
    out: Reading,
    state: State,
}

impl Reader<'_> {
    fn what(&self, at: usize) -> Option<What> {
        let unit = self.units.get(at)?;
        let before = at.checked_sub(1).and_then(|b| self.units.get(b)).map(|u| u.what);
        // "butter (sub margarine)": at the head of a bracket the word offers a choice; elsewhere a sub is a roll.
        let stands_for = before == Some(What::Sign('(')) && {
            let word = self.text.get(unit.span.0..unit.span.1).unwrap_or_default();
            self.lexicon.substitution_marks.contains(&self.lexicon.orthography.unicode.lower(word))
        };
        Some(if stands_for { What::Phrase(Meaning::Alternative) } else { unit.what })
    }

    /// Reads one unit, or a claim with the foods it denies; gives the place to go on.
    fn step(&mut self, at: usize) -> usize {
        let Some(unit) = self.units.get(at).copied() else {
            return at + 1;
        };
        match self.what(at).unwrap_or(unit.what) {
            What::Phrase(meaning) => self.phrase(at, unit, meaning),
            What::Number => at + 1,
            What::Sign(sign) => {
                self.sign(sign);
                at + 1
            }
            What::Unknown => {
                self.unread(at, unit);
                at + 1
            }
        }
    }

    fn phrase(&mut self, at: usize, unit: Unit, meaning: Meaning) -> usize {
        match meaning {
            Meaning::Food(concept) => return self.food(at, unit, concept),
            Meaning::Preparation(concept) => {
                let part = self.state.part;
                self.out.preparations.push(PreparationMention { concept, span: unit.span, part, holds: true });
            }
            Meaning::DenialBefore(reach) => return self.denial(at, unit, reach),
            // "free" with no food before it ("free range" is a phrase of its own) says nothing.
            Meaning::DenialAfter => {}
            Meaning::NamedClaim(n) => {
                let part = self.state.part;
                self.out.claims.push(Claim {
                    denied: Denied::Named(n),
                    span: unit.span,
                    part,
                    food: None,
                    whole: false,
                });
            }
            Meaning::PartialList => {
                if let Some(count) = self.state.inside.last_mut() {
                    *count = None;
                }
                self.new_part();
            }
            Meaning::SharedPlace => {
                if self.shares(at + 1) {
                    self.state.precaution = Some(self.state.brackets.len());
                }
            }
            Meaning::Precaution => self.state.precaution = Some(self.state.brackets.len()),
            Meaning::NoLabel => self.out.no_label = true,
            Meaning::Joiner | Meaning::PartMark | Meaning::Conjunction => self.new_part(),
            Meaning::Maker => {
                self.new_part();
                self.state.makers.insert(self.state.part);
            }
            // "not pureed", "half pureed", "dairy-free on request": what is said in this part does not hold.
            Meaning::Negation | Meaning::Weak => {
                self.state.weak.insert(self.state.part);
            }
            Meaning::LengthUnit(hundredths) => {
                let number = at.checked_sub(1).and_then(|before| self.units.get(before));
                let number = number.filter(|u| u.what == What::Number);
                let text = number.and_then(|u| self.text.get(u.span.0..u.span.1)).unwrap_or_default();
                let size =
                    amount(text, &self.lexicon.orthography.unicode).and_then(|n| Measure::from_units(n, hundredths));
                self.out.sizes.extend(size.map(|size| (self.state.part, size)));
            }
            Meaning::Optional => self.optional(),
            // "parmesan (omit for dairy-free)": the claim is about the dish without it.
            Meaning::Omission => {
                self.optional();
                self.state.weak.insert(self.state.part);
                self.state.omission = Some(self.state.brackets.len());
            }
            Meaning::ChoiceHead => self.choice_head(at),
            Meaning::ListHead => self.list_head(at),
            Meaning::Exception => return self.exception(at, unit),
            Meaning::ShortDenial(concept) => self.claim(concept, unit.span, unit.span, false),
            Meaning::Alternative
            | Meaning::Flavour
            | Meaning::Imitation
            | Meaning::NoClaim
            | Meaning::SharedVerb
            | Meaning::OpenWord
            | Meaning::Function
            | Meaning::Filler => {}
        }
        at + 1
    }

    /// The food just before, or the one that the bracket stands behind, may be left out.
    fn optional(&mut self) {
        let owner = self.state.brackets.last().and_then(|(_, owner)| *owner);
        if let Some(mention) = self.state.last.or(owner).and_then(|m| self.out.mentions.get_mut(m)) {
            mention.optional = true;
        }
    }

    /// A food, unless what follows turns it into a claim ("egg-free", "dairy and gluten free").
    fn food(&mut self, at: usize, unit: Unit, concept: ConceptId) -> usize {
        if self.what(at + 1) == Some(What::Phrase(Meaning::DenialAfter)) {
            let end = self.units.get(at + 1).map_or(unit.span.1, |u| u.span.1);
            self.claim(concept, unit.span, (unit.span.0, end), false);
            return at + 2;
        }
        if self.is_abstract(unit) && self.leads_to_free(at + 1) {
            self.claim(concept, unit.span, unit.span, false);
            return at + 1;
        }
        let text = self.text.get(unit.span.0..unit.span.1).unwrap_or_default();
        for denied in self.lexicon.inner_claims(text) {
            let (span, part) = (unit.span, self.state.part);
            self.out.claims.push(Claim { denied, span, part, food: None, whole: false });
        }
        let imitation =
            at.checked_sub(1).and_then(|before| self.what(before)) == Some(What::Phrase(Meaning::Imitation));
        let maker = self.state.makers.contains(&self.state.part);
        let alluded = imitation || maker || self.flavour_follows(at + 1);
        let offered = self.state.offered.clone().filter(|(_, places)| places.contains(&at)).map(|(choice, _)| choice);
        let choice = offered.or_else(|| self.choice_before(at));
        let optional = self.field == Field::Name && choice.is_none() && self.offered_instead(at);
        let mention = Mention {
            precaution: self.state.precaution.is_some(),
            alluded,
            excepted: self.state.excepted,
            optional,
            choice,
            within: self.state.brackets.last().and_then(|(_, owner)| *owner),
            ..Mention::plain(concept, unit.span, self.state.part)
        };
        self.state.last = Some(self.out.mentions.len());
        self.out.mentions.push(mention);
        if let Some(Some(count)) = self.state.inside.last_mut() {
            *count += 1;
        }
        at + 1
    }

    /// "cheese flavour", "cheese and onion flavour".
    fn flavour_follows(&self, at: usize) -> bool {
        match self.what(at) {
            Some(What::Phrase(Meaning::Flavour)) => true,
            Some(What::Phrase(Meaning::Conjunction)) => {
                matches!(self.what(at + 1), Some(What::Phrase(Meaning::Food(_))))
                    && self.what(at + 2) == Some(What::Phrase(Meaning::Flavour))
            }
            _ => false,
        }
    }

    /// "dairy", "gluten": words that claims use and no kitchen serves.
    fn is_abstract(&self, unit: Unit) -> bool {
        let word = self.text.get(unit.span.0..unit.span.1).unwrap_or_default();
        self.lexicon.abstract_words.contains(&self.lexicon.orthography.unicode.lower(word))
    }

    /// A run of foods joined by "and", "or", comma or slash that ends in "free".
    fn leads_to_free(&self, from: usize) -> bool {
        for at in from..self.units.len() {
            match self.what(at) {
                Some(What::Phrase(Meaning::Conjunction | Meaning::Alternative | Meaning::Food(_))) => {}
                Some(What::Sign(',' | '/')) => {}
                // "with milk, dairy-free if needed": a claim that may not hold denies nothing before it.
                Some(What::Phrase(Meaning::DenialAfter)) => {
                    let weak = matches!(self.what(at + 1), Some(What::Phrase(Meaning::Weak | Meaning::Negation)));
                    return at > from && !weak;
                }
                _ => return false,
            }
        }
        false
    }

    /// Whether a place ("facility", "equipment") is said to handle what follows, without a denial before it.
    fn shares(&self, from: usize) -> bool {
        for at in from..self.units.len().min(from + SHARED_REACH) {
            match self.what(at) {
                Some(What::Phrase(Meaning::SharedVerb)) => return true,
                Some(What::Phrase(
                    Meaning::Filler
                    | Meaning::Function
                    | Meaning::SharedPlace
                    | Meaning::Conjunction
                    | Meaning::Joiner
                    | Meaning::PartMark,
                )) => {}
                _ => return false,
            }
        }
        false
    }

    /// "A or B": both belong to one choice.
    fn choice_before(&mut self, at: usize) -> Option<usize> {
        let mut before = at;
        loop {
            before = before.checked_sub(1)?;
            match self.what(before)? {
                What::Phrase(Meaning::Alternative) => break,
                What::Phrase(
                    Meaning::Filler
                    | Meaning::Function
                    | Meaning::LengthUnit(_)
                    | Meaning::ChoiceHead
                    | Meaning::Preparation(_)
                    | Meaning::NamedClaim(_)
                    | Meaning::NoClaim,
                )
                | What::Number => {}
                // "milk or dairy-free yogurt": the claim belongs to the food behind it.
                What::Phrase(Meaning::DenialAfter) => before = before.checked_sub(1)?,
                _ => return None,
            }
        }
        // "eggs (or flax eggs)": the bracket offers another choice for what stands before it.
        let in_bracket = before.checked_sub(1).and_then(|b| self.what(b)) == Some(What::Sign('('));
        let owner = self.state.brackets.last().and_then(|(_, owner)| *owner).filter(|_| in_bracket);
        let last = owner.or(self.state.last)?;
        let fresh = self.state.choices;
        let first = self.out.mentions.get_mut(last)?;
        if first.choice.is_none() {
            first.choice = Some(fresh);
            self.state.choices += 1;
        }
        first.choice
    }

    /// "Pie, apple, small or tart": the food behind "or" is offered in place of one named before the comma.
    fn offered_instead(&self, at: usize) -> bool {
        let before = self.units.get(..at).unwrap_or_default().iter().rev().map(|unit| unit.what);
        let silent = |what: &What| matches!(what, What::Phrase(Meaning::Filler | Meaning::Function) | What::Number);
        let mut before = before.skip_while(silent);
        if before.next() != Some(What::Phrase(Meaning::Alternative)) {
            return false;
        }
        let mut before = before.skip_while(silent);
        let comma = before.next() == Some(What::Sign(','));
        let sentence = |what: &What| !matches!(what, What::Sign('.' | ';' | '\n'));
        comma && before.take_while(sentence).any(|what| matches!(what, What::Phrase(Meaning::Food(_))))
    }

    /// "choice of A, B or C": all of them stand for each other. Without an "or" behind it only the next food is meant,
    /// and what the choice is of ("choice of sandwich: tuna or egg") is there whatever is chosen.
    fn choice_head(&mut self, at: usize) {
        let mut from = at + 1;
        let mut to = None;
        let mut joined = false;
        for place in at + 1..self.units.len() {
            match self.what(place) {
                Some(What::Phrase(Meaning::Food(_))) if joined => (to, joined) = (Some(place), false),
                Some(What::Sign(':')) => from = place + 1,
                Some(What::Phrase(Meaning::Alternative)) => joined = true,
                Some(What::Phrase(Meaning::Food(_) | Meaning::Preparation(_) | Meaning::Filler | Meaning::Flavour))
                | Some(What::Number | What::Sign(',' | '/')) => {}
                _ => break,
            }
        }
        if let Some(to) = to {
            self.state.offered = Some((self.state.choices, from..=to));
            self.state.choices += 1;
        }
    }

    fn claim(&mut self, concept: ConceptId, food: (usize, usize), span: (usize, usize), left_out: bool) {
        let part = self.state.part;
        let denied = Denied::Concept { concept, left_out };
        self.out.claims.push(Claim { denied, span, part, food: Some(food), whole: false });
    }

    /// "no A", "no A, B or C", "free from A, B and C".
    fn denial(&mut self, at: usize, unit: Unit, reach: Reach) -> usize {
        self.state.denied = true;
        let foods = self.denied_foods(at + 1, reach);
        let mut go_on = at + 1;
        for (place, concept) in foods {
            let food = self.units.get(place).map_or(unit.span, |u| u.span);
            self.claim(concept, food, (unit.span.0, food.1), true);
            go_on = place + 1;
        }
        go_on
    }

    /// "Chocolate bar. Ingredients: sugar": what stands before the first head is a name, and the list replaces its recipe.
    fn list_head(&mut self, at: usize) {
        // "All ingredients are organic" heads nothing.
        if self.field == Field::Name || self.what(at + 1) != Some(What::Sign(':')) {
            return self.new_part();
        }
        if !self.state.headed {
            self.out.mentions.iter_mut().for_each(|mention| mention.listed = true);
        }
        self.state.headed = true;
        self.new_part();
    }

    /// "all vegetables except peas" denies peas; "no nuts except almonds" does not deny almonds.
    fn exception(&mut self, at: usize, unit: Unit) -> usize {
        if self.state.denied {
            self.new_part();
            self.state.excepted = true;
            return at + 1;
        }
        self.denial(at, unit, Reach::Or)
    }

    /// The foods that a denial reaches. In doubt fewer: what is not denied counts as present.
    fn denied_foods(&self, from: usize, reach: Reach) -> Vec<(usize, ConceptId)> {
        let mut foods = Vec::new();
        let mut sure = 0;
        let mut joined = true;
        let mut by_alternative = false;
        for at in from..self.units.len() {
            match self.what(at) {
                Some(What::Phrase(Meaning::Food(concept))) if joined => {
                    if self.what(at + 1) == Some(What::Phrase(Meaning::DenialAfter)) {
                        break;
                    }
                    foods.push((at, concept));
                    joined = false;
                    if by_alternative || foods.len() == 1 || reach == Reach::List {
                        sure = foods.len();
                    }
                    by_alternative = false;
                }
                // "no cheese sauce": two foods in a row are not what the denial was written for.
                Some(What::Phrase(Meaning::Food(_))) => {
                    if reach == Reach::Or && foods.len() == 1 {
                        return Vec::new();
                    }
                    break;
                }
                Some(What::Phrase(Meaning::Alternative)) => (joined, by_alternative) = (true, true),
                Some(What::Phrase(Meaning::Conjunction)) if reach == Reach::List => joined = true,
                Some(What::Sign(',')) => joined = true,
                Some(What::Phrase(Meaning::Filler | Meaning::Function | Meaning::NoClaim)) => {}
                _ => break,
            }
        }
        foods.truncate(sure);
        foods
    }

    fn sign(&mut self, sign: char) {
        match sign {
            '(' | '[' | '{' if self.state.brackets.len() < limits::NESTING => {
                self.state.brackets.push((self.state.part, self.state.last));
                self.state.inside.push(Some(0));
                self.new_part();
            }
            ')' | ']' | '}' => self.close_bracket(),
            // "Noodles: wheat flour, palm oil": a list follows, which replaces the recipe.
            ':' => {
                let before = self.state.last.and_then(|m| self.out.mentions.get_mut(m));
                if let (Field::Ingredients, Some(mention)) = (self.field, before) {
                    mention.listed = true;
                }
                self.new_part();
            }
            ',' | '/' | '+' | '|' | '\u{2022}' | '-' => self.new_part(),
            '.' | ';' | '\n' => {
                self.state.sentence += 1;
                self.new_part();
                self.state.precaution = None;
                self.state.omission = None;
                self.state.denied = false;
                self.state.excepted = false;
            }
            _ => {}
        }
    }

    fn close_bracket(&mut self) {
        let Some((part, owner)) = self.state.brackets.pop() else {
            return;
        };
        let foods = self.state.inside.pop().flatten().unwrap_or(0);
        // One food in brackets names a source ("lecithin (soy)"); two or more are a list.
        // In a name brackets only describe: "gumbo (with shellfish, okra)" is made like any gumbo.
        if let (Field::Ingredients, Some(mention)) = (self.field, owner.and_then(|o| self.out.mentions.get_mut(o))) {
            mention.listed |= foods >= 2;
            mention.explained |= foods == 1;
        }
        if self.state.precaution.is_some_and(|depth| depth > self.state.brackets.len()) {
            self.state.precaution = None;
        }
        if self.state.omission.is_some_and(|depth| depth > self.state.brackets.len()) {
            self.state.omission = None;
        }
        self.new_part();
        // What follows the bracket belongs to the part before it.
        self.state.part = part;
        self.state.last = owner;
    }

    fn new_part(&mut self) {
        self.state.next_part += 1;
        self.state.part = self.state.next_part;
        self.state.sentences.insert(self.state.part, self.state.sentence);
        if self.state.omission.is_some() {
            self.state.weak.insert(self.state.part);
        }
        self.state.last = None;
    }

    /// Part of a web address, which names a page and no food; food words in it are read all the same.
    fn in_address(&self, unit: Unit) -> bool {
        let (before, after) = (self.text.get(..unit.span.0), self.text.get(unit.span.0..));
        let start = before.unwrap_or_default().rsplit(char::is_whitespace).next().unwrap_or_default();
        let end = after.unwrap_or_default().split(char::is_whitespace).next().unwrap_or_default();
        let word = format!("{start}{end}");
        word.contains("://") || word.starts_with("www.")
    }

    /// The word stays unread; what it may have been meant as only adds hazard.
    fn unread(&mut self, at: usize, unit: Unit) {
        if self.in_address(unit) {
            return;
        }
        let guesses: Vec<Guess> = self.guesses.iter().filter(|g| g.unit == at).copied().collect();
        for guess in &guesses {
            self.out.mentions.push(Mention {
                precaution: self.state.precaution.is_some(),
                guessed: true,
                ..Mention::plain(guess.concept, guess.span, self.state.part)
            });
        }
        let text = self.text.get(unit.span.0..unit.span.1).unwrap_or_default().to_owned();
        let read_as = guesses.iter().map(|g| g.concept).collect();
        self.out.unread.push(Unread { text, span: unit.span, read_as, trade_name: false });
    }

    /// A name that commas take apart is read beside the words themselves, so that it only adds: "milk, coconut" stays milk too.
    /// Words that it explains are no longer unread.
    fn composed(&mut self) {
        for Composed { span, concept, turned } in self.lexicon.composed(self.text) {
            let inside = |s: (usize, usize)| span.0 <= s.0 && s.1 <= span.1;
            // "glucose syrup (wheat)" is a name as it stands.
            let meets = |s: (usize, usize)| s.0 < span.1 && span.0 < s.1;
            if self.out.mentions.iter().any(|m| m.concept == concept && meets(m.span)) {
                continue;
            }
            self.new_part();
            self.out.unread.retain(|u| !inside(u.span));
            self.out.mentions.retain(|m| !(m.guessed && inside(m.span)));
            let part = self.out.mentions.iter().find(|m| inside(m.span)).map_or(self.state.part, |m| m.part);
            // The whole name says which salad it is.
            for mention in self.out.mentions.iter_mut().filter(|m| turned && inside(m.span)) {
                mention.explained = true;
            }
            self.out.mentions.push(Mention::plain(concept, span, part));
        }
    }

    /// What the text promises and does not name is unread.
    fn hollow(&mut self) {
        for span in hollow(self.units) {
            let text = self.text.get(span.0..span.1).unwrap_or_default().to_owned();
            self.out.unread.push(Unread { text, span, read_as: Vec::new(), trade_name: false });
        }
        self.out.unread.sort_by_key(|u| u.span);
    }

    /// Claims and preparations that stand alone in a part belong to the food before them, else to the one after.
    fn finish(mut self) -> Reading {
        // "Honey granola (12 %). Honey granola (oats, sugar)": the list speaks for every mention of it.
        let listed: Vec<ConceptId> = self.out.mentions.iter().filter(|m| m.listed).map(|m| m.concept).collect();
        for mention in &mut self.out.mentions {
            mention.listed |= listed.contains(&mention.concept);
        }
        let parts: Vec<usize> = self.out.mentions.iter().filter(|m| !m.guessed).map(|m| m.part).collect();
        let home = |part: usize| {
            if parts.contains(&part) {
                return part;
            }
            let before = parts.iter().filter(|p| **p < part).max();
            let after = parts.iter().filter(|p| **p > part).min();
            before.or(after).copied().unwrap_or(part)
        };
        // Beside two foods a claim that stands alone is about the nearest one, if about any.
        let one_part = parts.iter().all(|p| Some(p) == parts.first());
        let weak = std::mem::take(&mut self.state.weak);
        let sentences = std::mem::take(&mut self.state.sentences);
        let sentence = |part: usize| sentences.get(&part).copied().unwrap_or(0);
        // "Steak; pureed" is another sentence: what stands alone in it is not surely about the food before it.
        let holds = |part: usize| {
            let home = home(part);
            !weak.contains(&part) && !weak.contains(&home) && sentence(part) == sentence(home)
        };
        let unsure = |part: usize| (!holds(part)).then(|| home(part));
        let claims = self.out.claims.iter().filter_map(|c| unsure(c.part));
        let preparations = self.out.preparations.iter().filter_map(|p| unsure(p.part));
        let unsure_parts: BTreeSet<usize> = claims.chain(preparations).chain(weak.iter().map(|p| home(*p))).collect();
        self.out.claims.retain(|c| holds(c.part));
        for claim in &mut self.out.claims {
            claim.whole = !parts.contains(&claim.part) && one_part;
            claim.part = home(claim.part);
        }
        for preparation in &mut self.out.preparations {
            // What it brings in stays; that it makes softer does not hold.
            preparation.holds = holds(preparation.part);
            preparation.part = home(preparation.part);
        }
        for (part, _) in &mut self.out.sizes {
            *part = home(*part);
        }
        self.out.unsure = unsure_parts;
        self.out
    }
}

/// A number as people write it: "10", "1.5", "1/2", "1 1/2" written together as "1½".
fn amount(text: &str, unicode: &Unicode) -> Option<f64> {
    if let Some(number) = decimal(&text.replace(',', ".")) {
        return Some(number);
    }
    let (whole, fraction) = match text.char_indices().find(|(_, c)| !c.is_ascii() && c.is_numeric()) {
        Some((at, c)) => (text.get(..at)?, unicode.decomposed(c)),
        None => ("", text.to_owned()),
    };
    let whole = if whole.is_empty() { 0.0 } else { decimal(whole)? };
    let (over, under) = fraction.split_once(['/', '\u{2044}'])?;
    let (over, under) = (decimal(over)?, decimal(under).filter(|u| *u > 0.0)?);
    Some(whole + over / under)
}
