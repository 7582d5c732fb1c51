//! Going through every screen of the page and every state worth a look, for tests and pictures.

use crate::browser::{Browser, Key, Look, Scheme};
use crate::engine::Feature;
use crate::profile::Profile;
use crate::site::Site;

/// The screens that the bar leads to here: on a wide one several stand side by side.
pub fn screens(browser: &Browser) -> Vec<String> {
    let words = browser.ask(
        "return probe.among(probe.find([], 'area', 'Screens'), 'button').map((button) => probe.name(button))",
        vec![],
    );
    let words = words.as_array().cloned().unwrap_or_default();
    words.iter().filter_map(|word| word.as_str().map(str::to_owned)).collect()
}

/// Unfolds everything that is folded up on the screen in front.
pub fn unfold_all(browser: &Browser) {
    browser.ask("for (const e of document.querySelectorAll('details')) e.open = true", vec![]);
}

/// Light and dark, or only light where that is all there is.
pub fn schemes(browser: &Browser) -> &'static [Scheme] {
    if browser.lacks(Feature::Emulation) { &[Scheme::Light] } else { &[Scheme::Light, Scheme::Dark] }
}

/// What is done in each state: it is told the state's name, and leaves the page as it was.
pub type See<'a> = &'a mut dyn FnMut(&Browser, &str);

/// Every screen folded and unfolded, and what the page looks like to a customer, when something
/// is wrong, when something has just been done, and with long lists and words.
pub fn every_state(site: &Site, look: Look, see: See) {
    usual(site, look, see);
    trouble(site, look, see);
    kept(site, look, see);
    lists(site, look, see);
    press(site, look, see);
    booth(site, look, see);
}

/// The press with an order that is hard to press, and with none; the widths of letters.
fn press(site: &Site, look: Look, see: See) {
    let browser = open(site, look);
    browser.type_into("Text of line 1", "MARSH OTTERS 26");
    browser.within("Garment").near("Text of line 1").choose("Where", "across the shoulders");
    browser.within("Garment").near("Text of line 1").choose("Finish", "stitched-look twill");
    browser.go_to("Press");
    browser.within("Run sheet").tick("Okonjo 1, size S");
    see(&browser, "press-hard");
    browser.go_to("Order");
    browser.tap("New");
    browser.go_to("Press");
    see(&browser, "press-none");
    browser.go_to("Shop");
    browser.everywhere().unfold("block");
    browser.everywhere().unfold("Letter widths");
    browser.near("Letters that lie in a row").tap("Take these widths");
    see(&browser, "press-widths");
}

/// The booth: each of its parts empty, then with an order in the making and in the book, and with
/// the orders of a day.
pub fn booth(site: &Site, look: Look, see: See) {
    let browser = open(site, look);
    browser.go_to("Booth");
    let go = |part: &str| browser.within("Part of the booth").tap(part);
    for part in BOOTH {
        go(part);
        see(&browser, &format!("booth-empty-{}", part.to_lowercase()));
    }
    go("New");
    browser.within("New order").type_into("Name", "Wren");
    browser.within("New order").type_into("Number", "7");
    browser.within("The price").says("Not all on the shelf");
    see(&browser, "booth-new-typed");
    browser.tap("Show the customer");
    see(&browser, "booth-customer");
    browser.tap("Back");
    browser.tap("Write it down");
    browser.says("Wrote down Wren 7");
    let book = crate::day::with_orders_like(&browser.whole_book(), "Wren 7", 12);
    browser.take_in_book(&book);
    go("Orders");
    browser.everywhere().unfold("Featherstonehaugh");
    browser.says("Payment");
    browser.within("Orders").tap("Paid");
    browser.says("Paid in full.");
    browser.within("Orders").tap("Pressed: ");
    browser.within("Orders").says("pressed");
    see(&browser, "booth-orders-unfolded");
    for part in BOOTH.into_iter().skip(2) {
        go(part);
        let asked = match part {
            "Queue" => Some(("Choose among them", "orders can be made")),
            "Buy" => Some(("Find the cheapest way", "Buying together")),
            "Finishes" => Some(("Compare", "3. stitched-look twill")),
            "Phones" => Some(("Show QR codes", "hold the other phone")),
            _ => None,
        };
        if let Some((button, words)) = asked {
            browser.tap(button);
            browser.says(words);
        }
        see(&browser, &format!("booth-{}-unfolded", part.to_lowercase()));
    }
}

/// The parts of the booth, in the order of their buttons.
pub const BOOTH: [&str; 8] = ["New", "Orders", "Queue", "Day", "Buy", "Bring", "Finishes", "Phones"];

fn open(site: &Site, look: Look) -> Browser {
    let browser = Browser::open(&Profile::fresh());
    browser.look(look);
    browser.visit(&site.address());
    browser
}

fn usual(site: &Site, look: Look, see: See) {
    let browser = open(site, look);
    browser.go_to("Quote");
    let link = browser.value_of("Link, ");
    for screen in screens(&browser) {
        browser.go_to(&screen);
        see(&browser, &screen.to_lowercase());
        unfold_all(&browser);
        see(&browser, &format!("{}-unfolded", screen.to_lowercase()));
    }
    // A page that is open already follows the link without loading again.
    browser.visit(&link);
    browser.reload();
    see(&browser, "customer");
}

