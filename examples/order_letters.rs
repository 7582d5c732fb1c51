//! From a roster as it was pasted to the letters it takes, and those that the shelf lacks.
//!
//! `cargo run --example order_letters`

use lettertally::glyph::GlyphCounts;
use lettertally::lists::demo;
use lettertally::plan::{self, Shop};

const ROSTER: &str = "Name,Number,Size
Castellan,11,M
O'Rourke,7,L
,,S
Nakagawa,23,XXXXL
";

fn main() {
    let mut shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let mut order = demo::order("2026-01-01");
    order.designs[0].roster = ROSTER.to_owned();

    for reading in order.read(&shop.lists) {
        println!("{} garments can be made", reading.garments());
        reading.roster.faults.iter().for_each(|fault| println!("  {fault}"));
    }

    let letters = plan::letters(&order, &shop);
    for tally in &letters.tally.families {
        println!("{}: {}", shop.lists.family_name(&tally.family), tally.need());
        // All but two of each lie on the shelf.
        let there: GlyphCounts = tally.need().less(&tally.need().common(&GlyphCounts::of_text("AANNRR")));
        shop.shelf.replace(&tally.family, there);
    }
    for need in plan::letters(&order, &shop).needs {
        println!("to buy, {}: {}", shop.lists.family_name(&need.family), need.counts);
    }
}
