//! The solver against plain enumeration on thousands of tiny random problems, every feature on.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod buy_random;

use buy_random::{Dice, Size, problem};
use lettertally::buy::solver::check;
use lettertally::buy::solver::model::{Line, Problem, Unit, Worth};
use lettertally::buy::solver::{Outcome, Reason, Solver, Status};

/// Everything that could be bought up to a merchandise value.
struct Brute<'a> {
    problem: &'a Problem,
    slots: Vec<(usize, Option<usize>)>,
    units: Vec<u32>,
    limit: i64,
    best: Option<Worth>,
    /// Tries left; a problem that takes more is passed over.
    tries: u32,
}

impl Brute<'_> {
    /// The least worth up to a limit; `None` if there are too many plans to try.
    fn best(problem: &Problem, limit: i64) -> Option<Option<Worth>> {
        let mut slots = Vec::new();
        for (w, way) in problem.ways.iter().enumerate() {
            match &way.unit {
                Unit::Mix(_) => slots.push((w, None)),
                Unit::Same { .. } => {
                    let sold = (0..problem.families[way.family].need.len()).filter(|&g| way.sells(g));
                    slots.extend(sold.map(|g| (w, Some(g))));
                }
            }
        }
        let units = vec![0; slots.len()];
        let mut brute = Brute { problem, slots, units, limit, best: None, tries: 200_000 };
        brute.go(0, 0);
        (brute.tries > 0).then_some(brute.best)
    }

    fn covered(&self) -> bool {
        let got = |f: usize, g: usize| -> u32 {
            let gives = |&(w, glyph): &(usize, Option<usize>)| match &self.problem.ways[w].unit {
                _ if self.problem.ways[w].family != f => 0,
                Unit::Same { n, .. } => {
                    if glyph == Some(g) {
                        *n
                    } else {
                        0
                    }
                }
                Unit::Mix(contents) => contents.iter().filter(|held| held.0 == g).map(|held| held.1).sum(),
            };
            self.slots.iter().zip(&self.units).map(|(slot, units)| gives(slot) * units).sum()
        };
        let families = self.problem.families.iter().enumerate();
        families
            .flat_map(|(f, family)| family.need.iter().enumerate().map(move |(g, need)| (f, g, *need)))
            .all(|(f, g, need)| got(f, g) >= need)
    }

    fn go(&mut self, slot: usize, spent: i64) {
        if self.tries == 0 {
            return;
        }
        self.tries -= 1;
        if slot == self.slots.len() {
            if !self.covered() {
                return;
            }
            let bought = self.slots.iter().zip(&self.units).filter(|&(_, &units)| units > 0);
            let lines: Vec<Line> = bought.map(|(&(way, glyph), &units)| Line { way, glyph, units }).collect();
            let plan = check::price(self.problem, &lines).ok();
            if let Some(plan) = plan.filter(|plan| self.best.is_none_or(|best| plan.worth < best)) {
                self.best = Some(plan.worth);
                self.limit = self.limit.min(plan.worth.cents);
            }
            return;
        }
        let way = &self.problem.ways[self.slots[slot].0];
        let floor = way.tiers.iter().map(|tier| tier.cents).min().unwrap();
        for units in 0..=way.at_most.unwrap_or(u32::MAX).min(80) {
            let next = spent + floor * i64::from(units);
            if next > self.limit {
                break;
            }
            self.units[slot] = units;
            self.go(slot + 1, next);
        }
        self.units[slot] = 0;
    }
}

/// Compares one problem; `None` if it has too many plans to try.
fn compare(seed: u64) -> Option<Status> {
    let problem = problem(&mut Dice::new(seed), Size::TINY);
    let mut solver = Solver::new(problem.clone()).unwrap();
    let outcome = solver.run(|solver| solver.work() < 20_000_000);
    assert!(solver.done(), "seed {seed} takes too long: {outcome:?} {problem:?}");
    match (&outcome.plan, &outcome.reason) {
        (Some(plan), _) => {
            assert_eq!(check::price(&problem, &plan.lines).as_ref(), Ok(plan), "seed {seed}");
            assert_eq!(outcome.status, Status::Optimal, "seed {seed}: {outcome:?} {problem:?}");
            assert!(outcome.settled, "seed {seed}");
            let least = Brute::best(&problem, plan.worth.cents)?;
            assert_eq!(least, Some(plan.worth), "seed {seed}: {problem:?}");
        }
        (None, Some(reason)) => {
            assert_eq!(Brute::best(&problem, 60)?, None, "seed {seed}: {problem:?}");
            if let Reason::Unsold(glyphs) = reason {
                assert!(!glyphs.is_empty());
            }
        }
        (None, None) => panic!("seed {seed} ended without plan or reason"),
    }
    Some(outcome.status)
}

#[test]
fn nothing_cheaper_is_found_by_trying_everything() {
    let first: u64 = std::env::var("BRUTE_FROM").ok().and_then(|text| text.parse().ok()).unwrap_or(1);
    let rounds: u64 = std::env::var("BRUTE_ROUNDS").ok().and_then(|text| text.parse().ok()).unwrap_or(3_000);
    let (mut compared, mut infeasible) = (0, 0);
    for status in (first..first + rounds).filter_map(compare) {
        compared += 1;
        infeasible += u64::from(status == Status::Infeasible);
    }
    println!("{compared} of {rounds} compared, {infeasible} of them infeasible");
    assert!(compared > rounds * 3 / 4, "only {compared} of {rounds} could be tried");
    assert!(infeasible < rounds / 2, "{infeasible} of {rounds} have no plan");
}

/// Where a stage has hardly any room, cases are parted by the units of single ways again and again:
/// the same worth is found and proven, and no bound on the way is above it.
#[test]
fn hardly_any_room_changes_nothing_of_what_is_found() {
    let (mut through, mut given_up) = (0, 0);
    for seed in 1..=600 {
        let problem = problem(&mut Dice::new(seed), if seed % 2 == 0 { Size::TINY } else { Size::MIDDLE });
        let whole = Solver::new(problem.clone()).unwrap().run(|_| true);
        let mut solver = Solver::with_room(problem, (seed % 7) as usize).unwrap();
        let parted = solver.run(|solver| solver.work() < 1_000_000);
        let worth = |outcome: &Outcome| outcome.plan.as_ref().map(|plan| plan.worth);
        if solver.done() {
            through += 1;
            assert_eq!(
                (parted.status, parted.bound, worth(&parted)),
                (whole.status, whole.bound, worth(&whole)),
                "seed {seed}"
            );
        } else {
            given_up += 1;
            assert!(worth(&whole).is_none_or(|worth| parted.bound <= worth.cents), "seed {seed}");
            assert!(
                worth(&parted).is_none_or(|found| worth(&whole).is_some_and(|worth| worth <= found)),
                "seed {seed}"
            );
        }
    }
    println!("{through} through, {given_up} given up");
    assert!(through > 560, "{through}");
}
