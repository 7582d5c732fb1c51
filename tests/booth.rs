//! A day at the booth, in the core: from a typed name to the day's close and the next purchase, with
//! a second phone, the shelf running out, a mistake undone; nothing unaccounted for.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::book::fact::{Device, Field, Payment, Promise, Receipt, What};
use lettertally::book::goods::Item;
use lettertally::book::ledger;
use lettertally::book::life::{Life, Stage};
use lettertally::book::{Book, Entry, Moment};
use lettertally::booth::at_hand::{Kind, at_hand, instead, on_shelf};
use lettertally::booth::making::{cost_each, makings, pressing};
use lettertally::booth::offer::{self, Said};
use lettertally::booth::queue::{Minute, queue};
use lettertally::booth::rows::{self, Shown, Sort};
use lettertally::booth::{again, close, finishes};
use lettertally::glyph::{Glyph, GlyphCounts};
use lettertally::lists::demo;
use lettertally::money::Cents;
use lettertally::order::{Order, OrderId};
use lettertally::plan::{Shop, plan};
use lettertally::saved::keys::{InMemory, Keys};
use lettertally::saved::record::Name;
use lettertally::saved::store::Store;
use lettertally::saved::{self, State, swap};
use std::collections::BTreeMap;

fn shop() -> Shop {
    Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() }
}

fn quick(shop: &Shop, at: usize, name: &str, number: &str) -> Order {
    let usual = offer::first(&shop.lists).unwrap();
    let said = Said { name: name.into(), number: number.into(), size: "M".into(), count: 1, texts: vec![] };
    offer::order(&usual, &said, OrderId::new(format!("q{at}")), "2026-06-06")
}

#[test]
fn an_offer_becomes_an_order_with_a_price() {
    let shop = shop();
    let order = quick(&shop, 1, "O'Dell, Jr", "7");
    // The empty shoulder line is left out; a comma in a name does no harm.
    assert_eq!((order.designs[0].lines.len(), order.title.as_str()), (2, "O'Dell, Jr 7"));
    let reading = order.read(&shop.lists).remove(0);
    assert_eq!((reading.groups[0].name(), reading.garments()), ("O'Dell, Jr", 1));
    let mut plain = offer::first(&shop.lists).unwrap();
    plain.design.lines.truncate(1);
    let said = Said { size: "L".into(), count: 3, texts: vec![(0, "OTTERS".into())], ..Said::default() };
    let order = offer::order(&plain, &said, OrderId::new("x"), "2026-06-06");
    let plan = plan(&order, &shop);
    assert!(plan.priced.is_ok() && plan.tally.garments == 3);
}

#[test]
fn what_the_shelf_lacks_is_named_and_what_would_do_is_offered() {
    let mut shop = shop();
    let order = quick(&shop, 1, "EVE LEE", "7");
    let family = order.designs[0].lines[0].family();
    let seven = order.designs[0].lines[1].family();
    shop.shelf.set_blank(&order.designs[0].blank, "M", 5);
    shop.shelf.replace(&seven, GlyphCounts::parse("7:1").unwrap());
    shop.shelf.replace(&family, GlyphCounts::parse("E:3 V:1 L:2").unwrap());
    let found = at_hand(&order, &on_shelf(&shop.shelf), &shop.lists);
    assert_eq!(found.words(&shop.lists), ["1 × E of 2 in smooth film, white, block"]);
    let there: Vec<bool> = found.lines[0].signs.iter().map(|(_, there)| *there).collect();
    assert_eq!(there, [true, true, true, true, true, true, false]);
    // Nothing else is there: only a part will do, and what it costs is said.
    let ways = instead(&order, &on_shelf(&shop.shelf), &shop);
    assert_eq!((ways.len(), ways[0].kind, ways[0].words.as_str()), (1, Kind::Part, "EVE LE"));
    assert!(
        ways[0].total.unwrap() > Cents::ZERO && ways[0].order.designs[0].lines[0].text.as_str() == "EVE LE"
    );
    // Gold of the same finish and height is complete: it comes first.
    let gold = lettertally::lists::Family { colour: lettertally::lists::ColourId::new("gold"), ..family };
    shop.shelf.replace(&gold, GlyphCounts::parse("E:4 V:1 L:1").unwrap());
    let ways = instead(&order, &on_shelf(&shop.shelf), &shop);
    assert_eq!((ways[0].kind, ways[0].words.as_str()), (Kind::Colour, "2 in smooth film, gold, block"));
    assert!(at_hand(&ways[0].order, &on_shelf(&shop.shelf), &shop.lists).is_whole());
}

