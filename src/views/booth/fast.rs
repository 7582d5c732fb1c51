//! A new order in a few taps: a usual offer, the words, a size, the price.

use super::super::parts::{NumberField, Panel, TextField};
use super::super::state::{Desk, Screen, desk, new_id};
use super::hand::FromTheShelf;
use crate::browser::clock;
use crate::views::prelude::*;
use lettertally::booth::at_hand::{Instead, at_hand, on_shelf};
use lettertally::booth::offer::{self, Said, Usual, UsualId};
use lettertally::booth::rows::{Row, Shown, Sort, found, rows};
use lettertally::lists::fresh_id;
use lettertally::order::{Order, OrderId};
use lettertally::plan;
use lettertally::problem::Severity;
use std::sync::Arc;

/// How many earlier designs are shown for a search.
const MOST: usize = 5;

/// A new order that was begun: it waits while somebody looks at another screen.
#[derive(Clone, Copy)]
pub struct Begun {
    /// The offer, where it is not the first.
    chosen: RwSignal<Option<Usual>>,
    /// What the customer said.
    said: RwSignal<Said>,
    /// What was taken in the place of it.
    taken: RwSignal<Option<Taken>>,
}

/// An order taken in the place of what was asked for, as long as that is what is asked for.
#[derive(Clone, PartialEq)]
struct Taken {
    of: (Usual, Said),
    way: Instead,
}

impl Begun {
    /// Nothing begun.
    pub fn new() -> Self {
        let said = RwSignal::new(Said { count: 1, ..Said::default() });
        Self { chosen: RwSignal::new(None), said, taken: RwSignal::new(None) }
    }

    /// The next customer.
    fn clear(self) {
        self.said.set(Said { count: 1, ..Said::default() });
        self.taken.set(None);
    }
}

/// The usual offers, what the customer says, and the price.
#[component]
pub fn FastOrder() -> impl IntoView {
    let desk = desk();
    let offers = memo(move || {
        let own = desk.usual.get();
        let first = desk.in_force.with(|shop| offer::first(&shop.lists));
        if own.is_empty() { first.into_iter().collect() } else { own }
    });
    let begun = desk.begun;
    let Begun { chosen, said, taken } = begun;
    let usual = memo(move || chosen.get().or_else(|| offers.with(|offers| offers.first().cloned())));
    let instead = memo(move || {
        let asked = (usual.get()?, said.get());
        taken.get().filter(|taken| taken.of == asked)
    });
    let order = memo(move || {
        if let Some(taken) = instead.get() {
            return Some(taken.way.order);
        }
        let (usual, mut said) = (usual.get()?, said.get());
        if said.size.is_empty() {
            said.size = sizes(desk, &usual).first().cloned().unwrap_or_default();
        }
        let order = offer::order(&usual, &said, OrderId::new("draft"), &clock::today());
        // Lines that stay empty are left out; with all of them empty nothing was said yet.
        let is_bare = order.designs.iter().all(|design| design.lines.is_empty());
        (!is_bare || usual.design.lines.is_empty()).then_some(order)
    });
    let priced = memo(move || {
        let order = order.get()?;
        desk.in_force.with(|shop| {
            let plan = plan::plan(&order, shop);
            let worst = plan.problems.first().map(|found| (found.message.clone(), found.severity));
            let total = plan.priced.ok().map(|priced| shop.settings.currency.show(priced.total()));
            let is_there = at_hand(&order, &on_shelf(&shop.shelf), &shop.lists).is_whole();
            Some(Answer { total, worst, is_there })
        })
    });
    let total = move || priced.with(|answer| answer.as_ref()?.total.clone());
    let worst = move || priced.with(|answer| answer.as_ref()?.worst.clone());
    let turned = RwSignal::new(false);
    let begin = move |screen: Screen| {
        let Some(order) = order.get_untracked() else { return };
        let price = untrack(total).map_or(String::new(), |total| format!(", {total}"));
        let words = format!("Wrote down {}{price}.", order.called());
        desk.act(words, move |desk| {
            desk.book.update(|book| book.begin(Order { id: new_id(), ..order }, clock::now()));
            let entry = desk.book.with_untracked(|book| book.current().clone());
            desk.tell_price(&entry);
        });
        begun.clear();
        desk.screen.set(screen);
    };
    let take = move |way: Instead| {
        if let Some(usual) = usual.get_untracked() {
            taken.set(Some(Taken { of: (usual, said.get_untracked()), way }));
        }
    };
    let nothing = move || order.with(Option::is_none);
    view! {
        <Panel title="New order">
            <Offers offers chosen usual/>
            {move || usual.get().map(|usual| view! { <Fields usual said/> })}
            <details class="minor-details">
                <summary>"Another design"</summary>
                <Find chosen said/>
                <OwnOffers chosen usual/>
            </details>
            {move || instead.get().map(|taken| view! {
                <div class="at-hand" role="status">
                    <p>{format!("Taken instead: {}.", taken.way.words)}</p>
                    <button type="button" class="low" on:click=move |_| begun.taken.set(None)>"As it was asked for"</button>
                </div>
            })}
            {move || (!nothing()).then(|| view! { <FromTheShelf order take/> })}
        </Panel>
        <div class="fast-bar" role="group" aria-label="The price">
            <div class="fast-price" role="status">
                <p class="big">{move || total().unwrap_or_else(|| "—".to_owned())}</p>
                <p>{move || priced.with(|answer| answer.as_ref().map_or("Type the words", Answer::shelf_words))}</p>
                {move || worst().map(|(message, severity)| view! { <p class="fast-worst" class:complaint=severity == Severity::Stop>{message}</p> })}
            </div>
            <div class="fast-acts">
                <button type="button" class="main" disabled=nothing on:click=move |_| begin(Screen::Quote)>"Quote it"</button>
                <button type="button" disabled=nothing on:click=move |_| begin(Screen::Booth)>"Write it down"</button>
                <button type="button" disabled=nothing aria-label="Show the customer" on:click=move |_| turned.set(true)>"Show"</button>
            </div>
        </div>
        {move || turned.get().then(|| view! { <Turned order priced=derived(total) turned/> })}
    }
}

