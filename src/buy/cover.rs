//! The cheapest way to get at least so many of one glyph from pieces and packs.
//!
//! This is the unbounded covering knapsack, solved by a table: `best[r]`, the best [`Score`]
//! for at least `r` letters, is the best over the last unit bought. Scores add up and compare
//! in the order of the tie rule, so the table settles ties as well as cost.
//!
//! The table stays small however many letters are needed. Let `n` be the size of the unit that
//! is cheapest per letter (the largest of equals). Among any `n` other units some have a total
//! size that `n` divides (the pigeonhole principle on running totals), and units of size `n` in
//! their place give as many letters for no more money, and for no more units at equal money. So
//! some best cover has fewer than `n` other units, and all letters beyond `(n - 1)` times the
//! largest size can be taken in units of size `n` without another look.

use std::ops::Add;

/// What is made small: cost first, then letters bought, then units.
///
/// Adding scores keeps their order, so the best whole is made of best parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Score {
    /// Cost in whole cents.
    pub cents: i64,
    /// Letters bought.
    pub letters: u64,
    /// Units bought.
    pub units: u64,
}

impl Score {
    /// This score so many times.
    pub fn times(self, count: u64) -> Self {
        let cents = i64::try_from(count).map_or(i64::MAX, |count| self.cents.saturating_mul(count));
        Self { cents, letters: self.letters.saturating_mul(count), units: self.units.saturating_mul(count) }
    }
}

impl Add for Score {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            cents: self.cents.saturating_add(other.cents),
            letters: self.letters.saturating_add(other.letters),
            units: self.units.saturating_add(other.units),
        }
    }
}

/// A piece or pack: `size` letters of one glyph for `cents`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Unit {
    /// The offer's place in the price list.
    pub offer: usize,
    /// Letters in it, at least one.
    pub size: u32,
    /// Its price.
    pub cents: i64,
}

impl Unit {
    fn score(self) -> Score {
        Score { cents: self.cents, letters: u64::from(self.size), units: 1 }
    }
}

/// The covers of every number of letters with the same units.
pub(super) struct Covers {
    units: Vec<Unit>,
    /// `best[r]` for `r` up to the bulk limit; `last[r]` is the unit bought last.
    best: Vec<Score>,
    last: Vec<usize>,
    bulk: usize,
}

impl Covers {
    /// Tables for these units, in the order of the price list; `None` without any unit.
    pub fn new(units: Vec<Unit>, most: u32) -> Option<Self> {
        let bulk = cheapest_per_letter(&units)?;
        let largest = units.iter().map(|unit| unit.size).max()?;
        let limit = u64::from(units[bulk].size - 1) * u64::from(largest) + u64::from(units[bulk].size);
        let limit = limit.min(u64::from(most));
        let mut covers = Self { units, best: vec![Score::default()], last: vec![0], bulk };
        for r in 1..=limit {
            covers.extend_to(usize::try_from(r).ok()?);
        }
        Some(covers)
    }

    fn extend_to(&mut self, r: usize) {
        let with = |unit: &Unit| unit.score() + self.best[r.saturating_sub(unit.size as usize)];
        let scored = self.units.iter().enumerate().map(|(i, unit)| (with(unit), i));
        if let Some((score, unit)) = scored.min() {
            self.best.push(score);
            self.last.push(unit);
        }
    }

    /// How many bulk units can be taken before the table is needed.
    fn bulk_units(&self, letters: u32) -> u64 {
        let beyond = u64::from(letters).saturating_sub(self.best.len() as u64 - 1);
        beyond.div_ceil(u64::from(self.units[self.bulk].size))
    }

    fn rest(&self, letters: u32) -> usize {
        let taken = self.bulk_units(letters) * u64::from(self.units[self.bulk].size);
        usize::try_from(u64::from(letters).saturating_sub(taken)).unwrap_or(0)
    }

