//! One family as the search sees it: its ways, its needs, and its prices under multipliers.

use super::cover::{Class, NEVER};
use super::model::{Problem, Unit, Way};
use super::scheme::{Case, SCALE};

/// A way to buy single glyphs (a piece or a pack).
#[derive(Debug, Clone)]
pub(super) struct Each {
    pub way: usize,
    pub n: u32,
    /// The glyph that surplus units are put on.
    pub spare: usize,
}

/// A way to buy a mix.
#[derive(Debug, Clone)]
pub(super) struct Mix {
    pub way: usize,
    /// Letters that it gives per need: (place in the needs, letters).
    pub gives: Vec<(usize, u32)>,
    /// How many of its letters are needed at all.
    pub useful: u32,
}

/// A glyph that is needed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Need {
    pub glyph: usize,
    pub count: u32,
    /// Place in the family's classes.
    pub class: usize,
}

/// One family's part of the problem.
#[derive(Debug, Clone)]
pub(super) struct Family {
    pub each: Vec<Each>,
    pub mixes: Vec<Mix>,
    pub needs: Vec<Need>,
    pub classes: Vec<Class>,
}

impl Family {
    /// The part of the problem that belongs to one family.
    pub fn of(problem: &Problem, index: usize) -> Self {
        let need = &problem.families[index].need;
        let mut family = Self { each: Vec::new(), mixes: Vec::new(), needs: Vec::new(), classes: Vec::new() };
        let ours = || problem.ways.iter().enumerate().filter(|(_, way)| way.family == index);
        for (w, way) in ours() {
            if let Unit::Same { n, .. } = way.unit {
                // Surplus goes to a glyph that is needed if any is sold this way.
                let sold = |glyph: &usize| way.sells(*glyph);
                let needed = (0..need.len()).filter(|&glyph| need[glyph] > 0).find(sold);
                if let Some(spare) = needed.or_else(|| (0..need.len()).find(sold)) {
                    family.each.push(Each { way: w, n, spare });
                }
            }
        }
        for (glyph, &count) in need.iter().enumerate().filter(|&(_, &count)| count > 0) {
            let class = family.class(problem, glyph, count);
            family.needs.push(Need { glyph, count, class });
        }
        family.mixes = ours().filter_map(|(w, way)| family.mix(w, way)).collect();
        family
    }

    fn class(&mut self, problem: &Problem, glyph: usize, count: u32) -> usize {
        let sold = self.each.iter().enumerate().filter(|(_, each)| problem.ways[each.way].sells(glyph));
        let ways: Vec<(u8, u32)> = sold.map(|(e, each)| (e as u8, each.n)).collect();
        let found = self.classes.iter().position(|class| class.ways == ways);
        let class = found.unwrap_or_else(|| {
            self.classes.push(Class { ways, most: 0 });
            self.classes.len() - 1
        });
        self.classes[class].most = self.classes[class].most.max(count);
        class
    }

    fn mix(&self, w: usize, way: &Way) -> Option<Mix> {
        let Unit::Mix(contents) = &way.unit else { return None };
        let held = |glyph: usize| contents.iter().filter(|c| c.0 == glyph).map(|c| c.1).sum::<u32>();
        let all = self.needs.iter().enumerate().map(|(i, need)| (i, held(need.glyph)));
        let gives: Vec<(usize, u32)> = all.filter(|&(_, count)| count > 0).collect();
        let useful = gives.iter().map(|&(_, count)| count).sum();
        Some(Mix { way: w, gives, useful })
    }
}

/// A stretch of unit counts over which a way has one price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Seg {
    /// The least count; 0 for the first stretch.
    pub lo: u32,
    /// The largest count; `u32::MAX` for no limit.
    pub hi: u32,
    /// Cents per unit.
    pub cents: i64,
    /// Cents per unit bent by the multipliers, in parts of [`SCALE`].
    pub price: i64,
}

/// The prices of one family in one case and under one set of multipliers.
#[derive(Debug, Clone)]
pub(super) struct Terms {
    /// Per way of single glyphs; empty where it may not be used.
    pub each: Vec<Vec<Seg>>,
    /// Per mix.
    pub mixes: Vec<Vec<Seg>>,
    /// Per way of single glyphs: buying more than is needed may help a threshold.
    pub each_pads: Vec<bool>,
    /// The fewest and the most units of each mix that could be of use.
    pub mix_range: Vec<(u32, u32)>,
}

