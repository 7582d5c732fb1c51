//! The price list: who sells letters, and in which ways.

use super::parts::{Choice, NumberField, Panel, ParsedField, TextField, Tick};
use super::state::desk;
use leptos::prelude::*;
use lettertally::glyph::{GlyphCounts, GlyphSet};
use lettertally::length::Length;
use lettertally::lists::{CountOver, FinishId, Lists, Offer, OfferId, SupplierId, Way, fresh_id, steps};
use lettertally::money::Cents;
use lettertally::number;

/// The price list.
#[component]
pub fn Offers() -> impl IntoView {
    let desk = desk();
    let ids = Memo::new(move |_| {
        desk.shop.with(|shop| shop.lists.offers.iter().map(|o| o.id.clone()).collect::<Vec<_>>())
    });
    let ready =
        move || desk.shop.with(|shop| !shop.lists.finishes.is_empty() && !shop.lists.suppliers.is_empty());
    let add = move |_| {
        desk.change_lists(|lists| {
            let fresh = fresh_offer(lists);
            desk.fresh.set(fresh.as_ref().map_or(String::new(), |offer| offer.id.to_string()));
            lists.offers.extend(fresh);
        });
    };
    view! {
        <Panel title="Price list">
            <div class="offers">
                <For each=move || ids.get() key=Clone::clone let(id)>
                    <OfferRow id/>
                </For>
            </div>
            <Show when=ready fallback=|| view! { <p class="empty">"Add a finish first: an offer sells letters of one."</p> }>
                <button type="button" class="wide" on:click=add>"Add an offer"</button>
            </Show>
        </Panel>
    }
}

/// An offer like the last one, or a first one; `None` while there is nothing to sell.
fn fresh_offer(lists: &Lists) -> Option<Offer> {
    let id = OfferId::new(fresh_id("offer", lists.offers.iter().map(|offer| offer.id.as_str())));
    if let Some(last) = lists.offers.last() {
        return Some(Offer { id, ..last.clone() });
    }
    let finish = lists.finishes.first()?;
    Some(Offer {
        id,
        supplier: lists.suppliers.first()?.id.clone(),
        finish: finish.id.clone(),
        height: Length::inches(2),
        colours: finish.colours.iter().map(|colour| colour.id.clone()).collect(),
        styles: lists.styles.iter().map(|style| style.id.clone()).collect(),
        way: Way::Piece { glyphs: GlyphSet::parse("A-Z 0-9") },
        price: Cents::ZERO,
        breaks: Vec::new(),
        count_over: CountOver::Family,
        at_most: None,
    })
}

/// One offer: a line that opens into its fields.
#[component]
fn OfferRow(id: OfferId) -> impl IntoView {
    let desk = desk();
    let stored = StoredValue::new(id);
    let entry = offer_of(stored);
    let change = move |change: &dyn Fn(&mut Offer)| change_offer(stored, change);
    let of = move |part: fn(&Offer) -> String| {
        Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), part)))
    };
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let name = move || {
        entry.with(|entry| {
            let offer = entry.as_ref()?;
            let finish =
                desk.shop.with(|shop| shop.lists.finish(&offer.finish).map(|finish| finish.name.clone()));
            Some(format!(
                "{} {}, {}",
                offer.height,
                finish.unwrap_or(format!("{} (gone)", offer.finish)),
                offer.way_name()
            ))
        })
    };
    let price =
        move || entry.with(|e| e.as_ref().map_or(String::new(), |offer| currency().plain(offer.price)));
    let fault = move || entry.with(|e| e.as_ref().and_then(Offer::fault).map(|fault| fault.to_string()));
    let remove = move |_| {
        desk.remove(name().unwrap_or_default(), |desk| {
            desk.change_lists(|lists| lists.offers.retain(|offer| stored.with_value(|id| offer.id != *id)));
        });
    };
    let finishes = move || {
        desk.shop.with(|shop| {
            shop.lists.finishes.iter().map(|f| (f.id.to_string(), f.name.clone())).collect::<Vec<_>>()
        })
    };
    let kinds = ["single piece", "pack", "assorted set"];
    let kind = move || {
        entry.with(|e| {
            e.as_ref().map_or(0, |offer| match offer.way {
                Way::Piece { .. } => 0,
                Way::Pack { .. } => 1,
                Way::Set { .. } => 2,
            })
        })
    };
    view! {
        <div class="offer" role="group" aria-label=move || name().unwrap_or_default()>
            <div class="offer-head">
                <NumberField
                    label=Signal::derive(move || name().unwrap_or_default())
                    unit=currency().code().to_owned()
                    value=Signal::derive(price)
                    commit=move |text: String| { let cents = Cents::parse(&text, &currency())?; change(&|offer| offer.price = cents); Ok(()) }
                />
            </div>
            {move || fault().map(|fault| view! { <p class="complaint">{fault}</p> })}
            <details class="entry" open=stored.with_value(|id| desk.fresh.with_untracked(|fresh| id.as_str() == fresh))>
                <summary>"Details"</summary>
                <div class="grid">
                    <Choice label="Finish" options=Signal::derive(finishes) value=of(|o| o.finish.to_string()) commit=move |id: String| change(&|o| o.finish = FinishId::new(id.as_str()))/>
                    <NumberField label="Letter height" unit="in" value=of(|o| o.height.to_inches().normalize().to_string()) commit=move |text: String| { let l = height(&text)?; change(&|o| o.height = l); Ok(()) }/>
                    <Choice
                        label="Sold as"
                        options=Signal::stored(kinds.iter().enumerate().map(|(i, k)| (i.to_string(), (*k).to_owned())).collect::<Vec<_>>())
                        value=Signal::derive(move || kind().to_string())
                        commit=move |kind: String| change(&|offer| offer.way = as_kind(&offer.way, &kind))
                    />
                </div>
                {move || match kind() {
                    2 => view! { <Contents id=stored/> }.into_any(),
                    kind => view! {
                        {(kind == 1).then(|| view! { <NumberField label="Letters in a pack" whole=true value=of(pack_size) commit=move |text: String| { let n = number::whole(&text, 1, 10_000)?; change(&|offer| if let Way::Pack { of, .. } = &mut offer.way { *of = n }); Ok(()) }/> })}
                        <TextField label="Letters sold" help="Such as A-Z 0-9 & - ." value=of(glyphs) commit=move |text: String| change(&|offer| set_glyphs(&mut offer.way, &text))/>
                    }.into_any(),
                }}
                <Quantities id=stored/>
                <Offered id=stored/>
                <button type="button" on:click=remove>"Remove this offer"</button>
            </details>
        </div>
    }
}

