//! Handing a text over as a file, and the print dialogue.

use leptos::prelude::{document, window};
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

/// Opens the browser's print dialogue.
pub fn print() {
    let _ = window().print();
}

/// Opens the print dialogue for the quote instead of the buying list.
pub fn print_quote() {
    let body = document().body();
    // The style sheet for print looks at this mark. The dialogue holds the page up until it closes.
    body.iter().for_each(|body| drop(body.set_attribute("data-print", "quote")));
    print();
    body.iter().for_each(|body| drop(body.remove_attribute("data-print")));
}
