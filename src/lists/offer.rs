//! Offers: the ways in which a supplier sells the letters of a family.

use super::{ColourId, FinishId, StyleId, id};
use crate::glyph::{Glyph, GlyphCounts, GlyphSet};
use crate::length::Length;
use crate::money::Cents;
use serde::{Deserialize, Serialize};

id! {
    /// Names a supplier.
    SupplierId
}

id! {
    /// Names an offer.
    OfferId
}

/// Somebody who sells letters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Supplier {
    /// Its id.
    pub id: SupplierId,
    /// What the shop calls it.
    pub name: String,
    /// What it charges to ship, by the merchandise subtotal of the order; the last step that the
    /// subtotal reaches counts. Below the first step, and without one, freight costs nothing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub freight: Vec<FreightStep>,
    /// The least merchandise subtotal that it accepts; nothing for no minimum.
    #[serde(default)]
    pub minimum: Cents,
    /// How many days its goods take to come; `None` where the shop did not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u16>,
    /// The day of its price list, as year-month-day; empty where the shop does not keep it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// What the shop noted about it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A step of a supplier's freight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FreightStep {
    /// The merchandise subtotal from which on it counts.
    pub from: Cents,
    /// What shipping costs.
    pub cost: Cents,
}

/// A quantity break: from so many units on, every unit costs this.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Break {
    /// The least number of units, at least two.
    pub from: u32,
    /// The price of each unit.
    pub price: Cents,
}

/// What counts together towards a quantity break.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CountOver {
    /// All glyphs of one family: each colour and style on its own.
    #[default]
    Family,
    /// All colours and styles of the offer together.
    Offer,
}

/// One finish, letter height, colour and letter style: letters that can stand in for each other.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// What the letters are made of.
    pub finish: FinishId,
    /// Their cap height.
    pub height: Length,
    /// Their colour.
    pub colour: ColourId,
    /// The shape of the alphabet.
    pub style: StyleId,
}

/// One line of a price list: letters of one finish and height, at one price per unit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Offer {
    /// Its id.
    pub id: OfferId,
    /// Who sells it.
    pub supplier: SupplierId,
    /// What the letters are made of.
    pub finish: FinishId,
    /// Their cap height.
    pub height: Length,
    /// The colours it comes in.
    pub colours: Vec<ColourId>,
    /// The letter styles it comes in.
    pub styles: Vec<StyleId>,
    /// What one unit holds.
    pub way: Way,
    /// The price of one unit.
    pub price: Cents,
    /// Lower prices from so many units on, the smallest number first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub breaks: Vec<Break>,
    /// What counts together towards the breaks.
    #[serde(default)]
    pub count_over: CountOver,
    /// The most units of one family that the supplier has; `None` for no limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<u32>,
}

/// What one unit of an offer holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Way {
    /// One letter of a chosen glyph.
    Piece {
        /// The glyphs to choose from.
        glyphs: GlyphSet,
    },
    /// Several letters of one chosen glyph.
    Pack {
        /// How many letters; a pack of none counts as a list entry that is not finished.
        of: u32,
        /// The glyphs to choose from.
        glyphs: GlyphSet,
    },
    /// A fixed mix of glyphs.
    Set {
        /// How many of each glyph; empty where the shop has not entered it yet.
        contents: GlyphCounts,
    },
}

impl Offer {
    /// Whether this offer has letters of this family.
    pub fn serves(&self, family: &Family) -> bool {
        self.finish == family.finish
            && self.height == family.height
            && self.colours.contains(&family.colour)
            && self.styles.contains(&family.style)
    }

    /// Whether a unit of this offer can hold this glyph.
    pub fn gives(&self, glyph: &Glyph) -> bool {
        match &self.way {
            Way::Piece { glyphs } => glyphs.contains(glyph),
            Way::Pack { of, glyphs } => *of > 0 && glyphs.contains(glyph),
            Way::Set { contents } => contents.get(glyph) > 0,
        }
    }

    /// The families this offer serves.
    pub fn families(&self) -> impl Iterator<Item = Family> {
        self.styles.iter().flat_map(move |style| {
            self.colours.iter().map(move |colour| Family {
                finish: self.finish.clone(),
                height: self.height,
                colour: colour.clone(),
                style: style.clone(),
            })
        })
    }

    /// What keeps this offer from being bought, if anything.
    pub fn fault(&self) -> Option<OfferFault> {
        match &self.way {
            Way::Set { contents } if contents.is_empty() => Some(OfferFault::EmptySet),
            Way::Pack { of: 0, .. } => Some(OfferFault::EmptyPack),
            Way::Piece { glyphs } | Way::Pack { glyphs, .. } if glyphs.is_empty() => {
                Some(OfferFault::NoGlyphs)
            }
            _ if self.colours.is_empty() => Some(OfferFault::NoColours),
            _ if self.styles.is_empty() => Some(OfferFault::NoStyles),
            _ if !self.breaks_ascend() => Some(OfferFault::Breaks),
            _ => None,
        }
    }

    fn breaks_ascend(&self) -> bool {
        let starts = [1].into_iter().chain(self.breaks.iter().map(|entry| entry.from)).collect::<Vec<_>>();
        starts.windows(2).all(|pair| pair[0] < pair[1])
    }

    /// What the offer is, without price: "pack of 5", "assorted set of 64", "single piece".
    pub fn way_name(&self) -> String {
        match &self.way {
            Way::Piece { .. } => "single piece".to_owned(),
            Way::Pack { of, .. } => format!("pack of {of}"),
            Way::Set { contents } => format!("assorted set of {}", contents.total()),
        }
    }
}

/// Why an offer cannot be bought as the list has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferFault {
    /// An assorted set whose contents are missing.
    EmptySet,
    /// A pack of no letters.
    EmptyPack,
    /// Sold in no glyph.
    NoGlyphs,
    /// Sold in no colour.
    NoColours,
    /// Sold in no letter style.
    NoStyles,
    /// Quantity breaks out of order.
    Breaks,
}

impl std::fmt::Display for OfferFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::EmptySet => {
                "the set's contents are missing, so it is never bought: enter them, such as A:5 B:2"
            }
            Self::EmptyPack => "a pack of 0 letters is never bought: enter how many letters it holds",
            Self::NoGlyphs => "no letters are listed, so it is never bought: enter them, such as A-Z 0-9",
            Self::NoColours => "no colour is ticked, so it is never bought",
            Self::NoStyles => "no letter style is ticked, so it is never bought",
            Self::Breaks => "its quantity breaks must begin at 2 or more and grow, so it is never bought",
        })
    }
}
