//! The contents of an assorted set that the list does not spell out: a first guess to mend.
//!
//! Owns how often letters come in names, and how a total is shared out by that. What it gives is
//! a guess until the shop has counted its own set, and the page says so.

use crate::glyph::{Glyph, GlyphCounts, GlyphSet};
use crate::number::apportion;
use std::fmt;

/// How often each of A to Z comes in a million letters of surnames, weighted by people: the
/// 162,253 surnames that 100 people or more bear, United States Census 2010, public domain.
const SURNAMES: [u64; 26] = [
    94_795, 22_790, 33_820, 31_278, 107_004, 10_827, 25_809, 36_173, 58_214, 5_768, 18_755, 66_578, 35_643,
    79_023, 73_639, 16_071, 1_269, 89_962, 64_187, 44_483, 24_273, 9_932, 17_500, 1_325, 17_154, 13_727,
];

/// How often each of A to Z comes in a million letters of given names, weighted by births:
/// births in the United States 2005 to 2024, Social Security Administration, public domain.
const GIVEN_NAMES: [u64; 26] = [
    164_424, 16_305, 26_896, 29_880, 109_331, 3_142, 11_843, 34_942, 83_132, 18_947, 17_963, 79_534, 34_104,
    91_858, 50_146, 7_453, 774, 61_436, 42_731, 32_546, 14_390, 13_046, 5_719, 4_520, 38_763, 6_177,
];

/// What a set of letters is mostly used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// Surnames, as on the back of a shirt.
    Surnames,
    /// Given names, as on a chest or a bag.
    GivenNames,
    /// Every letter as often as any other.
    Evenly,
}

impl Use {
    /// Every use, in the order of a choice.
    pub const ALL: [Self; 3] = [Self::Surnames, Self::GivenNames, Self::Evenly];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Surnames => "as in surnames",
            Self::GivenNames => "as in given names",
            Self::Evenly => "all alike",
        }
    }

    fn table(self) -> [u64; 26] {
        match self {
            Self::Surnames => SURNAMES,
            Self::GivenNames => GIVEN_NAMES,
            Self::Evenly => [1; 26],
        }
    }

    /// How often a glyph comes. Digits come alike, each as often as a letter does on average; a
    /// mark or a letter beyond Z as often as the rarest letter. (Both are assumptions, no source.)
    fn weight(self, glyph: &Glyph) -> u64 {
        let table = self.table();
        match glyph.as_str().as_bytes() {
            [letter @ b'A'..=b'Z'] => table[usize::from(letter - b'A')],
            [b'0'..=b'9'] => table.iter().sum::<u64>() / 26,
            _ => table.into_iter().min().unwrap_or(1),
        }
    }
}

/// Why a set cannot be filled so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FillError {
    /// No glyph to fill it with.
    NoGlyphs,
    /// Fewer letters than it takes to have so many of each.
    TooFew {
        /// How many it takes.
        needed: u64,
    },
}

impl fmt::Display for FillError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoGlyphs => write!(f, "say which letters the set has, such as A-Z 0-9"),
            Self::TooFew { needed } => {
                write!(f, "so many of each letter take {needed}: raise the total, or ask for fewer of each")
            }
        }
    }
}

impl std::error::Error for FillError {}

/// A set of exactly `total` letters, shared out by how often each comes, by largest remainder,
/// with at least `least` of each.
///
/// # Errors
/// There is nothing to share among, or not enough to share.
///
/// ```
/// use lettertally::glyph::GlyphSet;
/// use lettertally::lists::contents::{Use, fill};
/// let set = fill(64, &GlyphSet::parse("A-Z"), 1, Use::Surnames).unwrap();
/// assert_eq!(set.total(), 64);
/// assert!(fill(20, &GlyphSet::parse("A-Z"), 1, Use::Surnames).is_err());
/// ```
pub fn fill(total: u32, alphabet: &GlyphSet, least: u32, used: Use) -> Result<GlyphCounts, FillError> {
    let glyphs: Vec<&Glyph> = alphabet.iter().collect();
    let needed = u64::from(least) * u64::try_from(glyphs.len()).unwrap_or(u64::MAX);
    match glyphs.len() {
        0 => return Err(FillError::NoGlyphs),
        _ if u64::from(total) < needed => return Err(FillError::TooFew { needed }),
        _ => {}
    }
    let weights: Vec<u64> = glyphs.iter().map(|glyph| used.weight(glyph)).collect();
    let counts = shared(i64::from(total), &weights, i64::from(least));
    let pairs = glyphs.into_iter().cloned().zip(counts);
    Ok(pairs.map(|(glyph, count)| (glyph, u32::try_from(count).unwrap_or(0))).collect())
}

