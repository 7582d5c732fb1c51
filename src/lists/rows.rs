//! Offers as rows of text cells: what the grid shows, what is pasted, what a table file holds.
//!
//! Owns how each cell of an offer is written and read. What is written reads back to the same
//! offer; what cannot be read changes nothing and says what to write instead.

use super::finish_change::refinish;
use super::names::{NameError, Names, Thing};
use super::steps::{self, StepsError};
use super::{ColourId, CountOver, FinishId, Lists, Offer, OfferId, StyleId, SupplierId, Way};
use crate::glyph::{CountsError, GlyphCounts, GlyphSet};
use crate::length::{Length, Units};
use crate::money::{Cents, Currency};
use crate::number::{self, NumberError, shortened};
use std::fmt;

/// The tallest letters that a list may have.
const TALLEST_INCHES: u16 = 24;
/// The most letters in a pack.
const LARGEST_PACK: u32 = 10_000;
/// The most units that a supplier may be said to have.
const MOST_UNITS: u32 = 1_000_000;

/// A column of the price list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Column {
    /// Who sells it.
    Supplier,
    /// What the letters are made of.
    Finish,
    /// Their cap height, in inches unless it says otherwise.
    Height,
    /// The colours it comes in.
    Colours,
    /// The letter styles it comes in.
    Styles,
    /// Piece, pack or set.
    Way,
    /// How many letters one unit holds.
    Each,
    /// The letters to choose from, or what a set holds.
    Letters,
    /// The price of one unit.
    Price,
    /// Lower prices from so many units on.
    Breaks,
    /// What counts together towards them.
    CountOver,
    /// The most units of one family that the supplier has.
    AtMost,
}

impl Column {
    /// Every column, in the order of the grid and of a table file.
    pub const ALL: [Self; 12] = [
        Self::Supplier,
        Self::Finish,
        Self::Height,
        Self::Colours,
        Self::Styles,
        Self::Way,
        Self::Each,
        Self::Letters,
        Self::Price,
        Self::Breaks,
        Self::CountOver,
        Self::AtMost,
    ];

    /// Every column, each after those that its meaning hangs on: a colour belongs to a finish, and
    /// what a unit holds is read by the way it is sold.
    const BY_MEANING: [Self; 12] = [
        Self::Supplier,
        Self::Finish,
        Self::Height,
        Self::Colours,
        Self::Styles,
        Self::Way,
        Self::Letters,
        Self::Each,
        Self::Price,
        Self::Breaks,
        Self::CountOver,
        Self::AtMost,
    ];

    /// The words at its head.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Supplier => "supplier",
            Self::Finish => "finish",
            Self::Height => "height",
            Self::Colours => "colours",
            Self::Styles => "letter styles",
            Self::Way => "sold as",
            Self::Each => "letters per unit",
            Self::Letters => "letters or contents",
            Self::Price => "price",
            Self::Breaks => "quantity breaks",
            Self::CountOver => "breaks count",
            Self::AtMost => "at most",
        }
    }

    /// The column with this heading, in small or large letters.
    ///
    /// ```
    /// use lettertally::lists::rows::Column;
    /// assert_eq!(Column::with_heading(" Sold as "), Some(Column::Way));
    /// assert_eq!(Column::with_heading("weather"), None);
    /// ```
    pub fn with_heading(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        Self::ALL.into_iter().find(|column| column.heading() == text)
    }

    /// One sentence on what to write in it.
    pub fn help(self) -> &'static str {
        match self {
            Self::Supplier | Self::Finish => "A name from the shop's lists.",
            Self::Height => "In inches, such as 2.5, or 60mm.",
            Self::Colours => "Names from the finish, such as white, navy, or all.",
            Self::Styles => "Names from the shop's lists, such as block, script, or all.",
            Self::Way => "piece, pack or set.",
            Self::Each => "How many letters a pack holds; a piece is one, a set counts its contents.",
            Self::Letters => {
                "Letters to choose from, such as A-Z 0-9 & -; of a set its contents, such as A:5 B:2."
            }
            Self::Price => "For one unit.",
            Self::Breaks => "What each unit costs once so many are bought, such as 50: 2.00, 100: 1.80.",
            Self::CountOver => "each: every colour and style on its own; together: all of them.",
            Self::AtMost => "What the supplier has in stock, per colour and style; empty for no limit.",
        }
    }

    /// Whether an offer is nothing without it.
    pub fn is_needed(self) -> bool {
        matches!(self, Self::Supplier | Self::Finish | Self::Height | Self::Way | Self::Price)
    }
}

