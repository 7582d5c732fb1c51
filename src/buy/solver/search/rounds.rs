//! Rounds: every plan of a case up to a target cost, by labels.
//!
//! Each family's plans within the budget are found by [`Near`], then the families are
//! combined one after the other. A round that runs out of room proves nothing and is given
//! more, or its case is parted.

use super::super::cover::{NEVER, Tables};
use super::super::family::Terms;
use super::super::frame::{Choice, Dim, Frame, Label, Room, advance, tidy};
use super::super::model::Worth;
use super::super::near::Near;
use super::super::scan::{Aim, Layout, Scan};
use super::super::scheme::{Case, OPEN, SCALE};
use super::offers::merged;
use super::{MOST_LABELS, MOST_LAYOUTS, MOST_NODES, PATIENCE, Solver, price_unit};

/// How many labels a round may make per label that a stage may hold.
const EFFORT: i64 = 50;

/// A round: all plans of one case up to a target cost.
pub(super) struct Round {
    node: usize,
    target: i64,
    terms: Vec<Terms>,
    frame: Frame,
    /// Per family the same totals with its own cut-offs.
    frames: Vec<Frame>,
    boxes: Vec<usize>,
    least: Vec<i64>,
    /// Per family its least cost without multipliers, in cents.
    plain: Vec<i64>,
    budget: i64,
    layouts: Vec<Vec<Layout>>,
    /// Per family its labels, with the layout in `parent`.
    labels: Vec<Vec<Label>>,
    /// Labels that may still be made.
    effort: i64,
    /// Per family the choices for combining, with the labels that they stand for.
    choices: Vec<Vec<Choice>>,
    stands: Vec<Vec<u32>>,
    /// The totals still watched when combining.
    total: Frame,
    /// Combined labels and their history.
    whole: Vec<Label>,
    history: Vec<Vec<(u32, u32)>>,
}

impl Round {
    /// Takes from every total what the families bring in at least, and stops watching totals
    /// that can no longer be missed.
    fn shift(&mut self) {
        let totals = |dim: &Dim, labels: &Vec<Label>| -> (i64, i64) {
            let all = labels.iter().map(|label| dim.total(label.key));
            (all.clone().min().unwrap_or(0), all.max().unwrap_or(0))
        };
        let mut kept = Vec::new();
        for (d, dim) in self.frame.dims.iter().enumerate() {
            let ranges: Vec<(i64, i64)> = self.labels.iter().map(|labels| totals(dim, labels)).collect();
            let (low, high) = ranges.iter().fold((0, 0), |sum, range| (sum.0 + range.0, sum.1 + range.1));
            let hi = if dim.hi < OPEN && high > dim.hi { dim.hi - low } else { OPEN };
            let lo = (dim.lo - low).max(0);
            if hi < 0 {
                // The box cannot be kept at all.
                self.whole.clear();
            } else if (lo > 0 || hi < OPEN) && self.total.watch(Dim::new(1, lo, hi, dim.bend)) {
                kept.push((d, ranges));
            }
        }
        for (f, labels) in self.labels.iter().enumerate() {
            let mut made: Vec<(Choice, u32)> = Vec::with_capacity(labels.len());
            for (i, label) in labels.iter().enumerate() {
                let total = |(d, ranges): &(usize, Vec<(i64, i64)>)| {
                    self.frame.dims[*d].total(label.key) - ranges[f].0
                };
                if let Some((key, back)) = self.total.pack(kept.iter().map(total)) {
                    let over = label.over + back;
                    made.push((Choice { key, cents: label.cents, rest: label.rest, over }, i as u32));
                }
            }
            made.sort_unstable_by_key(|(choice, i)| (choice.key, choice.cents, choice.rest, *i));
            made.dedup_by_key(|(choice, _)| choice.key);
            made.sort_unstable_by_key(|(choice, i)| (choice.over, choice.cents, choice.rest, *i));
            let (choices, stands) = made.into_iter().unzip();
            self.choices.push(choices);
            self.stands.push(stands);
        }
    }
}

