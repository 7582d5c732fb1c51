//! Putting samples of the families together to a plan, at true prices.
//!
//! Family after family, the sample is exchanged for the one that makes the whole cheapest,
//! until none does. Breaks that count over families and freight are priced as they will be
//! charged, so that a sample can be worth its while for what it does for the others.

use super::model::Problem;
use super::sample::{Sample, Samples};
use super::scheme::Groups;
use std::sync::Arc;

/// How often all families are gone through at most.
const SWEEPS: usize = 12;

/// Prices plans by their units per way.
#[derive(Debug)]
pub(super) struct Exchange {
    groups: Arc<Groups>,
    /// Per way of a group: its group, and its price in each of the group's stretches.
    prices: Vec<Option<(usize, Vec<i64>)>>,
    /// Per group its supplier.
    suppliers: Vec<usize>,
}

/// What all families but one buy.
struct Others {
    /// Per supplier, groups left out.
    spent: Vec<i64>,
    /// Per group its units.
    units: Vec<i64>,
    /// Per group and stretch what those units would cost.
    costs: Vec<Vec<i64>>,
}

impl Exchange {
    /// Knows a problem's groups and their prices.
    pub fn new(problem: &Problem, groups: Arc<Groups>) -> Self {
        let first = problem.suppliers.len();
        let mut suppliers = vec![0; groups.stretches.len()];
        let mut prices = Vec::with_capacity(problem.ways.len());
        for (w, way) in problem.ways.iter().enumerate() {
            prices.push(way.group.map(|_| {
                let group = groups.of[w] - first;
                suppliers[group] = way.supplier;
                let stretches = groups.stretches[group].iter();
                (group, stretches.map(|bounds| way.price(bounds.lo.max(1).unsigned_abs())).collect())
            }));
        }
        Self { groups, prices, suppliers }
    }

    /// What each supplier is paid for these picks, freight left out.
    pub fn spent(&self, problem: &Problem, samples: &[Samples], picks: &[usize]) -> Vec<i64> {
        let mut spent = Vec::new();
        self.spent_with(
            &self.others(problem, samples, picks, usize::MAX),
            &Sample::default(),
            problem,
            &mut spent,
        );
        spent
    }

    /// Exchanges samples for as long as that helps; counts what it looks at.
    pub fn better(
        &self,
        problem: &Problem,
        samples: &[Samples],
        picks: &[usize],
        work: &mut u64,
    ) -> Vec<usize> {
        let mut picks = picks.to_vec();
        let mut spent = self.spent(problem, samples, &picks);
        let mut least = value(problem, &spent);
        for _ in 0..SWEEPS {
            let before = least;
            for f in 0..picks.len() {
                let others = self.others(problem, samples, &picks, f);
                for (place, sample) in samples[f].all.iter().enumerate() {
                    self.spent_with(&others, sample, problem, &mut spent);
                    let other = value(problem, &spent);
                    if other < least {
                        (least, picks[f]) = (other, place);
                    }
                }
                *work += samples[f].all.len() as u64;
            }
            if least == before {
                break;
            }
        }
        picks
    }

    fn others(&self, problem: &Problem, samples: &[Samples], picks: &[usize], but: usize) -> Others {
        let costs = self.groups.stretches.iter().map(|stretches| vec![0; stretches.len()]).collect();
        let mut others =
            Others { spent: vec![0; problem.suppliers.len()], units: vec![0; self.suppliers.len()], costs };
        let picked = picks.iter().enumerate().filter(|&(f, _)| f != but);
        for &(w, units) in picked.flat_map(|(f, &pick)| &samples[f].all[pick].units) {
            let (way, units) = (&problem.ways[w], i64::from(units));
            match &self.prices[w] {
                None => others.spent[way.supplier] += way.price(units.unsigned_abs()) * units,
                Some((group, prices)) => {
                    others.units[*group] += units;
                    others.costs[*group]
                        .iter_mut()
                        .zip(prices)
                        .for_each(|(cost, price)| *cost += price * units);
                }
            }
        }
        others
    }

    /// What each supplier is paid for the others' plans and one sample.
    fn spent_with(&self, others: &Others, sample: &Sample, problem: &Problem, spent: &mut Vec<i64>) {
        spent.clone_from(&others.spent);
        let bought = || sample.units.iter().map(|&(w, units)| (w, i64::from(units), self.prices[w].as_ref()));
        for (w, units, _) in bought().filter(|(_, _, group)| group.is_none()) {
            let way = &problem.ways[w];
            spent[way.supplier] += way.price(units.unsigned_abs()) * units;
        }
        for (group, &supplier) in self.suppliers.iter().enumerate() {
            let ours = || {
                bought().filter_map(|(_, units, of)| of.filter(|of| of.0 == group).map(|of| (units, &of.1)))
            };
            let units = others.units[group] + ours().map(|(units, _)| units).sum::<i64>();
            let stretches = &self.groups.stretches[group];
            let at = stretches.iter().rposition(|bounds| bounds.lo <= units).unwrap_or(0);
            spent[supplier] +=
                others.costs[group][at] + ours().map(|(units, prices)| units * prices[at]).sum::<i64>();
        }
    }
}

/// Merchandise and freight; a missed minimum counts ten times what it is missed by.
pub(super) fn value(problem: &Problem, spent: &[i64]) -> i64 {
    let each = spent.iter().zip(&problem.suppliers).filter(|(sum, _)| **sum > 0);
    each.map(|(&sum, s)| sum + s.freight(sum) + 10 * (s.min_order - sum).max(0)).sum()
}
