//! The store under every fault that a device has: cut off between any two writes, full, shared by
//! two tabs, damaged, older, newer, private. In each case the test says what was lost: nothing.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::book::fact::What;
use lettertally::book::{Handed, Moment};
use lettertally::booth::offer;
use lettertally::glyph::GlyphCounts;
use lettertally::length::Length;
use lettertally::lists::demo;
use lettertally::money::Money;
use lettertally::order::{Order, OrderId};
use lettertally::saved::aside::Why;
use lettertally::saved::backup::{self, How};
use lettertally::saved::keys::{InMemory, Keys, NoRoom};
use lettertally::saved::record::{self, Name};
use lettertally::saved::store::Store;
use lettertally::saved::{self, Pending, State};
use lettertally::shelf::Shelf;
use lettertally::{plan, quote};
use proptest::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A device: several stores open the same one, as tabs do. It can be full, and it can lose its
/// power after a number of writes.
#[derive(Clone, Default)]
struct Device(Rc<RefCell<Inside>>);

#[derive(Default)]
struct Inside {
    texts: BTreeMap<String, String>,
    room: Option<usize>,
    writes_left: Option<usize>,
    writes: usize,
}

impl Inside {
    fn used(&self) -> usize {
        self.texts.iter().map(|(key, text)| key.len() + text.len()).sum()
    }

    /// Whether the power is still on for one more write.
    fn goes_on(&mut self) -> bool {
        self.writes += 1;
        match &mut self.writes_left {
            Some(0) => false,
            Some(left) => {
                *left -= 1;
                true
            }
            None => true,
        }
    }
}

impl Device {
    fn holding(texts: BTreeMap<String, String>) -> Self {
        let device = Self::default();
        device.0.borrow_mut().texts = texts;
        device
    }

    fn open(&self) -> Store {
        Store::open(Box::new(self.clone()))
    }

    fn texts(&self) -> BTreeMap<String, String> {
        self.0.borrow().texts.clone()
    }

    fn change(&self, key: &str, change: impl FnOnce(&str) -> String) {
        let mut inside = self.0.borrow_mut();
        let text = change(&inside.texts[key]);
        inside.texts.insert(key.to_owned(), text);
    }
}

impl Keys for Device {
    fn get(&self, key: &str) -> Option<String> {
        self.0.borrow().texts.get(key).cloned()
    }

    fn set(&mut self, key: &str, text: &str) -> Result<(), NoRoom> {
        let mut inside = self.0.borrow_mut();
        // What a machine without power does is seen by nobody.
        if !inside.goes_on() {
            return Ok(());
        }
        let old = inside.texts.get(key).map_or(0, |old| key.len() + old.len());
        if inside.room.is_some_and(|room| inside.used() - old + key.len() + text.len() > room) {
            return Err(NoRoom);
        }
        inside.texts.insert(key.to_owned(), text.to_owned());
        Ok(())
    }

    fn remove(&mut self, key: &str) {
        let mut inside = self.0.borrow_mut();
        if inside.goes_on() {
            inside.texts.remove(key);
        }
    }

    fn all(&self) -> Vec<String> {
        self.0.borrow().texts.keys().cloned().collect()
    }

    fn lasts(&self) -> bool {
        true
    }
}

fn demo() -> State {
    saved::demo_state("2026-01-01", Moment(1))
}

fn order(id: &str) -> Order {
    Order { id: OrderId::new(id), title: format!("order {id}"), ..demo().book.current().order.clone() }
}

/// The demo with two orders more.
fn three_orders() -> State {
    let mut state = demo();
    state.book.begin(order("b"), Moment(2));
    state.book.begin(order("c"), Moment(3));
    state
}

/// A change that touches many records at once: settings, shelf, one order gone, one new, one other.
fn changed(state: &State) -> State {
    let mut state = state.clone();
    let family = state.shop.lists.families().remove(0);
    state.shop.settings.wage_per_hour = Money::of(31);
    state.shop.shelf.replace(&family, GlyphCounts::parse("A:3 É:1").unwrap());
    state.book.forget(&OrderId::new("b"));
    state.book.replace(Order { title: "other words".into(), ..order("c") }, Moment(9));
    state.book.begin(order("d"), Moment(10));
    state.usual.extend(offer::first(&state.shop.lists));
    state.book.account_for(&state.shop.shelf, Moment(11));
    state.pending = Some(Pending { lists: state.shop.lists.clone(), settings: state.shop.settings.clone() });
    state
}

