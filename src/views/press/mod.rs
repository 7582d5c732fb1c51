//! The press screen: whether the letters fit, where they lie, the run sheet and the template.

mod fit;
mod method;
mod places;
mod run;
mod template;

use super::parts::Panel;
use super::state::desk;
use crate::views::prelude::*;
use lettertally::order::Order;
use lettertally::press::CAUTIONS;
use lettertally::press::sheet::{RunSheet, run_sheet};

/// What a decorator needs before buying and at the press.
#[component]
pub fn PressScreen() -> impl IntoView {
    let desk = desk();
    let sheet = memo(move || {
        desk.order.with(|order| {
            desk.in_force.with(|shop| {
                desk.plan.with(|plan| run_sheet(order, &plan.readings, &shop.lists, &shop.settings))
            })
        })
    });
    let missing = memo(move || {
        if desk.order.with(Order::is_only_begun) {
            return Some("Nothing to press yet: type on the Order screen what goes on the garment.");
        }
        let is_empty = sheet.with(|sheet| sheet.garments.is_empty());
        is_empty.then_some("No garment yet: say on the Order screen how many of which size, or who gets one.")
    });
    view! {
        <Cautions/>
        <Show when=move || missing.get().is_none() fallback=move || view! {
            <Panel title="At the press"><p class="empty">{move || missing.get()}</p></Panel>
        }>
            <run::Run sheet/>
            <fit::Fit/>
            <places::Places/>
            <template::Templates/>
        </Show>
    }
}

/// The cautions, always open at the press.
#[component]
fn Cautions() -> impl IntoView {
    view! {
        <Panel title="Before you press">
            <ul class="press-cautions">{CAUTIONS.map(|caution| view! { <li>{caution}</li> }).collect_view()}</ul>
        </Panel>
    }
}

/// The cautions where press work is only a part of what is shown: folded, a tap away.
#[component]
pub fn FoldedCautions() -> impl IntoView {
    view! {
        <details class="cautions">
            <summary>"Before you press"</summary>
            <ul>{CAUTIONS.map(|caution| view! { <li>{caution}</li> }).collect_view()}</ul>
        </details>
    }
}

/// The cautions as they stand on paper.
pub fn cautions_on_paper() -> AnyView {
    view! { <p class="press-small">{CAUTIONS.join(" ")}</p> }
}

/// The run sheet, worked out once for all that show it.
pub type Sheet = Memo<RunSheet>;

/// A phrase as it begins a heading or a sentence.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
