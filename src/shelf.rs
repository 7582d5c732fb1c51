//! The shelf: letters already owned.
//!
//! Owns how many of each glyph of each family lie there. Never says what they are for.

use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::Family;
use serde::{Deserialize, Serialize};

/// Letters already owned, per family.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Shelf(Vec<Stock>);

/// The letters of one family.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// The family.
    pub family: Family,
    /// How many of each glyph.
    pub counts: GlyphCounts,
}

impl Shelf {
    /// What lies there of a family.
    pub fn of(&self, family: &Family) -> GlyphCounts {
        let stock = self.0.iter().find(|stock| stock.family == *family);
        stock.map(|stock| stock.counts.clone()).unwrap_or_default()
    }

    /// Sets how many of a glyph lie there.
    ///
    /// ```
    /// use lettertally::{glyph::Glyph, lists::demo, shelf::Shelf};
    /// let family = demo::lists().families().remove(0);
    /// let mut shelf = Shelf::default();
    /// shelf.set(&family, Glyph::parse("A").unwrap(), 3);
    /// assert_eq!(shelf.of(&family).total(), 3);
    /// ```
    pub fn set(&mut self, family: &Family, glyph: Glyph, count: u32) {
        match self.0.iter_mut().find(|stock| stock.family == *family) {
            Some(stock) => stock.counts.set(glyph, count),
            None => {
                let counts = [(glyph, count)].into_iter().collect();
                self.0.push(Stock { family: family.clone(), counts });
            }
        }
        self.0.retain(|stock| !stock.counts.is_empty());
    }

    /// Sets all that lies there of a family.
    pub fn replace(&mut self, family: &Family, counts: GlyphCounts) {
        self.0.retain(|stock| stock.family != *family);
        if !counts.is_empty() {
            self.0.push(Stock { family: family.clone(), counts });
        }
    }

    /// What lies there, family by family.
    pub fn stocks(&self) -> &[Stock] {
        &self.0
    }
}
