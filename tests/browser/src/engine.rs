//! The browsers that the tests can run in: all that differs between them is here.
//!
//! Another one is another variant. What it cannot do it says in [`Engine::can`]; tests ask for a
//! feature, never for a name.

use crate::profile::Profile;
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

    /// What the browser itself says about every page, which is no fault of the page.
    pub fn says_of_its_own(self, message: &str) -> bool {
        match self {
            // Trunk gives its preload links a check sum; see DEVELOPERS.md.
            Self::Chromium => {
                message.contains("integrity") && message.contains("ignored for preload destinations")
            }
        }
    }
}
