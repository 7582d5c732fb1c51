//! One family under fixed multipliers: its cheapest plan, or every layout near it.
//!
//! A *layout* fixes how many of each mix are bought and in which price stretch each other
//! way lies. Its glyphs then fall apart into covers that a table answers. The scan walks
//! over the counts of the mixes, and below each over the stretches:
//!
//! * Above a choice of mixes, letters from the mixes still to come are priced at a rate
//!   below which no such mix can give them, so that one table lookup per glyph bounds
//!   everything below.
//! * A way whose stretch is open is priced at its least price. If the cover then takes a
//!   count at which that price is not given, the stretches are split.
//! * A bound on a way's count enters by a multiplier on that count (reward below the least
//!   count, surcharge above the largest). Any multiplier gives a valid bound.

use super::cover::{NEVER, NOTHING, Table, Tables};
use super::family::{Family, Terms, least};
use super::scheme::SCALE;
use std::sync::Arc;

/// What a scan ends at: a choice of mixes and stretches with a lower bound on its cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    /// Lower bound on every plan of this layout, in parts of the scale.
    pub bound: i64,
    /// Units per mix.
    pub mixes: Vec<u32>,
    /// Per other way the first and last stretch still open.
    pub spans: Vec<(usize, usize)>,
    /// Per other way the multiplier on its count.
    pub bends: Vec<i64>,
    /// Per other way the units that the bound's covers take.
    pub counts: Vec<u32>,
    /// Whether those covers are a plan whose true price is the bound.
    pub solid: bool,
}

/// The work that a scan may take.
const MOST_WORK: u64 = 20_000_000;
/// How often the multipliers on the counts are gone through.
const ROUNDS: usize = 4;
/// How many prices are tried for one multiplier.
const STEPS: usize = 16;

/// What a scan is after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    /// The layout of the least bound.
    Least,
    /// Every layout, stretches all fixed, up to so many.
    All(usize),
}

/// What a scan found.
#[derive(Debug)]
pub(super) struct Found {
    /// The layout of the least bound, or all.
    pub layouts: Vec<Layout>,
    /// Whether there were more than the aim allows.
    pub overflow: bool,
    /// Table lookups.
    pub work: u64,
}

/// A line of multipliers on counts: at `t`, each of its ways is cheaper (or dearer, where its
/// count must not exceed a bound) by `t` times its weight, in so many parts.
struct Line {
    ways: Vec<Pull>,
    parts: i64,
    /// The largest `t`.
    most: i64,
}

/// A point on a line: where, the bound there, and its slope times the parts.
type End = (i64, i64, i128);

/// One way on a line: the count that it must reach (`sign` 1) or keep to (`sign` -1).
struct Pull {
    way: usize,
    sign: i64,
    wanted: u32,
    weight: i64,
}

/// So many parts make the whole price on a line of several ways.
const PARTS: i64 = 1 << 16;

impl Line {
    /// Lines worth trying: in the first round all ways with a least count together, then
    /// each way that is off or already bent.
    fn all(
        reaches: &[Option<(u32, u32)>],
        plain: &[i64],
        prices: &[i64],
        counts: &[u32],
        round: usize,
    ) -> Vec<Self> {
        let mut lines = Vec::new();
        let bounds =
            || reaches.iter().enumerate().filter_map(|(way, reach)| reach.map(|(lo, hi)| (way, lo, hi)));
        let pull = |(way, lo, _): (usize, u32, u32)| Pull { way, sign: 1, wanted: lo, weight: plain[way] };
        let ways: Vec<Pull> = bounds().filter(|&(_, lo, _)| lo > 0).map(pull).collect();
        if round == 0 && ways.len() > 1 && prices == plain {
            lines.push(Self { ways, parts: PARTS, most: PARTS });
        }
        for (way, lo, hi) in bounds() {
            let least =
                if prices[way] == plain[way] { counts[way] < lo || lo > 0 } else { prices[way] < plain[way] };
            if !least && prices[way] == plain[way] && counts[way] <= hi {
                continue;
            }
            let (sign, wanted, most) =
                if least { (1, lo, plain[way]) } else { (-1, hi, 4 * plain[way] + 64) };
            lines.push(Self { ways: vec![Pull { way, sign, wanted, weight: 1 }], parts: 1, most });
        }
        lines
    }

    fn start(&self, plain: &[i64], prices: &[i64]) -> i64 {
        match self.ways.as_slice() {
            [pull] => (plain[pull.way] - prices[pull.way]) * pull.sign,
            _ => 0,
        }
    }

