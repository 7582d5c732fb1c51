//! A day at the booth: a shelf, customers one by one, and more orders than are typed: those are made from one that was played on the page, and brought in
//! as another phone's book is.

use crate::browser::Browser;
use serde_json::{Map, Value};

/// Surnames for invented customers.
pub const NAMES: [&str; 10] = [
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
    /// Goes to a part of the booth.
    pub fn part_of_the_booth(&self, part: &str) {
        self.go_to("Booth");
        self.within("Part of the booth").tap(part);
    }

    /// A shelf for the day: ninety of each letter and digit in white, but of E and O what is said;
    /// and shirts.
    pub fn stock_the_shelf(&self, e_and_o: &str) {
        self.go_to("Shop");
        self.everywhere().unfold("0 letters on the shelf");
        let plenty: String =
            ('A'..='Z').filter(|sign| !"EO".contains(*sign)).map(|sign| format!("{sign}:90 ")).collect();
        let families = [
            ("2 in smooth film, white, block", format!("{plenty}{e_and_o}")),
            ("4 in smooth film, white, block", ('0'..='9').map(|sign| format!("{sign}:90 ")).collect()),
        ];
        for (family, text) in families {
            self.everywhere().unfold(family);
            self.within(family).type_into("On the shelf", &text);
        }
        let shelf = self.within("Shelf");
        shelf.unfold("club tee, navy");
        self.within("Shelf").within("club tee, navy").enter("S on the shelf", "90");
        // A count that a person put right is written down a moment later.
        self.until("the ledger has the counts", || {
            self.kept()["lettertally.ledger"].as_str().unwrap_or_default().contains("club-tee-navy")
        });
    }

    /// One customer from the words to the garment in hand; whether the shelf had it.
    pub fn serve_a_customer(&self, name: &str, number: usize, kind: &str) -> bool {
        self.part_of_the_booth("New");
        self.within("New order").type_into("Name", name);
        self.within("New order").type_into("Number", &number.to_string());
        self.within("The price").says("$");
        let can_be_made = self.within("The price").text().contains("Can be made now");
        self.tap("Write it down");
        self.says(&format!("Wrote down {name} {number}, $"));
        self.part_of_the_booth("Orders");
        let called = format!("{name} {number}");
        let book = self.within("Orders");
        book.type_into("Find an order", &called);
        book.says(&called);
        book.unfold(&called);
        if !can_be_made {
            book.tap("Called off");
            self.until("it is called off", || !book.text().contains("Payment"));
            return false;
        }
        book.tap(kind);
        book.tap("Paid");
        book.says("Paid in full.");
        book.tap(&format!("Pressed: {called}, S"));
        book.says("pressed");
        book.tap("Handed over");
        self.until("it is handed over", || !book.text().contains("Payment"));
        true
    }

    /// Waits until at least so many orders lie on the device, and nothing is half written.
    pub fn keeps_orders(&self, count: u64) {
        self.until("all of them are kept", || {
            let kept =
                "return Object.keys(localStorage).filter((key) => key.startsWith('lettertally.order.')).length";
            self.ask(kept, vec![]).as_u64() >= Some(count)
                && self.ask("return localStorage['lettertally.journal'] ?? null", vec![]).is_null()
        });
    }

    /// The file that hands over the whole book of this page, as another phone would get it.
    pub fn whole_book(&self) -> String {
        self.part_of_the_booth("Phones");
        let phones = self.within("Another phone");
        phones.tap("everything");
        self.catch_files();
        phones.tap("Hand over a file");
        self.caught_file().1
    }

    /// Takes in the book of another phone from its file.
    pub fn take_in_book(&self, text: &str) {
        self.part_of_the_booth("Phones");
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
