//! Sets of glyphs, as an offer is sold in.

use super::{Glyph, Sign, signs};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fmt;

/// The glyphs that an offer is sold in, written as "A-Z 0-9 & . -".
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GlyphSet(BTreeSet<Glyph>);

impl GlyphSet {
    /// Reads the set: ranges of letters or digits, and single glyphs, spaces between.
    /// A part that is neither is taken apart glyph by glyph, so "ABC" is three glyphs. Control
    /// characters are passed over.
    ///
    /// ```
    /// use lettertally::glyph::{Glyph, GlyphSet};
    /// let set = GlyphSet::parse("A-Z 0-9 & -");
    /// assert!(set.contains(&Glyph::parse("q").unwrap()));
    /// assert_eq!(set.to_string(), "A-Z 0-9 & -");
    /// ```
    pub fn parse(text: &str) -> Self {
        let mut set = BTreeSet::new();
        for part in text.split_whitespace() {
            match part.chars().collect::<Vec<_>>().as_slice() {
                [from, '-', to] if in_one_range(*from, *to) => {
                    set.extend((*from..=*to).filter_map(|c| Glyph::parse(c.encode_utf8(&mut [0; 4]))));
                }
                _ => set.extend(signs(part).into_iter().filter_map(|sign| match sign {
                    Sign::Glyph(glyph) if !glyph.is_control() => Some(glyph),
                    Sign::Glyph(_) | Sign::Space => None,
                })),
            }
        }
        Self(set)
    }

    /// Whether the set holds this glyph.
    pub fn contains(&self, glyph: &Glyph) -> bool {
        self.0.contains(glyph)
    }

    /// The glyphs in order.
    pub fn iter(&self) -> impl Iterator<Item = &Glyph> {
        self.0.iter()
    }

    /// Whether the set holds no glyph.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

fn in_one_range(from: char, to: char) -> bool {
    from < to
        && (from.is_ascii_digit() && to.is_ascii_digit()
            || from.is_ascii_uppercase() && to.is_ascii_uppercase()
            || from.is_ascii_lowercase() && to.is_ascii_lowercase())
}

impl fmt::Display for GlyphSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut rest = self.0.clone();
        let mut parts = Vec::new();
        for (name, range) in [("A-Z", 'A'..='Z'), ("0-9", '0'..='9')] {
            let whole: Vec<Glyph> = range.filter_map(|c| Glyph::parse(c.encode_utf8(&mut [0; 4]))).collect();
            if whole.iter().all(|glyph| rest.contains(glyph)) {
                whole.iter().for_each(|glyph| {
                    rest.remove(glyph);
                });
                parts.push(name.to_owned());
            }
        }
        parts.extend(rest.iter().map(Glyph::to_string));
        f.write_str(&parts.join(" "))
    }
}

impl Serialize for GlyphSet {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for GlyphSet {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(|text| Self::parse(&text))
    }
}
