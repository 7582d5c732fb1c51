//! Facts: what happened to an order or to the shelf, written down once and never changed.
//!
//! Owns what can happen, and the set that facts form. A mistake is no fact less but one more,
//! which says that the other does not count. So two sets meet by taking all of both: it does not
//! matter who takes from whom, in which order, or how often. Never says what follows from facts:
//! [`super::life`] and [`super::ledger`] do.

use super::Moment;
use super::goods::Goods;
use crate::lists::id;
use crate::money::{Cents, apportion};
use crate::order::{OrderId, Tag};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

id! {
    /// Names one start of the page on one device: no two of them write at the same time.
    Device
}

/// Names a fact by when it was written and by whom; facts are sorted by it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FactId {
    /// When: later than everything that the device knew of when it wrote it.
    pub at: Moment,
    /// By whom.
    pub by: Device,
}

impl fmt::Display for FactId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.at.0, self.by)
    }
}

impl Serialize for FactId {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for FactId {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let read = || {
            let (at, by) = text.split_once('.')?;
            Some(Self { at: Moment(at.parse().ok()?), by: Device::new(by) })
        };
        read().ok_or_else(|| serde::de::Error::custom("not the name of something that happened"))
    }
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum What {
    /// The customer was told a price.
    Quoted(Promise),
    /// The customer paid.
    Paid(Payment, Cents),
    /// The customer got money back.
    PaidBack(Payment, Cents),
    /// Garments were pressed: what went into them left the shelf.
    Pressed(Box<Made>),
    /// A garment was ruined: what went into it left the shelf and nobody wears it.
    Spoiled(Box<Made>),
    /// The customer has it.
    HandedOver,
    /// It is not wanted any more.
    CalledOff,
    /// The order was removed from the book.
    Removed,
    /// Something was noted about the order.
    Noted {
        /// What is noted.
        field: Field,
        /// The text; empty takes it away.
        to: String,
        /// The notes of the same field that were known and are replaced by it.
        over: Vec<FactId>,
    },
    /// The shelf was counted: of each piece named, so many lay there.
    Counted(Goods),
    /// Goods were ordered from a supplier.
    Bought(Box<Purchase>),
    /// Goods came in.
    Received(Box<Receipt>),
    /// Something else does not count, as if it had not happened.
    Undone(FactId),
}

/// What a customer was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Promise {
    /// What the customer pays.
    #[serde(rename = "t")]
    pub total: Cents,
    /// The tax in it.
    #[serde(rename = "x")]
    pub tax: Cents,
    /// For how many garments.
    #[serde(rename = "n")]
    pub garments: u32,
}

/// How a customer pays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Payment {
    /// Notes and coins.
    Cash,
    /// By card.
    Card,
    /// From account to account.
    Transfer,
    /// Anything else: a voucher, an invoice to the club.
    Other,
}

impl Payment {
    /// Every kind, in the order of a choice.
    pub const ALL: [Self; 4] = [Self::Cash, Self::Card, Self::Transfer, Self::Other];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cash => "cash",
            Self::Card => "card",
            Self::Transfer => "transfer",
            Self::Other => "other",
        }
    }
}

/// Garments of an order that were made.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Made {
    /// Which garments of the order.
    #[serde(rename = "w")]
    pub tag: Tag,
    /// How many of them.
    #[serde(rename = "n")]
    pub count: u32,
    /// What went into all of them.
    #[serde(rename = "g")]
    pub goods: Goods,
    /// What they cost the shop, by the plan of that moment.
    #[serde(rename = "c")]
    pub cost: Cents,
    /// How long the press was meant to take for them, in seconds.
    #[serde(rename = "s")]
    pub seconds: u32,
}

impl Made {
    /// The same for fewer of these garments: what went into each of them, and its part of cost and
    /// time. Never more than there are.
    #[must_use]
    pub fn fewer(&self, count: u32) -> Self {
        let count = count.min(self.count);
        let part = |all: u32| u64::from(all) * u64::from(count) / u64::from(self.count.max(1));
        let part = |all: u32| u32::try_from(part(all)).unwrap_or(all);
        let goods = self.goods.iter().map(|(item, all)| (item.clone(), part(all))).collect();
        let shares = [u64::from(count), u64::from(self.count - count)];
        let cost = apportion(self.cost, &shares).first().copied().unwrap_or_default();
        Self { tag: self.tag.clone(), count, goods, cost, seconds: part(self.seconds) }
    }
}

