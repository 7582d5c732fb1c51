//! Takes a picture of each screen on a phone and on a desk, in light and in dark, into a folder.
//!
//! `cargo run --manifest-path tests/browser/Cargo.toml --bin shots -- FOLDER`

use lettertally_browser_tests::tour::{screens, unfold_all};
use lettertally_browser_tests::{Browser, Key, Look, Profile, Scheme, Site, Size};
use std::path::{Path, PathBuf};
use std::{env, fs, process};

fn main() {
    let Some(folder) = env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("Into which folder? cargo run --bin shots -- FOLDER");
        process::exit(2);
    };
    fs::create_dir_all(&folder).expect("the folder");
    let site = Site::serve();
    let browser = Browser::open(&Profile::fresh());
    browser.visit(&site.address());
    browser.go_to("Quote");
    let link = browser.value_of("Link, ");
    let looks = [Size(360, 740), Size(1280, 800)]
        .into_iter()
        .flat_map(|size| [Scheme::Light, Scheme::Dark].map(|scheme| Look { size, scheme }));
    for look in looks {
        browser.look(look);
        browser.visit(&site.address());
        let scheme = if look.scheme == Scheme::Dark { "dark" } else { "light" };
        let name = |screen: &str| format!("{}-{scheme}-{}", look.size.0, screen.to_lowercase());
        for screen in screens(&browser) {
            browser.go_to(&screen);
            take(&browser, &folder, &name(&screen));
            unfold_all(&browser);
            take_whole(&browser, &folder, look, &name(&screen));
        }
        // A page that is open already follows the link without loading again.
        browser.visit(&link);
        browser.reload();
        take(&browser, &folder, &name("customer"));
        take_whole(&browser, &folder, look, &name("customer"));
    }
    for look in [Look::PHONE, Look { scheme: Scheme::Dark, ..Look::PHONE }, Look::DESK] {
        trouble(&site, &folder, look);
        kept(&site, &folder, look);
    }
    for look in looks_of_lists() {
        lists(&site, &folder, look);
    }
    println!("{} pictures in {}", fs::read_dir(&folder).map_or(0, Iterator::count), folder.display());
}

/// What the page looks like when something is wrong, or has just been done.
fn trouble(site: &Site, folder: &Path, look: Look) {
    let scheme = if look.scheme == Scheme::Dark { "dark" } else { "light" };
    let name = |what: &str| format!("{}-{scheme}-trouble-{what}", look.size.0);
    let browser = Browser::open(&Profile::fresh());
    browser.look(look);
    browser.visit(&format!("{}#quote=1.900.eNp1UU1PwkAQ", site.address()));
    browser.says("cut short");
    take(&browser, folder, &name("link"));
    browser.tap("Open the page without it");
    browser.says("Marsh Otters (demo)");
    browser.paste_into("People: type, or paste from a spreadsheet", "Ash,7,XXS\nJosé,8,M\nBirch,9,M\n,,S\n");
    browser.says("row 1: no size");
    take(&browser, folder, &name("roster"));
    browser.within("Line 2").tap("Remove line 2");
    take(&browser, folder, &name("removed"));
    browser.tap("By size");
    browser.paste_into("M", "-5");
    browser.says("not below 0");
    take(&browser, folder, &name("number"));
    browser.go_to("Shop");
    price_file(&browser, folder, look, &name("price-file"));
    browser.tap("Empty shop");
    take(&browser, folder, &name("empty-shop"));
    browser.go_to("Order");
    take(&browser, folder, &name("empty-order"));
}

/// Changes that wait, a quote that was handed over, a backup with something set aside.
fn kept(site: &Site, folder: &Path, look: Look) {
    let scheme = if look.scheme == Scheme::Dark { "dark" } else { "light" };
    let name = |what: &str| format!("{}-{scheme}-kept-{what}", look.size.0);
    let browser = Browser::open(&Profile::fresh());
    browser.look(look);
    browser.visit(&site.address());
    browser.tap("Copy");
    browser.type_into("For whom", "The Society of Extraordinarily Long-Winded Harbour Rowing Clubs");
    browser.go_to("Quote");
    browser.tap("Handed over on paper");
    browser.says("Handed over on");
    take(&browser, folder, &name("handed"));
    browser.go_to("Shop");
    browser.within("What the work costs").enter("Wage", "1250");
    browser.says("this changes 2 orders");
    take(&browser, folder, &name("waiting"));
    browser.save_changes();
    browser.go_to("Quote");
    take(&browser, folder, &name("other-prices"));
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
    take(&browser, folder, &name("backup"));
    browser.tap("Merge");
    browser.says("What was here before is under");
    browser.ask("document.querySelector('.aside').scrollIntoView({ block: 'center' })", vec![]);
    take(&browser, folder, &name("aside"));
}

