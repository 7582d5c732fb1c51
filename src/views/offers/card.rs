//! The fields of one offer.

use super::super::entries::{EntryId, EntryTools, Held};
use super::super::parts::{Choice, NumberField, ParsedField, Tick};
use super::super::state::desk;
use super::contents::Contents;
use crate::views::prelude::*;
use lettertally::lists::entries::List;
use lettertally::lists::finish_change::refinished;
use lettertally::lists::rows::{self, CellError, Column};
use lettertally::lists::{ColourId, CountOver, Offer, StyleId, Way};
use lettertally::number::NumberError;

/// Everything about an offer. `among_alike`: see [`EntryTools`].
pub fn card(id: EntryId, among_alike: bool) -> AnyView {
    let desk = desk();
    let offer = Held::<Offer>::new(id);
    let kind = memo(move || cell(offer, Column::Way).get());
    let named = move |list: fn(&lettertally::lists::Lists) -> Vec<(String, String)>| {
        derived(move || desk.shop.with(|shop| list(&shop.lists)))
    };
    let finishes = named(|lists| {
        lists.finishes.iter().map(|entry| (entry.id.to_string(), entry.name.clone())).collect()
    });
    let suppliers = named(|lists| {
        lists.suppliers.iter().map(|entry| (entry.id.to_string(), entry.name.clone())).collect()
    });
    let kinds = [("piece", "single piece"), ("pack", "pack"), ("set", "assorted set")];
    let kinds = kinds.map(|(value, words)| (value.to_owned(), words.to_owned())).to_vec();
    let price = derived(move || {
        let name = desk.shop.with(|shop| offer.with(|offer| shop.lists.offer_name(offer)));
        format!("Price of {}", name.unwrap_or_default())
    });
    let unit = desk.shop.with_untracked(|shop| shop.settings.currency.code().to_owned());
    view! {
        <div class="card">
            <NumberField label=price unit=unit value=cell(offer, Column::Price) commit=move |text: String| number(offer, Column::Price, &text)/>
            <div class="grid">
                <Choice label="Finish" options=finishes value=offer.text(|o| o.finish.to_string()) commit=move |id: String| choose(offer, Column::Finish, &format!("#{id}"))/>
                <NumberField label="Letter height" unit="in" late=true value=cell(offer, Column::Height) commit=move |text: String| number(offer, Column::Height, &text)/>
                <Choice label="Sold as" options=Signal::stored(kinds) value=kind commit=move |kind: String| choose(offer, Column::Way, &kind)/>
                {move || (kind.get() == "pack").then(|| view! {
                    <NumberField label="Letters in a pack" whole=true value=cell(offer, Column::Each) commit=move |text: String| number(offer, Column::Each, &text)/>
                })}
            </div>
            {move || if kind.get() == "set" {
                view! { <Contents offer/> }.into_any()
            } else {
                parsed(offer, Column::Letters, "Letters sold", "Such as A-Z 0-9 & - .").into_any()
            }}
            <Choice label="Sold by" options=suppliers value=offer.text(|o| o.supplier.to_string()) commit=move |id: String| choose(offer, Column::Supplier, &format!("#{id}"))/>
            {parsed(offer, Column::Breaks, "Quantity breaks", "What each unit costs once so many are bought, such as 50: 2.00, 100: 1.80. Empty for none.")}
            <Tick
                label="Colours and styles count together towards the breaks"
                value=offer.is(|offer| offer.count_over == CountOver::Offer)
                commit=move |on| offer.change(&|offer| offer.count_over = if on { CountOver::Offer } else { CountOver::Family })
            />
            <NumberField
                label="At most"
                unit="units"
                help="What the supplier has in stock, per colour and style; empty for no limit."
                whole=true
                value=cell(offer, Column::AtMost)
                commit=move |text: String| number(offer, Column::AtMost, &text)
            />
            <Offered offer/>
            <EntryTools list=List::Offers id among_alike/>
        </div>
    }
    .into_any()
}

/// A cell as a field shows it.
fn cell(offer: Held<Offer>, column: Column) -> Signal<String> {
    let desk = desk();
    derived(move || {
        desk.shop.with(|shop| {
            let text = |offer: &Offer| rows::cell(offer, column, &shop.lists, &shop.settings.currency);
            offer.with(text).unwrap_or_default()
        })
    })
}

