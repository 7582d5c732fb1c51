//! One file that holds everything, and what bringing it back would change.
//!
//! The file is JSON and holds the records by their keys, just as they lie on a device, so that an
//! old file goes through the same steps as an old device. Owns the comparison with what is here,
//! and the two ways to bring it back.

use super::aside::Aside;
use super::keys::{InMemory, Keys};
use super::parts::Parts;
use super::record::{self, Name, VERSION};
use super::store::Store;
use super::{LastBackup, State};
use crate::book::fact::Facts;
use crate::book::{Book, Entry, Moment};
use crate::lists::Lists;
use crate::lists::entries::List;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

/// The largest file that is looked at, in bytes: more than any browser keeps for one page.
pub const LARGEST_FILE: usize = 32_000_000;

const KIND: &str = "lettertally backup";

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    file: String,
    version: u32,
    made: Moment,
    records: BTreeMap<String, Value>,
}

/// A backup file that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contents {
    /// When it was made.
    pub made: Moment,
    /// What it holds.
    pub parts: Parts,
    /// What of it cannot be read.
    pub unread: Vec<Aside>,
}

/// Why a file is no backup that can be brought back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BackupError {
    /// Larger than [`LARGEST_FILE`].
    TooLarge,
    /// Not a backup of this page; says where reading stopped.
    Foreign(String),
    /// Made by a version of this page that is not known here.
    Newer,
    /// Nothing in it can be read.
    Nothing,
}

impl fmt::Display for BackupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge => write!(f, "This file is too large to be a backup of this page."),
            Self::Foreign(why) => {
                write!(f, "This file is not a backup of this page, or was damaged ({why}).")
            }
            Self::Newer => write!(
                f,
                "This backup was made by a newer version of this page. Reload the page, then open it again."
            ),
            Self::Nothing => write!(f, "Nothing in this backup can be read."),
        }
    }
}

impl std::error::Error for BackupError {}

/// The file that holds a state.
///
/// ```
/// use lettertally::{book::Moment, saved::{self, backup}};
/// let state = saved::demo_state("2026-01-01", Moment(5));
/// let contents = backup::read(&backup::write(&state, Moment(9))).unwrap();
/// assert_eq!(contents.parts.or(saved::demo_state("2026-02-02", Moment(6))), state);
/// ```
pub fn write(state: &State, made: Moment) -> String {
    let mut store = Store::open(Box::new(InMemory::default()));
    store.keep(&State { backup: LastBackup::default(), ..state.clone() }, made);
    // A record is JSON, as the store wrote it.
    let value = |text: &String| serde_json::from_str(text).unwrap_or_default();
    let records = store.texts().iter().map(|(key, text)| (key.clone(), value(text))).collect();
    let file = File { file: KIND.to_owned(), version: VERSION, made, records };
    serde_json::to_string_pretty(&file).unwrap_or_default()
}

/// The file that holds some orders and facts about the shelf, for another phone of the shop: a
/// backup with nothing else in it.
pub fn write_book(entries: &[Arc<Entry>], stock: &Facts, made: Moment) -> String {
    let value = |text: String| serde_json::from_str(&text).unwrap_or_default();
    let mut records: BTreeMap<String, Value> = entries
        .iter()
        .map(|entry| {
            let name = Name::Order(entry.order.id.clone());
            (name.key(), value(record::write(entry.as_ref(), entry.changed)))
        })
        .collect();
    if !stock.is_empty() {
        records.insert(Name::Ledger.key(), value(record::write(stock, made)));
    }
    let file = File { file: KIND.to_owned(), version: VERSION, made, records };
    serde_json::to_string(&file).unwrap_or_default()
}

/// Reads a backup file.
///
/// # Errors
/// Where it is no backup, or nothing in it can be read.
pub fn read(text: &str) -> Result<Contents, BackupError> {
    if text.len() > LARGEST_FILE {
        return Err(BackupError::TooLarge);
    }
    let text = text.trim_start_matches('\u{feff}');
    let File { file, version, made, records } =
        serde_json::from_str(text).map_err(|error| BackupError::Foreign(error.to_string()))?;
    if file != KIND {
        return Err(BackupError::Foreign(format!("it calls itself “{}”", crate::number::shortened(&file))));
    }
    if version > VERSION {
        return Err(BackupError::Newer);
    }
    let mut keys = InMemory::default();
    for (key, record) in &records {
        // Memory has room for whatever a file of bounded length holds.
        let _ = keys.set(key, &record.to_string());
    }
    let store = Store::open(Box::new(keys));
    if store.is_newer() {
        return Err(BackupError::Newer);
    }
    let parts = store.parts().clone();
    if parts.is_empty() {
        return Err(BackupError::Nothing);
    }
    let unread = store.asides().into_iter().map(|(_, aside)| aside).collect();
    Ok(Contents { made, parts, unread })
}

