//! Letter widths: a shop's table over the built-in estimate, and filling it by measuring.

use super::alphabet;
use crate::glyph::{Glyph, Sign};
use crate::length::Length;
use crate::lists::style::WidthSource;
use crate::lists::{Caps, Widths};

/// The width of a glyph that neither the table nor the built-in alphabet has.
pub const UNKNOWN: Caps = Caps::thousandths(700);

/// The width of a glyph: the table's, else the built-in alphabet's, which is an estimate.
pub fn of_glyph(glyph: &Glyph, widths: &Widths) -> Caps {
    widths.letters.get(glyph).copied().unwrap_or_else(|| estimate(glyph))
}

/// The width of a glyph in the built-in alphabet.
pub fn estimate(glyph: &Glyph) -> Caps {
    alphabet::outline(glyph.as_str()).map_or(UNKNOWN, |outline| Caps::thousandths(outline.width))
}

/// Why a measured row of letters says nothing of their widths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeasureError {
    /// There is no letter in it.
    NoLetters,
    /// The letters would be narrower than nothing: the length leaves no room beside the gaps.
    TooShort,
    /// The letters would be wider than any letter is.
    TooLong,
}

impl std::fmt::Display for MeasureError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NoLetters => "type the letters that lie in the row",
            Self::TooShort => {
                "too short: the gaps alone are as long as that; check the letter height and the gap"
            }
            Self::TooLong => "too long for these letters; check the letter height and the unit",
        })
    }
}

impl std::error::Error for MeasureError {}

/// The widths of the letters in a row that was measured from the first one's left edge to the last
/// one's right edge, set with the table's own gaps.
///
/// Each is as much wider or narrower than before as all of them together, so that one row of
/// different letters corrects each by the same share; a row of one letter gives just its width.
///
/// # Errors
/// Says why the length says nothing of the letters.
///
/// ```
/// use lettertally::{glyph::signs, layout::{set_line, widths::measured}, length::Length, lists::Widths};
/// let (row, height) = (signs("ABCDEFGHIJ"), Length::inches(4));
/// let mut widths = Widths::default();
/// widths.letters.extend(measured(&row, Length::mils(31_400), height, &widths).unwrap());
/// let off = set_line(&row, height, &widths).width - Length::mils(31_400);
/// assert!(off.units().abs() < 254); // a thousandth of an inch
/// ```
pub fn measured(
    row: &[Sign],
    length: Length,
    height: Length,
    widths: &Widths,
) -> Result<Vec<(Glyph, Caps)>, MeasureError> {
    let mut glyphs: Vec<&Glyph> = Vec::new();
    let mut letters = 0_i64;
    super::walk(row, height, widths, widths.gap, |glyph, _, width, _| {
        letters += width.units();
        glyphs.push(glyph);
    });
    if glyphs.is_empty() {
        return Err(MeasureError::NoLetters);
    }
    let whole = super::width_of(row, height, widths, widths.gap).units();
    let left = length.units() - (whole - letters);
    if left <= 0 || letters <= 0 || height <= Length::ZERO {
        return Err(MeasureError::TooShort);
    }
    glyphs.sort();
    glyphs.dedup();
    let scaled = |glyph: &Glyph| {
        let width = of_glyph(glyph, widths).of(height).part(left, letters);
        Caps::ratio(width.units(), height.units()).map(|share| (glyph.clone(), share))
    };
    glyphs.into_iter().map(scaled).collect::<Option<_>>().ok_or(MeasureError::TooLong)
}

/// The built-in widths, all as much wider or narrower as makes a row so wide: for who knows how wide
/// a row is and not how wide each letter.
///
/// ```
/// use lettertally::{glyph::signs, layout::{set_line, widths::scaled_to}, length::Length};
/// let (row, height) = (signs("MARSH OTTERS"), Length::inches(4));
/// let off = set_line(&row, height, &scaled_to(&row, height, Length::inches(40))).width - Length::inches(40);
/// assert!(off.units().abs() < 254); // a thousandth of an inch
/// ```
pub fn scaled_to(row: &[Sign], height: Length, width: Length) -> Widths {
    let usual = Widths::default();
    let whole = super::width_of(row, height, &usual, usual.gap);
    let scaled = |share: Caps| {
        Caps::ratio(share.of(height).part(width.units(), whole.units()).units(), height.units())
    };
    let letters = row.iter().filter_map(|sign| match sign {
        Sign::Glyph(glyph) => Some((glyph.clone(), scaled(estimate(glyph))?)),
        Sign::Space => None,
    });
    match (scaled(usual.gap), scaled(usual.space)) {
        (Some(gap), Some(space)) if whole > Length::ZERO => {
            Widths { source: WidthSource::Measured, gap, space, letters: letters.collect(), ..usual }
        }
        _ => usual,
    }
}

