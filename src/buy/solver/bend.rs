//! Multipliers on the shared totals: the best bound that they can give.
//!
//! For any multipliers of the right sign, the families' least bent costs plus the boxes'
//! offsets bound a case from below. The bound is concave in the multipliers. Plans already
//! seen give a model of it from above that costs next to nothing to evaluate; its top, within
//! a trust region, is where the families are scanned next.

use super::model::{Line, Problem};
use super::scheme::{Case, SCALE};

/// A plan of one family as the model sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sample {
    /// Index of the family.
    pub family: usize,
    /// Cents of merchandise.
    pub cents: i64,
    /// The shared totals, as in [`Case::boxes`].
    pub totals: Vec<i64>,
    /// Which suppliers it buys from, as bits.
    pub from: u32,
    /// The group stretches that its prices hold in, as their least counts.
    pub groups: Vec<i64>,
    /// Its lines.
    pub lines: Vec<Line>,
    /// Units per way that it buys: pairs of way and units.
    pub units: Vec<(usize, u32)>,
}

impl Sample {
    /// Its bent cost.
    pub fn bent(&self, multipliers: &[i64]) -> i64 {
        let reward: i64 = self.totals.iter().zip(multipliers).map(|(total, m)| total * m).sum();
        self.cents * SCALE - reward
    }

    /// Whether it could be bought in this case at these prices.
    pub fn fits(&self, problem: &Problem, case: &Case) -> bool {
        let bought = (0..problem.suppliers.len()).filter(|s| self.from & (1 << s) != 0);
        let stocked =
            |&(way, units): &(usize, u32)| problem.ways[way].at_most.is_none_or(|most| units <= most);
        bought.into_iter().all(|s| case.used[s])
            && self.units.iter().all(stocked)
            && self.groups == group_key(problem, case)
            && self.within(case)
    }
}

impl Sample {
    /// Whether it keeps to the counts that a case's branch allows.
    fn within(&self, case: &Case) -> bool {
        case.clips.iter().all(|clip| {
            let ours = self.units.iter().find(|pair| pair.0 == clip.way).map_or(0, |pair| pair.1);
            clip.family != self.family || (clip.lo <= ours && ours <= clip.hi)
        })
    }
}

/// The bounds of a case's groups.
pub(super) fn group_key(problem: &Problem, case: &Case) -> Vec<i64> {
    case.boxes[problem.suppliers.len()..].iter().flat_map(|bounds| [bounds.lo, bounds.hi]).collect()
}

/// The search for the best multipliers of one case.
#[derive(Debug, Clone)]
pub(super) struct Bending {
    /// The best multipliers so far.
    pub best: Vec<i64>,
    /// Their bound, in parts of the scale.
    pub bound: i64,
    /// Where the larger case that this one is a part of had its best.
    hint: Option<Vec<i64>>,
    radius: i64,
    rounds: u32,
    /// Whether families are bounded exactly.
    pub exact: bool,
}

impl Bending {
    /// Starts from no multipliers and their bound.
    pub fn new(dims: usize, bound: i64, hint: Option<Vec<i64>>) -> Self {
        Self { best: vec![0; dims], bound, hint, radius: SCALE / 16, rounds: 0, exact: false }
    }

    /// Starts over from the best multipliers and their exact bound.
    pub fn sharpen(mut self, bound: i64) -> Self {
        self.bound = bound;
        self.exact = true;
        self.rounds = 0;
        self.radius = SCALE / 16;
        self
    }

    /// Where to scan next; `None` when nothing is to be gained.
    pub fn next(&mut self, case: &Case, samples: &[Vec<&Sample>], most_rounds: u32) -> Option<Vec<i64>> {
        if self.rounds >= most_rounds || !case.boxes.iter().any(|bounds| bounds.binds()) {
            return None;
        }
        self.rounds += 1;
        if let Some(hint) = self.hint.take().filter(|hint| *hint != self.best) {
            return Some(hint);
        }
        let model = Model { case, samples };
        let (top, at) = model.climb(&self.best, self.radius);
        // Less than half a cent to gain is not worth a scan.
        (top > self.bound + SCALE / 2 && at != self.best).then_some(at)
    }

    /// Takes the bound found at multipliers.
    pub fn learn(&mut self, at: Vec<i64>, bound: i64) {
        let hinted = self.rounds == 1 && self.radius == SCALE / 16;
        let edge = at.iter().zip(&self.best).any(|(a, b)| (a - b).abs() >= self.radius);
        if bound > self.bound {
            self.bound = bound;
            self.best = at;
            if edge {
                self.radius = (self.radius * 2).min(SCALE);
            }
        } else if !hinted {
            self.radius = (self.radius / 2).max(1);
        }
    }
}

struct Model<'a> {
    case: &'a Case,
    samples: &'a [Vec<&'a Sample>],
}

impl Model<'_> {
    fn at(&self, multipliers: &[i64]) -> i64 {
        let allowed = self.case.boxes.iter().zip(multipliers).all(|(bounds, &m)| bounds.allows(m));
        if !allowed || multipliers.iter().any(|&m| m >= SCALE) {
            return i64::MIN;
        }
        let least = |family: &Vec<&Sample>| family.iter().map(|sample| sample.bent(multipliers)).min();
        self.case.offset(multipliers) + self.samples.iter().filter_map(least).sum::<i64>()
    }

    /// Climbs by shrinking steps along the axes and the diagonals of pairs.
    fn climb(&self, from: &[i64], radius: i64) -> (i64, Vec<i64>) {
        let mut at = from.to_vec();
        let mut top = self.at(&at);
        let within = |at: &[i64]| at.iter().zip(from).all(|(a, b)| (a - b).abs() <= radius);
        let ways = directions(from.len());
        let mut step = radius;
        while step > 0 {
            let mut moved = false;
            for way in &ways {
                let next: Vec<i64> = at.iter().zip(way).map(|(a, d)| a + d * step).collect();
                if within(&next) {
                    let value = self.at(&next);
                    if value > top {
                        (top, at, moved) = (value, next, true);
                    }
                }
            }
            if !moved {
                step /= 2;
            }
        }
        (top, at)
    }
}

fn directions(dims: usize) -> Vec<Vec<i64>> {
    let mut out = Vec::new();
    for a in 0..dims {
        for sign in [1, -1] {
            let mut way = vec![0; dims];
            way[a] = sign;
            out.push(way.clone());
            for b in 0..a {
                for other in [1, -1] {
                    way[b] = other;
                    out.push(way.clone());
                    way[b] = 0;
                }
            }
        }
    }
    out
}
