//! One window of a browser. Every call waits for its answer, so that tests read as a story.

use crate::driver::Driver;
use crate::engine::{Command, Console, Engine, Feature, View, Wish};
use crate::profile::Profile;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use fantoccini::actions::{ActionSequence, InputSource, KeyAction, KeyActions};
use fantoccini::elements::{Element, ElementRef};
use fantoccini::error::{CmdError, ErrorStatus};
use fantoccini::wd::{WebDriverCompatibleCommand, WindowHandle};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::io::Write;
use std::time::{Duration, Instant};
use std::{env, fs, thread};
use tokio::runtime::{Builder, Runtime};

pub use fantoccini::key::Key;

/// How long to wait for something to appear before calling it broken: a person waits less, but
/// has the machine for themselves.
const PATIENCE: Duration = Duration::from_secs(30);

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
    driver: Driver,
    runtime: Runtime,
    profile: Profile,
    look: Cell<Look>,
    // In the order in which they were opened: a driver names them in any.
    tabs: RefCell<Vec<WindowHandle>>,
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
        let driver = Driver::start(engine, profile);
        let runtime = Builder::new_current_thread().enable_all().build().expect("a runtime");
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(engine.capabilities(profile));
        let client = runtime
            .block_on(builder.connect(&driver.address()))
            .unwrap_or_else(|error| panic!("no browser: {error}"));
        let tab = runtime.block_on(client.window()).expect("the first tab");
        Self {
            engine,
            client: Some(client),
            driver,
            runtime,
            profile: profile.clone(),
            look: Cell::new(Look::DESK),
            tabs: RefCell::new(vec![tab]),
            console: RefCell::default(),
        }
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

    /// Whether this browser cannot do something; if so, that is said and noted, and a test that is
    /// about it ends.
    pub fn lacks(&self, feature: Feature) -> bool {
        if self.can(feature) {
            return false;
        }
        let test = thread::current().name().unwrap_or("?").to_owned();
        let line = format!("{test}: {} does not {}", self.engine.name(), feature.words());
        println!("skipped: {line}");
        if let Some(notes) = env::var_os("LETTERTALLY_SKIPPED") {
            let notes = fs::OpenOptions::new().create(true).append(true).open(notes);
            notes.and_then(|mut notes| writeln!(notes, "{line}")).expect("the file for what is skipped");
        }
        true
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
        self.leave();
        self.wait(self.client().goto(address)).unwrap_or_else(|error| panic!("{address}: {error}"));
    }

    /// Goes back to where it was before.
    pub fn back(&self) {
        self.leave();
        self.wait(self.client().back()).expect("a way back");
    }

    /// Loads the page again.
    pub fn reload(&self) {
        self.leave();
        // By the page, as a person's reload is: a driver's may pass by what is kept on the device.
        self.ask("window.isFromBefore = true; setTimeout(() => location.reload())", vec![]);
        let is_new = "return !window.isFromBefore && document.readyState === 'complete'";
        self.until("the page is loaded again", || {
            // In between there is no page to ask.
            let asked = self.wait(self.client().execute(is_new, vec![]));
            asked.is_ok_and(|is_new| is_new == true)
        });
        self.stands();
    }

    /// What only the page itself has heard of its console goes with the page.
    fn leave(&self) {
        if matches!(self.engine.console(), Console::Overheard) {
            self.complaints_in_the_console();
        }
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
        let listen = if matches!(self.engine.console(), Console::Overheard) { "probe.listen();" } else { "" };
        let script = format!("{}\n{listen}{script}", include_str!("probe.js"));
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
                return self.element(id);
            }
            if began.elapsed() > PATIENCE {
                panic!("found no {what}; {}", self.state());
            }
            thread::sleep(Duration::from_millis(25));
        }
    }

    /// An element by what the driver calls it.
    pub(crate) fn element(&self, id: &str) -> Element {
        Element::from_element_id(self.client().clone(), ElementRef::from(id.to_owned()))
    }

    /// All text that can be seen or scrolled to.
    pub fn visible_text(&self) -> String {
        self.ask("return document.body?.innerText", vec![]).as_str().unwrap_or_default().to_owned()
    }

    /// Scrolls an element to the middle of the screen, as a person does, and clicks it; it must
    /// not be covered by another one there.
    pub fn click(&self, element: &Element, what: &str) {
        let began = Instant::now();
        loop {
            self.to_the_middle(element);
            match self.wait(element.click()) {
                Ok(()) => return,
                // What has just appeared above may have moved it under something.
                Err(CmdError::Standard(error))
                    if error.error == ErrorStatus::ElementClickIntercepted && began.elapsed() < PATIENCE =>
                {
                    thread::sleep(Duration::from_millis(100));
                }
                Err(error) => panic!("{what} cannot be tapped: {error:?}; {}", self.state()),
            }
        }
    }

    /// Scrolls until it stands still there: what is still being drawn above moves it, and not every
    /// browser scrolls along.
    fn to_the_middle(&self, element: &Element) {
        let scroll = "const [element, done] = arguments;
            const place = () => element.getBoundingClientRect().top;
            let tries = 0;
            const look = () => {
                const before = place();
                element.scrollIntoView({ block: 'center', behavior: 'instant' });
                const moved = Math.abs(place() - before) >= 1;
                if ((moved || tries === 0) && ++tries < 50) setTimeout(look, 30);
                else done(null);
            };
            look();";
        self.ask_and_wait(scroll, vec![serde_json::to_value(element).expect("an element")]);
    }

    /// Chooses an entry of a list by its words.
    pub fn choose_entry(&self, list: &Element, words: &str) {
        self.to_the_middle(list);
        self.wait(list.select_by_label(words)).unwrap_or_else(|error| panic!("no entry {words}: {error}"));
    }

    /// Types keys into an element.
    pub fn keys_into(&self, element: &Element, keys: &str) {
        self.wait(element.send_keys(keys)).unwrap_or_else(|error| panic!("cannot type {keys:?}: {error}"));
        self.what_was_typed_counts();
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
        self.what_was_typed_counts();
    }

    /// Waits until the page has taken up what was typed: it shows the letters first.
    fn what_was_typed_counts(&self) {
        let script = "return document.documentElement?.hasAttribute('data-typing') ?? false";
        self.until("what was typed counts", || self.ask(script, vec![]) == false);
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
        let tab = self.wait(self.client().new_window(true)).expect("another tab").handle;
        self.tabs.borrow_mut().push(tab.clone());
        self.wait(self.client().switch_to_window(tab)).expect("the other tab");
        self.look(Look::PHONE);
        self.visit(address);
    }

    /// Brings a tab to the front, counted from 0.
    pub fn to_tab(&self, at: usize) {
        let tab = self.tabs.borrow()[at].clone();
        self.wait(self.client().switch_to_window(tab)).expect("that tab");
    }

    /// Looks at the page on another screen.
    pub fn look(&self, look: Look) {
        self.show(look, &[]);
    }

    /// Looks at the page as somebody who has asked the device for this.
    pub fn wish(&self, wishes: &[Wish]) {
        self.show(self.look.get(), wishes);
    }

    fn show(&self, look: Look, wishes: &[Wish]) {
        self.look.set(look);
        let frame = self.ask("return [outerWidth - innerWidth, outerHeight - innerHeight]", vec![]);
        let part = |at: usize| frame[at].as_u64().and_then(|part| u32::try_from(part).ok()).unwrap_or(0);
        let view = View { look, wishes: wishes.to_vec(), frame: Size(part(0), part(1)) };
        self.issue(self.engine.show(&view));
    }

    /// Gives the keyboard to the page, where it was with the browser's own buttons.
    pub(crate) fn bring_keyboard(&self) {
        self.issue(self.engine.bring_keyboard());
    }

    /// The page as a printed document, on paper of this size in millimetres.
    pub fn printed(&self, width: f64, height: f64) -> Vec<u8> {
        let page = json!({ "width": width / 10.0, "height": height / 10.0 });
        let command = Command { path: "print", body: json!({ "page": page }) };
        let printed = self.wait(self.client().issue_cmd(command)).expect("a printed page");
        STANDARD.decode(printed.as_str().unwrap_or_default()).expect("a document in base64")
    }

    /// Makes the processor slower by this factor.
    pub fn slow_down(&self, factor: u32) {
        self.issue(self.engine.slow_down(factor));
    }

    /// Clears away what scripts no longer use, where the browser can be asked to.
    pub fn clear_away(&self) {
        self.issue(self.engine.clear_away());
    }

    /// Kills the tab, as a phone does that runs short of memory, and the browser after it.
    pub fn kill_tab(self) -> Profile {
        for command in self.engine.kill_tab() {
            // The only answer is that the tab is gone.
            let _ = self.wait(self.client().issue_cmd(command));
        }
        self.profile.clone()
    }

    /// What a screen reader calls an element: its role and its name.
    pub fn called(&self, element: &Element) -> (String, String) {
        let ask = |what| {
            let answer = self.wait(self.client().issue_cmd(Called(element.element_id().to_string(), what)));
            answer.unwrap_or_else(|error| panic!("{what}: {error}")).as_str().unwrap_or_default().to_owned()
        };
        (ask("computedrole"), ask("computedlabel"))
    }

    /// All that a screen reader finds on the page; `None` without [`Feature::AccessibilityTree`].
    pub(crate) fn accessibility_tree(&self) -> Option<Value> {
        let command = self.engine.accessibility_tree()?;
        Some(self.wait(self.client().issue_cmd(command)).expect("the accessibility tree"))
    }

    fn issue(&self, commands: Vec<Command>) {
        for command in commands {
            let what = format!("{command:?}");
            self.wait(self.client().issue_cmd(command)).unwrap_or_else(|error| panic!("{what}: {error}"));
        }
    }

    /// Every warning and error that the page has caused so far.
    pub fn complaints_in_the_console(&self) -> Vec<String> {
        match self.engine.console() {
            Console::Asked(command, complaints) => {
                let answer = self.wait(self.client().issue_cmd(command)).unwrap_or_default();
                self.console.borrow_mut().extend(complaints(&answer));
            }
            Console::Written(complaints) => *self.console.borrow_mut() = complaints(&self.driver.written()),
            Console::Overheard => {
                let heard = self.try_to_ask("return probe.overheard()", vec![]).unwrap_or_default();
                let heard = heard.as_array().cloned().unwrap_or_default();
                let complaints = heard.iter().filter_map(|one| one.as_str().map(str::to_owned));
                self.console.borrow_mut().extend(complaints);
            }
        }
        self.console.borrow().clone()
    }

    /// Fails where the page has written a warning or an error to the console.
    pub fn has_a_clean_console(&self) {
        let complaints = self.complaints_in_the_console();
        assert!(complaints.is_empty(), "in the console: {complaints:#?}");
    }
}

/// What the standard has for assistive technology, and fantoccini has no method for.
#[derive(Debug)]
struct Called(String, &'static str);

impl WebDriverCompatibleCommand for Called {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/element/{}/{}", session.unwrap_or_default(), self.0, self.1))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::GET, None)
    }
}
