//! The cases: which supplier is used, in which freight bracket, with which group break.
//!
//! Freight and group breaks are steps of a total over all families. Within one bracket they
//! are constants, and what remains of them is a box: a total that must lie between two
//! bounds. A case fixes one bracket per supplier and one stretch per break group; the plan
//! is the best over all cases. A box whose bound could only be broken to the buyer's gain
//! is opened there, because the true cost of what lies beyond is never above the cost that
//! the case charges, and the neighbouring case charges it exactly.

use super::model::{Line, Problem, Supplier};
use std::sync::Arc;

/// Multipliers are whole numbers of this many parts.
pub(super) const SCALE: i64 = 1 << 12;
/// Stands for "no upper bound".
pub(super) const OPEN: i64 = i64::MAX;

/// Bounds on one shared total.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Bounds {
    pub lo: i64,
    pub hi: i64,
}

impl Bounds {
    const FREE: Self = Self { lo: 0, hi: OPEN };

    /// The multiplier's contribution to the bound: reward for reaching, price for exceeding.
    pub fn offset(self, multiplier: i64) -> i64 {
        match multiplier {
            0 => 0,
            m if m > 0 => m * self.lo,
            m => m.saturating_mul(self.hi),
        }
    }

    /// Whether a multiplier has the sign of a bound that exists.
    pub fn allows(self, multiplier: i64) -> bool {
        multiplier == 0 || (multiplier > 0 && self.lo > 0) || (multiplier < 0 && self.hi < OPEN)
    }

    /// Whether there is anything to keep.
    pub fn binds(self) -> bool {
        self != Self::FREE
    }
}

/// One choice of brackets and stretches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Case {
    /// Freight charged.
    pub freight: i64,
    /// Per supplier: whether anything may be bought there.
    pub used: Vec<bool>,
    /// Per supplier its subtotal, then per group its units.
    pub boxes: Vec<Bounds>,
    /// The break groups.
    pub groups: Arc<Groups>,
    /// Per group the first and last stretch still open.
    pub spans: Vec<(usize, usize)>,
    /// Bounds on the units of single ways, where the case is a part of a larger one.
    pub clips: Vec<Clip>,
}

/// The break groups of a problem.
#[derive(Debug, PartialEq, Eq, Default)]
pub(super) struct Groups {
    /// Per way the place of its group's box (of no meaning without a group).
    pub of: Vec<usize>,
    /// Per group the stretches of its units over which no price changes.
    pub stretches: Vec<Vec<Bounds>>,
    /// Per box what one of its total is worth: a cent of a subtotal one, a unit of a group its
    /// price. Multipliers on the box move in steps of so much.
    pub worth: Vec<i64>,
}

/// A bound on the units of one way, set by branching.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Clip {
    pub family: usize,
    pub way: usize,
    pub lo: u32,
    pub hi: u32,
}

impl Case {
    /// Whether buying more of this way than is needed works towards a bound.
    pub fn rewards(&self, problem: &Problem, way: usize) -> bool {
        let supplier = problem.ways[way].supplier;
        let group = problem.ways[way].group.is_some_and(|_| self.boxes[self.groups.of[way]].lo > 0);
        self.boxes[supplier].lo > 0 || group
    }

    /// How many units of a way, at this price at least, reach every bound by themselves.
    pub fn padding(&self, problem: &Problem, way: usize, cents: i64) -> u32 {
        let spend = self.boxes[problem.ways[way].supplier].lo;
        let by_spend = if cents > 0 { (spend + cents - 1) / cents } else { 0 };
        let by_count = problem.ways[way].group.map_or(0, |_| self.boxes[self.groups.of[way]].lo);
        u32::try_from(by_spend.max(by_count)).unwrap_or(u32::MAX)
    }

