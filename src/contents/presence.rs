//! Presence: never a plain yes or no.

use serde::{Serialize, Serializer};

/// What is known of one concept in one item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Presence {
    /// Understood, and nothing brings it in.
    Free,
    /// Part of the item's text was not understood, and it could be there.
    Unknown,
    /// It may be there; why is kept, because orders treat the reasons differently.
    May(MayReason),
    /// It is there.
    Contains,
}

/// Why a concept is only possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum MayReason {
    /// Recipes differ.
    RecipesDiffer,
    /// The item names something more general.
    TooGeneral,
    /// The text offers it as one of several.
    Choice,
    /// The text only alludes to it: "flavoured", "style".
    Alluded,
    /// Only the name says so, and the ingredient list that was given does not bear it out.
    Unlisted,
    /// A claim such as "vegan" softens what the recipe would hold.
    Claim,
    /// A misspelt word may have been meant as it.
    Spelling,
    /// A precautionary statement names it: "may contain".
    Precaution,
}

impl Presence {
    /// Strength of the evidence, for comparing: `Contains` > a precautionary statement > other `May` > `Unknown` > `Free`.
    #[must_use]
    pub fn rank(self) -> u8 {
        match self {
            Self::Free => 0,
            Self::Unknown => 1,
            Self::May(MayReason::Precaution) => 3,
            Self::May(_) => 2,
            Self::Contains => 4,
        }
    }

    /// The word of the exchange format.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Unknown => "unknown",
            Self::May(_) => "may",
            Self::Contains => "contains",
        }
    }
}

impl Serialize for Presence {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}
