//! Price lists as files: CSV for offers, JSON for everything that a price list holds.
//!
//! Owns how a file is read, compared with the lists at hand and taken over, and how the lists are
//! written. Changes nothing until told to, and never guesses: what can be read in two ways is
//! asked, what cannot be read is named by its row.

pub mod compare;
pub mod csv_in;
pub mod csv_out;
pub mod figures;
pub mod formula;
pub mod headings;
pub mod json;
mod json_in;
pub mod marks;
pub mod newcomers;
mod pairing;
pub mod table;

use crate::lists::names::NameError;
use crate::lists::rows::{CellFault, Column};
use crate::lists::{Lists, Offer, SupplierId};
use crate::money::Currency;
use crate::number::{NumberError, shortened};
use figures::{FigureError, Question, Sign};
use marks::ForeignMark;
use std::collections::BTreeSet;
use std::fmt;
use table::TableError;

/// The row of headings is among so many first rows.
pub const HEADINGS_WITHIN: usize = 20;
/// So many bad rows are named; a file with more is no price list.
pub const MOST_FAULTS: usize = 500;
/// So many suppliers, finishes, colours and styles a file may bring along.
pub const MOST_NEWCOMERS: usize = 500;

/// What a file says, in terms of the shop's lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// What one entry of it is called: "row", "offer".
    pub entry: &'static str,
    /// The shop's lists with the suppliers, finishes, colours and styles that the file adds or
    /// changes; the offers are those at hand.
    pub lists: Lists,
    /// Whether what the file adds stands in it in its own right, and not only in its offers.
    pub is_whole: bool,
    /// The offers of the file, in its order.
    pub offers: Vec<FileOffer>,
    /// The suppliers that occur in the file.
    pub suppliers: BTreeSet<SupplierId>,
    /// The columns that the file does not have: what the shop has there stays.
    pub absent: Vec<Column>,
    /// Entries that cannot be read.
    pub faults: Vec<Fault>,
    /// What a person should know about how the file was read.
    pub notes: Vec<Note>,
}

/// An offer of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileOffer {
    /// The row, from 1.
    pub row: u64,
    /// Whether the file gives it an id.
    pub has_id: bool,
    /// The offer.
    pub offer: Offer,
}

/// What comes of reading a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// It can be read once this is answered.
    Ask(Question),
    /// It was read.
    Read(Box<Reading>),
}

/// An entry that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Its number, from 1: as a spreadsheet counts rows.
    pub row: u64,
    /// What is wrong with it.
    pub why: Why,
}

/// What is wrong with an entry of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// A quotation mark is opened and never closed.
    OpenQuote,
    /// More cells than there are headings.
    MoreCells(usize),
    /// A cell longer than [`table::LONGEST_CELL`].
    LongCell,
    /// A figure that cannot be read.
    Figure(Column, FigureError),
    /// A sum of money in another currency.
    Foreign(ForeignMark),
    /// Cells that the price list does not take.
    Cells(Vec<CellFault>),
    /// A name that cannot be anybody's or anything's.
    BadName(String),
    /// A reference that leads nowhere.
    Reference(NameError),
    /// An amount in a file of the other kind.
    Amount(String, NumberError),
    /// Quantity breaks that do not grow.
    Steps,
    /// What belongs to another way of selling, or is missing for this one.
    Way,
    /// The id of an earlier entry.
    SameId {
        /// The id.
        id: String,
        /// The earlier entry.
        row: u64,
    },
    /// The same letters as another entry, which says something else about them.
    SameLetters {
        /// The other entry.
        row: u64,
    },
    /// The shop has several offers of these letters, and nothing says which is meant.
    SeveralAtHand(usize),
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenQuote => {
                write!(
                    f,
                    "a quotation mark is opened and never closed, so that nothing after it can be read: close it, or take it out"
                )
            }
            Self::MoreCells(columns) => write!(
                f,
                "more than {columns} cells: put quotation marks around a cell with a separator in it"
            ),
            Self::LongCell => write!(f, "a cell of more than {} characters: shorten it", table::LONGEST_CELL),
            Self::Figure(column, error) => write!(f, "{}: {error}", column.heading()),
            Self::Foreign(mark) => mark.fmt(f),
            Self::Cells(faults) => {
                let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
                f.write_str(&words.join("; "))
            }
            Self::BadName(name) => {
                write!(
                    f,
                    "“{}” cannot be a new name: that has a letter in it, 80 characters at most, and one line",
                    shortened(name)
                )
            }
            Self::Reference(error) => error.fmt(f),
            Self::Amount(text, error) => write!(f, "“{}”: {error}", shortened(text)),
            Self::Steps => write!(f, "its steps must begin at 2 units or more and grow"),
            Self::Way => write!(
                f,
                "a piece has letters, a pack letters and letters_per_unit, a set contents, and nothing of the others"
            ),
            Self::SameId { id, row } => {
                write!(f, "the id “{}” is number {row}'s already: give each its own, or none", shortened(id))
            }
            Self::SameLetters { row } => {
                write!(f, "the same letters as number {row}: take one out, or give each an id of its own")
            }
            Self::SeveralAtHand(count) => write!(
                f,
                "the shop has {count} offers of these letters: give the id of the one that is meant"
            ),
        }
    }
}