#[test]
fn the_queue_goes_by_promise_and_says_who_is_late() {
    let shop = shop();
    let mut book = Book::only(quick(&shop, 0, "ASH", "1"), Moment(1)).written_by(Device::new("a"));
    for (at, (name, promised)) in [("WREN", "10:30"), ("VOSS", "10:10")].into_iter().enumerate() {
        book.begin(quick(&shop, at + 1, name, "2"), Moment(10 + at as u64));
        let id = book.open().clone();
        let noting = Life::of(book.current()).noting(Field::PickUp, &format!("2026-06-06 {promised}"));
        book.note(&id, noting, Moment(20));
    }
    let promise = What::Quoted(Promise { total: Cents::new(2_000), tax: Cents::ZERO, garments: 1 });
    for at in 0..3 {
        book.note(&OrderId::new(format!("q{at}")), promise.clone(), Moment(30));
    }
    let now = Minute::parse("10:09", "2026-06-06").unwrap();
    let queued = queue(&book, &shop.lists, &shop.settings, &now);
    let order: Vec<&str> = queued.iter().map(|queued| queued.order.as_str()).collect();
    assert_eq!(order, ["q2", "q1", "q0"]);
    assert!(queued[0].is_late() && !queued[1].is_late() && !queued[2].is_late());
    assert!(queued.windows(2).all(|pair| pair[0].done < pair[1].done));
}

/// The order with a roster, and a shelf that has plenty for it, in a book.
fn half_pressed() -> (Shop, Book) {
    let shop = shop();
    let mut book = Book::only(demo::order("2026-01-01"), Moment(1)).written_by(Device::new("a"));
    let all = makings(book.current(), &shop.lists, &shop.settings);
    for making in all.iter().take(6) {
        for what in pressing(book.current(), making, making.ordered, Cents::new(700)) {
            book.note(&book.open().clone(), what, Moment(5));
        }
    }
    (shop, book)
}

fn whose_are_pressed(book: &Book, shop: &Shop) -> Vec<String> {
    let all = makings(book.current(), &shop.lists, &shop.settings);
    all.iter().filter(|making| making.left() == 0).map(|making| making.tag.whose()).collect()
}

#[test]
fn a_row_put_in_on_top_leaves_ticks_with_their_garments() {
    let (shop, mut book) = half_pressed();
    let before = whose_are_pressed(&book, &shop);
    assert_eq!(before.len(), 6);
    let mut order = book.current().order.clone();
    let (head, rows) = order.designs[0].roster.split_once('\n').unwrap();
    order.designs[0].roster = format!("{head}\nNewcomer,99,M\n{rows}");
    book.replace(order, Moment(9));
    assert_eq!(whose_are_pressed(&book, &shop), before);
    // With the row gone again, and the rows the other way round.
    let mut order = book.current().order.clone();
    let (head, rows) = order.designs[0].roster.split_once('\n').unwrap();
    let turned: Vec<&str> = rows.lines().rev().filter(|row| !row.contains("Newcomer")).collect();
    order.designs[0].roster = format!("{head}\n{}\n", turned.join("\n"));
    book.replace(order, Moment(10));
    let mut after = whose_are_pressed(&book, &shop);
    after.reverse();
    assert_eq!(after, before);
}

#[test]
fn garments_that_are_alike_are_counted_in_turn_and_taken_back_one_by_one() {
    let shop = shop();
    let mut order = demo::order("2026-01-01");
    order.designs[0].roster = "name,number,size,quantity\nWren,7,M,2\nWren,7,M,3\n".to_owned();
    let mut book = Book::only(order, Moment(1)).written_by(Device::new("a"));
    let id = book.open().clone();
    let pressed = |book: &Book| -> Vec<u32> {
        let all = makings(book.current(), &shop.lists, &shop.settings);
        all.iter().map(|making| making.pressed).collect()
    };
    let set = |book: &mut Book, at: usize, count: u32, now: u64| {
        let making = makings(book.current(), &shop.lists, &shop.settings).remove(at);
        for what in pressing(book.current(), &making, count, Cents::new(701)) {
            book.note(&id, what, Moment(now));
        }
    };
    let begun = ledger::counts(&book);
    set(&mut book, 1, 3, 2);
    assert_eq!(pressed(&book), [2, 1]);
    set(&mut book, 1, 3, 3);
    assert_eq!(pressed(&book), [2, 3]);
    // One fewer: part of what was made at once; its goods and its cost shrink with it.
    set(&mut book, 1, 2, 4);
    assert_eq!(pressed(&book), [2, 2]);
    let made = lettertally::book::life::made(book.current());
    let total: i64 = made.iter().map(|(_, made)| made.cost.minor()).sum();
    assert_eq!((made.iter().map(|(_, made)| made.goods.blanks()).sum::<u64>(), total), (4, 4 * 701));
    set(&mut book, 1, 0, 5);
    set(&mut book, 0, 0, 6);
    assert_eq!(pressed(&book), [0, 0]);
    let counts: BTreeMap<Item, i64> =
        ledger::counts(&book).into_iter().filter(|(_, count)| *count != 0).collect();
    assert_eq!(counts, begun, "all of it is back on the shelf");
}

