//! The order: whose it is, and its designs.

use super::design::DesignCard;
use super::parts::{Choice, Panel, Problems, TextField};
use super::state::desk;
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::order::{OrderId, fresh};
use lettertally::problem::Place;

/// The order screen.
#[component]
pub fn OrderScreen() -> impl IntoView {
    let desk = desk();
    // Another order is another set of cards; typing in one leaves them as they are.
    let places = memo(move || {
        desk.order.with(|order| (0..order.designs.len()).map(|at| (order.id.clone(), at)).collect::<Vec<_>>())
    });
    let add = move |_| {
        let design = desk.in_force.with_untracked(|shop| fresh::design(&shop.lists));
        desk.change_order(|order| order.designs.extend(design));
    };
    let no_blanks = move || desk.in_force.with(|shop| shop.lists.blanks.is_empty());
    view! {
        <Panel title="Order">
            <OrderPicker/>
            <TextField
                label="For whom"
                placeholder="team, club or customer"
                value=derived(move || desk.order.with(|order| order.title.clone()))
                commit=move |text| desk.change_order(|order| order.title = text)
            />
            <Problems problems=desk.problems_at(|place| *place == Place::Order)/>
        </Panel>
        <For each=move || places.get() key=Clone::clone let((_, at))>
            <DesignCard design=at/>
        </For>
        <Swaps/>
        <Show
            when=move || !no_blanks()
            fallback=|| view! { <p class="empty">"Your lists have no garment yet. Add one under Shop, or bring the demo shop back there."</p> }
        >
            <button type="button" class="wide" on:click=add>
                {move || if places.with(Vec::is_empty) { "Add a garment" } else { "Add another garment" }}
            </button>
        </Show>
    }
}

#[component]
fn OrderPicker() -> impl IntoView {
    let desk = desk();
    let options = move || {
        desk.book.with(|book| {
            let words = |order: &lettertally::order::Order| format!("{}, {}", order.called(), order.date);
            book.at_work().map(|order| (order.id.to_string(), words(order))).collect::<Vec<_>>()
        })
    };
    let several = move || desk.book.with(|book| book.entries().len() > 1);
    let remove = move |_| {
        let order = desk.order.get_untracked();
        desk.remove(format!("order {}", order.called()), |desk| {
            desk.book.update(|book| {
                book.remove(&order.id, clock::now());
            });
        });
    };
    view! {
        <div class="order-picker">
            <div class="row">
                <Choice
                    label="Open order"
                    bare=true
                    options=derived(options)
                    value=derived(move || desk.order.with(|order| order.id.to_string()))
                    commit=move |id| desk.book.update(|book| book.turn_to(&OrderId::new(id)))
                />
                <button type="button" on:click=move |_| desk.begin_order()>"New"</button>
                <button type="button" on:click=move |_| desk.copy_order()>"Copy"</button>
                <Show when=several>
                    <button type="button" class="low" aria-label="Remove this order" on:click=remove>"✕"</button>
                </Show>
            </div>
        </div>
    }
}

/// Letters that are pressed as others, each of which can be taken back.
#[component]
fn Swaps() -> impl IntoView {
    let desk = desk();
    let swaps = memo(move || desk.order.with(|order| order.swaps.clone()));
    let one = move |swap: lettertally::order::Swap| {
        let words = match &swap.to {
            Some(to) => format!("{} is pressed as {to}", swap.from),
            None => format!("{} is left out", swap.from),
        };
        let back = move |_| desk.change_order(|order| order.swaps.retain(|old| *old != swap));
        view! {
            <li>
                <span>{words}</span>
                <button type="button" on:click=back>"Undo"</button>
            </li>
        }
    };
    view! {
        <Show when=move || swaps.with(|swaps| !swaps.is_empty())>
            <Panel title="Swapped letters">
                <ul class="rows">{move || swaps.get().into_iter().map(one).collect_view()}</ul>
            </Panel>
        </Show>
    }
}
