//! One order of the book, opened: what is paid, pressed and noted, and what can be done next.

use super::super::parts::{NumberField, Switch, TextField};
use super::super::state::{Desk, Notice, Screen, desk};
use super::hand::AtHandNow;
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::book::fact::{Field, Payment, What};
use lettertally::book::life::{Stage, events};
use lettertally::booth::making::Making;
use lettertally::booth::queue::Minute;
use lettertally::booth::rows::Row;
use lettertally::money::{Cents, Currency};
use std::sync::Arc;

/// All that can be done with an order.
#[component]
pub fn Card(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let entry = move || row.with_untracked(|row| row.as_ref().map(|row| row.entry.clone()));
    let stage = memo(move || row.with(|row| row.as_ref().map(|row| row.stage)));
    let happened = move |what: What| {
        if let Some(entry) = entry() {
            desk.happened(&entry.order.id, what);
        }
    };
    let open = move |_| {
        if let Some(entry) = entry() {
            desk.book.update(|book| book.turn_to(&entry.order.id));
            desk.screen.set(Screen::Order);
        }
    };
    let tell = move |_| {
        let told = entry().is_some_and(|entry| desk.tell_price(&entry));
        if !told {
            desk.tell(Notice::wrong("There is no price yet: open the order and complete it."));
        }
    };
    let is_open = move || stage.get().is_some_and(|stage| !stage.is_over());
    let is_next = move |asked: Stage| stage.get() == Some(asked);
    view! {
        <div class="card">
            <Rivals row/>
            {move || is_open().then(|| view! {
                <Garments row/>
                <Pay row/>
                <div class="row next">
                    <button type="button" class:main=move || is_next(Stage::Begun) on:click=tell>"Price told"</button>
                    <button type="button" class:main=move || is_next(Stage::Pressed) on:click=move |_| happened(What::HandedOver)>"Handed over"</button>
                </div>
                {move || row.with(|row| row.as_ref().is_some_and(|row| !row.life.is_pressed())).then(|| view! { <AtHandNow row/> })}
            })}
            <Notes row/>
            <div class="row">
                {move || (!is_next(Stage::Removed)).then(|| view! { <button type="button" on:click=open>"Open the order"</button> })}
                {move || is_open().then(|| view! { <button type="button" class="low" on:click=move |_| happened(What::CalledOff)>"Called off"</button> })}
            </div>
            <History row/>
        </div>
    }
}

/// Versions that two phones made of one order.
#[component]
fn Rivals(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let rivals = move || {
        let row = row.get()?;
        let (entry, rivals) = (&row.entry, &row.entry.rivals);
        if rivals.is_empty() {
            return None;
        }
        let id = entry.order.id.clone();
        let choose = move |which: Option<usize>| {
            let id = id.clone();
            move |_| desk.note(|book, now| book.choose(&id, which, now))
        };
        let other = |(at, rival): (usize, &lettertally::book::Rival)| {
            let order = &rival.content.order;
            let words = format!(
                "{} ({} garments, changed {})",
                order.called(),
                garments(desk, order),
                clock::day_and_time(rival.changed)
            );
            view! { <li><span>{words}</span> <button type="button" on:click=choose(Some(at))>"Take this one"</button></li> }
        };
        let ours = format!(
            "{} ({} garments, changed {})",
            entry.order.called(),
            garments(desk, &entry.order),
            clock::day_and_time(entry.changed)
        );
        Some(view! {
            <div class="problem">
                <p>"Two phones changed this order at the same time. Nothing is lost; choose what counts."</p>
                <ul class="plain-list">
                    <li><span>{ours}</span> <button type="button" on:click=choose(None)>"Keep this one"</button></li>
                    {rivals.iter().enumerate().map(other).collect_view()}
                </ul>
            </div>
        })
    };
    view! { {rivals} }
}

