//! How the parts of an ontology are foreseen: numbers, references and the words of texts, by what stands near them.

use std::collections::HashMap;

use super::coder::{Coder, Mixer, lines};
use crate::limits;

/// Words of one entry that its next text is likely to repeat.
const RECENT: usize = 40;
/// The end and the letters, the commoner first.
const LETTERS: &[u8] = b"\0eairnotslcudhmpgbkfyvwzjxq";
/// No word is longer, in bytes.
const LONGEST: usize = 1000;

// Kinds of decisions. A value takes five, a spelt byte four.
const NUMBER: usize = 0;
const LARGE_NUMBER: usize = 1;
const REFERENCE: usize = 8;
const REPEATS: usize = 16;
const WHICH: usize = 17;
const WORD: usize = 24;
const LETTER: usize = 32;
const MARK: usize = 40;
const RARE_MARK: usize = 41;

/// Mixes a value into a hash.
pub(super) fn hash(a: u32, b: u32) -> u32 {
    let mixed = (a ^ b.rotate_left(15)).wrapping_mul(0x9E37_79B1);
    (mixed ^ mixed >> 15).wrapping_mul(0x85EB_CA77)
}

/// Strings by the order in which they were first seen, from 1; 0 stands for one that was not.
#[derive(Default)]
struct Seen {
    all: Vec<String>,
    /// Only filled where texts are looked up: for writing.
    places: HashMap<String, u32>,
}

impl Seen {
    fn place(&self, text: &str) -> u32 {
        self.places.get(text).copied().unwrap_or(0)
    }

    fn get(&self, place: u32) -> Option<&String> {
        self.all.get((place as usize).checked_sub(1)?)
    }

    fn add(&mut self, text: &str, looked_up: bool) -> u32 {
        self.all.push(text.to_owned());
        let place = u32::try_from(self.all.len()).unwrap_or(0);
        if looked_up {
            self.places.insert(text.to_owned(), place);
        }
        place
    }
}

/// A word that the entry has used.
#[derive(Clone, Copy)]
struct Recent {
    word: u32,
    /// The word before it when it was last used.
    before: u32,
    /// The text of the entry that had it last.
    text: u32,
    times: u32,
}

/// Foresees what comes next, and codes how it differs.
pub(super) struct Model<C> {
    mixer: Mixer<C>,
    references: HashMap<u32, Seen>,
    words: Seen,
    marks: Seen,
    /// Words of this entry, the latest last.
    recent: Vec<Recent>,
    /// Texts of this entry so far.
    texts: u32,
    /// The last value of each field.
    last: HashMap<u32, u32>,
    /// What this entry is about: set by it, and good for foreseeing its other fields.
    topics: [u32; 3],
    /// The references before the next one in its list, the latest first.
    before: [u32; 2],
}

impl<C: Coder> Model<C> {
    pub(super) fn new(coder: C) -> Self {
        Self {
            mixer: Mixer::new(coder),
            references: HashMap::new(),
            words: Seen::default(),
            marks: Seen::default(),
            recent: Vec::new(),
            texts: 0,
            last: HashMap::new(),
            topics: [0; 3],
            before: [0; 2],
        }
    }

    #[cfg(feature = "built-in")]
    pub(super) fn into_coder(self) -> C {
        self.mixer.into_coder()
    }

    /// A new entry begins.
    pub(super) fn entry(&mut self) {
        self.recent.clear();
        self.texts = 0;
        self.topics = [0; 3];
    }

    /// States one of the things that the entry is about.
    pub(super) fn topic(&mut self, n: usize, about: &str) {
        if let Some(topic) = self.topics.get_mut(n) {
            *topic = about.bytes().fold(7, |h, b| hash(h, u32::from(b)));
        }
    }

    /// A list begins.
    pub(super) fn list(&mut self) {
        self.before = [0; 2];
    }

    /// A number of a field.
    pub(super) fn number(&mut self, field: u32, value: u32) -> u32 {
        let last = self.last.get(&field).copied().unwrap_or(0);
        let [parent, head, first] = self.topics;
        let contexts = [
            field,
            hash(field, last),
            hash(field, parent),
            hash(field + 1, head),
            hash(field + 2, first),
            hash(field + 3, hash(parent, last)),
        ];
        let mut found = self.mixer.steps(NUMBER, &lines(&contexts), value.min(15));
        if found == 15 {
            found += self.value(LARGE_NUMBER, &[field, hash(field, last)], value.wrapping_sub(15));
        }
        self.last.insert(field, found);
        found
    }

