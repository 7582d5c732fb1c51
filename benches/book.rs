//! What 5,000 orders take: room on the device, opening, a keystroke in the search, a change.
//!
//! ```text
//! cargo bench --bench book             # prints the figures
//! cargo bench --bench book -- FOLDER   # also writes the records there, one file for each order
//! ```

#![allow(clippy::float_arithmetic, clippy::expect_used)]

use lettertally::book::fact::{Device, Payment, Promise, What};
use lettertally::book::{Book, Handed, Moment};
use lettertally::booth::making::{cost_each, makings};
use lettertally::booth::offer::{self, Said};
use lettertally::booth::rows::{self, Shown, Sort};
use lettertally::lists::demo;
use lettertally::order::OrderId;
use lettertally::plan::{Shop, plan};
use lettertally::quote;
use lettertally::saved::keys::{InMemory, Keys};
use lettertally::saved::record::{self, Name};
use lettertally::saved::store::Store;
use lettertally::saved::{self, State};
use std::time::Instant;

const NAMES: [&str; 16] = [
    "OKONJO",
    "LINDQVIST",
    "MARLOW",
    "BANERJEE",
    "CASTELLAN",
    "WREN",
    "TAKEDA",
    "VOSS",
    "HOLLIS",
    "FERREIRA",
    "ABERNATHY",
    "NAKAMURA",
    "DUBOIS",
    "KOWALCZYK",
    "STEENSTRUP",
    "O'DELL",
];
const ORDERS: usize = 5_000;

/// A book of orders, all of them over: told, paid, pressed, handed over; every third with a quote.
fn book(shop: &Shop, orders: usize) -> Book {
    let mut book = Book::only(demo::order("2026-01-01"), Moment(1)).written_by(Device::new("k3x9a1"));
    let usual = offer::first(&shop.lists).expect("an offer");
    let currency = &shop.settings.currency;
    for at in 0..orders {
        let now = Moment(1_790_000_000_000 + at as u64 * 97_531);
        let text = |at: usize| NAMES[at % NAMES.len()];
        let said = Said {
            name: text(at).to_owned(),
            number: (at % 99 + 1).to_string(),
            size: ["S", "M", "L", "XL"][at % 4].to_owned(),
            count: 1,
            texts: if at % 2 == 0 { vec![(0, text(at * 7 + 3).to_owned())] } else { Vec::new() },
        };
        let id = OrderId::new(format!("{:x}-{:x}", now.0, (at * 2_654_435_761) % 0xffff_ffff));
        let order = offer::order(&usual, &said, id.clone(), "2026-09-12");
        book.begin(order.clone(), now);
        let plan = plan(&order, shop);
        let Ok(priced) = &plan.priced else { continue };
        if at % 3 == 0
            && let Some(quote) = quote::quote(&order, shop, &plan)
        {
            book.hand_over(&id, Handed::new(&quote, "2026-09-12"), now);
        }
        let promise = Promise { total: priced.total(), tax: priced.tax, garments: 1 };
        book.note(&id, What::Quoted(promise), now);
        book.note(&id, What::Paid(Payment::ALL[at % 2], priced.total()), now);
        let making = makings(book.current(), &shop.lists, &shop.settings).remove(0);
        let made = making.made(1, cost_each(&plan, &making, currency));
        book.note(&id, What::Pressed(Box::new(made)), now);
        book.note(&id, What::HandedOver, now);
    }
    book
}

fn main() {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    // An order in sixteen is like none before it: enough to say what one takes.
    let book = book(&shop, ORDERS);
    let state = State { shop, book, ..saved::demo_state("2026-01-01", Moment(1)) };
    let (mut plain, mut packed, mut longest) = (0, 0, 0);
    for entry in state.book.entries().iter().take(ORDERS) {
        let key = Name::Order(entry.order.id.clone()).key().len();
        plain += key + record::write(entry.as_ref(), entry.changed).len();
        let short = key + record::write_packed(entry.as_ref(), entry.changed).len();
        packed += short;
        longest = longest.max(short);
    }
    println!("one order, plain:  {} characters on average with its key", plain / ORDERS);
    println!("one order, packed: {} characters on average with its key, {longest} at most", packed / ORDERS);

    let timed =
        |what: &str, began: Instant| println!("{what}: {:.1} ms", began.elapsed().as_secs_f64() * 1e3);
    let mut store = Store::open(Box::new(InMemory::default()));
    let began = Instant::now();
    store.keep(&state, Moment(9));
    timed("writing all of them", began);
    println!("all of it: {} characters", store.characters());
    let mut keys = InMemory::default();
    for (key, text) in store.texts() {
        keys.set(&key, &text).expect("room");
    }
    let began = Instant::now();
    let store = Store::open(Box::new(keys));
    let opened = store.parts().or(saved::demo_state("2026-01-01", Moment(1)));
    timed("opening", began);
    assert!(opened == state, "all of it is there again");
    let began = Instant::now();
    let all = rows::rows(&opened.book, &[]);
    timed("the list, worked out once", began);
    for query in ["l", "lindq 41", "zzz"] {
        let began = Instant::now();
        let found = rows::found(&all, query, Shown::All, Sort::Person).len();
        timed(&format!("a search for “{query}” ({found} found)"), began);
    }
    let mut store = store;
    let mut changed = opened.clone();
    let id = changed.book.entries()[17].order.id.clone();
    let began = Instant::now();
    changed.book.note(&id, What::CalledOff, Moment(1));
    store.keep(&changed, Moment(10));
    timed("a change of one, written down and kept", began);
    let began = Instant::now();
    let counts = lettertally::book::ledger::counts(&changed.book).len();
    timed(&format!("the ledger ({counts} pieces)"), began);
    if let Some(folder) = std::env::args().nth(1).filter(|word| !word.starts_with('-')) {
        for (at, entry) in state.book.entries().iter().take(40).enumerate() {
            let text = serde_json::to_string(entry.as_ref()).unwrap_or_default();
            let _ = std::fs::write(format!("{folder}/{at}.json"), text);
        }
    }
}
