//! The customer's quote, as the shop hands it over: [`paper`] is the quote itself, [`guest`] what
//! the customer opens, [`answer`] what comes back, [`copy`] a colleague's order.

mod answer;
mod code;
mod copy;
mod guest;
mod paper;

pub use code::drawing;
pub use copy::CopyOffered;
pub use guest::{Guest, Refused};

use super::parts::{Panel, element_id};
use super::state::{Screen, desk};
use crate::browser::{address, clock, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::standing::{Standing, standing};
use lettertally::book::{Entry, Handed};
use lettertally::lists::demo;
use lettertally::order::OrderId;
use lettertally::quote::{Quote, quote};
use lettertally::share;
use paper::Paper;

/// The quote screen: what the customer will see, and the link to it.
///
/// A quote that was handed over stands as it was made, until the shop makes a new one.
#[component]
pub fn QuoteScreen() -> impl IntoView {
    let desk = desk();
    let today = memo(move || {
        if desk.is_incomplete() {
            return None;
        }
        let before = desk.book.with(|book| numbers(book.current()));
        let quote = desk
            .plan
            .with(|plan| desk.order.with(|order| desk.in_force.with(|shop| quote(order, shop, plan))))?;
        let before = before.iter().map(String::as_str);
        Some(desk.order.with(|order| quote.issued(order, &clock::today(), before)))
    });
    let handed = memo(move || desk.book.with(|book| book.current().handed.clone()));
    // The order for which the shop wants to hand over today's prices in the place of older ones.
    let anew = RwSignal::new(None::<OrderId>);
    let said = RwSignal::new(Said::default());
    let shown = memo(move || {
        let wants_new = anew.with(|anew| desk.order.with(|order| anew.as_ref() == Some(&order.id)));
        Shown::choose(handed.get(), today.get(), wants_new)
    });
    // Each part by itself: the button that was tapped stays, and what it says is read out.
    let note = memo(move || shown.with(|shown| shown.note.clone()));
    let quote = memo(move || shown.with(|shown| shown.quote.clone()));
    let older = memo(move || shown.with(|shown| shown.older.clone()));
    let to_mend =
        move || desk.unread.with(|unread| unread.last().map_or(Screen::Order, |unread| unread.screen));
    let make_new = move |_| anew.set(Some(desk.order.with_untracked(|order| order.id.clone())));
    view! {
        <Panel title="Quote for the customer">
            {move || note.get().map(|note| view! {
                <p class="standing">{note}</p>
                <button type="button" class="low take-back" on:click=move |_| desk.take_back_quote()>"Not handed over after all"</button>
            })}
            <Show when=move || shown.with(|shown| shown.other_prices)>
                <button type="button" class="wide" on:click=make_new>"Make a new quote at today's prices"</button>
            </Show>
            {move || match quote.get() {
                Some(quote) => {
                    let link = link_to(&quote);
                    view! { <DemoShop/> <Share quote=quote.clone() link=link.clone() said/> <Paper quote link/> }.into_any()
                }
                None => view! {
                    <p class="empty">{move || if desk.is_incomplete() {
                        "The figures are not complete yet: fix what stands in red, then the quote can be handed over."
                    } else {
                        "Nothing is said yet of what goes on it: type the words, then the quote can be handed over."
                    }}</p>
                    <button type="button" class="wide" on:click=move |_| desk.screen.set(to_mend())>"To what is missing"</button>
                }.into_any(),
            }}
            {move || older.get().map(|quote| view! {
                <details class="no-print"><summary>"The quote handed over before"</summary><Paper quote/></details>
            })}
            <answer::AnswerField/>
            <copy::CopyOut/>
        </Panel>
    }
}

/// Says that the name and the prices are invented, as long as they are the demo's.
#[component]
fn DemoShop() -> impl IntoView {
    let desk = desk();
    let is_demo = memo(move || desk.in_force.with(|shop| demo::is_still(&shop.settings)));
    view! {
        <Show when=move || is_demo.get()>
            <div class="problem problem-look no-print">
                <p>"This is the demo shop’s quote: its name and prices are invented. Enter your own before a customer gets one."</p>
                <button type="button" class="low" on:click=move |_| desk.screen.set(Screen::Shop)>"To the shop"</button>
            </div>
        </Show>
    }
}

/// The numbers of the quotes that were handed over for an order.
fn numbers(entry: &Entry) -> Vec<String> {
    entry.quotes().map(|(_, quote)| quote.number).collect()
}

/// Which quote stands in front, and what is to be said of it.
#[derive(Clone, PartialEq, Default)]
struct Shown {
    note: Option<String>,
    quote: Option<Quote>,
    /// What the customer holds, where it is not the one in front.
    older: Option<Quote>,
    /// Whether today's prices are others than those of the one in front.
    other_prices: bool,
}

impl Shown {
    fn choose(handed: Option<Handed>, today: Option<Quote>, wants_new: bool) -> Self {
        let on = handed.as_ref().map_or(String::new(), |handed| handed.on.clone());
        let Some(held) = handed.as_ref().and_then(Handed::quote) else {
            return Self { quote: today, ..Self::default() };
        };
        let total = |quote: &Quote| quote.currency.show(quote.total());
        let stands = total(&held);
        let Some(today) = today else {
            let note = format!("A quote of {stands} was handed over on {on}. It stands.");
            return Self { note: Some(note), older: Some(held), ..Self::default() };
        };
        let now = total(&today);
        match standing(&held, &today) {
            Standing::Same => {
                let yes = handed.and_then(|handed| handed.accepted);
                let note = match yes {
                    None => format!("Handed over on {on}."),
                    Some(day) => format!("Handed over on {on}. The customer said yes on {day}."),
                };
                Self { note: Some(note), quote: Some(held), ..Self::default() }
            }
            Standing::OtherPrices if !wants_new => Self {
                note: Some(format!(
                    "Handed over on {on} at {stands}, and it keeps these prices. Today's lists would give {now}."
                )),
                quote: Some(held),
                other_prices: true,
                ..Self::default()
            },
            Standing::OtherPrices => Self {
                note: Some(format!(
                    "New prices: {now}. The customer holds {stands} of {on} until you hand this one over."
                )),
                quote: Some(today),
                older: Some(held),
                ..Self::default()
            },
            Standing::OtherOrder => Self {
                note: Some(format!(
                    "The order was changed since a quote of {stands} was handed over on {on}. Hand over the new one: {now}."
                )),
                quote: Some(today),
                older: Some(held),
                ..Self::default()
            },
        }
    }
}

/// What came of copying a link, as long as that link is shown.
#[derive(Clone, Default)]
struct Said {
    link: String,
    words: &'static str,
}

/// The link to a quote; `None` where no phone could open it, for there are too many names.
fn link_to(quote: &Quote) -> Option<String> {
    let fragment = share::quote_fragment(quote);
    share::read(&fragment).is_ok().then(|| format!("{}{fragment}", address::page()))
}

/// The link, ready to be copied.
#[component]
fn Share(quote: Quote, link: Option<String>, said: RwSignal<Said>) -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let stored = StoredValue::new(quote);
    let is_handed = move || {
        let handed = desk.book.with(|book| book.current().handed.as_ref().and_then(Handed::quote));
        stored.with_value(|quote| handed.as_ref() == Some(quote))
    };
    let mark = move |_| stored.with_value(|quote| desk.hand_over(quote));
    let by_hand = view! {
        <Show when=move || !is_handed()>
            <button type="button" on:click=mark>"Handed over on paper"</button>
        </Show>
    };
    let Some(link) = link else {
        return view! {
            <p class="problem problem-stop">"Too many names for one link: split the order, or hand the quote over on paper."</p>
            <div class="row">
                <button type="button" on:click=|_| hand_over::print_quote()>"Print"</button>
                {by_hand}
            </div>
        }.into_any();
    };
    let can_share = address::can_share();
    let link = StoredValue::new(link);
    let title =
        StoredValue::new(stored.with_value(|quote| format!("Quote {} from {}", quote.number, quote.shop)));
    let copy = move |by_sheet: bool| {
        spawn_local(async move {
            let done = if by_sheet {
                address::share(&title.get_value(), "", &link.get_value()).await
            } else {
                address::copy(&link.get_value()).await
            };
            if done {
                stored.with_value(|quote| desk.hand_over(quote));
            }
            let words = match (by_sheet, done) {
                (true, true) => "Link handed to the share sheet.",
                (true, false) => "Not shared.",
                (false, true) => "Link copied: paste it into a message.",
                (false, false) => "This browser does not allow copying: select the link and copy it.",
            };
            said.set(Said { link: link.get_value(), words });
        });
    };
    let words =
        move || said.with(|said| link.with_value(|link| if said.link == *link { said.words } else { "" }));
    let length = link.with_value(String::len);
    view! {
        <div class="share">
            <div class="row">
                {can_share.then(|| view! { <button type="button" class="main" on:click=move |_| copy(true)>"Share the link"</button> })}
                <button type="button" class:main=!can_share on:click=move |_| copy(false)>"Copy the link"</button>
                <button type="button" on:click=|_| hand_over::print_quote()>"Print"</button>
                {by_hand}
            </div>
            <p class="help" aria-live="polite">{words}</p>
            <div class="field">
                <label for=id.clone()>{format!("Link, {length} characters: names stay on the two phones, none is sent to a server")}</label>
                <span class="field-box"><input id=id class="link" type="text" readonly=true prop:value=link.get_value() on:focus:target=move |ev| ev.target().select()/></span>
            </div>
            <code::CodeOnDemand link=link.get_value()/>
        </div>
    }
    .into_any()
}
