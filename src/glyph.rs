//! Glyphs, counts of glyphs, and how a text becomes glyphs.
//!
//! Owns the rule from text to letters: Unicode normal form C, upper case by the Unicode
//! rules (a German sharp s becomes SS), split by grapheme cluster. Spaces take width and no
//! letter. Never decides what a shop can buy.

mod counts;
mod reading;
mod set;
pub mod unicode;

pub use counts::GlyphCounts;
pub use reading::CountsError;
pub use set::GlyphSet;

use crate::number;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

/// One character of a family: a capital, a digit or a mark, with its accents.
///
/// A glyph is always one grapheme cluster in normal form C and upper case.
#[derive(Clone)]
pub struct Glyph(Text);

/// Nearly every glyph is a byte or a few: those are copied, not allocated, for each letter on each
/// garment is one.
#[derive(Clone)]
enum Text {
    Short { length: u8, bytes: [u8; Glyph::SHORT] },
    Long(Arc<str>),
}

impl Glyph {
    /// The most bytes of a text that is kept in place; a glyph is no larger for it.
    const SHORT: usize = 14;

    fn new(text: &str) -> Self {
        let mut bytes = [0; Self::SHORT];
        match (bytes.get_mut(..text.len()), u8::try_from(text.len())) {
            (Some(room), Ok(length)) => {
                room.copy_from_slice(text.as_bytes());
                Self(Text::Short { length, bytes })
            }
            _ => Self(Text::Long(text.into())),
        }
    }

    /// The text of the glyph.
    pub fn as_str(&self) -> &str {
        match &self.0 {
            // What was put in was text.
            Text::Short { length, bytes } => bytes
                .get(..usize::from(*length))
                .and_then(|text| str::from_utf8(text).ok())
                .unwrap_or_default(),
            Text::Long(text) => text,
        }
    }

    /// Reads exactly one glyph; `None` for none, several, or a space.
    pub fn parse(text: &str) -> Option<Self> {
        let mut signs = signs(text.trim()).into_iter();
        match (signs.next(), signs.next()) {
            (Some(Sign::Glyph(glyph)), None) => Some(glyph),
            _ => None,
        }
    }

    /// The same glyph without its accents, where it has any: É gives E.
    ///
    /// ```
    /// use lettertally::glyph::Glyph;
    /// let accented = Glyph::parse("é").unwrap();
    /// assert_eq!(accented.without_accent(), Glyph::parse("E"));
    /// assert_eq!(Glyph::parse("E").unwrap().without_accent(), None);
    /// ```
    pub fn without_accent(&self) -> Option<Self> {
        Self::parse(&unicode::without_marks(self.as_str())).filter(|found| found != self)
    }

    /// Whether it is a control character, which comes along with pasted text and is sold by nobody.
    pub fn is_control(&self) -> bool {
        self.as_str().chars().all(char::is_control)
    }

    /// How a message names the glyph: itself, or its code points where a person could not see it.
    ///
    /// ```
    /// use lettertally::glyph::Glyph;
    /// assert_eq!(Glyph::parse("é").unwrap().name(), "É");
    /// assert_eq!(Glyph::parse("\u{200b}").unwrap().name(), "the invisible sign U+200B");
    /// ```
    pub fn name(&self) -> String {
        let text = self.as_str();
        if !text.chars().all(is_invisible) {
            return text.to_owned();
        }
        let points: Vec<String> = text.chars().map(|c| format!("U+{:04X}", u32::from(c))).collect();
        format!("the invisible sign {}", points.join(" "))
    }
}

impl fmt::Display for Glyph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for Glyph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Glyph({:?})", self.as_str())
    }
}

