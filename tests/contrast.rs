//! The colours of `style/tokens.css`: every text stands out from its ground and every edge that
//! tells something from what is beside it, in light, in dark, and where more contrast is asked for.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use std::collections::BTreeMap;
use std::{fs, path::Path};

type Colour = [u8; 3];

/// Text and its ground: WCAG 2.2, 1.4.3 asks for 4.5 to 1, and 1.4.6 for 7 to 1.
const TEXTS: [(&str, &str); 27] = [
    ("ink", "paper"),
    ("ink", "card"),
    ("ink", "field"),
    ("ink", "accent-soft"),
    ("ink", "look-soft"),
    ("ink", "stop-soft"),
    ("soft", "paper"),
    ("soft", "card"),
    ("soft", "field"),
    ("soft", "accent-soft"),
    ("soft", "look-soft"),
    ("accent", "paper"),
    ("accent", "card"),
    ("accent", "field"),
    ("accent", "accent-soft"),
    ("on-accent", "accent"),
    ("look", "look-soft"),
    ("look", "card"),
    ("look-soft", "look"),
    ("stop", "stop-soft"),
    ("stop", "card"),
    ("stop", "paper"),
    ("stop-soft", "stop"),
    ("on-strip", "strip"),
    ("on-strip-soft", "strip"),
    ("strip-figure", "strip"),
    ("strip-loss", "strip"),
];

/// The edges of fields, buttons and of what has the focus: WCAG 2.2, 1.4.11 asks for 3 to 1.
const EDGES: [(&str, &str); 10] = [
    ("field-line", "paper"),
    ("field-line", "card"),
    ("field-line", "field"),
    ("accent", "paper"),
    ("accent", "card"),
    ("accent", "field"),
    ("look", "look-soft"),
    ("stop", "field"),
    ("strip-figure", "strip"),
    ("paper", "ink"),
];

/// Lines that only divide: nothing is asked of them, unless more contrast is.
const DIVIDERS: [(&str, &str); 2] = [("line", "paper"), ("line", "card")];

/// How far the brighter of two colours stands out from the darker: WCAG 2.2, "contrast ratio"
/// and "relative luminance", whose limit is 0.04045 since May 2021.
fn contrast(one: Colour, other: Colour) -> f64 {
    let part = |value: u8| {
        let value = f64::from(value) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    let light = |[r, g, b]: Colour| 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
    let (one, other) = (light(one), light(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn colour(written: &str) -> Colour {
    let digits = written.strip_prefix('#').unwrap_or_else(|| panic!("{written} is no colour"));
    assert_eq!(digits.len(), 6, "{written} is no full colour");
    [0, 2, 4].map(|at| u8::from_str_radix(&digits[at..at + 2], 16).unwrap())
}

/// The colours that count where all these conditions hold, later ones over earlier ones.
fn tokens(holds: &[&str]) -> BTreeMap<String, String> {
    let sheet = Path::new(env!("CARGO_MANIFEST_DIR")).join("style/tokens.css");
    let sheet = fs::read_to_string(sheet).unwrap();
    let mut found = BTreeMap::new();
    let mut counts = true;
    for line in sheet.lines() {
        if let Some(condition) = line.strip_prefix("@media ") {
            let mut parts = condition.trim_end_matches(" {").split(" and ");
            counts = parts.all(|part| part == "screen" || holds.contains(&part));
        } else if line == "}" {
            counts = true;
        } else if counts
            && let Some((name, value)) = line.trim().strip_prefix("--").and_then(|l| l.split_once(": "))
        {
            found.insert(name.to_owned(), value.trim_end_matches(';').to_owned());
        }
    }
    found
}

const DARK: &str = "(prefers-color-scheme: dark)";
const MORE: &str = "(prefers-contrast: more)";

/// The pairs of this look that stand out less than they must.
fn faint(holds: &[&str], pairs: &[(&str, &str)], least: f64) -> Vec<String> {
    let tokens = tokens(holds);
    let named = |name: &str| colour(tokens.get(name).unwrap_or_else(|| panic!("no colour {name}")));
    let pairs = pairs.iter().map(|(one, other)| (one, other, contrast(named(one), named(other))));
    let faint = pairs.filter(|(.., ratio)| *ratio < least);
    faint.map(|(one, other, ratio)| format!("{one} on {other} {holds:?}: {ratio:.3} < {least}")).collect()
}

#[test]
fn the_formula_gives_the_published_ratios() {
    // Black on white is 21 to 1 by the standard itself (WCAG 2.2, "contrast ratio"). The greys are
    // the well-known limits on white: #767676 is the lightest with 4.5 to 1, #949494 with 3 to 1,
    // #595959 with 7 to 1. The ratios to four places are computed with the standard's formula
    // (w3c/wcag at 58080bdb), apart from this project.
    for (one, other, ratio) in [
        ("#000000", "#ffffff", 21.0),
        ("#ffffff", "#ffffff", 1.0),
        ("#767676", "#ffffff", 4.5422),
        ("#777777", "#ffffff", 4.4781),
        ("#949494", "#ffffff", 3.0335),
        ("#959595", "#ffffff", 2.9953),
        ("#595959", "#ffffff", 7.0047),
        ("#ff0000", "#ffffff", 3.9985),
        ("#0000ff", "#ffffff", 8.5925),
        ("#008000", "#ffffff", 5.1374),
        ("#cc0000", "#ffffff", 5.8865),
        ("#ffff00", "#000000", 19.5560),
    ] {
        let (there, back) = (contrast(colour(one), colour(other)), contrast(colour(other), colour(one)));
        assert!((there - ratio).abs() < 0.000_05, "{one} on {other}: {there}");
        assert!((there - back).abs() < f64::EPSILON, "{one} and {other} in either order");
    }
}

#[test]
fn every_look_has_colours_of_its_own() {
    let looks = [&[][..], &[DARK], &[MORE], &[DARK, MORE]].map(tokens);
    for (at, look) in looks.iter().enumerate() {
        assert!(looks[..at].iter().all(|other| other["soft"] != look["soft"]), "look {at}");
    }
}

#[test]
fn every_text_and_edge_stands_out_in_light_and_dark() {
    for holds in [&[][..], &[DARK]] {
        let faults = [faint(holds, &TEXTS, 4.5), faint(holds, &EDGES, 3.0)].concat();
        assert!(faults.is_empty(), "{faults:#?}");
    }
}

#[test]
fn more_contrast_is_more() {
    for holds in [&[MORE][..], &[DARK, MORE]] {
        let faults =
            [faint(holds, &TEXTS, 7.0), faint(holds, &EDGES, 4.5), faint(holds, &DIVIDERS, 3.0)].concat();
        assert!(faults.is_empty(), "{faults:#?}");
    }
}
