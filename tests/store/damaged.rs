//! Damaged records, newer ones, and a private window.

use super::*;

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
