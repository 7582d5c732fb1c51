//! Kept records that were damaged: cut short, of other versions, of wrong types, with unknown fields.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::book::{Entry, Moment};
use lettertally::glyph::Glyph;
use lettertally::lists::settings::Settings;
use lettertally::saved;
use lettertally::saved::record::{self, RecordError};
use serde_json::{Value, json};

/// Says why a record cannot be read.
type Reader = fn(&str) -> Option<RecordError>;

/// The records of the demo shop as they are kept, each with a reader that must not panic.
fn records() -> Vec<(String, Reader)> {
    fn error<T: serde::de::DeserializeOwned>(text: &str) -> Option<RecordError> {
        record::read::<T>(text).err()
    }
    let saved::State { mut shop, book, .. } = saved::demo_state("2026-01-01", Moment(1));
    let family = book.current().order.designs[0].lines[0].family();
    shop.shelf.set(&family, Glyph::parse("É").unwrap(), 7);
    vec![
        (record::write(&shop.lists, Moment(7)), error::<lettertally::lists::Lists>),
        (record::write(&shop.settings, Moment(7)), error::<Settings>),
        (record::write(&shop.shelf, Moment(7)), error::<lettertally::shelf::Shelf>),
        (record::write(book.current(), Moment(7)), error::<Entry>),
    ]
}

/// Every place in a JSON value, as a JSON pointer.
fn places(value: &Value, at: &str, into: &mut Vec<String>) {
    into.push(at.to_owned());
    match value {
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(i, item)| places(item, &format!("{at}/{i}"), into));
        }
        Value::Object(fields) => fields.iter().for_each(|(name, item)| {
            places(item, &format!("{at}/{}", name.replace('~', "~0").replace('/', "~1")), into);
        }),
        _ => {}
    }
}

#[test]
fn records_cut_short_anywhere_are_damaged() {
    for (text, error) in records() {
        assert_eq!(error(&text), None);
        for end in (0..text.len()).filter(|&end| text.is_char_boundary(end)) {
            assert!(matches!(error(&text[..end]), Some(RecordError::Damaged(_))), "{}", &text[..end]);
        }
        assert!(matches!(error(&format!("{text}{text}")), Some(RecordError::Damaged(_))));
    }
}

#[test]
fn records_of_other_versions_are_told_apart_from_damage() {
    let current = format!("\"version\":{}", record::VERSION);
    for (text, error) in records() {
        for version in [0, 1, 2, 3, 4_000_000_000_u32] {
            let other = text.replacen(&current, &format!("\"version\":{version}"), 1);
            assert_eq!(error(&other), Some(RecordError::OtherVersion(version)));
        }
        for version in ["-1", "1.5", "\"1\"", "null", "99999999999"] {
            let wrong = text.replacen(&current, &format!("\"version\":{version}"), 1);
            assert!(matches!(error(&wrong), Some(RecordError::Damaged(_))), "{version}");
        }
    }
    for text in [
        "",
        "null",
        "[]",
        "{}",
        "true",
        "\u{feff}{}",
        "<html>",
        &format!("{{{current}}}"),
        &format!("{{{current},\"data\":{{}}}}"),
    ] {
        assert!(matches!(record::read::<Settings>(text), Err(RecordError::Damaged(_))), "{text}");
    }
    let deep = format!("{{{current},\"revision\":1,\"data\":{}", "[".repeat(100_000));
    assert!(matches!(record::read::<Settings>(&deep), Err(RecordError::Damaged(_))));
}

#[test]
fn records_with_wrong_types_are_damaged() {
    let wrong = [json!(true), json!(-1), json!(1e300), json!([[]]), json!({"what": "ever"})];
    for (text, error) in records() {
        let good: Value = serde_json::from_str(&text).unwrap();
        let mut all = Vec::new();
        places(&good, "", &mut all);
        for place in &all {
            for value in wrong.iter().filter(|value| Some(*value) != good.pointer(place)) {
                let mut bad = good.clone();
                *bad.pointer_mut(place).unwrap() = value.clone();
                let found = error(&bad.to_string());
                // The one other truth: a yes where a no was.
                let may_be = good.pointer(place).is_some_and(Value::is_boolean) && value.is_boolean();
                assert!(found.is_some() || may_be, "{place} {value}");
            }
        }
    }
}

#[test]
fn records_with_fields_that_nobody_knows_are_damaged_not_trimmed() {
    for (text, error) in records() {
        let good: Value = serde_json::from_str(&text).unwrap();
        let mut all = Vec::new();
        places(&good, "", &mut all);
        for place in all.iter().filter(|place| good.pointer(place).is_some_and(Value::is_object)) {
            let mut bad = good.clone();
            bad.pointer_mut(place).unwrap()["not a field"] = json!(1);
            assert!(matches!(error(&bad.to_string()), Some(RecordError::Damaged(_))), "{place}");
        }
    }
}
