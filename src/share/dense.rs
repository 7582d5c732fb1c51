//! Text made dense: a few hundred letters of a quote in a hundred bytes.
//!
//! Owns the packed form of a row of texts: what [`Packer`] writes, [`Unpacker`] reads back, and
//! nothing else is read. Each bit of a text is predicted from the letters before it by several
//! models, mixed into one prediction by weights that learn, and written with an arithmetic coder;
//! likely letters take a fraction of a bit. Writer and reader begin with the same knowledge: the
//! sample texts of `share/samples.rs`. All of it is whole-number arithmetic, the same on every
//! device for ever: to change a constant or a sample is to make a new version of the links.
//! `docs/links.md` describes it step by step.

use super::samples::SAMPLES;
use std::fmt;
use std::sync::OnceLock;

/// What a text is, so that it is predicted by others of its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Sentences and addresses.
    Prose = 0,
    /// A short term of the trade: a garment, a finish, a colour.
    Term = 1,
    /// A person's name.
    Name = 2,
    /// Figures, dates and counts.
    Figure = 3,
    /// A garment's size.
    Size = 4,
    /// Data as JSON.
    Data = 5,
}

/// The most bytes that are unpacked from one row of texts.
pub const LARGEST: usize = 200_000;

/// Ends a text. No UTF-8 text has this byte in it.
const END: u8 = 0xff;

/// Why packed texts cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DenseError {
    /// More than [`LARGEST`] bytes would come out.
    TooLong,
    /// Not what a [`Packer`] wrote.
    Damaged,
}

impl fmt::Display for DenseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong => write!(f, "more than {LARGEST} bytes come out"),
            Self::Damaged => write!(f, "not what was packed"),
        }
    }
}

impl std::error::Error for DenseError {}

/// Packs texts, one after the other.
pub struct Packer {
    model: Model,
    low: u32,
    high: u32,
    out: Vec<u8>,
}

impl Default for Packer {
    fn default() -> Self {
        Self { model: Model::taught(), low: 0, high: u32::MAX, out: Vec::new() }
    }
}

impl Packer {
    /// Adds a text.
    pub fn text(&mut self, kind: Kind, text: &str) {
        self.model.begin(kind);
        text.bytes().chain([END]).for_each(|byte| self.byte(byte));
    }

    /// The packed texts: the fewest bytes that say them.
    ///
    /// ```
    /// use lettertally::share::dense::{Kind, Packer, Unpacker};
    /// let mut packer = Packer::default();
    /// packer.text(Kind::Prose, "A few words of some length");
    /// let packed = packer.finish();
    /// assert!(packed.len() < 26);
    /// let mut unpacker = Unpacker::new(&packed);
    /// assert_eq!(unpacker.text(Kind::Prose).unwrap(), "A few words of some length");
    /// ```
    pub fn finish(mut self) -> Vec<u8> {
        // The reader takes what is missing for zeros.
        for bytes in 0..4 {
            let mask = u32::MAX.checked_shr(8 * bytes).unwrap_or(0);
            let value = self.low.checked_add(mask).map(|up| up & !mask);
            if let Some(value) = value.filter(|value| *value <= self.high) {
                self.out.extend(&value.to_be_bytes()[..bytes as usize]);
                break;
            }
            if bytes == 3 {
                self.out.extend(self.low.to_be_bytes());
            }
        }
        while self.out.last() == Some(&0) {
            self.out.pop();
        }
        self.out
    }

    fn byte(&mut self, byte: u8) {
        for place in (0..8).rev() {
            let bit = byte >> place & 1 == 1;
            let split = split(self.low, self.high, self.model.predict());
            if bit {
                self.high = split;
            } else {
                self.low = split + 1;
            }
            self.model.learn(bit);
            while (self.low ^ self.high) >> 24 == 0 {
                self.out.push((self.high >> 24) as u8);
                (self.low, self.high) = (self.low << 8, self.high << 8 | 0xff);
            }
        }
        self.model.end_byte(byte);
    }
}

/// Reads packed texts, one after the other.
pub struct Unpacker<'a> {
    model: Model,
    low: u32,
    high: u32,
    value: u32,
    rest: std::slice::Iter<'a, u8>,
    /// Bytes read beyond the end.
    beyond: usize,
    /// Bytes that may still come out.
    left: usize,
}

