//! Layout: how wide a line is, whether it fits, and where its letters stand on the garment.
//!
//! Owns the geometry. The picture and the figures come from the same values, so they cannot
//! disagree. Letter widths come from the built-in block alphabet and are an estimate until a
//! shop measures its own letters. Never draws, and never knows a price.

pub mod alphabet;
mod angle;
pub mod curve;
pub mod fit;
pub mod font;
pub mod garment;
pub mod picture;
pub mod positions;
mod rect;
pub mod template;
pub mod widths;

pub use angle::{Angle, Direction};
pub use rect::Rect;

use crate::glyph::{Glyph, Sign};
use crate::length::Length;
use crate::lists::{Caps, Widths};
use crate::order::Line;

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
    /// Whether a space comes before it.
    pub after_space: bool,
}

/// Sets a line at this letter height.
///
/// Its width is the sum of the letters' widths, the gaps between them and the word spaces, all
/// scaled to the letter height. Spaces at the ends take no width.
///
/// ```
/// use lettertally::{glyph::signs, layout, length::Length, lists::Widths};
/// let widths = Widths::default();
/// let line = layout::set_line(&signs("II"), Length::inches(4), &widths);
/// let one = layout::set_line(&signs("I"), Length::inches(4), &widths).width;
/// assert_eq!(line.width, one + one + widths.gap.of(Length::inches(4)));
/// ```
pub fn set_line(signs: &[Sign], height: Length, widths: &Widths) -> SetLine {
    set_closer(signs, height, widths, widths.gap)
}

/// Sets a line with another gap than the usual one of its letters.
pub fn set_closer(signs: &[Sign], height: Length, widths: &Widths, gap: Caps) -> SetLine {
    let mut line = SetLine::default();
    walk(signs, height, widths, gap, |glyph, left, width, after_space| {
        line.letters.push(SetLetter { glyph: glyph.clone(), left, width, after_space });
        line.width = left + width;
    });
    line
}

/// The width of a line, without its letters.
pub fn width_of(signs: &[Sign], height: Length, widths: &Widths, gap: Caps) -> Length {
    let mut end = Length::ZERO;
    walk(signs, height, widths, gap, |_, left, width, _| end = left + width);
    end
}

/// Goes along a line: each letter with its left edge, its width and whether a space comes before it.
fn walk<'a>(
    signs: &'a [Sign],
    height: Length,
    widths: &Widths,
    gap: Caps,
    mut each: impl FnMut(&'a Glyph, Length, Length, bool),
) {
    let mut end = Length::ZERO;
    let mut space = None;
    let mut before: Option<&Glyph> = None;
    for sign in signs {
        match sign {
            Sign::Space => space = Some(space.unwrap_or(Caps::ZERO) + widths.space),
            Sign::Glyph(glyph) => {
                let left = before.map_or(Length::ZERO, |before| {
                    end + (gap + space.unwrap_or(Caps::ZERO) + widths.pair(before, glyph)).of(height)
                });
                let width = widths::of_glyph(glyph, widths).of(height);
                each(glyph, left, width, before.is_some() && space.is_some());
                (end, before, space) = (left + width, Some(glyph), None);
            }
        }
    }
}

/// A line on its curve, its letters as close as it takes to be no wider than `room`, where the line
/// asks for that.
pub fn set_on_curve(line: &Line, signs: &[Sign], widths: &Widths, room: Length) -> (SetLine, curve::Bent) {
    let set = |gap: Caps| {
        let set = set_closer(signs, line.height, widths, gap);
        let bent = curve::bend(&set, line.height, line.curve);
        (set, bent)
    };
    let usual = set(widths.gap);
    if usual.1.bounds.width() <= room {
        return usual;
    }
    let gap = line.closest.map(|closest| fit::gap_that_fits(line, signs, widths, room, closest));
    gap.map_or(usual, |gap| set(gap.unwrap_or_else(|closest| closest)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::glyph::signs;
    use crate::lists::demo;
    use crate::order::Wording;
    use proptest::prelude::*;

    #[test]
    fn a_letter_knows_whether_a_space_comes_before_it() {
        let set = set_line(&signs(" AB C"), Length::inches(2), &Widths::default());
        // A space in front of the first letter stands between no two.
        let after: Vec<bool> = set.letters.iter().map(|letter| letter.after_space).collect();
        assert_eq!(after, [false, false, true]);
        assert_eq!(set.letters[0].left, Length::ZERO);
    }

    #[test]
    fn a_line_is_set_closer_only_where_it_is_too_wide_and_asks_for_it() {
        let signs = signs("OTTERS");
        let widths = Widths::default();
        let order = demo::order("2026-01-01");
        let usual = set_line(&signs, Length::inches(2), &widths);
        let line = |closest| Line {
            text: Wording::new("OTTERS"),
            height: Length::inches(2),
            closest,
            ..order.designs[0].lines[0].clone()
        };
        let set = |closest, room| set_on_curve(&line(closest), &signs, &widths, room).0;
        let narrow = usual.width - Length::of_units(1);
        assert_eq!(set(Some(Caps::ZERO), usual.width), usual);
        assert_eq!(set(None, narrow), usual);
        let closer = set(Some(Caps::ZERO), narrow);
        assert!(closer.width <= narrow && closer.width + Length::mm(1) > narrow);
        // As close as is allowed, where even that is too wide.
        let closest = set(Some(Caps::ZERO), Length::inches(1));
        assert_eq!(closest, set_closer(&signs, Length::inches(2), &widths, Caps::ZERO));
    }

    proptest! {
        #[test]
        fn width_grows_with_height_in_proportion(text in "[A-Z0-9 ]{0,12}", inches in 1_i32..6) {
            let widths = Widths::default();
            let one = set_line(&signs(&text), Length::inches(inches), &widths).width;
            let twice = set_line(&signs(&text), Length::inches(2 * inches), &widths).width;
            prop_assert_eq!(twice, one.times(2));
        }

        #[test]
        fn letters_never_overlap_and_end_at_the_width(text in "[A-Z0-9&' ]{1,12}") {
            let line = set_line(&signs(&text), Length::inches(3), &Widths::default());
            for pair in line.letters.windows(2) {
                prop_assert!(pair[0].left + pair[0].width < pair[1].left);
            }
            let end = line.letters.last().map_or(Length::ZERO, |last| last.left + last.width);
            prop_assert_eq!(line.width, end);
        }

        #[test]
        fn order_of_letters_does_not_change_the_width(text in "[A-Z]{1,12}") {
            let reversed: String = text.chars().rev().collect();
            let width = |text: &str| set_line(&signs(text), Length::inches(3), &Widths::default()).width;
            prop_assert_eq!(width(&text), width(&reversed));
        }
    }
}