impl Terms {
    /// The prices; `None` if the multipliers make some price negative.
    pub fn new(problem: &Problem, family: &Family, case: &Case, multipliers: &[i64]) -> Option<Self> {
        let segs = |way: usize| clipped(segments(problem, way, case, multipliers), case.clip(way));
        let each: Vec<Vec<Seg>> = family.each.iter().map(|each| segs(each.way)).collect();
        let mixes: Vec<Vec<Seg>> = family.mixes.iter().map(|mix| segs(mix.way)).collect();
        if each.iter().chain(&mixes).flatten().any(|seg| seg.price < 0) {
            return None;
        }
        let each_pads = family.each.iter().map(|each| case.rewards(problem, each.way)).collect();
        let possible = |way: usize, segs: &Vec<Seg>| !segs.is_empty() || case.clip(way).0 == 0;
        if !family.each.iter().zip(&each).all(|(e, segs)| possible(e.way, segs))
            || !family.mixes.iter().zip(&mixes).all(|(m, segs)| possible(m.way, segs))
        {
            return None;
        }
        let range = |(mix, segs): (&Mix, &Vec<Seg>)| {
            let (lo, hi) = case.clip(mix.way);
            (lo, most_useful(problem, family, mix, segs, case).max(lo).min(hi))
        };
        let mix_range = family.mixes.iter().zip(&mixes).map(range).collect();
        Some(Self { each, mixes, each_pads, mix_range })
    }

    /// Least and largest count over a span of stretches; `None` for a way not to be had.
    pub fn reach(&self, way: usize, span: (usize, usize)) -> Option<(u32, u32)> {
        let segs = self.each[way].get(span.0..=span.1)?;
        Some((segs.first()?.lo, segs.iter().map(|seg| seg.hi).max()?))
    }

    /// The stretch that this count of a mix truly lies in: the last that it reaches.
    pub fn mix_seg(&self, mix: usize, count: u32) -> Option<&Seg> {
        self.mixes[mix].iter().rev().find(|seg| seg.lo <= count).filter(|seg| count <= seg.hi)
    }
}

/// The least price among stretches, [`NEVER`] if there is none.
pub(super) fn least(segs: &[Seg]) -> i64 {
    segs.iter().map(|seg| seg.price).min().unwrap_or(NEVER)
}

/// What a branch leaves of a way's stretches.
fn clipped(segs: Vec<Seg>, (lo, hi): (u32, u32)) -> Vec<Seg> {
    let cut = |seg: &Seg| Seg { lo: seg.lo.max(lo), hi: seg.hi.min(hi), ..*seg };
    segs.iter().map(cut).filter(|seg| seg.lo <= seg.hi).collect()
}

fn segments(problem: &Problem, w: usize, case: &Case, multipliers: &[i64]) -> Vec<Seg> {
    let way = &problem.ways[w];
    if !case.used[way.supplier] {
        return Vec::new();
    }
    let most = way.at_most.unwrap_or(u32::MAX);
    let bend = |cents: i64| {
        let group = way.group.map_or(0, |_| multipliers[case.groups.of[w]]);
        (SCALE - multipliers[way.supplier]) * cents - group
    };
    if way.group.is_some() {
        let cents = case.group_price(problem, w);
        return vec![Seg { lo: 0, hi: most, cents, price: bend(cents) }];
    }
    let pads = case.boxes[way.supplier].lo > 0;
    let mut out: Vec<Seg> = Vec::with_capacity(way.tiers.len());
    for (t, tier) in way.tiers.iter().enumerate() {
        let lo = if t == 0 { 0 } else { tier.from };
        let later = &way.tiers[t + 1..];
        let end = later.first().map_or(u32::MAX, |next| next.from - 1);
        // Paying this price for more than its stretch is never better than the later, lower
        // price, unless what is spent here counts towards a threshold.
        let free = !pads && later.iter().all(|next| next.cents <= tier.cents);
        let hi = if free { most } else { end.min(most) };
        if lo <= most {
            out.push(Seg { lo, hi, cents: tier.cents, price: bend(tier.cents) });
        }
    }
    out
}

/// Beyond this many units a mix cannot help: its letters cover everything, its last break
/// is reached, and so is whatever threshold its price or count works towards.
fn most_useful(problem: &Problem, family: &Family, mix: &Mix, segs: &[Seg], case: &Case) -> u32 {
    let cover = mix.gives.iter().map(|&(i, gives)| family.needs[i].count.div_ceil(gives)).max().unwrap_or(0);
    let Some(last) = segs.last() else { return 0 };
    let reached = segs.iter().map(|seg| seg.lo).max().unwrap_or(0);
    let priced = segs.iter().map(|seg| seg.cents).filter(|&cents| cents > 0);
    let pad = case.padding(problem, mix.way, priced.min().unwrap_or(0));
    cover.max(reached).max(pad).min(last.hi)
}
