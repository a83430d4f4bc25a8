//! What is on the tray.

use serde::{Deserialize, Serialize};

use crate::error::InputError;
use crate::limits;
use crate::read::Field;
use crate::tested::TestResults;

/// A tray as it stands before the resident.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tray {
    /// The resident that the tray is marked for; opaque, compared but for case, white space, dashes and Unicode form.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resident: Option<String>,
    /// The meal that the tray is marked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meal: Option<String>,
    /// What is on it, at most [`limits::ITEMS`].
    #[serde(deserialize_with = "crate::object::list")]
    pub items: Vec<Item>,
}

/// One thing on the tray.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// What the menu or the packet calls it.
    pub name: String,
    /// The ingredient statement, when there is one.
    #[serde(default)]
    pub ingredients: Option<String>,
    /// Where it lies, for people: plate, bowl, tray.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The closure is unbroken and the outside clean. Not stated counts as open.
    #[serde(default)]
    pub sealed: bool,
    /// Results of IDDSI tests on this food, as served.
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "crate::object::maybe")]
    pub tested: Option<TestResults>,
}

impl Item {
    /// An open item with this name and no label.
    #[must_use]
    pub fn named(name: impl Into<String>) -> Self {
        Self { name: name.into(), ..Self::default() }
    }

    /// One of the item's texts; empty when there is none.
    #[must_use]
    pub fn text(&self, field: Field) -> &str {
        match field {
            Field::Name => &self.name,
            Field::Ingredients => self.ingredients.as_deref().unwrap_or_default(),
        }
    }

    pub(crate) fn check(&self, place: &str) -> Result<(), InputError> {
        bounded(&format!("{place}.name"), &self.name, limits::NAME_BYTES)?;
        bounded(&format!("{place}.ingredients"), self.text(Field::Ingredients), limits::INGREDIENTS_BYTES)?;
        bounded(&format!("{place}.place"), self.place.as_deref().unwrap_or_default(), limits::WORD_BYTES)?;
        self.tested.iter().try_for_each(|results| results.check(&format!("{place}.tested")))
    }
}

impl Tray {
    /// # Errors
    /// Names the bound that the tray is past.
    pub(crate) fn check(&self) -> Result<(), InputError> {
        bounded("tray.resident", self.resident.as_deref().unwrap_or_default(), limits::WORD_BYTES)?;
        bounded("tray.meal", self.meal.as_deref().unwrap_or_default(), limits::WORD_BYTES)?;
        if self.items.len() > limits::ITEMS {
            return Err(InputError::too_large("tray.items", self.items.len(), limits::ITEMS, "items"));
        }
        self.items.iter().enumerate().try_for_each(|(n, item)| item.check(&format!("tray.items[{n}]")))
    }
}

/// # Errors
/// When the text has more bytes than the bound.
pub(crate) fn bounded(field: &str, text: &str, bound: usize) -> Result<(), InputError> {
    if text.len() > bound { Err(InputError::too_large(field, text.len(), bound, "bytes")) } else { Ok(()) }
}
