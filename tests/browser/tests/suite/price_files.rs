//! Price lists out to files and in from them.

use lettertally_browser_tests::{Browser, Site, open_page};

const PANEL: &str = "Price list as a file";

/// What a button gives to be saved, without the mark of its encoding.
fn saved(page: &Browser, button: &str) -> String {
    page.catch_files();
    page.within(PANEL).tap(button);
    page.caught_file().1.trim_start_matches('\u{feff}').to_owned()
}

/// Opens a file with this in it.
fn open(page: &Browser, name: &str, bytes: &[u8]) {
    page.within(PANEL).open_file("Open a file", name, bytes);
    page.within(PANEL).says(name);
}

fn paste(page: &Browser, text: &str) {
    let panel = page.within(PANEL);
    panel.unfold("Paste instead");
    panel.paste_into("Rows with their headings, or JSON", text);
    panel.tap("Look at it");
}

fn shop(site: &Site) -> Browser {
    let page = open_page(site);
    page.go_to("Shop");
    page
}

fn has_row(page: &Browser, row: &[&str]) {
    let rows = page.within(PANEL).rows();
    assert!(rows.iter().any(|found| found == row), "{row:?} in {rows:?}");
}

#[test]
fn a_list_goes_out_as_csv_and_comes_back_with_one_price_changed() {
    let site = Site::serve();
    let page = shop(&site);
    let csv = saved(&page, "Save as CSV");
    open(&page, "own.csv", csv.as_bytes());
    page.within(PANEL).says("16 the same.");
    page.within(PANEL).tap("Close");

    open(&page, "dearer.csv", csv.replacen(",0.55,", ",0.60,", 1).as_bytes());
    page.within(PANEL).says("1 changed, 15 the same.");
    has_row(&page, &["price", "0.55", "0.60"]);
    page.within(PANEL).tap("Leave as it is");
    page.within(PANEL).says("left as it is");
    assert!(saved(&page, "Save as CSV").contains(",0.55,"));

    open(&page, "dearer.csv", csv.replacen(",0.55,", ",0.60,", 1).as_bytes());
    page.within(PANEL).tap("Take over");
    page.within(PANEL).says("The file was taken over.");
    assert!(saved(&page, "Save as CSV").contains(",0.60,"));
    page.has_a_clean_console();
    site.was_asked_only_for_own_files();
}

#[test]
fn a_list_goes_out_as_json_and_comes_back() {
    let site = Site::serve();
    let page = shop(&site);
    let json = saved(&page, "Save as JSON");
    open(&page, "own.json", json.as_bytes());
    page.within(PANEL).says("16 the same.");
    let dated = json.replacen("\"minimum\": \"0.00\"", "\"minimum\": \"25.00\"", 1);
    open(&page, "minimum.json", dated.as_bytes());
    has_row(&page, &["order minimum", "0.00", "25.00"]);
    page.within(PANEL).tap("Take over");
    assert!(saved(&page, "Save as JSON").contains("\"minimum\": \"25.00\""));
    page.has_a_clean_console();
}

#[test]
fn a_file_of_a_german_spreadsheet_comes_in_right() {
    let site = Site::serve();
    let page = shop(&site);
    let file = "Supplier;Finish;Height;Colours;Letter styles;Sold as;Letters or contents;Price\r\n\
        Quillfeather Letters;smooth film;2,5;white, tür;block;piece;A-Z;1.234,50\r\n";
    let old: Vec<u8> = file.chars().map(|c| u8::try_from(u32::from(c)).expect("one byte")).collect();
    open(&page, "german.csv", &old);
    let panel = page.within(PANEL);
    panel.says("1 new, 12 not in the file.");
    panel.says("read as Windows-1252");
    has_row(&page, &["colour", "tür (smooth film)"]);
    has_row(&page, &["2", "2.5 in smooth film, single piece, Quillfeather Letters", "$1,234.50"]);
    panel.tick("Remove what is not in the file as well (12)");
    panel.tap("Take over");
    panel.says("The file was taken over.");
    let csv = saved(&page, "Save as CSV");
    // The headings, the new offer, and the four of the other supplier.
    assert_eq!(csv.lines().count(), 6, "{csv}");
    page.has_a_clean_console();
}

#[test]
fn what_can_be_read_in_two_ways_is_asked_and_bad_rows_are_named() {
    let site = Site::serve();
    let page = shop(&site);
    let rows = "supplier\tfinish\theight\tsold as\tprice\n\
        Quillfeather Letters\tsmooth film\t2\tpiece\t1,234\n\
        Quillfeather Letters\tsmooth film\t4\tbucket\t12\n\
        Quillfeather Letters\tsmooth film\t4\tpiece\t€12\n";
    paste(&page, rows);
    let panel = page.within(PANEL);
    panel.says("Is “1,234” in row 2 the number 1234, or 1.234?");
    panel.tap("It is 1234");
    panel.says("1 changed, 11 not in the file, 2 not readable.");
    panel.says("Look twice");
    has_row(&page, &["2 in smooth film, single piece, Quillfeather Letters", "$0.55", "$1,234.00"]);
    has_row(&page, &["price", "0.55", "1234.00"]);
    has_row(&page, &["3", "sold as: “bucket”: write piece, pack or set"]);
    panel.says("“€” is not USD, the shop's currency");
    panel.says("2 rows of the file cannot be read, and may be among the offers");
    panel.tap("Take over");
    panel.says("1 price is more than 3 times as much as before, or as little. Are they right?");
    assert!(!saved(&page, "Save as CSV").contains(",1234.00,"));
    panel.tap("Take over all the same");
    assert!(saved(&page, "Save as CSV").contains(",1234.00,"));
    page.has_a_clean_console();
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_goes_out_harmless_and_comes_back() {
    let site = Site::serve();
    let page = shop(&site);
    paste(&page, "supplier,finish,height,sold as,price\n=1+one,smooth film,3,piece,1.50\n");
    page.within(PANEL).says("1 new.");
    page.within(PANEL).tap("Take over");
    let csv = saved(&page, "Save as CSV");
    assert!(csv.contains("\n'=1+one,"), "{csv}");
    open(&page, "formula.csv", csv.as_bytes());
    page.within(PANEL).says("17 the same.");
    page.has_a_clean_console();
}

#[test]
fn a_file_that_is_no_price_list_says_so() {
    let site = Site::serve();
    let page = shop(&site);
    open(&page, "roster.csv", b"name,number\nOkonjo,1\n");
    page.within(PANEL).says("None of the first 20 rows has the headings");
    open(&page, "book.xlsx", b"PK\x03\x04rest");
    page.within(PANEL).says("save it as CSV (UTF-8)");
    page.has_a_clean_console();
}
