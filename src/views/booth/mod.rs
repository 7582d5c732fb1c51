//! The booth: the order book, the queue for the press, what the shelf can make, what to buy again,
//! and the day's close.

mod again;
mod away;
mod book;
mod bring;
mod card;
mod chart;
mod day;
mod deeds;
mod fast;
mod finishes;
mod hand;
mod phones;
mod press;

pub use fast::Begun;

use super::parts::Switch;
use crate::views::prelude::*;

/// The parts of the screen, in the order of their buttons.
const PARTS: [&str; 8] = ["New", "Orders", "Queue", "Day", "Buy", "Bring", "Finishes", "Phones"];

/// The booth screen.
#[component]
pub fn BoothScreen() -> impl IntoView {
    let part = RwSignal::new(0_usize);
    view! {
        <div class="booth">
            <Switch label="Part of the booth" options=PARTS.to_vec() value=part commit=move |at| part.set(at)/>
            {move || match part.get() {
                0 => view! { <fast::FastOrder/> },
                1 => view! { <book::OrderBook/> },
                2 => view! { <press::Press/> },
                3 => view! { <day::DaysClose/> },
                4 => view! { <again::BuyAgain/> },
                5 => view! { <bring::Bring/> },
                6 => view! { <finishes::Finishes/> },
                _ => view! { <phones::Phones/> },
            }}
        </div>
    }
}
