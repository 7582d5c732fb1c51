//! What a person does on the page and sees there, by the words that stand on it.

use crate::browser::{Browser, Key};
use fantoccini::elements::Element;
use serde_json::{Value, json};
use std::thread;
use std::time::Duration;

/// A part of the page in which to look, such as a panel, by its heading.
#[derive(Clone)]
pub struct Scope<'a> {
    browser: &'a Browser,
    steps: Vec<Value>,
}

/// Where the focus is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Focus {
    /// The name of what has it.
    pub name: String,
    /// Whether something around it shows that it has it.
    pub is_shown: bool,
    /// Whether it is on the screen and not covered.
    pub is_seen: bool,
}

impl Browser {
    /// Looks anywhere on the page.
    pub fn everywhere(&self) -> Scope<'_> {
        Scope { browser: self, steps: vec![] }
    }

    /// Looks only within a panel, a line, an entry: what has this heading.
    pub fn within(&self, heading: &str) -> Scope<'_> {
        self.everywhere().within(heading)
    }

    /// Looks around a field.
    pub fn near(&self, label: &str) -> Scope<'_> {
        self.everywhere().near(label)
    }

    /// Goes to a screen by the bar.
    pub fn go_to(&self, screen: &str) {
        self.within("Screens").tap(screen);
    }

    /// Taps a button.
    pub fn tap(&self, words: &str) {
        self.everywhere().tap(words);
    }

    /// Puts a text in the place of what a field holds.
    pub fn type_into(&self, label: &str, text: &str) {
        self.everywhere().type_into(label, text);
    }

    /// Pastes a text in the place of what a field holds.
    pub fn paste_into(&self, label: &str, text: &str) {
        self.everywhere().paste_into(label, text);
    }

    /// Chooses an entry of a list.
    pub fn choose(&self, label: &str, words: &str) {
        self.everywhere().choose(label, words);
    }

    /// What a field holds.
    pub fn value_of(&self, label: &str) -> String {
        self.everywhere().value_of(label)
    }

    /// The figure beside some words.
    pub fn figure(&self, words: &str) -> String {
        self.everywhere().figure(words)
    }

    /// What a field complains of; empty where it does not.
    pub fn complaint_at(&self, label: &str) -> String {
        self.everywhere().complaint_at(label)
    }

    /// The whole text of the page, in one line.
    pub fn text(&self) -> String {
        self.visible_text().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Waits until the page says something.
    pub fn says(&self, words: &str) {
        self.until(&format!("the page says “{words}”"), || self.text().contains(words));
    }

    /// Waits until the page no longer says something.
    pub fn no_longer_says(&self, words: &str) {
        self.until(&format!("the page no longer says “{words}”"), || !self.text().contains(words));
    }

    /// Saves changes of lists and settings that wait because they touch an order.
    pub fn save_changes(&self) {
        self.within("Changes that are not saved yet").tap("Save");
        self.no_longer_says("Not saved yet");
    }

    /// Drops changes of lists and settings that wait because they touch an order.
    pub fn drop_changes(&self) {
        self.within("Changes that are not saved yet").tap("Drop the changes");
        self.no_longer_says("Not saved yet");
    }

    /// Whether a button can be seen.
    pub fn has_button(&self, words: &str) -> bool {
        !self.ask("return probe.find([], 'button', arguments[0])", vec![json!(words)]).is_null()
    }

    /// Waits until a figure is another than before, and tells it.
    pub fn figure_after(&self, words: &str, before: &str) -> String {
        self.until(&format!("“{words}” is no longer {before}"), || self.figure(words) != before);
        self.figure(words)
    }

    /// Pastes a text wherever the focus is.
    pub fn paste_text(&self, text: &str) {
        let script = "const [text, done] = arguments;
            navigator.clipboard.writeText(text).then(() => done(''), (error) => done(String(error)));";
        let refused = self.ask_and_wait(script, vec![json!(text)]);
        assert_eq!(refused, "", "the clipboard does not take the text");
        self.press_with(Key::Control, 'v');
    }

    /// Where the focus is, once it has been scrolled to.
    pub fn focus(&self) -> Focus {
        let mut focus = self.ask("return probe.focused()", vec![]);
        for _ in 0..20 {
            if focus["seen"] == true || focus["name"] == "" {
                break;
            }
            thread::sleep(Duration::from_millis(25));
            focus = self.ask("return probe.focused()", vec![]);
        }
        Focus {
            name: focus["name"].as_str().unwrap_or_default().to_owned(),
            is_shown: focus["shown"] == true,
            is_seen: focus["seen"] == true,
        }
    }

    /// Comes to the top of the page with the keyboard, as from the browser's own buttons, where
    /// the tab key leads behind the last control.
    pub fn from_the_top(&self) {
        self.bring_keyboard();
        let script = "const { body } = document;
            body.tabIndex = -1;
            body.focus();
            body.removeAttribute('tabindex');
            scrollTo(0, 0);";
        self.ask(script, vec![]);
    }

    /// Presses the tab key until the focus is on something with this name.
    pub fn tab_to(&self, name: &str) {
        let mut passed = vec![];
        for _ in 0..150 {
            let focus = self.focus();
            if focus.name == name {
                assert!(focus.is_shown, "nothing shows that {name} has the focus");
                assert!(focus.is_seen, "{name} has the focus where nobody sees it");
                return;
            }
            if focus.name.is_empty() && !passed.is_empty() {
                self.from_the_top();
            }
            passed.push(focus.name);
            self.press(&[Key::Tab.into()]);
        }
        panic!("the tab key does not lead to {name}, but to {passed:?}");
    }
}

