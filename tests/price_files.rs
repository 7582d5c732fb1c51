//! Price lists from files, as spreadsheets of many kinds write them: what comes in, what is asked,
//! what is refused, and by which row.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use lettertally::exchange::compare::{Comparison, compare};
use lettertally::exchange::figures::Sign;
use lettertally::exchange::{self, FileError, Outcome, csv_out, json, table};
use lettertally::glyph::{GlyphCounts, GlyphSet};
use lettertally::lists::{Break, Lists, SupplierId, Way, demo};
use lettertally::money::{Cents, Currency};

/// The demo shop's lists with one supplier, as plain as they can be: so that each test below says
/// all that it rests on.
fn shop() -> Lists {
    let mut lists = demo::lists();
    lists.suppliers.truncate(1);
    lists.suppliers[0].freight.clear();
    let only = lists.suppliers[0].id.clone();
    lists.offers.retain(|offer| offer.supplier == only);
    lists.offers.iter_mut().for_each(|offer| offer.breaks.clear());
    lists
}

fn usd() -> Currency {
    Currency::usd()
}

fn read(file: &str) -> Result<Outcome, FileError> {
    exchange::read(file.as_bytes(), &shop(), &usd(), None)
}

fn compared_with(file: &[u8], lists: &Lists, currency: &Currency, sign: Option<Sign>) -> Comparison {
    match exchange::read(file, lists, currency, sign) {
        Ok(Outcome::Read(reading)) => compare(*reading, lists, currency),
        Ok(Outcome::Ask(question)) => panic!("asks: {question}"),
        Err(error) => panic!("{error}"),
    }
}

fn compared(file: &str) -> Comparison {
    compared_with(file.as_bytes(), &shop(), &usd(), None)
}

/// A file of some columns, each row "height, price" of single pieces in smooth film.
fn pieces(rows: &str) -> String {
    let rows = rows.lines().map(|row| format!("Quillfeather Letters\tsmooth film\tpiece\t{row}"));
    format!("supplier\tfinish\tsold as\theight\tprice\n{}", rows.collect::<Vec<_>>().join("\n"))
}

fn faults(comparison: &Comparison) -> Vec<String> {
    comparison.faults.iter().map(|fault| format!("{}: {}", fault.row, fault.why)).collect()
}

fn changes(comparison: &Comparison) -> Vec<String> {
    let cells = |change: &exchange::compare::Change| {
        let cells = change.cells.iter().map(|cell| format!("{} {} -> {}", cell.of, cell.old, cell.new));
        format!("{}: {}", change.name, cells.collect::<Vec<_>>().join("; "))
    };
    comparison.records.iter().chain(&comparison.changed).map(cells).collect()
}

#[test]
fn the_shops_own_files_change_nothing() {
    let lists = shop();
    for file in [csv_out::write(&lists, &usd()), json::write(&lists, &usd())] {
        let comparison = compared(&file);
        assert!(
            comparison.is_nothing() && comparison.faults.is_empty() && comparison.notes.is_empty(),
            "{comparison:?}"
        );
        assert_eq!(comparison.same, lists.offers.len());
        assert_eq!(comparison.taken_over(true), lists);
    }
}

#[test]
fn a_file_of_a_german_spreadsheet_comes_in_right() {
    let file = "\u{feff}Supplier;Finish;Height;Sold as;Letters per unit;Price;Quantity breaks;At most\r\n\
        Quillfeather Letters;smooth film;2;piece;;0,60;50: 0,50; \"100\"\"\"\r\n\
        Quillfeather Letters;smooth film;2,5;pack;5;1.234,50;\"50: 1.100,00; 1.000: 900,00\";1.000\r\n";
    let comparison = compared(file);
    assert_eq!(faults(&comparison), ["2: at most: “\"100\"\"\"” is not a number"]);
    let new = comparison.taken_over(false).offers.pop().unwrap();
    assert_eq!((new.price, new.at_most), (Cents::new(123_450), Some(1_000)));
    assert_eq!(new.height.to_inches_text(), "2.5");
    let steps: Vec<(u32, i64)> = new.breaks.iter().map(|step| (step.from, step.price.minor())).collect();
    assert_eq!(steps, [(50, 110_000), (1_000, 90_000)]);
}

