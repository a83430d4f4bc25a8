//! Everything that crosses between C and Rust: pointers and lengths are checked, panics are caught, texts change hands.

use std::cell::RefCell;
use std::ffi::{CString, c_char};
use std::mem::MaybeUninit;
use std::panic::{UnwindSafe, catch_unwind};

use salver::{InputError, OntologyError};

use crate::SalverStatus;

#[cfg(panic = "abort")]
compile_error!("a panic must become a status: build with panic = \"unwind\"");

/// Why a call gave nothing.
pub(crate) struct Failure {
    status: SalverStatus,
    text: String,
}

impl From<InputError> for Failure {
    fn from(error: InputError) -> Self {
        Self { status: SalverStatus::InvalidInput, text: error.to_string() }
    }
}

impl From<OntologyError> for Failure {
    fn from(error: OntologyError) -> Self {
        Self { status: SalverStatus::InvalidOntology, text: error.to_string() }
    }
}

thread_local! {
    static LAST_ERROR: RefCell<CString> = RefCell::default();
}

fn failed(failure: Failure) -> SalverStatus {
    // A JSON key may hold U+0000, which would end the C string early.
    let text = CString::new(failure.text.replace('\0', "\u{FFFD}")).unwrap_or_default();
    // A thread that is ending has no place for the text any more; the status still says what happened.
    let _ = LAST_ERROR.try_with(|last| last.replace(text));
    failure.status
}

/// The text of the thread's last failure.
pub(crate) fn last_error() -> *const c_char {
    LAST_ERROR.try_with(|last| last.borrow().as_ptr()).unwrap_or(c"".as_ptr())
}

/// Runs a call: what it makes is written to the out-parameter, a failure or panic becomes a status and leaves it alone.
pub(crate) fn deliver<T>(
    out: Option<&mut MaybeUninit<T>>,
    make: impl FnOnce() -> Result<T, Failure> + UnwindSafe,
) -> SalverStatus {
    let made = present(out, "the out-parameter").and_then(|out| {
        // The panic's own message may quote the input, and with it a resident: it is not repeated.
        let made = catch_unwind(make).unwrap_or_else(|_| {
            let text = "the library panicked, which is a defect of it; the handle can be used on".to_owned();
            Err(Failure { status: SalverStatus::Panic, text })
        })?;
        out.write(made);
        Ok(())
    });
    made.map_or_else(failed, |()| SalverStatus::Ok)
}

/// What C handed over, when it is there.
pub(crate) fn present<T>(given: Option<T>, what: &str) -> Result<T, Failure> {
    given.ok_or_else(|| null(what))
}

fn null(what: &str) -> Failure {
    Failure { status: SalverStatus::NullPointer, text: format!("{what} is null; give one") }
}

/// The caller's bytes.
///
/// # Safety
/// When `start` is not null and `length` not above `bound`: `length` bytes are readable there, and unchanged for `'a`.
pub(crate) unsafe fn bytes<'a>(start: *const c_char, length: usize, bound: usize) -> Result<&'a [u8], Failure> {
    if start.is_null() {
        return Err(null("the input"));
    }
    if length > bound {
        let text = format!("the input: {length} bytes is over the bound of {bound}; split or shorten the input");
        return Err(Failure { status: SalverStatus::TooLong, text });
    }
    // SAFETY: not null, not over the bound (so below `isize::MAX`), readable as the caller promises; bytes have no alignment.
    Ok(unsafe { std::slice::from_raw_parts(start.cast(), length) })
}

/// Bytes as text.
pub(crate) fn utf8(bytes: &[u8]) -> Result<&str, Failure> {
    std::str::from_utf8(bytes).map_err(|error| {
        let text = format!("the input: not UTF-8 from byte {} on; write the input in UTF-8", error.valid_up_to());
        Failure { status: SalverStatus::NotUtf8, text }
    })
}

/// Hands an answer to C, which gives it back to [`free_text`].
#[expect(clippy::expect_used, reason = "JSON escapes U+0000; were it otherwise, the guard in `deliver` catches it")]
pub(crate) fn give_text(json: String) -> *mut c_char {
    CString::new(json).expect("JSON holds no zero byte").into_raw()
}

/// Takes an answer back.
///
/// # Safety
/// `text` is null or from [`give_text`], unchanged, and not given back before.
pub(crate) unsafe fn free_text(text: *mut c_char) {
    if !text.is_null() {
        // SAFETY: from `CString::into_raw`, unchanged and owned by the caller until now, as the caller promises.
        drop(unsafe { CString::from_raw(text) });
    }
}