#[test]
fn finishes_are_compared_from_the_same_start() {
    let shop = shop();
    let order = demo::order("2026-01-01");
    let ways = finishes::ways(&order, &shop.lists);
    // As it is is glitter with names in smooth film, so that mix is not said twice: with three
    // finishes that leaves three alone and five mixes.
    assert_eq!(ways.len(), 1 + 3 + 5, "{:?}", ways.iter().map(|(words, _)| words).collect::<Vec<_>>());
    let figures: Vec<_> = ways.iter().map(|(_, order)| finishes::figures(order, &shop)).collect();
    let own = figures[0].clone().unwrap();
    let known = plan(&order, &shop);
    assert_eq!(own.total, known.priced.unwrap().total());
    assert!(figures.iter().flatten().all(|found| found.profit > Cents::ZERO));
}

#[test]
fn letters_that_lie_there_are_there_now_and_others_when_the_slowest_supplier_has_sent_them() {
    let mut shop = shop();
    let order = quick(&shop, 1, "WREN", "7");
    let days = |shop: &Shop| finishes::figures(&order, shop).unwrap().days;
    let bought = plan(&order, &shop).mix;
    let ask = |shop: &mut Shop, days: Option<u16>| {
        for supplier in &mut shop.lists.suppliers {
            let is_asked = bought.orders.iter().any(|order| order.supplier == supplier.id);
            supplier.days = if is_asked { days } else { Some(99) };
        }
    };
    ask(&mut shop, Some(6));
    assert_eq!(days(&shop), finishes::Days::Known(6));
    ask(&mut shop, None);
    assert_eq!(days(&shop), finishes::Days::NotSaid);
    for line in &order.designs[0].lines {
        let letters = if line.text.as_str().contains("name") { "W:1 R:1 E:1 N:1" } else { "7:1" };
        let spare = GlyphCounts::parse(letters).unwrap();
        let mut there = shop.shelf.of(&line.family());
        there.add_all(&spare, 9);
        shop.shelf.replace(&line.family(), there);
    }
    assert_eq!(days(&shop), finishes::Days::Known(0));
}

const NAMES: [&str; 10] = [
    "OKONJO",
    "LINDQVIST",
    "MARLOW",
    "BANERJEE",
    "CASTELLAN",
    "WREN",
    "TAKEDA",
    "VOSS",
    "HOLLIS",
    "FERREIRA",
];

