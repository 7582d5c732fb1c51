//! What a change of lists or settings does to the orders in the book.

use super::Entry;
use crate::money::Cents;
use crate::order::OrderId;
use crate::plan::{Plan, Shop, plan};

/// An order that a change touches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Touch {
    /// The order.
    pub order: OrderId,
    /// What the shop calls it.
    pub called: String,
    /// Its figures as they are.
    pub before: Figures,
    /// Its figures after the change.
    pub after: Figures,
    /// The total of the quote that the customer holds, which stays.
    pub handed: Option<Cents>,
}

/// The figures of an order that a shop decides by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figures {
    /// Something is missing, so that no quote can be handed over.
    Incomplete,
    /// A price and what it leaves.
    Priced {
        /// The price of the cheapest garment, before tax.
        each: Cents,
        /// What the customer pays for all.
        total: Cents,
        /// What is left for the shop.
        profit: Cents,
    },
}

impl Figures {
    fn of(plan: &Plan, shop: &Shop) -> Self {
        match &plan.priced {
            Ok(priced) if !plan.is_incomplete() => Self::Priced {
                each: priced.units.iter().map(|unit| unit.price).min().unwrap_or_default(),
                total: priced.total(),
                profit: priced.profit_in_cents(&shop.settings.currency),
            },
            Ok(_) | Err(_) => Self::Incomplete,
        }
    }
}

/// What a change of the shop does to an order; `None` where its figures stay as they are.
///
/// ```
/// use lettertally::book::{Book, Moment, touch::touch};
/// use lettertally::{lists::demo, money::Money, plan::Shop};
/// let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
/// let book = Book::only(demo::order("2026-01-01"), Moment(1));
/// let mut dearer = shop.clone();
/// dearer.settings.wage_per_hour = Money::of(90);
/// assert!(touch(book.current(), &shop, &dearer).is_some());
/// assert_eq!(touch(book.current(), &shop, &shop), None);
/// ```
pub fn touch(entry: &Entry, before: &Shop, after: &Shop) -> Option<Touch> {
    let figures = |shop: &Shop| Figures::of(&plan(&entry.order, shop), shop);
    let (old, new) = (figures(before), figures(after));
    if old == new && before.settings.currency == after.settings.currency {
        return None;
    }
    let handed = entry.handed.as_ref().and_then(|handed| handed.quote());
    Some(Touch {
        order: entry.order.id.clone(),
        called: entry.order.called().to_owned(),
        before: old,
        after: new,
        handed: handed.map(|quote| quote.total()),
    })
}
