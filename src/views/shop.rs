//! The shop: settings, lists, shelf, and starting over.

use super::exchange::PriceFile;
use super::keeping::Keeping;
use super::lists::{Blanks, Finishes, Styles};
use super::offers::Offers;
use super::parts::{Panel, ParsedField};
use super::settings::Settings;
use super::state::{desk, new_id};
use super::suppliers::Suppliers;
use crate::browser::clock;
use leptos::prelude::*;
use lettertally::glyph::GlyphCounts;
use lettertally::order::Order;
use lettertally::saved::{self, State};

/// The shop screen.
#[component]
pub fn ShopScreen() -> impl IntoView {
    view! {
        <StartOver/>
        <Finishes/>
        <Suppliers/>
        <Offers/>
        <PriceFile/>
        <Blanks/>
        <Styles/>
        <Shelf/>
        <Settings/>
        <Keeping/>
    }
}

/// The demo shop and an empty one, one tap apart; what was there can be brought back.
#[component]
fn StartOver() -> impl IntoView {
    let desk = desk();
    let empty = move |_| {
        desk.act("Began with empty lists.".to_owned(), |desk| {
            desk.begin_shop(saved::empty_shop());
            desk.begin_order();
            desk.screen.set(super::state::Screen::Shop);
        });
    };
    let demo = move |_| {
        desk.act("Brought the demo shop.".to_owned(), |desk| {
            let State { shop, book, .. } = saved::demo_state(&clock::today(), clock::now());
            desk.begin_shop(shop);
            let order = Order { id: new_id(), ..book.current().order.clone() };
            desk.book.update(|book| book.begin(order, clock::now()));
        });
    };
    view! {
        <Panel title="Start">
            <p class="help">"The demo shop, its supplier, its team and all prices are invented. Change them here, or begin with empty lists. Orders stay."</p>
            <div class="row">
                <button type="button" on:click=empty>"Empty shop"</button>
                <button type="button" on:click=demo>"Demo shop"</button>
            </div>
        </Panel>
    }
}

/// The shelf as text, family by family.
#[component]
fn Shelf() -> impl IntoView {
    let desk = desk();
    let families = Memo::new(move |_| {
        desk.shop.with(|shop| {
            let mut families = shop.lists.families();
            let stray = shop.shelf.stocks().iter().map(|stock| stock.family.clone());
            families
                .extend(stray.filter(|family| !shop.lists.families().contains(family)).collect::<Vec<_>>());
            families
        })
    });
    let owned = move || {
        let letters: u64 =
            desk.shop.with(|shop| shop.shelf.stocks().iter().map(|stock| stock.counts.total()).sum());
        format!("{letters} letters on the shelf")
    };
    view! {
        <Panel title="Shelf">
            <p class="help">"Letters you own: each letter with its count, such as A:5 B:2."</p>
            <details class="shelf">
                <summary>{owned}</summary>
                <For each=move || families.get() key=Clone::clone let(family)>
                    <ShelfField family/>
                </For>
            </details>
        </Panel>
    }
}

#[component]
fn ShelfField(family: lettertally::lists::Family) -> impl IntoView {
    let desk = desk();
    let family = StoredValue::new(family);
    let name = move || desk.shop.with(|shop| family.with_value(|family| shop.lists.family_name(family)));
    let kept = move || desk.shop.with(|shop| family.with_value(|family| shop.shelf.of(family)).to_string());
    let commit = move |text: String| {
        let counts = GlyphCounts::parse(&text).map_err(|error| error.to_string())?;
        desk.shop.update(|shop| family.with_value(|family| shop.shelf.replace(family, counts)));
        Ok(())
    };
    view! { <ParsedField label=Signal::derive(name) value=Signal::derive(kept) commit=commit rows=1/> }
}