impl<'a> Unpacker<'a> {
    /// A reader of these bytes.
    pub fn new(packed: &'a [u8]) -> Self {
        let mut unpacker = Self {
            model: Model::taught(),
            low: 0,
            high: u32::MAX,
            value: 0,
            rest: packed.iter(),
            beyond: 0,
            left: LARGEST,
        };
        (0..4).for_each(|_| unpacker.shift());
        unpacker
    }

    /// The next text, which was packed as of this kind.
    ///
    /// # Errors
    /// There is none, or more than may come out.
    pub fn text(&mut self, kind: Kind) -> Result<String, DenseError> {
        self.model.begin(kind);
        let mut text = Vec::new();
        loop {
            match self.byte()? {
                END => return String::from_utf8(text).map_err(|_| DenseError::Damaged),
                byte => text.push(byte),
            }
        }
    }

    fn byte(&mut self) -> Result<u8, DenseError> {
        self.left = self.left.checked_sub(1).ok_or(DenseError::TooLong)?;
        let mut byte = 0_u8;
        for _ in 0..8 {
            let split = split(self.low, self.high, self.model.predict());
            let bit = self.value <= split;
            if bit {
                self.high = split;
            } else {
                self.low = split + 1;
            }
            self.model.learn(bit);
            byte = byte << 1 | u8::from(bit);
            while (self.low ^ self.high) >> 24 == 0 {
                (self.low, self.high) = (self.low << 8, self.high << 8 | 0xff);
                self.shift();
            }
        }
        // The packer never leaves out more than the last four bytes.
        if self.beyond > 8 {
            return Err(DenseError::Damaged);
        }
        self.model.end_byte(byte);
        Ok(byte)
    }

    fn shift(&mut self) {
        let next = self.rest.next().copied();
        self.beyond += usize::from(next.is_none());
        self.value = self.value << 8 | u32::from(next.unwrap_or(0));
    }
}

/// The last value of the lower part of a range, which stands for a 1.
fn split(low: u32, high: u32, chance: u32) -> u32 {
    let range = u64::from(high - low);
    low + u32::try_from((range * u64::from(chance)) >> 16).unwrap_or(0)
}

/// How many models vote.
const MODELS: usize = 7;
/// How many chances each model keeps, as a power of two.
const SLOTS: u32 = 15;
/// A chance that has counted so often learns no more slowly.
const STEADY: u8 = 30;
/// How fast the weights learn.
const ZEAL: i32 = 24;

/// Predicts the next bit.
#[derive(Clone)]
struct Model {
    kind: u32,
    /// The last bytes, the newest lowest.
    history: u64,
    /// A mark of the text so far.
    so_far: u32,
    /// A mark of the word so far.
    word: u32,
    /// A one and the bits of this byte so far.
    partial: u32,
    /// A mark of what each model looks at.
    looks: [u32; MODELS],
    /// Chance of a 1 in 1/65536, and how often it was met.
    slots: Vec<(u16, u8)>,
    /// The slots in use for the next bit.
    here: [usize; MODELS],
    votes: [i32; MODELS],
    weights: [[i32; MODELS]; MODELS + 1],
    set: usize,
    mixed: i32,
    stretch: Vec<i16>,
}

impl Model {
    /// A model that has read the samples. They are read once; that takes as long as a whole quote.
    fn taught() -> Self {
        static TAUGHT: OnceLock<Model> = OnceLock::new();
        TAUGHT.get_or_init(Self::teach).clone()
    }

    fn teach() -> Self {
        let mut model = Self {
            kind: 0,
            history: 0,
            so_far: 0,
            word: 0,
            partial: 1,
            looks: [0; MODELS],
            slots: vec![(1 << 15, 0); MODELS << SLOTS],
            here: [0; MODELS],
            votes: [0; MODELS],
            weights: [[1 << 14; MODELS]; MODELS + 1],
            set: 0,
            mixed: 2048,
            stretch: stretch_table(),
        };
        for (kind, texts) in SAMPLES {
            for text in texts.split('|') {
                model.begin(*kind);
                for byte in text.bytes().chain([END]) {
                    for place in (0..8).rev() {
                        model.predict();
                        model.learn(byte >> place & 1 == 1);
                    }
                    model.end_byte(byte);
                }
            }
        }
        model
    }

