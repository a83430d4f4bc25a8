//! What a person may have: the structured order of the exchange format, and diet-card text.

mod card;
mod prepare;

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

pub use card::{CardAllergy, CardReading, Unclear};
pub(crate) use card::{CardLexicon, Mode, read_card};
pub(crate) use prepare::{AskFor, Exclusion, Prepared, PreparedDiet};

use crate::error::InputError;
use crate::level::{DrinkLevel, FoodLevel};
use crate::limits;
use crate::tested::PieceSize;
use crate::tray::bounded;

/// A diet order. Every field is optional; an order that states nothing at all is a missing order.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Order {
    /// The resident; opaque, compared with the tray's but for case, white space, dashes and Unicode form.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resident: Option<String>,
    /// The meal; compared with the tray's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meal: Option<String>,
    /// Allergies, intolerances and exclusions. Empty says "none known"; absent says "not stated".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allergies: Option<Vec<Allergy>>,
    /// Diets, by any of their names.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub diets: Vec<String>,
    /// Ordered IDDSI food level; absent means no restriction ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub food_level: Option<FoodLevel>,
    /// Ordered IDDSI liquid level, 0 to 4; absent means no restriction ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_level: Option<DrinkLevel>,
    /// What the order clears although a level would only be served after a question: bread, mixed consistency,
    /// transitional foods; each an id or an order word of `iddsi.json`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cleared: Vec<String>,
    /// Whose piece sizes hold for test results; a clinical decision, never worked out from an age.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece_size: Option<PieceSize>,
    /// Most fluid a day, in mL, at most [`limits::FLUID_ML`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fluid_limit_ml: Option<u32>,
    /// Remarks, read like card text.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// What the diet card says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// What an excluded food does to the person, as the order says.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum AllergyKind {
    /// An allergy.
    #[default]
    Allergy,
    /// An intolerance: what only may be there is a question, not a conflict.
    Intolerance,
    /// An exclusion without a reason; judged as an allergy, and to be confirmed.
    Excluded,
}

/// One entry of `allergies`: in JSON a word, or an object with `to`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Allergy {
    /// The food, group or family, in words.
    pub to: String,
    /// What it is.
    pub kind: AllergyKind,
    /// How bad, in the order's words: "severe" and "anaphylaxis" count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub severity: Option<String>,
    /// What happens, in the order's words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reaction: Option<String>,
}

impl Allergy {
    /// An allergy to this food.
    #[must_use]
    pub fn to(food: impl Into<String>) -> Self {
        Self { to: food.into(), ..Self::default() }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AllergyObject {
    to: String,
    #[serde(default)]
    kind: AllergyKind,
    #[serde(default)]
    severity: Option<String>,
    #[serde(default)]
    reaction: Option<String>,
}

impl<'de> Deserialize<'de> for Allergy {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct WordOrObject;

        impl<'de> Visitor<'de> for WordOrObject {
            type Value = Allergy;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a word or an object with `to`")
            }

            fn visit_str<E>(self, word: &str) -> Result<Allergy, E> {
                Ok(Allergy::to(word))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Allergy, A::Error> {
                let object = AllergyObject::deserialize(MapAccessDeserializer::new(map))?;
                let AllergyObject { to, kind, severity, reaction } = object;
                Ok(Allergy { to, kind, severity, reaction })
            }
        }

        deserializer.deserialize_any(WordOrObject)
    }
}

impl Order {
    /// # Errors
    /// Names the bound that the order is past.
    pub(crate) fn check(&self) -> Result<(), InputError> {
        let word = |field: &str, text: Option<&str>| bounded(field, text.unwrap_or_default(), limits::WORD_BYTES);
        word("order.resident", self.resident.as_deref())?;
        word("order.meal", self.meal.as_deref())?;
        let allergies = self.allergies.as_deref().unwrap_or_default();
        for (field, count) in [
            ("order.allergies", allergies.len()),
            ("order.diets", self.diets.len()),
            ("order.notes", self.notes.len()),
            ("order.cleared", self.cleared.len()),
        ] {
            if count > limits::ORDER_ENTRIES {
                return Err(InputError::too_large(field, count, limits::ORDER_ENTRIES, "entries"));
            }
        }
        for (n, allergy) in allergies.iter().enumerate() {
            word(&format!("order.allergies[{n}].to"), Some(&allergy.to))?;
            word(&format!("order.allergies[{n}].severity"), allergy.severity.as_deref())?;
            word(&format!("order.allergies[{n}].reaction"), allergy.reaction.as_deref())?;
        }
        for (n, diet) in self.diets.iter().enumerate() {
            word(&format!("order.diets[{n}]"), Some(diet))?;
        }
        for (n, cleared) in self.cleared.iter().enumerate() {
            word(&format!("order.cleared[{n}]"), Some(cleared))?;
        }
        for (n, note) in self.notes.iter().enumerate() {
            bounded(&format!("order.notes[{n}]"), note, limits::CARD_BYTES)?;
        }
        bounded("order.text", self.text.as_deref().unwrap_or_default(), limits::CARD_BYTES)?;
        match self.fluid_limit_ml {
            Some(ml) if ml > limits::FLUID_ML => {
                Err(InputError::too_large("order.fluid_limit_ml", ml as usize, limits::FLUID_ML as usize, "mL"))
            }
            _ => Ok(()),
        }
    }

    /// Whether the order states anything positive: an allergy statement, a diet, a level, a limit or text.
    #[must_use]
    pub fn states_anything(&self) -> bool {
        self.allergies.is_some()
            || !self.diets.is_empty()
            || self.food_level.is_some()
            || self.liquid_level.is_some()
            || self.fluid_limit_ml.is_some()
            || self.text.iter().chain(&self.notes).any(|t| !t.trim().is_empty())
    }
}
