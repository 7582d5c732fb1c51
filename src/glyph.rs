//! Glyphs, counts of glyphs, and how a text becomes glyphs.
//!
//! Owns the rule from text to letters: Unicode normal form C, upper case by the Unicode
//! rules (a German sharp s becomes SS), split by grapheme cluster. Spaces take width and no
//! letter. Never decides what a shop can buy.

mod reading;
pub mod unicode;

pub use reading::CountsError;

use crate::number;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// One character of a family: a capital, a digit or a mark, with its accents.
///
/// A glyph is always one grapheme cluster in normal form C and upper case.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Glyph(Box<str>);

impl Glyph {
    /// The text of the glyph.
    pub fn as_str(&self) -> &str {
        &self.0
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
        Self::parse(&unicode::without_marks(&self.0)).filter(|found| found != self)
    }

    /// How a message names the glyph: itself, or its code points where a person could not see it.
    ///
    /// ```
    /// use lettertally::glyph::Glyph;
    /// assert_eq!(Glyph::parse("é").unwrap().name(), "É");
    /// assert_eq!(Glyph::parse("\u{200b}").unwrap().name(), "the invisible sign U+200B");
    /// ```
    pub fn name(&self) -> String {
        if !self.0.chars().all(is_invisible) {
            return self.0.to_string();
        }
        let points: Vec<String> = self.0.chars().map(|c| format!("U+{:04X}", u32::from(c))).collect();
        format!("the invisible sign {}", points.join(" "))
    }
}

impl fmt::Display for Glyph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
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
    let upper = unicode::composed(&unicode::composed(text).to_uppercase());
    let upper: String = upper.chars().map(plain_mark).collect();
    let mut out = Vec::with_capacity(upper.len());
    for cluster in unicode::clusters(upper.trim()) {
        if !cluster.chars().all(char::is_whitespace) {
            out.push(Sign::Glyph(Glyph(cluster.into())));
        } else if out.last() != Some(&Sign::Space) {
            out.push(Sign::Space);
        }
    }
    out
}

/// How many of each glyph. Never holds a count of zero.
///
/// ```
/// use lettertally::glyph::{Glyph, GlyphCounts};
/// let counts = GlyphCounts::of_text("Banana");
/// assert_eq!(counts.get(&Glyph::parse("A").unwrap()), 3);
/// assert_eq!(counts.total(), 6);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(transparent)]
pub struct GlyphCounts(BTreeMap<Glyph, u32>);

impl GlyphCounts {
    /// The most of one glyph that any count may reach.
    pub const MOST: u32 = 10_000_000;

    /// The letters of a text.
    pub fn of_text(text: &str) -> Self {
        let mut counts = Self::default();
        for sign in signs(text) {
            if let Sign::Glyph(glyph) = sign {
                counts.add(glyph, 1);
            }
        }
        counts
    }

    /// How many of this glyph.
    pub fn get(&self, glyph: &Glyph) -> u32 {
        self.0.get(glyph).copied().unwrap_or(0)
    }

    /// Sets how many of this glyph.
    pub fn set(&mut self, glyph: Glyph, count: u32) {
        if count == 0 {
            self.0.remove(&glyph);
        } else {
            self.0.insert(glyph, count.min(Self::MOST));
        }
    }

    /// Adds so many of this glyph.
    pub fn add(&mut self, glyph: Glyph, count: u32) {
        if count > 0 {
            let slot = self.0.entry(glyph).or_default();
            *slot = slot.saturating_add(count).min(Self::MOST);
        }
    }

    /// Adds all of `other`, `times` over.
    pub fn add_all(&mut self, other: &Self, times: u32) {
        for (glyph, count) in other.iter() {
            let more = count.saturating_mul(times);
            match self.0.get_mut(glyph) {
                Some(count) => *count = count.saturating_add(more).min(Self::MOST),
                None => self.add(glyph.clone(), more),
            }
        }
    }

    /// What is left of this after taking `other` away, glyph by glyph and never below zero.
    pub fn less(&self, other: &Self) -> Self {
        let mut rest = Self::default();
        for (glyph, count) in self.iter() {
            rest.set(glyph.clone(), count.saturating_sub(other.get(glyph)));
        }
        rest
    }