/// What a page would show that opens this device.
fn opened(device: &Device) -> State {
    device.open().parts().or(demo())
}

#[test]
fn what_is_kept_is_there_again() {
    let device = Device::default();
    let mut store = device.open();
    assert!(store.parts().is_empty());
    let mut state = changed(&three_orders());
    assert_eq!(store.keep(&state, Moment(20)), saved::store::Kept::default());
    assert!(opened(&device) == state);
    let plan = plan::plan(&state.book.current().order, &state.shop);
    let quote = quote::quote(&state.book.current().order, &state.shop, &plan).unwrap();
    let handed = Handed::new(&quote, "2026-01-02");
    assert_eq!(handed.quote(), Some(quote));
    state.book.hand_over(&state.book.open().clone(), handed, Moment(21));
    state.pending = None;
    store.keep(&state, Moment(22));
    assert!(opened(&device) == state);
}

#[test]
fn cut_off_between_any_two_writes_it_is_all_there_or_as_it_was() {
    let before = three_orders();
    let after = changed(&before);
    let device = Device::default();
    device.open().keep(&before, Moment(20));
    let texts = device.texts();
    let writes_of = |device: &Device| {
        device.open().keep(&after, Moment(30));
        device.0.borrow().writes
    };
    let all = writes_of(&Device::holding(texts.clone()));
    assert!(all > 8, "{all}");
    let mut seen = [0, 0];
    for left in 0..=all {
        let device = Device::holding(texts.clone());
        let mut store = device.open();
        device.0.borrow_mut().writes_left = Some(left);
        store.keep(&after, Moment(30));
        device.0.borrow_mut().writes_left = None;
        let now = opened(&device);
        assert!(now == before || now == after, "cut after {left} writes");
        seen[usize::from(now == after)] += 1;
        // And once opened, nothing of the journal is left over.
        assert!(!device.texts().contains_key("lettertally.journal"));
    }
    assert!(seen[0] >= 1 && seen[1] > 5, "{seen:?}");
}

#[test]
fn a_full_device_refuses_one_change_and_keeps_the_rest() {
    let device = Device::default();
    let mut store = device.open();
    let before = three_orders();
    store.keep(&before, Moment(20));
    let used = device.0.borrow().used();
    device.0.borrow_mut().room = Some(used + 300);
    let mut state = before.clone();
    let long = Order { title: "long ".repeat(400), ..order("c") };
    state.book.replace(long.clone(), Moment(21));
    state.book.replace(Order { title: "short".into(), ..order("b") }, Moment(22));
    let kept = store.keep(&state, Moment(23));
    assert_eq!(kept.refused, [Name::Order(OrderId::new("c"))]);
    let now = opened(&device);
    assert_eq!(now.book.entry(&OrderId::new("b")), state.book.entry(&OrderId::new("b")));
    assert_eq!(now.book.entry(&OrderId::new("c")), before.book.entry(&OrderId::new("c")));
    // With room again the change that was refused is kept with the next one.
    device.0.borrow_mut().room = None;
    assert_eq!(store.keep(&state, Moment(24)).refused, []);
    assert!(opened(&device) == state);
}

#[test]
fn however_full_nothing_that_was_kept_is_lost() {
    let before = three_orders();
    let after = changed(&before);
    let device = Device::default();
    device.open().keep(&before, Moment(20));
    let texts = device.texts();
    let used = device.0.borrow().used();
    for room in (used..used + 8_000).step_by(97) {
        let device = Device::holding(texts.clone());
        device.0.borrow_mut().room = Some(room);
        let mut store = device.open();
        let kept = store.keep(&after, Moment(30));
        let parts = store.parts().clone();
        let now = opened(&device);
        // What the store says is what a fresh start finds, and each record is the old or the new.
        assert_eq!(now, parts.or(demo()), "room {room}");
        for id in ["demo", "b", "c", "d"].map(OrderId::new) {
            let entry = now.book.entry(&id);
            assert!(entry == before.book.entry(&id) || entry == after.book.entry(&id), "room {room} {id}");
        }
        assert_eq!(kept.refused.is_empty(), now == after, "room {room}");
    }
}

