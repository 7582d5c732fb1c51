//! A supplier's table compared with the shop's price list before it is taken over.
//!
//! `cargo run --example price_lists`

use lettertally::exchange::{self, Outcome, compare};
use lettertally::lists::demo;

/// An invented table, with a comma for the decimals and one row that cannot be read.
const TABLE: &str = "supplier;finish;height;sold as;price
Quillfeather Letters;smooth film;2;piece;0,62
Quillfeather Letters;smooth film;3;piece;cheap
";

fn main() {
    let (lists, settings) = (demo::lists(), demo::settings());
    let reading = match exchange::read(TABLE.as_bytes(), &lists, &settings.currency, None) {
        Ok(Outcome::Read(reading)) => reading,
        Ok(Outcome::Ask(_)) => return println!("What the figures mean has to be said first."),
        Err(error) => return println!("{error}"),
    };
    for fault in &reading.faults {
        println!("row {} is left out: {}", fault.row, fault.why);
    }
    let comparison = compare::compare(*reading, &lists, &settings.currency);
    println!("{} new offers, {} changed", comparison.new.len(), comparison.changed.len());
    let taken_over = comparison.taken_over(false);
    println!("the list then has {} offers", taken_over.offers.len());
}
