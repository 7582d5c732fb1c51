//! From words to letters against rules and counts from outside.
//!
//! Widths of letters are the project's own estimate: there is no outside value to hold them to.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::glyph::{Glyph, GlyphCounts, Sign, signs};
use lettertally::lists::demo;
use lettertally::lists::settings::Settings;
use lettertally::money::Percent;
use lettertally::tally::tally;
use proptest::prelude::*;

/// The ten commonest surnames of the 2010 US census (US Census Bureau, public domain), one shirt each.
const SURNAMES: &str = "Smith Johnson Williams Brown Jones Garcia Miller Davis Rodriguez Martinez";

/// Their 64 letters; counted again with another program.
const SURNAME_LETTERS: &str =
    "A:5 B:1 C:1 D:2 E:4 G:2 H:2 I:8 J:2 L:4 M:4 N:5 O:5 R:6 S:5 T:2 U:1 V:1 W:2 Z:2";

/// Text and its letters, `_` for a gap, `|` between letters.
///
/// Upper case: the Unicode Standard, section 3.13, rule R1, with SpecialCasing.txt. Composition:
/// Unicode Standard Annex 15. What counts as one letter: extended grapheme clusters of Unicode
/// Standard Annex 29. White space: PropList.txt, White_Space.
const UNICODE: [(&str, &str); 20] = [
    // SpecialCasing.txt, unconditional mappings.
    ("Groß", "G|R|O|S|S"),
    ("ﬁnn", "F|I|N|N"),
    // U+02BC and N by the table; our own rule then takes every apostrophe for the straight one.
    ("ŉ", "'|N"),
    ("ﬆ", "S|T"),
    // Simple mappings of UnicodeData.txt.
    ("ıi", "I|I"),
    ("Σας", "Σ|Α|Σ"),
    ("жук", "Ж|У|К"),
    ("ÿ", "Ÿ"),
    // A capital sharp s stays one letter.
    ("ẞ", "ẞ"),
    // Canonical composition; U+212B is a singleton for U+00C5.
    ("e\u{301}lan", "É|L|A|N"),
    ("o\u{308}", "Ö"),
    ("\u{212b}", "\u{c5}"),
    ("\u{1112}\u{1161}\u{11ab}", "한"),
    // No composed form: one letter of two code points all the same.
    ("q\u{301}", "Q\u{301}"),
    // Grapheme clusters: a joined family, a flag, a keycap.
    ("👩\u{200d}👩\u{200d}👧a", "👩\u{200d}👩\u{200d}👧|A"),
    ("🇳🇴", "🇳🇴"),
    ("1\u{fe0f}\u{20e3}", "1\u{fe0f}\u{20e3}"),
    // No-break, ideographic and other spaces are gaps, and runs of them one.
    ("a\u{a0}\u{3000}b", "A|_|B"),
    ("\u{2003}a\t\r\nb ", "A|_|B"),
    ("אב", "א|ב"),
];

/// An accented letter, and the letter that is left without its accents; `""` where there is none.
const WITHOUT_ACCENT: [(&str, &str); 9] = [
    ("É", "E"),
    ("Ñ", "N"),
    ("Å", "A"),
    ("Ự", "U"),
    ("Q\u{301}", "Q"),
    // The Unicode Standard gives these no decomposition.
    ("Ø", ""),
    ("Ł", ""),
    ("E", ""),
    // Syllables decompose into letters, not into a letter and accents.
    ("한", ""),
];

fn spelled(text: &str) -> String {
    let spell = |sign: &Sign| match sign {
        Sign::Glyph(glyph) => glyph.as_str().to_owned(),
        Sign::Space => "_".to_owned(),
    };
    signs(text).iter().map(spell).collect::<Vec<_>>().join("|")
}

#[test]
fn the_ten_commonest_surnames_take_64_letters() {
    let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
    let design = &mut order.designs[0];
    design.lines.drain(..1);
    design.lines.truncate(1);
    design.roster = SURNAMES.split(' ').map(|name| format!("{name},M\n")).collect();
    let settings = Settings { spoilage: Percent::ZERO, ..Settings::default() };
    let tally = tally(&order, &order.read(&lists), &lists, &settings);
    assert_eq!(tally.families[0].need().to_string(), SURNAME_LETTERS);
    assert_eq!((tally.letters_used(), tally.garments), (64, 10));
    assert_eq!(GlyphCounts::of_text(SURNAMES), GlyphCounts::parse(SURNAME_LETTERS).unwrap());
}

#[test]
fn text_becomes_letters_by_the_rules_of_unicode() {
    for (text, expected) in UNICODE {
        assert_eq!(spelled(text), expected, "{text:?}");
    }
}

#[test]
fn accents_come_off_where_the_letter_has_any() {
    for (accented, bare) in WITHOUT_ACCENT {
        let glyph = Glyph::parse(accented).unwrap_or_else(|| panic!("{accented}"));
        let found = glyph.without_accent().map_or(String::new(), |glyph| glyph.to_string());
        assert_eq!(found, bare, "{accented}");
    }
}

#[test]
fn every_character_settles_as_the_letters_it_becomes() {
    for c in char::MIN..=char::MAX {
        let text = c.to_string();
        for sign in signs(&text) {
            if let Sign::Glyph(glyph) = sign {
                let again: Vec<Sign> = signs(glyph.as_str());
                assert_eq!(again, [Sign::Glyph(glyph)], "U+{:04X}", u32::from(c));
            }
        }
    }
}

proptest! {
    #[test]
    fn case_and_composition_never_change_the_letters(text in "[a-zA-Zéöñçß 0-9&.'-]{0,20}") {
        use unicode_normalization::UnicodeNormalization;
        let decomposed: String = text.nfd().collect();
        prop_assert_eq!(signs(&decomposed), signs(&text));
        prop_assert_eq!(signs(&text.to_uppercase()), signs(&text));
    }

    #[test]
    fn no_letter_is_lost_and_none_added(text in "[A-Z ]{0,40}") {
        let letters = text.chars().filter(|c| *c != ' ').count();
        prop_assert_eq!(GlyphCounts::of_text(&text).total(), letters as u64);
    }
}
