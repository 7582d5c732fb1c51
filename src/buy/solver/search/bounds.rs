//! Bounds of a case: without multipliers, with the best ones, and made exact.

use super::super::bend::{Bending, group_key};
use super::super::cover::NEVER;
use super::super::family::Terms;
use super::super::frame::{Frame, Label};
use super::super::model::Line;
use super::super::near::Near;
use super::super::sample::{Charges, Tariff};
use super::super::scan::{Aim, Scan};
use super::super::scheme::{Case, SCALE};
use super::offers::{lines_of, merged};
use super::{Solver, State};

/// How many labels finding a family's exact least cost may make.
const EXACT_EFFORT: i64 = 400_000;
/// How many families' least costs are kept.
const MOST_KNOWN: usize = 20_000;
/// How many multipliers are tried for one case.
const MOST_BENDS: u32 = 40;
/// How many, where a group's stretch is still to be fixed.
const MOST_OPEN_BENDS: u32 = 6;
/// How many, where each family is bounded exactly.
const MOST_EXACT_BENDS: u32 = 16;

impl Solver {
    /// Bounds a case where the larger one that it is a part of had its best multipliers, or
    /// without any.
    pub(super) fn rough(&mut self, at: usize) {
        let case = self.nodes[at].case.clone();
        let hint = self.nodes[at].hint.take().map(|hint| case.allowed(&hint));
        let start = hint.filter(|hint| hint.iter().any(|&m| m != 0));
        let found = start.and_then(|start| self.bounded(&case, start));
        let found = found.or_else(|| self.bounded(&case, vec![0; case.boxes.len()]));
        let Some((multipliers, least, picks)) = found else {
            self.raise(at, NEVER);
            return;
        };
        let bound = least.iter().sum::<i64>() + case.offset(&multipliers);
        self.raise(at, bound);
        self.offer_samples(&picks);
        self.nodes[at].state = State::Bending { bending: Bending::new(multipliers, bound), least };
    }

    /// Multipliers with the families' least bent costs there and the samples that have them;
    /// nothing where a family has no plan at them.
    #[allow(clippy::type_complexity)]
    fn bounded(&mut self, case: &Case, multipliers: Vec<i64>) -> Option<(Vec<i64>, Vec<i64>, Vec<usize>)> {
        let mut least = Vec::with_capacity(self.families.len());
        let mut picks = Vec::with_capacity(self.families.len());
        for f in 0..self.families.len() {
            let (value, pick) = self.least(f, case, &multipliers);
            least.push(value);
            picks.push(pick);
        }
        // Also where one has none, the others were looked at: their samples speed later scans.
        picks.iter().all(|&pick| pick != usize::MAX).then_some((multipliers, least, picks))
    }

    /// A family's least bent cost in a case, and the sample that has it.
    pub(super) fn least(&mut self, f: usize, case: &Case, multipliers: &[i64]) -> (i64, usize) {
        let key = self.market(f, case, multipliers);
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let found = self.scan(f, case, multipliers).unwrap_or((NEVER, usize::MAX));
        if self.known.len() > MOST_KNOWN {
            self.known.clear();
        }
        self.known.insert(key, found);
        found
    }

    /// All that a family's least cost depends on.
    pub(super) fn market(&self, f: usize, case: &Case, multipliers: &[i64]) -> Vec<i64> {
        let mut key = vec![f as i64];
        for s in (0..case.used.len()).filter(|&s| self.sells[f][s]) {
            // Stretches of a price are cut differently where spending is rewarded.
            let pads = case.boxes[s].lo;
            key.extend(if case.used[s] { [pads, multipliers[s]] } else { [-1, 0] });
        }
        key.extend(group_key(&self.problem, case));
        key.extend(&multipliers[case.used.len()..]);
        for clip in case.clips.iter().filter(|clip| clip.family == f) {
            key.extend([clip.way as i64, i64::from(clip.lo), i64::from(clip.hi)]);
        }
        key
    }

    pub(super) fn scan(&mut self, f: usize, case: &Case, multipliers: &[i64]) -> Option<(i64, usize)> {
        let family = &self.families[f];
        let terms = Terms::new(&self.problem, family, case, multipliers)?;
        let known = Tariff::of(&self.problem, case).cheapest(f, &self.samples[f], multipliers);
        let limit = known.map_or(NEVER - 1, |known| known.0);
        let scan = Scan::run(family, &terms, &mut self.tables[f], Aim::Least, limit);
        self.work += scan.work;
        let mut layouts = scan.layouts;
        if layouts.is_empty() {
            // The limit is a true plan's, so this should not be; the bound must not rest on it.
            let scan = Scan::run(family, &terms, &mut self.tables[f], Aim::Least, NEVER - 1);
            self.work += scan.work;
            layouts = scan.layouts;
        }
        let layout = layouts.into_iter().next()?;
        let lines = lines_of(family, &terms, &mut self.tables[f], &layout);
        Some((layout.bound, self.samples[f].keep(lines)))
    }

