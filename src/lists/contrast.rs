//! Contrast: whether letters of one colour can be told from a garment of another.

use super::{Blank, Colour, Rgb};

/// Below this, in hundredths, letters are hard to tell from what they lie on: what WCAG 2.2 asks of
/// large text and of pictures (success criteria 1.4.3 and 1.4.11).
pub const POOR: u32 = 300;

/// Shares are reckoned in parts of this: two of them multiplied are within 64 bits.
const WHOLE: u64 = 1_000_000_000;

/// What is wrong with letters of a colour on a garment; `None` where they can be told from it.
///
/// ```
/// use lettertally::lists::{contrast, demo};
/// let (lists, white) = (demo::lists(), demo::lists().finishes[0].colours[0].clone());
/// assert_eq!(contrast::poor(&white, &lists.blanks[0]), None);
/// let words = contrast::poor(&white, &lists.blanks[1]).unwrap();
/// assert_eq!(words, "white letters on pier hoodie, grey: hard to read from afar (contrast 2.4 to 1, of 3 to 1)");
/// ```
pub fn poor(letters: &Colour, garment: &Blank) -> Option<String> {
    let ratio = letters.screen.contrast(garment.screen);
    (ratio < POOR).then(|| {
        format!(
            "{} letters on {}: hard to read from afar (contrast {}.{} to 1, of {} to 1)",
            letters.name,
            garment.name,
            ratio / 100,
            ratio % 100 / 10,
            POOR / 100
        )
    })
}

impl Rgb {
    /// The contrast ratio to another colour in hundredths, rounded down: 100 to 2100 (WCAG 2.2,
    /// relative luminance).
    ///
    /// ```
    /// use lettertally::lists::Rgb;
    /// assert_eq!(Rgb([0; 3]).contrast(Rgb([255; 3])), 2_100);
    /// ```
    pub fn contrast(self, other: Self) -> u32 {
        let (one, two) = (self.luminance(), other.luminance());
        let flare = WHOLE / 20;
        let ratio = (one.max(two) + flare) * 100 / (one.min(two) + flare);
        u32::try_from(ratio).unwrap_or(u32::MAX)
    }

    fn luminance(self) -> u64 {
        let [red, green, blue] = self.0.map(linear);
        (red * 2_126 + green * 7_152 + blue * 722) / 10_000
    }
}

/// A channel made linear, as a share of [`WHOLE`].
fn linear(channel: u8) -> u64 {
    let share = u64::from(channel) * WHOLE / 255;
    if share <= WHOLE * 4_045 / 100_000 {
        return share * 100 / 1_292;
    }
    let base = (share + WHOLE * 55 / 1_000) * 1_000 / 1_055;
    // The base to the power of 2.4 is its square times the fifth root of its square.
    let square = product(base, base);
    let (mut low, mut high) = (0, WHOLE);
    while high - low > 1 {
        let middle = (low + high) / 2;
        let fourth = product(product(middle, middle), product(middle, middle));
        if product(fourth, middle) < square {
            low = middle;
        } else {
            high = middle;
        }
    }
    product(square, high)
}

fn product(a: u64, b: u64) -> u64 {
    a * b / WHOLE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratios_are_those_of_the_published_formula() {
        // WCAG 2.2 (W3C), relative luminance and contrast ratio; recomputed, rounded down.
        for (colour, on_white) in [
            ("#767676", 454),
            ("#777777", 447),
            ("#949494", 303),
            ("#959595", 299),
            ("#595959", 700),
            ("#ff0000", 399),
            ("#0000ff", 859),
            ("#008000", 513),
            ("#cc0000", 588),
            ("#000000", 2_100),
        ] {
            assert_eq!(Rgb::parse(colour).unwrap().contrast(Rgb([255; 3])), on_white, "{colour}");
        }
        assert_eq!(Rgb([255, 255, 0]).contrast(Rgb([0; 3])), 1_955);
    }
}
