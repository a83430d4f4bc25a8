//! Diet-card text. Every stretch of it is read, or listed as unclear.

use std::collections::BTreeMap;

use serde::Serialize;

use super::AllergyKind;
use crate::level::{DrinkLevel, FoodLevel};
use crate::ontology::{Axis, ConceptId, Kind, Label, Ontology};
use crate::read::{Lexicon, Span, Token, TokenKind, Trie, Words, cut, decimal, index, phrase_word};
use crate::tested::PieceSize;

/// What a phrase means on a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Meaning {
    Label(Label),
    NoneKnown,
    OtherNoneKnown,
    NoneWord,
    Denial,
    Dislike,
    ExclusionMark,
    Severe,
    Reaction,
    Supplement,
    Precaution,
    FluidLimit,
    UnitMl(u32),
    Filler,
    Ambiguous(usize),
    Drug,
    Diet(usize),
    Term(usize),
    OrderGroup(usize),
    /// Clears a mouth risk, by its place in `iddsi.json`.
    Cleared(usize),
    PaediatricSizes,
    /// A medicine that undoes a thickener, by its place in `iddsi.json`.
    ThickenerCaution(usize),
    FreeWater,
}

/// The vocabulary of cards.
#[derive(Debug)]
pub(crate) struct CardLexicon {
    words: Words,
    trie: Trie<Meaning>,
}

impl CardLexicon {
    pub(crate) fn new(ontology: &Ontology, foods: &Lexicon) -> Self {
        let phrases = cut(&foods.orthography, &phrases(ontology));
        let words = &ontology.words;
        let (words, trie) = index(&words.irregular_plurals, &words.own_plurals, &phrases, |_, _, _| {});
        Self { words, trie }
    }
}

fn phrases(ontology: &Ontology) -> Vec<(String, Meaning)> {
    let card = &ontology.card;
    let mut phrases = Vec::new();
    let mut add = |list: &[String], meaning| phrases.extend(list.iter().map(|t| (t.clone(), meaning)));
    for (n, word) in card.ambiguous.iter().enumerate() {
        add(std::slice::from_ref(&word.text), Meaning::Ambiguous(n));
    }
    // A limit with its amount says more than the diet of the same name.
    add(&card.fluid_limits, Meaning::FluidLimit);
    for (n, diet) in ontology.diets.iter().enumerate() {
        add(&diet.names, Meaning::Diet(n));
        add(std::slice::from_ref(&diet.id), Meaning::Diet(n));
    }
    for (n, term) in ontology.iddsi.terms.iter().enumerate() {
        add(&term.names, Meaning::Term(n));
    }
    for (n, risk) in ontology.iddsi.risks.iter().enumerate() {
        add(&risk.cleared_by, Meaning::Cleared(n));
    }
    add(&ontology.iddsi.paediatric_words, Meaning::PaediatricSizes);
    for (n, caution) in ontology.iddsi.thickener_cautions.iter().enumerate() {
        add(&caution.names, Meaning::ThickenerCaution(n));
    }
    add(&ontology.iddsi.free_water.names, Meaning::FreeWater);
    for (n, group) in ontology.allergens.order_groups.iter().enumerate() {
        add(&group.names, Meaning::OrderGroup(n));
    }
    for (label, names) in &card.labels {
        add(names, Meaning::Label(*label));
    }
    for (unit, ml) in &card.units_ml {
        add(std::slice::from_ref(unit), Meaning::UnitMl(*ml));
    }
    for (list, meaning) in [
        (&card.none_known, Meaning::NoneKnown),
        (&card.other_none_known, Meaning::OtherNoneKnown),
        (&card.none_words, Meaning::NoneWord),
        (&card.denials, Meaning::Denial),
        (&card.dislikes, Meaning::Dislike),
        (&card.exclusion_marks, Meaning::ExclusionMark),
        (&card.severe, Meaning::Severe),
        (&card.reactions, Meaning::Reaction),
        (&card.supplements, Meaning::Supplement),
        (&card.precautions, Meaning::Precaution),
        (&card.drugs, Meaning::Drug),
        (&card.per_day, Meaning::Filler),
        (&card.filler, Meaning::Filler),
    ] {
        add(list, meaning);
    }
    phrases
}

/// What the words after a label are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mode {
    /// No label: a food word is an exclusion to be confirmed.
    Open,
    /// After "allergy:".
    Allergy(AllergyKind),
    /// After "dislikes".
    Preference,
    /// After "denies".
    Denied,
}

