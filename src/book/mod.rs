//! The order book: the shop's orders, newest first, and what happened to them and to the shelf.
//!
//! Owns which orders there are, what was promised for each, and the facts from which all else
//! follows: an order's state ([`life`]), what lies on the shelf ([`ledger`]), the day's takings
//! ([`close`]). Never prices anything itself: [`touch`], [`standing`] and [`answer`] compare what
//! the plan and the quote say.

pub mod answer;
pub mod entry;
pub mod fact;
pub mod goods;
pub mod ledger;
pub mod life;
pub mod standing;
pub mod touch;

pub use entry::{Content, Entry, Handed, Mark, Rival};

use crate::order::{Order, OrderId};
use fact::{Device, FactId, Facts, What};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A moment: whole milliseconds since 1970, by the device's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Moment(pub u64);

/// All orders, never none, the one that is open, and what happened to the shelf.
#[derive(Debug, Clone)]
pub struct Book {
    /// The newest first. Shared, so that a copy of the book is cheap and equal entries are
    /// known without a look inside.
    entries: Vec<Arc<Entry>>,
    open: OrderId,
    /// What happened to the shelf beside the orders: counts, purchases, goods received.
    stock: Arc<Facts>,
    /// Who writes in this book.
    by: Device,
    /// When the latest fact in it was written.
    latest: Moment,
}

/// Who writes in a book is no part of what stands in it.
impl PartialEq for Book {
    fn eq(&self, other: &Self) -> bool {
        self.entries == other.entries && self.open == other.open && self.stock == other.stock
    }
}

impl Eq for Book {}

impl Book {
    /// A book with this one order, open.
    pub fn only(order: Order, now: Moment) -> Self {
        let open = order.id.clone();
        Self::with(Entry::new(order, now), open)
    }

    fn with(entry: Entry, open: OrderId) -> Self {
        let latest = entry.facts.latest();
        let (stock, by) = (Arc::default(), Device::default());
        Self { entries: vec![Arc::new(entry)], open, stock, by, latest }
    }

    /// A book of these entries; `None` without any. Entries with one id are merged. Where the open
    /// order is not among them, the newest is open.
    pub fn of(entries: impl IntoIterator<Item = Entry>, open: Option<OrderId>) -> Option<Self> {
        let mut all = BTreeMap::<OrderId, Entry>::new();
        for entry in entries {
            match all.get_mut(&entry.order.id) {
                Some(known) => *known = known.merged(&entry),
                None => drop(all.insert(entry.order.id.clone(), entry)),
            }
        }
        let mut entries: Vec<Arc<Entry>> = all.into_values().map(Arc::new).collect();
        entries.sort_by_cached_key(|entry| age(entry));
        let newest = entries.first()?.order.id.clone();
        let latest = entries.iter().map(|entry| entry.facts.latest()).max().unwrap_or_default();
        let mut book =
            Self { entries, open: newest.clone(), stock: Arc::default(), by: Device::default(), latest };
        book.open = open.filter(|open| book.entry(open).is_some()).unwrap_or(newest);
        Some(book)
    }

    /// The same book, in which this device writes from now on.
    #[must_use]
    pub fn written_by(self, by: Device) -> Self {
        Self { by, ..self }
    }

    /// The same book with these facts about the shelf.
    #[must_use]
    pub fn with_stock(self, stock: Facts) -> Self {
        let latest = self.latest.max(stock.latest());
        Self { stock: Arc::new(stock), latest, ..self }
    }

    /// Who writes in it.
    pub fn by(&self) -> &Device {
        &self.by
    }

    /// What happened to the shelf beside the orders.
    pub fn stock(&self) -> &Arc<Facts> {
        &self.stock
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
        let mut entry = Entry::new(order, now);
        if !self.by.as_str().is_empty() {
            entry.changed_by(&self.by, now);
        }
        self.put(entry);
    }

    /// Puts a changed order in the place of the one with its id.
    pub fn replace(&mut self, order: Order, now: Moment) {
        self.change(&order.id.clone(), now, |entry| entry.order = order);
    }

