//! The page's address, what stands after its `#`, and handing a link on.

use leptos::prelude::window;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::ShareData;

/// What stands after the `#`, the sign included; empty where nothing does.
pub fn fragment() -> String {
    window().location().hash().unwrap_or_default()
}

/// The address of the page without anything after `#` or `?`.
pub fn page() -> String {
    let location = window().location();
    let origin = location.origin().unwrap_or_default();
    let path = location.pathname().unwrap_or_default();
    // A page opened from a file has the origin "null".
    if origin == "null" { location.href().unwrap_or_default() } else { format!("{origin}{path}") }
}

/// Takes what stands after the `#` out of the address, without a new entry in the history.
pub fn clear_fragment() {
    if let Ok(history) = window().history() {
        // A page that may not change its address keeps the fragment: nothing is lost by it.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&page()));
    }
}

/// Begins the page anew.
pub fn reload() {
    // A page that may not reload stays as it is.
    let _ = window().location().reload();
}

/// Puts a text on the clipboard; `false` where the browser does not allow it.
pub async fn copy(text: &str) -> bool {
    let navigator = window().navigator();
    let present = js_sys::Reflect::get(&navigator, &JsValue::from_str("clipboard"));
    if present.is_ok_and(|clipboard| clipboard.is_undefined()) {
        return false;
    }
    JsFuture::from(navigator.clipboard().write_text(text)).await.is_ok()
}

/// Whether the browser has a share sheet for links.
pub fn can_share() -> bool {
    let share = js_sys::Reflect::get(&window().navigator(), &JsValue::from_str("share"));
    share.is_ok_and(|share| share.is_function())
}

/// Hands a link to the share sheet, with a text before it; `false` where it was not taken.
pub async fn share(title: &str, text: &str, link: &str) -> bool {
    let data = ShareData::new();
    data.set_title(title);
    if !text.is_empty() {
        data.set_text(text);
    }
    data.set_url(link);
    let promise = window().navigator().share_with_data(&data);
    JsFuture::from(promise.unchecked_into::<js_sys::Promise>()).await.is_ok()
}
