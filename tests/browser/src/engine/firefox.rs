//! Firefox. What the standard lacks a script does for the browser's own window, which geckodriver
//! allows when asked to.

use super::{Command, Feature, Start, View, Wish};
use crate::browser::{Look, Scheme, Size};
use crate::profile::Profile;
use serde_json::{Value, json};

pub fn can(feature: Feature) -> bool {
    match feature {
        Feature::Emulation
        | Feature::Wishes
        | Feature::Console
        | Feature::Keeping
        | Feature::Forbidding
        | Feature::Naming => true,
        Feature::TrustedTypes
        | Feature::AccessibilityTree
        | Feature::KillingTabs
        | Feature::SlowProcessor
        | Feature::Paper => false,
    }
}

pub fn start(port: u16) -> Start {
    let port = format!("--port={port}");
    // The other two ports are chosen by whoever opens them.
    let arguments =
        [&port, "--marionette-port=0", "--websocket-port=0", "--log=error", "--allow-system-access"];
    Start {
        program: "geckodriver",
        arguments: arguments.map(str::to_owned).to_vec(),
        environment: vec![],
        screen: None,
    }
}

pub fn capabilities(profile: &Profile) -> Value {
    let mut settings = json!({
        // What the page writes to the console goes out with the driver's own words.
        "devtools.console.stdout.content": true,
        "devtools.console.stdout.chrome": false,
        // A script may write to the clipboard, as the tests do to paste.
        "dom.events.testing.asyncClipboard": true,
        // Nothing is fetched from anywhere but the page's own server.
        "app.normandy.enabled": false,
        "services.settings.server": "data:,",
        "network.captive-portal-service.enabled": false,
        "network.connectivity-service.enabled": false,
        // A name for this machine that is no "localhost".
        "network.dns.localDomains": "kiteway.test",
        // Its own mends for pages of others are not wanted, and talk much.
        "extensions.webcompat.enable_shims": false,
        "extensions.webcompat.perform_injections": false,
        "extensions.webcompat.perform_ua_overrides": false,
        "browser.newtabpage.enabled": false,
        "browser.startup.page": 0,
    });
    if profile.keeps_nothing() {
        settings["network.cookie.cookieBehavior"] = json!(2);
    }
    json!({
        "moz:firefoxOptions": {
            "args": ["-headless", "-profile", profile.folder(), "-width", "1400", "-height", "1300"],
            "prefs": settings,
        },
    })
}

/// The page gets its size within a larger window; the wishes are settings that count at once.
const SHOW: &str = "
    const [width, height, scheme, less, more, forced, done] = arguments;
    const browser = gBrowser.selectedBrowser;
    browser.style.setProperty('width', `${width}px`);
    browser.style.setProperty('height', `${height}px`);
    browser.browsingContext.prefersColorSchemeOverride = scheme;
    browser.browsingContext.forcedColorsOverride = forced ? 'active' : 'none';
    Services.prefs.setIntPref('ui.prefersReducedMotion', less ? 1 : 0);
    Services.prefs.setIntPref('ui.useAccessibilityTheme', more ? 1 : 0);
    Services.prefs.setIntPref('browser.display.document_color_use', more ? 1 : 0);
    requestAnimationFrame(() => requestAnimationFrame(() => done()));";

pub fn show(view: &View) -> Vec<Command> {
    let Look { size: Size(width, height), scheme } = view.look;
    let scheme = if scheme == Scheme::Dark { "dark" } else { "light" };
    let wishes = |wish| view.wishes.contains(&wish);
    let arguments = json!([
        width,
        height,
        scheme,
        wishes(Wish::LessMotion),
        wishes(Wish::MoreContrast),
        wishes(Wish::ForcedColours),
    ]);
    in_the_window(SHOW, &arguments)
}

pub fn bring_keyboard() -> Vec<Command> {
    in_the_window("gBrowser.selectedBrowser.focus(); requestAnimationFrame(arguments[0]);", &json!([]))
}

/// Runs a script for the browser's own window, which calls its last argument at its end.
fn in_the_window(script: &str, arguments: &Value) -> Vec<Command> {
    vec![
        turn_to("chrome"),
        Command { path: "execute/async", body: json!({ "script": script, "args": arguments }) },
        turn_to("content"),
    ]
}

/// Scripts run for the browser's own window, or for the page.
fn turn_to(context: &str) -> Command {
    Command { path: "moz/context", body: json!({ "context": context }) }
}

/// The page's warnings and errors among what was written out: the first argument of its calls
/// is a text in quotes or something in brackets; the browser's own calls name their part first.
pub fn complaints(written: &str) -> Vec<String> {
    let of_the_page = |line: &&str| {
        let call = ["console.warn: ", "console.error: "].iter().find_map(|kind| line.strip_prefix(kind));
        call.is_some_and(|rest| rest.starts_with(['"', '(', '[', '{']))
            || line.starts_with("JavaScript error: http")
            || line.starts_with("JavaScript warning: http")
    };
    written.lines().filter(of_the_page).map(str::to_owned).collect()
}
