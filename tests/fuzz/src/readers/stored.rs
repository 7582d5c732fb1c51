//! What lies on the device: texts under keys, of any version, whole or not.

use super::small_state;
use lettertally::book::Moment;
use lettertally::saved::State;
use lettertally::saved::keys::{InMemory, Keys, NoRoom};
use lettertally::saved::record::{JOURNAL, PREFIX, VERSION, stamp};
use lettertally::saved::store::Store;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What versions 1 to 4 of the page kept.
pub const STORED: [&str; 4] = [
    include_str!("../../../data/stored/v1.json"),
    include_str!("../../../data/stored/v2.json"),
    include_str!("../../../data/stored/v3.json"),
    include_str!("../../../data/stored/v4.json"),
];

pub fn texts(stored: &str) -> BTreeMap<String, String> {
    serde_json::from_str(stored).unwrap()
}

/// A device on which one store after another is opened.
#[derive(Clone, Default)]
pub struct Device(Rc<RefCell<InMemory>>);

impl Keys for Device {
    fn get(&self, key: &str) -> Option<String> {
        self.0.borrow().get(key)
    }

    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom> {
        self.0.borrow_mut().set(key, text)
    }

    fn remove(&mut self, key: &str) {
        self.0.borrow_mut().remove(key);
    }

    fn all(&self) -> Vec<String> {
        self.0.borrow().all()
    }

    fn lasts(&self) -> bool {
        true
    }
}

impl Device {
    fn texts(&self) -> BTreeMap<String, String> {
        self.0.borrow().0.clone()
    }

    fn open(&self) -> Store {
        Store::open(Box::new(self.clone()))
    }
}

/// A record a line: what its key ends with, a space, its text.
pub fn check(input: &[u8]) {
    let input = String::from_utf8_lossy(input);
    let device = Device::default();
    for (name, text) in input.lines().filter_map(|line| line.split_once(' ')) {
        device.0.borrow_mut().0.insert(format!("{PREFIX}{name}"), text.to_owned());
    }
    let before = device.texts();
    let store = device.open();
    if store.is_newer() {
        // What is newer is for a newer page: it is left as it is. Only a journal is made to count.
        if !before.contains_key(JOURNAL) {
            assert_eq!(device.texts(), before);
        }
        return;
    }
    nothing_is_lost(&before, &device, &store);
    let (after, parts) = (device.texts(), store.parts().clone());
    let again = device.open();
    assert_eq!((again.parts(), device.texts()), (&parts, after), "a second start changes nothing");
    goes_on(&device, again, &State { ..parts.or(small_state()) });
}

/// A text is where it was, or set aside; one of an older version may have become one of today's.
fn nothing_is_lost(before: &BTreeMap<String, String>, device: &Device, store: &Store) {
    let after = device.texts();
    let asides: Vec<String> = store.asides().into_iter().map(|(_, aside)| aside.text).collect();
    let is_old = |text: &str| stamp(text).is_some_and(|stamp| stamp.version < VERSION);
    for (key, text) in before {
        let is_there = after.get(key) == Some(text) || asides.contains(text);
        // A journal says what else is to lie under a key.
        assert!(is_there || is_old(text) || before.contains_key(JOURNAL), "{key}: {text}");
    }
    assert_eq!(store.stuck().count(), 0);
}

/// The page goes on from what was read: it keeps that, and finds it again.
fn goes_on(device: &Device, mut store: Store, state: &State) {
    super::books::told(&state.book);
    let asides = store.asides();
    let kept = store.keep(state, Moment(1 << 40));
    assert_eq!((kept.refused.len(), kept.overtaken.len()), (0, 0));
    let store = device.open();
    assert_eq!(store.asides(), asides);
    assert_eq!(store.parts().or(small_state()), *state);
}

pub fn seeds() -> Vec<Vec<u8>> {
    let lines = |texts: &BTreeMap<String, String>| {
        let line = |(key, text): (&String, &String)| format!("{} {text}\n", key.trim_start_matches(PREFIX));
        texts.iter().map(line).collect::<String>()
    };
    let mut all: Vec<Vec<u8>> = Vec::new();
    for stored in STORED {
        let mut texts = texts(stored);
        texts.remove("lettertally.lists");
        all.push(lines(&texts).into_bytes());
    }
    let device = Device::default();
    device.open().keep(&small_state(), Moment(7));
    let mut texts = device.texts();
    all.push(lines(&texts).into_bytes());
    texts.remove("lettertally.lists");
    let waiting = serde_json::json!({ "version": VERSION, "revision": 0, "data": texts });
    all.push(format!("journal {waiting}\norder.x {{torn\naside.1 what lay there\n").into_bytes());
    let packed = lettertally::saved::record::write_packed(small_state().book.current(), Moment(3));
    all.push(format!("order.demo {packed}\n").into_bytes());
    all
}
