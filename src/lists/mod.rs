//! What the shop works with: suppliers and their offers, finishes, letter styles, blanks.
//!
//! Owns the shop's own lists and the questions asked of them ("is this glyph sold in this
//! family?"). Never knows an order, and never adds up money.

pub mod blank;
pub mod block;
pub mod bulk;
pub mod contents;
pub mod contrast;
pub mod demo;
pub mod drawing;
pub mod entries;
pub mod finish;
pub mod finish_change;
pub mod names;
pub mod offer;
pub mod recipe;
pub mod recoin;
pub mod rows;
pub mod settings;
pub mod steps;
pub mod style;

pub use blank::{Blank, BlankId, BlankSize};
pub use finish::{Colour, ColourId, Finish, FinishId, Rgb};
pub use offer::{Break, CountOver, Family, FreightStep, Offer, OfferId, Supplier, SupplierId, Way};
pub use recipe::{Peel, Recipe};
pub use settings::Settings;
pub use style::{Caps, LetterStyle, StyleId, Widths};

use crate::glyph::Glyph;
use crate::length::Length;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Makes a name of the shop's own records into a type, so that one cannot stand for another.
macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        // Shared, not copied: a family is named by three of them, for each line on each garment.
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
        pub struct $name(std::sync::Arc<str>);

        impl $name {
            /// The id of this text.
            pub fn new(text: impl Into<std::sync::Arc<str>>) -> Self {
                Self(text.into())
            }

            /// The text of the id.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&self.0)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                <String as serde::Deserialize>::deserialize(deserializer).map(Self::new)
            }
        }
    };
}
pub(crate) use id;

/// All of the shop's lists.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lists {
    /// Who sells letters.
    pub suppliers: Vec<Supplier>,
    /// What letters are made of.
    pub finishes: Vec<Finish>,
    /// The shapes of alphabet.
    pub styles: Vec<LetterStyle>,
    /// The ways to buy letters, in the order of the price list.
    pub offers: Vec<Offer>,
    /// The garments.
    pub blanks: Vec<Blank>,
}

impl Lists {
    /// The finish with this id.
    pub fn finish(&self, id: &FinishId) -> Option<&Finish> {
        self.finishes.iter().find(|finish| finish.id == *id)
    }

    /// The letter style with this id.
    pub fn style(&self, id: &StyleId) -> Option<&LetterStyle> {
        self.styles.iter().find(|style| style.id == *id)
    }

    /// The blank with this id.
    pub fn blank(&self, id: &BlankId) -> Option<&Blank> {
        self.blanks.iter().find(|blank| blank.id == *id)
    }

    /// The colour of a finish.
    pub fn colour(&self, finish: &FinishId, colour: &ColourId) -> Option<&Colour> {
        self.finish(finish)?.colours.iter().find(|entry| entry.id == *colour)
    }

    /// How wide the letters of a style are; the built-in estimate where it is gone.
    pub fn widths(&self, style: &StyleId) -> &Widths {
        static ESTIMATE: std::sync::LazyLock<Widths> = std::sync::LazyLock::new(Widths::default);
        self.style(style).map_or(&*ESTIMATE, |style| &style.widths)
    }

    /// The offers for a family, in the order of the price list.
    pub fn offers_for<'a>(&'a self, family: &'a Family) -> impl Iterator<Item = &'a Offer> {
        self.offers.iter().filter(|offer| offer.serves(family))
    }

    /// Whether any offer sells this glyph in this family.
    pub fn sells(&self, family: &Family, glyph: &Glyph) -> bool {
        self.offers_for(family).any(|offer| offer.gives(glyph))
    }

    /// Every family that some offer serves, each once, in the order of the price list.
    pub fn families(&self) -> Vec<Family> {
        let mut seen = BTreeSet::new();
        let families = self.offers.iter().flat_map(Offer::families);
        families.filter(|family| seen.insert(family.clone())).collect()
    }

