//! The number of a quote, by which shop and customer call it.
//!
//! Owns how it is made: the day the order was begun, four signs from the order's id, which no
//! other device makes, and a count for each further quote of the same order:
//! "260131-K7QF", "260131-K7QF-2".

use super::code;
use super::day::Day;
use crate::order::Order;

/// The number of an order's next quote, after those that were handed over before.
pub fn next<'a>(order: &Order, before: impl Iterator<Item = &'a str>) -> String {
    let base = base(order);
    let counts = before.filter_map(|number| count(number, &base));
    match counts.max() {
        None => base,
        Some(count) => format!("{base}-{}", count.saturating_add(1)),
    }
}

/// Whether two numbers are of quotes of one order.
///
/// ```
/// use lettertally::quote::number::are_of_one_order;
/// assert!(are_of_one_order("260131-K7QF", "260131-K7QF-2"));
/// assert!(!are_of_one_order("260131-K7QF", "260131-K7QG"));
/// ```
pub fn are_of_one_order(a: &str, b: &str) -> bool {
    !a.is_empty() && parts(a).0 == parts(b).0
}

fn base(order: &Order) -> String {
    let signs = code::signs(mark(order.id.as_str()), 4);
    match Day::parse(&order.date) {
        Some(_) => format!("{}-{signs}", order.date.replace('-', "").split_off(2)),
        None => format!("Q-{signs}"),
    }
}

fn count(number: &str, base: &str) -> Option<u32> {
    let (own, count) = parts(number);
    (own == base).then_some(count)
}

/// Base and count.
fn parts(number: &str) -> (&str, u32) {
    let counted = number.rsplit_once('-').filter(|(base, _)| base.contains('-'));
    match counted.and_then(|(base, count)| Some((base, count.parse().ok()?))) {
        Some(parts) => parts,
        None => (number, 1),
    }
}

/// A mark of an id (FNV-1a, 64 bits: the constants are those of its authors' description, from
/// memory), folded so that all of it counts. It tells orders apart, and hides nothing.
fn mark(id: &str) -> u64 {
    let hash = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    let hash = id.bytes().fold(0xcbf2_9ce4_8422_2325, hash);
    hash ^ hash >> 32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use crate::order::OrderId;

    #[test]
    fn further_quotes_of_an_order_count_up() {
        let order = demo::order("2026-01-31");
        let first = next(&order, [].into_iter());
        assert!(first.starts_with("260131-") && first.len() == 11, "{first}");
        let second = next(&order, [first.as_str()].into_iter());
        assert_eq!(second, format!("{first}-2"));
        assert_eq!(next(&order, [second.as_str(), first.as_str()].into_iter()), format!("{first}-3"));
        assert!(are_of_one_order(&first, &second));
        assert_eq!(next(&order, ["999999-ZZZZ-7"].into_iter()), first);
    }

    #[test]
    fn orders_of_one_day_have_different_numbers() {
        let number = |id: u32| {
            let order =
                crate::order::Order { id: OrderId::new(format!("m{id}-x")), ..demo::order("2026-01-31") };
            next(&order, [].into_iter())
        };
        let numbers: std::collections::BTreeSet<String> = (0..300).map(number).collect();
        assert_eq!(numbers.len(), 300);
        let order = crate::order::Order { date: "someday".to_owned(), ..demo::order("") };
        assert!(next(&order, [].into_iter()).starts_with("Q-"));
    }
}
