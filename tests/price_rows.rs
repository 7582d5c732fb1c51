//! Offers as rows of cells: what is written reads back, and what cannot be read says why.
#![allow(clippy::unwrap_used, clippy::panic)]

use lettertally::glyph::{Glyph, GlyphCounts, GlyphSet};
use lettertally::length::Length;
use lettertally::lists::rows::{self, CellError, Column};
use lettertally::lists::{
    Break, Colour, ColourId, CountOver, Finish, FinishId, LetterStyle, Lists, Offer, OfferId, Rgb, Supplier,
    SupplierId, Way, demo,
};
use lettertally::money::{Cents, Currency};
use proptest::prelude::*;

/// Puts one text into one cell of the demo list's first offer, a piece.
fn put(column: Column, text: &str) -> Result<Offer, CellError> {
    put_into(0, column, text)
}

fn put_into(at: usize, column: Column, text: &str) -> Result<Offer, CellError> {
    let lists = demo::lists();
    let mut offer = lists.offers[at].clone();
    rows::set(&mut offer, column, text, &lists, &Currency::usd()).map(|()| offer)
}

fn complaint(column: Column, text: &str) -> String {
    put(column, text).unwrap_err().to_string()
}

#[test]
fn a_row_of_the_demo_list_reads_as_a_person_would_write_it() {
    let lists = demo::lists();
    let row =
        |at: usize| Column::ALL.map(|column| rows::cell(&lists.offers[at], column, &lists, &Currency::usd()));
    let supplier = "Quillfeather Letters";
    assert_eq!(
        row(1),
        [
            supplier,
            "smooth film",
            "2",
            "white, navy, red, gold",
            "block",
            "pack",
            "5",
            "A-Z 0-9 ! # & ' - .",
            "2.15",
            "",
            "each",
            "",
        ]
    );
    assert_eq!(
        row(2)[5..8].join("|"),
        "set|64|A:4 B:2 C:2 D:2 E:4 F:2 G:2 H:2 I:4 J:2 K:2 L:3 M:2 N:3 O:4 P:2 Q:1 R:3 S:3 T:3 U:4 V:2 W:2 X:1 Y:2 Z:1"
    );
}

#[test]
fn cells_are_read_as_people_and_spreadsheets_write_them() {
    assert_eq!(put(Column::Price, "$ 1.20").unwrap().price, Cents::new(120));
    assert_eq!(put(Column::Price, "1,20 USD").unwrap().price, Cents::new(120));
    assert_eq!(put(Column::Height, "100 mm").unwrap().height, Length::mm(100));
    assert_eq!(put(Column::Height, "2.5 in").unwrap().height, Length::mils(2_500));
    assert_eq!(put(Column::Colours, "ALL").unwrap().colours.len(), 4);
    assert_eq!(put(Column::Colours, "Red; navy").unwrap().colours, ["red", "navy"].map(ColourId::new));
    assert_eq!(put(Column::Breaks, "50: 0.50").unwrap().breaks, [Break { from: 50, price: Cents::new(50) }]);
    assert_eq!(put(Column::CountOver, "Together").unwrap().count_over, CountOver::Offer);
    assert_eq!(put(Column::AtMost, "40").unwrap().at_most, Some(40));
    assert_eq!(put_into(1, Column::Each, "12").unwrap().way_name(), "pack of 12");
    assert_eq!(put_into(2, Column::Letters, "A5 B2").unwrap().way_name(), "assorted set of 7");
}

