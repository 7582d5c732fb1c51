//! One window of a browser. Every call waits for its answer, so that tests read as a story.

use crate::driver;
use crate::engine::{Command, Engine, Feature};
use crate::profile::Profile;
use fantoccini::actions::{ActionSequence, InputSource, KeyAction, KeyActions};
use fantoccini::elements::{Element, ElementRef};
use fantoccini::error::CmdError;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::RefCell;
use std::thread;
use std::time::{Duration, Instant};
use tokio::runtime::{Builder, Runtime};

pub use fantoccini::key::Key;

/// How long a person would wait for something to appear before calling it broken.
const PATIENCE: Duration = Duration::from_secs(10);

/// A screen's width and height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size(pub u32, pub u32);

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scheme {
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

/// What the page is looked at on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// The screen.
    pub size: Size,
    /// Light or dark.
    pub scheme: Scheme,
}

impl Look {
    /// A small phone.
    pub const PHONE: Self = Self { size: Size(360, 740), scheme: Scheme::Light };
    /// A small laptop.
    pub const DESK: Self = Self { size: Size(1280, 800), scheme: Scheme::Light };
}

/// A window of a browser; closed when it goes, also when a test fails.
pub struct Browser {
    engine: Engine,
    client: Option<Client>,
    runtime: Runtime,
    profile: Profile,
    // The console is handed out once: what was read is kept here.
    console: RefCell<Vec<String>>,
}

impl Drop for Browser {
    fn drop(&mut self) {
        if let Some(client) = self.client.take() {
            // A browser that is already gone cannot be closed; the driver's keeper sees to the rest.
            let _ = self.runtime.block_on(client.close());
        }
    }
}

impl Browser {
    /// Opens a window with a profile.
    pub fn open(profile: &Profile) -> Self {
        let engine = Engine::wanted();
        let runtime = Builder::new_current_thread().enable_all().build().expect("a runtime");
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(engine.capabilities(profile));
        let client = runtime
            .block_on(builder.connect(&driver::running().address()))
            .unwrap_or_else(|error| panic!("no browser: {error}"));
        Self { engine, client: Some(client), runtime, profile: profile.clone(), console: RefCell::default() }
    }

    /// Closes it, and opens another with all that it has kept.
    pub fn reopen(self) -> Self {
        let profile = self.profile.clone();
        drop(self);
        let browser = Self::open(&profile);
        browser.look(Look::PHONE);
        browser
    }

    /// Whether this browser can do something.
    pub fn can(&self, feature: Feature) -> bool {
        self.engine.can(feature)
    }

    fn client(&self) -> &Client {
        self.client.as_ref().expect("an open window")
    }

    fn wait<T>(&self, answer: impl Future<Output = Result<T, CmdError>>) -> Result<T, CmdError> {
        self.runtime.block_on(answer)
    }

    /// Goes to an address, and waits until the page stands.
    pub fn visit(&self, address: &str) {
        self.go(address);
        self.stands();
    }

    /// Goes to an address.
    pub fn go(&self, address: &str) {
        self.wait(self.client().goto(address)).unwrap_or_else(|error| panic!("{address}: {error}"));
    }

    /// Goes back to where it was before.
    pub fn back(&self) {
        self.wait(self.client().back()).expect("a way back");
    }

    /// Loads the page again.
    pub fn reload(&self) {
        self.wait(self.client().refresh()).expect("a reload");
        self.stands();
    }

    fn stands(&self) {
        self.until("the page stands", || {
            self.ask("return Boolean(document.querySelector('main:not(#loading *)'))", vec![]) == true
        });
    }

    /// What stands in the address line.
    pub fn address(&self) -> String {
        self.wait(self.client().current_url()).expect("an address").to_string()
    }

