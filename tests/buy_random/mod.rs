//! Random buying problems with a fixed course.

#[allow(dead_code)]
pub mod hard;

use lettertally::buy::solver::model::{Family, Problem, Step, Supplier, Tier, Unit, Way};

/// A small generator of random numbers with a fixed course (xorshift, Marsaglia 2003).
pub struct Dice(u64);

impl Dice {
    /// Dice that always fall the same way for a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number between two, both included.
    pub fn roll(&mut self, from: i64, to: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        from + ((self.0 >> 11) % (to - from + 1) as u64) as i64
    }

    /// True in so many of a hundred cases.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.roll(1, 100) <= percent
    }
}

fn supplier(dice: &mut Dice, scale: i64) -> Supplier {
    let mut from = 0;
    let mut freight = Vec::new();
    for _ in 0..dice.roll(0, 3) {
        freight.push(Step { from, cents: dice.roll(0, 2 * scale) });
        from += dice.roll(1, 6 * scale);
    }
    let min_order = if dice.chance(30) { dice.roll(1, 8 * scale) } else { 0 };
    Supplier { freight, min_order }
}

fn tiers(dice: &mut Dice, price: i64) -> Vec<Tier> {
    let mut tiers = vec![Tier { from: 1, cents: price }];
    for _ in 0..dice.roll(0, 2) {
        let last = tiers[tiers.len() - 1];
        let lower = if dice.chance(90) { dice.roll(last.cents / 2, last.cents) } else { last.cents + 1 };
        tiers.push(Tier { from: last.from + dice.roll(1, 3) as u32, cents: lower });
    }
    tiers
}

fn way(dice: &mut Dice, suppliers: usize, family: usize, glyphs: usize, scale: i64) -> Way {
    let supplier = dice.roll(0, suppliers as i64 - 1) as usize;
    let (unit, n) = if dice.chance(30) {
        let contents: Vec<(usize, u32)> = (0..glyphs).map(|g| (g, dice.roll(0, 2) as u32)).collect();
        let n = contents.iter().map(|c| i64::from(c.1)).sum();
        if n == 0 { (Unit::Mix(vec![(0, 1)]), 1) } else { (Unit::Mix(contents), n) }
    } else {
        let n = if dice.chance(40) { 1 } else { dice.roll(2, 4) };
        let some = || (0..glyphs).collect::<Vec<usize>>();
        let glyphs = dice.chance(20).then(|| some().into_iter().filter(|_| dice.chance(70)).collect());
        (Unit::Same { n: n as u32, glyphs }, n)
    };
    let price = dice.roll(scale / 2 + 1, 2 * scale) * n * dice.roll(6, 10) / 10;
    let at_most = dice.chance(20).then(|| dice.roll(0, 5) as u32);
    Way { supplier, family, unit, tiers: tiers(dice, price.max(1)), at_most, group: None }
}

/// How large the problems are.
#[derive(Clone, Copy)]
pub struct Size {
    families: i64,
    glyphs: i64,
    need: i64,
    ways: i64,
}

#[allow(dead_code)]
impl Size {
    /// Small enough to try everything.
    pub const TINY: Self = Self { families: 2, glyphs: 2, need: 3, ways: 3 };
    /// Small enough for a general solver.
    pub const MIDDLE: Self = Self { families: 2, glyphs: 5, need: 8, ways: 5 };
}

/// A problem with every feature on.
pub fn problem(dice: &mut Dice, size: Size) -> Problem {
    let scale = if dice.chance(50) { dice.roll(2, 12) } else { 5 * dice.roll(1, 4) };
    let suppliers: Vec<Supplier> = (0..dice.roll(1, 3)).map(|_| supplier(dice, scale)).collect();
    let mut problem = Problem { suppliers, ..Problem::default() };
    for family in 0..dice.roll(1, size.families) as usize {
        let glyphs = dice.roll(1, size.glyphs) as usize;
        problem.families.push(Family { need: (0..glyphs).map(|_| dice.roll(0, size.need) as u32).collect() });
        for _ in 0..dice.roll(1, size.ways) {
            problem.ways.push(way(dice, problem.suppliers.len(), family, glyphs, scale));
        }
    }
    for w in 0..problem.ways.len() {
        if dice.chance(20) {
            problem.ways[w].group = Some(problem.ways[w].supplier);
        }
    }
    problem
}
