//! The open order in each finish and mix of two: figures side by side, and profit against price.

use super::super::parts::Panel;
use super::super::search::Turn;
use super::super::state::desk;
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::booth::finishes::{Figures, figures, ways};
use lettertally::order::Order;

/// One design in each finish.
#[component]
pub fn Finishes() -> impl IntoView {
    let desk = desk();
    let found = RwSignal::new(Vec::<(String, Order, Option<Figures>)>::new());
    let turn = Turn::new();
    let start = move |_| {
        let this = turn.next();
        let (order, shop) = (desk.order.get_untracked(), desk.in_force.get_untracked());
        found.set(Vec::new());
        spawn_local(async move {
            for (words, order) in ways(&order, &shop.lists) {
                let figures = figures(&order, &shop);
                if turn.is_past(this) {
                    return;
                }
                found.update(|found| found.push((words, order, figures)));
                clock::pause(0).await;
            }
        });
    };
    let rows = move || {
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        found.get().into_iter().map(|(words, order, figures)| {
            let take = move |_| {
                let order = order.clone();
                desk.act(format!("Changed the finish of {}.", order.called()), move |desk| desk.book.update(|book| book.replace(order, clock::now())));
            };
            match figures {
                Some(figures) => view! {
                    <tr>
                        <th scope="row">{words.clone()}</th>
                        <td class="num">{currency.show(figures.cost)}</td>
                        <td class="num">{currency.show(figures.each)}</td>
                        <td class="num">{currency.show(figures.profit)}</td>
                        <td class="num">{figures.margin.map(|margin| margin.to_string())}</td>
                        <td class="num">{figures.press_minutes.normalize().to_string()}</td>
                        <td><button type="button" aria-label=format!("Take {words}") on:click=take>"Take"</button></td>
                    </tr>
                },
                None => view! { <tr><th scope="row">{words}</th><td colspan="6">"not for all letters"</td></tr> },
            }
        }).collect_view()
    };
    view! {
        <Panel title="In each finish">
            <p class="help">{move || format!("The open order, {}, in every finish and with names in another; the shelf is left out so that all begin alike.", desk.order.with(|order| order.called().to_owned()))}</p>
            <button type="button" class="wide" on:click=start>"Compare"</button>
            {move || found.with(|found| !found.is_empty()).then(|| view! {
                <div class="scroll" tabindex="0" role="group" aria-label="Finishes compared"><table>
                    <thead><tr><th scope="col">"finish"</th><th scope="col" class="num">"cost"</th><th scope="col" class="num">"each"</th><th scope="col" class="num">"profit"</th><th scope="col" class="num">"margin"</th><th scope="col" class="num">"press min"</th><th scope="col"><span class="hidden">"take"</span></th></tr></thead>
                    <tbody>{rows}</tbody>
                </table></div>
            })}
        </Panel>
    }
}
