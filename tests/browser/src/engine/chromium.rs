//! Chromium. What the standard lacks it gives through its own protocol.

use super::{Command, Feature, Start, View, Wish};
use crate::browser::{Look, Scheme, Size};
use crate::profile::Profile;
use serde_json::{Value, json};

pub fn can(feature: Feature) -> bool {
    match feature {
        Feature::Emulation
        | Feature::Wishes
        | Feature::Console
        | Feature::AccessibilityTree
        | Feature::Keeping
        | Feature::Forbidding
        | Feature::KillingTabs
        | Feature::SlowProcessor
        | Feature::TrustedTypes
        | Feature::Naming
        | Feature::Paper => true,
    }
}

pub fn start(port: u16) -> Start {
    Start {
        program: "chromedriver",
        arguments: vec![format!("--port={port}"), "--log-level=OFF".to_owned()],
        environment: vec![],
        screen: None,
    }
}

pub fn capabilities(profile: &Profile) -> Value {
    let folder = format!("--user-data-dir={}", profile.folder().display());
    // A script may write to the clipboard at any time, as the tests do to paste.
    let mut allowed = json!({ "clipboard": 1 });
    if profile.keeps_nothing() {
        allowed["cookies"] = json!(2);
    }
    let options = json!({
        "args": [
            "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            // a name for this machine that is no "localhost": no page from there is safe
            "--host-resolver-rules=MAP kiteway.test 127.0.0.1",
            folder,
        ],
        "prefs": { "profile.default_content_setting_values": allowed },
    });
    json!({
        "browserName": "chrome",
        "goog:chromeOptions": options,
        "goog:loggingPrefs": { "browser": "ALL" },
    })
}

pub fn show(view: &View) -> Vec<Command> {
    let Look { size: Size(width, height), scheme } = view.look;
    let screen = json!({
        "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600,
    });
    let scheme = if scheme == Scheme::Dark { "dark" } else { "light" };
    let mut features = vec![json!({ "name": "prefers-color-scheme", "value": scheme })];
    features.extend(view.wishes.iter().filter_map(|wish| match wish {
        Wish::LessMotion => Some(json!({ "name": "prefers-reduced-motion", "value": "reduce" })),
        Wish::MoreContrast => Some(json!({ "name": "prefers-contrast", "value": "more" })),
        Wish::ForcedColours => Some(json!({ "name": "forced-colors", "value": "active" })),
        Wish::Paper => None,
    }));
    let media = if view.wishes.contains(&Wish::Paper) { "print" } else { "" };
    vec![
        devtools("Emulation.setDeviceMetricsOverride", &screen),
        devtools("Emulation.setEmulatedMedia", &json!({ "media": media, "features": features })),
    ]
}

pub fn slow_down(factor: u32) -> Vec<Command> {
    vec![devtools("Emulation.setCPUThrottlingRate", &json!({ "rate": factor }))]
}

pub fn clear_away() -> Vec<Command> {
    vec![devtools("HeapProfiler.collectGarbage", &json!({}))]
}

pub fn kill_tab() -> Vec<Command> {
    vec![devtools("Page.crash", &json!({}))]
}

pub fn accessibility_tree() -> Command {
    devtools("Accessibility.getFullAXTree", &json!({}))
}

pub fn console() -> Command {
    Command { path: "se/log", body: json!({ "type": "browser" }) }
}

/// The warnings and errors among the console's entries.
pub fn complaints(entries: &Value) -> Vec<String> {
    let entries = entries.as_array().into_iter().flatten();
    let parts = entries.map(|entry| {
        (entry["level"].as_str().unwrap_or_default(), entry["message"].as_str().unwrap_or_default())
    });
    let bad = parts.filter(|(level, _)| matches!(*level, "WARNING" | "SEVERE"));
    bad.map(|(level, message)| format!("{level}: {message}")).collect()
}

/// A command of Chromium's own protocol.
fn devtools(command: &str, parameters: &Value) -> Command {
    Command { path: "goog/cdp/execute", body: json!({ "cmd": command, "params": parameters }) }
}
