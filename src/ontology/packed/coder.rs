//! Yes-or-no decisions in a fraction of a bit each: an arithmetic coder, and a mixer of learned probabilities.
//!
//! This is context mixing as lossless compressors have it. Whole numbers only: what one machine writes, every other must
//! read to the last bit.

#![expect(clippy::indexing_slicing, reason = "INVARIANT: every index is cut to the size of its table before")]
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "probabilities and odds are far below the bounds of their types"
)]

/// Contexts that one decision may have.
const INPUTS: usize = 8;
/// Decisions that share a context's line of the table.
const LINE: usize = 16;
/// Learned probabilities; contexts share them by their hash.
const SLOTS: usize = 1 << 22;
/// Kinds of decisions; each has weights of its own.
const KINDS: usize = 64;
const FIRST_WEIGHT: i32 = 1 << 14;
/// How slowly weights move: the power of two that errors are divided by.
const INERTIA: i32 = 14;
/// A probability moves by at least one part in this many.
const SLOWEST: usize = 12;
/// The part of an error that a probability moves by, in 65,536ths, by how often it was seen.
const STEPS: [i32; SLOWEST + 1] = {
    let mut steps = [0; SLOWEST + 1];
    let mut seen = 0;
    while seen <= SLOWEST {
        steps[seen] = 131_072 / (2 * seen as i32 + 3);
        seen += 1;
    }
    steps
};
/// Steps by which the odds of a context are told apart where they are set right.
const ODDS: usize = 32;
/// The part of an error that such a correction moves by.
const CORRECTION: i32 = 100;
/// No decision is ever held for impossible; in 65,536ths.
const LEAST: i32 = 24;

/// Writes decisions, or reads them back.
pub(super) trait Coder {
    /// Whether the decision that is passed in is the one to write; else it is ignored.
    const WRITES: bool;

    /// The decision, given its probability in 65,536ths.
    fn code(&mut self, probability: u32, bit: bool) -> bool;
}

/// Writes decisions into bytes.
#[cfg(feature = "built-in")]
pub(super) struct Writer {
    low: u32,
    high: u32,
    bytes: Vec<u8>,
}

#[cfg(feature = "built-in")]
impl Writer {
    pub(super) fn new() -> Self {
        Self { low: 0, high: u32::MAX, bytes: Vec::new() }
    }

    pub(super) fn finish(mut self) -> Vec<u8> {
        self.bytes.extend(self.high.to_be_bytes());
        self.bytes
    }
}

#[cfg(feature = "built-in")]
impl Coder for Writer {
    const WRITES: bool = true;

    fn code(&mut self, probability: u32, bit: bool) -> bool {
        let middle = middle(self.low, self.high, probability);
        if bit {
            self.high = middle
        } else {
            self.low = middle + 1
        }
        while (self.low ^ self.high) >> 24 == 0 {
            self.bytes.push((self.high >> 24) as u8);
            self.low <<= 8;
            self.high = self.high << 8 | 255;
        }
        bit
    }
}

/// Reads decisions from bytes.
pub(super) struct Reader<'a> {
    low: u32,
    high: u32,
    at: u32,
    bytes: std::slice::Iter<'a, u8>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        let mut reader = Self { low: 0, high: u32::MAX, at: 0, bytes: bytes.iter() };
        for _ in 0..4 {
            reader.take();
        }
        reader
    }

    fn take(&mut self) {
        self.at = self.at << 8 | u32::from(self.bytes.next().copied().unwrap_or(0));
    }
}

impl Coder for Reader<'_> {
    const WRITES: bool = false;

    fn code(&mut self, probability: u32, _: bool) -> bool {
        let middle = middle(self.low, self.high, probability);
        let bit = self.at <= middle;
        if bit {
            self.high = middle
        } else {
            self.low = middle + 1
        }
        while (self.low ^ self.high) >> 24 == 0 {
            self.low <<= 8;
            self.high = self.high << 8 | 255;
            self.take();
        }
        bit
    }
}

fn middle(low: u32, high: u32, probability: u32) -> u32 {
    low + ((u64::from(high - low) * u64::from(probability)) >> 16) as u32
}

/// 65536 / (1 + e^(-x / 256)) for x from -2048 in steps of 128.
const LOGISTIC: [i32; 33] = [
    22, 36, 60, 98, 162, 267, 439, 720, 1179, 1921, 3108, 4971, 7812, 11955, 17625, 24743, 32768, 40793, 47911, 53581,
    57724, 60565, 62428, 63615, 64357, 64816, 65097, 65269, 65374, 65438, 65476, 65500, 65514,
];

/// From odds on a logarithmic scale to a probability in 65,536ths.
fn probability(odds: i32) -> i32 {
    let odds = odds.clamp(-2047, 2047) + 2048;
    let (step, part) = ((odds >> 7) as usize, odds & 127);
    (LOGISTIC[step] * (128 - part) + LOGISTIC[step + 1] * part + 64) >> 7
}

