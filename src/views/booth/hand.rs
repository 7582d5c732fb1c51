//! What the shelf has of an order, letter by letter, and what would do instead.

use super::super::state::desk;
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::booth::at_hand::{AtHand, Instead, LineAtHand, at_hand, instead, on_shelf};
use lettertally::booth::rows::Row;
use lettertally::glyph::Sign;
use lettertally::order::Order;
use std::sync::Arc;

/// How many lines are shown letter by letter.
const LINES: usize = 6;

/// Whether an order of the book can be made now.
#[component]
pub fn AtHandNow(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let order = memo(move || row.with(|row| row.as_ref().map(|row| row.entry.order.clone())));
    // The new price stands beside the button: whoever takes it has said it.
    let take = move |way: Instead| {
        desk.act(format!("Changed {}.", way.order.called()), move |desk| {
            let id = way.order.id.clone();
            desk.book.update(|book| book.replace(way.order, clock::now()));
            if let Some(entry) = desk.book.with_untracked(|book| book.any(&id).cloned()) {
                desk.tell_price(&entry);
            }
        });
    };
    view! { <FromTheShelf order take/> }
}

/// Whether an order can be made now.
#[component]
pub fn FromTheShelf(
    /// The order.
    order: Memo<Option<Order>>,
    /// Takes another in its place.
    #[prop(into)]
    take: Callback<Instead>,
) -> impl IntoView {
    let desk = desk();
    let found = memo(move || {
        let order = order.get()?;
        desk.in_force.with(|shop| Some(at_hand(&order, &on_shelf(&shop.shelf), &shop.lists)))
    });
    // Each takes a price: they are worked out when they are asked for.
    let asked = RwSignal::new(false);
    let ways = memo(move || {
        let order = order.get().filter(|_| asked.get())?;
        desk.in_force.with(|shop| Some(instead(&order, &on_shelf(&shop.shelf), shop)))
    });
    let verdict = move || found.with(|found| found.as_ref().map(AtHand::is_whole));
    let lacking = move || {
        let lists = desk.in_force.with(|shop| shop.lists.clone());
        found.with(|found| found.as_ref().map(|found| found.words(&lists)).unwrap_or_default())
    };
    let lines = move || {
        let lines = found.with(|found| found.as_ref().map(|found| found.lines.clone()).unwrap_or_default());
        let short = lines.into_iter().filter(|line| !line.is_whole()).take(LINES);
        short.map(letters).collect_view()
    };
    view! {
        <h3>"From the shelf"</h3>
        {move || match verdict() {
            Some(true) => view! { <p class="at-hand at-hand-whole" role="status">"Can be made now."</p> },
            Some(false) => view! {
                <div class="at-hand" role="status">
                    <p>"Not all of it is on the shelf:"</p>
                    <ul class="plain-list">{lacking().into_iter().map(|words| view! { <li>{words}</li> }).collect_view()}</ul>
                </div>
                <div class="letters-at-hand">{lines}</div>
                <button type="button" on:click=move |_| asked.set(true)>"What would do instead?"</button>
                {move || ways.get().map(|ways| view! { <Ways ways take/> })}
            },
            None => ().into_any(),
        }}
    }
}

/// A line letter by letter; what is not there is marked.
fn letters(line: LineAtHand) -> AnyView {
    let missing: Vec<String> = line
        .signs
        .iter()
        .filter_map(|(sign, there)| match sign {
            Sign::Glyph(glyph) if !there => Some(glyph.name()),
            _ => None,
        })
        .collect();
    let label = format!("Not there: {}", missing.join(", "));
    let sign = |(sign, there): (Sign, bool)| match sign {
        Sign::Space => view! { <span class="gap">" "</span> },
        Sign::Glyph(glyph) => view! { <span class:not-there=!there>{glyph.to_string()}</span> },
    };
    view! { <p class="letters-line" role="img" aria-label=label>{line.signs.into_iter().map(sign).collect_view()}</p> }
}

/// What can be made now in the place of what was asked for.
#[component]
fn Ways(ways: Vec<Instead>, take: Callback<Instead>) -> impl IntoView {
    let desk = desk();
    if ways.is_empty() {
        return view! { <p class="help">"Nothing on the shelf would do."</p> };
    }
    let currency = desk.in_force.with_untracked(|shop| shop.settings.currency.clone());
    let way = |way: Instead| {
        let price = way.total.map_or_else(String::new, |total| currency.show(total));
        let (kind, words) = (way.kind.words(), way.words.clone());
        view! {
            <li>
                <span><small>{kind}</small>" "{words}</span>
                <span class="num">{price}</span>
                <button type="button" on:click=move |_| take.run(way.clone())>"Take"</button>
            </li>
        }
    };
    view! { <ul class="ways plain-list">{ways.into_iter().map(way).collect_view()}</ul> }
}
