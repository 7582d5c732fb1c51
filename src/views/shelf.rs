//! The shelf: what lies there and what is wanted there, as text, family by family.

use super::parts::{Panel, ParsedField};
use super::state::desk;
use crate::views::prelude::*;
use lettertally::glyph::GlyphCounts;
use lettertally::lists::Family;
use lettertally::shelf;

/// Every family that is sold, owned or wanted.
#[component]
pub fn Shelf() -> impl IntoView {
    let desk = desk();
    let families = memo(move || {
        desk.shop.with(|shop| {
            let mut families = shop.lists.families();
            let kept = shop.shelf.stocks().iter().map(|stock| &stock.family);
            let stray: Vec<Family> = kept.filter(|family| !families.contains(family)).cloned().collect();
            families.extend(stray);
            families
        })
    });
    let total = move |counts: fn(&shelf::Stock) -> &GlyphCounts| -> u64 {
        desk.shop.with(|shop| shop.shelf.stocks().iter().map(|stock| counts(stock).total()).sum())
    };
    let summary = move || {
        let owned = format!("{} letters on the shelf", total(|stock| &stock.counts));
        match total(|stock| &stock.wanted) {
            0 => owned,
            wanted => format!("{owned}, {wanted} wanted there"),
        }
    };
    view! {
        <Panel title="Shelf">
            <p class="help">"Letters you own, and how many are to lie there at all times: each letter with its count, such as A:5 B:2, or 30 A. What is wanted and missing is bought with the next order; its price does not change by it."</p>
            <details class="shelf">
                <summary>{summary}</summary>
                <For each=move || families.get() key=Clone::clone let(family)>
                    <OneFamily family/>
                </For>
            </details>
        </Panel>
    }
}

#[component]
fn OneFamily(family: Family) -> impl IntoView {
    let desk = desk();
    let family = StoredValue::new(family);
    let name = move || desk.shop.with(|shop| family.with_value(|family| shop.lists.family_name(family)));
    let totals = move || {
        desk.shop.with(|shop| {
            family.with_value(|family| {
                let (there, wanted) = (shop.shelf.of(family).total(), shop.shelf.wanted(family).total());
                match (there, wanted) {
                    (0, 0) => String::new(),
                    (there, 0) => format!("{there} there"),
                    (there, wanted) => format!("{there} there, {wanted} wanted"),
                }
            })
        })
    };
    let is_open = RwSignal::new(false);
    view! {
        <details class="entry stock" aria-label=name on:toggle:target=move |ev| is_open.set(ev.target().open())>
            <summary>{name}" "<small>{totals}</small></summary>
            {move || is_open.get().then(|| view! {
                <Counts label="On the shelf" family get=shelf::Shelf::of set=shelf::Shelf::replace/>
                <Counts label="Wanted there" family get=shelf::Shelf::wanted set=shelf::Shelf::want/>
            })}
        </details>
    }
}

/// One of the two counts of a family.
#[component]
fn Counts(
    label: &'static str,
    family: StoredValue<Family>,
    get: fn(&shelf::Shelf, &Family) -> GlyphCounts,
    set: fn(&mut shelf::Shelf, &Family, GlyphCounts),
) -> impl IntoView {
    let desk = desk();
    let shown =
        move || desk.shop.with(|shop| family.with_value(|family| get(&shop.shelf, family)).to_string());
    let commit = move |text: String| {
        let counts = GlyphCounts::parse(&text).map_err(|error| error.to_string())?;
        desk.shop.update(|shop| family.with_value(|family| set(&mut shop.shelf, family, counts)));
        Ok(())
    };
    view! { <ParsedField label=label value=derived(shown) commit=commit rows=1/> }
}
