//! A day's orders, more than are typed: made from one that was played on the page, and brought in
//! as another phone's book is.

use crate::browser::Browser;
use serde_json::{Map, Value};

/// Surnames for invented customers.
const NAMES: [&str; 10] = [
    "Okonjo",
    "Lindqvist",
    "Marlow",
    "Banerjee",
    "Castellan",
    "Wren",
    "Takeda",
    "Voss",
    "Featherstonehaugh",
    "Ferreira",
];

impl Browser {
    /// The file that hands over the whole book of this page, as another phone would get it.
    pub fn whole_book(&self) -> String {
        self.go_to("Booth");
        self.within("Part of the booth").tap("Phones");
        let phones = self.within("Another phone");
        phones.tap("everything");
        self.catch_files();
        phones.tap("Hand over a file");
        self.caught_file().1
    }

    /// Takes in the book of another phone from its file.
    pub fn take_in_book(&self, text: &str) {
        self.go_to("Booth");
        self.within("Part of the booth").tap("Phones");
        self.within("Another phone").open_file("Take in a file", "book.json", text.as_bytes());
        self.says("Taken in:");
    }
}

/// The book of a file with so many more orders like the one with this title, each with a name, a
/// number and an id of its own, and with all that happened to it.
///
/// # Panics
/// Where the file is no book, or has no such order.
pub fn with_orders_like(file: &str, title: &str, count: usize) -> String {
    let mut file: Value = serde_json::from_str(file).expect("a book is JSON");
    let records = file["records"].as_object_mut().expect("a book has records");
    let model = records.values().find(|record| record["data"]["order"]["title"] == title);
    let model = model.unwrap_or_else(|| panic!("no order {title}")).clone();
    let words: Vec<&str> = title.split(' ').collect();
    for at in 0..count {
        let id = format!("day{at:04}-x");
        let (name, number) = (NAMES[at % NAMES.len()], (at * 7 + 1) % 99 + 1);
        let text = model.to_string();
        let text = text.replace(&format!("{},{}", words[0], words[1]), &format!("{name},{number}"));
        let text = text.replace(&format!("\"{title}\""), &format!("\"{name} {number}\""));
        let text =
            text.replace(&format!("\"{}\",\"{}\"", words[0], words[1]), &format!("\"{name}\",\"{number}\""));
        let mut record: Value = serde_json::from_str(&text).expect("names do no harm");
        record["data"]["order"]["id"] = Value::from(id.as_str());
        let begun = record["data"]["begun"].as_u64().unwrap_or(0);
        record["data"]["begun"] = Value::from(begun.saturating_sub(at as u64 * 60_000));
        if let Some(facts) = record["data"]["facts"].as_object() {
            record["data"]["facts"] = Value::Object(shifted(facts, at as u64 * 5));
        }
        records.insert(format!("lettertally.order.{id}"), record);
    }
    file.to_string()
}

/// The same facts under names of their own.
fn shifted(facts: &Map<String, Value>, by: u64) -> Map<String, Value> {
    let name = |name: &String| {
        let (at, who) = name.split_once('.').unwrap_or((name, ""));
        format!("{}.{who}", at.parse::<u64>().unwrap_or(0) + by)
    };
    facts.iter().map(|(key, what)| (name(key), what.clone())).collect()
}
