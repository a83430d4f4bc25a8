//! An ontology in as few bytes as may be, for places where every byte is sent over a network.
//!
//! What no answer to an order needs is left out: remarks, examples, titles of sources, what jurisdictions regulate. Everything else is coded field by field, each value
//! by how likely it is where it stands ([`model`]), and the digest of the files goes along.

mod coder;
mod model;

use std::collections::BTreeMap;

#[cfg(feature = "built-in")]
use coder::Writer;
use coder::{Coder, Reader};
use model::{Model, hash};

#[cfg(feature = "built-in")]
use super::files::{self, OntologyFile};
use super::graph::Entry;
use super::load::{self, Parsed, problem};
use super::model::Ontology;
use super::schema::{
    AllergenFile, Axis, CardFile, ClaimFile, IddsiFile, Kind, Label, Manifest, Place, RawAllergenList, RawAmbiguous,
    RawBiteSize, RawChange, RawConcept, RawCrossReactive, RawDiet, RawDietRule, RawDrinkLevel, RawDrinkTest, RawEffect,
    RawExemption, RawFlow, RawFoodLevel, RawFoodTest, RawForm, RawFreeWater, RawMarker, RawNamedClaim, RawOrderGroup,
    RawRecipe, RawRemedies, RawRisk, RawSizes, RawTakenAs, RawTerm, RawTestClears, RawTests, RawThickenerCaution,
    RawThin, RawTrait, RawTransitional, Reach, RuleAction, TraitFile, WordFile, Written,
};
use crate::error::OntologyError;
use crate::level::{DrinkLevel, FoodLevel};
use crate::read::{Marks, Tables, Unicode};
use crate::tested::{ForkDrip, ForkPressure, Measure, SpoonTilt};

