//! Lengths, exact in inches and in millimetres at once.
//!
//! Owns the unit: a tenth of a micrometre, of which an inch has exactly 254 000 and a
//! millimetre exactly 10 000, so thousandths of an inch and of a millimetre are both whole
//! numbers and nothing is rounded on the way. Never formats for more than a person reads.

use crate::number::{self, NumberError};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

/// Tenths of a micrometre in an inch: 1 in = 25.4 mm exactly (NIST SP 811, Appendix B).
const PER_INCH: i64 = 254_000;
/// Tenths of a micrometre in a millimetre.
const PER_MM: i64 = 10_000;

/// A length or a position along one axis.
///
/// ```
/// use lettertally::length::Length;
/// assert_eq!(Length::inches(4).to_mm_text(), "101.6");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0);

    /// The longest length that may be entered, in inches.
    pub const LONGEST_INCHES: u64 = 1_000;

    /// Whole inches.
    pub const fn inches(inches: i32) -> Self {
        Self(inches as i64 * PER_INCH)
    }

    /// Thousandths of an inch.
    pub const fn mils(mils: i32) -> Self {
        Self(mils as i64 * (PER_INCH / 1_000))
    }

    /// Whole millimetres.
    pub const fn mm(mm: i32) -> Self {
        Self(mm as i64 * PER_MM)
    }

    /// Reads inches as a person types them, at most three decimals, above zero.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse_inches(text: &str) -> Result<Self, NumberError> {
        let text = text.trim().trim_end_matches("in").trim_end_matches('"');
        let value = number::decimal(text, Self::LONGEST_INCHES, 3)?;
        if value.is_zero() {
            return Err(NumberError::Zero);
        }
        Self::scaled(value, PER_INCH)
    }

    fn scaled(value: Decimal, per_unit: i64) -> Result<Self, NumberError> {
        let tenths = (value * Decimal::from(per_unit)).to_i64();
        tenths.map(Self).ok_or(NumberError::TooLarge { most: Self::LONGEST_INCHES })
    }

    /// The exact number of inches, as far as decimals go.
    pub fn to_inches(self) -> Decimal {
        Decimal::from(self.0) / Decimal::from(PER_INCH)
    }

    /// The exact number of millimetres.
    pub fn to_mm(self) -> Decimal {
        Decimal::from(self.0) / Decimal::from(PER_MM)
    }

    /// Inches for a person, at most two decimals, no unit: "3.5".
    pub fn to_inches_text(self) -> String {
        shown(self.to_inches(), 2)
    }

    /// Millimetres for a person, at most one decimal, no unit: "88.9".
    pub fn to_mm_text(self) -> String {
        shown(self.to_mm(), 1)
    }

    /// Millimetres to three decimals, for coordinates in a drawing.
    pub fn to_drawing(self) -> String {
        shown(self.to_mm(), 3)
    }

    /// This length times a fraction given in thousandths, rounded to a tenth of a micrometre.
    pub fn thousandths(self, thousandths: i32) -> Self {
        Self(div_round(self.0 * i64::from(thousandths), 1_000))
    }

    /// Half of this length.
    pub fn half(self) -> Self {
        self.thousandths(500)
    }

    /// This length so many times.
    pub fn times(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count))
    }

    /// How many thousandths this is of `whole`, rounded up; `None` of a whole that is not above zero.
    pub fn share_of(self, whole: Self) -> Option<i64> {
        (whole.0 > 0).then(|| (self.0 * 1_000 + whole.0 - 1).div_euclid(whole.0))
    }

    /// How many whole steps of `step` it takes to reach this length; `None` if `step` is not above zero.
    pub fn steps_up(self, step: Self) -> Option<i64> {
        (step.0 > 0).then(|| (self.0 + step.0 - 1).div_euclid(step.0))
    }
}

fn div_round(value: i64, by: i64) -> i64 {
    (2 * value + by).div_euclid(2 * by)
}

fn shown(value: Decimal, decimals: u32) -> String {
    let strategy = rust_decimal::RoundingStrategy::MidpointAwayFromZero;
    value.round_dp_with_strategy(decimals, strategy).normalize().to_string()
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in", self.to_inches_text())
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// Stored with its unit: "4in" where whole thousandths of an inch say it exactly, else "100mm".
impl Serialize for Length {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let text = if self.0 % (PER_INCH / 1_000) == 0 {
            format!("{}in", self.to_inches().normalize())
        } else {
            format!("{}mm", self.to_mm().normalize())
        };
        serializer.serialize_str(&text)
    }
}

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let read = match (text.strip_suffix("in"), text.strip_suffix("mm")) {
            (Some(inches), _) => number::decimal(inches, Self::LONGEST_INCHES, 3)
                .and_then(|value| Self::scaled(value, PER_INCH)),
            (_, Some(mm)) => number::decimal(mm, Self::LONGEST_INCHES * 26, 4)
                .and_then(|value| Self::scaled(value, PER_MM)),
            _ => Err(NumberError::NotANumber(text)),
        };
        read.map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_inch_is_25_4_millimetres() {
        assert_eq!(Length::inches(1).to_mm(), "25.4".parse().unwrap());
        assert_eq!(Length::inches(5), Length::mm(127));
    }

    #[test]
    fn inches_are_read_with_or_without_their_mark() {
        for text in ["3.5", "3.5in", "3.5 in", "3,5", "3.5\""] {
            assert_eq!(Length::parse_inches(text), Ok(Length::mils(3_500)), "{text}");
        }
        assert!(Length::parse_inches("1001").is_err());
        assert_eq!(Length::parse_inches("0.000 in"), Err(NumberError::Zero));
    }

    #[test]
    fn shares_are_rounded_up_so_that_nothing_fits_by_rounding() {
        assert_eq!(Length::mils(20_001).share_of(Length::inches(20)), Some(1_001));
        assert_eq!(Length::inches(20).share_of(Length::inches(20)), Some(1_000));
        assert_eq!(Length::inches(20).share_of(Length::ZERO), None);
    }

    proptest! {
        #[test]
        fn storing_keeps_every_length(tenths in 0_i64..=254_000_000) {
            let length = Length(tenths);
            let stored = serde_json::to_string(&length).unwrap();
            prop_assert_eq!(serde_json::from_str::<Length>(&stored).unwrap(), length);
        }
    }
}
