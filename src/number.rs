//! Numbers as people type them: one reader, one set of complaints.
//!
//! Owns the reading of decimal and whole numbers from a field, a roster or a link, within
//! limits. Never guesses: "1,234" could be one thousand or one and a bit, so it is refused.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::fmt;

/// What is wrong with a typed number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NumberError {
    /// Nothing was typed.
    Empty,
    /// The text is not a number.
    NotANumber(String),
    /// Below zero.
    Negative,
    /// Zero, where something must be there.
    Zero,
    /// Below the least that makes sense.
    TooSmall {
        /// The smallest number allowed.
        least: u64,
    },
    /// Above the most that makes sense.
    TooLarge {
        /// The largest number allowed.
        most: u64,
    },
    /// More digits after the point than can be kept.
    TooFine {
        /// The number of decimals allowed.
        decimals: u32,
    },
    /// A comma or point that could separate thousands as well as decimals.
    Ambiguous(String),
    /// A fraction that cannot be kept exactly, such as a third.
    Fraction,
}

impl fmt::Display for NumberError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "type a number"),
            Self::NotANumber(text) => write!(f, "“{}” is not a number", shortened(text)),
            Self::Negative => write!(f, "type a number that is not below 0"),
            Self::Zero => write!(f, "type a number above 0"),
            Self::TooSmall { least } => write!(f, "type {least} or more"),
            Self::TooLarge { most } => write!(f, "too large: the most is {most}"),
            Self::TooFine { decimals: 0 } => write!(f, "type a whole number"),
            Self::TooFine { decimals } => write!(f, "at most {decimals} digits after the point"),
            Self::Fraction => {
                write!(f, "write the fraction in halves, quarters, eighths or sixteenths, or as a decimal")
            }
            Self::Ambiguous(text) => write!(
                f,
                "“{}” can be read in two ways: leave out thousands separators and use a point for decimals",
                shortened(text)
            ),
        }
    }
}

impl std::error::Error for NumberError {}

/// A text short enough to be quoted in a message, on one line. What would turn the rest of the
/// message around, or break it, is shown as a replacement character.
///
/// ```
/// use lettertally::number::shortened;
/// assert_eq!(shortened("Ash\u{202e}hsA\n"), "Ash\u{fffd}hsA\u{fffd}");
/// ```
pub fn shortened(text: &str) -> String {
    const LONGEST: usize = 24;
    let plain = text.chars().map(|c| match c {
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => char::REPLACEMENT_CHARACTER,
        other if other.is_control() => char::REPLACEMENT_CHARACTER,
        other => other,
    });
    if text.chars().count() <= LONGEST {
        return plain.collect();
    }
    plain.take(LONGEST - 1).chain(['…']).collect()
}

/// Reads a decimal number from 0 to `most` with at most `decimals` digits after the point.
///
/// A comma is taken as the decimal sign unless exactly three digits follow it, which could
/// be a thousands separator.
///
/// # Errors
/// Says what is wrong with the text.
///
/// ```
/// use lettertally::number::{NumberError, decimal};
/// assert_eq!(decimal(" 12,50 ", 1000, 2), Ok("12.50".parse().unwrap()));
/// assert_eq!(decimal("1,234", 9999, 3), Err(NumberError::Ambiguous("1,234".into())));
/// ```
pub fn decimal(text: &str, most: u64, decimals: u32) -> Result<Decimal, NumberError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NumberError::Empty);
    }
    if text.starts_with(['-', '−']) && text.contains(|c: char| c.is_ascii_digit()) {
        return Err(NumberError::Negative);
    }
    let bad = || NumberError::NotANumber(text.to_owned());
    if !text.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',') {
        return Err(bad());
    }
    let separators = text.matches(['.', ',']).count();
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
    if separators > 1 || (text.contains(',') && part.len() == 3) {
        return Err(NumberError::Ambiguous(text.to_owned()));
    }
    if whole.is_empty() && part.is_empty() {
        return Err(bad());
    }
    let whole = whole.trim_start_matches('0');
    let part = part.trim_end_matches('0');
    if part.len() > decimals as usize {
        return Err(NumberError::TooFine { decimals });
    }
    if whole.len() > 18 {
        return Err(NumberError::TooLarge { most });
    }
    let value: Decimal = format!("0{whole}.{part}0").parse().map_err(|_| bad())?;
    if value > Decimal::from(most) {
        return Err(NumberError::TooLarge { most });
    }
    Ok(value.normalize())
}