    /// Runs a script that can use the probe.
    pub fn ask(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.try_to_ask(script, arguments).unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    /// Runs a script that answers by calling its last argument.
    pub fn ask_and_wait(&self, script: &str, arguments: Vec<Value>) -> Value {
        let answer = self.client().execute_async(script, arguments);
        self.wait(answer).unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    fn try_to_ask(&self, script: &str, arguments: Vec<Value>) -> Result<Value, CmdError> {
        let script = format!("{}\n{script}", include_str!("probe.js"));
        self.wait(self.client().execute(&script, arguments))
    }

    /// Waits until something holds.
    pub fn until(&self, what: &str, holds: impl Fn() -> bool) {
        let began = Instant::now();
        while !holds() {
            if began.elapsed() > PATIENCE {
                panic!("waited in vain until {what}; {}", self.state());
            }
            thread::sleep(Duration::from_millis(25));
        }
    }

    /// What a person would want to know of the page when something is missing.
    fn state(&self) -> String {
        format!(
            "the console: {:?}; the page says:\n{}",
            self.complaints_in_the_console(),
            self.visible_text()
        )
    }

    /// Waits for what a script finds.
    pub fn await_element(&self, what: &str, script: &str, arguments: Vec<Value>) -> Element {
        let began = Instant::now();
        loop {
            let found = self.ask(script, arguments.clone());
            if let Some(id) = found.as_object().and_then(|o| o.values().next()).and_then(Value::as_str) {
                return Element::from_element_id(self.client().clone(), ElementRef::from(id.to_owned()));
            }
            if began.elapsed() > PATIENCE {
                panic!("found no {what}; {}", self.state());
            }
            thread::sleep(Duration::from_millis(25));
        }
    }

    /// All text that can be seen or scrolled to.
    pub fn visible_text(&self) -> String {
        self.ask("return document.body.innerText", vec![]).as_str().unwrap_or_default().to_owned()
    }

    /// Scrolls an element to the middle of the screen, as a person does, and clicks it; it must
    /// not be covered by another one there.
    pub fn click(&self, element: &Element, what: &str) {
        let scroll = "arguments[0].scrollIntoView({ block: 'center', behavior: 'instant' })";
        self.ask(scroll, vec![serde_json::to_value(element).expect("an element")]);
        self.wait(element.click()).unwrap_or_else(|error| panic!("{what} cannot be tapped: {error}"));
    }

    /// Chooses an entry of a list by its words.
    pub fn choose_entry(&self, list: &Element, words: &str) {
        self.wait(list.select_by_label(words)).unwrap_or_else(|error| panic!("no entry {words}: {error}"));
    }

    /// Types keys into an element.
    pub fn keys_into(&self, element: &Element, keys: &str) {
        self.wait(element.send_keys(keys)).unwrap_or_else(|error| panic!("cannot type {keys:?}: {error}"));
    }

    /// Presses keys one after another, wherever the focus is.
    pub fn press(&self, keys: &[char]) {
        let mut actions = KeyActions::new("keyboard".to_owned());
        for key in keys {
            actions = actions.then(KeyAction::Down { value: *key }).then(KeyAction::Up { value: *key });
        }
        self.act(actions.into());
    }

    /// Presses a key while another one is held.
    pub fn press_with(&self, held: Key, key: char) {
        let held: char = held.into();
        let actions = KeyActions::new("keyboard".to_owned())
            .then(KeyAction::Down { value: held })
            .then(KeyAction::Down { value: key })
            .then(KeyAction::Up { value: key })
            .then(KeyAction::Up { value: held });
        self.act(actions.into());
    }

    fn act(&self, actions: ActionSequence) {
        self.wait(self.client().perform_actions(actions)).expect("keys to be pressed");
    }

    /// A picture of what is on the screen, as PNG.
    pub fn picture(&self) -> Vec<u8> {
        self.wait(self.client().screenshot()).expect("a picture")
    }

    /// What is kept on the device, key by key.
    pub fn kept(&self) -> Value {
        self.ask("return probe.kept()", vec![])
    }

    /// Keeps a text under a key, behind the page's back.
    pub fn keep(&self, key: &str, text: &str) {
        self.ask("localStorage.setItem(arguments[0], arguments[1])", vec![json!(key), json!(text)]);
    }

    /// Opens another tab at an address, and brings it to the front.
    pub fn open_tab(&self, address: &str) {
        let tab = self.wait(self.client().new_window(true)).expect("another tab");
        self.wait(self.client().switch_to_window(tab.handle)).expect("the other tab");
        self.look(Look::PHONE);
        self.visit(address);
    }

    /// Brings a tab to the front, counted from 0.
    pub fn to_tab(&self, at: usize) {
        let tabs = self.wait(self.client().windows()).expect("the tabs");
        self.wait(self.client().switch_to_window(tabs[at].clone())).expect("that tab");
    }

    /// Looks at the page on another screen.
    pub fn look(&self, look: Look) {
        self.issue(self.engine.look(look));
    }

    /// Makes the processor slower by this factor.
    pub fn slow_down(&self, factor: u32) {
        self.issue(self.engine.slow_down(factor));
    }

    /// Kills the tab, as a phone does that runs short of memory, and the browser after it.
    pub fn kill_tab(self) -> Profile {
        for command in self.engine.kill_tab() {
            // The only answer is that the tab is gone.
            let _ = self.wait(self.client().issue_cmd(command));
        }
        self.profile.clone()
    }

    fn issue(&self, commands: Vec<Command>) {
        for command in commands {
            let what = format!("{command:?}");
            self.wait(self.client().issue_cmd(command)).unwrap_or_else(|error| panic!("{what}: {error}"));
        }
    }

    /// Every warning and error that the page has caused so far.
    pub fn complaints_in_the_console(&self) -> Vec<String> {
        if let Some(command) = self.engine.console() {
            let answer = self.wait(self.client().issue_cmd(command)).unwrap_or_default();
            self.console.borrow_mut().extend(self.engine.complaints(&answer));
        }
        self.console.borrow().clone()
    }

    /// Fails where the page has written a warning or an error to the console.
    pub fn has_a_clean_console(&self) {
        let complaints = self.complaints_in_the_console();
        assert!(complaints.is_empty(), "in the console: {complaints:#?}");
    }
}
