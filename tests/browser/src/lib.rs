//! Drives the built page in a real browser, as a person does: by the words on it.
//!
//! ```sh
//! cargo test --manifest-path tests/browser/Cargo.toml                        # every test
//! cargo run --manifest-path tests/browser/Cargo.toml --bin measure           # keys, starts, memory
//! cargo run --manifest-path tests/browser/Cargo.toml --bin shots -- FOLDER   # pictures
//! ```
//!
//! The built page is looked for in `dist/` of the clone, or in `LETTERTALLY_DIST`; the driver on
//! the PATH. `LETTERTALLY_BROWSER` chooses the browser: chromium, firefox or webkit.
//!
//! [`site`] serves the page and remembers what was asked for; [`release`] makes another release of it. [`engine`] is the only place that
//! knows one browser from another. [`driver`] starts and ends the program that steers it,
//! [`browser`] is one window of it, [`page`] what a person does there and sees, [`access`] what
//! somebody meets there who does not see it, or does not see it well.

pub mod access;
pub mod browser;
pub mod day;
pub mod driver;
pub mod engine;
mod files;
pub mod page;
pub mod paper;
pub mod profile;
pub mod release;
pub mod site;
pub mod tour;

pub use browser::{Browser, Key, Look, Scheme, Size};
pub use engine::{Engine, Feature, Wish};
pub use page::Scope;
pub use profile::Profile;
pub use release::Release;
pub use site::{Holding, Site};

/// Opens the page in a browser that has never seen it, as on a phone.
pub fn open_page(site: &Site) -> Browser {
    open_page_in(site, &Profile::fresh())
}

/// Opens the page in a browser with what an earlier one has kept.
pub fn open_page_in(site: &Site, profile: &Profile) -> Browser {
    let browser = Browser::open(profile);
    browser.look(Look::PHONE);
    browser.visit(&site.address());
    browser
}

/// Opens a link in a browser that has never seen the page.
pub fn open_link(link: &str) -> Browser {
    let browser = Browser::open(&Profile::fresh());
    browser.look(Look::PHONE);
    browser.visit(link);
    browser
}