fn trouble(site: &Site, look: Look, see: See) {
    let browser = Browser::open(&Profile::fresh());
    browser.look(look);
    browser.visit(&format!("{}#quote=1.900.eNp1UU1PwkAQ", site.address()));
    browser.says("cut short");
    see(&browser, "trouble-link");
    browser.tap("Open the page without it");
    browser.until("the demo order stands", || browser.value_of("For whom") == "Marsh Otters (demo)");
    browser.paste_into("People: type, or paste from a spreadsheet", "Ash,7,XXS\nJosé,8,M\nBirch,9,M\n,,S\n");
    browser.says("row 1: no size");
    see(&browser, "trouble-roster");
    browser.within("Line 2").tap("Remove line 2");
    see(&browser, "trouble-removed");
    browser.tap("By size");
    browser.paste_into("M", "-5");
    browser.says("not below 0");
    see(&browser, "trouble-number");
    browser.go_to("Shop");
    price_file(&browser, see);
    browser.tap("Empty shop");
    see(&browser, "trouble-empty-shop");
    browser.go_to("Order");
    see(&browser, "trouble-empty-order");
}

/// Changes that wait, a quote that was handed over, a backup with something set aside.
fn kept(site: &Site, look: Look, see: See) {
    let browser = open(site, look);
    browser.tap("Copy");
    browser.type_into("For whom", "The Society of Extraordinarily Long-Winded Harbour Rowing Clubs");
    browser.go_to("Quote");
    browser.tap("Handed over on paper");
    browser.says("Handed over on");
    see(&browser, "kept-handed");
    browser.go_to("Shop");
    browser.within("What the work costs").enter("Wage", "1250");
    browser.says("this changes 2 orders");
    see(&browser, "kept-waiting");
    browser.save_changes();
    browser.go_to("Quote");
    see(&browser, "kept-other-prices");
    browser.go_to("Shop");
    browser.catch_files();
    browser.tap("Save a backup");
    let (_, text) = browser.caught_file();
    browser.go_to("Order");
    browser.tap("New");
    browser.go_to("Shop");
    browser.within("Backup").open_file("Open a backup", "backup.json", text.as_bytes());
    browser.says("Orders only here");
    browser.ask("document.querySelector('.offer-back').scrollIntoView({ block: 'center' })", vec![]);
    see(&browser, "kept-backup");
    browser.tap("Merge");
    browser.says("What was here before is under");
    browser.ask("document.querySelector('.aside').scrollIntoView({ block: 'center' })", vec![]);
    see(&browser, "kept-aside");
}

/// The price list at work: in the grid and as lines, with a long list, long names and bad cells.
fn lists(site: &Site, look: Look, see: See) {
    let browser = open(site, look);
    browser.go_to("Shop");
    if look.size.0 > 900 {
        browser.within("Price list").cell(3, 4);
        see(&browser, "prices-grid");
        browser.press(&[Key::Enter.into()]);
        see(&browser, "prices-editing");
        browser.press(&['x', Key::Enter.into()]);
        see(&browser, "prices-bad-cell");
        browser.press(&[Key::Escape.into()]);
        browser.paste_text("x\ty\n1.20\tmany\n");
        browser.says("Leave it all");
        see(&browser, "prices-bad-block");
        browser.tap("Leave it all");
        browser.tap("All fields of the row");
        see(&browser, "prices-fields");
    } else {
        let set = browser.within("smooth film, 2 in");
        set.unfold("assorted set of 64");
        see(&browser, "prices-set");
        set.tap("One A less");
        browser.near("Contents: 63 letters").text();
        set.unfold("Fill it by");
        see(&browser, "prices-contents");
    }
    browser.tap("Change many prices");
    let bulk = browser.within("Change many prices");
    bulk.type_into("By", "5");
    bulk.choose("Rounded", "to 0.05");
    see(&browser, "prices-bulk");
    bulk.tap("Leave them");
    browser.look(Look::DESK);
    browser.within("Price list").cell(16, 1);
    browser.paste_text(&many_offers());
    browser.says("added 188");
    browser.look(look);
    browser.within("Price list").tap("Change many prices");
    see(&browser, "prices-long");
    browser.save_changes();
    browser.tap("Empty shop");
    browser.within("Price list").text();
    see(&browser, "prices-none");
}

/// One row changed and 188 more, some with long words.
fn many_offers() -> String {
    let row = |at: usize| {
        let way = if at.is_multiple_of(3) { "piece\t\tA-Z 0-9 & -" } else { "pack\t5\tA-Z 0-9" };
        let height = 1 + at / 20;
        format!(
            "Quillfeather Letters\tstitched-look twill\t{height}.25\tall\tall\t{way}\t{at}.50\t50: {at}.25, 100: {at}.00\n"
        )
    };
    (1..=189).map(row).collect()
}

/// A price list from a file, before it is taken over.
fn price_file(browser: &Browser, see: See) {
    let rows = |price: &str| {
        format!(
            "supplier;finish;height;colours;letter styles;sold as;letters or contents;price;weather\n\
            Quillfeather Letters;smooth film;2;white, navy;block;piece;A-Z;{price};fine\n\
            Quillfeather Letters;smooth film;2,5;white;block;bucket;A-Z;12;\n\
            Tide Street Letters and Numerals;brushed stainless-look flock;3;white, midnight teal;old script;piece;;1.234;\n\
            Quillfeather Letters;twill;2;white;block;piece;A-Z;€12;\n"
        )
    };
    let panel = browser.within("Price list as a file");
    panel.unfold("Paste instead");
    panel.paste_into("Rows with their headings, or JSON", &rows("12").replace("2,5", "5"));
    panel.tap("Look at it");
    panel.says("Nothing else in the file tells");
    let to_end = "[...document.querySelectorAll('.exchange')].at(-1).scrollIntoView({ block: 'start' })";
    browser.ask(to_end, vec![]);
    see(browser, "trouble-price-file-asked");
    panel.paste_into("Rows with their headings, or JSON", &rows("0,6"));
    panel.tap("Look at it");
    panel.says("Leave as it is");
    browser.ask(to_end, vec![]);
    see(browser, "trouble-price-file");
}
