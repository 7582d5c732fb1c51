//! One record: what it is called, where it lies, and the envelope around its data.
//!
//! Owns the names and the form {"version", "revision", "data"}. Never decides what to do with a
//! record that cannot be read: it is an error that says why.

use super::packed;
use crate::book::Moment;
use crate::order::OrderId;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The version of the records written here. Each change of what a record holds raises it and
/// adds a step to `saved/steps.rs`.
pub const VERSION: u32 = 5;

/// What every key begins with.
pub const PREFIX: &str = "lettertally.";
/// Where writes to several keys are prepared.
pub const JOURNAL: &str = "lettertally.journal";
/// What a key of something set aside begins with; a number follows.
pub const ASIDE: &str = "lettertally.aside.";

const ORDER: &str = "lettertally.order.";

/// A record by what it holds.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Name {
    /// The price list, blanks, finishes and letter styles.
    Lists,
    /// The shop settings.
    Settings,
    /// The letters and blanks already owned.
    Shelf,
    /// What happened to the shelf beside the orders.
    Ledger,
    /// The shop's usual offers.
    Usual,
    /// Changes of lists and settings that are not saved yet.
    Pending,
    /// Which order is open.
    Open,
    /// When a backup was made last.
    Backup,
    /// One order.
    Order(OrderId),
}

impl Name {
    /// Every record of which there is one.
    pub const SINGLE: [Self; 8] = [
        Self::Lists,
        Self::Settings,
        Self::Shelf,
        Self::Ledger,
        Self::Usual,
        Self::Pending,
        Self::Open,
        Self::Backup,
    ];

    /// The key it lies under.
    pub fn key(&self) -> String {
        match self {
            Self::Lists => format!("{PREFIX}lists"),
            Self::Settings => format!("{PREFIX}settings"),
            Self::Shelf => format!("{PREFIX}shelf"),
            Self::Ledger => format!("{PREFIX}ledger"),
            Self::Usual => format!("{PREFIX}usual"),
            Self::Pending => format!("{PREFIX}pending"),
            Self::Open => format!("{PREFIX}open"),
            Self::Backup => format!("{PREFIX}backup"),
            Self::Order(id) => format!("{ORDER}{id}"),
        }
    }

    /// The name of the record under a key; `None` for a key of another kind.
    ///
    /// ```
    /// use lettertally::{order::OrderId, saved::record::Name};
    /// let name = Name::Order(OrderId::new("a.b"));
    /// assert_eq!(Name::of(&name.key()), Some(name));
    /// ```
    pub fn of(key: &str) -> Option<Self> {
        if let Some(id) = key.strip_prefix(ORDER) {
            return Some(Self::Order(OrderId::new(id)));
        }
        Self::SINGLE.into_iter().find(|name| name.key() == key)
    }

    /// The words for it.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Lists => "lists",
            Self::Settings => "shop settings",
            Self::Shelf => "shelf",
            Self::Ledger => "shelf's ledger",
            Self::Usual => "usual offers",
            Self::Pending => "changes that were not saved yet",
            Self::Open => "note of which order is open",
            Self::Backup => "note of the last backup",
            Self::Order(_) => "order",
        }
    }
}

/// Writes a record.
pub fn write<T: Serialize>(data: &T, revision: Moment) -> String {
    #[derive(Serialize)]
    struct Envelope<'a, T> {
        version: u32,
        revision: Moment,
        data: &'a T,
    }
    // Records hold only strings, bounded numbers and maps with text keys.
    serde_json::to_string(&Envelope { version: VERSION, revision, data }).unwrap_or_default()
}

/// Writes a record packed, where that is shorter: it takes longer to read.
pub fn write_packed<T: Serialize>(data: &T, revision: Moment) -> String {
    #[derive(Serialize)]
    struct Envelope {
        version: u32,
        revision: Moment,
        packed: String,
    }
    let text = serde_json::to_string(data).unwrap_or_default();
    match packed::pack(&text) {
        Some(packed) => {
            serde_json::to_string(&Envelope { version: VERSION, revision, packed }).unwrap_or_default()
        }
        None => write(data, revision),
    }
}

/// What is known of a record without reading its data.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub struct Stamp {
    /// The version of its form.
    pub version: u32,
    /// When it was written; differs with every change.
    #[serde(default)]
    pub revision: Moment,
}

/// The stamp of a record; `None` where there is none to be read.
pub fn stamp(text: &str) -> Option<Stamp> {
    quick_stamp(text).or_else(|| serde_json::from_str(text).ok())
}

/// The stamp as [`write`] puts it in front, so that a long record need not be read through.
fn quick_stamp(text: &str) -> Option<Stamp> {
    let (version, rest) = text.strip_prefix("{\"version\":")?.split_once(",\"revision\":")?;
    let (revision, _) = rest.split_once(',')?;
    Some(Stamp { version: version.parse().ok()?, revision: Moment(revision.parse().ok()?) })
}

/// Reads a record.
///
/// # Errors
/// A record of another version, or one that is damaged.
///
/// ```
/// use lettertally::{book::Moment, saved::record, shelf::Shelf};
/// let text = record::write(&Shelf::default(), Moment(7));
/// assert_eq!(record::read::<Shelf>(&text), Ok(Shelf::default()));
/// ```
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, RecordError> {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Envelope<T> {
        #[serde(rename = "version")]
        _version: u32,
        #[serde(rename = "revision")]
        _revision: Moment,
        // A record that is whole has one of the two.
        data: Option<T>,
        packed: Option<String>,
    }
    let damaged = |error: serde_json::Error| RecordError::Damaged(error.to_string());
    let stamp = match quick_stamp(text) {
        Some(stamp) => stamp,
        None => serde_json::from_str(text).map_err(damaged)?,
    };
    if stamp.version != VERSION {
        return Err(RecordError::OtherVersion(stamp.version));
    }
    let envelope: Envelope<T> = serde_json::from_str(text).map_err(damaged)?;
    match (envelope.data, envelope.packed) {
        (Some(data), None) => Ok(data),
        (None, Some(packed)) => {
            let text = packed::unpack(&packed).ok_or_else(|| RecordError::Damaged("packed".to_owned()))?;
            serde_json::from_str(&text).map_err(damaged)
        }
        _ => Err(RecordError::Damaged("no data".to_owned())),
    }
}

/// Why a record cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordError {
    /// Written by a version of the page that is not known here.
    OtherVersion(u32),
    /// Not what this page writes; says where reading stopped.
    Damaged(String),
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherVersion(version) => {
                write!(f, "written by version {version} of this page, which this one cannot read")
            }
            Self::Damaged(why) => write!(f, "damaged: {why}"),
        }
    }
}

impl std::error::Error for RecordError {}
