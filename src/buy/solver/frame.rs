//! Labels: partial plans told apart only by the totals that still matter.
//!
//! Each total that a bound watches (a supplier's subtotal, a group's or a way's units) is a
//! field of a packed key. A total with a least value only is cut off there, since beyond it
//! nothing changes; one with a largest value is dropped when it exceeds it. Of two partial
//! plans with the same key the one of less worth is kept, which is exact because worth and
//! totals both add up.

use super::model::Rest;
use super::scheme::OPEN;

/// One watched total.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dim {
    /// Totals are whole multiples of this many cents (1 for counts).
    pub unit: i64,
    /// The least total wanted, in units.
    pub lo: i64,
    /// The largest total allowed, in units.
    pub hi: i64,
    /// The multiplier per unit.
    pub bend: i64,
    shift: u32,
    mask: u128,
}

impl Dim {
    /// A total between bounds given in cents or counts.
    pub fn new(unit: i64, lo: i64, hi: i64, bend: i64) -> Self {
        let lo = (lo + unit - 1) / unit;
        let hi = if hi == OPEN { OPEN } else { hi / unit };
        Self { unit, lo, hi, bend: bend * unit, shift: 0, mask: 0 }
    }

    fn top(&self) -> i64 {
        if self.hi < OPEN { self.hi } else { self.lo }
    }

    /// The total in a key.
    pub fn total(&self, key: u128) -> i64 {
        ((key >> self.shift) & self.mask) as i64
    }
}

/// The totals watched together.
#[derive(Debug, Clone, Default)]
pub(super) struct Frame {
    pub dims: Vec<Dim>,
    width: u32,
}

impl Frame {
    /// Adds a total; `false` if the key has no room for it.
    pub fn watch(&mut self, mut dim: Dim) -> bool {
        // One bit to spare, so that the sum of two fields stays within the field.
        let bits = 65 - (dim.top() + 1).unsigned_abs().leading_zeros();
        if self.width + bits > 128 {
            return false;
        }
        dim.shift = self.width;
        dim.mask = (1 << bits) - 1;
        self.width += bits;
        self.dims.push(dim);
        true
    }

    /// Packs totals (in cents or counts). Gives the key and what cutting off takes back
    /// from the multipliers; `None` if a total is too large.
    pub fn pack(&self, totals: impl Iterator<Item = i64>) -> Option<(u128, i64)> {
        let (mut key, mut back) = (0, 0);
        for (dim, total) in self.dims.iter().zip(totals) {
            let mut total = total / dim.unit;
            if total > dim.top() {
                if dim.hi < OPEN {
                    return None;
                }
                back += (total - dim.lo) * dim.bend;
                total = dim.lo;
            }
            key |= u128::from(total.unsigned_abs()) << dim.shift;
        }
        Some((key, back))
    }

    /// The sum of two keys, cut off; as [`Frame::pack`].
    fn add(&self, a: u128, b: u128) -> Option<(u128, i64)> {
        let (mut key, mut back) = (a + b, 0);
        for dim in &self.dims {
            let total = dim.total(key);
            if total > dim.top() {
                if dim.hi < OPEN {
                    return None;
                }
                let over = total - dim.lo;
                back += over * dim.bend;
                key -= u128::from(over.unsigned_abs()) << dim.shift;
            }
        }
        Some((key, back))
    }

    /// Whether a total at its cut-off stands for any larger one.
    pub fn cut_off(dim: &Dim, total: i64) -> bool {
        dim.hi == OPEN && total >= dim.lo
    }

    /// Whether every least total is reached, from the given dimension on.
    pub fn reached(&self, key: u128, from: usize) -> bool {
        self.dims[from..].iter().all(|dim| dim.total(key) >= dim.lo)
    }

    /// The part of a key that belongs to the first dimensions.
    pub fn head(&self, key: u128, dims: usize) -> u128 {
        match self.dims.get(dims) {
            Some(dim) => key & ((1 << dim.shift) - 1),
            None => key,
        }
    }

    /// Whether more of every total is never worse.
    fn one_sided(&self) -> bool {
        self.dims.iter().all(|dim| dim.hi == OPEN)
    }
}

/// A partial plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Label {
    pub key: u128,
    pub cents: i64,
    pub rest: Rest,
    /// By how much its bound exceeds the least bound, in parts of the scale.
    pub over: i64,
    /// The label of the stage before.
    pub parent: u32,
    /// The option taken.
    pub option: u32,
}

