//! A font file, opened on the device.

use super::keeps;
use lettertally::glyph::Glyph;
use lettertally::layout::font::{self, LARGEST_FILE, MOST_POINTS};
use lettertally::layout::set_line;
use lettertally::length::Length;
use lettertally::lists::style::WidthSource;
use lettertally::lists::{Caps, LetterStyle};

pub fn check(input: &[u8]) {
    let letters: Vec<Glyph> = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789&.-'!#É"
        .chars()
        .filter_map(|c| Glyph::parse(&c.to_string()))
        .collect();
    let widths = match font::read(input, &letters) {
        Ok(widths) => widths,
        Err(error) => return super::says_why(&error),
    };
    assert!(input.len() <= LARGEST_FILE);
    assert_eq!((widths.source, widths.gap), (WidthSource::Font, Caps::ZERO));
    assert!(!widths.letters.is_empty() && widths.letters.keys().all(|glyph| letters.contains(glyph)));
    assert!(widths.drawings.keys().all(|glyph| widths.letters.contains_key(glyph)));
    assert!(widths.drawings.values().map(|drawing| drawing.points()).sum::<usize>() <= MOST_POINTS);
    let signs = lettertally::glyph::signs("AVATAR 10");
    set_line(&signs, Length::inches(4), &widths);
    keeps(&LetterStyle { widths, ..LetterStyle::estimated("block", "block") });
}

pub fn seeds() -> Vec<Vec<u8>> {
    vec![
        include_bytes!("../../../data/fonts/boxes-gpos.ttf").to_vec(),
        include_bytes!("../../../data/fonts/boxes-kern.ttf").to_vec(),
        b"wOFF".to_vec(),
    ]
}