/// What is noted about an order beside what is on its garments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Field {
    /// Who ordered.
    Person,
    /// When it is promised: "2026-01-31 14:30".
    PickUp,
    /// Anything else.
    Note,
}

impl Field {
    /// Every field, in the order in which they are shown.
    pub const ALL: [Self; 3] = [Self::Person, Self::PickUp, Self::Note];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Person => "person",
            Self::PickUp => "pick-up time",
            Self::Note => "note",
        }
    }
}

/// Goods that were ordered from one supplier.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Purchase {
    /// The supplier, as the list called it.
    pub supplier: String,
    /// What is to come.
    pub goods: Goods,
    /// What it costs, freight included.
    pub cost: Cents,
    /// How much of it is for each order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shares: Vec<(OrderId, Cents)>,
}

/// Goods that came in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Receipt {
    /// The purchase that they are a part of, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<FactId>,
    /// What came.
    pub goods: Goods,
    /// What was paid for it, freight included.
    pub cost: Cents,
}

/// A set of facts, in the order in which they happened.
///
/// ```
/// use lettertally::book::{Moment, fact::{Device, FactId, Facts, What}};
/// let id = |at| FactId { at: Moment(at), by: Device::new("a") };
/// let mut facts = Facts::default();
/// facts.add(id(1), What::HandedOver);
/// facts.add(id(2), What::Undone(id(1)));
/// assert_eq!(facts.counting().count(), 0);
/// facts.add(id(3), What::Undone(id(2)));
/// assert_eq!(facts.counting().next(), Some((&id(1), &What::HandedOver)));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Facts(BTreeMap<FactId, What>);

impl Facts {
    /// Takes a fact in. One that is there already stays; of two that claim one name, every device
    /// takes the same.
    pub fn add(&mut self, id: FactId, what: What) {
        match self.0.get_mut(&id) {
            Some(known) if *known < what => *known = what,
            Some(_) => {}
            None => drop(self.0.insert(id, what)),
        }
    }

    /// Takes in all facts of another set.
    pub fn take_in(&mut self, other: &Self) {
        for (id, what) in &other.0 {
            if self.0.get(id) != Some(what) {
                self.add(id.clone(), what.clone());
            }
        }
    }

    /// Every fact, the oldest first.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&FactId, &What)> {
        self.0.iter()
    }

    /// The facts that count, the oldest first: without those undone and the undoings themselves.
    pub fn counting(&self) -> impl DoubleEndedIterator<Item = (&FactId, &What)> {
        let void = self.void();
        self.0.iter().filter(move |(id, what)| !matches!(what, What::Undone(_)) && !void.contains(id))
    }

    /// The facts that do not count. Only what came before can be undone, so the last word on a
    /// fact is known before it is asked for.
    fn void(&self) -> BTreeSet<&FactId> {
        let mut void = BTreeSet::new();
        for (id, what) in self.0.iter().rev() {
            match what {
                What::Undone(earlier) if earlier < id && !void.contains(id) => void.insert(earlier),
                _ => false,
            };
        }
        void
    }

    /// The names of the facts that another set does not have, the latest first.
    pub fn since(&self, before: &Self) -> Vec<FactId> {
        let new = self.0.keys().rev().filter(|id| !before.0.contains_key(*id));
        new.cloned().collect()
    }

    /// A fact by its name.
    pub fn get(&self, id: &FactId) -> Option<&What> {
        self.0.get(id)
    }

    /// When the latest was written; the beginning of time without any.
    pub fn latest(&self) -> Moment {
        self.0.last_key_value().map(|(id, _)| id.at).unwrap_or_default()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<(FactId, What)> for Facts {
    fn from_iter<I: IntoIterator<Item = (FactId, What)>>(pairs: I) -> Self {
        let mut facts = Self::default();
        pairs.into_iter().for_each(|(id, what)| facts.add(id, what));
        facts
    }
}
