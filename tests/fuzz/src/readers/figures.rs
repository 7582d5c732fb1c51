//! What is typed into a field: figures, lengths, prices, counts of letters, days, codes.

use super::keeps;
use lettertally::booth::queue::Minute;
use lettertally::exchange::figures::{Sign, read_as};
use lettertally::glyph::{Glyph, GlyphCounts, GlyphSet, Sign as Spelled, signs};
use lettertally::length::{Length, Units};
use lettertally::lists::settings::SETTINGS;
use lettertally::lists::settings::Settings;
use lettertally::lists::{Caps, Rgb, steps};
use lettertally::money::{Cents, Currency, Money, Percent};
use lettertally::number;
use lettertally::quote::code::Code;
use lettertally::quote::day::Day;
use lettertally::saved::packed;

pub fn check(input: &[u8]) {
    let text = &*String::from_utf8_lossy(input);
    numbers(text);
    lengths(text);
    money(text);
    letters(text);
    words(text);
    settings(text);
}

fn numbers(text: &str) {
    for (most, decimals) in [(999, 0), (10_000_000, 4)] {
        if let Ok(value) = number::decimal(text, most, decimals) {
            assert!(value.scale() <= decimals && value <= most.into() && !value.is_sign_negative());
            // Three decimals after a comma could be thousands; a point says what is meant.
            assert_eq!(number::decimal(&value.to_string(), most, decimals), Ok(value));
        }
    }
    if let Ok(value) = number::whole(text, 1, 999) {
        assert!((1..=999).contains(&value));
    }
    for sign in [Sign::Point, Sign::Comma] {
        if let Some(plain) = read_as(text, sign) {
            assert_eq!(read_as(&plain, Sign::Point), Some(plain));
        }
    }
    assert!(number::shortened(text).chars().count() <= 24);
}

fn lengths(text: &str) {
    for units in Units::ALL {
        if let Ok(length) = units.read(text) {
            assert!((0..=Length::inches(1_000).units()).contains(&length.units()), "{text}");
            for other in Units::ALL {
                assert_eq!(other.read(&other.write(length)), Ok(length), "{text}");
            }
            keeps(&length);
        }
    }
    for share in [Caps::parse(text), Caps::parse_signed(text)].into_iter().flatten() {
        assert_eq!(Caps::parse_signed(&share.to_string()), Ok(share));
        keeps(&share);
    }
}

fn money(text: &str) {
    for code in ["USD", "JPY", "KWD"] {
        let currency = Currency::of_code(code).unwrap();
        if let Ok(cents) = Cents::parse(text, &currency) {
            assert_eq!(Cents::parse(&currency.plain(cents), &currency), Ok(cents));
            keeps(&cents);
        }
        if let Ok(breaks) = steps::read_breaks(text, &currency) {
            assert!(breaks.windows(2).all(|pair| pair[0].from < pair[1].from));
            assert_eq!(steps::read_breaks(&steps::write_breaks(&breaks, &currency), &currency), Ok(breaks));
        }
        if let Ok(freight) = steps::read_freight(text, &currency) {
            assert_eq!(
                steps::read_freight(&steps::write_freight(&freight, &currency), &currency),
                Ok(freight)
            );
        }
    }
    if let Ok(amount) = Money::parse(text) {
        keeps(&amount);
    }
    if let Ok(percent) = Percent::parse(text) {
        keeps(&percent);
    }
}

fn letters(text: &str) {
    for sign in signs(text) {
        if let Spelled::Glyph(glyph) = sign {
            assert_eq!(Glyph::parse(glyph.as_str()), Some(glyph.clone()), "{text:?}");
            keeps(&glyph);
        }
    }
    if let Ok(counts) = GlyphCounts::parse(text) {
        assert_eq!(GlyphCounts::parse(&counts.to_string()), Ok(counts.clone()), "{text:?}");
        keeps(&counts);
    }
    let set = GlyphSet::parse(text);
    assert_eq!(GlyphSet::parse(&set.to_string()), set, "{text:?}");
    keeps(&set);
    keeps(&GlyphCounts::of_text(text));
}

fn words(text: &str) {
    if let Ok(code) = Code::parse(text) {
        assert_eq!(Code::parse(&code.to_string()), Ok(code));
    }
    if let Some(day) = Day::parse(text) {
        assert_eq!(day.to_string(), text);
        let _ = day.plus(u16::MAX);
    }
    if let Some(minute) = Minute::parse(text, "2026-01-31") {
        assert_eq!(Minute::parse(minute.as_str(), "2026-01-31"), Some(minute.clone()));
        let _ = (minute.time().len(), minute.after_seconds(100_000));
    }
    if let Some(colour) = Rgb::parse(text) {
        assert_eq!(Rgb::parse(&colour.to_string()), Some(colour));
    }
    if let Some(unpacked) = packed::unpack(text) {
        assert!(packed::pack(&unpacked).is_none_or(|again| packed::unpack(&again) == Some(unpacked)));
    }
}

/// A setting takes the text or stays as it was; what it took is kept and read again.
fn settings(text: &str) {
    for row in &SETTINGS {
        let before = Settings::default();
        let mut settings = before.clone();
        match row.read(&mut settings, text) {
            Err(error) => {
                super::says_why(&error);
                assert_eq!(settings, before);
            }
            Ok(()) => {
                keeps(&settings);
                // A share of a price aim that is not chosen is taken, and is nowhere.
                if settings != before {
                    let mut again = before.clone();
                    assert_eq!(row.read(&mut again, &row.write(&settings)), Ok(()));
                    assert_eq!(again, settings, "{text:?}");
                }
            }
        }
    }
}

pub fn seeds() -> Vec<Vec<u8>> {
    let texts = [
        "12,50",
        "0.55",
        "1.234,50",
        "1'234.50",
        "12,34,567.5",
        "−3",
        "999",
        "2 1/2\"",
        "2½ in",
        "63.5 mm",
        "5 cm",
        "3-3/4",
        "50: 2.00, 100: 1.80",
        "0: 8; 75: 0",
        "8.25 %",
        "A:5 B:2 É:1",
        "30 A, 5:3",
        "A5 b:2 ,:3 ;:4",
        "A-Z 0-9 & . -",
        "Groß",
        "👩\u{200d}🚀x",
        "e\u{301}lan",
        "2026-02-28",
        "2026-01-31 14:30",
        "09:15",
        "#1a2b3c",
        "2222-2222",
        "yes",
        "margin",
        "0.94167",
        "-0.067",
        "2028-02-29T23:59",
        "1.0.",
    ];
    texts.map(|text| text.as_bytes().to_vec()).into()
}
