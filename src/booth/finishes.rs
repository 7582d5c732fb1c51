//! One design in each finish, and in mixes of two.
//!
//! Owns which other finishes an order is compared in. A mix keeps one finish for the lines that
//! are the same on all garments and takes another for names and numbers, as decorators do; each
//! line goes to the family of the other finish that is most like its own.

use crate::lists::{FinishId, Lists};
use crate::money::{Cents, Percent};
use crate::order::Order;
use crate::plan::{Plan, Shop, plan};
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

/// The figures of an order at its aim; the shelf is left out, so that all finishes start alike.
pub fn figures(order: &Order, shop: &Shop) -> Option<Figures> {
    let bare = Shop { shelf: Default::default(), ..shop.clone() };
    let plan = plan(order, &bare);
    of_plan(&plan, &bare)
}

fn of_plan(plan: &Plan, shop: &Shop) -> Option<Figures> {
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
    })
}
