//! How long it takes to look which of many orders a change of the lists touches, with the prices
//! at other quantities worked out for each of them and without.
//!
//! ```text
//! cargo bench --bench touch
//! ```
#![allow(clippy::float_arithmetic)]

use lettertally::book::touch::touch;
use lettertally::book::{Book, Entry, Moment};
use lettertally::lists::demo;
use lettertally::money::Cents;
use lettertally::order::{OrderId, Wording};
use lettertally::plan::{Shop, plan};
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

const ORDERS: usize = 300;

/// Orders like the demo's, each with words of its own.
fn orders() -> Vec<Arc<Entry>> {
    let entry = |at: usize| {
        let mut order = demo::order("2026-01-01");
        order.id = OrderId::new(format!("order-{at}"));
        for line in order.designs.iter_mut().flat_map(|design| &mut design.lines) {
            line.text = Wording::new(&format!("{} {at}", line.text.as_str()));
        }
        Book::only(order, Moment(1)).entries().to_vec()
    };
    (0..ORDERS).flat_map(entry).collect()
}

fn timed(run: impl FnOnce() -> usize) -> (Duration, usize) {
    let begin = Instant::now();
    let touched = run();
    (begin.elapsed(), touched)
}

fn main() {
    let before = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let mut after = before.clone();
    after.lists.offers[0].price = Cents::new(60);
    let orders = orders();
    let look = |entry: &Arc<Entry>| touch(entry, &before, &after).is_some();
    let (without, touched) = timed(|| orders.iter().filter(|entry| look(entry)).count());
    let (with, _) = timed(|| {
        let tables = |entry: &&Arc<Entry>| {
            for shop in [&before, &after] {
                black_box(plan(&entry.order, shop).table(shop));
            }
            look(entry)
        };
        orders.iter().filter(tables).count()
    });
    // The second run works the plans out twice, so one of the two is taken off again.
    let with = with.saturating_sub(without);
    let ratio = with.as_secs_f64() / without.as_secs_f64();
    println!("{ORDERS} orders, {touched} of them touched");
    println!("with the prices at other quantities: {} ms", with.as_millis());
    println!("without them:                        {} ms, {ratio:.1} times as fast", without.as_millis());
}
