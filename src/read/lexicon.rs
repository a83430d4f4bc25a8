//! Every phrase that the reader knows, in one trie of folded words. The longest phrase wins.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::Denied;
use super::normalize::{Orthography, Span, Token, TokenKind};
use super::spelling::Spelling;
use crate::ontology::{ConceptId, Kind, Ontology, Place, Reach};

/// How many words before and after a misspelt one may belong to the same name.
const GUESS_REACH: usize = 3;

/// What a phrase means to the reader of food texts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    Food(ConceptId),
    Preparation(ConceptId),
    /// "no", "without": the foods after it are denied.
    DenialBefore(Reach),
    /// "free": the food before it is denied.
    DenialAfter,
    /// A claim with a name of its own, by its place in `claims.json`.
    NamedClaim(usize),
    /// "may contain".
    Precaution,
    /// "non-dairy": sounds like a claim and is none.
    NoClaim,
    /// "facility", "equipment": a precaution, when something is handled there.
    SharedPlace,
    /// "handles", "processes".
    SharedVerb,
    /// "including": what follows is not the whole list.
    PartialList,
    /// "see carton": stands where a label should.
    NoLabel,
    /// "with", "on": a new part of the item begins, and something is promised.
    Joiner,
    /// "for", "at": a new part begins; it need not be a food.
    PartMark,
    /// "and".
    Conjunction,
    /// "or".
    Alternative,
    /// "flavoured", "style": the food before it is only alluded to.
    Flavour,
    /// "imitation": the food after it is only alluded to.
    Imitation,
    /// "except": denies what follows, or takes it out of a denial before it.
    Exception,
    /// "not": the cooking word after it has no effect.
    Negation,
    /// "half", "was", "on request": what is said of a food beside it may not hold.
    Weak,
    /// "optional": the food before it may be left out.
    Optional,
    /// "produced by": a name and a place follow, which may be those of a food.
    Maker,
    /// "omit", "leave out": the food before it may be left out, and what it then is does not hold for it as it stands.
    Omission,
    /// "choice of", "one of the following": what "or" joins behind it stands for each other.
    ChoiceHead,
    /// "ingredients": what stands before it is the product's name.
    ListHead,
    /// "GF": denies a food by itself.
    ShortDenial(ConceptId),
    /// "mm", "inch": a unit of length, in hundredths of a millimetre.
    LengthUnit(u32),
    /// "toppings", "sides": stands for foods that are not named.
    OpenWord,
    /// "the", "other", "more": says nothing by itself.
    Function,
    /// Names no food.
    Filler,
}

/// A phrase, number, sign or unknown word, in text order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Unit {
    pub(crate) what: What,
    pub(crate) span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    Phrase(Meaning),
    Number,
    Sign(char),
    Unknown,
}

/// Folded words of any kind of phrase, and how plurals fall together.
#[derive(Debug, Default)]
pub(crate) struct Words {
    known: BTreeSet<String>,
    irregular: BTreeMap<String, String>,
    own_plurals: BTreeSet<String>,
    canonical: HashMap<String, u32>,
}

impl Words {
    /// The number of a word, whether it is written as singular or plural; `None` when it is not known.
    pub(crate) fn number(&self, word: &str) -> Option<u32> {
        if let Some(number) = self.canonical.get(word) {
            return Some(*number);
        }
        let known = |candidate: &String| self.canonical.get(candidate.as_str()).copied();
        self.singulars(word).iter().find_map(known).or_else(|| plurals(word).iter().find_map(known))
    }

    fn singulars(&self, word: &str) -> Vec<String> {
        if let Some(singular) = self.irregular.get(word) {
            return vec![singular.clone()];
        }
        if self.own_plurals.contains(word) || word.len() < 4 || !word.ends_with('s') || word.ends_with("ss") {
            return Vec::new();
        }
        let mut forms = Vec::new();
        let mut cut = |ending: &str, put: &str| {
            if let Some(stem) = word.strip_suffix(ending).filter(|stem| stem.chars().count() >= 2) {
                forms.push(format!("{stem}{put}"));
            }
        };
        cut("s", "");
        cut("es", "");
        cut("ies", "y");
        cut("ves", "f");
        cut("ves", "fe");
        forms
    }