#[test]
fn replacing_everything_is_all_or_nothing_also_where_it_is_full() {
    let device = Device::default();
    let mut store = device.open();
    store.keep(&three_orders(), Moment(20));
    let before = device.texts();
    let used = device.0.borrow().used();
    device.0.borrow_mut().room = Some(used + 500);
    assert_eq!(store.replace(&changed(&three_orders()), Moment(30)), Err(NoRoom));
    assert_eq!(device.texts(), before);
    device.0.borrow_mut().room = None;
    assert_eq!(store.replace(&changed(&three_orders()), Moment(30)), Ok(()));
    assert_eq!(opened(&device), changed(&three_orders()));
}

#[test]
fn two_tabs_see_each_other_and_never_overwrite_in_silence() {
    let device = Device::default();
    let (mut left, mut right) = (device.open(), device.open());
    let state = three_orders();
    left.keep(&state, Moment(20));
    assert_eq!(right.take_up().len(), 7);
    assert_eq!(right.take_up(), []);

    // Different orders in the two tabs: both changes stand, without a word.
    let (mut in_left, mut in_right) = (state.clone(), state.clone());
    in_left.book.replace(Order { title: "left".into(), ..order("b") }, Moment(30));
    in_right.book.replace(Order { title: "right".into(), ..order("c") }, Moment(31));
    assert_eq!(left.keep(&in_left, Moment(30)), saved::store::Kept::default());
    right.take_up();
    in_right = State { book: right.parts().or(demo()).book.merged(&in_right.book), ..in_right };
    assert_eq!(right.keep(&in_right, Moment(31)), saved::store::Kept::default());
    let title = |id: &str| opened(&device).book.entry(&OrderId::new(id)).unwrap().order.title.clone();
    assert_eq!([title("b"), title("c")], ["left", "right"]);

    // The same order before either tab has heard of the other: the first to write stands, the
    // other's version is set aside whole, and it is said.
    left.take_up();
    let both = left.parts().or(demo());
    let (mut in_left, mut in_right) = (both.clone(), both);
    in_left.book.replace(Order { title: "first".into(), ..order("b") }, Moment(40));
    in_right.book.replace(Order { title: "second".into(), ..order("b") }, Moment(41));
    in_right.shop.settings.wage_per_hour = Money::of(44);
    left.keep(&in_left, Moment(40));
    let kept = right.keep(&in_right, Moment(41));
    assert_eq!(kept.overtaken, [Name::Order(OrderId::new("b"))]);
    assert_eq!(title("b"), "first");
    assert_eq!(opened(&device).shop.settings.wage_per_hour, Money::of(44));
    let asides = right.asides();
    assert_eq!(asides.len(), 1);
    assert_eq!(asides[0].1.why, Why::Overtaken);
    assert_eq!(asides[0].1.entry().unwrap().order.title, "second");
    // The tab shows what stands, and goes on from there.
    let shown = right.parts().or(in_right);
    assert_eq!(shown.book.entry(&OrderId::new("b")).unwrap().order.title, "first");
    assert_eq!(right.keep(&shown, Moment(50)), saved::store::Kept::default());
    right.discard(&asides[0].0);
    assert_eq!(right.asides(), []);
}

#[test]
fn two_tabs_that_write_the_same_are_of_one_mind() {
    let device = Device::default();
    let (mut left, mut right) = (device.open(), device.open());
    let state = three_orders();
    left.keep(&state, Moment(20));
    right.take_up();
    let after = changed(&state);
    left.keep(&after, Moment(30));
    assert_eq!(right.keep(&after, Moment(31)), saved::store::Kept::default());
    assert!(right.asides().is_empty() && opened(&device) == after);
}

