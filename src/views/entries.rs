//! Entries of the shop's lists as cards: what suppliers, finishes, blanks, letter styles and offers
//! have in common on the page.

use super::parts::{Panel, show};
use super::state::{Desk, desk};
use crate::views::prelude::*;
use leptos::html;
use lettertally::lists::Lists;
use lettertally::lists::entries::{Entry, List, Shift};
use lettertally::money::Currency;
use std::iter::successors;
use wasm_bindgen::JsCast;

/// The id of the entry that a card shows; it lives as long as the card.
pub type EntryId = StoredValue<String>;

/// An entry as it is on its list, and the way to change it.
pub struct Held<T: Entry> {
    desk: Desk,
    id: EntryId,
    entry: Memo<Option<T>>,
}

impl<T: Entry> Clone for Held<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Entry> Copy for Held<T> {}

impl<T: Entry> Held<T> {
    /// The entry with this id.
    pub fn new(id: EntryId) -> Self {
        let desk = desk();
        let entry = memo(move || {
            desk.shop.with(|shop| {
                id.with_value(|id| T::all(&shop.lists).iter().find(|entry| entry.id() == id).cloned())
            })
        });
        Self { desk, id, entry }
    }

    /// Reads it; `None` once it is gone.
    pub fn with<U>(self, read: impl FnOnce(&T) -> U) -> Option<U> {
        self.entry.with(|entry| entry.as_ref().map(read))
    }

    /// A text of it.
    pub fn text(self, part: fn(&T) -> String) -> Signal<String> {
        derived(move || self.with(part).unwrap_or_default())
    }

    /// A text of it in which amounts of money stand.
    pub fn money(self, part: fn(&T, &Currency) -> String) -> Signal<String> {
        let shop = self.desk.shop;
        derived(move || {
            shop.with(|shop| self.with(|entry| part(entry, &shop.settings.currency))).unwrap_or_default()
        })
    }

    /// Whether something is so with it.
    pub fn is(self, part: fn(&T) -> bool) -> Signal<bool> {
        derived(move || self.with(part).unwrap_or_default())
    }

    /// Changes it on its list.
    pub fn change(self, change: &dyn Fn(&mut T)) {
        self.desk.change_lists(|lists| {
            let entry = T::all_mut(lists).iter_mut();
            let entry = entry.into_iter().find(|entry| self.id.with_value(|id| entry.id() == id));
            if let Some(entry) = entry {
                change(entry);
            }
        });
    }

    /// The shop's currency now.
    pub fn currency(self) -> Currency {
        self.desk.shop.with_untracked(|shop| shop.settings.currency.clone())
    }
}

/// A list in a panel: a card for each entry, and a button for another one.
#[component]
pub fn EntryPanel(
    /// The heading.
    title: &'static str,
    /// Which list.
    list: List,
    /// What stands in an entry's card.
    card: fn(EntryId) -> AnyView,
    /// What stands below the list.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let desk = desk();
    let ids = memo(move || desk.shop.with(|shop| list.ids(&shop.lists)));
    view! {
        <Panel title=title>
            <For each=move || ids.get() key=Clone::clone let(id)>
                <EntryCard list id=StoredValue::new(id) card/>
            </For>
            <button type="button" class="wide" on:click=move |_| append(desk, list)>
                {format!("Add a {}", list.word())}
            </button>
            {children.map(|children| children())}
        </Panel>
    }
}

/// Adds an entry, whose fields then stand open.
pub fn append(desk: Desk, list: List) {
    let fresh = changed(desk, &mut |lists| list.append(lists));
    desk.fresh.set(fresh.unwrap_or_default());
}

fn changed(desk: Desk, change: &mut dyn FnMut(&mut Lists) -> Option<String>) -> Option<String> {
    let mut id = None;
    desk.change_lists(|lists| id = change(lists));
    id
}