/// Reads a whole number from `least` to `most`.
///
/// # Errors
/// Says what is wrong with the text.
pub fn whole(text: &str, least: u32, most: u32) -> Result<u32, NumberError> {
    let value = decimal(text, u64::from(most), 0)?;
    let value = value.to_u32().ok_or(NumberError::TooLarge { most: u64::from(most) })?;
    if value < least {
        return Err(NumberError::TooSmall { least: u64::from(least) });
    }
    Ok(value)
}

/// Splits a total into whole parts in proportion to the weights, by largest remainder, so that
/// the parts add up to the total. Equal remainders go to the earlier part.
///
/// With no weight above zero, everything falls to the first part.
///
/// ```
/// use lettertally::number::apportion;
/// assert_eq!(apportion(100, &[1, 1, 1]), [34, 33, 33]);
/// ```
pub fn apportion(total: i64, weights: &[u64]) -> Vec<i64> {
    let whole: i128 = weights.iter().map(|&weight| i128::from(weight)).sum();
    if whole == 0 {
        let first = weights.iter().take(1).map(|_| total);
        let rest = weights.iter().skip(1).map(|_| 0);
        return first.chain(rest).collect();
    }
    let exact = |weight: u64| i128::from(total) * i128::from(weight);
    let mut parts: Vec<i128> = weights.iter().map(|&w| exact(w).div_euclid(whole)).collect();
    let mut by_remainder: Vec<usize> = (0..weights.len()).collect();
    by_remainder.sort_by_key(|&i| std::cmp::Reverse(exact(weights[i]).rem_euclid(whole)));
    let missing = i128::from(total) - parts.iter().sum::<i128>();
    for &i in by_remainder.iter().take(usize::try_from(missing).unwrap_or(0)) {
        parts[i] += 1;
    }
    parts.into_iter().map(|part| i64::try_from(part).unwrap_or(i64::MAX)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn each_kind_of_bad_number_is_named() {
        let cases = [
            ("", NumberError::Empty),
            ("  ", NumberError::Empty),
            ("abc", NumberError::NotANumber("abc".into())),
            (".", NumberError::NotANumber(".".into())),
            ("1e5", NumberError::NotANumber("1e5".into())),
            ("NaN", NumberError::NotANumber("NaN".into())),
            ("-3", NumberError::Negative),
            ("−3", NumberError::Negative),
            ("1.2345", NumberError::TooFine { decimals: 2 }),
            ("101", NumberError::TooLarge { most: 100 }),
            ("99999999999999999999999999999999999999", NumberError::TooLarge { most: 100 }),
            ("1,000.00", NumberError::Ambiguous("1,000.00".into())),
        ];
        for (text, error) in cases {
            assert_eq!(decimal(text, 100, 2), Err(error), "{text}");
        }
    }

    #[test]
    fn whole_numbers_keep_to_their_range() {
        assert_eq!(whole("12", 1, 99), Ok(12));
        assert_eq!(whole("0", 1, 99), Err(NumberError::TooSmall { least: 1 }));
        assert_eq!(whole("1.5", 1, 99), Err(NumberError::TooFine { decimals: 0 }));
        assert_eq!(whole("007", 1, 99), Ok(7));
    }

    /// The example usual in accounts of the largest-remainder method (from memory): 100,000 votes,
    /// ten seats, Hare quota.
    #[test]
    fn seats_are_shared_out_as_in_the_textbooks() {
        let votes = [47_000, 16_000, 15_900, 12_000, 6_000, 3_100];
        assert_eq!(apportion(10, &votes), [5, 2, 1, 1, 1, 0]);
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,40}") {
            let _ = decimal(&text, 1_000, 2);
            let _ = whole(&text, 1, 99);
        }

        #[test]
        fn what_is_read_stays_in_range(text in "[0-9.,]{1,30}") {
            if let Ok(value) = decimal(&text, 1_000, 2) {
                prop_assert!(value >= Decimal::ZERO && value <= Decimal::from(1_000));
                prop_assert!(value.scale() <= 2);
            }
        }
    }
}
