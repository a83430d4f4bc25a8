//! JSON in, JSON out: the one boundary that every binding calls.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::checker::Checker;
use crate::contents::{Contents, Presence};
use crate::error::InputError;
use crate::level::{DrinkLevel, FoodLevel};
use crate::limits;
use crate::ontology::{ConceptId, Ingredient, Ontology, RawDiet, RawDietRule, RuleAction, Strength};
use crate::order::{CardReading, Order};
use crate::read::{Field, Unread};
use crate::tested::{PieceSize, TestResults};
use crate::tray::{Item, Tray};
use crate::verdict::Verdict;

/// The version of the exchange format that this library reads and writes; it changes when a field changes its meaning.
pub const FORMAT_VERSION: u32 = 1;

/// One check as it comes in.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// The caller's own name for it; given back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// The order.
    #[serde(deserialize_with = "crate::object::one")]
    pub order: Order,
    /// The tray.
    #[serde(deserialize_with = "crate::object::one")]
    pub tray: Tray,
}

/// A verdict with the caller's own name for the check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckAnswer {
    /// As given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// The verdict.
    #[serde(flatten)]
    pub verdict: Verdict,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadAsk {
    #[serde(default)]
    id: Option<String>,
    name: String,
    #[serde(default)]
    ingredients: Option<String>,
    #[serde(default, deserialize_with = "crate::object::maybe")]
    tested: Option<TestResults>,
}

/// What a food text holds, as it goes out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ReadAnswer {
    /// As given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// The reported families and members whose presence is not `free`.
    pub holds: BTreeMap<String, Presence>,
    /// How it is ordinarily served, or was by its tests (adult piece sizes).
    pub form: FormAnswer,
    /// The claims it makes.
    pub claims: Vec<String>,
    /// What was not understood.
    pub unread: Vec<UnreadAnswer>,
    /// Words that stand where a maker's name stands: only the label says what is in the food.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub trade_names: Vec<UnreadAnswer>,
}

/// Levels and risks of a food text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FormAnswer {
    /// IDDSI level that the solid part needs.
    pub food: Option<FoodLevel>,
    /// IDDSI level of the thinnest liquid.
    pub drink: Option<DrinkLevel>,
    /// Mouth risks.
    pub risks: Vec<String>,
}

/// Words that were not understood, with the text they stand in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UnreadAnswer {
    /// The words.
    pub text: String,
    /// Their bytes.
    pub span: (usize, usize),
    /// Which text.
    pub field: Field,
    /// Foods that a misspelling may have been meant as; they only add hazard.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub read_as: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct CardAsk {
    #[serde(default)]
    id: Option<String>,
    text: String,
}

/// What a diet card orders, as it goes out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardAnswer {
    /// As given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// What was read.
    #[serde(flatten)]
    pub reading: CardReading,
}

fn parse<'a, T: Deserialize<'a>>(json: &'a str) -> Result<T, InputError> {
    if json.len() > limits::CHECK_BYTES {
        return Err(InputError::too_large("the JSON text", json.len(), limits::CHECK_BYTES, "bytes"));
    }
    let mut deserializer = serde_json::Deserializer::from_str(json);
    let value = crate::object::one(&mut deserializer).map_err(|e| InputError::from_json(&e))?;
    deserializer.end().map_err(|e| InputError::from_json(&e))?;
    Ok(value)
}

fn write<T: Serialize>(value: &T) -> Result<String, InputError> {
    serde_json::to_string(value).map_err(|e| InputError::from_json(&e))
}

/// Reads one check.
///
/// # Errors
/// Not JSON, an unknown field, a wrong type, or past a bound.
pub fn parse_check(json: &str) -> Result<Check, InputError> {
    parse(json)
}

/// Judges one check: JSON object in, JSON object out, in the format of the README.
///
/// # Errors
/// Not JSON, an unknown field, a wrong type, or past a bound.
pub fn check(checker: &Checker, json: &str) -> Result<String, InputError> {
    let ask = parse_check(json)?;
    let verdict = checker.check(&ask.order, &ask.tray)?;
    write(&CheckAnswer { id: ask.id, verdict })
}

