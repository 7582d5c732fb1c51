//! How a quote that was handed over stands to what the shop would say today.

use crate::quote::Quote;

/// What became of a quote since it was handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Today's figures are the same.
    Same,
    /// The order is as it was, but today's lists and settings give other prices.
    OtherPrices,
    /// The order itself was changed: what the customer holds is not what would be made.
    OtherOrder,
}

/// Compares a quote that was handed over with the one that the shop would make today.
///
/// ```
/// use lettertally::{book::standing::{Standing, standing}, lists::demo, plan::{Shop, plan}, quote};
/// let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
/// let order = demo::order("2026-01-01");
/// let today = quote::quote(&order, &shop, &plan(&order, &shop)).unwrap();
/// let mut handed = today.clone();
/// assert_eq!(standing(&handed, &today), Standing::Same);
/// handed.items[0].sizes[0].price = lettertally::money::Cents::new(1);
/// assert_eq!(standing(&handed, &today), Standing::OtherPrices);
/// handed.title.push('!');
/// assert_eq!(standing(&handed, &today), Standing::OtherOrder);
/// ```
pub fn standing(handed: &Quote, today: &Quote) -> Standing {
    let (handed, today) = (without_day(handed, handed), without_day(today, handed));
    if handed == today {
        Standing::Same
    } else if content(&handed) == content(&today) {
        Standing::OtherPrices
    } else {
        Standing::OtherOrder
    }
}

/// A quote without its day and number, which every handing over gives anew; beside one of the first
/// quotes, which had no number, without all that those could not say.
fn without_day(quote: &Quote, beside: &Quote) -> Quote {
    let mut plain = Quote { date: String::new(), number: String::new(), ..quote.clone() };
    if beside.number.is_empty() {
        plain.terms = Default::default();
        plain.others.clear();
        plain.items.iter_mut().for_each(|item| {
            item.look = None;
            item.lines.iter_mut().for_each(|line| line.screen = None);
        });
    }
    plain
}

/// A quote without what comes from lists and settings alone: prices, tax, terms, colours on the
/// screen, the shop's own name.
fn content(quote: &Quote) -> Quote {
    let mut content = Quote {
        shop: String::new(),
        contact: String::new(),
        tax_rate: Default::default(),
        terms: Default::default(),
        others: Vec::new(),
        ..quote.clone()
    };
    for item in &mut content.items {
        item.look = None;
        item.lines.iter_mut().for_each(|line| line.screen = None);
        item.sizes.iter_mut().for_each(|size| size.price = Default::default());
    }
    content
}
