//! From an order to its cost, line by line, and a price that can be stood behind.
//!
//! `cargo run --example price`

use lettertally::lists::demo;
use lettertally::lists::settings::Aim;
use lettertally::money::Percent;
use lettertally::plan::{Shop, plan};

fn main() {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let currency = &shop.settings.currency;
    let mut order = demo::order("2026-01-01");
    let plan = plan(&order, &shop);
    for (kind, amount) in &plan.sheet.lines {
        println!("{:>16}  {}", kind.words(), currency.show(amount.round(currency)));
    }
    for problem in &plan.problems {
        println!("{}", problem.message);
    }
    for margin in [30, 45, 60] {
        order.aim = Some(Aim::Margin(Percent::of(margin)));
        match lettertally::plan::plan(&order, &shop).priced {
            Ok(priced) => println!(
                "{margin} % margin: {} with tax, profit {}",
                currency.show(priced.total()),
                currency.show(priced.profit_in_cents(currency))
            ),
            Err(error) => println!("{margin} % margin: {error}"),
        }
    }
}