/// Puts a text into a cell.
fn put(offer: Held<Offer>, column: Column, text: &str) -> Result<(), CellError> {
    let changed = desk().shop.with_untracked(|shop| {
        let set = |old: &Offer| {
            let mut changed = old.clone();
            rows::set(&mut changed, column, text, &shop.lists, &shop.settings.currency).map(|()| changed)
        };
        offer.with(set).transpose()
    })?;
    if let Some(changed) = changed {
        let take = || offer.change(&|offer| offer.clone_from(&changed));
        let moved =
            desk().shop.with_untracked(|shop| offer.with(|before| refinished(before, &changed, &shop.lists)));
        match moved.flatten() {
            Some(moved) => desk().act(moved.to_string(), |_| take()),
            None => take(),
        }
    }
    Ok(())
}

/// Puts a text into a cell that holds a number.
fn number(offer: Held<Offer>, column: Column, text: &str) -> Result<(), NumberError> {
    match put(offer, column, text) {
        Err(CellError::Number(error)) => Err(error),
        Ok(()) | Err(_) => Ok(()),
    }
}

/// Puts into a cell what was chosen from a list, which always reads.
fn choose(offer: Held<Offer>, column: Column, text: &str) {
    let _ = put(offer, column, text);
}

fn parsed(
    offer: Held<Offer>,
    column: Column,
    label: &'static str,
    help: &'static str,
) -> impl IntoView + use<> {
    let commit = move |text: String| put(offer, column, &text).map_err(|error| error.to_string());
    view! { <ParsedField label=label help=help value=cell(offer, column) commit=commit rows=1/> }
}

/// The colours and styles an offer comes in.
#[component]
fn Offered(offer: Held<Offer>) -> impl IntoView {
    let desk = desk();
    let colours = memo(move || {
        let finish = offer.with(|offer| offer.finish.clone())?;
        desk.shop.with(|shop| {
            let colours = &shop.lists.finish(&finish)?.colours;
            Some(colours.iter().map(|c| (c.id.to_string(), c.name.clone())).collect::<Vec<_>>())
        })
    });
    let styles = memo(move || {
        desk.shop.with(|shop| {
            shop.lists.styles.iter().map(|s| (s.id.to_string(), s.name.clone())).collect::<Vec<_>>()
        })
    });
    let colour = move |(id, name): (String, String)| {
        let id = StoredValue::new(ColourId::new(id));
        let has = move |offer: &Offer| id.with_value(|id| offer.colours.contains(id));
        let commit = move |on: bool| {
            offer.change(&|offer| {
                offer.colours.retain(|colour| id.with_value(|id| colour != id));
                offer.colours.extend(on.then(|| id.get_value()));
            });
        };
        let value = derived(move || offer.with(has).unwrap_or_default());
        view! { <Tick label=name value=value commit=commit/> }
    };
    let style = move |(id, name): (String, String)| {
        let id = StoredValue::new(StyleId::new(id));
        let has = move |offer: &Offer| id.with_value(|id| offer.styles.contains(id));
        let commit = move |on: bool| {
            offer.change(&|offer| {
                offer.styles.retain(|style| id.with_value(|id| style != id));
                offer.styles.extend(on.then(|| id.get_value()));
            });
        };
        let value = derived(move || offer.with(has).unwrap_or_default());
        view! { <Tick label=name value=value commit=commit/> }
    };
    view! {
        <fieldset class="ticks">
            <legend class="minor">"Colours"</legend>
            {move || colours.get().unwrap_or_default().into_iter().map(colour).collect_view()}
        </fieldset>
        <fieldset class="ticks">
            <legend class="minor">"Letter styles"</legend>
            {move || styles.get().into_iter().map(style).collect_view()}
        </fieldset>
    }
}

/// What an assorted set holds; nothing for what is no set.
pub fn contents_of(offer: &Offer) -> lettertally::glyph::GlyphCounts {
    match &offer.way {
        Way::Set { contents } => contents.clone(),
        Way::Piece { .. } | Way::Pack { .. } => Default::default(),
    }
}
