//! The shelf: letters already owned, and how many are wanted there at all times.
//!
//! Owns both counts for each glyph of each family. Never says what the letters are for.

use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::Family;
use serde::{Deserialize, Serialize};

/// Letters already owned and wanted, per family.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Shelf(Vec<Stock>);

/// The letters of one family.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// The family.
    pub family: Family,
    /// How many of each glyph lie there.
    pub counts: GlyphCounts,
    /// How many of each glyph are to lie there at the least, once an order is made.
    #[serde(default, skip_serializing_if = "GlyphCounts::is_empty")]
    pub wanted: GlyphCounts,
}

impl Shelf {
    /// What lies there of a family.
    pub fn of(&self, family: &Family) -> GlyphCounts {
        self.stock(family).map(|stock| stock.counts.clone()).unwrap_or_default()
    }

    /// What is wanted there of a family.
    pub fn wanted(&self, family: &Family) -> GlyphCounts {
        self.stock(family).map(|stock| stock.wanted.clone()).unwrap_or_default()
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
        self.change(family, |stock| stock.counts.set(glyph, count));
    }

    /// Sets all that lies there of a family.
    pub fn replace(&mut self, family: &Family, counts: GlyphCounts) {
        self.change(family, |stock| stock.counts = counts);
    }

    /// Sets all that is wanted there of a family.
    ///
    /// ```
    /// use lettertally::{glyph::GlyphCounts, lists::demo, shelf::Shelf};
    /// let family = demo::lists().families().remove(0);
    /// let mut shelf = Shelf::default();
    /// shelf.want(&family, GlyphCounts::parse("A:3 E:4").unwrap());
    /// assert!(shelf.is_anything_wanted() && shelf.of(&family).is_empty());
    /// ```
    pub fn want(&mut self, family: &Family, wanted: GlyphCounts) {
        self.change(family, |stock| stock.wanted = wanted);
    }

    /// Whether any letter is wanted there at all times.
    pub fn is_anything_wanted(&self) -> bool {
        self.0.iter().any(|stock| !stock.wanted.is_empty())
    }

    /// The families of which something lies or is wanted there.
    pub fn stocks(&self) -> &[Stock] {
        &self.0
    }

    fn stock(&self, family: &Family) -> Option<&Stock> {
        self.0.iter().find(|stock| stock.family == *family)
    }

    fn change(&mut self, family: &Family, change: impl FnOnce(&mut Stock)) {
        match self.0.iter_mut().find(|stock| stock.family == *family) {
            Some(stock) => change(stock),
            None => {
                let (counts, wanted) = (GlyphCounts::default(), GlyphCounts::default());
                let mut stock = Stock { family: family.clone(), counts, wanted };
                change(&mut stock);
                self.0.push(stock);
            }
        }
        self.0.retain(|stock| !stock.counts.is_empty() || !stock.wanted.is_empty());
    }
}
