//! The headings of a price list as CSV.
//!
//! Owns what a column is called and may be called. Never reads a cell below.

use super::marks::{self, ForeignMark};
use super::table::Row;
use crate::lists::rows::Column;
use crate::money::Currency;

/// The heading of the column of ids.
pub const ID: &str = "id";
/// The heading of the column of currency codes.
pub const CURRENCY: &str = "currency";

/// Other words for a column: common practice, no source.
const OTHER_WORDS: [(&str, Column); 21] = [
    ("vendor", Column::Supplier),
    ("material", Column::Finish),
    ("letter height", Column::Height),
    ("size", Column::Height),
    ("colors", Column::Colours),
    ("colour", Column::Colours),
    ("color", Column::Colours),
    ("style", Column::Styles),
    ("styles", Column::Styles),
    ("letter style", Column::Styles),
    ("way", Column::Way),
    ("sold by", Column::Way),
    ("pack size", Column::Each),
    ("per unit", Column::Each),
    ("letters", Column::Letters),
    ("contents", Column::Letters),
    ("glyphs", Column::Letters),
    ("unit price", Column::Price),
    ("breaks", Column::Breaks),
    ("in stock", Column::AtMost),
    ("stock", Column::AtMost),
];

/// What a column is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Head {
    /// A column of the price list.
    Of(Column),
    /// Heights in a metric unit; its mark.
    Metric(&'static str),
    /// The offers' ids.
    Id,
    /// The currency of each row.
    Currency,
    /// Prices in a currency that is not the shop's.
    Foreign(ForeignMark),
    /// Nothing known here; its heading, empty where it has none.
    Unknown(String),
}

impl Head {
    /// What a heading means; small and large letters, a unit or a currency in brackets allowed.
    pub fn read(text: &str, currency: &Currency) -> Self {
        let lower = text.trim().to_lowercase();
        let words =
            lower.split(|c: char| c.is_whitespace() || c == '_' || c == '-').filter(|word| !word.is_empty());
        let lower = words.collect::<Vec<_>>().join(" ");
        let (name, unit) = match lower.strip_suffix([')', ']']).and_then(|rest| rest.split_once(['(', '['])) {
            Some((name, unit)) => (name.trim(), Some(unit.trim())),
            None => (lower.as_str(), None),
        };
        let unknown = || Self::Unknown(text.trim().to_owned());
        let other = OTHER_WORDS.iter().find(|(word, _)| *word == name).map(|(_, column)| *column);
        match (name, Column::with_heading(name).or(other), unit) {
            (ID, _, None) => Self::Id,
            (CURRENCY, _, None) => Self::Currency,
            (_, Some(column), None) => Self::Of(column),
            (_, Some(Column::Height), Some("in" | "inch" | "inches" | "\"")) => Self::Of(Column::Height),
            (_, Some(Column::Height), Some("mm" | "millimetres" | "millimeters")) => Self::Metric("mm"),
            (_, Some(Column::Height), Some("cm" | "centimetres" | "centimeters")) => Self::Metric("cm"),
            (_, Some(Column::Price), Some(mark)) if marks::is_own(mark, currency) => Self::Of(Column::Price),
            (_, Some(Column::Price), Some(mark)) => {
                Self::Foreign(ForeignMark { mark: mark.to_uppercase(), currency: currency.code().to_owned() })
            }
            _ => unknown(),
        }
    }

    /// The column of the price list under it.
    pub fn column(&self) -> Option<Column> {
        match self {
            Self::Of(column) => Some(*column),
            Self::Metric(_) => Some(Column::Height),
            Self::Foreign(_) => Some(Column::Price),
            Self::Id | Self::Currency | Self::Unknown(_) => None,
        }
    }

    fn is_known(&self) -> bool {
        !matches!(self, Self::Unknown(_))
    }
}

/// The meanings of a row, if it is one of headings: at least three are known, and of the cells
/// that are not empty at least half.
pub fn of_row(row: &Row, currency: &Currency) -> Option<Vec<Head>> {
    let heads: Vec<Head> = row.cells.iter().map(|cell| Head::read(cell, currency)).collect();
    let filled = row.cells.iter().filter(|cell| !cell.is_empty()).count();
    let known = heads.iter().filter(|head| head.is_known()).count();
    (known >= 3 && known * 2 >= filled).then_some(heads)
}

/// How many headings are known in a row: what a delimiter is told by.
pub fn known(row: &Row, currency: &Currency) -> usize {
    row.cells.iter().filter(|cell| Head::read(cell, currency).is_known()).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_known_in_many_spellings() {
        let head = |text| Head::read(text, &Currency::usd());
        assert_eq!(head(" Sold_As "), Head::Of(Column::Way));
        assert_eq!(head("Height (in)"), Head::Of(Column::Height));
        assert_eq!(head("Letter height [mm]"), Head::Metric("mm"));
        assert_eq!(head("Height (cm)"), Head::Metric("cm"));
        assert_eq!(head("Height (ft)"), Head::Unknown("Height (ft)".into()));
        assert_eq!(head("PRICE (USD)"), Head::Of(Column::Price));
        assert!(matches!(head("Price (EUR)"), Head::Foreign(_)));
        assert_eq!(head("ID"), Head::Id);
        for column in Column::ALL {
            assert_eq!(head(column.heading()), Head::Of(column));
        }
    }
}