fn height(text: &str) -> Result<Length, number::NumberError> {
    let length = Length::parse_inches(text)?;
    if length > Length::inches(24) {
        return Err(number::NumberError::TooLarge { most: 24 });
    }
    if length == Length::ZERO {
        return Err(number::NumberError::TooSmall { least: 1 });
    }
    Ok(length)
}

fn pack_size(offer: &Offer) -> String {
    match &offer.way {
        Way::Pack { of, .. } => of.to_string(),
        Way::Piece { .. } | Way::Set { .. } => String::new(),
    }
}

fn glyphs(offer: &Offer) -> String {
    match &offer.way {
        Way::Piece { glyphs } | Way::Pack { glyphs, .. } => glyphs.to_string(),
        Way::Set { .. } => String::new(),
    }
}

fn set_glyphs(way: &mut Way, text: &str) {
    if let Way::Piece { glyphs } | Way::Pack { glyphs, .. } = way {
        *glyphs = GlyphSet::parse(text);
    }
}

/// The same letters sold in another way; a set begins without contents, to be entered.
fn as_kind(way: &Way, kind: &str) -> Way {
    let glyphs = match way {
        Way::Piece { glyphs } | Way::Pack { glyphs, .. } => glyphs.clone(),
        Way::Set { .. } => GlyphSet::parse("A-Z 0-9"),
    };
    match kind {
        "0" => Way::Piece { glyphs },
        "1" => Way::Pack { of: 5, glyphs },
        _ => Way::Set { contents: GlyphCounts::default() },
    }
}

/// What an assorted set holds, as text.
#[component]
fn Contents(id: StoredValue<OfferId>) -> impl IntoView {
    let entry = offer_of(id);
    let change = move |change: &dyn Fn(&mut Offer)| change_offer(id, change);
    let contents = move || match entry.get().map(|offer| offer.way) {
        Some(Way::Set { contents }) => contents,
        _ => GlyphCounts::default(),
    };
    let commit = move |text: String| {
        let counts = GlyphCounts::parse(&text).map_err(|error| error.to_string())?;
        change(&|offer| offer.way = Way::Set { contents: counts.clone() });
        Ok(())
    };
    view! {
        <ParsedField
            label=Signal::derive(move || format!("Contents: {} letters", contents().total()))
            value=Signal::derive(move || contents().to_string())
            commit=commit
            rows=3
        />
    }
}

