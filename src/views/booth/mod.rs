//! The booth: the order book, the queue for the press, what the shelf can make, what to buy again,
//! and the day's close.

mod again;
mod book;
mod bring;
mod card;
mod day;
mod deeds;
mod fast;
mod finishes;
mod hand;
mod phones;
mod press;

use super::parts::Switch;
use crate::views::prelude::*;

/// The parts of the screen, in the order of their buttons.
const PARTS: [&str; 7] = ["New", "Orders", "Press", "Buy", "Day", "Bring", "Phones"];

/// The booth screen.
#[component]
pub fn BoothScreen() -> impl IntoView {
    let part = RwSignal::new(0_usize);
    view! {
        <div class="booth">
            <Switch label="Part of the booth" options=PARTS.to_vec() value=part commit=move |at| part.set(at)/>
            {move || match part.get() {
                0 => view! { <fast::FastOrder/> <finishes::Finishes/> },
                1 => view! { <book::OrderBook/> },
                2 => view! { <press::Press/> },
                3 => view! { <again::BuyAgain/> },
                4 => view! { <day::DaysClose/> },
                5 => view! { <bring::Bring/> },
                _ => view! { <phones::Phones/> },
            }}
        </div>
    }
}
