//! Names as they come at a booth: a built-in sample of surnames, or the shop's own past orders.
//!
//! The sample stands for the surnames of the United States census of 2010 (public domain, every
//! name of at least 100 people): length, and how often a name has a letter once, twice or more,
//! come in it as in the whole table. `tools/names/sample.py` makes it. A town, a team and a family
//! share names, and real rosters have marks and accents: a shop's own orders are the better guess
//! once there are enough of them.

use crate::book::Book;
use crate::lists::Lists;

const SAMPLE: &str = include_str!("names.txt");

/// The built-in sample. A name stands in it as often as it comes.
///
/// ```
/// use lettertally::event::names::sample;
/// assert_eq!(sample().len(), 1_500);
/// ```
pub fn sample() -> Vec<String> {
    let of_line = |line: &'static str| {
        let (length, names) = line.split_once(' ').unwrap_or(("1", ""));
        let length = length.parse::<usize>().unwrap_or(1).max(1);
        names.as_bytes().chunks(length).map(|name| String::from_utf8_lossy(name).into_owned())
    };
    SAMPLE.lines().flat_map(of_line).collect()
}

/// Every number from 1 to 99 once.
pub fn numbers() -> Vec<String> {
    (1..=99).map(|number: u8| number.to_string()).collect()
}

/// Names, numbers and sizes of everything in the book, each as often as it was ordered.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Past {
    /// The names.
    pub names: Vec<String>,
    /// The numbers.
    pub numbers: Vec<String>,
    /// The sizes.
    pub sizes: Vec<String>,
}

impl Past {
    /// Reads the book's rosters and sizes.
    pub fn of(book: &Book, lists: &Lists) -> Self {
        let mut past = Self::default();
        for entry in book.entries() {
            for group in entry.order.read(lists).iter().flat_map(|reading| &reading.groups) {
                for _ in 0..group.count.min(1_000) {
                    past.sizes.push(group.size.clone());
                    past.names.extend(Some(group.name().to_owned()).filter(|name| !name.is_empty()));
                    past.numbers.extend(Some(group.number().to_owned()).filter(|number| !number.is_empty()));
                }
            }
        }
        past
    }
}