    /// Numbers all known words: a plural whose singular is known too gets the singular's number.
    fn settle(&mut self) {
        let words: Vec<String> = self.known.iter().cloned().collect();
        for (number, word) in (0..).zip(&words) {
            self.canonical.insert(word.clone(), number);
        }
        for word in &words {
            let singular = self.singulars(word).into_iter().find(|s| self.known.contains(s));
            if let Some(number) = singular.and_then(|s| self.canonical.get(&s).copied()) {
                self.canonical.insert(word.clone(), number);
            }
        }
    }
}

fn plurals(word: &str) -> Vec<String> {
    let mut forms = vec![format!("{word}s"), format!("{word}es")];
    if let Some(stem) = word.strip_suffix('y') {
        forms.push(format!("{stem}ies"));
    }
    if let Some(stem) = word.strip_suffix('f') {
        forms.push(format!("{stem}ves"));
    }
    forms
}

/// A trie over word numbers. `T` is what a whole phrase stands for; the first one to claim a phrase keeps it.
#[derive(Debug)]
pub(crate) struct Trie<T> {
    next: HashMap<(u32, u32), u32>,
    ends: Vec<Option<T>>,
}

impl<T: Copy> Trie<T> {
    fn new() -> Self {
        Self { next: HashMap::new(), ends: vec![None] }
    }

    /// Adds a phrase; gives back what already holds it.
    fn insert(&mut self, words: &[u32], value: T) -> Option<T> {
        let mut node = 0;
        for word in words {
            let fresh = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
            node = *self.next.entry((node, *word)).or_insert_with(|| {
                self.ends.push(None);
                fresh
            });
        }
        let slot = self.ends.get_mut(node as usize)?;
        let held = *slot;
        if held.is_none() {
            *slot = Some(value);
        }
        held
    }

    /// The longest phrase at the start of the tokens: how many tokens, and what it stands for.
    pub(crate) fn longest(&self, numbers: &[Option<u32>]) -> Option<(usize, T)> {
        let mut node = 0;
        let mut best = None;
        for (length, number) in (1..).zip(numbers) {
            let Some(after) = number.and_then(|n| self.next.get(&(node, n))) else {
                break;
            };
            node = *after;
            if let Some(value) = self.ends.get(node as usize).copied().flatten() {
                best = Some((length, value));
            }
        }
        best
    }
}

/// A phrase cut into folded words, and what it stands for.
#[derive(Debug, Clone)]
pub(crate) struct Phrase<T> {
    text: String,
    words: Vec<String>,
    value: T,
}

/// Cuts phrases into folded words.
pub(crate) fn cut<T: Copy>(orthography: &Orthography, phrases: &[(String, T)]) -> Vec<Phrase<T>> {
    let phrase =
        |(text, value): &(String, T)| Phrase { text: text.clone(), words: words_of(orthography, text), value: *value };
    phrases.iter().map(phrase).collect()
}

/// Builds a word list and a trie from phrases.
pub(crate) fn index<T: Copy>(
    irregular: &BTreeMap<String, String>,
    own_plurals: &[String],
    phrases: &[Phrase<T>],
    mut taken: impl FnMut(&str, T, T),
) -> (Words, Trie<T>) {
    let mut words = Words {
        known: phrases.iter().flat_map(|phrase| phrase.words.iter().cloned()).collect(),
        irregular: irregular.clone(),
        own_plurals: own_plurals.iter().cloned().collect(),
        canonical: HashMap::new(),
    };
    words.settle();
    let mut trie = Trie::new();
    for Phrase { text, words: parts, value } in phrases {
        let numbers: Vec<u32> = parts.iter().filter_map(|w| words.number(w)).collect();
        if numbers.is_empty() {
            continue;
        }
        if let Some(held) = trie.insert(&numbers, *value) {
            taken(text, *value, held);
        }
    }
    (words, trie)
}

fn words_of(orthography: &Orthography, phrase: &str) -> Vec<String> {
    let tokens = orthography.tokens(phrase);
    tokens.iter().filter_map(|t| phrase_word(t)).map(str::to_owned).collect()
}

/// What a token is within a phrase: names may hold brackets, colons and per cent signs ("glucose syrup (wheat)", "2% milk").
pub(crate) fn phrase_word(token: &Token) -> Option<&str> {
    match token.kind {
        TokenKind::Sign('(') => Some("("),
        TokenKind::Sign(')') => Some(")"),
        TokenKind::Sign('%') => Some("%"),
        TokenKind::Sign(':') => Some(":"),
        TokenKind::Sign(_) => None,
        TokenKind::Word | TokenKind::Number => Some(&token.text),
    }
}

