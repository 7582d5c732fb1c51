//! Which of the waiting orders the shelf can make today: the most of them, or the most profit.
//!
//! Owns an exact integer programme: each order is made whole or not at all, and no piece is used
//! more often than it lies there. The search splits on one order at a time and gives up a branch
//! when its bound shows that nothing better is in it. The bound puts a price on every scarce piece:
//! no choice can earn more than the orders that pay for their pieces, and the pieces on the shelf.
//! All figures are whole numbers, the prices in [`FINE`] parts, so the proof is exact. Knows
//! nothing of an order but what it takes and earns.

use crate::book::goods::{Goods, Item};
use std::collections::BTreeMap;

/// What the choice is to make most of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Most {
    /// Orders; of equal numbers the more profit.
    Orders,
    /// Profit; of equal profits the more orders.
    Profit,
}

/// An order that waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiting {
    /// What it takes from the shelf.
    pub need: Goods,
    /// What it earns, in minor units; below nothing where it loses money.
    pub profit: i64,
}

/// The best choice.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choice {
    /// The orders that are made, by their place in the list.
    pub made: Vec<usize>,
    /// Whether it is proved that nothing is better.
    pub is_proved: bool,
    /// Pieces that hold orders back, those that would help most first.
    pub bottlenecks: Vec<Bottleneck>,
}

/// A piece of which more would let more orders be made, or better ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bottleneck {
    /// The piece.
    pub item: Item,
    /// How many more all waiting orders together take than lie there.
    pub short: u32,
    /// How many more orders could be made with all that are short of this piece alone.
    pub orders: i64,
    /// How much more profit that would be, in minor units.
    pub profit: i64,
}

/// The most work of one search, in branches looked at; far more than a booth's orders take.
const WORK: u32 = 300_000;
/// Into how many parts the price of a piece is divided.
const FINE: i64 = 1 << 12;

/// Chooses the orders, and says what holds the others back.
///
/// ```
/// use lettertally::booth::selection::{Most, Waiting, choose};
/// use lettertally::{book::goods::Goods, glyph::GlyphCounts, lists::demo};
/// let family = demo::lists().families().remove(0);
/// let goods = |text| {
///     let mut goods = Goods::default();
///     goods.add_letters(&family, &GlyphCounts::of_text(text), 1);
///     goods
/// };
/// let waiting = |text, profit| Waiting { need: goods(text), profit };
/// let orders = [waiting("ANNA", 900), waiting("AL", 500), waiting("AN", 300)];
/// let choice = choose(&orders, &goods("AANNL"), Most::Orders);
/// assert_eq!(choice.made, [1, 2]);
/// assert_eq!(choose(&orders, &goods("AANNL"), Most::Profit).made, [0]);
/// ```
pub fn choose(orders: &[Waiting], shelf: &Goods, most: Most) -> Choice {
    let best = best(orders, shelf, most);
    let measure = |made: &[usize]| (made.len(), made.iter().map(|&at| orders[at].profit).sum::<i64>());
    let before = measure(&best.made);
    let mut bottlenecks = Vec::new();
    let scarce = scarce(orders, shelf);
    for (item, short) in scarce {
        let mut richer = shelf.clone();
        richer.add(item.clone(), short);
        let after = measure(&self::best(orders, &richer, most).made);
        let gained = (after.0 as i64 - before.0 as i64, after.1.saturating_sub(before.1));
        if after != before {
            bottlenecks.push(Bottleneck { item, short, orders: gained.0, profit: gained.1 });
        }
    }
    match most {
        Most::Orders => bottlenecks.sort_by_key(|found| std::cmp::Reverse((found.orders, found.profit))),
        Most::Profit => bottlenecks.sort_by_key(|found| std::cmp::Reverse((found.profit, found.orders))),
    }
    Choice { bottlenecks, ..best }
}

/// The pieces of which all orders together take more than lie there, and how many more.
fn scarce(orders: &[Waiting], shelf: &Goods) -> BTreeMap<Item, u32> {
    let mut all = Goods::default();
    orders.iter().for_each(|order| all.add_all(&order.need, 1));
    all.less(shelf).iter().map(|(item, count)| (item.clone(), count)).collect()
}

/// The best choice without a word on what holds back.
fn best(orders: &[Waiting], shelf: &Goods, most: Most) -> Choice {
    let possible = |order: &Waiting| order.need.less(shelf).is_empty();
    let scarce: Vec<Item> = scarce(orders, shelf).into_keys().collect();
    let room: Vec<i64> = scarce.iter().map(|item| i64::from(shelf.get(item))).collect();
    let value = worth(orders, most);
    let mut made: Vec<usize> = Vec::new();
    let mut asked: Vec<Asked> = Vec::new();
    for (at, order) in orders.iter().enumerate().filter(|(at, order)| value[*at] > 0 && possible(order)) {
        let take: Vec<i64> = scarce.iter().map(|item| i64::from(order.need.get(item))).collect();
        if take.iter().all(|&count| count == 0) {
            made.push(at);
        } else {
            asked.push(Asked { at, value: value[at], take });
        }
    }
    let mut search = Search::new(asked, room);
    search.run();
    made.extend(search.best.iter().map(|&place| search.asked[place].at));
    made.sort_unstable();
    Choice { made, is_proved: search.is_proved(), bottlenecks: Vec::new() }
}

