//! Bad input of every kind: each is named at its place, nothing panics, nothing is lost.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::glyph::{Glyph, GlyphCounts, GlyphSet};
use lettertally::length::Length;
use lettertally::lists::settings::{Aim, Settings};
use lettertally::lists::{Rgb, Way, demo};
use lettertally::money::{Cents, Currency, Money, Percent};
use lettertally::number;
use lettertally::order::roster::{self, Column};
use lettertally::order::{CountBy, Order, SizeCount, Wording};
use lettertally::plan::{Plan, Shop, plan};
use lettertally::problem::{Fix, Place, Problem, Severity};
use lettertally::quote::quote;
use lettertally::share;

/// Texts that are no number for any field, and a word of what is said about them.
const NOT_NUMBERS: [(&str, &str); 26] = [
    ("", "type a number"),
    (" \t ", "type a number"),
    ("-1", "not below 0"),
    ("−1", "not below 0"),
    ("-0.5", "not below 0"),
    ("-", "not a number"),
    ("abc", "not a number"),
    ("1e9", "not a number"),
    ("NaN", "not a number"),
    ("inf", "not a number"),
    ("0x10", "not a number"),
    ("1_000", "not a number"),
    ("1 000", "not a number"),
    ("$5", "not a number"),
    ("+5", "not a number"),
    ("⅓", "not a number"),
    ("٣", "not a number"),
    ("１２", "not a number"),
    ("1\u{0}", "not a number"),
    ("1\u{202e}2", "not a number"),
    ("<b>1</b>", "not a number"),
    ("👕", "not a number"),
    (".", "not a number"),
    ("1.2.3", "two ways"),
    ("1,234", "two ways"),
    ("1,234.50", "two ways"),
];

/// Names that the demo list cannot spell, and the glyph that is named for each.
const UNSOLD_NAMES: [(&str, &str); 14] = [
    ("José", "É"),
    ("Jose\u{301}", "É"),
    ("Q\u{301}uist", "Q\u{301}"),
    ("Åse", "Å"),
    ("Ash👕", "👕"),
    ("👩\u{200d}🚀", "👩\u{200d}🚀"),
    ("أحمد", "ح"),
    ("דוד", "ד"),
    ("\u{202e}Ash", "the invisible sign U+202E"),
    ("As\u{200b}h", "the invisible sign U+200B"),
    ("A\u{0}sh", "the invisible sign U+0000"),
    ("<b>Ash</b>", "<"),
    ("Ash&amp;", ";"),
    ("=SUM(A1)", "="),
];

/// A roster, and the start of what is said about each of its bad rows.
const BAD_ROSTERS: [(&str, &[&str]); 9] = [
    ("name,size\nAsh,XS\n", &["row 2: no size “XS”: use one of S, M, L, XL, 2XL"]),
    (
        "name,size,qty\nAsh,M,0\nElm,M,-1\nFir,M,1.5\nOak,M,1000\nYew,M,lots\n",
        &[
            "row 2: quantity: type 1 or more",
            "row 3: quantity: type a number that is not below 0",
            "row 4: quantity: type a whole number",
            "row 5: quantity: too large: the most is 999",
            "row 6: quantity: “lots” is not a number",
        ],
    ),
    ("name;number;size\n;;M\n", &["row 2: no name and no number"]),
    ("name\nAsh\n", &["row 2: no size: add one of"]),
    ("name,size\n\"Ash,M\nElm,M\n", &["row 2: a quotation mark is never closed"]),
    ("name,size\nAsh,M,7,8\n", &["row 2: more than 2 cells"]),
    (
        "name,size\nAaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa,M\n",
        &["row 2: a name or number of more than 60 characters"],
    ),
    ("name,size\n<script>alert(1)</script>,<i>M</i>\n", &["row 2: no size “<i>M</i>”"]),
    ("name,size\nAsh,M\u{301}\u{301}\n", &["row 2: no size “M\u{301}\u{301}”"]),
];

fn shop() -> Shop {
    Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() }
}

fn demo_order() -> Order {
    demo::order("2026-01-01")
}

