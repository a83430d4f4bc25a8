//! The serde mirror of the JSON files in `ontology/`: what a file may say, field by field.
//!
//! Unknown fields are errors. Nothing here checks meaning; that is `validate`.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::level::{DrinkLevel, FoodLevel};
use crate::tested::{ForkDrip, ForkPressure, Measure, SpoonTilt};

/// `manifest.json`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Manifest {
    pub(crate) format: u32,
    pub(crate) version: String,
    #[cfg_attr(not(feature = "built-in"), expect(dead_code, reason = "a packed ontology has no files"))]
    pub(crate) files: Vec<String>,
}

/// A file of concepts: `foods/*.json` and `preparations.json`.
#[cfg(feature = "built-in")]
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ConceptFile {
    #[allow(dead_code, reason = "read by people, checked by the JSON Schema")]
    group: String,
    #[allow(dead_code, reason = "read by people, checked by the JSON Schema")]
    about: String,
    pub(crate) concepts: Vec<RawConcept>,
}

/// What a concept is used as.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Kind {
    /// Something that is served.
    #[default]
    Food,
    /// Goes into food and is not served as such.
    Ingredient,
    /// A class that orders and labels name.
    Group,
    /// A cooking or serving word that changes the food it stands beside.
    Preparation,
}

/// One concept as written.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawConcept {
    pub(crate) id: String,
    #[serde(default)]
    pub(crate) kind: Kind,
    pub(crate) names: Vec<String>,
    #[serde(default)]
    pub(crate) names_in: BTreeMap<String, Vec<String>>,
    #[serde(default)]
    pub(crate) kinds_of: Vec<String>,
    #[serde(default)]
    pub(crate) made_with: RawRecipe,
    /// Edges that hold instead where an ingredient statement names the word itself.
    #[serde(default)]
    pub(crate) in_statements: RawRecipe,
    #[serde(default)]
    pub(crate) may_hide: Vec<String>,
    #[serde(default)]
    pub(crate) free_of: Vec<String>,
    #[serde(default)]
    pub(crate) form: Option<RawForm>,
    #[serde(default)]
    pub(crate) effect: Option<RawEffect>,
    #[serde(default)]
    pub(crate) traits: Vec<String>,
    #[serde(default)]
    pub(crate) source: Vec<String>,
    #[serde(default)]
    pub(crate) note: Option<String>,
    #[serde(default)]
    pub(crate) matches: Vec<String>,
    #[serde(default)]
    pub(crate) rejects: Vec<String>,
}

/// `made_with`: targets by strength; `never` takes an inherited edge away.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawRecipe {
    pub(crate) always: Vec<String>,
    pub(crate) often: Vec<String>,
    pub(crate) sometimes: Vec<String>,
    pub(crate) never: Vec<String>,
}

/// How a food is ordinarily served.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawForm {
    #[serde(default)]
    pub(crate) food: Option<FoodLevel>,
    #[serde(default)]
    pub(crate) drink: Option<DrinkLevel>,
    #[serde(default)]
    pub(crate) risks: Vec<String>,
}

/// What a preparation does to the form of the food beside it.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawEffect {
    pub(crate) food: Option<FoodLevel>,
    pub(crate) at_least: Option<FoodLevel>,
    pub(crate) drink: Option<DrinkLevel>,
    pub(crate) no_drink: bool,
    /// Juice that would separate is taken up; what pours or melts stays.
    pub(crate) binds_juice: bool,
    /// A smooth or soft food with it runs: the liquid level holds for the food itself.
    pub(crate) runs: bool,
    /// The liquid is thickened, and to what level is not said.
    pub(crate) level_unsaid: bool,
    pub(crate) clears: Vec<String>,
    pub(crate) adds: Vec<String>,
    pub(crate) plain: bool,
}

/// `traits.json`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TraitFile {
    pub(crate) traits: Vec<RawTrait>,
}

