//! Buying problems of a shop's size in which everything hangs together: break groups over all
//! families of a supplier, freight steps, minimums and limits in stock at once.

use super::Dice;
use lettertally::buy::solver::model::{Family, Problem, Step, Supplier, Tier, Unit, Way};

/// How much is needed, in families and letters.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// Its name.
    pub name: &'static str,
    /// Families, at least and at most.
    pub families: (i64, i64),
    /// Glyphs needed of each family.
    pub glyphs: (i64, i64),
    /// The largest need of one glyph.
    pub need: i64,
}

/// From a team's names in some colours to a league's shirts.
pub const SCALES: [Scale; 3] = [
    Scale { name: "team", families: (2, 4), glyphs: (10, 22), need: 8 },
    Scale { name: "school", families: (4, 8), glyphs: (18, 30), need: 24 },
    Scale { name: "league", families: (8, 12), glyphs: (24, 36), need: 70 },
];

/// A problem of three suppliers at this scale.
pub fn problem(dice: &mut Dice, scale: Scale) -> Problem {
    let step = if dice.chance(70) { 5 } else { 1 };
    let families: Vec<Family> =
        (0..dice.roll(scale.families.0, scale.families.1)).map(|_| family(dice, scale)).collect();
    let letter: Vec<i64> = families.iter().map(|_| 5 * dice.roll(6, 60)).collect();
    let worth: i64 = families.iter().zip(&letter).map(|(f, cents)| total(f) * cents).sum();
    let suppliers = (0..3).map(|_| supplier(dice, worth)).collect();
    let mut problem = Problem { suppliers, families, ways: Vec::new() };
    for supplier in 0..3 {
        let mut sold = Kinds { supplier, step, dice };
        for kind in 0..4 {
            sold.offer(&mut problem, kind, &letter);
        }
    }
    problem
}

fn total(family: &Family) -> i64 {
    family.need.iter().map(|&need| i64::from(need)).sum()
}

fn family(dice: &mut Dice, scale: Scale) -> Family {
    let glyphs = dice.roll(scale.glyphs.0, scale.glyphs.1);
    // Common letters are needed much more often than rare ones.
    let need = (0..glyphs).map(|g| dice.roll(1, (scale.need * (glyphs - g) / glyphs).max(1)) as u32);
    Family { need: need.collect() }
}

fn supplier(dice: &mut Dice, worth: i64) -> Supplier {
    let mut freight = vec![Step { from: 0, cents: 5 * dice.roll(80, 300) }];
    for _ in 0..dice.roll(1, 3) {
        let last = freight[freight.len() - 1];
        let from = last.from + 100 * dice.roll(worth / 1_000, worth / 300 + 20).max(1);
        let cents =
            if dice.chance(60) { last.cents / 2 / 5 * 5 } else { last.cents + 5 * dice.roll(20, 100) };
        freight.push(Step { from, cents });
    }
    if dice.chance(50) {
        let last = freight[freight.len() - 1].from;
        freight.push(Step { from: last + 100 * dice.roll(20, worth / 300 + 40), cents: 0 });
    }
    let min_order = if dice.chance(50) { 100 * dice.roll(10, worth / 400 + 20) } else { 0 };
    Supplier { freight, min_order }
}

/// What one supplier sells.
struct Kinds<'a> {
    supplier: usize,
    step: i64,
    dice: &'a mut Dice,
}

impl Kinds<'_> {
    /// One kind of unit (a piece, two packs, a set) for most families, with breaks that mostly
    /// count over all of them.
    fn offer(&mut self, problem: &mut Problem, kind: usize, letter: &[i64]) {
        let n = [1, 5, [10, 25][self.dice.roll(0, 1) as usize], 0][kind];
        if kind > 0 && self.dice.chance(25) {
            return;
        }
        let group = (kind < 3 && self.dice.chance(70)).then_some(4 * self.supplier + kind);
        let level = self.dice.roll(85, 115);
        let letters: i64 = problem.families.iter().map(total).sum();
        let breaks: Vec<(u32, i64)> =
            self.breaks(letters / i64::from(n.max(1)), problem.families.len(), group);
        for (family, &cents) in letter.iter().enumerate() {
            // The first supplier has a piece of everything, so that there is a plan.
            if self.dice.chance(20) && (self.supplier, kind) != (0, 0) {
                continue;
            }
            let glyphs = problem.families[family].need.len();
            let (unit, held) =
                if kind == 3 { self.set(glyphs) } else { (Unit::Same { n, glyphs: None }, i64::from(n)) };
            let rate = [100, 88, 78, 62][kind] + self.dice.roll(-6, 6);
            let price = (cents * held * level * rate / 10_000 / self.step * self.step).max(self.step);
            let tier = |&(from, share): &(u32, i64)| Tier {
                from,
                cents: (price * share / 100 / self.step * self.step).max(1),
            };
            let tiers = breaks.iter().map(tier).collect();
            let limited = self.dice.chance(12) && (self.supplier, kind) != (0, 0);
            let at_most = limited.then(|| self.dice.roll(1, 4 + letters / held.max(1) / 4) as u32);
            problem.ways.push(Way { supplier: self.supplier, family, unit, tiers, at_most, group });
        }
    }

    fn set(&mut self, glyphs: usize) -> (Unit, i64) {
        let contents: Vec<(usize, u32)> = (0..glyphs).map(|g| (g, self.dice.roll(1, 4) as u32)).collect();
        let held = contents.iter().map(|held| i64::from(held.1)).sum();
        (Unit::Mix(contents), held)
    }

    /// Quantity breaks within reach of what is needed: from so many units, percent of the price.
    fn breaks(&mut self, units: i64, families: usize, group: Option<usize>) -> Vec<(u32, i64)> {
        let reach = if group.is_some() { units } else { units / families as i64 };
        let mut breaks = vec![(1, 100)];
        for _ in 0..self.dice.roll(1, 3) {
            let (from, share) = breaks[breaks.len() - 1];
            breaks.push((from + self.dice.roll(1, reach / 3 + 2) as u32, share - self.dice.roll(2, 12)));
        }
        breaks
    }
}