#[cfg(test)]
mod tests {
    use super::super::set_line;
    use super::*;
    use crate::glyph::signs;
    use proptest::prelude::*;

    #[test]
    fn a_row_of_one_letter_gives_its_width() {
        let widths = Widths::default();
        // Five letters of 3.2 in with four gaps of 0.4 in: 17.6 in.
        let found = measured(&signs("HHHHH"), Length::mils(17_600), Length::inches(4), &widths).unwrap();
        assert_eq!(found, [(Glyph::parse("H").unwrap(), Caps::thousandths(800))]);
        let fail = |row, inches| measured(&signs(row), Length::inches(inches), Length::inches(4), &widths);
        assert_eq!(fail(" ", 3), Err(MeasureError::NoLetters));
        assert_eq!(fail("HHHHHHHHHHH", 4), Err(MeasureError::TooShort));
        assert_eq!(fail("I", 900), Err(MeasureError::TooLong));
        // Two gaps of 0.4 in are all that a row of 0.8 in has room for.
        let gaps = widths.gap.of(Length::inches(4)).times(2);
        let row = |length| measured(&signs("HHH"), length, Length::inches(4), &widths);
        assert_eq!(row(gaps), Err(MeasureError::TooShort));
        assert_eq!(row(gaps + Length::of_units(3)).map(|found| found.len()), Ok(1));
        let flat = measured(&signs("HHH"), gaps, Length::ZERO, &widths);
        assert_eq!(flat, Err(MeasureError::TooShort));
        let mut narrow = widths.clone();
        narrow.letters.insert(Glyph::parse("H").unwrap(), Caps::ZERO);
        let none = measured(&signs("HHH"), Length::inches(9), Length::inches(4), &narrow);
        assert_eq!(none, Err(MeasureError::TooShort), "letters without width are no wider for it");
        assert!(MeasureError::TooShort.to_string().contains("check the letter height and the gap"));
        assert!(MeasureError::TooLong.to_string().contains("the unit"));
    }

    #[test]
    fn the_built_in_widths_gap_and_space_are_scaled_alike() {
        let (row, height) = (signs("MARSH OTTERS"), Length::inches(4));
        let usual = Widths::default();
        let whole = set_line(&row, height, &usual).width;
        for inches in [20, 40, 60] {
            let width = Length::inches(inches);
            let found = scaled_to(&row, height, width);
            let off = set_line(&row, height, &found).width - width;
            assert!(off.units().abs() < 254, "{off}");
            assert_eq!((found.source, found.letters.len()), (WidthSource::Measured, 8));
            for (scaled, before) in [(found.gap, usual.gap), (found.space, usual.space)] {
                let wanted = before.of(height).part(width.units(), whole.units());
                assert!((scaled.of(height) - wanted).units().abs() < 25);
            }
        }
        assert_eq!(scaled_to(&[], height, Length::inches(20)), usual);
    }

    proptest! {
        #[test]
        fn the_row_then_has_the_length_measured(row in "[A-Z]{1,12}", percent in 60_i64..160) {
            let (row, height) = (signs(&row), Length::inches(3));
            let mut widths = Widths::default();
            let length = set_line(&row, height, &widths).width.part(percent, 100);
            if let Ok(found) = measured(&row, length, height, &widths) {
                widths.letters.extend(found);
                let off = set_line(&row, height, &widths).width - length;
                // Each letter is rounded to a hundred-thousandth of 3 in, half of 7.62 micrometres.
                prop_assert!(off.units().abs() <= 12 * 12 + 24, "{}", off.units());
            }
        }
    }
}
