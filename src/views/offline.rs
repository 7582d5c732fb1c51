//! The page on the device: whether it works without a network, and another release of it, which the
//! person takes when it suits.

use super::parts::Panel;
use super::state::{Desk, Notice};
use crate::browser::offline::{self, Keeping, Newer, OnDevice};
use crate::views::prelude::*;

const INSECURE: &str = "This page is not kept on the device, so it needs the network each time it is opened: its address does not begin with https://, and browsers keep no others.";

/// How the page stands on the device, from anywhere in the views.
#[derive(Clone, Copy)]
pub struct Device(RwSignal<OnDevice>);

/// Follows how the page stands on the device, and keeps another release from being taken while
/// something is being edited.
pub fn follow(desk: Desk) {
    let device = RwSignal::new(offline::on_device());
    provide_context(Device(device));
    offline::whenever_it_changes(move |now| {
        let was = device.with_untracked(|was| was.keeping);
        if now.keeping == Keeping::Insecure && was != now.keeping && !untrack(move || desk.is_closed()) {
            desk.tell(Notice::wrong(INSECURE));
        }
        device.set(now);
    });
    offline::object_while(move || {
        desk.held.with_untracked(Option::is_some)
            || desk.unread.with_untracked(|unread| !unread.is_empty())
            || offline::is_typing()
    });
}

/// Says that another release is here, and takes it.
#[component]
pub fn News() -> impl IntoView {
    let Device(device) = expect_context();
    let newer = memo(move || device.with(|device| device.newer));
    let put_off = RwSignal::new(false);
    let words = move || match newer.get() {
        Newer::Nothing => None,
        Newer::Ready | Newer::Busy if put_off.get() => None,
        Newer::Ready => Some("A new version of this page is here. All open tabs go over to it at once."),
        Newer::Asked => Some("Going over to the new version …"),
        Newer::Busy => Some(
            "Not yet: something is being edited in this or another tab. Save or drop it, close what is open, then take the new version.",
        ),
        Newer::Taken => Some(
            "Another tab has taken a new version of this page. This one follows when you are done here: save or drop your changes, and close what is open.",
        ),
    };
    let is_offered = move || matches!(newer.get(), Newer::Ready | Newer::Busy);
    view! {
        <div class="news" aria-live="polite">
            {move || words().map(|words| view! {
                <p>{words}</p>
                {is_offered().then(|| view! {
                    <button type="button" on:click=move |_| offline::take_newer()>"Take it"</button>
                    <button type="button" on:click=move |_| put_off.set(true)>"Later"</button>
                })}
            })}
        </div>
    }
}

/// The panel on the shop screen.
#[component]
pub fn WithoutNetwork() -> impl IntoView {
    let Device(device) = expect_context();
    let words = move || match device.with(|device| device.keeping) {
        Keeping::Kept => {
            "This page is kept on the device: everything on it works without a network, also after the browser was closed."
        }
        Keeping::Underway => "This page is being kept on the device …",
        Keeping::Insecure => INSECURE,
        Keeping::Unable => {
            "This browser keeps no pages, as in a private window or where site data is switched off. The page needs the network each time it is opened; once open, it works without."
        }
        Keeping::Failed => {
            "The page could not be kept on the device: a file did not come, or was not the right one. The next time it is opened, it is tried again."
        }
    };
    let release = move || device.with(|device| format!("Version {}.", device.release));
    view! {
        <Panel title="Without a network">
            <p aria-live="polite">{words}</p>
            <p class="help">{release}</p>
            <Show when=move || device.with(|device| device.keeping == Keeping::Kept)>
                <p class="help">"To have it among your apps, choose “Install” or “Add to home screen” in the browser's menu."</p>
            </Show>
        </Panel>
    }
}