    /// What a case charges for the samples that it allows.
    fn charges(&self, case: &Case) -> Vec<Charges> {
        let tariff = Tariff::of(&self.problem, case);
        self.samples.iter().enumerate().map(|(f, samples)| tariff.charges(f, samples)).collect()
    }

    pub(super) fn bend(&mut self, at: usize, mut bending: Bending, mut least: Vec<i64>) {
        let case = self.nodes[at].case.clone();
        let samples = self.charges(&case);
        let most = match (case.open(), bending.exact) {
            (true, _) => MOST_OPEN_BENDS,
            (false, true) => MOST_EXACT_BENDS,
            (false, false) => MOST_BENDS,
        };
        let Some(next) = bending.next(&self.problem, &case, &samples, most) else {
            self.nodes[at].reach = 4 * self.unit;
            self.nodes[at].state = if case.open() {
                State::Open(bending.best)
            } else if bending.exact {
                State::Bent { multipliers: bending.best, least }
            } else {
                State::Refining { bending, least, next: 0 }
            };
            return;
        };
        let mut values = Vec::with_capacity(self.families.len());
        let mut picks = Vec::with_capacity(self.families.len());
        for f in 0..self.families.len() {
            let (mut value, pick) = self.least(f, &case, &next);
            if bending.exact && value < NEVER {
                value = self.refined(f, &case, &next, value);
            }
            values.push(value);
            picks.push(pick);
        }
        let possible = picks.iter().all(|&pick| pick != usize::MAX);
        let bound = if possible { values.iter().sum::<i64>() + case.offset(&next) } else { i64::MIN };
        if possible {
            self.offer_samples(&picks);
        }
        if bending.learn(next, bound, &case.groups.worth) {
            least = values;
        }
        self.raise(at, bending.bound);
        self.nodes[at].state = State::Bending { bending, least };
    }

    /// Raises one family's least bent cost to what its plans truly cost at least.
    pub(super) fn refine(&mut self, at: usize, bending: Bending, mut least: Vec<i64>, f: usize) {
        let case = self.nodes[at].case.clone();
        let multipliers = bending.best.clone();
        if f == least.len() {
            self.offer_cheapest(&case, &multipliers);
            let bound = least.iter().sum::<i64>() + case.offset(&multipliers);
            // Where the bounds were off by much, the multipliers may be as well.
            self.nodes[at].state = if bound > bending.bound + SCALE {
                State::Bending { bending: bending.sharpen(bound), least }
            } else {
                State::Bent { multipliers, least }
            };
            return;
        }
        least[f] = self.refined(f, &case, &multipliers, least[f]);
        let bound = least.iter().sum::<i64>() + case.offset(&multipliers);
        self.raise(at, bound);
        self.nodes[at].state = State::Refining { bending, least, next: f + 1 };
    }

    /// A family's least bent cost, exact as far as it can be had.
    fn refined(&mut self, f: usize, case: &Case, multipliers: &[i64], least: i64) -> i64 {
        let mut key = self.market(f, case, multipliers);
        key.push(i64::MIN);
        let known = self.known.get(&key).map(|found| found.0);
        let value = known.unwrap_or_else(|| self.exact(f, case, multipliers, least));
        self.known.insert(key, (value, 0));
        least.max(value)
    }

    /// A family's least bent cost as far as it can be had: all plans are looked at, a little
    /// further above the bound each time, until one is found or the best sample is reached.
    pub(super) fn exact(&mut self, f: usize, case: &Case, multipliers: &[i64], least: i64) -> i64 {
        let known = Tariff::of(&self.problem, case).cheapest(f, &self.samples[f], multipliers);
        let known = known.map(|found| found.0);
        let Some(terms) = Terms::new(&self.problem, &self.families[f], case, multipliers) else {
            return least;
        };
        let mut effort = EXACT_EFFORT;
        let mut sure = least;
        let mut further = known.map_or(SCALE, |known| ((known - least) / 8).max(1));
        for _ in 0..24 {
            let limit = known.map_or(least + further, |known| (least + further).min(known - 1));
            if known.is_some_and(|known| sure >= known) {
                break;
            }
            match self.within(f, case, &terms, limit, &mut effort) {
                None => break,
                Some(Some((value, lines))) => {
                    self.samples[f].keep(lines);
                    return value;
                }
                Some(None) => sure = limit + 1,
            }
            further *= 2;
        }
        sure
    }

