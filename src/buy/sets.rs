//! How many of each assorted set to buy, the rest being covered glyph by glyph.
//!
//! Branch and bound over the numbers of sets, in the order of the price list. A branch is cut
//! when a bound shows that it cannot beat the best found: every letter still needed is valued
//! at the least that pieces and packs ask for it, and all values are scaled down together until
//! no set still open holds more value than its price. No buying can then get the letters for
//! less than their value (weak duality of the covering relaxation), and the bound is rounded up
//! to a whole cent. It works on integers throughout.

use super::Entry;
use super::cover::{Covers, Score, Unit};
use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::{Offer, Way};
use crate::money::Cents;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Values of letters are counted in this part of a cent.
const VALUE_PER_CENT: i128 = 1 << 20;

/// A cheapest cover.
pub(super) struct Found {
    /// What to buy.
    pub entries: Vec<Entry>,
}

impl Found {
    /// What it costs.
    pub fn cost(&self) -> Cents {
        self.entries.iter().map(|entry| entry.cost).sum()
    }
}

/// The cheapest cover of this need from these offers; `None` where some glyph is out of reach.
pub(super) fn cheapest(need: &GlyphCounts, offers: &[&Offer]) -> Option<Found> {
    if need.is_empty() {
        return Some(Found { entries: Vec::new() });
    }
    let mut search = Search::new(need, offers)?;
    let letters = search.needs.clone();
    search.branch(0, &letters, Score::default());
    let numbers = search.best.take().map(|(_, numbers)| numbers)?;
    Some(Found { entries: search.entries(&numbers, offers) })
}

struct Set {
    /// The offer's place in the price list.
    offer: usize,
    /// Letters in it, by the place of the glyph in the need.
    contents: Vec<u32>,
    score: Score,
}

struct Search {
    glyphs: Vec<Glyph>,
    needs: Vec<u32>,
    /// Per glyph, its covers from pieces and packs, if there are any.
    covers: Vec<Option<Rc<Covers>>>,
    sets: Vec<Set>,
    /// `values[i]`: what a letter is worth while the sets from `i` on are still open.
    values: Vec<Vec<i128>>,
    best: Option<(Score, Vec<u32>)>,
    numbers: Vec<u32>,
}

impl Search {
    fn new(need: &GlyphCounts, offers: &[&Offer]) -> Option<Self> {
        let (glyphs, needs): (Vec<Glyph>, Vec<u32>) =
            need.iter().map(|(glyph, count)| (glyph.clone(), count)).unzip();
        if !glyphs.iter().all(|glyph| offers.iter().any(|offer| offer.gives(glyph))) {
            return None;
        }
        let covers = covers(&glyphs, &needs, offers);
        let sets = sets(&glyphs, offers);
        let values = (0..=sets.len()).map(|open| values(&covers, &sets[open..])).collect();
        Some(Self { glyphs, needs, covers, values, best: None, numbers: vec![0; sets.len()], sets })
    }

    /// Tries every number of the set `at` and those after it, most first.
    fn branch(&mut self, at: usize, letters: &[u32], spent: Score) {
        if !self.may_win(at, letters, spent) {
            return;
        }
        let Some(set) = self.sets.get(at) else {
            self.finish(letters, spent);
            return;
        };
        let useful = |(&need, &has): (&u32, &u32)| if has == 0 { 0 } else { need.div_ceil(has) };
        let most = letters.iter().zip(&set.contents).map(useful).max().unwrap_or(0);
        let (contents, score) = (set.contents.clone(), set.score);
        for number in (0..=most).rev() {
            let take = |(need, has): (&u32, &u32)| need.saturating_sub(has.saturating_mul(number));
            let rest: Vec<u32> = letters.iter().zip(&contents).map(take).collect();
            self.numbers[at] = number;
            self.branch(at + 1, &rest, spent + score.times(u64::from(number)));
        }
        self.numbers[at] = 0;
    }

    fn may_win(&self, at: usize, letters: &[u32], spent: Score) -> bool {
        let Some((best, _)) = &self.best else {
            return true;
        };
        let values = letters.iter().zip(&self.values[at]);
        let value: i128 = values.map(|(&count, value)| i128::from(count) * value).sum();
        let least = i128::from(spent.cents) + (value + VALUE_PER_CENT - 1).div_euclid(VALUE_PER_CENT);
        least <= i128::from(best.cents)
    }

    fn finish(&mut self, letters: &[u32], spent: Score) {
        let mut score = spent;
        for (&count, covers) in letters.iter().zip(&self.covers).filter(|(count, _)| **count > 0) {
            match covers {
                Some(covers) => score = score + covers.score(count),
                None => return,
            }
        }
        if self.best.as_ref().is_none_or(|(best, _)| score < *best) {
            self.best = Some((score, self.numbers.clone()));
        }
    }

