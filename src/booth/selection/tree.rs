//! The search behind the choice: items that are worth something and take of scarce goods, each
//! taken whole or not at all.
//!
//! It goes from the most promising place on down to a whole choice, keeps what it leaves aside
//! with the bound of each, and goes on with whatever of that could still be best. So at any time
//! the largest of those bounds says how much better another choice could be at the very most.
//!
//! The bound puts a price on every scarce good: no choice can be worth more than the goods at
//! their prices and what each item is worth beyond what it pays. The prices are those of the same
//! choice with items taken in part (`relaxed`). All figures here are whole numbers, prices in
//! [`FINE`] parts, so any prices give a true bound and the proof is exact.

use super::relaxed::{Relaxed, relaxed};
use std::collections::BTreeMap;

/// Into how many parts the price of a good is divided.
pub(super) const FINE: i64 = 1 << 10;
/// From so many places left aside on, the search goes on with the least promising, which soon end:
/// a phone's memory is no place for millions of them. One takes some 300 bytes.
const ASIDE: usize = 40_000;

/// Something that is taken whole or not at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Asked {
    /// Its worth, above nothing.
    pub value: i64,
    /// The goods that it takes, and how many of each.
    pub take: Vec<(usize, i64)>,
}

/// A place in the search: what is taken, what is still open.
#[derive(Clone)]
struct Place {
    value: i64,
    taken: Vec<u32>,
    open: Vec<u32>,
}

/// The search.
pub(super) struct Tree {
    asked: Vec<Asked>,
    room: Vec<i64>,
    /// By the bound of their worth, in parts, and a number of their own.
    aside: BTreeMap<(i64, u64), Place>,
    /// Where it goes on next, and the bound of that, in parts.
    here: Option<(i64, Place)>,
    serial: u64,
    best: Vec<u32>,
    best_value: i64,
}

impl Tree {
    /// A search among these items, with so much of each good.
    pub fn new(asked: Vec<Asked>, room: Vec<i64>) -> Self {
        let open: Vec<u32> = (0..).take(asked.len()).collect();
        let most = asked.iter().map(|asked| asked.value).fold(0, i64::saturating_add);
        let start = Place { value: 0, taken: Vec::new(), open };
        let here = (most > 0).then(|| (most.saturating_mul(FINE), start));
        Self { asked, room, aside: BTreeMap::new(), here, serial: 0, best: Vec::new(), best_value: 0 }
    }

    /// Whether nothing better is left to find.
    pub fn is_proved(&self) -> bool {
        self.here.is_none() && self.aside.is_empty()
    }

