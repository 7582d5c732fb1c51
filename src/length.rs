//! Lengths, exact in inches and in millimetres at once.
//!
//! Owns the unit: a tenth of a micrometre, of which an inch has exactly 254 000 and a
//! millimetre exactly 10 000, so thousandths of an inch and of a millimetre are both whole
//! numbers and nothing is rounded on the way; and how lengths are typed and written in either
//! unit. Never formats for more than a person reads.

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
/// Tenths of a micrometre in a thousandth of an inch.
const PER_MIL: i64 = PER_INCH / 1_000;
/// Tenths of a micrometre in a sixteenth of an inch.
const PER_SIXTEENTH: i64 = PER_INCH / 16;

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

    const LONGEST: Self = Self(Self::LONGEST_INCHES as i64 * PER_INCH);

    /// Whole inches.
    pub const fn inches(inches: i32) -> Self {
        Self(inches as i64 * PER_INCH)
    }

    /// Thousandths of an inch.
    pub const fn mils(mils: i32) -> Self {
        Self(mils as i64 * PER_MIL)
    }

    /// Whole millimetres.
    pub const fn mm(mm: i32) -> Self {
        Self(mm as i64 * PER_MM)
    }

    /// Reads a length above zero as a person types it, in inches where no unit stands after it.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse_inches(text: &str) -> Result<Self, NumberError> {
        let length = Units::Inches.read(text)?;
        if length == Self::ZERO { Err(NumberError::Zero) } else { Ok(length) }
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
    /// Works in whole micrometres: a picture has thousands of them, and a drawing follows each key.
    pub fn to_drawing(self) -> String {
        let micrometres = self.0.unsigned_abs().saturating_add(5) / 10;
        let sign = if self.0 < 0 && micrometres > 0 { "-" } else { "" };
        let (whole, part) = (micrometres / 1_000, micrometres % 1_000);
        if part == 0 {
            return format!("{sign}{whole}");
        }
        let part = format!("{part:03}");
        format!("{sign}{whole}.{}", part.trim_end_matches('0'))
    }

    /// This length times a fraction given in thousandths, rounded to a tenth of a micrometre.
    pub fn thousandths(self, thousandths: i32) -> Self {
        Self(div_round(self.0 * i64::from(thousandths), 1_000))
    }

    /// This length times `part` over `whole`, rounded to a tenth of a micrometre; all of it where
    /// the whole is not above zero.
    pub fn part(self, part: i64, whole: i64) -> Self {
        if whole <= 0 {
            return self;
        }
        // The usual case, and several times as quick as in wider numbers.
        let doubled = self.0.checked_mul(2).and_then(|value| value.checked_mul(part));
        if let (Some(value), Some(doubled_whole)) = (doubled, whole.checked_mul(2))
            && let Some(value) = value.checked_add(whole)
        {
            return Self(value.div_euclid(doubled_whole));
        }
        let (value, whole) = (i128::from(self.0) * i128::from(part), i128::from(whole));
        let rounded = (2 * value + whole).div_euclid(2 * whole);
        Self(rounded.clamp(i128::from(i64::MIN), i128::from(i64::MAX)) as i64)
    }

    /// In tenths of a micrometre, the unit in which nothing is rounded.
    pub const fn units(self) -> i64 {
        self.0
    }

    /// So many tenths of a micrometre.
    pub const fn of_units(units: i64) -> Self {
        Self(units)
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

/// The unit in which a shop measures garments, platen and lines. Letter heights stay in inches,
/// as the trade names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Inches, of 25.4 mm exactly.
    #[default]
    Inches,
    /// Millimetres.
    Millimetres,
}

/// What may stand after a figure: the mark, its tenths of a micrometre and how many decimals of
/// it are whole numbers of them.
const MARKS: [(&str, i64, u32); 10] = [
    ("mm", PER_MM, 4),
    ("cm", 10 * PER_MM, 5),
    ("inches", PER_INCH, 3),
    ("inch", PER_INCH, 3),
    ("in.", PER_INCH, 3),
    ("in", PER_INCH, 3),
    ("\"", PER_INCH, 3),
    ("″", PER_INCH, 3),
    ("”", PER_INCH, 3),
    ("''", PER_INCH, 3),
];