/// One diet trait.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTrait {
    pub(crate) id: String,
    pub(crate) means: String,
    pub(crate) source: Vec<String>,
}

/// `claims.json`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ClaimFile {
    pub(crate) markers: Vec<RawMarker>,
    pub(crate) abstract_words: Vec<String>,
    pub(crate) precautions: Vec<String>,
    pub(crate) shared_places: Vec<String>,
    pub(crate) shared_verbs: Vec<String>,
    pub(crate) partial_lists: Vec<String>,
    pub(crate) exceptions: Vec<String>,
    /// Foods that are sold as substitutes under their own name, kinds of them included.
    pub(crate) substitutes: Vec<String>,
    /// The same, for the bare word only: milk, not whey.
    pub(crate) substitute_words: Vec<String>,
    /// For a class of food, what is served in its place where a claim takes it away: "vegan steak".
    pub(crate) stand_ins: BTreeMap<String, String>,
    pub(crate) short_denials: BTreeMap<String, String>,
    pub(crate) no_claim: Vec<String>,
    pub(crate) no_label: Vec<String>,
    pub(crate) named: Vec<RawNamedClaim>,
    pub(crate) softens_with: BTreeMap<String, Vec<String>>,
    pub(crate) source: Vec<String>,
}

/// A word that turns the food beside it into a claim.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawMarker {
    pub(crate) texts: Vec<String>,
    pub(crate) place: Place,
    #[serde(default)]
    pub(crate) reach: Reach,
}

/// Where a claim marker stands relative to the food it denies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Place {
    Before,
    After,
}

/// How far a marker before a list of foods reaches.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Reach {
    /// The next food, and more only when they are joined by "or" / "nor".
    #[default]
    Or,
    /// Everything to the end of the sentence.
    List,
}

/// A claim with a name of its own: vegan, unsalted.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawNamedClaim {
    pub(crate) id: String,
    pub(crate) names: Vec<String>,
    #[serde(default)]
    pub(crate) frees: Vec<String>,
    #[serde(default)]
    pub(crate) softens: Vec<String>,
    pub(crate) source: Vec<String>,
}

/// `words.json`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WordFile {
    pub(crate) written: Vec<Written>,
    pub(crate) letters: BTreeMap<String, String>,
    pub(crate) irregular_plurals: BTreeMap<String, String>,
    pub(crate) own_plurals: Vec<String>,
    pub(crate) joiners: Vec<String>,
    pub(crate) part_marks: Vec<String>,
    pub(crate) conjunctions: Vec<String>,
    pub(crate) alternatives: Vec<String>,
    pub(crate) flavour_marks: Vec<String>,
    pub(crate) imitation_marks: Vec<String>,
    pub(crate) negations: Vec<String>,
    pub(crate) list_heads: Vec<String>,
    pub(crate) optional_marks: Vec<String>,
    /// The food before may be left out, for the sake of what stands behind: "omit for dairy-free".
    pub(crate) omission_marks: Vec<String>,
    /// At the head of a bracket, what follows stands for the food before the bracket: "(sub margarine)".
    pub(crate) substitution_marks: Vec<String>,
    /// "choice of", "one of the following".
    pub(crate) choice_heads: Vec<String>,
    pub(crate) weak_marks: Vec<String>,
    pub(crate) maker_marks: Vec<String>,
    pub(crate) abbreviations: BTreeMap<String, String>,
    /// Units of length, in hundredths of a millimetre.
    pub(crate) length_units: BTreeMap<String, u32>,
    pub(crate) open_words: Vec<String>,
    pub(crate) function_words: Vec<String>,
    pub(crate) trade_named: Vec<String>,
    pub(crate) filler: BTreeMap<String, Vec<String>>,
}

/// A written abbreviation that holds a sign: `w/o`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Written {
    pub(crate) text: String,
    pub(crate) means: String,
}

