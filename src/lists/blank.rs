//! Blanks: the undecorated garments, by size.

use super::{Rgb, id};
use crate::length::Length;
use crate::money::Cents;
use serde::{Deserialize, Serialize};

id! {
    /// Names a blank.
    BlankId
}

/// An undecorated garment in one colour.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blank {
    /// Its id.
    pub id: BlankId,
    /// What the shop calls it: "club tee, navy".
    pub name: String,
    /// Its colour on a screen.
    pub screen: Rgb,
    /// Its sizes, smallest first.
    pub sizes: Vec<BlankSize>,
}

/// One size of a blank.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlankSize {
    /// What the label says: "M".
    pub name: String,
    /// What the shop pays for it.
    pub price: Cents,
    /// Across the body, laid flat, a little below the armholes.
    pub width: Length,
    /// From the highest point of the shoulder to the hem.
    pub length: Length,
}

impl Blank {
    /// The size with this name, whatever its case and the spaces around it.
    pub fn size(&self, name: &str) -> Option<&BlankSize> {
        let name = name.trim();
        self.sizes.iter().find(|size| size.name.trim().to_lowercase() == name.to_lowercase())
    }
}
