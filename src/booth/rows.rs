//! The order book as a list: what a search finds in it, in which order it stands.
//!
//! Owns the words by which an order is found. A row is worked out once for each order as it is, so
//! that a keystroke in the search only compares texts.

use crate::book::fact::Field;
use crate::book::life::{Life, Stage};
use crate::book::{Book, Entry, Moment};
use crate::order::OrderId;
use std::collections::BTreeMap;
use std::sync::Arc;

/// An order as it stands in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The order.
    pub entry: Arc<Entry>,
    /// What became of it.
    pub life: Life,
    /// How far it has come.
    pub stage: Stage,
    /// Everything it is found by, in small letters.
    words: String,
}

impl Row {
    fn new(entry: &Arc<Entry>) -> Self {
        let life = Life::of(entry);
        let mut words = entry.order.called().to_lowercase();
        let notes = Field::ALL.into_iter().map(|field| life.note(field));
        let designs = &entry.order.designs;
        let texts = designs.iter().flat_map(|design| {
            design.lines.iter().map(|line| line.text.as_str()).chain([design.roster.as_str()])
        });
        for text in notes.chain(texts).chain([entry.order.date.as_str()]) {
            words.push('\n');
            words.push_str(&text.to_lowercase());
        }
        Self { entry: entry.clone(), stage: life.stage(), life, words }
    }

    /// Whether every word of a query is somewhere in it.
    pub fn matches(&self, query: &str) -> bool {
        query.to_lowercase().split_whitespace().all(|word| self.words.contains(word))
    }
}

/// The rows of a book, the newest order first, removed ones last; those of orders that are as they were are taken
/// over from before.
pub fn rows(book: &Book, before: &[Arc<Row>]) -> Vec<Arc<Row>> {
    let known: BTreeMap<&OrderId, &Arc<Row>> = before.iter().map(|row| (&row.entry.order.id, row)).collect();
    let row = |entry: &Arc<Entry>| match known.get(&entry.order.id) {
        Some(row) if Arc::ptr_eq(&row.entry, entry) => (*row).clone(),
        _ => Arc::new(Row::new(entry)),
    };
    book.all().map(row).collect()
}

/// Which orders are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shown {
    /// Those with something left to do.
    #[default]
    Open,
    /// All of them.
    All,
    /// Those at one stage.
    At(Stage),
    /// Those not paid in full that were told a price.
    Unpaid,
    /// Those that several devices changed at once.
    Disputed,
}

impl Shown {
    /// Every choice with its words.
    pub fn all() -> Vec<(Self, &'static str)> {
        let stages = Stage::ALL.into_iter().map(|stage| (Self::At(stage), stage.words()));
        let first = [(Self::Open, "open"), (Self::All, "all")];
        let last = [(Self::Unpaid, "not paid in full"), (Self::Disputed, "changed on two phones")];
        first.into_iter().chain(stages).chain(last).collect()
    }

    fn holds(self, row: &Row) -> bool {
        match self {
            Self::Open => !row.stage.is_over(),
            Self::All => row.stage != Stage::Removed,
            Self::At(stage) => row.stage == stage,
            Self::Unpaid => {
                !matches!(row.stage, Stage::CalledOff | Stage::Removed)
                    && row.life.promise.is_some()
                    && !row.life.is_paid()
            }
            Self::Disputed if row.stage == Stage::Removed => false,
            Self::Disputed => !row.entry.rivals.is_empty() || row.life.has_rival_notes(),
        }
    }
}

/// In which order they are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sort {
    /// The newest first.
    #[default]
    Newest,
    /// Those promised first come first, those without a time last.
    PickUp,
    /// By the person's name.
    Person,
    /// Those least far come first.
    Stage,
}

impl Sort {
    /// Every choice with its words.
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::Newest, "newest first"),
        (Self::PickUp, "pick-up time"),
        (Self::Person, "person"),
        (Self::Stage, "state"),
    ];
}

/// The rows that a query finds, sorted.
pub fn found(rows: &[Arc<Row>], query: &str, shown: Shown, sort: Sort) -> Vec<Arc<Row>> {
    let mut found: Vec<Arc<Row>> =
        rows.iter().filter(|row| shown.holds(row) && row.matches(query)).cloned().collect();
    match sort {
        Sort::Newest => {}
        Sort::PickUp => found.sort_by_key(|row| {
            let time = row.life.note(Field::PickUp).to_owned();
            (time.is_empty(), time)
        }),
        Sort::Person => found.sort_by_key(|row| {
            let person = row.life.note(Field::Person).to_lowercase();
            (person.is_empty(), person)
        }),
        Sort::Stage => found.sort_by_key(|row| row.stage),
    }
    found
}

/// The orders that can be put away in a file: nothing is left to do, and nothing happened to them
/// since a moment.
pub fn to_put_away(rows: &[Arc<Row>], before: Moment) -> Vec<OrderId> {
    let old =
        |row: &&Arc<Row>| row.stage.is_over() && row.entry.changed.max(row.entry.facts.latest()) < before;
    rows.iter().filter(old).map(|row| row.entry.order.id.clone()).collect()
}
