//! The store under every fault that a device has: cut off between any two writes, full, shared by
//! two tabs, damaged, older, newer, private. In each case the test says what was lost: nothing.
#![allow(clippy::unwrap_used, clippy::panic)]

mod backups;
mod damaged;
mod kept;
mod versions;

use lettertally::book::fact::What;
use lettertally::book::{Handed, Moment};
use lettertally::booth::offer;
use lettertally::glyph::GlyphCounts;
use lettertally::length::Length;
use lettertally::lists::demo;
use lettertally::money::Money;
use lettertally::order::{Order, OrderId};
use lettertally::saved::aside::Why;
use lettertally::saved::backup::{self, How};
use lettertally::saved::keys::{InMemory, Keys, NoRoom};
use lettertally::saved::record::{self, Name};
use lettertally::saved::store::Store;
use lettertally::saved::{self, Pending, State};
use lettertally::shelf::Shelf;
use lettertally::{plan, quote};
use proptest::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A device: several stores open the same one, as tabs do. It can be full, and it can lose its
/// power after a number of writes.
#[derive(Clone, Default)]
struct Device(Rc<RefCell<Inside>>);

#[derive(Default)]
struct Inside {
    texts: BTreeMap<String, String>,
    room: Option<usize>,
    writes_left: Option<usize>,
    writes: usize,
}

impl Inside {
    fn used(&self) -> usize {
        self.texts.iter().map(|(key, text)| key.len() + text.len()).sum()
    }

    /// Whether the power is still on for one more write.
    fn goes_on(&mut self) -> bool {
        self.writes += 1;
        match &mut self.writes_left {
            Some(0) => false,
            Some(left) => {
                *left -= 1;
                true
            }
            None => true,
        }
    }
}

impl Device {
    fn holding(texts: BTreeMap<String, String>) -> Self {
        let device = Self::default();
        device.0.borrow_mut().texts = texts;
        device
    }

    fn open(&self) -> Store {
        Store::open(Box::new(self.clone()))
    }

    fn texts(&self) -> BTreeMap<String, String> {
        self.0.borrow().texts.clone()
    }

    fn change(&self, key: &str, change: impl FnOnce(&str) -> String) {
        let mut inside = self.0.borrow_mut();
        let text = change(&inside.texts[key]);
        inside.texts.insert(key.to_owned(), text);
    }
}

impl Keys for Device {
    fn get(&self, key: &str) -> Option<String> {
        self.0.borrow().texts.get(key).cloned()
    }

    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom> {
        let mut inside = self.0.borrow_mut();
        // What a machine without power does is seen by nobody.
        if !inside.goes_on() {
            return Ok(());
        }
        let old = inside.texts.get(key).map_or(0, |old| key.len() + old.len());
        if inside.room.is_some_and(|room| inside.used() - old + key.len() + text.len() > room) {
            return Err(NoRoom);
        }
        inside.texts.insert(key.to_owned(), text.to_owned());
        Ok(())
    }

    fn remove(&mut self, key: &str) {
        let mut inside = self.0.borrow_mut();
        if inside.goes_on() {
            inside.texts.remove(key);
        }
    }

    fn all(&self) -> Vec<String> {
        self.0.borrow().texts.keys().cloned().collect()
    }

    fn lasts(&self) -> bool {
        true
    }
}

fn demo() -> State {
    saved::demo_state("2026-01-01", Moment(1))
}

fn order(id: &str) -> Order {
    Order { id: OrderId::new(id), title: format!("order {id}"), ..demo().book.current().order.clone() }
}

/// The demo with two orders more.
fn three_orders() -> State {
    let mut state = demo();
    state.book.begin(order("b"), Moment(2));
    state.book.begin(order("c"), Moment(3));
    state
}

/// A change that touches many records at once: settings, shelf, one order gone, one new, one other.
fn changed(state: &State) -> State {
    let mut state = state.clone();
    let family = state.shop.lists.families().remove(0);
    state.shop.settings.wage_per_hour = Money::of(31);
    state.shop.shelf.replace(&family, GlyphCounts::parse("A:3 É:1").unwrap());
    state.book.forget(&OrderId::new("b"));
    state.book.replace(Order { title: "other words".into(), ..order("c") }, Moment(9));
    state.book.begin(order("d"), Moment(10));
    state.usual.extend(offer::first(&state.shop.lists));
    state.book.account_for(&state.shop.shelf, Moment(11));
    state.pending = Some(Pending { lists: state.shop.lists.clone(), settings: state.shop.settings.clone() });
    state
}

/// What a page would show that opens this device.
fn opened(device: &Device) -> State {
    device.open().parts().or(demo())
}
