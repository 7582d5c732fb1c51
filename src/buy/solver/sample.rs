//! Samples: plans of single families that the search has seen, and their price in a case.
//!
//! A sample is the same plan in every case; only what break groups charge for it differs. So
//! one seen in one case serves in all others that allow it.

use super::model::{Line, Problem};
use super::scheme::{Case, SCALE};
use std::collections::BTreeMap;

/// A plan of one family.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Sample {
    /// Its lines.
    pub lines: Vec<Line>,
    /// Units per way that it buys: pairs of way and units.
    pub units: Vec<(usize, u32)>,
}

impl Sample {
    /// Takes lines in the order of the ways.
    pub fn of(lines: Vec<Line>) -> Self {
        let mut units: Vec<(usize, u32)> = Vec::new();
        for line in &lines {
            match units.last_mut().filter(|last| last.0 == line.way) {
                Some(last) => last.1 += line.units,
                None => units.push((line.way, line.units)),
            }
        }
        Self { lines, units }
    }

    /// Units of one way.
    pub fn units_of(&self, way: usize) -> u32 {
        self.units.iter().find(|pair| pair.0 == way).map_or(0, |pair| pair.1)
    }
}

/// The samples of one family, each kept once.
#[derive(Debug, Default)]
pub(super) struct Samples {
    /// In the order in which they were seen.
    pub all: Vec<Sample>,
    places: BTreeMap<Vec<Line>, usize>,
}

impl Samples {
    /// Keeps a sample; gives its place.
    pub fn keep(&mut self, lines: Vec<Line>) -> usize {
        if let Some(&place) = self.places.get(&lines) {
            return place;
        }
        self.places.insert(lines.clone(), self.all.len());
        self.all.push(Sample::of(lines));
        self.all.len() - 1
    }
}

/// What a case charges for a sample and what that adds to its totals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Charge {
    /// Cents of merchandise.
    pub cents: i64,
    /// The shared totals, as in [`Case::boxes`].
    pub totals: Vec<i64>,
}

impl Charge {
    /// The bent cost.
    pub fn bent(&self, multipliers: &[i64]) -> i64 {
        let reward: i64 = self.totals.iter().zip(multipliers).map(|(total, m)| total * m).sum();
        self.cents * SCALE - reward
    }
}

/// What one case says of each way.
#[derive(Debug)]
pub(super) struct Tariff<'a> {
    problem: &'a Problem,
    boxes: usize,
    rules: Vec<Rule>,
    /// The least units that branches ask for: family, way, units.
    floors: Vec<(usize, usize, u32)>,
}

#[derive(Debug, Clone, Copy)]
struct Rule {
    most: u32,
    /// For a way of a break group: the place of the group's box, and its price.
    group: Option<(usize, i64)>,
}

impl<'a> Tariff<'a> {
    /// What a case says.
    pub fn of(problem: &'a Problem, case: &Case) -> Self {
        let rule = |(w, way): (usize, &super::model::Way)| {
            let group = way.group.map(|_| (case.groups.of[w], case.group_price(problem, w)));
            let most = if case.used[way.supplier] { way.at_most.unwrap_or(u32::MAX) } else { 0 };
            Rule { most, group }
        };
        let mut rules: Vec<Rule> = problem.ways.iter().enumerate().map(rule).collect();
        let mut floors = Vec::new();
        for clip in &case.clips {
            rules[clip.way].most = rules[clip.way].most.min(clip.hi);
            if clip.lo > 0 {
                floors.push((clip.family, clip.way, clip.lo));
            }
        }
        Self { problem, boxes: case.boxes.len(), rules, floors }
    }

    /// Whether the case allows a family's sample.
    pub fn admits(&self, family: usize, sample: &Sample) -> bool {
        sample.units.iter().all(|&(way, units)| units <= self.rules[way].most)
            && self.floors.iter().all(|&(f, way, least)| f != family || sample.units_of(way) >= least)
    }

    /// What the case charges for a sample.
    pub fn charge(&self, sample: &Sample) -> Charge {
        let mut charge = Charge { cents: 0, totals: vec![0; self.boxes] };
        for &(w, units) in &sample.units {
            let (way, group) = (&self.problem.ways[w], self.rules[w].group);
            let price = group.map_or_else(|| way.price(u64::from(units)), |(_, price)| price);
            let cents = price * i64::from(units);
            charge.cents += cents;
            charge.totals[way.supplier] += cents;
            if let Some((place, _)) = group {
                charge.totals[place] += i64::from(units);
            }
        }
        charge
    }

    /// The bent cost of a sample, as that of its [`Charge`].
    pub fn bent(&self, sample: &Sample, multipliers: &[i64]) -> i64 {
        let each = |&(w, units): &(usize, u32)| {
            let (way, group) = (&self.problem.ways[w], self.rules[w].group);
            let price = group.map_or_else(|| way.price(u64::from(units)), |(_, price)| price);
            let reward = group.map_or(0, |(place, _)| multipliers[place]);
            ((SCALE - multipliers[way.supplier]) * price - reward) * i64::from(units)
        };
        sample.units.iter().map(each).sum()
    }

    /// The least bent cost of the samples that the case allows, and its place.
    pub fn cheapest(&self, family: usize, samples: &Samples, multipliers: &[i64]) -> Option<(i64, usize)> {
        let admitted = samples.all.iter().enumerate().filter(|(_, sample)| self.admits(family, sample));
        admitted.map(|(place, sample)| (self.bent(sample, multipliers), place)).min()
    }
}
