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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    /// Cents by fives, 12 of them at least, with a multiplier of 2; and a count of up to 6.
    fn two() -> Frame {
        let mut frame = Frame::default();
        assert!(frame.watch(Dim::new(5, 12, OPEN, 2)) && frame.watch(Dim::new(1, 0, 6, 0)));
        frame
    }

    /// The totals in a key, and what was taken back.
    fn shown(frame: &Frame, packed: Option<(u128, i64)>) -> Option<(Vec<i64>, i64)> {
        packed.map(|(key, back)| (frame.dims.iter().map(|dim| dim.total(key)).collect(), back))
    }

    #[test]
    fn totals_are_packed_and_cut_off_where_more_changes_nothing() {
        let frame = two();
        let packed = |totals: [i64; 2]| frame.pack(totals.into_iter());
        assert_eq!(shown(&frame, packed([10, 4])), Some((vec![2, 4], 0)));
        // 12 cents are three fives; of eight, five are too many, at 10 each.
        assert_eq!(shown(&frame, packed([40, 6])), Some((vec![3, 6], 50)));
        assert_eq!(packed([10, 7]), None);
        let sum = |a: [i64; 2], b: [i64; 2]| frame.add(packed(a).unwrap().0, packed(b).unwrap().0);
        assert_eq!(shown(&frame, sum([5, 2], [10, 4])), Some((vec![3, 6], 0)));
        assert_eq!(shown(&frame, sum([15, 1], [10, 1])), Some((vec![3, 2], 20)));
        assert_eq!(sum([5, 4], [5, 3]), None);
    }

    #[test]
    fn a_key_tells_whether_the_least_totals_are_reached() {
        let frame = two();
        let key = |totals: [i64; 2]| frame.pack(totals.into_iter()).unwrap().0;
        assert!(frame.reached(key([15, 0]), 0) && frame.reached(key([20, 3]), 0));
        assert!(!frame.reached(key([10, 6]), 0) && frame.reached(key([10, 6]), 1));
        assert_eq!(frame.head(key([10, 6]), 1), key([10, 0]));
        assert_eq!(frame.head(key([10, 6]), 2), key([10, 6]));
        assert_eq!(frame.head(key([10, 6]), 0), 0);
        let [open, closed] = [&frame.dims[0], &frame.dims[1]];
        assert!(Frame::cut_off(open, 3) && !Frame::cut_off(open, 2) && !Frame::cut_off(closed, 6));
        assert!(!frame.one_sided());
    }

    #[test]
    fn as_many_totals_are_watched_as_the_key_has_room_for() {
        let mut frame = Frame::default();
        let largest = |hi: i64| Dim::new(1, 0, hi, 0);
        // 41 bits and one to spare, three times; then one and one to spare.
        assert!((0..3).all(|_| frame.watch(largest((1 << 41) - 2))));
        assert!(!frame.watch(largest(1)), "three bits");
        assert!(frame.watch(largest(0)), "two bits");
        assert!(!frame.watch(largest(0)));
        let all = [(1 << 41) - 2, (1 << 41) - 2, (1 << 41) - 2, 0];
        assert_eq!(shown(&frame, frame.pack(all.into_iter())), Some((all.to_vec(), 0)));
    }

    fn label(key: u128, cents: i64, units: u32) -> Label {
        Label { key, cents, rest: Rest { units, ..Rest::default() }, ..Label::START }
    }

    #[test]
    fn of_one_key_the_best_label_stays_and_with_one_open_total_none_that_reaches_less_for_more() {
        let kept = |frame: &Frame| {
            let mut labels =
                vec![label(1, 9, 1), label(3, 8, 2), label(2, 8, 1), label(3, 8, 1), label(0, 8, 1)];
            tidy(frame, &mut labels);
            labels.iter().map(|l| (l.key, l.cents, l.rest.units)).collect::<Vec<_>>()
        };
        assert_eq!(kept(&two()), [(3, 8, 1), (2, 8, 1), (1, 9, 1), (0, 8, 1)]);
        let mut open = Frame::default();
        assert!(open.watch(Dim::new(1, 3, OPEN, 0)));
        assert_eq!(kept(&open), [(3, 8, 1)]);
    }

    #[test]
    fn a_label_is_found_again_however_many_there_are() {
        let mut gathering = Gathering::new(1);
        for cents in [9, 8, 10] {
            (0..300).for_each(|key| gathering.take(label(key << 60, cents, 1)));
        }
        assert_eq!(gathering.labels.len(), 300);
        assert!(gathering.labels.iter().all(|label| label.cents == 8));
    }

    #[test]
    fn more_labels_than_there_is_room_for_are_given_up() {
        let frame = two();
        let choice = |count| {
            let key = frame.pack([0, count].into_iter()).unwrap().0;
            Choice { key, cents: count, rest: Rest::default(), over: count }
        };
        let choices: Vec<Choice> = (0..6).map(choice).collect();
        let with = |labels, mut effort: i64| {
            let room = Room { over: 100, cents: 100, labels };
            let next = advance(&frame, &[Label::START], &choices, room, &mut effort);
            (next.map(|next| next.len()), effort)
        };
        assert_eq!(with(6, 6), (Some(6), 0));
        assert_eq!(with(5, 6), (None, 0));
        assert_eq!(with(3, 6), (None, 0));
        assert_eq!(with(6, 5), (None, -1));
    }

    /// A choice as (fives, count, cents, units).
    type Raw = (i64, i64, i64, u32);

    /// Choices by what they exceed the stage's least bent cost, four parts to a cent.
    fn stage(frame: &Frame, raw: &[Raw]) -> Vec<(Raw, Choice)> {
        let bent = |&(fives, _, cents, _): &Raw| 4 * cents - 10 * fives;
        let least = raw.iter().map(bent).min().unwrap();
        let choice = |raw: &Raw| {
            let &(fives, count, cents, units) = raw;
            let (key, back) = frame.pack([5 * fives, count].into_iter())?;
            let rest = Rest { units, ..Rest::default() };
            Some((*raw, Choice { key, cents, rest, over: bent(raw) - least + back }))
        };
        let mut stage: Vec<(Raw, Choice)> = raw.iter().filter_map(choice).collect();
        stage.sort_by_key(|(_, choice)| choice.over);
        stage
    }

    proptest! {
        /// Stage by stage, the best label of each key is the best of all ways to choose.
        #[test]
        fn no_best_plan_of_any_totals_is_lost(
            raw in prop::collection::vec(prop::collection::vec((0_i64..6, 0_i64..4, 0_i64..40, 0_u32..4), 1..7), 1..5),
            over in 0_i64..200,
            cents in 0_i64..120,
        ) {
            let frame = two();
            let stages: Vec<_> = raw.iter().map(|raw| stage(&frame, raw)).collect();
            let room = Room { over, cents, labels: 10_000 };
            let mut labels = vec![Label::START];
            for stage in &stages {
                let choices: Vec<Choice> = stage.iter().map(|(_, choice)| *choice).collect();
                labels = advance(&frame, &labels, &choices, room, &mut 1_000_000).unwrap();
            }
            let found: BTreeMap<u128, (i64, u32)> =
                labels.iter().map(|label| (label.key, (label.cents, label.rest.units))).collect();
            prop_assert_eq!(found.len(), labels.len(), "one label a key");

            let mut all: Vec<(Raw, i64)> = vec![((0, 0, 0, 0), 0)];
            for (stage, raw) in stages.iter().zip(&raw) {
                let least = raw.iter().map(|raw| 4 * raw.2 - 10 * raw.0).min().unwrap();
                let next = all.iter().flat_map(|(sum, bound)| stage.iter().map(move |(raw, _)| {
                    ((sum.0 + raw.0, sum.1 + raw.1, sum.2 + raw.2, sum.3 + raw.3), bound + least)
                }));
                all = next.collect();
            }
            let mut best: BTreeMap<u128, (i64, u32)> = BTreeMap::new();
            for ((fives, count, spent, units), bound) in all {
                let Some((key, _)) = frame.pack([5 * fives, count].into_iter()) else { continue };
                // More fives than are wanted change nothing, and earn nothing.
                let exceeds = 4 * spent - 10 * fives.min(3) - bound;
                if exceeds <= over && spent <= cents {
                    let worth = best.entry(key).or_insert((spent, units));
                    *worth = (*worth).min((spent, units));
                }
            }
            prop_assert_eq!(found, best);
        }
    }
}
