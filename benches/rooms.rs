//! How long the rooms take that the other benches leave out, for one name, 25 and 500: letters and
//! tally, the mix, the price, the prices at other quantities, the link, the store, and days of an
//! event played through.
//!
//! `cargo bench --bench rooms`

use lettertally::book::{Book, Moment};
use lettertally::event::asked::{Asked, Garments};
use lettertally::event::bring::{Bring, DAYS};
use lettertally::event::names;
use lettertally::lists::demo;
use lettertally::order::Order;
use lettertally::plan::{self, Shop, plan};
use lettertally::quote;
use lettertally::saved::keys::InMemory;
use lettertally::saved::store::Store;
use lettertally::saved::{State, demo_state};
use lettertally::share;
use lettertally::tally::tally;
use std::hint::black_box;
use timed::{order, timed};

mod timed;

fn main() {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    for names in [1, 25, 500] {
        println!("{names} names");
        way_of_the_data(&order(names), &shop);
        store(&order(names));
    }
    println!("an event of 10 to 40 garments, {DAYS} days");
    event();
}

/// From the lists to the quote.
fn way_of_the_data(order: &Order, shop: &Shop) {
    let readings = order.read(&shop.lists);
    timed("tally", || drop(black_box(tally(order, &readings, &shop.lists, &shop.settings))));
    let letters = plan::letters(order, shop);
    let buy = || lettertally::buy::solve(&letters.needs, &shop.lists);
    timed("buy mix, proven", || drop(black_box(buy())));
    let mix = buy();
    timed("price, with all that is told of it", || {
        drop(black_box(plan::priced(order, shop, letters.clone(), mix.clone())));
    });
    let whole = plan(order, shop);
    timed("prices at other quantities", || drop(black_box(whole.table(shop))));
    let Some(quote) = quote::quote(order, shop, &whole) else {
        return println!("no quote: {:?}", whole.problems);
    };
    timed("link of the quote", || drop(black_box(share::quote_fragment(&quote))));
    let fragment = share::quote_fragment(&quote);
    timed(&format!("the same read, {} characters", fragment.len()), || {
        drop(black_box(share::read(&fragment)));
    });
}

/// The device's store with this order open: a start, and a key.
fn store(order: &Order) {
    let begun = demo_state("2026-01-01", Moment(1));
    let state = State { book: Book::only(order.clone(), Moment(1)), ..begun };
    let mut store = Store::open(Box::new(InMemory::default()));
    let _ = store.keep(&state, Moment(2));
    let texts = store.texts();
    timed("store: a start", || {
        drop(black_box(Store::open(Box::new(InMemory(texts.clone())))));
    });
    let mut at = 2;
    timed("store: a change of a word kept", || {
        let mut changed = order.clone();
        changed.title = format!("customer {at}");
        at += 1;
        let state = State { book: Book::only(changed, Moment(at)), ..state.clone() };
        let _ = black_box(store.keep(&state, Moment(at)));
    });
}

fn event() {
    let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
    let asked = Asked {
        garments: Garments::Between(10, 20, 40),
        design: order.designs[0].clone(),
        names: names::sample(),
        numbers: names::numbers(),
        sizes: ["S", "M", "M", "L"].map(str::to_owned).to_vec(),
    };
    timed("event: all days", || {
        let mut bring = Bring::new(&asked, &order, &lists, DAYS);
        while !bring.is_done() {
            bring.step();
        }
        drop(black_box(bring));
    });
}
