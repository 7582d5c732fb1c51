//! Buying again: for all chosen orders at once, and taking in what comes.

use super::super::parts::{NumberField, Panel, Tick};
use super::super::search::Turn;
use super::super::state::desk;
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::fact::{Receipt, What};
use lettertally::book::goods::Goods;
use lettertally::book::ledger::{OnTheWay, cost_of_part, on_the_way};
use lettertally::booth::again::{self, BlankNeed, Party, Shared};
use lettertally::booth::making::{goods_left, makings};
use lettertally::buy::{self, Mix};
use lettertally::lists::Lists;
use lettertally::money::Cents;
use lettertally::order::OrderId;
use lettertally::tally::Tally;

/// An order with something left to press.
#[derive(Clone, PartialEq)]
struct Left {
    id: OrderId,
    called: String,
    tally: Tally,
    goods: Goods,
}

/// What was worked out for the chosen orders.
#[derive(Clone, PartialEq)]
struct Bought {
    mix: Mix,
    shared: Shared,
    blanks: Vec<BlankNeed>,
    orders: Vec<Left>,
}

/// Buying for several orders and the shelf, and receiving.
#[component]
pub fn BuyAgain() -> impl IntoView {
    let desk = desk();
    let left = memo(move || {
        desk.in_force.with(|shop| {
            desk.book.with(|book| {
                let open = book.entries().iter().filter(|entry| !entry.is_over());
                let left = open.map(|entry| {
                    let makings = makings(entry, &shop.lists, &shop.settings);
                    Left {
                        id: entry.order.id.clone(),
                        called: entry.order.called().to_owned(),
                        tally: again::tally_left(entry, &makings, &shop.lists, &shop.settings),
                        goods: goods_left(&makings),
                    }
                });
                left.filter(|left| !left.goods.is_empty()).collect::<Vec<Left>>()
            })
        })
    });
    let (without, restock) = (RwSignal::new(Vec::<OrderId>::new()), RwSignal::new(true));
    let found = RwSignal::new(None::<Bought>);
    let (turn, busy) = (Turn::new(), RwSignal::new(false));
    Effect::new(move |_| {
        left.track();
        without.track();
        restock.track();
        turn.next();
        busy.set(false);
        found.set(None);
    });
    let work_out = move |_| {
        let mut orders = left.get_untracked();
        orders.retain(|left| without.with_untracked(|without| !without.contains(&left.id)));
        let shop = desk.in_force.get_untracked();
        let restock = restock.get_untracked();
        let this = turn.next();
        found.set(None);
        busy.set(true);
        spawn_local(async move {
            // What is being done is on the screen before it is done.
            clock::pause(0).await;
            let tallies: Vec<_> = orders.iter().map(|left| (left.id.clone(), left.tally.clone())).collect();
            let goods: Vec<_> = orders.iter().map(|left| (left.id.clone(), left.goods.clone())).collect();
            let mix = buy::solve_briefly(&again::needs(&tallies, restock, &shop.shelf), &shop.lists);
            clock::pause(0).await;
            let shared = again::share(&tallies, restock, &mix, &shop.shelf, &shop.lists);
            let blanks = again::blanks(&goods, restock, &shop.shelf, &shop.lists);
            if !turn.is_past(this) {
                busy.set(false);
                found.set(Some(Bought { mix, shared, blanks, orders }));
            }
        });
    };
    let ticks = move || {
        left.get().into_iter().map(|Left { id, called, goods, .. }| {
            let (a, b) = (id.clone(), id);
            let words = format!("{called}: {}", pieces(&goods));
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
            {move || match left.with(Vec::is_empty) {
                true => view! { <p class="empty">"No open order needs anything. The shelf can still be filled up to what is wanted there."</p> },
                false => view! { <div class="buy-orders" role="group" aria-label="Orders to buy for">{ticks()}</div> },
            }}
            <Tick label="Fill up the shelf to what is wanted there" value=restock commit=move |on| restock.set(on)/>
            <button type="button" class="main" disabled=busy on:click=work_out>{move || if busy.get() { "Working it out…" } else { "Find the cheapest way" }}</button>
            {move || found.get().map(|bought| view! { <Answer bought/> })}
        </Panel>
        <Coming/>
    }
}

/// "13 letters, 2 garments".
fn pieces(goods: &Goods) -> String {
    let many = |count: u64, one: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {one}s"),
    };
    match (goods.letters(), goods.blanks()) {
        (letters, 0) => many(letters, "letter"),
        (0, blanks) => many(blanks, "garment"),
        (letters, blanks) => format!("{}, {}", many(letters, "letter"), many(blanks, "garment")),
    }
}

#[component]
fn Answer(bought: Bought) -> impl IntoView {
    let desk = desk();
    let (lists, currency) =
        desk.in_force.with_untracked(|shop| (shop.lists.clone(), shop.settings.currency.clone()));
    let Bought { mix, shared, blanks, orders } = bought;
    if let Some(trouble) = &mix.trouble {
        return view! { <p class="complaint" role="status">{trouble.words(&lists)}</p> };
    }
    if mix.is_empty() && blanks.is_empty() {
        return view! { <p class="at-hand at-hand-whole" role="status">"Nothing must be bought: all of it is on the shelf."</p> };
    }
    let called = |id: &OrderId| {
        orders.iter().find(|left| left.id == *id).map_or(String::new(), |left| left.called.clone())
    };
    let name = |party: &Party| match party {
        Party::Order(id) => called(id),
        Party::Shelf => "the shelf".to_owned(),
    };
    let rows = shared.shares.iter().map(|share| {
        view! { <tr><th scope="row">{name(&share.party)}</th><td class="num">{currency.show(share.alone)}</td><td class="num">{currency.show(share.together)}</td></tr> }
    }).collect_view();
    let saved = match shared.saved() {
        saved if saved > Cents::ZERO => {
            format!("Buying together saves {} over order by order.", currency.show(saved))
        }
        _ => "Buying together saves nothing over order by order.".to_owned(),
    };
    let goods: Vec<_> = orders.iter().map(|left| (left.id.clone(), left.goods.clone())).collect();
    let purchases = again::purchases(&mix, &shared, &lists);
    let suppliers = purchases.iter().map(|purchase| {
        view! { <li><span>{format!("{}: {}", purchase.supplier, pieces(&purchase.goods))}</span><span class="num">{currency.show(purchase.cost)}</span></li> }
    }).collect_view();
    let proved = if mix.is_proved() { "No way is cheaper." } else { "A cheaper way may exist." };
    let of_blanks = again::purchase_of_blanks(&blanks, &goods);
    let total = shared.total + of_blanks.as_ref().map(|purchase| purchase.cost).unwrap_or_default();
    let all: Vec<_> = purchases.into_iter().chain(of_blanks).collect();
    let write = move |_| {
        let all = all.clone();
        desk.act("Wrote down what was ordered.".to_owned(), move |desk| {
            desk.note(|book, now| {
                for purchase in all {
                    book.note_stock(What::Bought(Box::new(purchase)), now);
                }
            });
        });
    };
    let whole = currency.show(shared.total);
    view! {
        <div class="buy-total" role="status">
            <p class="big">{currency.show(total)}</p>
            <p class="help">"Letters with freight, and blanks."</p>
        </div>
        {(!mix.is_empty()).then(|| view! {
            <h3>"Letters"</h3>
            <ul class="plain-list priced">{suppliers}</ul>
            <p>{saved}" "{proved}</p>
            <div class="scroll" tabindex="0" role="group" aria-label="Who bears what"><table>
                <thead><tr><th scope="col">"for"</th><th scope="col" class="num">"alone"</th><th scope="col" class="num">"together"</th></tr></thead>
                <tbody>{rows}</tbody>
                <tfoot><tr><th scope="row">"all"</th><td></td><td class="num">{whole}</td></tr></tfoot>
            </table></div>
        })}
        <Blanks blanks lists/>
        <button type="button" class="main" on:click=write>"Ordered: write it down"</button>
    }
}

/// The blanks to buy, with their prices.
#[component]
fn Blanks(blanks: Vec<BlankNeed>, lists: Lists) -> impl IntoView {
    if blanks.is_empty() {
        return view! { <p class="help">"Blanks: as many as are needed are on the shelf."</p> };
    }
    let currency = desk().in_force.with_untracked(|shop| shop.settings.currency.clone());
    let line = |need: &BlankNeed| {
        let name =
            lists.blank(&need.blank).map_or_else(|| need.blank.to_string(), |blank| blank.name.clone());
        let cost = need.cost.map_or_else(|| "no price".to_owned(), |cost| currency.show(cost));
        view! { <li><span>{format!("{} × {name}, {}", need.count, need.size)}</span><span class="num">{cost}</span></li> }
    };
    view! {
        <h3>"Blanks"</h3>
        <ul class="plain-list priced">{blanks.iter().map(line).collect_view()}</ul>
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
