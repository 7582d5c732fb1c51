//! What to buy from whom, for which orders and for the shelf.

use super::parts::{Panel, Tick};
use super::state::desk;
use super::why::Why;
use crate::browser::{address, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::buy::{self, Mix, SupplierOrder, paper};
use lettertally::cost::LineUse;
use lettertally::glyph::GlyphCounts;
use lettertally::lists::{Family, Lists, Offer, OfferId, SupplierId};
use lettertally::money::{Cents, Currency};
use lettertally::order::Order;
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// The shop's currency.
pub fn currency() -> Currency {
    desk().in_force.with(|shop| shop.settings.currency.clone())
}

/// The orders to the suppliers, and why they are the best.
#[component]
pub fn Buying() -> impl IntoView {
    let desk = desk();
    let mix = desk.basket.search.mix;
    let orders = memo(move || {
        mix.with(|mix| {
            let uses = desk.in_force.with(|shop| {
                desk.basket.contents.with(|contents| contents.lines(mix, &shop.shelf, &shop.lists))
            });
            mix.orders.iter().cloned().zip(uses).collect::<Vec<_>>()
        })
    });
    let ticked = RwSignal::new(BTreeSet::<String>::new());
    let empty = move || {
        let used: u64 = desk.basket.contents.with(|all| all.tallies.iter().map(|t| t.letters_used()).sum());
        if used == 0 { "No letters yet." } else { "The shelf has every letter: nothing to buy." }
    };
    view! {
        <Panel title="Letters to buy">
            <Together/>
            <Trouble/>
            <Show when=move || mix.with(|mix| !mix.is_empty()) fallback=move || view! { <p class="empty">{empty}</p> }>
                <div class="buy-total">
                    <p class="big">{move || currency().show(mix.with(Mix::cost))}</p>
                    <Proof/>
                    <Saving/>
                </div>
                {move || orders.get().into_iter().map(|(order, uses)| view! { <ToSupplier order uses ticked/> }).collect_view()}
                <ForShelf/>
                <Why/>
            </Show>
        </Panel>
    }
}

/// What is bought at once: other orders, and what is wanted on the shelf.
#[component]
fn Together() -> impl IntoView {
    let desk = desk();
    let others = memo(move || {
        desk.book.with(|book| {
            let others = book.at_work().filter(|order| order.id != *book.open());
            others.map(|order| (order.id.clone(), called(order))).collect::<Vec<_>>()
        })
    });
    let count = move || desk.basket.contents.with(|contents| contents.tallies.len() - 1);
    let summary = move || match count() {
        0 => "Buy together with other orders".to_owned(),
        1 => "Bought together with 1 other order".to_owned(),
        count => format!("Bought together with {count} other orders"),
    };
    let tick = move |(id, label): (lettertally::order::OrderId, String)| {
        let id = StoredValue::new(id);
        let value = move || id.with_value(|id| desk.basket.with.with(|with| with.contains(id)));
        let commit = move |on: bool| {
            desk.basket.with.update(|with| {
                id.with_value(|id| with.retain(|known| known != id));
                with.extend(on.then(|| id.get_value()));
            });
        };
        view! { <li><Tick label=label value=derived(value) commit=commit/></li> }
    };
    let is_wanted = move || desk.in_force.with(|shop| shop.shelf.is_anything_wanted());
    let is_more = move || desk.basket.is_more_than_the_order(desk.search);
    view! {
        <div class="together no-print">
            <Show when=move || others.with(|others| !others.is_empty())>
                <details>
                    <summary>{summary}</summary>
                    <ul>{move || others.get().into_iter().map(tick).collect_view()}</ul>
                </details>
            </Show>
            <Show when=is_wanted>
                <Tick
                    label="Restock the shelf with this order"
                    value=desk.basket.restock
                    commit=move |on| desk.basket.restock.set(on)
                />
                <Restocking/>
            </Show>
        </div>
        <Show when=is_more>
            <p class="help">{move || format!("The price of “{}” stays that of its own letters, whatever is bought with them.", desk.order.with(|order| order.called().to_owned()))}</p>
        </Show>
    }
}

/// What filling the shelf adds to what is bought.
#[component]
fn Restocking() -> impl IntoView {
    let desk = desk();
    let words = move || {
        let (found, is_current) = desk.basket.explanation()?;
        let without = found.without_restock.filter(|_| is_current && desk.basket.restock.get())?;
        let (with, show) = (found.mix.cost(), |cents: Cents| currency().show(cents));
        Some(match with.cmp(&without) {
            Ordering::Greater => {
                format!(
                    "Restocking adds {}: without it, buying would cost {}.",
                    show(with - without),
                    show(without)
                )
            }
            Ordering::Equal => "Restocking adds nothing to the cost.".to_owned(),
            Ordering::Less => {
                format!("Restocking saves {}: it reaches a better price.", show(without - with))
            }
        })
    };
    view! { <p class="together-saves" aria-live="polite">{words}</p> }
}

fn called(order: &Order) -> String {
    format!("{}, {}", order.called(), order.date)
}

/// Why not all of it can be bought, where that is not said of the open order already.
#[component]
fn Trouble() -> impl IntoView {
    let desk = desk();
    let words = move || {
        if !desk.basket.is_more_than_the_order(desk.search) {
            return Vec::new();
        }
        desk.basket.search.mix.with(|mix| {
            desk.in_force.with(|shop| {
                let unsold = mix.families.iter().filter(|family| !family.unsold.is_empty()).map(|family| {
                    format!(
                        "Nobody sells: {}: {}",
                        shop.lists.family_name(&family.family),
                        counts(&family.unsold)
                    )
                });
                unsold.chain(mix.trouble.as_ref().map(|trouble| trouble.words(&shop.lists))).collect()
            })
        })
    };
    view! {
        <div aria-live="polite">
            {move || words().into_iter().map(|words| view! { <p class="complaint">{words}</p> }).collect_view()}
        </div>
    }
}

/// Whether the mix is proved, and the long search while it goes on.
#[component]
fn Proof() -> impl IntoView {
    let desk = desk();
    let mix = desk.basket.search.mix;
    let words = move || {
        mix.with(|mix| {
            if mix.is_proved() {
                return "Proved: no way to buy these letters costs less.".to_owned();
            }
            format!("The best found so far; another way could save {} at most.", currency().show(mix.gap()))
        })
    };
    // The price has its own search, where more is bought than the order needs.
    let searches = [desk.search, desk.basket.search];
    let progress = move || searches.iter().filter_map(|search| search.progress()).min();
    let stop = move |_| searches.iter().for_each(|search| search.stop());
    view! {
        <p class="help" aria-live="polite">{words}</p>
        <Show when=move || progress().is_some()>
            <div class="row searching">
                <progress max=buy::solver::WHOLE value=move || progress().unwrap_or(0) aria-label="Searching for a cheaper way"></progress>
                <button type="button" on:click=stop>"Stop"</button>
            </div>
        </Show>
    }
}

/// What buying several orders together saves.
#[component]
fn Saving() -> impl IntoView {
    let desk = desk();
    let words = move || {
        let (found, is_current) = desk.basket.explanation()?;
        let apart = found.one_by_one.filter(|_| is_current)?;
        let (together, show) = (found.mix.cost(), |cents: Cents| currency().show(cents));
        Some(match apart.cmp(&together) {
            Ordering::Greater => {
                format!(
                    "Together saves {}: order by order it would be {}.",
                    show(apart - together),
                    show(apart)
                )
            }
            Ordering::Equal => "Order by order it would cost the same.".to_owned(),
            Ordering::Less => {
                format!("Order by order it would cost {} less: {}.", show(together - apart), show(apart))
            }
        })
    };
    view! { <p class="together-saves" aria-live="polite">{words}</p> }
}

/// The order to one supplier, line by line, to be ticked off as it is typed in.
#[component]
fn ToSupplier(order: SupplierOrder, uses: Vec<LineUse>, ticked: RwSignal<BTreeSet<String>>) -> impl IntoView {
    let desk = desk();
    let (name, lines) = desk.in_force.with_untracked(|shop| {
        (
            supplier_name(&shop.lists, &order.supplier),
            paper::lines(&order, &shop.lists, &shop.settings.currency),
        )
    });
    let money = currency();
    let stored = StoredValue::new(order.clone());
    let said = RwSignal::new("");
    let text = move || {
        desk.in_force.with_untracked(|shop| {
            stored.with_value(|order| paper::as_text(order, &shop.lists, &shop.settings.currency))
        })
    };
    let copy = move |_| {
        let text = text();
        spawn_local(async move {
            said.set(if address::copy(&text).await {
                "Copied."
            } else {
                "This browser does not allow copying."
            });
        });
    };
    let csv = move |_| {
        let csv = desk.in_force.with_untracked(|shop| {
            stored.with_value(|order| paper::as_csv(order, &shop.lists, &shop.settings.currency))
        });
        hand_over::save_file("letters.csv", "text/csv", &csv);
    };
    let rows = lines.into_iter().zip(uses).map(|(line, used)| {
        let heading = format!("{} {} {}", line.family, line.way, line.glyph);
        let what = if line.glyph.is_empty() { line.way.clone() } else { format!("{} of {}", line.way, line.glyph) };
        let what = what.replace("single piece of", "single");
        let key = StoredValue::new(format!("{} {}", line.units, heading));
        (line.family.clone(), view! {
            <li>
                <Tick
                    label=format!("{} × {what}{}", line.units, for_shelf(used))
                    value=derived(move || key.with_value(|key| ticked.with(|ticked| ticked.contains(key))))
                    commit=move |on: bool| ticked.update(|ticked| {
                        if on { ticked.insert(key.get_value()); } else { ticked.remove(&key.get_value()); }
                    })
                />
                <span class="num">{line.cost}</span>
            </li>
        })
    });
    let mut families: Vec<(String, Vec<_>)> = Vec::new();
    for (family, row) in rows {
        match families.last_mut() {
            Some((name, rows)) if *name == family => rows.push(row),
            _ => families.push((family, vec![row])),
        }
    }
    let families: Vec<_> = families
        .into_iter()
        .map(|(name, rows)| view! { <div class="family"><h4>{name}</h4><ul class="buy">{rows}</ul></div> })
        .collect();
    view! {
        <section class="supplier">
            <h3><span>{name}</span><span class="num">{money.show(order.subtotal + order.freight)}</span></h3>
            {families}
            <dl class="figures">
                <div><dt>"Merchandise"</dt><dd>{money.show(order.subtotal)}</dd></div>
                <div><dt>"Freight"</dt><dd>{money.show(order.freight)}</dd></div>
            </dl>
            <div class="row no-print">
                <button type="button" on:click=copy>"Copy as text"</button>
                <button type="button" on:click=csv>"Save as CSV"</button>
                <button type="button" on:click=|_| hand_over::print()>"Print"</button>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </section>
    }
}

/// What of a line is for the shelf: nothing, some of its letters, or all.
fn for_shelf(used: LineUse) -> String {
    match used {
        LineUse { for_shelf: 0, .. } => String::new(),
        LineUse { letters, for_shelf } if letters == for_shelf => " (for the shelf)".to_owned(),
        LineUse { letters, for_shelf } => format!(" ({for_shelf} of {letters} letters for the shelf)"),
    }
}

/// What the shop calls a supplier.
pub fn supplier_name(lists: &Lists, id: &SupplierId) -> String {
    let supplier = lists.suppliers.iter().find(|supplier| supplier.id == *id);
    supplier.map_or_else(|| id.to_string(), |supplier| supplier.name.clone())
}

/// What an offer is, and who sells it where there are several.
pub fn offer_name(lists: &Lists, id: &OfferId) -> String {
    let Some(offer) = lists.offers.iter().find(|offer| offer.id == *id) else {
        return id.to_string();
    };
    let finish = lists.finish(&offer.finish).map_or(offer.finish.as_str(), |finish| &finish.name);
    let seller = if lists.suppliers.len() > 1 {
        format!(" from {}", supplier_name(lists, &offer.supplier))
    } else {
        String::new()
    };
    format!("{} {finish}, {}{seller}", offer.height, Offer::way_name(offer))
}

/// What of it stays on the shelf: letters wanted there, and those left over.
#[component]
fn ForShelf() -> impl IntoView {
    let desk = desk();
    let mix = desk.basket.search.mix;
    let wanted = move || {
        let needs =
            desk.in_force.with(|shop| desk.basket.contents.with(|contents| contents.for_shelf(&shop.shelf)));
        needs.into_iter().map(|need| (need.family, need.counts)).collect::<Vec<_>>()
    };
    let over = move || {
        mix.with(|mix| {
            let over = mix.families.iter().filter(|family| !family.left_over.is_empty());
            over.map(|family| (family.family.clone(), family.left_over.clone())).collect::<Vec<_>>()
        })
    };
    let kept = move || {
        let kept = desk.in_force.with(|shop| {
            mix.with(|mix| desk.basket.contents.with(|all| all.kept(mix, &shop.shelf, &shop.settings)))
        });
        let words =
            |kept| format!("{} of this stays on the shelf; no order pays for it.", currency().show(kept));
        (kept > Cents::ZERO).then(|| words(kept))
    };
    view! {
        {move || letters_of(wanted(), "for what is wanted on the shelf")}
        {move || letters_of(over(), "left over for the shelf")}
        <p class="help">{kept}</p>
    }
}

/// How many letters for something; unfolded, which.
fn letters_of(families: Vec<(Family, GlyphCounts)>, what: &str) -> impl IntoView + use<> {
    let desk = desk();
    let total: u64 = families.iter().map(|(_, counts)| counts.total()).sum();
    let letters = if total == 1 { "letter" } else { "letters" };
    let summary = format!("{total} {letters} {what}");
    let row = move |(family, left): (Family, GlyphCounts)| {
        let name = desk.in_force.with(|shop| shop.lists.family_name(&family));
        view! { <p class="glyph-counts"><b>{name}</b>": "{counts(&left)}</p> }
    };
    (total > 0).then(|| {
        view! {
            <details>
                <summary>{summary}</summary>
                {families.into_iter().map(row).collect_view()}
            </details>
        }
    })
}

/// Letters and how many: "A ×2, B ×1".
pub fn counts(counts: &GlyphCounts) -> String {
    let each = counts.iter().map(|(glyph, count)| format!("{glyph} ×{count}"));
    each.collect::<Vec<_>>().join(", ")
}
