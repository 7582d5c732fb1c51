//! A working copy of an order: out to a colleague, and in from one.

use super::super::state::{Screen, desk, new_id};
use crate::browser::{address, clock};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::share::copy::Copy;

/// The link to a working copy, with what it holds said first.
#[component]
pub fn CopyOut() -> impl IntoView {
    let desk = desk();
    let said = RwSignal::new("");
    let make = move |by_sheet: bool| {
        let copy = desk
            .order
            .with_untracked(|order| desk.in_force.with_untracked(|shop| Copy::of(order, &shop.lists)));
        let link = format!("{}{}", address::page(), copy.fragment());
        spawn_local(async move {
            let done = if by_sheet {
                address::share("Working copy of an order: not for the customer", "", &link).await
            } else {
                address::copy(&link).await
            };
            said.set(if done {
                "Done: for a colleague only."
            } else {
                "Not shared: this browser does not allow it."
            });
        });
    };
    view! {
        <details class="no-print">
            <summary>"A working copy for a colleague"</summary>
            <p class="check"><b>"Not for the customer."</b>" The link holds the order as you typed it: texts, people, sizes, and the margin or price you aim at for this order. It holds no price list, supplier, shelf or cost."</p>
            <div class="row">
                {address::can_share().then(|| view! { <button type="button" on:click=move |_| make(true)>"Share the working copy"</button> })}
                <button type="button" on:click=move |_| make(false)>"Copy the link to the working copy"</button>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </details>
    }
}

/// A colleague's order that was opened from a link: asks before it is added.
#[component]
pub fn CopyOffered() -> impl IntoView {
    let desk = desk();
    let add = move |_| {
        let Some(copy) = desk.offered.get_untracked() else {
            return;
        };
        let lists = desk.in_force.with_untracked(|shop| shop.lists.clone());
        let (order, _) = copy.taken_over(&lists, new_id());
        let words = format!("Added the order {}.", order.called());
        desk.offered.set(None);
        desk.act(words, move |desk| desk.book.update(|book| book.begin(order, clock::now())));
        desk.screen.set(Screen::Order);
    };
    let missing = move |copy: &Copy| {
        let lists = desk.in_force.with(|shop| shop.lists.clone());
        let (_, missing) = copy.taken_over(&lists, new_id());
        (!missing.is_empty()).then(|| format!("Your lists do not have: {}.", missing.join(", ")))
    };
    view! {
        {move || desk.offered.get().map(|copy| view! {
            <div class="notice">
                <div>
                    <p>{format!("A colleague's working copy: {}, begun {}. Add it to your orders? None of yours is changed.", copy.order.called(), copy.order.date)}</p>
                    {missing(&copy).map(|words| view! { <p>{words}</p> })}
                </div>
                <button type="button" on:click=add>"Add the order"</button>
                <button type="button" on:click=move |_| desk.offered.set(None)>"Leave it"</button>
            </div>
        })}
    }
}