    /// The least price of a way of a group over the stretches still open.
    pub fn group_price(&self, problem: &Problem, way: usize) -> i64 {
        let group = self.groups.of[way] - self.used.len();
        let (first, last) = self.spans[group];
        let open = &self.groups.stretches[group][first..=last];
        let price = |bounds: &Bounds| problem.ways[way].price(bounds.lo.max(1).unsigned_abs());
        open.iter().map(price).min().unwrap_or(0)
    }

    /// Whether a group's stretch is still to be fixed.
    pub fn open(&self) -> bool {
        self.spans.iter().any(|span| span.0 < span.1)
    }

    /// The case parted at a group: one whose prices are not what these lines would pay, if
    /// there is one.
    pub fn part_group(&self, problem: &Problem, lines: &[Line]) -> [Self; 2] {
        let units = |group: usize| -> i64 {
            let ours = lines.iter().filter(|line| problem.ways[line.way].group.is_some());
            ours.filter(|line| self.groups.of[line.way] == group + self.used.len())
                .map(|line| i64::from(line.units))
                .sum()
        };
        let holds = |group: usize| {
            let count = units(group);
            self.groups.stretches[group]
                .iter()
                .position(|bounds| bounds.lo <= count && count <= bounds.hi)
                .unwrap_or(0)
        };
        let open = (0..self.spans.len()).filter(|&group| self.spans[group].0 < self.spans[group].1);
        let least = open.clone().find(|&group| units(group) > 0 && holds(group) < self.spans[group].1);
        let group = least.or_else(|| open.clone().next()).unwrap_or(0);
        let (first, last) = self.spans[group];
        let cut = holds(group).clamp(first, last - 1);
        [self.with_span(group, (cut + 1, last)), self.with_span(group, (first, cut))]
    }

    fn with_span(&self, group: usize, span: (usize, usize)) -> Self {
        let mut case = self.clone();
        let stretches = &self.groups.stretches[group];
        case.spans[group] = span;
        case.boxes[self.used.len() + group] = Bounds { lo: stretches[span.0].lo, hi: stretches[span.1].hi };
        case
    }

    /// Per group of a supplier that is used: the supplier, the group's box and its least price.
    pub fn floors(&self, problem: &Problem) -> Vec<(usize, usize, i64)> {
        let mut floors: Vec<(usize, usize, i64)> = Vec::new();
        let grouped = problem.ways.iter().enumerate().filter(|(_, way)| way.group.is_some());
        for (w, way) in grouped.filter(|(_, way)| self.used[way.supplier]) {
            let (place, price) = (self.groups.of[w], self.group_price(problem, w));
            match floors.iter_mut().find(|floor| floor.1 == place) {
                Some(floor) => floor.2 = floor.2.min(price),
                None => floors.push((way.supplier, place, price)),
            }
        }
        floors
    }

    /// Multipliers with those left out that no bound here allows.
    pub fn allowed(&self, multipliers: &[i64]) -> Vec<i64> {
        let pairs = self.boxes.iter().zip(multipliers);
        pairs.map(|(bounds, &m)| if bounds.allows(m) { m } else { 0 }).collect()
    }

    /// The units that the branch allows of a way.
    pub fn clip(&self, way: usize) -> (u32, u32) {
        let ours = self.clips.iter().filter(|clip| clip.way == way);
        ours.fold((0, u32::MAX), |(lo, hi), clip| (lo.max(clip.lo), hi.min(clip.hi)))
    }

    /// The constant part of the bound under multipliers, in parts of [`SCALE`].
    pub fn offset(&self, multipliers: &[i64]) -> i64 {
        let boxes = self.boxes.iter().zip(multipliers).map(|(bounds, &m)| bounds.offset(m));
        boxes.sum::<i64>() + self.freight * SCALE
    }
}