    fn set(&self, at: i64, plain: &[i64], prices: &mut [i64]) {
        for pull in &self.ways {
            let bend = i128::from(at) * i128::from(pull.weight) / i128::from(self.parts);
            prices[pull.way] = plain[pull.way] - pull.sign * i64::try_from(bend).unwrap_or(0);
        }
    }

    fn offset(&self, plain: &[i64], prices: &[i64]) -> i64 {
        self.ways.iter().map(|pull| (plain[pull.way] - prices[pull.way]) * i64::from(pull.wanted)).sum()
    }

    /// The slope in `t`, times the parts.
    fn slope(&self, counts: &[u32]) -> i128 {
        let each = self.ways.iter().map(|pull| {
            i128::from(pull.sign)
                * i128::from(pull.weight)
                * (i128::from(pull.wanted) - i128::from(counts[pull.way]))
        });
        each.sum()
    }
}

/// A scan of one family.
pub(super) struct Scan<'a> {
    family: &'a Family,
    terms: &'a Terms,
    tables: &'a mut Tables,
    aim: Aim,
    /// Nothing above this bound is wanted.
    limit: i64,
    found: Found,
    heads: Vec<Arc<[Table]>>,
    mixes: Vec<u32>,
}

impl<'a> Scan<'a> {
    /// Scans for layouts whose bound is not above the limit.
    pub fn run(family: &'a Family, terms: &'a Terms, tables: &'a mut Tables, aim: Aim, limit: i64) -> Found {
        let limit = limit.min(NEVER - 1);
        let mixes = vec![0; family.mixes.len()];
        let mut scan = Self {
            family,
            terms,
            tables,
            aim,
            limit,
            found: Found { layouts: Vec::new(), overflow: false, work: 0 },
            heads: Vec::new(),
            mixes,
        };
        scan.price_heads();
        let left: Vec<u32> = family.needs.iter().map(|need| need.count).collect();
        scan.descend(0, 0, &left);
        if scan.found.overflow && scan.aim == Aim::Least {
            scan.give_up(&left);
        }
        scan.found
    }

    /// Too much work for the least bound: what bounds everything from above the first mix must
    /// do. The layout is the best seen, or the one that buys no mix.
    fn give_up(&mut self, left: &[u32]) {
        let bound = self.covers(&self.heads[0], left);
        let ways = self.family.each.len();
        let spans = self.terms.each.iter().map(|segs| (0, segs.len().saturating_sub(1))).collect();
        let plain = Layout {
            bound,
            mixes: self.greedy(left),
            spans,
            bends: vec![0; ways],
            counts: vec![0; ways],
            solid: false,
        };
        let seen = self.found.layouts.pop().unwrap_or(plain);
        self.found.layouts = vec![Layout { bound, solid: false, ..seen }];
    }

    /// Mixes, the one of most needed letters for its price first, until the rest can be
    /// bought without mixes.
    fn greedy(&self, left: &[u32]) -> Vec<u32> {
        let last = &self.heads[self.heads.len() - 1];
        let mut counts: Vec<u32> = self.terms.mix_range.iter().map(|range| range.0).collect();
        let mut left = left.to_vec();
        while self.covers(last, &left) >= NEVER {
            let worth = |mix: usize| {
                let gives = self.family.mixes[mix].gives.iter();
                let letters: u32 = gives.map(|&(need, gives)| gives.min(left[need])).sum();
                let price = self.terms.mix_seg(mix, counts[mix] + 1).map(|seg| seg.price);
                let allowed = price.filter(|_| letters > 0 && counts[mix] < self.terms.mix_range[mix].1);
                allowed.map(|price| i64::from(letters) * 1_000_000_000 / (price + 1))
            };
            let rated = (0..counts.len()).filter_map(|mix| worth(mix).map(|worth| (worth, mix)));
            let Some((_, mix)) = rated.max() else { break };
            counts[mix] += 1;
            for &(need, gives) in &self.family.mixes[mix].gives {
                left[need] = left[need].saturating_sub(gives);
            }
        }
        counts
    }