/// How a backup is brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// What is missing here is added; of an order that both have, the one changed last counts.
    Merge,
    /// Everything becomes as it is in the file.
    Replace,
}

/// The state after a backup was brought back.
pub fn restored(here: &State, there: &Parts, how: How) -> State {
    let open = here.book.open().clone();
    let by = here.book.by().clone();
    let ledger = there.ledger.as_deref().cloned().unwrap_or_default();
    let entries = there.entries.values().cloned();
    let book = Book::of(entries, Some(open));
    let book = book.map(|book| book.with_stock(ledger).written_by(by));
    match how {
        How::Replace => {
            let state = there.or(here.clone());
            State { book: book.unwrap_or(state.book), backup: here.backup.clone(), ..state }
        }
        How::Merge => {
            let mut state = here.clone();
            if let Some(book) = book {
                state.book = state.book.merged(&book);
                // An order that was removed since comes back: that is what the file is asked for.
                for entry in book.entries() {
                    state.book.put_back(&entry.order.id, Moment::default());
                }
                // What happened to the shelf, here and there, says what lies on it.
                if !state.book.stock().is_empty() {
                    state.shop.shelf = state.book.shelf(&state.shop.shelf);
                }
            }
            if let Some(lists) = &there.lists {
                state.shop.lists.add_missing(lists);
            }
            state
        }
    }
}

/// What a backup holds, against what is here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Comparison {
    /// Orders that are only in the file.
    pub only_there: Vec<String>,
    /// Orders that were changed later in the file.
    pub later_there: Vec<String>,
    /// Orders that were changed later here.
    pub later_here: Vec<String>,
    /// Orders that are only here.
    pub only_here: Vec<String>,
    /// How many orders are the same.
    pub same: usize,
    /// How many entries of the lists are only in the file, list by list.
    pub lists_only_there: Vec<(List, usize)>,
    /// Whether the lists differ in any way.
    pub lists_differ: bool,
    /// Whether the settings differ.
    pub settings_differ: bool,
    /// Whether the shelf differs.
    pub shelf_differs: bool,
}

/// Compares a backup with what is here.
pub fn compare(here: &State, there: &Parts) -> Comparison {
    let mut found = Comparison::default();
    let called = |entry: &Entry| entry.order.called().to_owned();
    for entry in there.entries.values() {
        match here.book.entry(&entry.order.id) {
            None if entry.is_removed() => {}
            None => found.only_there.push(called(entry)),
            Some(old) if old.order == entry.order && old.handed == entry.handed => found.same += 1,
            Some(old) if old.changed > entry.changed => found.later_here.push(called(old)),
            Some(_) => found.later_there.push(called(entry)),
        }
    }
    let missing = here.book.entries().iter().filter(|entry| !there.entries.contains_key(&entry.order.id));
    found.only_here = missing.map(|entry| called(entry)).collect();
    if let Some(lists) = &there.lists {
        found.lists_differ = *lists != here.shop.lists;
        found.lists_only_there = only_there(&here.shop.lists, lists);
    }
    found.settings_differ = there.settings.as_ref().is_some_and(|settings| *settings != here.shop.settings);
    found.shelf_differs = there.shelf.as_ref().is_some_and(|shelf| *shelf != here.shop.shelf);
    found
}

fn only_there(here: &Lists, there: &Lists) -> Vec<(List, usize)> {
    let (here, there) = (ids(here), ids(there));
    let counts =
        there.into_iter().zip(here).map(|((kind, there), (_, here))| (kind, there.difference(&here).count()));
    counts.filter(|(_, count)| *count > 0).collect()
}

fn ids(lists: &Lists) -> [(List, BTreeSet<&str>); 5] {
    [
        (List::Suppliers, lists.suppliers.iter().map(|entry| entry.id.as_str()).collect()),
        (List::Finishes, lists.finishes.iter().map(|entry| entry.id.as_str()).collect()),
        (List::Styles, lists.styles.iter().map(|entry| entry.id.as_str()).collect()),
        (List::Offers, lists.offers.iter().map(|entry| entry.id.as_str()).collect()),
        (List::Blanks, lists.blanks.iter().map(|entry| entry.id.as_str()).collect()),
    ]
}