impl Ontology {
    /// Packs an ontology; [`from_packed`](Self::from_packed) of the same library version reads it back. Takes a second or so.
    ///
    /// # Errors
    /// Every problem found in any file, as [`from_files`](Self::from_files).
    #[cfg(feature = "built-in")]
    pub fn pack(files: &[OntologyFile<'_>]) -> Result<Vec<u8>, OntologyError> {
        Self::from_files(files)?;
        let (mut parsed, _) = files::parse_files(files);
        parsed.sources.values_mut().for_each(String::clear);
        parsed.unicode = Unicode::from_tables(Tables::complete());
        let mut model = Model::new(Writer::new());
        Parsed::code(&mut model, 0, Some(&parsed));
        let content = model.into_coder().finish();
        Ok([check_sum(&content).as_slice(), &content].concat())
    }

    /// An ontology from its packed form: the same answers as from its files, without remarks, examples, titles of sources and
    /// what jurisdictions regulate.
    ///
    /// # Errors
    /// When the bytes are not a packed ontology.
    pub fn from_packed(packed: &[u8]) -> Result<Self, OntologyError> {
        // It was checked when it was packed.
        unpack(packed)?.ontology().ok_or_else(damaged)
    }

    /// The same with a facility's own file over it, as [`built_in_with_overlay`](Self::built_in_with_overlay).
    ///
    /// # Errors
    /// When the bytes are not a packed ontology, and every problem of the overlay.
    pub fn from_packed_with_overlay(packed: &[u8], overlay: &str) -> Result<Self, OntologyError> {
        load::with_overlay(|| Ok((unpack(packed)?, Vec::new())), overlay)
    }
}

/// Damaged bytes would read as some ontology: the check sum is what tells.
fn unpack(packed: &[u8]) -> Result<Parsed, OntologyError> {
    let (sum, content) = packed.split_first_chunk().ok_or_else(damaged)?;
    if check_sum(content) != *sum {
        return Err(damaged());
    }
    Ok(Parsed::code(&mut Model::new(Reader::new(content)), 0, None))
}

/// Shows damage, not malice.
fn check_sum(content: &[u8]) -> [u8; 4] {
    content.iter().fold(1, |sum, byte| hash(sum, u32::from(*byte))).to_be_bytes()
}

fn damaged() -> OntologyError {
    let what = "is cut off, damaged or no packed ontology";
    OntologyError::new(vec![problem("packed ontology", "-", what, "pack the files anew")])
}

/// Writes what is given and gives it back, or reads it where nothing is given: one description of a shape serves both ways.
trait Packed: Sized {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self;
}

/// The number of a field, from its name.
const fn named(name: &str) -> u32 {
    let (mut number, mut rest) = (0x811C_9DC5_u32, name.as_bytes());
    while let [byte, after @ ..] = rest {
        number = (number ^ *byte as u32).wrapping_mul(0x0100_0193);
        rest = after;
    }
    number
}

/// Structs by their fields, in an order in which the first ones help to foresee the later ones; behind `;` what is left out.
macro_rules! structs {
    ($($type:ident { $($field:ident),* $(; $($gone:ident),*)? })*) => { $(
        impl Packed for $type {
            fn code<C: Coder>(model: &mut Model<C>, _: u32, given: Option<&Self>) -> Self {
                Self {
                    $($field: Packed::code(
                        model,
                        const { named(concat!(stringify!($type), stringify!($field))) },
                        given.map(|g| &g.$field),
                    ),)*
                    $($($gone: Default::default(),)*)?
                }
            }
        }
    )* };
}

structs! {
    Parsed { manifest, digest, sources, traits, claims, words, allergens, iddsi, card, diets, entries, unicode }
    Manifest { format, version; files }
    TraitFile { traits }
    RawTrait { id, source; means }
    ClaimFile {
        markers, abstract_words, precautions, shared_places, shared_verbs, partial_lists, exceptions, substitutes,
        substitute_words, stand_ins, short_denials, no_claim, no_label, named, softens_with, source
    }
    RawMarker { texts, place, reach }
    RawNamedClaim { id, names, frees, softens, source }
    WordFile {
        written, letters, irregular_plurals, own_plurals, joiners, part_marks, conjunctions, alternatives, flavour_marks,
        imitation_marks, negations, list_heads, optional_marks, omission_marks, substitution_marks, choice_heads, weak_marks,
        maker_marks, abbreviations, length_units, open_words, function_words, trade_named, filler
    }
    Written { text, means }
    AllergenFile { reported, order_notes, cross_reactive, order_groups, taken_as, lists }
    RawCrossReactive { kinds_of, members, source }
    RawOrderGroup { id, names, excludes, asks, note, source }
    RawTakenAs { foods, free_of, say, source }
    RawExemption { what, foods, free_of }
    RawAllergenList { id, jurisdiction, exempt, source; version, mandatory, recommended, threshold }
    IddsiFile {
        attribution, food_levels, drink_levels, terms, risks, bite_size, thin_up_to, tests, remedies,
        thickener_cautions, free_water, paediatric_words
    }
    RawThickenerCaution { names, say, source }
    RawFreeWater { names, concept, say, source }
    RawRemedies { trims, changes }
    RawChange { preparation, with }
    RawTests { flow, drink, food, transitional, clears, source }
    RawFlow { level, from_ml, above_ml, below_ml, source }
    RawDrinkTest { level, fork_drip, spoon_tilt, source }
    RawFoodTest { level, fork_drip, spoon_tilt, fork_pressure, width, length, no_lumps, source }
    RawSizes { adult_mm, paediatric_mm, optional }
    RawTransitional { passes, clears, from, source }
    RawTestClears { fork_pressure, spoon_tilt, no_lumps, sizes }
    RawBiteSize { say, source }
    RawThin { level, source; note }
    RawFoodLevel { level, name, snomed, source }
    RawDrinkLevel { level, name, snomed, source }
    RawTerm { names, food, drink, either, settles, on_drink_axis, remark, ask, source }
    RawRisk { id, say, excluded, ask, cleared_by, sets_level, source }
    RawDiet { id, title, names, judged, nothing_by_mouth, rules, source; about }
    RawDietRule { concepts, traits, unless, action, say, source }
    CardFile {
        labels, none_known, other_none_known, none_words, denials, dislikes, severe, reactions, supplements, precautions,
        fluid_limits, per_day, filler, ambiguous, intolerance_diets, exclusion_marks, choking_notes, units_ml,
        unitless_fluid_from_ml, drugs
    }
    RawAmbiguous { text, readings, source }
    RawForm { food, drink, risks }
    RawEffect { food, at_least, drink, no_drink, binds_juice, runs, level_unsaid, clears, adds, plain }
}

/// Choices by their places in a list.
macro_rules! choices {
    ($($type:ident [$($choice:ident),*])*) => { $(
        impl Packed for $type {
            fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
                const ALL: &[$type] = &[$($type::$choice),*];
                // Does not compile while a choice is missing here.
                const _: fn($type) = |choice| match choice { $($type::$choice)|* => () };
                one_of(ALL, model, field, given)
            }
        }
    )* };
}

choices! {
    Kind [Food, Ingredient, Group, Preparation]
    Place [Before, After]
    Reach [Or, List]
    Axis [Food, Drink]
    RuleAction [Conflict, Ask]
    Label [Allergy, Intolerance, Preference, Other, FoodAxis, DrinkAxis]
    ForkDrip [Through, Dollops, Mound]
    SpoonTilt [Pours, Drops, Slides, Sticks]
    ForkPressure [Light, Blanch, Resists]
    FoodLevel [Liquidised, Pureed, MincedMoist, SoftBiteSized, EasyToChew, Regular]
}

