//! The shelf: letters and blanks already owned, and how many are wanted there at all times.
//!
//! Owns both counts for each glyph of each family and for each size of each blank. Never says what
//! they are for, nor how the counts came about.

use crate::glyph::{Glyph, GlyphCounts};
use crate::lists::{BlankId, Family};
use serde::{Deserialize, Serialize};

/// Letters already owned and wanted, per family, and blanks, per size.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shelf {
    letters: Vec<Stock>,
    blanks: Vec<BlankStock>,
}

/// Blanks of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlankStock {
    /// The garment.
    pub blank: BlankId,
    /// The size's name.
    pub size: String,
    /// How many lie there.
    pub count: u32,
    /// How many are to lie there at the least.
    #[serde(default)]
    pub wanted: u32,
}

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
        self.letters.iter().any(|stock| !stock.wanted.is_empty())
    }

    /// The families of which something lies or is wanted there.
    pub fn stocks(&self) -> &[Stock] {
        &self.letters
    }

    /// The blanks of which some lie or are wanted there.
    pub fn blanks(&self) -> &[BlankStock] {
        &self.blanks
    }

    /// How many blanks of a size lie there.
    pub fn of_blank(&self, blank: &BlankId, size: &str) -> u32 {
        self.blank(blank, size).map_or(0, |stock| stock.count)
    }

    /// How many blanks of a size are wanted there.
    pub fn wanted_blank(&self, blank: &BlankId, size: &str) -> u32 {
        self.blank(blank, size).map_or(0, |stock| stock.wanted)
    }

    /// Sets how many blanks of a size lie there.
    ///
    /// ```
    /// use lettertally::{lists::BlankId, shelf::Shelf};
    /// let (mut shelf, tee) = (Shelf::default(), BlankId::new("club-tee-navy"));
    /// shelf.set_blank(&tee, "M", 12);
    /// assert_eq!((shelf.of_blank(&tee, "M"), shelf.of_blank(&tee, "S")), (12, 0));
    /// ```
    pub fn set_blank(&mut self, blank: &BlankId, size: &str, count: u32) {
        self.change_blank(blank, size, |stock| stock.count = count.min(GlyphCounts::MOST));
    }

    /// Sets how many blanks of a size are wanted there.
    pub fn want_blank(&mut self, blank: &BlankId, size: &str, wanted: u32) {
        self.change_blank(blank, size, |stock| stock.wanted = wanted.min(GlyphCounts::MOST));
    }

    fn blank(&self, blank: &BlankId, size: &str) -> Option<&BlankStock> {
        self.blanks.iter().find(|stock| stock.blank == *blank && stock.size == size)
    }

    fn change_blank(&mut self, blank: &BlankId, size: &str, change: impl FnOnce(&mut BlankStock)) {
        match self.blanks.iter_mut().find(|stock| stock.blank == *blank && stock.size == size) {
            Some(stock) => change(stock),
            None => {
                let mut stock =
                    BlankStock { blank: blank.clone(), size: size.to_owned(), count: 0, wanted: 0 };
                change(&mut stock);
                self.blanks.push(stock);
            }
        }
        self.blanks.retain(|stock| stock.count > 0 || stock.wanted > 0);
    }

    fn stock(&self, family: &Family) -> Option<&Stock> {
        self.letters.iter().find(|stock| stock.family == *family)
    }

    fn change(&mut self, family: &Family, change: impl FnOnce(&mut Stock)) {
        match self.letters.iter_mut().find(|stock| stock.family == *family) {
            Some(stock) => change(stock),
            None => {
                let (counts, wanted) = (GlyphCounts::default(), GlyphCounts::default());
                let mut stock = Stock { family: family.clone(), counts, wanted };
                change(&mut stock);
                self.letters.push(stock);
            }
        }
        self.letters.retain(|stock| !stock.counts.is_empty() || !stock.wanted.is_empty());
    }
}
