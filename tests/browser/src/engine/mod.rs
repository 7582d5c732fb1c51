//! The browsers that the tests can run in: all that differs between them is here, a file for each.
//!
//! What one of them cannot do it says in [`Engine::can`]; tests ask for a feature, never for a
//! name. Another browser is another variant and another file.

mod chromium;
mod firefox;
mod webkit;

use crate::browser::{Look, Size};
use crate::profile::Profile;
use fantoccini::wd::WebDriverCompatibleCommand;
use serde_json::{Map, Value, json};
use std::env;
use std::ffi::OsString;

/// A browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Chromium, steered by `chromedriver`.
    Chromium,
    /// Firefox, steered by `geckodriver`.
    Firefox,
    /// WebKit as GTK programs have it, steered by `WebKitWebDriver`, on a screen that nobody sees.
    Webkit,
}

/// What the WebDriver standard does not give to every browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feature {
    /// Light and dark in turn, while the page is open.
    Emulation,
    /// The page as it is for a person who wants less motion, more contrast or colours of their own.
    Wishes,
    /// Reading all that the page wrote to the console. A browser without it tells what was
    /// written after the first question was asked.
    Console,
    /// The whole tree that a screen reader reads, in order.
    AccessibilityTree,
    /// Keeping what pages have stored from one start to the next.
    Keeping,
    /// Forbidding pages to store anything.
    Forbidding,
    /// Killing a tab, so that the page in it hears nothing of its end.
    KillingTabs,
    /// A processor that is slower than this machine's.
    SlowProcessor,
    /// Holding HTML that a script writes against a policy.
    TrustedTypes,
    /// Another name for this machine than `localhost` and its number.
    Naming,
    /// The page as it is on paper, while it is open, and as a document.
    Paper,
}

impl Feature {
    /// What a browser without it does not do.
    pub fn words(self) -> &'static str {
        match self {
            Self::Emulation => "turn from light to dark while the page is open",
            Self::Wishes => "show the page to somebody with wishes for motion, contrast or colours",
            Self::Console => "tell all that is in the console",
            Self::AccessibilityTree => "hand out the tree of a screen reader",
            Self::Keeping => "keep anything from one start to the next while it is steered",
            Self::Forbidding => "forbid pages to store anything",
            Self::KillingTabs => "kill a tab",
            Self::SlowProcessor => "make the processor slower",
            Self::TrustedTypes => "hold HTML against a policy",
            Self::Naming => "know this machine by another name",
            Self::Paper => "show the page as it is on paper",
        }
    }
}

/// What somebody can ask their device for, beside light and dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wish {
    /// As little motion as can be.
    LessMotion,
    /// Texts and edges that stand out more.
    MoreContrast,
    /// The device's own few colours, whatever a page asks for.
    ForcedColours,
    /// To have it on paper.
    Paper,
}

/// How a page is to be shown.
#[derive(Debug, Clone)]
pub struct View {
    /// Screen and scheme.
    pub look: Look,
    /// What else is asked for.
    pub wishes: Vec<Wish>,
    /// How much larger than the page its window is.
    pub frame: Size,
}

/// How to start the program that steers a browser.
#[derive(Debug)]
pub struct Start {
    /// The program, looked for on the PATH.
    pub program: &'static str,
    /// Its arguments.
    pub arguments: Vec<String>,
    /// What it finds in its environment besides.
    pub environment: Vec<(&'static str, OsString)>,
    /// The screen that the browser must have, if any.
    pub screen: Option<Size>,
}

impl Engine {
    /// The browser to run in: `LETTERTALLY_BROWSER`, or Chromium.
    pub fn wanted() -> Self {
        match env::var("LETTERTALLY_BROWSER").as_deref() {
            Err(_) | Ok("chromium" | "") => Self::Chromium,
            Ok("firefox") => Self::Firefox,
            Ok("webkit") => Self::Webkit,
            Ok(other) => panic!("LETTERTALLY_BROWSER is {other}; known here: chromium, firefox, webkit"),
        }
    }

