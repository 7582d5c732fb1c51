//! Widths of words against tables read from fonts by another program.
//!
//! Advances, and the widths of words at a cap height of 4 in, of four faces: Graduate 400 and Alfa
//! Slab One 400 (SIL Open Font License 1.1), Roboto Slab 700 (Apache 2.0) and Rokkitt 700 (SIL Open
//! Font License 1.1), of the packages `@fontsource/*` 5.3.0, read with fontTools 4.68.0 and set with
//! uharfbuzz 0.57.0, ligatures off. Cap heights and kerned pairs of the same run stand below.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::glyph::{Glyph, signs};
use lettertally::layout::set_line;
use lettertally::length::Length;
use lettertally::lists::style::{Pair, WidthSource};
use lettertally::lists::{Caps, Widths};
use std::collections::BTreeMap;

/// Face, cap height in its units.
const CAP_HEIGHTS: [(&str, i64); 4] =
    [("graduate-400", 750), ("alfa-slab-one-400", 778), ("roboto-slab-700", 1_456), ("rokkitt-700", 583)];

/// The kerned pairs of capitals of Graduate, in its units.
const PAIRS: [(&str, i64); 23] = [
    ("AT", -30),
    ("AV", -50),
    ("AW", -50),
    ("AY", -60),
    ("FA", -50),
    ("FJ", -60),
    ("LT", -50),
    ("LV", -70),
    ("LW", -70),
    ("NA", -30),
    ("PA", -45),
    ("PJ", -30),
    ("TA", -30),
    ("TJ", -50),
    ("VA", -50),
    ("VJ", -40),
    ("WA", -50),
    ("WJ", -40),
    ("YA", -60),
    ("YJ", -60),
    ("AA", 0),
    ("II", 0),
    ("HH", 0),
];

fn glyph(text: &str) -> Glyph {
    Glyph::parse(text).unwrap()
}

fn tables() -> BTreeMap<String, Widths> {
    let mut tables: BTreeMap<String, Widths> = BTreeMap::new();
    let mut rows = csv::Reader::from_reader(include_bytes!("data/fonts/advances.csv").as_slice());
    let faces: Vec<String> = rows.headers().unwrap().iter().skip(1).map(str::to_owned).collect();
    for row in rows.records() {
        let row = row.unwrap();
        for (face, advance) in faces.iter().zip(row.iter().skip(1)) {
            let cap = CAP_HEIGHTS.iter().find(|(name, _)| name == face).unwrap().1;
            let table = tables.entry(face.clone()).or_insert_with(|| Widths {
                source: WidthSource::Font,
                gap: Caps::ZERO,
                ..Widths::default()
            });
            table.letters.insert(glyph(&row[0]), Caps::ratio(advance.parse().unwrap(), cap).unwrap());
        }
    }
    tables
}

/// Four decimals of an inch were kept, and each letter is rounded to a hundred-thousandth of 4 in.
const WITHIN: Length = Length::of_units(127 / 10 + 13 * 51);

#[test]
fn words_are_as_wide_as_another_reader_finds_them() {
    let plain = tables();
    let mut kerned = plain["graduate-400"].clone();
    for (pair, units) in PAIRS {
        let pair = Pair(glyph(&pair[..1]), glyph(&pair[1..]));
        kerned.pairs.insert(pair, Caps::ratio(units, 750).unwrap());
    }
    let mut seen = 0;
    let mut rows = csv::Reader::from_reader(include_bytes!("data/fonts/words_4in.csv").as_slice());
    for row in rows.records() {
        let row = row.unwrap();
        let width = |widths: &Widths| set_line(&signs(&row[1]), Length::inches(4), widths).width;
        let off = |found: Length, inches: &str| {
            let wanted = inches.parse::<rust_decimal::Decimal>().unwrap();
            (found.to_inches() - wanted).abs()
        };
        let found = width(&plain[&row[0]]);
        assert!(off(found, &row[2]) <= WITHIN.to_inches(), "{row:?}: {found}");
        if &row[0] == "graduate-400" {
            let found = width(&kerned);
            assert!(off(found, &row[3]) <= WITHIN.to_inches(), "{row:?}, kerned: {found}");
            seen += usize::from(row[2] != row[3]);
        }
    }
    assert!(seen >= 2, "some words are kerned");
}

#[test]
fn a_font_file_gives_the_table_that_another_reader_finds_in_it() {
    let glyphs: Vec<Glyph> = tables()["graduate-400"].letters.keys().cloned().collect();
    let mut wanted = tables()["graduate-400"].clone();
    for (pair, units) in PAIRS.iter().filter(|(_, units)| *units != 0) {
        wanted.pairs.insert(Pair(glyph(&pair[..1]), glyph(&pair[1..])), Caps::ratio(*units, 750).unwrap());
    }
    // The two files have these advances and pairs, written by fontTools: see boxes.py beside them.
    for file in
        [include_bytes!("data/fonts/boxes-gpos.ttf").as_slice(), include_bytes!("data/fonts/boxes-kern.ttf")]
    {
        let found = lettertally::layout::font::read(file, &glyphs).unwrap();
        assert_eq!((&found.letters, &found.pairs), (&wanted.letters, &wanted.pairs));
    }
}
