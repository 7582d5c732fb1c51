//! The order book: the shop's orders, newest first, and the quotes handed over for them.
//!
//! Owns which orders there are and what was promised for each. Never prices anything itself:
//! [`touch`], [`standing`] and [`answer`] compare what the plan and the quote say.

pub mod answer;
pub mod standing;
pub mod touch;

use crate::order::{Order, OrderId};
use crate::quote::Quote;
use crate::share::{self, Link};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A moment: whole milliseconds since 1970, by the device's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Moment(pub u64);

/// An order in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// What was asked for.
    pub order: Order,
    /// When it was begun; the book is sorted by it.
    pub begun: Moment,
    /// When it was last changed on any device.
    pub changed: Moment,
    /// The quote that the customer holds, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handed: Option<Handed>,
    /// The quotes that were handed over before that one, the latest last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier: Vec<Handed>,
}

/// How many earlier quotes of an order are kept.
const MOST_EARLIER: usize = 8;

/// A quote as it was handed over: its prices stand, whatever the lists say later.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handed {
    /// The day, as year-month-day.
    pub on: String,
    /// What stands in its link after the `#`.
    pub link: String,
    /// The day on which the customer's yes to it came, if it did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accepted: Option<String>,
}

impl Handed {
    /// A quote handed over on a day.
    pub fn new(quote: &Quote, on: &str) -> Self {
        Self { on: on.to_owned(), link: share::quote_fragment(quote), accepted: None }
    }

    /// The quote itself; `None` where its link cannot be read any more.
    pub fn quote(&self) -> Option<Quote> {
        match share::read(&self.link) {
            Ok(Some(Link::Quote(quote))) => Some(*quote),
            Ok(_) | Err(_) => None,
        }
    }
}

/// All orders, never none, and the one that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Book {
    /// The newest first. Shared, so that a copy of the book is cheap and equal entries are
    /// known without a look inside.
    entries: Vec<Arc<Entry>>,
    open: OrderId,
}

impl Book {
    /// A book with this one order, open.
    pub fn only(order: Order, now: Moment) -> Self {
        let open = order.id.clone();
        Self {
            entries: vec![Arc::new(Entry { order, begun: now, changed: now, handed: None, earlier: vec![] })],
            open,
        }
    }

    /// A book of these entries; `None` without any. Of entries with one id the one changed last
    /// counts. Where the open order is not among them, the newest is open.
    pub fn of(entries: impl IntoIterator<Item = Entry>, open: Option<OrderId>) -> Option<Self> {
        let mut book: Option<Self> = None;
        for entry in entries {
            match &mut book {
                None => book = Some(Self { open: entry.order.id.clone(), entries: vec![Arc::new(entry)] }),
                Some(book) => book.put_later(entry),
            }
        }
        let mut book = book?;
        let newest = book.entries[0].order.id.clone();
        book.open = open.filter(|open| book.entry(open).is_some()).unwrap_or(newest);
        Some(book)
    }

    /// Every entry, the newest first.
    pub fn entries(&self) -> &[Arc<Entry>] {
        &self.entries
    }

    /// The entry of an order.
    pub fn entry(&self, id: &OrderId) -> Option<&Arc<Entry>> {
        self.entries.iter().find(|entry| entry.order.id == *id)
    }

    /// The entry that is open.
    pub fn current(&self) -> &Entry {
        self.entry(&self.open).unwrap_or(&self.entries[0])
    }

    /// The id of the order that is open.
    pub fn open(&self) -> &OrderId {
        &self.open
    }

    /// Opens an order; one that is not there changes nothing.
    pub fn turn_to(&mut self, id: &OrderId) {
        if self.entry(id).is_some() {
            self.open.clone_from(id);
        }
    }

    /// Adds a new order and opens it.
    pub fn begin(&mut self, order: Order, now: Moment) {
        self.open = order.id.clone();
        self.put(Entry { order, begun: now, changed: now, handed: None, earlier: vec![] });
    }

    /// Puts a changed order in the place of the one with its id.
    pub fn replace(&mut self, order: Order, now: Moment) {
        self.change(&order.id.clone(), now, |entry| entry.order = order);
    }

    /// Notes that a quote was handed over for an order.
    pub fn hand_over(&mut self, id: &OrderId, handed: Handed, now: Moment) {
        self.change(id, now, |entry| {
            if let Some(before) = entry.handed.replace(handed)
                && entry.handed.as_ref().is_some_and(|handed| handed.link != before.link)
            {
                entry.earlier.push(before);
                let surplus = entry.earlier.len().saturating_sub(MOST_EARLIER);
                entry.earlier.drain(..surplus);
            }
        });
    }

    /// Notes that the customer said yes to the quote that was handed over for an order.
    pub fn accept(&mut self, id: &OrderId, on: &str, now: Moment) {
        self.change(id, now, |entry| {
            if let Some(handed) = &mut entry.handed {
                handed.accepted = Some(on.to_owned());
            }
        });
    }

    /// Notes that the customer holds no quote of an order after all.
    pub fn take_back(&mut self, id: &OrderId, now: Moment) {
        self.change(id, now, |entry| entry.handed = None);
    }

    /// Puts an entry in its place by age, over one with its id.
    pub fn put(&mut self, entry: Entry) {
        self.entries.retain(|old| old.order.id != entry.order.id);
        let age = |entry: &Entry| (std::cmp::Reverse(entry.begun), entry.order.id.clone());
        let at = self.entries.partition_point(|old| age(old) <= age(&entry));
        self.entries.insert(at, Arc::new(entry));
    }

