//! A link as a QR code, for another phone's camera.

use crate::views::prelude::*;
use lettertally::share::qr::{Qr, qr};

/// The code, once it is asked for.
#[component]
pub fn CodeOnDemand(link: String) -> impl IntoView {
    let shown = RwSignal::new(false);
    let link = StoredValue::new(link);
    view! {
        <button type="button" aria-expanded=move || shown.get().to_string() on:click=move |_| shown.update(|shown| *shown = !*shown)>
            {move || if shown.get() { "Hide the QR code" } else { "Show a QR code" }}
        </button>
        {move || shown.get().then(|| match link.with_value(|link| qr(link)) {
            Some(code) => view! {
                <figure class="qr">{drawing(&code)}<figcaption>"Hold the customer's camera over it."</figcaption></figure>
            }.into_any(),
            None => view! { <p class="help">"This link is too long for a QR code: share or copy it."</p> }.into_any(),
        })}
    }
}

/// The code of a link on the paper quote; nothing where it would be too fine to read from paper.
pub fn on_paper(link: &str) -> Option<AnyView> {
    let code = qr(link).filter(|code| code.for_paper)?;
    Some(view! { <figure class="qr only-print">{drawing(&code)}<figcaption>"This quote on your phone"</figcaption></figure> }.into_any())
}

/// The code as a picture.
pub fn drawing(code: &Qr) -> AnyView {
    let view_box = format!("0 0 {0} {0}", code.across);
    let across = code.across;
    view! {
        <svg viewBox=view_box role="img" aria-label="QR code of the link" shape-rendering="crispEdges">
            <rect width=across height=across fill="#fff"/>
            <path d=code.path.clone() fill="#000"/>
        </svg>
    }
    .into_any()
}
