//! Buying again: for all chosen orders at once, and taking in what comes.

use super::super::parts::{NumberField, Panel, Tick};
use super::super::state::desk;
use crate::views::prelude::*;
use lettertally::book::fact::{Receipt, What};
use lettertally::book::ledger::{OnTheWay, cost_of_part, on_the_way};
use lettertally::booth::again::{self, Party, Shared};
use lettertally::booth::making::makings;
use lettertally::buy::{self, Mix};
use lettertally::money::Cents;
use lettertally::order::OrderId;
use lettertally::tally::Tally;

/// What was worked out for the chosen orders.
#[derive(Clone, PartialEq)]
struct Bought {
    mix: Mix,
    shared: Shared,
}

/// Buying for several orders and the shelf, and receiving.
#[component]
pub fn BuyAgain() -> impl IntoView {
    let desk = desk();
    let left = memo(move || {
        desk.in_force.with(|shop| {
            desk.book.with(|book| {
                let orders = book
                    .entries()
                    .iter()
                    .filter(|entry| !lettertally::book::life::Life::of(entry).stage().is_over());
                let tally = orders.map(|entry| {
                    (
                        entry.order.id.clone(),
                        entry.order.called().to_owned(),
                        again::tally_left(&makings(entry, &shop.lists, &shop.settings)),
                    )
                });
                tally
                    .filter(|(_, _, tally)| tally.letters_used() > 0)
                    .collect::<Vec<(OrderId, String, Tally)>>()
            })
        })
    });
    let (without, restock) = (RwSignal::new(Vec::<OrderId>::new()), RwSignal::new(true));
    let found = RwSignal::new(None::<Bought>);
    Effect::new(move |_| {
        left.track();
        without.track();
        restock.track();
        found.set(None);
    });
    let work_out = move |_| {
        let orders: Vec<(OrderId, Tally)> = left.with_untracked(|left| {
            left.iter()
                .filter(|(id, ..)| !without.with_untracked(|without| without.contains(id)))
                .map(|(id, _, tally)| (id.clone(), tally.clone()))
                .collect()
        });
        let shop = desk.in_force.get_untracked();
        let restock = restock.get_untracked();
        let mix = buy::solve_briefly(&again::needs(&orders, restock, &shop.shelf), &shop.lists);
        let shared = again::share(&orders, restock, &mix, &shop.shelf, &shop.lists);
        found.set(Some(Bought { mix, shared }));
    };
    let ticks = move || {
        left.get().into_iter().map(|(id, called, tally)| {
            let (a, b) = (id.clone(), id);
            let words = format!("{called} ({} letters)", tally.letters_used());
            view! {
                <Tick label=words value=derived(move || !without.with(|without| without.contains(&a))) commit=move |on: bool| without.update(|without| {
                    without.retain(|known| *known != b);
                    if !on {
                        without.push(b.clone());
                    }
                })/>
            }
        }).collect_view()
    };
    view! {
        <Panel title="Buy for all orders">
            {move || left.with(Vec::is_empty).then(|| view! { <p class="empty">"No open order needs letters."</p> })}
            <div class="ticks">{ticks}</div>
            <Tick label="Fill up the shelf to what is wanted there" value=restock commit=move |on| restock.set(on)/>
            <button type="button" class="wide" on:click=work_out>"Find the cheapest way"</button>
            {move || found.get().map(|bought| view! { <Answer bought=bought names=left.get().into_iter().map(|(id, called, _)| (id, called)).collect()/> })}
        </Panel>
        <Coming/>
    }
}

