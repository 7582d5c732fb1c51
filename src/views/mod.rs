//! The views: they show what the plan says and collect what is entered. No rule of the trade
//! lives here.

mod basket;
mod booth;
mod buying;
mod design;
mod device;
mod draft;
mod edits;
mod entries;
mod exchange;
mod garments;
mod keeping;
mod letters;
mod lists;
mod offers;
mod offline;
mod order;
mod parts;
mod picture;
mod prelude;
mod press;
mod price;
mod quote;
mod runs;
mod search;
mod settings;
mod shelf;
mod shop;
mod state;
mod suppliers;
mod typing;
mod waiting;
mod why;
mod widths;

use crate::browser::hand_over;
use crate::views::prelude::*;
use leptos::ev;
use lettertally::order::Order;
use lettertally::problem::{Place, Severity};
use state::{Desk, Notice, Screen, desk};

/// Takes the place of what the page showed while it was loading.
pub fn mount() {
    if let Some(loading) = document().get_element_by_id("loading") {
        loading.remove();
    }
    leptos::mount::mount_to_body(App);
}

#[component]
fn App() -> impl IntoView {
    let desk = Desk::open();
    provide_context(desk);
    window_event_listener(ev::hashchange, move |_| desk.follow_change());
    keeping::ask_once(desk);
    offline::follow(desk);
    hand_over::tidy_after_print();
    window_event_listener(ev::storage, move |_| desk.take_up_other_tab());
    view! {
        {move || match (desk.refused.get(), desk.guest.get()) {
            (Some(why), _) => view! { <quote::Refused why/> <div class="foot"><offline::News/></div> }.into_any(),
            (None, Some(quote)) => view! { <quote::Guest quote/> <div class="foot"><offline::News/></div> }.into_any(),
            (None, None) => view! { <Bench/> }.into_any(),
        }}
    }
}

/// The shop's own side of the page.
#[component]
fn Bench() -> impl IntoView {
    let desk = desk();
    let front = move || desk.screen.get().word().to_lowercase();
    // A phone shows one screen at a time. Each is made when it is first in front, so that the page
    // is there sooner, and stays. What is printed has to be there, too.
    let wide = parts::wide_window();
    let printed = RwSignal::new(false);
    window_event_listener_untyped("beforeprint", move |_| printed.set(true));
    let met = move |screen| {
        Memo::new(move |before: Option<&bool>| {
            before == Some(&true) || wide.get() || printed.get() || desk.screen.get() == screen
        })
    };
    let (letters, price, quote) = (met(Screen::Letters), met(Screen::Price), met(Screen::Quote));
    view! {
        <div class="bench" data-screen=front>
            <Strip/>
            <Bar/>
            <Notices/>
            <main>
                <div class="screen screen-order"><order::OrderScreen/></div>
                <div class="screen screen-letters"><Show when=move || letters.get()><letters::LettersScreen/></Show></div>
                <div class="screen screen-price"><Show when=move || price.get()><price::PriceScreen/></Show></div>
                <div class="screen screen-quote"><Show when=move || quote.get()><quote::QuoteScreen/></Show></div>
                <div class="screen screen-press">
                    <Show when=move || desk.screen.get() == Screen::Press><press::PressScreen/></Show>
                </div>
                <div class="screen screen-booth">
                    <Show when=move || desk.screen.get() == Screen::Booth><booth::BoothScreen/></Show>
                </div>
                <div class="screen screen-shop">
                    <Show when=move || desk.screen.get() == Screen::Shop><shop::ShopScreen/></Show>
                </div>
            </main>
            <div class="foot">
                <offline::News/>
                <waiting::Waiting/>
                <Undo/>
            </div>
        </div>
    }
}

/// Price, profit and problems, always in view.
#[component]
fn Strip() -> impl IntoView {
    let desk = desk();
    let currency = move || desk.in_force.with(|shop| shop.settings.currency.clone());
    let prices = move || {
        if desk.order.with(Order::is_only_begun) {
            return None;
        }
        desk.plan.with(|plan| {
            let prices = plan.priced.as_ref().ok()?.units.iter().map(|unit| unit.price);
            Some((prices.clone().min()?, prices.max()?))
        })
    };
    let each = move || prices().map(|(least, _)| currency().show(least));
    let each_words = move || match prices() {
        _ if desk.is_incomplete() => "each, so far",
        Some((least, most)) if least < most => "each, from",
        _ => "each",
    };
    let figure = move |of: fn(&lettertally::cost::Priced, &lettertally::money::Currency) -> String| {
        if desk.order.with(Order::is_only_begun) {
            return None;
        }
        desk.plan.with(|plan| plan.priced.as_ref().ok().map(|priced| of(priced, &currency())))
    };
    let total = move || figure(|priced, currency| currency.show(priced.total()));
    let profit = move || figure(|priced, currency| currency.show(priced.profit_in_cents(currency)));
    let margin =
        move || figure(|priced, currency| priced.margin(currency).map_or(String::new(), |m| m.to_string()));
    let loses = move || {
        desk.plan.with(|plan| {
            let profit = plan.priced.as_ref().map(|priced| priced.profit(&currency()));
            profit.is_ok_and(|profit| profit < lettertally::money::Money::ZERO)
        })
    };
    let garments = move || desk.plan.with(|plan| plan.tally.garments);
    let dash = || "—".to_owned();
    view! {
        <header class="strip" class:strip-stop=move || desk.is_incomplete()>
            <h1 class="hidden">"Lettertally"</h1>
            <dl>
                <div class="strip-each"><dt>{each_words}</dt><dd>{move || each().unwrap_or_else(dash)}</dd></div>
                <div><dt>{move || format!("{} with tax", garments())}</dt><dd>{move || total().unwrap_or_else(dash)}</dd></div>
                <div class="strip-profit" class:loses=loses>
                    <dt>"profit "<span>{margin}</span></dt>
                    <dd>{move || profit().unwrap_or_else(dash)}</dd>
                </div>
            </dl>
            <Verdict/>
        </header>
    }
}

