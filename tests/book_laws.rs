//! The laws of the order book: books of several phones become one whatever the order of exchanges,
//! and every count on the shelf is accounted for.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::book::fact::{Device, FactId, Payment, Promise, Receipt, What};
use lettertally::book::goods::{Goods, Item};
use lettertally::book::ledger::{self, Why};
use lettertally::book::life::{Life, Stage};
use lettertally::book::{Book, Moment, fact};
use lettertally::glyph::GlyphCounts;
use lettertally::lists::{BlankId, demo};
use lettertally::money::Cents;
use lettertally::order::{Order, OrderId, Tag};
use lettertally::shelf::Shelf;
use proptest::prelude::*;

fn order(id: usize) -> Order {
    Order { id: OrderId::new(format!("o{id}")), ..demo::order("2026-01-01") }
}

fn goods(text: &str, blanks: u32) -> Goods {
    let mut goods = Goods::default();
    goods.add_letters(&demo::lists().families().remove(0), &GlyphCounts::of_text(text), 1);
    goods.add_blank(&BlankId::new("club-tee-navy"), "M", blanks);
    goods
}

fn made(text: &str) -> fact::Made {
    let goods = goods(text, 1);
    fact::Made { tag: Tag::default(), count: 1, goods, cost: Cents::new(700), seconds: 90 }
}

/// What somebody at one of the phones does.
#[derive(Debug, Clone)]
enum Deed {
    Begin,
    Title(usize, u8),
    Pay(usize, i64),
    Press(usize, String),
    Spoil(usize, String),
    HandOver(usize),
    CallOff(usize),
    Remove(usize),
    Note(usize, u8),
    Count(String, u32),
    Receive(String),
    UndoLast(usize),
    Choose(usize),
    /// Takes in the book of another phone.
    Exchange(usize),
}

fn deed() -> impl Strategy<Value = Deed> {
    let order = 0_usize..4;
    prop_oneof![
        Just(Deed::Begin),
        (order.clone(), 0_u8..3).prop_map(|(o, t)| Deed::Title(o, t)),
        (order.clone(), 1_i64..900).prop_map(|(o, c)| Deed::Pay(o, c)),
        (order.clone(), "[A-D]{1,4}").prop_map(|(o, t)| Deed::Press(o, t)),
        (order.clone(), "[A-D]{1,4}").prop_map(|(o, t)| Deed::Spoil(o, t)),
        order.clone().prop_map(Deed::HandOver),
        order.clone().prop_map(Deed::CallOff),
        order.clone().prop_map(Deed::Remove),
        (order.clone(), 0_u8..3).prop_map(|(o, n)| Deed::Note(o, n)),
        ("[A-D]{1,4}", 0_u32..5).prop_map(|(t, n)| Deed::Count(t, n)),
        "[A-D]{1,6}".prop_map(Deed::Receive),
        order.clone().prop_map(Deed::UndoLast),
        order.prop_map(Deed::Choose),
        (0_usize..3).prop_map(Deed::Exchange),
    ]
}

/// Three phones that begin with one order in common, after some deeds with clocks that are off.
fn phones(deeds: &[(usize, Deed, u64)]) -> Vec<Book> {
    let first = Book::only(order(0), Moment(1));
    let mut books: Vec<Book> =
        (0..3).map(|n| first.clone().written_by(Device::new(format!("p{n}")))).collect();
    for (step, (phone, deed, clock)) in deeds.iter().enumerate() {
        let now = Moment(100 + clock);
        let other = if let Deed::Exchange(other) = deed { Some(books[*other].clone()) } else { None };
        let book = &mut books[*phone];
        let id = |at: &usize| {
            let entries = book.entries();
            entries[at % entries.len()].order.id.clone()
        };
        match deed {
            Deed::Begin => book.begin(order(step + 1), now),
            Deed::Title(at, title) => {
                let id = id(at);
                let order = book.entry(&id).unwrap().order.clone();
                book.replace(Order { title: title.to_string(), ..order }, now);
            }
            Deed::Pay(at, cents) => {
                drop(book.note(&id(at), What::Paid(Payment::Cash, Cents::new(*cents)), now))
            }
            Deed::Press(at, text) => drop(book.note(&id(at), What::Pressed(Box::new(made(text))), now)),
            Deed::Spoil(at, text) => drop(book.note(&id(at), What::Spoiled(Box::new(made(text))), now)),
            Deed::HandOver(at) => drop(book.note(&id(at), What::HandedOver, now)),
            Deed::CallOff(at) => drop(book.note(&id(at), What::CalledOff, now)),
            Deed::Remove(at) => drop(book.remove(&id(at), now)),
            Deed::Note(at, text) => {
                let id = id(at);
                let what = Life::of(book.entry(&id).unwrap()).noting(fact::Field::Note, &text.to_string());
                book.note(&id, what, now);
            }
            Deed::Count(text, blanks) => drop(book.note_stock(What::Counted(goods(text, *blanks)), now)),
            Deed::Receive(text) => {
                let receipt = Receipt { of: None, goods: goods(text, 2), cost: Cents::new(990) };
                book.note_stock(What::Received(Box::new(receipt)), now);
            }
            Deed::UndoLast(at) => {
                let id = id(at);
                let last = book.entry(&id).unwrap().facts.iter().next_back().map(|(id, _)| id.clone());
                if let Some(last) = last {
                    book.note(&id, What::Undone(last), now);
                }
            }
            Deed::Choose(at) => book.choose(&id(at), Some(0), now),
            Deed::Exchange(_) => *book = book.merged(&other.unwrap()),
        }
    }
    books
}

