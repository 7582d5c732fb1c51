//! Every screen of the page, for tests and pictures that go through all of them.

use crate::browser::Browser;

/// The screens of the shop's side, by the words on the bar.
pub const SCREENS: [&str; 5] = ["Order", "Letters", "Price", "Quote", "Shop"];

/// Unfolds everything that is folded up on the screen in front.
pub fn unfold_all(browser: &Browser) {
    browser.ask("for (const e of document.querySelectorAll('details')) e.open = true", vec![]);
}
