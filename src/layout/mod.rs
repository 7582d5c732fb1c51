//! Layout: how wide a line is, whether it fits, and where its letters stand on the garment.
//!
//! Owns the geometry. The picture and the figures come from the same values, so they cannot
//! disagree. Letter widths come from the built-in block alphabet and are an estimate until a
//! shop measures its own letters. Never draws, and never knows a price.

pub mod alphabet;
pub mod fit;
pub mod garment;
pub mod picture;

use crate::glyph::{Glyph, Sign};
use crate::length::Length;

/// The gap between two letters, in thousandths of the cap height.
pub const GAP: i32 = 100;

/// What a space adds between two letters, in thousandths of the cap height.
pub const WORD_SPACE: i32 = 350;

/// The width of a glyph that the built-in alphabet does not draw, in thousandths of the cap height.
pub const UNKNOWN_WIDTH: i32 = 700;

/// A line of letters set side by side, its first letter's left edge at 0.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SetLine {
    /// The letters, in reading order.
    pub letters: Vec<SetLetter>,
    /// From the first letter's left edge to the last one's right edge.
    pub width: Length,
}

/// A letter in a set line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetLetter {
    /// Which letter.
    pub glyph: Glyph,
    /// Its left edge.
    pub left: Length,
    /// Its own width.
    pub width: Length,
}

/// The width of a glyph in thousandths of the cap height: an estimate.
pub fn glyph_width(glyph: &Glyph) -> i32 {
    alphabet::outline(glyph.as_str()).map_or(UNKNOWN_WIDTH, |outline| outline.width)
}

/// Sets a line at this letter height.
///
/// Its width is the sum of the letters' widths, the gaps between them and the word spaces, all
/// scaled to the letter height. Spaces at the ends take no width.
///
/// ```
/// use lettertally::{glyph::signs, layout, length::Length};
/// let line = layout::set_line(&signs("II"), Length::inches(4));
/// let one = layout::set_line(&signs("I"), Length::inches(4)).width;
/// assert_eq!(line.width, one + one + Length::inches(4).thousandths(layout::GAP));
/// ```
pub fn set_line(signs: &[Sign], height: Length) -> SetLine {
    let mut line = SetLine::default();
    let mut space = Length::ZERO;
    for sign in signs {
        match sign {
            Sign::Space => space += height.thousandths(WORD_SPACE),
            Sign::Glyph(glyph) => {
                let gap =
                    if line.letters.is_empty() { Length::ZERO } else { height.thousandths(GAP) + space };
                let left = line.width + gap;
                let width = height.thousandths(glyph_width(glyph));
                line.letters.push(SetLetter { glyph: glyph.clone(), left, width });
                line.width = left + width;
                space = Length::ZERO;
            }
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::glyph::signs;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn width_grows_with_height_in_proportion(text in "[A-Z0-9 ]{0,12}", inches in 1_i32..6) {
            let one = set_line(&signs(&text), Length::inches(inches)).width;
            let twice = set_line(&signs(&text), Length::inches(2 * inches)).width;
            prop_assert_eq!(twice, one.times(2));
        }

        #[test]
        fn letters_never_overlap_and_end_at_the_width(text in "[A-Z0-9&' ]{1,12}") {
            let line = set_line(&signs(&text), Length::inches(3));
            for pair in line.letters.windows(2) {
                prop_assert!(pair[0].left + pair[0].width < pair[1].left);
            }
            let end = line.letters.last().map_or(Length::ZERO, |last| last.left + last.width);
            prop_assert_eq!(line.width, end);
        }

        #[test]
        fn order_of_letters_does_not_change_the_width(text in "[A-Z]{1,12}") {
            let reversed: String = text.chars().rev().collect();
            let width = |text: &str| set_line(&signs(text), Length::inches(3)).width;
            prop_assert_eq!(width(&text), width(&reversed));
        }
    }
}
