//! What is kept on the device, and the one file that holds all of it.
//!
//! Owns the form of every record, the steps between versions, and the promise that nothing is
//! lost: a record that cannot be read is set aside with its text. Never touches the browser: the
//! device is behind [`keys::Keys`].

pub mod aside;
pub mod backup;
mod journal;
pub mod keys;
pub mod packed;
pub mod parts;
pub mod record;
mod steps;
pub mod store;
pub mod swap;

use crate::book::{Book, Entry, Moment};
use crate::booth::offer::Usual;
use crate::lists::{LetterStyle, Lists, Settings, Supplier, SupplierId, demo};
use crate::money::Cents;
use crate::plan::Shop;
use serde::{Deserialize, Serialize};

/// Everything that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// Lists, settings, shelf.
    pub shop: Shop,
    /// The orders.
    pub book: Book,
    /// The shop's usual offers.
    pub usual: Vec<Usual>,
    /// Changes of lists and settings that are not saved yet.
    pub pending: Option<Pending>,
    /// When a backup was made last.
    pub backup: LastBackup,
}

/// Lists and settings as they are being edited, until the person saves them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pending {
    /// The lists.
    pub lists: Lists,
    /// The settings.
    pub settings: Settings,
}

/// When a backup was made last; the beginning of time for never.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LastBackup {
    /// The moment.
    pub made: Moment,
}

/// The demo shop with its finished example, which counts as never changed: whatever a person did
/// to it on another device is later.
pub fn demo_state(date: &str, now: Moment) -> State {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let mut book = Book::only(demo::order(date), now);
    book.put(Entry { changed: Moment::default(), ..Entry::new(demo::order(date), now) });
    State { shop, book, usual: Vec::new(), pending: None, backup: LastBackup::default() }
}

impl State {
    /// Whether nothing was entered on this device yet: the demo shop and its example, as they came.
    ///
    /// ```
    /// use lettertally::{book::Moment, saved::demo_state};
    /// let mut state = demo_state("2026-01-01", Moment(1));
    /// assert!(state.is_untouched());
    /// state.shop.settings.terms.push_str("Paid on the day.");
    /// assert!(!state.is_untouched());
    /// ```
    pub fn is_untouched(&self) -> bool {
        let order = &self.book.current().order;
        let came = demo_state(&order.date, Moment::default());
        self.shop == came.shop
            && *order == came.book.current().order
            && self.book.all().count() == 1
            && self.book.stock().is_empty()
            && self.usual.is_empty()
            && self.pending.is_none()
    }
}

/// A shop with nothing on its lists but a supplier and a letter style to begin with.
pub fn empty_shop() -> Shop {
    let supplier = Supplier {
        id: SupplierId::new("supplier"),
        name: "My supplier".to_owned(),
        freight: Vec::new(),
        minimum: Cents::ZERO,
        days: None,
        date: String::new(),
        note: String::new(),
    };
    let style = LetterStyle::estimated("block", "block");
    let lists = Lists { suppliers: vec![supplier], styles: vec![style], ..Lists::default() };
    Shop { lists, ..Shop::default() }
}
