//! What became of an order: its state in plain words, what was paid, what is pressed.
//!
//! Owns how all of it follows from the facts. Nothing of it is kept.

use super::Entry;
use super::fact::{FactId, Field, Made, Payment, Promise, What};
use crate::money::Cents;
use crate::order::Tag;
use std::collections::{BTreeMap, BTreeSet};

/// How far an order has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Nothing was said to the customer yet.
    Begun,
    /// The customer was told a price.
    Quoted,
    /// The customer paid all of it.
    Paid,
    /// All of its garments are pressed.
    Pressed,
    /// The customer has them.
    HandedOver,
    /// It is not wanted any more.
    CalledOff,
    /// It is no longer in the book.
    Removed,
}

impl Stage {
    /// Every stage, in the order of a choice.
    pub const ALL: [Self; 7] = [
        Self::Begun,
        Self::Quoted,
        Self::Paid,
        Self::Pressed,
        Self::HandedOver,
        Self::CalledOff,
        Self::Removed,
    ];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Begun => "begun",
            Self::Quoted => "quoted",
            Self::Paid => "paid",
            Self::Pressed => "pressed",
            Self::HandedOver => "handed over",
            Self::CalledOff => "called off",
            Self::Removed => "removed",
        }
    }

    /// Whether nothing more is to be done.
    pub fn is_over(self) -> bool {
        matches!(self, Self::HandedOver | Self::CalledOff | Self::Removed)
    }
}

/// What follows from the facts about an order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Life {
    /// What the customer was told last.
    pub promise: Option<Promise>,
    /// What was paid less what was paid back, by kind.
    pub paid: BTreeMap<Payment, Cents>,
    /// How many garments are pressed of those that are alike.
    pub pressed: BTreeMap<Tag, u32>,
    /// How many garments were ruined.
    pub spoiled: u32,
    /// What is noted, field by field.
    pub notes: BTreeMap<Field, Noted>,
    handed_over: bool,
    called_off: bool,
    removed: bool,
    quoted: bool,
}

/// What is noted in one field.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Noted {
    /// The text that stands: the one written last.
    pub text: String,
    /// Texts that other devices wrote without knowing of that one.
    pub rivals: Vec<String>,
    /// The facts that a new text replaces.
    pub over: Vec<FactId>,
}

impl Life {
    /// What became of an order.
    ///
    /// ```
    /// use lettertally::book::{Book, Moment, fact::{Payment, Promise, What}, life::{Life, Stage}};
    /// use lettertally::{lists::demo, money::Cents};
    /// let mut book = Book::only(demo::order("2026-01-01"), Moment(1));
    /// let id = book.open().clone();
    /// let total = Cents::new(2_500);
    /// book.note(&id, What::Quoted(Promise { total, tax: Cents::ZERO, garments: 1 }), Moment(2));
    /// assert_eq!(Life::of(book.current()).stage(), Stage::Quoted);
    /// let paid = book.note(&id, What::Paid(Payment::Cash, total), Moment(3)).unwrap();
    /// assert_eq!(Life::of(book.current()).stage(), Stage::Paid);
    /// book.note(&id, What::Undone(paid), Moment(4));
    /// assert_eq!(Life::of(book.current()).stage(), Stage::Quoted);
    /// ```
    pub fn of(entry: &Entry) -> Self {
        let mut life = Self { quoted: entry.handed.is_some(), ..Self::default() };
        let mut notes = BTreeMap::<Field, BTreeMap<&FactId, &str>>::new();
        let mut replaced = BTreeSet::new();
        for (id, what) in entry.facts.counting() {
            match what {
                What::Quoted(promise) => {
                    life.promise = Some(*promise);
                    life.quoted = true;
                }
                What::Paid(kind, amount) => *life.paid.entry(*kind).or_default() += *amount,
                What::PaidBack(kind, amount) => {
                    let slot = life.paid.entry(*kind).or_default();
                    *slot = *slot - *amount;
                }
                What::Pressed(made) => {
                    *life.pressed.entry(made.tag.clone()).or_default() += made.count;
                }
                What::Spoiled(made) => life.spoiled += made.count,
                What::HandedOver => life.handed_over = true,
                What::CalledOff => life.called_off = true,
                What::Removed => life.removed = true,
                What::Noted { field, to, over } => {
                    notes.entry(*field).or_default().insert(id, to);
                    replaced.extend(over);
                }
                What::Counted(_) | What::Bought(_) | What::Received(_) | What::Undone(_) => {}
            }
        }
        for (field, mut texts) in notes {
            texts.retain(|id, _| !replaced.contains(id));
            let over = texts.keys().map(|id| (*id).clone()).collect();
            let mut texts: Vec<&str> = texts.into_values().collect();
            let Some(last) = texts.pop() else { continue };
            let rivals = texts.into_iter().filter(|text| *text != last).map(str::to_owned).collect();
            life.notes.insert(field, Noted { text: last.to_owned(), rivals, over });
        }
        life
    }

    /// How far it has come.
    pub fn stage(&self) -> Stage {
        if self.removed {
            Stage::Removed
        } else if self.called_off {
            Stage::CalledOff
        } else if self.handed_over {
            Stage::HandedOver
        } else if self.is_pressed() {
            Stage::Pressed
        } else if self.is_paid() {
            Stage::Paid
        } else if self.quoted {
            Stage::Quoted
        } else {
            Stage::Begun
        }
    }

    /// The garments pressed.
    pub fn garments_pressed(&self) -> u32 {
        self.pressed.values().sum()
    }

    /// Whether all garments that the customer was promised are pressed.
    pub fn is_pressed(&self) -> bool {
        self.promise.is_some_and(|promise| self.garments_pressed() >= promise.garments.max(1))
    }

    /// What was paid in all.
    pub fn paid_in_all(&self) -> Cents {
        self.paid.values().copied().sum()
    }

    /// What is still to be paid; `None` as long as no price was told. Below nothing where too much
    /// was paid.
    pub fn to_pay(&self) -> Option<Cents> {
        self.promise.map(|promise| promise.total - self.paid_in_all())
    }

    /// Whether all of it is paid.
    pub fn is_paid(&self) -> bool {
        self.to_pay().is_some_and(|rest| rest <= Cents::ZERO)
    }

    /// The text of a field; empty where nothing is noted.
    pub fn note(&self, field: Field) -> &str {
        self.notes.get(&field).map_or("", |noted| &noted.text)
    }

    /// The fact by which another text comes into a field.
    pub fn noting(&self, field: Field, to: &str) -> What {
        let over = self.notes.get(&field).map(|noted| noted.over.clone()).unwrap_or_default();
        What::Noted { field, to: to.trim().to_owned(), over }
    }

    /// Whether several devices wrote different things in one field.
    pub fn has_rival_notes(&self) -> bool {
        self.notes.values().any(|noted| !noted.rivals.is_empty())
    }
}

/// One thing that happened, for a person to read and to undo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Its name.
    pub id: FactId,
    /// What happened.
    pub what: What,
}

/// What happened to an order and counts, the latest first.
pub fn events(entry: &Entry) -> Vec<Event> {
    let counting = entry.facts.counting().rev();
    counting.map(|(id, what)| Event { id: id.clone(), what: what.clone() }).collect()
}

/// Everything that was made of an order and not undone.
pub fn made(entry: &Entry) -> Vec<(FactId, Made)> {
    let made = entry.facts.counting().filter_map(|(id, what)| match what {
        What::Pressed(made) | What::Spoiled(made) => Some((id.clone(), Made::clone(made))),
        _ => None,
    });
    made.collect()
}
