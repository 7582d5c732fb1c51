//! Goods: letters and blanks by the piece, as they come in, lie there and go out.
//!
//! Owns the one form in which a fact says what moved, and how it is written down shortly. A count
//! of zero is kept: “none of these lies there” is something that a person counted.

use crate::glyph::{Glyph, GlyphCounts};
use crate::length::Length;
use crate::lists::{BlankId, ColourId, Family, FinishId, Lists, StyleId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One kind of piece on the shelf.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// A letter.
    Letter(Family, Glyph),
    /// A blank of one size.
    Blank(BlankId, String),
}

impl Item {
    /// How a person calls it: "A, 2 in smooth film, white, block", "club tee, navy, M".
    pub fn name(&self, lists: &Lists) -> String {
        match self {
            Self::Letter(family, glyph) => format!("{}, {}", glyph.name(), lists.family_name(family)),
            Self::Blank(blank, size) => {
                let name = lists.blank(blank).map_or(blank.as_str(), |blank| &blank.name);
                format!("{name}, {size}")
            }
        }
    }

    /// Whether it is a letter.
    pub fn is_letter(&self) -> bool {
        matches!(self, Self::Letter(..))
    }
}

/// So many of each piece.
///
/// ```
/// use lettertally::{book::goods::Goods, glyph::GlyphCounts, lists::{BlankId, demo}};
/// let family = demo::lists().families().remove(0);
/// let mut goods = Goods::default();
/// goods.add_letters(&family, &GlyphCounts::of_text("OTTO"), 2);
/// goods.add_blank(&BlankId::new("club-tee-navy"), "M", 1);
/// assert_eq!((goods.letters(), goods.blanks()), (8, 1));
/// let text = serde_json::to_string(&goods).unwrap();
/// assert_eq!(serde_json::from_str::<Goods>(&text).unwrap(), goods);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(from = "Grouped", into = "Grouped")]
pub struct Goods(BTreeMap<Item, u32>);

impl Goods {
    /// Every piece with its count, letters first.
    pub fn iter(&self) -> impl Iterator<Item = (&Item, u32)> {
        self.0.iter().map(|(item, &count)| (item, count))
    }

    /// How many of this piece.
    pub fn get(&self, item: &Item) -> u32 {
        self.0.get(item).copied().unwrap_or(0)
    }

    /// Sets how many of a piece, zero included.
    pub fn set(&mut self, item: Item, count: u32) {
        self.0.insert(item, count.min(GlyphCounts::MOST));
    }

    /// Adds so many of a piece; none changes nothing.
    pub fn add(&mut self, item: Item, count: u32) {
        if count > 0 {
            let slot = self.0.entry(item).or_default();
            *slot = slot.saturating_add(count).min(GlyphCounts::MOST);
        }
    }

    /// Adds letters of a family, so many times over.
    pub fn add_letters(&mut self, family: &Family, counts: &GlyphCounts, times: u32) {
        for (glyph, count) in counts.iter() {
            self.add(Item::Letter(family.clone(), glyph.clone()), count.saturating_mul(times));
        }
    }

    /// Adds blanks of a size.
    pub fn add_blank(&mut self, blank: &BlankId, size: &str, count: u32) {
        self.add(Item::Blank(blank.clone(), size.to_owned()), count);
    }

    /// Adds all of `other`, so many times over.
    pub fn add_all(&mut self, other: &Self, times: u32) {
        for (item, count) in other.iter() {
            self.add(item.clone(), count.saturating_mul(times));
        }
    }

    /// What is left after taking `other` away, never below zero, without what is none.
    #[must_use]
    pub fn less(&self, other: &Self) -> Self {
        let mut rest = Self::default();
        for (item, count) in self.iter() {
            rest.add(item.clone(), count.saturating_sub(other.get(item)));
        }
        rest
    }

    /// How many letters in all.
    pub fn letters(&self) -> u64 {
        self.iter().filter(|(item, _)| item.is_letter()).map(|(_, count)| u64::from(count)).sum()
    }

    /// How many blanks in all.
    pub fn blanks(&self) -> u64 {
        self.iter().filter(|(item, _)| !item.is_letter()).map(|(_, count)| u64::from(count)).sum()
    }

    /// Whether nothing is said of any piece.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The letters, family by family.
    pub fn by_family(&self) -> BTreeMap<&Family, GlyphCounts> {
        let mut families = BTreeMap::<&Family, GlyphCounts>::new();
        for (item, count) in self.iter() {
            if let Item::Letter(family, glyph) = item {
                families.entry(family).or_default().add(glyph.clone(), count);
            }
        }
        families
    }
}

impl FromIterator<(Item, u32)> for Goods {
    fn from_iter<I: IntoIterator<Item = (Item, u32)>>(pairs: I) -> Self {
        let mut goods = Self::default();
        pairs.into_iter().for_each(|(item, count)| goods.set(item, count));
        goods
    }
}

/// A family, field by field, and how many of each glyph.
type FamilyCounts = (FinishId, Length, ColourId, StyleId, BTreeMap<Glyph, u32>);

/// The short form: a family once with all its glyphs, a blank once with all its sizes.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Grouped {
    #[serde(default, rename = "l", skip_serializing_if = "Vec::is_empty")]
    letters: Vec<FamilyCounts>,
    #[serde(default, rename = "b", skip_serializing_if = "BTreeMap::is_empty")]
    blanks: BTreeMap<BlankId, BTreeMap<String, u32>>,
}

impl From<Goods> for Grouped {
    fn from(goods: Goods) -> Self {
        let mut families = BTreeMap::<Family, BTreeMap<Glyph, u32>>::new();
        let mut blanks = BTreeMap::<BlankId, BTreeMap<String, u32>>::new();
        for (item, count) in goods.0 {
            match item {
                Item::Letter(family, glyph) => families.entry(family).or_default().insert(glyph, count),
                Item::Blank(blank, size) => blanks.entry(blank).or_default().insert(size, count),
            };
        }
        let short = |(family, counts): (Family, _)| {
            let Family { finish, height, colour, style } = family;
            (finish, height, colour, style, counts)
        };
        Self { letters: families.into_iter().map(short).collect(), blanks }
    }
}

impl From<Grouped> for Goods {
    fn from(grouped: Grouped) -> Self {
        let mut goods = Self::default();
        for (finish, height, colour, style, counts) in grouped.letters {
            let family = Family { finish, height, colour, style };
            counts
                .into_iter()
                .for_each(|(glyph, count)| goods.set(Item::Letter(family.clone(), glyph), count));
        }
        for (blank, sizes) in grouped.blanks {
            sizes.into_iter().for_each(|(size, count)| goods.set(Item::Blank(blank.clone(), size), count));
        }
        goods
    }
}