#[test]
fn a_day_of_sixty_customers_leaves_nothing_unaccounted_for() {
    let mut shop = shop();
    let letters = quick(&shop, 0, "A", "1");
    let (names, numbers) = (letters.designs[0].lines[0].family(), letters.designs[0].lines[1].family());
    for sign in 'A'..='Z' {
        let count = if sign == 'E' || sign == 'A' { 30 } else { 60 };
        shop.shelf.set(&names, Glyph::parse(&sign.to_string()).unwrap(), count);
    }
    for sign in '0'..='9' {
        shop.shelf.set(&numbers, Glyph::parse(&sign.to_string()).unwrap(), 40);
    }
    shop.shelf.set_blank(&letters.designs[0].blank, "M", 80);
    let began = on_shelf(&shop.shelf);
    let mut book = Book::only(demo::order("2026-01-01"), Moment(1)).written_by(Device::new("one"));
    assert!(book.account_for(&shop.shelf, Moment(2)));
    let mut second = book.clone().written_by(Device::new("two"));
    let (mut taken, mut expected_cost, mut refused, mut pressed) = (0_i64, 0_i64, 0, 0_u32);
    let mut used = lettertally::book::goods::Goods::default();
    for at in 0..60_usize {
        let now = Moment(1_000_000 + at as u64 * 300_000);
        // Every third customer is served at the second phone.
        let book = if at % 3 == 2 { &mut second } else { &mut book };
        let order = quick(&shop, at, NAMES[at % 10], &(at % 30 + 1).to_string());
        book.begin(order.clone(), now);
        let shelf = book.shelf(&shop.shelf);
        if !at_hand(&order, &on_shelf(&shelf), &shop.lists).is_whole() {
            refused += 1;
            book.note(&order.id, What::CalledOff, now);
            continue;
        }
        let plan = plan(&order, &shop);
        let priced = plan.priced.clone().unwrap();
        let promise = Promise { total: priced.total(), tax: priced.tax, garments: 1 };
        book.note(&order.id, What::Quoted(promise), now);
        let kind = if at % 2 == 0 { Payment::Cash } else { Payment::Card };
        book.note(&order.id, What::Paid(kind, priced.total()), now);
        taken += priced.total().minor();
        let making = makings(book.entry(&order.id).unwrap(), &shop.lists, &shop.settings).remove(0);
        let each = cost_each(&plan, &making, &shop.settings.currency);
        let made = making.made(1, each);
        used.add_all(&made.goods, 1);
        expected_cost += each.minor();
        pressed += 1;
        let fact = book.note(&order.id, What::Pressed(Box::new(made.clone())), now).unwrap();
        if at == 7 {
            // A mistake: it was another garment. Undone, then pressed in truth.
            book.note(&order.id, What::Undone(fact), now);
            assert_eq!(Life::of(book.entry(&order.id).unwrap()).stage(), Stage::Paid);
            book.note(&order.id, What::Pressed(Box::new(made)), now);
        }
        book.note(&order.id, What::HandedOver, now);
    }
    assert!(refused > 0, "the shelf runs out of two letters");
    // The second phone's book comes over, once as a file and once in many links, in any order.
    let file = swap::read_file(&swap::file(&second, Moment(0), Moment(9))).unwrap();
    let mut links = swap::fragments(&second, Moment(0), 2_000);
    links.reverse();
    let by_links = links.iter().fold(book.clone(), |book, link| {
        swap::taken_in(&book, &swap::read_fragment(&format!("#{link}")).unwrap().unwrap())
    });
    let whole = swap::taken_in(&book, &file);
    assert_eq!((by_links.entries(), by_links.stock()), (whole.entries(), whole.stock()));
    assert!(links.iter().all(|link| link.len() <= 2_000), "{:?}", links.iter().map(String::len).max());
    assert_eq!(
        swap::brought(&whole, &swap::taken_in(&whole, &file)).to_string(),
        "Nothing new: both phones know the same."
    );
    assert_eq!(whole.entries().len(), 61);
    // The close: what was taken is what was paid, what was used is what went out.
    let day = close::close(&whole, &(Moment(1_000_000)..Moment(100_000_000)), &shop.settings);
    assert_eq!((day.taken_in_all().minor(), day.cost.minor(), day.garments), (taken, expected_cost, pressed));
    assert_eq!((day.called_off, day.handed_over), (refused, 60 - refused));
    assert_eq!(day.used, used);
    let left = on_shelf(&whole.shelf(&shop.shelf));
    let counts: BTreeMap<Item, i64> = ledger::counts(&whole);
    for (item, count) in began.iter() {
        let out = used.get(item);
        assert_eq!(counts[item], i64::from(count) - i64::from(out), "{}", item.name(&shop.lists));
        assert_eq!(i64::from(left.get(item)), counts[item].max(0));
        let history: i64 = ledger::history(&whole, item).iter().map(|moved| moved.change).sum();
        assert_eq!(history, counts[item]);
    }
    let csv = close::csv(&day, "2026-06-06", &shop.lists, &shop.settings);
    assert!(
        csv.starts_with("day,what,value,unit\r\n") && csv.contains(&format!("garments pressed,{pressed},"))
    );
    // Buying again: for those who were turned away, shared out to the cent.
    let mut whole = whole;
    let waiting: Vec<OrderId> = whole
        .entries()
        .iter()
        .filter(|entry| Life::of(entry).stage() == Stage::CalledOff)
        .map(|entry| entry.order.id.clone())
        .collect();
    let orders: Vec<_> = waiting
        .iter()
        .map(|id| {
            let entry = whole.entry(id).unwrap();
            let makings = makings(entry, &shop.lists, &shop.settings);
            (id.clone(), again::tally_left(entry, &makings, &shop.lists, &shop.settings))
        })
        .collect();
    let shelf = whole.shelf(&shop.shelf);
    let mix = lettertally::buy::solve(&again::needs(&orders, true, &shelf), &shop.lists);
    let shared = again::share(&orders, true, &mix, &shelf, &shop.lists);
    assert_eq!(shared.shares.iter().map(|share| share.together.minor()).sum::<i64>(), mix.cost().minor());
    assert!(shared.saved() >= Cents::ZERO);
    for purchase in again::purchases(&mix, &shared, &shop.lists) {
        let id = whole.note_stock(What::Bought(Box::new(purchase.clone())), Moment(200_000_000));
        let receipt = Receipt { of: Some(id), goods: purchase.goods, cost: purchase.cost };
        whole.note_stock(What::Received(Box::new(receipt)), Moment(200_000_001));
    }
    assert!(ledger::on_the_way(whole.stock()).is_empty());
    let shelf = on_shelf(&whole.shelf(&shop.shelf));
    let needs: Vec<_> = waiting
        .iter()
        .map(|id| {
            lettertally::booth::making::goods_left(&makings(
                whole.entry(id).unwrap(),
                &shop.lists,
                &shop.settings,
            ))
        })
        .collect();
    assert!(
        lettertally::booth::at_hand::short_of(&needs, &shelf).is_empty(),
        "all who were turned away can be served"
    );
}