/// The demo order with these rows for its roster.
fn order_for(rows: &str) -> Order {
    let mut order = demo_order();
    order.designs[0].roster = format!("name,number,size\n{rows}");
    order
}

/// The demo order, so many of each size, the same text on every line.
fn order_of(text: &str, count: u16) -> Order {
    let mut order = demo_order();
    let design = &mut order.designs[0];
    design.count_by = CountBy::Sizes;
    design.sizes = demo::lists().blanks[0]
        .sizes
        .iter()
        .map(|size| SizeCount { size: size.name.clone(), count })
        .collect();
    design.lines.iter_mut().for_each(|line| line.text = Wording::new(text));
    order
}

fn stops(plan: &Plan) -> Vec<&Problem> {
    plan.problems.iter().filter(|problem| problem.severity == Severity::Stop).collect()
}

const NAME_LINE: Place = Place::Line { design: 0, line: 1 };

#[test]
fn no_reader_takes_what_is_not_a_number() {
    let usd = Currency::usd();
    for (text, word) in NOT_NUMBERS {
        let errors = [
            Money::parse(text).map(|_| ()),
            Percent::parse(text).map(|_| ()),
            Cents::parse(text, &usd).map(|_| ()),
            Length::parse_inches(text).map(|_| ()),
            number::whole(text, 1, 9_999).map(|_| ()),
            number::decimal(text, 9_999, 2).map(|_| ()),
        ];
        for error in errors {
            let message = error.unwrap_err().to_string();
            assert!(message.contains(word), "{text:?}: {message}");
        }
        let start = share::read(&format!("#text=A&qty={}", text.replace(['+', '&'], "x")));
        assert!(start.is_err(), "{text:?}");
    }
}

#[test]
fn numbers_beyond_their_limits_are_refused_with_the_limit() {
    let nines = "9".repeat(5_000);
    let thirds = format!("0.{}", "3".repeat(5_000));
    let usd = Currency::usd();
    let yen = Currency::new("JPY", 0).unwrap();
    let said = [
        (Money::parse(&nines).map(|_| ()), "10000000"),
        (Money::parse("10000000.0001").map(|_| ()), "10000000"),
        (Money::parse(&thirds).map(|_| ()), "at most 4 digits"),
        (Money::parse("0.00001").map(|_| ()), "at most 4 digits"),
        (Cents::parse(&nines, &usd).map(|_| ()), "10000000"),
        (Cents::parse("0.001", &usd).map(|_| ()), "at most 2 digits"),
        (Cents::parse("0.5", &yen).map(|_| ()), "whole number"),
        (Percent::parse("1000.001").map(|_| ()), "1000"),
        (Percent::parse(&thirds).map(|_| ()), "at most 3 digits"),
        (Length::parse_inches("1000.001").map(|_| ()), "1000"),
        (Length::parse_inches("0").map(|_| ()), "above 0"),
        (number::whole(&nines, 1, 99).map(|_| ()), "99"),
        (number::whole("4294967296", 0, u32::MAX).map(|_| ()), "4294967295"),
    ];
    for (result, word) in said {
        let message = result.unwrap_err().to_string();
        assert!(message.contains(word) && message.len() < 120, "{word}: {message}");
    }
    // Zeros that change nothing are no reason to refuse a number.
    let zeros = "0".repeat(5_000);
    assert_eq!(Money::parse(&format!("{zeros}7.5{zeros}")), Money::parse("7.5"));
    assert!(Money::parse("10000000").is_ok() && Percent::parse("1000 %").is_ok());
}

#[test]
fn other_readers_name_the_part_they_cannot_read() {
    for (text, part) in [("A5 B", "“B”"), ("A:-1", "“A:-1”"), ("AB:2", "“AB:2”"), ("A:99999", "“A:99999”")]
    {
        assert!(GlyphCounts::parse(text).unwrap_err().to_string().contains(part), "{text}");
    }
    for text in ["", "#", "#12345", "#1234567", "#12345g", "#+12345", "#ééé", "red"] {
        assert_eq!(Rgb::parse(text), None, "{text}");
    }
    for (code, digits) in [("", 2), ("usd", 2), ("USDX", 2), ("€€€", 2), ("US\u{0}", 2), ("USD", 5)] {
        assert!(Currency::new(code, digits).is_err(), "{code} {digits}");
    }
    // Anything may stand in a set of glyphs: it is taken apart letter by letter.
    assert_eq!(GlyphSet::parse("Z-A 👕").to_string(), "- A Z 👕");
}