/// Every case of a problem; `None` if there are too many to list.
pub(super) fn cases(problem: &Problem) -> Option<Vec<Case>> {
    let suppliers = problem.suppliers.len();
    let mut groups: Vec<usize> = problem.ways.iter().filter_map(|way| way.group).collect();
    groups.sort_unstable();
    groups.dedup();
    let place = |group: usize| suppliers + groups.binary_search(&group).unwrap_or(0);
    let of = problem.ways.iter().map(|way| way.group.map_or(0, place)).collect();
    let stretches: Vec<Vec<Bounds>> = groups.iter().map(|&group| stretches(problem, group)).collect();
    let spans = stretches.iter().map(|all| (0, all.len() - 1)).collect();
    let worth = (0..suppliers).map(|_| 1).chain(groups.iter().map(|&group| unit_worth(problem, group)));
    let worth = worth.collect();
    let groups = Arc::new(Groups { of, stretches, worth });
    let start = Case { freight: 0, used: Vec::new(), boxes: Vec::new(), groups, spans, clips: Vec::new() };
    let mut cases = vec![start];
    for supplier in &problem.suppliers {
        let brackets = brackets(supplier);
        cases = product(&cases, &brackets, |case, &(used, bounds, freight)| {
            case.used.push(used);
            case.boxes.push(bounds);
            case.freight += freight;
        })?;
    }
    for case in &mut cases {
        case.boxes.extend(case.groups.stretches.iter().map(|_| Bounds::FREE));
    }
    Some(cases)
}

fn product<T>(cases: &[Case], choices: &[T], add: impl Fn(&mut Case, &T)) -> Option<Vec<Case>> {
    if cases.len() * choices.len() > 100_000 {
        return None;
    }
    let mut out = Vec::with_capacity(cases.len() * choices.len());
    for case in cases {
        for choice in choices {
            let mut next = case.clone();
            add(&mut next, choice);
            out.push(next);
        }
    }
    Some(out)
}

/// Unused, or one freight bracket: what may be spent there and what shipping costs.
fn brackets(supplier: &Supplier) -> Vec<(bool, Bounds, i64)> {
    let mut steps: Vec<(i64, i64)> = supplier.freight.iter().map(|step| (step.from, step.cents)).collect();
    if steps.first().is_none_or(|&(from, _)| from > 0) {
        steps.insert(0, (0, 0));
    }
    let mut out = vec![(false, Bounds { lo: 0, hi: OPEN }, 0)];
    for (i, &(_, cents)) in steps.iter().enumerate() {
        let dearer_below = steps[..i].iter().rposition(|step| step.1 > cents);
        let lo = dearer_below.map_or(0, |below| steps[below + 1].0).max(supplier.min_order);
        let dearer_above = steps[i + 1..].iter().find(|step| step.1 > cents);
        let hi = dearer_above.map_or(OPEN, |step| step.0 - 1);
        let bracket = (true, Bounds { lo, hi }, cents);
        if lo <= hi && !out.contains(&bracket) {
            out.push(bracket);
        }
    }
    let all = out.clone();
    // A bracket inside another that charges no more says nothing new.
    out.retain(|bracket| {
        let within = |other: &&(bool, Bounds, i64)| {
            let (bounds, outer) = (bracket.1, other.1);
            **other != *bracket
                && other.0 == bracket.0
                && other.2 <= bracket.2
                && outer.lo <= bounds.lo
                && bounds.hi <= outer.hi
        };
        !all.iter().any(|other| within(&other))
    });
    out
}

/// What a unit of a group is worth: the highest of its ways' least prices.
fn unit_worth(problem: &Problem, group: usize) -> i64 {
    let ways = problem.ways.iter().filter(|way| way.group == Some(group));
    let least = ways.filter_map(|way| way.tiers.iter().map(|tier| tier.cents).min());
    least.max().unwrap_or(1).max(1)
}

