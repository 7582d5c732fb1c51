//! The day's close, and what came and went on the shelf.

use super::super::parts::{Choice, Panel};
use super::super::state::desk;
use crate::browser::{clock, hand_over};
use crate::views::prelude::*;
use lettertally::book::ledger;
use lettertally::booth::close::{self, Close};
use lettertally::money::Cents;

/// What was taken, what it cost, what is left.
#[component]
pub fn DaysClose() -> impl IntoView {
    let desk = desk();
    let days = memo(move || {
        desk.book.with(|book| {
            let facts = book.all().flat_map(|entry| entry.facts.iter());
            let mut days: Vec<String> = facts
                .map(|(id, _)| clock::day_and_time(id.at).get(..10).unwrap_or_default().to_owned())
                .collect();
            days.push(clock::today());
            days.sort();
            days.dedup();
            days.reverse();
            days
        })
    });
    let day = RwSignal::new(clock::today());
    let figures = memo(move || {
        let range = clock::day_range(&day.get());
        desk.book.with(|book| desk.in_force.with(|shop| close::close(book, &range, &shop.settings)))
    });
    let rows = move || {
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        figures.with(|figures| told(figures, |cents| currency.show(cents)))
    };
    let used = move || {
        let lists = desk.in_force.with(|shop| shop.lists.clone());
        figures.with(|figures| {
            figures.used.iter().map(|(item, count)| (item.name(&lists), count)).collect::<Vec<_>>()
        })
    };
    let save = move |_| {
        let day = day.get_untracked();
        let text = desk.in_force.with_untracked(|shop| {
            figures.with_untracked(|figures| close::csv(figures, &day, &shop.lists, &shop.settings))
        });
        hand_over::save_file(&format!("lettertally-day-{day}.csv"), "text/csv", &text);
    };
    let save_orders = move |_| {
        let text = desk
            .in_force
            .with_untracked(|shop| desk.book.with_untracked(|book| close::orders_csv(book, &shop.settings)));
        hand_over::save_file(&format!("lettertally-orders-{}.csv", clock::today()), "text/csv", &text);
    };
    view! {
        <Panel title="Day's close">
            <Choice label="Day" options=derived(move || days.get().into_iter().map(|day| (day.clone(), day)).collect()) value=day commit=move |text| day.set(text)/>
            <dl class="figures close">
                {move || rows().into_iter().map(|(what, value)| view! { <div><dt>{what}</dt><dd>{value}</dd></div> }).collect_view()}
            </dl>
            <p class="help">"Profit is what was taken that day, without tax and card fees, less what the garments made that day cost, spoiled ones included."</p>
            <details>
                <summary>"Letters and blanks used"</summary>
                {move || match used() {
                    used if used.is_empty() => view! { <p class="empty">"Nothing was pressed that day."</p> },
                    used => view! { <ul class="plain-list">{used.into_iter().map(|(name, count)| view! { <li>{format!("{count} × {name}")}</li> }).collect_view()}</ul> },
                }}
            </details>
            <div class="row">
                <button type="button" on:click=save>"Save the day as CSV"</button>
                <button type="button" on:click=save_orders>"Save the orders as CSV"</button>
                <button type="button" on:click=move |_| hand_over::print()>"Print"</button>
            </div>
        </Panel>
        <Movements/>
    }
}

fn told(close: &Close, show: impl Fn(Cents) -> String) -> Vec<(String, String)> {
    let mut rows: Vec<(String, String)> =
        close.taken.iter().map(|(kind, cents)| (format!("taken, {}", kind.word()), show(*cents))).collect();
    let mut row = |what: &str, value: String| rows.push((what.to_owned(), value));
    row("taken in all", show(close.taken_in_all()));
    row("tax in it", show(close.tax));
    row("card fees", show(close.fees));
    row("cost of garments pressed", show(close.cost));
    row("cost of garments spoiled", show(close.cost_of_spoiled));
    row("profit", show(close.profit()));
    row("garments pressed", close.garments.to_string());
    row("garments spoiled", close.spoiled.to_string());
    row(
        "garments per hour",
        close.garments_per_hour().map_or_else(|| "—".to_owned(), |rate| rate.normalize().to_string()),
    );
    row("orders handed over", close.handed_over.to_string());
    row("orders called off", close.called_off.to_string());
    row("letters used", close.used.letters().to_string());
    row("blanks used", close.used.blanks().to_string());
    rows
}

/// How each count on the shelf came about.
#[component]
fn Movements() -> impl IntoView {
    let desk = desk();
    let item = RwSignal::new(0_usize);
    let items = memo(move || desk.book.with(|book| ledger::counts(book).into_iter().collect::<Vec<_>>()));
    let options = derived(move || {
        let lists = desk.in_force.with(|shop| shop.lists.clone());
        let option = |(at, (item, count)): (usize, (lettertally::book::goods::Item, i64))| {
            (at.to_string(), format!("{}: {count}", item.name(&lists)))
        };
        items.get().into_iter().enumerate().map(option).collect::<Vec<_>>()
    });
    let history = move || {
        let chosen = items.with(|items| items.get(item.get()).map(|(item, _)| item.clone()));
        let moved =
            chosen.map(|item| desk.book.with(|book| ledger::history(book, &item))).unwrap_or_default();
        moved
            .into_iter()
            .rev()
            .map(|moved| {
                let order = moved.order.and_then(|id| {
                    desk.book.with(|book| book.entry(&id).map(|entry| entry.order.called().to_owned()))
                });
                view! {
                    <tr>
                        <td class="when">{clock::day_and_time(moved.id.at).get(5..).unwrap_or_default().to_owned()}</td>
                        <td>{moved.why.word()}{order.map(|order| format!(": {order}"))}</td>
                        <td class="num">{format!("{:+}", moved.change)}</td>
                        <td class="num">{moved.after}</td>
                    </tr>
                }
            })
            .collect_view()
    };
    // What the piece on the shelf cost on average, as far as it was bought since there is a ledger.
    let average = move || {
        let chosen = items.with(|items| items.get(item.get()).map(|(item, _)| item.clone()))?;
        let currency = desk.in_force.with(|shop| shop.settings.currency.clone());
        let worth = desk.book.with(|book| ledger::worth(book, &currency));
        let each = worth.get(&ledger::Kind::of(&chosen))?.each()?.round(&currency);
        let what = if chosen.is_letter() { "A letter like it" } else { "One of it" };
        Some(format!("{what} cost {} on average, by what came in.", currency.show(each)))
    };
    view! {
        <Panel title="Ledger of the shelf">
            {move || match items.with(Vec::is_empty) {
                true => view! { <p class="empty">"Nothing was counted, bought or pressed yet."</p> },
                false => view! {
                    <Choice label="Piece" options=options value=derived(move || item.get().to_string()) commit=move |text: String| item.set(text.parse().unwrap_or(0))/>
                    {move || average().map(|words| view! { <p class="help">{words}</p> })}
                    <div class="scroll" tabindex="0" role="group" aria-label="Movements">
                        <table>
                            <thead><tr><th scope="col">"when"</th><th scope="col">"what"</th><th scope="col" class="num">"change"</th><th scope="col" class="num">"then"</th></tr></thead>
                            <tbody>{history}</tbody>
                        </table>
                    </div>
                },
            }}
        </Panel>
    }
}