/// `allergens.json`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AllergenFile {
    pub(crate) reported: Vec<String>,
    pub(crate) order_notes: BTreeMap<String, String>,
    pub(crate) cross_reactive: Vec<RawCrossReactive>,
    pub(crate) order_groups: Vec<RawOrderGroup>,
    pub(crate) taken_as: Vec<RawTakenAs>,
    pub(crate) lists: Vec<RawAllergenList>,
}

/// A group of foods of which one on an order makes the others a question.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCrossReactive {
    #[serde(default)]
    pub(crate) kinds_of: Option<String>,
    #[serde(default)]
    pub(crate) members: Vec<String>,
    pub(crate) source: Vec<String>,
}

/// An order word that stands for several concepts: alpha-gal, latex.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawOrderGroup {
    pub(crate) id: String,
    pub(crate) names: Vec<String>,
    #[serde(default)]
    pub(crate) excludes: Vec<String>,
    #[serde(default)]
    pub(crate) asks: Vec<String>,
    pub(crate) note: String,
    pub(crate) source: Vec<String>,
}

/// What a convention takes a bare word as: plain soybean oil as highly refined, so without soy.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTakenAs {
    pub(crate) foods: Vec<String>,
    /// What would be there if the convention did not hold.
    pub(crate) free_of: Vec<String>,
    /// In words; a verdict on an order that excludes it repeats them.
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

/// The list of one jurisdiction.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawAllergenList {
    pub(crate) id: String,
    pub(crate) jurisdiction: String,
    pub(crate) version: String,
    pub(crate) mandatory: Vec<String>,
    #[serde(default)]
    pub(crate) recommended: Vec<String>,
    #[serde(default)]
    pub(crate) threshold: BTreeMap<String, String>,
    #[serde(default)]
    pub(crate) exempt: Vec<RawExemption>,
    pub(crate) source: Vec<String>,
}

/// A derived ingredient that a jurisdiction exempts from declaration.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawExemption {
    /// The exemption in words.
    pub(crate) what: String,
    /// The concepts that it is about, where a text can name them.
    #[serde(default)]
    pub(crate) foods: Vec<String>,
    /// What they then count as free of.
    #[serde(default)]
    pub(crate) free_of: Vec<String>,
}

/// `iddsi.json`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct IddsiFile {
    pub(crate) attribution: String,
    pub(crate) food_levels: Vec<RawFoodLevel>,
    pub(crate) drink_levels: Vec<RawDrinkLevel>,
    pub(crate) terms: Vec<RawTerm>,
    pub(crate) risks: Vec<RawRisk>,
    pub(crate) bite_size: RawBiteSize,
    pub(crate) thin_up_to: RawThin,
    pub(crate) tests: RawTests,
    pub(crate) remedies: RawRemedies,
    /// What a thickened drink must not meet.
    pub(crate) thickener_cautions: Vec<RawThickenerCaution>,
    pub(crate) free_water: RawFreeWater,
    /// Card words for the piece sizes of children.
    pub(crate) paediatric_words: Vec<String>,
}

/// A medicine that undoes a thickener.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawThickenerCaution {
    pub(crate) names: Vec<String>,
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

/// An order that allows plain water between meals.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFreeWater {
    pub(crate) names: Vec<String>,
    pub(crate) concept: String,
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

/// Preparations that a kitchen may bring a food within an order with.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawRemedies {
    /// They take something off, and go with any other.
    pub(crate) trims: Vec<String>,
    /// They change the whole food; the smallest change first.
    pub(crate) changes: Vec<RawChange>,
}

/// A preparation that changes the whole food.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawChange {
    pub(crate) preparation: String,
    /// Only for food with one of these risks: nobody soaks a steak.
    #[serde(default)]
    pub(crate) with: Vec<String>,
}

