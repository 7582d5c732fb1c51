//! How far the solver comes with problems that are harder than the kept ones.
//!
//! ```text
//! cargo bench --bench buy_hard -- [FROM COUNT [SECONDS]]
//! ```
//! Prints one line per random problem that is not proven in time or slow to begin, and one
//! table row per scale.

#[path = "../tests/buy_random/mod.rs"]
#[allow(dead_code)]
mod buy_random;

use buy_random::Dice;
use buy_random::hard::{SCALES, Scale, problem};
use lettertally::buy::solver::{Outcome, Solver};
use std::time::{Duration, Instant};

/// Where a run's plan is looked at while it is still young.
const YOUNG: Duration = Duration::from_millis(50);

/// What one problem took.
#[derive(Debug)]
#[allow(dead_code, reason = "some figures are only printed")]
struct Run {
    /// Until the first plan.
    first: Duration,
    /// How far the plan at [`YOUNG`] was above the bound known then, in hundredths of a percent.
    young: i64,
    /// And above the bound known in the end.
    young_truly: i64,
    /// Until the end, proven or not.
    whole: Duration,
    /// The gap at the end.
    gap: i64,
    work: u64,
}

fn gap(cost: i64, bound: i64) -> i64 {
    (10_000 * (cost - bound) + cost - 1) / cost.max(1)
}

fn run(scale: Scale, seed: u64, limit: Duration) -> Option<Run> {
    let problem = problem(&mut Dice::new(seed), scale);
    let start = Instant::now();
    let mut solver = Solver::new(problem).ok()?;
    let (mut first, mut young): (Option<Duration>, Option<Outcome>) = (None, None);
    while !solver.done() && start.elapsed() < limit {
        solver.step();
        if young.is_none() {
            let now = solver.outcome();
            first = first.or(now.plan.is_some().then(|| start.elapsed()));
            if start.elapsed() > YOUNG {
                young = Some(now);
            }
        }
    }
    let end = solver.outcome();
    let cost = |outcome: &Outcome| outcome.plan.as_ref().map_or(i64::MAX / 20_000, |plan| plan.worth.cents);
    let young = young.unwrap_or_else(|| end.clone());
    let best = end.plan.as_ref()?.worth.cents;
    Some(Run {
        first: first.unwrap_or(limit),
        young: gap(cost(&young), young.bound),
        young_truly: gap(cost(&young), end.bound),
        whole: start.elapsed(),
        gap: gap(best, end.bound),
        work: solver.work(),
    })
}

fn main() {
    let figures: Vec<u64> = std::env::args().filter_map(|arg| arg.parse().ok()).collect();
    let (from, count) = (figures.first().copied().unwrap_or(1), figures.get(1).copied().unwrap_or(40));
    let limit = Duration::from_secs(figures.get(2).copied().unwrap_or(10));
    let only = std::env::args().skip(1).find(|arg| SCALES.iter().any(|scale| scale.name == arg));
    let mut rows = Vec::new();
    for scale in SCALES.into_iter().filter(|scale| only.as_ref().is_none_or(|only| only == scale.name)) {
        let mut runs = Vec::new();
        for seed in from..from + count {
            let Some(run) = run(scale, seed, limit) else {
                println!("{} {seed}: no plan", scale.name);
                continue;
            };
            if run.gap > 0 || run.first > YOUNG || run.young > 50 {
                println!("{} {seed}: {run:?}", scale.name);
            }
            runs.push(run);
        }
        rows.push(row(scale.name, &mut runs));
    }
    println!(
        "| scale | problems | not proven | median | slowest | widest gap | slowest first plan | 0.5 % at 50 ms missed |"
    );
    println!("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |");
    for row in rows {
        println!("{row}");
    }
}

fn row(name: &str, runs: &mut [Run]) -> String {
    runs.sort_by_key(|run| run.whole);
    let count = |keep: &dyn Fn(&&Run) -> bool| runs.iter().filter(keep).count();
    let most = |figure: &dyn Fn(&Run) -> u128| runs.iter().map(figure).max().unwrap_or(0);
    let gap = runs.iter().map(|run| run.gap).max().unwrap_or(0);
    format!(
        "| {name} | {} | {} | {} ms | {} ms | {}.{:02} % | {} ms | {} |",
        runs.len(),
        count(&|run| run.gap > 0),
        runs.get(runs.len() / 2).map_or(0, |run| run.whole.as_millis()),
        most(&|run| run.whole.as_millis()),
        gap / 100,
        gap % 100,
        most(&|run| run.first.as_millis()),
        count(&|run| run.young > 50),
    )
}
