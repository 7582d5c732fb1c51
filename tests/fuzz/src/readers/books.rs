//! Books from elsewhere: a backup file, and what another phone sends in a link.

use super::{keeps, says_why, small_state};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use lettertally::book::fact::What;
use lettertally::book::life::{self, Life};
use lettertally::book::{Book, Moment, ledger};
use lettertally::money::Currency;
use lettertally::saved::backup::{self, How};
use lettertally::saved::keys::InMemory;
use lettertally::saved::parts::Parts;
use lettertally::saved::store::Store;
use lettertally::saved::{LastBackup, State, swap};
use miniz_oxide::deflate::compress_to_vec_zlib;

/// The text of a backup file.
pub fn check_backup(input: &[u8]) {
    let text = String::from_utf8_lossy(input);
    match backup::read(&text) {
        Err(error) => says_why(&error),
        Ok(contents) => {
            assert!(!contents.parts.is_empty());
            comes_back_whole(&contents.parts);
            brought_in(&contents.parts);
        }
    }
}

/// What stands after the `#`; or, without one, a file that is packed into a link first.
pub fn check_link(input: &[u8]) {
    let fragment = match input.first() {
        Some(b'#') => String::from_utf8_lossy(input).into_owned(),
        _ => {
            let code = URL_SAFE_NO_PAD.encode(compress_to_vec_zlib(input, 1));
            format!("#book={}.{code}", code.len())
        }
    };
    match swap::read_fragment(&fragment) {
        None => assert!(!fragment.starts_with("#book=")),
        Some(Err(why)) => says_why(&why),
        Some(Ok(parts)) => {
            brought_in(&parts);
            sent_on(&parts);
        }
    }
}

/// The state that comes of parts, written to a file or kept on a device, is the same again.
fn comes_back_whole(parts: &Parts) {
    let state = State { backup: LastBackup::default(), ..parts.or(small_state()) };
    let file = backup::write(&state, Moment(9));
    let again = backup::read(&file).unwrap_or_else(|error| panic!("{error}\n{file}"));
    assert_eq!(again.unread, [], "{file}");
    assert_eq!(again.parts.or(small_state()), state, "{file}");
    kept_on_a_device(&state);
}

/// What was kept is there at the next start, and nothing is set aside.
pub fn kept_on_a_device(state: &State) {
    let device = super::stored::Device::default();
    let kept = Store::open(Box::new(device.clone())).keep(state, Moment(9));
    assert_eq!((kept.refused.len(), kept.overtaken.len()), (0, 0));
    let store = Store::open(Box::new(device));
    assert_eq!(store.asides(), []);
    assert_eq!(store.parts().or(small_state()), *state);
}

/// Taken in twice it brings nothing more than taken in once, and all that follows from it can be told.
fn brought_in(parts: &Parts) {
    let here = small_state();
    let there = backup::compare(&here, parts);
    assert!(there.same <= parts.entries.len());
    for how in [How::Merge, How::Replace] {
        let once = backup::restored(&here, parts, how);
        told(&once.book);
        assert_eq!(backup::restored(&once, parts, how), once, "{how:?}");
    }
    let once = swap::taken_in(&here.book, parts);
    assert_eq!(swap::taken_in(&once, parts), once);
    says_why(&swap::brought(&here.book, &once));
}

/// All that the page works out of a book.
pub fn told(book: &Book) {
    for entry in book.all() {
        keeps(entry.as_ref());
        let life = Life::of(entry);
        let _ = (life.stage(), life.to_pay(), life.paid_in_all(), life.garments_pressed());
        let _ = (life::events(entry).len(), entry.quotes().count());
        for (_, made) in life::made(entry) {
            assert_eq!(made.fewer(made.count).count, made.count);
        }
    }
    keeps(book.stock().as_ref());
    for item in ledger::counts(book).keys().take(8) {
        let _ = ledger::history(book, item);
    }
    for open in ledger::on_the_way(book.stock()) {
        let _ = ledger::cost_of_part(&open, &open.rest);
    }
    let _ = ledger::worth(book, &Currency::usd());
}

/// What came in a link goes on in links, and comes in there as it did here.
fn sent_on(parts: &Parts) {
    let book = swap::taken_in(&small_state().book, parts);
    let mut there = small_state().book;
    for fragment in swap::fragments(&book, Moment(0), 2_000) {
        match swap::read_fragment(&fragment) {
            Some(Ok(parts)) => there = swap::taken_in(&there, &parts),
            other => panic!("{other:?}"),
        }
    }
    let all = |book: &Book| book.all().cloned().collect::<Vec<_>>();
    assert_eq!(all(&there), all(&book));
    assert_eq!(there.stock(), book.stock());
}

/// A book in which much happened.
fn busy() -> State {
    let mut state = small_state();
    let order = lettertally::lists::demo::order("2026-01-02");
    let id = order.id.clone();
    state.book = state.book.written_by(lettertally::book::fact::Device::new("tab-1"));
    state.book.note(&id, What::HandedOver, Moment(20));
    state.book.note(
        &id,
        What::Paid(lettertally::book::fact::Payment::Cash, lettertally::money::Cents::new(1_500)),
        Moment(21),
    );
    let removed = state.book.note(&id, What::CalledOff, Moment(22));
    if let Some(removed) = removed {
        state.book.note(&id, What::Undone(removed), Moment(23));
    }
    let family = order.designs[0].lines[0].family();
    let mut goods = lettertally::book::goods::Goods::default();
    goods.add_letters(&family, &lettertally::glyph::GlyphCounts::of_text("OTTO"), 3);
    goods.add_blank(&order.designs[0].blank, "M", 2);
    let tag =
        lettertally::order::Tag { design: 0, name: "Wren".into(), number: "13".into(), size: "S".into() };
    let made = lettertally::book::fact::Made {
        tag,
        count: 2,
        goods: goods.clone(),
        cost: lettertally::money::Cents::new(900),
        seconds: 40,
    };
    state.book.note(&id, What::Pressed(Box::new(made)), Moment(24));
    state.book.note_stock(What::Counted(goods), Moment(25));
    state
}

pub fn backup_seeds() -> Vec<Vec<u8>> {
    let busy = busy();
    let mut all = vec![
        backup::write(&busy, Moment(30)).into_bytes(),
        swap::file(&busy.book, Moment(0), Moment(30)).into_bytes(),
    ];
    for stored in super::stored::STORED {
        let mut keys = InMemory(super::stored::texts(stored));
        keys.0.remove("lettertally.lists");
        let records: serde_json::Map<String, serde_json::Value> =
            keys.0.into_iter().map(|(key, text)| (key, serde_json::from_str(&text).unwrap())).collect();
        let version: u32 = 1 + all.len() as u32 - 2;
        let file = serde_json::json!({ "file": "lettertally backup", "version": version, "made": 5, "records": records });
        all.push(file.to_string().into_bytes());
    }
    all
}

pub fn link_seeds() -> Vec<Vec<u8>> {
    let busy = busy();
    let mut all = vec![swap::file(&busy.book, Moment(0), Moment(30)).into_bytes()];
    all.extend(swap::fragments(&busy.book, Moment(0), 2_000).into_iter().map(String::into_bytes));
    all
}
