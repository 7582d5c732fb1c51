//! Changes of lists and settings that wait to be saved, with the orders that they touch.

use super::edits::{Reach, reach_of_edits};
use super::parts::show;
use super::state::desk;
use crate::views::prelude::*;
use leptos::html;
use lettertally::book::touch::{Figures, Touch};
use lettertally::money::{Cents, Currency};
use std::iter::successors;
use wasm_bindgen::JsCast;

/// What waits, what it would change, and the choice. Nothing while nothing waits.
#[component]
pub fn Waiting() -> impl IntoView {
    let desk = desk();
    let reach = reach_of_edits(desk);
    // Only what changes in a part that is there already is read out by a screen reader.
    let said = RwSignal::new("");
    Effect::new(move |_| {
        if reach.with(|reach| *reach != Reach::Nothing) {
            said.set("");
        }
    });
    let words = move || match reach.get() {
        Reach::Nothing => said.get().to_owned(),
        waiting => words_on(&waiting),
    };
    view! {
        <p class="hidden" role="status">{words}</p>
        {move || match reach.get() {
            Reach::Nothing => ().into_any(),
            Reach::Touches(touches) if !touches.is_empty() => view! { <Choose touches said/> }.into_any(),
            looking => view! { <div class="waiting"><p>{words_on(&looking)}</p></div> }.into_any(),
        }}
    }
}

fn words_on(reach: &Reach) -> String {
    match reach {
        Reach::Nothing => String::new(),
        Reach::Looking => "Not saved yet: looking which orders this changes …".to_owned(),
        Reach::Touches(touches) => match touches.len() {
            0 => words_on(&Reach::Looking),
            1 => "Not saved yet: this changes 1 order.".to_owned(),
            several => format!("Not saved yet: this changes {several} orders."),
        },
    }
}

#[component]
fn Choose(touches: Vec<Touch>, said: RwSignal<&'static str>) -> impl IntoView {
    let desk = desk();
    let rows = touched(&touches);
    let words = words_on(&Reach::Touches(touches));
    let save = move |_| {
        said.set("Saved.");
        desk.save_edits();
    };
    let foot = NodeRef::<html::Section>::new();
    Effect::new(move |_| {
        if let Some(foot) = foot.get() {
            request_animation_frame(move || uncover(&foot));
        }
    });
    view! {
        <section class="waiting" aria-label="Changes that are not saved yet" node_ref=foot>
            <p><b>{words}</b></p>
            <div class="waiting-rows" tabindex="0" role="group" aria-label="Orders that change">{rows}</div>
            <div class="row">
                <button type="button" class="main" on:click=save>"Save"</button>
                <button type="button" on:click=move |_| desk.drop_edits()>"Drop the changes"</button>
            </div>
        </section>
    }
}

/// Scrolls what has the focus out from under this; the page's style says how much room it takes.
///
/// Somebody who has scrolled on to look at something else meanwhile is not brought back.
fn uncover(foot: &web_sys::Element) {
    let focused = document().active_element().filter(|focused| focused.tag_name() != "BODY");
    let focused = focused.filter(|focused| !foot.contains(Some(focused)));
    if let Some(focused) = focused.and_then(|focused| focused.dyn_into().ok()).filter(is_in_window) {
        show(&focused, web_sys::ScrollLogicalPosition::Nearest);
    }
}

/// Whether some of an element is in the window, be it under something else.
fn is_in_window(element: &web_sys::HtmlElement) -> bool {
    let outwards = successors(Some(element.clone()), |inner| inner.offset_parent()?.dyn_into().ok());
    let from_top: i32 = outwards.map(|outer| outer.offset_top()).sum();
    let top = from_top - window().scroll_y().unwrap_or_default() as i32;
    let height = window().inner_height().ok().and_then(|height| height.as_f64()).unwrap_or(f64::MAX);
    top + element.offset_height() > 0 && top < height as i32
}

/// Orders that a change touches, each with its figures before and after.
pub fn touched(touches: &[Touch]) -> impl IntoView + use<> {
    const SHOWN: usize = 20;
    let more = touches.len().saturating_sub(SHOWN);
    let moneys = (currency_before(), currency_after());
    let rows: Vec<_> = touches.iter().take(SHOWN).map(|touch| row(touch, &moneys)).collect();
    view! {
        <ul class="touched">{rows}</ul>
        {(more > 0).then(|| view! { <p>{format!("and {more} more")}</p> })}
    }
}

fn currency_before() -> Currency {
    desk().in_force.with_untracked(|shop| shop.settings.currency.clone())
}

fn currency_after() -> Currency {
    desk().shop.with_untracked(|shop| shop.settings.currency.clone())
}

fn row(touch: &Touch, (old, new): &(Currency, Currency)) -> impl IntoView + use<> {
    let handed = touch.handed.map(|total| format!("The quote handed over stays at {}.", old.show(total)));
    let figures = match (touch.before, touch.after) {
        (
            Figures::Priced { each, profit, .. },
            Figures::Priced { each: new_each, profit: new_profit, .. },
        ) => {
            let pair = |before: Cents, after: Cents| (old.show(before), new.show(after));
            vec![("each", pair(each, new_each)), ("profit", pair(profit, new_profit))]
        }
        (before, after) => vec![("each", (each_of(before, old), each_of(after, new)))],
    };
    let figures: Vec<_> = figures
        .into_iter()
        .map(|(word, (before, after))| {
            if before == after {
                return view! { <span class="was-is"><span>{word}</span>" stays "<b>{after}</b></span> }
                    .into_any();
            }
            view! { <span class="was-is"><span>{word}</span>" "<s>{before}</s>" → "<b>{after}</b></span> }
                .into_any()
        })
        .collect();
    view! {
        <li>
            <span class="waiting-name">{touch.called.clone()}</span>
            <span class="waiting-figures">{figures}</span>
            {handed.map(|words| view! { <span class="waiting-handed">{words}</span> })}
        </li>
    }
}

fn each_of(figures: Figures, currency: &Currency) -> String {
    match figures {
        Figures::Incomplete => "not complete".to_owned(),
        Figures::Priced { each, .. } => currency.show(each),
    }
}
