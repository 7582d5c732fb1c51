//! The device's local storage: records in, records out.

use leptos::prelude::window;
use lettertally::saved::{self, Record, SavedError};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt;
use web_sys::Storage;

/// Why a record could not be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StorageError {
    /// The browser has no storage for this page, as in some private windows.
    NotThere,
    /// The storage is full.
    Full,
}

impl fmt::Display for StorageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotThere => {
                "This browser keeps nothing for this page, as in a private window: what you enter is gone when the tab is closed."
            }
            Self::Full => "The browser's storage is full: the last change is on the screen but not kept.",
        })
    }
}

fn storage() -> Option<Storage> {
    window().local_storage().ok().flatten()
}

/// What is kept under a record's key.
pub enum Kept<T> {
    /// Nothing yet.
    Nothing,
    /// The record.
    Data(T),
    /// Something that cannot be read; a copy of it was set aside.
    SetAside(SavedError),
    /// Something that cannot be read, and no room for a copy: it must not be written over.
    Stuck(SavedError),
}

/// Reads a record. What cannot be read is copied to a key of its own before anything can
/// overwrite it.
pub fn load<T: DeserializeOwned>(record: Record) -> Kept<T> {
    let Some(storage) = storage() else {
        return Kept::Nothing;
    };
    let Some(text) = storage.get_item(record.key()).ok().flatten() else {
        return Kept::Nothing;
    };
    match saved::read(&text) {
        Ok(data) => Kept::Data(data),
        Err(error) => {
            if set_aside(&storage, record, &text) {
                Kept::SetAside(error)
            } else {
                Kept::Stuck(error)
            }
        }
    }
}

/// Each different damaged text gets its own key, so that none overwrites an earlier one; `false`
/// where there is no room for the copy.
fn set_aside(storage: &Storage, record: Record, text: &str) -> bool {
    let keys = (1_u32..100).map(|n| format!("{}.set-aside.{n}", record.key()));
    for key in keys {
        match storage.get_item(&key).ok().flatten() {
            Some(earlier) if earlier == text => return true,
            Some(_) => {}
            None => return storage.set_item(&key, text).is_ok(),
        }
    }
    false
}

/// Writes a record if it differs from what is kept.
///
/// # Errors
/// Where the browser does not keep it.
pub fn save<T: Serialize>(record: Record, data: &T) -> Result<(), StorageError> {
    let storage = storage().ok_or(StorageError::NotThere)?;
    let text = saved::write(data);
    if storage.get_item(record.key()).ok().flatten().as_ref() == Some(&text) {
        return Ok(());
    }
    storage.set_item(record.key(), &text).map_err(|_| StorageError::Full)
}
