//! Parting: one case into two that are easier to bound.

use super::super::model::{Line, Way};
use super::super::sample::{Sample, Tariff};
use super::super::scheme::{Case, Clip, SCALE};
use super::{Node, Solver, State};

impl Solver {
    /// Parts a case at a break group.
    pub(super) fn part_group(&mut self, at: usize, multipliers: Vec<i64>) {
        let case = &self.nodes[at].case;
        let tariff = Tariff::of(&self.problem, case);
        let cheapest = self.samples.iter().enumerate().filter_map(|(f, samples)| {
            let (_, place) = tariff.cheapest(f, samples, &multipliers)?;
            Some(&samples.all[place])
        });
        let lines: Vec<Line> = cheapest.flat_map(|sample| sample.lines.iter().copied()).collect();
        let parts = case.part_group(&self.problem, &lines);
        self.replace(at, parts, Some(multipliers));
    }

    /// Puts parts in the place of a case.
    pub(super) fn replace(&mut self, at: usize, parts: [Case; 2], hint: Option<Vec<i64>>) {
        let bound = self.nodes[at].bound;
        let Node { careful, patience, .. } = self.nodes[at];
        let patience = patience.saturating_sub(1);
        for case in parts {
            let node = Node::new(case, self.room);
            self.nodes.push(Node { bound, careful, patience, hint: hint.clone(), ..node });
        }
        self.nodes[at].exhausted = true;
        self.nodes[at].bound = i64::MAX;
    }

    /// Parts a case where its families' near-best samples differ most: one part buys fewer
    /// units of one way than a count between them, the other at least as many.
    pub(super) fn part(&mut self, at: usize) -> bool {
        let State::Bent { multipliers, .. } = self.nodes[at].state.clone() else { return false };
        let case = self.nodes[at].case.clone();
        let best = self.best.as_ref().map_or(self.nodes[at].bound, |plan| plan.worth.cents);
        let near = ((best - self.nodes[at].bound) * SCALE / 4).max(SCALE);
        let tariff = Tariff::of(&self.problem, &case);
        let mut widest = (0, None);
        for f in 0..self.families.len() {
            let cheapest = tariff.cheapest(f, &self.samples[f], &multipliers).map_or(0, |found| found.0);
            let close = |sample: &&Sample| {
                tariff.admits(f, sample) && tariff.bent(sample, &multipliers) <= cheapest + near
            };
            let close: Vec<&Sample> = self.samples[f].all.iter().filter(close).collect();
            for (w, way) in self.problem.ways.iter().enumerate().filter(|(_, way)| way.family == f) {
                let units = |sample: &&Sample| sample.units_of(w);
                let (low, high) = (close.iter().map(units).min(), close.iter().map(units).max());
                let (Some(low), Some(high)) = (low, high) else { continue };
                let spread = i64::from(high - low) * way.price(u64::from(high));
                if high > low && spread > widest.0 {
                    widest = (spread, Some((f, w, cut(way, low, high))));
                }
            }
        }
        let Some((family, way, from)) = widest.1 else { return false };
        let part = |lo: u32, hi: u32| {
            let mut case = case.clone();
            case.clips.push(Clip { family, way, lo, hi });
            case
        };
        self.replace(at, [part(from, u32::MAX), part(0, from - 1)], Some(multipliers));
        true
    }
}

/// The count between two at which to part: a quantity break if there is one, the nearest to
/// the middle.
fn cut(way: &Way, low: u32, high: u32) -> u32 {
    let middle = low + (high - low).div_ceil(2);
    let breaks = way.tiers.iter().map(|tier| tier.from).filter(|&from| low < from && from <= high);
    breaks.min_by_key(|from| from.abs_diff(middle)).unwrap_or(middle)
}
