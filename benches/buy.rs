//! How long the buy mix takes: per class of problem, against a general solver, and over run sizes.
//!
//! ```text
//! cargo bench --bench buy            # the general solver on the two smallest classes
//! cargo bench --bench buy -- --all   # on every class: minutes
//! ```
//! Prints one table per question. The general solver (microlp, a branch and bound over linear
//! programmes) gets the same problems in the same run, as far as it gets through them.

#[path = "../tests/buy_json/mod.rs"]
mod buy_json;
#[path = "../tests/buy_milp/mod.rs"]
mod buy_milp;

use lettertally::buy::solver::model::Problem;
use lettertally::buy::solver::{Outcome, Solver};
use std::time::{Duration, Instant};

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/buy");

fn problems() -> Vec<(String, Problem)> {
    let mut names: Vec<String> = std::fs::read_dir(DATA)
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".json") && name != "known.json")
        .collect();
    names.sort();
    let read = |name: String| {
        let text = std::fs::read_to_string(format!("{DATA}/{name}")).ok()?;
        Some((name.trim_end_matches(".json").to_owned(), buy_json::read(&text).ok()?.problem))
    };
    names.into_iter().filter_map(read).collect()
}

/// The least of several runs, which other work on the machine disturbs least.
fn least(mut run: impl FnMut()) -> Duration {
    let mut times = Vec::new();
    let start = Instant::now();
    while times.len() < 5 || (start.elapsed() < Duration::from_millis(300) && times.len() < 301) {
        let begin = Instant::now();
        run();
        times.push(begin.elapsed());
    }
    times.into_iter().min().unwrap_or_default()
}

fn micros(time: Duration) -> String {
    format!("{}.{:03} ms", time.as_micros() / 1000, time.as_micros() % 1000)
}

fn solve(problem: &Problem) -> Option<i64> {
    let outcome = Solver::new(problem.clone()).ok()?.run(|_| true);
    outcome.plan.filter(|plan| plan.worth.cents == outcome.bound).map(|plan| plan.worth.cents)
}

/// Solves until the plan is within half a percent of the bound proven by then.
fn close(problem: &Problem) -> Option<Outcome> {
    let mut solver = Solver::new(problem.clone()).ok()?;
    while !solver.done() {
        solver.step();
        let now = solver.outcome();
        if now.plan.is_some_and(|plan| 1000 * (plan.worth.cents - now.bound) <= 5 * plan.worth.cents) {
            break;
        }
    }
    Some(solver.outcome())
}

/// The general solver's time and how many times ours it is.
fn rival(problem: &Problem, ours: Duration) -> (String, String) {
    let begin = Instant::now();
    let solved = buy_milp::solve(problem).is_some();
    let first = begin.elapsed();
    let time = if first < Duration::from_millis(50) { least(|| _ = buy_milp::solve(problem)) } else { first };
    let mark = if solved { "" } else { "no proof in " };
    (format!("{mark}{}", micros(time)), format!("{}", time.as_nanos() / ours.as_nanos().max(1)))
}

fn main() {
    let problems = problems();
    println!("| problem | cents | proof | within 0.5 % | microlp | times faster |");
    println!("| --- | ---: | ---: | ---: | ---: | ---: |");
    for (name, problem) in &problems {
        let cents = solve(problem).map_or_else(|| "open".to_owned(), |cents| cents.to_string());
        let ours = least(|| {
            std::hint::black_box(solve(problem));
        });
        let near = least(|| _ = std::hint::black_box(close(problem)));
        let small = name.starts_with("booth") || name.starts_with("team");
        let (theirs, ratio) = if small || std::env::args().any(|arg| arg == "--all") {
            rival(problem, ours)
        } else {
            ("-".to_owned(), "-".to_owned())
        };
        println!("| {name} | {cents} | {} | {} | {theirs} | {ratio} |", micros(ours), micros(near));
    }
    for (name, problem) in problems.iter().filter(|(name, _)| name.starts_with("team")) {
        sweep(name, problem);
    }
}

/// One to 200 garments of a team's order: a garment bears each glyph that the order needs,
/// in proportion to the order.
fn sweep(name: &str, problem: &Problem) {
    let start = Instant::now();
    let mut slowest = Duration::ZERO;
    let mut open = 0;
    for size in 1..=200_u32 {
        let mut sized = problem.clone();
        for need in sized.families.iter_mut().flat_map(|family| &mut family.need) {
            *need = (*need * size).div_ceil(20);
        }
        let begin = Instant::now();
        open += u32::from(solve(&sized).is_none());
        slowest = slowest.max(begin.elapsed());
    }
    println!(
        "{name}: 200 run sizes in {}, slowest {}, open {open}",
        micros(start.elapsed()),
        micros(slowest)
    );
}
