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
    /// How far buttons run down the front from the collar, on every size; none without buttons.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buttons: Option<Length>,
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
    /// The size with this name, however it is spelled.
    pub fn size(&self, name: &str) -> Option<&BlankSize> {
        let name = plain_size(name);
        self.sizes.iter().find(|size| plain_size(&size.name) == name)
    }
}

/// A size's name by which its spellings meet: "Medium" and "med." are "m", "XX-Large" is "2xl".
fn plain_size(name: &str) -> String {
    let name: String = name.trim().to_lowercase().replace([' ', '-', '.'], "");
    match name.as_str() {
        "small" | "sm" => "s",
        "medium" | "med" => "m",
        "large" | "lg" => "l",
        "xlarge" | "extralarge" => "xl",
        "xxl" | "xxlarge" | "2xlarge" => "2xl",
        "xxxl" | "xxxlarge" | "3xlarge" => "3xl",
        other => return other.to_owned(),
    }
    .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;

    #[test]
    fn sizes_are_found_however_they_are_spelled() {
        let blank = &demo::lists().blanks[0];
        for (text, size) in
            [("medium", "M"), (" med. ", "M"), ("XX-Large", "2XL"), ("xxl", "2XL"), ("xl", "XL")]
        {
            assert_eq!(blank.size(text).map(|size| size.name.as_str()), Some(size), "{text}");
        }
        assert_eq!(blank.size("huge"), None);
        assert_eq!(plain_size("10-12"), "1012");
    }
}
