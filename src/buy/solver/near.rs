//! Every plan of one family whose bound lies within a budget of the family's least.
//!
//! For each layout within the budget the glyphs are stages of a label search: the choices
//! at a glyph are its covers from which no unit could be left out, and at the end stand the
//! units bought beyond any cover. Every plan is such a choice plus such a surplus, so none
//! within the budget is missed.

use super::cover::{NEVER, Table, Tables};
use super::family::{Family, Seg, Terms};
use super::frame::{Choice, Dim, Frame, Label, Room, advance, tidy};
use super::model::{Line, Problem, Rest};
use super::scan::{Layout, residual};
use super::scheme::{Case, OPEN, SCALE};
use std::collections::BTreeMap;

/// What stays the same for all layouts of a family.
pub(super) struct Near<'a> {
    pub problem: &'a Problem,
    pub case: &'a Case,
    pub family: &'a Family,
    pub terms: &'a Terms,
    /// The totals watched over all families; `boxes[i]` is the case's box of dimension `i`.
    pub whole: &'a Frame,
    /// The same totals with what this family has to bring in at least, the other families'
    /// sure share taken off.
    pub frame: &'a Frame,
    pub boxes: &'a [usize],
    /// The most labels at a stage.
    pub most: usize,
    /// The most cents that the family may cost.
    pub cap: i64,
    /// Whether plans are told apart by bent cost instead of cents.
    pub bent: bool,
}

/// One cover of a glyph, or a surplus: units per way and how much dearer than the cheapest.
#[derive(Debug, Clone)]
struct Cover {
    units: Vec<(usize, u32)>,
    over: i64,
}

/// A stage: its choices, and the glyph that they are for.
struct Stage {
    glyph: Option<usize>,
    covers: Vec<Cover>,
    choices: Vec<Choice>,
}

