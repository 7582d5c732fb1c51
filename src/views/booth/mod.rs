//! The booth: the order book, the queue for the press, what the shelf can make, what to buy again,
//! and the day's close.

mod again;
mod book;
mod card;
mod day;
mod deeds;
mod hand;
mod press;

use super::parts::Switch;
use crate::views::prelude::*;

/// The parts of the screen, in the order of their buttons.
const PARTS: [&str; 4] = ["Orders", "Press", "Buy", "Day"];

/// The booth screen.
#[component]
pub fn BoothScreen() -> impl IntoView {
    let part = RwSignal::new(0_usize);
    view! {
        <div class="booth">
            <Switch label="Part of the booth" options=PARTS.to_vec() value=part commit=move |at| part.set(at)/>
            {move || match part.get() {
                0 => view! { <book::OrderBook/> },
                1 => view! { <press::Press/> },
                2 => view! { <again::BuyAgain/> },
                _ => view! { <day::DaysClose/> },
            }}
        </div>
    }
}
