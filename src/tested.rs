//! Results of IDDSI tests on the actual food, and the levels that they show.
//!
//! The numbers stand in `ontology/iddsi.json`, each with its source. A measured level outranks the ordinary one.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

use crate::error::InputError;
use crate::level::{DrinkLevel, FoodLevel};
use crate::limits;
use crate::ontology::{RawFlow, RawFoodTest, RawSizes, RawTests};
use crate::tray::bounded;

/// A measure with at most two decimals, 0 to 10,000, in the unit that its field names. In JSON a number.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Measure {
    hundredths: u32,
}

impl Measure {
    const MOST_HUNDREDTHS: u32 = 1_000_000;

    /// The measure of this many hundredths of the unit; `None` above 10,000 units.
    #[must_use]
    pub fn from_hundredths(hundredths: u32) -> Option<Self> {
        (hundredths <= Self::MOST_HUNDREDTHS).then_some(Self { hundredths })
    }

    /// So many units of this many hundredths each, rounded up: a piece is never taken for smaller than it is.
    pub(crate) fn from_units(number: f64, hundredths: u32) -> Option<Self> {
        let product = (number * f64::from(hundredths) - 1e-6).ceil();
        if !(0.0..=f64::from(Self::MOST_HUNDREDTHS)).contains(&product) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked to be a whole number in range"
        )]
        Some(Self { hundredths: product as u32 })
    }

    /// In hundredths of the unit.
    #[must_use]
    pub fn hundredths(self) -> u32 {
        self.hundredths
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.hundredths / 100, self.hundredths % 100);
        match part {
            0 => write!(f, "{whole}"),
            p if p.is_multiple_of(10) => write!(f, "{whole}.{}", p / 10),
            p => write!(f, "{whole}.{p:02}"),
        }
    }
}

impl Serialize for Measure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.hundredths.is_multiple_of(100) {
            serializer.serialize_u32(self.hundredths / 100)
        } else {
            serializer.serialize_f64(f64::from(self.hundredths) / 100.0)
        }
    }
}

impl<'de> Deserialize<'de> for Measure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let wanted = "a measure is a number from 0 to 10000 with at most two decimals";
        let hundredths = f64::deserialize(deserializer).map_err(|_| D::Error::custom(wanted))? * 100.0;
        let whole = hundredths.round();
        let in_range = (0.0..=f64::from(Self::MOST_HUNDREDTHS)).contains(&whole);
        if !in_range || (hundredths - whole).abs() > 1e-6 {
            return Err(D::Error::custom(wanted));
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked to be a whole number in range"
        )]
        Ok(Self { hundredths: whole as u32 })
    }
}

/// What food or drink does between the tines of a fork.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ForkDrip {
    /// It runs through.
    Through,
    /// It drips slowly, in dollops or strands.
    Dollops,
    /// It sits above the fork.
    Mound,
}

/// What food or drink does on a tilted spoon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SpoonTilt {
    /// It pours off.
    Pours,
    /// It holds its shape and drops off whole.
    Drops,
    /// It holds its shape and slides off with little left.
    Slides,
    /// It sticks to the spoon.
    Sticks,
}

/// What a piece does under a fork or spoon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ForkPressure {
    /// It is mashed with little pressure; the thumbnail does not blanch.
    Light,
    /// It is squashed when the thumbnail blanches, and does not spring back.
    Blanch,
    /// It is not squashed, or springs back.
    Resists,
}

/// Whose piece sizes hold. A clinical decision: never worked out from an age.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PieceSize {
    /// Adult limits.
    #[default]
    Adult,
    /// The smaller limits for children.
    Paediatric,
}

/// Results of tests on the food as served, at serving temperature. Every field is optional.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct TestResults {
    /// Flow test: millilitres *left* in the 10 mL syringe after 10 seconds, 0 to 10. Not the volume that ran out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_left_ml: Option<Measure>,
    /// Fork drip test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fork_drip: Option<ForkDrip>,
    /// Spoon tilt test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spoon_tilt: Option<SpoonTilt>,
    /// Whether a smooth food has lumps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lumps: Option<bool>,
    /// Width of the largest piece in millimetres, above 0, at most [`limits::PIECE_MM`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub particle_width_mm: Option<Measure>,
    /// Length of the largest piece in millimetres, above 0, at most [`limits::PIECE_MM`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub particle_length_mm: Option<Measure>,
    /// Fork or spoon pressure test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fork_pressure: Option<ForkPressure>,
    /// The same after 1 mL of water and one minute: the test of transitional foods.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fork_pressure_after_water: Option<ForkPressure>,
    /// Who tested, for people; opaque.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// When, for people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
}

/// What test results say of a drink.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct MeasuredDrink {
    /// The thinnest level that it may be.
    pub(crate) from: DrinkLevel,
    /// The thickest; another than `from` where a reading is borderline or results disagree.
    pub(crate) to: DrinkLevel,
}

