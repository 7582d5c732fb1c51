//! Takes a picture of each state of the page on a phone and on a desk, in light and in dark, into
//! a folder; on a phone also as it is for people with wishes of their own.
//!
//! `cargo run --manifest-path tests/browser/Cargo.toml --bin shots -- FOLDER [WORDS]`
//!
//! With words, only states whose name has them. `LETTERTALLY_BROWSER` chooses the browser.

use lettertally_browser_tests::tour::{booth, every_state};
use lettertally_browser_tests::{Browser, Engine, Feature, Look, Scheme, Site, Size, Wish};
use std::path::{Path, PathBuf};
use std::{env, fs, process};

/// States that are long: the whole of them is taken too, from top to bottom.
const LONG: [&str; 7] = [
    "-unfolded",
    "-typed",
    "customer",
    "trouble-price-file",
    "prices-contents",
    "prices-none",
    "kept-handed",
];

const WISHES: [(&str, Wish); 3] =
    [("more-contrast", Wish::MoreContrast), ("forced", Wish::ForcedColours), ("still", Wish::LessMotion)];

fn main() {
    let Some(folder) = env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("Into which folder? cargo run --bin shots -- FOLDER [WORDS]");
        process::exit(2);
    };
    let words = env::args().nth(2).unwrap_or_default();
    fs::create_dir_all(&folder).expect("the folder");
    let engine = Engine::wanted();
    let schemes: &[Scheme] =
        if engine.can(Feature::Emulation) { &[Scheme::Light, Scheme::Dark] } else { &[Scheme::Light] };
    let site = Site::serve();
    for look in [Look::PHONE, Look::DESK] {
        // The booth is a tour of its own.
        let tour = if words.starts_with("booth") { booth } else { every_state };
        tour(&site, look, &mut |browser, state| {
            if !state.contains(&words) {
                return;
            }
            for &scheme in schemes {
                let look = Look { scheme, ..look };
                let scheme = if scheme == Scheme::Dark { "dark" } else { "light" };
                let name = format!("{}-{scheme}-{state}", look.size.0);
                browser.look(look);
                take(browser, &folder, &name);
                if LONG.iter().any(|long| state.ends_with(long)) {
                    take_whole(browser, &folder, look, &name);
                }
                if look.size == Look::PHONE.size && engine.can(Feature::Wishes) {
                    for (words, wish) in WISHES {
                        browser.wish(&[wish]);
                        take(browser, &folder, &format!("{name}-{words}"));
                    }
                }
            }
            browser.look(look);
        });
    }
    println!("{} pictures in {}", fs::read_dir(&folder).map_or(0, Iterator::count), folder.display());
}

fn take(browser: &Browser, folder: &Path, name: &str) {
    // What was scrolled into view may not be drawn before the next frames.
    let drawn = "const [done] = arguments;
        requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100)))";
    browser.ask_and_wait(drawn, vec![]);
    fs::write(folder.join(format!("{name}.png")), browser.picture()).expect("a file");
}

/// The whole screen from top to bottom.
fn take_whole(browser: &Browser, folder: &Path, look: Look, name: &str) {
    let height = browser.ask("return document.documentElement.scrollHeight", vec![]);
    let height = u32::try_from(height.as_u64().unwrap_or(0)).unwrap_or(0).clamp(look.size.1, 12_000);
    browser.look(Look { size: Size(look.size.0, height), ..look });
    take(browser, folder, &format!("{name}-whole"));
    browser.look(look);
}
