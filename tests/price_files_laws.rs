//! Laws of price lists as files: what goes out comes back, the documented form and the reader agree,
//! and no file, however broken, makes the reader stumble.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use jsonschema::Validator;
use lettertally::exchange::compare::{Comparison, compare};
use lettertally::exchange::figures::Sign;
use lettertally::exchange::{self, Outcome, csv_out, json};
use lettertally::glyph::{Glyph, GlyphCounts, GlyphSet};
use lettertally::length::Length;
use lettertally::lists::recipe::{Again, Degrees, Heat};
use lettertally::lists::{
    Break, Colour, ColourId, CountOver, Finish, FinishId, FreightStep, LetterStyle, Lists, Offer, OfferId,
    Peel, Recipe, Rgb, StyleId, Supplier, SupplierId, Way, Widths, demo,
};
use lettertally::money::{Cents, Currency};
use proptest::collection::{btree_map, vec};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::FileFailurePersistence;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// The documented form.
static SCHEMA: LazyLock<Validator> = LazyLock::new(|| {
    let text = include_str!("../docs/price-list.schema.json");
    jsonschema::draft202012::new(&serde_json::from_str(text).unwrap()).unwrap()
});

fn compared(file: &[u8], lists: &Lists, currency: &Currency) -> Comparison {
    match exchange::read(file, lists, currency, None) {
        Ok(Outcome::Read(reading)) => compare(*reading, lists, currency),
        other => panic!("not read: {other:?}"),
    }
}

fn any_currency() -> impl Strategy<Value = Currency> {
    // No, two, three and four digits after the point by ISO 4217.
    select(vec!["JPY", "USD", "EUR", "CHF", "KWD", "CLF"]).prop_map(|code| Currency::of_code(code).unwrap())
}

/// Names with all that a table, a formula or a list of names could trip over.
fn any_name() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,8}",
        select(vec![
            "=SUM(A1)",
            "'90s",
            "a;b",
            "red, dark",
            "say \"x\"",
            "＝x",
            "@home",
            "+",
            "-",
            "Größe",
            "1,234",
            "#gold",
            "all",
            "tab\there",
            "two\nlines",
            "'",
            "''=",
            "€ 5",
            "2\"",
        ])
        .prop_map(str::to_owned),
    ]
}

fn cents() -> impl Strategy<Value = Cents> {
    prop_oneof![0_i64..2_000, 0_i64..=10_000_000].prop_map(Cents::new)
}

fn length() -> impl Strategy<Value = Length> {
    prop_oneof![
        (1_i32..=24).prop_map(Length::inches),
        (1_i32..=24_000).prop_map(Length::mils),
        (1_i32..=600).prop_map(Length::mm)
    ]
}

fn glyph() -> impl Strategy<Value = Glyph> {
    "[A-Z0-9&.',;:=+@É-]".prop_map(|text| Glyph::parse(&text).unwrap())
}

fn any_way() -> impl Strategy<Value = Way> {
    let set = || {
        vec(glyph(), 0..12).prop_map(|glyphs| {
            GlyphSet::parse(&glyphs.iter().map(Glyph::as_str).collect::<Vec<_>>().join(" "))
        })
    };
    prop_oneof![
        set().prop_map(|glyphs| Way::Piece { glyphs }),
        (0_u32..=10_000, set()).prop_map(|(of, glyphs)| Way::Pack { of, glyphs }),
        vec((glyph(), 1_u32..500), 0..12)
            .prop_map(|pairs| Way::Set { contents: pairs.into_iter().collect::<GlyphCounts>() }),
    ]
}

fn any_supplier() -> impl Strategy<Value = Supplier> {
    let freight = btree_map(0_i64..1_000_000, 0_i64..100_000, 0..4);
    let date = prop_oneof![Just(String::new()), "20[0-9]{2}-0[1-9]-[12][0-9]"];
    let days = prop::option::of(0_u16..=365);
    (any_name(), freight, cents(), days, date, "\\PC{0,20}").prop_map(
        |(name, freight, minimum, days, date, note)| Supplier {
            id: SupplierId::default(),
            name,
            freight: freight
                .into_iter()
                .map(|(from, cost)| FreightStep { from: Cents::new(from), cost: Cents::new(cost) })
                .collect(),
            minimum,
            days,
            date,
            note,
        },
    )
}

