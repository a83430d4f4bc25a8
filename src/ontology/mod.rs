//! What foods are: concepts, how they hang together, and where each fact is from.

#[cfg(feature = "built-in")]
mod baked;
mod census;
#[cfg(feature = "built-in")]
mod files;
mod graph;
mod load;
mod model;
mod overlay;
mod packed;
mod schema;
mod validate;

pub use census::Census;
#[cfg(feature = "built-in")]
pub use files::OntologyFile;
pub use model::{Concept, ConceptId, Form, Ingredient, Ontology, Strength};
pub use schema::Kind;

pub(crate) use schema::{
    Axis, Label, Place, RawDiet, RawDietRule, RawEffect, RawFlow, RawFoodTest, RawRisk, RawSizes, RawTests, Reach,
    RuleAction, Written,
};

#[cfg(feature = "built-in")]
use crate::error::OntologyError;

impl Ontology {
    /// The ontology that is compiled into this version of the library. Parsed anew at every call: keep the result.
    ///
    /// # Errors
    /// Never for a released library: the tests load it. The error type says what is wrong otherwise.
    #[cfg(feature = "built-in")]
    pub fn built_in() -> Result<Self, OntologyError> {
        Self::from_files(baked::FILES)
    }

    /// An ontology from files, in the layout of the `ontology/` folder.
    ///
    /// # Errors
    /// Every problem found in any file, each with file, entry and remedy.
    #[cfg(feature = "built-in")]
    pub fn from_files(files: &[OntologyFile<'_>]) -> Result<Self, OntologyError> {
        let (parsed, problems) = files::parse_files(files);
        load::build(parsed, problems, None)
    }

    /// The built-in ontology with a facility's own file over it: house foods, local names, stricter edges, and overrides with reasons.
    ///
    /// # Errors
    /// Every problem of the overlay, with its place and remedy; also whatever it would make looser without an override.
    #[cfg(feature = "built-in")]
    pub fn built_in_with_overlay(overlay: &str) -> Result<Self, OntologyError> {
        load::with_overlay(|| Ok(files::parse_files(baked::FILES)), overlay)
    }

    /// The files of the built-in ontology, as they stand in the `ontology/` folder.
    #[cfg(feature = "built-in")]
    #[must_use]
    pub fn built_in_files() -> &'static [OntologyFile<'static>] {
        baked::FILES
    }
}
