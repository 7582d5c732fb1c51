//! The queue for the press, and which of the waiting orders the shelf can make.

use super::super::parts::{Panel, Switch, counted};
use super::super::press::FoldedCautions;
use super::super::search::{NEWS, Slices, Turn};
use super::super::state::{Desk, Screen, desk};
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::Entry;
use lettertally::book::goods::Goods;
use lettertally::booth::at_hand::on_shelf;
use lettertally::booth::making::{Making, goods_left, makings};
use lettertally::booth::queue::{Minute, Queued, queue};
use lettertally::booth::selection::{Choice, Most, Search, Waiting};
use lettertally::money::Cents;
use lettertally::order::OrderId;
use lettertally::plan;

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
                <small class="queue-times">{format!("{} · {} min · done by {}", counted(queued.garments, "garment", "garments"), queued.seconds.div_ceil(60), queued.done.time())}</small>
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
            <FoldedCautions/>
        </Panel>
        <FromShelf waiting/>
    }
}

fn press_all(desk: Desk, entry: &Entry) {
    let makings = untrack(move || desk.makings(entry));
    let all: Vec<(&Making, u32)> = makings.iter().map(|making| (making, making.ordered)).collect();
    desk.set_pressed(entry, &all);
}

/// What an order takes and earns; one that is gone meanwhile takes and earns nothing.
fn waits(entry: Option<&Entry>, desk: Desk) -> Waiting {
    let Some(entry) = entry else { return Waiting { need: Goods::default(), profit: 0 } };
    desk.in_force.with_untracked(|shop| {
        let priced = plan::plan(&entry.order, shop).priced.ok();
        let profit = priced.map_or(0, |priced| priced.profit_in_cents(&shop.settings.currency).minor());
        Waiting { need: goods_left(&makings(entry, &shop.lists, &shop.settings)), profit }
    })
}

fn wish(at: usize) -> Most {
    if at == 0 { Most::Orders } else { Most::Profit }
}

/// What was found of what the shelf can make.
#[derive(Clone)]
struct Found {
    ids: Vec<OrderId>,
    most: Most,
    choice: Choice,
}

/// Which of the waiting orders the shelf can make, and what holds the others back.
#[component]
fn FromShelf(waiting: Memo<Vec<Queued>>) -> impl IntoView {
    let desk = desk();
    let most = RwSignal::new(0_usize);
    let found = RwSignal::new(None::<Found>);
    let is_looking = RwSignal::new(false);
    let turn = Turn::new();
    Effect::new(move |_| {
        waiting.track();
        most.track();
        turn.next();
        is_looking.set(false);
        found.set(None);
    });
    let is_stopped = StoredValue::new(false);
    let choose = move |_| {
        let ids: Vec<OrderId> =
            waiting.with_untracked(|waiting| waiting.iter().map(|queued| queued.order.clone()).collect());
        let most = wish(most.get_untracked());
        let turn_now = turn.next();
        let is_past = move || turn.is_past(turn_now);
        is_looking.set(true);
        is_stopped.set_value(false);
        spawn_local(async move {
            let mut slices = Slices::begin();
            let mut orders = Vec::new();
            for id in &ids {
                orders.push(desk.book.with_untracked(|book| waits(book.entry(id).map(AsRef::as_ref), desk)));
                slices.rest().await;
                if is_past() {
                    return;
                }
            }
            let shelf = desk.in_force.with_untracked(|shop| on_shelf(&shop.shelf));
            let mut search = Search::new(orders, shelf, most);
            let mut told = clock::milliseconds();
            while !search.is_done() && !is_stopped.get_value() {
                search.work(1);
                slices.rest().await;
                if is_past() {
                    return;
                }
                if clock::milliseconds() - told > NEWS {
                    told = clock::milliseconds();
                    found.set(Some(Found { ids: ids.clone(), most, choice: search.choice() }));
                }
            }
            found.set(Some(Found { ids, most, choice: search.choice() }));
            is_looking.set(false);
        });
    };
    let called = move |id: &OrderId| {
        desk.book.with_untracked(|book| {
            book.entry(id).map(|entry| entry.order.called().to_owned()).unwrap_or_default()
        })
    };
    let answer = move || {
        let Found { ids, most, choice } = found.get()?;
        let (lists, currency) =
            desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
        let words = format!(
            "{} of {} orders can be made{}",
            choice.made.len(),
            ids.len(),
            match (choice.is_proved, most) {
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
            <button type="button" class="main" disabled=move || waiting.with(Vec::is_empty) || is_looking.get() on:click=choose>"Choose among them"</button>
            <Show when=move || is_looking.get()>
                <div class="row">
                    <p role="status">"Looking for a better choice …"</p>
                    <button type="button" on:click=move |_| is_stopped.set_value(true)>"Stop"</button>
                </div>
            </Show>
            {answer}
        </Panel>
    }
}
