//! The C interface of `salver`: opaque handles, status codes, JSON texts.
//!
//! `include/salver.h` is made from this file and states the rules for callers once, at its top; `src/boundary.rs`
//! keeps them. No decision is made here: every answer is the JSON of [`salver::wire`].

#![allow(clippy::missing_safety_doc, reason = "the header states what callers promise, for all functions at once")]

mod boundary;
mod lines;

use std::ffi::{CString, c_char};
use std::mem::MaybeUninit;
use std::panic::{AssertUnwindSafe, RefUnwindSafe, catch_unwind};

use salver::{Checker, InputError, limits, wire};

use boundary::{bytes, deliver, give_text, present, utf8};

/// The version of the exchange format that this library reads and writes.
pub const SALVER_FORMAT_VERSION: u32 = 1;

/// Most bytes that salver_checker_check, salver_checker_read and salver_checker_card take, and most in one line of
/// salver_checker_check_lines.
pub const SALVER_CHECK_BYTES: usize = 4_000_000;

/// Most bytes of all lines that one call of salver_checker_check_lines takes; cut longer input at line ends.
pub const SALVER_LINES_BYTES: usize = 64_000_000;

/// Most bytes of an overlay.
pub const SALVER_OVERLAY_BYTES: usize = 64_000_000;

const _: () = assert!(SALVER_FORMAT_VERSION == wire::FORMAT_VERSION);
const _: () = assert!(SALVER_CHECK_BYTES == limits::CHECK_BYTES && SALVER_OVERLAY_BYTES == limits::OVERLAY_BYTES);

/// What became of a call. 1xx: the call is wrong; 2xx: its content is wrong; 9xx: the library is wrong. A number
/// never changes its meaning; later versions may add some.
#[repr(C)]
pub enum SalverStatus {
    /// Done; the out-parameter is written.
    Ok = 0,
    /// A pointer is NULL that must not be.
    NullPointer = 101,
    /// A length is over the bound for it; nothing was read.
    TooLong = 102,
    /// The input is not UTF-8.
    NotUtf8 = 201,
    /// Not JSON, an unknown field, a wrong type, or past a bound. The error text names the place and the remedy.
    InvalidInput = 202,
    /// The overlay has problems; the error text lists every one, a line each.
    InvalidOntology = 203,
    /// The library panicked and the panic was caught: a defect, please report it. The handle can be used on.
    Panic = 901,
}

/// An ontology made ready to judge. Immutable: any number of threads may use one at the same time.
pub struct SalverChecker {
    checker: Checker,
    ontology_version: CString,
}

// Threads share a handle, and a panic leaves it as it was.
const _: fn() = || {
    fn shared<T: Send + Sync + RefUnwindSafe>() {}
    shared::<SalverChecker>();
};

impl SalverChecker {
    fn give(checker: Checker) -> *mut Self {
        let ontology_version = CString::new(checker.ontology().version()).unwrap_or_default();
        Box::into_raw(Box::new(Self { checker, ontology_version }))
    }
}

/// Makes a checker over the built-in ontology; free it with salver_checker_free.
///
/// Takes about a fifth of a second of processor time: make one and keep it.
#[unsafe(no_mangle)]
pub extern "C" fn salver_checker_new(checker: Option<&mut MaybeUninit<*mut SalverChecker>>) -> SalverStatus {
    deliver(checker, || Ok(SalverChecker::give(Checker::built_in()?)))
}

/// As salver_checker_new, with a facility's own foods, names and rules laid over the ontology.
///
/// `overlay` is the JSON text of one overlay file, `length` its bytes, at most SALVER_OVERLAY_BYTES.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_checker_new_with_overlay(
    overlay: *const c_char,
    length: usize,
    checker: Option<&mut MaybeUninit<*mut SalverChecker>>,
) -> SalverStatus {
    deliver(checker, || {
        // SAFETY: `length` bytes are readable at `overlay` during the call, as every caller promises.
        let overlay = unsafe { bytes(overlay, length, SALVER_OVERLAY_BYTES) }?;
        Ok(SalverChecker::give(Checker::with_overlay(utf8(overlay)?)?))
    })
}

/// Frees a checker. NULL is allowed. No other thread may still be using it.
#[unsafe(no_mangle)]
pub extern "C" fn salver_checker_free(checker: Option<Box<SalverChecker>>) {
    // Nobody could be told of a panic here; it only must not cross.
    let _ = catch_unwind(AssertUnwindSafe(|| drop(checker)));
}

/// The version of the checker's ontology, such as "1.0.0". Valid until the checker is freed; NULL when `checker` is.
///
/// Every verdict repeats it, with the digest of the content and the name of the overlay.
#[unsafe(no_mangle)]
pub extern "C" fn salver_checker_ontology_version(checker: Option<&SalverChecker>) -> *const c_char {
    checker.map_or(std::ptr::null(), |checker| checker.ontology_version.as_ptr())
}