#[expect(clippy::indexing_slicing, reason = "INVARIANT: every list of choices has a first one")]
fn one_of<T: Copy + PartialEq, C: Coder>(all: &[T], model: &mut Model<C>, field: u32, given: Option<&T>) -> T {
    let place = given.and_then(|g| all.iter().position(|one| one == g)).unwrap_or(0);
    let place = u32::code(model, field, Some(&(place as u32)));
    all.get(place as usize).copied().unwrap_or(all[0])
}

impl Packed for u32 {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        model.number(field, given.copied().unwrap_or(0))
    }
}

impl Packed for u8 {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        u32::code(model, field, given.map(|n| u32::from(*n)).as_ref()) as Self
    }
}

impl Packed for bool {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        u32::code(model, field, given.map(|b| u32::from(*b)).as_ref()) == 1
    }
}

impl Packed for DrinkLevel {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        let number = u8::code(model, field, given.map(|l| l.number()).as_ref());
        Self::from_number(number.into()).unwrap_or(Self::THIN)
    }
}

impl Packed for Measure {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        let hundredths = u32::code(model, field, given.map(|m| m.hundredths()).as_ref());
        Self::from_hundredths(hundredths).unwrap_or_default()
    }
}

/// Characters by their distance from the one before, what they become by the distance from what the one before became.
impl Packed for Unicode {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        let given = given.and_then(Self::tables);
        let decompositions = changes(model, const { named("decompositions") }, given.map(|t| &t.decompositions));
        let lower = changes(model, const { named("lower") }, given.map(|t| &t.lower));
        let mut tables = Tables { decompositions, lower, marks: Vec::new() };
        let mut last = 0;
        for n in 0..u32::code(model, field, given.map(|t| t.marks.len() as u32).as_ref()) as usize {
            let one = given.and_then(|t| t.marks.get(n));
            let from = last + u32::code(model, hash(field, 5), one.map(|m| m.from - last).as_ref());
            let count = u32::code(model, hash(field, 6), one.map(|m| m.count).as_ref());
            tables.marks.push(Marks {
                from,
                count,
                class: u8::code(model, hash(field, 7), one.map(|m| m.class).as_ref()),
            });
            last = from + count;
        }
        Self::from_tables(tables)
    }
}

fn changes<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Vec<(u32, String)>>) -> Vec<(u32, String)> {
    let mut all: Vec<(u32, String)> = Vec::new();
    for n in 0..u32::code(model, field, given.map(|g| g.len() as u32).as_ref()) as usize {
        let one = given.and_then(|g| g.get(n));
        let (last, before) = all.last().map_or((0, ""), |(from, to)| (*from, to));
        let from = last + u32::code(model, hash(field, 1), one.map(|(from, _)| from - last).as_ref());
        let to = characters(model, hash(field, 2), before, one.map(|(_, to)| to.as_str()));
        all.push((from, to));
    }
    all
}

fn characters<C: Coder>(model: &mut Model<C>, field: u32, before: &str, given: Option<&str>) -> String {
    let count = u32::code(model, field, given.map(|to| to.chars().count() as u32).as_ref());
    let (mut before, mut given) = (before.chars(), given.map(str::chars));
    let mut character = |n: u32| {
        let near = before.next().map_or(0, |c| i64::from(u32::from(c)));
        let one = given.as_mut().and_then(Iterator::next).map(|c| i64::from(u32::from(c)) - near);
        // Distances to either side in turn: 0, 1, -1, 2, -2 …
        let folded = one.map(|d| if d > 0 { d * 2 - 1 } else { -d * 2 } as u32);
        let folded = i64::from(u32::code(model, hash(field, n.min(3)), folded.as_ref()));
        let distance = if folded % 2 == 1 { folded / 2 + 1 } else { -(folded / 2) };
        u32::try_from(near + distance).ok().and_then(char::from_u32)
    };
    (1..=count).filter_map(&mut character).collect()
}

impl Packed for String {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        model.reference(field, field, given.map_or("", String::as_str))
    }
}

impl<T: Packed> Packed for Option<T> {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        let there = bool::code(model, hash(field, 1), given.map(Option::is_some).as_ref());
        there.then(|| T::code(model, field, given.and_then(Option::as_ref)))
    }
}

impl<T: Packed> Packed for Vec<T> {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        model.list();
        let given = given.map(Vec::as_slice);
        let length = u32::code(model, hash(field, 2), given.map(|g| g.len() as u32).as_ref());
        (0..length as usize).map(|n| T::code(model, field, given.and_then(|g| g.get(n)))).collect()
    }
}