/// A food that a card excludes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardAllergy {
    /// The word on the card.
    pub to: String,
    /// The concepts it was read as.
    pub concepts: Vec<String>,
    /// What it is.
    pub kind: AllergyKind,
    /// The card says that it is severe.
    pub severe: bool,
    /// What happens, in the card's words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub reactions: Vec<String>,
    /// The bytes that say so.
    pub span: (usize, usize),
    #[serde(skip)]
    pub(crate) ids: Vec<ConceptId>,
    #[serde(skip)]
    pub(crate) asks: Vec<ConceptId>,
    #[serde(skip)]
    pub(crate) note: Option<String>,
}

/// A stretch of a card that must be asked about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unclear {
    /// The words.
    pub text: String,
    /// Their bytes.
    pub span: (usize, usize),
    /// Why, or what it may mean.
    pub why: String,
}

/// Everything read from a card.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CardReading {
    /// Foods that it excludes.
    pub allergies: Vec<CardAllergy>,
    /// It says that no food allergies are known.
    pub none_known: bool,
    /// Diet ids.
    pub diets: Vec<String>,
    /// The lowest food level that it orders.
    pub food_level: Option<FoodLevel>,
    /// The liquid level that it orders; the thickest when it names several.
    pub liquid_level: Option<DrinkLevel>,
    /// Mouth risks that it clears, by id.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cleared: Vec<String>,
    /// Whose piece sizes it names.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece_size: Option<PieceSize>,
    /// Fluid limit in mL a day.
    pub fluid_limit_ml: Option<u32>,
    /// Supplements, in its words.
    pub supplements: Vec<String>,
    /// Feeding precautions, in its words.
    pub precautions: Vec<String>,
    /// Likes and dislikes, in its words; never a conflict.
    pub preferences: Vec<String>,
    /// Drugs that it names among allergies; not judged.
    pub drugs: Vec<String>,
    /// Allergies that it denies, in its words.
    pub denied: Vec<String>,
    /// Remarks on how words were read.
    pub remarks: Vec<String>,
    /// What must be asked about.
    pub unclear: Vec<Unclear>,
    #[serde(skip)]
    pub(crate) thickener_cautions: Vec<(usize, String)>,
    #[serde(skip)]
    pub(crate) free_water: bool,
    #[serde(skip)]
    pub(crate) food_levels: Vec<(FoodLevel, String)>,
    #[serde(skip)]
    pub(crate) liquid_levels: Vec<(DrinkLevel, String)>,
    #[serde(skip)]
    pub(crate) diet_places: Vec<(usize, String)>,
}

/// Reads a card, or one entry of an order, in a mode.
pub(crate) fn read_card(
    ontology: &Ontology,
    foods: &Lexicon,
    card: &CardLexicon,
    text: &str,
    mode: Mode,
) -> CardReading {
    // A dash between the parts of a card is only a gap.
    let mut tokens = foods.orthography.tokens(text);
    tokens.retain(|t| t.kind != TokenKind::Sign('-'));
    let card_numbers: Vec<Option<u32>> =
        tokens.iter().map(|t| phrase_word(t).and_then(|w| card.words.number(w))).collect();
    let mut reader = Reader {
        ontology,
        foods,
        card,
        text,
        tokens: &tokens,
        card_numbers,
        start: mode,
        mode,
        clause: 0,
        axis: None,
        denied_at: None,
        last_level: None,
        bare: Vec::new(),
        swallowed: Vec::new(),
        comma: 0,
        pending_denial: None,
        severe: false,
        amount: None,
        fluid: None,
        allergy_label: None,
        out: CardReading::default(),
    };
    let mut at = 0;
    while at < tokens.len() {
        at = reader.step(at);
    }
    reader.end_clause();
    reader.finish()
}

