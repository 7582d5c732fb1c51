//! Counts of glyphs: how many of each.

use super::{Glyph, Sign, signs};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// How many of each glyph. Never holds a count of zero.
///
/// ```
/// use lettertally::glyph::{Glyph, GlyphCounts};
/// let counts = GlyphCounts::of_text("Banana");
/// assert_eq!(counts.get(&Glyph::parse("A").unwrap()), 3);
/// assert_eq!(counts.total(), 6);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(transparent)]
pub struct GlyphCounts(BTreeMap<Glyph, u32>);

impl GlyphCounts {
    /// The most of one glyph that any count may reach.
    pub const MOST: u32 = 10_000_000;

    /// The letters of a text.
    pub fn of_text(text: &str) -> Self {
        let mut counts = Self::default();
        for sign in signs(text) {
            if let Sign::Glyph(glyph) = sign {
                counts.add(glyph, 1);
            }
        }
        counts
    }

    /// How many of this glyph.
    pub fn get(&self, glyph: &Glyph) -> u32 {
        self.0.get(glyph).copied().unwrap_or(0)
    }

    /// Sets how many of this glyph.
    pub fn set(&mut self, glyph: Glyph, count: u32) {
        if count == 0 {
            self.0.remove(&glyph);
        } else {
            self.0.insert(glyph, count.min(Self::MOST));
        }
    }

    /// Adds so many of this glyph.
    pub fn add(&mut self, glyph: Glyph, count: u32) {
        if count > 0 {
            let slot = self.0.entry(glyph).or_default();
            *slot = slot.saturating_add(count).min(Self::MOST);
        }
    }

    /// Adds all of `other`, `times` over.
    pub fn add_all(&mut self, other: &Self, times: u32) {
        for (glyph, count) in other.iter() {
            let more = count.saturating_mul(times);
            match self.0.get_mut(glyph) {
                Some(count) => *count = count.saturating_add(more).min(Self::MOST),
                None => self.add(glyph.clone(), more),
            }
        }
    }

    /// What is left of this after taking `other` away, glyph by glyph and never below zero.
    pub fn less(&self, other: &Self) -> Self {
        let mut rest = Self::default();
        for (glyph, count) in self.iter() {
            rest.set(glyph.clone(), count.saturating_sub(other.get(glyph)));
        }
        rest
    }

    /// What this and `other` have in common: the smaller count of each glyph.
    pub fn common(&self, other: &Self) -> Self {
        let mut both = Self::default();
        for (glyph, count) in self.iter() {
            both.set(glyph.clone(), count.min(other.get(glyph)));
        }
        both
    }

    /// The glyphs and their counts, in order of the glyphs.
    pub fn iter(&self) -> impl Iterator<Item = (&Glyph, u32)> {
        self.0.iter().map(|(glyph, &count)| (glyph, count))
    }

    /// The number of letters in all.
    pub fn total(&self) -> u64 {
        self.0.values().map(|&count| u64::from(count)).sum()
    }

    /// Whether some count reached [`Self::MOST`], so that there may be more in truth.
    pub fn is_full(&self) -> bool {
        self.0.values().any(|&count| count >= Self::MOST)
    }

    /// Whether there is no letter at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<(Glyph, u32)> for GlyphCounts {
    fn from_iter<I: IntoIterator<Item = (Glyph, u32)>>(pairs: I) -> Self {
        let mut counts = Self::default();
        for (glyph, count) in pairs {
            counts.add(glyph, count);
        }
        counts
    }
}

impl<'de> Deserialize<'de> for GlyphCounts {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let pairs = BTreeMap::<Glyph, u32>::deserialize(deserializer)?;
        Ok(pairs.into_iter().collect())
    }
}

/// The form that [`GlyphCounts::parse`] reads back: "A:5 B:2".
impl fmt::Display for GlyphCounts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (glyph, count)) in self.iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            write!(f, "{gap}{glyph}:{count}")?;
        }
        Ok(())
    }
}