fn any_finish() -> impl Strategy<Value = Finish> {
    let heat =
        || (0_u16..600, select(Degrees::ALL.to_vec())).prop_map(|(degrees, scale)| Heat::new(degrees, scale));
    let again = prop_oneof![Just(Again::AsHot), Just(Again::Never), heat().prop_map(Again::UpTo)];
    let rest = (any_name(), select(Peel::ALL.to_vec()), any::<bool>());
    let recipe = (heat(), any::<[u16; 2]>(), again, rest).prop_map(
        |(heat, [dwell_from, dwell_to], again, (pressure, peel, cover_sheet))| Recipe {
            heat,
            dwell_from,
            dwell_to,
            pressure,
            peel,
            cover_sheet,
            again,
        },
    );
    let colour = (any_name(), any::<[u8; 3]>()).prop_map(|(name, screen)| (name, Rgb(screen)));
    (any_name(), recipe, vec(colour, 0..4)).prop_map(|(name, recipe, colours)| Finish {
        id: FinishId::default(),
        name,
        colours: colours
            .into_iter()
            .enumerate()
            .map(|(at, (name, screen))| Colour { id: ColourId::new(format!("c{at}")), name, screen })
            .collect(),
        recipe,
    })
}

/// An offer of whatever lists there are: its supplier, finish, colours and styles by lot.
#[derive(Debug, Clone)]
struct Draft {
    lots: [usize; 4],
    height: Length,
    way: Way,
    price: Cents,
    breaks: Vec<Break>,
    together: bool,
    at_most: Option<u32>,
}

fn any_draft() -> impl Strategy<Value = Draft> {
    let breaks = btree_map(2_u32..1_000_000, cents(), 0..3)
        .prop_map(|pairs| pairs.into_iter().map(|(from, price)| Break { from, price }).collect());
    let at_most = prop::option::of(0_u32..=1_000_000);
    (any::<[usize; 4]>(), length(), any_way(), cents(), breaks, any::<bool>(), at_most).prop_map(
        |(lots, height, way, price, breaks, together, at_most)| Draft {
            lots,
            height,
            way,
            price,
            breaks,
            together,
            at_most,
        },
    )
}

fn any_lists() -> impl Strategy<Value = Lists> {
    let styles = vec((any_name(), any::<bool>()), 1..3);
    (vec(any_supplier(), 1..4), vec(any_finish(), 1..4), styles, vec(any_draft(), 0..8)).prop_map(
        |(mut suppliers, mut finishes, styles, drafts)| {
            for (at, supplier) in suppliers.iter_mut().enumerate() {
                supplier.id = SupplierId::new(format!("supplier-{at}"));
            }
            for (at, finish) in finishes.iter_mut().enumerate() {
                finish.id = FinishId::new(format!("finish-{at}"));
            }
            let style = |(at, (name, six_is_nine)): (usize, (String, bool))| LetterStyle {
                id: StyleId::new(format!("style-{at}")),
                name,
                six_is_nine,
                widths: Widths::default(),
            };
            let styles = styles.into_iter().enumerate().map(style).collect();
            let mut lists = Lists { suppliers, finishes, styles, ..Lists::default() };
            lists.offers =
                drafts.into_iter().enumerate().map(|(at, draft)| offer(at, draft, &lists)).collect();
            lists
        },
    )
}

fn offer(at: usize, draft: Draft, lists: &Lists) -> Offer {
    let [supplier, finish, colours, styles] = draft.lots;
    let finish = &lists.finishes[finish % lists.finishes.len()];
    let some = |count: usize, lot: usize| (0..count).filter(move |at| lot >> at & 1 == 1);
    Offer {
        id: OfferId::new(format!("offer {at}")),
        supplier: lists.suppliers[supplier % lists.suppliers.len()].id.clone(),
        finish: finish.id.clone(),
        height: draft.height,
        colours: some(finish.colours.len(), colours).map(|at| finish.colours[at].id.clone()).collect(),
        styles: some(lists.styles.len(), styles).map(|at| lists.styles[at].id.clone()).collect(),
        way: draft.way,
        price: draft.price,
        breaks: draft.breaks,
        count_over: if draft.together { CountOver::Offer } else { CountOver::Family },
        at_most: draft.at_most,
    }
}