/// The fractions that have a sign of their own, as a price list may have them.
const FRACTION_SIGNS: [(char, &str); 7] =
    [('½', " 1/2"), ('¼', " 1/4"), ('¾', " 3/4"), ('⅛', " 1/8"), ('⅜', " 3/8"), ('⅝', " 5/8"), ('⅞', " 7/8")];

/// Whether a figure has a fraction in it: "2 1/2", "2½".
///
/// ```
/// assert!(lettertally::length::has_fraction("2½ in"));
/// assert!(!lettertally::length::has_fraction("2.5 in"));
/// ```
pub fn has_fraction(text: &str) -> bool {
    text.contains(['/', '⁄']) || FRACTION_SIGNS.iter().any(|(sign, _)| text.contains(*sign))
}

impl Units {
    /// Both, in the order of a choice.
    pub const ALL: [Self; 2] = [Self::Inches, Self::Millimetres];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Inches => "inches",
            Self::Millimetres => "millimetres",
        }
    }

    /// What stands beside a figure.
    pub fn mark(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Millimetres => "mm",
        }
    }

    /// A length for a person: "3.5 in", "88.9 mm".
    pub fn show(self, length: Length) -> String {
        match self {
            Self::Inches => length.to_string(),
            Self::Millimetres => format!("{} mm", length.to_mm_text()),
        }
    }

    /// A length as a field holds it, which reads back exactly. What no short figure in inches
    /// says exactly is written in millimetres, with their mark.
    ///
    /// ```
    /// use lettertally::length::{Length, Units};
    /// assert_eq!(Units::Inches.write(Length::mils(2_500)), "2.5");
    /// assert_eq!(Units::Inches.write(Length::mm(50)), "50 mm");
    /// assert_eq!(Units::Millimetres.write(Length::inches(20)), "508");
    /// ```
    pub fn write(self, length: Length) -> String {
        if self == Self::Millimetres {
            return length.to_mm().normalize().to_string();
        }
        match length.0 {
            tenths if tenths % PER_MIL == 0 => length.to_inches().normalize().to_string(),
            tenths if tenths % PER_SIXTEENTH == 0 => in_sixteenths(tenths / PER_SIXTEENTH),
            _ => format!("{} mm", length.to_mm().normalize()),
        }
    }

    /// Reads a length as a person types it: a figure, alone in this unit, or with one of its own
    /// after it ("50 mm", "5 cm", `2"`); inches also with a fraction ("2 1/2", "2½").
    ///
    /// # Errors
    /// Says what is wrong with the text.
    ///
    /// ```
    /// use lettertally::length::{Length, Units};
    /// assert_eq!(Units::Inches.read("5 cm"), Ok(Length::mm(50)));
    /// assert_eq!(Units::Millimetres.read("2 1/2 in"), Ok(Length::mils(2_500)));
    /// ```
    pub fn read(self, text: &str) -> Result<Length, NumberError> {
        let text = text.trim().to_ascii_lowercase();
        let marked = MARKS.iter().find_map(|(mark, ..)| Some((text.strip_suffix(mark)?, *mark)));
        let (figure, mark) = marked.unwrap_or((&text, self.mark()));
        let (_, per_unit, decimals) =
            MARKS.into_iter().find(|(name, ..)| *name == mark).unwrap_or(("in", PER_INCH, 3));
        if per_unit == PER_INCH && has_fraction(figure) {
            return with_fraction(&spelled_out(figure));
        }
        let most = u64::try_from(Length::LONGEST.0 / per_unit).unwrap_or_default();
        Length::scaled(number::decimal(figure, most, decimals)?, per_unit)
    }
}

fn in_sixteenths(sixteenths: i64) -> String {
    match (sixteenths / 16, sixteenths % 16) {
        (0, part) => format!("{part}/16"),
        (whole, part) => format!("{whole} {part}/16"),
    }
}

/// A figure with its fraction in plain signs: "2½" and "2-1/2" are "2 1/2".
fn spelled_out(figure: &str) -> String {
    let mut text = figure.replace('⁄', "/");
    for (sign, plain) in FRACTION_SIGNS {
        text = text.replace(sign, plain);
    }
    match text.trim().split_once('-') {
        Some((whole, part)) if !whole.trim().is_empty() => format!("{} {}", whole.trim(), part.trim()),
        _ => text,
    }
}