/// What the IDDSI tests show.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTests {
    /// Thinnest first.
    pub(crate) flow: Vec<RawFlow>,
    /// Drinks that the flow test cannot tell apart.
    pub(crate) drink: Vec<RawDrinkTest>,
    /// Least demanding level first.
    pub(crate) food: Vec<RawFoodTest>,
    pub(crate) transitional: RawTransitional,
    /// Risks that a passed test speaks against.
    pub(crate) clears: RawTestClears,
    pub(crate) source: Vec<String>,
}

/// Millilitres left in the syringe that show a level.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFlow {
    pub(crate) level: DrinkLevel,
    #[serde(default)]
    pub(crate) from_ml: Option<Measure>,
    #[serde(default)]
    pub(crate) above_ml: Option<Measure>,
    pub(crate) below_ml: Measure,
    pub(crate) source: Vec<String>,
}

/// Fork and spoon for a drink.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawDrinkTest {
    pub(crate) level: DrinkLevel,
    pub(crate) fork_drip: Vec<ForkDrip>,
    pub(crate) spoon_tilt: Vec<SpoonTilt>,
    pub(crate) source: Vec<String>,
}

/// What a food level asks of the tests; an empty list asks nothing.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFoodTest {
    pub(crate) level: FoodLevel,
    #[serde(default)]
    pub(crate) fork_drip: Vec<ForkDrip>,
    #[serde(default)]
    pub(crate) spoon_tilt: Vec<SpoonTilt>,
    #[serde(default)]
    pub(crate) fork_pressure: Vec<ForkPressure>,
    #[serde(default)]
    pub(crate) width: Option<RawSizes>,
    #[serde(default)]
    pub(crate) length: Option<RawSizes>,
    #[serde(default)]
    pub(crate) no_lumps: bool,
    pub(crate) source: Vec<String>,
}

/// The largest piece, inclusive.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawSizes {
    pub(crate) adult_mm: Measure,
    pub(crate) paediatric_mm: Measure,
    /// A smooth food need not be measured.
    #[serde(default)]
    pub(crate) optional: bool,
}

/// The test of transitional foods.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTransitional {
    pub(crate) passes: Vec<ForkPressure>,
    /// Risks that the water takes away.
    pub(crate) clears: Vec<String>,
    /// The lowest ordered level that such food can go with.
    pub(crate) from: FoodLevel,
    pub(crate) source: Vec<String>,
}

/// Risks by the test that speaks against them.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTestClears {
    pub(crate) fork_pressure: Vec<String>,
    pub(crate) spoon_tilt: Vec<String>,
    pub(crate) no_lumps: Vec<String>,
    pub(crate) sizes: Vec<String>,
}

/// What level 6 asks of food that is soft enough for easy to chew.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawBiteSize {
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

/// The thickest liquid that makes a mixed consistency with solid pieces.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawThin {
    pub(crate) level: DrinkLevel,
    pub(crate) source: Vec<String>,
    #[allow(dead_code, reason = "read by people")]
    #[serde(default)]
    pub(super) note: Option<String>,
}

/// A food level and its name.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFoodLevel {
    pub(crate) level: FoodLevel,
    pub(crate) name: String,
    /// SNOMED CT codes of the level on this axis.
    #[serde(default)]
    pub(crate) snomed: Vec<String>,
    pub(crate) source: Vec<String>,
}

/// A drink level and its name.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawDrinkLevel {
    pub(crate) level: DrinkLevel,
    pub(crate) name: String,
    /// SNOMED CT codes of the level on this axis.
    #[serde(default)]
    pub(crate) snomed: Vec<String>,
    pub(crate) source: Vec<String>,
}

