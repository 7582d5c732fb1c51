//! What a person does to the page, before the page itself hears of it.

use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{Event, KeyboardEvent};

/// All that a person can do but type into a field, and all that puts the page away.
///
/// `blur` comes before `focusout`, and `change` before both.
const ACTS: [&str; 11] = [
    "pointerdown",
    "click",
    "change",
    "blur",
    "submit",
    "keydown",
    "hashchange",
    "storage",
    "beforeprint",
    "visibilitychange",
    "pagehide",
];

/// Runs this before every act but typing, and before whatever else listens to it.
pub fn before_acts(run: impl Fn() + 'static) {
    let heard = move |event: Event| {
        if is_act(&event) {
            run();
        }
    };
    let heard = Closure::<dyn Fn(Event)>::new(heard).into_js_value();
    let window = leptos::prelude::window();
    for act in ACTS {
        // The window hears first of what is listened to on the way down.
        let _ = window.add_event_listener_with_callback_and_bool(act, heard.unchecked_ref(), true);
    }
}

/// Of keys only Enter is one: it submits a form or presses a button.
fn is_act(event: &Event) -> bool {
    event.dyn_ref::<KeyboardEvent>().is_none_or(|key| key.key() == "Enter")
}

/// Marks the page as one where something typed does not count yet, for whoever drives it.
pub fn mark_typing(is_waiting: bool) {
    if let Some(page) = leptos::prelude::document().document_element() {
        let _ = page.toggle_attribute_with_force("data-typing", is_waiting);
    }
}

/// Whether somebody can see the page: one that nobody sees draws no frames.
pub fn is_seen() -> bool {
    !leptos::prelude::document().hidden()
}
