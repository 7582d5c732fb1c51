//! The widths of a letter style: letter by letter, by measuring a row, and pairs.

use super::entries::{EntryId, Held};
use super::parts::{NumberField, TextField, element_id};
use super::state::desk;
use crate::browser::files;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::glyph::{Glyph, Sign, signs};
use lettertally::layout::alphabet;
use lettertally::layout::font::{self, FontError};
use lettertally::layout::widths::{measured, of_glyph};
use lettertally::length::Length;
use lettertally::lists::style::{Pair, WidthSource, Widths};
use lettertally::lists::{Caps, LetterStyle};
use std::collections::BTreeSet;

/// The table of a letter style.
#[component]
pub fn WidthTable(id: EntryId) -> impl IntoView {
    let style = Held::<LetterStyle>::new(id);
    let change = move |change: &dyn Fn(&mut Widths)| {
        style.change(&|style| {
            change(&mut style.widths);
            if style.widths.source == WidthSource::Estimate {
                style.widths.source = WidthSource::Measured;
            }
        });
    };
    let source = move || style.with(|style| style.widths.source.words()).unwrap_or_default();
    let glyphs = memo(move || {
        let sold = desk().shop.with(|shop| {
            let drawn = alphabet::outlines().iter().filter_map(|outline| Glyph::parse(outline.glyph));
            let is_sold = |glyph: &Glyph| shop.lists.offers.iter().any(|offer| offer.gives(glyph));
            drawn.filter(is_sold).collect::<Vec<_>>()
        });
        let own = style.with(|style| style.widths.letters.keys().cloned().collect::<Vec<_>>());
        let usual = ('A'..='Z').chain('0'..='9').filter_map(|c| Glyph::parse(&c.to_string()));
        let all: BTreeSet<Glyph> = usual.chain(sold).chain(own.unwrap_or_default()).collect();
        all.into_iter().collect::<Vec<_>>()
    });
    let reset = move |_| style.change(&|style| style.widths = Widths::default());
    view! {
           <details class="widths">
               <summary>"Letter widths"</summary>
               <p class="help">{move || format!("They are {}. Widths are shares of the letter height: 0.7 of a 4 in letter is 2.8 in.", source())}</p>
               <div class="grid">
                   <NumberField
                       label="Gap"
                       value=style.text(|s| s.widths.gap.to_string())
                       commit=move |text: String| { let gap = Caps::parse(&text)?; change(&|w| w.gap = gap); Ok(()) }
                   />
                   <NumberField
                       label="Space"
                       value=style.text(|s| s.widths.space.to_string())
                       commit=move |text: String| { let space = Caps::parse(&text)?; change(&|w| w.space = space); Ok(()) }
                   />
               </div>
               <MeasuredRow id/>
            <FontFile id glyphs/>
               <div class="width-grid">
                   <For each=move || glyphs.get() key=Clone::clone let(glyph)>
                       {
                           let glyph = StoredValue::new(glyph);
                           let label = glyph.with_value(ToString::to_string);
                           let value = derived(move || style.with(|s| glyph.with_value(|g| of_glyph(g, &s.widths).to_string())).unwrap_or_default());
                           let commit = move |text: String| {
                               let width = Caps::parse(&text)?;
                               change(&|w| {
    w.letters.insert(glyph.get_value(), width);
    });
                               Ok(())
                           };
                           view! { <NumberField label=label value=value commit=commit/> }
                       }
                   </For>
               </div>
               <TextField
                   label="Pairs that stand closer, such as AV -0.07, LT -0.1"
                   value=style.text(|s| pairs_text(&s.widths))
                   commit=move |text: String| {
                       if let Some(pairs) = read_pairs(&text) {
                           change(&|w| w.pairs = pairs.iter().cloned().collect());
                       }
                   }
               />
               <button type="button" class="low" on:click=reset>"Back to the estimate"</button>
           </details>
       }
}

