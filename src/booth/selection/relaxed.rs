//! The same choice with items that may be taken in part: its prices of the goods.
//!
//! A primal simplex with bounds, from nothing taken. This is the one place of the rooms that
//! reckons with binary fractions, and nothing that is shown comes out of it: the prices are a guess,
//! rounded to whole parts, from which `tree` works out its bound in whole numbers, and the shares
//! only say where to look next. A bad guess would make the search longer and nothing wrong.
#![allow(clippy::float_arithmetic, reason = "a guess that is checked in whole numbers")]

use super::tree::{Asked, FINE};

/// What the choice in parts says.
pub(super) struct Relaxed {
    /// The price of each good, in [`FINE`] parts; none below nothing.
    pub prices: Vec<i64>,
    /// How much of each item is taken, in thousandths.
    pub shares: Vec<u16>,
}

/// What counts as nothing: a reduced worth below this, relative to the largest worth.
const NOTHING: f64 = 1e-9;

/// Solves the choice in parts among these items.
pub(super) fn relaxed(asked: &[&Asked], room: &[i64]) -> Relaxed {
    let mut tableau = Tableau::new(asked, room);
    // Far more than it takes; the prices of any step would do.
    for _ in 0..8 * (asked.len() + room.len()) + 64 {
        let Some(entering) = tableau.entering() else { break };
        tableau.step(entering);
    }
    tableau.answer()
}

struct Tableau {
    items: usize,
    /// For each good, what a unit of each item takes of it, and after the items a unit of each
    /// good left over.
    rows: Vec<Vec<f64>>,
    /// What a unit of each would add.
    worth: Vec<f64>,
    /// Which item or good left over stands in each row, and how much of it.
    basis: Vec<(usize, f64)>,
    /// Whether an item outside the basis is taken whole.
    is_whole: Vec<bool>,
    in_basis: Vec<bool>,
    scale: f64,
}

impl Tableau {
    fn new(asked: &[&Asked], room: &[i64]) -> Self {
        let (items, goods) = (asked.len(), room.len());
        let mut rows = vec![vec![0.0; items + goods]; goods];
        for (at, item) in asked.iter().enumerate() {
            item.take.iter().for_each(|&(good, count)| rows[good][at] = count as f64);
        }
        rows.iter_mut().enumerate().for_each(|(good, row)| row[items + good] = 1.0);
        let scale = asked.iter().map(|item| item.value).max().unwrap_or(1).max(1) as f64;
        let mut worth: Vec<f64> = asked.iter().map(|item| item.value as f64 / scale).collect();
        worth.resize(items + goods, 0.0);
        let basis = room.iter().enumerate().map(|(good, &room)| (items + good, room as f64)).collect();
        let in_basis = (0..items + goods).map(|at| at >= items).collect();
        Self { items, rows, worth, basis, is_whole: vec![false; items + goods], in_basis, scale }
    }

    /// What would add most: taken up, or given back.
    fn entering(&self) -> Option<usize> {
        let gain = |at: usize| if self.is_whole[at] { -self.worth[at] } else { self.worth[at] };
        let outside = (0..self.worth.len()).filter(|&at| !self.in_basis[at] && gain(at) > NOTHING);
        outside.max_by(|&a, &b| gain(a).total_cmp(&gain(b)))
    }

    /// As much of it as something else allows.
    fn step(&mut self, entering: usize) {
        let way = if self.is_whole[entering] { -1.0 } else { 1.0 };
        let mut least = if entering < self.items { 1.0 } else { f64::INFINITY };
        let mut leaving = None;
        for (number, (row, &(at, amount))) in self.rows.iter().zip(&self.basis).enumerate() {
            let change = way * row[entering];
            let limit = if change > NOTHING {
                amount.max(0.0) / change
            } else if change < -NOTHING && at < self.items {
                (1.0 - amount).max(0.0) / -change
            } else {
                continue;
            };
            if limit < least {
                (least, leaving) = (limit, Some(number));
            }
        }
        for (row, (_, amount)) in self.rows.iter().zip(&mut self.basis) {
            *amount -= way * row[entering] * least;
        }
        match leaving {
            None => self.is_whole[entering] = !self.is_whole[entering],
            Some(row) => self.pivot(row, entering, least * way),
        }
    }

    fn pivot(&mut self, row: usize, entering: usize, by: f64) {
        let from = if self.is_whole[entering] { 1.0 } else { 0.0 };
        let (left, amount) = self.basis[row];
        self.in_basis[left] = false;
        self.is_whole[left] = left < self.items && amount > 0.5;
        self.in_basis[entering] = true;
        self.is_whole[entering] = false;
        self.basis[row] = (entering, from + by);
        let pivot = self.rows[row][entering];
        self.rows[row].iter_mut().for_each(|cell| *cell /= pivot);
        let of_pivot = self.rows[row].clone();
        let clear = |cells: &mut [f64]| {
            let factor = cells[entering];
            if factor != 0.0 {
                cells.iter_mut().zip(&of_pivot).for_each(|(cell, pivot)| *cell -= factor * pivot);
            }
        };
        self.rows.iter_mut().enumerate().filter(|(at, _)| *at != row).for_each(|(_, cells)| clear(cells));
        clear(&mut self.worth);
    }

    fn answer(self) -> Relaxed {
        let price = |worth: &f64| (-worth * self.scale * FINE as f64).round().max(0.0) as i64;
        let prices = self.worth[self.items..].iter().map(price).collect();
        let mut shares: Vec<u16> =
            self.is_whole[..self.items].iter().map(|&whole| if whole { 1_000 } else { 0 }).collect();
        for (at, amount) in self.basis {
            if let Some(share) = shares.get_mut(at) {
                *share = (amount * 1_000.0).round().clamp(0.0, 1_000.0) as u16;
            }
        }
        Relaxed { prices, shares }
    }
}