/// The way back, by probabilities in 4,096ths.
fn odds() -> Vec<i32> {
    let mut all = vec![2047; 4096];
    let mut from = 0;
    for odds in -2047..=2047 {
        let to = (probability(odds) >> 4) as usize;
        for slot in all.iter_mut().take(to + 1).skip(from) {
            *slot = odds;
        }
        from = from.max(to + 1);
    }
    all
}

/// What is known so far of every context, and how far each is to be trusted.
pub(super) struct Mixer<C> {
    coder: C,
    /// Probability in the upper 22 bits, times seen in the lower 10.
    slots: Vec<u32>,
    /// What a probability has turned out to be worth, by kind, context, times seen and odds; in parts of 2^22.
    corrections: Vec<i32>,
    weights: Vec<[i32; INPUTS]>,
    odds: Vec<i32>,
}

/// The lines of some contexts, for up to [`LINE`] decisions.
pub(super) struct Lines {
    at: [usize; INPUTS],
    count: usize,
}

/// Contexts, as hashes, made ready for decisions.
pub(super) fn lines(contexts: &[u32]) -> Lines {
    let mut at = [0; INPUTS];
    for (line, context) in at.iter_mut().zip(contexts) {
        *line = (context >> 6) as usize % (SLOTS / LINE) * LINE;
    }
    Lines { at, count: contexts.len().min(INPUTS) }
}

impl<C: Coder> Mixer<C> {
    pub(super) fn new(coder: C) -> Self {
        let corrections: Vec<i32> = (0..ODDS as i32).map(|step| probability(step * 128 - 2048 + 64) << 6).collect();
        Self {
            coder,
            slots: vec![1 << 31; SLOTS],
            corrections: corrections.repeat(KINDS * INPUTS * STEPS.len()),
            weights: vec![[FIRST_WEIGHT; INPUTS]; KINDS * LINE],
            odds: odds(),
        }
    }

    #[cfg(feature = "built-in")]
    pub(super) fn into_coder(self) -> C {
        self.coder
    }

    /// One decision of a kind; `node` is its number among those of the same lines.
    pub(super) fn bit(&mut self, kind: usize, lines: &Lines, node: usize, bit: bool) -> bool {
        let (kind, node) = (kind % KINDS, node % LINE);
        let weights = &mut self.weights[kind * LINE + node];
        let mut inputs = [0; INPUTS];
        let mut corrected = [0; INPUTS];
        let mut sum = 0;
        for n in 0..lines.count {
            let slot = self.slots[(lines.at[n] + node) % SLOTS];
            // A context that was seen a few times and always agreed is surer than its count says, or less sure: learned too.
            let step = ((self.odds[(slot >> 20) as usize] + 2048) as usize * ODDS) >> 12;
            let seen = (slot & 1023) as usize % STEPS.len();
            corrected[n] = ((kind * INPUTS + n) * STEPS.len() + seen) * ODDS + step;
            inputs[n] = self.odds[(self.corrections[corrected[n]] >> 10) as usize % 4096];
            sum += i64::from(inputs[n]) * i64::from(weights[n]);
        }
        let probability = probability((sum >> 16) as i32).clamp(LEAST, 65_536 - LEAST);
        let bit = self.coder.code(probability as u32, bit);
        let error = (i32::from(bit) << 16) - probability;
        let aim = if bit { (1 << 22) - 1 } else { 0 };
        for n in 0..lines.count {
            weights[n] += (inputs[n] * error + (1 << (INERTIA - 1))) >> INERTIA;
            let correction = &mut self.corrections[corrected[n]];
            *correction += (aim - *correction) / CORRECTION;
            let slot = &mut self.slots[(lines.at[n] + node) % SLOTS];
            let (held, seen) = ((*slot >> 10) as i32, (*slot & 1023) as usize % STEPS.len());
            let moved = held + ((i64::from(aim - held) * i64::from(STEPS[seen])) >> 16) as i32;
            *slot = (moved as u32) << 10 | (seen + 1).min(SLOWEST) as u32;
        }
        bit
    }

    /// A number of up to four bits, the highest first.
    pub(super) fn bits(&mut self, kind: usize, lines: &Lines, count: u32, value: u32) -> u32 {
        let mut node = 1;
        for n in (0..count).rev() {
            node = node << 1 | usize::from(self.bit(kind, lines, node, value >> n & 1 == 1));
        }
        node as u32 - (1 << count)
    }

    /// A number up to 15, by counting up to it.
    pub(super) fn steps(&mut self, kind: usize, lines: &Lines, value: u32) -> u32 {
        let mut found = 0;
        while found < 15 && self.bit(kind, lines, found as usize, value > found) {
            found += 1;
        }
        found
    }
}