#[test]
fn quoted_cells_are_those_of_the_standard() {
    // RFC 4180, section 2 (from memory): commas, doubled quotes and line ends inside quotes, CRLF.
    let text = "name,number,size,qty\r\n\"O'BRIEN, JR\",\"say \"\"GO\"\"\nline2\",M,\"2\"\r\n";
    let read = roster::read(text, demo::lists().blanks.first());
    assert!(read.faults.is_empty(), "{:?}", read.faults);
    let person = &read.people[0];
    assert_eq!((person.name.as_str(), person.number.as_str()), ("O'BRIEN, JR", "say \"GO\"\nline2"));
    assert_eq!((person.size.as_str(), person.quantity), ("M", 2));
}

#[test]
fn bad_rows_are_named_and_keep_their_text() {
    for (text, expected) in BAD_ROSTERS {
        let mut order = demo_order();
        order.designs[0].roster = text.to_owned();
        let plan = plan(&order, &shop());
        let found: Vec<&Problem> =
            plan.problems.iter().filter(|p| matches!(p.place, Place::Roster { .. })).collect();
        assert_eq!(found.len(), expected.len(), "{text:?}: {found:?}");
        for (problem, start) in found.iter().zip(expected) {
            assert!(problem.message.starts_with(start), "{}", problem.message);
            assert_eq!(problem.severity, Severity::Stop);
        }
        for fault in &plan.readings[0].roster.faults {
            let first = fault.text.split(" | ").find(|cell| !cell.is_empty()).unwrap_or("");
            assert!(text.contains(first), "{fault:?}");
        }
        assert_eq!(order.designs[0].roster, text);
    }
}

#[test]
fn a_letter_that_nobody_sells_names_person_line_and_remedy() {
    for (name, glyph) in UNSOLD_NAMES {
        let mut order = order_for(&format!("Ash,1,M\n\"{name}\",2,L\n"));
        let found = plan(&order, &shop());
        assert_eq!(found.readings[0].groups[1].name(), name);
        let name_in_message = number::shortened(name);
        let message = format!("row 3, {name_in_message}: no {glyph} in 2 in smooth film, white, block");
        let problem = found.problems.iter().find(|problem| problem.message == message);
        let problem = problem.unwrap_or_else(|| panic!("{name}: {:?}", found.problems));
        assert_eq!((problem.severity, &problem.place), (Severity::Stop, &NAME_LINE));
        assert!(quote(&order, &shop(), &found).is_none());
        // Leaving out every such letter resolves it.
        for problem in stops(&found) {
            problem.fixes.last().unwrap().apply(&mut order);
        }
        assert!(!plan(&order, &shop()).is_incomplete(), "{name}");
    }
}

#[test]
fn the_remedies_are_a_plain_letter_another_finish_or_none() {
    let mut shop = shop();
    let offers = &mut shop.lists.offers;
    let twill = offers.iter_mut().find(|offer| offer.id.as_str() == "twill-2-piece").unwrap();
    twill.way = Way::Piece { glyphs: GlyphSet::parse("A-Z É") };
    let mut order = order_for("José,2,L\nRené,3,M\n");
    let found = plan(&order, &shop);
    let [problem] = stops(&found)[..] else { panic!("{:?}", found.problems) };
    assert!(problem.message.starts_with("row 2, José and 1 other: no É in"), "{}", problem.message);
    let words: Vec<String> = problem.fixes.iter().map(Fix::words).collect();
    assert_eq!(words, ["Press E for É", "Use stitched-look twill", "Leave out É"]);
    for fix in &problem.fixes {
        let mut mended = order.clone();
        fix.apply(&mut mended);
        assert!(!plan(&mended, &shop).is_incomplete(), "{}", fix.words());
    }
    // A letter on the shelf is no problem, as long as there are enough of it.
    let family = order.designs[0].lines[1].family();
    shop.shelf.set(&family, Glyph::parse("É").unwrap(), 9);
    order.designs[0].roster.push_str("Ash,4,M\n");
    assert!(!plan(&order, &shop).is_incomplete());
}