#[test]
fn an_order_removed_in_one_tab_while_it_changes_in_the_other_stays() {
    let device = Device::default();
    let (mut left, mut right) = (device.open(), device.open());
    let state = three_orders();
    left.keep(&state, Moment(20));
    right.take_up();
    let (mut in_left, mut in_right) = (state.clone(), state);
    in_left.book.replace(Order { title: "changed".into(), ..order("b") }, Moment(30));
    in_right.book.forget(&OrderId::new("b"));
    left.keep(&in_left, Moment(30));
    let kept = right.keep(&in_right, Moment(31));
    assert_eq!(kept.overtaken, [Name::Order(OrderId::new("b"))]);
    assert_eq!(opened(&device).book.entry(&OrderId::new("b")).unwrap().order.title, "changed");
}

#[test]
fn a_journal_left_by_a_dead_tab_does_not_mask_what_came_later() {
    let device = Device::default();
    let mut alive = device.open();
    let state = three_orders();
    alive.keep(&state, Moment(20));
    let mut dying = device.open();
    device.0.borrow_mut().writes_left = Some(1);
    dying.keep(&changed(&state), Moment(30));
    device.0.borrow_mut().writes_left = None;
    assert!(device.texts().contains_key("lettertally.journal"));
    let names = alive.take_up();
    let mut shown = alive.parts().over(state.clone(), &names);
    assert!(shown.shop == changed(&state).shop && shown.book.entries() == changed(&state).book.entries());
    shown.book.replace(Order { title: "later".into(), ..order("c") }, Moment(40));
    alive.keep(&shown, Moment(40));
    assert!(opened(&device) == shown);
}

#[test]
fn a_damaged_record_is_set_aside_and_the_rest_loads() {
    let state = changed(&three_orders());
    let device = Device::default();
    device.open().keep(&state, Moment(20));
    for key in device.texts().into_keys() {
        for damage in [|text: &str| text[..text.len() / 2].to_owned(), |_: &str| String::new()] {
            let device = Device::holding(device.texts());
            device.change(&key, damage);
            let store = device.open();
            let asides = store.asides();
            assert_eq!(asides.len(), 1, "{key}");
            assert_eq!((asides[0].1.key.as_str(), asides[0].1.why), (key.as_str(), Why::Damaged));
            assert!(!device.texts().contains_key(&key));
            // Everything but that one record is as it was.
            let rest = store.parts().or(state.clone());
            let orders = rest.book.entries().len();
            let lost = usize::from(key.starts_with("lettertally.order."));
            assert_eq!(orders, state.book.entries().len() - lost, "{key}");
            assert_eq!(rest.shop, state.shop, "{key}");
        }
    }
}

#[test]
fn a_damaged_record_without_room_elsewhere_is_left_alone() {
    let state = three_orders();
    let device = Device::default();
    device.open().keep(&state, Moment(20));
    device.change("lettertally.lists", |text| format!("{text}!"));
    let damaged = device.texts()["lettertally.lists"].clone();
    let used = device.0.borrow().used();
    device.0.borrow_mut().room = Some(used + 200);
    let mut store = device.open();
    assert_eq!(store.stuck().cloned().collect::<Vec<_>>(), [Name::Lists]);
    let mut state = store.parts().or(demo());
    state.shop.settings.wage_per_hour = Money::of(31);
    assert_eq!(store.keep(&state, Moment(30)).refused, []);
    assert_eq!(device.texts()["lettertally.lists"], damaged);
    assert_eq!(opened(&device).shop.settings.wage_per_hour, Money::of(31));
}

#[test]
fn what_a_newer_page_wrote_is_neither_read_nor_written_over() {
    let state = three_orders();
    let device = Device::default();
    device.open().keep(&state, Moment(20));
    let mut open_meanwhile = device.open();
    let newer = format!("\"version\":{}", saved::record::VERSION + 1);
    let now = format!("\"version\":{}", saved::record::VERSION);
    device.change("lettertally.order.b", |text| text.replacen(&now, &newer, 1));
    let texts = device.texts();
    let mut store = device.open();
    assert!(store.is_newer() && store.parts().is_empty());
    store.keep(&changed(&state), Moment(30));
    open_meanwhile.take_up();
    assert!(open_meanwhile.is_newer());
    open_meanwhile.keep(&changed(&state), Moment(30));
    assert_eq!(device.texts(), texts);
}

