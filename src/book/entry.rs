//! One order in the book, and how two books' versions of it become one.
//!
//! Owns what is kept of an order beside what was asked for. What happened to it are facts, which
//! add up. What was asked for can be changed on two devices at once: then the one changed last
//! stands, the other is kept beside it until a person chooses, and none is lost. Every version
//! knows which changes went into it, so a change made in full view of another takes its place.

use super::Moment;
use super::fact::{Device, FactId, Facts, What};
use crate::order::Order;
use crate::quote::Quote;
use crate::share::{self, Link};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// An order in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// What was asked for.
    pub order: Order,
    /// When it was begun; the book is sorted by it.
    pub begun: Moment,
    /// When it was last changed on any device.
    pub changed: Moment,
    /// The quote that the customer holds, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handed: Option<Handed>,
    /// The quotes that were handed over before that one, the latest last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier: Vec<Handed>,
    /// Which changes of what was asked for went into it.
    #[serde(default, skip_serializing_if = "Mark::is_none")]
    pub mark: Mark,
    /// Versions that other devices made meanwhile, until a person chooses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rivals: Vec<Rival>,
    /// What happened to it.
    #[serde(default, skip_serializing_if = "Facts::is_empty")]
    pub facts: Facts,
}

/// How many earlier quotes of an order are kept.
const MOST_EARLIER: usize = 8;

/// Which changes went into a version of an order: per device, all up to this number.
///
/// A change made before devices had names goes by the moment of it, under the empty name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// The change that made it what it is.
    pub last: Option<(Device, u64)>,
    /// All changes known to it.
    pub known: BTreeMap<Device, u64>,
}

impl Mark {
    /// Whether no device with a name ever changed it.
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

/// A version of an order that another device made.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rival {
    /// When it was changed.
    pub changed: Moment,
    /// The change that made it.
    pub last: (Device, u64),
    /// What was asked for, the quote handed over and those before it.
    pub content: Box<Content>,
}

/// The part of an order that is changed as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Content {
    /// What was asked for.
    pub order: Order,
    /// The quote that the customer holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handed: Option<Handed>,
    /// The quotes before that one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier: Vec<Handed>,
}

impl Content {
    fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// By what is in them, so that every device sorts alike.
impl Ord for Content {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        if self == other { std::cmp::Ordering::Equal } else { self.text().cmp(&other.text()) }
    }
}

impl PartialOrd for Content {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// A quote as it was handed over: its prices stand, whatever the lists say later.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handed {
    /// The day, as year-month-day.
    pub on: String,
    /// What stands in its link after the `#`.
    pub link: String,
    /// The day on which the customer's yes to it came, if it did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accepted: Option<String>,
}

impl Handed {
    /// A quote handed over on a day.
    pub fn new(quote: &Quote, on: &str) -> Self {
        Self { on: on.to_owned(), link: share::quote_fragment(quote), accepted: None }
    }

    /// The quote itself; `None` where its link cannot be read any more.
    pub fn quote(&self) -> Option<Quote> {
        match share::read(&self.link) {
            Ok(Some(Link::Quote(quote))) => Some(*quote),
            Ok(_) | Err(_) => None,
        }
    }
}

impl Entry {
    /// A new order.
    pub fn new(order: Order, now: Moment) -> Self {
        Self {
            order,
            begun: now,
            changed: now,
            handed: None,
            earlier: Vec::new(),
            mark: Mark::default(),
            rivals: Vec::new(),
            facts: Facts::default(),
        }
    }

    /// Whether it was removed from the book.
    pub fn is_removed(&self) -> bool {
        self.happened(|what| *what == What::Removed)
    }

    /// What removed it from the book and counts.
    pub(super) fn removals(&self) -> Vec<FactId> {
        let removals = self.facts.counting().filter(|(_, what)| **what == What::Removed);
        removals.map(|(id, _)| id.clone()).collect()
    }

    /// Whether nothing is left to do for it: handed over, called off or removed. What [`super::life`]
    /// says as well, without the rest of it.
    pub fn is_over(&self) -> bool {
        self.happened(|what| matches!(what, What::HandedOver | What::CalledOff | What::Removed))
    }

    /// Whether something happened and counts. Most orders are asked in vain: then nothing is built.
    fn happened(&self, is_it: impl Fn(&What) -> bool) -> bool {
        self.facts.iter().any(|(_, what)| is_it(what)) && self.facts.counting().any(|(_, what)| is_it(what))
    }

    /// Whether the same is asked for in both, and the same quotes were handed over.
    pub(super) fn asks_the_same(&self, other: &Self) -> bool {
        (&self.order, &self.handed, &self.earlier) == (&other.order, &other.handed, &other.earlier)
    }