#[test]
fn a_row_without_name_or_number_is_pointed_out() {
    let plan = plan(&order_for("Ash,,M\nElm,,M\n,7,M\n"), &shop());
    let found: Vec<&str> = plan.problems.iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(found, ["row 4, 7: no name for this line", "row 2, Ash and 1 other: no number for this line"]);
    assert!(!plan.is_incomplete());
}

#[test]
fn ten_thousand_rows_are_planned() {
    let mut rows: String = (0..9_998).map(|i| format!("Player {i},{},M\n", i % 100)).collect();
    rows.push_str("Ash,1,XXS\nElm,1,2XL\n");
    let plan = plan(&order_for(&rows), &shop());
    assert_eq!((plan.readings[0].roster.people.len(), plan.tally.garments), (9_999, 9_999));
    let messages: Vec<&str> = stops(&plan).iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(messages, ["row 10000: no size “XXS”: use one of S, M, L, XL, 2XL"]);
}

#[test]
fn ten_thousand_letters_that_nobody_sells_are_found_in_one_go() {
    let row = |i: u32| format!("{},1,M\n", char::from_u32(0x4e00 + i).unwrap());
    let rows: String = (0..10_000).map(row).collect();
    let plan = plan(&order_for(&rows), &shop());
    assert_eq!(stops(&plan).len(), 10_000);
    assert!(plan.problems[9_999].message.starts_with("row 10001, "));
}

#[test]
fn an_oversized_roster_is_refused_as_a_whole() {
    let plan = plan(&order_for(&"Ash,1,M\n".repeat(roster::LONGEST / 8 + 1)), &shop());
    assert!(stops(&plan)[0].message.contains("split it over two orders"));
    assert_eq!(plan.tally.garments, 0);
}

#[test]
fn the_largest_quantities_of_the_longest_texts_do_not_overflow() {
    let mut order = order_of(&"W".repeat(Wording::LONGEST), u16::MAX);
    // No assorted set is sold in glitter film.
    for line in &mut order.designs[0].lines {
        line.finish = lettertally::lists::FinishId::new("glitter");
        line.colour = lettertally::lists::ColourId::new("gold");
    }
    let twice = order.designs[0].clone();
    order.designs.push(twice);
    let plan = plan(&order, &shop());
    assert_eq!(plan.tally.garments, 10 * u64::from(u16::MAX));
    let [count, buying] = stops(&plan)[..] else { panic!("{:?}", plan.problems) };
    assert_eq!(count.message, "more of one letter than this tool counts: split the order");
    assert_eq!(buying.message, "too large to reckon with: the need of a glyph; split the order");
    assert_eq!((&count.place, &buying.place), (&Place::Order, &Place::Order));
    assert!(plan.priced.is_ok() && plan.mix.is_empty());
}

#[test]
fn texts_longer_than_a_line_are_cut_between_letters() {
    for (text, kept) in [("é".repeat(400), 250), ("👕".repeat(200), 125), ("A".repeat(501), 500)] {
        assert_eq!(Wording::new(&text).as_str().chars().count(), kept);
    }
}

