//! Text to tokens, with a map back to the caller's bytes.
//!
//! Case, accents, Unicode form, dashes, apostrophes and invisible characters make no difference after this.

use std::collections::BTreeMap;

use super::unicode::Unicode;
use crate::ontology::Written;

/// A stretch of the caller's text, as byte offsets; always on character boundaries.
pub(crate) type Span = (usize, usize);

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum TokenKind {
    Word,
    Number,
    /// Punctuation, or a line break as `\n`.
    Sign(char),
}

/// A word, number or sign of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Token {
    pub(crate) kind: TokenKind,
    /// Folded text of a word or number; empty for a sign.
    pub(crate) text: String,
    pub(crate) span: Span,
}

/// What spelling needs to know: written abbreviations with signs, and letters that Unicode does not decompose.
#[derive(Debug, Clone, Default)]
pub(crate) struct Orthography {
    /// Longest first.
    written: Vec<(Vec<char>, String)>,
    letters: BTreeMap<char, String>,
    pub(crate) unicode: Unicode,
}

impl Orthography {
    pub(crate) fn new(written: &[Written], letters: &BTreeMap<String, String>, unicode: &Unicode) -> Self {
        let mut written: Vec<(Vec<char>, String)> =
            written.iter().map(|w| (w.text.chars().collect(), w.means.clone())).collect();
        written.sort_by_key(|(text, _)| std::cmp::Reverse(text.len()));
        let letters = letters.iter().filter_map(|(from, to)| Some((from.chars().next()?, to.clone()))).collect();
        Self { written, letters, unicode: unicode.clone() }
    }

    /// Splits a text into tokens. Hyphens inside words and all white space fall away.
    pub(crate) fn tokens(&self, text: &str) -> Vec<Token> {
        let chars = self.fold(text);
        let mut tokens = Vec::new();
        let mut at = 0;
        while let Some(&(c, start, _)) = chars.get(at) {
            let before = at.checked_sub(1).and_then(|b| chars.get(b)).map(|f| f.0);
            let word_start = before.is_none_or(|b| !b.is_alphanumeric());
            if let Some((length, means)) = self.written_at(&chars, at).filter(|_| word_start) {
                let end = chars.get(at + length - 1).map_or(start, |f| f.2);
                tokens.push(Token { kind: TokenKind::Word, text: means, span: (start, end) });
                at += length;
            } else if !word_start && is_plural_sign(&chars, at) {
                at += PLURAL_SIGN.len();
            } else if c.is_ascii_digit() {
                at = number(&chars, at, &mut tokens);
            } else if c.is_alphanumeric() {
                at = word(&chars, at, &mut tokens);
            } else {
                sign(&chars, at, before, &mut tokens);
                at += 1;
            }
        }
        tokens
    }

    /// Folded characters, each with the bytes it came from.
    fn fold(&self, text: &str) -> Vec<(char, usize, usize)> {
        let mut folded: Vec<(char, usize, usize)> = Vec::with_capacity(text.len());
        for (start, c) in text.char_indices() {
            let end = start + c.len_utf8();
            let lower = if c.is_ascii() {
                c.to_ascii_lowercase()
            } else {
                self.unicode.lower_of(c).chars().next().unwrap_or(c)
            };
            if let Some(written) = self.letters.get(&lower) {
                folded.extend(written.chars().map(|w| (w, start, end)));
            } else if c.is_ascii() {
                folded.push((lower, start, end));
            } else if self.unicode.is_mark(c) || is_invisible(c) {
                if let Some(last) = folded.last_mut() {
                    last.2 = end;
                }
            } else {
                let decomposed = self.unicode.lower(&self.unicode.decomposed(c));
                let letters = decomposed.chars().filter(|d| !self.unicode.is_mark(*d) && !is_invisible(*d));
                folded.extend(letters.map(|d| (d, start, end)));
            }
        }
        folded
    }

    fn written_at(&self, chars: &[(char, usize, usize)], at: usize) -> Option<(usize, String)> {
        self.written.iter().find_map(|(text, means)| {
            let same = text.iter().enumerate().all(|(n, c)| chars.get(at + n).is_some_and(|f| f.0 == *c));
            let last_is_letter = text.last().is_some_and(|c| c.is_alphanumeric());
            let next_is_letter = chars.get(at + text.len()).is_some_and(|f| f.0.is_alphanumeric());
            (same && !(last_is_letter && next_is_letter)).then(|| (text.len(), means.clone()))
        })
    }
}

/// "egg(s)": one or more.
const PLURAL_SIGN: [char; 3] = ['(', 's', ')'];

fn is_plural_sign(chars: &[(char, usize, usize)], at: usize) -> bool {
    PLURAL_SIGN.iter().enumerate().all(|(n, c)| chars.get(at + n).is_some_and(|f| f.0 == *c))
}

/// Characters that print nothing: zero-width, soft hyphen, directional marks.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{fe00}'..='\u{fe0f}')
}