    /// A number of any size below 2^30: how many bits it has, then those bits.
    fn value(&mut self, kind: usize, contexts: &[u32], value: u32) -> u32 {
        let value = value.wrapping_add(1).max(1);
        let at = lines(contexts);
        let wanted = value.ilog2();
        let mut length = self.mixer.bits(kind, &at, 4, wanted.min(15));
        if length == 15 {
            let at = lines(&[hash(kind as u32, 15)]);
            length += self.mixer.bits(kind + 1, &at, 4, wanted.wrapping_sub(15));
        }
        let (mut found, mut left, mut part) = (1, length, 2);
        while left > 0 {
            let count = (left - 1) % 4 + 1;
            left -= count;
            let mut after = [0; 8];
            for (after, context) in after.iter_mut().zip(contexts) {
                *after = hash(*context, length << 25 ^ found);
            }
            let at = lines(after.get(..contexts.len()).unwrap_or(&after));
            found = found << count | self.mixer.bits(kind + part, &at, count, value >> left & ((1 << count) - 1));
            part = (part + 1).min(4);
        }
        found - 1
    }

    /// A string that many entries share, an id or a source key, by its place among those of its class.
    pub(super) fn reference(&mut self, field: u32, class: u32, text: &str) -> String {
        let place = self.references.entry(class).or_default().place(text);
        let ([parent, head, first], [before, earlier]) = (self.topics, self.before);
        let contexts = [
            field,
            hash(field + 1, before),
            hash(field + 2, hash(before, earlier)),
            hash(field + 3, hash(parent, before)),
            hash(field + 4, hash(head, before)),
            hash(field + 5, head),
            hash(field + 6, first),
        ];
        let place = self.value(REFERENCE, &contexts, place);
        self.before = [place, before];
        if let Some(known) = self.references.get(&class).and_then(|seen| seen.get(place)) {
            return known.clone();
        }
        let text = self.text(class, text);
        let place = self.references.entry(class).or_default().add(&text, C::WRITES);
        self.before = [place, before];
        text
    }

    /// A text, word by word, with what stands between them.
    pub(super) fn text(&mut self, field: u32, text: &str) -> String {
        let mut out = String::new();
        let mut rest = text;
        let (mut before, mut mark) = (0, 0);
        self.texts += 1;
        for n in 0..limits::CHECK_BYTES as u32 {
            let end = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
            let (word, after) = rest.split_at(end);
            let word = self.word(field, before, n, word);
            out.push_str(self.words.get(word).map_or("", String::as_str));
            let end = after.find(char::is_alphanumeric).unwrap_or(after.len());
            let (between, after) = after.split_at(end);
            let contexts = [
                hash(field, mark),
                hash(mark, word),
                hash(field, n),
                hash(before, word),
                hash(field, hash(self.texts.min(3), word)),
            ];
            mark = self.mark(&contexts, between);
            let between = self.marks.get(mark).map_or("", String::as_str);
            if between.is_empty() {
                break;
            }
            out.push_str(between);
            (before, rest) = (word, after);
        }
        out
    }

    /// What stands between two words; nothing at the end of a text.
    fn mark(&mut self, contexts: &[u32], text: &str) -> u32 {
        let wanted = self.marks.place(text);
        let found = self.mixer.steps(MARK, &lines(contexts), wanted.wrapping_sub(1).min(15));
        if found < 15 {
            return found + 1;
        }
        let rare = contexts.get(..2).unwrap_or_default();
        let place = self.value(RARE_MARK, rare, wanted.saturating_sub(15)) + 15;
        if self.marks.get(place).is_some() && place > 15 {
            return place;
        }
        let text = self.spelt(MARK as u32, text);
        self.marks.add(&text, C::WRITES)
    }

    /// A word: one of this entry again, one that is known, or a new one.
    fn word(&mut self, field: u32, before: u32, n: u32, text: &str) -> u32 {
        let mut place = self.words.place(text);
        let wanted = self.recent.iter().position(|r| C::WRITES && r.word == place);
        let state = hash(field, n.min(3) << 8 | self.texts.min(7));
        let contexts = [
            hash(state, 1),
            hash(before, 2),
            hash(field, self.recent.len() as u32),
            hash(state, hash(before, self.texts.min(2))),
        ];
        if !self.recent.is_empty() && self.mixer.bit(REPEATS, &lines(&contexts), 0, wanted.is_some()) {
            place = self.again(field, before, n, place);
        } else {
            let [parent, ..] = self.topics;
            let contexts =
                [hash(field, 3), hash(before, 4), hash(parent, 5), hash(hash(field, n.min(2)), hash(before, 6))];
            place = self.value(WORD, &contexts, place);
            if self.words.get(place).is_none() {
                let text = self.spelt(field, text);
                place = self.words.add(&text, C::WRITES);
            }
        }
        let times = match self.recent.iter().position(|r| r.word == place) {
            Some(at) => self.recent.remove(at).times + 1,
            None => 1,
        };
        if self.recent.len() >= RECENT {
            self.recent.remove(0);
        }
        self.recent.push(Recent { word: place, before, text: self.texts, times });
        place
    }