/// Whether two records of one kind go by one name, so that only their ids tell them apart.
fn has_namesakes(lists: &Lists) -> bool {
    let mut seen = BTreeSet::new();
    let suppliers = lists.suppliers.iter().map(|entry| ("supplier", "", &entry.name));
    let finishes = lists.finishes.iter().map(|entry| ("finish", "", &entry.name));
    let styles = lists.styles.iter().map(|entry| ("style", "", &entry.name));
    let colours = lists
        .finishes
        .iter()
        .flat_map(|finish| finish.colours.iter().map(|entry| ("colour", finish.id.as_str(), &entry.name)));
    let mut all = suppliers.chain(finishes).chain(styles).chain(colours);
    all.any(|(kind, of, name)| !seen.insert((kind, of, name.trim().to_lowercase())))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("seeds"))), ..ProptestConfig::with_cases(128) })]

    #[test]
    fn a_list_comes_back_from_csv_as_it_was(lists in any_lists(), currency in any_currency()) {
        let csv = csv_out::write(&lists, &currency);
        let same = compared(csv.as_bytes(), &lists, &currency);
        prop_assert!(same.is_nothing() && same.faults.is_empty() && same.notes.is_empty(), "{:?}\n{}", same, csv);
        prop_assert_eq!(same.taken_over(true), lists.clone());
        let without = Lists { offers: Vec::new(), ..lists.clone() };
        let back = compared(csv.as_bytes(), &without, &currency);
        prop_assert_eq!(back.taken_over(true), lists);
    }

    #[test]
    fn a_list_comes_back_from_json_as_it_was(lists in any_lists(), currency in any_currency()) {
        let file = json::write(&lists, &currency);
        let same = compared(file.as_bytes(), &lists, &currency);
        prop_assert!(same.is_nothing() && same.faults.is_empty() && same.notes.is_empty(), "{:?}\n{}", same, file);
        prop_assert_eq!(same.taken_over(true), lists.clone());
        let back = compared(file.as_bytes(), &Lists::default(), &currency);
        prop_assert_eq!(back.taken_over(true), lists);
        let value: Value = serde_json::from_str(&file).unwrap();
        let wrong = SCHEMA.iter_errors(&value).next().map(|error| error.to_string());
        prop_assert_eq!(wrong, None, "{}", file);
    }

    #[test]
    fn taking_a_file_over_twice_changes_nothing_more(lists in any_lists(), others in any_lists(), currency in any_currency()) {
        for file in [csv_out::write(&others, &currency), json::write(&others, &currency)] {
            let first = compared(file.as_bytes(), &lists, &currency);
            let merged = first.taken_over(true);
            prop_assert_eq!(&merged.blanks, &lists.blanks);
            if file.starts_with('{') && !has_namesakes(&lists) && !has_namesakes(&others) {
                let again = compared(file.as_bytes(), &merged, &currency);
                prop_assert!(again.faults.is_empty(), "{:?}", again.faults);
                prop_assert!(again.to_add.is_empty() && again.records.is_empty(), "{:?}", again);
            }
        }
    }

    #[test]
    fn no_bytes_make_the_reader_stumble(bytes in vec(any::<u8>(), 0..200), text in "[a-z0-9\",;\t\r\n ='€.{}:\\[\\]-]{0,200}") {
        stumble_over(&bytes);
        stumble_over(text.as_bytes());
    }

    #[test]
    fn no_damage_makes_the_reader_stumble(
        lists in any_lists(),
        as_json in any::<bool>(),
        wounds in vec((any::<prop::sample::Index>(), 0_usize..12, "[0-9a-z\",;\t\r\n='€.{}:-]{0,3}"), 1..6),
    ) {
        let currency = Currency::usd();
        let mut file = if as_json { json::write(&lists, &currency) } else { csv_out::write(&lists, &currency) }.into_bytes();
        for (at, cut, put) in wounds {
            let start = at.index(file.len().max(1)).min(file.len());
            let end = (start + cut).min(file.len());
            file.splice(start..end, put.into_bytes());
        }
        stumble_over(&file);
    }

    #[test]
    fn a_table_of_odd_cells_makes_nobody_stumble(
        rows in vec(vec(prop_oneof![
            any_name(),
            "[0-9.,' ]{0,8}",
            "(\\$|€|USD )?[0-9]{1,4}[.,][0-9]{1,3}( ?in|mm|\")?",
            select(vec!["piece", "pack", "set", "A-Z 0-9", "A:5 B:2", "50: 1,20; 100: 1,10", "all", "together", ""]).prop_map(str::to_owned),
        ], 0..14), 0..8),
        delimiter in select(vec![b',', b';', b'\t']),
    ) {
        let mut writer = csv::WriterBuilder::new().flexible(true).delimiter(delimiter).from_writer(Vec::new());
        let headings = lettertally::lists::rows::Column::ALL.map(lettertally::lists::rows::Column::heading);
        writer.write_record(headings).unwrap();
        rows.iter().for_each(|row| writer.write_record(row).unwrap());
        stumble_over(&writer.into_inner().unwrap());
    }
}

