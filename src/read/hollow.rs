//! Parts that a text opens and does not fill: "rice with", "fish and others", "burger with toppings".
//!
//! Something stands there that the text does not name, so it counts as not understood.

use super::lexicon::{Meaning, Unit, What};
use super::normalize::Span;

/// What was seen since a joining word promised something.
#[derive(Clone, Copy)]
struct Promise {
    /// From the joining word to the last word after it.
    span: Span,
    /// Words stand behind it.
    filled: bool,
    /// They say something: "in the oven".
    said: bool,
    /// One of them stands for foods without naming them: "with seasonal toppings".
    open: bool,
}

impl Promise {
    fn hollow(self) -> Option<Span> {
        (self.open || !self.said).then_some(self.span)
    }
}

/// The stretches of text that promise a food and name none.
pub(super) fn hollow(units: &[Unit]) -> Vec<Span> {
    let mut found = Vec::new();
    let mut promise: Option<Promise> = None;
    let mut denied = false;
    for unit in units {
        match unit.what {
            What::Phrase(meaning @ (Meaning::Joiner | Meaning::Conjunction | Meaning::Alternative)) => {
                // "in and with cream" promises once; "no icing or filling" promises nothing.
                let joins_denial = denied && meaning != Meaning::Joiner;
                if promise.is_none_or(|p| p.filled) {
                    found.extend(promise.and_then(Promise::hollow));
                    let fresh = Promise { span: unit.span, filled: false, said: false, open: false };
                    promise = (!joins_denial).then_some(fresh);
                }
            }
            // A colon or bracket says what the words before it stand for.
            What::Sign(':' | '(' | '[' | '{') => promise = None,
            What::Sign(',' | '.' | ';' | ')' | ']' | '}' | '\n' | '|' | '-') => {
                found.extend(promise.take().and_then(Promise::hollow));
                denied = false;
            }
            // "with/without nuts" goes on.
            What::Sign(_) => {}
            What::Phrase(meaning) if !says_nothing(meaning) => {
                denied |= matches!(meaning, Meaning::DenialBefore(_));
                promise = None;
            }
            What::Unknown => promise = None,
            What::Number | What::Phrase(_) => {
                if let Some(promise) = &mut promise {
                    (promise.span.1, promise.filled) = (unit.span.1, true);
                    promise.said |= matches!(unit.what, What::Phrase(Meaning::Filler | Meaning::LengthUnit(_)));
                    promise.open |= matches!(unit.what, What::Phrase(Meaning::OpenWord | Meaning::ListHead));
                }
            }
        }
    }
    found.extend(promise.and_then(Promise::hollow));
    found
}

/// A word that names no food and takes none away.
fn says_nothing(meaning: Meaning) -> bool {
    matches!(
        meaning,
        Meaning::Function
            | Meaning::ChoiceHead
            | Meaning::Filler
            | Meaning::LengthUnit(_)
            | Meaning::OpenWord
            | Meaning::ListHead
            | Meaning::Weak
            | Meaning::Flavour
            | Meaning::Imitation
    )
}