#[test]
fn blanks_are_bought_for_what_is_left_and_borne_by_those_who_take_them() {
    let (mut shop, book) = half_pressed();
    let entry = book.current();
    let tee = entry.order.designs[0].blank.clone();
    let all = makings(entry, &shop.lists, &shop.settings);
    let left: u32 = all.iter().map(|making| making.left()).sum();
    let goods = lettertally::booth::making::goods_left(&all);
    let orders = [(entry.order.id.clone(), goods)];
    let bare = again::blanks(&orders, true, &shop.shelf, &shop.lists);
    assert_eq!(bare.iter().map(|need| need.count).sum::<u32>(), left);
    let price = |size: &str| shop.lists.blank(&tee).unwrap().size(size).unwrap().price;
    for need in &bare {
        assert_eq!(need.cost, price(&need.size).times(need.count));
    }
    let bought = again::purchase_of_blanks(&bare, &orders).unwrap();
    assert_eq!(bought.shares, [(entry.order.id.clone(), bought.cost)], "all of them are for this order");
    // Two more than it takes of the first size: the shelf bears its part.
    let first = bare[0].clone();
    shop.shelf.want_blank(&tee, &first.size, 2);
    let more = again::blanks(&orders, true, &shop.shelf, &shop.lists);
    assert_eq!(more[0].count, first.count + 2);
    let bought = again::purchase_of_blanks(&more, &orders).unwrap();
    assert!(bought.shares[0].1 < bought.cost);
    assert_eq!(again::blanks(&orders, false, &shop.shelf, &shop.lists), bare);
    // Those that lie there are not bought.
    shop.shelf.set_blank(&tee, &first.size, first.count + 2);
    assert!(
        again::blanks(&orders, true, &shop.shelf, &shop.lists).iter().all(|need| need.size != first.size)
    );
}

#[test]
fn what_is_bought_for_an_order_half_pressed_is_for_the_rest_with_spoilage_and_spares() {
    let (shop, book) = half_pressed();
    let entry = book.current();
    let makings = makings(entry, &shop.lists, &shop.settings);
    let left = again::tally_left(entry, &makings, &shop.lists, &shop.settings);
    let whole = plan(&entry.order, &shop).tally;
    assert_eq!((left.garments, whole.garments), (6, 12));
    let spare = |tally: &lettertally::tally::Tally| -> u64 {
        tally.families.iter().map(|family| family.spoiled.total() + family.spares.total()).sum()
    };
    assert!(spare(&left) > 0 && spare(&left) <= spare(&whole));
    assert!(left.letters_used() < whole.letters_used());
}

#[test]
fn damaged_exchanges_are_refused_in_words() {
    let book = Book::only(demo::order("2026-01-01"), Moment(1));
    let link = swap::fragments(&book, Moment(0), 60_000).remove(0);
    assert!(swap::read_fragment("#quote=2.x").is_none());
    assert!(swap::read_fragment(&link[..link.len() - 5]).unwrap().unwrap_err().contains("cut short"));
    for at in 12..link.len() {
        let mut bad = link.clone().into_bytes();
        bad[at] = if bad[at] == b'A' { b'B' } else { b'A' };
        let bad = String::from_utf8(bad).unwrap();
        let read = swap::read_fragment(&bad).unwrap();
        assert!(read.is_err() || bad == link, "{at}");
    }
}