/// Reads, compares, takes over and shows whatever comes of it; it must only not panic, and must not
/// lose an offer that it does not call gone.
fn stumble_over(bytes: &[u8]) {
    let (lists, currency) = (demo::lists(), Currency::usd());
    for sign in [None, Some(Sign::Point), Some(Sign::Comma)] {
        match exchange::read(bytes, &lists, &currency, sign) {
            Err(error) => assert!(!error.to_string().is_empty()),
            Ok(Outcome::Ask(question)) => {
                assert!(sign.is_none() && question.with_point != question.with_comma);
                assert!(!question.to_string().is_empty());
            }
            Ok(Outcome::Read(reading)) => {
                let comparison = compare(*reading, &lists, &currency);
                comparison.faults.iter().for_each(|fault| assert!(!fault.why.to_string().is_empty()));
                comparison.notes.iter().for_each(|note| assert!(!note.to_string().is_empty()));
                let offers = lists.offers.len() + comparison.new.len();
                assert_eq!(comparison.taken_over(false).offers.len(), offers);
                assert!(comparison.taken_over(true).offers.len() >= offers - comparison.gone.len());
            }
        }
    }
}

/// Every place in a JSON value, as a JSON pointer.
fn places(value: &Value, at: &str, into: &mut Vec<String>) {
    into.push(at.to_owned());
    match value {
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(i, item)| places(item, &format!("{at}/{i}"), into));
        }
        Value::Object(fields) => fields.iter().for_each(|(name, item)| {
            places(item, &format!("{at}/{}", name.replace('~', "~0").replace('/', "~1")), into);
        }),
        _ => {}
    }
}

/// A small list with every kind of entry.
fn specimen() -> Value {
    json!({
        "format": "letter price list", "version": 1, "currency": "USD",
        "suppliers": [{ "id": "q", "name": "Quillfeather Letters", "date": "2026-10-01", "note": "by post", "minimum": "25.00", "days": 4,
            "freight": [{ "from": "0.00", "cost": "8.00" }, { "from": "75.00", "cost": "0.00" }] }],
        "finishes": [{ "id": "s", "name": "smooth film", "colours": [{ "id": "w", "name": "white", "screen": "#ffffff" }],
            "recipe": { "fahrenheit": 305, "dwell_from": 10, "dwell_to": 15, "pressure": "medium", "peel": "hot", "cover_sheet": true } }],
        "styles": [{ "id": "b", "name": "block", "six_is_nine": false }],
        "offers": [
            { "id": "1", "supplier": "q", "finish": "s", "height": "2.5in", "colours": ["w"], "styles": ["b"], "sold_as": "piece",
                "letters": "A-Z", "price": "0.55", "breaks": [{ "from": 50, "price": "0.50" }], "count_over": "offer", "at_most": 9 },
            { "id": "2", "supplier": "q", "finish": "s", "height": "60mm", "colours": ["w"], "styles": ["b"], "sold_as": "pack",
                "letters_per_unit": 5, "letters": "A-Z", "price": "2" },
            { "id": "3", "supplier": "q", "finish": "s", "height": "4in", "colours": [], "styles": [], "sold_as": "set",
                "contents": { "A": 5, "B": 2 }, "price": "17.90" },
        ],
    })
}