    fn entries(&self, numbers: &[u32], offers: &[&Offer]) -> Vec<Entry> {
        let mut entries = Vec::new();
        let mut letters = self.needs.clone();
        for (set, &number) in self.sets.iter().zip(numbers) {
            for (need, has) in letters.iter_mut().zip(&set.contents) {
                *need = need.saturating_sub(has.saturating_mul(number));
            }
            push(&mut entries, set.offer, None, u64::from(number), offers);
        }
        for ((glyph, &count), covers) in self.glyphs.iter().zip(&letters).zip(&self.covers) {
            for (unit, number) in covers.iter().flat_map(|covers| covers.choice(count)) {
                push(&mut entries, unit.offer, Some(glyph), number, offers);
            }
        }
        entries.sort_by(|(a, left), (b, right)| a.cmp(b).then(left.glyph.cmp(&right.glyph)));
        entries.into_iter().map(|(_, entry)| entry).collect()
    }
}

fn push(entries: &mut Vec<(usize, Entry)>, at: usize, glyph: Option<&Glyph>, units: u64, offers: &[&Offer]) {
    let (Some(offer), Ok(units)) = (offers.get(at), u32::try_from(units)) else {
        return;
    };
    if units > 0 {
        let cost = offer.price.times(units).unwrap_or(Cents::new(i64::MAX));
        entries.push((at, Entry { offer: offer.id.clone(), glyph: glyph.cloned(), units, cost }));
    }
}

/// The covers of each glyph; glyphs that are offered alike share their tables.
fn covers(glyphs: &[Glyph], needs: &[u32], offers: &[&Offer]) -> Vec<Option<Rc<Covers>>> {
    let most = needs.iter().copied().max().unwrap_or(0);
    let mut shared = BTreeMap::<Vec<Unit>, Option<Rc<Covers>>>::new();
    let tables = glyphs.iter().map(|glyph| {
        let units = units(glyph, offers);
        shared.entry(units.clone()).or_insert_with(|| Covers::new(units, most).map(Rc::new)).clone()
    });
    tables.collect()
}

fn units(glyph: &Glyph, offers: &[&Offer]) -> Vec<Unit> {
    let unit = |(offer, entry): (usize, &&Offer)| {
        let size = match &entry.way {
            Way::Piece { glyphs } if glyphs.contains(glyph) => 1,
            Way::Pack { of, glyphs } if glyphs.contains(glyph) => *of,
            _ => return None,
        };
        (size > 0).then_some(Unit { offer, size, cents: entry.price.minor() })
    };
    offers.iter().enumerate().filter_map(unit).collect()
}

fn sets(glyphs: &[Glyph], offers: &[&Offer]) -> Vec<Set> {
    let set = |(offer, entry): (usize, &&Offer)| match &entry.way {
        Way::Set { contents } => Some(Set {
            offer,
            contents: glyphs.iter().map(|glyph| contents.get(glyph)).collect(),
            score: Score { cents: entry.price.minor(), letters: contents.total(), units: 1 },
        }),
        _ => None,
    };
    let useful = |set: &Set| set.contents.iter().any(|&count| count > 0);
    offers.iter().enumerate().filter_map(set).filter(useful).collect()
}

/// What each letter is worth, so that neither units nor the open sets give value for less.
///
/// A glyph that only sets hold starts at the price of a whole set, and is scaled with the rest.
fn values(covers: &[Option<Rc<Covers>>], open: &[Set]) -> Vec<i128> {
    let dearest = open.iter().map(|set| i128::from(set.score.cents)).max().unwrap_or(0);
    let value = |covers: &Option<Rc<Covers>>| match covers {
        Some(covers) => {
            let (cents, size) = covers.least_per_letter();
            i128::from(cents) * VALUE_PER_CENT / i128::from(size)
        }
        None => dearest * VALUE_PER_CENT,
    };
    let mut values: Vec<i128> = covers.iter().map(value).collect();
    for set in open {
        let price = i128::from(set.score.cents) * VALUE_PER_CENT;
        let held: i128 = values.iter().zip(&set.contents).map(|(v, &n)| v * i128::from(n)).sum();
        if held > price {
            // Only the letters in this set are scaled: that lowers no other letter's value and
            // keeps every set already dealt with within its price.
            let scaled = |(v, &n): (&i128, &u32)| if n > 0 { *v * price / held } else { *v };
            values = values.iter().zip(&set.contents).map(scaled).collect();
        }
    }
    values
}