fn garments(desk: Desk, order: &lettertally::order::Order) -> u64 {
    let readings = desk.in_force.with_untracked(|shop| order.read(&shop.lists));
    readings.iter().map(lettertally::order::Reading::garments).sum()
}

/// Taking money.
#[component]
fn Pay(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let currency = move || desk.in_force.with(|shop| shop.settings.currency.clone());
    let rest = memo(move || row.with(|row| row.as_ref().and_then(|row| row.life.to_pay())));
    let kind = RwSignal::new(0_usize);
    let typed = RwSignal::new(None::<Cents>);
    let amount = move || typed.get().or_else(|| rest.get().filter(|rest| *rest > Cents::ZERO));
    let words = move || match rest.get() {
        None => "No price was told yet.".to_owned(),
        Some(rest) if rest > Cents::ZERO => format!("{} to pay", currency().show(rest)),
        Some(rest) if rest < Cents::ZERO => format!("{} paid too much", currency().show(Cents::ZERO - rest)),
        Some(_) => "Paid in full.".to_owned(),
    };
    let write = move |back: bool| {
        let (Some(row), Some(amount)) = (row.get_untracked(), untrack(amount)) else { return };
        let kind = Payment::ALL.get(kind.get_untracked()).copied().unwrap_or(Payment::Cash);
        let what = if back { What::PaidBack(kind, amount) } else { What::Paid(kind, amount) };
        typed.set(None);
        desk.happened(&row.entry.order.id, what);
    };
    let commit = move |text: String| {
        let amount = Cents::parse(&text, &untrack(currency))?;
        typed.set(Some(amount));
        Ok(())
    };
    view! {
        <h3>"Payment"</h3>
        <p class="help" role="status">{words}</p>
        <Switch label="How it is paid" options=Payment::ALL.map(Payment::word).to_vec() value=kind commit=move |at| kind.set(at)/>
        <div class="pay">
            <NumberField label="Amount" unit=derived(move || currency().code().to_owned()) value=derived(move || amount().map(|amount| currency().plain(amount)).unwrap_or_default()) commit=commit/>
            <button type="button" class="main" disabled=move || amount().is_none_or(|amount| amount == Cents::ZERO) on:click=move |_| write(false)>"Paid"</button>
            <button type="button" class="low" disabled=move || amount().is_none_or(|amount| amount == Cents::ZERO) on:click=move |_| write(true)>"Paid back"</button>
        </div>
    }
}

/// The garments, each to be ticked off as it comes from the press.
#[component]
fn Garments(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let list = move || {
        let row = row.get()?;
        let makings = desk.makings(&row.entry);
        let item = |making: Making| {
            let entry = row.entry.clone();
            let (pressed, spoiled) = ((entry.clone(), making.clone()), (entry, making.clone()));
            let name = match making.tag.whose() {
                whose if whose.is_empty() => making.tag.size.clone(),
                whose => format!("{whose}, {}", making.tag.size),
            };
            let count = (making.ordered > 1).then(|| format!("{} of {}", making.pressed, making.ordered));
            let left = making.left();
            view! {
                <li class:garment-done=left == 0>
                    <span>{name.clone()}" "<small>{count}</small></span>
                    {match left {
                        0 => view! { <span class="order-stage">"pressed"</span> },
                        _ => view! {
                            <button type="button" class="take" aria-label=format!("Pressed: {name}") on:click=move |_| desk.set_pressed(&pressed.0, &[(&pressed.1, pressed.1.pressed + 1)])>"Pressed"</button>
                            <button type="button" class="low" aria-label=format!("Spoiled: {name}") on:click=move |_| desk.spoiled(&spoiled.0, &spoiled.1)>"Spoiled"</button>
                        },
                    }}
                </li>
            }
        };
        Some(makings.into_iter().map(item).collect_view())
    };
    // Pressed for somebody who is no longer in the order: said, as its letters are gone.
    let strangers = move || {
        let row = row.get()?;
        let known: u32 = desk.makings(&row.entry).iter().map(|making| making.pressed).sum();
        let more = row.life.garments_pressed().saturating_sub(known);
        (more > 0).then(|| format!("{more} more pressed than the order has now: it was changed since."))
    };
    view! {
        <h3>"Garments"</h3>
        <ul class="garments plain-list">{list}</ul>
        {move || strangers().map(|words| view! { <p class="help">{words}</p> })}
    }
}

