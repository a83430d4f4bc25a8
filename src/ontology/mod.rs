//! What foods are: concepts, how they hang together, and where each fact is from.

mod baked;
mod census;
mod graph;
mod load;
mod model;
mod overlay;
mod schema;
mod validate;

pub use census::Census;
pub use load::OntologyFile;
pub use model::{Concept, ConceptId, Form, Ingredient, Ontology, Strength};
pub use schema::Kind;

pub(crate) use schema::{
    Axis, Label, Place, RawDiet, RawDietRule, RawEffect, RawFlow, RawFoodTest, RawRisk, RawSizes, RawTests, Reach,
    RuleAction, Written,
};

use crate::error::OntologyError;

impl Ontology {
    /// The ontology that is compiled into this version of the library. Parsed anew at every call: keep the result.
    ///
    /// # Errors
    /// Never for a released library: the tests load it. The error type says what is wrong otherwise.
    pub fn built_in() -> Result<Self, OntologyError> {
        load::load(baked::FILES)
    }

    /// An ontology from files, in the layout of the `ontology/` folder.
    ///
    /// # Errors
    /// Every problem found in any file, each with file, entry and remedy.
    pub fn from_files(files: &[OntologyFile<'_>]) -> Result<Self, OntologyError> {
        load::load(files)
    }

    /// The built-in ontology with a facility's own file over it: house foods, local names, stricter edges, and overrides with reasons.
    ///
    /// # Errors
    /// Every problem of the overlay, with its place and remedy; also whatever it would make looser without an override.
    pub fn built_in_with_overlay(overlay: &str) -> Result<Self, OntologyError> {
        load::load_with_overlay(baked::FILES, overlay)
    }

    /// The files of the built-in ontology, as they stand in the `ontology/` folder.
    #[must_use]
    pub fn built_in_files() -> &'static [OntologyFile<'static>] {
        baked::FILES
    }
}
