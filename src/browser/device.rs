//! What the browser says of its own storage.

use leptos::prelude::window;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::StorageManager;

/// The storage manager, where the browser has one: only on https and localhost.
fn manager() -> Option<StorageManager> {
    let navigator = window().navigator();
    let present = js_sys::Reflect::get(&navigator, &JsValue::from_str("storage"));
    present.is_ok_and(|storage| !storage.is_undefined()).then(|| navigator.storage())
}

/// Whether the browser has promised not to clear what is kept; `None` where it does not say.
pub async fn is_promised() -> Option<bool> {
    JsFuture::from(manager()?.persisted().ok()?).await.ok()?.as_bool()
}

/// Asks the browser not to clear what is kept. It may ask the person in turn, and may refuse.
pub async fn ask_to_keep() -> Option<bool> {
    JsFuture::from(manager()?.persist().ok()?).await.ok()?.as_bool()
}