pub(super) fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}' | '\u{2018}' | '\u{2bc}' | '`' | '\u{b4}')
}

/// Pictographs, private-use characters and the mark of lost text.
fn is_picture(c: char) -> bool {
    matches!(c, '\u{2600}'..='\u{27bf}' | '\u{e000}'..='\u{f8ff}' | '\u{fffd}' | '\u{1f000}'..)
}

fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// A number in digits with at most one point among them. One of so many digits that it would be rounded is none.
pub(crate) fn decimal(text: &str) -> Option<f64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = format!("{whole}{part}");
    if digits.len() > 15 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let number: u64 = digits.parse().ok()?;
    #[expect(clippy::cast_precision_loss, reason = "fifteen digits fit")]
    Some(number as f64 / 10_u64.pow(u32::try_from(part.len()).ok()?) as f64)
}

fn number(chars: &[(char, usize, usize)], from: usize, tokens: &mut Vec<Token>) -> usize {
    let mut text = String::new();
    let mut at = from;
    let mut end = 0;
    while let Some(&(c, _, stop)) = chars.get(at) {
        let digit_follows = chars.get(at + 1).is_some_and(|f| f.0.is_ascii_digit());
        if c.is_ascii_digit() || (matches!(c, '.' | ',' | '/' | '\u{2044}') && digit_follows) {
            text.push(c);
            end = stop;
            at += 1;
        } else {
            break;
        }
    }
    let start = chars.get(from).map_or(0, |f| f.1);
    tokens.push(Token { kind: TokenKind::Number, text, span: (start, end) });
    at
}

fn word(chars: &[(char, usize, usize)], from: usize, tokens: &mut Vec<Token>) -> usize {
    let mut text = String::new();
    let mut at = from;
    let mut end = 0;
    while let Some(&(c, _, stop)) = chars.get(at) {
        let letter_follows = chars.get(at + 1).is_some_and(|f| f.0.is_alphanumeric());
        if c.is_alphanumeric() {
            text.push(c);
            end = stop;
        } else if !(is_apostrophe(c) && letter_follows) {
            break;
        }
        at += 1;
    }
    let start = chars.get(from).map_or(0, |f| f.1);
    tokens.push(Token { kind: TokenKind::Word, text, span: (start, end) });
    at
}

fn sign(chars: &[(char, usize, usize)], at: usize, before: Option<char>, tokens: &mut Vec<Token>) {
    let Some(&(c, start, end)) = chars.get(at) else {
        return;
    };
    let joins = before.is_some_and(char::is_alphanumeric) && chars.get(at + 1).is_some_and(|f| f.0.is_alphanumeric());
    if c == '\n' || c == '\r' {
        tokens.push(Token { kind: TokenKind::Sign('\n'), text: String::new(), span: (start, end) });
    } else if c.is_whitespace() || is_apostrophe(c) || (is_dash(c) && joins) {
        // Says nothing by itself.
    } else if c == '&' {
        tokens.push(Token { kind: TokenKind::Word, text: "and".to_owned(), span: (start, end) });
    } else if is_picture(c) || (c == '?' && !before.is_some_and(char::is_alphanumeric)) {
        // A picture may show a food, and a question mark by itself stands for one that nobody could name:
        // as words they are left unread rather than lost.
        tokens.push(Token { kind: TokenKind::Word, text: c.to_string(), span: (start, end) });
    } else {
        let plain = if is_dash(c) { '-' } else { c };
        tokens.push(Token { kind: TokenKind::Sign(plain), text: String::new(), span: (start, end) });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<String> {
        let written = [
            Written { text: "w/".into(), means: "with".into() },
            Written { text: "w/o".into(), means: "without".into() },
        ];
        let letters = BTreeMap::from([("œ".to_owned(), "oe".to_owned())]);
        let show = |t: Token| match t.kind {
            TokenKind::Sign(c) => c.to_string(),
            _ => t.text,
        };
        Orthography::new(&written, &letters, &Unicode::default()).tokens(text).into_iter().map(show).collect()
    }

    #[test]
    fn folds_what_makes_no_difference() {
        assert_eq!(texts("Crème  BRÛLÉE"), ["creme", "brulee"]);
        assert_eq!(texts("cre\u{300}me bru\u{302}le\u{301}e"), ["creme", "brulee"]);
        assert_eq!(texts("ｅｇｇ e\u{200b}gg"), ["egg", "egg"]);
        assert_eq!(texts("Shepherd’s pie"), ["shepherds", "pie"]);
        assert_eq!(texts("egg–free, soft-boiled - hot"), ["egg", "free", ",", "soft", "boiled", "-", "hot"]);
        assert_eq!(texts("bœuf & oats w/o salt w/gravy"), ["boeuf", "and", "oats", "without", "salt", "with", "gravy"]);
        assert_eq!(texts("egg(s) (sliced)"), ["egg", "(", "sliced", ")"]);
        assert_eq!(texts("rice 🧀, ? eggs?"), ["rice", "🧀", ",", "?", "eggs", "?"]);
        assert_eq!(texts("1½ cups, 8oz 2%"), ["11\u{2044}2", "cups", ",", "8", "oz", "2", "%"]);
    }

    #[test]
    fn spans_cut_the_callers_text() {
        let text = "Pâté & cre\u{300}me";
        for token in Orthography::default().tokens(text) {
            assert!(text.get(token.span.0..token.span.1).is_some(), "{token:?}");
        }
        let last = Orthography::default().tokens(text).pop().expect("three words");
        assert_eq!(&text[last.span.0..last.span.1], "cre\u{300}me");
    }
}
