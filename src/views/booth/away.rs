//! Orders that are over, put away in a file to make room on the device.

use super::super::parts::{Panel, Switch};
use super::super::state::desk;
use crate::browser::{clock, hand_over};
use crate::views::prelude::*;
use lettertally::book::Moment;
use lettertally::book::fact::Facts;
use lettertally::booth::rows::{Row, to_put_away};
use lettertally::order::OrderId;
use lettertally::saved::backup;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How old what is put away must be, in days, with the words for it.
const AGES: [(u64, &str); 3] = [(90, "90 days"), (30, "30 days"), (1, "a day")];

/// Putting orders away: first into a file, then off the device.
#[component]
pub fn PutAway(all: Memo<Vec<Arc<Row>>>) -> impl IntoView {
    let desk = desk();
    let age = RwSignal::new(0_usize);
    let old = memo(move || {
        let days = AGES.get(age.get()).map_or(0, |(days, _)| *days);
        let before = Moment(clock::now().0.saturating_sub(days * 86_400_000));
        all.with(|all| to_put_away(all, before))
    });
    // What is in the file, until it is taken off the device or something changes.
    let in_file = RwSignal::new(None::<(String, BTreeSet<OrderId>)>);
    Effect::new(move |_| {
        old.track();
        in_file.set(None);
    });
    let save = move |_| {
        let ids: BTreeSet<OrderId> = old.get_untracked().into_iter().collect();
        let entries: Vec<_> = desk.book.with_untracked(|book| {
            book.all().filter(|entry| ids.contains(&entry.order.id)).cloned().collect()
        });
        let text = backup::write_book(&entries, &Facts::default(), clock::now());
        let name = format!("lettertally-orders-until-{}.json", clock::today());
        hand_over::save_file(&name, "application/json", &text);
        in_file.set(Some((name, ids)));
    };
    let remove = move |_| {
        let Some((_, ids)) = in_file.get_untracked() else { return };
        desk.act(format!("Put {} away.", orders(ids.len())), move |desk| {
            desk.note(|book, _| book.put_away(&ids));
        });
    };
    view! {
        <Panel title="Put orders away">
            <p class="help">"Orders that are handed over, called off or removed go into a file and off this device, to make room. The shelf stays as it is. “Take in a file” under Phones, or “Open a backup” on the Shop screen, brings them back."</p>
            <Switch label="Nothing happened to them for" options=AGES.map(|(_, words)| words).to_vec() value=age commit=move |at| age.set(at)/>
            {move || match old.with(Vec::len) {
                0 => view! { <p class="empty">{format!("No order is over for {} or longer.", AGES[age.get()].1)}</p> },
                count => view! { <button type="button" class="wide" on:click=save>{format!("Save {} in a file", orders(count))}</button> },
            }}
            {move || in_file.get().map(|(name, ids)| view! {
                <div class="problem" data-unkept="">
                    <p role="status">{format!("Saved as {name}. Look that the file is there before you take its orders off this device: their days are then no longer in the day's close here.")}</p>
                    <div class="fixes"><button type="button" class="fix" on:click=remove>{format!("The file is there: take {} off this device", orders(ids.len()))}</button></div>
                </div>
            })}
        </Panel>
    }
}

fn orders(count: usize) -> String {
    if count == 1 { "1 order".to_owned() } else { format!("{count} orders") }
}
