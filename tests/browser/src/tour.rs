//! Going through every screen of the page, for tests and pictures of all of them.

use crate::browser::Browser;

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
