//! What tells a garment of an order from the others.
//!
//! Owns by what a garment is known again after the order was changed around it: never its row,
//! which is another's once a row is put in above.

use serde::{Deserialize, Serialize};

/// What tells a garment from the others of its order. Garments that agree in it are alike: which
/// of them is meant makes no difference.
///
/// ```
/// use lettertally::lists::demo;
/// let (order, lists) = (demo::order("2026-01-01"), demo::lists());
/// let tag = order.read(&lists)[0].groups[0].tag(0);
/// assert_eq!((tag.whose().as_str(), tag.size.as_str()), ("Okonjo 1", "S"));
/// assert_eq!(serde_json::to_string(&tag).unwrap(), r#"[0,"Okonjo","1","S"]"#);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(from = "Fields", into = "Fields")]
pub struct Tag {
    /// The design, from 0.
    pub design: u16,
    /// The name on it; empty without a roster.
    pub name: String,
    /// The number on it; empty without a roster.
    pub number: String,
    /// The size's name.
    pub size: String,
}

/// As it is written down: design, name, number, size.
type Fields = (u16, String, String, String);

impl Tag {
    /// Whose it is: "Okonjo 1"; empty without a roster.
    pub fn whose(&self) -> String {
        format!("{} {}", self.name, self.number).trim().to_owned()
    }
}

impl From<Fields> for Tag {
    fn from((design, name, number, size): Fields) -> Self {
        Self { design, name, number, size }
    }
}

impl From<Tag> for Fields {
    fn from(tag: Tag) -> Self {
        (tag.design, tag.name, tag.number, tag.size)
    }
}
