//! The order of the work at the press, and how long it takes with more people and presses.
//!
//! `cargo run --example run_sheet`

use lettertally::lists::demo;
use lettertally::press::CAUTIONS;
use lettertally::press::sheet::run_sheet;

fn main() {
    let (lists, mut settings) = (demo::lists(), demo::settings());
    let order = demo::order("2026-01-01");
    let readings = order.read(&lists);
    let sheet = run_sheet(&order, &readings, &lists, &settings);
    for load in sheet.methods.iter().flat_map(|method| &method.loads) {
        println!("load with the {} up, press at {}", load.zone.word(), load.heat.show(settings.degrees));
        for closing in &load.work {
            println!("  close {}: {:?}, peel {:?}", closing.first + 1, closing.finishes, closing.recipe.peel);
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