    /// The family of another finish that is most like this one: the same height counts most, then
    /// the letter style, then the colour; of equals the first on the price list.
    pub fn nearest_family(&self, finish: &FinishId, like: &Family) -> Option<Family> {
        let unlike = |family: &Family| {
            (family.height != like.height, family.style != like.style, family.colour != like.colour)
        };
        self.families().into_iter().filter(|family| family.finish == *finish).min_by_key(unlike)
    }

    /// The letter heights that some offer has in this finish, smallest first.
    pub fn heights(&self, finish: &FinishId) -> Vec<Length> {
        let of_finish = self.offers.iter().filter(|offer| offer.finish == *finish);
        of_finish.map(|offer| offer.height).collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// Adds the entries of other lists whose ids are not here.
    pub fn add_missing(&mut self, other: &Self) {
        fn add<T: Clone>(here: &mut Vec<T>, there: &[T], same: fn(&T, &T) -> bool) {
            for entry in there {
                if !here.iter().any(|old| same(old, entry)) {
                    here.push(entry.clone());
                }
            }
        }
        add(&mut self.suppliers, &other.suppliers, |a, b| a.id == b.id);
        add(&mut self.finishes, &other.finishes, |a, b| a.id == b.id);
        add(&mut self.styles, &other.styles, |a, b| a.id == b.id);
        add(&mut self.offers, &other.offers, |a, b| a.id == b.id);
        add(&mut self.blanks, &other.blanks, |a, b| a.id == b.id);
    }

    /// How a person calls an offer, without who sells it: "2 in smooth film, pack of 5".
    pub fn offer_name(&self, offer: &Offer) -> String {
        let finish = match self.finish(&offer.finish) {
            Some(finish) => finish.name.clone(),
            None => format!("{} (gone)", offer.finish),
        };
        format!("{} {finish}, {}", offer.height, offer.way_name())
    }

    /// How a person calls a family: "3 in glitter film, gold, block".
    ///
    /// Falls back to the ids where the lists no longer hold the record.
    pub fn family_name(&self, family: &Family) -> String {
        let finish = self.finish(&family.finish).map_or(family.finish.as_str(), |finish| &finish.name);
        let colour =
            self.colour(&family.finish, &family.colour).map_or(family.colour.as_str(), |colour| &colour.name);
        let style = self.style(&family.style).map_or(family.style.as_str(), |style| &style.name);
        format!("{} {finish}, {colour}, {style}", family.height)
    }
}

/// An id that none of the `taken` ids has, made from a name: "Glitter film" gives "glitter-film".
pub fn fresh_id<'a>(name: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let taken: BTreeSet<&str> = taken.collect();
    let words = name.to_lowercase();
    let words = words.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let base = words.collect::<Vec<_>>().join("-");
    let base = if base.is_empty() { "item".to_owned() } else { base };
    if !taken.contains(base.as_str()) {
        return base;
    }
    let numbered = (2_u32..).map(|n| format!("{base}-{n}"));
    numbered.into_iter().find(|id| !taken.contains(id.as_str())).unwrap_or(base)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_come_from_names_and_never_repeat() {
        assert_eq!(fresh_id("Glitter film", [].into_iter()), "glitter-film");
        assert_eq!(fresh_id("Gold", ["gold", "gold-2"].into_iter()), "gold-3");
        assert_eq!(fresh_id("—", [].into_iter()), "item");
    }

    #[test]
    fn another_finish_keeps_height_and_colour_where_it_can() {
        let lists = demo::lists();
        let line = &demo::order("2026-01-01").designs[0].lines[0];
        let nearest = |finish| lists.nearest_family(&FinishId::new(finish), &line.family()).unwrap();
        assert_eq!(lists.family_name(&nearest("smooth")), "2 in smooth film, gold, block");
        assert_eq!(lists.family_name(&nearest("twill")), "2 in stitched-look twill, white, block");
        assert_eq!(lists.nearest_family(&FinishId::new("gone"), &line.family()), None);
    }

    #[test]
    fn a_family_is_named_even_when_its_finish_is_gone() {
        let mut lists = demo::lists();
        let family = lists.families().remove(0);
        assert_eq!(lists.family_name(&family), "2 in smooth film, white, block");
        lists.finishes.clear();
        assert_eq!(lists.family_name(&family), "2 in smooth, white, block");
    }
}