/// One entry: its name, which opens into its fields.
#[component]
fn EntryCard(list: List, id: EntryId, card: fn(EntryId) -> AnyView) -> impl IntoView {
    let desk = desk();
    let name = move || desk.shop.with(|shop| id.with_value(|id| list.name(&shop.lists, id)));
    let is_fresh = id.with_value(|id| desk.fresh.with_untracked(|fresh| id == fresh));
    view! {
        <details class="entry" open=is_fresh>
            <summary>{name}</summary>
            {card(id)}
            <EntryTools list id/>
        </details>
    }
}

/// What can be done with an entry as a whole: copy, move, remove.
#[component]
pub fn EntryTools(
    /// Which list it is on.
    list: List,
    /// The entry.
    id: EntryId,
    /// Whether an offer moves past those of its own finish and height only.
    #[prop(optional)]
    among_alike: bool,
) -> impl IntoView {
    let desk = desk();
    let name = move || desk.shop.with(|shop| id.with_value(|id| list.name(&shop.lists, id)));
    let shift = move |shift: Shift| {
        desk.change_lists(|lists| {
            id.with_value(|id| match among_alike {
                true => lists.shift_among_alike(id, shift),
                false => list.shift(lists, id, shift),
            });
        });
    };
    let can = move |shift: Shift| {
        desk.shop.with(|shop| {
            id.with_value(|id| match among_alike {
                true => shop.lists.can_shift_among_alike(id, shift),
                false => list.can_shift(&shop.lists, id, shift),
            })
        })
    };
    let tools = NodeRef::<html::Div>::new();
    let remove = move |_| {
        let next = tools.get_untracked().and_then(|tools| neighbour(&tools));
        remove(desk, list, id);
        if let Some(next) = next {
            request_animation_frame(move || keep_in_view(&next));
        }
    };
    view! {
        <div class="row entry-tools" node_ref=tools>
            <button type="button" aria-label=move || format!("Copy {}", name()) on:click=move |_| copy(desk, list, id)>"Copy"</button>
            <button type="button" aria-label=move || format!("Move {} up", name()) disabled=move || !can(Shift::Up) on:click=move |_| shift(Shift::Up)>"↑"</button>
            <button type="button" aria-label=move || format!("Move {} down", name()) disabled=move || !can(Shift::Down) on:click=move |_| shift(Shift::Down)>"↓"</button>
            <button type="button" on:click=remove>{format!("Remove this {}", list.word())}</button>
        </div>
    }
}

/// The entry after the one that something stands in, else the one before it, else the panel: where
/// the person goes on when this one is gone.
fn neighbour(inside: &web_sys::Element) -> Option<web_sys::Element> {
    let entry = inside.closest("details.entry").ok()??;
    let is_entry = |other: &web_sys::Element| other.class_list().contains("entry");
    let after = successors(entry.next_element_sibling(), web_sys::Element::next_element_sibling);
    let before = successors(entry.previous_element_sibling(), web_sys::Element::previous_element_sibling);
    let other = after.chain(before).find(is_entry);
    let summary = other.and_then(|other| other.query_selector("summary").ok()?);
    summary.or_else(|| entry.closest(".panel").ok()?)
}

/// Goes on here: with the focus where it can have it, and in view.
pub fn keep_in_view(next: &web_sys::Element) {
    if let Some(next) = next.dyn_ref::<web_sys::HtmlElement>() {
        let _ = next.focus();
    }
    show(next, web_sys::ScrollLogicalPosition::Nearest);
}

/// Puts a copy after an entry; its fields then stand open.
pub fn copy(desk: Desk, list: List, id: EntryId) {
    let fresh = changed(desk, &mut |lists| id.with_value(|id| list.copy(lists, id)));
    desk.fresh.set(fresh.unwrap_or_default());
}

/// Removes an entry in a way that can be undone.
pub fn remove(desk: Desk, list: List, id: EntryId) {
    let id = id.get_value();
    let name = desk.shop.with_untracked(|shop| list.name(&shop.lists, &id));
    let what = if list == List::Suppliers { format!("{name} and its offers") } else { name };
    desk.remove(what, |desk| desk.change_lists(|lists| list.remove(lists, &id)));
}
