//! What an assorted set holds: counted glyph by glyph, pasted as text, or guessed and then mended.

use super::super::entries::Held;
use super::super::parts::{Choice, NumberField, ParsedField, TextField};
use super::card::contents_of;
use crate::views::prelude::*;
use lettertally::glyph::{Glyph, GlyphCounts, GlyphSet};
use lettertally::lists::contents::{Use, fill};
use lettertally::lists::{Offer, Way};
use lettertally::number;

/// The contents of a set, held against how many letters the list says it has.
#[component]
pub fn Contents(offer: Held<Offer>) -> impl IntoView {
    let contents = memo(move || offer.with(contents_of).unwrap_or_default());
    let total = memo(move || contents.with(GlyphCounts::total));
    let stated = RwSignal::new(u32::try_from(total.get_untracked()).unwrap_or(0));
    let is_off = move || stated.get() > 0 && total.get() != u64::from(stated.get());
    let glyphs = memo(move || contents.with(glyphs_shown));
    let text = move |text: String| {
        let counts = GlyphCounts::parse(&text).map_err(|error| error.to_string())?;
        hold(offer, counts);
        Ok(())
    };
    view! {
        <div class="contents" role="group" aria-label="Contents of the set">
            <NumberField
                label="Letters in the set, by the supplier's list"
                unit="letters"
                whole=true
                value=derived(move || stated.get().to_string())
                commit=move |text: String| { stated.set(number::whole(&text, 0, 100_000)?); Ok(()) }
            />
            <p class="help" class:complaint=is_off aria-live="polite">
                {move || verdict(total.get(), u64::from(stated.get()))}
            </p>
            <div class="set-counts">
                <For each=move || glyphs.get() key=Clone::clone let(glyph)>
                    <Count offer contents glyph/>
                </For>
            </div>
            <ParsedField
                label=derived(move || format!("Contents: {} letters", total.get()))
                help="Each letter with its count, such as A:5 B:2."
                value=derived(move || contents.with(GlyphCounts::to_string))
                commit=text
                rows=2
            />
            <Guess offer stated/>
        </div>
    }
}

/// Whether the contents add up to what the list says.
fn verdict(counted: u64, stated: u64) -> String {
    match counted {
        _ if stated == 0 => format!("{counted} letters counted"),
        _ if counted < stated => {
            format!(
                "{counted} letters counted: {} fewer than the {stated} that the list says",
                stated - counted
            )
        }
        _ if counted > stated => {
            format!(
                "{counted} letters counted: {} more than the {stated} that the list says",
                counted - stated
            )
        }
        _ => format!("{counted} letters counted, as the list says."),
    }
}

/// A to Z, the digits where the set has one, and whatever else it has.
fn glyphs_shown(contents: &GlyphCounts) -> Vec<Glyph> {
    let is_digit = |glyph: &Glyph| glyph.as_str().bytes().all(|byte| byte.is_ascii_digit());
    let has_digits = contents.iter().any(|(glyph, _)| is_digit(glyph));
    let usual = GlyphSet::parse(if has_digits { "A-Z 0-9" } else { "A-Z" });
    let (digits, letters): (Vec<&Glyph>, Vec<&Glyph>) = usual.iter().partition(|glyph| is_digit(glyph));
    let more = contents.iter().map(|(glyph, _)| glyph).filter(|glyph| !usual.contains(glyph));
    letters.into_iter().chain(digits).chain(more).cloned().collect()
}

fn hold(offer: Held<Offer>, contents: GlyphCounts) {
    offer.change(&|offer| offer.way = Way::Set { contents: contents.clone() });
}

/// How many of one glyph, with a step down and up.
#[component]
fn Count(offer: Held<Offer>, contents: Memo<GlyphCounts>, glyph: Glyph) -> impl IntoView {
    let name = glyph.to_string();
    let glyph = StoredValue::new(glyph);
    let count = move || contents.with(|contents| glyph.with_value(|glyph| contents.get(glyph)));
    let step = move |up: bool| {
        let mut counts = contents.get_untracked();
        glyph.with_value(|glyph| {
            let count = counts.get(glyph);
            counts.set(glyph.clone(), if up { (count + 1).min(9_999) } else { count.saturating_sub(1) });
        });
        hold(offer, counts);
    };
    view! {
        <div class="count" class:count-none=move || count() == 0>
            <b>{name.clone()}</b>
            <button type="button" aria-label=format!("One {name} less") on:click=move |_| step(false)>"−"</button>
            <output aria-label=format!("How many {name}")>{count}</output>
            <button type="button" aria-label=format!("One {name} more") on:click=move |_| step(true)>"+"</button>
        </div>
    }
}

/// Fills the set by how often letters come in names, to the total that the list says.
#[component]
fn Guess(offer: Held<Offer>, stated: RwSignal<u32>) -> impl IntoView {
    let letters = RwSignal::new("A-Z".to_owned());
    let least = RwSignal::new(1_u32);
    let used = RwSignal::new(0_usize);
    // A complaint is about what it was asked with, and ends when that is changed.
    let asked = move || (stated.get(), letters.get(), least.get(), used.get());
    let refused = RwSignal::new(None);
    let uses: Vec<(String, String)> =
        Use::ALL.iter().enumerate().map(|(at, used)| (at.to_string(), used.words().to_owned())).collect();
    let guess = move |_| {
        let used = Use::ALL.get(used.get_untracked()).copied().unwrap_or(Use::Surnames);
        let alphabet = letters.with_untracked(|letters| GlyphSet::parse(letters));
        match fill(stated.get_untracked(), &alphabet, least.get_untracked(), used) {
            Ok(counts) => {
                refused.set(None);
                hold(offer, counts);
            }
            Err(error) => refused.set(Some((untrack(asked), error.to_string()))),
        }
    };
    let complaint = move || refused.get().filter(|(with, _)| *with == asked()).map(|(_, words)| words);
    view! {
        <details>
            <summary>"Fill it by how often letters come"</summary>
            <p class="help">"A guess to mend from your own set: the letters of names in the census, digits all alike."</p>
            <div class="grid">
                <TextField label="Letters" value=letters commit=move |text| letters.set(text)/>
                <NumberField label="At least of each" whole=true value=derived(move || least.get().to_string()) commit=move |text: String| { least.set(number::whole(&text, 0, 1_000)?); Ok(()) }/>
                <Choice label="How often" options=Signal::stored(uses) value=derived(move || used.get().to_string()) commit=move |at: String| used.set(at.parse().unwrap_or(0))/>
            </div>
            <p class="complaint" aria-live="polite">{complaint}</p>
            <button type="button" on:click=guess>{move || format!("Fill with {} letters", stated.get())}</button>
        </details>
    }
}
