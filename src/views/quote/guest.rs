//! The quote as a customer opens it from its link, and the customer's answer.

use super::paper::Paper;
use crate::browser::{address, clock, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::quote::{Quote, contact};
use lettertally::share::acceptance::Acceptance;

/// A quote that was opened from its link, with nothing of the shop's own around it.
#[component]
pub fn Guest(quote: Quote) -> impl IntoView {
    document().set_title(&format!("Quote: {}", quote.shop));
    let past = quote.valid_until().filter(|_| quote.is_past(&clock::today()));
    let yes = quote.clone();
    view! {
        <main class="guest">
            <h1 class="hidden">"Quote"</h1>
            {past.map(|last| view! { <p class="check past" role="alert"><b>"This quote is no longer valid."</b>{format!(" Its last day was {last}. Ask the shop for a new one.")}</p> })}
            <section class="check">
                <b>"Before you say yes, check:"</b>
                <ul>
                    <li>"the spelling of every name and text: letters are pressed as they stand here, in capitals"</li>
                    <li>"every number, size and quantity"</li>
                    <li>"colours, and where each line goes"</li>
                </ul>
            </section>
            <Paper quote/>
            <p class="no-print"><button type="button" on:click=|_| hand_over::print_quote()>"Print"</button></p>
            {past.is_none().then(|| view! { <Yes quote=yes/> })}
            <p class="help no-print">"Nothing of this quote is kept on your device or sent anywhere by itself."</p>
        </main>
    }
}

/// The ways to say yes.
#[component]
fn Yes(quote: Quote) -> impl IntoView {
    let yes = Acceptance::of(&quote);
    let code = yes.code.to_string();
    let link = format!("{}{}", address::page(), yes.fragment());
    let total = quote.currency.show(quote.total());
    let title = format!("Yes to quote {}", quote.number);
    let message = format!("Yes to quote {} ({total}), exactly as it stands. Code {code}", quote.number);
    let whole = format!("{message}\n{link}");
    let escaped = |text: &str| String::from(js_sys::encode_uri_component(text));
    let by_text =
        format!("sms:{}?body={}", contact::telephone(&quote.contact).unwrap_or_default(), escaped(&whole));
    let by_mail = format!(
        "mailto:{}?subject={}&body={}",
        // RFC 6068: the sign between name and host stands as it is
        contact::mail(&quote.contact).map(escaped).unwrap_or_default().replace("%40", "@"),
        escaped(&title),
        escaped(&whole)
    );
    let said = RwSignal::new("");
    let parts = StoredValue::new((title, message, link, whole));
    let share = move |_| {
        let (title, message, link, _) = parts.get_value();
        spawn_local(async move {
            let done = address::share(&title, &message, &link).await;
            said.set(if done { "Handed to the share sheet." } else { "Not shared." });
        });
    };
    let copy = move |_| {
        let (.., whole) = parts.get_value();
        spawn_local(async move {
            let done = address::copy(&whole).await;
            said.set(if done {
                "Copied: paste it into a message to the shop."
            } else {
                "This browser does not allow copying: read the code to the shop."
            });
        });
    };
    view! {
        <section class="yes no-print">
            <h2>"Say yes"</h2>
            <p>"Send this to the shop, or read the code to them. It fits this quote only, exactly as it stands."</p>
            <p class="yes-code">{code}</p>
            <div class="row">
                {address::can_share().then(|| view! { <button type="button" class="main" on:click=share>"Share"</button> })}
                <a class="button" href=by_text>"Text message"</a>
                <a class="button" href=by_mail>"Mail"</a>
                <button type="button" on:click=copy>"Copy"</button>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </section>
    }
}

/// A link to a quote that cannot be opened.
#[component]
pub fn Refused(why: String) -> impl IntoView {
    let own_page = move |_| {
        address::clear_fragment();
        // A fresh start reads what is kept, which a refused link has left alone.
        address::reload();
    };
    view! {
        <main class="guest">
            <h1 class="hidden">"Lettertally"</h1>
            <article class="paper">
                <h2>"This quote cannot be opened"</h2>
                <p role="alert">{why}</p>
                <button type="button" on:click=own_page>"Open the page without it"</button>
            </article>
        </main>
    }
}