impl Label {
    /// Nothing bought yet.
    pub const START: Self = Self {
        key: 0,
        cents: 0,
        rest: Rest { letters: 0, units: 0, place: 0 },
        over: 0,
        parent: 0,
        option: 0,
    };
}

/// One choice at a stage.
#[derive(Debug, Clone, Copy)]
pub(super) struct Choice {
    pub key: u128,
    pub cents: i64,
    pub rest: Rest,
    pub over: i64,
}

/// What the labels of a stage may not exceed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// Excess of the bound, in parts of the scale.
    pub over: i64,
    /// Cents, after what the stages to come cost at least.
    pub cents: i64,
    /// Number of labels.
    pub labels: usize,
}

/// The labels after one more stage. Choices must ascend by `over`. Every label made is taken
/// off `effort`; `None` if there are more than there is room for, or no effort is left.
pub(super) fn advance(
    frame: &Frame,
    labels: &[Label],
    choices: &[Choice],
    room: Room,
    effort: &mut i64,
) -> Option<Vec<Label>> {
    let mut next = Gathering::new(labels.len());
    for (parent, label) in labels.iter().enumerate() {
        for (option, choice) in choices.iter().enumerate() {
            if label.over + choice.over > room.over {
                break;
            }
            let cents = label.cents + choice.cents;
            if cents > room.cents {
                continue;
            }
            let Some((key, back)) = frame.add(label.key, choice.key) else { continue };
            let over = label.over + choice.over + back;
            if over > room.over {
                continue;
            }
            let rest = label.rest + choice.rest;
            next.take(Label { key, cents, rest, over, parent: parent as u32, option: option as u32 });
            *effort -= 1;
        }
        if next.labels.len() > room.labels {
            next.thin(frame);
            if next.labels.len() > room.labels {
                return None;
            }
        }
        if *effort < 0 {
            return None;
        }
    }
    next.thin(frame);
    Some(next.labels)
}

/// Labels, the best per key, found again by an open table of places.
struct Gathering {
    labels: Vec<Label>,
    /// Places plus one; 0 is free. The size is a power of two.
    slots: Vec<u32>,
}

impl Gathering {
    fn new(expected: usize) -> Self {
        let slots = vec![0; (4 * expected + 16).next_power_of_two()];
        Self { labels: Vec::with_capacity(expected), slots }
    }

    fn slot(&self, key: u128) -> usize {
        let folded = (key as u64) ^ ((key >> 64) as u64).rotate_left(23);
        let mixed = folded.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let mask = self.slots.len() - 1;
        let mut at = (mixed >> 32) as usize & mask;
        while self.slots[at] != 0 && self.labels[self.slots[at] as usize - 1].key != key {
            at = (at + 1) & mask;
        }
        at
    }

    /// Keeps the label unless one of its key is worth no more.
    fn take(&mut self, label: Label) {
        let at = self.slot(label.key);
        match self.slots[at] {
            0 => {
                self.labels.push(label);
                self.slots[at] = self.labels.len() as u32;
                if 2 * self.labels.len() > self.slots.len() {
                    self.index(4 * self.labels.len());
                }
            }
            place => {
                let held = &mut self.labels[place as usize - 1];
                if (label.cents, label.rest) < (held.cents, held.rest) {
                    *held = label;
                }
            }
        }
    }

    fn index(&mut self, size: usize) {
        self.slots = vec![0; size.next_power_of_two()];
        for place in 0..self.labels.len() {
            let at = self.slot(self.labels[place].key);
            self.slots[at] = place as u32 + 1;
        }
    }

    /// Drops what a single one-sided total shows to be worse.
    fn thin(&mut self, frame: &Frame) {
        if frame.dims.len() == 1 && frame.one_sided() {
            tidy(frame, &mut self.labels);
            self.index(4 * self.labels.len() + 16);
        }
    }
}

/// Keeps the best label per key, and with a single one-sided total the best per total.
pub(super) fn tidy(frame: &Frame, labels: &mut Vec<Label>) {
    labels.sort_unstable_by_key(|l| (std::cmp::Reverse(l.key), l.cents, l.rest, l.parent, l.option));
    labels.dedup_by_key(|label| label.key);
    if frame.dims.len() == 1 && frame.one_sided() {
        let mut best = None;
        labels.retain(|label| {
            let worth = (label.cents, label.rest);
            let better = best.is_none_or(|least| worth < least);
            if better {
                best = Some(worth);
            }
            better
        });
    }
}
