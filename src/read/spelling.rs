//! Which known food words a misspelt word may be. A guess may add hazard; the word itself stays not understood.

/// Shorter words are not guessed: one edit makes another food of them.
const LETTERS_FOR_ONE_EDIT: usize = 5;
/// From this length on, two edits are allowed.
const LETTERS_FOR_TWO_EDITS: usize = 8;
/// No more than this many guesses for one word.
const MOST_GUESSES: usize = 4;

/// A known word, with what is compared first.
#[derive(Debug, Clone)]
struct Known {
    letters: u32,
    word: Vec<char>,
    text: String,
}

/// Known words by length.
#[derive(Debug, Default)]
pub(crate) struct Spelling {
    by_length: Vec<Vec<Known>>,
}

/// Which letters a word holds, one bit each; everything else shares a bit.
fn letters(word: &[char]) -> u32 {
    word.iter().fold(0, |set, c| match c {
        'a'..='z' => set | 1 << (*c as u32 - 'a' as u32),
        _ => set | 1 << 26,
    })
}

impl Spelling {
    pub(crate) fn new<'a>(words: impl Iterator<Item = &'a str>) -> Self {
        let mut by_length: Vec<Vec<Known>> = Vec::new();
        for text in words {
            let word: Vec<char> = text.chars().collect();
            if word.len() + 1 < LETTERS_FOR_ONE_EDIT || !word.iter().all(|c| c.is_alphabetic()) {
                continue;
            }
            if by_length.len() <= word.len() {
                by_length.resize(word.len() + 1, Vec::new());
            }
            if let Some(list) = by_length.get_mut(word.len()) {
                list.push(Known { letters: letters(&word), word, text: text.to_owned() });
            }
        }
        Self { by_length }
    }

    /// The nearest known words within one edit (two for long words), all equally near; none for a short word.
    pub(crate) fn guesses(&self, word: &str) -> Vec<&str> {
        let word: Vec<char> = word.chars().collect();
        if word.len() < LETTERS_FOR_ONE_EDIT || !word.iter().all(|c| c.is_alphabetic()) {
            return Vec::new();
        }
        let most = if word.len() >= LETTERS_FOR_TWO_EDITS { 2 } else { 1 };
        let set = letters(&word);
        let mut nearest = most + 1;
        let mut found: Vec<&str> = Vec::new();
        for length in word.len().saturating_sub(most)..=word.len() + most {
            for known in self.by_length.get(length).into_iter().flatten() {
                // An edit changes at most two letters of the set.
                if (known.letters ^ set).count_ones() as usize > 2 * nearest.min(most) {
                    continue;
                }
                let edits = edits(&word, &known.word, most);
                if edits < nearest {
                    nearest = edits;
                    found.clear();
                }
                if edits == nearest && edits <= most {
                    found.push(&known.text);
                }
            }
        }
        found.sort_unstable();
        found.truncate(MOST_GUESSES);
        found
    }
}

/// Insertions, deletions, replacements and swaps of neighbours between two words; `most + 1` for anything more.
fn edits(one: &[char], other: &[char], most: usize) -> usize {
    let width = other.len() + 1;
    let (mut before, mut last, mut row) = (vec![0; width], (0..width).collect::<Vec<_>>(), vec![0; width]);
    for (i, a) in one.iter().enumerate() {
        let cell = |row: &[usize], at: usize| row.get(at).copied().unwrap_or(usize::MAX - 8);
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
        for (j, b) in other.iter().enumerate() {
            let mut best = (cell(&last, j + 1) + 1).min(cell(&row, j) + 1).min(cell(&last, j) + usize::from(a != b));
            let swapped = i > 0 && j > 0 && one.get(i - 1) == Some(b) && other.get(j - 1) == Some(a);
            if swapped {
                best = best.min(cell(&before, j - 1) + 1);
            }
            if let Some(slot) = row.get_mut(j + 1) {
                *slot = best;
            }
        }
        if row.iter().all(|edits| *edits > most) {
            return most + 1;
        }
        std::mem::swap(&mut before, &mut last);
        std::mem::swap(&mut last, &mut row);
    }
    last.last().copied().unwrap_or(0).min(most + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guesses_the_nearest_words_and_only_for_long_enough_ones() {
        let spelling =
            Spelling::new(["butter", "batter", "almond", "milk", "mustard", "hazelnut", "custard"].into_iter());
        assert_eq!(spelling.guesses("buttre"), ["butter"]);
        assert_eq!(spelling.guesses("bttter"), ["batter", "butter"]);
        assert_eq!(spelling.guesses("almnd"), ["almond"]);
        assert_eq!(spelling.guesses("mustarrd"), ["mustard"]);
        assert_eq!(spelling.guesses("hazlenutt"), ["hazelnut"]);
        assert_eq!(spelling.guesses("mlik"), Vec::<&str>::new());
        assert_eq!(spelling.guesses("zorblequax"), Vec::<&str>::new());
    }

    #[test]
    fn edits_are_counted_up_to_the_bound() {
        let count = |a: &str, b: &str| edits(&a.chars().collect::<Vec<_>>(), &b.chars().collect::<Vec<_>>(), 2);
        assert_eq!(count("walnut", "walnut"), 0);
        assert_eq!(count("wlanut", "walnut"), 1);
        assert_eq!(count("walnuts", "walnut"), 1);
        assert_eq!(count("wlanutx", "walnut"), 2);
        assert_eq!(count("pecan", "walnut"), 3);
    }
}