#[test]
fn unicode_text_and_old_encodings_come_in_right() {
    let euro = Currency::of_code("EUR").unwrap();
    let text =
        "supplier\tfinish\tsold as\theight\tprice\r\nFédérn & Söhne\tsmooth film\tpiece\t3\t0,75 €\r\n";
    let utf16: Vec<u8> = [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let old: Vec<u8> =
        text.chars().map(|c| if c == '€' { 0x80 } else { u8::try_from(u32::from(c)).unwrap() }).collect();
    for (bytes, is_old) in [(utf16, false), (text.as_bytes().to_vec(), false), (old, true)] {
        let comparison = compared_with(&bytes, &shop(), &euro, None);
        assert_eq!(comparison.to_add[0].name, "Fédérn & Söhne");
        assert_eq!(comparison.new[0].price, "€0.75");
        assert_eq!(comparison.notes.iter().any(|note| note.to_string().contains("Windows-1252")), is_old);
    }
}

#[test]
fn thousands_of_several_countries_come_in_right() {
    for price in [
        "1,234.50",
        "1'234.50",
        "1’234.50",
        "1\u{202f}234,50",
        "1\u{a0}234,50",
        "$1,234.50",
        "USD 1.234,50",
        "1234.50 usd",
    ] {
        let comparison = compared(&pieces(&format!("3\t{price}")));
        assert_eq!(comparison.new[0].price, "$1,234.50", "{price}");
    }
}

#[test]
fn what_can_be_read_in_two_ways_is_asked() {
    let file = pieces("2\t1,234\n3\t12");
    let Ok(Outcome::Ask(question)) = read(&file) else { panic!("not asked") };
    assert_eq!((question.row, question.answers()), (2, [("1234", Sign::Point), ("1.234", Sign::Comma)]));
    let comparison = compared_with(file.as_bytes(), &shop(), &usd(), Some(Sign::Point));
    assert_eq!(
        changes(&comparison),
        ["2 in smooth film, single piece, Quillfeather Letters: price 0.55 -> 1234.00"]
    );
    assert!(comparison.notes.iter().any(|note| note.to_string().contains("decimal point, as you said")));
    let comparison = compared_with(file.as_bytes(), &shop(), &usd(), Some(Sign::Comma));
    assert_eq!(faults(&comparison), ["2: price: at most 2 digits after the point"]);
    // Heights and counts are asked about like prices, and settle each other.
    assert!(matches!(read(&pieces("2.125\t12")), Ok(Outcome::Ask(_))));
    assert!(matches!(read(&pieces("2.125\t12.5")), Ok(Outcome::Read(_))));
    assert!(matches!(read(&pieces("2,5\t12")), Ok(Outcome::Read(_))));
    // An answer never outdoes what the file says.
    let comparison = compared_with(pieces("3\t0,45").as_bytes(), &shop(), &usd(), Some(Sign::Point));
    assert_eq!(comparison.new[0].price, "$0.45");
    assert!(!comparison.notes.iter().any(|note| note.to_string().contains("as you said")));
}

#[test]
fn contradictory_figures_are_bad_rows_with_the_reason() {
    let comparison = compared(&pieces("3\t0.45\n4\t0,95\n5\t0.60\n6\t1,234\n7\t9"));
    assert_eq!(
        faults(&comparison),
        [
            "3: price: “0,95” has a decimal comma, but row 2 has a decimal point: write all figures one way",
            "5: price: “1,234” can be read in two ways, since row 2 has a decimal point and row 3 a decimal comma: write all figures one way",
        ]
    );
    assert_eq!(comparison.new.len(), 3);
}

#[test]
fn other_currencies_are_never_taken_in_silence() {
    let comparison = compared(&pieces("3\t€0.45\n4\t0.95 kr\n5\t$0.60"));
    let words = "is not USD, the shop's currency: a price list is read only in that";
    assert_eq!(faults(&comparison), [format!("2: “€” {words}"), format!("3: “kr” {words}")]);
    let heading = pieces("3\t0.45").replace("price", "Price (EUR)");
    assert!(matches!(read(&heading), Err(FileError::Currency(_))));
    let file = "supplier,finish,sold as,height,price,currency\nQuillfeather Letters,smooth film,piece,3,1,EUR\nQuillfeather Letters,smooth film,piece,5,1,usd\n";
    let comparison = compared(file);
    assert_eq!(faults(&comparison), [format!("2: “EUR” {words}")]);
    assert_eq!(comparison.new.len(), 1);
    let json = json::write(&shop(), &usd()).replace("\"USD\"", "\"EUR\"");
    assert!(matches!(read(&json), Err(FileError::Currency(_))));
}

#[test]
fn columns_in_any_order_case_and_company() {
    let file = "Our letters 2026,,,,,,,\n\n\
        PRICE, Sold As ,,HEIGHT (in),weather,Finish,,Supplier\n\
        0.60,Piece,,2\"\"\",sunny,Smooth Film,,quillfeather letters\n\
        ,,,,,,,\n\
        price,sold as,,height (in),weather,finish,,supplier\n\
        0.99,piece,note,4,,smooth film,,Quillfeather Letters\n"
        .replace("2\"\"\"", "\"2\"\"\"");
    let comparison = compared(&file);
    assert_eq!(faults(&comparison), [""; 0]);
    assert_eq!(
        changes(&comparison),
        [
            "2 in smooth film, single piece, Quillfeather Letters: price 0.55 -> 0.60",
            "4 in smooth film, single piece, Quillfeather Letters: price 0.95 -> 0.99",
        ]
    );
    let notes: Vec<String> = comparison.notes.iter().map(ToString::to_string).collect();
    assert_eq!(
        notes,
        [
            "Not used: “weather”, “column 3”.",
            "Not in the file: colours, letter styles, letters per unit, letters or contents, quantity breaks, breaks count, at most. Your offers keep what they have there; new ones have nothing.",
            "Row 1, before the headings, is not used.",
            "The headings stand again in row 6.",
        ]
    );
}

#[test]
fn missing_and_doubled_columns_are_named() {
    let error = read("supplier,material,size,cost\na,b,1,2\n").unwrap_err().to_string();
    assert_eq!(error, "These columns are missing: sold as, price. Not understood: “cost”.");
    let error = read("supplier,finish,height,sold as,price,Unit price\n").unwrap_err().to_string();
    assert_eq!(error, "Two columns are headed “price”: take one out.");
    assert_eq!(read("1,2,3\n4,5,6\n"), Err(FileError::NoHeadings));
    assert!(matches!(read(" \n\n"), Err(FileError::Table(table::TableError::Empty))));
    let alone = compared("finish,height,sold as,price\nsmooth film,2,piece,0.60\n");
    assert_eq!(alone.changed.len(), 1);
    assert!(alone.notes[0].to_string().ends_with("taken for Quillfeather Letters's."));
}

#[test]
fn bad_rows_are_named_as_a_spreadsheet_numbers_them() {
    let file = "supplier,finish,height,sold as,price,colours\n\
        \"Quillfeather\nLetters\",smooth film,3,piece,1,\n\n\
        Quillfeather Letters,smooth film,3,bucket,1,\n\
        Quillfeather Letters,smooth film,3,piece,0,45\n\
        Quillfeather Letters,smooth film,3,piece,0,45,white\n\
        Quillfeather Letters,,3,piece,1,\n\
        Quillfeather Letters,smooth film,3,piece,-1,\n\
        Quillfeather Letters,smooth film,3,piece,1,\"white\n\
        Quillfeather Letters,smooth film,4,piece,1,\n";
    let comparison = compared(file);
    let found = faults(&comparison);
    let starts = [
        "2: “Quillfeather\u{fffd}Letters” cannot be a new name",
        "4: sold as: “bucket”: write piece, pack or set",
        "5: “45” cannot be a new name",
        "6: more than 6 cells: put quotation marks around a cell",
        "7: finish: an offer needs this",
        "8: price: type a number that is not below 0",
        "9: a quotation mark is opened and never closed",
    ];
    assert_eq!(found.len(), starts.len(), "{found:?}");
    for (found, start) in found.iter().zip(starts) {
        assert!(found.starts_with(start), "{found}");
    }
}

#[test]
fn only_offers_of_the_files_suppliers_are_gone_and_only_where_every_row_was_read() {
    let mut lists = shop();
    let mut other = lists.suppliers[0].clone();
    other.id = SupplierId::new("other");
    other.name = "Tide Street Letters".to_owned();
    lists.suppliers.push(other);
    lists.offers[3].supplier = SupplierId::new("other");
    let good = pieces("2\t0.55\n3\t0.75");
    let comparison = compared_with(good.as_bytes(), &lists, &usd(), None);
    assert_eq!((comparison.same, comparison.new.len(), comparison.gone.len()), (1, 1, 10));
    assert_eq!(comparison.taken_over(true).offers.len(), 3);
    assert_eq!(comparison.taken_over(false).offers.len(), 13);
    assert!(comparison.taken_over(true).offers.iter().any(|offer| offer.supplier.as_str() == "other"));
    let bad = compared_with(format!("{good}\n5\tx").as_bytes(), &lists, &usd(), None);
    assert!(!bad.can_remove_gone());
    assert_eq!(bad.taken_over(true).offers.len(), 13);
}

#[test]
fn what_the_shop_does_not_have_is_listed_and_added() {
    let file = "supplier;finish;colours;letter styles;height;sold as;letters or contents;price\n\
        Tide Street Letters;brick flock;gold, teal;block, script;3;piece;A-Z;1.10\n\
        Nobody;no film;grey;none;99;piece;A-Z;1.10\n";
    let comparison = compared(file);
    assert_eq!(faults(&comparison), ["3: height: too large: the most is 24"]);
    let names: Vec<(&str, &str, bool)> = comparison
        .to_add
        .iter()
        .map(|add| (add.thing.word(), add.name.as_str(), add.assumed.is_some()))
        .collect();
    assert_eq!(
        names,
        [
            ("supplier", "Tide Street Letters", true),
            ("finish", "brick flock", true),
            ("colour", "gold (brick flock)", false),
            ("colour", "teal (brick flock)", false),
            ("letter style", "script", false),
        ]
    );
    let lists = comparison.taken_over(false);
    assert!(lists.offers.last().unwrap().fault().is_none());
    let flock = lists.finishes.last().unwrap();
    assert_eq!(flock.colours[0].screen, shop().finishes[0].colours[3].screen);
    assert_eq!(lists.suppliers.len(), 2);
}

#[test]
fn an_offer_is_known_again_by_id_else_by_its_letters() {
    let lists = shop();
    let csv = csv_out::write(&lists, &usd());
    // By id, whatever else has changed.
    let taller = compared(&csv.replacen("smooth film,2,", "smooth film,2.25,", 1));
    assert_eq!(changes(&taller), ["2 in smooth film, single piece, Quillfeather Letters: height 2 -> 2.25"]);
    // Without ids, by the letters; fewer colours are a change where nothing else could be meant.
    let without_ids: String = csv
        .lines()
        .map(|line| format!("{}\n", line.rsplit_once(',').unwrap().0))
        .collect::<String>()
        .replacen("\"white, navy, red, gold\"", "white", 1)
        .replacen("0.95", "0.97", 1);
    let comparison = compared(&without_ids);
    assert_eq!(
        changes(&comparison),
        [
            "2 in smooth film, single piece, Quillfeather Letters: colours white, navy, red, gold -> white",
            "4 in smooth film, single piece, Quillfeather Letters: price 0.95 -> 0.97",
        ]
    );
    assert_eq!((comparison.same, comparison.new.len(), comparison.gone.len()), (10, 0, 0));
    // The id of another supplier's offer is not this one's.
    let other = csv.replacen("Quillfeather Letters", "Tide Street Letters", 1);
    let comparison = compared(&other);
    assert_eq!((comparison.changed.len(), comparison.new.len(), comparison.gone.len()), (0, 1, 1));
}

#[test]
fn rows_that_say_two_things_of_the_same_letters_are_bad() {
    let comparison = compared(&pieces("3\t0.45\n3\t0.55\n2\t0.55\n2\t0.55\n4\t0.96"));
    let words = "take one out, or give each an id of its own";
    assert_eq!(
        faults(&comparison),
        [
            format!("2: the same letters as number 3: {words}"),
            format!("3: the same letters as number 2: {words}"),
            format!("5: the same letters as number 4: {words}"),
        ]
    );
    assert_eq!((comparison.same, comparison.changed.len()), (1, 1));
    let csv = csv_out::write(&shop(), &usd());
    let doubled = format!("{csv}{}\r\n", csv.lines().nth(2).unwrap());
    assert_eq!(
        faults(&compared(&doubled)),
        ["14: the id “smooth-2-pack” is number 3's already: give each its own, or none"]
    );
    // Two of the shop's own of the same letters: a row without an id could be either.
    let mut lists = shop();
    let mut second = lists.offers[0].clone();
    second.id = lettertally::lists::OfferId::new("second");
    second.price = Cents::new(70);
    lists.offers.push(second);
    let comparison = compared_with(pieces("2\t0.60").as_bytes(), &lists, &usd(), None);
    assert!(faults(&comparison)[0].starts_with("2: the shop has 2 offers of these letters"));
    assert_eq!(compared_with(pieces("2\t0.70").as_bytes(), &lists, &usd(), None).same, 1);
}

#[test]
fn cells_that_a_spreadsheet_would_run_go_out_harmless_and_come_back() {
    let mut lists = shop();
    lists.suppliers[0].name = "=HYPERLINK(\"x\")".to_owned();
    lists.finishes[0].name = "'90s film".to_owned();
    lists.styles[0].name = "＋plus".to_owned();
    lists.finishes[1].name = "-4 glitter".to_owned();
    lists.offers[0].way =
        lettertally::lists::Way::Piece { glyphs: lettertally::glyph::GlyphSet::parse("- + = @ '") };
    let csv = csv_out::write(&lists, &usd());
    for cell in ["\"'=HYPERLINK(\"\"x\"\")\"", ",''90s film,", ",'＋plus,", ",'-4 glitter,", ",'' + - = @,"]
    {
        assert!(csv.contains(cell), "{cell} in {csv}");
    }
    let comparison = compared_with(csv.as_bytes(), &lists, &usd(), None);
    assert!(comparison.is_nothing() && comparison.faults.is_empty(), "{comparison:?}");
    lists.offers.clear();
    let again = compared_with(csv.as_bytes(), &lists, &usd(), None).taken_over(false);
    assert_eq!(csv_out::write(&again, &usd()), csv);
}

#[test]
fn a_json_file_brings_suppliers_and_finishes_along() {
    let lists = shop();
    let file = json::write(&lists, &usd())
        .replace("\"minimum\": \"0.00\"", "\"minimum\": \"25.00\"")
        .replace("\"date\": \"\"", "\"date\": \"2026-10-01\"")
        .replace(
            "\"freight\": []",
            "\"freight\": [{ \"from\": \"0\", \"cost\": \"8\" }, { \"from\": \"75\", \"cost\": \"0\" }]",
        )
        .replacen("\"fahrenheit\": 305", "\"fahrenheit\": 300", 1)
        .replacen("\"#f7f7f2\"", "\"#ffffff\"", 1);
    let comparison = compared(&file);
    assert_eq!(
        changes(&comparison),
        [
            "Quillfeather Letters: freight  -> 0.00: 8.00, 75.00: 0.00; order minimum 0.00 -> 25.00; day of its list  -> 2026-10-01",
            "smooth film: temperature 305 °F -> 300 °F",
            "white (smooth film): on the screen #f7f7f2 -> #ffffff",
        ]
    );
    assert_eq!(comparison.taken_over(false).suppliers[0].minimum, Cents::new(2_500));
    // The same ids of another shop are not this shop's.
    let other = json::write(&lists, &usd()).replace("Quillfeather Letters", "Tide Street Letters");
    let comparison = compared(&other);
    assert_eq!((comparison.new.len(), comparison.changed.len(), comparison.gone.len()), (12, 0, 0));
    let merged = comparison.taken_over(true);
    assert_eq!(merged.suppliers[1].id, SupplierId::new("tide-street-letters"));
    assert_eq!(merged.offers.len(), 24);
}

#[test]
fn an_unknown_version_or_form_says_so() {
    let file = json::write(&shop(), &usd());
    assert_eq!(read(&file.replacen("\"version\": 1", "\"version\": 2", 1)), Err(FileError::OtherVersion(2)));
    for broken in ["{}", "{", &file[..200], &file.replacen("letter price list", "tide table", 1)] {
        assert!(matches!(read(broken), Err(FileError::NotTheForm(_))), "{broken}");
    }
    let dangling = file.replacen("\"supplier\": \"quillfeather\"", "\"supplier\": \"nobody\"", 1);
    assert_eq!(faults(&compared(&dangling)), ["1: no supplier “nobody”: add it to the shop's lists first"]);
}

#[test]
fn every_bound_is_told() {
    let table = |error: Result<Outcome, FileError>| match error {
        Err(FileError::Table(error)) => error,
        other => panic!("{other:?}"),
    };
    assert_eq!(table(read(&"x".repeat(table::LARGEST_FILE + 1))), table::TableError::TooLarge);
    assert_eq!(table(read(&"1,2\n".repeat(table::MOST_ROWS + 1))), table::TableError::TooManyRows);
    assert_eq!(table(read("PK\u{3}\u{4}")), table::TableError::Workbook);
    let bad = pieces(&"3\tx\n".repeat(exchange::MOST_FAULTS + 1));
    assert!(matches!(read(&bad), Err(FileError::TooManyFaults(first)) if first.row == 2));
    let rows: Vec<String> =
        (0..=exchange::MOST_NEWCOMERS).map(|n| format!("Seller {n},smooth film,3,piece,1")).collect();
    let strangers = format!("supplier,finish,height,sold as,price\n{}", rows.join("\n"));
    assert_eq!(read(&strangers), Err(FileError::TooManyNames));
    let long = pieces(&format!("3\t{}", "1".repeat(table::LONGEST_CELL + 1)));
    assert!(faults(&compared(&long))[0].starts_with("2: a cell of more than"));
    let wide = format!("{}{}", pieces("3\t1"), "\t".repeat(100_000));
    assert_eq!(compared(&wide).faults.len(), 1);
}

#[test]
fn a_long_list_is_read_in_a_moment() {
    const ROWS: usize = 4_000;
    let rows = (1..=ROWS).map(|row| format!("{}.{:03}0\t0.{:02}", 1 + row / 1_000, row % 1_000, row % 100));
    let file = pieces(&rows.collect::<Vec<_>>().join("\n"));
    let comparison = compared(&file);
    // 2 in and 4 in are the demo list's already.
    assert_eq!((comparison.new.len(), comparison.changed.len()), (ROWS - 2, 2));
    let lists = comparison.taken_over(false);
    let again = compared_with(file.as_bytes(), &lists, &usd(), None);
    assert_eq!((again.same, again.gone.len()), (ROWS, 10));
}

#[test]
fn the_examples_of_the_guide_are_read_as_they_stand() {
    let guide = include_str!("../docs/price-list.md");
    let example = |kind: &str| {
        let start = guide.split(&format!("```{kind}\n")).nth(1).unwrap();
        start.split("```").next().unwrap()
    };
    let csv = compared(example("csv"));
    assert_eq!((faults(&csv), csv.same, csv.changed.len(), csv.new.len()), (vec![], 1, 2, 0));
    let json = compared(example("json"));
    assert_eq!((faults(&json), json.to_add.len(), json.changed.len()), (vec![], 0, 1));
}

#[test]
fn heights_come_in_metric_and_with_fractions() {
    let mm = |mm| lettertally::length::Length::mm(mm);
    let mils = |mils| lettertally::length::Length::mils(mils);
    for (written, height) in [
        ("5 cm", mm(50)),
        ("60 MM", mm(60)),
        ("2 1/2\"", mils(2_500)),
        ("2-1/2 in", mils(2_500)),
        ("2½ in", mils(2_500)),
        ("¾", mils(750)),
        ("3 ''", mils(3_000)),
    ] {
        let comparison = compared(&pieces(&format!("{}\t0.75", written.replace('"', "″"))));
        assert_eq!(faults(&comparison), [""; 0], "{written}");
        let heights: Vec<_> = comparison.taken_over(false).offers.iter().map(|offer| offer.height).collect();
        assert!(heights.contains(&height), "{written}: {heights:?}");
    }
    let quoted =
        "supplier,finish,sold as,height,price\nQuillfeather Letters,smooth film,piece,\"2 1/2\"\"\",0.75";
    assert_eq!(compared(quoted).new[0].name, "2.5 in smooth film, single piece, Quillfeather Letters");
    let headed = "supplier;finish;sold as;height (cm);price\nQuillfeather Letters;smooth film;piece;7,5;0,75";
    assert!(compared(headed).taken_over(false).offers.iter().any(|offer| offer.height == mm(75)));
    for bad in ["½½", "2 1/0", "2½ cm"] {
        assert_eq!(faults(&compared(&pieces(&format!("{bad}\t0.75")))).len(), 1, "{bad}");
    }
}

#[test]
fn a_price_that_jumps_is_told_of_first() {
    let at = |price: &str| {
        let jumps = compared(&pieces(&format!("2\t{price}"))).jumps;
        jumps.into_iter().map(|jump| (jump.old, jump.new)).collect::<Vec<_>>()
    };
    // A single piece of 2 in smooth film costs 0.55; three times that is 1.65, a third 0.18.
    let jump = |new: &str| vec![("$0.55".to_owned(), new.to_owned())];
    assert_eq!((at("1.65"), at("1.66")), (vec![], jump("$1.66")));
    assert_eq!((at("0.19"), at("0.18")), (vec![], jump("$0.18")));
    assert_eq!((at("0.55"), at("0")), (vec![], jump("$0.00")));
    assert_eq!(at("1234.00"), jump("$1,234.00"));

    let mut lists = shop();
    let breaks = [(50, 200), (100, 180)].map(|(from, price)| Break { from, price: Cents::new(price) });
    lists.offers[1].breaks = breaks.to_vec();
    let csv = csv_out::write(&lists, &usd());
    // A pack of ten at six times the price of a pack of five costs three times as much a letter.
    let larger = csv.replacen(",pack,5,", ",pack,10,", 1).replacen(",2.15,", ",12.90,", 1);
    assert!(larger.contains(",12.90,") && larger.contains(",pack,10,"), "{larger}");
    assert_eq!(compared_with(larger.as_bytes(), &lists, &usd(), None).jumps, []);
    let broken = csv.replacen("100: 1.80", "100: 18.00", 1);
    let jumps = compared_with(broken.as_bytes(), &lists, &usd(), None).jumps;
    assert_eq!(jumps[0].name, "2 in smooth film, pack of 5, Quillfeather Letters, from 100");
    assert_eq!((jumps.len(), jumps[0].new.as_str()), (1, "$18.00"));
}

/// A control character cannot be seen, is sold by nobody, and would make the list's own table unreadable.
#[test]
fn control_characters_are_no_letters_of_an_offer() {
    let file = |way: &str| {
        format!(
            r#"{{"format":"letter price list","version":1,"currency":"USD","suppliers":[{{"id":"q","name":"New House"}}],
            "finishes":[{{"id":"s","name":"flock","colours":[]}}],"styles":[{{"id":"b","name":"block"}}],
            "offers":[{{"id":"1","supplier":"q","finish":"s","height":"2in","colours":[],"styles":["b"],"price":"1",{way}}}]}}"#
        )
    };
    let pieces = compared(&file(r#""sold_as":"piece","letters":"A \u0000 B""#)).taken_over(false);
    let written = pieces.offers.last().map(|offer| offer.way.clone());
    assert_eq!(written, Some(Way::Piece { glyphs: GlyphSet::parse("A B") }));
    assert!(compared_with(csv_out::write(&pieces, &usd()).as_bytes(), &pieces, &usd(), None).is_nothing());
    let set = compared(&file(r#""sold_as":"set","contents":{"A":1,"\u0000":2}"#));
    assert_eq!(faults(&set).len(), 1);
    assert!(GlyphCounts::parse("A:1 \0:2").is_err());
}