impl<'a> Scope<'a> {
    /// Looks only within a part of this part.
    pub fn within(mut self, heading: &str) -> Self {
        self.steps.push(json!({ "area": heading }));
        self
    }

    /// Looks around a field of this part.
    pub fn near(mut self, label: &str) -> Self {
        self.steps.push(json!({ "near": label }));
        self
    }

    fn find(&self, kind: &str, words: &str) -> Element {
        let arguments = vec![json!(self.steps), json!(kind), json!(words)];
        let what = format!("{kind} “{words}” in {}", json!(self.steps));
        self.browser.await_element(&what, "return probe.find(...arguments)", arguments)
    }

    /// The browser that this is a part of.
    pub fn browser(&self) -> &Browser {
        self.browser
    }

    /// Chooses a file in a field for files.
    pub fn choose_file(&self, label: &str, path: &str) {
        self.browser.keys_into(&self.find("field", label), path);
    }

    /// Taps a button.
    pub fn tap(&self, words: &str) {
        self.browser.click(&self.find("button", words), words);
    }

    /// Opens an entry that is folded up.
    pub fn unfold(&self, words: &str) {
        let entry = self.find("button", words);
        let arguments = vec![json!(self.steps), json!("button"), json!(words)];
        let open = self.browser.ask("return probe.find(...arguments).parentElement.open", arguments);
        if open != true {
            self.browser.click(&entry, words);
        }
    }

    /// Ticks or unticks a box.
    pub fn tick(&self, label: &str) {
        self.browser.click(&self.find("field", label), label);
    }

    /// Puts a text in the place of what a field holds.
    pub fn type_into(&self, label: &str, text: &str) {
        let field = self.find("field", label);
        self.browser.click(&field, label);
        self.browser.press_with(Key::Control, 'a');
        if text.is_empty() {
            self.browser.press(&[Key::Delete.into()]);
        } else {
            self.browser.keys_into(&field, text);
        }
    }

    /// Puts a text in the place of what a field holds, and leaves the field: from then on it counts.
    pub fn enter(&self, label: &str, text: &str) {
        self.type_into(label, text);
        self.browser.press(&[Key::Tab.into()]);
    }

    /// Adds keys to what a field holds.
    pub fn add_to(&self, label: &str, text: &str) {
        let field = self.find("field", label);
        self.browser.keys_into(&field, text);
    }

    /// Pastes a text in the place of what a field holds.
    pub fn paste_into(&self, label: &str, text: &str) {
        let field = self.find("field", label);
        self.browser.click(&field, label);
        self.browser.press_with(Key::Control, 'a');
        // Not every browser pastes an empty clipboard over what is marked.
        match text {
            "" => self.browser.press(&[Key::Delete.into()]),
            text => self.browser.paste_text(text),
        }
    }

    /// Pastes what was copied last in the place of what a field holds.
    pub fn paste_over(&self, label: &str) {
        self.browser.click(&self.find("field", label), label);
        self.browser.press_with(Key::Control, 'a');
        self.browser.press_with(Key::Control, 'v');
    }