/// What test results say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Measured {
    /// Lower food levels are ruled out.
    pub(crate) food_from: FoodLevel,
    /// The lowest food level whose tests were all passed.
    pub(crate) food_to: FoodLevel,
    pub(crate) drink: Option<MeasuredDrink>,
    /// The transitional test was passed.
    pub(crate) transitional: bool,
}

impl TestResults {
    /// # Errors
    /// Names the field whose value no test can give.
    pub(crate) fn check(&self, place: &str) -> Result<(), InputError> {
        let within = |field: &str, value: Option<Measure>, above_zero: bool, most: u32, unit: &str| {
            let range = if above_zero { "above 0" } else { "0" };
            match value.map(Measure::hundredths) {
                Some(found) if found > most * 100 || (above_zero && found == 0) => Err(InputError::new(
                    format!("{place}.{field}"),
                    "no test gives this value",
                    format!("give {range} to {most} {unit}"),
                )),
                _ => Ok(()),
            }
        };
        within("flow_left_ml", self.flow_left_ml, false, limits::SYRINGE_ML, "mL left in the syringe")?;
        within("particle_width_mm", self.particle_width_mm, true, limits::PIECE_MM, "mm")?;
        within("particle_length_mm", self.particle_length_mm, true, limits::PIECE_MM, "mm")?;
        bounded(&format!("{place}.by"), self.by.as_deref().unwrap_or_default(), limits::WORD_BYTES)?;
        bounded(&format!("{place}.at"), self.at.as_deref().unwrap_or_default(), limits::WORD_BYTES)
    }

    /// What the results show under the limits of a person's piece sizes.
    pub(crate) fn measured(&self, tests: &RawTests, sizes: PieceSize) -> Measured {
        let outcome = |test: &RawFoodTest| self.outcome(test, sizes);
        let from = tests.food.iter().find(|t| outcome(t) != Outcome::Failed).map(|t| t.level);
        let to = tests.food.iter().find(|t| outcome(t) == Outcome::Passed).map(|t| t.level);
        Measured {
            food_from: from.unwrap_or(FoodLevel::Regular),
            food_to: to.unwrap_or(FoodLevel::Regular),
            drink: self.drink(tests),
            transitional: self.fork_pressure_after_water.is_some_and(|p| tests.transitional.passes.contains(&p)),
        }
    }

    fn outcome(&self, test: &RawFoodTest, sizes: PieceSize) -> Outcome {
        let size = |value: Option<Measure>, limit: &Option<RawSizes>| match (value, limit) {
            (_, None) => Outcome::Passed,
            (None, Some(limit)) if limit.optional => Outcome::Passed,
            (None, Some(_)) => Outcome::Open,
            (Some(value), Some(limit)) => {
                let most = if sizes == PieceSize::Paediatric { limit.paediatric_mm } else { limit.adult_mm };
                if value <= most { Outcome::Passed } else { Outcome::Failed }
            }
        };
        let no_lumps = if test.no_lumps && self.lumps == Some(true) { Outcome::Failed } else { Outcome::Passed };
        let found = [
            one_of(self.fork_drip, &test.fork_drip),
            one_of(self.spoon_tilt, &test.spoon_tilt),
            one_of(self.fork_pressure, &test.fork_pressure),
            size(self.particle_width_mm, &test.width),
            size(self.particle_length_mm, &test.length),
            no_lumps,
        ];
        found.into_iter().max().unwrap_or(Outcome::Passed)
    }

    /// The flow test, then fork and spoon; where they disagree, both readings stand.
    fn drink(&self, tests: &RawTests) -> Option<MeasuredDrink> {
        let flow = self.flow_left_ml.and_then(|left| tests.flow_levels(left));
        let shown = tests.drink.iter().find(|t| {
            self.fork_drip.is_some_and(|f| t.fork_drip.contains(&f))
                && self.spoon_tilt.is_some_and(|s| t.spoon_tilt.contains(&s))
        });
        let shown = shown.map(|t| MeasuredDrink { from: t.level, to: t.level });
        match (flow, shown) {
            // A full syringe is settled by fork and spoon.
            (Some(a), Some(b)) if a.from <= b.from && b.to <= a.to => Some(b),
            (Some(a), Some(b)) => Some(MeasuredDrink { from: a.from.min(b.from), to: a.to.max(b.to) }),
            (a, b) => a.or(b),
        }
    }

    /// Risks that the passed tests speak against.
    pub(crate) fn cleared<'a>(&self, tests: &'a RawTests) -> Vec<&'a String> {
        let clears = &tests.clears;
        let pressed = self.fork_pressure.is_some_and(|p| p != ForkPressure::Resists);
        let tilted = self.spoon_tilt.is_some_and(|t| t != SpoonTilt::Sticks);
        let lists = [
            (pressed, &clears.fork_pressure),
            (tilted, &clears.spoon_tilt),
            (self.lumps == Some(false), &clears.no_lumps),
            (self.particle_width_mm.is_some() && self.particle_length_mm.is_some() && pressed, &clears.sizes),
        ];
        lists.into_iter().filter(|(passed, _)| *passed).flat_map(|(_, list)| list).collect()
    }
}

