//! The open order in each finish and mix of two: figures side by side, and profit against price.

use super::super::parts::Panel;
use super::super::search::Turn;
use super::super::state::{Screen, desk};
use super::chart::{Chart, Dot};
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::booth::finishes::{Figures, figures, ways};
use lettertally::order::Order;

/// One way to make the order, and what it comes to.
type Way = (String, Order, Option<Figures>);

/// One design in each finish.
#[component]
pub fn Finishes() -> impl IntoView {
    let desk = desk();
    let found = RwSignal::new(Vec::<Way>::new());
    let (turn, busy) = (Turn::new(), RwSignal::new(false));
    // What was found is of the order and the lists as they were.
    Effect::new(move |_| {
        desk.order.track();
        desk.in_force.track();
        turn.next();
        busy.set(false);
        found.set(Vec::new());
    });
    let start = move |_| {
        let this = turn.next();
        let (order, shop) = (desk.order.get_untracked(), desk.in_force.get_untracked());
        found.set(Vec::new());
        busy.set(true);
        spawn_local(async move {
            for (words, order) in ways(&order, &shop.lists) {
                clock::pause(0).await;
                if turn.is_past(this) {
                    return;
                }
                let figures = figures(&order, &shop);
                found.update(|found| found.push((words, order, figures)));
            }
            busy.set(false);
        });
    };
    let rows = move || {
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        let row = |(at, (words, order, figures)): (usize, Way)| {
            let take = move |_| {
                let order = order.clone();
                desk.act(format!("Changed the finish of {}.", order.called()), move |desk| {
                    desk.book.update(|book| book.replace(order, clock::now()))
                });
            };
            let name = format!("{}. {words}", at + 1);
            match figures {
                Some(figures) => view! {
                    <tr>
                        <th scope="row">{name}</th>
                        <td class="num">{currency.show(figures.cost)}</td>
                        <td class="num">{currency.show(figures.total)}</td>
                        <td class="num">{currency.show(figures.profit)}</td>
                        <td class="num">{figures.margin.map(|margin| margin.to_string())}</td>
                        <td class="num">{figures.press_minutes.normalize().to_string()}</td>
                        <td class="num">{figures.days.words()}</td>
                        <td>{(at > 0).then(|| view! { <button type="button" aria-label=format!("Take {words}") on:click=take>"Take"</button> })}</td>
                    </tr>
                },
                None => {
                    view! { <tr><th scope="row">{name}</th><td colspan="7">"Not all letters are sold in it."</td></tr> }
                }
            }
        };
        found.get().into_iter().enumerate().map(row).collect_view()
    };
    let chart = move || {
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        let dots: Vec<Dot> = found.with(|found| {
            let priced = found.iter().enumerate();
            let dot = |(at, (_, _, figures)): (usize, &Way)| {
                let figures = figures.as_ref()?;
                let (across, up) = (figures.total.minor(), figures.profit.minor());
                Some(Dot { across, up, mark: (at + 1).to_string() })
            };
            priced.filter_map(dot).collect()
        });
        Chart::new("Profit against price, a number for each row of the table below.", dots).shown(
            &|minor| currency.show(lettertally::money::Cents::new(minor)),
            "price",
            "profit",
        )
    };
    view! {
        <Panel title="In each finish">
            <p class="help">{move || format!("“{}” in every finish, and with names and numbers in another. Money leaves the shelf out, so that all begin alike; the days until the letters are there take it as it is.", desk.order.with(|order| order.called().to_owned()))}</p>
            <button type="button" class="main" disabled=busy on:click=start>{move || if busy.get() { "Comparing…" } else { "Compare" }}</button>
            {move || found.with(|found| !found.is_empty()).then(|| view! {
                {chart}
                <div class="scroll wide-table" tabindex="0" role="group" aria-label="Finishes compared"><table>
                    <thead><tr><th scope="col">"finish"</th><th scope="col" class="num">"cost"</th><th scope="col" class="num">"price"</th><th scope="col" class="num">"profit"</th><th scope="col" class="num">"margin"</th><th scope="col" class="num">"press min"</th><th scope="col" class="num">"letters in"</th><th scope="col"><span class="hidden">"take"</span></th></tr></thead>
                    <tbody>{rows}</tbody>
                </table></div>
            })}
            <p class="help">"What one garment costs by the number made together, with the points where another way of buying takes over, stands under “Against run size”."</p>
            <button type="button" on:click=move |_| desk.screen.set(Screen::Letters)>"Cost against run size"</button>
        </Panel>
    }
}
