//! Counts of glyphs as a person writes them: "A:5 B:2", "A5", "30 A", "5:3" for the digit 5.
//!
//! Owns the reading, and what is said where it could mean two things. A figure is a glyph only
//! where a colon (or `=`, `×`) follows it.

use super::{Glyph, GlyphCounts, unicode};
use crate::number;
use std::fmt;

/// The most of one glyph that can be written at once.
const MOST_WRITTEN: u32 = 9_999;

/// What may stand between a glyph and its count.
const BETWEEN: [char; 3] = [':', '=', '×'];

impl GlyphCounts {
    /// Reads counts as a person writes them: "A5 B2 &1", "A:5, B:2, 1:4" or "30 A, 12 B".
    ///
    /// # Errors
    /// Names the first part that cannot be read, or could be read in two ways.
    ///
    /// ```
    /// use lettertally::glyph::GlyphCounts;
    /// let counts = GlyphCounts::parse("A5 b:2, 1:4, 30 C").unwrap();
    /// assert_eq!(counts.to_string(), "1:4 A:5 B:2 C:30");
    /// assert!(GlyphCounts::parse("A5 B").is_err());
    /// assert!(GlyphCounts::parse("14").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, CountsError> {
        let mut counts = Self::default();
        // A comma or semicolon right before a colon is the glyph, not the end of a part.
        let kept = text.replace(",:", "\u{1}:").replace(";:", "\u{2}:");
        for part in kept.split([',', ';']) {
            let mut open: Option<Word> = None;
            for word in part.split_whitespace() {
                let word = Word::read(&word.replace('\u{1}', ",").replace('\u{2}', ";"))?;
                match (open.take(), word) {
                    (None, Word::Both(glyph, count))
                    | (Some(Word::Glyph(glyph, _)), Word::Count(count, _))
                    | (Some(Word::Count(count, _)), Word::Glyph(glyph, _)) => counts.put(glyph, count)?,
                    (None, half) => open = Some(half),
                    (Some(half), _) => return Err(half.alone()),
                }
            }
            if let Some(half) = open {
                return Err(half.alone());
            }
        }
        Ok(counts)
    }
}

impl GlyphCounts {
    /// Adds so many of a glyph, as long as what comes of it could be written.
    fn put(&mut self, glyph: Glyph, count: u32) -> Result<(), CountsError> {
        if self.get(&glyph).saturating_add(count) > MOST_WRITTEN {
            return Err(CountsError::TooMany(glyph.name()));
        }
        self.add(glyph, count);
        Ok(())
    }
}

/// What stands between two spaces; halves keep their text, for the complaint.
enum Word {
    Both(Glyph, u32),
    Glyph(Glyph, String),
    Count(u32, String),
}

impl Word {
    fn read(text: &str) -> Result<Self, CountsError> {
        let bad = || CountsError::Unread(text.to_owned());
        let glyph = |text: &str| Glyph::parse(text).filter(can_be_counted).ok_or_else(bad);
        let number = |digits: &str| number::whole(digits, 0, MOST_WRITTEN).map_err(|_| bad());
        if is_figure(text) {
            return Ok(Self::Count(number(text)?, text.to_owned()));
        }
        let (first, rest) = text.split_at(unicode::clusters(text).first().map_or(0, String::len));
        let count = rest.trim_start_matches(BETWEEN);
        if count.is_empty() {
            return Ok(Self::Glyph(glyph(first)?, text.to_owned()));
        }
        let is_glyph_first = count.len() < rest.len() || !is_figure(first);
        if let (true, Ok(count)) = (is_glyph_first, number(count)) {
            return Ok(Self::Both(glyph(first)?, count));
        }
        let (count, rest) = text.split_at(text.find(|c: char| !c.is_ascii_digit()).unwrap_or(0));
        Ok(Self::Both(glyph(rest.strip_prefix('×').unwrap_or(rest))?, number(count)?))
    }

    /// The complaint about one half without the other.
    fn alone(self) -> CountsError {
        match self {
            Self::Count(_, text) => CountsError::NoGlyph(text),
            Self::Both(_, _) => CountsError::Unread(String::new()),
            Self::Glyph(_, text) => CountsError::Unread(text),
        }
    }
}

/// Whether a count of this glyph, once written, can be read. A control character cannot; nor can a
/// mark that belongs to whatever follows it, as a few scripts have: the colon would be part of it.
fn can_be_counted(glyph: &Glyph) -> bool {
    let written = format!("{glyph}:");
    !glyph.is_control() && unicode::clusters(&written).first().is_some_and(|first| first == glyph.as_str())
}

fn is_figure(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit())
}

/// A part of a text that is not a glyph and its count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CountsError {
    /// Neither a glyph with its count nor a count with its glyph.
    Unread(String),
    /// A figure alone: a count without its letter, or a digit without its count.
    NoGlyph(String),
    /// More of a glyph than can be written, all of its counts together.
    TooMany(String),
}

impl fmt::Display for CountsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unread(part) => {
                write!(f, "“{}”: expected a letter and its count, such as A:5", number::shortened(part))
            }
            Self::TooMany(glyph) => write!(f, "more than {MOST_WRITTEN} of {glyph}, all together"),
            Self::NoGlyph(part) => write!(
                f,
                "“{}”: a count or a digit? Write A:12 for twelve of A, 5:3 for three of the digit 5",
                number::shortened(part)
            ),
        }
    }
}

impl std::error::Error for CountsError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_read_in_each_way_that_people_write_them() {
        for text in ["A:30", "A30", "30A", "a 30", "30 A", "A: 30", "A=30", "A×30", "30×A", " 30   a ;"] {
            assert_eq!(
                GlyphCounts::parse(text).map(|counts| counts.to_string()),
                Ok("A:30".into()),
                "{text}"
            );
        }
        let cases = [
            ("30 A 20 B", "A:30 B:20"),
            ("A 30 20 B", "A:30 B:20"),
            ("5:3, 12 &, 3 A", "&:12 5:3 A:3"),
            ("5: 3", "5:3"),
            ("2:1 1:2", "1:2 2:1"),
            ("A:1 A 2 3A", "A:6"),
            ("X2 2X x:2", "X:6"),
            ("-5 5-", "-:10"),
            ("", ""),
            (" , ;", ""),
        ];
        for (text, read) in cases {
            assert_eq!(GlyphCounts::parse(text).map(|counts| counts.to_string()), Ok(read.into()), "{text}");
        }
    }

    #[test]
    fn counts_of_one_glyph_stay_within_what_can_be_written() {
        assert!(GlyphCounts::parse("A:9000 A:999").is_ok());
        let error = GlyphCounts::parse("A:9000 B:1 A:1000").unwrap_err();
        assert_eq!(error, CountsError::TooMany("A".into()));
        assert_eq!(error.to_string(), "more than 9999 of A, all together");
    }

    #[test]
    fn what_could_be_a_digit_or_a_count_is_refused() {
        for (text, part) in [("14", "14"), ("5 3", "5"), ("A:1,000", "000"), ("1, 2 A", "1"), ("30 A 2", "2")]
        {
            assert_eq!(GlyphCounts::parse(text), Err(CountsError::NoGlyph(part.into())), "{text}");
        }
        for (text, part) in [
            ("A", "A"),
            ("A, 5", "A"),
            ("A B 5", "A"),
            ("30xA", "30xA"),
            ("3:A", "3:A"),
            ("6\u{70f}", "6\u{70f}"),
        ] {
            assert_eq!(GlyphCounts::parse(text), Err(CountsError::Unread(part.into())), "{text}");
        }
    }
}
