//! Typed errors. Each names the field, the place and the remedy.

use std::fmt;

use serde::Serialize;

/// Why an ontology could not be made ready: every problem found, not only the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OntologyError {
    problems: Vec<OntologyProblem>,
}

impl OntologyError {
    pub(crate) fn new(problems: Vec<OntologyProblem>) -> Self {
        Self { problems }
    }

    /// Everything that is wrong, in file order.
    #[must_use]
    pub fn problems(&self) -> &[OntologyProblem] {
        &self.problems
    }
}

impl fmt::Display for OntologyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the ontology has {} problem(s)", self.problems.len())?;
        for problem in &self.problems {
            write!(f, "\n{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for OntologyError {}

/// One thing wrong with an ontology file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OntologyProblem {
    /// The file, relative to the ontology folder.
    pub file: String,
    /// The entry's id, or the place in the file.
    pub entry: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl fmt::Display for OntologyProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {}; {}", self.file, self.entry, self.what, self.remedy)
    }
}

/// Why an input could not be taken: too large, not JSON, or a field that is not known.
///
/// An input that cannot be read is never judged as if it were empty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct InputError {
    /// The field that is wrong, as a path (`order.allergies[0]`), or the place in the JSON text.
    pub field: String,
    /// What is wrong, without the input's own content.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

impl InputError {
    pub(crate) fn new(field: impl Into<String>, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { field: field.into(), what: what.into(), remedy: remedy.into() }
    }

    pub(crate) fn from_json(error: &serde_json::Error) -> Self {
        let place = format!("line {}, column {}", error.line(), error.column());
        let mut what = error.to_string();
        if let Some(cut) = what.rfind(" at line ") {
            what.truncate(cut);
        }
        Self::new(place, what, "correct the JSON; the format is described in the README under \"exchange format\"")
    }

    pub(crate) fn too_large(field: impl Into<String>, found: usize, bound: usize, unit: &str) -> Self {
        Self::new(field, format!("{found} {unit} is over the bound of {bound}"), "split or shorten the input")
    }
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.field, self.what, self.remedy)
    }
}

impl std::error::Error for InputError {}
