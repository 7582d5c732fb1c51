//! Covering one glyph: the cheapest way to reach a count with units of fixed sizes.
//!
//! With a fixed price per unit, covering `r` letters of one glyph is an unbounded covering
//! knapsack: `cost[r] = min over ways of price + cost[max(0, r - n)]`. One table answers
//! every glyph that is offered the same ways and every need up to the largest, and is kept
//! for as long as its prices are asked for. Prices here are any whole numbers not below
//! zero; the search asks with prices bent by its multipliers.

use std::collections::HashMap;
use std::sync::Arc;

/// Stands for "cannot be bought"; sums of a few thousand of these do not overflow.
pub(super) const NEVER: i64 = 1 << 50;
/// In a table's picks: nothing.
pub(super) const NOTHING: u8 = u8::MAX;

/// Cheapest covers of every count up to the largest need of a class of glyphs.
#[derive(Debug)]
pub(super) struct Table {
    /// Least cost of covering so many letters.
    pub cost: Vec<i64>,
    /// The way that the cheapest cover takes first.
    pub pick: Vec<u8>,
}

impl Table {
    fn build(most: u32, ways: &[(u8, u32, i64)]) -> Self {
        let size = most as usize + 1;
        let mut table = Self { cost: vec![0; size], pick: vec![NOTHING; size] };
        for left in 1..size {
            let mut best = (NEVER, NOTHING);
            for &(way, n, price) in ways {
                let cost = price + table.cost[left.saturating_sub(n as usize)];
                if cost < best.0 {
                    best = (cost, way);
                }
            }
            (table.cost[left], table.pick[left]) = best;
        }
        table
    }
}

/// A class of glyphs: the ways that may hold them, as (place in the family, pieces).
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Class {
    /// Places of the ways in the family's list, with the pieces per unit.
    pub ways: Vec<(u8, u32)>,
    /// The largest need of any glyph of the class.
    pub most: u32,
}

/// Tables by price, one per class of glyphs of one family.
#[derive(Debug, Default)]
pub(super) struct Tables {
    kept: HashMap<Vec<i64>, Arc<[Table]>>,
    cells: usize,
}

/// How many table cells (9 bytes each) a family keeps before it starts afresh.
const MOST_CELLS: usize = 150_000;

impl Tables {
    /// The tables at these prices: one price per way, then the price of a single letter
    /// from elsewhere ([`NEVER`] for none).
    pub fn at(&mut self, classes: &[Class], prices: &[i64]) -> Arc<[Table]> {
        if let Some(kept) = self.kept.get(prices) {
            return Arc::clone(kept);
        }
        if self.cells > MOST_CELLS {
            self.kept.clear();
            self.cells = 0;
        }
        let built: Arc<[Table]> = classes.iter().map(|class| build(class, prices)).collect();
        self.cells += built.iter().map(|table| table.cost.len() + prices.len()).sum::<usize>();
        self.kept.insert(prices.to_vec(), Arc::clone(&built));
        built
    }
}

fn build(class: &Class, prices: &[i64]) -> Table {
    let mut ways: Vec<(u8, u32, i64)> = class
        .ways
        .iter()
        .map(|&(way, n)| (way, n, prices[usize::from(way)]))
        .filter(|&(_, _, price)| price < NEVER)
        .collect();
    if let Some(&elsewhere) = prices.last().filter(|&&price| price < NEVER) {
        ways.push((NOTHING, 1, elsewhere));
    }
    Table::build(class.most, &ways)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(most: u32, ways: &[(u32, i64)]) -> Table {
        let ways: Vec<_> = ways.iter().enumerate().map(|(i, &(n, price))| (i as u8, n, price)).collect();
        Table::build(most, &ways)
    }

    #[test]
    fn the_largest_count_that_6_9_and_20_cannot_pay_is_43() {
        // Textbook coin problem (task stated on Rosetta Code, GFDL). A price of one cent per
        // piece makes the cheapest cover the smallest payable count not below the need.
        let covers = table(100, &[(6, 6), (9, 9), (20, 20)]);
        let unpayable: Vec<usize> = (1..=100).filter(|&r| covers.cost[r] != r as i64).collect();
        let expected = [1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43];
        assert_eq!(unpayable, expected);
        assert_eq!(covers.cost[41..=45], [41, 42, 44, 44, 45]);
    }

    #[test]
    fn other_sets_of_sizes() {
        let largest = |ways: &[(u32, i64)]| {
            let covers = table(100, ways);
            (1..=100).rev().find(|&r| covers.cost[r] != r as i64)
        };
        assert_eq!(largest(&[(4, 4), (6, 6), (9, 9), (20, 20)]), Some(11));
        assert_eq!(largest(&[(5, 5), (8, 8)]), Some(27));
    }

    #[test]
    fn taking_the_largest_first_would_be_wrong() {
        // Fewest coins for an exact sum (well-known traps): a letter too many costs more than
        // any number of units.
        let fewest = |most: u32, sizes: &[u32]| {
            let ways: Vec<_> = sizes.iter().map(|&n| (n, 1000 * i64::from(n) + 1)).collect();
            table(most, &ways).cost[most as usize] % 1000
        };
        assert_eq!(fewest(6, &[1, 3, 4]), 2);
        assert_eq!(fewest(40, &[1, 5, 10, 20, 25]), 2);
        assert_eq!(fewest(988, &[1, 2, 5, 10, 20, 50, 100, 200]), 11);
    }
}