impl Solver {
    pub(super) fn begin_round(&mut self, at: usize, multipliers: Vec<i64>, least: Vec<i64>) {
        if self.nodes[at].patience > 0 && self.nodes.len() < MOST_NODES && self.part(at) {
            return;
        }
        let node = &self.nodes[at];
        let best = self.best.as_ref().map_or(self.ceiling, |plan| plan.worth.cents);
        // Up to a cheaper plan first; when none is left, up to an equal one.
        let strict = best - self.unit;
        let target = if node.bound > strict { best } else { strict.min(node.bound + node.reach) };
        let case = node.case.clone();
        let budget = target * SCALE - case.offset(&multipliers) - least.iter().sum::<i64>();
        let none = vec![0; case.boxes.len()];
        let plain = (0..self.families.len())
            .map(|f| (self.least(f, &case, &none).0 + SCALE - 1).div_euclid(SCALE))
            .collect();
        let watched = self.watched(at, &case, &multipliers, &least, budget);
        let Some((frame, frames, boxes)) = watched else {
            self.nodes[at].stuck = true;
            return;
        };
        let terms: Option<Vec<Terms>> = self
            .families
            .iter()
            .map(|family| Terms::new(&self.problem, family, &case, &multipliers))
            .collect();
        let Some(terms) = terms else {
            self.nodes[at].stuck = true;
            return;
        };
        let round = Round {
            node: at,
            target,
            terms,
            frame,
            frames,
            boxes,
            least,
            plain,
            budget,
            layouts: Vec::new(),
            labels: Vec::new(),
            effort: EFFORT * self.nodes[at].room as i64,
            choices: Vec::new(),
            stands: Vec::new(),
            total: Frame::default(),
            whole: vec![Label::START],
            history: Vec::new(),
        };
        if budget < 0 {
            self.close_round(round.node, round.target);
        } else {
            self.round = Some(Box::new(round));
        }
    }

    /// The totals that a round must watch, over all families and per family.
    ///
    /// Where a case's least totals proved costly to watch, plans within the budget are first
    /// shown to bring in so much of them anyway: with the total's price raised by a share `d`,
    /// a family's plans cost at least `raised`, so one whose bent cost is within `budget` of
    /// `least` has a total of at least `(raised - least - budget) / d`; likewise over all
    /// families together, and from above with the price lowered.
    pub(super) fn watched(
        &mut self,
        at: usize,
        case: &Case,
        multipliers: &[i64],
        least: &[i64],
        budget: i64,
    ) -> Option<(Frame, Vec<Frame>, Vec<usize>)> {
        let families = self.families.len();
        let careful = self.nodes[at].careful;
        let (mut frame, mut frames, mut boxes) =
            (Frame::default(), vec![Frame::default(); families], Vec::new());
        for (i, bounds) in case.boxes.iter().enumerate().filter(|(_, bounds)| bounds.binds()) {
            let unit = if i < self.problem.suppliers.len() { price_unit(&self.problem) } else { 1 };
            let mut bounds = *bounds;
            let mut share = vec![0; families];
            if careful {
                let (sure, all, most) = self.sure(i, case, multipliers, least, budget);
                share = sure;
                if multipliers[i] == 0 {
                    bounds.lo = if all >= bounds.lo { 0 } else { bounds.lo };
                    bounds.hi = if most <= bounds.hi { OPEN } else { bounds.hi };
                }
            }
            if !bounds.binds() {
                continue;
            }
            let total: i64 = share.iter().sum();
            let mut room = frame.watch(Dim::new(unit, bounds.lo, bounds.hi, multipliers[i]));
            for (f, own) in frames.iter_mut().enumerate() {
                let cut = if bounds.hi == OPEN { (bounds.lo - (total - share[f])).max(0) } else { bounds.lo };
                room &= own.watch(Dim::new(unit, cut, bounds.hi, multipliers[i]));
            }
            if !room {
                return None;
            }
            boxes.push(i);
        }
        Some((frame, frames, boxes))
    }

