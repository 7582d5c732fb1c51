//! The rules of Unicode as the browser has them built in.

use js_sys::{Intl, JsString, Reflect, RegExp};
use lettertally::glyph::unicode::{Rules, use_rules};
use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;

/// Lets the core read by the browser's rules; before anything is read.
pub fn hand_over() {
    use_rules(Rules { composed, without_marks, clusters });
}

fn composed(text: &str) -> String {
    JsString::from(text).normalize("NFC").into()
}

fn without_marks(text: &str) -> String {
    JsString::from(text).normalize("NFD").replace_by_pattern(&RegExp::new(r"\p{M}", "gu"), "").into()
}

fn clusters(text: &str) -> Vec<String> {
    by_segmenter(text).unwrap_or_else(|| by_marks(text))
}

fn by_segmenter(text: &str) -> Option<Vec<String>> {
    thread_local! {
        static SEGMENTER: Option<Intl::Segmenter> = segmenter();
    }
    let segments = SEGMENTER.with(|segmenter| Some(segmenter.as_ref()?.segment(text)))?;
    let pieces = js_sys::try_iter(&segments).ok()??;
    let piece = |piece: JsValue| Reflect::get(&piece, &"segment".into()).ok()?.as_string();
    pieces.map(|found| found.ok().and_then(piece)).collect()
}

fn segmenter() -> Option<Intl::Segmenter> {
    let intl = Reflect::get(&js_sys::global(), &"Intl".into()).ok()?;
    let maker = Reflect::get(&intl, &"Segmenter".into()).ok()?.dyn_into::<js_sys::Function>().ok()?;
    // Without options it splits by grapheme cluster.
    Some(Reflect::construct(&maker, &js_sys::Array::new()).ok()?.unchecked_into())
}

/// For a browser without a segmenter: every mark goes with the sign before it.
fn by_marks(text: &str) -> Vec<String> {
    let marks = RegExp::new(r"^[\p{M}\u200d]", "u");
    let mut out: Vec<String> = Vec::new();
    for sign in text.chars() {
        let sign = String::from(sign);
        match out.last_mut() {
            Some(last) if marks.test(&sign) || last.ends_with('\u{200d}') => last.push_str(&sign),
            _ => out.push(sign),
        }
    }
    out
}
