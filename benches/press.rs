//! How long layout, fit, positions and run sheet take for 500 names: within one frame of 16 ms.
//!
//! `cargo bench --bench press`

use lettertally::layout::fit::fits;
use lettertally::lists::demo;
use lettertally::order::{Bend, Curve};
use lettertally::press::sheet::run_sheet;
use std::hint::black_box;
use std::time::Duration;
use timed::{order, timed};

mod timed;

const NAMES: usize = 500;
const FRAME: Duration = Duration::from_millis(16);

fn main() {
    let (lists, settings) = (demo::lists(), demo::settings());
    let straight = order(NAMES);
    let mut bent = straight.clone();
    bent.designs[0].lines[1].curve = Curve::Rise(Bend::Up, lettertally::length::Length::inches(1));
    println!("{NAMES} names; a frame is 16 000 µs");
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
