//! Multipliers on the shared totals: the best bound that they can give.
//!
//! For any multipliers of the right sign, the families' least bent costs plus the boxes'
//! offsets bound a case from below. The bound is concave in the multipliers. Plans already
//! seen give a model of it from above that costs next to nothing to evaluate; its top, within
//! a trust region, is where the families are scanned next.

use super::model::Problem;
use super::sample::Charges;
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
        samples: &[Charges],
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

    /// Takes the bound found at multipliers; tells whether they are the best ones now.
    pub fn learn(&mut self, at: Vec<i64>, bound: i64, worth: &[i64]) -> bool {
        let steps = at.iter().zip(&self.best).zip(worth).map(|((a, b), worth)| (a - b).abs() / worth);
        let edge = steps.max().is_some_and(|step| step >= self.radius);
        let is_better = bound > self.bound;
        if is_better {
            self.bound = bound;
            self.best = at;
            if edge {
                self.radius = (self.radius * 2).min(SCALE);
            }
        } else {
            self.radius = (self.radius / 2).max(1);
        }
        is_better
    }
}

/// What samples say of a case from above.
struct Model<'a> {
    case: &'a Case,
    /// Triples of a supplier, a group's box, and the least price that the group has there.
    floors: Vec<(usize, usize, i64)>,
    samples: &'a [Charges],
}

/// Multipliers, with the samples' bent costs there.
struct Place {
    at: Vec<i64>,
    bent: Vec<Vec<i64>>,
}

/// A direction: one dimension, or two, and how far in a step of one.
type Way = [(usize, i64); 2];

impl Model<'_> {
    /// Whether every multiplier has the sign of a bound, and no price is bent below nothing.
    fn allows(&self, multipliers: &[i64]) -> bool {
        self.case.boxes.iter().zip(multipliers).all(|(bounds, &m)| bounds.allows(m))
            && multipliers[..self.case.used.len()].iter().all(|&m| m < SCALE)
            && self.floors.iter().all(|&(supplier, place, price)| {
                (SCALE - multipliers[supplier]) * price >= multipliers[place]
            })
    }

    fn value(&self, multipliers: &[i64], bent: &[Vec<i64>]) -> i64 {
        self.case.offset(multipliers) + bent.iter().filter_map(|family| family.iter().min()).sum::<i64>()
    }

    /// The model's value a step away, the samples' bent costs changed by what the step changes.
    fn ahead(&self, multipliers: &[i64], bent: &[Vec<i64>], way: &Way, step: i64) -> i64 {
        let [(a, by_a), (b, by_b)] = way.map(|(dim, by)| (dim, by * step));
        let family = |(bent, charges): (&Vec<i64>, &Charges)| {
            let totals = charges.totals[a].iter().zip(&charges.totals[b]);
            bent.iter().zip(totals).map(|(bent, (of_a, of_b))| bent - by_a * of_a - by_b * of_b).min()
        };
        self.case.offset(multipliers) + bent.iter().zip(self.samples).filter_map(family).sum::<i64>()
    }

    /// Climbs by shrinking steps along the axes and the diagonals of pairs.
    fn climb(&self, from: &[i64], radius: i64) -> (i64, Vec<i64>) {
        let bent_at = |at: &[i64]| self.samples.iter().map(|charges| charges.bent(at)).collect();
        let mut place = Place { at: from.to_vec(), bent: bent_at(from) };
        let mut top = self.value(&place.at, &place.bent);
        let worth = &self.case.groups.worth;
        let within = |at: &[i64]| {
            at.iter().zip(from).zip(worth).all(|((a, b), worth)| (a - b).abs() <= radius * worth)
        };
        let bound: Vec<usize> = (0..from.len()).filter(|&d| self.case.boxes[d].binds()).collect();
        let ways = directions(&bound, worth);
        let mut step = radius;
        while step > 0 {
            let mut moved = false;
            for way in &ways {
                let mut next = place.at.clone();
                way.iter().for_each(|&(dim, by)| next[dim] += by * step);
                if within(&next) && self.allows(&next) {
                    let value = self.ahead(&next, &place.bent, way, step);
                    if value > top {
                        (top, moved) = (value, true);
                        place = Place { bent: bent_at(&next), at: next };
                    }
                }
            }
            if !moved {
                step /= 2;
            }
        }
        (top, place.at)
    }
}

/// Along each of the dimensions and each pair of them, both ways.
fn directions(dims: &[usize], worth: &[i64]) -> Vec<Way> {
    let mut out = Vec::new();
    for (i, &a) in dims.iter().enumerate() {
        for by in [worth[a], -worth[a]] {
            out.push([(a, by), (a, 0)]);
            for &b in &dims[..i] {
                out.extend([worth[b], -worth[b]].map(|other| [(a, by), (b, other)]));
            }
        }
    }
    out
}
