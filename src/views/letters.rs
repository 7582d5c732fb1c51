//! The letters an order takes, what the shelf has of them, and what to buy.

use super::parts::{NumberField, Panel, Tick, element_id};
use super::state::desk;
use leptos::prelude::*;
use lettertally::buy::FamilyMix;
use lettertally::glyph::Glyph;
use lettertally::lists::Family;
use lettertally::money::{Cents, Currency};
use lettertally::number;

/// The letters screen.
#[component]
pub fn LettersScreen() -> impl IntoView {
    view! {
        <Buying/>
        <Needed/>
    }
}

/// What to buy, and what other ways would have cost.
#[component]
fn Buying() -> impl IntoView {
    let desk = desk();
    let currency = Memo::new(move |_| desk.shop.with(|shop| shop.settings.currency.clone()));
    let mix = Memo::new(move |_| desk.plan.with(|plan| plan.mix.clone()));
    let buys = move || mix.with(|mix| mix.families.iter().any(|family| !family.entries.is_empty()));
    let families = move || {
        let mix = mix.get();
        mix.families
            .into_iter()
            .filter(|f| !f.entries.is_empty())
            .map(|family| view! { <FamilyBuy family currency/> })
            .collect_view()
    };
    let empty = move || {
        let used = desk.plan.with(|plan| plan.tally.letters_used());
        if used == 0 { "No letters yet." } else { "The shelf has every letter: nothing to buy." }
    };
    view! {
        <Panel title="Letters to buy">
            <Show when=buys fallback=move || view! { <p class="empty">{empty}</p> }>
                <div class="buy-total">
                    <p class="big">{move || currency.with(|currency| mix.with(|mix| currency.show(mix.cost())))}</p>
                    <p class="help">"The cheapest way to buy them, proved to the cent."</p>
                    <Others/>
                </div>
                {families}
            </Show>
        </Panel>
    }
}

/// The whole need in one way only, against the mix.
#[component]
fn Others() -> impl IntoView {
    let desk = desk();
    let rows = move || {
        desk.plan.with(|plan| {
            desk.shop.with(|shop| {
                let currency = &shop.settings.currency;
                let (chosen, others) = (plan.mix.cost(), plan.mix.others());
                let ways = [
                    ("pieces only", others.pieces),
                    ("packs only", others.packs),
                    ("sets only", others.sets),
                ];
                ways.map(|(words, cost)| {
                    (words, cost.map(|cost| (currency.show(cost), saved(cost, chosen, currency))))
                })
            })
        })
    };
    view! {
        <table class="others">
            <caption>"What one way only would cost"</caption>
            <tbody>
                {move || rows().into_iter().map(|(words, cost)| view! {
                    <tr>
                        <th scope="row">{words}</th>
                        {match cost {
                            Some((cost, saved)) => view! { <td class="num">{cost}</td><td class="num saved">{saved}</td> }.into_any(),
                            None => view! { <td colspan="2" class="num muted">"not for all letters"</td> }.into_any(),
                        }}
                    </tr>
                }).collect_view()}
            </tbody>
        </table>
    }
}

fn saved(cost: Cents, chosen: Cents, currency: &Currency) -> String {
    if cost == chosen { "the same".to_owned() } else { format!("saves {}", currency.show(cost - chosen)) }
}

/// What to buy of one family.
#[component]
fn FamilyBuy(family: FamilyMix, currency: Memo<Currency>) -> impl IntoView {
    let desk = desk();
    let name = desk.shop.with(|shop| shop.lists.family_name(&family.family));
    let row = |entry: &lettertally::buy::Entry| {
        let (way, supplier) = desk.shop.with(|shop| {
            let offer = shop.lists.offers.iter().find(|offer| offer.id == entry.offer);
            let supplier =
                offer.and_then(|offer| shop.lists.suppliers.iter().find(|s| s.id == offer.supplier));
            (
                offer.map_or(String::new(), lettertally::lists::Offer::way_name),
                supplier.map_or(String::new(), |s| s.name.clone()),
            )
        });
        let glyph = entry.glyph.as_ref().map_or(String::new(), Glyph::to_string);
        let what = if glyph.is_empty() { way } else { format!("{way} of {glyph}") };
        view! {
            <tr title=supplier>
                <td class="num">{format!("{} ×", entry.units)}</td>
                <td>{what.replace("single piece of", "single")}</td>
                <td class="num">{currency.with(|currency| currency.show(entry.cost))}</td>
            </tr>
        }
    };
    let left_over = family.left_over.total();
    view! {
        <div class="family">
            <h3><span>{name}</span><span class="num">{currency.with(|currency| currency.show(family.cost))}</span></h3>
            <table class="buy"><tbody>{family.entries.iter().map(row).collect_view()}</tbody></table>
            {(left_over > 0).then(|| view! {
                <details>
                    <summary>{format!("{left_over} left over for the shelf")}</summary>
                    <p class="counts">{counts(&family.left_over)}</p>
                </details>
            })}
        </div>
    }
}

