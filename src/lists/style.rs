//! Letter styles: the shape of an alphabet and how wide its letters are.

use super::id;
use serde::{Deserialize, Serialize};

id! {
    /// Names a letter style.
    StyleId
}

/// The shape of an alphabet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetterStyle {
    /// Its id.
    pub id: StyleId,
    /// What the shop calls it: "block".
    pub name: String,
    /// Whether one cut piece serves as 6 and as 9.
    pub six_is_nine: bool,
}
