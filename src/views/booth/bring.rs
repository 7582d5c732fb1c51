//! What to bring to an event: the guess, the work with its progress, the answer and the trade-off.

use super::super::parts::{Choice, NumberField, Panel, Switch};
use super::super::search::{SLICE, Turn};
use super::super::state::desk;
use super::chart::{Chart, Dot};
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::booth::at_hand::on_shelf;
use lettertally::booth::offer::{self, Usual};
use lettertally::buy::{self, Need};
use lettertally::event::asked::{Asked, Garments};
use lettertally::event::bring::{Answer, Bring as Work, DAYS, LADDER};
use lettertally::event::chance::Chance;
use lettertally::event::names::{self, Past};
use lettertally::money::Cents;
use lettertally::number;

/// What was found, for one chance or another.
#[derive(Clone, PartialEq)]
struct Found {
    answer: Answer,
    /// What must be bought for it beyond the shelf.
    cash: Cents,
}

/// What to bring.
#[component]
pub fn Bring() -> impl IntoView {
    let desk = desk();
    let (low, likely, high) = (RwSignal::new(20_u32), RwSignal::new(40_u32), RwSignal::new(60_u32));
    let by_guess = RwSignal::new(0_usize);
    let wanted = RwSignal::new(95_u32);
    let from_past = RwSignal::new(0_usize);
    let offers = memo(move || {
        let own = desk.usual.get();
        let first = desk.in_force.with(|shop| offer::first(&shop.lists));
        if own.is_empty() { first.into_iter().collect::<Vec<Usual>>() } else { own }
    });
    let chosen = RwSignal::new(String::new());
    let progress = RwSignal::new(None::<u32>);
    let found = RwSignal::new(Vec::<(u64, Found)>::new());
    let own = RwSignal::new(None::<Found>);
    let turn = Turn::new();
    let start = move |_| {
        let usual = offers.with_untracked(|offers| {
            chosen.with_untracked(|id| {
                offers.iter().find(|usual| usual.id.as_str() == id).or(offers.first()).cloned()
            })
        });
        let Some(usual) = usual else { return };
        let shop = desk.in_force.get_untracked();
        let past = desk.book.with_untracked(|book| Past::of(book, &shop.lists));
        let use_past = from_past.get_untracked() == 1 && !past.names.is_empty();
        let blank_sizes = shop
            .lists
            .blank(&usual.design.blank)
            .map(|blank| blank.sizes.iter().map(|size| size.name.clone()).collect())
            .unwrap_or_default();
        let asked = Asked {
            garments: match by_guess.get_untracked() {
                0 => Garments::About(likely.get_untracked()),
                _ => Garments::Between(low.get_untracked(), likely.get_untracked(), high.get_untracked()),
            },
            design: usual.design,
            names: if use_past { past.names } else { names::sample() },
            numbers: if use_past && !past.numbers.is_empty() { past.numbers } else { names::numbers() },
            sizes: if past.sizes.is_empty() { blank_sizes } else { past.sizes },
        };
        let order = lettertally::order::fresh::empty_order(lettertally::order::OrderId::default(), "");
        let mut work = Work::new(&asked, &order, &shop.lists, DAYS);
        let this = turn.next();
        found.set(Vec::new());
        own.set(None);
        progress.set(Some(0));
        spawn_local(async move {
            while !work.is_done() {
                let end = clock::milliseconds() + SLICE;
                while !work.is_done() && clock::milliseconds() < end {
                    work.step();
                }
                clock::pause(0).await;
                if turn.is_past(this) {
                    return;
                }
                progress.set(Some(work.progress()));
            }
            let on_shelf = on_shelf(&shop.shelf);
            let priced = |chance: Chance| {
                let answer = work.answer(chance)?;
                let missing = answer.goods().less(&on_shelf);
                let needs: Vec<Need> = missing
                    .by_family()
                    .into_iter()
                    .map(|(family, counts)| Need { family: family.clone(), counts })
                    .collect();
                let letters = buy::solve_briefly(&needs, &shop.lists).cost();
                let blanks: Cents = missing
                    .iter()
                    .filter_map(|(item, count)| match item {
                        lettertally::book::goods::Item::Blank(blank, size) => {
                            shop.lists.blank(blank)?.size(size)?.price.times(count)
                        }
                        lettertally::book::goods::Item::Letter(..) => None,
                    })
                    .sum();
                Some(Found { answer, cash: letters + blanks })
            };
            own.set(priced(Chance::of(u64::from(wanted.get_untracked()), 100)));
            for step in LADDER {
                clock::pause(0).await;
                if turn.is_past(this) {
                    return;
                }
                if let Some(point) = priced(Chance::of(step, 10_000)) {
                    found.update(|found| found.push((step, point)));
                }
            }
            progress.set(None);
        });
    };
    let stop = move |_| {
        turn.next();
        progress.set(None);
    };
    let count = |label: &'static str, place: RwSignal<u32>| {
        view! {
            <NumberField label=label value=derived(move || place.get().to_string()) whole=true commit=move |text: String| { place.set(number::whole(&text, 1, Garments::MOST)?); Ok(()) }/>
        }
    };
    view! {
        <Panel title="What to bring">
            <Choice label="What is offered" options=derived(move || offers.get().into_iter().map(|usual| (usual.id.to_string(), usual.name)).collect())
                value=derived(move || { let id = chosen.get(); if id.is_empty() { offers.with(|offers| offers.first().map(|usual| usual.id.to_string()).unwrap_or_default()) } else { id } })
                commit=move |id| chosen.set(id)/>
            <Switch label="How many garments" options=vec!["about", "from, likely, to"] value=by_guess commit=move |at| by_guess.set(at)/>
            <div class="grid">
                {move || (by_guess.get() == 1).then(|| count("At least", low))}
                {count("Garments expected", likely)}
                {move || (by_guess.get() == 1).then(|| count("At most", high))}
            </div>
            <Switch label="Names from" options=vec!["public table", "own orders"] value=from_past commit=move |at| from_past.set(at)/>
            <NumberField label="Chance that nobody is turned away" unit="%" value=derived(move || wanted.get().to_string()) whole=true commit=move |text: String| { wanted.set(number::whole(&text, 1, 99)?); Ok(()) }/>
            <button type="button" class="main" disabled=move || progress.get().is_some() on:click=start>"Work it out"</button>
            {move || progress.get().map(|done| view! {
                <div class="searching"><progress max="1000" value=done aria-label="Simulated days"></progress><button type="button" on:click=stop>"Stop"</button></div>
            })}
            <div role="status">{move || own.get().map(told)}</div>
            {move || (found.with(Vec::len) > 1).then(|| chart(&found.get()))}
            <p class="help">"Names of the public table are surnames of the United States census of 2010; a town, a team and a family share names, so your own past orders are the better guess once there are many. Numbers from the table are 1 to 99, each as likely."</p>
        </Panel>
    }
}