#[test]
fn a_private_window_works_in_memory_and_says_so() {
    let mut store = Store::open(Box::new(InMemory::default()));
    assert!(!store.lasts());
    store.keep(&three_orders(), Moment(20));
    assert_eq!(store.parts().or(demo()), three_orders());
}

/// What version 1 of the page kept: two orders in one record, no revisions.
fn version_1() -> BTreeMap<String, String> {
    serde_json::from_str(include_str!("data/stored/v1.json")).unwrap()
}

#[test]
fn what_version_1_kept_is_all_there() {
    let mut texts = version_1();
    texts.insert("lettertally.shelf.set-aside.1".into(), "{ torn".into());
    let device = Device::holding(texts);
    let state = opened(&device);
    let titles: Vec<&str> = state.book.entries().iter().map(|entry| entry.order.title.as_str()).collect();
    assert_eq!(titles, ["Straße crew \"two\", gate 3", "Marsh Otters (demo)"]);
    assert_eq!(state.book.current().order.title, "Straße crew \"two\", gate 3");
    assert_eq!(state.book.current().order.swaps.len(), 2);
    assert_eq!(state.shop.lists.suppliers[0].name, "Quillfeather Letters");
    assert_eq!(state.shop.shelf.stocks()[0].counts.to_string(), "A:5 B:2 É:1");
    let asides = device.open().asides();
    assert_eq!((asides.len(), asides[0].1.text.as_str()), (1, "{ torn"));
    // The old keys are gone, and a second start changes nothing more.
    let texts = device.texts();
    assert!(!texts.contains_key("lettertally.orders"));
    assert!(opened(&device) == state);
    assert_eq!(device.texts(), texts);
}

/// What version 2 of the page kept: an order with a quote that was handed over, as version 1 of the
/// links has it.
fn version_2() -> BTreeMap<String, String> {
    serde_json::from_str(include_str!("data/stored/v2.json")).unwrap()
}

#[test]
fn what_version_2_kept_is_all_there() {
    let device = Device::holding(version_2());
    let state = opened(&device);
    let entry = state.book.current();
    assert_eq!((entry.begun, entry.changed), (Moment(7), Moment(9)));
    let handed = entry.handed.clone().unwrap();
    assert_eq!((handed.on.as_str(), &handed.accepted), ("2026-01-02", &None));
    assert_eq!(handed.quote().unwrap().title, "Straße crew");
    assert_eq!(device.open().asides().len(), 0);
    // What waited in the journal of a tab that died counts too.
    let mut waiting = version_2();
    let title = waiting["lettertally.open"].replace("\"revision\":13", "\"revision\":14");
    let journal = serde_json::json!({ "version": 2, "revision": 0, "data": { "lettertally.open": title } });
    waiting.insert("lettertally.journal".into(), journal.to_string());
    let device = Device::holding(waiting);
    assert!(opened(&device) == state);
    assert!(!device.texts().contains_key("lettertally.journal"));
}

#[test]
fn every_kind_of_record_is_known_again_at_the_next_start() {
    let lists = &demo().shop.lists;
    let state = State { usual: offer::first(lists).into_iter().collect(), ..demo() };
    let state =
        State { pending: Some(Pending { lists: lists.clone(), settings: demo::settings() }), ..state };
    let state = State { backup: saved::LastBackup { made: Moment(5) }, ..state };
    let mut book = state.book.clone();
    book.account_for(&Shelf::default(), Moment(3));
    book.note_stock(What::Counted([].into_iter().collect()), Moment(4));
    let state = State { book, ..state };
    let device = Device::default();
    assert!(device.open().keep(&state, Moment(9)).refused.is_empty());
    let store = device.open();
    assert_eq!(store.asides().len(), 0, "{:?}", store.asides());
    assert!(store.parts().or(demo()) == state);
    assert!(Name::SINGLE.iter().all(|name| device.texts().contains_key(&name.key())));
}

/// What version 4 of the page kept: the shelf a list of letters, an answer to the quote.
fn version_4() -> BTreeMap<String, String> {
    serde_json::from_str(include_str!("data/stored/v4.json")).unwrap()
}

