//! The order of the work on one garment, exact for the operations that a garment has.
//!
//! What counts, the first above the second and so on: no letter is pressed again above what it
//! stands; on one part of the garment the hotter recipe goes first; the fewest loads; the fewest
//! turns; the order of the design. All orders are weighed against each other by a table over the
//! sets of operations already done (Held and Karp's way of ordering), so the best is the best of all.

use super::operations::Operation;
use crate::lists::Peel;

/// The order in which a garment's operations run.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sequence {
    /// The operations by their number, the first one first.
    pub order: Vec<usize>,
    /// Before which of these, by place, the garment is put on the press anew.
    pub loads: Vec<bool>,
    /// Pairs of operations, earlier and later, of which the later one presses the earlier one's
    /// letters above what they stand: what no order avoids.
    pub clashes: Vec<(usize, usize)>,
    /// Whether every order was weighed.
    pub is_exact: bool,
}

impl Sequence {
    /// How often the garment is put on the press.
    pub fn load_count(&self) -> u32 {
        u32::try_from(self.loads.iter().filter(|load| **load).count()).unwrap_or(u32::MAX)
    }
}

/// The most operations of which every order is weighed.
const MOST_WEIGHED: usize = 12;

/// What an order costs; the smaller the better, from the first to the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Weight {
    /// Pairs that are pressed again above what they stand.
    pub clashes: u32,
    /// Pairs on one part of the garment of which the cooler goes first.
    pub cooler_first: u32,
    /// How often the garment is put on the press.
    pub loads: u32,
    /// How often another part of it lies up than before.
    pub turns: u32,
}

impl Weight {
    fn plus(self, other: Self) -> Self {
        Self {
            clashes: self.clashes + other.clashes,
            cooler_first: self.cooler_first + other.cooler_first,
            loads: self.loads + other.loads,
            turns: self.turns + other.turns,
        }
    }
}

/// Whether the later of two operations presses the earlier one's letters above what they stand.
pub fn clash(earlier: &Operation, later: &Operation) -> bool {
    later.presses(earlier) && earlier.recipe.stands().is_none_or(|most| later.recipe.heat > most)
}

/// Whether the garment is put on the press anew between two operations: for another part of it or
/// another heat, and where the first one's carriers come off cold and the second would press them.
pub fn loads_between(before: &Operation, after: &Operation) -> bool {
    before.zone != after.zone
        || before.recipe.heat != after.recipe.heat
        || (before.recipe.peel == Peel::Cold && after.presses(before))
}

/// What an order of operations weighs.
pub fn weigh(operations: &[Operation], order: &[usize]) -> Weight {
    let mut sum = Weight::default();
    for (at, &last) in order.iter().enumerate() {
        sum = sum.plus(step(operations, &order[..at], order[..at].last().copied(), last));
    }
    sum
}

/// What it adds to do an operation after some others, of which one was the last.
fn step(operations: &[Operation], done: &[usize], last: Option<usize>, next: usize) -> Weight {
    let now = &operations[next];
    let earlier = || done.iter().map(|at| &operations[*at]);
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let last = last.map(|at| &operations[at]);
    Weight {
        clashes: count(earlier().filter(|one| clash(one, now)).count()),
        cooler_first: count(
            earlier().filter(|one| one.zone == now.zone && one.recipe.heat < now.recipe.heat).count(),
        ),
        loads: u32::from(last.is_none_or(|last| loads_between(last, now))),
        turns: u32::from(last.is_some_and(|last| last.zone != now.zone)),
    }
}

/// The best order of a garment's operations.
pub fn sequence(operations: &[Operation]) -> Sequence {
    let is_exact = operations.len() <= MOST_WEIGHED;
    let order = if operations.len() < 2 {
        (0..operations.len()).collect()
    } else if is_exact {
        best(operations)
    } else {
        hotter_first(operations)
    };
    let loads = order
        .iter()
        .enumerate()
        .map(|(at, now)| at == 0 || loads_between(&operations[order[at - 1]], &operations[*now]))
        .collect();
    let mut clashes = Vec::new();
    for (at, &later) in order.iter().enumerate() {
        let earlier = order[..at].iter().filter(|one| clash(&operations[**one], &operations[later]));
        clashes.extend(earlier.map(|one| (*one, later)));
    }
    Sequence { order, loads, clashes, is_exact }
}

/// Too many to weigh: the hotter first, part by part of the garment.
fn hotter_first(operations: &[Operation]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..operations.len()).collect();
    order.sort_by_key(|at| (std::cmp::Reverse(operations[*at].recipe.heat), operations[*at].zone));
    order
}

/// The best order by a table: for each set of operations done and each that was the last, the
/// lightest way there.
fn best(operations: &[Operation]) -> Vec<usize> {
    let count = operations.len();
    let full = (1_usize << count) - 1;
    let in_set = |set: usize| (0..count).filter(move |at| set & (1 << at) != 0);
    let mut table: Vec<Option<(Weight, usize)>> = vec![None; (full + 1) * count];
    for set in 1..=full {
        for next in in_set(set) {
            let before = set & !(1 << next);
            let done: Vec<usize> = in_set(before).collect();
            let entry = if before == 0 {
                Some((step(operations, &[], None, next), next))
            } else {
                let ways = done.iter().filter_map(|last| {
                    let (weight, _) = table[before * count + last]?;
                    Some((weight.plus(step(operations, &done, Some(*last), next)), *last))
                });
                // Of equals the one whose earlier operation stands first in the design goes first,
                // so the last one is the later in the design.
                ways.min_by_key(|(weight, last)| (*weight, std::cmp::Reverse(*last)))
            };
            table[set * count + next] = entry;
        }
    }
    let weight = |last: &usize| table[full * count + last].map(|(weight, _)| weight);
    let Some(mut last) = (0..count).rev().min_by_key(weight) else {
        return Vec::new();
    };
    let (mut set, mut order) = (full, vec![last]);
    while let Some((_, before)) = table[set * count + last].filter(|_| set.count_ones() > 1) {
        set &= !(1 << last);
        last = before;
        order.push(last);
    }
    order.reverse();
    order
}