fn told(found: Found) -> AnyView {
    let desk = desk();
    let (lists, currency) =
        desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
    let Found { answer, cash } = found;
    let goods = answer.goods();
    let families = goods
        .by_family()
        .into_iter()
        .map(|(family, counts)| {
            view! { <h3>{lists.family_name(family)}</h3> <p class="letters-line">{counts.to_string()}</p> }
        })
        .collect_view();
    let blanks = answer
        .pieces
        .iter()
        .filter(|piece| !piece.item.is_letter())
        .map(|piece| view! { <li>{format!("{} × {}", piece.count, piece.item.name(&lists))}</li> })
        .collect_view();
    let rows = answer.pieces.iter().map(|piece| view! {
        <tr><th scope="row">{piece.item.name(&lists)}</th><td class="num">{format!("{}.{}", piece.mean / 1_000, piece.mean % 1_000 / 100)}</td><td class="num">{piece.count}</td><td class="num">{piece.chance.to_string()}</td></tr>
    }).collect_view();
    view! {
        <p class="strong">{format!("Nobody is turned away on {} of such days, give or take {}.{:02} %.", answer.achieved, answer.error / 100, answer.error % 100)}</p>
        <p>{format!("Bring {} letters and {} blanks. To buy beyond the shelf: {}.", goods.letters(), goods.blanks(), currency.show(cash))}</p>
        {families}
        <ul class="plain-list">{blanks}</ul>
        <details>
            <summary>"Piece by piece"</summary>
            <div class="scroll" tabindex="0" role="group" aria-label="Pieces"><table>
                <thead><tr><th scope="col">"piece"</th><th scope="col" class="num">"mean"</th><th scope="col" class="num">"bring"</th><th scope="col" class="num">"chance alone"</th></tr></thead>
                <tbody>{rows}</tbody>
            </table></div>
        </details>
    }
}

/// Cash against the chance of turning somebody away.
fn chart(found: &[(u64, Found)]) -> AnyView {
    let desk = desk();
    let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
    let dot = |(_, found): &(u64, Found)| Dot {
        across: i64::from(10_000 - found.answer.achieved.per_myriad()),
        up: found.cash.minor(),
        mark: String::new(),
    };
    let percent = |parts: i64| format!("{}.{} %", parts / 100, parts % 100 / 10);
    let cash = |minor: i64| currency.show(Cents::new(minor));
    let label =
        "Cash to buy with, against the chance that somebody is turned away. The table has the figures.";
    let drawn = Chart::new(label, found.iter().map(dot).collect()).joined().drawn(
        &percent,
        &cash,
        "turned away",
        "to buy",
    );
    let rows = found.iter().map(|(_, found)| view! {
        <tr><td class="num">{found.answer.achieved.to_string()}</td><td class="num">{found.answer.goods().letters()}</td><td class="num">{found.answer.goods().blanks()}</td><td class="num">{currency.show(found.cash)}</td></tr>
    }).collect_view();
    view! {
        <h3>"What more or less certainty costs"</h3>
        {drawn}
        <div class="scroll" tabindex="0" role="group" aria-label="Cash and chance"><table>
            <thead><tr><th scope="col" class="num">"nobody turned away"</th><th scope="col" class="num">"letters"</th><th scope="col" class="num">"blanks"</th><th scope="col" class="num">"to buy"</th></tr></thead>
            <tbody>{rows}</tbody>
        </table></div>
    }
    .into_any()
}