#[test]
fn what_version_4_kept_is_all_there() {
    let device = Device::holding(version_4());
    let state = opened(&device);
    let stock = &state.shop.shelf.stocks()[0];
    assert_eq!((stock.counts.to_string(), stock.wanted.to_string()), ("A:5 B:2 É:1".into(), "A:6".into()));
    let entry = state.book.current();
    assert_eq!(entry.handed.as_ref().unwrap().accepted.as_deref(), Some("2026-01-03"));
    assert_eq!((entry.earlier.len(), state.shop.settings.valid_days), (1, 14));
    assert!(entry.facts.is_empty() && entry.mark.is_none());
    assert_eq!(device.open().asides().len(), 0);
}

#[test]
fn an_order_removed_here_comes_back_with_a_backup_that_is_merged() {
    let state = three_orders();
    let file = backup::read(&backup::write(&state, Moment(5))).unwrap();
    let mut here = state.clone();
    let id = OrderId::new("b");
    assert!(here.book.remove(&id, Moment(6)));
    assert_eq!(backup::compare(&here, &file.parts).only_there, ["order b"]);
    let merged = backup::restored(&here, &file.parts, How::Merge);
    assert!(merged.book.entry(&id).is_some());
    assert!(backup::compare(&merged, &file.parts).only_there.is_empty());
}

#[test]
fn what_version_3_kept_is_all_there() {
    let texts: BTreeMap<String, String> = serde_json::from_str(include_str!("data/stored/v3.json")).unwrap();
    let device = Device::holding(texts);
    let state = opened(&device);
    assert_eq!(device.open().asides().len(), 0);
    assert_eq!(state.shop.settings.platen.margin, Length::mils(375));
    assert_eq!(state.shop.settings.valid_days, 14);
    assert!(state.shop.lists.styles.iter().all(|style| style.widths.is_estimate()));
    let finish = &state.shop.lists.finishes[0];
    assert_eq!(finish.recipe.stands(), Some(finish.recipe.heat));
    let version = |text: &String| record::stamp(text).map(|stamp| stamp.version);
    assert!(device.texts().values().all(|text| version(text) == Some(record::VERSION)));
    assert!(opened(&device) == state);
}

#[test]
fn bringing_an_old_device_up_can_be_cut_off_anywhere_and_can_lack_room() {
    let whole = opened(&Device::holding(version_1()));
    for left in 0..20 {
        let device = Device::holding(version_1());
        device.0.borrow_mut().writes_left = Some(left);
        device.open();
        device.0.borrow_mut().writes_left = None;
        assert!(opened(&device) == whole, "after {left}");
    }
    let used = Device::holding(version_1()).0.borrow().used();
    for room in (used..used * 3).step_by(501) {
        let device = Device::holding(version_1());
        device.0.borrow_mut().room = Some(room);
        assert!(opened(&device) == whole, "room {room}");
        // A change is kept where there is room for it, though the rest still lies there as before.
        let mut store = device.open();
        let mut state = store.parts().or(demo());
        state.shop.settings.wage_per_hour = Money::of(31);
        if store.keep(&state, Moment(50)).refused.is_empty() {
            assert!(opened(&device) == state, "room {room}");
        }
    }
}

#[test]
fn a_backup_brings_everything_back() {
    let state = changed(&three_orders());
    let contents = backup::read(&backup::write(&state, Moment(60))).unwrap();
    assert_eq!(contents.unread, []);
    let elsewhere = State { backup: saved::LastBackup { made: Moment(5) }, ..demo() };
    let there = backup::restored(&elsewhere, &contents.parts, How::Replace);
    assert_eq!(there, State { backup: elsewhere.backup.clone(), book: there.book.clone(), ..state.clone() });
    assert_eq!(there.book.entries(), state.book.entries());
    assert_eq!(backup::restored(&state, &contents.parts, How::Merge), state);
    let found = backup::compare(&state, &contents.parts);
    assert_eq!(found, backup::Comparison { same: state.book.entries().len(), ..Default::default() });
}

