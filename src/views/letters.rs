//! The letters an order takes, and what the shelf has of them.

use super::buying::Buying;
use super::parts::{NumberField, Panel, Tick, element_id};
use super::runs::RunSizes;
use super::state::desk;
use crate::views::prelude::*;
use lettertally::glyph::Glyph;
use lettertally::lists::Family;
use lettertally::number;

/// The letters screen. What only it shows is worked out once it is there.
#[component]
pub fn LettersScreen() -> impl IntoView {
    let desk = desk();
    desk.basket.follow(desk.order, desk.in_force);
    desk.runs.follow(desk.plan, desk.in_force, desk.search.is_settled);
    view! {
        <Buying/>
        <RunSizes/>
        <Needed/>
    }
}

/// Every letter needed, with what the shelf has of it.
#[component]
fn Needed() -> impl IntoView {
    let desk = desk();
    let editing = RwSignal::new(false);
    let families = memo(move || {
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
    let name = move || desk.in_force.with(|shop| stored.with_value(|family| shop.lists.family_name(family)));
    let need =
        memo(move || desk.plan.with(|plan| stored.with_value(|family| plan.tally.family(family).cloned())));
    let glyphs = memo(move || {
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
    let count = memo(move || {
        need.with(|need| need.as_ref().map_or(0, |need| stored.with_value(|glyph| need.need().get(glyph))))
    });
    let shelf = memo(move || {
        desk.in_force.with(|shop| {
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
                    value=derived(move || shelf.get().to_string())
                    commit=commit
                />
            </Show>
        </li>
    }
}
