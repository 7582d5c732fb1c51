//! What is kept on the device: versioned records as text.
//!
//! Owns the envelope and the names of the records. Never touches the storage itself. A record
//! that cannot be read is an error that keeps its text: nothing is dropped in silence.

use crate::lists::{LetterStyle, Lists, StyleId, Supplier, SupplierId, demo};
use crate::money::Cents;
use crate::order::{Order, OrderId};
use crate::plan::Shop;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The version of the records written here.
pub const VERSION: u32 = 1;

/// The records and the keys they are kept under.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Record {
    /// The price list, blanks, finishes and letter styles.
    Lists,
    /// The shop settings.
    Settings,
    /// The letters already owned.
    Shelf,
    /// The orders.
    Orders,
}

impl Record {
    /// Every record.
    pub const ALL: [Self; 4] = [Self::Lists, Self::Settings, Self::Shelf, Self::Orders];

    /// The key it is kept under.
    pub fn key(self) -> &'static str {
        match self {
            Self::Lists => "lettertally.lists",
            Self::Settings => "lettertally.settings",
            Self::Shelf => "lettertally.shelf",
            Self::Orders => "lettertally.orders",
        }
    }

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lists => "lists",
            Self::Settings => "shop settings",
            Self::Shelf => "shelf",
            Self::Orders => "orders",
        }
    }
}

/// The shop's orders, the newest first, and the one that is open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Orders {
    /// All of them. Never empty.
    pub orders: Vec<Order>,
    /// The one that is open.
    pub open: OrderId,
}

impl Orders {
    /// A book with this one order, open.
    pub fn only(order: Order) -> Self {
        Self { open: order.id.clone(), orders: vec![order] }
    }

    /// The order that is open; the newest where the id is stale.
    pub fn current(&self) -> Option<&Order> {
        self.orders.iter().find(|order| order.id == self.open).or(self.orders.first())
    }

    /// Adds an order in front and opens it.
    pub fn begin(&mut self, order: Order) {
        self.open = order.id.clone();
        self.orders.insert(0, order);
    }

    /// Puts a changed order in the place of the one with its id.
    pub fn replace(&mut self, changed: &Order) {
        if let Some(order) = self.orders.iter_mut().find(|order| order.id == changed.id) {
            order.clone_from(changed);
        }
    }

    /// Takes an order out; `None` for the last one left, which stays.
    pub fn remove(&mut self, id: &OrderId) -> Option<(usize, Order)> {
        let at = self.orders.iter().position(|order| order.id == *id)?;
        if self.orders.len() == 1 {
            return None;
        }
        let removed = self.orders.remove(at);
        if self.open == *id {
            self.open = self.orders.get(at).or(self.orders.last())?.id.clone();
        }
        Some((at, removed))
    }

    /// An id that no order has.
    pub fn fresh_id(&self) -> OrderId {
        let taken = self.orders.iter().map(|order| order.id.as_str());
        OrderId::new(crate::lists::fresh_id("order", taken))
    }
}

/// The demo shop with its finished example.
pub fn demo_shop(date: &str) -> (Shop, Orders) {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    (shop, Orders::only(demo::order(date)))
}

/// A shop with nothing on its lists but a supplier and a letter style to begin with.
pub fn empty_shop() -> Shop {
    let supplier = Supplier {
        id: SupplierId::new("supplier"),
        name: "My supplier".to_owned(),
        freight: Vec::new(),
        minimum: Cents::ZERO,
    };
    let style = LetterStyle { id: StyleId::new("block"), name: "block".to_owned(), six_is_nine: false };
    let lists = Lists { suppliers: vec![supplier], styles: vec![style], ..Lists::default() };
    Shop { lists, ..Shop::default() }
}

/// Writes a record.
pub fn write<T: Serialize>(data: &T) -> String {
    #[derive(Serialize)]
    struct Envelope<'a, T> {
        version: u32,
        data: &'a T,
    }
    // Records hold only strings, bounded numbers and maps with text keys.
    serde_json::to_string(&Envelope { version: VERSION, data }).unwrap_or_default()
}

/// Reads a record.
///
/// # Errors
/// A record of a newer version, or one that is damaged.
///
/// ```
/// use lettertally::{saved, shelf::Shelf};
/// let text = saved::write(&Shelf::default());
/// assert_eq!(saved::read::<Shelf>(&text), Ok(Shelf::default()));
/// ```
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, SavedError> {
    #[derive(Deserialize)]
    struct Version {
        version: u32,
    }
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Envelope<T> {
        #[serde(rename = "version")]
        _version: u32,
        data: T,
    }
    let damaged = |error: serde_json::Error| SavedError::Damaged(error.to_string());
    let Version { version } = serde_json::from_str(text).map_err(damaged)?;
    if version != VERSION {
        return Err(SavedError::OtherVersion(version));
    }
    let envelope: Envelope<T> = serde_json::from_str(text).map_err(damaged)?;
    Ok(envelope.data)
}

/// Why a record cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SavedError {
    /// Written by a version of the page that is not known here.
    OtherVersion(u32),
    /// Not what this page writes; says where reading stopped.
    Damaged(String),
}

impl fmt::Display for SavedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherVersion(version) => {
                write!(f, "written by version {version} of this page, which this one cannot read")
            }
            Self::Damaged(why) => write!(f, "damaged: {why}"),
        }
    }
}

impl std::error::Error for SavedError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_record_of_the_demo_reads_back() {
        let (shop, orders) = demo_shop("2026-01-01");
        assert_eq!(read(&write(&shop.lists)), Ok(shop.lists));
        assert_eq!(read(&write(&shop.settings)), Ok(shop.settings));
        assert_eq!(read(&write(&orders)), Ok(orders));
    }

    #[test]
    fn what_was_read_is_written_again_as_it_was() {
        let (shop, orders) = demo_shop("2026-01-01");
        let text = write(&shop.settings);
        assert_eq!(write(&read::<crate::lists::Settings>(&text).unwrap()), text);
        let text = write(&orders);
        assert_eq!(write(&read::<Orders>(&text).unwrap()), text);
    }

    #[test]
    fn other_versions_and_damage_are_told_apart() {
        let newer = r#"{"version":7,"data":{"what":"ever"}}"#;
        assert_eq!(read::<Orders>(newer), Err(SavedError::OtherVersion(7)));
        let text = write(&demo_shop("2026-01-01").1);
        assert!(matches!(read::<Orders>(&text[..text.len() / 2]), Err(SavedError::Damaged(_))));
        assert!(matches!(read::<Orders>("{}"), Err(SavedError::Damaged(_))));
    }

    #[test]
    fn out_of_range_numbers_are_refused_not_wrapped() {
        let text = write(&demo_shop("2026-01-01").0.settings).replace("\"18\"", "\"99999999999\"");
        assert!(matches!(read::<crate::lists::Settings>(&text), Err(SavedError::Damaged(_))));
    }

    #[test]
    fn the_last_order_stays_and_another_is_open_after_a_removal() {
        let mut orders = demo_shop("2026-01-01").1;
        let first = orders.open.clone();
        assert_eq!(orders.remove(&first), None);
        let second = Order { id: orders.fresh_id(), ..orders.orders[0].clone() };
        orders.begin(second.clone());
        assert_ne!(second.id, first);
        assert!(orders.remove(&second.id).is_some());
        assert_eq!(orders.open, first);
    }
}
