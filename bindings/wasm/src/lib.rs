//! `salver` for JavaScript: JSON text in, JSON text out, over [`salver::wire`]. No decision is made here.
//!
//! The part that people call is `js/index.js`, which turns objects into this text and errors into `SalverError`.

use salver::{Checker, InputError, Ontology, OntologyError, wire};
use serde::Serialize;
use wasm_bindgen::prelude::wasm_bindgen;

/// The ontology that the build script packed.
static ONTOLOGY: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/ontology.packed"));

/// A checker over the ontology inside, with or without a facility's overlay. Owned by JavaScript, freed by its collector.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Engine {
    checker: Checker,
}

/// Answers are JSON text; errors are thrown as JSON text: an object with `field`, `what` and `remedy`, for an overlay a list of problems.
#[wasm_bindgen]
impl Engine {
    /// Makes the ontology ready, with an overlay over it if there is one. Takes a second or so; keep the result.
    ///
    /// # Errors
    /// Every problem of the overlay.
    #[cfg(feature = "overlay")]
    #[wasm_bindgen(constructor)]
    pub fn new(overlay: Option<String>) -> Result<Self, String> {
        made(match overlay {
            Some(text) => Ontology::from_packed_with_overlay(ONTOLOGY, &text),
            None => Ontology::from_packed(ONTOLOGY),
        })
    }

    /// Makes the ontology ready. Takes a second or so; keep the result.
    ///
    /// # Errors
    /// Never in a whole module.
    #[cfg(not(feature = "overlay"))]
    #[wasm_bindgen(constructor)]
    pub fn new() -> Result<Self, String> {
        made(Ontology::from_packed(ONTOLOGY))
    }

    /// Judges one check: [`wire::check`].
    ///
    /// # Errors
    /// As there.
    pub fn check(&self, json: &str) -> Result<String, String> {
        wire::check(&self.checker, json).map_err(input_error)
    }

    /// What a food text holds: [`wire::read`].
    ///
    /// # Errors
    /// As there.
    pub fn read(&self, json: &str) -> Result<String, String> {
        wire::read(&self.checker, json).map_err(input_error)
    }

    /// What a diet card orders: [`wire::card`].
    ///
    /// # Errors
    /// As there.
    pub fn card(&self, json: &str) -> Result<String, String> {
        wire::card(&self.checker, json).map_err(input_error)
    }

    /// A list: versions of the library and of the ontology, its digest, and the version of the exchange format.
    #[must_use]
    pub fn versions(&self) -> String {
        let ontology = self.checker.ontology();
        json(&(env!("CARGO_PKG_VERSION"), ontology.version(), ontology.digest(), wire::FORMAT_VERSION))
    }
}

/// Most bytes of a check. JavaScript hands over no more than one past it, so that a huge text is refused and not copied.
#[wasm_bindgen]
#[must_use]
pub fn most_bytes() -> usize {
    salver::limits::CHECK_BYTES
}

fn input_error(error: InputError) -> String {
    json(&error)
}

/// A checker, or all that is wrong, as a list.
fn made(ontology: Result<Ontology, OntologyError>) -> Result<Engine, String> {
    ontology.map(|ontology| Engine { checker: Checker::new(ontology) }).map_err(|error| json(&error.problems()))
}

fn json(value: &impl Serialize) -> String {
    // Plain data: it can always be written.
    serde_json::to_string(value).unwrap_or_default()
}
