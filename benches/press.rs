//! How long layout, fit, positions and run sheet take for 500 names: within one frame of 16 ms.
//!
//! `cargo bench --bench press`

use lettertally::layout::fit::fits;
use lettertally::lists::demo;
use lettertally::order::{Bend, Curve, Order};
use lettertally::press::sheet::run_sheet;
use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};

const NAMES: usize = 500;
const ROUNDS: u32 = 20;
const FRAME: Duration = Duration::from_millis(16);

fn order() -> Order {
    let mut order = demo::order("2026-01-01");
    let given: Vec<String> = order.designs[0].roster.lines().skip(1).map(str::to_owned).collect();
    let mut roster = String::from("name,number,size\n");
    for at in 0..NAMES {
        let mut parts = given[at % given.len()].split(',').map(str::trim);
        let (name, _, size) = (parts.next(), parts.next(), parts.next());
        // No two alike, so that nothing can be remembered from one to the next.
        let letter = |by: usize| char::from(b'a' + u8::try_from(at / by % 26).unwrap_or(0));
        let _ = writeln!(
            roster,
            "{}{}{},{},{}",
            name.unwrap_or(""),
            letter(1),
            letter(26),
            at % 100,
            size.unwrap_or("M")
        );
    }
    order.designs[0].roster = roster;
    order
}

/// The median of many rounds.
fn timed(what: &str, mut run: impl FnMut()) -> Duration {
    run();
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let begun = Instant::now();
            run();
            begun.elapsed()
        })
        .collect();
    times.sort_unstable();
    let median = times[times.len() / 2];
    println!("{what:<48} {:>8} µs, slowest {:>8} µs", median.as_micros(), times[times.len() - 1].as_micros());
    median
}

fn main() {
    let (lists, settings) = (demo::lists(), demo::settings());
    let straight = order();
    let mut bent = straight.clone();
    bent.designs[0].lines[1].curve = Curve::Rise(Bend::Up, lettertally::length::Length::inches(1));
    println!("{NAMES} names, {ROUNDS} rounds; a frame is 16 000 µs");
    for (what, order) in [("straight lines", &straight), ("names on an arc", &bent)] {
        let readings = order.read(&lists);
        let reading = timed(&format!("{what}: reading the roster"), || drop(black_box(order.read(&lists))));
        let fitting = timed(&format!("{what}: fit"), || {
            black_box(fits(order, &order.designs[0], &readings[0], &lists, &settings));
        });
        let working = timed(&format!("{what}: layout, positions and run sheet"), || {
            black_box(run_sheet(order, &readings, &lists, &settings));
        });
        let all = reading + fitting + working;
        let verdict = if all <= FRAME { "within a frame" } else { "LONGER THAN A FRAME" };
        println!("{:<48} {:>8} µs, {verdict}", format!("{what}: all together"), all.as_micros());
    }
}
