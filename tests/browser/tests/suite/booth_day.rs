//! A whole day of sixty customers through the page's own controls: the shelf runs out of two
//! letters, a mistake is undone, a second phone's book is merged, the day is closed, what ran out
//! is bought and comes in; at the end nothing is unaccounted for.

use lettertally_browser_tests::day::with_orders_like;
use lettertally_browser_tests::page::cents;
use lettertally_browser_tests::{Browser, Site, open_page};
use serde_json::Value;
use std::collections::BTreeMap;

/// The customers served at each of the two phones by hand, and all of them together; the others
/// came to the second phone before, and are in its book.
const BY_HAND: usize = 8;
const CUSTOMERS: usize = 60;

/// Served at the first phone, where E and O run out, and at the second, which has none of them.
const NAMES: [(&str, &str); BY_HAND] = [
    ("OKONJO", "ANNA"),
    ("MARLOW", "MIKA"),
    ("WREN", "IVY"),
    ("TAKEDA", "RUTH"),
    ("VOSS", "DARIA"),
    ("HOLLIS", "HANNAH"),
    ("LEE", "KIT"),
    ("STURM", "LUCY"),
];

/// What is kept under a key, as the page reads it.
fn record(page: &Browser, key: &str) -> Value {
    let text = page.kept()[key].as_str().unwrap_or_default().to_owned();
    serde_json::from_str(&text).unwrap_or(Value::Null)
}

/// The counts of the shelf by the page's ledger: the last one of each piece.
fn ledger(page: &Browser) -> BTreeMap<String, i64> {
    page.part_of_the_booth("Day");
    let pieces = page.within("Ledger of the shelf").entries_of("Piece");
    let count = |words: &String| {
        let (piece, count) = words.rsplit_once(": ").expect("a piece with its count");
        (piece.to_owned(), count.parse().expect("a count"))
    };
    pieces.iter().map(count).collect()
}

/// The counts of the shelf as the shop shows them, letters only: by glyph.
fn shelf(page: &Browser) -> BTreeMap<String, i64> {
    let record = record(page, "lettertally.shelf");
    let mut counts = BTreeMap::new();
    for stock in record["data"]["letters"].as_array().into_iter().flatten() {
        let height = if stock["family"]["height"].to_string().contains('4') { "4 in" } else { "2 in" };
        for (glyph, count) in stock["counts"].as_object().into_iter().flatten() {
            counts.insert(format!("{glyph}, {height}"), count.as_i64().unwrap_or(0));
        }
    }
    counts
}

