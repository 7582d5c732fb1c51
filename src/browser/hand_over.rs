//! Handing a text over as a file, and the print dialogue.

use leptos::prelude::{document, window, window_event_listener_untyped};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

/// Offers a text to be saved as a file.
pub fn save_file(name: &str, kind: &str, text: &str) {
    // A browser that cannot do this leaves the text on the page, where it can be copied.
    let _ = try_save(name, kind, text);
}

fn try_save(name: &str, kind: &str, text: &str) -> Result<(), JsValue> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlAnchorElement = document().create_element("a")?.dyn_into()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    Url::revoke_object_url(&address)
}

/// Opens the print dialogue for the buying list.
pub fn print() {
    mark_for_print(None);
    let _ = window().print();
}

/// Opens the print dialogue for the quote instead of the buying list.
pub fn print_quote() {
    print_as("quote");
}

/// Opens the print dialogue for what the style sheet for print knows by this word.
pub fn print_as(what: &str) {
    mark_for_print(Some(what));
    let _ = window().print();
}

/// Has the mark of what is printed taken off when the browser says that it is done: on a phone
/// the dialogue does not hold the page up.
pub fn tidy_after_print() {
    window_event_listener_untyped("afterprint", |_| mark_for_print(None));
}

/// The style sheet for print looks at this mark.
fn mark_for_print(what: Option<&str>) {
    let Some(body) = document().body() else { return };
    let _ = match what {
        Some(what) => body.set_attribute("data-print", what),
        None => body.remove_attribute("data-print"),
    };
}
