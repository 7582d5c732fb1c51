//! Measures the built page in a real browser: keys, the first visit, a start without a network, a
//! long book, and memory over an hour's orders.
//!
//! ```sh
//! cargo run --manifest-path tests/browser/Cargo.toml --bin measure            # all of it
//! cargo run --manifest-path tests/browser/Cargo.toml --bin measure -- keys    # or one of these:
//! # keys, start, book, memory
//! ```
//!
//! The first line says how fast the machine was meanwhile: figures of two runs are worth comparing
//! only where that is alike.

use lettertally_browser_tests::day::{NAMES, with_orders_like};
use lettertally_browser_tests::{Browser, Feature, Profile, Site, open_page, open_page_in};
use serde_json::Value;
use std::time::Duration;
use std::{fs, thread};

const SLOWER: u32 = 4;
const PEOPLE: &str = "People: type, or paste from a spreadsheet";
/// A customer every minute.
const HOUR: usize = 60;
/// How long somebody looks up between two keys.
const PAUSE: Duration = Duration::from_millis(600);

/// From the moment the browser took the key to the first moment after the frame that shows it, and
/// to the first after the frame in which the page is new: all that follows from a key is written at
/// once, and not every letter changes a price. A message that is posted in the frame's callback
/// arrives after it is drawn.
const WATCH: &str = "
    window.times = [];
    const drawn = (then) => requestAnimationFrame(() => {
        const channel = new MessageChannel();
        channel.port1.onmessage = then;
        channel.port2.postMessage(null);
    });
    let key = null;
    let shown = null;
    addEventListener('input', (event) => {
        const began = event.timeStamp;
        [key, shown] = [began, null];
        drawn(() => { shown = performance.now() - began; });
    }, true);
    new MutationObserver(() => {
        if (key === null) return;
        const began = key;
        key = null;
        drawn(() => times.push([shown, performance.now() - began]));
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
";

/// How long plain work takes that has nothing to do with the page.
const YARDSTICK: &str = "
    const began = performance.now();
    let sum = 0;
    for (let at = 0; at < 2e7; at += 1) sum = (sum * 31 + at) % 1000003;
    return performance.now() - began + 0 * sum";

/// How long after it was asked for a page has its bar.
const READY: &str = "
    const [done] = arguments;
    const look = () => document.querySelector('.bar [aria-current]') ? done(performance.now()) : requestAnimationFrame(look);
    look();";

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let wants = |what: &str| asked.is_empty() || asked.iter().any(|asked| asked == what);
    let site = Site::serve();
    println!("{}", machine(&site));
    if wants("keys") {
        keys(&site);
    }
    if wants("start") {
        start(&site);
    }
    if wants("book") {
        long_book(&site);
    }
    if wants("memory") {
        memory(&site);
    }
}

fn machine(site: &Site) -> String {
    let page = open_page(site);
    let browser = page.ask("return navigator.userAgent", vec![]);
    let browser = browser.as_str().unwrap_or_default().rsplit(") ").next().unwrap_or_default().to_owned();
    let times = (0..5).map(|_| number(page.ask(YARDSTICK, vec![]))).collect();
    format!("{browser}; twenty million plain steps take {:.0} ms", summary(times).0)
}

fn keys(site: &Site) {
    println!(
        "\nFrom a key to the frame that shows it, and to the one with all that follows; processor slowed \
         {SLOWER} times, 360 × 740; in ms"
    );
    println!(
        "{:>6} {:<22} {:>5} {:>8} {:>8} {:>10} {:>8}",
        "names", "key in", "keys", "shown", "95 %", "followed", "95 %"
    );
    for (names, count) in [(1, 40), (25, 40), (500, 16), (5_000, 6)] {
        let page = open_page(site);
        assert!(page.can(Feature::SlowProcessor), "this browser cannot be slowed");
        page.paste_into(PEOPLE, &roster(names));
        page.says(&format!("{names} pe"));
        page.slow_down(SLOWER);
        page.ask(WATCH, vec![]);
        for (what, label) in [("the text of a line", "Text of line 1"), ("the roster", PEOPLE)] {
            // Letters come and go, so that the text stays of a usual length.
            let keys = ["S", "\u{e003}", "E", "\u{e003}", "A", "T", "\u{e003}", "\u{e003}"];
            let field = page.within("Garment");
            for key in keys.iter().cycle().take(count) {
                let before = measured(&page);
                field.add_to(label, key);
                page.until("the page follows", || measured(&page) > before);
                // What goes on beside the page is over before the next key, or it would pass for it.
                thread::sleep(PAUSE);
            }
            let pairs = page.ask("return window.times.splice(0)", vec![]);
            let column =
                |at: usize| pairs.as_array().into_iter().flatten().map(move |pair| number(pair[at].clone()));
            let (shown, late_shown) = summary(column(0).collect());
            let (followed, late) = summary(column(1).collect());
            println!(
                "{names:>6} {what:<22} {count:>5} {shown:>8.1} {late_shown:>8.1} {followed:>10.1} {late:>8.1}"
            );
        }
        page.has_a_clean_console();
    }
}

fn measured(page: &Browser) -> u64 {
    page.ask("return window.times.length", vec![]).as_u64().unwrap_or(0)
}

fn start(site: &Site) {
    println!("\nUntil the page can be used, from when it was asked for, 360 × 740; in ms, median of five");
    let first = (0..5).map(|_| open(&open_page(site), site)).collect();
    println!("{:<44} {:>6.0}", "first visit", summary(first).0);
    let profile = Profile::fresh();
    let page = open_page_in(site, &profile);
    page.until("the page is kept on the device", || {
        page.ask("return document.documentElement.dataset.offline === 'kept'", vec![]) == true
    });
    let again = (0..5).map(|_| open(&page, site)).collect();
    println!("{:<44} {:>6.0}", "later, with a network", summary(again).0);
    site.stop();
    let without = (0..5).map(|_| open(&page, site)).collect();
    println!("{:<44} {:>6.0}", "later, without a network", summary(without).0);
    page.slow_down(SLOWER);
    let slowed = (0..5).map(|_| open(&page, site)).collect();
    println!("{:<44} {:>6.0}", "the same, processor slowed four times", summary(slowed).0);
    site.start();
}

fn open(page: &Browser, site: &Site) -> f64 {
    page.go(&site.address());
    number(page.ask_and_wait(READY, vec![]))
}

fn long_book(site: &Site) {
    let page = open_page(site);
    page.stock_the_shelf("E:9 O:9");
    assert!(page.serve_a_customer("HANK", 3, "cash"));
    let with_two = summary((0..5).map(|_| open(&page, site)).collect()).0;
    page.take_in_book(&with_orders_like(&page.whole_book(), "HANK 3", 4_999));
    page.keeps_orders(5_000);
    let taken = "return Object.entries(localStorage).map(([key, text]) => key.length + text.length).reduce((a, b) => a + b)";
    let taken = page.ask(taken, vec![]);
    let opened = summary((0..5).map(|_| open(&page, site)).collect()).0;
    page.part_of_the_booth("Orders");
    page.within("Orders").choose("Show", "all");
    page.within("Orders").says("5001 orders");
    let key = "const [text, done] = arguments;
        const field = [...document.querySelectorAll('input')].find((e) => e.labels[0]?.textContent === 'Find an order');
        field.value = text;
        const began = performance.now();
        field.dispatchEvent(new Event('input', { bubbles: true }));
        requestAnimationFrame(() => setTimeout(() => done(performance.now() - began), 0));";
    let keys = ["l", "li", "lind", "lindqvist 4", "lindqvist 43", ""];
    let keys = keys.map(|text| number(page.ask_and_wait(key, vec![Value::from(text)])));
    println!("\nA book of 5,000 orders, {taken} characters kept; in ms");
    println!("{:<44} {opened:>6.0}   ({with_two:.0} with two orders)", "until the page can be used");
    println!("{:<44} {:>6.0}   at most", "a key in the search", keys.iter().copied().fold(0.0, f64::max));
}

fn memory(site: &Site) {
    let profile = Profile::fresh();
    let page = open_page_in(site, &profile);
    page.stock_the_shelf("E:90 O:90");
    println!("\nMemory over an hour's orders, one a minute from the words to the hand; in MB, cleared first");
    println!("{:>6} {:>16} {:>14} {:>10}", "orders", "the tab's memory", "script's heap", "elements");
    for served in 0..=HOUR {
        if served > 0 {
            let name = ["HANK", "MABEL", "SARA", "TIM", "WREN"][served % 5];
            page.serve_a_customer(name, served, "cash");
        }
        if served % 15 == 0 {
            page.part_of_the_booth("New");
            page.clear_away();
            let heap = "const used = performance.memory?.usedJSHeapSize ?? NaN;
                return [used / 1e6, document.querySelectorAll('*').length]";
            let found = page.ask(heap, vec![]);
            let (heap, elements) = (number(found[0].clone()), number(found[1].clone()));
            println!("{served:>6} {:>16.1} {heap:>14.1} {elements:>10}", resident(&profile));
        }
    }
}

/// What the processes that show pages hold in memory, in MB, as the system counts it.
fn resident(profile: &Profile) -> f64 {
    let folder = profile.folder().to_string_lossy().into_owned();
    let mut kilobytes = 0.0;
    for entry in fs::read_dir("/proc").into_iter().flatten().flatten() {
        let words = fs::read_to_string(entry.path().join("cmdline")).unwrap_or_default();
        if !words.contains("--type=renderer") || !words.contains(&folder) {
            continue;
        }
        let status = fs::read_to_string(entry.path().join("status")).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("RssAnon:"));
        kilobytes += line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok()).unwrap_or(0.0);
    }
    kilobytes / 1_000.0
}

fn number(value: Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

/// Median and 95th percentile (nearest rank).
fn summary(mut times: Vec<f64>) -> (f64, f64) {
    assert!(!times.is_empty(), "something was measured");
    times.sort_by(f64::total_cmp);
    let rank = |share: usize| times[(times.len() * share).div_ceil(100).saturating_sub(1)];
    (rank(50), rank(95))
}

fn roster(people: usize) -> String {
    let sizes = ["S", "M", "L", "XL", "2XL"];
    let row = |at: usize| format!("{}\t{}\t{}", sizes[at % 5], at % 99 + 1, NAMES[at % NAMES.len()]);
    ["Size\tNo\tName".to_owned()].into_iter().chain((0..people).map(row)).collect::<Vec<_>>().join("\n")
}
