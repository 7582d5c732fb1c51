//! Letter styles: the shape of an alphabet and how wide its letters are.
//!
//! Owns the table of widths as a shop keeps it. A letter that the table does not name has the
//! width of the built-in block alphabet, which is an estimate (see `layout`).

use super::drawing::Drawing;
use super::id;
use crate::glyph::Glyph;
use crate::length::Length;
use crate::money::Percent;
use crate::number::{self, NumberError};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

id! {
    /// Names a letter style.
    StyleId
}

/// The shape of an alphabet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetterStyle {
    /// Its id.
    pub id: StyleId,
    /// What the shop calls it: "block".
    pub name: String,
    /// Whether one cut piece serves as 6 and as 9.
    pub six_is_nine: bool,
    /// How wide its letters are.
    #[serde(default, skip_serializing_if = "Widths::is_estimate")]
    pub widths: Widths,
}

impl LetterStyle {
    /// A style of which nothing but the name is known: its widths are estimates.
    pub fn estimated(id: &str, name: &str) -> Self {
        Self { id: StyleId::new(id), name: name.to_owned(), six_is_nine: false, widths: Widths::default() }
    }
}

/// How wide the letters of a style are and how far apart they are set, as shares of the cap height.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Widths {
    /// Where the figures come from.
    pub source: WidthSource,
    /// The gap between two letters.
    pub gap: Caps,
    /// What a space adds between two letters.
    pub space: Caps,
    /// The width of each letter that was measured, typed or read from a font.
    #[serde(default)]
    pub letters: BTreeMap<Glyph, Caps>,
    /// What is added to the gap between two letters, below zero where they stand closer: "AV".
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub pairs: BTreeMap<Pair, Caps>,
    /// The outlines of letters that were read from a font; others are drawn as the built-in ones are.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", with = "drawings")]
    pub drawings: BTreeMap<Glyph, Arc<Drawing>>,
}

/// Where the figures of a table of widths come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WidthSource {
    /// From the built-in block alphabet.
    #[default]
    Estimate,
    /// Measured or typed by the shop.
    Measured,
    /// Read from a font file.
    Font,
}

impl WidthSource {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Estimate => "an estimate from the built-in block alphabet",
            Self::Measured => "measured by you",
            Self::Font => "read from a font",
        }
    }
}

impl Widths {
    /// Whether nothing of it is the shop's own.
    pub fn is_estimate(&self) -> bool {
        *self == Self::default()
    }

    /// What is added to the gap between two letters.
    pub fn pair(&self, left: &Glyph, right: &Glyph) -> Caps {
        if self.pairs.is_empty() {
            return Caps::ZERO;
        }
        self.pairs.get(&Pair(left.clone(), right.clone())).copied().unwrap_or(Caps::ZERO)
    }
}

impl Default for Widths {
    /// The built-in estimate: its gap and word space are common practice, no source.
    fn default() -> Self {
        Self {
            source: WidthSource::Estimate,
            gap: Caps::thousandths(100),
            space: Caps::thousandths(350),
            letters: BTreeMap::new(),
            pairs: BTreeMap::new(),
            drawings: BTreeMap::new(),
        }
    }
}

/// Drawings are shared with the pictures made of them, and stored each by itself.
mod drawings {
    use super::{Arc, BTreeMap, Deserialize, Deserializer, Drawing, Glyph, Serializer};

    pub fn serialize<S: Serializer>(all: &BTreeMap<Glyph, Arc<Drawing>>, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(all.iter().map(|(glyph, drawing)| (glyph, drawing.as_ref())))
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<BTreeMap<Glyph, Arc<Drawing>>, D::Error> {
        let all = BTreeMap::<Glyph, Drawing>::deserialize(from)?;
        Ok(all.into_iter().map(|(glyph, drawing)| (glyph, Arc::new(drawing))).collect())
    }
}

/// Two letters side by side; stored as both in a row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair(pub Glyph, pub Glyph);

impl Serialize for Pair {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&format_args!("{}{}", self.0, self.1))
    }
}

impl<'de> Deserialize<'de> for Pair {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        use crate::glyph::{Sign, signs};
        let text = String::deserialize(deserializer)?;
        match <[Sign; 2]>::try_from(signs(&text)) {
            Ok([Sign::Glyph(left), Sign::Glyph(right)]) => Ok(Self(left, right)),
            _ => Err(serde::de::Error::custom("expected two letters")),
        }
    }
}

/// A length as a share of the cap height, in hundred-thousandths of it.
///
/// ```
/// use lettertally::{length::Length, lists::Caps};
/// assert_eq!(Caps::thousandths(876).of(Length::inches(4)), Length::mils(3_504));
/// assert_eq!(Caps::thousandths(876).to_string(), "0.876");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Caps(i32);

impl Caps {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// The largest share: twenty cap heights.
    pub const LARGEST: u32 = 20;

    const WHOLE: i32 = 100_000;
    const DECIMALS: u32 = 5;