    /// Notes that a quote was handed over for an order.
    pub fn hand_over(&mut self, id: &OrderId, handed: Handed, now: Moment) {
        self.change(id, now, |entry| entry.hand_over(handed));
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
        let own = age(&entry);
        let at = self.entries.partition_point(|old| age(old) <= own);
        self.latest = self.latest.max(entry.facts.latest());
        self.entries.insert(at, Arc::new(entry));
    }

    /// Writes down what happened to an order; gives the name by which it can be undone. An order
    /// that is not there changes nothing.
    pub fn note(&mut self, id: &OrderId, what: What, now: Moment) -> Option<FactId> {
        let name = self.next(now);
        let entry = self.entries.iter_mut().find(|entry| entry.order.id == *id)?;
        Arc::make_mut(entry).facts.add(name.clone(), what);
        self.latest = name.at;
        Some(name)
    }

    /// Writes down what happened to the shelf.
    pub fn note_stock(&mut self, what: What, now: Moment) -> FactId {
        let name = self.next(now);
        Arc::make_mut(&mut self.stock).add(name.clone(), what);
        self.latest = name.at;
        name
    }

    /// Chooses among versions of an order that several devices made: one of the rivals, or with
    /// none of them the one in front.
    pub fn choose(&mut self, id: &OrderId, rival: Option<usize>, now: Moment) {
        let by = self.by.clone();
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.order.id == *id) {
            Arc::make_mut(entry).choose(rival, &by, now);
        }
    }

    /// A name for the next fact: later than all that is known here, whatever the clock says.
    fn next(&self, now: Moment) -> FactId {
        FactId { at: now.max(Moment(self.latest.0.saturating_add(1))), by: self.by.clone() }
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

    /// Everything of both books; of an order that both have, all versions ([`Entry::merged`]).
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
        let mut all: BTreeMap<OrderId, Arc<Entry>> =
            self.entries.iter().map(|entry| (entry.order.id.clone(), entry.clone())).collect();
        for entry in &other.entries {
            match all.get_mut(&entry.order.id) {
                Some(known) if known != entry => *known = Arc::new(known.merged(entry)),
                Some(_) => {}
                None => drop(all.insert(entry.order.id.clone(), entry.clone())),
            }
        }
        let mut entries: Vec<Arc<Entry>> = all.into_values().collect();
        entries.sort_by_cached_key(|entry| age(entry));
        let mut stock = Facts::clone(&self.stock);
        stock.take_in(&other.stock);
        Self {
            entries,
            open: self.open.clone(),
            stock: if stock == *self.stock { self.stock.clone() } else { Arc::new(stock) },
            by: self.by.clone(),
            latest: self.latest.max(other.latest),
        }
    }

    fn change(&mut self, id: &OrderId, now: Moment, change: impl FnOnce(&mut Entry)) {
        let by = self.by.clone();
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.order.id == *id) {
            let entry = Arc::make_mut(entry);
            change(entry);
            entry.changed_by(&by, now);
        }
    }
}

/// By what the book is sorted: the newest first.
fn age(entry: &Entry) -> (std::cmp::Reverse<Moment>, OrderId) {
    (std::cmp::Reverse(entry.begun), entry.order.id.clone())
}

/// An id for a new order that no other device and no other tab makes: from the moment and a
/// throw of dice.
///
/// ```
/// use lettertally::book::{Moment, fresh_id};
/// assert_eq!(fresh_id(Moment(36), 35).as_str(), "10-z");
/// ```
pub fn fresh_id(now: Moment, dice: u32) -> OrderId {
    OrderId::new(format!("{}-{}", base36(now.0), base36(dice)))
}

/// A number in as few letters and digits as it takes.
pub fn base36(number: impl Into<u64>) -> String {
    let mut number: u64 = number.into();
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
            changed: Moment(changed),
            ..Entry::new(Order { title: title.to_string(), ..order(&id.to_string()) }, Moment(u64::from(id)))
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