    /// What plans within a budget bring in of one total: at least per family, at least in all,
    /// at most in all.
    pub(super) fn sure(
        &mut self,
        i: usize,
        case: &Case,
        multipliers: &[i64],
        least: &[i64],
        budget: i64,
    ) -> (Vec<i64>, i64, i64) {
        let sum: i64 = least.iter().sum();
        let (mut each, mut all, mut most) = (vec![0; least.len()], 0, OPEN);
        for share in [SCALE / 64, SCALE / 16].map(|share| share * case.groups.worth[i]) {
            let mut raised = multipliers.to_vec();
            raised[i] -= share;
            let costs: Vec<i64> = (0..least.len()).map(|f| self.least(f, case, &raised).0).collect();
            for f in 0..least.len() {
                each[f] = each[f].max((costs[f] - least[f] - budget + share - 1).div_euclid(share));
            }
            all = all.max((costs.iter().sum::<i64>() - sum - budget + share - 1).div_euclid(share));
            let mut lowered = multipliers.to_vec();
            lowered[i] += share;
            let costs: Vec<i64> = (0..least.len()).map(|f| self.least(f, case, &lowered).0).collect();
            if costs.iter().all(|&cost| cost < NEVER) {
                most = most.min((sum + budget - costs.iter().sum::<i64>()).div_euclid(share));
            }
        }
        (each, all, most)
    }

    /// A round is through: nothing up to its target was missed.
    pub(super) fn close_round(&mut self, at: usize, target: i64) {
        let best = self.best.as_ref().map_or(self.ceiling, |plan| plan.worth.cents);
        let node = &mut self.nodes[at];
        node.reach *= 2;
        if target >= best {
            node.exhausted = true;
            node.bound = node.bound.max(best);
        } else {
            node.bound = node.bound.max(target + self.unit);
        }
    }

    /// A round did not have room enough: part the case, or give it more room.
    pub(super) fn fail_round(&mut self, at: usize) {
        if !self.nodes[at].careful && self.nodes[at].case.boxes.iter().any(|bounds| bounds.binds()) {
            self.nodes[at].careful = true;
            return;
        }
        self.nodes[at].patience = PATIENCE + 1;
        if self.nodes.len() < MOST_NODES && self.part(at) {
            return;
        }
        let node = &mut self.nodes[at];
        if node.room < MOST_LABELS {
            node.room = MOST_LABELS;
        } else if node.reach > self.unit {
            node.reach = (node.reach / 4).max(self.unit);
        } else {
            node.stuck = true;
        }
    }

    pub(super) fn go_round(&mut self, mut round: Box<Round>) {
        let f = round.labels.len();
        if f < self.families.len() {
            match self.near(&mut round, f) {
                Some((layouts, labels)) => {
                    round.layouts.push(layouts);
                    round.labels.push(labels);
                    self.round = Some(round);
                }
                None => self.fail_round(round.node),
            }
            return;
        }
        let f = round.history.len();
        if f == 0 {
            round.shift();
        }
        if f < self.families.len() {
            let least = |choices: &Vec<Choice>| choices.iter().map(|choice| choice.cents).min().unwrap_or(0);
            let later: i64 = round.choices[f + 1..].iter().map(least).sum();
            let room = Room {
                over: round.budget,
                cents: self.cents(&round) - later,
                labels: self.nodes[round.node].room,
            };
            let before = round.effort;
            let next = advance(&round.total, &round.whole, &round.choices[f], room, &mut round.effort);
            self.work += before.abs_diff(round.effort);
            match next {
                Some(next) => {
                    round.history.push(next.iter().map(|label| (label.parent, label.option)).collect());
                    round.whole = next;
                    self.round = Some(round);
                }
                None => self.fail_round(round.node),
            }
            return;
        }
        if self.harvest(&round) {
            self.close_round(round.node, round.target);
        } else {
            self.nodes[round.node].stuck = true;
        }
    }

