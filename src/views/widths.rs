//! The widths of a letter style: letter by letter, by measuring a row, and pairs.

use super::entries::{EntryId, Held};
use super::parts::{NumberField, ParsedField, TextField};
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
use std::collections::{BTreeMap, BTreeSet};

/// The table of a letter style.
#[component]
pub fn WidthTable(id: EntryId) -> impl IntoView {
    let desk = desk();
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
        let sold = desk.shop.with(|shop| {
            let drawn = alphabet::outlines().iter().filter_map(|outline| Glyph::parse(outline.glyph));
            let is_sold = |glyph: &Glyph| shop.lists.offers.iter().any(|offer| offer.gives(glyph));
            drawn.filter(is_sold).collect::<Vec<_>>()
        });
        let own = style.with(|style| style.widths.letters.keys().cloned().collect::<Vec<_>>());
        let usual = ('A'..='Z').chain('0'..='9').filter_map(|c| Glyph::parse(&c.to_string()));
        // Letters first, then digits, then marks.
        let kind = |glyph: &Glyph| match glyph.as_str().chars().next() {
            Some(c) if c.is_alphabetic() => 0,
            Some(c) if c.is_numeric() => 1,
            _ => 2,
        };
        let all: BTreeSet<(u8, Glyph)> =
            usual.chain(sold).chain(own.unwrap_or_default()).map(|glyph| (kind(&glyph), glyph)).collect();
        all.into_iter().map(|(_, glyph)| glyph).collect::<Vec<_>>()
    });
    let reset = move |_| {
        let words = "The letter widths are the built-in estimate again.".to_owned();
        desk.act(words, move |_| style.change(&|style| style.widths = Widths::default()));
    };
    let letter = move |glyph: Glyph| {
        let glyph = StoredValue::new(glyph);
        let label = glyph.with_value(ToString::to_string);
        let width =
            move |style: &LetterStyle| glyph.with_value(|glyph| of_glyph(glyph, &style.widths).to_string());
        let value = derived(move || style.with(width).unwrap_or_default());
        let commit = move |text: String| {
            let width = Caps::parse(&text)?;
            change(&|widths| {
                widths.letters.insert(glyph.get_value(), width);
            });
            Ok(())
        };
        view! { <NumberField label=label value=value commit=commit/> }
    };
    let read_gap = move |text: String| {
        let gap = Caps::parse(&text)?;
        change(&|widths| widths.gap = gap);
        Ok(())
    };
    let read_space = move |text: String| {
        let space = Caps::parse(&text)?;
        change(&|widths| widths.space = space);
        Ok(())
    };
    let take_pairs = move |text: String| {
        let pairs = read_pairs(&text).map_err(|entry| {
            format!("“{entry}” is not two letters and a share such as “AV -0.07”: commas between pairs")
        })?;
        change(&|widths| widths.pairs.clone_from(&pairs));
        Ok(())
    };
    view! {
        <details class="widths">
            <summary>"Letter widths"</summary>
            <p class="help">{move || format!("They are {}. Widths are shares of the letter height: 0.7 of a 4 in letter is 2.8 in.", source())}</p>
            <div class="grid">
                <NumberField label="Gap" value=style.text(|s| s.widths.gap.to_string()) commit=read_gap/>
                <NumberField label="Space" value=style.text(|s| s.widths.space.to_string()) commit=read_space/>
            </div>
            <MeasuredRow id/>
            <FontFile id glyphs/>
            <div class="width-grid">
                <For each=move || glyphs.get() key=Clone::clone let(glyph)>{letter(glyph)}</For>
            </div>
            <ParsedField
                label="Pairs that stand closer, or further apart"
                help="Two letters and what is added to their gap, with commas between: AV -0.07, LT -0.1"
                value=style.text(|s| pairs_text(&s.widths))
                commit=take_pairs
            />
            <div class="row"><button type="button" class="low" on:click=reset>"Back to the estimate"</button></div>
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
            <p><b>"Measure them by the row"</b></p>
            <p class="help">"Lay different letters side by side, as far apart as you press them, and measure from the first one's left edge to the last one's right edge."</p>
            <TextField label="Letters that lie in a row" placeholder="ABCDEFGHIJ" value=row commit=move |text| row.set(text)/>
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
            <div class="row"><button type="button" on:click=take>"Take these widths"</button></div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </div>
    }
}

/// A font of the person's own, read on this device.
#[component]
fn FontFile(id: EntryId, glyphs: Memo<Vec<Glyph>>) -> impl IntoView {
    let desk = desk();
    let style = Held::<LetterStyle>::new(id);
    let said = RwSignal::new(String::new());
    let take = move |bytes: &[u8]| match font::read(bytes, &glyphs.get_untracked()) {
        Ok(widths) => {
            let words = format!("{} letters and {} pairs read.", widths.letters.len(), widths.pairs.len());
            desk.act(words.clone(), move |_| style.change(&|style| style.widths.clone_from(&widths)));
            words
        }
        Err(why) => format!("Nothing was changed: {why}."),
    };
    let open = move |ev: leptos::ev::Event| {
        let chosen = files::chosen(&event_target(&ev));
        spawn_local(async move {
            said.set(match files::read(chosen, font::LARGEST_FILE).await {
                files::Opened::Nothing => return,
                files::Opened::TooLarge => format!("Nothing was changed: {}.", FontError::TooLarge),
                files::Opened::Unreadable => "This file cannot be opened.".to_owned(),
                files::Opened::Bytes(bytes) => take(&bytes),
            });
        });
    };
    view! {
        <div class="measured">
            <p><b>"Or take them from a font file"</b></p>
            <p class="help">"A TrueType or OpenType file, .ttf or .otf. It is read on this device and stays here."</p>
            <div class="row">
                <label class="file-button">
                    "Open a font file"
                    <input type="file" accept=".ttf,.otf,.ttc,font/ttf,font/otf" on:change=open/>
                </label>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </div>
    }
}

fn pairs_text(widths: &Widths) -> String {
    let pair = |(Pair(left, right), share): (&Pair, &Caps)| format!("{left}{right} {share}");
    widths.pairs.iter().map(pair).collect::<Vec<_>>().join(", ")
}

/// The pairs of a text, or the entry that is none.
fn read_pairs(text: &str) -> Result<BTreeMap<Pair, Caps>, String> {
    let entry = |entry: &str| {
        let (letters, share) = entry.split_once(char::is_whitespace)?;
        match <[Sign; 2]>::try_from(signs(letters)) {
            Ok([Sign::Glyph(left), Sign::Glyph(right)]) => {
                Some((Pair(left, right), Caps::parse_signed(share).ok()?))
            }
            _ => None,
        }
    };
    let entries = text.split(',').map(str::trim).filter(|entry| !entry.is_empty());
    entries.map(|text| entry(text).ok_or_else(|| text.to_owned())).collect()
}
