//! A supplier's price list: as a file, CSV or JSON, and as a block pasted into the grid.

use super::{keeps, says_why, small_lists};
use lettertally::exchange::compare::{Comparison, compare};
use lettertally::exchange::figures::Sign;
use lettertally::exchange::{self, Outcome, csv_out, json};
use lettertally::lists::rows::Column;
use lettertally::lists::{Lists, block, demo};
use lettertally::money::Currency;

/// A file, which may say in its first byte that the shop has another currency or no lists yet.
pub fn check(input: &[u8]) {
    let (lists, currency, file) = match input.split_first() {
        Some((b'\x01', file)) => (small_lists(), Currency::of_code("KWD").unwrap(), file),
        Some((b'\x02', file)) => (Lists::default(), Currency::of_code("JPY").unwrap(), file),
        _ => (small_lists(), Currency::usd(), input),
    };
    read_as(file, &lists, &currency, None);
}

fn read_as(file: &[u8], lists: &Lists, currency: &Currency, sign: Option<Sign>) {
    match exchange::read(file, lists, currency, sign) {
        Err(error) => says_why(&error),
        Ok(Outcome::Ask(question)) => {
            assert!(sign.is_none() && question.with_point != question.with_comma);
            says_why(&question);
            for sign in [Sign::Point, Sign::Comma] {
                read_as(file, lists, currency, Some(sign));
            }
        }
        Ok(Outcome::Read(reading)) => {
            reading.faults.iter().for_each(|fault| says_why(&fault.why));
            reading.notes.iter().for_each(says_why);
            taken_over(&compare(*reading, lists, currency), file, lists, currency, sign);
        }
    }
}

/// Only what is read as JSON: a table costs longer and has a target of its own.
pub fn check_json(input: &[u8]) {
    if input.iter().find(|byte| byte.is_ascii_graphic()) == Some(&b'{') {
        check(input);
    }
}

fn taken_over(found: &Comparison, file: &[u8], lists: &Lists, currency: &Currency, sign: Option<Sign>) {
    let merged = found.taken_over(false);
    assert_eq!(merged.blanks, lists.blanks);
    assert_eq!(merged.offers.len(), lists.offers.len() + found.new.len());
    let fewer = found.taken_over(true);
    assert!(fewer.offers.len() + found.gone.len() >= merged.offers.len());
    if found.is_nothing() {
        assert_eq!(merged, *lists);
        return;
    }
    // In the form of the file: the other one has a target of its own.
    let is_table = file.iter().find(|byte| byte.is_ascii_graphic()) != Some(&b'{');
    goes_out_and_comes_back(&merged, currency, if is_table { csv_out::write } else { json::write });
    // A second reading of the same file finds nothing that the first did not.
    match exchange::read(file, &merged, currency, sign) {
        Ok(Outcome::Read(again)) => says_why(&again.entry),
        other => panic!("read once, not twice: {other:?}"),
    }
}

/// Lists are kept, and go out and come back as they are.
fn goes_out_and_comes_back(lists: &Lists, currency: &Currency, write: fn(&Lists, &Currency) -> String) {
    keeps(lists);
    let file = write(lists, currency);
    let back = match exchange::read(file.as_bytes(), lists, currency, None) {
        Ok(Outcome::Read(reading)) => compare(*reading, lists, currency),
        other => panic!("not read: {other:?}\n{file}"),
    };
    assert!(back.is_nothing() && back.faults.is_empty(), "{back:?}\n{file}");
    assert_eq!(back.taken_over(true), *lists, "{file}");
}

/// A block on the first cell of the list; the first byte says which column it begins in.
pub fn check_paste(input: &[u8]) {
    let (lists, currency) = (small_lists(), Currency::usd());
    let Some((first, rest)) = input.split_first() else {
        return;
    };
    let column = Column::ALL[usize::from(*first) % Column::ALL.len()];
    let cells = block::read(&String::from_utf8_lossy(rest));
    assert_eq!(block::read(&block::write(&cells)), cells);
    let pasted = block::paste(&lists, 0, column, &cells, &currency);
    pasted.faults.iter().for_each(says_why);
    assert!(pasted.lists.offers.len() == lists.offers.len() + pasted.added);
    assert!(pasted.faults.iter().all(|fault| fault.row >= 1));
    if pasted.changed + pasted.added == 0 {
        assert_eq!(pasted.lists.offers, lists.offers);
        return;
    }
    goes_out_and_comes_back(&pasted.lists, &currency, csv_out::write);
}

