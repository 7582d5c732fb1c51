//! Reads a buying problem as JSON and prints the cheapest plan as JSON.
//!
//! ```text
//! cargo run --release --example buy_mix -- [--time-limit SECONDS] [FILE]
//! ```
//! Without a file it reads standard input. The format is described in `docs/buy-problem.md`.

#[path = "../tests/buy_json/mod.rs"]
mod buy_json;

use lettertally::buy::solver::{Outcome, Reason, Solver, Status};
use serde_json::{Map, Value, json};
use std::io::Read;
use std::process::ExitCode;
use std::time::{Duration, Instant};

struct Wish {
    file: Option<String>,
    limit: Option<Duration>,
    trace: bool,
}

fn wish() -> Result<Wish, String> {
    let mut args = std::env::args().skip(1);
    let mut wish = Wish { file: None, limit: None, trace: false };
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--time-limit" => {
                let text = args.next().ok_or("--time-limit needs a number of seconds")?;
                let seconds: f64 =
                    text.parse().map_err(|_| format!("--time-limit: “{text}” is no number"))?;
                wish.limit =
                    Some(Duration::try_from_secs_f64(seconds).map_err(|e| format!("--time-limit: {e}"))?);
            }
            "--trace" => wish.trace = true,
            "--help" | "-h" => {
                return Err("usage: buy_mix [--time-limit SECONDS] [--trace] [FILE]".to_owned());
            }
            option if option.starts_with("--") => return Err(format!("unknown option {option}")),
            file => wish.file = Some(file.to_owned()),
        }
    }
    Ok(wish)
}

fn read(file: Option<&str>) -> Result<String, String> {
    let mut text = String::new();
    match file {
        Some(path) => text = std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?,
        None => drop(std::io::stdin().read_to_string(&mut text).map_err(|e| e.to_string())?),
    }
    Ok(text)
}

fn solve(wish: &Wish) -> Result<(buy_json::Named, Outcome, f64), String> {
    let named = buy_json::read(&read(wish.file.as_deref())?)?;
    let start = Instant::now();
    let mut solver = Solver::new(named.problem.clone()).map_err(|refusal| named.explain(&refusal))?;
    let mut shown = (i64::MAX, 0);
    let (mut last, mut longest) = (start.elapsed(), Duration::ZERO);
    let outcome = solver.run(|solver| {
        if wish.trace {
            longest = longest.max(start.elapsed().saturating_sub(last));
            let now = solver.outcome();
            let cost = now.plan.as_ref().map_or(i64::MAX, |plan| plan.worth.cents);
            if (cost, now.bound) != shown {
                shown = (cost, now.bound);
                let (seconds, share) = (start.elapsed().as_secs_f64(), solver.progress());
                eprintln!("{seconds:9.4} s  cost {cost}  bound {}  progress {share}", now.bound);
            }
        }
        last = start.elapsed();
        wish.limit.is_none_or(|limit| start.elapsed() < limit)
    });
    if wish.trace {
        eprintln!(
            "{:9.4} s  settled {}  work {}  longest step {longest:?}",
            start.elapsed().as_secs_f64(),
            outcome.settled,
            solver.work()
        );
    }
    Ok((named, outcome, start.elapsed().as_secs_f64()))
}

fn show(named: &buy_json::Named, outcome: &Outcome, seconds: f64) -> Value {
    let status = match outcome.status {
        Status::Optimal => "optimal",
        Status::Feasible => "feasible",
        Status::Infeasible => "infeasible",
        Status::Unknown => "unknown",
    };
    let mut answer = json!({ "status": status, "bound_cents": outcome.bound, "seconds": seconds });
    if let Some(plan) = &outcome.plan {
        let unit = |line: &lettertally::buy::solver::model::Line| {
            json!({
                "offer": named.ways[line.way],
                "glyph": line.glyph.map(|glyph| named.glyph(line.way, glyph)),
                "count": line.units,
            })
        };
        let paid = |(i, freight): (usize, &i64)| (named.suppliers[i].clone(), json!(freight));
        let used = plan.freight.iter().enumerate().filter(|(i, _)| plan.subtotal[*i].is_some());
        answer["cost_cents"] = json!(plan.worth.cents);
        answer["units"] = plan.lines.iter().map(unit).collect();
        answer["freight_cents"] = Value::Object(used.map(paid).collect::<Map<String, Value>>());
        answer["ties_settled"] = json!(outcome.settled);
    }
    match &outcome.reason {
        Some(Reason::Unsold(glyphs)) => {
            let name = |&(f, g): &(usize, usize)| json!({ "family": named.families[f], "glyph": named.glyphs[f][g] });
            answer["unsold"] = glyphs.iter().map(name).collect();
        }
        Some(Reason::Minimum(suppliers)) => {
            answer["minimum_not_met"] = suppliers.iter().map(|&s| json!(named.suppliers[s])).collect();
        }
        Some(Reason::Stock(families)) => {
            answer["stock_too_small"] = families.iter().map(|&f| json!(named.families[f])).collect();
        }
        None => {}
    }
    answer
}

fn main() -> ExitCode {
    match wish().and_then(|wish| solve(&wish)) {
        Ok((named, outcome, seconds)) => {
            println!("{}", show(&named, &outcome, seconds));
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}