#[test]
fn a_price_of_zero_is_a_price() {
    let mut shop = shop();
    let mut order = demo_order();
    order.aim = Some(Aim::Price(Money::ZERO));
    let found = plan(&order, &shop);
    let priced = found.priced.clone().unwrap();
    assert_eq!((priced.total(), priced.fee, priced.break_even), (Cents::ZERO, Money::ZERO, None));
    let loss = found.problems.iter().find(|problem| problem.place == Place::Price).unwrap();
    assert!(loss.message.starts_with("at this price the order loses money: profit -$"), "{}", loss.message);
    assert_eq!(quote(&order, &shop, &found).unwrap().total(), Cents::ZERO);
    // Free letters and free blanks are bought like any others.
    shop.lists.offers.iter_mut().for_each(|offer| {
        offer.price = Cents::ZERO;
        offer.breaks.clear();
    });
    shop.lists
        .suppliers
        .iter_mut()
        .for_each(|supplier| (supplier.freight, supplier.minimum) = (vec![], Cents::ZERO));
    shop.lists.blanks.iter_mut().flat_map(|blank| &mut blank.sizes).for_each(|s| s.price = Cents::ZERO);
    let found = plan(&demo_order(), &shop);
    assert!(!found.is_incomplete());
    assert_eq!(found.mix.cost(), Cents::ZERO);
    assert!(found.mix.families.iter().all(|family| family.bought.total() > 0));
    // An order that costs nothing at all still has a price, if only of zero.
    shop.settings =
        Settings { wage_per_hour: Money::ZERO, press_per_hour: Money::ZERO, ..Settings::default() };
    let found = plan(&demo_order(), &shop);
    assert_eq!(found.priced.unwrap().total(), Cents::ZERO);
}

#[test]
fn offers_that_are_not_finished_are_named_and_never_bought() {
    let empty_set = |way: &mut Way| *way = Way::Set { contents: GlyphCounts::default() };
    let empty_pack = |way: &mut Way| *way = Way::Pack { of: 0, glyphs: GlyphSet::parse("A-Z") };
    let no_glyphs = |way: &mut Way| *way = Way::Piece { glyphs: GlyphSet::parse("") };
    type Change = dyn Fn(&mut Way);
    let cases: [(&Change, &str); 3] = [
        (&empty_set, "the set's contents are missing"),
        (&empty_pack, "a pack of 0 letters is never bought"),
        (&no_glyphs, "no letters are listed"),
    ];
    for (change, words) in cases {
        let mut shop = shop();
        let offer = shop.lists.offers.iter_mut().find(|offer| offer.id.as_str() == "smooth-2-set").unwrap();
        offer.price = Cents::ZERO;
        change(&mut offer.way);
        let id = offer.id.clone();
        let plan = plan(&demo_order(), &shop);
        let problem = plan.problems.iter().find(|problem| problem.place == Place::Offer(id.clone())).unwrap();
        assert!(problem.message.contains(words), "{}", problem.message);
        assert_eq!(problem.severity, Severity::Look);
        assert!(plan.mix.orders.iter().flat_map(|order| &order.entries).all(|entry| entry.offer != id));
        assert!(plan.priced.is_ok() && !plan.is_incomplete());
    }
}

#[test]
fn what_an_order_uses_can_be_deleted_under_it() {
    type Change = fn(&mut Shop);
    let cases: [(Change, Place, &str); 9] = [
        (|s| drop(s.lists.finishes.remove(0)), NAME_LINE, "the finish “smooth” is no longer on your lists"),
        (|s| drop(s.lists.finishes[0].colours.remove(0)), NAME_LINE, "smooth film has no colour “white”"),
        (|s| s.lists.finishes.clear(), NAME_LINE, "the finish “smooth” is no longer"),
        (|s| s.lists.styles.clear(), NAME_LINE, "the letter style “block” is no longer on your lists"),
        (|s| s.lists.offers.clear(), NAME_LINE, "nobody on your price list sells 2 in smooth film"),
        (|s| drop(s.lists.blanks.remove(0)), Place::Design(0), "the blank “club-tee-navy” is no longer"),
        (|s| s.lists.blanks.clear(), Place::Design(0), "the blank “club-tee-navy” is no longer"),
        (
            |s| drop(s.lists.blanks[0].sizes.remove(0)),
            Place::Roster { design: 0, row: 2 },
            "row 2: no size “S”: use one of M, L, XL, 2XL",
        ),
        (
            |s| s.lists.blanks[0].sizes.clear(),
            Place::Roster { design: 0, row: 2 },
            "row 2: size “S”, but this blank has no sizes",
        ),
    ];
    for (change, place, words) in cases {
        let mut shop = shop();
        change(&mut shop);
        let plan = plan(&demo_order(), &shop);
        let found = stops(&plan);
        let named = found.iter().any(|problem| problem.place == place && problem.message.starts_with(words));
        assert!(named, "{words}: {found:?}");
        assert!(quote(&demo_order(), &shop, &plan).is_none());
    }
    let mut shop = shop();
    shop.lists.blanks[0].sizes.remove(0);
    let plan = plan(&order_of("TIGERS", 3), &shop);
    let problem = stops(&plan)[0];
    assert_eq!(problem.place, Place::Sizes(0));
    assert_eq!(
        problem.message,
        "club tee, navy does not come in size “S”: move its 3 garments to another size"
    );
}

