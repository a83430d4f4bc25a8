//! IDDSI levels as values. Food and drink are two axes that never stand for one another.
//!
//! Level numbers and names: IDDSI Framework, Detailed definitions 2.0, July 2019.

use std::fmt;

use serde::de::{Error as _, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A level on the food axis, in rising demand on chewing.
///
/// *Easy to chew* and *regular* both carry the number 7 and are different values.
/// In JSON: `3` to `7`, or `"easy to chew"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FoodLevel {
    /// Level 3, liquidised.
    Liquidised,
    /// Level 4, pureed.
    Pureed,
    /// Level 5, minced and moist.
    MincedMoist,
    /// Level 6, soft and bite-sized.
    SoftBiteSized,
    /// Level 7, easy to chew.
    EasyToChew,
    /// Level 7, regular: no restriction.
    Regular,
}

impl FoodLevel {
    /// All levels, least demanding first.
    pub const ALL: [Self; 6] =
        [Self::Liquidised, Self::Pureed, Self::MincedMoist, Self::SoftBiteSized, Self::EasyToChew, Self::Regular];

    /// The level with this number; 7 is regular. `None` outside 3 to 7.
    #[must_use]
    pub fn from_number(number: u64) -> Option<Self> {
        match number {
            3 => Some(Self::Liquidised),
            4 => Some(Self::Pureed),
            5 => Some(Self::MincedMoist),
            6 => Some(Self::SoftBiteSized),
            7 => Some(Self::Regular),
            _ => None,
        }
    }

    /// The number that IDDSI prints for this level, 3 to 7.
    #[must_use]
    pub fn number(self) -> u8 {
        match self {
            Self::Liquidised => 3,
            Self::Pureed => 4,
            Self::MincedMoist => 5,
            Self::SoftBiteSized => 6,
            Self::EasyToChew | Self::Regular => 7,
        }
    }
}

impl Serialize for FoodLevel {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::EasyToChew => serializer.serialize_str("easy to chew"),
            level => serializer.serialize_u8(level.number()),
        }
    }
}

struct NumberOrWord;

impl Visitor<'_> for NumberOrWord {
    type Value = Option<FoodLevel>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number or a word")
    }

    fn visit_u64<E>(self, number: u64) -> Result<Self::Value, E> {
        Ok(FoodLevel::from_number(number))
    }

    fn visit_str<E>(self, word: &str) -> Result<Self::Value, E> {
        Ok(word.eq_ignore_ascii_case("easy to chew").then_some(FoodLevel::EasyToChew))
    }
}

impl<'de> Deserialize<'de> for FoodLevel {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let wanted = "a food level is 3, 4, 5, 6, 7 or \"easy to chew\"";
        let level = deserializer.deserialize_any(NumberOrWord).ok().flatten();
        level.ok_or_else(|| D::Error::custom(wanted))
    }
}

/// A level on the drink axis: 0 (thin) to 4 (extremely thick). Thicker is never taken to be safer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DrinkLevel(u8);

impl DrinkLevel {
    /// Level 0, thin.
    pub const THIN: Self = Self(0);

    /// The level with this number. `None` above 4.
    #[must_use]
    pub fn from_number(number: u64) -> Option<Self> {
        u8::try_from(number).ok().filter(|n| *n <= 4).map(Self)
    }

    /// The number of this level, 0 to 4.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0
    }
}

impl Serialize for DrinkLevel {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0)
    }
}

impl<'de> Deserialize<'de> for DrinkLevel {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let wanted = "a liquid level is 0, 1, 2, 3 or 4";
        u64::deserialize(deserializer).ok().and_then(Self::from_number).ok_or_else(|| D::Error::custom(wanted))
    }
}
