//! Measures the time from a key in the price list's grid to the frame that shows it, for 200
//! offers on a processor slowed four times.
//!
//! `cargo run --manifest-path tests/browser/Cargo.toml --bin grid`

use lettertally_browser_tests::{Browser, Feature, Key, Look, Site, open_page};

const SLOWER: u32 = 4;
const TIMES: usize = 40;

/// From the moment the browser took the key to the first moment after the next frame: a message
/// that is posted in the frame's callback arrives after it is drawn.
const WATCH: &str = "
    window.times = [];
    window.own = [];
    addEventListener('keydown', (event) => {
        const key = event.timeStamp;
        const began = performance.now();
        const worked = new MessageChannel();
        worked.port1.onmessage = () => own.push(performance.now() - began);
        worked.port2.postMessage(null);
        requestAnimationFrame(() => {
            const channel = new MessageChannel();
            channel.port1.onmessage = () => times.push(performance.now() - key);
            channel.port2.postMessage(null);
        });
    }, true);
";

fn main() {
    let site = Site::serve();
    let page = open_page(&site);
    assert!(page.can(Feature::SlowProcessor), "this browser cannot be slowed");
    page.look(Look::DESK);
    page.go_to("Shop");
    page.within("Price list").cell(16, 1);
    page.paste_text(&offers());
    page.says("added 188");
    page.within("Price list").cell(100, 9);
    page.slow_down(SLOWER);
    page.ask(WATCH, vec![]);
    println!("200 offers, {TIMES} keys each, processor slowed {SLOWER} times, 1280 × 800; in ms");
    println!("{:<24} {:>7} {:>7} {:>7}   of which the page's own work", "", "median", "95 %", "most");
    let down = || page.press(&[Key::Down.into()]);
    measure(&page, "an arrow key", &down);
    let digit = || page.press(&['5']);
    measure(&page, "a digit in a cell", &digit);
    page.press(&[Key::Escape.into()]);
    measure_some(&page, "Enter, the price taken", 2, 1, &|| page.press(&['7', Key::Enter.into()]));
    page.has_a_clean_console();
}

fn measure(page: &Browser, what: &str, key: &dyn Fn()) {
    measure_some(page, what, 1, 0, key);
}

/// Measures the key at one place of every few.
fn measure_some(page: &Browser, what: &str, every: usize, at: usize, key: &dyn Fn()) {
    page.ask("window.times.length = window.own.length = 0", vec![]);
    for done in 1..=TIMES {
        key();
        page.until("it is drawn", || count(page) >= done * every);
    }
    let summary = |times: &str| {
        let all = page.ask(times, vec![]);
        let all = all.as_array().into_iter().flatten().filter_map(serde_json::Value::as_f64);
        let mut times: Vec<f64> = all.skip(at).step_by(every).collect();
        times.sort_by(f64::total_cmp);
        [50, 95, 100].map(|share| times[(times.len() * share).div_ceil(100).saturating_sub(1)])
    };
    let [median, high, most] = summary("return window.times");
    let [own, own_high, own_most] = summary("return window.own");
    println!("{what:<24} {median:>7.1} {high:>7.1} {most:>7.1}   {own:.1} / {own_high:.1} / {own_most:.1}");
}

fn count(page: &Browser) -> usize {
    let count = page.ask("return window.times.length", vec![]).as_u64().unwrap_or(0);
    usize::try_from(count).unwrap_or(0)
}

/// One row in the place of the last one, and 188 more.
fn offers() -> String {
    let row = |at: usize| {
        let height = 1 + at / 20;
        format!(
            "Quillfeather Letters\tstitched-look twill\t{height}\tall\tall\tpack\t5\tA-Z 0-9\t{at}.50\t50: {at}.25\n"
        )
    };
    (1..=189).map(row).collect()
}