impl PartialEq for Glyph {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Glyph {}

impl PartialOrd for Glyph {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Glyph {
    fn cmp(&self, other: &Self) -> Ordering {
        self.as_str().cmp(other.as_str())
    }
}

impl Hash for Glyph {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

impl Serialize for Glyph {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for Glyph {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).ok_or_else(|| {
            serde::de::Error::custom(format!("“{}” is not one letter", number::shortened(&text)))
        })
    }
}

/// Controls, joiners, marks of direction and the like, which come along with pasted text.
fn is_invisible(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
        || matches!(c, '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
        || matches!(c, '\u{e0000}'..='\u{e0fff}')
}

/// What stands at one place of a text: a letter to press, or a gap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sign {
    /// A letter.
    Glyph(Glyph),
    /// A space between words: width, but no letter.
    Space,
}

/// The plain mark for one that keyboards and spreadsheets put in its place: the same cut piece
/// serves for a straight and a curly apostrophe, and for a hyphen and its look-alikes.
fn plain_mark(c: char) -> char {
    match c {
        '\u{2018}' | '\u{2019}' | '\u{02bc}' | '\u{00b4}' | '\u{2032}' | '`' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        other => other,
    }
}

/// Splits a text into signs; see the module for the rule.
///
/// Runs of white space count as one space, those at the ends as none.
///
/// ```
/// use lettertally::glyph::{Sign, signs};
/// let text: String = signs(" groß  1 ")
///     .iter()
///     .map(|sign| match sign { Sign::Glyph(glyph) => glyph.as_str(), Sign::Space => "_" })
///     .collect();
/// assert_eq!(text, "GROSS_1");
/// ```
pub fn signs(text: &str) -> Vec<Sign> {
    // Nearly every text is, and a keystroke splits each line of each garment.
    if text.is_ascii() { signs_of_ascii(text) } else { signs_by_the_rules(text) }
}

fn signs_by_the_rules(text: &str) -> Vec<Sign> {
    let upper = unicode::composed(&unicode::composed(text).to_uppercase());
    let upper: String = upper.chars().map(plain_mark).collect();
    let mut out = Vec::with_capacity(upper.len());
    for cluster in unicode::clusters(upper.trim()) {
        push_sign(&mut out, &cluster);
    }
    out
}

/// The same for ASCII, where each sign is one character and its own normal form.
fn signs_of_ascii(text: &str) -> Vec<Sign> {
    let text = text.trim();
    let mut out = Vec::with_capacity(text.len());
    for c in text.chars() {
        push_sign(&mut out, plain_mark(c.to_ascii_uppercase()).encode_utf8(&mut [0; 4]));
    }
    out
}

fn push_sign(out: &mut Vec<Sign>, cluster: &str) {
    // A mark may stand over a space, or before one: then the space is one, and the mark a glyph.
    for (at, glyph) in cluster.split(char::is_whitespace).enumerate() {
        if at > 0 && out.last() != Some(&Sign::Space) {
            out.push(Sign::Space);
        }
        if !glyph.is_empty() {
            out.push(Sign::Glyph(Glyph::new(glyph)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn spelled(text: &str) -> String {
        signs(text)
            .iter()
            .map(|sign| match sign {
                Sign::Glyph(glyph) => format!("[{glyph}]"),
                Sign::Space => " ".to_owned(),
            })
            .collect()
    }

    #[test]
    fn text_becomes_capitals_by_the_unicode_rules() {
        let cases = [
            ("tigers", "[T][I][G][E][R][S]"),
            ("Groß", "[G][R][O][S][S]"),
            ("e\u{301}lan", "[É][L][A][N]"),
            ("o'brien 7", "[O]['][B][R][I][E][N] [7]"),
            ("  a \t b  ", "[A] [B]"),
            ("", ""),
            ("👩‍🚀x", "[👩‍🚀][X]"),
            ("ﬁn", "[F][I][N]"),
            ("a \u{7fd} b", "[A] [\u{7fd}] [B]"),
            ("\u{70f}\u{3000}3", "[\u{70f}] [3]"),
            ("D\u{2019}Angelo\u{2013}Roy", "[D]['][A][N][G][E][L][O][-][R][O][Y]"),
        ];
        for (text, expected) in cases {
            assert_eq!(spelled(text), expected, "{text:?}");
        }
    }

    #[test]
    fn counts_subtract_and_meet_glyph_by_glyph() {
        let need = GlyphCounts::of_text("BANANA");
        let shelf = GlyphCounts::parse("A:2 X:9").unwrap();
        assert_eq!(need.less(&shelf).to_string(), "A:1 B:1 N:2");
        assert_eq!(need.common(&shelf).to_string(), "A:2");
    }

    #[test]
    fn sets_of_glyphs_keep_marks_apart_from_ranges() {
        let set = GlyphSet::parse("a-c 1-3 - & É");
        assert_eq!(set.to_string(), "& - 1 2 3 A B C É");
        assert_eq!(GlyphSet::parse(&set.to_string()), set);
    }

    proptest! {
        #[test]
        fn the_short_way_for_ascii_splits_as_the_rules_do(text in "[ -~\\t\\r\\n\\x0b\\x1c\\x7f]{0,24}") {
            prop_assert_eq!(signs_of_ascii(&text), signs_by_the_rules(&text));
        }

        #[test]
        fn every_text_splits_into_readable_glyphs(text in "\\PC{0,30}") {
            for sign in signs(&text) {
                if let Sign::Glyph(glyph) = sign {
                    prop_assert!(!glyph.as_str().is_empty());
                }
            }
        }

        #[test]
        fn counts_read_back_as_written(pairs in prop::collection::btree_map("[A-Z0-9&,;.:='-]", 1_u32..99, 0..12)) {
            let counts: GlyphCounts = pairs.iter().filter_map(|(g, &n)| Some((Glyph::parse(g)?, n))).collect();
            prop_assert_eq!(GlyphCounts::parse(&counts.to_string()), Ok(counts));
        }

        #[test]
        fn tallies_add_over_texts(left in "[A-Za-z ]{0,12}", right in "[A-Za-z ]{0,12}") {
            let mut sum = GlyphCounts::of_text(&left);
            sum.add_all(&GlyphCounts::of_text(&right), 1);
            prop_assert_eq!(sum, GlyphCounts::of_text(&format!("{left} {right}")));
        }
    }
}