impl Near<'_> {
    /// The labels of one layout at the family's end, keyed by the shared totals only and
    /// with `over` counted from `least`; `None` if there were too many.
    pub fn labels(
        &self,
        tables: &mut Tables,
        layout: &Layout,
        limit: i64,
        least: i64,
        effort: &mut i64,
    ) -> Option<Vec<Label>> {
        let (frame, stages) = self.stages(tables, layout, limit - layout.bound)?;
        let Some(start) = self.start(&frame, layout) else { return Some(Vec::new()) };
        let mut labels = vec![start];
        for (stage, room) in stages.iter().zip(self.rooms(&stages, limit - layout.bound)) {
            labels = advance(&frame, &labels, &stage.choices, room, effort)?;
        }
        Some(self.finish(&frame, labels, limit, least))
    }

    /// The lines of the layout's plan that ends at this key and worth.
    pub fn trace(
        &self,
        tables: &mut Tables,
        layout: &Layout,
        limit: i64,
        wanted: &Label,
    ) -> Option<Vec<Line>> {
        let (frame, stages) = self.stages(tables, layout, limit - layout.bound)?;
        let mut labels = vec![self.start(&frame, layout)?];
        let mut history: Vec<Vec<(u32, u32)>> = Vec::new();
        for (stage, room) in stages.iter().zip(self.rooms(&stages, limit - layout.bound)) {
            labels = advance(&frame, &labels, &stage.choices, room, &mut i64::MAX.clone())?;
            history.push(labels.iter().map(|label| (label.parent, label.option)).collect());
        }
        let shared = self.frame.dims.len();
        let same = |label: &Label| {
            self.widen(frame.head(label.key, shared)).is_some_and(|(key, _)| key == wanted.key)
                && (label.cents, label.rest) == (wanted.cents, wanted.rest)
                && frame.reached(label.key, shared)
        };
        let mut at = labels.iter().position(same)?;
        let mut lines = self.mix_lines(layout);
        for (stage, steps) in stages.iter().zip(&history).rev() {
            let (parent, option) = steps[at];
            for &(way, units) in &stage.covers[option as usize].units {
                let each = &self.family.each[way];
                let glyph = Some(stage.glyph.unwrap_or(each.spare));
                lines.push(Line { way: each.way, glyph, units });
            }
            at = parent as usize;
        }
        Some(lines)
    }

    /// The room at each stage: its cents are what is left of the family's cap after the
    /// least that the later stages cost.
    fn rooms(&self, stages: &[Stage], over: i64) -> Vec<Room> {
        let mut cents = self.cap;
        let mut rooms = Vec::with_capacity(stages.len());
        for stage in stages.iter().rev() {
            rooms.push(Room { over, cents, labels: self.most });
            cents -= stage.choices.iter().map(|choice| choice.cents).min().unwrap_or(0);
        }
        rooms.reverse();
        rooms
    }

    fn mix_lines(&self, layout: &Layout) -> Vec<Line> {
        let bought = self.family.mixes.iter().zip(&layout.mixes).filter(|&(_, &units)| units > 0);
        bought.map(|(mix, &units)| Line { way: mix.way, glyph: None, units }).collect()
    }

    fn finish(&self, frame: &Frame, labels: Vec<Label>, limit: i64, least: i64) -> Vec<Label> {
        let shared = self.frame.dims.len();
        let mut out: Vec<Label> = Vec::with_capacity(labels.len());
        for label in labels.into_iter().filter(|label| frame.reached(label.key, shared)) {
            let key = frame.head(label.key, shared);
            let reward: i64 = self.frame.dims.iter().map(|dim| dim.bend * dim.total(key)).sum();
            let cost = if self.bent { label.cents } else { label.cents * SCALE };
            if cost - reward > limit {
                continue;
            }
            if let Some((key, reward)) = self.widen(key) {
                let over = cost - reward - least;
                out.push(Label { key, over, parent: 0, option: 0, ..label });
            }
        }
        tidy(self.whole, &mut out);
        out
    }

    /// A family's key in the frame of all families, with its reward there. What is cut off in
    /// the family's frame is enough whatever the others bring, so it counts in full.
    fn widen(&self, key: u128) -> Option<(u128, i64)> {
        let pairs = || self.frame.dims.iter().zip(&self.whole.dims);
        let full = |(dim, whole): (&Dim, &Dim)| {
            let total = dim.total(key);
            if Frame::cut_off(dim, total) { whole.lo } else { total }
        };
        let reward = pairs().map(|pair| pair.0.bend * full(pair)).sum();
        let (key, _) = self.whole.pack(pairs().map(|pair| pair.0.unit * full(pair)))?;
        Some((key, reward))
    }

    /// The label with the layout's mixes bought.
    fn start(&self, frame: &Frame, layout: &Layout) -> Option<Label> {
        let mut totals = vec![0; frame.dims.len()];
        let mut start = Label::START;
        for (i, (mix, &units)) in self.family.mixes.iter().zip(&layout.mixes).enumerate() {
            let Some(seg) = self.terms.mix_seg(i, units).filter(|_| units > 0) else { continue };
            self.count(&mut totals, mix.way, units, seg.cents * i64::from(units));
            start.cents += self.cost(seg) * i64::from(units);
            start.rest = start.rest + Rest::of(mix.way, self.problem.ways[mix.way].pieces(), units);
        }
        (start.key, start.over) = frame.pack(totals.into_iter())?;
        Some(start)
    }

    /// Adds units of a way to the shared totals.
    fn count(&self, totals: &mut [i64], way: usize, units: u32, cents: i64) {
        for (total, &shared) in totals.iter_mut().zip(self.boxes) {
            if shared == self.problem.ways[way].supplier {
                *total += cents;
            } else if self.problem.ways[way].group.is_some() && shared == self.case.groups.of[way] {
                *total += i64::from(units);
            }
        }
    }

    fn cost(&self, seg: &Seg) -> i64 {
        if self.bent { seg.price } else { seg.cents }
    }

    fn seg(&self, layout: &Layout, way: usize) -> Option<&Seg> {
        self.terms.each[way].get(layout.spans[way].0)
    }

    fn price(&self, layout: &Layout, way: usize) -> i64 {
        self.seg(layout, way).map_or(NEVER, |seg| seg.price - layout.bends[way])
    }

    fn stages(&self, tables: &mut Tables, layout: &Layout, budget: i64) -> Option<(Frame, Vec<Stage>)> {
        let ways = self.family.each.len();
        let prices: Vec<i64> = (0..ways).map(|way| self.price(layout, way)).chain([NEVER]).collect();
        let tables = tables.at(&self.family.classes, &prices);
        let mut known: BTreeMap<(usize, u32), Vec<Cover>> = BTreeMap::new();
        let mut stages = Vec::with_capacity(self.family.needs.len() + ways);
        for (need, left) in self.family.needs.iter().zip(residual(self.family, &layout.mixes)) {
            if left == 0 {
                continue;
            }
            let covers = known
                .entry((need.class, left))
                .or_insert_with(|| self.covers(&tables[need.class], need.class, &prices, left, budget));
            let covers = covers.clone();
            stages.push(Stage { glyph: Some(need.glyph), covers, choices: Vec::new() });
        }
        for (way, &price) in prices.iter().enumerate().take(ways) {
            let covers = self.surplus(layout, way, price, budget);
            if covers.len() > 1 {
                stages.push(Stage { glyph: None, covers, choices: Vec::new() });
            }
        }
        let (frame, watched) = self.watch(layout, &stages)?;
        for stage in &mut stages {
            self.choose(stage, layout, &frame, &watched, budget);
        }
        Some((frame, stages))
    }

    /// The totals that can be missed: the shared ones, then the units of those ways whose
    /// stretch could be left within the budget.
    fn watch(&self, layout: &Layout, stages: &[Stage]) -> Option<(Frame, Vec<usize>)> {
        let ways = self.family.each.len();
        let (mut least, mut most) = (vec![0_u64; ways], vec![0_u64; ways]);
        let mut range = vec![(0, 0); ways];
        for stage in stages {
            range.fill((u64::MAX, 0));
            let mut uses = vec![0_usize; ways];
            for cover in &stage.covers {
                for &(way, units) in &cover.units {
                    uses[way] += 1;
                    range[way] = (range[way].0.min(u64::from(units)), range[way].1.max(u64::from(units)));
                }
            }
            for way in 0..ways {
                most[way] += range[way].1;
                least[way] += if uses[way] == stage.covers.len() && uses[way] > 0 { range[way].0 } else { 0 };
            }
        }
        let mut frame = self.frame.clone();
        let mut watched = Vec::new();
        for way in 0..ways {
            let Some(seg) = self.seg(layout, way) else { continue };
            let hi = if most[way] > u64::from(seg.hi) { i64::from(seg.hi) } else { OPEN };
            let lo = if least[way] < u64::from(seg.lo) { i64::from(seg.lo) } else { 0 };
            if hi < OPEN || lo > 0 {
                // A multiplier whose bound is not watched stays as it is: its offset is in
                // the layout's bound, and a larger count only lowers what it promises.
                let bend = layout.bends[way];
                if !frame.watch(Dim::new(1, lo, hi, if lo > 0 && hi == OPEN { bend.max(0) } else { 0 })) {
                    return None;
                }
                watched.push(way);
            }
        }
        Some((frame, watched))
    }

    /// Covers of one glyph within the budget, cheapest first.
    fn covers(&self, table: &Table, class: usize, prices: &[i64], left: u32, budget: i64) -> Vec<Cover> {
        let limit = table.cost[left as usize] + budget;
        let mut out = Vec::new();
        let ways: Vec<(usize, u32)> =
            self.family.classes[class].ways.iter().map(|&(way, n)| (usize::from(way), n)).collect();
        let mut walk = Walk { table, ways: &ways, prices, limit, units: Vec::new(), out: &mut out };
        walk.from(0, left, 0, left);
        for cover in &mut out {
            cover.over -= table.cost[left as usize];
        }
        out.sort_by_key(|cover| cover.over);
        out
    }

    /// Units of one way beyond any cover, none first.
    fn surplus(&self, layout: &Layout, way: usize, price: i64, budget: i64) -> Vec<Cover> {
        let mut out = vec![Cover { units: Vec::new(), over: 0 }];
        let Some(seg) = self.seg(layout, way) else { return out };
        if !self.terms.each_pads[way] && seg.lo == 0 {
            return out;
        }
        let pad =
            self.case.padding(self.problem, self.family.each[way].way, seg.cents).max(seg.lo).min(seg.hi);
        for units in 1..=pad {
            let over = price * i64::from(units);
            if over > budget {
                break;
            }
            out.push(Cover { units: vec![(way, units)], over });
        }
        out
    }

    /// Turns covers into choices: the best per key and worth, cheapest first.
    fn choose(&self, stage: &mut Stage, layout: &Layout, frame: &Frame, watched: &[usize], budget: i64) {
        let mut made: Vec<(Choice, Cover)> = Vec::with_capacity(stage.covers.len());
        for cover in stage.covers.drain(..) {
            if let Some(choice) = self.choice(&cover, layout, frame, watched).filter(|c| c.over <= budget) {
                made.push((choice, cover));
            }
        }
        made.sort_by_key(|(choice, _)| (choice.key, choice.cents, choice.rest));
        made.dedup_by_key(|(choice, _)| choice.key);
        made.sort_by_key(|(choice, _)| (choice.over, choice.cents, choice.rest, choice.key));
        (stage.choices, stage.covers) = made.into_iter().unzip();
    }

    fn choice(&self, cover: &Cover, layout: &Layout, frame: &Frame, watched: &[usize]) -> Option<Choice> {
        let shared = self.frame.dims.len();
        let mut totals = vec![0; frame.dims.len()];
        let (mut cents, mut rest) = (0, Rest::default());
        for &(place, units) in &cover.units {
            let each = &self.family.each[place];
            let seg = self.seg(layout, place)?;
            self.count(&mut totals[..shared], each.way, units, seg.cents * i64::from(units));
            if let Some(local) = watched.iter().position(|&way| way == place) {
                totals[shared + local] += i64::from(units);
            }
            cents += self.cost(seg) * i64::from(units);
            rest = rest + Rest::of(each.way, each.n, units);
        }
        let (key, back) = frame.pack(totals.into_iter())?;
        Some(Choice { key, cents, rest, over: cover.over + back })
    }
}

