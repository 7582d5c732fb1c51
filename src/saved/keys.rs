//! Where records lie: texts under keys, as the browser's local storage has them.
//!
//! Owns the one seam between the store and a device, and a stand-in that lives in memory: for a
//! browser that keeps nothing, and for tests that fill it up or cut it off.

use std::collections::BTreeMap;

/// Texts under keys. Setting one is all or nothing; nothing else is promised.
pub trait Keys {
    /// The text under a key.
    fn get(&self, key: &str) -> Option<String>;

    /// Puts a text under a key.
    ///
    /// # Errors
    /// Where there is no room for it; then the old text is still there.
    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom>;

    /// Takes a key out, if it is there.
    fn remove(&mut self, key: &str);

    /// Every key there is.
    fn all(&self) -> Vec<String>;

    /// Whether what is put here is still there when the page is opened again.
    fn lasts(&self) -> bool;
}

/// There is no room for a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoRoom;

/// Keys that last as long as the page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct InMemory(pub BTreeMap<String, String>);

impl Keys for InMemory {
    fn get(&self, key: &str) -> Option<String> {
        self.0.get(key).cloned()
    }

    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom> {
        self.0.insert(key.to_owned(), text.to_owned());
        Ok(())
    }

    fn remove(&mut self, key: &str) {
        self.0.remove(key);
    }

    fn all(&self) -> Vec<String> {
        self.0.keys().cloned().collect()
    }

    fn lasts(&self) -> bool {
        false
    }
}

/// How many characters texts take with their keys.
pub(super) fn weight(texts: &BTreeMap<String, String>) -> usize {
    texts.iter().map(|(key, text)| characters(key) + characters(text)).sum()
}

/// Storages count characters of UTF-16.
pub(super) fn characters(text: &str) -> usize {
    text.chars().map(char::len_utf16).sum()
}
