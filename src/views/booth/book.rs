//! The order book: searched, filtered, sorted, each order opening into all that can be done with it.

use super::super::parts::{Choice, Panel, TextField};
use super::super::state::desk;
use super::away::PutAway;
use super::card::Card;
use crate::views::prelude::*;
use lettertally::book::fact::Field;
use lettertally::booth::rows::{Row, Shown, Sort, found, rows};
use std::sync::Arc;

/// How many orders are shown until more are asked for.
const STEP: usize = 40;

/// All orders.
#[component]
pub fn OrderBook() -> impl IntoView {
    let desk = desk();
    let all = Memo::new(move |before: Option<&Vec<Arc<Row>>>| {
        desk.book.with(|book| rows(book, before.map_or(&[], Vec::as_slice)))
    });
    let (query, shown, sort) = (RwSignal::new(String::new()), RwSignal::new(0_usize), RwSignal::new(0_usize));
    let most = RwSignal::new(STEP);
    let hits = memo(move || {
        let shown = Shown::all().get(shown.get()).map_or(Shown::Open, |(shown, _)| *shown);
        let sort = Sort::ALL.get(sort.get()).map_or(Sort::Newest, |(sort, _)| *sort);
        all.with(|all| query.with(|query| found(all, query, shown, sort)))
    });
    let choices = |words: Vec<&'static str>| -> Vec<(String, String)> {
        words.into_iter().enumerate().map(|(at, words)| (at.to_string(), words.to_owned())).collect()
    };
    let shown_choices = choices(Shown::all().into_iter().map(|(_, words)| words).collect());
    let sort_choices = choices(Sort::ALL.into_iter().map(|(_, words)| words).collect());
    let index = |text: String| text.parse::<usize>().unwrap_or(0);
    view! {
        <Panel title="Orders">
            <TextField label="Find an order" value=query commit=move |text| { most.set(STEP); query.set(text) } placeholder="name, number, words, day"/>
            <div class="row">
                <Choice label="Show" options=derived(move || shown_choices.clone()) value=derived(move || shown.get().to_string()) commit=move |text| shown.set(index(text))/>
                <Choice label="Sort by" options=derived(move || sort_choices.clone()) value=derived(move || sort.get().to_string()) commit=move |text| sort.set(index(text))/>
            </div>
            <p class="help" role="status">{move || found_words(hits.with(Vec::len), all.with(Vec::len))}</p>
            <div class="book">
                <For each=move || hits.get().into_iter().take(most.get()).map(|row| row.entry.order.id.clone()) key=Clone::clone let(id)>
                    <OneOrder id all/>
                </For>
            </div>
            {move || (hits.with(Vec::len) > most.get()).then(|| view! {
                <button type="button" class="wide" on:click=move |_| most.update(|most| *most += STEP)>"Show more"</button>
            })}
        </Panel>
        <PutAway all/>
    }
}

fn found_words(found: usize, all: usize) -> String {
    match (found, all) {
        (0, _) => "No order like that.".to_owned(),
        (1, 1) => "1 order".to_owned(),
        (found, all) if found == all => format!("{all} orders"),
        (found, all) => format!("{found} of {all} orders"),
    }
}

/// One order: a line that says how it stands, and opens.
#[component]
fn OneOrder(id: lettertally::order::OrderId, all: Memo<Vec<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let row = memo(move || {
        all.with(|all| {
            let at = all.iter().position(|row| row.entry.order.id == id);
            at.and_then(|at| all.get(at).cloned())
        })
    });
    let open = RwSignal::new(false);
    let called = move || row.with(|row| row.as_ref().map(|row| row.entry.order.called().to_owned()));
    let who = move || {
        row.with(|row| {
            let row = row.as_ref()?;
            let parts = [row.life.note(Field::Person), row.life.note(Field::PickUp)];
            Some(parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · "))
        })
    };
    let stage = move || row.with(|row| row.as_ref().map(|row| row.stage.words()));
    let money = move || {
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        row.with(|row| {
            let row = row.as_ref()?;
            let promise = row.life.promise?;
            let rest = row.life.to_pay()?;
            Some(match rest {
                rest if rest > lettertally::money::Cents::ZERO => format!("{} to pay", currency.show(rest)),
                _ => currency.show(promise.total),
            })
        })
    };
    let disputed = move || {
        row.with(|row| {
            row.as_ref().is_some_and(|row| !row.entry.rivals.is_empty() || row.life.has_rival_notes())
        })
    };
    view! {
        <details class="entry order-row" on:toggle:target=move |ev| open.set(ev.target().open())>
            <summary>
                <span class="order-called">{called}</span>
                <small>{who}</small>
                <span class="order-money num">{money}</span>
                <span class="order-stage">{stage}</span>
                {move || disputed().then(|| view! { <span class="order-disputed">"changed on two phones"</span> })}
            </summary>
            {move || open.get().then(|| view! { <Card row/> })}
        </details>
    }
}