/// Judges one tray against one order.
///
/// `check` is one JSON object (order and tray) of the exchange format, `length` its bytes, at most SALVER_CHECK_BYTES.
/// `answer` receives the verdict as one JSON object; free it with salver_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_checker_check(
    checker: Option<&SalverChecker>,
    check: *const c_char,
    length: usize,
    answer: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    // SAFETY: `length` bytes are readable at `check` during the call, as every caller promises.
    unsafe { ask(wire::check, checker, check, length, answer) }
}

/// Judges many checks: JSON Lines in, JSON Lines out, in input order.
///
/// `lines` holds one check a line, `length` is the bytes of all, at most SALVER_LINES_BYTES; blank lines are skipped.
/// `answers` receives one line for each check, each ended by a line feed: the verdict, or {"error": {"line", "field",
/// "what", "remedy"}} in the place of a check that could not be taken, with its line number from 1. The call is then
/// still SALVER_STATUS_OK: only a line with "verdict" is one. Free it with salver_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_checker_check_lines(
    checker: Option<&SalverChecker>,
    lines: *const c_char,
    length: usize,
    answers: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    deliver(answers, || {
        let checker = present(checker, "the checker")?;
        // SAFETY: `length` bytes are readable at `lines` during the call, as every caller promises.
        let lines = unsafe { bytes(lines, length, SALVER_LINES_BYTES) }?;
        Ok(give_text(lines::check(&checker.checker, lines)))
    })
}

/// What a food text holds.
///
/// `item` is one JSON object {"id", "name", "ingredients", "tested"}, of which only "name" is needed, `length` its
/// bytes, at most SALVER_CHECK_BYTES. `answer` receives one JSON object; free it with salver_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_checker_read(
    checker: Option<&SalverChecker>,
    item: *const c_char,
    length: usize,
    answer: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    // SAFETY: `length` bytes are readable at `item` during the call, as every caller promises.
    unsafe { ask(wire::read, checker, item, length, answer) }
}

/// What a diet card orders.
///
/// `card` is one JSON object {"id", "text"}, of which only "text" is needed, `length` its bytes, at most
/// SALVER_CHECK_BYTES. `answer` receives one JSON object; free it with salver_text_free.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_checker_card(
    checker: Option<&SalverChecker>,
    card: *const c_char,
    length: usize,
    answer: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    // SAFETY: `length` bytes are readable at `card` during the call, as every caller promises.
    unsafe { ask(wire::card, checker, card, length, answer) }
}

/// Frees an answer. NULL is allowed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn salver_text_free(text: *mut c_char) {
    // SAFETY: `text` is NULL or an answer of this library, unchanged and not freed before, as every caller promises.
    unsafe { boundary::free_text(text) }
}

/// What went wrong in the last call on this thread that did not return SALVER_STATUS_OK; "" when there was none.
///
/// For people: names the field, the place and the remedy, in UTF-8. Valid until the next call on this thread that
/// fails, or the thread's end; copy it to keep it.
#[unsafe(no_mangle)]
pub extern "C" fn salver_error_text() -> *const c_char {
    boundary::last_error()
}

/// The version of this library, such as "1.0.0". Always valid.
#[unsafe(no_mangle)]
pub extern "C" fn salver_library_version() -> *const c_char {
    concat!(env!("CARGO_PKG_VERSION"), "\0").as_ptr().cast()
}

/// SALVER_FORMAT_VERSION as the loaded library has it: the version of the exchange format.
#[unsafe(no_mangle)]
pub extern "C" fn salver_format_version() -> u32 {
    SALVER_FORMAT_VERSION
}

/// Panics inside the guard.
///
/// cbindgen:ignore
#[cfg(feature = "test-panic")]
#[unsafe(no_mangle)]
pub extern "C" fn salver_test_panic(
    checker: Option<&SalverChecker>,
    answer: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    #[expect(clippy::panic, reason = "what the function is for")]
    deliver(answer, || {
        let checker = present(checker, "the checker")?;
        panic!("made to panic over ontology {}", checker.checker.ontology().version())
    })
}

/// # Safety
/// `length` bytes are readable at `json` during the call, unless it is null.
unsafe fn ask(
    wire: fn(&Checker, &str) -> Result<String, InputError>,
    checker: Option<&SalverChecker>,
    json: *const c_char,
    length: usize,
    answer: Option<&mut MaybeUninit<*mut c_char>>,
) -> SalverStatus {
    deliver(answer, || {
        let checker = present(checker, "the checker")?;
        // SAFETY: as this function's caller promises.
        let json = unsafe { bytes(json, length, SALVER_CHECK_BYTES) }?;
        Ok(give_text(wire(&checker.checker, utf8(json)?)?))
    })
}