/// What is wrong with the text of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CellError {
    /// A name that finds no record, or several.
    Name(NameError),
    /// A number that cannot be read.
    Number(NumberError),
    /// Quantity breaks that cannot be read.
    Breaks(StepsError),
    /// Contents of a set that cannot be read.
    Contents(CountsError),
    /// Not a way to sell letters.
    Way(String),
    /// Not a way to count towards breaks.
    CountOver(String),
    /// A single piece of more than one letter.
    PieceIsOne,
    /// A number of letters that a set's contents do not add up to.
    SetTotal {
        /// What was written.
        stated: u32,
        /// What the contents add up to.
        counted: u64,
    },
    /// A cell that an offer needs is empty or not there.
    Missing,
}

impl fmt::Display for CellError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(error) => error.fmt(f),
            Self::Number(error) => error.fmt(f),
            Self::Breaks(error) => error.fmt(f),
            Self::Contents(error) => error.fmt(f),
            Self::Way(text) => write!(f, "“{}”: write piece, pack or set", shortened(text)),
            Self::CountOver(text) => write!(f, "“{}”: write each or together", shortened(text)),
            Self::PieceIsOne => {
                write!(f, "a single piece is one letter: leave this empty, or sell it as a pack")
            }
            Self::SetTotal { stated, counted: 0 } => {
                write!(f, "the contents of this set of {stated} are missing: enter them, such as A:5 B:2")
            }
            Self::SetTotal { stated, counted } => {
                write!(f, "the contents add up to {counted}, not {stated}: mend them, or leave this empty")
            }
            Self::Missing => write!(f, "an offer needs this: fill it in"),
        }
    }
}

impl std::error::Error for CellError {}

impl From<NameError> for CellError {
    fn from(error: NameError) -> Self {
        Self::Name(error)
    }
}

impl From<NumberError> for CellError {
    fn from(error: NumberError) -> Self {
        Self::Number(error)
    }
}

/// A cell that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellFault {
    /// The column it is in.
    pub column: Column,
    /// What is wrong with it.
    pub error: CellError,
}

impl fmt::Display for CellFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.column.heading(), self.error)
    }
}

/// An offer of nothing by nobody, for a new row to be read into.
pub fn empty_offer(id: OfferId) -> Offer {
    Offer {
        id,
        supplier: SupplierId::default(),
        finish: FinishId::default(),
        height: Length::ZERO,
        colours: Vec::new(),
        styles: Vec::new(),
        way: Way::Piece { glyphs: GlyphSet::default() },
        price: Cents::ZERO,
        breaks: Vec::new(),
        count_over: CountOver::Family,
        at_most: None,
    }
}

/// What stands in a cell.
pub fn cell(offer: &Offer, column: Column, lists: &Lists, currency: &Currency) -> String {
    match column {
        Column::Supplier => word(&suppliers(lists), offer.supplier.as_str()),
        Column::Finish => word(&finishes(lists), offer.finish.as_str()),
        Column::Height if offer.height == Length::ZERO => String::new(),
        Column::Height => Units::Inches.write(offer.height),
        Column::Colours => {
            let ids: Vec<&str> = offer.colours.iter().map(ColourId::as_str).collect();
            colours(lists, &offer.finish).words(&ids)
        }
        Column::Styles => {
            let ids: Vec<&str> = offer.styles.iter().map(StyleId::as_str).collect();
            styles(lists).words(&ids)
        }
        Column::Way => way_word(&offer.way).to_owned(),
        Column::Each => match &offer.way {
            Way::Piece { .. } => "1".to_owned(),
            Way::Pack { of, .. } => some(*of),
            Way::Set { contents } if contents.is_empty() => String::new(),
            Way::Set { contents } => contents.total().to_string(),
        },
        Column::Letters => match &offer.way {
            Way::Piece { glyphs } | Way::Pack { glyphs, .. } => glyphs.to_string(),
            Way::Set { contents } => contents.to_string(),
        },
        Column::Price => currency.plain(offer.price),
        Column::Breaks => steps::write_breaks(&offer.breaks, currency),
        Column::CountOver => match offer.count_over {
            CountOver::Family => "each".to_owned(),
            CountOver::Offer => "together".to_owned(),
        },
        Column::AtMost => offer.at_most.map_or(String::new(), |most| most.to_string()),
    }
}