/// What is noted about the order.
#[component]
fn Notes(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let field = move |field: Field, label: &'static str, placeholder: &'static str| {
        let value = derived(move || {
            row.with(|row| row.as_ref().map(|row| row.life.note(field).to_owned()).unwrap_or_default())
        });
        let draft = RwSignal::new(None::<String>);
        let shown = derived(move || draft.get().unwrap_or_else(|| value.get()));
        let rivals = move || {
            row.with(|row| {
            let texts = row.as_ref()?.life.notes.get(&field)?.rivals.join("”, “");
            (!texts.is_empty()).then(|| view! { <p class="complaint">{format!("Another phone wrote “{texts}”. Write what counts.")}</p> })
        })
        };
        let write = move |_| {
            let (Some(row), Some(text)) = (row.get_untracked(), draft.get_untracked()) else { return };
            draft.set(None);
            let text = match field {
                Field::PickUp => {
                    Minute::parse(&text, &clock::today()).map_or(text, |minute| minute.as_str().to_owned())
                }
                _ => text,
            };
            if text.trim() != row.life.note(field) || row.life.has_rival_notes() {
                desk.happened(&row.entry.order.id, row.life.noting(field, &text));
            }
        };
        view! {
            <div on:focusout=write>
                <TextField label=label value=shown commit=move |text| draft.set(Some(text)) placeholder=placeholder/>
                {rivals}
            </div>
        }
    };
    view! {
        <div class="grid notes">
            {field(Field::Person, "Person", "")}
            {field(Field::PickUp, "Pick-up time", "14:30")}
            {field(Field::Note, "Note", "")}
        </div>
    }
}

/// What happened to the order; each can be undone.
#[component]
fn History(row: Memo<Option<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let list = move || {
        let row = row.get()?;
        let events = events(&row.entry);
        if events.is_empty() {
            return None;
        }
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        let id = row.entry.order.id.clone();
        let item = |event: lettertally::book::life::Event| {
            let words = told(&event.what, &currency);
            let (order, fact) = (id.clone(), event.id.clone());
            view! {
                <li>
                    <span><small>{clock::day_and_time(event.id.at)}</small>" "{words.clone()}</span>
                    <button type="button" aria-label=format!("Undo: {words}") on:click=move |_| desk.undo_fact(&order, fact.clone())>"Undo"</button>
                </li>
            }
        };
        Some(view! {
            <details class="minor-details">
                <summary>{format!("What happened ({})", events.len())}</summary>
                <ul class="history plain-list">{events.into_iter().map(item).collect_view()}</ul>
            </details>
        })
    };
    view! { {list} }
}

fn told(what: &What, currency: &Currency) -> String {
    match what {
        What::Quoted(promise) => format!("price told: {}", currency.show(promise.total)),
        What::Paid(kind, amount) => format!("{} paid ({})", currency.show(*amount), kind.word()),
        What::PaidBack(kind, amount) => format!("{} paid back ({})", currency.show(*amount), kind.word()),
        What::Pressed(made) => format!("{} pressed, {} letters", made.count, made.goods.letters()),
        What::Spoiled(made) => format!("{} spoiled, {} letters", made.count, made.goods.letters()),
        What::HandedOver => "handed over".to_owned(),
        What::CalledOff => "called off".to_owned(),
        What::Removed => "removed".to_owned(),
        What::Noted { field, to, .. } => format!("{}: {to}", field.words()),
        What::Counted(_) | What::Bought(_) | What::Received(_) | What::Undone(_) => "shelf".to_owned(),
    }
}