    /// Clicks a cell of the grid here, by its row and its column from 1.
    pub fn cell(&self, row: usize, column: usize) {
        let script = "const [steps, row, column] = arguments;
            return probe.root(steps)?.querySelector(`[role=grid] tbody tr:nth-child(${row}) > td:nth-of-type(${column})`)
                ?? probe.root(steps)?.querySelector(`[role=grid] tbody tr:last-child > td:nth-of-type(${column})`)";
        let arguments = vec![json!(self.steps), json!(row), json!(column)];
        let what = format!("the cell {column} of row {row}");
        self.browser.click(&self.browser.await_element(&what, script, arguments), &what);
    }

    /// What stands in a cell of the grid here, by its row and its column from 1.
    pub fn text_of_cell(&self, row: usize, column: usize) -> String {
        self.rows().get(row).and_then(|row| row.get(column)).cloned().unwrap_or_default()
    }

    /// Chooses an entry of a list.
    pub fn choose(&self, label: &str, words: &str) {
        self.browser.choose_entry(&self.find("field", label), words);
    }

    /// The entries of a list.
    pub fn entries_of(&self, label: &str) -> Vec<String> {
        self.find("field", label);
        let arguments = vec![json!(self.steps), json!("field"), json!(label)];
        let script = "return [...probe.find(...arguments).options].map((option) => option.textContent)";
        let entries = self.browser.ask(script, arguments);
        entries.as_array().into_iter().flatten().filter_map(|e| e.as_str().map(str::to_owned)).collect()
    }

    /// What a field holds.
    pub fn value_of(&self, label: &str) -> String {
        self.find("field", label);
        let arguments = vec![json!(self.steps), json!("field"), json!(label)];
        let value = self.browser.ask("return probe.find(...arguments).value", arguments);
        value.as_str().unwrap_or_default().to_owned()
    }

    /// The figure beside some words.
    pub fn figure(&self, words: &str) -> String {
        let figure =
            || self.browser.ask("return probe.figure(...arguments)", vec![json!(self.steps), json!(words)]);
        self.browser.until(&format!("there is a figure for “{words}”"), || !figure().is_null());
        figure().as_str().unwrap_or_default().to_owned()
    }

    /// What a field complains of; empty where it does not.
    pub fn complaint_at(&self, label: &str) -> String {
        self.find("field", label);
        let complaint =
            self.browser.ask("return probe.complaint(...arguments)", vec![json!(self.steps), json!(label)]);
        complaint.as_str().unwrap_or_default().to_owned()
    }

    /// Waits until a field complains of something.
    pub fn complains_at(&self, label: &str, words: &str) {
        self.browser
            .until(&format!("“{label}” complains: {words}"), || self.complaint_at(label).contains(words));
    }

    /// The cells of each row of the tables here.
    pub fn rows(&self) -> Vec<Vec<String>> {
        let rows = self.browser.ask("return probe.rows(arguments[0])", vec![json!(self.steps)]);
        let cells = |row: &Value| {
            let cells = row.as_array().into_iter().flatten();
            cells.map(|cell| cell.as_str().unwrap_or_default().to_owned()).collect()
        };
        rows.as_array().into_iter().flatten().map(cells).collect()
    }

    /// The cells of the row that begins with some words.
    pub fn row(&self, words: &str) -> Vec<String> {
        let found =
            || self.rows().into_iter().find(|row| row.first().is_some_and(|cell| cell.starts_with(words)));
        self.browser.until(&format!("there is a row “{words}”"), || found().is_some());
        found().unwrap_or_default()
    }

    /// The text of this part, in one line.
    pub fn text(&self) -> String {
        let text = self.browser.ask("return probe.root(arguments[0])?.innerText", vec![json!(self.steps)]);
        text.as_str().unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Waits until this part says something.
    pub fn says(&self, words: &str) {
        let what = format!("{} says “{words}”", json!(self.steps));
        self.browser.until(&what, || self.text().contains(words));
    }
}

/// An amount in the currency's smallest unit, from how it is written.
pub fn cents(amount: &str) -> i64 {
    let digits: String = amount.chars().filter(char::is_ascii_digit).collect();
    let negative = amount.contains(['-', '−']);
    let value: i64 = digits.parse().unwrap_or_else(|_| panic!("“{amount}” is not an amount"));
    if negative { -value } else { value }
}
