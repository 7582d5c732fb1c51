//! A morning at the booth: an order is told its price, paid, pressed and handed over, a mistake is
//! undone, and the day is closed. What happened is written down and never changed.
//!
//! `cargo run --example day`

use lettertally::book::fact::{Device, Payment, Promise, What};
use lettertally::book::life::{Life, events};
use lettertally::book::{Book, Moment};
use lettertally::booth::close::close;
use lettertally::booth::making::{cost_each, makings};
use lettertally::lists::demo;
use lettertally::plan::{Shop, plan};

fn main() {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let currency = &shop.settings.currency;
    let order = demo::order("2026-01-01");
    let plan = plan(&order, &shop);
    let Ok(priced) = &plan.priced else { return println!("There is no price yet.") };
    let promise = Promise { total: priced.total(), tax: priced.tax, garments: 12 };

    // Each fact is later than the one before it, whatever the clock says.
    let morning = Moment(1_767_258_000_000);
    let mut book = Book::only(order, morning).written_by(Device::new("booth"));
    let id = book.open().clone();
    book.note(&id, What::Quoted(promise), morning);
    book.note(&id, What::Paid(Payment::Cash, promise.total), morning);
    let twice = book.note(&id, What::Paid(Payment::Cash, promise.total), morning);
    if let Some(twice) = twice {
        book.note(&id, What::Undone(twice), morning);
    }
    for making in makings(book.current(), &shop.lists, &shop.settings) {
        let made = making.made(making.ordered, cost_each(&plan, &making, currency));
        book.note(&id, What::Pressed(Box::new(made)), morning);
    }
    book.note(&id, What::HandedOver, morning);

    println!("The order is {}.", Life::of(book.current()).stage().words());
    println!("{} things happened to it and count.", events(book.current()).len());
    let day = close(&book, &(morning..Moment(morning.0 + 86_400_000)), &shop.settings);
    println!(
        "taken {}, of it tax {}; {} garments, {} letters; profit {}",
        currency.show(day.taken_in_all()),
        currency.show(day.tax),
        day.garments,
        day.used.letters(),
        currency.show(day.profit())
    );
}
