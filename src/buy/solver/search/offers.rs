//! Plans to offer: samples of the families put together, exchanged and topped up.

use super::super::bend::{Sample, group_key};
use super::super::check;
use super::super::cover::Tables;
use super::super::family::{Family, Terms};
use super::super::model::{Line, Problem, Unit};
use super::super::repair::plan_of;
use super::super::scan::Layout;
use super::super::scheme::Case;
use super::Solver;

impl Solver {
    /// Offers the cheapest sample of every family.
    pub(super) fn offer_cheapest(&mut self, case: &Case, multipliers: &[i64]) {
        let cheapest = |samples: &Vec<Sample>| {
            let fits = samples.iter().enumerate().filter(|(_, sample)| sample.fits(&self.problem, case));
            fits.min_by_key(|(i, sample)| (sample.bent(multipliers), *i)).map(|(i, _)| i)
        };
        if let Some(picks) = self.samples.iter().map(cheapest).collect::<Option<Vec<usize>>>() {
            self.offer_samples(&picks);
        }
    }

    /// Keeps a sample; gives its place.
    pub(super) fn keep(&mut self, sample: Sample) -> usize {
        let samples = &mut self.samples[sample.family];
        let known = samples.iter().position(|other| *other == sample);
        known.unwrap_or_else(|| {
            samples.push(sample);
            samples.len() - 1
        })
    }

    /// Offers the plan made of one sample per family, after exchanging samples for as long
    /// as that helps, and with what could be added to reach a threshold.
    pub(super) fn offer_samples(&mut self, picks: &[usize]) {
        let picks = self.exchange(picks);
        let samples = picks.iter().enumerate().map(|(f, &pick)| &self.samples[f][pick]);
        let lines: Vec<Line> = samples.flat_map(|sample| sample.lines.iter().copied()).collect();
        let spent = self.spent(&picks);
        self.offer(&lines);
        self.pad(&lines, &spent);
    }

    pub(super) fn spent(&self, picks: &[usize]) -> Vec<i64> {
        let mut spent = vec![0; self.problem.suppliers.len()];
        for (f, &pick) in picks.iter().enumerate() {
            spent.iter_mut().zip(&self.samples[f][pick].totals).for_each(|(sum, total)| *sum += total);
        }
        spent
    }

    /// Merchandise and freight; a missed minimum counts ten times what it is missed by.
    pub(super) fn value(&self, spent: &[i64]) -> i64 {
        let each = spent.iter().zip(&self.problem.suppliers).filter(|(sum, _)| **sum > 0);
        each.map(|(&sum, s)| sum + s.freight(sum) + 10 * (s.min_order - sum).max(0)).sum()
    }

    pub(super) fn exchange(&self, picks: &[usize]) -> Vec<usize> {
        let mut picks = picks.to_vec();
        let mut spent = self.spent(&picks);
        let mut value = self.value(&spent);
        for _ in 0..20 {
            let before = value;
            for (f, pick) in picks.iter_mut().enumerate() {
                let mut without = spent.clone();
                without.iter_mut().zip(&self.samples[f][*pick].totals).for_each(|(sum, total)| *sum -= total);
                for (place, sample) in self.samples[f].iter().enumerate() {
                    let with: Vec<i64> =
                        without.iter().zip(&sample.totals).map(|(sum, total)| sum + total).collect();
                    let other = self.value(&with);
                    if other < value {
                        (value, spent, *pick) = (other, with, place);
                    }
                }
            }
            if value == before {
                break;
            }
        }
        picks
    }

    /// Offers the lines with more of one way, enough to reach a minimum or a freight step.
    pub(super) fn pad(&mut self, lines: &[Line], spent: &[i64]) {
        let mut tries = Vec::new();
        for (w, way) in self.problem.ways.iter().enumerate() {
            let (supplier, sum) = (&self.problem.suppliers[way.supplier], spent[way.supplier]);
            let steps = supplier.freight.iter().map(|step| step.from).chain([supplier.min_order]);
            let price = way.tiers.iter().map(|tier| tier.cents).min().unwrap_or(0);
            if sum == 0 || price == 0 {
                continue;
            }
            for short in steps.map(|from| from - sum).filter(|&short| short > 0) {
                let units = (short + price - 1) / price;
                let mut with = spent.to_vec();
                with[way.supplier] += units * price;
                tries.push((self.value(&with), w, units));
            }
        }
        tries.sort_unstable();
        for (value, w, units) in tries.into_iter().take(8) {
            let sold = |glyph: &usize| self.problem.ways[w].sells(*glyph);
            let mix = matches!(self.problem.ways[w].unit, Unit::Mix(_));
            let glyph = (0..self.problem.families[self.problem.ways[w].family].need.len()).find(sold);
            let better = self.best.as_ref().is_none_or(|best| value < best.worth.cents);
            if let Some(glyph) = glyph.filter(|_| better) {
                let mut lines = lines.to_vec();
                let glyph = (!mix).then_some(glyph);
                lines.push(Line { way: w, glyph, units: u32::try_from(units).unwrap_or(1) });
                self.offer(&merged(lines));
            }
        }
    }

    pub(super) fn offer(&mut self, lines: &[Line]) {
        let Ok(plan) = check::price(&self.problem, lines) else { return };
        if self.best.as_ref().is_none_or(|best| plan.worth < best.worth) {
            self.best = Some(plan);
        }
    }
}

/// Units of the same way and glyph in one line.
pub(super) fn merged(mut lines: Vec<Line>) -> Vec<Line> {
    lines.sort_unstable();
    let mut out: Vec<Line> = Vec::with_capacity(lines.len());
    for line in lines {
        match out.last_mut().filter(|last| (last.way, last.glyph) == (line.way, line.glyph)) {
            Some(last) => last.units += line.units,
            None => out.push(line),
        }
    }
    out
}

/// The plan of a layout's covers at its true prices.
pub(super) fn sample(
    problem: &Problem,
    index: usize,
    family: &Family,
    terms: &Terms,
    tables: &mut Tables,
    case: &Case,
    layout: &Layout,
) -> Sample {
    let bought = family.mixes.iter().zip(&layout.mixes).filter(|&(_, &units)| units > 0);
    let mut lines: Vec<Line> =
        bought.map(|(mix, &units)| Line { way: mix.way, glyph: None, units }).collect();
    for (place, glyph, units) in plan_of(family, terms, tables, layout) {
        lines.push(Line { way: family.each[place].way, glyph: Some(glyph), units });
    }
    sampled(problem, index, case, merged(lines))
}

/// A family's lines as a sample.
pub(super) fn sampled(problem: &Problem, index: usize, case: &Case, lines: Vec<Line>) -> Sample {
    let mut units: Vec<(usize, u32)> = Vec::new();
    for line in &lines {
        match units.last_mut().filter(|last| last.0 == line.way) {
            Some(last) => last.1 += line.units,
            None => units.push((line.way, line.units)),
        }
    }
    let mut sample = Sample {
        family: index,
        cents: 0,
        totals: vec![0; case.boxes.len()],
        from: 0,
        groups: group_key(problem, case),
        lines,
        units,
    };
    for &(w, count) in &sample.units {
        let way = &problem.ways[w];
        let price =
            if way.group.is_some() { case.group_price(problem, w) } else { way.price(u64::from(count)) };
        let cents = price * i64::from(count);
        sample.cents += cents;
        sample.totals[way.supplier] += cents;
        if way.group.is_some() {
            sample.totals[case.groups.of[w]] += i64::from(count);
        }
        sample.from |= 1 << way.supplier;
    }
    sample
}
