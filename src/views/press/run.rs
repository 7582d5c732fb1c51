//! The run sheet: times, ways of working, what to pick, and a list to tick off.

use super::method::{Words, methods, way_mark};
use super::{Sheet, cautions_on_paper};
use crate::browser::hand_over;
use crate::views::parts::Panel;
use crate::views::prelude::*;
use crate::views::state::desk;
use lettertally::booth::making::pressed;
use lettertally::glyph::{Glyph, GlyphCounts};
use lettertally::length::{Length, Units};
use lettertally::lists::{Family, Lists, Settings};
use lettertally::press::flow::Bottleneck;
use lettertally::press::sheet::{Clash, ClosingHere, GarmentSheet, RunSheet};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// How many garments are pressed, by their places in the order.
type Ticks = Memo<BTreeMap<(usize, usize), u32>>;

/// How many garments stand on one printed page.
const ON_A_PAGE: usize = 10;

/// Nearer to the middle than this is in the middle.
const NEAR: Length = Length::mils(5);

/// The run sheet of the open order.
#[component]
pub fn Run(sheet: Sheet) -> impl IntoView {
    let desk = desk();
    // A tick is a fact of the book: the garment was pressed, and the shelf follows.
    let ticks: Ticks = memo(move || {
        desk.book.with(|book| {
            let order = &book.current().order;
            pressed(book.current(), &desk.in_force.with(|shop| order.read(&shop.lists)))
        })
    });
    let left = move || {
        let done: u32 = ticks.with(|ticks| ticks.values().sum());
        sheet.with(|sheet| sheet.run.garments.saturating_sub(u64::from(done)))
    };
    let called = move || desk.order.with(|order| order.called().to_owned());
    let above = move || {
        desk.in_force.with(|shop| {
            desk.order.with(|order| {
                sheet.with(|sheet| {
                    let (lists, settings) = (&shop.lists, &shop.settings);
                    let clash = |clash: &Clash| {
                        view! { <p class="problem problem-stop">{clash.words(lists, settings)}</p> }
                    };
                    view! {
                        {sheet.clashes.iter().map(clash).collect_view()}
                        {times(sheet, settings)}
                        {methods(Words { sheet, order, lists, settings })}
                        <h3>"Tray: every letter of the run"</h3>
                        {picks(&sheet.tray, lists)}
                    }
                })
            })
        })
    };
    let pages = move || {
        desk.in_force.with(|shop| {
            sheet.with(|sheet| {
                let rows = Rows { sheet, lists: &shop.lists, units: shop.settings.units, ticks };
                let pages = sheet.garments.chunks(ON_A_PAGE).enumerate();
                pages.map(|(at, garments)| rows.page(called, at, garments)).collect_view()
            })
        })
    };
    let clear = move |_| {
        desk.act("The ticks are cleared.".to_owned(), |desk| {
            let entry = desk.book.with_untracked(|book| book.current().clone());
            let makings = untrack(|| desk.makings(&entry));
            let none: Vec<_> = makings.iter().map(|making| (making, 0)).collect();
            desk.set_pressed(&entry, &none);
        });
    };
    view! {
        <Panel title="Run sheet">
            <div class="run">
                <div class="run-first">
                    <p class="only-print run-title">{called}</p>
                    {above}
                    <div class="only-print">{cautions_on_paper()}</div>
                </div>
                <h3 class="no-print">{move || format!("Garments, {} left", left())}</h3>
                <p class="help no-print">"Under each: its letters, and for each closing where the middle of the platen lies, across from the middle of the garment and down from the top of the shoulder."</p>
                {pages}
            </div>
            <div class="row no-print">
                <button type="button" on:click=|_| hand_over::print_as("run")>"Print the run sheet"</button>
                <button type="button" class="low" on:click=clear>"Clear the ticks"</button>
            </div>
        </Panel>
    }
}

fn minutes(seconds: Decimal) -> String {
    let whole = (seconds / Decimal::from(60)).round();
    let (hours, minutes) = ((whole / Decimal::from(60)).floor(), whole % Decimal::from(60));
    if hours.is_zero() { format!("{minutes} min") } else { format!("{hours} h {minutes} min") }
}

/// How long the run takes, and with whom.
fn times(sheet: &RunSheet, settings: &Settings) -> AnyView {
    let run = &sheet.run;
    let first = sheet.garments.first().map(|first| first.times.press / Decimal::from(60));
    let short = |figure: Decimal| figure.round_dp(1).normalize().to_string();
    let count =
        |count: u16, one: &str, more: &str| format!("{count} {}", if count == 1 { one } else { more });
    let rows = [
        Some((format!("The run of {}", run.garments), minutes(run.makespan))),
        run.per_hour().map(|rate| ("Garments an hour".to_owned(), short(rate))),
        first.map(|minutes| ("The first garment".to_owned(), format!("{} min", short(minutes)))),
        Some(("Work, allowance included".to_owned(), minutes(run.attended))),
        (!run.unattended.is_zero()).then(|| ("Pressing with nobody by".to_owned(), minutes(run.unattended))),
    ];
    let row = |(words, figure): (String, String)| view! { <div><dt>{words}</dt><dd>{figure}</dd></div> };
    let with = format!(
        "With {} and {}. {} Heating the press up, and to another heat, comes on top.",
        count(settings.people, "person", "people"),
        count(settings.presses, "press", "presses"),
        run.bottleneck.map_or("", Bottleneck::words),
    );
    view! {
        <dl class="figures run-times">{rows.into_iter().flatten().map(row).collect_view()}</dl>
        <p class="help">{with}</p>
    }
}

