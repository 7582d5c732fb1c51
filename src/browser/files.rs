//! Files that the person opens, and handing one to the phone's share sheet.

use leptos::prelude::window;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, FilePropertyBag, HtmlInputElement, ShareData};

/// What came of opening a file.
pub enum Opened {
    /// No file was chosen.
    Nothing,
    /// The file is larger than was allowed.
    TooLarge,
    /// The browser could not read it.
    Unreadable,
    /// What is in it.
    Bytes(Vec<u8>),
}

/// The file chosen in an input, which is emptied so that the same file can be chosen again.
pub fn chosen(input: &HtmlInputElement) -> Option<File> {
    let file = input.files().and_then(|files| files.get(0));
    input.set_value("");
    file
}

/// Reads a file of at most so many bytes.
pub async fn read(file: Option<File>, most: usize) -> Opened {
    let Some(file) = file else {
        return Opened::Nothing;
    };
    if file.size() > most as f64 {
        return Opened::TooLarge;
    }
    match JsFuture::from(file.array_buffer()).await {
        Ok(buffer) => Opened::Bytes(js_sys::Uint8Array::new(&buffer).to_vec()),
        Err(_) => Opened::Unreadable,
    }
}

fn share_data(name: &str, kind: &str, text: &str) -> Option<ShareData> {
    let options = FilePropertyBag::new();
    options.set_type(kind);
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let file = File::new_with_str_sequence_and_options(&parts, name, &options).ok()?;
    let data = ShareData::new();
    data.set_files(&js_sys::Array::of1(&file));
    Some(data)
}

/// Whether the phone's share sheet takes files of this kind.
pub fn can_share(name: &str, kind: &str) -> bool {
    let navigator = window().navigator();
    let known = js_sys::Reflect::get(&navigator, &JsValue::from_str("canShare"));
    known.is_ok_and(|known| known.is_function())
        && share_data(name, kind, "").is_some_and(|data| navigator.can_share_with_data(&data))
}

/// Hands a text to the share sheet as a file; whether it was taken.
pub async fn share(name: &str, kind: &str, text: &str) -> bool {
    let Some(data) = share_data(name, kind, text) else {
        return false;
    };
    let promise = window().navigator().share_with_data(&data);
    JsFuture::from(promise.unchecked_into::<js_sys::Promise>()).await.is_ok()
}
