//! From a layout to a real plan of its family.
//!
//! Where a layout's bound rests on a multiplier, covers of equal bent price stand on both
//! sides of the count wanted. Exchanging them glyph by glyph, cheapest first, until the count
//! is reached gives a plan that is off the bound by about one glyph's step.

use super::cover::{NEVER, NOTHING, Table, Tables};
use super::family::{Family, Terms, least};
use super::scan::{Layout, residual};

/// Units per way for each need.
struct Covers<'a> {
    family: &'a Family,
    left: Vec<u32>,
    units: Vec<Vec<u32>>,
}

/// The units of a plan near the layout: (place of the way, glyph, units).
pub(super) fn plan_of(
    family: &Family,
    terms: &Terms,
    tables: &mut Tables,
    layout: &Layout,
) -> Vec<(usize, usize, u32)> {
    let span = |(segs, &(from, to)): (&Vec<_>, &(usize, usize))| segs.get(from..=to).map_or(NEVER, least);
    let plain = terms.each.iter().zip(&layout.spans).map(span);
    let prices: Vec<i64> =
        plain.zip(&layout.bends).map(|(price, bend)| price - bend).chain([NEVER]).collect();
    let left = residual(family, &layout.mixes);
    let first = tables.at(&family.classes, &prices);
    let units = covers(family, &left, &first);
    let mut plan = Covers { family, left, units };
    for _ in 0..2 {
        for way in 0..family.each.len() {
            if let Some((lo, hi)) = terms.reach(way, layout.spans[way]) {
                plan.mend(tables, &prices, way, (lo, hi));
            }
        }
    }
    let mut out = plan.lines();
    for (way, each) in family.each.iter().enumerate() {
        let short =
            terms.reach(way, layout.spans[way]).map_or(0, |(lo, _)| lo.saturating_sub(plan.count(way)));
        if short > 0 {
            out.push((way, each.spare, short));
        }
    }
    out
}

fn covers(family: &Family, left: &[u32], tables: &[Table]) -> Vec<Vec<u32>> {
    let cover = |(need, &count): (&super::family::Need, &u32)| {
        let table = &tables[need.class];
        let mut units = vec![0; family.each.len()];
        let mut left = count as usize;
        while left > 0 && table.pick[left] != NOTHING {
            let way = usize::from(table.pick[left]);
            units[way] += 1;
            left = left.saturating_sub(family.each[way].n as usize);
        }
        units
    };
    family.needs.iter().zip(left).map(cover).collect()
}

impl Covers<'_> {
    fn count(&self, way: usize) -> u32 {
        self.units.iter().map(|units| units[way]).sum()
    }

    fn lines(&self) -> Vec<(usize, usize, u32)> {
        let mut out = Vec::new();
        for (need, units) in self.family.needs.iter().zip(&self.units) {
            let bought = units.iter().enumerate().filter(|&(_, &units)| units > 0);
            out.extend(bought.map(|(way, &units)| (way, need.glyph, units)));
        }
        out
    }

    /// Brings a way's count between bounds by exchanging covers.
    fn mend(&mut self, tables: &mut Tables, prices: &[i64], way: usize, (lo, hi): (u32, u32)) {
        let count = self.count(way);
        if (lo..=hi).contains(&count) {
            return;
        }
        let more = count < lo;
        let Some(other) = self.other_side(tables, prices, way, (lo, hi), more) else { return };
        let bent = |units: &[u32]| -> i64 {
            units.iter().zip(prices).filter(|&(&u, _)| u > 0).map(|(&u, &price)| i64::from(u) * price).sum()
        };
        let mut swaps: Vec<(i64, usize)> = Vec::new();
        for (need, units) in other.iter().enumerate() {
            let step = i64::from(units[way]) - i64::from(self.units[need][way]);
            let step = if more { step } else { -step };
            if step > 0 {
                let dearer = bent(units) - bent(&self.units[need]);
                swaps.push((dearer.div_euclid(step), need));
            }
        }
        swaps.sort_unstable();
        let mut count = i64::from(count);
        for (_, need) in swaps {
            if i64::from(lo) <= count && count <= i64::from(hi) {
                break;
            }
            count += i64::from(other[need][way]) - i64::from(self.units[need][way]);
            self.units[need].clone_from(&other[need]);
        }
    }

    /// Covers at the nearest price at which the count is on the other side.
    fn other_side(
        &self,
        tables: &mut Tables,
        prices: &[i64],
        way: usize,
        (lo, hi): (u32, u32),
        more: bool,
    ) -> Option<Vec<Vec<u32>>> {
        let mut prices = prices.to_vec();
        let start = prices[way];
        let mut step = 1;
        while step <= 4 * start + 1 {
            prices[way] = if more { (start - step).max(0) } else { start + step };
            let other = covers(self.family, &self.left, &tables.at(&self.family.classes, &prices));
            let count: u32 = other.iter().map(|units| units[way]).sum();
            if (more && count >= lo) || (!more && count <= hi) {
                return Some(other);
            }
            step *= 4;
        }
        None
    }
}