    /// Takes an order out; `false` for the last one left, which stays.
    pub fn remove(&mut self, id: &OrderId) -> bool {
        let Some(at) = self.entries.iter().position(|entry| entry.order.id == *id) else {
            return false;
        };
        if self.entries.len() == 1 {
            return false;
        }
        self.entries.remove(at);
        if self.open == *id {
            let next = self.entries.get(at).or(self.entries.last());
            self.open = next.map_or_else(|| self.open.clone(), |entry| entry.order.id.clone());
        }
        true
    }

    /// All orders of both books; where both have one, as it was changed last.
    ///
    /// The same whichever book is asked, and merging twice changes nothing more.
    ///
    /// ```
    /// use lettertally::{book::{Book, Moment}, lists::demo};
    /// let book = Book::only(demo::order("2026-01-01"), Moment(1));
    /// assert_eq!(book.merged(&book), book);
    /// ```
    #[must_use]
    pub fn merged(&self, other: &Self) -> Self {
        let mut merged = self.clone();
        for entry in &other.entries {
            merged.put_later(Entry::clone(entry));
        }
        merged
    }

    /// Puts an entry, unless the one with its id was changed later.
    fn put_later(&mut self, entry: Entry) {
        if self.entry(&entry.order.id).is_none_or(|old| entry.is_later_than(old)) {
            self.put(entry);
        }
    }

    fn change(&mut self, id: &OrderId, now: Moment, change: impl FnOnce(&mut Entry)) {
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.order.id == *id) {
            let entry = Arc::make_mut(entry);
            change(entry);
            // A device whose clock was put back still counts its own change as the later one.
            entry.changed = now.max(Moment(entry.changed.0 + 1));
        }
    }
}

impl Entry {
    /// The quotes handed over for it, the latest first.
    pub fn quotes(&self) -> impl Iterator<Item = (&Handed, Quote)> {
        let all = self.handed.iter().chain(self.earlier.iter().rev());
        all.filter_map(|handed| Some((handed, handed.quote()?)))
    }

    /// Changed later; of two changed in the same moment, by what is in them, so that every
    /// device chooses alike.
    fn is_later_than(&self, other: &Self) -> bool {
        let content = |entry: &Self| serde_json::to_string(entry).unwrap_or_default();
        (self.changed, content(self)) > (other.changed, content(other))
    }
}

/// An id for a new order that no other device and no other tab makes: from the moment and a
/// throw of dice.
///
/// ```
/// use lettertally::book::{Moment, fresh_id};
/// assert_eq!(fresh_id(Moment(36), 35).as_str(), "10-z");
/// ```
pub fn fresh_id(now: Moment, dice: u32) -> OrderId {
    OrderId::new(format!("{}-{}", base36(now.0), base36(u64::from(dice))))
}

fn base36(mut number: u64) -> String {
    let mut digits = Vec::new();
    loop {
        digits.push(char::from_digit(u32::try_from(number % 36).unwrap_or(0), 36).unwrap_or('0'));
        number /= 36;
        if number == 0 {
            return digits.into_iter().rev().collect();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;
    use proptest::prelude::*;

    fn order(id: &str) -> Order {
        Order { id: OrderId::new(id), ..demo::order("2026-01-01") }
    }

    #[test]
    fn the_last_order_stays_and_another_is_open_after_a_removal() {
        let mut book = Book::only(order("a"), Moment(1));
        assert!(!book.remove(&OrderId::new("a")));
        book.begin(order("b"), Moment(2));
        assert_eq!(book.current().order.id.as_str(), "b");
        assert!(book.remove(&OrderId::new("b")));
        assert_eq!(book.open().as_str(), "a");
    }

    #[test]
    fn an_order_put_back_stands_where_it_stood() {
        let mut book = Book::only(order("a"), Moment(1));
        book.begin(order("b"), Moment(2));
        book.begin(order("c"), Moment(3));
        let before = book.clone();
        let entry = Entry::clone(book.entry(&OrderId::new("b")).unwrap());
        book.remove(&OrderId::new("b"));
        book.put(entry);
        assert_eq!(book, before);
    }

    fn books() -> impl Strategy<Value = Book> {
        let entry = (0_u8..4, 0_u64..3, 0_u8..3).prop_map(|(id, changed, title)| Entry {
            order: Order { title: title.to_string(), ..order(&id.to_string()) },
            begun: Moment(u64::from(id)),
            changed: Moment(changed),
            handed: None,
            earlier: vec![],
        });
        prop::collection::vec(entry, 1..6).prop_map(|entries| Book::of(entries, None).unwrap())
    }

    proptest! {
        #[test]
        fn merging_does_not_ask_whose_book_comes_first(a in books(), b in books(), c in books()) {
            let entries = |book: &Book| book.entries().to_vec();
            prop_assert_eq!(entries(&a.merged(&b)), entries(&b.merged(&a)));
            prop_assert_eq!(entries(&a.merged(&b).merged(&c)), entries(&a.merged(&b.merged(&c))));
            prop_assert_eq!(a.merged(&b).merged(&b), a.merged(&b));
        }

        #[test]
        fn ids_differ_where_moment_or_dice_do(a in any::<(u64, u32)>(), b in any::<(u64, u32)>()) {
            let id = |(now, dice): (u64, u32)| fresh_id(Moment(now), dice);
            prop_assert_eq!(id(a) == id(b), a == b);
        }
    }
}
