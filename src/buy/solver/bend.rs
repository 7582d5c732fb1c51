//! Multipliers on the shared totals: the best bound that they can give.
//!
//! For any multipliers of the right sign, the families' least bent costs plus the boxes'
//! offsets bound a case from below. The bound is concave in the multipliers. Plans already
//! seen give a model of it from above that costs next to nothing to evaluate; its top, within
//! a trust region, is where the families are scanned next.

use super::model::Problem;
use super::sample::Charge;
use super::scheme::{Case, SCALE};

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
    radius: i64,
    rounds: u32,
    /// Whether families are bounded exactly.
    pub exact: bool,
}

impl Bending {
    /// Starts from multipliers and their bound.
    pub fn new(best: Vec<i64>, bound: i64) -> Self {
        Self { best, bound, radius: SCALE / 16, rounds: 0, exact: false }
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
    pub fn next(
        &mut self,
        problem: &Problem,
        case: &Case,
        samples: &[Vec<Charge>],
        most_rounds: u32,
    ) -> Option<Vec<i64>> {
        if self.rounds >= most_rounds || !case.boxes.iter().any(|bounds| bounds.binds()) {
            return None;
        }
        self.rounds += 1;
        let model = Model { case, floors: case.floors(problem), samples };
        let (top, at) = model.climb(&self.best, self.radius);
        // Less than half a cent to gain is not worth a scan.
        (top > self.bound + SCALE / 2 && at != self.best).then_some(at)
    }

    /// Takes the bound found at multipliers.
    pub fn learn(&mut self, at: Vec<i64>, bound: i64, worth: &[i64]) {
        let steps = at.iter().zip(&self.best).zip(worth).map(|((a, b), worth)| (a - b).abs() / worth);
        let edge = steps.max().is_some_and(|step| step >= self.radius);
        if bound > self.bound {
            self.bound = bound;
            self.best = at;
            if edge {
                self.radius = (self.radius * 2).min(SCALE);
            }
        } else {
            self.radius = (self.radius / 2).max(1);
        }
    }
}

struct Model<'a> {
    case: &'a Case,
    /// Pairs of a supplier and a group's box, with the least price that the group has there.
    floors: Vec<(usize, usize, i64)>,
    samples: &'a [Vec<Charge>],
}

impl Model<'_> {
    /// Whether no price is bent below nothing.
    fn bears(&self, multipliers: &[i64]) -> bool {
        multipliers[..self.case.used.len()].iter().all(|&m| m < SCALE)
            && self.floors.iter().all(|&(supplier, place, price)| {
                (SCALE - multipliers[supplier]) * price >= multipliers[place]
            })
    }

    fn at(&self, multipliers: &[i64]) -> i64 {
        let allowed = self.case.boxes.iter().zip(multipliers).all(|(bounds, &m)| bounds.allows(m));
        if !allowed || !self.bears(multipliers) {
            return i64::MIN;
        }
        let least = |family: &Vec<Charge>| family.iter().map(|sample| sample.bent(multipliers)).min();
        self.case.offset(multipliers) + self.samples.iter().filter_map(least).sum::<i64>()
    }

    /// Climbs by shrinking steps along the axes and the diagonals of pairs.
    fn climb(&self, from: &[i64], radius: i64) -> (i64, Vec<i64>) {
        let mut at = from.to_vec();
        let mut top = self.at(&at);
        let worth = &self.case.groups.worth;
        let within =
            |at: &[i64]| at.iter().zip(from).zip(worth).all(|((a, b), w)| (a - b).abs() <= radius * w);
        let bound = (0..from.len()).filter(|&d| self.case.boxes[d].binds()).collect::<Vec<usize>>();
        let ways = directions(&bound, worth);
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

/// Along each of the dimensions and each pair of them, both ways.
fn directions(dims: &[usize], worth: &[i64]) -> Vec<Vec<i64>> {
    let mut out = Vec::new();
    for (i, &a) in dims.iter().enumerate() {
        for sign in [1, -1] {
            let mut way = vec![0; worth.len()];
            way[a] = sign * worth[a];
            out.push(way.clone());
            for &b in &dims[..i] {
                for other in [1, -1] {
                    way[b] = other * worth[b];
                    out.push(way.clone());
                    way[b] = 0;
                }
            }
        }
    }
    out
}