/// What there is to say of what was typed.
#[derive(Clone, PartialEq)]
struct Answer {
    /// What the customer pays; `None` where there is no price.
    total: Option<String>,
    /// The worst of what is wrong.
    worst: Option<(String, Severity)>,
    /// Whether all of it is on the shelf.
    is_there: bool,
}

impl Answer {
    fn shelf_words(&self) -> &'static str {
        if self.is_there { "Can be made now" } else { "Not all on the shelf" }
    }
}

fn sizes(desk: Desk, usual: &Usual) -> Vec<String> {
    desk.in_force.with(|shop| {
        let blank = shop.lists.blank(&usual.design.blank);
        blank.map(|blank| blank.sizes.iter().map(|size| size.name.clone()).collect()).unwrap_or_default()
    })
}

/// The usual offers as buttons, and a design made before while one is chosen.
#[component]
fn Offers(
    offers: Memo<Vec<Usual>>,
    chosen: RwSignal<Option<Usual>>,
    usual: Memo<Option<Usual>>,
) -> impl IntoView {
    let all = move || {
        let mut all = offers.get();
        let other = chosen.get().filter(|chosen| all.iter().all(|usual| usual.id != chosen.id));
        all.extend(other);
        all
    };
    view! {
        <div class="offers" role="group" aria-label="Usual offers">
            {move || all().into_iter().map(|offered| {
                let (id, name) = (offered.id.clone(), offered.name.clone());
                view! {
                    <button type="button" aria-pressed=move || usual.with(|usual| usual.as_ref().is_some_and(|usual| usual.id == id)).to_string() on:click=move |_| chosen.set(Some(offered.clone()))>{name}</button>
                }
            }).collect_view()}
        </div>
    }
}

/// The design of the open order becomes an offer, and one that is there can go.
#[component]
fn OwnOffers(chosen: RwSignal<Option<Usual>>, usual: Memo<Option<Usual>>) -> impl IntoView {
    let desk = desk();
    let save = move |_| {
        let order = desk.order.get_untracked();
        let name = order.called().to_owned();
        let id =
            desk.usual.with_untracked(|usual| fresh_id(&name, usual.iter().map(|usual| usual.id.as_str())));
        if let Some(usual) = Usual::of(&order, UsualId::new(id), &name) {
            desk.usual.update(|all| all.push(usual.clone()));
            chosen.set(Some(usual));
        }
    };
    let forget = move |_| {
        if let Some(gone) = usual.get_untracked() {
            desk.usual.update(|all| all.retain(|usual| usual.id != gone.id));
            chosen.set(None);
        }
    };
    let is_own = move || {
        usual.with(|chosen| {
            desk.usual.with(|all| {
                chosen.as_ref().is_some_and(|chosen| all.iter().any(|usual| usual.id == chosen.id))
            })
        })
    };
    view! {
        <p class="help">"The design of the order that is open can become a usual offer: its garment and lines, with {name} and {number} where they are asked for."</p>
        <div class="row">
            <button type="button" on:click=save>{move || format!("Offer the design of {}", desk.order.with(|order| order.called().to_owned()))}</button>
            {move || is_own().then(|| view! { <button type="button" class="low" on:click=forget>"Remove the chosen offer"</button> })}
        </div>
    }
}