    /// One table per number of mixes decided: letters from the others at their best rate.
    fn price_heads(&mut self) {
        let mut prices: Vec<i64> = self.terms.each.iter().map(|segs| least(segs)).collect();
        prices.push(NEVER);
        let last = prices.len() - 1;
        let mut heads = vec![self.tables.at(&self.family.classes, &prices)];
        for (mix, segs) in self.family.mixes.iter().zip(&self.terms.mixes).rev() {
            if mix.useful > 0 && !segs.is_empty() {
                prices[last] = prices[last].min(least(segs) / i64::from(mix.useful));
            }
            heads.push(self.tables.at(&self.family.classes, &prices));
        }
        heads.reverse();
        self.heads = heads;
    }

    fn covers(&self, tables: &[Table], left: &[u32]) -> i64 {
        let needs = self.family.needs.iter().zip(left);
        needs.map(|(need, &count)| tables[need.class].cost[count as usize]).sum()
    }

    fn descend(&mut self, mix: usize, spent: i64, left: &[u32]) {
        self.found.work += left.len() as u64 + 1;
        self.found.overflow |= self.found.work > MOST_WORK;
        if self.found.overflow || spent + self.covers(&self.heads[mix], left) > self.limit {
            return;
        }
        if mix == self.family.mixes.len() {
            let spans = self.terms.each.iter().map(|segs| (0, segs.len().saturating_sub(1)));
            let mut spans: Vec<(usize, usize)> = spans.collect();
            self.settle(spent, left, &mut spans);
            return;
        }
        let floor = least(&self.terms.mixes[mix]);
        let mut left = left.to_vec();
        let (fewest, most) = self.terms.mix_range[mix];
        for count in 0..=most {
            if count > 0 {
                if spent + floor * i64::from(count) > self.limit {
                    break;
                }
                for &(need, gives) in &self.family.mixes[mix].gives {
                    left[need] = left[need].saturating_sub(gives);
                }
            }
            let price =
                if count == 0 { Some(0) } else { self.terms.mix_seg(mix, count).map(|seg| seg.price) };
            if let Some(price) = price.filter(|_| count >= fewest) {
                self.mixes[mix] = count;
                self.descend(mix + 1, spent + price * i64::from(count), &left);
            }
        }
        self.mixes[mix] = 0;
    }

    /// Bounds a choice of mixes by stretches, splitting those that are not what they seem.
    fn settle(&mut self, spent: i64, left: &[u32], spans: &mut Vec<(usize, usize)>) {
        let mut prices = self.prices(spans);
        let tables = self.tables.at(&self.family.classes, &prices);
        let mut bound = spent + self.covers(&tables, left);
        self.found.work += left.len() as u64;
        if self.found.overflow || bound > self.limit {
            return;
        }
        let mut counts = self.counts(&tables, left);
        let plain = prices.clone();
        let reaches: Vec<Option<(u32, u32)>> =
            (0..spans.len()).map(|way| self.terms.reach(way, spans[way])).collect();
        let off = |way: &usize, counts: &[u32]| {
            reaches[*way].is_some_and(|(lo, hi)| !(lo..=hi).contains(&counts[*way]))
        };
        for round in 0..ROUNDS {
            let before = bound;
            if !(0..spans.len()).any(|way| off(&way, &counts) || prices[way] != plain[way]) {
                break;
            }
            for line in Line::all(&reaches, &plain, &prices, &counts, round) {
                bound = self.climb(&line, bound, &plain, &mut prices, left);
                if bound > self.limit {
                    return;
                }
            }
            let tables = self.tables.at(&self.family.classes, &prices);
            counts = self.counts(&tables, left);
            if bound - before < SCALE / 8 {
                break;
            }
        }
        let bends: Vec<i64> =
            plain.iter().zip(&prices).take(spans.len()).map(|(plain, bent)| plain - bent).collect();
        let Some(way) = self.split(spans, &counts, bends.iter().any(|&bend| bend != 0)) else {
            let solid = bends.iter().all(|&bend| bend == 0) && self.within(spans, &counts);
            self.accept(Layout {
                bound,
                mixes: self.mixes.clone(),
                spans: spans.clone(),
                bends,
                counts,
                solid,
            });
            return;
        };
        let whole = spans[way];
        for part in [(whole.1, whole.1), (whole.0, whole.1 - 1)] {
            spans[way] = part;
            self.settle(spent, left, spans);
        }
        spans[way] = whole;
    }

    fn accept(&mut self, layout: Layout) {
        match self.aim {
            Aim::Least => {
                self.limit = layout.bound - 1;
                self.found.layouts.clear();
            }
            Aim::All(most) => self.found.overflow |= self.found.layouts.len() >= most,
        }
        self.found.layouts.push(layout);
    }