impl<K: Packed + Ord, V: Packed> Packed for BTreeMap<K, V> {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        let length = u32::code(model, hash(field, 3), given.map(|g| g.len() as u32).as_ref());
        let mut given = given.into_iter().flatten();
        let mut pair = |_| {
            let given = given.next();
            let key = K::code(model, hash(field, 4), given.map(|g| g.0));
            (key, V::code(model, field, given.map(|g| g.1)))
        };
        (0..length).map(&mut pair).collect()
    }
}

impl<A: Packed, B: Packed> Packed for (A, B) {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        (A::code(model, hash(field, 5), given.map(|g| &g.0)), B::code(model, field, given.map(|g| &g.1)))
    }
}

impl Packed for Entry {
    fn code<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Self>) -> Self {
        Self {
            file: String::code(model, hash(field, 6), given.map(|g| &g.file)),
            raw: RawConcept::code(model, field, given.map(|g| &g.raw)),
        }
    }
}

impl Packed for RawConcept {
    fn code<C: Coder>(model: &mut Model<C>, _: u32, given: Option<&Self>) -> Self {
        model.entry();
        let id = model.text(const { named("id") }, given.map_or("", |g| &g.id));
        model.topic(1, id.rsplit('-').next().unwrap_or_default());
        model.topic(2, id.split('-').next().unwrap_or_default());
        let kind = Kind::code(model, const { named("kind") }, given.map(|g| &g.kind));
        let kinds_of = Vec::code(model, const { named("kinds_of") }, given.map(|g| &g.kinds_of));
        model.topic(0, kinds_of.first().map_or("", String::as_str));
        let names = texts(model, const { named("names") }, given.map(|g| &g.names));
        Self {
            kind,
            names,
            names_in: names_in(model, given.map(|g| &g.names_in)),
            made_with: recipe(model, const { named("made_with") }, given.map(|g| &g.made_with)),
            in_statements: recipe(model, const { named("in_statements") }, given.map(|g| &g.in_statements)),
            may_hide: Packed::code(model, const { named("may_hide") }, given.map(|g| &g.may_hide)),
            free_of: Packed::code(model, const { named("free_of") }, given.map(|g| &g.free_of)),
            form: Packed::code(model, const { named("form") }, given.map(|g| &g.form)),
            effect: Packed::code(model, const { named("effect") }, given.map(|g| &g.effect)),
            traits: Packed::code(model, const { named("traits") }, given.map(|g| &g.traits)),
            source: Packed::code(model, const { named("source") }, given.map(|g| &g.source)),
            note: None,
            matches: Vec::new(),
            rejects: Vec::new(),
            id,
            kinds_of,
        }
    }
}

/// Texts that hardly ever stand twice.
fn texts<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&Vec<String>>) -> Vec<String> {
    let length = u32::code(model, hash(field, 2), given.map(|g| g.len() as u32).as_ref());
    let text = |n| model.text(field, given.and_then(|g| g.get(n)).map_or("", String::as_str));
    (0..length as usize).map(text).collect()
}

fn names_in<C: Coder>(
    model: &mut Model<C>,
    given: Option<&BTreeMap<String, Vec<String>>>,
) -> BTreeMap<String, Vec<String>> {
    const FIELD: u32 = named("names_in");
    let length = u32::code(model, FIELD, given.map(|g| g.len() as u32).as_ref());
    let mut given = given.into_iter().flatten();
    model.list();
    let mut language = |_| {
        let given = given.next();
        let code = String::code(model, FIELD, given.map(|g| g.0));
        let field = named(&code);
        (code, texts(model, field, given.map(|g| g.1)))
    };
    (0..length).map(&mut language).collect()
}

fn recipe<C: Coder>(model: &mut Model<C>, field: u32, given: Option<&RawRecipe>) -> RawRecipe {
    const EDGES: u32 = named("edges");
    model.list();
    let mut edges = |n, given: Option<&Vec<String>>| {
        let length = u32::code(model, hash(field, n), given.map(|g| g.len() as u32).as_ref());
        let edge =
            |at| model.reference(hash(field, n), EDGES, given.and_then(|g| g.get(at)).map_or("", String::as_str));
        (0..length as usize).map(edge).collect()
    };
    RawRecipe {
        always: edges(10, given.map(|g| &g.always)),
        often: edges(11, given.map(|g| &g.often)),
        sometimes: edges(12, given.map(|g| &g.sometimes)),
        never: edges(13, given.map(|g| &g.never)),
    }
}
