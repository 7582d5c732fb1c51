//! A quote as a link: what the customer's phone reads of it, and the code that says yes.
//!
//! `cargo run --example quote_link`

use lettertally::lists::demo;
use lettertally::plan::{Shop, plan};
use lettertally::quote;
use lettertally::share::{self, Link, acceptance::Acceptance};

fn main() {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let order = demo::order("2026-01-01");
    let Some(quote) = quote::quote(&order, &shop, &plan(&order, &shop)) else {
        return println!("There is no quote as long as something is missing.");
    };
    let fragment = share::quote_fragment(&quote);
    println!("{} characters: {fragment}", fragment.len());
    match share::read(&fragment) {
        Ok(Some(Link::Quote(read))) => println!(
            "reads as {} garments for {}, the same: {}",
            read.garments(),
            shop.settings.currency.show(read.total()),
            *read == quote
        ),
        Ok(_) => println!("reads as something else"),
        Err(error) => println!("{error}"),
    }
    println!("yes by {}", Acceptance::of(&quote).fragment());
    match share::read(&fragment[..fragment.len() - 9]) {
        Ok(_) => println!("a cut link went unnoticed"),
        Err(error) => println!("cut short: {error}"),
    }
}