/// Whether the figures can be stood behind, and what is in the way if not.
#[component]
fn Verdict() -> impl IntoView {
    let desk = desk();
    let worst = move || desk.plan.with(|plan| plan.problems.first().cloned());
    // A field that cannot be read comes first: it is under the finger.
    let found = move || {
        let unread = desk.unread.with(|unread| unread.last().map(|unread| unread.complaint.clone()));
        let fields = desk.unread.with(Vec::len);
        let problems = desk.plan.with(|plan| plan.problems.len());
        let (message, stop) = match (unread, worst()) {
            (Some(complaint), _) => (complaint, true),
            (None, Some(problem)) => (problem.message, problem.severity == Severity::Stop),
            (None, None) => return None,
        };
        Some((message, stop, fields + problems - 1))
    };
    let go = move |_| {
        let screen = match worst().map(|problem| problem.place) {
            Some(Place::Price) => Screen::Price,
            Some(Place::Offer(_)) => Screen::Shop,
            _ => Screen::Order,
        };
        let unread = desk.unread.with_untracked(|unread| unread.last().map(|unread| unread.screen));
        desk.screen.set(unread.unwrap_or(screen));
        let message = found().map_or(String::new(), |(message, ..)| message);
        request_animation_frame(move || parts::show_where_it_says(&message));
    };
    view! {
        <div class="verdict" aria-live="polite" aria-atomic="true">
            {move || {
                found()
                    .map(|(message, stop, others)| {
                        view! {
                            <button type="button" class:verdict-stop=stop on:click=go>
                                <span>{if stop { "Not complete: " } else { "Look: " }}{message}</span>
                                {(others > 0).then(|| view! { <b>{format!("+{others}")}</b> })}
                            </button>
                        }
                    })
            }}
        </div>
    }
}

#[component]
fn Bar() -> impl IntoView {
    let desk = desk();
    let current = move |screen| (desk.screen.get() == screen).then_some("page");
    view! {
        <nav class="bar" aria-label="Screens">
            <picture::Wordmark/>
            {Screen::ALL
                .map(|screen| {
                    view! {
                        <button
                            type="button"
                            class=format!("bar-{}", screen.word().to_lowercase())
                            aria-current=move || current(screen)
                            on:click=move |_| go_to(screen)
                        >
                            {screen.word()}
                        </button>
                    }
                })
                .collect_view()}
        </nav>
    }
}

/// Brings a screen to the front. Where the screens stand side by side, it is scrolled to.
fn go_to(screen: Screen) {
    let desk = desk();
    desk.screen.set(screen);
    window().scroll_to_with_x_and_y(0.0, 0.0);
    let quote = document().query_selector(".screen-order ~ .screen-quote").ok().flatten();
    if let (Screen::Quote, Some(quote)) = (screen, quote) {
        request_animation_frame(move || parts::show(&quote, web_sys::ScrollLogicalPosition::Start));
    }
}

#[component]
fn Notices() -> impl IntoView {
    let desk = desk();
    let notice = move |(at, Notice { text, is_wrong }): (usize, Notice)| {
        let close = move |_| {
            desk.notices.update(|notices| {
                if at < notices.len() {
                    notices.remove(at);
                }
            });
        };
        view! {
            <div class="notice" class:notice-wrong=is_wrong>
                <p>{text}</p>
                <button type="button" on:click=close>"Close"</button>
            </div>
        }
    };
    let unkept = move || {
        desk.unkept.get().map(|text| {
            view! {
                <div class="notice notice-wrong">
                    <p>{text}</p>
                    <button type="button" on:click=move |_| keeping::save_backup(desk)>"Save a backup"</button>
                </div>
            }
        })
    };
    view! {
        <div class="notices" role="alert">
            {unkept}
            <quote::CopyOffered/>
            <keeping::Reminder/>
            {move || desk.notices.get().into_iter().enumerate().map(notice).collect_view()}
        </div>
    }
}

#[component]
fn Undo() -> impl IntoView {
    let desk = desk();
    view! {
        <div class="undo" aria-live="polite">
            {move || {
                desk.done
                    .get()
                    .map(|act| {
                        view! {
                            <p>{act.words}</p>
                            <button type="button" on:click=move |_| desk.undo()>"Undo"</button>
                            <button type="button" on:click=move |_| desk.done.set(None)>"Close"</button>
                        }
                    })
            }}
        </div>
    }
}
