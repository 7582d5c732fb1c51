//! The shop: settings, lists, shelf, and starting over.

use super::exchange::PriceFile;
use super::keeping::Keeping;
use super::lists::{Blanks, Finishes, Styles};
use super::offers::Offers;
use super::offline::WithoutNetwork;
use super::parts::Panel;
use super::settings::SettingsOf;
use super::shelf::Shelf;
use super::state::{desk, new_id};
use super::suppliers::Suppliers;
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::lists::settings::table::Group;
use lettertally::order::Order;
use lettertally::saved::{self, State};

/// The shop screen. Where there is room its panels stand in columns, each in its own whatever the
/// others hold: nothing that is being used moves into another one.
#[component]
pub fn ShopScreen() -> impl IntoView {
    view! {
        <Offers/>
        <PriceFile/>
        <div class="shop-lists">
            <Suppliers/>
            <Finishes/>
            <Styles/>
            <Blanks/>
            <Shelf/>
        </div>
        <div class="shop-work">
            <SettingsOf group=Group::Shop/>
            <SettingsOf group=Group::Work/>
            <SettingsOf group=Group::Press/>
        </div>
        <div class="shop-selling">
            <SettingsOf group=Group::Selling/>
            <SettingsOf group=Group::Quote/>
            <Keeping/>
            <WithoutNetwork/>
            <StartOver/>
        </div>
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
            <p class="help">"The demo shop, its suppliers, its team and all prices are invented. Change them here, or begin with empty lists. Orders stay."</p>
            <div class="row">
                <button type="button" on:click=empty>"Empty shop"</button>
                <button type="button" on:click=demo>"Demo shop"</button>
            </div>
        </Panel>
    }
}