    pub(super) fn near(&mut self, round: &mut Round, f: usize) -> Option<(Vec<Layout>, Vec<Label>)> {
        let family = &self.families[f];
        let limit = round.least[f] + round.budget;
        let scan = Scan::run(family, &round.terms[f], &mut self.tables[f], Aim::All(MOST_LAYOUTS), limit);
        self.work += scan.work;
        if scan.overflow {
            return None;
        }
        let mut tables = std::mem::take(&mut self.tables[f]);
        let mut effort = round.effort;
        let labels = self.labels(round, f, &scan.layouts, &mut tables, limit, &mut effort);
        self.work += round.effort.abs_diff(effort);
        round.effort = effort;
        self.tables[f] = tables;
        let mut all = labels?;
        tidy(&round.frame, &mut all);
        all.sort_by_key(|label| (label.over, label.cents, label.rest, label.key));
        Some((scan.layouts, all))
    }

    pub(super) fn labels(
        &self,
        round: &Round,
        f: usize,
        layouts: &[Layout],
        tables: &mut Tables,
        limit: i64,
        effort: &mut i64,
    ) -> Option<Vec<Label>> {
        let near = self.near_of(round, f);
        let mut all = Vec::new();
        for (i, layout) in layouts.iter().enumerate() {
            let mut labels = near.labels(tables, layout, limit, round.least[f], effort)?;
            for label in &mut labels {
                label.parent = i as u32;
            }
            all.append(&mut labels);
            if all.len() > 2 * MOST_LABELS {
                tidy(&round.frame, &mut all);
                if all.len() > MOST_LABELS {
                    return None;
                }
            }
        }
        Some(all)
    }

    /// The most merchandise that a round looks at.
    pub(super) fn cents(&self, round: &Round) -> i64 {
        round.target - self.nodes[round.node].case.freight
    }

    pub(super) fn near_of<'a>(&'a self, round: &'a Round, f: usize) -> Near<'a> {
        Near {
            problem: &self.problem,
            case: &self.nodes[round.node].case,
            family: &self.families[f],
            terms: &round.terms[f],
            whole: &round.frame,
            frame: &round.frames[f],
            boxes: &round.boxes,
            most: self.nodes[round.node].room,
            cap: self.cents(round) - round.plain.iter().sum::<i64>() + round.plain[f],
            bent: false,
        }
    }

    /// Takes the best plan of a round. Says no if it is not what its label promised, which
    /// would be a slip in the search and must not pass for a proof.
    pub(super) fn harvest(&mut self, round: &Round) -> bool {
        let freight = self.nodes[round.node].case.freight;
        let best = self.best.as_ref().map(|plan| plan.worth);
        let whole = round.whole.iter().enumerate().filter(|(_, label)| round.total.reached(label.key, 0));
        let Some((mut at, label)) = whole.min_by_key(|(_, label)| (label.cents, label.rest)) else {
            return true;
        };
        let worth = Worth { cents: label.cents + freight, rest: label.rest };
        if best.is_some_and(|best| best <= worth) {
            return true;
        }
        let mut lines = Vec::new();
        for (f, steps) in round.history.iter().enumerate().rev() {
            let (parent, option) = steps[at];
            let label = round.labels[f][round.stands[f][option as usize] as usize];
            let layout = &round.layouts[f][label.parent as usize];
            let limit = round.least[f] + round.budget;
            let mut tables = std::mem::take(&mut self.tables[f]);
            let part = self.near_of(round, f).trace(&mut tables, layout, limit, &label);
            self.tables[f] = tables;
            let Some(mut part) = part else { return false };
            lines.append(&mut part);
            at = parent as usize;
        }
        self.offer(&merged(lines));
        self.best.as_ref().is_some_and(|best| best.worth <= worth)
    }
}