#[component]
fn Answer(bought: Bought, names: Vec<(OrderId, String)>) -> impl IntoView {
    let desk = desk();
    let (lists, currency) =
        desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
    let Bought { mix, shared } = bought;
    if let Some(trouble) = &mix.trouble {
        return view! { <p class="complaint">{trouble.words(&lists)}</p> };
    }
    if mix.is_empty() {
        return view! { <p role="status">"Nothing must be bought: all of it is on the shelf."</p> };
    }
    let name = |party: &Party| match party {
        Party::Order(id) => {
            names.iter().find(|(known, _)| known == id).map(|(_, called)| called.clone()).unwrap_or_default()
        }
        Party::Shelf => "the shelf".to_owned(),
    };
    let rows = shared.shares.iter().map(|share| {
        view! { <tr><th scope="row">{name(&share.party)}</th><td class="num">{currency.show(share.alone)}</td><td class="num">{currency.show(share.together)}</td></tr> }
    }).collect_view();
    let saved = match shared.saved() {
        saved if saved > Cents::ZERO => format!("Together saves {}.", currency.show(saved)),
        _ => "Together saves nothing over each alone.".to_owned(),
    };
    let purchases = again::purchases(&mix, &shared, &lists);
    let suppliers = purchases.iter().map(|purchase| {
        view! { <li>{format!("{}: {} letters, {} with freight", purchase.supplier, purchase.goods.letters(), currency.show(purchase.cost))}</li> }
    }).collect_view();
    let proved = if mix.is_proved() { "No way is cheaper." } else { "A cheaper way may exist." };
    let write = move |_| {
        let purchases = purchases.clone();
        desk.act("Wrote down what was ordered.".to_owned(), move |desk| {
            desk.note(|book, now| {
                for purchase in purchases {
                    book.note_stock(What::Bought(Box::new(purchase)), now);
                }
            });
        });
    };
    view! {
        <p class="big">{currency.show(shared.total)}</p>
        <p role="status">{saved}" "{proved}</p>
        <ul class="plain-list">{suppliers}</ul>
        <div class="scroll" tabindex="0" role="group" aria-label="Who pays what">
            <table><thead><tr><th scope="col">"for"</th><th scope="col" class="num">"alone"</th><th scope="col" class="num">"together"</th></tr></thead><tbody>{rows}</tbody></table>
        </div>
        <button type="button" class="wide" on:click=write>"Ordered: write it down"</button>
    }
}

/// What was ordered and has not all come.
#[component]
fn Coming() -> impl IntoView {
    let desk = desk();
    let open = memo(move || desk.book.with(|book| on_the_way(book.stock())));
    view! {
        <Panel title="On the way">
            {move || match open.with(Vec::is_empty) {
                true => view! { <p class="empty">"Nothing is on the way."</p> },
                false => open.get().into_iter().map(|open| view! { <OnePurchase open/> }).collect_view().into_any(),
            }}
        </Panel>
    }
}

#[component]
fn OnePurchase(open: OnTheWay) -> impl IntoView {
    let desk = desk();
    let (lists, currency) =
        desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
    let part = RwSignal::new(open.rest.clone());
    let open = StoredValue::new(open);
    let cost = RwSignal::new(None::<Cents>);
    let due = move || cost.get().unwrap_or_else(|| open.with_value(|open| cost_of_part(open, &part.get())));
    let items = open
        .with_value(|open| open.rest.iter().map(|(item, count)| (item.clone(), count)).collect::<Vec<_>>());
    let fields = items.into_iter().map(|(item, count)| {
        let (name, shown) = (item.name(&lists), item.clone());
        let commit = move |text: String| {
            let came = lettertally::number::whole(&text, 0, count)?;
            part.update(|part| part.set(item.clone(), came));
            Ok(())
        };
        view! { <NumberField label=name unit=format!("of {count}") value=derived(move || part.with(|part| part.get(&shown)).to_string()) commit=commit whole=true/> }
    }).collect_view();
    let title = open.with_value(|open| {
        format!(
            "{}: {} to come, {}",
            open.purchase.supplier,
            open.rest.letters() + open.rest.blanks(),
            currency.show(open.unpaid)
        )
    });
    let (code, plain, parse) = (currency.code().to_owned(), currency.clone(), currency);
    let take = move |_| {
        let (of, cost) = (Some(open.with_value(|open| open.id.clone())), untrack(due));
        let goods = part.with_untracked(|part| {
            part.iter().filter(|(_, count)| *count > 0).map(|(item, count)| (item.clone(), count)).collect()
        });
        let receipt = Receipt { of, goods, cost };
        desk.act("Took in what came.".to_owned(), move |desk| {
            desk.note(|book, now| drop(book.note_stock(What::Received(Box::new(receipt)), now)))
        });
    };
    view! {
        <details class="entry">
            <summary>{title}</summary>
            <p class="help">"Set what has come; the rest stays on its way."</p>
            <div class="grid coming">{fields}</div>
            <NumberField label="What it cost, freight included" unit=code value=derived(move || plain.plain(due())) commit=move |text: String| { cost.set(Some(Cents::parse(&text, &parse)?)); Ok(()) }/>
            <button type="button" class="wide" on:click=take>"Take in"</button>
        </details>
    }
}