/// The vocabulary of food texts.
#[derive(Debug)]
pub(crate) struct Lexicon {
    pub(crate) orthography: Orthography,
    words: Words,
    trie: Trie<Meaning>,
    collisions: Vec<(String, Vec<ConceptId>)>,
    pub(crate) abstract_words: BTreeSet<String>,
    /// Foods that are only sold under makers' names.
    pub(crate) trade_named: BTreeSet<ConceptId>,
    pub(crate) substitution_marks: BTreeSet<String>,
    spelling: Spelling,
    /// Kitchen short forms, with the words that they stand for.
    abbreviations: HashMap<String, Vec<String>>,
}

/// A food that a misspelt word may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Guess {
    /// The place of the unknown word among the units.
    pub(crate) unit: usize,
    pub(crate) concept: ConceptId,
    /// The bytes of the whole name that the guess makes of it.
    pub(crate) span: Span,
}

/// A food that parts around commas name together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Composed {
    /// The bytes of all the parts.
    pub(crate) span: Span,
    pub(crate) concept: ConceptId,
    /// Two parts name it the other way round, so the whole says which kind of the first one it is: "salad, potato".
    pub(crate) turned: bool,
}

impl Lexicon {
    pub(crate) fn new(ontology: &Ontology) -> Self {
        let orthography = Orthography::new(&ontology.words.written, &ontology.words.letters, &ontology.unicode);
        let mut phrases = claim_phrases(ontology);
        phrases.extend(food_phrases(ontology));
        phrases.extend(filler_phrases(ontology));
        let mut phrases = cut(&orthography, &phrases);
        phrases.extend(joined_phrases(&phrases));
        let mut collisions: BTreeMap<String, BTreeSet<ConceptId>> = BTreeMap::new();
        let (words, trie) =
            index(&ontology.words.irregular_plurals, &ontology.words.own_plurals, &phrases, |text, new, held| {
                if let (Some(new), Some(held)) = (concept(new), concept(held))
                    && new != held
                {
                    collisions.entry(text.to_owned()).or_default().extend([held, new]);
                }
            });
        let collisions = collisions.into_iter().map(|(name, ids)| (name, ids.into_iter().collect())).collect();
        let abstract_words = ontology.claims.abstract_words.iter().cloned().collect();
        let substitution_marks = ontology.words.substitution_marks.iter().cloned().collect();
        let food_words: BTreeSet<&str> = phrases
            .iter()
            .filter(|phrase| matches!(phrase.value, Meaning::Food(_)))
            .flat_map(|phrase| phrase.words.iter().map(String::as_str))
            .collect();
        let spelling = Spelling::new(food_words.into_iter());
        let abbreviations = &ontology.words.abbreviations;
        let abbreviations =
            abbreviations.iter().map(|(short, long)| (short.clone(), words_of(&orthography, long))).collect();
        let classes: Vec<ConceptId> = ontology.words.trade_named.iter().filter_map(|id| ontology.find(id)).collect();
        let trade_named = ontology.ids().filter(|id| classes.iter().any(|class| ontology.is_a(*id, *class))).collect();
        Self {
            orthography,
            words,
            trie,
            collisions,
            abstract_words,
            substitution_marks,
            trade_named,
            spelling,
            abbreviations,
        }
    }

    /// Names that more than one concept claims.
    pub(crate) fn collisions(&self) -> Vec<(String, Vec<ConceptId>)> {
        self.collisions.clone()
    }

