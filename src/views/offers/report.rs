//! What could not be read of a pasted block, and what to do about it.

use super::super::parts::show;
use crate::views::prelude::*;
use lettertally::lists::block::{BlockFault, Pasted};
use web_sys::ScrollLogicalPosition;

/// How many faults are shown one by one.
const SHOWN: usize = 12;

/// Each cell that cannot be read, by its row and column. Nothing has been changed yet.
#[component]
pub fn Report(
    /// The block; nothing is shown while there is none.
    doubtful: RwSignal<Option<Pasted>>,
    /// Takes what can be read.
    #[prop(into)]
    take: Callback<Pasted>,
) -> impl IntoView {
    let report = move |pasted: Pasted| {
        let faults = pasted.faults.iter().take(SHOWN).map(BlockFault::to_string);
        let faults = faults.map(|fault| view! { <li>{fault}</li> }).collect_view();
        let more = pasted.faults.len().saturating_sub(SHOWN);
        let is_some = pasted.changed + pasted.added > 0;
        let kept = StoredValue::new(pasted);
        view! {
            <div class="problem problem-stop price-report" data-unkept="" role="alert">
                <p>"Nothing has been changed: not all of it can be put on the list."</p>
                <ul>{faults}</ul>
                {(more > 0).then(|| view! { <p>{format!("and {more} more")}</p> })}
                <div class="fixes">
                    {is_some.then(|| view! { <button type="button" on:click=move |_| take.run(kept.get_value())>"Take what can be read"</button> })}
                    <button type="button" on:click=move |_| doubtful.set(None)>"Leave it all"</button>
                </div>
            </div>
        }
    };
    let place = NodeRef::<leptos::html::Div>::new();
    Effect::new(move |_| {
        if let (true, Some(place)) = (doubtful.with(Option::is_some), place.get()) {
            show(&place, ScrollLogicalPosition::Nearest);
        }
    });
    view! { <div node_ref=place>{move || doubtful.get().map(report)}</div> }
}