    /// Its name, as `LETTERTALLY_BROWSER` has it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Chromium => "chromium",
            Self::Firefox => "firefox",
            Self::Webkit => "webkit",
        }
    }

    /// Whether it can do something.
    pub fn can(self, feature: Feature) -> bool {
        match self {
            Self::Chromium => chromium::can(feature),
            Self::Firefox => firefox::can(feature),
            Self::Webkit => webkit::can(feature),
        }
    }

    /// How to start the program that steers it, to listen on this port.
    pub fn start(self, port: u16, profile: &Profile) -> Start {
        match self {
            Self::Chromium => chromium::start(port),
            Self::Firefox => firefox::start(port),
            Self::Webkit => webkit::start(port, profile),
        }
    }

    /// What to ask the driver for.
    pub fn capabilities(self, profile: &Profile) -> Map<String, Value> {
        let mut wanted = match self {
            Self::Chromium => chromium::capabilities(profile),
            Self::Firefox => firefox::capabilities(profile),
            Self::Webkit => webkit::capabilities(),
        };
        // The checker of accessibility takes its time on a machine that does other things too.
        wanted["timeouts"] = json!({ "script": 300_000 });
        wanted.as_object().cloned().unwrap_or_default()
    }

    /// How to show the page so.
    pub fn show(self, view: &View) -> Vec<Command> {
        match self {
            Self::Chromium => chromium::show(view),
            Self::Firefox => firefox::show(view),
            Self::Webkit => webkit::show(view),
        }
    }

    /// How to give the keyboard to the page, where the tab key can lead out of it.
    pub fn bring_keyboard(self) -> Vec<Command> {
        match self {
            Self::Firefox => firefox::bring_keyboard(),
            Self::Chromium | Self::Webkit => vec![],
        }
    }

    /// How to make the processor slower by a factor; nothing without [`Feature::SlowProcessor`].
    pub fn slow_down(self, factor: u32) -> Vec<Command> {
        match self {
            Self::Chromium => chromium::slow_down(factor),
            Self::Firefox | Self::Webkit => vec![],
        }
    }

    /// How to clear away what scripts no longer use; nothing where a browser does it by itself only.
    pub fn clear_away(self) -> Vec<Command> {
        match self {
            Self::Chromium => chromium::clear_away(),
            Self::Firefox | Self::Webkit => vec![],
        }
    }

    /// How to kill the tab in front; nothing without [`Feature::KillingTabs`].
    pub fn kill_tab(self) -> Vec<Command> {
        match self {
            Self::Chromium => chromium::kill_tab(),
            Self::Firefox | Self::Webkit => vec![],
        }
    }

    /// How to ask for what a screen reader reads; `None` without [`Feature::AccessibilityTree`].
    pub fn accessibility_tree(self) -> Option<Command> {
        match self {
            Self::Chromium => Some(chromium::accessibility_tree()),
            Self::Firefox | Self::Webkit => None,
        }
    }

    /// Where the console's warnings and errors are found.
    pub fn console(self) -> Console {
        match self {
            Self::Chromium => Console::Asked(chromium::console(), chromium::complaints),
            Self::Firefox => Console::Written(firefox::complaints),
            Self::Webkit => Console::Overheard,
        }
    }
}

/// Where the console's warnings and errors are found.
pub enum Console {
    /// The driver is asked for the new entries, among which this finds them.
    Asked(Command, fn(&Value) -> Vec<String>),
    /// The driver writes everything out, and this finds them there.
    Written(fn(&str) -> Vec<String>),
    /// Nowhere: a script on the page has to listen.
    Overheard,
}

/// A command to the driver, with its path after the session.
#[derive(Debug, Clone)]
pub struct Command {
    pub(crate) path: &'static str,
    pub(crate) body: Value,
}

impl WebDriverCompatibleCommand for Command {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}