    /// The best choice so far, by the items' places in the list.
    pub fn best(&self) -> impl Iterator<Item = usize> + '_ {
        self.best.iter().map(|&at| at as usize)
    }

    /// By how much another choice could be worth more, at the very most.
    pub fn gap(&self) -> i64 {
        let aside = self.aside.last_key_value().map(|((bound, _), _)| *bound);
        let here = self.here.as_ref().map(|(bound, _)| *bound);
        let most = aside.max(here).map_or(self.best_value, |bound| bound.div_euclid(FINE));
        (most - self.best_value).max(0)
    }

    /// Goes on until it has looked at so many more places, or is done; what is left of that number.
    pub fn work(&mut self, mut places: u32) -> u32 {
        while places > 0 {
            let Some(place) = self.next() else { break };
            places -= 1;
            self.here = self.look_at(place);
        }
        places
    }

    fn next(&mut self) -> Option<Place> {
        if let Some((_, place)) = self.here.take() {
            return Some(place);
        }
        let next = if self.aside.len() < ASIDE { self.aside.pop_last() } else { self.aside.pop_first() };
        next.map(|(_, place)| place)
    }

    /// Looks at a place: one step on towards a whole choice, with the bound of that, or nothing
    /// where nothing better is to be had from here. What else is open is left aside.
    fn look_at(&mut self, mut place: Place) -> Option<(i64, Place)> {
        let mut room = self.room.clone();
        place.taken.iter().for_each(|&at| pay(&self.asked[at as usize], &mut room));
        place.open.retain(|&at| fits(&self.asked[at as usize], &room));
        if place.value > self.best_value {
            self.found(place.taken.clone(), place.value);
        }
        let open: Vec<&Asked> = place.open.iter().map(|&at| &self.asked[at as usize]).collect();
        let Relaxed { prices, shares } = relaxed(&open, &room);
        let margins: Vec<i64> = open.iter().map(|asked| margin(asked, &prices)).collect();
        let bound = bound(&margins, &prices, &room);
        self.fill_up(&place, &room, &shares, &margins);
        // What must be gained to beat the best, in parts: one whole unit more.
        let wanted = (self.best_value - place.value + 1) * FINE;
        if bound < wanted {
            return None;
        }
        let of_all = bound + place.value * FINE;
        // What would bring the bound below that if it were left cannot be left out of better, and
        // what would if it were taken cannot be part of it.
        let (mut sure, mut unsure) = (Vec::new(), Vec::new());
        for ((&at, &margin), share) in place.open.iter().zip(&margins).zip(shares) {
            if margin > 0 && bound - margin < wanted {
                sure.push(at);
            } else if margin >= 0 || bound + margin >= wanted {
                unsure.push((at, margin, share));
            }
        }
        place.open = unsure.iter().map(|(at, ..)| *at).collect();
        if !sure.is_empty() {
            let all_fit = sure.iter().all(|&at| self.take(at, &mut place, &mut room));
            return all_fit.then_some((of_all, place));
        }
        // The item that is most nearly taken in half.
        let &(at, margin, _) = unsure.iter().min_by_key(|(.., share)| share.abs_diff(500))?;
        place.open.retain(|&other| other != at);
        self.put_aside(of_all - margin.max(0), place.clone());
        self.take(at, &mut place, &mut room);
        Some((of_all, place))
    }

    /// Takes an item; whether there was room for it.
    fn take(&self, at: u32, place: &mut Place, room: &mut [i64]) -> bool {
        let asked = &self.asked[at as usize];
        let is_room = fits(asked, room);
        if is_room {
            pay(asked, room);
            place.value = place.value.saturating_add(asked.value);
            place.taken.push(at);
        }
        is_room
    }

    /// A whole choice near the one in parts: what it takes most of first, then what is worth most
    /// beyond what it pays.
    fn fill_up(&mut self, place: &Place, room: &[i64], shares: &[u16], margins: &[i64]) {
        let mut order: Vec<usize> = (0..place.open.len()).collect();
        order.sort_by_key(|&at| std::cmp::Reverse((shares[at], margins[at])));
        let (mut room, mut filled) = (room.to_vec(), place.clone());
        for at in order {
            self.take(place.open[at], &mut filled, &mut room);
        }
        if filled.value > self.best_value {
            self.found(filled.taken, filled.value);
        }
    }

    fn put_aside(&mut self, bound: i64, place: Place) {
        if bound >= (self.best_value + 1) * FINE {
            self.serial += 1;
            self.aside.insert((bound, self.serial), place);
        }
    }

    fn found(&mut self, taken: Vec<u32>, value: i64) {
        (self.best, self.best_value) = (taken, value);
        // What cannot beat it any more is done with.
        self.aside = self.aside.split_off(&((value + 1) * FINE, 0));
    }
}

/// No choice among items with these margins is worth more than this, in parts.
fn bound(margins: &[i64], prices: &[i64], room: &[i64]) -> i64 {
    let goods = prices.iter().zip(room).map(|(price, room)| price.saturating_mul(*room));
    let gains = margins.iter().map(|margin| (*margin).max(0));
    goods.chain(gains).fold(0, i64::saturating_add)
}

fn fits(asked: &Asked, room: &[i64]) -> bool {
    asked.take.iter().all(|&(good, count)| count <= room[good])
}

fn pay(asked: &Asked, room: &mut [i64]) {
    asked.take.iter().for_each(|&(good, count)| room[good] -= count);
}

/// What is left of an item's worth after paying for its goods, in parts.
fn margin(asked: &Asked, prices: &[i64]) -> i64 {
    let pays = asked.take.iter().map(|&(good, count)| count.saturating_mul(prices[good]));
    asked.value * FINE - pays.fold(0, i64::saturating_add)
}
