//! What to bring so that, with a wanted chance, no customer is turned away.
//!
//! Owns the way from the guess to counts. Each piece by itself has an exact spread. A day goes well
//! when no piece runs out, so each simulated day has a figure: the largest chance, over all pieces,
//! at which the stock of each by itself would have had to be set to last. Which share of the days
//! has a figure below some chance is then the chance of all pieces together at that setting. One
//! simulation therefore answers for every wanted chance at once.

use super::asked::{Asked, Pieces};
use super::chance::{Chance, Spread};
use super::dice::Dice;
use crate::book::goods::{Goods, Item};
use crate::lists::Lists;
use crate::order::Order;

/// How many days are simulated: the error at 95 % is then a fifth of a percent.
pub const DAYS: u32 = 10_000;
/// Where the dice begin, always.
const SEED: u64 = 2_010;
/// How many days one step simulates.
const STEP: u32 = 100;

/// Works out what to bring, a slice at a time.
#[derive(Debug, Clone)]
pub struct Bring {
    pieces: Pieces,
    garments: Spread,
    /// Of each piece: the chance that 0, 1 and so on of it suffice.
    enough: Vec<Vec<Chance>>,
    spreads: Vec<Spread>,
    /// What each simulated day needed.
    days: Vec<Chance>,
    wanted: u32,
    dice: Dice,
}

impl Bring {
    /// Takes the guess; an order's swaps hold for its letters.
    pub fn new(asked: &Asked, order: &Order, lists: &Lists, days: u32) -> Self {
        Self {
            pieces: Pieces::of(asked, order, lists),
            garments: asked.garments.spread(),
            enough: Vec::new(),
            spreads: Vec::new(),
            days: Vec::new(),
            wanted: days,
            dice: Dice::new(SEED),
        }
    }

    /// Whether all is worked out.
    pub fn is_done(&self) -> bool {
        self.spreads.len() == self.pieces.items.len() && self.days.len() >= self.wanted as usize
    }

    /// How far it has come, from 0 to 1000.
    pub fn progress(&self) -> u32 {
        let (pieces, days) = (self.pieces.items.len(), self.wanted as usize);
        let done = self.spreads.len() * days + self.days.len() * pieces;
        let whole = (2 * pieces * days).max(1);
        u32::try_from(done * 1_000 / whole).unwrap_or(1_000).min(1_000)
    }

    /// Works on: the spread of one piece, or some simulated days.
    pub fn step(&mut self) {
        if self.spreads.len() < self.pieces.items.len() {
            let spread = self.pieces.on_one(self.spreads.len()).times_spread(&self.garments);
            self.enough.push((0..=spread.most()).map(|count| spread.at_most(count)).collect());
            self.spreads.push(spread);
            return;
        }
        for _ in 0..STEP.min(self.wanted.saturating_sub(u32::try_from(self.days.len()).unwrap_or(u32::MAX))) {
            let day = self.day();
            self.days.push(day);
        }
        if self.is_done() {
            self.days.sort_unstable();
        }
    }

    /// One simulated day: at which chance each piece would have had to be set.
    fn day(&mut self) -> Chance {
        let thrown = Chance::of(self.dice.bits() >> 4, super::chance::ONE);
        let garments = self.garments.enough(thrown);
        let mut totals = vec![0_u32; self.pieces.items.len()];
        for _ in 0..garments {
            self.pieces.throw(&mut self.dice, &mut totals);
        }
        let needed = totals.iter().zip(&self.enough).map(|(&total, enough)| {
            // Enough with the chance of one less is not enough for this many.
            let below = (total as usize).checked_sub(1).and_then(|below| enough.get(below));
            below.copied().unwrap_or_default()
        });
        needed.max().unwrap_or_default()
    }

    /// What to bring for a wanted chance; `None` until all is worked out.
    pub fn answer(&self, wanted: Chance) -> Option<Answer> {
        if !self.is_done() {
            return None;
        }
        let days = u64::try_from(self.days.len()).unwrap_or(1).max(1);
        let place = (u128::from(wanted.parts()) * u128::from(days)).div_ceil(u128::from(super::chance::ONE));
        let place = usize::try_from(place).unwrap_or(usize::MAX).clamp(1, self.days.len().max(1));
        // A little above what that day needed, so that the day itself is served.
        let set = self.days.get(place - 1).map_or(0, |day| day.parts().saturating_add(1 << 21));
        let set = Chance::of(set, super::chance::ONE);
        let counts: Vec<usize> = self.spreads.iter().map(|spread| spread.enough(set)).collect();
        let served = self.days.iter().filter(|day| **day < set).count();
        let pieces =
            self.pieces.items.iter().zip(&self.spreads).zip(&counts).map(|((item, spread), &count)| Piece {
                item: item.clone(),
                count: u32::try_from(count).unwrap_or(u32::MAX),
                mean: spread.mean_in_thousandths(),
                chance: spread.at_most(count),
            });
        let achieved = Chance::of(u64::try_from(served).unwrap_or(0), days);
        Some(Answer { pieces: pieces.collect(), achieved, error: error(achieved, days) })
    }
}

/// The standard error of a share of so many days, in hundredths of a percent: the root of
/// p (1 - p) / n.
fn error(share: Chance, days: u64) -> u32 {
    let p = u64::from(share.per_myriad());
    let variance = p * (10_000 - p.min(10_000)) / days.max(1);
    u32::try_from(variance.isqrt()).unwrap_or(0).max(1)
}

/// What to bring.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Each piece.
    pub pieces: Vec<Piece>,
    /// The share of simulated days on which nobody was turned away.
    pub achieved: Chance,
    /// The standard error of that share, in hundredths of a percent.
    pub error: u32,
}

impl Answer {
    /// All of it.
    pub fn goods(&self) -> Goods {
        let mut goods = Goods::default();
        self.pieces.iter().for_each(|piece| goods.add(piece.item.clone(), piece.count));
        goods
    }
}

/// How many of one piece to bring.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// The piece.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// How many are asked for on average, in thousandths.
    pub mean: u64,
    /// The chance that this many suffice, of this piece by itself.
    pub chance: Chance,
}

/// The chances for which a trade-off is shown, in hundredths of a percent.
pub const LADDER: [u64; 7] = [5_000, 7_000, 8_000, 9_000, 9_500, 9_800, 9_900];
