//! What a device or a backup holds, part by part, as far as it can be read.

use super::record::Name;
use super::{LastBackup, Pending, State};
use crate::book::fact::Facts;
use crate::book::{Book, Entry};
use crate::booth::offer::Usual;
use crate::lists::{Lists, Settings};
use crate::order::OrderId;
use crate::plan::Shop;
use crate::shelf::Shelf;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Parts of a state; each can be missing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Parts {
    /// The lists.
    pub lists: Option<Lists>,
    /// The settings.
    pub settings: Option<Settings>,
    /// The shelf.
    pub shelf: Option<Shelf>,
    /// What happened to the shelf beside the orders.
    pub ledger: Option<Arc<Facts>>,
    /// The shop's usual offers.
    pub usual: Option<Vec<Usual>>,
    /// Changes that are not saved yet.
    pub pending: Option<Pending>,
    /// The order that is open.
    pub open: Option<OrderId>,
    /// When a backup was made last.
    pub backup: Option<LastBackup>,
    /// The orders.
    pub entries: BTreeMap<OrderId, Arc<Entry>>,
}

impl Parts {
    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The state, with the parts of another where there is none here.
    pub fn or(&self, other: State) -> State {
        // Shared with what lies there, so that what was not changed since is known without a look inside.
        let entries = self.entries.values().cloned();
        State {
            shop: Shop {
                lists: self.lists.clone().unwrap_or(other.shop.lists),
                settings: self.settings.clone().unwrap_or(other.shop.settings),
                shelf: self.shelf.clone().unwrap_or(other.shop.shelf),
            },
            book: self.with_ledger(Book::of(entries, self.open.clone()).unwrap_or(other.book)),
            usual: self.usual.clone().unwrap_or(other.usual),
            pending: self.pending.clone(),
            backup: self.backup.clone().unwrap_or_default(),
        }
    }

    /// The book with the ledger that is here, if any.
    fn with_ledger(&self, book: Book) -> Book {
        match &self.ledger {
            Some(ledger) => book.with_stock(Facts::clone(ledger)),
            None => book,
        }
    }

    /// The state with these records as they are here; a record that is not here stays as it is,
    /// but an order goes.
    pub fn over(&self, mut state: State, names: &[Name]) -> State {
        fn put<T: Clone>(part: &Option<T>, place: &mut T) {
            if let Some(part) = part {
                place.clone_from(part);
            }
        }
        for name in names {
            match name {
                Name::Lists => put(&self.lists, &mut state.shop.lists),
                Name::Settings => put(&self.settings, &mut state.shop.settings),
                Name::Shelf => put(&self.shelf, &mut state.shop.shelf),
                Name::Ledger => state.book = self.with_ledger(state.book),
                Name::Usual => put(&self.usual, &mut state.usual),
                Name::Pending => state.pending.clone_from(&self.pending),
                Name::Backup => put(&self.backup, &mut state.backup),
                Name::Open => {}
                Name::Order(id) => match self.entries.get(id) {
                    Some(entry) => state.book.put(Entry::clone(entry)),
                    None => drop(state.book.forget(id)),
                },
            }
        }
        state
    }
}