/// The stretches of a group's total units over which no price of the group changes.
fn stretches(problem: &Problem, group: usize) -> Vec<Bounds> {
    let ways = problem.ways.iter().filter(|way| way.group == Some(group));
    let mut froms: Vec<i64> = ways.flat_map(|way| &way.tiers).map(|tier| i64::from(tier.from)).collect();
    froms.sort_unstable();
    froms.dedup();
    let ends = froms.iter().skip(1).map(|&from| from - 1).chain([OPEN]);
    froms.iter().zip(ends).map(|(&from, hi)| Bounds { lo: if from == 1 { 0 } else { from }, hi }).collect()
}

#[cfg(test)]
mod tests {
    use super::super::model::{Family, Step, Tier, Unit, Way};
    use super::*;

    /// The brackets of a supplier that is used: least and largest subtotal, and what shipping costs.
    fn used(freight: &[(i64, i64)], min_order: i64) -> Vec<(i64, i64, i64)> {
        let freight = freight.iter().map(|&(from, cents)| Step { from, cents }).collect();
        let mut all = brackets(&Supplier { freight, min_order });
        assert_eq!(all.remove(0), (false, Bounds { lo: 0, hi: OPEN }, 0), "or nothing is bought there");
        assert!(all.iter().all(|bracket| bracket.0));
        all.into_iter().map(|(_, bounds, cents)| (bounds.lo, bounds.hi, cents)).collect()
    }

    #[test]
    fn a_bracket_is_open_where_what_lies_beyond_costs_no_more() {
        assert_eq!(used(&[], 0), [(0, OPEN, 0)]);
        assert_eq!(
            used(&[(0, 700), (100, 300), (500, 0)], 0),
            [(0, OPEN, 700), (100, OPEN, 300), (500, OPEN, 0)]
        );
        assert_eq!(used(&[(0, 300), (100, 700)], 0), [(0, 99, 300), (0, OPEN, 700)]);
        assert_eq!(
            used(&[(0, 300), (100, 700), (500, 300)], 0),
            [(0, 99, 300), (0, OPEN, 700), (500, OPEN, 300)]
        );
        // Below the first step nothing is charged.
        assert_eq!(used(&[(50, 300)], 0), [(0, 49, 0), (0, OPEN, 300)]);
        // A minimum above a step leaves nothing of it but what the next one has for less.
        assert_eq!(used(&[(0, 700), (100, 300)], 200), [(200, OPEN, 300)]);
        assert_eq!(used(&[(0, 300), (100, 700)], 200), [(200, OPEN, 700)]);
        // Steps of one price are one bracket.
        assert_eq!(used(&[(0, 300), (100, 300)], 0), [(0, OPEN, 300)]);
    }

    /// One supplier, whose two ways share their breaks at 10 and 25, and one way by itself.
    fn problem() -> Problem {
        let tiers = |all: &[(u32, i64)]| all.iter().map(|&(from, cents)| Tier { from, cents }).collect();
        let way = |all, group| Way {
            supplier: 0,
            family: 0,
            unit: Unit::Same { n: 1, glyphs: None },
            tiers: tiers(all),
            at_most: None,
            group,
        };
        Problem {
            suppliers: vec![Supplier::default()],
            families: vec![Family { need: vec![3] }],
            ways: vec![
                way(&[(1, 90), (10, 70)], Some(4)),
                way(&[(1, 95), (25, 80)], Some(4)),
                way(&[(1, 99)], None),
            ],
        }
    }

    /// The case in which the supplier is used.
    fn case() -> Case {
        let cases = cases(&problem()).unwrap();
        assert_eq!(cases.len(), 2);
        cases.into_iter().find(|case| case.used[0]).unwrap()
    }

    #[test]
    fn a_groups_stretches_end_where_some_price_of_it_changes() {
        let case = case();
        let bounds = |lo, hi| Bounds { lo, hi };
        assert_eq!(case.groups.stretches, [vec![bounds(0, 9), bounds(10, 24), bounds(25, OPEN)]]);
        assert_eq!(case.groups.worth, [1, 80]);
        assert_eq!((case.spans.as_slice(), case.open()), ([(0, 2)].as_slice(), true));
        // The least price over the stretches still open.
        assert_eq!([0, 1].map(|way| case.group_price(&problem(), way)), [70, 80]);
        assert_eq!(case.floors(&problem()), [(0, 1, 70)]);
        let below = case.with_span(0, (0, 0));
        assert_eq!([0, 1].map(|way| below.group_price(&problem(), way)), [90, 95]);
        assert_eq!((below.boxes[1], below.open()), (bounds(0, 9), false));
    }

