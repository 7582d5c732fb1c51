//! The queue for the press, and which of the waiting orders the shelf can make.

use super::super::parts::{Panel, Switch};
use super::super::state::{Desk, Screen, desk};
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::book::Entry;
use lettertally::booth::at_hand::on_shelf;
use lettertally::booth::making::{Making, goods_left};
use lettertally::booth::queue::{Minute, Queued, queue};
use lettertally::booth::selection::{Choice, Most, Waiting, choose};
use lettertally::money::Cents;
use lettertally::order::OrderId;
use lettertally::plan;

fn garments(count: u32) -> String {
    if count == 1 { "1 garment".to_owned() } else { format!("{count} garments") }
}

/// The press: what comes next, and what can be made.
#[component]
pub fn Press() -> impl IntoView {
    let desk = desk();
    let waiting = memo(move || {
        let now = Minute::parse(&clock::day_and_time(clock::now()), &clock::today());
        now.map(|now| {
            desk.book.with(|book| desk.in_force.with(|shop| queue(book, &shop.lists, &shop.settings, &now)))
        })
        .unwrap_or_default()
    });
    let called = move |id: &OrderId| {
        desk.book.with(|book| book.entry(id).map(|entry| entry.order.called().to_owned()).unwrap_or_default())
    };
    let item = move |queued: Queued| {
        let (id, entry) =
            (queued.order.clone(), desk.book.with_untracked(|book| book.entry(&queued.order).cloned()));
        let promised = queued.promised.as_ref().map(|promised| format!("for {}", promised.time()));
        let late = queued.is_late();
        let pressed = move |_| {
            if let Some(entry) = &entry {
                press_all(desk, entry);
            }
        };
        let open = move |_| {
            desk.book.update(|book| book.turn_to(&id));
            desk.screen.set(Screen::Order);
        };
        view! {
            <li class:late=late>
                <button type="button" class="queue-called" on:click=open>{called(&queued.order)}</button>
                <small class="queue-times">{format!("{} · {} min · done by {}", garments(queued.garments), queued.seconds.div_ceil(60), queued.done.time())}</small>
                {promised.map(|promised| view! { <small class="queue-promised">{promised}{late.then_some(", late")}</small> })}
                <button type="button" class="take" on:click=pressed>"All pressed"</button>
            </li>
        }
    };
    view! {
        <Panel title="Queue for the press">
            {move || match waiting.with(Vec::is_empty) {
                true => view! { <p class="empty">"Nobody waits for the press. Orders come here once their price is told."</p> },
                false => view! { <ol class="queue plain-list">{waiting.get().into_iter().map(item).collect_view()}</ol> },
            }}
        </Panel>
        <FromShelf waiting/>
    }
}

fn press_all(desk: Desk, entry: &Entry) {
    let makings = untrack(move || desk.makings(entry));
    let all: Vec<(&Making, u32)> = makings.iter().map(|making| (making, making.ordered)).collect();
    desk.set_pressed(entry, &all);
}

fn wish(at: usize) -> Most {
    if at == 0 { Most::Orders } else { Most::Profit }
}

/// Which of the waiting orders the shelf can make, and what holds the others back.
#[component]
fn FromShelf(waiting: Memo<Vec<Queued>>) -> impl IntoView {
    let desk = desk();
    let most = RwSignal::new(0_usize);
    let found = RwSignal::new(None::<(Vec<OrderId>, Choice)>);
    Effect::new(move |_| {
        waiting.track();
        most.track();
        found.set(None);
    });
    let choose_now = move |_| {
        let ids: Vec<OrderId> =
            waiting.with_untracked(|waiting| waiting.iter().map(|queued| queued.order.clone()).collect());
        let shop = desk.in_force.get_untracked();
        let orders: Vec<Waiting> = ids
            .iter()
            .map(|id| {
                let entry = desk.book.with_untracked(|book| book.entry(id).cloned());
                let Some(entry) = entry else { return Waiting { need: Default::default(), profit: 0 } };
                let makings = lettertally::booth::making::makings(&entry, &shop.lists, &shop.settings);
                let priced = plan::plan(&entry.order, &shop).priced.ok();
                let profit =
                    priced.map_or(0, |priced| priced.profit_in_cents(&shop.settings.currency).minor());
                Waiting { need: goods_left(&makings), profit }
            })
            .collect();
        let wish = wish(most.get_untracked());
        found.set(Some((ids, choose(&orders, &on_shelf(&shop.shelf), wish))));
    };
    let called = move |id: &OrderId| {
        desk.book.with_untracked(|book| {
            book.entry(id).map(|entry| entry.order.called().to_owned()).unwrap_or_default()
        })
    };
    let answer = move || {
        let (ids, choice) = found.get()?;
        let asked = wish(most.get_untracked());
        let (lists, currency) =
            desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
        let words = format!(
            "{} of {} orders can be made{}",
            choice.made.len(),
            ids.len(),
            match (choice.is_proved, asked) {
                (true, _) => "; no choice is better.".to_owned(),
                (false, Most::Orders) => format!("; at most {} more could be.", choice.gap),
                (false, Most::Profit) => {
                    format!("; no choice earns more than {} more.", currency.show(Cents::new(choice.gap)))
                }
            }
        );
        let made: Vec<String> = choice.made.iter().filter_map(|&at| ids.get(at)).map(called).collect();
        let held = choice
            .bottlenecks
            .iter()
            .map(|found| {
                let gain = match found.orders {
                    0 => {
                        format!("{} more profit", currency.show(Cents::new(found.profit)))
                    }
                    1 => "one order more".to_owned(),
                    more => format!("{more} orders more"),
                };
                view! { <li>{format!("{} more {}: {gain}", found.short, found.item.name(&lists))}</li> }
            })
            .collect_view();
        Some(view! {
            <p class="strong" role="status">{words}</p>
            <ul class="plain-list">{made.into_iter().map(|name| view! { <li>{name}</li> }).collect_view()}</ul>
            {(!choice.bottlenecks.is_empty()).then(|| view! { <h3>"What holds the others back"</h3> <ul class="plain-list">{held}</ul> })}
        })
    };
    view! {
        <Panel title="What the shelf can make">
            <Switch label="What is to be most" options=vec!["most orders", "most profit"] value=most commit=move |at| most.set(at)/>
            <button type="button" class="main" disabled=move || waiting.with(Vec::is_empty) on:click=choose_now>"Choose among them"</button>
            {answer}
        </Panel>
    }
}
