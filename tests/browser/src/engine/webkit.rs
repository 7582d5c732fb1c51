//! WebKit, in the small browser that comes with its GTK library. It keeps nothing from one start
//! to the next while it is steered, and writes no console out then.

use super::{Command, Feature, Start, View};
use crate::browser::Size;
use crate::profile::Profile;
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};

/// Large enough for every look.
const SCREEN: Size = Size(1400, 1300);

/// The window's own buttons take no room: else it is never as narrow as a phone.
const NO_BUTTONS: &str = "
headerbar, toolbar, actionbar, toolitem, box, entry, button, image, label, separator {
    min-width: 0; min-height: 0; margin: 0; border: 0; padding: 0; font-size: 1px;
    -gtk-icon-transform: scale(0.01);
}";

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
        | Feature::Paper => false,
    }
}

pub fn start(port: u16, profile: &Profile) -> Start {
    for version in ["gtk-3.0", "gtk-4.0"] {
        let folder = profile.folder().join(version);
        fs::create_dir_all(&folder).expect("a folder for the window's style");
        fs::write(folder.join("gtk.css"), NO_BUTTONS).expect("the window's style");
    }
    Start {
        program: "WebKitWebDriver",
        arguments: vec![format!("--port={port}")],
        environment: vec![
            ("XDG_CONFIG_HOME", profile.folder().into()),
            ("GDK_BACKEND", "x11".into()),
            // Its sandbox asks for rights that a container does not have.
            ("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1".into()),
        ],
        screen: Some(SCREEN),
    }
}

pub fn capabilities() -> Value {
    json!({
        "webkitgtk:browserOptions": {
            "binary": small_browser(),
            "args": ["--automation", "--javascript-can-access-clipboard=true"],
        },
    })
}

/// `MiniBrowser`, which no PATH leads to; the newest where there are several.
fn small_browser() -> PathBuf {
    let inside = |folder: &Path| -> Vec<PathBuf> {
        fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()).collect()
    };
    let libraries = inside(Path::new("/usr/lib")).into_iter().chain([PathBuf::from("/usr/libexec")]);
    let mut found: Vec<_> = libraries
        .flat_map(|library| inside(&library))
        .filter(|folder| folder.file_name().is_some_and(|name| name.to_string_lossy().starts_with("webkit")))
        .map(|folder| folder.join("MiniBrowser"))
        .filter(|program| program.is_file())
        .collect();
    found.sort();
    found.pop().expect("MiniBrowser, which comes with WebKit's GTK library")
}

/// The window stands in the middle of the screen, where the pointer rests: what is under the
/// pointer has the keyboard where nobody manages windows.
pub fn show(view: &View) -> Vec<Command> {
    let (Size(width, height), Size(aside, above)) = (view.look.size, view.frame);
    let (width, height) = (width + aside, height + above);
    let (x, y) = (SCREEN.0.saturating_sub(width) / 2, SCREEN.1.saturating_sub(height) / 2);
    let window = json!({ "x": x, "y": y, "width": width, "height": height });
    vec![Command { path: "window/rect", body: window }]
}
