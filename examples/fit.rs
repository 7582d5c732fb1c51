//! Whether each line fits the garments ordered, and what would make it fit.
//!
//! `cargo run --example fit`

use lettertally::layout::fit::fits;
use lettertally::length::Units;
use lettertally::lists::demo;
use lettertally::order::Wording;

fn main() {
    let (lists, settings) = (demo::lists(), demo::settings());
    let mut order = demo::order("2026-01-01");
    order.designs[0].lines[0].text = Wording::new("MARSH OTTERS WATER POLO");
    let design = &order.designs[0];
    let reading = design.read(lists.blank(&design.blank));
    for (line, fit) in design.lines.iter().zip(fits(&order, design, &reading, &lists, &settings)) {
        println!(
            "“{}” {}: up to {} wide, {} ‰ of its room",
            line.text.as_str(),
            line.placement.words(),
            Units::Inches.show(fit.widest),
            fit.share
        );
        for wide in &fit.too_wide {
            println!("  too wide on {}: {}", wide.size, Units::Inches.show(wide.width));
        }
        if let Some(height) = fit.height_that_fits.filter(|_| !fit.too_wide.is_empty()) {
            println!("  it fits all at {}", Units::Inches.show(height));
        }
        if let Some(split) = fit.split {
            println!("  or in two lines: {} / {}", split.first.as_str(), split.second.as_str());
        }
    }
}
