//! What to bring to an event, for a wanted chance that nobody is turned away.
//!
//! `cargo run --release --example bring`

use lettertally::event::asked::{Asked, Garments};
use lettertally::event::bring::{Bring, DAYS};
use lettertally::event::chance::Chance;
use lettertally::event::names;
use lettertally::lists::demo;

fn main() {
    let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
    let asked = Asked {
        garments: Garments::Between(10, 20, 40),
        design: order.designs[0].clone(),
        names: names::sample(),
        numbers: names::numbers(),
        sizes: ["S", "M", "M", "L"].map(str::to_owned).to_vec(),
    };
    let mut bring = Bring::new(&asked, &order, &lists, DAYS);
    while !bring.is_done() {
        bring.step();
    }
    for percent in [80, 95, 99] {
        let Some(answer) = bring.answer(Chance::of(percent, 100)) else { continue };
        let goods = answer.goods();
        println!(
            "{percent} %: {} letters and {} blanks serve {} of 10,000 days, give or take {}",
            goods.letters(),
            goods.blanks(),
            answer.achieved.per_myriad(),
            answer.error
        );
    }
}