/// What a food text holds: `{"id","name","ingredients","tested"}` in, [`ReadAnswer`] out.
///
/// # Errors
/// Not JSON, an unknown field, a wrong type, or past a bound.
pub fn read(checker: &Checker, json: &str) -> Result<String, InputError> {
    let ask: ReadAsk = parse(json)?;
    let item = Item { name: ask.name, ingredients: ask.ingredients, tested: ask.tested, ..Item::default() };
    let contents = checker.read(&item)?;
    write(&read_answer(checker, ask.id, &contents))
}

/// The bytes of one record of a batch as text.
///
/// # Errors
/// Past [`limits::CHECK_BYTES`], or not UTF-8.
pub fn record(bytes: &[u8]) -> Result<&str, InputError> {
    let refuse = |what, remedy: &str| InputError { field: "the record".to_owned(), what, remedy: remedy.to_owned() };
    if bytes.len() > limits::CHECK_BYTES {
        let what = format!("a record is over the bound of {} bytes", limits::CHECK_BYTES);
        return Err(refuse(what, "split or shorten the record"));
    }
    std::str::from_utf8(bytes)
        .map_err(|e| refuse(format!("not UTF-8 from byte {} on", e.valid_up_to()), "write the input in UTF-8"))
}

/// What stands in the place of the answer to a record of a batch that could not be taken.
#[derive(Debug, Serialize)]
pub struct ErrorAnswer<'a> {
    /// Where the record stood, and what is wrong with it.
    pub error: ErrorPlace<'a>,
}

/// The place and fault of [`ErrorAnswer`].
#[derive(Debug, Serialize)]
pub struct ErrorPlace<'a> {
    /// The file, when there was one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<&'a str>,
    /// Its line, from 1; in a JSON array the place in it, from 1.
    pub line: u64,
    /// What is wrong with it.
    #[serde(flatten)]
    pub error: &'a InputError,
}

/// The answer for contents that are already known.
#[must_use]
pub fn read_answer(checker: &Checker, id: Option<String>, contents: &Contents) -> ReadAnswer {
    let ontology = checker.ontology();
    let mut holds = BTreeMap::new();
    for family in ontology.reported() {
        let presence = ontology.find(family).map_or(Presence::Unknown, |c| contents.presence(ontology, c));
        if presence != Presence::Free {
            holds.insert(family.clone(), presence);
        }
    }
    let words = |trade_names: bool| {
        let of_kind = contents.unread().filter(|(_, u)| u.trade_name == trade_names);
        let answer = |(field, u): (Field, &Unread)| UnreadAnswer {
            text: u.text.clone(),
            span: u.span,
            field,
            read_as: ontology.ids_of(&u.read_as),
        };
        of_kind.map(answer).collect()
    };
    let form = contents.form().under(ontology, PieceSize::Adult);
    ReadAnswer {
        id,
        holds,
        form: FormAnswer { food: form.food(), drink: form.drink(), risks: form.risks() },
        claims: contents.claims(ontology),
        unread: words(false),
        trade_names: words(true),
    }
}

/// What a diet card orders: `{"id","text"}` in, [`CardAnswer`] out.
///
/// # Errors
/// Not JSON, an unknown field, a wrong type, or past a bound.
pub fn card(checker: &Checker, json: &str) -> Result<String, InputError> {
    let ask: CardAsk = parse(json)?;
    let reading = checker.card(&ask.text)?;
    write(&CardAnswer { id: ask.id, reading })
}

/// What the ontology holds on one food, with its paths and sources.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KnowAnswer {
    /// The concept.
    pub id: String,
    /// The file of the ontology folder that holds it.
    pub file: String,
    /// What texts call it.
    pub names: Vec<String>,
    /// Every class above it, each with the way there.
    pub kinds_of: Vec<Vec<String>>,
    /// What goes into it, after inheritance.
    pub made_with: Vec<KnowIngredient>,
    /// What holds instead where an ingredient statement names it.
    pub in_statements: Vec<KnowIngredient>,
    /// What the bare word may hide.
    pub may_hide: Vec<String>,
    /// How it is ordinarily served, and whose entry says so.
    pub form: Option<KnowForm>,
    /// Diet traits, inherited ones included.
    pub traits: Vec<String>,
    /// The allergen lists that name it or something it is: jurisdiction, and how it is regulated.
    pub listed_by: Vec<String>,
    /// Source keys with their documents.
    pub source: BTreeMap<String, String>,
    /// The remark of the entry.
    pub note: Option<String>,
}