    fn begin(&mut self, kind: Kind) {
        self.kind = kind as u32 + 1;
        self.so_far = 0;
        self.word = 0;
        self.look();
    }

    fn end_byte(&mut self, byte: u8) {
        self.history = self.history << 8 | u64::from(byte);
        self.so_far = mark(self.so_far, u32::from(byte) + 1);
        self.word = if byte.is_ascii_alphanumeric() || byte >= 0x80 {
            mark(self.word, u32::from(byte.to_ascii_lowercase()) + 1)
        } else {
            0
        };
        self.partial = 1;
        self.look();
    }

    fn look(&mut self) {
        let last = |bytes: u32| (self.history & ((1_u64 << (8 * bytes)) - 1)) as u32;
        let looks = [
            self.kind,
            mark(self.kind, last(1)),
            mark(self.kind, last(2)),
            last(3),
            mark(last(4), (self.history >> 32 & 0xff) as u32),
            mark(self.kind, self.so_far),
            mark(self.word, last(1)),
        ];
        let mut number = 0;
        self.looks = looks.map(|look| {
            number += 1;
            mark(look, number)
        });
    }

    /// The chance of a 1 in 1/65536, never 0 and never 1.
    fn predict(&mut self) -> u32 {
        let mut seen = 0;
        for at in 0..MODELS {
            let slot = mark(self.looks[at], self.partial) >> (32 - SLOTS);
            self.here[at] = (at << SLOTS) + slot as usize;
            let (chance, times) = self.slots[self.here[at]];
            seen += usize::from(times > 0);
            self.votes[at] = i32::from(self.stretch[usize::from(chance >> 4)]);
        }
        self.set = seen;
        let weights = &self.weights[self.set];
        let sum: i64 = weights.iter().zip(&self.votes).map(|(w, v)| i64::from(*w) * i64::from(*v)).sum();
        self.mixed = squash((sum >> 16) as i32);
        (self.mixed as u32) << 4
    }

    fn learn(&mut self, bit: bool) {
        let error = ((i32::from(bit) << 12) - self.mixed) * ZEAL;
        for (weight, vote) in self.weights[self.set].iter_mut().zip(&self.votes) {
            *weight += (vote * error + 0x8000) >> 16;
        }
        let goal = if bit { 65_535 } else { 0 };
        for at in self.here {
            let (chance, times) = &mut self.slots[at];
            let step = (goal - i32::from(*chance)) * 2 / (2 * i32::from(*times) + 3);
            *chance = (i32::from(*chance) + step) as u16;
            *times = (*times + 1).min(STEADY);
        }
        self.partial = self.partial << 1 | u32::from(bit);
    }
}

/// Two numbers into one that looks like chance.
fn mark(a: u32, b: u32) -> u32 {
    let mixed = (a ^ b.wrapping_mul(0x85eb_ca6b)).wrapping_mul(0x9e37_79b1);
    (mixed ^ mixed >> 15).wrapping_mul(0xc2b2_ae35)
}

/// From a vote back to a chance in 1/4096, by straight lines between the points of 4096 / (1 + exp(-x)).
fn squash(vote: i32) -> i32 {
    /// x from -8 to 8 in halves.
    const POINTS: [i32; 33] = [
        1, 2, 4, 6, 10, 17, 27, 45, 74, 120, 194, 311, 488, 747, 1101, 1546, 2048, 2550, 2995, 3349, 3608,
        3785, 3902, 3976, 4022, 4051, 4069, 4079, 4086, 4090, 4092, 4094, 4095,
    ];
    let vote = vote.clamp(-2047, 2047) + 2048;
    let (at, part) = ((vote >> 7) as usize, vote & 127);
    (POINTS[at] * (128 - part) + POINTS[at + 1] * part + 64) >> 7
}

/// The vote for each chance: the least one that [`squash`] brings to it.
fn stretch_table() -> Vec<i16> {
    let mut table = Vec::with_capacity(4096);
    for vote in -2047..=2047_i16 {
        let reached = squash(i32::from(vote)) as usize + 1;
        if reached > table.len() {
            table.resize(reached, vote);
        }
    }
    table.resize(4096, 2047);
    table
}