struct Reader<'a> {
    ontology: &'a Ontology,
    foods: &'a Lexicon,
    card: &'a CardLexicon,
    text: &'a str,
    tokens: &'a [Token],
    card_numbers: Vec<Option<u32>>,
    /// The mode that every clause begins in.
    start: Mode,
    mode: Mode,
    /// How many allergies were read before this clause.
    clause: usize,
    /// The axis that the card names for bare level numbers.
    axis: Option<Label>,
    /// The token after a "no" or "not": what begins there is denied.
    denied_at: Option<usize>,
    /// The last level term: its number, the token after it, and whether it is still unclear.
    last_level: Option<(u8, usize, bool)>,
    /// Bare level numbers that stay unclear: number, axes they may fill, words.
    bare: Vec<(u8, Vec<Axis>, String)>,
    /// Foods taken for preferences in this clause, and how many of them stand before the last comma.
    swallowed: Vec<(Span, ConceptId)>,
    comma: usize,
    /// A "no" that has not reached anything yet.
    pending_denial: Option<Span>,
    /// The card says "severe" or "anaphylaxis" somewhere; of which allergy is not guessed.
    severe: bool,
    /// An amount of fluid in mL that waits for what it limits.
    amount: Option<(u32, Span)>,
    /// A fluid limit that waits for its amount.
    fluid: Option<Span>,
    /// The first label that announces allergies.
    allergy_label: Option<Span>,
    out: CardReading,
}