    /// Cuts a text into the longest known phrases, left to right, and guesses at its unknown words.
    pub(crate) fn units(&self, text: &str) -> (Vec<Unit>, Vec<Guess>) {
        let mut tokens = self.mended(text);
        let mut numbers: Vec<Option<u32>> = tokens.iter().map(|t| self.number(t)).collect();
        let mut units = Vec::new();
        let mut guesses = Vec::new();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let ahead = numbers.get(at..).unwrap_or_default();
            // A short form is spelt out where it is no name itself.
            if let (None, Some(long)) = (self.trie.longest(ahead), self.spelt_out(token)) {
                let known = long.iter().map(|t| self.number(t)).collect::<Vec<_>>();
                if known.iter().all(Option::is_some) && long.iter().all(|t| !self.abbreviations.contains_key(&t.text)) {
                    tokens.splice(at..=at, long);
                    numbers.splice(at..=at, known);
                    continue;
                }
            }
            let (length, what) = match (self.trie.longest(ahead), &token.kind) {
                (Some((length, meaning)), _) => (length, What::Phrase(meaning)),
                (None, TokenKind::Number) => (1, What::Number),
                (None, TokenKind::Sign(c)) => (1, What::Sign(*c)),
                (None, TokenKind::Word) => (1, What::Unknown),
            };
            if what == What::Unknown {
                guesses.extend(self.guess(&tokens, &numbers, at).map(|(concept, span)| Guess {
                    unit: units.len(),
                    concept,
                    span,
                }));
            }
            let end = tokens.get(at + length - 1).map_or(token.span.1, |last| last.span.1);
            units.push(Unit { what, span: (token.span.0, end) });
            at += length;
        }
        (units, guesses)
    }

    /// The tokens of a text, without what printing and scanning did to its words:
    /// a footnote mark inside a name ("soy* flour"), a word cut in two ("potas- sium", "hydroly sate").
    fn mended(&self, text: &str) -> Vec<Token> {
        let tokens = self.orthography.tokens(text);
        let mut mended: Vec<Token> = Vec::with_capacity(tokens.len());
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let rest = tokens.get(at..).unwrap_or_default();
            let inside = mended.last().is_some_and(|t| t.kind == TokenKind::Word) && marks_inside(rest);
            let whole = self.cut_in_two(rest);
            at += whole.as_ref().map_or(1, |(length, _)| *length);
            if !inside {
                mended.push(whole.map_or_else(|| token.clone(), |(_, whole)| whole));
            }
        }
        mended
    }

    /// Two pieces that make a known word together, of which one is no word by itself.
    fn cut_in_two(&self, tokens: &[Token]) -> Option<(usize, Token)> {
        let (length, first, second) = match tokens {
            [first, dash, second, ..]
                if dash.kind == TokenKind::Sign('-') && dash.span.0 == first.span.1 && dash.span.1 < second.span.0 =>
            {
                (3, first, second)
            }
            [first, second, ..] => (2, first, second),
            _ => return None,
        };
        let words = first.kind == TokenKind::Word && second.kind == TokenKind::Word;
        let known = |t: &Token| self.number(t).is_some() || self.abbreviations.contains_key(&t.text);
        if !words || (known(first) && known(second)) {
            return None;
        }
        let whole = format!("{}{}", first.text, second.text);
        self.words.number(&whole)?;
        Some((length, Token { kind: TokenKind::Word, text: whole, span: (first.span.0, second.span.1) }))
    }

    /// The words that a short form stands for, as tokens in its place.
    fn spelt_out(&self, token: &Token) -> Option<Vec<Token>> {
        let words = self.abbreviations.get(&token.text)?;
        Some(words.iter().map(|word| Token { text: word.clone(), ..token.clone() }).collect())
    }

    /// The foods that two or three parts around commas name together: "egg, benedict", or the other way round:
    /// "beans, baked", "soup, bean, black". Gives the units that the two parts cover, and the food.
    pub(crate) fn composed(&self, text: &str) -> Vec<Composed> {
        let tokens = self.orthography.tokens(text);
        let parts = tokens.split(|t| matches!(t.kind, TokenKind::Sign(s) if s != '%'));
        let parts: Vec<&[Token]> = parts.filter(|part| !part.is_empty()).collect();
        if !tokens.iter().any(|t| matches!(t.kind, TokenKind::Sign(',' | '('))) {
            return Vec::new();
        }
        let mut found = Vec::new();
        for at in 0..parts.len() {
            let run = |n: usize| parts.get(at + n).copied().filter(|part| !part.is_empty() && !self.joins(part));
            let (Some(one), Some(two)) = (run(0), run(1)) else { continue };
            let three = run(2).unwrap_or_default();
            // "Soup, bean, black", "cake, pineapple, upside down".
            let orders: [&[&[Token]]; 4] = [&[three, two, one], &[two, three, one], &[two, one], &[one, two]];
            for order in orders.iter().skip(if three.is_empty() { 2 } else { 0 }) {
                let numbers: Vec<Option<u32>> =
                    order.iter().flat_map(|part| part.iter()).map(|t| self.number(t)).collect();
                if let Some((length, Meaning::Food(id))) = self.trie.longest(&numbers)
                    && length == numbers.len()
                    && let Some(end) = parts.get(at + order.len() - 1).and_then(|part| part.last())
                    && let Some(start) = one.first()
                {
                    let turned = order.len() == 2 && order.first() == Some(&two);
                    found.push(Composed { span: (start.span.0, end.span.1), concept: id, turned });
                    break;
                }
            }
        }
        found
    }

    /// "and vegetables": the part goes on with a list.
    fn joins(&self, part: &[Token]) -> bool {
        let numbers: Vec<Option<u32>> = part.iter().map(|t| self.number(t)).collect();
        let first = self.trie.longest(&numbers).map(|(_, meaning)| meaning);
        matches!(first, Some(Meaning::Conjunction | Meaning::Alternative | Meaning::Joiner))
    }

    /// Foods that the words around an unknown word name once it is spelt as a known one: the longest name for each guess.
    fn guess<'a>(
        &'a self,
        tokens: &'a [Token],
        numbers: &'a [Option<u32>],
        at: usize,
    ) -> impl Iterator<Item = (ConceptId, Span)> + 'a {
        let word = tokens.get(at).map_or("", |t| t.text.as_str());
        self.spelling.guesses(word).into_iter().filter_map(move |guess| {
            let number = self.words.number(guess);
            let from = at.saturating_sub(GUESS_REACH);
            let to = (at + GUESS_REACH + 1).min(numbers.len());
            let mut run = numbers.get(from..to)?.to_vec();
            *run.get_mut(at - from)? = number;
            let names = (0..=at - from).filter_map(|start| {
                let (length, meaning) = self.trie.longest(run.get(start..)?)?;
                let covers = start + length > at - from;
                concept(meaning).filter(|_| covers).map(|id| (length, from + start, id))
            });
            let (length, start, id) = names.max_by_key(|(length, start, _)| (*length, std::cmp::Reverse(*start)))?;
            let first = tokens.get(start)?.span.0;
            let last = tokens.get(start + length - 1)?.span.1;
            Some((id, (first, last)))
        })
    }

    /// The food whose name begins at a token: how many tokens, and what it is.
    pub(crate) fn food_at(&self, tokens: &[Token], at: usize) -> Option<(usize, ConceptId)> {
        let (length, meaning) = self.longest_at(tokens, at)?;
        concept(meaning).map(|id| (length, id))
    }

    /// Claims that a name makes inside itself, where "dairy-free cheese" or "vegan sausage" is one name.
    pub(crate) fn inner_claims(&self, name: &str) -> Vec<Denied> {
        let tokens = self.orthography.tokens(name);
        let numbers: Vec<Option<u32>> = tokens.iter().map(|t| self.number(t)).collect();
        let mut denied = Vec::new();
        for at in 0..numbers.len() {
            match numbers.get(at..=at).and_then(|n| self.trie.longest(n)) {
                Some((1, Meaning::NamedClaim(n))) if numbers.len() > 1 => denied.push(Denied::Named(n)),
                Some((1, Meaning::DenialAfter)) => {
                    let food = (0..at).find_map(|from| {
                        let run = numbers.get(from..at)?;
                        let (length, meaning) = self.trie.longest(run)?;
                        concept(meaning).filter(|_| length == run.len())
                    });
                    denied.extend(food.map(|concept| Denied::Concept { concept, left_out: false }));
                }
                _ => {}
            }
        }
        denied
    }

    /// Every food that a part of a name names, the whole name among them: egg and salad in "egg salad".
    pub(crate) fn foods_within(&self, name: &str) -> Vec<ConceptId> {
        let tokens = self.orthography.tokens(name);
        let numbers: Vec<Option<u32>> = tokens.iter().map(|t| self.number(t)).collect();
        let mut foods = Vec::new();
        for from in 0..numbers.len() {
            for to in from + 1..=numbers.len() {
                let Some(run) = numbers.get(from..to) else { continue };
                let whole = self.trie.longest(run).filter(|(length, _)| *length == run.len());
                foods.extend(whole.and_then(|(_, meaning)| concept(meaning)));
            }
        }
        foods
    }

    fn longest_at(&self, tokens: &[Token], at: usize) -> Option<(usize, Meaning)> {
        let run = tokens.get(at..)?.iter().map(|t| self.number(t));
        let numbers: Vec<Option<u32>> = run.take_while(Option::is_some).collect();
        self.trie.longest(&numbers)
    }

    fn number(&self, token: &Token) -> Option<u32> {
        phrase_word(token).and_then(|word| self.words.number(word))
    }
}