    fn prices(&self, spans: &[(usize, usize)]) -> Vec<i64> {
        let span = |(segs, &(from, to)): (&Vec<_>, &(usize, usize))| segs.get(from..=to).map_or(NEVER, least);
        self.terms.each.iter().zip(spans).map(span).chain([NEVER]).collect()
    }

    fn counts(&mut self, tables: &[Table], left: &[u32]) -> Vec<u32> {
        let mut counts = vec![0; self.family.each.len()];
        for (need, &count) in self.family.needs.iter().zip(left) {
            let table = &tables[need.class];
            let mut count = count as usize;
            while count > 0 && table.pick[count] != NOTHING {
                let way = usize::from(table.pick[count]);
                counts[way] += 1;
                count = count.saturating_sub(self.family.each[way].n as usize);
                self.found.work += 1;
            }
        }
        counts
    }

    /// Raises the bound along a line of prices; leaves the best prices in place.
    ///
    /// The bound is concave along the line and made of straight pieces, and its slope is known
    /// from the counts. So the next point to try is where the pieces at both ends would meet,
    /// and the search ends when there is nothing between them. (Where prices round, a slope is
    /// off by a little; the bound at a point is exact all the same.)
    fn climb(&mut self, line: &Line, bound: i64, plain: &[i64], prices: &mut [i64], left: &[u32]) -> i64 {
        let tables = self.tables.at(&self.family.classes, prices);
        let base = bound - self.covers(&tables, left) - line.offset(plain, prices);
        let mut best = (bound, prices.to_vec());
        let (mut low, mut high): (Option<End>, Option<End>) = (None, None);
        let mut at = line.start(plain, prices);
        for _ in 0..STEPS {
            line.set(at, plain, prices);
            let tables = self.tables.at(&self.family.classes, prices);
            let value = base + self.covers(&tables, left) + line.offset(plain, prices);
            let slope = line.slope(&self.counts(&tables, left));
            self.found.work += 2 * left.len() as u64;
            if value > best.0 {
                best = (value, prices.to_vec());
                if value > self.limit {
                    break;
                }
            }
            let end = if slope > 0 { &mut low } else { &mut high };
            if slope == 0 || end.is_some_and(|held| held.0 == at) {
                break;
            }
            *end = Some((at, value, slope));
            at = match (low, high) {
                (None, Some((at, _, _))) if at > 0 => at / 2,
                (Some((at, _, _)), None) if at < line.most => line.most.min(2 * at + line.most / 16 + 1),
                (Some((a, va, sa)), Some((b, vb, sb))) => {
                    let rise = i128::from(vb - va) * i128::from(line.parts) + sa * i128::from(a)
                        - sb * i128::from(b);
                    i64::try_from(rise.div_euclid(sa - sb)).unwrap_or(a).clamp(a, b)
                }
                _ => break,
            };
        }
        prices.copy_from_slice(&best.1);
        best.0
    }

    /// A way whose span must be split before the bound can be taken for a plan's price.
    fn split(&self, spans: &[(usize, usize)], counts: &[u32], bent: bool) -> Option<usize> {
        let open = |way: &usize| spans[*way].0 < spans[*way].1;
        let wrong = |way: &usize| open(way) && !self.honest(*way, spans[*way], counts[*way]);
        let ways = 0..spans.len();
        let first = ways.clone().find(wrong);
        first.or_else(|| ways.clone().find(open).filter(|_| bent || self.aim != Aim::Least))
    }

    /// Whether the price assumed for a span is the price at this count.
    fn honest(&self, way: usize, span: (usize, usize), count: u32) -> bool {
        let Some(segs) = self.terms.each[way].get(span.0..=span.1) else { return true };
        let price = least(segs);
        let given = |lo: u32, hi: u32| lo <= count && count <= hi;
        segs.iter().any(|seg| given(seg.lo, seg.hi) && (seg.price == price || count == 0))
    }

    fn within(&self, spans: &[(usize, usize)], counts: &[u32]) -> bool {
        (0..spans.len()).all(|way| self.honest(way, spans[way], counts[way]))
    }
}

/// What is left to cover after so many of each mix.
pub(super) fn residual(family: &Family, mixes: &[u32]) -> Vec<u32> {
    let mut left: Vec<u32> = family.needs.iter().map(|need| need.count).collect();
    for (mix, &count) in family.mixes.iter().zip(mixes) {
        for &(need, gives) in &mix.gives {
            left[need] = left[need].saturating_sub(gives.saturating_mul(count));
        }
    }
    left
}