    /// The best score for at least so many letters.
    pub fn score(&self, letters: u32) -> Score {
        self.best[self.rest(letters)] + self.units[self.bulk].score().times(self.bulk_units(letters))
    }

    /// The units of the best cover: how many of each, in the order of the units.
    pub fn choice(&self, letters: u32) -> Vec<(Unit, u64)> {
        let mut counts = vec![0_u64; self.units.len()];
        counts[self.bulk] += self.bulk_units(letters);
        let mut rest = self.rest(letters);
        while rest > 0 {
            let unit = self.last[rest];
            counts[unit] += 1;
            rest = rest.saturating_sub(self.units[unit].size as usize);
        }
        self.units.iter().copied().zip(counts).filter(|(_, count)| *count > 0).collect()
    }

    /// A price per letter, as cents over letters, that no cover undercuts.
    pub fn least_per_letter(&self) -> (i64, u32) {
        (self.units[self.bulk].cents, self.units[self.bulk].size)
    }
}

/// The unit that costs least per letter; of equals the largest, then the first.
fn cheapest_per_letter(units: &[Unit]) -> Option<usize> {
    let dearer = |a: &Unit, b: &Unit| {
        let left = i128::from(a.cents) * i128::from(b.size);
        let right = i128::from(b.cents) * i128::from(a.size);
        left.cmp(&right).then(b.size.cmp(&a.size))
    };
    (0..units.len()).min_by(|&a, &b| dearer(&units[a], &units[b]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn units(list: &[(u32, i64)]) -> Vec<Unit> {
        list.iter().enumerate().map(|(offer, &(size, cents))| Unit { offer, size, cents }).collect()
    }

    /// The best score by trying every count of every unit.
    fn by_trial(units: &[Unit], letters: u32) -> Score {
        let Some((first, rest)) = units.split_first() else {
            return if letters == 0 {
                Score::default()
            } else {
                Score { cents: i64::MAX, letters: 0, units: 0 }
            };
        };
        let with = |n: u32| {
            let left = letters.saturating_sub(n * first.size);
            first.score().times(u64::from(n)) + by_trial(rest, left)
        };
        (0..=letters.div_ceil(first.size)).map(with).min().unwrap()
    }

    #[test]
    fn greedy_traps_are_avoided() {
        let covers = Covers::new(units(&[(1, 10), (3, 10), (4, 10)]), 6).unwrap();
        assert_eq!(covers.score(6).units, 2);
    }

    #[test]
    fn free_letters_cost_nothing() {
        let covers = Covers::new(units(&[(1, 0), (5, 0)]), 7).unwrap();
        assert_eq!(covers.score(7), Score { cents: 0, letters: 7, units: 3 });
    }

    #[test]
    fn a_huge_need_is_as_quick_as_a_small_one() {
        let covers = Covers::new(units(&[(1, 100), (7, 610)]), u32::MAX).unwrap();
        assert_eq!(covers.score(7_000_001).cents, 610 * 1_000_000 + 100);
    }

    proptest! {
        #[test]
        fn the_table_agrees_with_trying_everything(
            list in prop::collection::vec((1_u32..7, 0_i64..30), 1..4),
            letters in 0_u32..26,
        ) {
            let units = units(&list);
            let covers = Covers::new(units.clone(), 40).unwrap();
            prop_assert_eq!(covers.score(letters), by_trial(&units, letters));
        }

        #[test]
        fn taking_bulk_first_loses_nothing(
            list in prop::collection::vec((1_u32..9, 1_i64..40), 1..4),
            letters in 0_u32..400,
        ) {
            let short = Covers::new(units(&list), u32::MAX).unwrap();
            let unit_count: u64 = short.choice(letters).iter().map(|(_, n)| n).sum();
            prop_assert_eq!(short.score(letters).units, unit_count);
            let mut long = Covers::new(units(&list), 1).unwrap();
            for r in 2..=400 {
                long.extend_to(r);
            }
            prop_assert_eq!(short.score(letters), long.score(letters));
        }
    }
}
