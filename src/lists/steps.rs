//! Steps as a person writes them: "50: 2.00, 100: 1.80".
//!
//! Owns how quantity breaks and freight steps are read from one line of text and written back.

use super::{Break, FreightStep};
use crate::money::{Cents, Currency};
use crate::number::{self, NumberError, shortened};
use std::fmt;

/// A part of the text that is not a step, or steps out of order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepsError {
    /// A part without a colon between two figures.
    Form(String),
    /// A figure that cannot be read; the part it stands in.
    Figure(String, NumberError),
    /// A step that does not begin above the one before it.
    Order(String),
}

impl fmt::Display for StepsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(part) => write!(f, "“{}”: write it as 50: 2.00", shortened(part)),
            Self::Figure(part, error) => write!(f, "“{}”: {error}", shortened(part)),
            Self::Order(part) => {
                write!(f, "“{}”: each step must begin above the one before it", shortened(part))
            }
        }
    }
}

impl std::error::Error for StepsError {}

/// Reads quantity breaks: units from 2 on, and the price of each from there on.
///
/// # Errors
/// Names the first part that is wrong.
///
/// ```
/// use lettertally::{lists::steps, money::Currency};
/// let usd = Currency::usd();
/// let breaks = steps::read_breaks("50: 2.00; 100: 1.80", &usd).unwrap();
/// assert_eq!(steps::write_breaks(&breaks, &usd), "50: 2.00, 100: 1.80");
/// assert!(steps::read_breaks("100: 2, 50: 1", &usd).is_err());
/// ```
pub fn read_breaks(text: &str, currency: &Currency) -> Result<Vec<Break>, StepsError> {
    let mut breaks: Vec<Break> = Vec::new();
    for (part, from, value) in parts(text)? {
        let from =
            number::whole(from, 2, 1_000_000).map_err(|error| StepsError::Figure(part.to_owned(), error))?;
        if breaks.last().is_some_and(|last| last.from >= from) {
            return Err(StepsError::Order(part.to_owned()));
        }
        breaks.push(Break { from, price: cents(part, value, currency)? });
    }
    Ok(breaks)
}

/// The form that [`read_breaks`] reads back.
pub fn write_breaks(breaks: &[Break], currency: &Currency) -> String {
    let one = |step: &Break| format!("{}: {}", step.from, currency.plain(step.price));
    breaks.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Reads freight steps: a merchandise subtotal from 0 on, and what shipping costs from there on.
///
/// # Errors
/// Names the first part that is wrong.
pub fn read_freight(text: &str, currency: &Currency) -> Result<Vec<FreightStep>, StepsError> {
    let mut steps: Vec<FreightStep> = Vec::new();
    for (part, from, value) in parts(text)? {
        let from = cents(part, from, currency)?;
        if steps.last().is_some_and(|last| last.from >= from) {
            return Err(StepsError::Order(part.to_owned()));
        }
        steps.push(FreightStep { from, cost: cents(part, value, currency)? });
    }
    Ok(steps)
}

/// The form that [`read_freight`] reads back.
pub fn write_freight(steps: &[FreightStep], currency: &Currency) -> String {
    let one = |step: &FreightStep| format!("{}: {}", currency.plain(step.from), currency.plain(step.cost));
    steps.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Each part with the text before and after its colon. Parts end at a semicolon, a line end, or a
/// comma with a space after it, so that "1,50" stays one figure.
pub(crate) fn parts(text: &str) -> Result<Vec<(&str, &str, &str)>, StepsError> {
    let ends = |c: char| c == ';' || c == '\n';
    let pieces =
        text.split(ends).flat_map(|piece| piece.split(", ")).map(|piece| piece.trim().trim_end_matches(','));
    pieces.filter(|piece| !piece.is_empty()).map(pair).collect()
}

fn pair(piece: &str) -> Result<(&str, &str, &str), StepsError> {
    let (from, value) = piece.split_once(':').ok_or_else(|| StepsError::Form(piece.to_owned()))?;
    Ok((piece, from.trim(), value.trim()))
}

fn cents(part: &str, text: &str, currency: &Currency) -> Result<Cents, StepsError> {
    Cents::parse(text, currency).map_err(|error| StepsError::Figure(part.to_owned(), error))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn each_fault_names_its_part() {
        let usd = Currency::usd();
        let cases = [
            ("50", "“50”: write it as"),
            ("1: 2", "“1: 2”: type 2 or more"),
            ("50: x", "“50: x”: “x” is not a number"),
            ("50: 2, 50: 1", "“50: 1”: each step"),
            ("50: 2, -3: 1", "“-3: 1”: type a number that is not below 0"),
        ];
        for (text, start) in cases {
            let error = read_breaks(text, &usd).unwrap_err().to_string();
            assert!(error.starts_with(start), "{text}: {error}");
        }
        assert_eq!(read_breaks(" ", &usd), Ok(vec![]));
        assert_eq!(read_freight("0: 8, 75: 0", &usd).unwrap().len(), 2);
        assert_eq!(read_breaks("50: 1,50", &usd).unwrap()[0].price, Cents::new(150));
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(pairs in prop::collection::btree_map(2_u32..100_000, 0_i64..1_000_000, 0..6)) {
            let usd = Currency::usd();
            let breaks: Vec<Break> = pairs.iter().map(|(&from, &price)| Break { from, price: Cents::new(price) }).collect();
            prop_assert_eq!(read_breaks(&write_breaks(&breaks, &usd), &usd), Ok(breaks));
            let steps: Vec<FreightStep> =
                pairs.iter().map(|(&from, &cost)| FreightStep { from: Cents::new(i64::from(from)), cost: Cents::new(cost) }).collect();
            prop_assert_eq!(read_freight(&write_freight(&steps, &usd), &usd), Ok(steps));
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "[0-9:,; .a-z-]{0,40}") {
            let usd = Currency::usd();
            let _ = read_breaks(&text, &usd);
            let _ = read_freight(&text, &usd);
        }
    }
}
