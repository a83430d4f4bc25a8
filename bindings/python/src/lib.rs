//! `salver._native`: the library's JSON boundary as a Python class. No decision is made here.
//!
//! JSON text goes in and JSON text comes out, byte for byte as [`salver::wire`] writes it; dicts, batches, types and
//! the exceptions are Python, in `python/salver/`. A panic of the library, which its tests exclude, arrives in Python
//! as PyO3's `PanicException`, never as an answer.
#![forbid(unsafe_code)]

use pyo3::exceptions::PyUnicodeEncodeError;
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyString};
use salver::wire;

#[pymodule]
mod _native {
    #[pymodule_export]
    const VERSION: &str = env!("CARGO_PKG_VERSION");

    #[pymodule_export]
    const FORMAT_VERSION: u32 = salver::wire::FORMAT_VERSION;

    #[pymodule_export]
    use super::Checker;
}

/// The exceptions of `python/salver/errors.py`.
mod raise {
    pyo3::import_exception!(salver.errors, InputError);
    pyo3::import_exception!(salver.errors, OntologyError);
}

type Ask = fn(&salver::Checker, &str) -> Result<String, salver::InputError>;

/// The part of `salver.Checker` that works on JSON text. Immutable; share it between threads.
#[pyclass(subclass, frozen, module = "salver._native")]
struct Checker {
    checker: salver::Checker,
}

#[pymethods]
impl Checker {
    #[new]
    #[pyo3(signature = (overlay = None))]
    fn new(py: Python<'_>, overlay: Option<Text<'_>>) -> PyResult<Self> {
        let overlay = overlay.as_ref().map(|text| text.utf8("the overlay")).transpose()?;
        let made = py.detach(|| overlay.map_or_else(salver::Checker::built_in, salver::Checker::with_overlay));
        made.map(|checker| Self { checker }).map_err(|error| ontology_error(&error))
    }

    /// Judge one check: JSON text in, JSON text out.
    #[pyo3(signature = (text, /))]
    fn check_json<'py>(&self, py: Python<'py>, text: Text<'py>) -> PyResult<Text<'py>> {
        self.answer(py, &text, wire::check)
    }

    /// Say what a food text holds: JSON text in, JSON text out.
    #[pyo3(signature = (text, /))]
    fn read_json<'py>(&self, py: Python<'py>, text: Text<'py>) -> PyResult<Text<'py>> {
        self.answer(py, &text, wire::read)
    }

    /// Say what a diet card orders: JSON text in, JSON text out.
    #[pyo3(signature = (text, /))]
    fn card_json<'py>(&self, py: Python<'py>, text: Text<'py>) -> PyResult<Text<'py>> {
        self.answer(py, &text, wire::card)
    }

    /// The ontology behind every answer, as verdicts state it.
    #[getter]
    fn ontology<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let ontology = self.checker.ontology();
        let stamp = PyDict::new(py);
        stamp.set_item("version", ontology.version())?;
        stamp.set_item("digest", ontology.digest())?;
        if let Some(overlay) = ontology.overlay() {
            stamp.set_item("overlay", overlay)?;
        }
        Ok(stamp)
    }
}

impl Checker {
    fn answer<'py>(&self, py: Python<'py>, text: &Text<'py>, ask: Ask) -> PyResult<Text<'py>> {
        let json = text.utf8("the JSON text")?;
        // Other Python threads run while the library works.
        let answer = py.detach(|| ask(&self.checker, json)).map_err(input_error)?;
        Ok(text.like(py, &answer))
    }
}

/// JSON text as callers hold it. An answer has the type of the question.
#[derive(FromPyObject, IntoPyObject)]
enum Text<'py> {
    #[pyo3(transparent, annotation = "str")]
    Str(Bound<'py, PyString>),
    #[pyo3(transparent, annotation = "bytes")]
    Bytes(Bound<'py, PyBytes>),
}

impl<'py> Text<'py> {
    fn utf8(&self, field: &str) -> PyResult<&str> {
        let fault = |what| {
            let remedy = "write the input in UTF-8".to_owned();
            input_error(salver::InputError { field: field.to_owned(), what, remedy })
        };
        match self {
            Self::Str(text) => text.to_str().map_err(|error| {
                let lone = error.is_instance_of::<PyUnicodeEncodeError>(text.py());
                if lone { fault("has a lone surrogate, which is no character".to_owned()) } else { error }
            }),
            Self::Bytes(bytes) => std::str::from_utf8(bytes.as_bytes())
                .map_err(|error| fault(format!("not UTF-8 from byte {} on", error.valid_up_to()))),
        }
    }

    fn like(&self, py: Python<'py>, answer: &str) -> Self {
        match self {
            Self::Str(_) => Self::Str(PyString::new(py, answer)),
            Self::Bytes(_) => Self::Bytes(PyBytes::new(py, answer.as_bytes())),
        }
    }
}

fn input_error(error: salver::InputError) -> PyErr {
    raise::InputError::new_err((error.field, error.what, error.remedy))
}

fn ontology_error(error: &salver::OntologyError) -> PyErr {
    let tuple = |p: &salver::OntologyProblem| (p.file.clone(), p.entry.clone(), p.what.clone(), p.remedy.clone());
    let problems: Vec<_> = error.problems().iter().map(tuple).collect();
    raise::OntologyError::new_err((problems,))
}
