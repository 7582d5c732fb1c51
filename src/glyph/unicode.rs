//! The rules of Unicode that a text needs on its way to letters: normal forms and clusters.
//!
//! Owns where they come from. Natively that is two crates with the tables of the standard. Those
//! tables would be an eighth of the page's download, while every browser has them built in; so
//! the page hands over its browser's with [`use_rules`] before anything is read. Plain ASCII,
//! which is nearly every text, is settled here without either.

use std::sync::OnceLock;

/// The rules, as functions of whoever has the tables.
#[derive(Debug, Clone, Copy)]
pub struct Rules {
    /// Normal form C of a text (Unicode Standard Annex 15).
    pub composed: fn(&str) -> String,
    /// A text without its combining marks, taken apart by normal form D.
    pub without_marks: fn(&str) -> String,
    /// The extended grapheme clusters of a text in their order (Unicode Standard Annex 29).
    pub clusters: fn(&str) -> Vec<String>,
}

static RULES: OnceLock<Rules> = OnceLock::new();

/// Hands over the rules to read by. The first ones stay: a text must not mean two things.
pub fn use_rules(rules: Rules) {
    // Handing over the same rules again changes nothing, so a refusal is no error.
    let _ = RULES.set(rules);
}

/// A text in normal form C.
pub(super) fn composed(text: &str) -> String {
    if text.is_ascii() { text.to_owned() } else { (rules().composed)(text) }
}

/// A text without its accents.
pub(super) fn without_marks(text: &str) -> String {
    if text.is_ascii() { text.to_owned() } else { (rules().without_marks)(text) }
}

/// A text in the pieces that a person takes for one character each.
pub(super) fn clusters(text: &str) -> Vec<String> {
    // The one cluster of several ASCII signs is a line break of two, and both are white space.
    if text.is_ascii() { text.chars().map(String::from).collect() } else { (rules().clusters)(text) }
}

fn rules() -> Rules {
    *RULES.get_or_init(|| BUILT_IN)
}

#[cfg(not(target_arch = "wasm32"))]
const BUILT_IN: Rules = Rules {
    composed: |text| unicode_normalization::UnicodeNormalization::nfc(text).collect(),
    without_marks: |text| {
        use unicode_normalization::char::is_combining_mark;
        unicode_normalization::UnicodeNormalization::nfd(text).filter(|&c| !is_combining_mark(c)).collect()
    },
    clusters: |text| {
        unicode_segmentation::UnicodeSegmentation::graphemes(text, true).map(str::to_owned).collect()
    },
};

/// In WebAssembly without anybody's rules, one code point is one character.
#[cfg(target_arch = "wasm32")]
const BUILT_IN: Rules = Rules {
    composed: str::to_owned,
    without_marks: str::to_owned,
    clusters: |text| text.chars().map(String::from).collect(),
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_way_for_ascii_says_what_the_tables_say() {
        let texts: Vec<String> = (0..128_u8).map(|c| format!("A{}b", char::from(c))).collect();
        for text in texts {
            assert_eq!(composed(&text), (BUILT_IN.composed)(&text));
            assert_eq!(without_marks(&text), (BUILT_IN.without_marks)(&text));
            assert_eq!(clusters(&text), (BUILT_IN.clusters)(&text));
        }
    }
}