    #[test]
    fn a_case_is_parted_behind_the_stretch_that_a_plan_is_in() {
        let spans = |units: &[(usize, u32)]| {
            let line = |&(way, units): &(usize, u32)| Line { way, glyph: Some(0), units };
            let lines: Vec<Line> = units.iter().map(line).collect();
            case()
                .part_group(&problem(), &lines)
                .map(|part| (part.spans[0], part.boxes[1].lo, part.boxes[1].hi))
        };
        let [first, behind_the_first] = [((0, 0), 0, 9), ((1, 2), 10, OPEN)];
        let [last, before_the_last] = [((2, 2), 25, OPEN), ((0, 1), 0, 24)];
        assert_eq!(spans(&[(0, 5), (1, 4), (2, 30)]), [behind_the_first, first]);
        assert_eq!(spans(&[(0, 5), (1, 5)]), [last, before_the_last]);
        assert_eq!(spans(&[(0, 20), (1, 4)]), [last, before_the_last]);
        // In the last one, or nowhere.
        assert_eq!(spans(&[(0, 25)]), [last, before_the_last]);
        assert_eq!(spans(&[]), [behind_the_first, first]);
    }

    #[test]
    fn a_multiplier_counts_for_a_bound_of_its_sign_only() {
        let [least, most, free] = [(5, OPEN), (0, 7), (0, OPEN)].map(|(lo, hi)| Bounds { lo, hi });
        let allowed = |bounds: Bounds| [-1, 0, 1].map(|m| bounds.allows(m));
        assert_eq!(allowed(least), [false, true, true]);
        assert_eq!(allowed(most), [true, true, false]);
        assert_eq!(allowed(free), [false, true, false]);
        assert_eq!([least, most, free].map(Bounds::binds), [true, true, false]);
        assert_eq!((least.offset(3), most.offset(-3), least.offset(0), most.offset(0)), (15, -21, 0, 0));
        let mut case = case();
        case.freight = 2;
        case.boxes = vec![least, most];
        assert_eq!(case.offset(&[3, -3]), 15 - 21 + 2 * SCALE);
        assert_eq!((case.allowed(&[3, 4]), case.allowed(&[-3, -4])), (vec![3, 0], vec![0, -4]));
    }

    #[test]
    fn so_many_units_reach_every_bound_by_themselves() {
        let mut case = case();
        let padding = |case: &Case, way, cents| case.padding(&problem(), way, cents);
        case.boxes[0].lo = 100;
        assert_eq!([100, 99, 50, 1, 0].map(|cents| padding(&case, 0, cents)), [1, 2, 2, 100, 0]);
        assert!(case.rewards(&problem(), 2));
        case.boxes[1].lo = 7;
        assert_eq!((padding(&case, 0, 50), padding(&case, 0, 5), padding(&case, 2, 50)), (7, 20, 2));
        case.boxes[0].lo = 0;
        assert!(case.rewards(&problem(), 0) && !case.rewards(&problem(), 2));
    }

    #[test]
    fn a_way_is_clipped_by_all_its_clips() {
        let mut case = case();
        assert_eq!(case.clip(0), (0, u32::MAX));
        let clip = |way, lo, hi| Clip { family: 0, way, lo, hi };
        case.clips = vec![clip(0, 2, 9), clip(1, 5, 6), clip(0, 3, 12)];
        assert_eq!((case.clip(0), case.clip(1)), ((3, 9), (5, 6)));
    }
}
