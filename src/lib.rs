#![doc = include_str!("../README.md")]

pub mod limits;
pub mod wire;

mod checker;
mod contents;
mod error;
mod evidence;
mod judge;
mod level;
mod nutrient;
mod object;
mod ontology;
mod order;
mod read;
mod say;
mod tested;
mod tray;
mod verdict;

pub use checker::Checker;
pub use contents::{Contents, FreeReason, ItemForm, MayReason, PartForm, Presence};
pub use error::{InputError, OntologyError, OntologyProblem};
pub use evidence::Step;
pub use level::{DrinkLevel, FoodLevel};
pub use nutrient::{Limit, Nutrient, Per};
#[cfg(feature = "built-in")]
pub use ontology::OntologyFile;
pub use ontology::{Census, Concept, ConceptId, Form, Ingredient, Kind, Ontology, Strength};
pub use order::{Allergy, AllergyKind, CardAllergy, CardReading, Order, Unclear};
pub use read::Field;
pub use tested::{ForkDrip, ForkPressure, Measure, PieceSize, SpoonTilt, TestResults};
pub use tray::{Item, Tray};
pub use verdict::{Action, Assumption, Finding, OntologyStamp, Rule, UnreadText, Verdict};