/// "These ten letters in a row are 31.4 in."
#[component]
fn MeasuredRow(id: EntryId) -> impl IntoView {
    let style = Held::<LetterStyle>::new(id);
    let row = RwSignal::new(String::new());
    let height = RwSignal::new(Length::inches(2));
    let length = RwSignal::new(None::<Length>);
    let said = RwSignal::new(String::new());
    let units = move || desk().shop.with(|shop| shop.settings.units);
    let take = move |_| {
        let Some(length) = length.get_untracked() else {
            said.set(
                "Type how long the row is, from the first letter's left edge to the last one's right edge."
                    .to_owned(),
            );
            return;
        };
        let found = style.with(|style| {
            let row: Vec<Sign> = signs(&row.get_untracked());
            measured(&row, length, height.get_untracked(), &style.widths)
        });
        match found {
            Some(Ok(found)) => {
                let count = found.len();
                style.change(&|style| {
                    style.widths.letters.extend(found.iter().cloned());
                    style.widths.source = WidthSource::Measured;
                });
                said.set(match count {
                    1 => "1 letter measured.".to_owned(),
                    n => format!("{n} letters measured."),
                });
            }
            Some(Err(fault)) => said.set(fault.to_string()),
            None => {}
        }
    };
    let is_begun = move || row.with(|row| !row.is_empty()).then_some("");
    view! {
        <div class="measured" data-unkept=is_begun>
            <TextField label="Letters that lie in a row" value=row commit=move |text| row.set(text)/>
            <div class="grid">
                <NumberField
                    label="Letter height"
                    unit="in"
                    value=derived(move || height.get().to_inches_text())
                    commit=move |text: String| { height.set(Length::parse_inches(&text)?); Ok(()) }
                />
                <NumberField
                    label="Length of the row"
                    unit=derived(move || units().mark().to_owned())
                    value=derived(move || length.get().map_or(String::new(), |length| units().write(length)))
                    commit=move |text: String| { length.set(Some(units().read(&text)?)); Ok(()) }
                />
            </div>
            <button type="button" on:click=take>"Take these widths"</button>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </div>
    }
}

/// A font of the person's own, read on this device.
#[component]
fn FontFile(id: EntryId, glyphs: Memo<Vec<Glyph>>) -> impl IntoView {
    let style = Held::<LetterStyle>::new(id);
    let said = RwSignal::new(String::new());
    let open = move |ev: leptos::ev::Event| {
        let chosen = files::chosen(&event_target(&ev));
        spawn_local(async move {
            let words = match files::read(chosen, font::LARGEST_FILE).await {
                files::Opened::Nothing => return,
                files::Opened::TooLarge => FontError::TooLarge.to_string(),
                files::Opened::Unreadable => "This file cannot be opened.".to_owned(),
                files::Opened::Bytes(bytes) => match font::read(&bytes, &glyphs.get_untracked()) {
                    Ok(widths) => {
                        let words = format!(
                            "{} letters and {} pairs read.",
                            widths.letters.len(),
                            widths.pairs.len()
                        );
                        style.change(&|style| style.widths = widths.clone());
                        words
                    }
                    Err(why) => format!("Nothing was changed: {why}."),
                },
            };
            said.set(words);
        });
    };
    let field = element_id();
    view! {
        <div class="field">
            <label for=field.clone()>"Or from a font file (.ttf, .otf); it stays on this device"</label>
            <input id=field type="file" accept=".ttf,.otf,.ttc,font/ttf,font/otf" on:change=open/>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </div>
    }
}

fn pairs_text(widths: &Widths) -> String {
    let pair = |(Pair(left, right), share): (&Pair, &Caps)| format!("{left}{right} {share}");
    widths.pairs.iter().map(pair).collect::<Vec<_>>().join(", ")
}

fn read_pairs(text: &str) -> Option<Vec<(Pair, Caps)>> {
    let entry = |entry: &str| {
        let (letters, share) = entry.trim().split_once(char::is_whitespace)?;
        match <[Sign; 2]>::try_from(signs(letters)) {
            Ok([Sign::Glyph(left), Sign::Glyph(right)]) => {
                Some((Pair(left, right), Caps::parse_signed(share).ok()?))
            }
            _ => None,
        }
    };
    text.split(',').filter(|entry| !entry.trim().is_empty()).map(entry).collect()
}
