//! The order of the work at the press, and how long it takes with more people and presses.
//!
//! `cargo run --example run_sheet`

use lettertally::lists::demo;
use lettertally::press::CAUTIONS;
use lettertally::press::sheet::{Step, run_sheet};

fn main() {
    let (lists, mut settings) = (demo::lists(), demo::settings());
    let order = demo::order("2026-01-01");
    let readings = order.read(&lists);
    let sheet = run_sheet(&order, &readings, &lists, &settings);
    for step in sheet.methods.iter().flat_map(|method| &method.steps) {
        match step {
            Step::Load { zone, heat } => {
                println!("load, {} up, {}", zone.word(), heat.show(settings.degrees))
            }
            Step::Press(closing) => println!("  close {}: {:?}", closing.number + 1, closing.finishes),
            Step::Peel { recipe } => println!("  peel {:?}", recipe.peel),
        }
    }
    for (people, presses) in [(1, 1), (1, 2), (2, 2)] {
        (settings.people, settings.presses) = (people, presses);
        let run = run_sheet(&order, &readings, &lists, &settings).run;
        println!("{people} people, {presses} presses: {} s for {} garments", run.makespan, run.garments);
    }
    println!("Before you press:");
    CAUTIONS.iter().for_each(|caution| println!("  {caution}"));
}