    /// The family's plan of least bent cost up to a limit; `None` if that takes too much.
    #[allow(clippy::type_complexity)]
    pub(super) fn within(
        &mut self,
        f: usize,
        case: &Case,
        terms: &Terms,
        limit: i64,
        effort: &mut i64,
    ) -> Option<Option<(i64, Vec<Line>)>> {
        let family = &self.families[f];
        let found = Scan::run(family, terms, &mut self.tables[f], Aim::All(super::MOST_LAYOUTS), limit);
        self.work += found.work;
        if found.overflow {
            return None;
        }
        let (frame, problem) = (Frame::default(), &self.problem);
        let near = Near {
            problem,
            case,
            family,
            terms,
            whole: &frame,
            frame: &frame,
            boxes: &[],
            most: super::MOST_LABELS,
            cap: i64::MAX / 2,
            bent: true,
        };
        let mut best: Option<(i64, usize, Label)> = None;
        for (i, layout) in found.layouts.iter().enumerate() {
            let before = *effort;
            let labels = near.labels(&mut self.tables[f], layout, limit, 0, effort);
            self.work += before.abs_diff(*effort);
            for label in labels? {
                if best.as_ref().is_none_or(|best| label.cents < best.0) {
                    best = Some((label.cents, i, label));
                }
            }
        }
        let Some((value, i, label)) = best else { return Some(None) };
        let lines = near.trace(&mut self.tables[f], &found.layouts[i], limit, &label)?;
        Some(Some((value, merged(lines))))
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::check;
    use super::super::super::model::{Family, Problem, Step, Supplier, Tier, Unit, Way};
    use super::super::super::scheme::Clip;
    use super::*;
    use proptest::prelude::*;

    /// Two families of one letter each, sold by two suppliers; the second has no letter of the first.
    fn solver() -> Solver {
        let way = |supplier, family, group| Way {
            supplier,
            family,
            unit: Unit::Same { n: 1, glyphs: None },
            tiers: vec![Tier { from: 1, cents: 50 }, Tier { from: 5, cents: 40 }],
            at_most: None,
            group,
        };
        let freight = vec![Step { from: 0, cents: 500 }, Step { from: 900, cents: 0 }];
        Solver::new(Problem {
            suppliers: vec![Supplier { freight, min_order: 0 }; 2],
            families: vec![Family { need: vec![3] }; 2],
            ways: vec![way(0, 0, Some(7)), way(0, 1, None), way(1, 1, None)],
        })
        .unwrap()
    }

    /// What is known of a family's least cost is used again wherever this key is the same: all that
    /// the cost depends on must change it, and nothing else should.
    #[test]
    fn a_familys_market_is_all_that_its_cost_depends_on() {
        let solver = solver();
        let case = solver.nodes.iter().map(|node| &node.case).find(|case| case.used == [true, true]).unwrap();
        let none = vec![0; case.boxes.len()];
        let changed = |change: &dyn Fn(&mut Case, &mut Vec<i64>)| {
            let (mut other, mut multipliers) = (case.clone(), none.clone());
            change(&mut other, &mut multipliers);
            [0, 1].map(|f| solver.market(f, &other, &multipliers) != solver.market(f, case, &none))
        };
        assert_eq!(changed(&|_, _| ()), [false, false]);
        assert_ne!(solver.market(0, case, &none), solver.market(1, case, &none));
        // What only one of them buys by, and the group's box, which counts for all.
        assert_eq!(changed(&|_, m| m[0] = 9), [true, true]);
        assert_eq!(changed(&|_, m| m[1] = 9), [false, true]);
        assert_eq!(changed(&|_, m| m[2] = 9), [true, true]);
        assert_eq!(changed(&|case, _| case.boxes[1].lo += 1), [false, true]);
        assert_eq!(changed(&|case, _| case.used[1] = false), [false, true]);
        assert_eq!(changed(&|case, _| case.boxes[2].hi = 9), [true, true]);
        let clip = |family, way, lo, hi| Clip { family, way, lo, hi };
        assert_eq!(changed(&|case, _| case.clips.push(clip(0, 0, 2, 9))), [true, false]);
        assert_eq!(changed(&|case, _| case.clips.push(clip(1, 1, 2, 9))), [false, true]);
        // Two parts of one case differ.
        let with = |clip: Clip| {
            let mut case = case.clone();
            case.clips.push(clip);
            solver.market(0, &case, &none)
        };
        assert_ne!(with(clip(0, 0, 0, 4)), with(clip(0, 0, 5, 4)));
        assert_ne!(with(clip(0, 0, 0, 4)), with(clip(0, 0, 0, 5)));
    }

    /// The most cents that plans are tried up to.
    const UP_TO: i64 = 40;

    /// A way of a family of two letters: pieces, packs, or a set; a break, up or down; perhaps few of it.
    fn way() -> impl Strategy<Value = Way> {
        let unit = prop_oneof![
            (1_u32..4).prop_map(|n| Unit::Same { n, glyphs: None }),
            (1_u32..4, 0_usize..2).prop_map(|(n, glyph)| Unit::Same { n, glyphs: Some(vec![glyph]) }),
            (0_u32..3, 1_u32..3).prop_map(|(a, b)| Unit::Mix(vec![(0, a), (1, b)])),
        ];
        let tiers =
            (3_i64..16, 2_u32..6, 3_i64..16, any::<bool>()).prop_map(|(first, from, then, has_break)| {
                let mut tiers = vec![Tier { from: 1, cents: first }];
                if has_break {
                    tiers.push(Tier { from, cents: then });
                }
                tiers
            });
        (unit, tiers, prop::option::of(1_u32..5)).prop_map(|(unit, tiers, at_most)| Way {
            supplier: 0,
            family: 0,
            unit,
            tiers,
            at_most,
            group: None,
        })
    }

    /// The least that a plan costs, by trying all that cost less than a limit.
    fn by_trying(problem: &Problem, limit: i64) -> Option<i64> {
        let slots: Vec<(usize, Option<usize>, i64)> = problem
            .ways
            .iter()
            .enumerate()
            .flat_map(|(w, way)| {
                let floor = way.tiers.iter().map(|tier| tier.cents).min().unwrap_or(0);
                let glyphs: Vec<Option<usize>> = match &way.unit {
                    Unit::Mix(_) => vec![None],
                    Unit::Same { .. } => (0..2).filter(|&glyph| way.sells(glyph)).map(Some).collect(),
                };
                glyphs.into_iter().map(move |glyph| (w, glyph, floor))
            })
            .collect();
        let mut best = None;
        let mut tried: Vec<(Vec<Line>, i64)> = vec![(Vec::new(), 0)];
        for (way, glyph, floor) in slots {
            let more = tried.iter().flat_map(|(lines, spent)| {
                let most = (limit - 1 - spent) / floor;
                (1..=most).map(move |units| {
                    let line = Line { way, glyph, units: units as u32 };
                    (lines.iter().copied().chain([line]).collect(), spent + floor * units)
                })
            });
            let more: Vec<(Vec<Line>, i64)> = more.collect();
            tried.extend(more);
        }
        for (lines, _) in tried {
            let cents = check::price(problem, &lines).ok().map(|plan| plan.worth.cents);
            best = [best, cents].into_iter().flatten().min();
        }
        best.filter(|&cents| cents < limit)
    }

    proptest! {
        /// Whatever can be had within a limit is found, at its true price, and nothing that cannot.
        #[test]
        fn a_familys_cheapest_plan_within_a_limit_is_found(
            need in prop::collection::vec(0_u32..5, 2),
            ways in prop::collection::vec(way(), 1..4),
        ) {
            let problem = Problem { suppliers: vec![Supplier::default()], families: vec![Family { need }], ways };
            let mut solver = Solver::new(problem.clone()).unwrap();
            let case = solver.nodes.iter().map(|node| &node.case).find(|case| case.used[0]).unwrap().clone();
            let terms = Terms::new(&problem, &solver.families[0], &case, &vec![0; case.boxes.len()]).unwrap();
            let mut within = |cents: i64| {
                let mut effort = EXACT_EFFORT;
                solver.within(0, &case, &terms, cents * SCALE, &mut effort).expect("room enough")
            };
            match within(UP_TO) {
                Some((value, lines)) => {
                    let plan = check::price(&problem, &lines).unwrap();
                    prop_assert_eq!(plan.worth.cents * SCALE, value);
                    prop_assert_eq!(by_trying(&problem, plan.worth.cents), None, "{:?}", problem);
                    prop_assert_eq!(within(plan.worth.cents).map(|found| found.0), Some(value));
                    prop_assert!(within(plan.worth.cents - 1).is_none());
                }
                None => prop_assert_eq!(by_trying(&problem, UP_TO + 1), None, "{:?}", problem),
            }
        }
    }
}
