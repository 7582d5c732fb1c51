//! What the benches share: a long order, and the median of many rounds.

use lettertally::lists::demo;
use lettertally::order::Order;
use std::fmt::Write;
use std::time::{Duration, Instant};

const ROUNDS: usize = 20;

/// The demo order with so many names, no two alike: nothing can be remembered from one to the next.
pub fn order(names: usize) -> Order {
    let mut order = demo::order("2026-01-01");
    let given: Vec<String> = order.designs[0].roster.lines().skip(1).map(str::to_owned).collect();
    let mut roster = String::from("name,number,size\n");
    for at in 0..names {
        let mut parts = given[at % given.len()].split(',').map(str::trim);
        let (name, _, size) = (parts.next(), parts.next(), parts.next());
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

/// Prints the median and the slowest of many rounds after a first one, and gives the median.
pub fn timed(what: &str, mut run: impl FnMut()) -> Duration {
    run();
    let round = |_| {
        let begun = Instant::now();
        run();
        begun.elapsed()
    };
    let mut times: Vec<Duration> = (0..ROUNDS).map(round).collect();
    times.sort_unstable();
    let median = times[ROUNDS / 2];
    println!("{what:<48} {:>8} µs, slowest {:>8} µs", median.as_micros(), times[ROUNDS - 1].as_micros());
    median
}
