//! The day's close: what was taken, what it cost, what is left, and where every letter went.
//!
//! Owns how a day's figures follow from the facts written on it. Profit is what was taken that
//! day, without tax and card fees, less what the garments made that day cost, ruined ones
//! included: an order paid today and pressed tomorrow falls on both days.

use crate::book::fact::{Payment, Promise, What};
use crate::book::goods::{Goods, Item};
use crate::book::life::Life;
use crate::book::{Book, Moment};
use crate::exchange::formula;
use crate::lists::{Lists, Settings};
use crate::money::{Cents, Money, apportion};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::ops::Range;

/// The figures of one day.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Close {
    /// What was taken less what was paid back, by kind.
    pub taken: BTreeMap<Payment, Cents>,
    /// The tax in it.
    pub tax: Cents,
    /// What the card payments cost.
    pub fees: Cents,
    /// What the garments pressed that day cost.
    pub cost: Cents,
    /// What the ruined ones cost.
    pub cost_of_spoiled: Cents,
    /// The garments pressed.
    pub garments: u32,
    /// The garments ruined.
    pub spoiled: u32,
    /// The orders handed over.
    pub handed_over: u32,
    /// The orders called off.
    pub called_off: u32,
    /// What was used, ruined garments included.
    pub used: Goods,
    /// From the first to the last time a garment was noted as pressed, in seconds.
    pub pressed_over: u64,
}

impl Close {
    /// What was taken in all.
    pub fn taken_in_all(&self) -> Cents {
        self.taken.values().copied().sum()
    }

    /// What is left for the shop.
    pub fn profit(&self) -> Cents {
        self.taken_in_all() - self.tax - self.fees - self.cost - self.cost_of_spoiled
    }

    /// Garments for each hour between the first and the last that was pressed; `None` where there
    /// is no such time.
    pub fn garments_per_hour(&self) -> Option<Decimal> {
        let seconds = Decimal::from(self.pressed_over);
        let per_hour = Decimal::from(self.garments) * Decimal::from(3_600);
        (self.garments > 1).then(|| per_hour.checked_div(seconds)).flatten().map(|rate| rate.round_dp(1))
    }
}

/// The figures of the time from one moment up to another.
pub fn close(book: &Book, day: &Range<Moment>, settings: &Settings) -> Close {
    let mut close = Close::default();
    let mut pressed: Vec<Moment> = Vec::new();
    let mut fees = Money::ZERO;
    for entry in book.all().filter(|entry| entry.facts.latest() >= day.start) {
        let promise = Life::of(entry).promise;
        for (id, what) in entry.facts.counting().filter(|(id, _)| day.contains(&id.at)) {
            match what {
                What::Paid(kind, amount) => {
                    *close.taken.entry(*kind).or_default() += *amount;
                    close.tax += tax_in(*amount, promise.as_ref());
                    if *kind == Payment::Card {
                        let paid = amount.money(&settings.currency);
                        fees += paid * settings.card_fee.percent.share() + settings.card_fee.fixed;
                    }
                }
                What::PaidBack(kind, amount) => {
                    let slot = close.taken.entry(*kind).or_default();
                    *slot = *slot - *amount;
                    close.tax = close.tax - tax_in(*amount, promise.as_ref());
                }
                What::Pressed(made) => {
                    close.cost += made.cost;
                    close.garments += made.count;
                    close.used.add_all(&made.goods, 1);
                    pressed.push(id.at);
                }
                What::Spoiled(made) => {
                    close.cost_of_spoiled += made.cost;
                    close.spoiled += made.count;
                    close.used.add_all(&made.goods, 1);
                }
                What::HandedOver => close.handed_over += 1,
                What::CalledOff => close.called_off += 1,
                _ => {}
            }
        }
    }
    close.fees = fees.round(&settings.currency);
    if let (Some(first), Some(last)) = (pressed.iter().min(), pressed.iter().max()) {
        close.pressed_over = (last.0 - first.0) / 1_000;
    }
    close
}

/// The tax in a payment: its share of the tax in what was promised.
fn tax_in(amount: Cents, promise: Option<&Promise>) -> Cents {
    let weight = |cents: Cents| u64::try_from(cents.minor()).unwrap_or(0);
    match promise {
        Some(promise) if promise.total > Cents::ZERO => {
            let parts = [weight(promise.tax), weight(promise.total - promise.tax)];
            apportion(amount, &parts).first().copied().unwrap_or_default()
        }
        _ => Cents::ZERO,
    }
}

/// The close as CSV: a heading, one row for each figure, then one for each piece used. Amounts have
/// a point before their decimals. Cells that a spreadsheet would run are made harmless.
pub fn csv(close: &Close, day: &str, lists: &Lists, settings: &Settings) -> String {
    let currency = &settings.currency;
    let mut rows: Vec<[String; 4]> = vec![["day", "what", "value", "unit"].map(str::to_owned)];
    let mut row = |what: &str, value: String, unit: &str| {
        rows.push([day.to_owned(), what.to_owned(), value, unit.to_owned()]);
    };
    let amount = |cents: Cents| currency.plain(cents);
    for (kind, cents) in &close.taken {
        row(&format!("taken, {}", kind.word()), amount(*cents), currency.code());
    }
    for (what, cents) in [
        ("taken in all", close.taken_in_all()),
        ("tax", close.tax),
        ("card fees", close.fees),
        ("cost of garments pressed", close.cost),
        ("cost of garments spoiled", close.cost_of_spoiled),
        ("profit", close.profit()),
    ] {
        row(what, amount(cents), currency.code());
    }
    for (what, count) in [
        ("garments pressed", close.garments),
        ("garments spoiled", close.spoiled),
        ("orders handed over", close.handed_over),
        ("orders called off", close.called_off),
    ] {
        row(what, count.to_string(), "");
    }
    let rate = close.garments_per_hour().map(|rate| rate.normalize().to_string()).unwrap_or_default();
    row("garments per hour", rate, "");
    for (item, count) in close.used.iter() {
        let kind = if matches!(item, Item::Letter(..)) { "letters" } else { "blanks" };
        row(&format!("used: {}", item.name(lists)), count.to_string(), kind);
    }
    written(rows)
}

/// The orders as CSV, the newest first.
pub fn orders_csv(book: &Book, settings: &Settings) -> String {
    let currency = &settings.currency;
    let headings = [
        "order",
        "called",
        "begun",
        "state",
        "person",
        "pick-up",
        "note",
        "total",
        "paid",
        "garments pressed",
    ];
    let mut rows: Vec<Vec<String>> = vec![headings.map(str::to_owned).into()];
    for entry in book.all() {
        use crate::book::fact::Field;
        let life = Life::of(entry);
        rows.push(vec![
            entry.order.id.to_string(),
            entry.order.called().to_owned(),
            entry.order.date.clone(),
            life.stage().words().to_owned(),
            life.note(Field::Person).to_owned(),
            life.note(Field::PickUp).to_owned(),
            life.note(Field::Note).to_owned(),
            life.promise.map(|promise| currency.plain(promise.total)).unwrap_or_default(),
            currency.plain(life.paid_in_all()),
            life.garments_pressed().to_string(),
        ]);
    }
    written(rows)
}

fn written<R: IntoIterator<Item = String>>(rows: impl IntoIterator<Item = R>) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        // Writing into memory cannot fail. A figure below nothing begins with a sign and is none to run.
        let safe = |cell: String| match cell.parse::<Decimal>() {
            Ok(_) => cell,
            Err(_) => formula::harmless(&cell),
        };
        let _ = writer.write_record(row.into_iter().map(safe));
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}
