//! The browser's local storage as keys for the store.

use leptos::prelude::window;
use lettertally::saved::keys::{Keys, NoRoom};
use web_sys::Storage;

/// The local storage of this page's origin.
pub struct LocalStorage(Storage);

impl LocalStorage {
    /// The storage; `None` where the browser has none for this page or keeps nothing in it, as in
    /// some private windows.
    pub fn new() -> Option<Self> {
        const PROBE: &str = "lettertally-probe";
        let storage = window().local_storage().ok().flatten()?;
        // A full storage cannot take the probe, but it has something in it.
        let holds = storage.set_item(PROBE, "").is_ok() || storage.length().is_ok_and(|length| length > 0);
        let _ = storage.remove_item(PROBE);
        holds.then_some(Self(storage))
    }
}

impl Keys for LocalStorage {
    fn get(&self, key: &str) -> Option<String> {
        self.0.get_item(key).ok().flatten()
    }

    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom> {
        self.0.set_item(key, text).map_err(|_| NoRoom)
    }

    fn remove(&mut self, key: &str) {
        // Taking out fails only where there is no storage any more.
        let _ = self.0.remove_item(key);
    }

    fn all(&self) -> Vec<String> {
        let length = self.0.length().unwrap_or(0);
        (0..length).filter_map(|at| self.0.key(at).ok().flatten()).collect()
    }

    fn lasts(&self) -> bool {
        true
    }
}