/// Whether the reader takes a file whole.
fn is_read(value: &Value) -> bool {
    let (lists, currency) = (demo::lists(), Currency::usd());
    match exchange::read(value.to_string().as_bytes(), &lists, &currency, None) {
        Ok(Outcome::Read(reading)) => reading.faults.is_empty(),
        _ => false,
    }
}

#[test]
fn the_schema_is_one_and_takes_the_specimen_as_the_reader_does() {
    let text = include_str!("../docs/price-list.schema.json");
    assert!(jsonschema::meta::is_valid(&serde_json::from_str(text).unwrap()));
    assert!(SCHEMA.is_valid(&specimen()));
    assert!(is_read(&specimen()));
    let guide = include_str!("../docs/price-list.md").split("```json\n").nth(1).unwrap();
    let example: Value = serde_json::from_str(guide.split("```").next().unwrap()).unwrap();
    assert!(SCHEMA.is_valid(&example) && is_read(&example));
}

#[test]
fn what_is_broken_is_refused_by_schema_and_reader_alike() {
    let good = specimen();
    let mut all = Vec::new();
    places(&good, "", &mut all);
    let wrong = [
        json!(-1),
        json!(1.5),
        json!(1e300),
        json!([[]]),
        json!({ "what": "ever" }),
        json!([7]),
        json!(true),
    ];
    let mut checked = 0;
    let mut check = |bad: &Value, what: String| {
        assert_eq!(SCHEMA.is_valid(bad), is_read(bad), "{what}");
        checked += 1;
    };
    for place in &all {
        for value in &wrong {
            let mut bad = good.clone();
            *bad.pointer_mut(place).unwrap() = value.clone();
            check(&bad, format!("{place} = {value}"));
        }
        if let Some(fields) = good.pointer(place).and_then(Value::as_object) {
            let mut bad = good.clone();
            bad.pointer_mut(place).unwrap()["not a field"] = json!([]);
            check(&bad, format!("{place} with another field"));
            for field in fields.keys() {
                let mut bad = good.clone();
                bad.pointer_mut(place).unwrap().as_object_mut().unwrap().remove(field);
                // What is referred to and what a set holds is the reader's affair.
                let is_reference = field == "id" || place.ends_with("contents");
                if !is_reference {
                    check(&bad, format!("{place} without {field}"));
                }
            }
        }
    }
    let texts = [
        ("/currency", vec!["usd", "EURO", "$"]),
        ("/format", vec!["", "price list"]),
        ("/suppliers/0/date", vec!["1 October", "2026-1-1", "2026-10-010"]),
        (
            "/suppliers/0/minimum",
            vec!["", "1,50", "-1", "1.", ".5", "007", "1e3", "$5", "1 000", "1.23456", "123456789"],
        ),
        (
            "/offers/0/price",
            vec!["", "1,50", "-1", "1.", ".5", "007", "1e3", "$5", "1 000", "1.23456", "123456789"],
        ),
        ("/offers/0/height", vec!["", "2", "2,5in", "2 in", "-2in", "2.1234in", "1.12345mm", "in", "2cm"]),
        ("/finishes/0/colours/0/screen", vec!["red", "#fff", "#12345g"]),
        ("/offers/0/sold_as", vec!["Piece", "box", "set", "pack"]),
        ("/offers/2/sold_as", vec!["piece", "pack"]),
        ("/offers/0/count_over", vec!["together"]),
        ("/finishes/0/recipe/peel", vec!["lukewarm"]),
    ];
    for (place, texts) in texts {
        for text in texts {
            let mut bad = good.clone();
            *bad.pointer_mut(place).unwrap() = json!(text);
            assert!(!SCHEMA.is_valid(&bad) && !is_read(&bad), "{place} = {text:?}");
        }
    }
    assert!(checked > 400, "{checked}");
}