#[test]
fn a_day_of_sixty_customers_leaves_nothing_unaccounted_for() {
    let site = Site::serve();
    let (first, second) = (open_page(&site), open_page(&site));
    first.stock_the_shelf("E:3 O:5");
    second.take_in_book(&first.whole_book());
    // The second phone has served one, and 44 more like that one. A mistake: pressed for another.
    assert!(second.serve_a_customer("HANK", 3, "cash"));
    let others = CUSTOMERS - 2 * BY_HAND;
    let busy = with_orders_like(&second.whole_book(), "HANK 3", others - 1);
    second.take_in_book(&busy);
    let (mut served, mut refused) = (others, 0);
    for (at, (here, there)) in NAMES.into_iter().enumerate() {
        for (page, name, kind) in [(&first, here, "cash"), (&second, there, "card")] {
            let is_served = page.serve_a_customer(name, 10 + at, kind);
            served += usize::from(is_served);
            refused += usize::from(!is_served);
        }
        if at == 1 {
            // A mistake at the first phone: it was another garment. Taken back, then pressed in truth.
            let called = format!("{here} {}", 10 + at);
            let book = first.within("Orders");
            book.choose("Show", "all");
            book.type_into("Find an order", &called);
            book.unfold(&called);
            book.unfold("What happened (4)");
            book.tap("Undo: handed over");
            book.says("Payment");
            book.unfold("What happened (3)");
            book.tap("Undo: 1 pressed");
            book.tap(&format!("Pressed: {called}, S"));
            book.tap("Handed over");
            first.until("it is handed over", || !book.text().contains("Payment"));
            book.choose("Show", "open");
        }
    }
    assert_eq!((served, refused), (CUSTOMERS - 2, 2), "HOLLIS and LEE find no O and no second E");
    // Both phones end up with one book.
    first.take_in_book(&second.whole_book());
    second.take_in_book(&first.whole_book());
    let (ours, theirs) = (ledger(&first), ledger(&second));
    assert_eq!(ours, theirs, "one ledger on both phones");
    // The close: the garments made, the orders turned away; what was taken is what was paid.
    let day = first.within("Day's close");
    assert_eq!(day.figure("garments pressed"), served.to_string());
    assert_eq!(day.figure("orders handed over"), served.to_string());
    assert_eq!(day.figure("orders called off"), refused.to_string());
    assert_eq!(day.figure("blanks used"), served.to_string());
    let taken = cents(&day.figure("taken in all"));
    assert_eq!(cents(&day.figure("taken, cash")) + cents(&day.figure("taken, card")), taken);
    let mut paid = 0;
    for (key, text) in first.kept().as_object().expect("what is kept") {
        // Orders that are over are kept packed: the file that goes to another phone has them plain.
        assert!(!key.contains("aside"), "{text}");
    }
    let book: Value = serde_json::from_str(&first.whole_book()).expect("a book");
    let mut used = BTreeMap::<String, i64>::new();
    for record in book["records"].as_object().expect("records").values() {
        let facts = record["data"]["facts"].as_object().cloned().unwrap_or_default();
        let undone: Vec<String> =
            facts.values().filter_map(|what| what["undone"].as_str().map(str::to_owned)).collect();
        for (_, what) in facts.iter().filter(|(name, _)| !undone.contains(name)) {
            paid += what["paid"][1].as_i64().unwrap_or(0);
            for family in what["pressed"]["g"]["l"].as_array().into_iter().flatten() {
                let height = if family[1].to_string().contains('4') { "4 in" } else { "2 in" };
                for (glyph, count) in family[4].as_object().into_iter().flatten() {
                    *used.entry(format!("{glyph}, {height}")).or_default() += count.as_i64().unwrap_or(0);
                }
            }
        }
    }
    assert_eq!(paid, taken, "what was taken is what was paid");
    // The shelf: what was there less what was used, letter by letter, and the ledger says the same.
    let left = shelf(&first);
    for (glyph, used) in &used {
        let began = match glyph.as_str() {
            "E, 2 in" => 3,
            "O, 2 in" => 5,
            _ => 90,
        };
        let there = left.get(glyph).copied().unwrap_or(0);
        assert_eq!(there, began - used, "{glyph}: {used} used");
        let noted = ours.iter().find(|(piece, _)| piece.starts_with(glyph.as_str())).map(|(_, count)| *count);
        assert_eq!(noted, Some(began - used), "{glyph} in the ledger");
    }
    // Buying again: one who was turned away comes back, and what ran out is bought and comes in.
    first.part_of_the_booth("New");
    first.within("New order").type_into("Name", "OTTOLEE");
    first.within("The price").says("Not all on the shelf");
    first.tap("Write it down");
    first.part_of_the_booth("Buy");
    let buy = first.within("Buy for all orders");
    buy.tick("Marsh Otters (demo)");
    buy.tap("Find the cheapest way");
    buy.says("Buying together");
    buy.tap("Ordered: write it down");
    let coming = first.within("On the way");
    coming.says("to come");
    first.until("all of it has come", || {
        if coming.text().contains("Nothing is on the way.") {
            return true;
        }
        first.ask(
            "document.querySelectorAll('.coming').forEach((e) => { e.closest('details').open = true })",
            vec![],
        );
        coming.tap("Take in");
        false
    });
    first.part_of_the_booth("Orders");
    first.within("Orders").unfold("OTTOLEE");
    first.within("Orders").says("Can be made now.");
    first.has_a_clean_console();
    second.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn five_thousand_orders_open_and_are_searched() {
    // How long that takes is measured elsewhere: the program `measure`.
    let site = Site::serve();
    let page = open_page(&site);
    page.stock_the_shelf("E:3 O:5");
    assert!(page.serve_a_customer("HANK", 3, "cash"));
    page.take_in_book(&with_orders_like(&page.whole_book(), "HANK 3", 4_999));
    page.keeps_orders(5_000);
    page.visit(&site.address());
    page.part_of_the_booth("Orders");
    let orders = page.within("Orders");
    orders.choose("Show", "all");
    orders.says("5001 orders");
    orders.type_into("Find an order", "lindqvist 43");
    page.until("the search finds what is called so, and nothing else", || {
        let text = orders.text();
        text.contains("Lindqvist 43") && !text.contains("Okonjo")
    });
    orders.type_into("Find an order", "");
    orders.says("5001 orders");
    page.has_a_clean_console();
}
