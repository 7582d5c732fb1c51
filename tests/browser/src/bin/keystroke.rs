//! Measures the time from a keystroke to the frame with what follows from it, for a roster of 25 on a
//! processor slowed four times.
//!
//! `cargo run --manifest-path tests/browser/Cargo.toml --bin keystroke`

use lettertally_browser_tests::{Browser, Feature, Site, open_page};

const SLOWER: u32 = 4;
const KEYSTROKES: usize = 40;
const PEOPLE: &str = "People: type, or paste from a spreadsheet";

/// From the moment the browser took the key to the first moment after the frame in which the page
/// is new: all that follows from a key is written at once, and not every letter changes a price. A
/// message that is posted in the frame's callback arrives after it is drawn. Also how long the page
/// itself was at work on the event.
const WATCH: &str = "
    window.times = [];
    let began = null;
    addEventListener('input', (event) => { began = { key: event.timeStamp, work: performance.now() }; }, true);
    new MutationObserver(() => {
        if (!began) return;
        const { key, work } = began;
        const worked = performance.now() - work;
        began = null;
        requestAnimationFrame(() => {
            const channel = new MessageChannel();
            channel.port1.onmessage = () => times.push([performance.now() - key, worked]);
            channel.port2.postMessage(null);
        });
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
";

fn main() {
    let site = Site::serve();
    let page = open_page(&site);
    assert!(page.can(Feature::SlowProcessor), "this browser cannot be slowed");
    page.paste_into(PEOPLE, &roster());
    page.says("25 people, 25 garments");
    // The press screen costs nothing once it is out of sight.
    page.go_to("Press");
    page.says("Garments, 25 left");
    page.go_to("Order");
    page.slow_down(SLOWER);
    page.ask(WATCH, vec![]);
    println!("{KEYSTROKES} keystrokes each, 25 names, processor slowed {SLOWER} times, 360 × 740; in ms");
    println!("{:<24} {:>7} {:>7} {:>7}   of which the page's own work", "", "median", "95 %", "most");
    for (what, label) in [("text of a line", "Text of line 1"), ("a name on the roster", PEOPLE)] {
        // Letters come and go, so that the text stays of a usual length.
        let keys = ["S", "\u{e003}", "E", "\u{e003}", "A", "T", "\u{e003}", "\u{e003}"];
        let field = page.within("Garment");
        let (mut whole, mut own) = (vec![], vec![]);
        for key in keys.iter().cycle().take(KEYSTROKES) {
            let before = count(&page);
            field.add_to(label, key);
            page.until("the page follows", || count(&page) > before);
        }
        for pair in page.ask("return window.times.splice(0)", vec![]).as_array().into_iter().flatten() {
            whole.push(pair[0].as_f64().unwrap_or(f64::NAN));
            own.push(pair[1].as_f64().unwrap_or(f64::NAN));
        }
        let (median, high, most) = summary(whole);
        let (own_median, own_high, own_most) = summary(own);
        println!(
            "{what:<24} {median:>7.1} {high:>7.1} {most:>7.1}   {own_median:.1} / {own_high:.1} / {own_most:.1}"
        );
    }
    page.has_a_clean_console();
}

fn count(page: &Browser) -> u64 {
    page.ask("return window.times.length", vec![]).as_u64().unwrap_or(0)
}

/// Median, 95th percentile (nearest rank) and the largest.
fn summary(mut times: Vec<f64>) -> (f64, f64, f64) {
    assert_eq!(times.len(), KEYSTROKES, "every keystroke changes the page");
    times.sort_by(f64::total_cmp);
    let rank = |share: usize| times[(times.len() * share).div_ceil(100).saturating_sub(1)];
    (rank(50), rank(95), rank(100))
}

/// Twenty-five people, the last one open to have letters added to the name.
fn roster() -> String {
    const NAMES: [&str; 25] = [
        "Okonjo",
        "Lindqvist",
        "Marlow",
        "Banerjee",
        "Castellan",
        "Wren",
        "Takeda",
        "Voss",
        "Hollis",
        "Ferreira",
        "Quist",
        "Ashworth",
        "Birch",
        "Cole",
        "Drew",
        "Ellery",
        "Fenn",
        "Garrick",
        "Hale",
        "Imada",
        "Jessop",
        "Kerr",
        "Lund",
        "Moreau",
        "Nash",
    ];
    let sizes = ["S", "M", "L", "XL", "2XL"];
    let rows = NAMES.iter().enumerate().map(|(at, name)| format!("{}\t{}\t{name}", sizes[at % 5], at + 1));
    let head = "Size\tNo\tName".to_owned();
    [head].into_iter().chain(rows).collect::<Vec<_>>().join("\n")
}