/// "A ×2, E ×3" for each family.
fn picks(picks: &BTreeMap<Family, GlyphCounts>, lists: &Lists) -> AnyView {
    let family = |(family, letters): (&Family, &GlyphCounts)| {
        view! { <li><span class="picks-of">{name(family, lists)}</span>" "{letters_words(letters)}</li> }
    };
    view! { <ul class="picks">{picks.iter().map(family).collect_view()}</ul> }
}

/// A family without its letter style where the shop has only one.
fn name(family: &Family, lists: &Lists) -> String {
    let whole = lists.family_name(family);
    match lists.styles.as_slice() {
        [only] => whole.strip_suffix(&format!(", {}", only.name)).map_or(whole.clone(), str::to_owned),
        _ => whole,
    }
}

fn letters_words(letters: &GlyphCounts) -> String {
    // A letter and its count stay on one line.
    let one = |(glyph, count): (&Glyph, u32)| {
        if count == 1 { glyph.to_string() } else { format!("{glyph}\u{a0}×{count}") }
    };
    letters.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// The garments, each with its letters and its closings.
struct Rows<'a> {
    sheet: &'a RunSheet,
    lists: &'a Lists,
    units: Units,
    ticks: Ticks,
}

impl Rows<'_> {
    /// Those on one page of paper.
    fn page(
        &self,
        called: impl Fn() -> String + Send + 'static,
        at: usize,
        garments: &[GarmentSheet],
    ) -> AnyView {
        let from = at * ON_A_PAGE + 1;
        let last = from + garments.len() - 1;
        let all = self.sheet.garments.len();
        let heading = move || format!("{}: {from} to {last} of {all}", called());
        view! {
            <section class="run-page">
                <p class="only-print run-title">{heading}</p>
                <ul class="run-rows">{garments.iter().map(|garment| self.row(garment)).collect_view()}</ul>
                <div class="only-print">{cautions_on_paper()}</div>
            </section>
        }
    }

    fn row(&self, garment: &GarmentSheet) -> AnyView {
        let person = if garment.person.is_empty() { String::new() } else { format!("{}, ", garment.person) };
        let way = match self.sheet.methods.len() {
            1 => String::new(),
            _ => format!(", way {}", way_mark(garment.method)),
        };
        let title = format!("{person}size {}{way}", garment.size);
        let closing = |(at, closing): (usize, &ClosingHere)| {
            view! { <li><b>{at + 1}</b>" "{closing.words.clone()}<span>{self.place(closing)}</span></li> }
        };
        view! {
            <li class="run-row">
                <Done ticks=self.ticks garment=(garment.design, garment.group) of=garment.count title/>
                {picks(&garment.picks, self.lists)}
                <ul class="run-places">{garment.closings.iter().enumerate().map(closing).collect_view()}</ul>
            </li>
        }
    }

    /// ": 1.84 in right, 8.98 in down".
    fn place(&self, closing: &ClosingHere) -> String {
        let Some(platen) = &closing.platen else {
            return ": part by part".to_owned();
        };
        let (across, down) = platen.middle();
        let side = match across {
            near if near.units().abs() < NEAR.units() => "in the middle".to_owned(),
            right if right > Length::ZERO => format!("{} right", self.units.show(across)),
            _ => format!("{} left", self.units.show(Length::ZERO - across)),
        };
        format!(": {side}, {} down", self.units.show(down))
    }
}

/// One garment to tick off, or a count of several that are alike.
#[component]
fn Done(ticks: Ticks, garment: (usize, usize), of: u32, title: String) -> impl IntoView {
    let desk = desk();
    let done = memo(move || ticks.with(|ticks| ticks.get(&garment).copied().unwrap_or(0)));
    let set = move |count: u32| {
        let entry = desk.book.with_untracked(|book| book.current().clone());
        let makings = untrack(|| desk.makings(&entry));
        let making = makings.iter().find(|making| (making.design, making.group) == garment);
        if let Some(making) = making {
            desk.set_pressed(&entry, &[(making, count)]);
        }
    };
    if of == 1 {
        return view! {
            <label class="tick run-tick" class:run-done=move || done.get() == 1>
                <input type="checkbox" prop:checked=move || done.get() == 1 on:change:target=move |ev| set(u32::from(ev.target().checked()))/>
                <span>{title}</span>
            </label>
        };
    }
    let less = format!("One fewer done: {title}");
    let more = format!("One more done: {title}");
    view! {
        <div class="run-tick run-count" class:run-done=move || done.get() == of>
            <span class="run-box only-print" aria-hidden="true">{format!("__ of {of}")}</span>
            <span>{title}</span>
            <b class="no-print">{move || format!("{} of {of}", done.get())}</b>
            <div class="step no-print">
                <button type="button" aria-label=less on:click=move |_| set(done.get_untracked().saturating_sub(1))>"−"</button>
                <button type="button" aria-label=more on:click=move |_| set((done.get_untracked() + 1).min(of))>"+"</button>
            </div>
        </div>
    }
}
