//! What each version kept.

use super::*;

/// What version 1 of the page kept: two orders in one record, no revisions.
fn version_1() -> BTreeMap<String, String> {
    serde_json::from_str(include_str!("../data/stored/v1.json")).unwrap()
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
    serde_json::from_str(include_str!("../data/stored/v2.json")).unwrap()
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
    serde_json::from_str(include_str!("../data/stored/v4.json")).unwrap()
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
    let texts: BTreeMap<String, String> =
        serde_json::from_str(include_str!("../data/stored/v3.json")).unwrap();
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
