//! One design in each finish, and in mixes of two.
//!
//! Owns which other finishes an order is compared in. A mix keeps one finish for the lines that
//! are the same on all garments and takes another for names and numbers, as decorators do; each
//! line goes to the family of the other finish that is most like its own.

use crate::buy;
use crate::lists::{FinishId, Lists};
use crate::money::{Cents, Percent};
use crate::order::Order;
use crate::plan::{Plan, Shop, letters, plan};
use rust_decimal::Decimal;

/// An order in one finish or two.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InFinish {
    /// What it is: “glitter film”, “glitter film, names in smooth film”.
    pub words: String,
    /// The order.
    pub order: Order,
    /// Its figures; `None` where it cannot be priced whole.
    pub figures: Option<Figures>,
}

/// What an order in a finish comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figures {
    /// What it costs the shop.
    pub cost: Cents,
    /// What the cheapest garment is sold for at the wanted margin.
    pub each: Cents,
    /// What the customer pays.
    pub total: Cents,
    /// What is left for the shop.
    pub profit: Cents,
    /// Profit as a share of the price before tax.
    pub margin: Option<Percent>,
    /// How long the press is taken up, in minutes.
    pub press_minutes: Decimal,
    /// In how many days the letters are there.
    pub days: Days,
}

/// In how many days the letters of an order are there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Days {
    /// So many: those of the slowest supplier of its mix; none where the shelf has all of them.
    Known(u16),
    /// A supplier of the mix has no days on its list.
    NotSaid,
}

impl Days {
    /// The days until what the shelf lacks of an order has come.
    fn of(order: &Order, shop: &Shop) -> Self {
        let mix = buy::solve_briefly(&letters(order, shop).needs, &shop.lists);
        let mut days = mix.orders.iter().map(|order| {
            let supplier = shop.lists.suppliers.iter().find(|supplier| supplier.id == order.supplier);
            supplier.and_then(|supplier| supplier.days)
        });
        // One that is not known makes the longest unknown.
        let longest = days.try_fold(0, |longest, days| days.map(|days: u16| longest.max(days)));
        longest.map_or(Self::NotSaid, Self::Known)
    }

    /// The words for it: "now", "1 day", "7 days".
    pub fn words(self) -> String {
        match self {
            Self::Known(0) => "now".to_owned(),
            Self::Known(1) => "1 day".to_owned(),
            Self::Known(days) => format!("{days} days"),
            Self::NotSaid => "not said".to_owned(),
        }
    }
}

/// The order as it would be in every finish and every mix of two, without figures: as it is first.
pub fn ways(order: &Order, lists: &Lists) -> Vec<(String, Order)> {
    let mut ways: Vec<(String, Order)> = vec![("as it is".to_owned(), order.clone())];
    let mut add = |words: String, other: Option<Order>| {
        if let Some(other) = other.filter(|other| ways.iter().all(|(_, known)| known != other)) {
            ways.push((words, other));
        }
    };
    for finish in &lists.finishes {
        add(finish.name.clone(), in_finishes(order, &finish.id, &finish.id, lists));
    }
    let mixes = order.designs.iter().flat_map(|design| &design.lines).any(|line| line.text.uses_roster())
        && order.designs.iter().flat_map(|design| &design.lines).any(|line| !line.text.uses_roster());
    for fixed in lists.finishes.iter().filter(|_| mixes) {
        for names in lists.finishes.iter().filter(|names| names.id != fixed.id) {
            let words = format!("{}, names in {}", fixed.name, names.name);
            add(words, in_finishes(order, &fixed.id, &names.id, lists));
        }
    }
    ways
}

fn in_finishes(order: &Order, fixed: &FinishId, names: &FinishId, lists: &Lists) -> Option<Order> {
    let mut other = order.clone();
    for line in other.designs.iter_mut().flat_map(|design| &mut design.lines) {
        let finish = if line.text.uses_roster() { names } else { fixed };
        let family = lists.nearest_family(finish, &line.family())?;
        (line.finish, line.height, line.colour, line.style) =
            (family.finish, family.height, family.colour, family.style);
    }
    Some(other)
}

/// The figures of an order at its aim. Money leaves the shelf out, so that all finishes start
/// alike; the days until the letters are there take it as it is.
pub fn figures(order: &Order, shop: &Shop) -> Option<Figures> {
    let bare = Shop { shelf: Default::default(), ..shop.clone() };
    let plan = plan(order, &bare);
    of_plan(&plan, &bare, || Days::of(order, shop))
}

fn of_plan(plan: &Plan, shop: &Shop, days: impl FnOnce() -> Days) -> Option<Figures> {
    let currency = &shop.settings.currency;
    if plan.is_incomplete() {
        return None;
    }
    let priced = plan.priced.as_ref().ok()?;
    Some(Figures {
        cost: priced.cost_in_cents(currency),
        each: priced.units.iter().map(|unit| unit.price).min()?,
        total: priced.total(),
        profit: priced.profit_in_cents(currency),
        margin: priced.margin(currency),
        press_minutes: (priced.press_hours * Decimal::from(60)).round_dp(1),
        days: days(),
    })
}
