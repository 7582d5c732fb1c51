//! The browsers that the tests can run in: all that differs between them is here.
//!
//! Another one is another variant. What it cannot do it says in [`Engine::can`]; tests ask for a
//! feature, never for a name.

use crate::browser::{Look, Scheme, Size};
use crate::profile::Profile;
use fantoccini::wd::WebDriverCompatibleCommand;
use serde_json::{Map, Value, json};
use std::env;

/// A browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Chromium, steered by `chromedriver`.
    Chromium,
}

/// What the WebDriver standard does not give to every browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feature {
    /// Showing the page as on a screen of another size, and in light or dark.
    Emulation,
    /// Reading what the page wrote to the console.
    Console,
    /// Killing a tab, so that the page in it hears nothing of its end.
    KillingTabs,
    /// A processor that is slower than this machine's.
    SlowProcessor,
}

impl Engine {
    /// The browser to run in: `LETTERTALLY_BROWSER`, or Chromium.
    pub fn wanted() -> Self {
        match env::var("LETTERTALLY_BROWSER").as_deref() {
            Err(_) | Ok("chromium" | "") => Self::Chromium,
            Ok(other) => panic!("LETTERTALLY_BROWSER is {other}; known here: chromium"),
        }
    }

    /// Whether it can do something.
    pub fn can(self, feature: Feature) -> bool {
        match (self, feature) {
            (
                Self::Chromium,
                Feature::Emulation | Feature::Console | Feature::KillingTabs | Feature::SlowProcessor,
            ) => true,
        }
    }

    /// The program that steers it, looked for on the PATH.
    pub fn driver(self) -> &'static str {
        match self {
            Self::Chromium => "chromedriver",
        }
    }

    /// The driver's arguments, to listen on this port.
    pub fn driver_arguments(self, port: u16) -> Vec<String> {
        match self {
            Self::Chromium => vec![format!("--port={port}"), "--log-level=OFF".to_owned()],
        }
    }

    /// What to ask the driver for.
    pub fn capabilities(self, profile: &Profile) -> Map<String, Value> {
        let wanted = match self {
            Self::Chromium => {
                let folder = format!("--user-data-dir={}", profile.folder().display());
                let mut options = json!({
                    "args": [
                        "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                        "--disable-background-networking", "--disable-component-update", "--disable-sync",
                        // a name for this machine that is no "localhost": no page from there is safe
                        "--host-resolver-rules=MAP kiteway.test 127.0.0.1",
                        folder,
                    ],
                });
                if profile.keeps_nothing() {
                    options["prefs"] = json!({ "profile.default_content_setting_values.cookies": 2 });
                }
                json!({
                    "browserName": "chrome",
                    "goog:chromeOptions": options,
                    "goog:loggingPrefs": { "browser": "ALL" },
                })
            }
        };
        wanted.as_object().cloned().unwrap_or_default()
    }

    /// How to show the page on another screen. A browser without [`Feature::Emulation`] would
    /// give its window that size, which the standard has a command for.
    pub fn look(self, look: Look) -> Vec<Command> {
        let Look { size: Size(width, height), scheme } = look;
        match self {
            Self::Chromium => {
                let scheme = if scheme == Scheme::Dark { "dark" } else { "light" };
                let screen = json!({
                    "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600,
                });
                let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
                vec![
                    Command::devtools("Emulation.setDeviceMetricsOverride", &screen),
                    Command::devtools("Emulation.setEmulatedMedia", &media),
                ]
            }
        }
    }

    /// How to make the processor slower by a factor.
    pub fn slow_down(self, factor: u32) -> Vec<Command> {
        match self {
            Self::Chromium => {
                vec![Command::devtools("Emulation.setCPUThrottlingRate", &json!({ "rate": factor }))]
            }
        }
    }

    /// How to kill the tab in front.
    pub fn kill_tab(self) -> Vec<Command> {
        match self {
            Self::Chromium => vec![Command::devtools("Page.crash", &json!({}))],
        }
    }

    /// How to ask for the console's new entries; `None` where nobody can.
    pub fn console(self) -> Option<Command> {
        match self {
            Self::Chromium => Some(Command { path: "se/log", body: json!({ "type": "browser" }) }),
        }
    }

    /// The warnings and errors among the console's entries.
    pub fn complaints(self, entries: &Value) -> Vec<String> {
        match self {
            Self::Chromium => {
                let entries = entries.as_array().into_iter().flatten();
                let parts = entries.map(|entry| {
                    (
                        entry["level"].as_str().unwrap_or_default(),
                        entry["message"].as_str().unwrap_or_default(),
                    )
                });
                let bad = parts.filter(|(level, _)| matches!(*level, "WARNING" | "SEVERE"));
                bad.map(|(level, message)| format!("{level}: {message}")).collect()
            }
        }
    }
}

/// A command to the driver, with its path after the session.
#[derive(Debug, Clone)]
pub struct Command {
    path: &'static str,
    body: Value,
}

impl Command {
    /// A command of Chromium's own protocol.
    fn devtools(command: &str, parameters: &Value) -> Self {
        Self { path: "goog/cdp/execute", body: json!({ "cmd": command, "params": parameters }) }
    }
}

impl WebDriverCompatibleCommand for Command {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}