const SHORT: &str = "supplier;finish;height;sold as;price;breaks;letters\r\n\
    Quillfeather Letters;smooth film;3;piece;0,75;50: 0,70;A-Z\r\n\
    New House;flock;50 mm;pack of 5;1.234,50;;A-Z 0-9\r\n";

const TABLE: &str = "Prices of this autumn\n\nsupplier,finish,height,colours,styles,sold as,letters,contents,price,breaks,counted over,at most,id\n\
    Quillfeather Letters,smooth film,2 in,\"white, red\",block,piece,A-Z & -,,$0.55,\"50: 0.50, 100: 0.45\",together,900,smooth-2\n\
    Tansywick Alphabets,glitter film,\"2 1/2\"\"\",all,all,set,,A:5 B:2 É:1,17.90,,,,\n\
    'Quillfeather Letters,smooth film,2 in,,,nonsense,,,-1,,,,\n";

const JSON: &str = r##"{"format":"letter price list","version":1,"currency":"USD",
"suppliers":[{"id":"q","name":"Quillfeather Letters","date":"2026-10-01","note":"by post","minimum":"25.00","days":4,"freight":[{"from":"0.00","cost":"8.00"},{"from":"75.00","cost":"0"}]}],
"finishes":[{"id":"s","name":"smooth film","colours":[{"id":"w","name":"white","screen":"#ffffff"}],"recipe":{"fahrenheit":305,"dwell_from":10,"dwell_to":15,"pressure":"medium","peel":"hot","cover_sheet":true}}],
"styles":[{"id":"b","name":"block","six_is_nine":false}],
"offers":[{"id":"1","supplier":"q","finish":"s","height":"2.5in","colours":["w"],"styles":["b"],"sold_as":"piece","letters":"A-Z","price":"0.55","breaks":[{"from":50,"price":"0.50"}],"count_over":"offer","at_most":9},
{"id":"2","supplier":"q","finish":"s","height":"60mm","colours":["w"],"styles":["b"],"sold_as":"pack","letters_per_unit":5,"letters":"A-Z","price":"2"},
{"id":"3","supplier":"q","finish":"s","height":"4in","colours":[],"styles":[],"sold_as":"set","contents":{"A":5,"B":2},"price":"17.90"}]}"##;

pub fn csv_seeds() -> Vec<Vec<u8>> {
    let utf_16: Vec<u8> = "\u{feff}supplier\tfinish\theight\tsold as\tprice\nNew\tflock\t2\tpiece\t1\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let own = csv_out::write(&small_lists(), &Currency::usd());
    let dinar = format!("\x01{}", csv_out::write(&small_lists(), &Currency::of_code("KWD").unwrap()));
    let mut all: Vec<Vec<u8>> =
        [SHORT, TABLE, own.as_str(), dinar.as_str()].map(|text| text.as_bytes().to_vec()).into();
    all.extend([format!("\x02{SHORT}").into_bytes(), format!("sep=;\n{SHORT}").into_bytes(), utf_16]);
    all
}

pub fn json_seeds() -> Vec<Vec<u8>> {
    let guide = include_str!("../../../../docs/price-list.md").split("```json\n").nth(1).unwrap_or_default();
    let example = guide.split("```").next().unwrap_or_default();
    let yen = format!(
        "\x02{}",
        JSON.replace("USD", "JPY")
            .replace(".50", "")
            .replace(".55", "")
            .replace(".90", "")
            .replace(".00", "")
    );
    let own = json::write(&Lists { offers: Vec::new(), ..demo::lists() }, &Currency::usd());
    [JSON, example, yen.as_str(), own.as_str()].map(|text| text.as_bytes().to_vec()).into()
}

pub fn paste_seeds() -> Vec<Vec<u8>> {
    let row =
        "Quillfeather Letters\tsmooth film\t2 in\twhite\tblock\tpiece\tA-Z\t\t0.60\t50: 0.50\tfamily\t10\n";
    let headed = "price\tsold as\n0.70\tpack of 5\n\"1.20\"\tset\nx\tpiece\n1\tpiece\n2\tpiece\n";
    [format!("\0{row}{row}{row}{row}"), format!("\x02{headed}"), "\x08\"open\t1\n2\n".into()]
        .map(String::into_bytes)
        .into()
}