/// Inches with a fraction: "2 1/2", "3/4".
fn with_fraction(figure: &str) -> Result<Length, NumberError> {
    let not_a_number = || NumberError::NotANumber(figure.trim().to_owned());
    let (before, below) = figure.split_once('/').ok_or_else(not_a_number)?;
    let before = before.trim();
    let (whole, above) = before.rsplit_once(char::is_whitespace).unwrap_or(("0", before));
    let part = |text: &str| number::whole(text, 0, 999).map(i64::from).map_err(|_| not_a_number());
    let (whole, above, below) = (part(whole)?, part(above)?, part(below)?);
    if below == 0 {
        return Err(not_a_number());
    }
    if above * PER_INCH % below != 0 {
        return Err(NumberError::Fraction);
    }
    let length = Length(whole * PER_INCH + above * PER_INCH / below);
    if length > Length::LONGEST {
        return Err(NumberError::TooLarge { most: Length::LONGEST_INCHES });
    }
    Ok(length)
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
        let text = if self.0 % PER_MIL == 0 {
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

    #[test]
    fn lengths_are_read_in_either_unit_and_with_fractions() {
        let mm = Length::mm;
        for (text, inches) in [
            ("50 mm", mm(50)),
            ("5cm", mm(50)),
            ("5,5 cm", mm(55)),
            ("2\"", Length::inches(2)),
            ("2 1/2", Length::mils(2_500)),
            ("3/4 in", Length::mils(750)),
            ("2 1/2″", Length::mils(2_500)),
            ("2½ in", Length::mils(2_500)),
            ("2 ½\"", Length::mils(2_500)),
            ("2-1/2 in.", Length::mils(2_500)),
            ("2 1⁄2", Length::mils(2_500)),
            ("⅝", Length::mils(625)),
            ("2 INCHES", Length::inches(2)),
            ("1/16", Length(15_875)),
        ] {
            assert_eq!(Units::Inches.read(text), Ok(inches), "{text}");
        }
        // An inch is 25.4 mm exactly (international yard and pound agreement of 1959, from memory).
        assert_eq!(Units::Millimetres.read("25.4"), Ok(Length::inches(1)));
        assert_eq!(Units::Millimetres.read("1 in"), Units::Millimetres.read("2.54 cm"));
        assert_eq!(Units::Inches.read("1/3"), Err(NumberError::Fraction));
        assert_eq!(Units::Millimetres.read("25401"), Err(NumberError::TooLarge { most: 25_400 }));
        for text in [
            "1/0", "/2", "2/", "1/2/3", "1/2 mm", "-1/2", "a/b", "mm", "2 2 1/2", "5 km", "½½", "2½ mm",
            "-½", "2.5½",
        ] {
            assert!(Units::Inches.read(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn a_drawing_has_millimetres_to_three_decimals(tenths in -3_000_000_i64..3_000_000) {
            prop_assert_eq!(Length(tenths).to_drawing(), shown(Length(tenths).to_mm(), 3));
        }

        #[test]
        fn what_is_written_in_either_unit_reads_back_exactly(tenths in 0_i64..=254_000_000) {
            for length in [Length(tenths), Length(tenths - tenths % PER_SIXTEENTH)] {
                for units in Units::ALL {
                    prop_assert_eq!(units.read(&units.write(length)), Ok(length));
                }
            }
        }

        #[test]
        fn no_text_makes_the_reader_of_lengths_panic(text in "[0-9/ .,a-z\"″-]{0,20}|\\PC{0,20}") {
            for units in Units::ALL {
                if let Ok(length) = units.read(&text) {
                    prop_assert!(length >= Length::ZERO && length <= Length::LONGEST);
                }
            }
        }

        #[test]
        fn storing_keeps_every_length(tenths in 0_i64..=254_000_000) {
            let length = Length(tenths);
            let stored = serde_json::to_string(&length).unwrap();
            prop_assert_eq!(serde_json::from_str::<Length>(&stored).unwrap(), length);
        }
    }
}