/// Puts a text into a cell. What the cell says already is never refused.
///
/// # Errors
/// Says what is wrong with the text; the offer is as it was.
pub fn set(
    offer: &mut Offer,
    column: Column,
    text: &str,
    lists: &Lists,
    currency: &Currency,
) -> Result<(), CellError> {
    let text = text.trim();
    if text == cell(offer, column, lists, currency) {
        return Ok(());
    }
    match column {
        Column::Supplier => offer.supplier = SupplierId::new(suppliers(lists).find(text)?),
        Column::Finish => refinish(offer, FinishId::new(finishes(lists).find(text)?), lists),
        Column::Height => offer.height = height(text)?,
        Column::Colours => {
            let found = colours(lists, &offer.finish).find_all(text)?;
            offer.colours = found.into_iter().map(ColourId::new).collect();
        }
        Column::Styles => {
            offer.styles = styles(lists).find_all(text)?.into_iter().map(StyleId::new).collect();
        }
        Column::Way => offer.way = read_way(&offer.way, text)?,
        Column::Each => set_each(&mut offer.way, text)?,
        Column::Letters => match &mut offer.way {
            Way::Piece { glyphs } | Way::Pack { glyphs, .. } => *glyphs = GlyphSet::parse(text),
            Way::Set { contents } => {
                *contents = GlyphCounts::parse(text).map_err(CellError::Contents)?;
            }
        },
        Column::Price => offer.price = Cents::parse(without_sign(text, currency), currency)?,
        Column::Breaks => {
            offer.breaks = steps::read_breaks(text, currency).map_err(CellError::Breaks)?;
        }
        Column::CountOver => offer.count_over = read_count_over(text)?,
        Column::AtMost => {
            offer.at_most = if text.is_empty() { None } else { Some(number::whole(text, 0, MOST_UNITS)?) };
        }
    }
    Ok(())
}

/// Puts texts into several cells of one offer, each after those that its meaning hangs on.
///
/// # Errors
/// Names every cell that cannot be read; the offer is as it was.
pub fn set_row(
    offer: &mut Offer,
    cells: &[(Column, &str)],
    lists: &Lists,
    currency: &Currency,
) -> Result<(), Vec<CellFault>> {
    let mut changed = offer.clone();
    let mut faults = Vec::new();
    for column in Column::BY_MEANING {
        for (_, text) in cells.iter().filter(|(at, _)| *at == column) {
            let read = set(&mut changed, column, text, lists, currency);
            faults.extend(read.err().map(|error| CellFault { column, error }));
        }
    }
    if faults.is_empty() {
        *offer = changed;
        return Ok(());
    }
    Err(faults)
}

/// A new offer of these cells. Columns that are not there are empty.
///
/// # Errors
/// Names every cell that cannot be read, and every one that an offer needs and is not there.
pub fn read_offer(
    id: OfferId,
    cells: &[(Column, &str)],
    lists: &Lists,
    currency: &Currency,
) -> Result<Offer, Vec<CellFault>> {
    let is_filled = |column: &Column| cells.iter().any(|(at, text)| at == column && !text.trim().is_empty());
    let missing: Vec<CellFault> = Column::ALL
        .into_iter()
        .filter(|column| column.is_needed() && !is_filled(column))
        .map(|column| CellFault { column, error: CellError::Missing })
        .collect();
    let is_missing = |column: Column| missing.iter().any(|fault| fault.column == column);
    let there: Vec<(Column, &str)> = cells.iter().filter(|(at, _)| !is_missing(*at)).copied().collect();
    let mut offer = empty_offer(id);
    let read = set_row(&mut offer, &there, lists, currency);
    let faults: Vec<CellFault> = missing.into_iter().chain(read.err().into_iter().flatten()).collect();
    if faults.is_empty() { Ok(offer) } else { Err(faults) }
}

/// The suppliers by name.
pub fn suppliers(lists: &Lists) -> Names<'_> {
    let entries = lists.suppliers.iter().map(|entry| (entry.id.as_str(), entry.name.as_str()));
    Names::new(Thing::Supplier, entries)
}