/// A design that was made before, found by a part of its words.
#[component]
fn Find(chosen: RwSignal<Option<Usual>>, said: RwSignal<Said>) -> impl IntoView {
    let desk = desk();
    let query = RwSignal::new(String::new());
    let all = Memo::new(move |before: Option<&Vec<Arc<Row>>>| {
        desk.book.with(|book| rows(book, before.map_or(&[], Vec::as_slice)))
    });
    let hits = memo(move || {
        let asked = query.with(|query| !query.trim().is_empty());
        let mut hits = if asked {
            all.with(|all| query.with(|query| found(all, query, Shown::All, Sort::Newest)))
        } else {
            Vec::new()
        };
        hits.truncate(MOST);
        hits
    });
    let item = move |row: Arc<Row>| {
        let name = row.entry.order.called().to_owned();
        let entry = row.entry.clone();
        let take = move |_| {
            let order = &entry.order;
            chosen.set(Usual::of(order, UsualId::new(order.id.as_str()), order.called()));
            said.update(|said| said.texts.clear());
            query.set(String::new());
        };
        view! { <li><button type="button" class="wide" on:click=take>{format!("{name}, {}", row.entry.order.date)}</button></li> }
    };
    view! {
        <TextField label="A design made before" value=query commit=move |text| query.set(text) placeholder="part of its name or words"/>
        <ul class="plain-list">{move || hits.get().into_iter().map(item).collect_view()}</ul>
    }
}

/// What the customer says.
#[component]
fn Fields(usual: Usual, said: RwSignal<Said>) -> impl IntoView {
    let desk = desk();
    let (name, number) = usual.asks();
    let fixed = usual
        .fixed_lines()
        .map(|(at, line)| {
            let own = line.text.as_str().to_owned();
            let label = format!("Words {}", line.placement.words());
            let value = derived(move || {
                said.with(|said| {
                    said.texts
                        .iter()
                        .find(|(place, _)| *place == at)
                        .map_or_else(|| own.clone(), |(_, text)| text.clone())
                })
            });
            let commit = move |text: String| {
                said.update(|said| {
                    said.texts.retain(|(place, _)| *place != at);
                    said.texts.push((at, text));
                })
            };
            view! { <TextField label=label value=value commit=commit/> }
        })
        .collect_view();
    let sizes = sizes(desk, &usual);
    let first = sizes.first().cloned().unwrap_or_default();
    let size_buttons = sizes.into_iter().map(|size| {
        let (shown, first, own) = (size.clone(), first.clone(), size.clone());
        view! {
            <button type="button"
                aria-pressed=move || said.with(|said| said.size == own || (said.size.is_empty() && own == first)).to_string()
                on:click=move |_| said.update(|said| said.size.clone_from(&size))>{shown}</button>
        }
    }).collect_view();
    view! {
        <div class="fast-fields">
            {fixed}
            <div class="fast-row">
                {name.then(|| view! { <TextField label="Name" value=derived(move || said.with(|said| said.name.clone())) commit=move |text| said.update(|said| said.name = text)/> })}
                {number.then(|| view! { <TextField label="Number" value=derived(move || said.with(|said| said.number.clone())) commit=move |text| said.update(|said| said.number = text)/> })}
                <NumberField label="How many" value=derived(move || said.with(|said| said.count.to_string())) whole=true
                    commit=move |text: String| { let count = lettertally::number::whole(&text, 1, 999)?; said.update(|said| said.count = u16::try_from(count).unwrap_or(1)); Ok(()) }/>
            </div>
            <div class="switch" role="group" aria-label="Size">{size_buttons}</div>
        </div>
    }
}

/// The price alone, large, for the customer's eyes: nothing of the shop's own stands there.
#[component]
fn Turned(
    order: Memo<Option<Order>>,
    priced: Signal<Option<String>>,
    turned: RwSignal<bool>,
) -> impl IntoView {
    let desk = desk();
    let words = move || {
        order.with(|order| {
            let order = order.as_ref()?;
            let design = order.designs.first()?;
            let reading = order.read(&desk.in_force.with(|shop| shop.lists.clone()));
            let group = reading.first()?.groups.first().cloned()?;
            let lines = design.lines.iter().map(|line| line.text.for_person(group.name(), group.number()));
            Some(lines.map(|line| view! { <p>{line}</p> }).collect_view())
        })
    };
    view! {
        <div class="turned" role="dialog" aria-modal="true" aria-label="For the customer">
            {words}
            <p class="turned-price">{move || priced.get()}</p>
            <button type="button" class="wide" on:click=move |_| turned.set(false)>"Back"</button>
        </div>
    }
}