fn concept(meaning: Meaning) -> Option<ConceptId> {
    match meaning {
        Meaning::Food(id) | Meaning::Preparation(id) => Some(id),
        _ => None,
    }
}

fn claim_phrases(ontology: &Ontology) -> Vec<(String, Meaning)> {
    let claims = &ontology.claims;
    let mut phrases = Vec::new();
    for marker in &claims.markers {
        let meaning = match marker.place {
            Place::Before => Meaning::DenialBefore(marker.reach),
            Place::After => Meaning::DenialAfter,
        };
        phrases.extend(marker.texts.iter().map(|t| (t.clone(), meaning)));
    }
    for (n, claim) in claims.named.iter().enumerate() {
        phrases.extend(claim.names.iter().map(|t| (t.clone(), Meaning::NamedClaim(n))));
    }
    phrases.extend(claims.precautions.iter().map(|t| (t.clone(), Meaning::Precaution)));
    phrases.extend(claims.shared_places.iter().map(|t| (t.clone(), Meaning::SharedPlace)));
    phrases.extend(claims.shared_verbs.iter().map(|t| (t.clone(), Meaning::SharedVerb)));
    phrases.extend(claims.partial_lists.iter().map(|t| (t.clone(), Meaning::PartialList)));
    phrases.extend(claims.exceptions.iter().map(|t| (t.clone(), Meaning::Exception)));
    let short =
        claims.short_denials.iter().filter_map(|(t, id)| Some((t.clone(), Meaning::ShortDenial(ontology.find(id)?))));
    phrases.extend(short);
    phrases.extend(claims.no_claim.iter().map(|t| (t.clone(), Meaning::NoClaim)));
    phrases.extend(claims.no_label.iter().map(|t| (t.clone(), Meaning::NoLabel)));
    phrases
}