#[test]
fn each_bad_cell_says_what_to_write_instead() {
    let cases = [
        (
            Column::Supplier,
            "Nobody",
            "no supplier “Nobody”: write one of Quillfeather Letters, Tansywick Alphabets, or add it",
        ),
        (Column::Finish, "", "write the name of a finish"),
        (Column::Colours, "white, teal", "no colour “teal”: write one of white, navy, red, gold, or add it"),
        (Column::Colours, "\"white", "a quotation mark is never closed"),
        (Column::Styles, "script", "no letter style “script”: write one of block"),
        (Column::Height, "40", "too large: the most is 24"),
        (Column::Way, "bundle", "“bundle”: write piece, pack or set"),
        (Column::Each, "5", "a single piece is one letter"),
        (Column::Price, "1,200", "“1,200” can be read in two ways"),
        (Column::Price, "", "type a number"),
        (Column::Breaks, "50", "“50”: write it as 50: 2.00"),
        (Column::CountOver, "both", "“both”: write each or together"),
        (Column::AtMost, "-1", "type a number that is not below 0"),
    ];
    for (column, text, start) in cases {
        let found = complaint(column, text);
        assert!(found.starts_with(start), "{text}: {found}");
    }
    let found = put_into(2, Column::Each, "63").unwrap_err().to_string();
    assert_eq!(found, "the contents add up to 64, not 63: mend them, or leave this empty");
}

#[test]
fn another_finish_keeps_the_colours_that_it_has_too() {
    let offer = put(Column::Finish, "glitter film").unwrap();
    assert_eq!(offer.colours, ["red", "gold"].map(ColourId::new));
}

#[test]
fn another_way_of_selling_keeps_the_letters() {
    let piece = put_into(2, Column::Way, "piece").unwrap();
    let Way::Piece { glyphs } = &piece.way else { panic!("{piece:?}") };
    assert_eq!(glyphs.to_string(), "A-Z");
    assert!(put(Column::Way, "pack").unwrap().fault().is_some(), "how many it holds is still to be said");
}

#[test]
fn a_row_is_read_whole_or_not_at_all() {
    let lists = demo::lists();
    let usd = Currency::usd();
    let mut offer = lists.offers[0].clone();
    let cells = [(Column::Each, "12"), (Column::Way, "pack"), (Column::Price, "4.10")];
    rows::set_row(&mut offer, &cells, &lists, &usd).unwrap();
    assert_eq!((offer.way_name(), offer.price), ("pack of 12".to_owned(), Cents::new(410)));
    let before = offer.clone();
    let cells = [(Column::Price, "5"), (Column::Height, "x"), (Column::AtMost, "y")];
    let faults = rows::set_row(&mut offer, &cells, &lists, &usd).unwrap_err();
    assert_eq!(faults.iter().map(|fault| fault.column).collect::<Vec<_>>(), [Column::Height, Column::AtMost]);
    assert_eq!(offer, before);
}

#[test]
fn a_new_row_says_everything_that_is_missing() {
    let lists = demo::lists();
    let cells = [(Column::Finish, "smooth film"), (Column::Price, "x"), (Column::Height, " ")];
    let faults = rows::read_offer(OfferId::new("new"), &cells, &lists, &Currency::usd()).unwrap_err();
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "supplier: an offer needs this: fill it in",
            "height: an offer needs this: fill it in",
            "sold as: an offer needs this: fill it in",
            "price: “x” is not a number",
        ]
    );
}

#[test]
fn what_is_gone_from_the_lists_stays_as_it_is_until_it_is_changed() {
    let mut lists = demo::lists();
    let mut offer = lists.offers[0].clone();
    lists.finishes.clear();
    lists.suppliers.clear();
    for column in Column::ALL {
        let text = rows::cell(&offer, column, &lists, &Currency::usd());
        rows::set(&mut offer, column, &text, &lists, &Currency::usd()).unwrap();
    }
    assert_eq!(offer, demo::lists().offers[0]);
}

/// Lists whose names are as awkward as names get: separators, quotation marks, doubles, "#", none.
fn any_lists() -> impl Strategy<Value = Lists> {
    let names = || prop::collection::btree_map("[a-c]{1,2}", "[a-cA-B#,;\" ]{0,4}|all|red, dark", 1..5);
    (names(), names(), names(), names()).prop_map(|(suppliers, finishes, colours, styles)| Lists {
        suppliers: suppliers
            .into_iter()
            .map(|(id, name)| Supplier { id: SupplierId::new(id), name, ..demo::lists().suppliers.remove(0) })
            .collect(),
        finishes: finishes
            .into_iter()
            .map(|(id, name)| Finish {
                id: FinishId::new(id),
                name,
                colours: colours
                    .iter()
                    .map(|(id, name)| Colour {
                        id: ColourId::new(id.as_str()),
                        name: name.clone(),
                        screen: Rgb([0; 3]),
                    })
                    .collect(),
                ..demo::lists().finishes.remove(0)
            })
            .collect(),
        styles: styles.into_iter().map(|(id, name)| LetterStyle::estimated(&id, &name)).collect(),
        ..Lists::default()
    })
}

