//! Amounts, lengths and letters as people write them, and as they are reckoned with: exactly.
//!
//! `cargo run --example exact_figures`

use lettertally::glyph::GlyphCounts;
use lettertally::length::{Length, Units};
use lettertally::money::{Cents, Currency, Percent, apportion};

fn main() {
    let dollars = Currency::usd();
    for text in ["19.99", "1,234.50", "0.005", "-3", "twelve"] {
        match Cents::parse(text, &dollars) {
            Ok(amount) => println!("{text:>9}  is {}", dollars.show(amount)),
            Err(error) => println!("{text:>9}  {error}"),
        }
    }

    let tax = dollars.show((Cents::new(1_497).money(&dollars) * Percent::tenths(82).share()).round(&dollars));
    println!("8.2 % of {} is {tax}", dollars.show(Cents::new(1_497)));

    let parts = apportion(Cents::new(1_000), &[1, 1, 1]);
    let parts: Vec<String> = parts.into_iter().map(|part| dollars.show(part)).collect();
    println!("10.00 shared out among three: {}", parts.join(", "));

    let height = Length::inches(4);
    println!("{} is {}", Units::Inches.show(height), Units::Millimetres.show(height));

    println!("Straße and O’Brien take {}", GlyphCounts::of_text("Straße O’Brien"));
}
