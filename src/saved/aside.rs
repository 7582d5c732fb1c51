//! What was set aside: texts that could not be read or had to give way, kept for the person.

use super::record;
use crate::book::Entry;
use serde::{Deserialize, Serialize};

/// A text that was set aside.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aside {
    /// The key it lay under, or was to lie under.
    pub key: String,
    /// Why it does not lie there.
    pub why: Why,
    /// The text, unchanged.
    pub text: String,
}

/// Why a text was set aside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// It could not be read.
    Damaged,
    /// Another tab changed the same thing first.
    Overtaken,
    /// It is what was there before a backup was restored.
    Restored,
}

impl Aside {
    /// The order in it, where it is one that can be read.
    pub fn entry(&self) -> Option<Entry> {
        record::read(&self.text).ok()
    }
}