/// A texture or liquid term of cards, and what it is read as.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTerm {
    pub(crate) names: Vec<String>,
    #[serde(default)]
    pub(crate) food: Option<FoodLevel>,
    #[serde(default)]
    pub(crate) drink: Option<DrinkLevel>,
    /// A level number without a word for its axis: read only where the card names the axis.
    #[serde(default)]
    pub(crate) either: Option<u8>,
    /// The axes that such a number fills when the card has a value for the other axis.
    #[serde(default)]
    pub(crate) settles: Vec<Axis>,
    /// Words that mean this term only behind "liquids:": honey.
    #[serde(default)]
    pub(crate) on_drink_axis: Vec<String>,
    /// A remark that the verdict repeats; the term is still read.
    #[serde(default)]
    pub(crate) remark: Option<String>,
    /// Why the term must be asked about; the level, if any, holds until it is answered.
    #[serde(default)]
    pub(crate) ask: Option<String>,
    pub(crate) source: Vec<String>,
}

/// One of the two axes of IDDSI.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Axis {
    Food,
    Drink,
}

/// A mouth risk and the levels that exclude it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawRisk {
    pub(crate) id: String,
    pub(crate) say: String,
    #[serde(default)]
    pub(crate) excluded: Vec<FoodLevel>,
    #[serde(default)]
    pub(crate) ask: Vec<FoodLevel>,
    /// Order words that clear it where it would only be asked about.
    #[serde(default)]
    pub(crate) cleared_by: Vec<String>,
    /// The food needs its level for this reason alone.
    #[serde(default)]
    pub(crate) sets_level: bool,
    pub(crate) source: Vec<String>,
}

/// `diets/*.json`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawDiet {
    pub(crate) id: String,
    pub(crate) title: String,
    pub(crate) names: Vec<String>,
    pub(crate) about: String,
    /// `false`: the order is recognised, its rules are not written yet, and every tray is asked about.
    pub(crate) judged: bool,
    #[serde(default)]
    pub(crate) nothing_by_mouth: bool,
    #[serde(default)]
    pub(crate) rules: Vec<RawDietRule>,
    pub(crate) source: Vec<String>,
}

/// One rule of a diet.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawDietRule {
    #[serde(default)]
    pub(crate) concepts: Vec<String>,
    #[serde(default)]
    pub(crate) traits: Vec<String>,
    #[serde(default)]
    pub(crate) unless: Vec<String>,
    pub(crate) action: RuleAction,
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

/// What a diet rule does to an item that it meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum RuleAction {
    /// The item is against the diet.
    Conflict,
    /// Staff must decide.
    Ask,
}

/// `card.json`: the words of diet cards.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CardFile {
    pub(crate) labels: BTreeMap<Label, Vec<String>>,
    pub(crate) none_known: Vec<String>,
    pub(crate) other_none_known: Vec<String>,
    /// Say "none known" only behind an allergy label.
    pub(crate) none_words: Vec<String>,
    pub(crate) denials: Vec<String>,
    pub(crate) dislikes: Vec<String>,
    pub(crate) severe: Vec<String>,
    pub(crate) reactions: Vec<String>,
    pub(crate) supplements: Vec<String>,
    pub(crate) precautions: Vec<String>,
    pub(crate) fluid_limits: Vec<String>,
    pub(crate) per_day: Vec<String>,
    pub(crate) filler: Vec<String>,
    pub(crate) ambiguous: Vec<RawAmbiguous>,
    pub(crate) intolerance_diets: BTreeMap<String, String>,
    pub(crate) exclusion_marks: Vec<String>,
    pub(crate) choking_notes: Vec<String>,
    pub(crate) units_ml: BTreeMap<String, u32>,
    /// A fluid limit without a unit is in mL from this number on: fewer could be ounces or cups.
    pub(crate) unitless_fluid_from_ml: u32,
    pub(crate) drugs: Vec<String>,
}

/// What a label on a card announces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Label {
    Allergy,
    Intolerance,
    Preference,
    Other,
    /// "texture:", "food:": a bare level number after it is a food level.
    FoodAxis,
    /// "liquids:": a bare level number after it is a drink level.
    DrinkAxis,
}

/// An abbreviation with more than one reading.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawAmbiguous {
    pub(crate) text: String,
    pub(crate) readings: Vec<String>,
    pub(crate) source: Vec<String>,
}