/// Shares out a total: those that would get less than the least get the least, and the others
/// share the rest.
fn shared(total: i64, weights: &[u64], least: i64) -> Vec<i64> {
    let mut is_least = vec![false; weights.len()];
    loop {
        let fixed: i64 = is_least.iter().map(|&is_least| if is_least { least } else { 0 }).sum();
        let open =
            weights.iter().zip(&is_least).map(|(&weight, &is_least)| if is_least { 0 } else { weight });
        let shares = apportion(total - fixed, &open.collect::<Vec<_>>());
        let short: Vec<usize> =
            (0..weights.len()).filter(|&at| !is_least[at] && shares[at] < least).collect();
        if short.is_empty() {
            let counts = shares.into_iter().zip(is_least);
            return counts.map(|(share, is_least)| if is_least { least } else { share }).collect();
        }
        short.into_iter().for_each(|at| is_least[at] = true);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_tables_are_of_a_million_letters() {
        for table in [SURNAMES, GIVEN_NAMES] {
            assert!((999_990..=1_000_010).contains(&table.iter().sum::<u64>()));
        }
    }

    /// By hand from the table: 1,000 letters are the table to the nearest letter, since the
    /// remainders make up for each other.
    #[test]
    fn a_thousand_letters_are_the_table() {
        let set = fill(1_000, &GlyphSet::parse("A-Z"), 0, Use::Surnames).unwrap();
        let count = |letter| set.get(&Glyph::parse(letter).unwrap());
        assert_eq!(["A", "E", "N", "Q", "R", "X"].map(count), [95, 107, 79, 1, 90, 1]);
        assert_eq!(set.total(), 1_000);
    }

    #[test]
    fn digits_come_alike() {
        let set = fill(40, &GlyphSet::parse("0-9"), 1, Use::Surnames).unwrap();
        assert!(set.iter().all(|(_, count)| count == 4));
    }

    #[test]
    fn what_cannot_be_shared_says_why() {
        let fault =
            |total, text, least| fill(total, &GlyphSet::parse(text), least, Use::Surnames).unwrap_err();
        assert_eq!(fault(5, "", 0), FillError::NoGlyphs);
        assert!(fault(51, "A-Z", 2).to_string().contains("take 52"));
    }

    proptest! {
        #[test]
        fn the_total_is_exact_and_none_is_short(
            total in 0_u32..5_000, text in "[A-Z0-9&É ]{1,30}", least in 0_u32..4, at in 0_usize..3,
        ) {
            let alphabet = GlyphSet::parse(&text);
            if let Ok(set) = fill(total, &alphabet, least, Use::ALL[at]) {
                prop_assert_eq!(set.total(), u64::from(total));
                prop_assert!(alphabet.iter().all(|glyph| set.get(glyph) >= least));
            }
        }

        #[test]
        fn a_more_frequent_letter_never_comes_less(total in 26_u32..2_000, least in 0_u32..2, at in 0_usize..3) {
            let used = Use::ALL[at];
            let set = fill(total, &GlyphSet::parse("A-Z"), least, used).unwrap();
            let by_weight = |a: &Glyph, b: &Glyph| used.weight(a) <= used.weight(b) || set.get(a) >= set.get(b);
            for (a, _) in set.iter() {
                prop_assert!(set.iter().all(|(b, _)| by_weight(a, b)));
            }
        }
    }
}