    /// What this and `other` have in common: the smaller count of each glyph.
    pub fn common(&self, other: &Self) -> Self {
        let mut both = Self::default();
        for (glyph, count) in self.iter() {
            both.set(glyph.clone(), count.min(other.get(glyph)));
        }
        both
    }

    /// The glyphs and their counts, in order of the glyphs.
    pub fn iter(&self) -> impl Iterator<Item = (&Glyph, u32)> {
        self.0.iter().map(|(glyph, &count)| (glyph, count))
    }

    /// The number of letters in all.
    pub fn total(&self) -> u64 {
        self.0.values().map(|&count| u64::from(count)).sum()
    }

    /// Whether some count reached [`Self::MOST`], so that there may be more in truth.
    pub fn is_full(&self) -> bool {
        self.0.values().any(|&count| count >= Self::MOST)
    }

    /// Whether there is no letter at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<(Glyph, u32)> for GlyphCounts {
    fn from_iter<I: IntoIterator<Item = (Glyph, u32)>>(pairs: I) -> Self {
        let mut counts = Self::default();
        for (glyph, count) in pairs {
            counts.add(glyph, count);
        }
        counts
    }
}

impl<'de> Deserialize<'de> for GlyphCounts {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let pairs = BTreeMap::<Glyph, u32>::deserialize(deserializer)?;
        Ok(pairs.into_iter().collect())
    }
}

/// The form that [`GlyphCounts::parse`] reads back: "A:5 B:2".
impl fmt::Display for GlyphCounts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (glyph, count)) in self.iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            write!(f, "{gap}{glyph}:{count}")?;
        }
        Ok(())
    }
}

/// The glyphs that an offer is sold in, written as "A-Z 0-9 & . -".
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GlyphSet(BTreeSet<Glyph>);

impl GlyphSet {
    /// Reads the set: ranges of letters or digits, and single glyphs, spaces between.
    /// A part that is neither is taken apart glyph by glyph, so "ABC" is three glyphs.
    ///
    /// ```
    /// use lettertally::glyph::{Glyph, GlyphSet};
    /// let set = GlyphSet::parse("A-Z 0-9 & -");
    /// assert!(set.contains(&Glyph::parse("q").unwrap()));
    /// assert_eq!(set.to_string(), "A-Z 0-9 & -");
    /// ```
    pub fn parse(text: &str) -> Self {
        let mut set = BTreeSet::new();
        for part in text.split_whitespace() {
            match part.chars().collect::<Vec<_>>().as_slice() {
                [from, '-', to] if in_one_range(*from, *to) => {
                    set.extend((*from..=*to).filter_map(|c| Glyph::parse(c.encode_utf8(&mut [0; 4]))));
                }
                _ => set.extend(signs(part).into_iter().filter_map(|sign| match sign {
                    Sign::Glyph(glyph) => Some(glyph),
                    Sign::Space => None,
                })),
            }
        }
        Self(set)
    }

    /// Whether the set holds this glyph.
    pub fn contains(&self, glyph: &Glyph) -> bool {
        self.0.contains(glyph)
    }

    /// The glyphs in order.
    pub fn iter(&self) -> impl Iterator<Item = &Glyph> {
        self.0.iter()
    }

    /// Whether the set holds no glyph.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

fn in_one_range(from: char, to: char) -> bool {
    from < to
        && (from.is_ascii_digit() && to.is_ascii_digit()
            || from.is_ascii_uppercase() && to.is_ascii_uppercase()
            || from.is_ascii_lowercase() && to.is_ascii_lowercase())
}

impl fmt::Display for GlyphSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut rest = self.0.clone();
        let mut parts = Vec::new();
        for (name, range) in [("A-Z", 'A'..='Z'), ("0-9", '0'..='9')] {
            let whole: Vec<Glyph> = range.filter_map(|c| Glyph::parse(c.encode_utf8(&mut [0; 4]))).collect();
            if whole.iter().all(|glyph| rest.contains(glyph)) {
                whole.iter().for_each(|glyph| {
                    rest.remove(glyph);
                });
                parts.push(name.to_owned());
            }
        }
        parts.extend(rest.iter().map(Glyph::to_string));
        f.write_str(&parts.join(" "))
    }
}

impl Serialize for GlyphSet {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for GlyphSet {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(|text| Self::parse(&text))
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
