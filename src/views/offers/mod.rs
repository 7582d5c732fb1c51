//! The price list: on a narrow window a list of offers that open into their fields, on a wide one
//! a grid of cells. Both show and change the same offers.

mod board;
mod bulk;
mod card;
mod cells;
mod contents;
mod grid;
mod list;
mod report;

use super::entries::append;
use super::parts::{element_id, show};
use super::state::desk;
use crate::views::prelude::*;
use lettertally::lists::entries::List;
use wasm_bindgen::JsCast;
use web_sys::ScrollLogicalPosition;

/// The price list.
#[component]
pub fn Offers() -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let wide = super::parts::wide_window();
    let has_none = memo(move || desk.shop.with(|shop| shop.lists.offers.is_empty()));
    let ready = memo(move || {
        desk.shop.with(|shop| !shop.lists.finishes.is_empty() && !shop.lists.suppliers.is_empty())
    });
    let add = move |_| {
        append(desk, List::Offers);
        request_animation_frame(|| request_animation_frame(show_the_new_one));
    };
    let repricing = RwSignal::new(false);
    let chosen = RwSignal::new(Vec::new());
    let missing = move || {
        let words = if ready.get() {
            "No offers yet. An offer is one line of a supplier's list: a finish, a height, and what it costs."
        } else {
            "Add a finish first, and a supplier: an offer sells letters of one."
        };
        has_none.get().then(|| view! { <p class="empty">{words}</p> })
    };
    view! {
        <section class="panel prices" aria-labelledby=id.clone()>
            <h2 id=id.clone()>"Price list"</h2>
            {missing}
            {move || match (has_none.get(), wide.get()) {
                (true, _) => ().into_any(),
                (false, true) => view! { <grid::Grid chosen/> }.into_any(),
                (false, false) => view! { <list::OfferList/> }.into_any(),
            }}
            <Show when=move || ready.get()>
                <div class="row prices-more">
                    <button type="button" on:click=add>"Add an offer"</button>
                    <button type="button" disabled=move || has_none.get() aria-expanded=move || repricing.get().to_string() on:click=move |_| repricing.update(|on| *on = !*on)>
                        "Change many prices"
                    </button>
                </div>
            </Show>
            <Show when=move || repricing.get() && !has_none.get()>
                <bulk::Bulk open=repricing chosen/>
            </Show>
        </section>
    }
}

/// Brings the offer that was added last into view: as a line that stands open, or as the last row.
fn show_the_new_one() {
    let last = |selector: &str| {
        let found = document().query_selector_all(selector).ok()?;
        found.item(found.length().checked_sub(1)?)?.dyn_into::<web_sys::Element>().ok()
    };
    if let Some(line) = last(".offer[data-fresh]") {
        show(&line, ScrollLogicalPosition::Start);
    } else if let Some(row) = last(".price-grid [role=row]") {
        show(&row, ScrollLogicalPosition::Nearest);
    }
}