#[test]
fn merging_a_backup_adds_and_takes_nothing_away() {
    let here = three_orders();
    let there = changed(&here);
    let contents = backup::read(&backup::write(&there, Moment(60))).unwrap();
    let found = backup::compare(&here, &contents.parts);
    assert_eq!(found.only_there, ["order d"]);
    assert_eq!(found.later_there, ["other words"]);
    assert_eq!(found.only_here, ["order b"]);
    assert!(found.settings_differ && found.shelf_differs && !found.lists_differ);
    let merged = backup::restored(&here, &contents.parts, How::Merge);
    let titles: Vec<&str> = merged.book.entries().iter().map(|entry| entry.order.title.as_str()).collect();
    assert_eq!(titles, ["order d", "other words", "order b", "Marsh Otters (demo)"]);
    assert_eq!((&merged.shop.lists, &merged.shop.settings), (&here.shop.lists, &here.shop.settings));
    // What was counted there is a fact that counts here too.
    assert_eq!(merged.shop.shelf, there.shop.shelf);
    assert_eq!(merged.book.open(), here.book.open());
}

#[test]
fn files_that_are_no_backups_say_why() {
    use backup::BackupError;
    let good = backup::write(&demo(), Moment(60));
    assert!(matches!(backup::read("hello"), Err(BackupError::Foreign(_))));
    assert!(matches!(backup::read(&good[..good.len() - 9]), Err(BackupError::Foreign(_))));
    assert!(matches!(
        backup::read(&good.replace("lettertally backup", "else")),
        Err(BackupError::Foreign(_))
    ));
    let newer = format!("\"version\": {}", saved::record::VERSION + 1);
    let now = format!("\"version\": {}", saved::record::VERSION);
    assert_eq!(backup::read(&good.replacen(&now, &newer, 1)), Err(BackupError::Newer));
    let empty = r#"{"file":"lettertally backup","version":2,"made":1,"records":{}}"#;
    assert_eq!(backup::read(empty), Err(BackupError::Nothing));
    // A damaged record in a good file is named; the rest comes back.
    let mut file: serde_json::Value = serde_json::from_str(&good).unwrap();
    file["records"]["lettertally.shelf"]["data"] = serde_json::json!(7);
    let contents = backup::read(&file.to_string()).unwrap();
    assert_eq!(contents.unread.len(), 1);
    assert_eq!(contents.parts.lists, Some(demo().shop.lists));
    // What a spreadsheet or an editor puts in front does no harm.
    assert!(backup::read(&format!("\u{feff}{good}")).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Whatever lies under our keys: nothing panics, and every text that was there is still there,
    /// read or set aside.
    #[test]
    fn no_stored_text_is_lost(
        which in 0_usize..8, cut in any::<prop::sample::Index>(), with in "[\"{}:,a-z0-9\\\\]{0,6}", drop in 0_usize..9,
    ) {
        let device = Device::default();
        device.open().keep(&changed(&three_orders()), Moment(20));
        let texts = device.texts();
        let key = texts.keys().nth(which % texts.len()).unwrap().clone();
        device.change(&key, |text| {
            let at = cut.index(text.len() + 1);
            let at = (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            let end = (at + drop..=text.len()).find(|end| text.is_char_boundary(*end)).unwrap_or(text.len());
            format!("{}{with}{}", &text[..at], &text[end..])
        });
        let damaged = device.texts()[&key].clone();
        let mut store = device.open();
        let state = store.parts().or(demo());
        let is_there = |device: &Device, store: &Store| {
            device.texts().values().any(|text| *text == damaged)
                || store.asides().iter().any(|(_, aside)| aside.text == damaged)
        };
        prop_assert!(is_there(&device, &store));
        if !store.is_newer() {
            prop_assert_eq!(store.keep(&state, Moment(90)).refused, vec![]);
        }
    }

    #[test]
    fn no_backup_text_makes_the_reader_panic(cut in any::<prop::sample::Index>(), with in "\\PC{0,8}") {
        let good = backup::write(&three_orders(), Moment(60));
        let at = cut.index(good.len());
        let at = (0..=at).rev().find(|at| good.is_char_boundary(*at)).unwrap_or(0);
        let _ = backup::read(&format!("{}{with}{}", &good[..at], &good[at..]));
        let _ = backup::read(&with);
    }
}
