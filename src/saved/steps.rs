//! From older versions of what is kept to today's, one step per version.
//!
//! Owns each step. A step works on the texts as they lie there and knows the forms of its two
//! versions only, so that it stays true when the types of the rooms go on changing. What it does
//! not understand it leaves alone: the reader sets that aside.

use super::record::{ASIDE, PREFIX, VERSION, stamp};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Texts by key.
pub type Texts = BTreeMap<String, String>;

/// The step from version `n + 1` to `n + 2` stands at place `n`.
const STEPS: [fn(&mut Texts); 4] = [one_order_each, answers_to_quotes, widths_and_arcs, blanks_on_the_shelf];

// One step leads to each version after the first.
const _: () = assert!(STEPS.len() + 1 == VERSION as usize);

/// Brings everything up to today's version.
pub fn bring_up(texts: &mut Texts) {
    for step in STEPS {
        step(texts);
    }
}

/// Whether something was written by a version of the page that is not known here.
pub fn has_newer(texts: &Texts) -> bool {
    texts.values().any(|text| stamp(text).is_some_and(|stamp| stamp.version > VERSION))
}

/// From version 1, where all orders lay in one record and no record had a revision.
fn one_order_each(texts: &mut Texts) {
    for name in ["lists", "settings", "shelf"] {
        let key = format!("{PREFIX}{name}");
        if let Some(data) = texts.get(&key).and_then(|text| data_of(text, 1)) {
            texts.insert(key, record(&data));
        }
    }
    let key = format!("{PREFIX}orders");
    if let Some(data) = texts.get(&key).and_then(|text| data_of(text, 1))
        && let Some(records) = split_orders(&data)
    {
        texts.remove(&key);
        for (key, text) in records {
            // What lies there already was written later.
            texts.entry(key).or_insert(text);
        }
    }
    let set_aside = |key: &&String| key.contains(".set-aside.");
    for key in texts.keys().filter(set_aside).cloned().collect::<Vec<_>>() {
        let from = key.split(".set-aside.").next().unwrap_or(&key);
        let aside = json!({ "key": from, "why": "damaged", "text": texts[&key] });
        let place = (1_u32..).map(|n| format!("{ASIDE}{n}")).find(|place| !texts.contains_key(place));
        texts.extend(place.map(|place| (place, record(&aside))));
        texts.remove(&key);
    }
}

/// From version 2, where an order held no earlier quotes and no quote an answer, and the settings
/// nothing of what a quote says beside its price. All that is new may be left out: only the number
/// of the version changes, so that an older page does not take the new fields for damage.
fn answers_to_quotes(texts: &mut Texts) {
    texts.values_mut().for_each(|text| *text = renumbered(text, 2));
}

/// From version 3, where letter styles had no table of widths, lines no arc, recipes nothing of being
/// pressed again, and the platen's margin was called its overlap. The reader takes the old name and
/// does without what is new.
fn widths_and_arcs(texts: &mut Texts) {
    texts.values_mut().for_each(|text| *text = renumbered(text, 3));
}

/// From version 4, where the shelf was a list of letters only and nothing was kept of what happened
/// to an order or to the shelf.
fn blanks_on_the_shelf(texts: &mut Texts) {
    let key = format!("{PREFIX}shelf");
    if let Some(text) = texts.get(&key)
        && let Some(letters) = data_of(text, 4).filter(Value::is_array)
        && let Ok(mut envelope) = serde_json::from_str::<Map<String, Value>>(text)
    {
        envelope.insert("data".to_owned(), json!({ "letters": letters, "blanks": [] }));
        texts.insert(key, Value::Object(envelope).to_string());
    }
    texts.values_mut().for_each(|text| *text = renumbered(text, 4));
}

/// A record of an earlier version whose form did not change since, such as a journal; any other
/// text as it is.
pub fn raised(text: &str) -> String {
    (2..VERSION).fold(text.to_owned(), |text, version| renumbered(&text, version))
}

/// A record of just this version with the number of the next.
fn renumbered(text: &str, version: u32) -> String {
    if stamp(text).is_none_or(|stamp| stamp.version != version) {
        return text.to_owned();
    }
    match serde_json::from_str::<Map<String, Value>>(text) {
        Ok(mut envelope) => {
            envelope.insert("version".to_owned(), json!(version + 1));
            Value::Object(envelope).to_string()
        }
        Err(_) => text.to_owned(),
    }
}

/// A record of version 2 that was never changed since.
fn record(data: &Value) -> String {
    json!({ "version": 2, "revision": 0, "data": data }).to_string()
}

/// What a record of just this version holds.
fn data_of(text: &str, version: u32) -> Option<Value> {
    let mut envelope: Map<String, Value> = serde_json::from_str(text).ok()?;
    let is_it = envelope.get("version")?.as_u64()? == u64::from(version);
    is_it.then(|| envelope.remove("data"))?
}

/// Every order as a record of its own. Its id gets the mark of what is in it: ids of version 1
/// were numbers in a row, so two devices have different orders of one id.
fn split_orders(data: &Value) -> Option<Texts> {
    let orders = data.get("orders")?.as_array()?;
    let open = data.get("open").and_then(Value::as_str);
    let mut records = Texts::new();
    for (at, order) in orders.iter().enumerate() {
        let old = order.get("id")?.as_str()?.to_owned();
        let id = format!("{old}-{:x}", mark(&order.to_string()));
        let mut order = order.clone();
        order.as_object_mut()?.insert("id".to_owned(), json!(id));
        // The newest stood first, and no moment was kept.
        let entry = json!({ "order": order, "begun": orders.len() - at, "changed": 0 });
        if open == Some(&old) {
            records.insert(format!("{PREFIX}open"), record(&json!(id)));
        }
        records.insert(format!("{PREFIX}order.{id}"), record(&entry));
    }
    Some(records)
}

/// A short mark of a text (FNV-1a, 32 bits: the constants are those of its authors' description,
/// from memory). Told apart are orders of one id, not forgeries.
fn mark(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash: u32, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_is_the_published_one() {
        // Test vectors of FNV-1a, 32 bits, from memory of its authors' list.
        assert_eq!([mark(""), mark("a"), mark("foobar")], [0x811c_9dc5, 0xe40c_292c, 0xbf9c_f968]);
    }

    #[test]
    fn what_is_not_understood_stays() {
        let odd = [
            ("lettertally.orders", r#"{"version":1,"data":{"orders":[{"title":"no id"}]}}"#),
            ("lettertally.lists", r#"{"version":1}"#),
            ("lettertally.shelf", "not json"),
        ];
        let mut texts: Texts = odd.map(|(key, text)| (key.to_owned(), text.to_owned())).into();
        let before = texts.clone();
        bring_up(&mut texts);
        assert_eq!(texts, before);
    }

    #[test]
    fn a_step_never_writes_over_what_is_newer() {
        let old = r#"{"version":1,"data":{"orders":[{"id":"order"}],"open":"order"}}"#;
        let mut texts = Texts::from([("lettertally.orders".to_owned(), old.to_owned())]);
        bring_up(&mut texts);
        let key = texts.keys().find(|key| key.contains("order.")).unwrap().clone();
        let newer = record(&json!("newer"));
        let mut again =
            Texts::from([("lettertally.orders".to_owned(), old.to_owned()), (key.clone(), newer.clone())]);
        bring_up(&mut again);
        assert_eq!(again[&key], raised(&newer));
    }
}