fn any_way() -> impl Strategy<Value = Way> {
    let glyphs = || "[A-Z0-9&.,:;=' -]{0,12}".prop_map(|text| GlyphSet::parse(&text));
    let contents = prop::collection::btree_map("[A-Z0-9&,;.:='-]", 1_u32..9_999, 0..12);
    prop_oneof![
        glyphs().prop_map(|glyphs| Way::Piece { glyphs }),
        (0_u32..=10_000, glyphs()).prop_map(|(of, glyphs)| Way::Pack { of, glyphs }),
        contents.prop_map(|counts| {
            let counts: GlyphCounts = counts
                .into_iter()
                .filter_map(|(glyph, count)| Some((Glyph::parse(&glyph)?, count)))
                .collect();
            Way::Set { contents: counts }
        }),
    ]
}

prop_compose! {
    fn any_offer()(
        lists in any_lists(),
        way in any_way(),
        mils in 1_i32..24_000,
        is_metric in any::<bool>(),
        (supplier, finish) in (any::<prop::sample::Index>(), any::<prop::sample::Index>()),
        kept in any::<u64>(),
        price in 0_i64..1_000_000_000,
        breaks in prop::collection::btree_map(2_u32..1_000_000, 0_i64..1_000_000, 0..4),
        together in any::<bool>(),
        at_most in prop::option::of(0_u32..1_000_000),
    ) -> (Lists, Offer) {
        let finish = finish.get(&lists.finishes).clone();
        let is_kept = |at: &usize| kept >> at & 1 == 1;
        let offer = Offer {
            id: OfferId::new("offer"),
            supplier: supplier.get(&lists.suppliers).id.clone(),
            finish: finish.id.clone(),
            height: if is_metric { Length::mm(mils % 600 + 1) } else { Length::mils(mils) },
            colours: finish.colours.iter().enumerate().filter(|(at, _)| is_kept(at)).map(|(_, c)| c.id.clone()).collect(),
            styles: lists.styles.iter().enumerate().filter(|(at, _)| is_kept(at)).map(|(_, s)| s.id.clone()).collect(),
            way,
            price: Cents::new(price),
            breaks: breaks.into_iter().map(|(from, price)| Break { from, price: Cents::new(price) }).collect(),
            count_over: if together { CountOver::Offer } else { CountOver::Family },
            at_most,
        };
        (lists, offer)
    }
}

proptest! {
    #[test]
    fn every_row_reads_back_to_the_same_offer((lists, offer) in any_offer()) {
        let usd = Currency::usd();
        let texts = Column::ALL.map(|column| (column, rows::cell(&offer, column, &lists, &usd)));
        let cells = texts.each_ref().map(|(column, text)| (*column, text.as_str()));
        prop_assert_eq!(rows::read_offer(offer.id.clone(), &cells, &lists, &usd), Ok(offer));
    }

    #[test]
    fn every_cell_reads_back_on_its_own((lists, offer) in any_offer()) {
        let usd = Currency::usd();
        for column in Column::ALL {
            let mut again = offer.clone();
            let text = rows::cell(&offer, column, &lists, &usd);
            prop_assert_eq!(rows::set(&mut again, column, &text, &lists, &usd), Ok(()));
            prop_assert_eq!(&again, &offer);
        }
    }

    #[test]
    fn no_text_makes_a_cell_panic_and_a_refused_one_changes_nothing(
        (lists, offer) in any_offer(), text in "\\PC{0,20}", at in 0_usize..12,
    ) {
        let mut changed = offer.clone();
        if rows::set(&mut changed, Column::ALL[at], &text, &lists, &Currency::usd()).is_err() {
            prop_assert_eq!(changed, offer);
        }
    }
}