/// What a person should know about how a file was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// The text is in no encoding that names itself.
    OldEncoding,
    /// Rows before the headings are not used.
    Preamble(u64),
    /// The headings stand again in these rows.
    HeadingsAgain(Vec<u64>),
    /// Columns that are not used.
    NotUsed(Vec<String>),
    /// Columns that are not there: what the shop has there stays; new offers have nothing there.
    NotThere(Vec<Column>),
    /// There is no column of suppliers, and the shop has one only.
    OneSupplier(String),
    /// The sign that a person said stands before decimals.
    Answered(Sign),
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OldEncoding => {
                write!(f, "The file is not in UTF-8 and was read as Windows-1252: check names with accents.")
            }
            Self::Preamble(1) => write!(f, "Row 1, before the headings, is not used."),
            Self::Preamble(rows) => write!(f, "Rows 1 to {rows}, before the headings, are not used."),
            Self::HeadingsAgain(rows) => write!(f, "The headings stand again in row {}.", numbers(rows)),
            Self::NotUsed(names) => {
                let names: Vec<String> = names.iter().map(|name| format!("“{}”", shortened(name))).collect();
                write!(f, "Not used: {}.", names.join(", "))
            }
            Self::NotThere(columns) => {
                let names: Vec<&str> = columns.iter().map(|column| column.heading()).collect();
                write!(
                    f,
                    "Not in the file: {}. Your offers keep what they have there; new ones have nothing.",
                    names.join(", ")
                )
            }
            Self::OneSupplier(name) => {
                write!(f, "The file names no supplier: all of it is taken for {name}'s.")
            }
            Self::Answered(Sign::Point) => write!(f, "Read with a decimal point, as you said."),
            Self::Answered(Sign::Comma) => write!(f, "Read with a decimal comma, as you said."),
        }
    }
}

/// Numbers in a row, neighbours drawn together: "2, 5 to 9".
///
/// ```
/// assert_eq!(lettertally::exchange::numbers(&[2, 5, 6, 7, 9]), "2, 5 to 7, 9");
/// ```
pub fn numbers(rows: &[u64]) -> String {
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for &row in rows {
        match runs.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(row) => *last = row,
            _ => runs.push((row, row)),
        }
    }
    let words = |&(first, last): &(u64, u64)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    };
    runs.iter().map(words).collect::<Vec<_>>().join(", ")
}

/// Why a file cannot be read at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// It is no table.
    Table(TableError),
    /// No row of headings among the first.
    NoHeadings,
    /// Columns without which an offer is nothing; the headings that were not understood.
    Missing(Vec<Column>, Vec<String>),
    /// Two columns of one meaning.
    Twice(String),
    /// All sums of money are in another currency.
    Currency(ForeignMark),
    /// More bad rows than are worth naming; the first.
    TooManyFaults(Box<Fault>),
    /// More new names than a price list brings along.
    TooManyNames,
    /// No JSON, or not of the documented form: where and what.
    NotTheForm(String),
    /// A version that is not known here.
    OtherVersion(u64),
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Table(error) => write!(f, "This cannot be read: {error}."),
            Self::NoHeadings => write!(
                f,
                "None of the first {HEADINGS_WITHIN} rows has the headings of a price list. Save your own list as CSV to see them."
            ),
            Self::Missing(columns, unknown) => {
                let names: Vec<&str> = columns.iter().map(|column| column.heading()).collect();
                write!(f, "These columns are missing: {}.", names.join(", "))?;
                if !unknown.is_empty() {
                    let names: Vec<String> =
                        unknown.iter().map(|name| format!("“{}”", shortened(name))).collect();
                    write!(f, " Not understood: {}.", names.join(", "))?;
                }
                Ok(())
            }
            Self::Twice(heading) => {
                write!(f, "Two columns are headed “{}”: take one out.", shortened(heading))
            }
            Self::Currency(mark) => write!(f, "The file's prices: {mark}."),
            Self::TooManyFaults(first) => write!(
                f,
                "More than {MOST_FAULTS} rows cannot be read. The first is {}: {}.",
                first.row, first.why
            ),
            Self::TooManyNames => write!(
                f,
                "The file names more than {MOST_NEWCOMERS} suppliers, finishes, colours and styles that the shop does not have: it is not a price list for this shop."
            ),
            Self::NotTheForm(why) => write!(f, "This is not a price list as JSON: {why}."),
            Self::OtherVersion(version) => {
                write!(f, "This price list is of version {version}, which this page cannot read.")
            }
        }
    }
}

impl std::error::Error for FileError {}

impl From<TableError> for FileError {
    fn from(error: TableError) -> Self {
        Self::Table(error)
    }
}

/// Reads a price list from a file, JSON or CSV, by what it begins with. `sign` is the answer to
/// the question that an earlier reading put.
///
/// # Errors
/// Says why nothing of the file can be read.
///
/// ```
/// use lettertally::exchange::{self, Outcome};
/// use lettertally::lists::demo;
/// use lettertally::money::Currency;
/// let file = "supplier;finish;height;sold as;price\nQuillfeather Letters;smooth film;3;piece;0,75";
/// let Ok(Outcome::Read(reading)) = exchange::read(file.as_bytes(), &demo::lists(), &Currency::usd(), None) else {
///     panic!("not read");
/// };
/// assert_eq!(reading.offers[0].offer.price.minor(), 75);
/// ```
pub fn read(
    bytes: &[u8],
    lists: &Lists,
    currency: &Currency,
    sign: Option<Sign>,
) -> Result<Outcome, FileError> {
    let (text, encoding) = table::decode(bytes)?;
    if text.trim_start().starts_with('{') {
        return json_in::read(&text, lists, currency).map(|reading| Outcome::Read(Box::new(reading)));
    }
    csv_in::read(&text, encoding, lists, currency, sign)
}