fn looks_of_lists() -> [Look; 4] {
    [Look::PHONE, Look::DESK]
        .map(|look| [look, Look { scheme: Scheme::Dark, ..look }])
        .concat()
        .try_into()
        .expect("four")
}

/// The price list at work: in the grid and as lines, with a long list, long names and bad cells.
fn lists(site: &Site, folder: &Path, look: Look) {
    let scheme = if look.scheme == Scheme::Dark { "dark" } else { "light" };
    let name = |what: &str| format!("{}-{scheme}-prices-{what}", look.size.0);
    let browser = Browser::open(&Profile::fresh());
    browser.look(look);
    browser.visit(&site.address());
    browser.go_to("Shop");
    if look.size.0 > 900 {
        browser.within("Price list").cell(3, 4);
        take(&browser, folder, &name("grid"));
        browser.press(&[Key::Enter.into()]);
        take(&browser, folder, &name("editing"));
        browser.press(&['x', Key::Enter.into()]);
        take(&browser, folder, &name("bad-cell"));
        browser.press(&[Key::Escape.into()]);
        browser.paste_text("x\ty\n1.20\tmany\n");
        take(&browser, folder, &name("bad-block"));
        browser.tap("Leave it all");
        browser.tap("All fields of the row");
        take(&browser, folder, &name("fields"));
    } else {
        let set = browser.within("smooth film, 2 in");
        set.unfold("assorted set of 64");
        take(&browser, folder, &name("set"));
        set.tap("One A less");
        browser.near("Contents: 63 letters").text();
        take(&browser, folder, &name("contents"));
        set.unfold("Fill it by");
        take_whole(&browser, folder, look, &name("contents"));
    }
    browser.tap("Change many prices");
    let bulk = browser.within("Change many prices");
    bulk.type_into("By", "5");
    bulk.choose("Rounded", "to 0.05");
    take(&browser, folder, &name("bulk"));
    bulk.tap("Leave them");
    browser.look(Look::DESK);
    browser.within("Price list").cell(16, 1);
    browser.paste_text(&many_offers());
    browser.says("added 188");
    browser.look(look);
    browser.within("Price list").tap("Change many prices");
    take(&browser, folder, &name("long"));
    browser.save_changes();
    browser.tap("Empty shop");
    browser.within("Price list").text();
    take_whole(&browser, folder, look, &name("none"));
}

/// One row changed and 188 more, some with long words.
fn many_offers() -> String {
    let row = |at: usize| {
        let way = if at % 3 == 0 { "piece\t\tA-Z 0-9 & -" } else { "pack\t5\tA-Z 0-9" };
        let height = 1 + at / 20;
        format!(
            "Quillfeather Letters\tstitched-look twill\t{height}.25\tall\tall\t{way}\t{at}.50\t50: {at}.25, 100: {at}.00\n"
        )
    };
    (1..=189).map(row).collect()
}

/// A price list from a file, before it is taken over.
fn price_file(browser: &Browser, folder: &Path, look: Look, name: &str) {
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
    take(browser, folder, &format!("{name}-asked"));
    panel.paste_into("Rows with their headings, or JSON", &rows("0,6"));
    panel.tap("Look at it");
    panel.says("Leave as it is");
    browser.ask(to_end, vec![]);
    take(browser, folder, name);
    take_whole(browser, folder, look, name);
}

fn take(browser: &Browser, folder: &Path, name: &str) {
    // What was scrolled into view may not be drawn before the next frames.
    let drawn = "const [done] = arguments;
        requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100)))";
    browser.ask_and_wait(drawn, vec![]);
    fs::write(folder.join(format!("{name}.png")), browser.picture()).expect("a file");
}

/// The whole screen from top to bottom, everything unfolded.
fn take_whole(browser: &Browser, folder: &Path, look: Look, name: &str) {
    let height = browser.ask("return document.documentElement.scrollHeight", vec![]);
    let height = u32::try_from(height.as_u64().unwrap_or(0)).unwrap_or(0).clamp(look.size.1, 12_000);
    browser.look(Look { size: Size(look.size.0, height), ..look });
    take(browser, folder, &format!("{name}-whole"));
    browser.look(look);
}
