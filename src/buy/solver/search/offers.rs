//! Plans to offer: samples of the families put together, exchanged and topped up.

use super::super::check;
use super::super::cover::Tables;
use super::super::exchange::value;
use super::super::family::{Family, Terms};
use super::super::model::{Line, Unit};
use super::super::repair::plan_of;
use super::super::sample::{Samples, Tariff};
use super::super::scan::Layout;
use super::super::scheme::Case;
use super::Solver;

/// How many choices of samples are remembered, so that none is offered twice in a row.
const MOST_OFFERED: usize = 10_000;

impl Solver {
    /// Offers the cheapest sample of every family.
    pub(super) fn offer_cheapest(&mut self, case: &Case, multipliers: &[i64]) {
        let tariff = Tariff::of(&self.problem, case);
        let cheapest = |(f, samples): (usize, &Samples)| tariff.cheapest(f, samples, multipliers);
        let picks = self.samples.iter().enumerate().map(|each| cheapest(each).map(|found| found.1));
        if let Some(picks) = picks.collect::<Option<Vec<usize>>>() {
            self.offer_samples(&picks);
        }
    }

    /// Offers the plan made of one sample per family, after exchanging samples for as long
    /// as that helps, and with what could be added to reach a threshold.
    pub(super) fn offer_samples(&mut self, picks: &[usize]) {
        if !self.offered.insert(picks.to_vec()) {
            return;
        }
        if self.offered.len() > MOST_OFFERED {
            self.offered.clear();
        }
        let picks = self.exchange.better(&self.problem, &self.samples, picks, &mut self.work);
        let samples = picks.iter().enumerate().map(|(f, &pick)| &self.samples[f].all[pick]);
        let lines: Vec<Line> = samples.flat_map(|sample| sample.lines.iter().copied()).collect();
        let spent = self.exchange.spent(&self.problem, &self.samples, &picks);
        self.offer(&lines);
        self.pad(&lines, &spent);
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
                tries.push((value(&self.problem, &with), w, units));
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

/// The plan of a layout's covers.
pub(super) fn lines_of(family: &Family, terms: &Terms, tables: &mut Tables, layout: &Layout) -> Vec<Line> {
    let bought = family.mixes.iter().zip(&layout.mixes).filter(|&(_, &units)| units > 0);
    let mut lines: Vec<Line> =
        bought.map(|(mix, &units)| Line { way: mix.way, glyph: None, units }).collect();
    for (place, glyph, units) in plan_of(family, terms, tables, layout) {
        lines.push(Line { way: family.each[place].way, glyph: Some(glyph), units });
    }
    merged(lines)
}
