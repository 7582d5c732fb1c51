//! QR codes: read back by a reader that is not ours (the crate `rqrr`), and as large as the standard
//! says.
#![allow(clippy::unwrap_used)]

use lettertally::book::{Book, Moment};
use lettertally::lists::demo;
use lettertally::order::OrderId;
use lettertally::plan::{Shop, plan};
use lettertally::quote::quote;
use lettertally::saved::swap;
use lettertally::share::qr::{QUIET, Qr, qr};
use lettertally::share::quote_fragment;
use std::collections::BTreeSet;

/// How many bytes the largest code of a version holds at a level, and how many modules it is
/// across (17 and 4 for each version). ISO/IEC 18004, as the packages qrcode 8.2 and segno 1.6.6
/// both have it; versions up to 15 are made at level M here, larger ones at L.
const CAPACITIES: [(usize, i32); 6] = [(14, 21), (84, 37), (213, 57), (412, 77), (1_273, 117), (2_953, 177)];

/// The dark modules that a drawing fills.
fn modules(code: &Qr) -> BTreeSet<(i32, i32)> {
    let strokes = code.path.split('z').filter(|stroke| !stroke.is_empty());
    let cells = strokes.flat_map(|stroke| {
        let (place, run) = stroke.strip_prefix('M').unwrap().split_once('h').unwrap();
        let (x, y) = place.split_once(' ').unwrap();
        let (x, y): (i32, i32) = (x.parse().unwrap(), y.parse().unwrap());
        let run: i32 = run.split('v').next().unwrap().parse().unwrap();
        (x..x + run).map(move |x| (x, y))
    });
    cells.collect()
}

/// What a camera makes of a drawing that is shown with so many points to a module.
fn read_back(code: &Qr, points: usize) -> String {
    let dark = modules(code);
    let across = usize::try_from(code.across).unwrap() * points;
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(across, across, |x, y| {
        let module = ((x / points) as i32, (y / points) as i32);
        if dark.contains(&module) { 0 } else { 255 }
    });
    let found = picture.detect_grids();
    assert_eq!(found.len(), 1, "one code in the picture");
    found[0].decode().unwrap().1
}

#[test]
fn a_code_is_as_large_as_the_standard_says() {
    for (bytes, across) in CAPACITIES {
        let code = |bytes: usize| qr(&"x".repeat(bytes)).map(|code| code.across - 2 * QUIET);
        assert_eq!(code(bytes), Some(across), "{bytes} bytes");
        // What does not fit level M at version 15 takes level L, which needs a smaller version.
        let larger = code(bytes + 1).is_none_or(|larger| larger > across);
        assert_eq!(larger, bytes != 412, "{} bytes", bytes + 1);
    }
}

#[test]
fn an_independent_reader_reads_what_was_written() {
    let rows = |people: usize| -> String { (1..=people).map(|at| format!("Player{at},{at},L\n")).collect() };
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let mut texts = vec!["HELLO WORLD".to_owned(), "Straße 7 · №".to_owned(), "x".repeat(1_500)];
    for people in [1, 12, 25, 100] {
        let mut order = demo::order("2026-01-01");
        order.designs[0].roster = format!("name,number,size\n{}", rows(people));
        let quote = quote(&order, &shop, &plan(&order, &shop)).unwrap();
        texts.push(format!("https://lanternpier.example/quotes/{}", quote_fragment(&quote)));
    }
    for text in texts {
        let code = qr(&text).unwrap();
        for points in [3, 4] {
            assert_eq!(read_back(&code, points), text, "{points} points to a module");
        }
    }
}

#[test]
fn a_book_goes_over_by_codes_that_an_independent_reader_reads_in_any_order() {
    let begin = |book: &mut Book, at: usize| {
        let mut order = demo::order("2026-01-01");
        order.id = OrderId::new(format!("order-{at}"));
        order.title = ["Okonjo", "Lindqvist", "Marlow", "Élodie", "Banerjee"][at % 5].repeat(1 + at % 3);
        order.designs[0].roster = (0..at).map(|row| format!("Player{},{row},L\n", row * at)).collect();
        book.begin(order, Moment(1_000 + at as u64));
    };
    let mut here = Book::only(demo::order("2026-01-01"), Moment(1));
    (1..=30).for_each(|at| begin(&mut here, at));
    let fragments = swap::fragments(&here, Moment(0), swap::CODE);
    assert!(fragments.len() > 1, "more than one code");
    let codes: Vec<Qr> = fragments
        .iter()
        .map(|fragment| qr(&format!("https://lanternpier.example/quotes/#{fragment}")).unwrap())
        .collect();
    let mut there = Book::only(demo::order("2026-01-01"), Moment(2));
    // The last first, and one of them twice.
    for code in codes.iter().rev().chain(codes.first()) {
        let link = read_back(code, 3);
        let (_, fragment) = link.split_once('#').unwrap();
        there = swap::taken_in(&there, &swap::read_fragment(fragment).unwrap().unwrap());
    }
    for entry in here.all() {
        assert_eq!(there.any(&entry.order.id).map(|entry| &entry.order), Some(&entry.order));
    }
}
