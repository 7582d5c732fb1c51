//! The order book: the shop's orders, newest first, and what happened to them and to the shelf.
//!
//! Owns which orders there are, what was promised for each, and the facts from which all else
//! follows: an order's state ([`life`]) and what lies on the shelf ([`ledger`]). Never prices
//! anything itself: [`touch`], [`standing`] and [`answer`] compare what the plan and the quote say.

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
    /// Orders that were removed. What happened to them happened: letters that went on a garment
    /// are gone, and another phone that has the order is to know that it was removed.
    removed: BTreeMap<OrderId, Arc<Entry>>,
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
        self.entries == other.entries
            && self.removed == other.removed
            && self.open == other.open
            && self.stock == other.stock
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
        let (removed, stock, by) = (BTreeMap::new(), Arc::default(), Device::default());
        Self { entries: vec![Arc::new(entry)], removed, open, stock, by, latest }
    }

    /// A book of these entries, sorted; `None` without any. Of orders that were all removed the
    /// newest stays: there is never none.
    fn sorted(all: BTreeMap<OrderId, Arc<Entry>>) -> Option<Self> {
        let latest = all.values().map(|entry| entry.facts.latest()).max()?;
        let (mut removed, mut entries): (Vec<_>, Vec<_>) =
            all.into_values().partition(|entry| entry.is_removed());
        if entries.is_empty() {
            let newest = removed.iter().enumerate().min_by_key(|(_, entry)| age(entry))?.0;
            entries.push(removed.swap_remove(newest));
        }
        entries.sort_by_cached_key(|entry| age(entry));
        let open = entries.first()?.order.id.clone();
        let removed = removed.into_iter().map(|entry| (entry.order.id.clone(), entry)).collect();
        Some(Self { entries, removed, open, stock: Arc::default(), by: Device::default(), latest })
    }

    /// A book of these entries; `None` without any. Entries with one id are merged. Where the open
    /// order is not among them, the newest is open.
    pub fn of<E: Into<Arc<Entry>>>(
        entries: impl IntoIterator<Item = E>,
        open: Option<OrderId>,
    ) -> Option<Self> {
        let mut all = BTreeMap::<OrderId, Arc<Entry>>::new();
        for entry in entries.into_iter().map(Into::into) {
            match all.get_mut(&entry.order.id) {
                Some(known) => *known = Arc::new(known.merged(&entry)),
                None => drop(all.insert(entry.order.id.clone(), entry)),
            }
        }
        let mut book = Self::sorted(all)?;
        if let Some(open) = open.filter(|open| book.entry(open).is_some()) {
            book.open = open;
        }
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

    /// Every entry that was not removed, the newest first.
    pub fn entries(&self) -> &[Arc<Entry>] {
        &self.entries
    }

    /// The orders for which something is left to do, and the one that is open; the newest first.
    pub fn at_work(&self) -> impl Iterator<Item = &Order> {
        let is_shown = |entry: &&Arc<Entry>| entry.order.id == self.open || !entry.is_over();
        self.entries.iter().filter(is_shown).map(|entry| &entry.order)
    }

    /// Every entry, those of removed orders last.
    pub fn all(&self) -> impl Iterator<Item = &Arc<Entry>> {
        self.entries.iter().chain(self.removed.values())
    }

    /// The entry of an order, removed or not.
    pub fn any(&self, id: &OrderId) -> Option<&Arc<Entry>> {
        self.removed.get(id).or_else(|| self.entry(id))
    }

    /// The entry of an order that was not removed.
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

    /// Puts an entry in its place by age, over one with its id; one that was removed, among those.
    pub fn put(&mut self, entry: Entry) {
        self.latest = self.latest.max(entry.facts.latest());
        self.entries.retain(|old| old.order.id != entry.order.id);
        self.removed.remove(&entry.order.id);
        if entry.is_removed() && !self.entries.is_empty() {
            self.removed.insert(entry.order.id.clone(), Arc::new(entry));
            return;
        }
        let own = age(&entry);
        let at = self.entries.partition_point(|old| age(old) <= own);
        self.entries.insert(at, Arc::new(entry));
    }

    /// Writes down what happened to an order; gives the name by which it can be undone. An order
    /// that is not there changes nothing.
    pub fn note(&mut self, id: &OrderId, what: What, now: Moment) -> Option<FactId> {
        let name = self.next(now);
        let may_move = matches!(what, What::Removed | What::Undone(_));
        let found = self.entries.iter_mut().find(|entry| entry.order.id == *id);
        let entry = found.or_else(|| self.removed.get_mut(id))?;
        Arc::make_mut(entry).facts.add(name.clone(), what);
        self.latest = name.at;
        if may_move && entry.is_removed() != self.removed.contains_key(id) {
            let entry = self.any(id).cloned()?;
            self.put(Entry::clone(&entry));
            self.open_another(id);
        }
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

    /// Notes that an order was removed, which other phones learn as well; `false` for the last one
    /// left, which stays.
    pub fn remove(&mut self, id: &OrderId, now: Moment) -> bool {
        self.entry(id).is_some() && self.entries.len() > 1 && self.note(id, What::Removed, now).is_some()
    }

    /// Notes that an order was not removed after all.
    pub fn put_back(&mut self, id: &OrderId, now: Moment) {
        let removals = self.removed.get(id).map(|entry| entry.removals()).unwrap_or_default();
        removals.into_iter().for_each(|fact| drop(self.note(id, What::Undone(fact), now)));
    }

    /// Takes an order out without a trace: it lies elsewhere, or another tab took it out. `false`
    /// for the last one left, which stays.
    pub fn forget(&mut self, id: &OrderId) -> bool {
        if self.removed.remove(id).is_some() {
            return true;
        }
        if self.entries.len() == 1 || self.entry(id).is_none() {
            return false;
        }
        self.entries.retain(|entry| entry.order.id != *id);
        self.open_another(id);
        true
    }

    /// Where the order that is open is gone, the newest is open.
    fn open_another(&mut self, gone: &OrderId) {
        if self.open == *gone && self.entry(gone).is_none() {
            self.open.clone_from(&self.entries[0].order.id);
        }
    }

    /// The book as it was before something was done here, in a way that other phones learn as
    /// well: what happened since does not count, what was asked for is changed back, and orders
    /// begun since are removed.
    #[must_use]
    pub fn back_to(&self, before: &Self, now: Moment) -> Self {
        let mut book = self.clone();
        for entry in before.all().filter(|entry| self.any(&entry.order.id).is_none()) {
            book.put(Entry::clone(entry));
        }
        for entry in self.all() {
            let id = &entry.order.id;
            match before.any(id) {
                None => drop(book.remove(id, now)),
                Some(old) if old == entry => {}
                Some(old) => {
                    for fact in entry.facts.since(&old.facts) {
                        book.note(id, What::Undone(fact), now);
                    }
                    if !entry.asks_the_same(old) {
                        book.change(id, now, |entry| entry.ask_as(old));
                    }
                }
            }
        }
        for fact in self.stock.since(&before.stock) {
            book.note_stock(What::Undone(fact), now);
        }
        book.turn_to(before.open());
        book
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
            self.all().map(|entry| (entry.order.id.clone(), entry.clone())).collect();
        for entry in other.all() {
            match all.get_mut(&entry.order.id) {
                Some(known) if known != entry => *known = Arc::new(known.merged(entry)),
                Some(_) => {}
                None => drop(all.insert(entry.order.id.clone(), entry.clone())),
            }
        }
        let mut stock = Facts::clone(&self.stock);
        stock.take_in(&other.stock);
        let stock = if stock == *self.stock { self.stock.clone() } else { Arc::new(stock) };
        let Some(mut book) = Self::sorted(all) else {
            return self.clone();
        };
        book.turn_to(&self.open);
        Self { stock, by: self.by.clone(), latest: self.latest.max(other.latest), ..book }
    }

    fn change(&mut self, id: &OrderId, now: Moment, change: impl FnOnce(&mut Entry)) {
        let by = self.by.clone();
        let found = self.entries.iter_mut().find(|entry| entry.order.id == *id);
        if let Some(entry) = found.or_else(|| self.removed.get_mut(id)) {
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
        for remove in [|book: &mut Book, id: &OrderId| book.remove(id, Moment(9)), Book::forget] {
            let mut book = Book::only(order("a"), Moment(1));
            assert!(!remove(&mut book, &OrderId::new("a")));
            book.begin(order("b"), Moment(2));
            assert_eq!(book.current().order.id.as_str(), "b");
            assert!(remove(&mut book, &OrderId::new("b")));
            assert_eq!((book.open().as_str(), book.entries().len()), ("a", 1));
        }
    }

    #[test]
    fn a_removed_order_stays_removed_on_every_phone_until_that_is_undone() {
        let mut ours = Book::only(order("a"), Moment(1)).written_by(Device::new("ours"));
        ours.begin(order("b"), Moment(2));
        let theirs = ours.clone().written_by(Device::new("theirs"));
        let before = ours.clone();
        let id = OrderId::new("b");
        assert!(ours.remove(&id, Moment(3)));
        let merged = theirs.merged(&ours);
        assert!(merged.entry(&id).is_none() && merged.any(&id).is_some());
        assert_eq!(ours.merged(&theirs).entries(), merged.entries());
        let back = ours.back_to(&before, Moment(4));
        assert!(back.entry(&id).is_some() && merged.merged(&back).entry(&id).is_some());
    }

    #[test]
    fn of_orders_removed_one_here_and_one_there_the_newest_stays() {
        let mut ours = Book::only(order("a"), Moment(1)).written_by(Device::new("ours"));
        ours.begin(order("b"), Moment(2));
        let mut theirs = ours.clone().written_by(Device::new("theirs"));
        assert!(ours.remove(&OrderId::new("a"), Moment(3)) && theirs.remove(&OrderId::new("b"), Moment(3)));
        let merged = ours.merged(&theirs);
        assert_eq!(merged.entries(), theirs.merged(&ours).entries());
        assert_eq!((merged.open().as_str(), merged.entries().len()), ("b", 1));
    }

    #[test]
    fn what_was_undone_here_stays_undone_after_an_exchange() {
        let first = Book::only(order("a"), Moment(1)).written_by(Device::new("ours"));
        let id = first.open().clone();
        let mut ours = first.clone();
        ours.replace(Order { title: "another".into(), ..order("a") }, Moment(2));
        ours.note(&id, What::HandedOver, Moment(2));
        ours.begin(order("b"), Moment(3));
        let sent = ours.clone();
        let back = ours.back_to(&first, Moment(4));
        for book in [back.clone(), back.merged(&sent), sent.merged(&back)] {
            assert_eq!(
                (book.entries().len(), book.current().order.title.as_str()),
                (1, first.current().order.title.as_str())
            );
            assert_eq!((book.current().facts.counting().count(), book.current().rivals.len()), (0, 0));
        }
    }

    #[test]
    fn an_order_put_back_stands_where_it_stood() {
        let mut book = Book::only(order("a"), Moment(1));
        book.begin(order("b"), Moment(2));
        book.begin(order("c"), Moment(3));
        let before = book.clone();
        let entry = Entry::clone(book.entry(&OrderId::new("b")).unwrap());
        book.forget(&OrderId::new("b"));
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