    /// Asks for what another asks for; whatever happened to it stays.
    pub(super) fn ask_as(&mut self, other: &Self) {
        (self.order, self.handed, self.earlier) =
            (other.order.clone(), other.handed.clone(), other.earlier.clone());
    }

    /// The quotes handed over for it, the latest first.
    pub fn quotes(&self) -> impl Iterator<Item = (&Handed, Quote)> {
        let all = self.handed.iter().chain(self.earlier.iter().rev());
        all.filter_map(|handed| Some((handed, handed.quote()?)))
    }

    /// Takes another quote for the one that the customer holds, and keeps that one.
    pub(super) fn hand_over(&mut self, handed: Handed) {
        if let Some(before) = self.handed.replace(handed)
            && self.handed.as_ref().is_some_and(|handed| handed.link != before.link)
        {
            self.earlier.push(before);
            let surplus = self.earlier.len().saturating_sub(MOST_EARLIER);
            self.earlier.drain(..surplus);
        }
    }

    /// Notes that it was changed.
    pub(super) fn changed_by(&mut self, by: &Device, now: Moment) {
        let known = self.known();
        // A device whose clock was put back still counts its own change as the later one.
        self.changed = now.max(Moment(self.changed.0.saturating_add(1)));
        if by.as_str().is_empty() && self.mark.is_none() {
            return;
        }
        self.mark.known = known;
        let number = self.mark.known.get(by).map_or(1, |last| last.saturating_add(1));
        self.mark.known.insert(by.clone(), number);
        self.mark.last = Some((by.clone(), number));
    }

    /// Takes one of the rivals, or with none of them what stands, for the only version.
    pub(super) fn choose(&mut self, rival: Option<usize>, by: &Device, now: Moment) {
        let mut rivals = std::mem::take(&mut self.rivals);
        if let Some(at) = rival.filter(|&at| at < rivals.len()) {
            let Content { order, handed, earlier } = *rivals.swap_remove(at).content;
            (self.order, self.handed, self.earlier) = (order, handed, earlier);
        }
        self.changed_by(by, now);
    }

    /// Both versions of an order as one: all facts, and of what was asked for every version that
    /// was not made in full view of another, the one changed last in front.
    ///
    /// The same whichever is asked, whatever was taken in before, and however often.
    #[must_use]
    pub fn merged(&self, other: &Self) -> Self {
        let (ours, theirs) = (self.versions(), other.versions());
        let (known_here, known_there) = (self.known(), other.known());
        let covers = |known: &BTreeMap<Device, u64>, last: &(Device, u64)| {
            known.get(&last.0).is_some_and(|&number| last.1 <= number)
        };
        let mut live: BTreeMap<(Device, u64), Rival> = BTreeMap::new();
        for (version, others, known) in ours
            .iter()
            .map(|version| (version, &theirs, &known_there))
            .chain(theirs.iter().map(|version| (version, &ours, &known_here)))
        {
            let is_there = others.iter().any(|other| other.last == version.last);
            if is_there || !covers(known, &version.last) {
                let slot = live.entry(version.last.clone()).or_insert_with(|| version.clone());
                if *slot < *version {
                    *slot = version.clone();
                }
            }
        }
        let mut versions: Vec<Rival> = live.into_values().collect();
        versions.sort();
        let mut known = known_here;
        for (device, number) in known_there {
            let slot = known.entry(device).or_default();
            *slot = number.max(*slot);
        }
        // There is always one: of two that each know the other's, both have both.
        let Some(front) = versions.pop() else {
            return self.clone();
        };
        let mut facts = self.facts.clone();
        facts.take_in(&other.facts);
        let Content { order, handed, earlier } = *front.content;
        let is_plain = known.keys().all(|device| device.as_str().is_empty());
        let mark = if is_plain { Mark::default() } else { Mark { last: Some(front.last), known } };
        let begun = self.begun.min(other.begun);
        Self { order, begun, changed: front.changed, handed, earlier, mark, rivals: versions, facts }
    }

    fn versions(&self) -> Vec<Rival> {
        let content =
            Content { order: self.order.clone(), handed: self.handed.clone(), earlier: self.earlier.clone() };
        let last = self.mark.last.clone().unwrap_or_else(|| (Device::default(), self.changed.0));
        let mut versions = self.rivals.clone();
        versions.push(Rival { changed: self.changed, last, content: Box::new(content) });
        versions
    }

    fn known(&self) -> BTreeMap<Device, u64> {
        if self.mark.is_none() {
            return BTreeMap::from([(Device::default(), self.changed.0)]);
        }
        self.mark.known.clone()
    }
}