    /// Which of the words of this entry.
    fn again(&mut self, field: u32, before: u32, n: u32, wanted: u32) -> u32 {
        let texts = self.texts;
        let known = self.recent.len() as u32;
        // What followed the same word before goes first, what this text has already goes last; else the latest first.
        let mut order: Vec<Recent> = self.recent.iter().rev().copied().collect();
        order.sort_by_key(|r| (r.text == texts, r.before != before));
        let mut found = 0;
        for (tried, r) in (0..).zip(order) {
            found = r.word;
            let here = u32::from(r.text == texts);
            let state = here | u32::from(r.before == before) << 1 | tried.min(7) << 2 | n.min(3) << 5;
            let age = (texts - r.text).min(5);
            let contexts = [
                hash(field, state),
                hash(r.word, 1 << 9 | here),
                hash(r.word, hash(before, 7)),
                hash(state, r.times.min(6) << 8 | age << 4 | texts.min(6)),
                hash(r.word, state),
                hash(known, state),
            ];
            if tried + 1 == known || self.mixer.bit(WHICH, &lines(&contexts), 0, r.word == wanted) {
                break;
            }
        }
        found
    }

    /// A string letter by letter.
    fn spelt(&mut self, field: u32, text: &str) -> String {
        let mut bytes = Vec::new();
        let mut given = text.bytes();
        let [mut a, mut b, mut c, mut d] = [0; 4];
        let mut all = field;
        while bytes.len() < LONGEST {
            let contexts = [
                1,
                hash(2, a),
                hash(3, a << 8 | b),
                hash(4, a << 16 | b << 8 | c),
                hash(5, a << 24 | b << 16 | c << 8 | d),
                hash(field, a),
                hash(6, all),
                hash(7, self.likely(&bytes)),
            ];
            let byte = self.byte(&contexts, given.next().unwrap_or(0));
            if byte == 0 {
                break;
            }
            bytes.push(byte);
            (a, b, c, d) = (u32::from(byte), a, b, c);
            all = hash(all, a);
        }
        String::from_utf8(bytes).unwrap_or_default()
    }

    /// The letter that follows the last ones in another word of this entry, with how many of them agree.
    fn likely(&self, bytes: &[u8]) -> u32 {
        let (mut most, mut letter) = (0, 0);
        for word in self.recent.iter().rev().filter_map(|r| self.words.get(r.word)) {
            let word = word.as_bytes();
            for at in 0..=word.len() {
                let (before, after) = word.split_at(at);
                let same = before.iter().rev().zip(bytes.iter().rev()).take_while(|(one, other)| one == other).count();
                let from_the_start = same == bytes.len() && same == at;
                let agree = same + usize::from(from_the_start);
                if agree > most {
                    (most, letter) = (agree, after.first().copied().unwrap_or(0));
                }
            }
        }
        if most < 2 { bytes.len() as u32 | 1 << 16 } else { (most.min(6) as u32) << 8 | u32::from(letter) }
    }

    /// A common letter in four decisions, another one in eight, any other byte in sixteen.
    fn byte(&mut self, contexts: &[u32; 8], byte: u8) -> u8 {
        let mut bits = |n: u32, value: u32| {
            let at = contexts.map(|context| hash(context, 70 + n));
            self.mixer.bits(LETTER + n.min(3) as usize, &lines(&at), 4, value.min(15))
        };
        let wanted = LETTERS.iter().position(|letter| *letter == byte).unwrap_or(30) as u32;
        let mut place = bits(0, wanted);
        if place == 15 {
            place += bits(1, wanted.wrapping_sub(15));
        }
        match LETTERS.get(place as usize) {
            Some(letter) => *letter,
            None => {
                let high = bits(2, u32::from(byte >> 4));
                (high << 4 | bits(3 + high, u32::from(byte & 15))) as u8
            }
        }
    }
}