impl Reader<'_> {
    fn span(&self, at: usize, length: usize) -> Span {
        let first = self.tokens.get(at).map_or(0, |t| t.span.0);
        let last = self.tokens.get(at + length - 1).map_or(first, |t| t.span.1);
        (first, last)
    }

    fn words(&self, span: Span) -> String {
        self.text.get(span.0..span.1).unwrap_or_default().to_owned()
    }

    fn step(&mut self, at: usize) -> usize {
        let Some(token) = self.tokens.get(at) else {
            return at + 1;
        };
        if let TokenKind::Sign(sign) = token.kind {
            self.sign(sign, token.span);
            return at + 1;
        }
        let card = self.card.trie.longest(self.card_numbers.get(at..).unwrap_or_default());
        let food = self.foods.food_at(self.tokens, at);
        let food_first = matches!(self.mode, Mode::Allergy(_) | Mode::Preference | Mode::Denied);
        match (card, food) {
            (Some((length, meaning)), food) if food.is_none_or(|(f, _)| f < length || (f == length && !food_first)) => {
                self.phrase(at, length, meaning)
            }
            (_, Some((length, concept))) => {
                self.food(self.span(at, length), concept);
                at + length
            }
            _ if token.kind == TokenKind::Number => self.number(at),
            _ => {
                let span = self.span(at, 1);
                // A picture may show anything; a word after "dislikes" is a food that nobody needs to know.
                let is_word = token.text.chars().any(char::is_alphanumeric);
                if self.mode == Mode::Preference && is_word {
                    self.out.preferences.push(self.words(span));
                } else {
                    self.unclear(span, "not understood".to_owned());
                }
                at + 1
            }
        }
    }

    /// Where a clause ends, and signs that stand for something that was not read: pictures, blanks to fill in.
    fn sign(&mut self, sign: char, span: Span) {
        match sign {
            '.' | ';' | '\n' | '|' | '!' | '?' | '*' | '\u{2022}' | '\u{2028}' | '\u{3002}' => self.end_clause(),
            ',' => {
                self.comma = self.swallowed.len();
                // "denies eggs, milk allergy": a denial does not reach past a comma.
                if self.mode == Mode::Denied {
                    self.mode = self.start;
                }
            }
            ':' | '/' | '(' | ')' | '[' | ']' | '{' | '}' | '-' | '+' | '\'' | '"' | '#' | '%' | '=' | '<' | '>'
            | '@' | '&' => {}
            _ => self.unclear(span, "a sign that was not understood".to_owned()),
        }
    }

    fn phrase(&mut self, at: usize, length: usize, meaning: Meaning) -> usize {
        let span = self.span(at, length);
        // Only foods are liked or disliked: an order among them is an order.
        let order = matches!(meaning, Meaning::Diet(_) | Meaning::Term(_) | Meaning::FluidLimit | Meaning::NoneKnown);
        if order && self.mode == Mode::Preference {
            self.mode = self.start;
        }
        if self.mode == Mode::Preference && matches!(meaning, Meaning::Severe | Meaning::Reaction) {
            self.unclear(span, "a reaction beside a preference: it may be an allergy".to_owned());
        }
        if !matches!(meaning, Meaning::Filler | Meaning::ExclusionMark | Meaning::UnitMl(_) | Meaning::Label(_)) {
            self.pending_denial = None;
        }
        let denied = self.denied_at.take() == Some(at);
        let orders = matches!(meaning, Meaning::Term(_) | Meaning::Diet(_) | Meaning::Cleared(_) | Meaning::FreeWater);
        if denied && orders {
            self.unclear(span, "denied; what is ordered instead must be asked".to_owned());
            return at + length;
        }
        match meaning {
            Meaning::Label(label) => {
                let words = self.ontology.unicode.lower(&self.words(span));
                self.severe |= self.ontology.card.severe.iter().any(|s| words.contains(s.as_str()));
                if matches!(label, Label::FoodAxis | Label::DrinkAxis) && self.stands_blank(at, at + length) {
                    self.unclear(span, "a label with nothing behind it".to_owned());
                }
                self.label(label, span, at + length);
            }
            Meaning::NoneKnown => self.out.none_known = true,
            // "Fluids: none" denies no allergy.
            Meaning::NoneWord if matches!(self.mode, Mode::Allergy(_)) => self.out.none_known = true,
            Meaning::NoneWord => self.unclear(span, "none of what is not said".to_owned()),
            Meaning::OtherNoneKnown => {
                let remark = format!("\"{}\" says nothing about food", self.words(span));
                self.out.remarks.push(remark);
            }
            Meaning::Denial => self.mode = Mode::Denied,
            Meaning::Dislike => self.mode = Mode::Preference,
            Meaning::ExclusionMark => {
                self.mode = Mode::Allergy(AllergyKind::Excluded);
                self.denied_at = Some(at + length);
                self.pending_denial = Some(span);
            }
            Meaning::Severe => self.severe = true,
            Meaning::Reaction => {
                let words = self.words(span);
                for allergy in self.out.allergies.iter_mut().skip(self.clause) {
                    allergy.reactions.push(words.clone());
                }
            }
            Meaning::Supplement => self.out.supplements.push(self.words(span)),
            Meaning::Precaution => self.out.precautions.push(self.words(span)),
            Meaning::FluidLimit => match self.amount.take() {
                Some((ml, _)) => self.fluid_limit(ml, span),
                None => self.fluid = Some(span),
            },
            Meaning::UnitMl(_) => self.unclear(span, "a unit without an amount".to_owned()),
            Meaning::Filler => {}
            Meaning::Ambiguous(n) => {
                let readings = self.ontology.card.ambiguous.get(n).map(|a| a.readings.join(" or ")).unwrap_or_default();
                self.unclear(span, format!("may mean {readings}"));
            }
            Meaning::Drug => self.out.drugs.push(self.words(span)),
            Meaning::Diet(n) => self.diet(n, span),
            Meaning::Term(n) => self.term(n, at, length),
            Meaning::OrderGroup(n) => self.order_group(n, span),
            Meaning::Cleared(n) => {
                self.out.cleared.extend(self.ontology.iddsi.risks.get(n).map(|risk| risk.id.clone()));
            }
            Meaning::ThickenerCaution(n) => {
                self.out.drugs.push(self.words(span));
                self.out.thickener_cautions.push((n, self.words(span)));
            }
            Meaning::FreeWater => {
                self.out.precautions.push(self.words(span));
                self.out.free_water = true;
            }
            Meaning::PaediatricSizes => self.out.piece_size = Some(PieceSize::Paediatric),
        }
        at + length
    }

    fn label(&mut self, label: Label, span: Span, after: usize) {
        match label {
            Label::Allergy | Label::Intolerance => {
                let kind = if label == Label::Allergy { AllergyKind::Allergy } else { AllergyKind::Intolerance };
                let heads_a_list = self.tokens.get(after).is_some_and(|t| t.kind == TokenKind::Sign(':'));
                // "denies shellfish allergy" denies the allergy.
                if self.mode == Mode::Denied && !heads_a_list {
                    return;
                }
                // "dislikes fish, milk allergy": what stands between the comma and the label is no preference.
                if self.mode == Mode::Preference && !heads_a_list {
                    self.mode = Mode::Allergy(kind);
                    for (span, concept) in self.swallowed.split_off(self.comma.min(self.swallowed.len())) {
                        let words = self.words(span);
                        self.out.preferences.retain(|p| *p != words);
                        self.food(span, concept);
                    }
                }
                // "sesame allergy": the label stands after what it labels; it never softens what another label said.
                for allergy in self.out.allergies.iter_mut().skip(self.clause) {
                    if allergy.kind == AllergyKind::Excluded && !heads_a_list {
                        allergy.kind = kind;
                    }
                }
                self.mode = Mode::Allergy(kind);
                self.allergy_label.get_or_insert(span);
            }
            Label::Preference => self.mode = Mode::Preference,
            Label::Other => self.mode = Mode::Open,
            Label::FoodAxis | Label::DrinkAxis => {
                // "food" is also a plain word among allergies.
                if !matches!(self.mode, Mode::Allergy(_)) {
                    self.mode = Mode::Open;
                }
                self.axis = Some(label);
            }
        }
    }

    /// Whether a label by itself has nothing behind it: "regular, texture", "Texture: Liquids: thin".
    fn stands_blank(&self, at: usize, after: usize) -> bool {
        let sign = |n: usize| match self.tokens.get(n).map(|t| &t.kind) {
            Some(TokenKind::Sign(sign)) => Some(*sign),
            _ => None,
        };
        let heads = sign(after) == Some(':');
        let begins = heads || at.checked_sub(1).is_none_or(|before| sign(before).is_some());
        let next = if heads { after + 1 } else { after };
        let blank = match self.card.trie.longest(self.card_numbers.get(next..).unwrap_or_default()) {
            // What stands next brings a label of its own.
            Some((length, _)) => heads && (next..=next + length).any(|n| sign(n) == Some(':')),
            _ => self.tokens.get(next).is_none_or(|t| matches!(t.kind, TokenKind::Sign(_))),
        };
        begins && blank
    }

    fn food(&mut self, span: Span, concept: ConceptId) {
        let words = self.words(span);
        self.pending_denial = None;
        let kind = match self.mode {
            Mode::Denied => return self.out.denied.push(words),
            Mode::Preference => {
                self.swallowed.push((span, concept));
                return self.out.preferences.push(words);
            }
            Mode::Allergy(kind) => kind,
            Mode::Open => AllergyKind::Excluded,
        };
        if self.ontology.concept(concept).kind() == Kind::Preparation {
            return self.unclear(span, "a way of cooking, not a food".to_owned());
        }
        if self.mode == Mode::Open && self.axis == Some(Label::DrinkAxis) {
            let lower = self.ontology.unicode.lower(&words);
            if let Some(term) = self.ontology.iddsi.terms.iter().find(|t| t.on_drink_axis.contains(&lower)) {
                self.out.liquid_levels.extend(term.drink.map(|level| (level, words)));
                self.out.remarks.extend(term.remark.iter().map(|remark| format!("\"{lower}\": {remark}")));
                return;
            }
        }
        if self.mode == Mode::Open && !self.is_allergen(concept) {
            return self.unclear(span, "a food without a word that says whether it is wanted or excluded".to_owned());
        }
        let id = self.ontology.concept(concept).id().to_owned();
        let note = self.ontology.allergens.order_notes.get(&id).cloned();
        self.exclude(CardAllergy {
            to: words,
            concepts: vec![id],
            kind,
            severe: false,
            reactions: Vec::new(),
            span,
            ids: vec![concept],
            asks: Vec::new(),
            note,
        });
    }

    /// Whether a bare word for it on a card is taken as an exclusion.
    fn is_allergen(&self, concept: ConceptId) -> bool {
        let above = |id: &String| {
            self.ontology
                .find(id)
                .is_some_and(|family| self.ontology.is_a(concept, family) || self.ontology.is_a(family, concept))
        };
        self.ontology.reported().iter().any(above)
    }

    fn exclude(&mut self, allergy: CardAllergy) {
        self.out.allergies.push(allergy);
    }

    fn order_group(&mut self, n: usize, span: Span) {
        let words = self.words(span);
        let kind = match self.mode {
            Mode::Denied => return self.out.denied.push(words),
            Mode::Preference => return self.out.preferences.push(words),
            Mode::Allergy(kind) => kind,
            Mode::Open => AllergyKind::Excluded,
        };
        let Some(group) = self.ontology.allergens.order_groups.get(n) else {
            return;
        };
        let find = |ids: &[String]| ids.iter().filter_map(|id| self.ontology.find(id)).collect::<Vec<_>>();
        self.exclude(CardAllergy {
            to: words,
            concepts: group.excludes.clone(),
            kind,
            severe: false,
            reactions: Vec::new(),
            span,
            ids: find(&group.excludes),
            asks: find(&group.asks),
            note: Some(group.note.clone()),
        });
    }

    fn diet(&mut self, n: usize, span: Span) {
        let Some(diet) = self.ontology.diets.get(n) else {
            return;
        };
        if !self.out.diets.contains(&diet.id) {
            self.out.diets.push(diet.id.clone());
        }
        self.out.diet_places.push((n, self.words(span)));
    }

    fn term(&mut self, n: usize, at: usize, length: usize) {
        let Some(term) = self.ontology.iddsi.terms.get(n) else {
            return;
        };
        let span = self.span(at, length);
        let words = self.words(span);
        let before = self.last_level.take().filter(|(_, end, _)| self.only_signs(*end, at));
        if let Some(number) = term.either {
            let settled = before.is_some_and(|(other, _, unclear)| other == number && !unclear);
            let axis = self.axis;
            self.last_level = Some((number, at + length, !settled && axis.is_none()));
            if settled {
                return;
            }
            match (axis, FoodLevel::from_number(number.into()), DrinkLevel::from_number(number.into())) {
                (Some(Label::FoodAxis), Some(level), _) => {
                    return self.out.food_levels.push((level, words));
                }
                (Some(Label::DrinkAxis), _, Some(level)) => {
                    return self.out.liquid_levels.push((level, words));
                }
                _ => {
                    self.last_level = Some((number, at + length, true));
                    self.bare.push((number, term.settles.clone(), words.clone()));
                }
            }
        }
        let number = term.food.map(FoodLevel::number).or(term.drink.map(DrinkLevel::number));
        if let Some(number) = number {
            // "IDDSI 4 - pureed": the word says which axis the number before it means.
            if before.is_some_and(|(other, _, unclear)| unclear && other == number) {
                self.out.unclear.pop();
                self.bare.pop();
            }
            self.last_level = Some((number, at + length, false));
        }
        if let Some(level) = term.food {
            self.out.food_levels.push((level, words.clone()));
        }
        if let Some(level) = term.drink {
            self.out.liquid_levels.push((level, words.clone()));
        }
        if let Some(remark) = &term.remark {
            self.out.remarks.push(format!("\"{words}\": {remark}"));
        }
        if let Some(why) = &term.ask {
            self.unclear(span, why.clone());
        }
    }

    /// "Level 4, mildly thick liquids": a value on one axis shows that the bare number is the other's.
    fn settle_bare_levels(&mut self) {
        let [(number, axes, words)] = self.bare.as_slice() else {
            return;
        };
        let (food, drink) = (self.out.food_levels.is_empty(), self.out.liquid_levels.is_empty());
        let food_level =
            FoodLevel::from_number((*number).into()).filter(|_| food && !drink && axes.contains(&Axis::Food));
        let drink_level =
            DrinkLevel::from_number((*number).into()).filter(|_| drink && !food && axes.contains(&Axis::Drink));
        if food_level.is_none() && drink_level.is_none() {
            return;
        }
        self.out.food_levels.extend(food_level.map(|level| (level, words.clone())));
        self.out.liquid_levels.extend(drink_level.map(|level| (level, words.clone())));
        let settled = words.clone();
        self.out.unclear.retain(|u| u.text != settled);
    }

    /// Whether only punctuation stands between two places.
    fn only_signs(&self, from: usize, to: usize) -> bool {
        self.tokens
            .get(from..to)
            .is_some_and(|run| run.iter().all(|t| matches!(t.kind, TokenKind::Sign(s) if s != '.' && s != '\n')))
    }

    /// A number by itself: an amount of fluid when a unit follows, else unclear.
    fn number(&mut self, at: usize) -> usize {
        let amount = self.tokens.get(at).and_then(|t| decimal(&t.text.replace(',', "")));
        let unit = self.card.trie.longest(self.card_numbers.get(at + 1..).unwrap_or_default());
        let (per_unit, length) = match unit {
            Some((length, Meaning::UnitMl(ml))) => (ml, length + 1),
            // A limit without a unit is in mL when it can only be that.
            _ if self.fluid.is_some()
                && amount.is_some_and(|a| a >= f64::from(self.ontology.card.unitless_fluid_from_ml)) =>
            {
                (1, 1)
            }
            _ => {
                self.unclear(self.span(at, 1), "a number that belongs to nothing that was read".to_owned());
                return at + 1;
            }
        };
        let span = self.span(at, length);
        let ml = amount
            .map(|a| (a * f64::from(per_unit)).round())
            .filter(|ml| (1.0..=f64::from(crate::limits::FLUID_ML)).contains(ml));
        match (ml, self.fluid.take()) {
            (None, _) => self.unclear(span, "not a fluid amount that a day can hold".to_owned()),
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked to be 1 to FLUID_ML just above"
            )]
            (Some(ml), Some(limit)) => self.fluid_limit(ml as u32, limit),
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked to be 1 to FLUID_ML just above"
            )]
            (Some(ml), None) => self.amount = Some((ml as u32, span)),
        }
        at + length
    }

    fn fluid_limit(&mut self, ml: u32, span: Span) {
        match self.out.fluid_limit_ml {
            Some(other) if other != ml => {
                self.unclear(span, format!("two fluid limits, {other} mL and {ml} mL; the lower one holds"));
                self.out.fluid_limit_ml = Some(other.min(ml));
            }
            _ => self.out.fluid_limit_ml = Some(ml),
        }
    }

    fn unclear(&mut self, span: Span, why: String) {
        let text = self.words(span);
        // Words side by side are one question.
        if let Some(last) = self.out.unclear.last_mut() {
            let gap = self.text.get(last.span.1..span.0);
            if last.why == why && gap.is_some_and(|g| g.chars().all(char::is_whitespace)) {
                last.span.1 = span.1;
                last.text = self.text.get(last.span.0..span.1).unwrap_or_default().to_owned();
                return;
            }
        }
        self.out.unclear.push(Unclear { text, span, why });
    }

    fn end_clause(&mut self) {
        if let Some(span) = self.pending_denial.take() {
            self.unclear(span, "denies something that was not read".to_owned());
        }
        self.swallowed.clear();
        self.comma = 0;
        self.mode = self.start;
        self.axis = None;
        self.clause = self.out.allergies.len();
        if let Some((_, span)) = self.amount.take() {
            self.unclear(span, "an amount that belongs to nothing that was read".to_owned());
        }
        if let Some(span) = self.fluid.take() {
            self.unclear(span, "a fluid limit without an amount".to_owned());
        }
    }

    /// Intolerances that are diets become diets; the stricter level of each axis is shown.
    fn finish(mut self) -> CardReading {
        let out = &self.out;
        let says_which = out.none_known || !out.unclear.is_empty();
        let names_some = [out.allergies.is_empty(), out.denied.is_empty(), out.drugs.is_empty()].contains(&false);
        if let Some(span) = self.allergy_label.filter(|_| !says_which && !names_some) {
            self.unclear(span, "announces an allergy that was not read".to_owned());
        }
        let severe = self.severe;
        self.out.allergies.iter_mut().for_each(|allergy| allergy.severe |= severe);
        let rulings = &self.ontology.card.intolerance_diets;
        let mut stay = Vec::new();
        let mut diets: BTreeMap<usize, String> = BTreeMap::new();
        for allergy in std::mem::take(&mut self.out.allergies) {
            let ruling = allergy.concepts.first().and_then(|id| rulings.get(id));
            let diet = ruling.and_then(|id| self.ontology.diets.iter().position(|d| d.id == *id));
            match diet {
                Some(n) if allergy.kind == AllergyKind::Intolerance => {
                    diets.insert(n, allergy.to);
                }
                _ => stay.push(allergy),
            }
        }
        self.out.allergies = stay;
        for (n, words) in diets {
            if let Some(diet) = self.ontology.diets.get(n).filter(|d| !self.out.diets.contains(&d.id)) {
                self.out.diets.push(diet.id.clone());
            }
            self.out.diet_places.push((n, words));
        }
        self.settle_bare_levels();
        let chokes = |words: &String| {
            let words = self.ontology.unicode.lower(words);
            self.ontology.card.choking_notes.iter().any(|note| words.contains(note.as_str()))
        };
        if self.out.food_levels.iter().any(|(level, _)| *level == FoodLevel::Regular)
            && self.out.precautions.iter().any(chokes)
        {
            let why = "regular food beside a choking or swallowing note; easy to chew may be meant".to_owned();
            let text = self.out.food_levels.first().map(|(_, words)| words.clone()).unwrap_or_default();
            self.out.unclear.push(Unclear { text, span: (0, self.text.len()), why });
        }
        self.out.food_level = self.out.food_levels.iter().map(|(level, _)| *level).min();
        self.out.liquid_level = self.out.liquid_levels.iter().map(|(level, _)| *level).max();
        self.out
    }
}