fn food_phrases(ontology: &Ontology) -> Vec<(String, Meaning)> {
    let mut phrases = Vec::new();
    for id in ontology.ids() {
        let concept = ontology.concept(id);
        let meaning = match concept.kind {
            Kind::Preparation => Meaning::Preparation(id),
            _ => Meaning::Food(id),
        };
        let other_languages = concept.names_in.values().flatten();
        phrases.extend(concept.names.iter().chain(other_languages).map(|name| (name.clone(), meaning)));
    }
    phrases
}

fn filler_phrases(ontology: &Ontology) -> Vec<(String, Meaning)> {
    let words = &ontology.words;
    let mut phrases = Vec::new();
    let mut add = |list: &[String], meaning| phrases.extend(list.iter().map(|t| (t.clone(), meaning)));
    add(&words.joiners, Meaning::Joiner);
    add(&words.part_marks, Meaning::PartMark);
    add(&words.conjunctions, Meaning::Conjunction);
    add(&words.alternatives, Meaning::Alternative);
    add(&words.flavour_marks, Meaning::Flavour);
    add(&words.imitation_marks, Meaning::Imitation);
    add(&words.negations, Meaning::Negation);
    add(&words.list_heads, Meaning::ListHead);
    add(&words.optional_marks, Meaning::Optional);
    add(&words.omission_marks, Meaning::Omission);
    add(&words.choice_heads, Meaning::ChoiceHead);
    add(&words.weak_marks, Meaning::Weak);
    for (unit, hundredths) in &words.length_units {
        add(std::slice::from_ref(unit), Meaning::LengthUnit(*hundredths));
    }
    add(&words.open_words, Meaning::OpenWord);
    add(&words.function_words, Meaning::Function);
    add(&words.maker_marks, Meaning::Maker);
    for list in words.filler.values() {
        add(list, Meaning::Filler);
    }
    phrases
}

/// A footnote mark before one more word of the name; where that word has a mark too, each is a name of its own.
fn marks_inside(tokens: &[Token]) -> bool {
    let is_mark = |token: &Token| matches!(token.kind, TokenKind::Sign('*' | '\u{2020}' | '\u{2021}'));
    match tokens {
        [mark, word, after, ..] => is_mark(mark) && word.kind == TokenKind::Word && !is_mark(after),
        [mark, word] => is_mark(mark) && word.kind == TokenKind::Word,
        _ => false,
    }
}

/// "wheatflour" for "wheat flour": two-word names written together.
fn joined_phrases(phrases: &[Phrase<Meaning>]) -> Vec<Phrase<Meaning>> {
    let known: HashSet<&String> = phrases.iter().flat_map(|phrase| &phrase.words).collect();
    let joined = phrases.iter().filter_map(|phrase| match (phrase.words.as_slice(), phrase.value) {
        ([first, second], Meaning::Food(_)) => Some((format!("{first}{second}"), phrase.value)),
        _ => None,
    });
    joined
        .filter(|(word, _)| !known.contains(word))
        .map(|(word, value)| Phrase { text: word.clone(), words: vec![word], value })
        .collect()
}