/// One figure for each order by which choices are compared: number and profit, the one that
/// counts first made so large that the other decides only between equals.
fn worth(orders: &[Waiting], most: Most) -> Vec<i64> {
    // Figures of a booth are far below this; whatever is beyond counts as this much.
    const LARGEST: i64 = 100_000_000;
    let profit = |order: &Waiting| order.profit.clamp(-LARGEST, LARGEST);
    let spread: i64 = orders.iter().map(|order| profit(order).abs()).sum::<i64>() + 1;
    let number = i64::try_from(orders.len()).unwrap_or(i64::MAX) + 1;
    let value = |order: &Waiting| match most {
        Most::Orders => spread.saturating_add(profit(order)),
        Most::Profit => profit(order).saturating_mul(number).saturating_add(1),
    };
    orders.iter().map(value).collect()
}

/// An order that competes for scarce pieces.
struct Asked {
    at: usize,
    value: i64,
    take: Vec<i64>,
}

struct Search {
    /// Those that earn most for what they take first.
    asked: Vec<Asked>,
    room: Vec<i64>,
    /// The price of each piece, in parts.
    price: Vec<i64>,
    best: Vec<usize>,
    best_value: i64,
    chosen: Vec<usize>,
    work: u32,
}

impl Search {
    fn new(asked: Vec<Asked>, room: Vec<i64>) -> Self {
        let (best, chosen) = (Vec::new(), Vec::new());
        let price = vec![0; room.len()];
        let mut search = Self { asked, room, price, best, best_value: 0, chosen, work: WORK };
        search.find_prices();
        let order = |asked: &Asked| std::cmp::Reverse(margin(asked, &search.price));
        let mut sorted = std::mem::take(&mut search.asked);
        sorted.sort_by_cached_key(order);
        search.asked = sorted;
        search
    }

    fn is_proved(&self) -> bool {
        self.work > 0
    }

    fn run(&mut self) {
        let room = self.room.clone();
        self.branch(0, 0, room);
    }

    /// Prices that make the bound small: each goes up where more of its piece is asked for at
    /// these prices than lies there, and down where less is, by smaller and smaller steps.
    fn find_prices(&mut self) {
        let total: i64 = self.asked.iter().map(|asked| asked.value).max().unwrap_or(0);
        let mut step = total.saturating_mul(FINE) / 4;
        let mut best = (self.bound_at(&self.price), self.price.clone());
        let mut price = self.price.clone();
        for round in 0..240_u32 {
            let mut asked_for = vec![0_i64; price.len()];
            for asked in self.asked.iter().filter(|asked| margin(asked, &price) > 0) {
                asked.take.iter().zip(&mut asked_for).for_each(|(take, sum)| *sum += take);
            }
            for ((price, asked_for), room) in price.iter_mut().zip(&asked_for).zip(&self.room) {
                let excess = asked_for - room;
                let size = excess.abs().max(1).saturating_add(room.abs());
                *price = price.saturating_add(step.saturating_mul(excess) / size.max(1)).max(0);
            }
            let bound = self.bound_at(&price);
            if bound < best.0 {
                best = (bound, price.clone());
            } else if round % 4 == 3 {
                step = step * 4 / 5;
                price.clone_from(&best.1);
            }
        }
        self.price = best.1;
    }

    fn bound_at(&self, price: &[i64]) -> i128 {
        let pieces: i128 =
            price.iter().zip(&self.room).map(|(price, room)| i128::from(*price) * i128::from(*room)).sum();
        let orders: i128 = self.asked.iter().map(|asked| margin(asked, price).max(0)).sum();
        pieces + orders
    }

    /// No choice among the orders from this place on is worth more than this.
    fn bound(&self, from: usize, room: &[i64]) -> i64 {
        let pieces: i128 =
            self.price.iter().zip(room).map(|(price, room)| i128::from(*price) * i128::from(*room)).sum();
        let mut orders: i128 = 0;
        let mut plain: i64 = 0;
        for asked in &self.asked[from..] {
            if asked.take.iter().zip(room).all(|(take, room)| take <= room) {
                orders += margin(asked, &self.price).max(0);
                plain = plain.saturating_add(asked.value);
            }
        }
        let bound = (pieces + orders) / i128::from(FINE);
        i64::try_from(bound).unwrap_or(i64::MAX).min(plain)
    }

    fn branch(&mut self, from: usize, value: i64, room: Vec<i64>) {
        if value > self.best_value {
            self.best_value = value;
            self.best.clone_from(&self.chosen);
        }
        if self.work == 0 || from == self.asked.len() {
            return;
        }
        self.work -= 1;
        if value.saturating_add(self.bound(from, &room)) <= self.best_value {
            return;
        }
        let asked = &self.asked[from];
        let (fits, worth) = (asked.take.iter().zip(&room).all(|(take, room)| take <= room), asked.value);
        if fits {
            let rest = room.iter().zip(&asked.take).map(|(room, take)| room - take).collect();
            self.chosen.push(from);
            self.branch(from + 1, value.saturating_add(worth), rest);
            self.chosen.pop();
        }
        self.branch(from + 1, value, room);
    }
}

/// What is left of an order's worth after paying for its pieces, in parts.
fn margin(asked: &Asked, price: &[i64]) -> i128 {
    let pays: i128 =
        asked.take.iter().zip(price).map(|(take, price)| i128::from(*take) * i128::from(*price)).sum();
    i128::from(asked.value) * i128::from(FINE) - pays
}
