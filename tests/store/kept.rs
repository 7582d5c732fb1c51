//! What is kept, under cuts, a full device and several tabs.

use super::*;

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
