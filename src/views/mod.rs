//! The views: they show what the plan says and collect what is entered. No rule of the trade
//! lives here.

mod design;
mod garments;
mod letters;
mod lists;
mod offers;
mod order;
mod parts;
mod picture;
mod price;
mod quote;
mod shop;
mod state;

use crate::browser::address;
use leptos::ev;
use leptos::prelude::*;
use lettertally::problem::Severity;
use lettertally::share;
use state::{Desk, Screen, desk};

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
    window_event_listener(ev::hashchange, move |_| desk.follow(share::read(&address::fragment())));
    window_event_listener(ev::storage, move |_| desk.take_up_other_tab());
    view! {
        {move || match desk.guest.get() {
            Some(quote) => view! { <quote::Guest quote/> }.into_any(),
            None => view! { <Bench/> }.into_any(),
        }}
    }
}

/// The shop's own side of the page.
#[component]
fn Bench() -> impl IntoView {
    let desk = desk();
    let screen = move || desk.screen.get().word().to_lowercase();
    view! {
        <div class="bench" data-screen=screen>
            <Strip/>
            <Bar/>
            <Notices/>
            <main>
                <div class="screen screen-order"><order::OrderScreen/></div>
                <div class="screen screen-letters"><letters::LettersScreen/></div>
                <div class="screen screen-price"><price::PriceScreen/></div>
                <div class="screen screen-quote"><quote::QuoteScreen/></div>
                <div class="screen screen-shop">
                    <Show when=move || desk.screen.get() == Screen::Shop><shop::ShopScreen/></Show>
                </div>
            </main>
            <Undo/>
        </div>
    }
}

/// Price, profit and problems, always in view.
#[component]
fn Strip() -> impl IntoView {
    let desk = desk();
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let prices = move || {
        desk.plan.with(|plan| {
            let prices = plan.priced.as_ref().ok()?.units.iter().map(|unit| unit.price);
            Some((prices.clone().min()?, prices.max()?))
        })
    };
    let each = move || prices().map(|(least, _)| currency().show(least));
    let each_words = move || match prices() {
        Some((least, most)) if least < most => "each, from",
        _ => "each",
    };
    let figure = move |of: fn(&lettertally::cost::Priced, &lettertally::money::Currency) -> String| {
        desk.plan.with(|plan| plan.priced.as_ref().ok().map(|priced| of(priced, &currency())))
    };
    let total = move || figure(|priced, currency| currency.show(priced.total()));
    let profit = move || figure(|priced, currency| currency.show(priced.profit(currency).round(currency)));
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
        <header class="strip" class:strip-stop=move || desk.plan.with(|plan| plan.is_incomplete())>
            <dl>
                <div class="strip-each"><dt>{each_words}</dt><dd>{move || each().unwrap_or_else(dash)}</dd></div>
                <div><dt>{move || format!("{} with tax", garments())}</dt><dd>{move || total().unwrap_or_else(dash)}</dd></div>
                <div class:loses=loses>
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
    let text = move || {
        let problem = worst()?;
        let others = desk.plan.with(|plan| plan.problems.len()) - 1;
        let more = if others > 0 { format!(" (+{others})") } else { String::new() };
        let lead = if problem.severity == Severity::Stop { "Not complete: " } else { "Look: " };
        Some(format!("{lead}{}{more}", problem.message))
    };
    let go = move |_| {
        let screen = match worst().map(|problem| problem.place) {
            Some(lettertally::problem::Place::Price) => Screen::Price,
            Some(lettertally::problem::Place::Offer(_)) => Screen::Shop,
            _ => Screen::Order,
        };
        desk.screen.set(screen);
        request_animation_frame(|| {
            if let Ok(Some(found)) = document().query_selector(".problem") {
                found.scroll_into_view_with_bool(false);
            }
        });
    };
    view! {
        <div class="verdict" aria-live="polite" aria-atomic="true">
            {move || text().map(|text| view! { <button type="button" on:click=go>{text}</button> })}
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
                            on:click=move |_| {
                                desk.screen.set(screen);
                                window().scroll_to_with_x_and_y(0.0, 0.0);
                            }
                        >
                            {screen.word()}
                        </button>
                    }
                })
                .collect_view()}
        </nav>
    }
}

#[component]
fn Notices() -> impl IntoView {
    let desk = desk();
    let notice = move |(at, text): (usize, String)| {
        let close = move |_| {
            desk.notices.update(|notices| {
                if at < notices.len() {
                    notices.remove(at);
                }
            });
        };
        view! {
            <div class="notice">
                <p>{text}</p>
                <button type="button" on:click=close>"Close"</button>
            </div>
        }
    };
    view! {
        <div class="notices" role="alert">
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
                desk.removed
                    .get()
                    .map(|removed| {
                        view! {
                            <p>{format!("Removed {}.", removed.what)}</p>
                            <button type="button" on:click=move |_| desk.undo()>"Bring back"</button>
                            <button type="button" on:click=move |_| desk.removed.set(None)>"Close"</button>
                        }
                    })
            }}
        </div>
    }
}