/// Quantity breaks, who sells it, and how much there is.
#[component]
fn Quantities(id: StoredValue<OfferId>) -> impl IntoView {
    let desk = desk();
    let entry = offer_of(id);
    let change = move |change: &dyn Fn(&mut Offer)| change_offer(id, change);
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let of = move |part: fn(&Offer) -> String| {
        Signal::derive(move || entry.with(|e| e.as_ref().map_or(String::new(), part)))
    };
    let breaks = move || {
        entry.with(|e| {
            e.as_ref().map_or(String::new(), |offer| steps::write_breaks(&offer.breaks, &currency()))
        })
    };
    let suppliers = move || {
        desk.shop.with(|shop| {
            shop.lists.suppliers.iter().map(|s| (s.id.to_string(), s.name.clone())).collect::<Vec<_>>()
        })
    };
    view! {
        <Choice
            label="Sold by"
            options=Signal::derive(suppliers)
            value=of(|offer| offer.supplier.to_string())
            commit=move |id: String| change(&|offer| offer.supplier = SupplierId::new(id.as_str()))
        />
        <ParsedField
            label="Quantity breaks"
            help="From how many units on all of them cost what, such as 50: 2.00, 100: 1.80. Empty for none."
            value=Signal::derive(breaks)
            commit=move |text: String| {
                let breaks = steps::read_breaks(&text, &currency()).map_err(|error| error.to_string())?;
                change(&|offer| offer.breaks.clone_from(&breaks));
                Ok(())
            }
        />
        <Tick
            label="Colours and styles count together towards the breaks"
            value=Signal::derive(move || entry.with(|e| e.as_ref().is_some_and(|offer| offer.count_over == CountOver::Offer)))
            commit=move |on| change(&|offer| offer.count_over = if on { CountOver::Offer } else { CountOver::Family })
        />
        <NumberField
            label="At most"
            unit="units"
            help="What the supplier has in stock, per colour and style; empty for no limit."
            whole=true
            value=of(|offer| offer.at_most.map_or(String::new(), |most| most.to_string()))
            commit=move |text: String| {
                let most = if text.trim().is_empty() { None } else { Some(number::whole(&text, 0, 1_000_000)?) };
                change(&|offer| offer.at_most = most);
                Ok(())
            }
        />
    }
}

/// An offer as it is on the list.
fn offer_of(id: StoredValue<OfferId>) -> Memo<Option<Offer>> {
    let desk = desk();
    Memo::new(move |_| {
        desk.shop
            .with(|shop| shop.lists.offers.iter().find(|offer| id.with_value(|id| offer.id == *id)).cloned())
    })
}

/// Changes an offer on the list.
fn change_offer(id: StoredValue<OfferId>, change: &dyn Fn(&mut Offer)) {
    desk().change_lists(|lists| {
        if let Some(offer) = lists.offers.iter_mut().find(|offer| id.with_value(|id| offer.id == *id)) {
            change(offer);
        }
    });
}

/// The colours and styles an offer comes in.
#[component]
fn Offered(id: StoredValue<OfferId>) -> impl IntoView {
    let desk = desk();
    let entry = offer_of(id);
    let change = move |change: &dyn Fn(&mut Offer)| change_offer(id, change);
    let colours = Memo::new(move |_| {
        let finish = entry.with(|entry| entry.as_ref().map(|offer| offer.finish.clone()))?;
        desk.shop.with(|shop| shop.lists.finish(&finish).map(|finish| finish.colours.clone()))
    });
    let styles = Memo::new(move |_| desk.shop.with(|shop| shop.lists.styles.clone()));
    let colour_tick = move |colour: lettertally::lists::Colour| {
        let id = StoredValue::new(colour.id);
        view! {
            <Tick
                label=colour.name
                value=Signal::derive(move || entry.with(|e| e.as_ref().is_some_and(|o| id.with_value(|id| o.colours.contains(id)))))
                commit=move |on| change(&|offer| {
                    offer.colours.retain(|colour| id.with_value(|id| colour != id));
                    if on { offer.colours.push(id.get_value()) }
                })
            />
        }
    };
    let style_tick = move |style: lettertally::lists::LetterStyle| {
        let id = StoredValue::new(style.id);
        view! {
            <Tick
                label=style.name
                value=Signal::derive(move || entry.with(|e| e.as_ref().is_some_and(|o| id.with_value(|id| o.styles.contains(id)))))
                commit=move |on| change(&|offer| {
                    offer.styles.retain(|style| id.with_value(|id| style != id));
                    if on { offer.styles.push(id.get_value()) }
                })
            />
        }
    };
    view! {
        <h4>"Colours"</h4>
        <div class="ticks">{move || colours.get().unwrap_or_default().into_iter().map(colour_tick).collect_view()}</div>
        <h4>"Letter styles"</h4>
        <div class="ticks">{move || styles.get().into_iter().map(style_tick).collect_view()}</div>
    }
}
