//! The price list on a narrow window: offers by finish and height, one line each.

use super::super::entries::{EntryId, Held};
use super::super::state::desk;
use super::card::card;
use crate::views::prelude::*;
use lettertally::length::Length;
use lettertally::lists::{FinishId, Lists, Offer};
use std::collections::BTreeMap;

/// The offers of one finish and height, by their ids.
#[derive(Clone, PartialEq)]
struct Group {
    name: String,
    ids: Vec<String>,
}

/// The groups in the order of the finishes, the smallest height first.
fn groups(lists: &Lists) -> Vec<Group> {
    let finishes: BTreeMap<&FinishId, usize> =
        lists.finishes.iter().enumerate().map(|(at, finish)| (&finish.id, at)).collect();
    let mut groups = BTreeMap::<(usize, &FinishId, Length), Vec<String>>::new();
    for offer in &lists.offers {
        // What is made of a finish that is gone comes last.
        let at = finishes.get(&offer.finish).copied().unwrap_or(usize::MAX);
        groups.entry((at, &offer.finish, offer.height)).or_default().push(offer.id.to_string());
    }
    let group = |((_, finish, height), ids): ((usize, &FinishId, Length), Vec<String>)| {
        let finish = lists.finish(finish).map_or(finish.as_str(), |finish| &finish.name);
        Group { name: format!("{finish}, {height}"), ids }
    };
    let mut named: Vec<Group> = Vec::new();
    // What looks the same to a person is one group.
    for group in groups.into_iter().map(group) {
        match named.iter_mut().find(|known| known.name == group.name) {
            Some(known) => known.ids.extend(group.ids),
            None => named.push(group),
        }
    }
    named
}

/// All offers, by finish and height.
#[component]
pub fn OfferList() -> impl IntoView {
    let desk = desk();
    let groups = memo(move || desk.shop.with(|shop| groups(&shop.lists)));
    let names =
        memo(move || groups.with(|groups| groups.iter().map(|group| group.name.clone()).collect::<Vec<_>>()));
    let ids = move |name: &str| {
        groups.with(|groups| {
            groups.iter().find(|group| group.name == name).map_or(Vec::new(), |group| group.ids.clone())
        })
    };
    let group = move |name: String| {
        let label = name.clone();
        let heading = name.clone();
        view! {
            <section class="offer-group" aria-label=label>
                <h3>{heading}</h3>
                <For each=move || ids(&name) key=Clone::clone let(id)>
                    <Line id=StoredValue::new(id)/>
                </For>
            </section>
        }
    };
    view! {
        <div class="offers">
            <For each=move || names.get() key=Clone::clone children=group/>
        </div>
    }
}

/// One offer: a line that opens into its fields.
#[component]
fn Line(id: EntryId) -> impl IntoView {
    let desk = desk();
    let offer = Held::<Offer>::new(id);
    let name = move || desk.shop.with(|shop| offer.with(|offer| shop.lists.offer_name(offer)));
    let details = move || {
        let seller = desk.shop.with(|shop| {
            let several = shop.lists.suppliers.len() > 1;
            let name = |offer: &Offer| {
                shop.lists.suppliers.iter().find(|s| s.id == offer.supplier).map(|s| s.name.clone())
            };
            offer.with(name).flatten().filter(|_| several)
        });
        let colours = offer.with(|offer| match offer.colours.len() {
            1 => "1 colour".to_owned(),
            count => format!("{count} colours"),
        });
        [colours, seller].into_iter().flatten().collect::<Vec<_>>().join(", ")
    };
    let is_fresh = id.with_value(|id| desk.fresh.with_untracked(|fresh| id == fresh));
    let is_open = RwSignal::new(is_fresh);
    view! {
        <details class="entry offer" data-fresh=is_fresh.then_some("") aria-label=name open=is_open.get_untracked() on:toggle:target=move |ev| is_open.set(ev.target().open())>
            <summary>
                <span class="offer-way">{offer.text(Offer::way_name)}" "<small>{details}</small></span>
                " "
                <span class="num">{offer.money(|offer, currency| currency.plain(offer.price))}</span>
            </summary>
            {move || is_open.get().then(|| card(id, true))}
        </details>
        {move || fault(offer).map(|fault| view! { <p class="complaint">{fault}</p> })}
    }
}

/// What keeps an offer from being bought.
fn fault(offer: Held<Offer>) -> Option<String> {
    offer.with(|offer| offer.fault().map(|fault| fault.to_string())).flatten()
}