fn counts(counts: &lettertally::glyph::GlyphCounts) -> String {
    let each = counts.iter().map(|(glyph, count)| format!("{glyph} ×{count}"));
    each.collect::<Vec<_>>().join(", ")
}

/// Every letter needed, with what the shelf has of it.
#[component]
fn Needed() -> impl IntoView {
    let desk = desk();
    let editing = RwSignal::new(false);
    let families = Memo::new(move |_| {
        desk.plan
            .with(|plan| plan.tally.families.iter().map(|tally| tally.family.clone()).collect::<Vec<_>>())
    });
    let summary = move || {
        desk.plan.with(|plan| {
            let spoiled = match plan.tally.spoiled {
                0 => String::new(),
                ruined => format!(", and enough to make any {ruined} of them again (spoilage, under Shop)"),
            };
            format!("{} letters on {} garments{spoiled}", plan.tally.letters_used(), plan.tally.garments)
        })
    };
    view! {
        <Panel title="Letters needed">
            <p class="help">{summary}</p>
            <Tick label="Change what is on the shelf" value=editing commit=move |on| editing.set(on)/>
            <For each=move || families.get() key=Clone::clone let(family)>
                <FamilyNeed family editing/>
            </For>
        </Panel>
    }
}

#[component]
fn FamilyNeed(family: Family, editing: RwSignal<bool>) -> impl IntoView {
    let desk = desk();
    let stored = StoredValue::new(family);
    let id = element_id();
    let name = move || desk.shop.with(|shop| stored.with_value(|family| shop.lists.family_name(family)));
    let need = Memo::new(move |_| {
        desk.plan.with(|plan| stored.with_value(|family| plan.tally.family(family).cloned()))
    });
    let glyphs = Memo::new(move |_| {
        need.with(|need| {
            need.as_ref()
                .map_or(vec![], |need| need.need().iter().map(|(g, _)| g.clone()).collect::<Vec<_>>())
        })
    });
    let total = move || {
        need.with(|need| {
            need.as_ref().map_or(String::new(), |need| {
                let extra = |count: u64, words: &str| {
                    if count > 0 { format!(" + {count} {words}") } else { String::new() }
                };
                let (again, spare) =
                    (extra(need.spoiled.total(), "for spoilage"), extra(need.spares.total(), "spare"));
                format!("{}{again}{spare}", need.used.total())
            })
        })
    };
    view! {
        <section class="family" aria-labelledby=id.clone()>
            <h3 id=id.clone()><span>{name}</span><span class="num">{total}</span></h3>
            <ul class="glyphs" class:glyphs-edit=move || editing.get()>
                <For each=move || glyphs.get() key=Clone::clone let(glyph)>
                    <GlyphCell family=stored glyph need editing/>
                </For>
            </ul>
        </section>
    }
}

#[component]
fn GlyphCell(
    family: StoredValue<Family>,
    glyph: Glyph,
    need: Memo<Option<lettertally::tally::FamilyTally>>,
    editing: RwSignal<bool>,
) -> impl IntoView {
    let desk = desk();
    let stored = StoredValue::new(glyph.clone());
    let count = Memo::new(move |_| {
        need.with(|need| need.as_ref().map_or(0, |need| stored.with_value(|glyph| need.need().get(glyph))))
    });
    let shelf = Memo::new(move |_| {
        desk.shop.with(|shop| {
            family.with_value(|family| stored.with_value(|glyph| shop.shelf.of(family).get(glyph)))
        })
    });
    let commit = move |text: String| {
        let count = if text.trim().is_empty() { 0 } else { number::whole(&text, 0, 99_999)? };
        desk.shop
            .update(|shop| family.with_value(|family| shop.shelf.set(family, stored.get_value(), count)));
        Ok(())
    };
    let label = format!("{glyph} on the shelf");
    let covered = move || shelf.get() >= count.get();
    view! {
        <li class:glyph-covered=covered>
            <b>{glyph.to_string()}</b>
            <span>{move || format!("×{}", count.get())}</span>
            {move || editing.get().then(|| view! { <small>"on the shelf"</small> })}
            <Show when=move || editing.get() fallback=move || view! { <small>{move || (shelf.get() > 0).then(|| format!("shelf {}", shelf.get()))}</small> }>
                <NumberField
                    label=label.clone()
                    bare=true
                    whole=true
                    value=Signal::derive(move || shelf.get().to_string())
                    commit=commit
                />
            </Show>
        </li>
    }
}
