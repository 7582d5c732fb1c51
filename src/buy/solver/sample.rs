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

/// What a case charges for the samples of one family, figure by figure.
#[derive(Debug, Default)]
pub(super) struct Charges {
    /// Per sample its cents of merchandise.
    pub cents: Vec<i64>,
    /// Per shared total, as in [`Case::boxes`], what each sample adds to it.
    pub totals: Vec<Vec<i64>>,
}

impl Charges {
    /// The bent costs.
    pub fn bent(&self, multipliers: &[i64]) -> Vec<i64> {
        let mut bent: Vec<i64> = self.cents.iter().map(|cents| cents * SCALE).collect();
        for (totals, &multiplier) in self.totals.iter().zip(multipliers).filter(|(_, m)| **m != 0) {
            bent.iter_mut().zip(totals).for_each(|(bent, total)| *bent -= total * multiplier);
        }
        bent
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

    /// What the case charges for those of a family's samples that it allows.
    pub fn charges(&self, family: usize, samples: &Samples) -> Charges {
        let mut charges = Charges { cents: Vec::new(), totals: vec![Vec::new(); self.boxes] };
        for sample in samples.all.iter().filter(|sample| self.admits(family, sample)) {
            charges.totals.iter_mut().for_each(|totals| totals.push(0));
            let at = charges.cents.len();
            let mut sum = 0;
            for &(w, units) in &sample.units {
                let (way, group) = (&self.problem.ways[w], self.rules[w].group);
                let price = group.map_or_else(|| way.price(u64::from(units)), |(_, price)| price);
                let cents = price * i64::from(units);
                sum += cents;
                charges.totals[way.supplier][at] += cents;
                if let Some((place, _)) = group {
                    charges.totals[place][at] += i64::from(units);
                }
            }
            charges.cents.push(sum);
        }
        charges
    }

    /// The bent cost of a sample, as in its [`Charges`].
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