fn deeds() -> impl Strategy<Value = Vec<(usize, Deed, u64)>> {
    prop::collection::vec((0_usize..3, deed(), 0_u64..50), 0..40)
}

/// What stands in a book, whichever order is open.
fn content(book: &Book) -> (Vec<lettertally::book::Entry>, fact::Facts) {
    let entries = book.all().map(|entry| lettertally::book::Entry::clone(entry)).collect();
    (entries, fact::Facts::clone(book.stock()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn phones_end_up_with_one_book_whatever_the_order_of_exchanges(deeds in deeds()) {
        let [a, b, c] = <[Book; 3]>::try_from(phones(&deeds)).unwrap();
        let all = content(&a.merged(&b).merged(&c));
        prop_assert_eq!(content(&a.merged(&b)), content(&b.merged(&a)));
        prop_assert_eq!(&content(&a.merged(&b.merged(&c))), &all);
        prop_assert_eq!(&content(&c.merged(&a).merged(&b)), &all);
        let whole = a.merged(&b).merged(&c);
        for book in [&a, &b, &c] {
            prop_assert_eq!(&content(&whole.merged(book)), &all);
            prop_assert_eq!(&content(&book.merged(&whole)), &all);
        }
        prop_assert_eq!(content(&whole.merged(&whole)), all);
    }

    #[test]
    fn nothing_is_lost_and_nothing_doubled(deeds in deeds()) {
        let books = phones(&deeds);
        let whole = books.iter().skip(1).fold(books[0].clone(), |whole, book| whole.merged(book));
        for book in &books {
            for entry in book.all() {
                let merged = whole.any(&entry.order.id).unwrap();
                prop_assert!(entry.facts.iter().all(|(id, what)| merged.facts.get(id) == Some(what)));
            }
            prop_assert!(book.stock().iter().all(|(id, what)| whole.stock().get(id) == Some(what)));
        }
        let facts: usize = whole.all().map(|entry| entry.facts.len()).sum();
        let mut names: Vec<&FactId> = whole.all().flat_map(|entry| entry.facts.iter()).map(|(id, _)| id).collect();
        names.extend(whole.stock().iter().map(|(id, _)| id));
        names.sort();
        names.dedup();
        prop_assert_eq!(names.len(), facts + whole.stock().len());
    }

    #[test]
    fn an_edit_made_in_view_of_all_others_leaves_no_rival(deeds in deeds(), title in "[x-z]{1,4}") {
        let books = phones(&deeds);
        let mut whole = books.iter().skip(1).fold(books[0].clone(), |whole, book| whole.merged(book));
        let id = whole.open().clone();
        whole.choose(&id, None, Moment(900));
        let order = whole.entry(&id).unwrap().order.clone();
        whole.replace(Order { title: title.clone(), ..order }, Moment(901));
        for book in &books {
            let merged = book.merged(&whole);
            let entry = merged.entry(&id).unwrap();
            prop_assert_eq!((&entry.order.title, entry.rivals.len()), (&title, 0));
        }
    }

    #[test]
    fn the_ledger_accounts_for_every_count(deeds in deeds()) {
        let books = phones(&deeds);
        let whole = books[0].merged(&books[1]).merged(&books[2]);
        for (item, count) in ledger::counts(&whole) {
            let history = ledger::history(&whole, &item);
            prop_assert_eq!(history.iter().map(|movement| movement.change).sum::<i64>(), count);
            prop_assert_eq!(history.last().unwrap().after, count);
            // Reckoned anew: from the last count on, what came less what went.
            let from = history.iter().rposition(|movement| movement.why == Why::Counted);
            let base = from.map_or(0, |at| history[at].after);
            let since: i64 = history[from.map_or(0, |at| at + 1)..].iter().map(|movement| movement.change).sum();
            prop_assert_eq!(base + since, count);
        }
    }

    #[test]
    fn a_shelf_put_right_is_what_the_ledger_says_from_then_on(deeds in deeds(), text in "[A-D]{0,5}", blanks in 0_u32..4) {
        let mut book = phones(&deeds).remove(0);
        let mut shelf = book.shelf(&Shelf::default());
        let family = demo::lists().families().remove(0);
        shelf.replace(&family, GlyphCounts::of_text(&text));
        shelf.set_blank(&BlankId::new("club-tee-navy"), "M", blanks);
        book.account_for(&shelf, Moment(1_000));
        prop_assert_eq!(book.shelf(&shelf), shelf.clone());
        prop_assert!(!book.account_for(&shelf, Moment(1_001)));
    }

    #[test]
    fn what_is_undone_leaves_the_shelf_as_it_was(deeds in deeds(), text in "[A-D]{1,5}") {
        let mut book = phones(&deeds).remove(0);
        let id = book.open().clone();
        let before = ledger::counts(&book);
        let fact = book.note(&id, What::Pressed(Box::new(made(&text))), Moment(800)).unwrap();
        prop_assert_ne!(&ledger::counts(&book), &before);
        book.note(&id, What::Undone(fact), Moment(801));
        prop_assert_eq!(ledger::counts(&book), before);
    }

    #[test]
    fn orders_put_away_leave_every_count_as_it_is_also_with_what_comes_later(deeds in deeds(), which in any::<u8>(), text in "[A-D]{1,5}") {
        let books = phones(&deeds);
        let whole = books[0].merged(&books[1]);
        let ids: std::collections::BTreeSet<OrderId> = whole
            .all()
            .enumerate()
            .filter(|(at, _)| which >> (at % 8) & 1 == 1)
            .map(|(_, entry)| entry.order.id.clone())
            .collect();
        let shelf = |book: &Book| book.shelf(&Shelf::default());
        let mut less = whole.clone().written_by(Device::new("p9"));
        less.put_away(&ids);
        prop_assert_eq!(shelf(&less), shelf(&whole));
        prop_assert!(!less.clone().account_for(&shelf(&whole), Moment(2_000)), "nothing is left to be counted");
        // What happens afterwards counts on from there, and what is read back in changes nothing.
        let receipt = Receipt { of: None, goods: goods(&text, 1), cost: Cents::new(1) };
        let (mut less, mut more) = (less, whole.clone());
        less.note_stock(What::Received(Box::new(receipt.clone())), Moment(3_000));
        more.note_stock(What::Received(Box::new(receipt)), Moment(3_000));
        prop_assert_eq!(shelf(&less), shelf(&more));
        prop_assert_eq!(shelf(&less.merged(&whole)), shelf(&more));
    }

    #[test]
    fn an_order_is_over_when_its_stage_says_so(deeds in deeds()) {
        for entry in phones(&deeds).iter().flat_map(Book::all) {
            prop_assert_eq!(entry.is_over(), Life::of(entry).stage().is_over());
        }
    }

    #[test]
    fn a_book_reads_back_as_it_was_written(deeds in deeds()) {
        let books = phones(&deeds);
        for entry in books[0].merged(&books[1]).all() {
            let text = serde_json::to_string(entry.as_ref()).unwrap();
            prop_assert_eq!(&serde_json::from_str::<lettertally::book::Entry>(&text).unwrap(), entry.as_ref());
        }
    }
}

#[test]
fn two_phones_that_change_one_order_keep_both_versions_until_one_is_chosen() {
    let first = Book::only(order(0), Moment(1));
    let mut ours = first.clone().written_by(Device::new("ours"));
    let mut theirs = first.written_by(Device::new("theirs"));
    let id = ours.open().clone();
    ours.replace(Order { title: "ours".into(), ..order(0) }, Moment(10));
    theirs.replace(Order { title: "theirs".into(), ..order(0) }, Moment(11));
    let mut both = ours.merged(&theirs);
    assert_eq!(both.current().order.title, "theirs");
    assert_eq!(both.current().rivals[0].content.order.title, "ours");
    both.choose(&id, Some(0), Moment(12));
    assert_eq!(both.current().order.title, "ours");
    // The choice holds on the other phone too.
    let there = theirs.merged(&both);
    assert_eq!((there.current().order.title.as_str(), there.current().rivals.len()), ("ours", 0));
}

#[test]
fn an_order_goes_through_its_day() {
    let mut book = Book::only(order(0), Moment(1)).written_by(Device::new("a"));
    let id = book.open().clone();
    let stage = |book: &Book| Life::of(book.current()).stage();
    assert_eq!(stage(&book), Stage::Begun);
    let total = Cents::new(2_140);
    book.note(&id, What::Quoted(Promise { total, tax: Cents::new(140), garments: 1 }), Moment(2));
    assert_eq!(stage(&book), Stage::Quoted);
    book.note(&id, What::Paid(Payment::Cash, Cents::new(1_000)), Moment(3));
    assert_eq!((stage(&book), Life::of(book.current()).to_pay()), (Stage::Quoted, Some(Cents::new(1_140))));
    book.note(&id, What::Paid(Payment::Card, Cents::new(1_140)), Moment(4));
    assert_eq!(stage(&book), Stage::Paid);
    let pressed = book.note(&id, What::Pressed(Box::new(made("AB"))), Moment(5)).unwrap();
    assert_eq!(stage(&book), Stage::Pressed);
    book.note(&id, What::Undone(pressed), Moment(6));
    assert_eq!(stage(&book), Stage::Paid);
    book.note(&id, What::Pressed(Box::new(made("AB"))), Moment(7));
    book.note(&id, What::HandedOver, Moment(8));
    assert_eq!(stage(&book), Stage::HandedOver);
}

#[test]
fn goods_that_come_in_parts_are_paid_for_once() {
    let mut book = Book::only(order(0), Moment(1)).written_by(Device::new("a"));
    let purchase = fact::Purchase {
        supplier: "Quillfeather Letters".into(),
        goods: goods("AABBC", 0),
        cost: Cents::new(1_001),
        shares: vec![],
    };
    let id = book.note_stock(What::Bought(Box::new(purchase)), Moment(2));
    assert_eq!(ledger::counts(&book).values().sum::<i64>(), 0);
    let open = ledger::on_the_way(book.stock()).remove(0);
    let part = goods("AB", 0);
    // Two of five letters: 400.4 cents.
    let cost = ledger::cost_of_part(&open, &part);
    assert_eq!(cost, Cents::new(400));
    book.note_stock(What::Received(Box::new(Receipt { of: Some(id.clone()), goods: part, cost })), Moment(3));
    let open = ledger::on_the_way(book.stock()).remove(0);
    assert_eq!(open.rest, goods("ABC", 0));
    assert_eq!(ledger::cost_of_part(&open, &open.rest), Cents::new(601));
    let last = Receipt { of: Some(id), goods: open.rest.clone(), cost: Cents::new(601) };
    book.note_stock(What::Received(Box::new(last)), Moment(4));
    assert!(ledger::on_the_way(book.stock()).is_empty());
    let family = demo::lists().families().remove(0);
    let worth = ledger::worth(&book, &demo::settings().currency)[&ledger::Kind::Letters(family.clone())];
    assert_eq!((worth.pieces, worth.cost.round(&demo::settings().currency)), (5, Cents::new(1_001)));
    let letter = Item::Letter(family, lettertally::glyph::Glyph::parse("A").unwrap());
    assert_eq!(ledger::counts(&book)[&letter], 2);
}

#[test]
fn the_average_cost_moves_with_what_comes_in_and_not_with_what_goes_out() {
    let currency = demo::settings().currency;
    let family = demo::lists().families().remove(0);
    let kind = ledger::Kind::Letters(family);
    let mut book = Book::only(order(0), Moment(1)).written_by(Device::new("a"));
    let id = book.open().clone();
    let receive = |book: &mut Book, text: &str, cents, at| {
        let receipt = Receipt { of: None, goods: goods(text, 0), cost: Cents::new(cents) };
        book.note_stock(What::Received(Box::new(receipt)), Moment(at));
    };
    let each = |book: &Book| ledger::worth(book, &currency)[&kind].each().unwrap().round(&currency).minor();
    receive(&mut book, "AAAA", 200, 2);
    assert_eq!(each(&book), 50);
    receive(&mut book, "AAAA", 400, 3);
    // Four at 50 and four at 100: 75 each (the moving average of every book on cost accounting).
    assert_eq!(each(&book), 75);
    book.note(&id, What::Pressed(Box::new(made("AAA"))), Moment(4));
    assert_eq!(each(&book), 75);
    receive(&mut book, "AAAAA", 500, 5);
    // Five at 75 and five at 100.
    assert_eq!(each(&book), 88);
}
