//! What food is measured by: nutrients with their units, and limits on them.

use serde::{Deserialize, Serialize};

use crate::tested::Measure;

/// A nutrient, its unit in its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Nutrient {
    /// Energy in kilocalories.
    EnergyKcal,
    /// Sodium in milligrams; not salt.
    SodiumMg,
    /// Potassium in milligrams.
    PotassiumMg,
    /// Phosphorus in milligrams.
    PhosphorusMg,
    /// Total carbohydrate in grams, fibre included.
    CarbohydrateG,
    /// Total sugars in grams.
    SugarsG,
    /// Total fat in grams.
    FatG,
    /// Saturated fat in grams.
    SaturatedFatG,
    /// Cholesterol in milligrams.
    CholesterolMg,
    /// Protein in grams.
    ProteinG,
    /// Dietary fibre in grams.
    FiberG,
    /// What counts as fluid, in millilitres.
    FluidMl,
    /// Vitamin K in micrograms.
    VitaminKUg,
}

/// What a limit holds for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// One item as served.
    Item,
    /// One meal: the tray.
    Meal,
    /// One day.
    Day,
}

/// An ordered limit on a nutrient. In JSON `{"nutrient": "sodium_mg", "at_most": 2000, "per": "day"}`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// What is limited, and in which unit.
    pub nutrient: Nutrient,
    /// The least there should be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<Measure>,
    /// The most there may be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<Measure>,
    /// What it holds for.
    pub per: Per,
}