    /// Thousandths of the cap height.
    pub const fn thousandths(thousandths: i32) -> Self {
        Self(thousandths.saturating_mul(100))
    }

    /// So many hundredths of the cap height.
    pub fn percent(percent: Percent) -> Self {
        (percent.value() * Decimal::ONE_THOUSAND).to_i32().map_or(Self::ZERO, Self)
    }

    /// The share that a part is of a whole, rounded; `None` of a whole that is not above zero, or
    /// beyond [`Self::LARGEST`].
    pub fn ratio(part: i64, whole: i64) -> Option<Self> {
        let share = (2 * i128::from(part) * i128::from(Self::WHOLE) + i128::from(whole))
            .checked_div_euclid(2 * i128::from(whole).max(0))?;
        let share = i32::try_from(share).ok()?;
        (share.unsigned_abs() <= Self::LARGEST * Self::WHOLE.unsigned_abs()).then_some(Self(share))
    }

    /// This share of a cap height, rounded to a tenth of a micrometre.
    pub fn of(self, height: Length) -> Length {
        height.part(i64::from(self.0), i64::from(Self::WHOLE))
    }

    /// In thousandths of the cap height, rounded.
    pub fn in_thousandths(self) -> i32 {
        (self.0 + 50).div_euclid(100)
    }

    /// In hundredths of the cap height for a person, cut to one decimal: "9.4 %".
    ///
    /// ```
    /// use lettertally::lists::Caps;
    /// assert_eq!(Caps::parse("0.09416").unwrap().in_percent(), "9.4 %");
    /// ```
    pub fn in_percent(self) -> String {
        format!("{} %", Decimal::new(i64::from(self.0).div_euclid(100), 1).normalize())
    }

    /// The least whole step below: used where a gap is tried finer and finer.
    pub fn midpoint(self, other: Self) -> Self {
        Self((self.0 + other.0).div_euclid(2))
    }

    /// Reads a share that is not below zero as a person types it: "0.876".
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse(text: &str) -> Result<Self, NumberError> {
        let value = number::decimal(text, u64::from(Self::LARGEST), Self::DECIMALS)?;
        let share = (value * Decimal::from(Self::WHOLE)).to_i32();
        share.map(Self).ok_or(NumberError::TooLarge { most: u64::from(Self::LARGEST) })
    }

    /// Reads a share that may be below zero.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn parse_signed(text: &str) -> Result<Self, NumberError> {
        match text.trim().strip_prefix(['-', '−']) {
            Some(rest) => Self::parse(rest).map(|share| Self(-share.0)),
            None => Self::parse(text),
        }
    }
}

impl std::ops::Add for Caps {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl fmt::Display for Caps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", Decimal::new(i64::from(self.0), Self::DECIMALS).normalize())
    }
}

impl Serialize for Caps {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Caps {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::parse_signed(&String::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_table_is_stored_and_read_and_an_estimate_is_not_stored() {
        let mut style = LetterStyle::estimated("block", "block");
        let text = serde_json::to_string(&style).unwrap();
        assert_eq!(text, r#"{"id":"block","name":"block","six_is_nine":false}"#);
        let glyph = |text: &str| Glyph::parse(text).unwrap();
        style.widths.source = WidthSource::Measured;
        style.widths.letters.insert(glyph("W"), Caps::thousandths(1_368));
        style.widths.pairs.insert(Pair(glyph("A"), glyph("V")), Caps::thousandths(-67));
        let text = serde_json::to_string(&style).unwrap();
        assert!(text.contains(r#""pairs":{"AV":"-0.067"}"#) && !text.contains("drawings"), "{text}");
        assert_eq!(serde_json::from_str::<LetterStyle>(&text).unwrap(), style);
        let bar = Drawing::new(300, vec![vec![(0, 0), (300, 0), (300, 1000)]]).unwrap();
        style.widths.drawings.insert(glyph("I"), Arc::new(bar));
        let text = serde_json::to_string(&style).unwrap();
        assert_eq!(serde_json::from_str::<LetterStyle>(&text).unwrap(), style);
        assert!(serde_json::from_str::<Pair>("\"A\"").is_err());
        assert!(serde_json::from_str::<Caps>("\"20.1\"").is_err());
    }

    #[test]
    fn a_ratio_is_rounded_to_the_nearest() {
        assert_eq!(Caps::ratio(657, 750), Some(Caps::thousandths(876)));
        assert_eq!(Caps::ratio(-30, 750), Some(Caps::thousandths(-40)));
        assert_eq!(Caps::ratio(1, 3).map(|share| share.to_string()), Some("0.33333".to_owned()));
        assert_eq!((Caps::ratio(1, 0), Caps::ratio(21, 1), Caps::ratio(1, -2)), (None, None, None));
    }

    proptest! {
        #[test]
        fn a_share_reads_back(share in -2_000_000_i32..=2_000_000) {
            prop_assert_eq!(Caps::parse_signed(&Caps(share).to_string()), Ok(Caps(share)));
        }
    }
}