#[test]
fn five_thousand_orders_are_searched_at_once() {
    let shop = shop();
    let entries = (0..5_000_usize).map(|at| {
        let mut entry =
            Entry::new(quick(&shop, at, NAMES[at % 10], &(at % 100).to_string()), Moment(at as u64));
        entry.changed = Moment(at as u64);
        entry
    });
    let mut book = Book::of(entries, None).unwrap().written_by(Device::new("a"));
    for at in (0..5_000).step_by(50) {
        let total = Cents::new(2_500);
        book.note(
            &OrderId::new(format!("q{at}")),
            What::Quoted(Promise { total, tax: Cents::ZERO, garments: 1 }),
            Moment(9_000),
        );
    }
    let all = rows::rows(&book, &[]);
    assert_eq!(rows::found(&all, "lindq 41", Shown::All, Sort::Newest).len(), 50);
    assert_eq!(rows::found(&all, "", Shown::At(Stage::Quoted), Sort::PickUp).len(), 100);
    // A change of one order leaves the other rows as they are.
    let mut changed = book.clone();
    changed.note(&OrderId::new("q7"), What::HandedOver, Moment(9_500));
    let after = rows::rows(&changed, &all);
    let same = after.iter().zip(&all).filter(|(a, b)| std::sync::Arc::ptr_eq(a, b)).count();
    assert_eq!(same, 4_999);
}

/// Orders that are over: told, paid, pressed, handed over, as they come at a booth.
fn closed_orders(shop: &Shop, count: usize) -> Book {
    let mut book = Book::only(demo::order("2026-01-01"), Moment(1)).written_by(Device::new("k3x9a1"));
    for at in 0..count {
        let now = Moment(1_790_000_000_000 + at as u64 * 97_531);
        let id = OrderId::new(format!("{:x}-{:x}", now.0, at * 2_654_435_761 % 0xffff_ffff));
        let name = format!("{}{}", NAMES[at % 10], &NAMES[at * 7 % 10][..at % 4]);
        let order = Order { id: id.clone(), ..quick(shop, at, &name, &(at % 97 + 1).to_string()) };
        book.begin(order, now);
        let total = Cents::new(2_000 + at as i64 * 37 % 3_000);
        book.note(&id, What::Quoted(Promise { total, tax: Cents::new(140), garments: 1 }), now);
        book.note(&id, What::Paid(Payment::ALL[at % 2], total), now);
        let making = makings(book.current(), &shop.lists, &shop.settings).remove(0);
        book.note(&id, What::Pressed(Box::new(making.made(1, Cents::new(1_100 + at as i64 % 90)))), now);
        book.note(&id, What::HandedOver, now);
    }
    book
}

#[test]
fn five_thousand_orders_fit_into_the_smallest_storage_of_a_browser() {
    // As many as tell what one takes; `cargo bench --bench book` writes all of them.
    const WRITTEN: usize = 300;
    let shop = shop();
    let book = closed_orders(&shop, WRITTEN);
    let state = State { shop, book, ..saved::demo_state("2026-01-01", Moment(1)) };
    let mut store = Store::open(Box::new(InMemory::default()));
    store.keep(&saved::demo_state("2026-01-01", Moment(1)), Moment(2));
    let empty = store.characters();
    assert!(store.keep(&state, Moment(9)).refused.is_empty());
    let each = (store.characters() - empty) / WRITTEN;
    println!("an order that is over takes {each} characters with its key");
    // The smallest that browsers keep for a page is 2.5 million characters (common practice, no
    // source); half a million is left for lists and open orders.
    assert!(each * 5_000 < 2_000_000, "{each} characters each");
    let mut keys = InMemory::default();
    store.texts().iter().for_each(|(key, text)| keys.set(key, text).unwrap());
    let again = Store::open(Box::new(keys));
    assert!(
        again.parts().or(saved::demo_state("2026-01-01", Moment(1))) == state,
        "all of it is there again"
    );
    // Once something is left to do for one, it is written plain again.
    let mut state = state;
    let id = state.book.entries()[3].order.id.clone();
    let last = state.book.entry(&id).unwrap().facts.iter().next_back().unwrap().0.clone();
    state.book.note(&id, What::Undone(last), Moment(2_000_000_000_000));
    store.keep(&state, Moment(10));
    let text = &store.texts()[&Name::Order(id).key()];
    assert!(text.contains("\"data\":") && !text.contains("\"packed\":"));
}
