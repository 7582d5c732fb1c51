//! Finishes: what letters are made of, their colours, and how they are pressed.

use super::{Recipe, id};
use serde::{Deserialize, Serialize};
use std::fmt;

id! {
    /// Names a finish.
    FinishId
}

id! {
    /// Names a colour of a finish.
    ColourId
}

/// What letters are made of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finish {
    /// Its id.
    pub id: FinishId,
    /// What the shop calls it: "smooth film".
    pub name: String,
    /// The colours it comes in.
    pub colours: Vec<Colour>,
    /// How it is pressed.
    pub recipe: Recipe,
}

/// A colour of a finish, or of a blank.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Colour {
    /// Its id.
    pub id: ColourId,
    /// What the shop calls it.
    pub name: String,
    /// How it looks on a screen.
    pub screen: Rgb,
}

/// A colour on a screen, stored as "#rrggbb".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rgb(pub [u8; 3]);

impl Rgb {
    /// Reads "#rrggbb".
    ///
    /// ```
    /// use lettertally::lists::Rgb;
    /// assert_eq!(Rgb::parse("#1a2B3c"), Some(Rgb([0x1a, 0x2b, 0x3c])));
    /// assert_eq!(Rgb::parse("red"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        let value = u32::from_str_radix(digits, 16).ok()?;
        let [_, red, green, blue] = value.to_be_bytes();
        Some(Self([red, green, blue]))
    }
}

impl fmt::Display for Rgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.0;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}

impl Serialize for Rgb {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Rgb {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).ok_or_else(|| serde::de::Error::custom("expected a colour such as #1a2b3c"))
    }
}
