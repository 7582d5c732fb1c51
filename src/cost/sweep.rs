//! Cost against run size: the same garments made one, two, three … together.
//!
//! A run is bought anew at each size, so the sizes at which another way of buying takes over come
//! out exactly. One size is one small search, so a page can take them one at a time.

use super::Sheet;
use super::table::{RunPrice, run_price};
use crate::lists::settings::Aim;
use crate::lists::{Lists, OfferId, Settings};
use crate::tally::Tally;

/// The largest run looked at.
pub const LARGEST_RUN: u32 = 200;

/// A sweep over run sizes, from one garment up.
pub struct Sweep {
    tally: Tally,
    sheet: Sheet,
    aim: Aim,
    lists: Lists,
    settings: Settings,
    runs: Vec<RunPrice>,
}

/// A run size at which the letters are bought in another way than one garment fewer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The run size.
    pub garments: u32,
    /// The offers that come in.
    pub begins: Vec<OfferId>,
    /// The offers that are no longer used.
    pub ends: Vec<OfferId>,
}

impl Sweep {
    /// Takes an order's letters and cost sheet as the pattern.
    pub fn new(tally: &Tally, sheet: &Sheet, aim: Aim, lists: &Lists, settings: &Settings) -> Self {
        Self {
            tally: tally.clone(),
            sheet: sheet.clone(),
            aim,
            lists: lists.clone(),
            settings: settings.clone(),
            runs: Vec::new(),
        }
    }

    /// The run sizes done so far, from one garment up.
    pub fn runs(&self) -> &[RunPrice] {
        &self.runs
    }

    /// Whether every run size is done; at once for an order of nothing.
    pub fn is_done(&self) -> bool {
        self.tally.garments == 0 || self.runs.len() >= LARGEST_RUN as usize
    }

    /// Does the next run size.
    pub fn step(&mut self) {
        if self.is_done() {
            return;
        }
        let garments = u32::try_from(self.runs.len()).unwrap_or(LARGEST_RUN) + 1;
        self.runs.push(run_price(garments, &self.tally, &self.sheet, self.aim, &self.lists, &self.settings));
    }
}

/// The run sizes at which the way of buying changes, in order.
pub fn changes(runs: &[RunPrice]) -> Vec<Change> {
    let not_in = |offers: &[OfferId], others: &[OfferId]| -> Vec<OfferId> {
        offers.iter().filter(|offer| !others.contains(offer)).cloned().collect()
    };
    let change = |pair: &[RunPrice]| {
        let [before, after] = pair else { return None };
        let (begins, ends) = (not_in(&after.ways, &before.ways), not_in(&before.ways, &after.ways));
        let any = !begins.is_empty() || !ends.is_empty();
        any.then_some(Change { garments: after.garments, begins, ends })
    };
    runs.windows(2).filter_map(change).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::money::{Cents, Money};
    use crate::plan::{Shop, plan};

    fn demo_runs() -> Vec<RunPrice> {
        let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let mut sweep = Sweep::new(&plan.tally, &plan.sheet, plan.aim, &shop.lists, &shop.settings);
        while !sweep.is_done() {
            sweep.step();
        }
        sweep.runs().to_vec()
    }

    #[test]
    fn a_sweep_agrees_with_the_table_of_prices() {
        let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
        let plan = plan(&demo::order("2026-01-01"), &shop);
        let runs = demo_runs();
        assert_eq!(runs.len(), 200);
        for run in plan.table(&shop) {
            assert_eq!(runs.get(run.garments as usize - 1), Some(&run));
        }
    }

    #[test]
    fn an_offer_that_only_comes_in_or_only_goes_is_a_change() {
        let run = |garments, ways: &[&str]| RunPrice {
            garments,
            cost: Money::ZERO,
            price: Ok(Cents::ZERO),
            profit: None,
            ways: ways.iter().map(|offer| OfferId::new(*offer)).collect(),
        };
        let runs = [run(1, &["piece"]), run(2, &["piece", "pack"]), run(3, &["pack"]), run(4, &["pack"])];
        let change = |garments, begins: &[&str], ends: &[&str]| {
            let [begins, ends] = [begins, ends].map(|ids| ids.iter().map(|id| OfferId::new(*id)).collect());
            Change { garments, begins, ends }
        };
        assert_eq!(changes(&runs), [change(2, &["pack"], &[]), change(3, &[], &["piece"])]);
    }

    #[test]
    fn ways_change_exactly_where_the_list_says() {
        let runs = demo_runs();
        for change in changes(&runs) {
            let (before, after) = (&runs[change.garments as usize - 2], &runs[change.garments as usize - 1]);
            assert!(
                change.begins.iter().all(|offer| after.ways.contains(offer) && !before.ways.contains(offer))
            );
            assert_ne!(before.ways, after.ways);
        }
        assert!(!changes(&runs).is_empty());
    }
}
