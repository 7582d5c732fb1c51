//! The shelf: what lies there and what is wanted there, as text, family by family.

use super::parts::{NumberField, Panel, ParsedField};
use super::state::desk;
use crate::views::prelude::*;
use lettertally::glyph::GlyphCounts;
use lettertally::lists::{BlankId, Family};
use lettertally::number;
use lettertally::plan::Shop;
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
        let blanks: u64 =
            desk.shop.with(|shop| shop.shelf.blanks().iter().map(|stock| u64::from(stock.count)).sum());
        let blanks = if blanks == 0 { String::new() } else { format!(", {blanks} blanks") };
        let owned = format!("{} letters{blanks} on the shelf", total(|stock| &stock.counts));
        match total(|stock| &stock.wanted) {
            0 => owned,
            wanted => format!("{owned}, {wanted} letters wanted there"),
        }
    };
    let blanks = memo(move || {
        desk.shop.with(|shop| shop.lists.blanks.iter().map(|blank| blank.id.clone()).collect::<Vec<_>>())
    });
    view! {
        <Panel title="Shelf">
            <p class="help">"Letters and blanks you own, and how many are to lie there at all times: each letter with its count, such as A:5 B:2, or 30 A. What is wanted and missing is bought with the next order; its price does not change by it."</p>
            <details class="shelf">
                <summary>{summary}</summary>
                <For each=move || families.get() key=Clone::clone let(family)>
                    <OneFamily family/>
                </For>
                <For each=move || blanks.get() key=Clone::clone let(blank)>
                    <OneBlank blank/>
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

/// The blanks of one garment, size by size.
#[component]
fn OneBlank(blank: BlankId) -> impl IntoView {
    let desk = desk();
    let blank = StoredValue::new(blank);
    let name = move || {
        desk.shop.with(|shop| {
            let found = blank.with_value(|id| shop.lists.blank(id).map(|blank| blank.name.clone()));
            found.unwrap_or_default()
        })
    };
    let there = move || {
        let of_it = |stock: &&shelf::BlankStock| blank.with_value(|id| stock.blank == *id);
        let count: u64 = desk
            .shop
            .with(|shop| shop.shelf.blanks().iter().filter(of_it).map(|stock| u64::from(stock.count)).sum());
        if count == 0 { String::new() } else { format!("{count} there") }
    };
    let sizes = memo(move || {
        desk.shop.with(|shop| {
            let found = blank.with_value(|id| shop.lists.blank(id).cloned());
            found
                .map(|blank| blank.sizes.into_iter().map(|size| size.name).collect::<Vec<_>>())
                .unwrap_or_default()
        })
    });
    let is_open = RwSignal::new(false);
    view! {
        <details class="entry stock" aria-label=name on:toggle:target=move |ev| is_open.set(ev.target().open())>
            <summary>{name}" "<small>{there}</small></summary>
            {move || is_open.get().then(|| view! {
                <div class="grid">
                    {move || sizes.get().into_iter().map(|size| view! {
                        <BlankCount words="on the shelf" blank size=size.clone() get=shelf::Shelf::of_blank set=shelf::Shelf::set_blank/>
                        <BlankCount words="wanted there" blank size get=shelf::Shelf::wanted_blank set=shelf::Shelf::want_blank/>
                    }).collect_view()}
                </div>
            })}
        </details>
    }
}

/// One of the two counts of a blank's size.
#[component]
fn BlankCount(
    words: &'static str,
    blank: StoredValue<BlankId>,
    size: String,
    get: fn(&shelf::Shelf, &BlankId, &str) -> u32,
    set: fn(&mut shelf::Shelf, &BlankId, &str, u32),
) -> impl IntoView {
    let desk = desk();
    let label = format!("{size} {words}");
    let size = StoredValue::new(size);
    let shown = move || {
        let count = |shop: &Shop| blank.with_value(|id| size.with_value(|size| get(&shop.shelf, id, size)));
        desk.shop.with(count).to_string()
    };
    let commit = move |text: String| {
        let count = number::whole(&text, 0, GlyphCounts::MOST)?;
        desk.shop.update(|shop| {
            blank.with_value(|id| size.with_value(|size| set(&mut shop.shelf, id, size, count)))
        });
        Ok(())
    };
    view! { <NumberField label=label value=derived(shown) commit=commit whole=true late=true/> }
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