/// The finishes by name.
pub fn finishes(lists: &Lists) -> Names<'_> {
    let entries = lists.finishes.iter().map(|entry| (entry.id.as_str(), entry.name.as_str()));
    Names::new(Thing::Finish, entries)
}

/// The letter styles by name.
pub fn styles(lists: &Lists) -> Names<'_> {
    let entries = lists.styles.iter().map(|entry| (entry.id.as_str(), entry.name.as_str()));
    Names::new(Thing::Style, entries)
}

/// The colours of a finish by name.
pub fn colours<'a>(lists: &'a Lists, finish: &FinishId) -> Names<'a> {
    let colours = lists.finish(finish).map_or(&[][..], |finish| &finish.colours);
    Names::new(Thing::Colour, colours.iter().map(|entry| (entry.id.as_str(), entry.name.as_str())))
}

pub(super) fn word(names: &Names, id: &str) -> String {
    if id.is_empty() { String::new() } else { names.word(id) }
}

fn some(count: u32) -> String {
    if count == 0 { String::new() } else { count.to_string() }
}

fn height(text: &str) -> Result<Length, NumberError> {
    let length = Length::parse_inches(text)?;
    if length > Length::inches(i32::from(TALLEST_INCHES)) {
        return Err(NumberError::TooLarge { most: u64::from(TALLEST_INCHES) });
    }
    Ok(length)
}

/// The word for a way to sell letters.
fn way_word(way: &Way) -> &'static str {
    match way {
        Way::Piece { .. } => "piece",
        Way::Pack { .. } => "pack",
        Way::Set { .. } => "set",
    }
}

/// The same letters sold in another way. How many a pack holds and what is in a set is for the
/// shop to say.
fn read_way(way: &Way, text: &str) -> Result<Way, CellError> {
    let glyphs = || match way {
        Way::Piece { glyphs } | Way::Pack { glyphs, .. } => glyphs.clone(),
        Way::Set { contents } if contents.is_empty() => GlyphSet::parse("A-Z 0-9"),
        Way::Set { contents } => {
            let signs: Vec<&str> = contents.iter().map(|(glyph, _)| glyph.as_str()).collect();
            GlyphSet::parse(&signs.join(" "))
        }
    };
    let wanted = text.to_lowercase();
    Ok(match wanted.as_str() {
        same if same == way_word(way) => way.clone(),
        "piece" | "single piece" | "single" => Way::Piece { glyphs: glyphs() },
        "pack" => Way::Pack { of: 0, glyphs: glyphs() },
        "set" | "assorted set" => Way::Set { contents: GlyphCounts::default() },
        _ => return Err(CellError::Way(text.to_owned())),
    })
}

fn set_each(way: &mut Way, text: &str) -> Result<(), CellError> {
    match way {
        Way::Pack { of, .. } if text.is_empty() => *of = 0,
        Way::Pack { of, .. } => *of = number::whole(text, 1, LARGEST_PACK)?,
        _ if text.is_empty() => {}
        Way::Piece { .. } => match number::whole(text, 1, LARGEST_PACK)? {
            1 => {}
            _ => return Err(CellError::PieceIsOne),
        },
        Way::Set { contents } => {
            let stated = number::whole(text, 1, MOST_UNITS)?;
            let counted = contents.total();
            if u64::from(stated) != counted {
                return Err(CellError::SetTotal { stated, counted });
            }
        }
    }
    Ok(())
}

fn read_count_over(text: &str) -> Result<CountOver, CellError> {
    match text.to_lowercase().as_str() {
        "" | "each" => Ok(CountOver::Family),
        "together" => Ok(CountOver::Offer),
        _ => Err(CellError::CountOver(text.to_owned())),
    }
}

/// A price without the sign or the code of the currency, which spreadsheets write beside it.
fn without_sign<'a>(text: &'a str, currency: &Currency) -> &'a str {
    let sign = currency.sign().unwrap_or(currency.code());
    let bare = |text: &'a str, mark: &str| {
        let text = text.strip_prefix(mark).unwrap_or(text);
        text.strip_suffix(mark).unwrap_or(text).trim()
    };
    bare(bare(text, sign), currency.code())
}