/// Ordered: a later one decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    Passed,
    /// A result that the level asks for is missing.
    Open,
    Failed,
}

fn one_of<T: PartialEq + Copy>(value: Option<T>, allowed: &[T]) -> Outcome {
    match value {
        _ if allowed.is_empty() => Outcome::Passed,
        None => Outcome::Open,
        Some(value) if allowed.contains(&value) => Outcome::Passed,
        Some(_) => Outcome::Failed,
    }
}

impl RawTests {
    /// The lowest level at or above this one that allows pieces so large.
    pub(crate) fn level_for_pieces(&self, level: FoodLevel, piece: Measure, sizes: PieceSize) -> FoodLevel {
        let allows = |test: &&RawFoodTest| {
            let most =
                |limit: &RawSizes| if sizes == PieceSize::Paediatric { limit.paediatric_mm } else { limit.adult_mm };
            test.level >= level && test.width.as_ref().is_none_or(|limit| piece <= most(limit))
        };
        self.food.iter().find(allows).map_or(FoodLevel::Regular, |test| test.level)
    }

    /// The level of a flow reading. One between two ranges stands for both levels: it satisfies neither.
    fn flow_levels(&self, left: Measure) -> Option<MeasuredDrink> {
        let inside = |range: &&RawFlow| {
            range.from_ml.is_none_or(|from| left >= from)
                && range.above_ml.is_none_or(|above| left > above)
                && left < range.below_ml
        };
        if let Some(range) = self.flow.iter().find(inside) {
            return Some(MeasuredDrink { from: range.level, to: range.level });
        }
        let from = self.flow.iter().rfind(|r| r.below_ml <= left)?.level;
        let to = DrinkLevel::from_number(u64::from(from.number()) + 1)?;
        Some(MeasuredDrink { from, to })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::expect_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::ontology::Ontology;

    #[test]
    fn measures_are_exact_to_two_decimals() {
        let read = |text: &str| serde_json::from_str::<Measure>(text).map(|m| m.to_string());
        assert_eq!(read("4").expect("whole"), "4");
        assert_eq!(read("0.1").expect("one decimal"), "0.1");
        assert_eq!(read("7.25").expect("two decimals"), "7.25");
        for wrong in ["4.001", "-1", "10001", "\"4\"", "1e99"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }

    /// IDDSI-TM: what is left after 10 s, in every tenth of a millilitre.
    #[test]
    fn every_flow_reading_has_its_level() {
        let ontology = Ontology::built_in().expect("loads");
        for tenths in 0..=100 {
            let left = Measure::from_hundredths(tenths * 10);
            let found = TestResults { flow_left_ml: left, ..TestResults::default() }.drink(&ontology.iddsi.tests);
            let found = found.map(|d| (d.from.number(), d.to.number())).expect("a reading");
            let wanted = match tenths {
                0..10 => (0, 0),
                10..40 => (1, 1),
                40 => (1, 2),
                41..80 => (2, 2),
                80 => (2, 3),
                81..100 => (3, 3),
                _ => (3, 4),
            };
            assert_eq!(found, wanted, "{tenths} tenths of a mL left");
        }
    }

    /// IDDSI-AUD5 and CUH: every tenth of a millimetre inside a level's limits gives that level.
    #[test]
    fn every_piece_within_the_limits_has_its_level() {
        let ontology = Ontology::built_in().expect("loads");
        let level = |width: u32, length: u32, pressure, sizes| {
            let results = TestResults {
                particle_width_mm: Measure::from_hundredths(width * 10),
                particle_length_mm: Measure::from_hundredths(length * 10),
                fork_pressure: Some(pressure),
                ..TestResults::default()
            };
            let measured = results.measured(&ontology.iddsi.tests, sizes);
            (measured.food_from, measured.food_to)
        };
        use FoodLevel::{EasyToChew, MincedMoist, Regular, SoftBiteSized};
        for (sizes, width_5, length_5, side_6) in
            [(PieceSize::Adult, 40, 150, 150), (PieceSize::Paediatric, 20, 80, 80)]
        {
            for width in 1..=200 {
                for length in 1..=200 {
                    let small = width <= width_5 && length <= length_5;
                    let bite = width <= side_6 && length <= side_6;
                    let light = if small {
                        MincedMoist
                    } else if bite {
                        SoftBiteSized
                    } else {
                        EasyToChew
                    };
                    let blanch = if bite { SoftBiteSized } else { EasyToChew };
                    let place = format!("{width} x {length} tenths of a mm, {sizes:?}");
                    assert_eq!(level(width, length, ForkPressure::Light, sizes), (light, light), "{place}");
                    assert_eq!(level(width, length, ForkPressure::Blanch, sizes), (blanch, blanch), "{place}");
                    assert_eq!(level(width, length, ForkPressure::Resists, sizes), (Regular, Regular), "{place}");
                }
            }
        }
    }
}