/// The walk over covers of one glyph.
struct Walk<'a> {
    table: &'a Table,
    ways: &'a [(usize, u32)],
    prices: &'a [i64],
    limit: i64,
    units: Vec<(usize, u32)>,
    out: &'a mut Vec<Cover>,
}

impl Walk<'_> {
    fn from(&mut self, next: usize, left: u32, cost: i64, need: u32) {
        if cost + self.table.cost[left as usize] > self.limit {
            return;
        }
        if left == 0 {
            if self.lean(need) {
                self.out.push(Cover { units: self.units.clone(), over: cost });
            }
            return;
        }
        let Some(&(way, n)) = self.ways.get(next) else { return };
        let most = if self.prices[way] < NEVER { left.div_ceil(n) } else { 0 };
        for units in 0..=most {
            if units > 0 {
                self.units.push((way, units));
            }
            let spent = cost + if units > 0 { self.prices[way] * i64::from(units) } else { 0 };
            self.from(next + 1, left.saturating_sub(units.saturating_mul(n)), spent, need);
            if units > 0 {
                self.units.pop();
            }
        }
    }

    /// Whether no unit could be left out.
    fn lean(&self, need: u32) -> bool {
        let n = |way: usize| self.ways.iter().find(|pair| pair.0 == way).map_or(0, |pair| pair.1);
        let held: u64 = self.units.iter().map(|&(way, units)| u64::from(n(way)) * u64::from(units)).sum();
        let smallest = self.units.iter().map(|&(way, _)| n(way)).min().unwrap_or(0);
        held - u64::from(smallest) < u64::from(need)
    }
}