#[test]
fn a_deleted_letter_style_has_the_others_for_a_remedy() {
    let mut shop = shop();
    let mut slab = shop.lists.styles.remove(0);
    slab.id = lettertally::lists::StyleId::new("slab");
    slab.name = "slab".into();
    for offer in &mut shop.lists.offers {
        offer.styles.push(slab.id.clone());
    }
    shop.lists.styles.push(slab);
    let mut order = demo_order();
    for problem in stops(&plan(&order, &shop)) {
        assert_eq!(problem.fixes[0].words(), "Use slab");
        problem.fixes[0].apply(&mut order);
    }
    assert!(!plan(&order, &shop).is_incomplete());
}

#[test]
fn orders_with_nothing_in_them_say_what_is_missing() {
    type Change = fn(&mut Order);
    let cases: [(Change, &str); 5] = [
        (|order| order.designs.clear(), "no garment yet"),
        (|order| order.designs[0].lines.clear(), "nothing goes on this garment yet"),
        (|order| order.designs[0].roster.clear(), "nobody on the roster yet"),
        (|order| order.designs[0].count_by = CountBy::Sizes, "no garments yet"),
        (|order| order.designs[0].lines[0].text = Wording::new(" \t\u{3000}"), "no text yet"),
    ];
    for (change, words) in cases {
        let mut order = demo_order();
        change(&mut order);
        let found = plan(&order, &shop()).problems;
        assert!(found.iter().any(|problem| problem.message.starts_with(words)), "{words}: {found:?}");
    }
    let empty = Shop::default();
    assert!(plan(&demo_order(), &empty).is_incomplete());
}

/// A mark within a cell closes none; one behind the last row has nothing to swallow but what is added
/// later.
#[test]
fn an_open_quotation_mark_in_a_roster_is_told_wherever_it_stands() {
    let blank = &demo::lists().blanks[0];
    for text in ["name,size\nAsh \"x,\"M\nElm,M\n", "name,size\nAsh,M\n\"", "name,size\nAsh,M\n\"\n\n"] {
        let read = roster::read(text, Some(blank));
        let kinds: Vec<_> = read.faults.into_iter().map(|fault| fault.kind).collect();
        assert_eq!(kinds, [roster::RowFaultKind::OpenQuote], "{text:?}");
    }
}

/// A name with another separator in it must not become the text's separator.
#[test]
fn a_person_added_by_form_changes_no_other_row() {
    for name in ["Elm; the tall", "Elm\tthe tall", "Elm, the tall", "O\"Neil, Jr", "\""] {
        // The tabs at the end of the last one are all that parts it.
        for begun in ["name,size\nAsh,M\n", "name,size\nAsh,M", "size;name\nM;Ash\n", "name\nAsh\t\t"] {
            let mut text = begun.to_owned();
            let read = roster::read(&text, None);
            let cell = |column: &Column| if *column == Column::Name { name } else { "L" };
            roster::add_row(&mut text, &read.columns.iter().map(cell).collect::<Vec<_>>());
            let read = roster::read(&text, None);
            let names: Vec<String> = read.people.into_iter().map(|person| person.name).collect();
            assert_eq!(names, ["Ash", name], "{text:?}");
        }
    }
}
