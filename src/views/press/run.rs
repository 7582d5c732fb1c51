//! The run sheet: times, steps, what to pick, and a list to tick off.

use super::{Sheet, cautions_on_paper};
use crate::browser::hand_over;
use crate::views::parts::Panel;
use crate::views::prelude::*;
use crate::views::state::desk;
use lettertally::booth::making::pressed;
use lettertally::glyph::GlyphCounts;
use lettertally::layout::positions::Over;
use lettertally::lists::{Family, Lists, Peel, Recipe, Settings};
use lettertally::order::Order;
use lettertally::press::flow::Bottleneck;
use lettertally::press::sheet::{Closing, GarmentSheet, Method, RunSheet, Step};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// How many garments are pressed, by their places in the order.
type Ticks = Memo<BTreeMap<(usize, usize), u32>>;

/// How many garments stand on one printed page.
const ON_A_PAGE: usize = 10;

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
    let clashes = move || {
        desk.in_force.with(|shop| {
            sheet.with(|sheet| {
                let words = |clash: &lettertally::press::sheet::Clash| {
                    view! { <p class="problem problem-stop">{clash.words(&shop.lists, &shop.settings)}</p> }
                };
                sheet.clashes.iter().map(words).collect_view()
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
                <h3 class="only-print">{move || desk.order.with(|order| order.called().to_owned())}</h3>
                {clashes}
                <p class="run-times">{move || desk.in_force.with(|shop| sheet.with(|sheet| times(sheet, &shop.settings)))}</p>
                {move || desk.in_force.with(|shop| desk.order.with(|order| sheet.with(|sheet| methods(sheet, order, &shop.lists, &shop.settings))))}
                <h3>"Tray: every letter of the run"</h3>
                {move || desk.in_force.with(|shop| sheet.with(|sheet| picks(&sheet.tray, &shop.lists)))}
                <h3>{move || format!("Garments, {} left", left())}</h3>
                {move || sheet.with(|sheet| pages(sheet, &desk, ticks))}
                <div class="only-print">{cautions_on_paper()}</div>
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

fn times(sheet: &RunSheet, settings: &Settings) -> String {
    let run = &sheet.run;
    let Some(first) = sheet.garments.first() else {
        return "No garment yet.".to_owned();
    };
    let each = (first.times.press / Decimal::from(60)).round_dp(1).normalize();
    let per_hour = run
        .per_hour()
        .map_or(String::new(), |rate| format!(", {} garments an hour", rate.round_dp(1).normalize()));
    let alone = if run.unattended.is_zero() {
        String::new()
    } else {
        format!(" and {} of pressing with nobody by", minutes(run.unattended))
    };
    let held_up = run
        .bottleneck
        .map(Bottleneck::words)
        .map_or(String::new(), |words| format!(" What holds it up: {words}."));
    let people =
        |count: u16, one: &str, more: &str| format!("{count} {}", if count == 1 { one } else { more });
    format!(
        "The first garment: {each} min. The run of {}: {} with {} and {}{per_hour}; {} of work, allowance included{alone}.{held_up} Heating the press up, and to another heat, comes on top.",
        run.garments,
        minutes(run.makespan),
        people(settings.people, "person", "people"),
        people(settings.presses, "press", "presses"),
        minutes(run.attended),
    )
}

fn methods(sheet: &RunSheet, order: &Order, lists: &Lists, settings: &Settings) -> Vec<AnyView> {
    let several = sheet.methods.len() > 1;
    let method = |(at, method): (usize, &Method)| {
        let steps = method
            .steps
            .iter()
            .map(|step| view! { <li>{step_words(step, method, order, lists, settings)}</li> });
        let title = if several { format!("Way {}", way_mark(at)) } else { "Each garment".to_owned() };
        view! { <section class="method"><h3>{title}</h3><ol class="steps">{steps.collect_view()}</ol></section> }
    };
    sheet.methods.iter().enumerate().map(method).collect()
}

/// A, B, C and so on.
fn way_mark(at: usize) -> String {
    let letter = |at: usize| char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
    if at < 26 { letter(at).to_string() } else { format!("{}{}", letter(at / 26 - 1), letter(at)) }
}

fn step_words(step: &Step, method: &Method, order: &Order, lists: &Lists, settings: &Settings) -> String {
    match step {
        Step::Load { zone, heat } => {
            format!("Press at {}: load with the {} up.", heat.show(settings.degrees), zone.word())
        }
        Step::Press(closing) => press_words(closing, method, order, lists, settings),
        Step::Peel { recipe } => match recipe.peel {
            Peel::Hot => "Peel the carrier hot, at once.".to_owned(),
            Peel::Warm => "Wait a few seconds and peel warm.".to_owned(),
            Peel::Cold => "Take it off the press, let it cool, peel cold.".to_owned(),
            Peel::None => String::new(),
        },
    }
}

fn press_words(
    closing: &Closing,
    method: &Method,
    order: &Order,
    lists: &Lists,
    settings: &Settings,
) -> String {
    let Recipe { heat, dwell_from, dwell_to, pressure, cover_sheet, .. } = &closing.recipe;
    let lines: Vec<String> = closing
        .lines
        .iter()
        .filter_map(|at| order.designs.get(method.design)?.lines.get(*at))
        .map(|line| format!("“{}” {}", line.text.as_str(), line.placement.words()))
        .collect();
    let finishes: Vec<&str> = closing
        .finishes
        .iter()
        .map(|id| lists.finish(id).map_or(id.as_str(), |finish| &finish.name))
        .collect();
    let dwell = if dwell_from == dwell_to {
        format!("{dwell_to} s")
    } else {
        format!("{dwell_from} to {dwell_to} s")
    };
    let sheet = if *cover_sheet { ", with a cover sheet" } else { "" };
    let over = match closing.over {
        Over::Nothing => "",
        Over::Seam => " The platen lies over a seam: pad it, or let the seam hang over the edge.",
        Over::Collar => " The platen lies over collar or buttons: pad them, or use a smaller platen.",
    };
    let parts = if closing.closings > 1 {
        format!(" The letters are larger than the platen: {} closings, part by part.", closing.closings)
    } else {
        String::new()
    };
    format!(
        "{}: lay and tack {} ({}). {}, {dwell}, {pressure} pressure{sheet}.{parts}{over}",
        closing.number + 1,
        lines.join(", "),
        finishes.join(", "),
        heat.show(settings.degrees)
    )
}

/// "A ×2, E ×3" for each family.
fn picks(picks: &BTreeMap<Family, GlyphCounts>, lists: &Lists) -> AnyView {
    let family = |(family, letters): (&Family, &GlyphCounts)| {
        view! { <li><b>{lists.family_name(family)}</b>": "{letters_words(letters)}</li> }
    };
    view! { <ul class="picks">{picks.iter().map(family).collect_view()}</ul> }
}

fn letters_words(letters: &GlyphCounts) -> String {
    let one = |(glyph, count): (&lettertally::glyph::Glyph, u32)| {
        if count == 1 { glyph.to_string() } else { format!("{glyph} ×{count}") }
    };
    letters.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn pages(sheet: &RunSheet, desk: &crate::views::state::Desk, ticks: Ticks) -> Vec<AnyView> {
    let several = sheet.methods.len() > 1;
    let (units, lists) = desk.in_force.with(|shop| (shop.settings.units, shop.lists.clone()));
    let row = |garment: &GarmentSheet| {
        let places: Vec<String> = garment
            .places
            .iter()
            .enumerate()
            .filter_map(|(at, place)| {
                let (across, down) = (*place)?.middle();
                let side = match across.units().signum() {
                    0 => "on the centre line".to_owned(),
                    1 => format!("{} right", units.show(across)),
                    _ => format!("{} left", units.show(lettertally::length::Length::ZERO - across)),
                };
                Some(format!("{}: platen's middle {side}, {} down", at + 1, units.show(down)))
            })
            .collect();
        let letters: Vec<String> = garment.picks.values().map(letters_words).collect();
        let person = if garment.person.is_empty() { String::new() } else { format!("{}, ", garment.person) };
        let way = if several { format!(", way {}", way_mark(garment.method)) } else { String::new() };
        let title = format!("{person}size {}{way}", garment.size);
        view! {
            <li class="run-row">
                <Done ticks garment=(garment.design, garment.group) of=garment.count title/>
                <p class="run-letters">{letters.join(" · ")}</p>
                <p class="run-places">{places.join("; ")}</p>
            </li>
        }
    };
    let _ = lists;
    let page = |garments: &[GarmentSheet]| {
        view! { <ul class="run-page">{garments.iter().map(row).collect_view()}</ul> }
    };
    sheet.garments.chunks(ON_A_PAGE).map(page).collect()
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
