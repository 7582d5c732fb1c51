//! What the page knows of itself on the device: whether it is kept for use without a network, and
//! whether another release of it lies ready. `assets/start.js` finds that out, also where this
//! program does not run, and writes it on `<html>`.

use leptos::prelude::{document, window, window_event_listener_untyped};
use web_sys::Event;

/// Whether the page is on the device for use without a network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeping {
    /// The browser is being asked, or is fetching what is missing.
    Underway,
    /// All of it is there.
    Kept,
    /// The address is neither https nor this machine: browsers keep no such page.
    Insecure,
    /// The browser keeps no pages, as in some private windows.
    Unable,
    /// A file of it did not come, or was another than announced.
    Failed,
}

/// Another release of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Newer {
    /// There is none.
    Nothing,
    /// It lies ready on the device.
    Ready,
    /// The tabs are being asked whether it suits.
    Asked,
    /// It was not taken, because something is being edited in this or another tab.
    Busy,
    /// Another tab has taken it; this one follows when nothing is being edited here.
    Taken,
}

/// The page on the device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnDevice {
    /// Whether it is kept.
    pub keeping: Keeping,
    /// Whether there is another release.
    pub newer: Newer,
    /// The name of the release that is open.
    pub release: String,
}

/// How it stands now.
pub fn on_device() -> OnDevice {
    let told = |name: &str| document().document_element().and_then(|root| root.get_attribute(name));
    OnDevice {
        keeping: match told("data-offline").as_deref() {
            Some("kept") => Keeping::Kept,
            Some("insecure") => Keeping::Insecure,
            Some("unable") => Keeping::Unable,
            Some("failed") => Keeping::Failed,
            _ => Keeping::Underway,
        },
        newer: match told("data-update").as_deref() {
            Some("here") => Newer::Ready,
            Some("asked") => Newer::Asked,
            Some("busy") => Newer::Busy,
            Some("taken") => Newer::Taken,
            _ => Newer::Nothing,
        },
        release: told("data-release").unwrap_or_default(),
    }
}

/// Tells whenever that changes, for as long as the page is open.
pub fn whenever_it_changes(tell: impl Fn(OnDevice) + 'static) {
    window_event_listener_untyped("lettertally-offline", move |_| tell(on_device()));
}

/// Takes the other release, in all tabs or in none.
pub fn take_newer() {
    if let Ok(event) = Event::new("lettertally-take") {
        let _ = window().dispatch_event(&event);
    }
}

/// Keeps the tab from beginning anew while something is being edited in it.
pub fn object_while(is_editing: impl Fn() -> bool + 'static) {
    window_event_listener_untyped("lettertally-may-reload", move |event| {
        if is_editing() {
            event.prevent_default();
        }
    });
}

/// Whether a text is being typed, or something stands open whose text is kept nowhere: views mark
/// that by `data-unkept`.
pub fn is_typing() -> bool {
    const TEXTS: &str = "textarea, input:not([type=checkbox], [type=file], [type=color], [readonly])";
    let in_a_text = document().active_element().is_some_and(|at| at.matches(TEXTS).unwrap_or(false));
    in_a_text || document().query_selector("[data-unkept]").is_ok_and(|found| found.is_some())
}