/// One ingredient of [`KnowAnswer`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KnowIngredient {
    /// What goes in.
    pub to: String,
    /// How surely.
    pub strength: Strength,
    /// The concept whose entry says so.
    pub stated_by: String,
}

/// The form of [`KnowAnswer`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KnowForm {
    /// Levels and risks.
    #[serde(flatten)]
    pub form: FormAnswer,
    /// The concept whose entry says so.
    pub stated_by: String,
}

/// What the ontology holds on a word: a concept id, or anything that `read` understands.
///
/// # Errors
/// When the word is past a bound.
pub fn know(checker: &Checker, word: &str) -> Result<Vec<KnowAnswer>, InputError> {
    let ontology = checker.ontology();
    let found = match ontology.find(word) {
        Some(id) => vec![id],
        None => checker.read(&Item::named(word))?.named(),
    };
    Ok(found.into_iter().map(|id| know_one(ontology, id)).collect())
}

fn know_one(ontology: &Ontology, id: ConceptId) -> KnowAnswer {
    let concept = ontology.concept(id);
    let name = |id: ConceptId| ontology.concept(id).id().to_owned();
    let ways = concept.ancestors().iter().map(|up| ontology.kind_path(id, *up).into_iter().map(name).collect());
    let ingredients = |edges: &[Ingredient]| {
        edges
            .iter()
            .map(|i| KnowIngredient { to: name(i.to), strength: i.strength, stated_by: name(i.stated_by) })
            .collect()
    };
    let source = concept.source().iter().map(|key| (key.clone(), ontology.source(key).unwrap_or_default().to_owned()));
    KnowAnswer {
        id: concept.id().to_owned(),
        file: concept.file().to_owned(),
        names: concept.names().to_vec(),
        kinds_of: ways.collect(),
        made_with: ingredients(concept.recipe()),
        in_statements: ingredients(concept.in_statements()),
        may_hide: concept.may_hide().iter().map(|h| name(*h)).collect(),
        form: concept.form().map(|(form, by)| KnowForm {
            form: FormAnswer { food: form.food, drink: form.drink, risks: form.risks.clone() },
            stated_by: name(by),
        }),
        traits: concept.traits().to_vec(),
        listed_by: ontology.listed_by(id),
        source: source.collect(),
        note: concept.note().map(str::to_owned),
    }
}

/// A diet and its rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DietAnswer {
    /// The diet's id.
    pub id: String,
    /// What orders call it.
    pub names: Vec<String>,
    /// What it means.
    pub about: String,
    /// Whether this version judges it; otherwise every tray is asked about.
    pub judged: bool,
    /// Its rules in words, each with its action and source keys.
    pub rules: Vec<DietRuleAnswer>,
    /// Source keys.
    pub source: Vec<String>,
}

/// One rule of [`DietAnswer`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DietRuleAnswer {
    /// The concepts that it looks for.
    pub concepts: Vec<String>,
    /// The traits that it looks for.
    pub traits: Vec<String>,
    /// `conflict` or `ask`.
    pub action: String,
    /// The rule in words.
    pub say: String,
    /// Source keys.
    pub source: Vec<String>,
}

/// The diets that a word names.
///
/// # Errors
/// When the word is past a bound.
pub fn know_diets(checker: &Checker, word: &str) -> Result<Vec<DietAnswer>, InputError> {
    let reading = checker.card(word)?;
    let diets = checker.ontology().diets.iter().filter(|d| reading.diets.contains(&d.id));
    let rule = |r: &RawDietRule| DietRuleAnswer {
        concepts: r.concepts.clone(),
        traits: r.traits.clone(),
        action: match r.action {
            RuleAction::Conflict => "conflict".to_owned(),
            RuleAction::Ask => "ask".to_owned(),
        },
        say: r.say.clone(),
        source: r.source.clone(),
    };
    let answer = |d: &RawDiet| DietAnswer {
        id: d.id.clone(),
        names: d.names.clone(),
        about: d.about.clone(),
        judged: d.judged,
        rules: d.rules.iter().map(rule).collect(),
        source: d.source.clone(),
    };
    Ok(diets.map(answer).collect())
}
