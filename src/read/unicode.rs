//! What Unicode says of characters: how they decompose (compatibility form), their lower case, and which are combining marks.
//!
//! Where the ontology's files are compiled in, so are the tables of `unicode-normalization`. A packed ontology brings its own.

use std::sync::Arc;

/// First and last Hangul syllable, and how they are made of jamo (Unicode, section 3.12).
const HANGUL: std::ops::RangeInclusive<u32> = 0xAC00..=0xD7A3;
const JAMO: [(u32, u32); 3] = [(0x1100, 588), (0x1161, 28), (0x11A7, 1)];

/// A stretch of combining marks of one class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Marks {
    pub(crate) from: u32,
    pub(crate) count: u32,
    pub(crate) class: u8,
}

/// The tables, in order of characters.
#[derive(Debug, Default)]
pub(crate) struct Tables {
    pub(crate) decompositions: Vec<(u32, String)>,
    pub(crate) lower: Vec<(u32, String)>,
    pub(crate) marks: Vec<Marks>,
}

/// All of it, from one of the two.
#[derive(Debug, Clone, Default)]
pub(crate) struct Unicode(Option<Arc<Tables>>);

impl Unicode {
    pub(crate) fn from_tables(tables: Tables) -> Self {
        Self(Some(Arc::new(tables)))
    }

    /// The tables of a packed ontology.
    pub(crate) fn tables(&self) -> Option<&Tables> {
        self.0.as_deref()
    }

    /// Whether a character only adds to the one before it.
    pub(crate) fn is_mark(&self, c: char) -> bool {
        match &self.0 {
            Some(tables) => tables.marks_of(c).is_some(),
            None => library::is_mark(c),
        }
    }

    /// What a character is written with, once all of it is taken apart; most stay as they are.
    pub(crate) fn decomposed(&self, c: char) -> String {
        match &self.0 {
            Some(tables) => tables.decomposed(c),
            None => library::decomposed(c),
        }
    }

    /// A text in lower case, character by character.
    pub(crate) fn lower(&self, text: &str) -> String {
        let mut lower = String::with_capacity(text.len());
        for c in text.chars() {
            if c.is_ascii() { lower.push(c.to_ascii_lowercase()) } else { lower.push_str(&self.lower_of(c)) }
        }
        lower
    }

    /// The lower case of a character that is not ASCII; hardly any has two letters.
    pub(crate) fn lower_of(&self, c: char) -> String {
        match &self.0 {
            Some(tables) => found(&tables.lower, c),
            None => library::lower(c),
        }
    }

    /// A text taken apart, with its marks in canonical order (NFKD).
    pub(crate) fn nfkd(&self, text: &str) -> String {
        let mut chars: Vec<char> = text.chars().flat_map(|c| self.decomposed(c).chars().collect::<Vec<_>>()).collect();
        for marks in chars.chunk_by_mut(|one, other| self.class(*one) != 0 && self.class(*other) != 0) {
            marks.sort_by_key(|c| self.class(*c));
        }
        chars.into_iter().collect()
    }

    /// The canonical combining class.
    fn class(&self, c: char) -> u8 {
        match &self.0 {
            Some(tables) => tables.marks_of(c).map_or(0, |marks| marks.class),
            None => library::class(c),
        }
    }
}

impl Tables {
    fn marks_of(&self, c: char) -> Option<&Marks> {
        let after = self.marks.partition_point(|marks| marks.from <= u32::from(c));
        self.marks.get(after.checked_sub(1)?).filter(|marks| u32::from(c) - marks.from < marks.count)
    }

    fn decomposed(&self, c: char) -> String {
        let number = u32::from(c);
        if HANGUL.contains(&number) {
            let place = number - HANGUL.start();
            let jamo = JAMO.iter().scan(place, |left, (first, step)| {
                let jamo = first + *left / step;
                *left %= step;
                Some(jamo)
            });
            // The third one is missing where it would stand before the first of its kind.
            return jamo.filter(|j| *j != 0x11A7).filter_map(char::from_u32).collect();
        }
        found(&self.decompositions, c)
    }

    /// Every character that the library takes apart, has a lower case of or knows as a mark.
    #[cfg(feature = "built-in")]
    pub(crate) fn complete() -> Self {
        let mut tables = Self::default();
        for c in '\0'..=char::MAX {
            let to = library::decomposed(c);
            if !to.chars().eq([c]) && !HANGUL.contains(&u32::from(c)) {
                tables.decompositions.push((u32::from(c), to));
            }
            let lower = library::lower(c);
            if !lower.chars().eq([c]) {
                tables.lower.push((u32::from(c), lower));
            }
            if library::is_mark(c) {
                let class = library::class(c);
                match tables.marks.last_mut() {
                    Some(marks) if marks.class == class && marks.from + marks.count == u32::from(c) => marks.count += 1,
                    _ => tables.marks.push(Marks { from: u32::from(c), count: 1, class }),
                }
            }
        }
        tables
    }
}

/// What a table has for a character; one that it does not have stays as it is.
fn found(table: &[(u32, String)], c: char) -> String {
    let found = table.binary_search_by_key(&u32::from(c), |(from, _)| *from);
    found.ok().and_then(|at| table.get(at)).map_or_else(|| c.to_string(), |(_, to)| to.clone())
}

#[cfg(feature = "built-in")]
mod library {
    use unicode_normalization::UnicodeNormalization;
    use unicode_normalization::char::{canonical_combining_class, is_combining_mark};

    pub(super) fn is_mark(c: char) -> bool {
        is_combining_mark(c)
    }

    pub(super) fn class(c: char) -> u8 {
        canonical_combining_class(c)
    }

    pub(super) fn decomposed(c: char) -> String {
        std::iter::once(c).nfkd().collect()
    }

    pub(super) fn lower(c: char) -> String {
        c.to_lowercase().collect()
    }
}

/// Without the tables every ontology is a packed one and has brought its own.
#[cfg(not(feature = "built-in"))]
mod library {
    pub(super) fn is_mark(_: char) -> bool {
        false
    }

    pub(super) fn class(_: char) -> u8 {
        0
    }

    pub(super) fn decomposed(c: char) -> String {
        c.to_string()
    }

    pub(super) fn lower(c: char) -> String {
        c.to_string()
    }
}

#[cfg(all(test, feature = "built-in"))]
mod tests {
    use unicode_normalization::UnicodeNormalization;

    use super::*;

    #[test]
    fn the_tables_say_what_the_library_says_of_every_character() {
        let (tables, library) = (Unicode::from_tables(Tables::complete()), Unicode::default());
        for c in '\0'..=char::MAX {
            assert_eq!(tables.is_mark(c), library.is_mark(c), "{c:?}");
            assert_eq!(tables.class(c), library.class(c), "{c:?}");
            assert_eq!(tables.decomposed(c), library.decomposed(c), "{c:?}");
            let one = c.to_string();
            assert_eq!(tables.lower(&one), library.lower(&one), "{c:?}");
        }
    }

    #[test]
    fn marks_stand_in_canonical_order() {
        for text in [
            "e\u{302}\u{323}x",
            "\u{1ec7}",
            "\u{e4}\u{323}",
            "각 \u{f73}\u{f71}",
            "\u{323}\u{302}a\u{5b0}\u{5b7}\u{5bc}",
        ] {
            let wanted: String = text.nfkd().collect();
            assert_eq!(Unicode::default().nfkd(text), wanted);
            assert_eq!(Unicode::from_tables(Tables::complete()).nfkd(text), wanted);
        }
    }
}
