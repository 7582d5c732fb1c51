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
    /// Orders; of equal numbers the more profit, as far as a little more search finds it.
    Orders,
    /// Profit.
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
    /// By how much another choice could be better at the very most: orders or minor units of
    /// profit, whichever was asked for; nothing where it is proved.
    pub gap: i64,
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

/// The most work of one search, in branches looked at; more than a booth's orders take.
const WORK: u32 = 60_000;
/// The most work for each question of what more of one piece would bring.
const ASIDE: u32 = 6_000;
/// Into how many parts the price of a piece is divided.
const FINE: i64 = 1 << 8;

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
    let best = best(orders, shelf, most, WORK);
    let measure = |made: &[usize]| (made.len(), made.iter().map(|&at| orders[at].profit).sum::<i64>());
    let before = measure(&best.made);
    let mut bottlenecks = Vec::new();
    let scarce = scarce(orders, shelf);
    for (item, short) in scarce {
        let mut richer = shelf.clone();
        richer.add(item.clone(), short);
        let after = measure(&self::best(orders, &richer, most, ASIDE).made);
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
fn best(orders: &[Waiting], shelf: &Goods, most: Most, work: u32) -> Choice {
    // Figures of a booth are far below this; whatever is beyond counts as this much.
    const LARGEST: i64 = 10_000_000;
    let profit = |order: &Waiting| order.profit.clamp(-LARGEST, LARGEST);
    let first = match most {
        Most::Profit => return solve(orders, shelf, profit, work),
        Most::Orders => solve(orders, shelf, |_| 1, work),
    };
    // So much for an order that no profit makes up for one less.
    let each: i64 = orders.iter().map(|order| profit(order).abs()).sum::<i64>() + 1;
    let second = solve(orders, shelf, |order| each + profit(order), work.min(ASIDE));
    let measure =
        |choice: &Choice| (choice.made.len(), choice.made.iter().map(|&at| profit(&orders[at])).sum::<i64>());
    let made = if measure(&second) > measure(&first) { second.made } else { first.made };
    Choice { made, ..first }
}

fn solve(orders: &[Waiting], shelf: &Goods, value: impl Fn(&Waiting) -> i64, work: u32) -> Choice {
    let possible = |order: &Waiting| order.need.less(shelf).is_empty();
    let scarce: Vec<Item> = scarce(orders, shelf).into_keys().collect();
    let room: Vec<i64> = scarce.iter().map(|item| i64::from(shelf.get(item))).collect();
    let mut made: Vec<usize> = Vec::new();
    let mut asked: Vec<Asked> = Vec::new();
    for (at, order) in orders.iter().enumerate().filter(|(_, order)| value(order) > 0 && possible(order)) {
        let take: Vec<i64> = scarce.iter().map(|item| i64::from(order.need.get(item))).collect();
        if take.iter().all(|&count| count == 0) {
            made.push(at);
        } else {
            asked.push(Asked { at, value: value(order), take });
        }
    }
    let mut search = Search::new(asked, work);
    search.run(room);
    made.extend(search.best.iter().map(|&place| search.asked[place].at));
    made.sort_unstable();
    let is_proved = search.is_proved();
    let gap = if is_proved { 0 } else { (search.at_most - search.best_value).max(0) };
    Choice { made, is_proved, gap, bottlenecks: Vec::new() }
}

/// An order that competes for scarce pieces.
struct Asked {
    at: usize,
    value: i64,
    take: Vec<i64>,
}

struct Search {
    asked: Vec<Asked>,
    best: Vec<usize>,
    best_value: i64,
    chosen: Vec<usize>,
    work: u32,
    /// No choice is worth more.
    at_most: i64,
}

/// How often the prices are made better at the outset, and at every branch.
const ROUNDS: (u32, u32) = (400, 12);

impl Search {
    fn new(asked: Vec<Asked>, work: u32) -> Self {
        Self { asked, best: Vec::new(), best_value: 0, chosen: Vec::new(), work, at_most: i64::MAX }
    }

    fn is_proved(&self) -> bool {
        self.work > 0
    }

    fn run(&mut self, room: Vec<i64>) {
        let open: Vec<usize> = (0..self.asked.len()).collect();
        let mut prices = vec![0; room.len()];
        self.take_greedily(&open, &room, &prices);
        let wanted = (self.best_value + 1) * FINE;
        self.at_most = self.bound(&open, &room, &mut prices, wanted, ROUNDS.0).div_euclid(FINE);
        self.take_greedily(&open, &room, &prices);
        self.branch(0, room, open, prices);
    }

    /// A first choice: those that earn most beyond what they pay for their pieces.
    fn take_greedily(&mut self, open: &[usize], room: &[i64], prices: &[i64]) {
        let mut order = open.to_vec();
        order.sort_by_cached_key(|&at| std::cmp::Reverse(margin(&self.asked[at], prices)));
        let (mut room, mut taken, mut value) = (room.to_vec(), Vec::new(), 0_i64);
        for at in order {
            if fits(&self.asked[at], &room) {
                pay(&self.asked[at], &mut room);
                value = value.saturating_add(self.asked[at].value);
                taken.push(at);
            }
        }
        if value > self.best_value {
            (self.best, self.best_value) = (taken, value);
        }
    }

    /// No choice among these orders is worth more than this. The prices are made better for some
    /// rounds: each goes up where more of its piece is asked for than lies there, and down where
    /// less is, by as much as would bring the bound down to what is wanted if it were a plain slope
    /// (Polyak's step).
    fn bound(&self, open: &[usize], room: &[i64], prices: &mut Vec<i64>, wanted: i64, rounds: u32) -> i64 {
        let mut best = self.bound_at(open, room, prices);
        let mut tried = prices.clone();
        let mut eighths = 10;
        for round in 0..rounds {
            if best < wanted || eighths == 0 {
                break;
            }
            let mut excess: Vec<i64> = room.iter().map(|room| -room).collect();
            for asked in open.iter().map(|&at| &self.asked[at]).filter(|asked| margin(asked, &tried) > 0) {
                asked.take.iter().zip(&mut excess).for_each(|(take, sum)| *sum += take);
            }
            // A price of nothing cannot go down.
            excess.iter_mut().zip(&tried).for_each(|(excess, price)| {
                if *price == 0 {
                    *excess = (*excess).max(0);
                }
            });
            let size: i64 = excess.iter().map(|excess| excess.pow(2)).sum();
            if size == 0 {
                break;
            }
            let down = (self.bound_at(open, room, &tried) - wanted + FINE).max(FINE) / 8 * eighths;
            for (price, excess) in tried.iter_mut().zip(&excess) {
                *price = price.saturating_add(down.saturating_mul(*excess) / size).max(0);
            }
            let bound = self.bound_at(open, room, &tried);
            if bound < best {
                best = bound;
                prices.clone_from(&tried);
            } else if round % 3 == 2 {
                eighths = eighths * 3 / 4;
                tried.clone_from(prices);
            }
        }
        best
    }

    fn bound_at(&self, open: &[usize], room: &[i64], prices: &[i64]) -> i64 {
        let pieces: i64 = prices.iter().zip(room).map(|(price, room)| price.saturating_mul(*room)).sum();
        pieces + open.iter().map(|&at| margin(&self.asked[at], prices).max(0)).sum::<i64>()
    }

    fn branch(&mut self, mut value: i64, mut room: Vec<i64>, mut open: Vec<usize>, mut prices: Vec<i64>) {
        let depth = self.chosen.len();
        loop {
            open.retain(|&at| fits(&self.asked[at], &room));
            if value > self.best_value {
                self.best_value = value;
                self.best.clone_from(&self.chosen);
            }
            if open.is_empty() || self.work == 0 {
                break;
            }
            self.work -= 1;
            // What must be gained to beat the best, in parts: one whole unit more.
            let wanted = (self.best_value - value + 1) * FINE;
            let bound = self.bound(&open, &room, &mut prices, wanted, ROUNDS.1);
            if bound < wanted {
                break;
            }
            // Whatever would bring the bound below that cannot be done otherwise.
            let margins: Vec<(usize, i64)> =
                open.iter().map(|&at| (at, margin(&self.asked[at], &prices))).collect();
            let is_out = |margin: i64| margin < 0 && bound + margin < wanted;
            let is_in = |margin: i64| margin > 0 && bound - margin < wanted;
            open.retain(|at| margins.iter().any(|(found, margin)| found == at && !is_out(*margin)));
            if let Some(&(at, _)) = margins.iter().find(|(_, margin)| is_in(*margin)) {
                open.retain(|&other| other != at);
                pay(&self.asked[at], &mut room);
                value = value.saturating_add(self.asked[at].value);
                self.chosen.push(at);
                continue;
            }
            // The order that is nearest to being worth its pieces and no more.
            let next = margins.iter().filter(|(_, margin)| !is_out(*margin)).min_by_key(|(_, m)| m.abs());
            let Some(&(at, _)) = next else { break };
            open.retain(|&other| other != at);
            let mut rest = room.clone();
            pay(&self.asked[at], &mut rest);
            self.chosen.push(at);
            let with = value.saturating_add(self.asked[at].value);
            self.branch(with, rest, open.clone(), prices.clone());
            self.chosen.pop();
        }
        self.chosen.truncate(depth);
    }
}

fn fits(asked: &Asked, room: &[i64]) -> bool {
    asked.take.iter().zip(room).all(|(take, room)| take <= room)
}

fn pay(asked: &Asked, room: &mut [i64]) {
    room.iter_mut().zip(&asked.take).for_each(|(room, take)| *room -= take);
}

/// What is left of an order's worth after paying for its pieces, in parts.
fn margin(asked: &Asked, price: &[i64]) -> i64 {
    let pays: i64 = asked.take.iter().zip(price).map(|(take, price)| take.saturating_mul(*price)).sum();
    asked.value * FINE - pays
}
