//! Whether each line fits each size, and what would make it fit.

use super::capital;
use crate::views::parts::Panel;
use crate::views::prelude::*;
use crate::views::state::desk;
use lettertally::layout::fit::LineFit;
use lettertally::length::Length;
use lettertally::lists::{Caps, Lists, Settings, StyleId, contrast};
use lettertally::order::{Design, Line, Order};

/// One line's fit, in words.
#[derive(Clone, PartialEq)]
struct Row {
    title: String,
    sizes: Vec<[String; 4]>,
    is_over: Vec<bool>,
    notes: Vec<String>,
}

/// Every line of the order.
#[component]
pub fn Fit() -> impl IntoView {
    let desk = desk();
    let rows = memo(move || {
        desk.order.with(|order| {
            desk.in_force
                .with(|shop| desk.plan.with(|plan| rows(order, &plan.fits, &shop.lists, &shop.settings)))
        })
    });
    let sources = move || {
        desk.order.with(|order| {
            desk.in_force.with(|shop| {
                let lines = order.designs.iter().flat_map(|design| &design.lines);
                let mut styles: Vec<&StyleId> = lines.map(|line| &line.style).collect();
                styles.sort();
                styles.dedup();
                let words = |id: &StyleId| {
                    let name = shop.lists.style(id).map_or(id.as_str(), |style| &style.name);
                    format!("Letter widths of {name}: {}.", shop.lists.widths(id).source.words())
                };
                styles.into_iter().map(words).collect::<Vec<_>>().join(" ")
            })
        })
    };
    view! {
        <Panel title="Will it fit?" wide=true>
            {move || rows.get().into_iter().map(row).collect_view()}
            <p class="help">{sources}</p>
        </Panel>
    }
}

fn row(row: Row) -> AnyView {
    let size = |([size, width, height, share], over): ([String; 4], bool)| {
        view! {
            <tr class:bad=over>
                <th scope="row">{size}</th>
                <td class="num">{width}</td>
                <td class="num">{height}</td>
                <td class="num">{share}</td>
            </tr>
        }
    };
    let sizes = row.sizes.into_iter().zip(row.is_over).map(size).collect_view();
    let notes = row.notes.into_iter().map(|note| view! { <li>{note}</li> }).collect_view();
    view! {
        <section class="fit-line">
            <h3>{row.title}</h3>
            <table>
                <thead><tr><th scope="col">"Size"</th><th scope="col" class="num">"Wide"</th><th scope="col" class="num">"High"</th><th scope="col" class="num">"Of the room"</th></tr></thead>
                <tbody>{sizes}</tbody>
            </table>
            <ul class="fit-notes">{notes}</ul>
        </section>
    }
}

fn rows(order: &Order, fits: &[Vec<LineFit>], lists: &Lists, settings: &Settings) -> Vec<Row> {
    let units = settings.units;
    let designs = order.designs.iter().zip(fits);
    let several = order.designs.len() > 1;
    let mut found = Vec::new();
    for (at, (design, fits)) in designs.enumerate() {
        for (line, fit) in design.lines.iter().zip(fits).filter(|(_, fit)| fit.widest > Length::ZERO) {
            let garment = if several { format!("Garment {}: ", at + 1) } else { String::new() };
            let percent = |share: i64| format!("{} %", (share + 9).div_euclid(10));
            found.push(Row {
                title: capital(&format!("{garment}{}, {}", line.text.in_words(), line.placement.words())),
                sizes: fit
                    .sizes
                    .iter()
                    .map(|size| {
                        let [width, height] = [size.width, size.height].map(|length| units.show(length));
                        [size.size.clone(), width, height, percent(size.share)]
                    })
                    .collect(),
                is_over: fit.sizes.iter().map(|size| size.width > size.room).collect(),
                notes: notes(design, line, fit, lists, settings),
            });
        }
    }
    found
}

/// The most names that are named.
const NAMED: usize = 8;

fn notes(design: &Design, line: &Line, fit: &LineFit, lists: &Lists, settings: &Settings) -> Vec<String> {
    let units = settings.units;
    let mut notes = Vec::new();
    match fit.height_that_fits {
        Some(height) if height > line.height => {
            notes.push(format!("Up to {height} letters would fit every garment."));
        }
        Some(height) if height < line.height => notes.push(format!("{height} letters fit every garment.")),
        None if !fit.too_wide.is_empty() => {
            notes.push("No letter height on your price list fits every garment.".to_owned());
        }
        _ => {}
    }
    for entry in fit.too_wide.iter().take(NAMED) {
        let whose = if entry.name.is_empty() { "Size".to_owned() } else { format!("{}, size", entry.name) };
        let closer = entry.closer.map_or(String::new(), |gap| {
            format!("; with gaps of {} of the letter height it fits", gap.in_percent())
        });
        let over = units.show(entry.width - entry.room);
        notes.push(format!("{whose} {}: {over} too wide{closer}.", entry.size));
    }
    if fit.too_wide.len() > NAMED {
        notes.push(format!("And {} more that are too wide.", fit.too_wide.len() - NAMED));
    }
    if !fit.closer_fits_all {
        let narrowest = Caps::percent(settings.narrowest_gap).in_percent();
        notes.push(format!(
            "Where no gap is named, the narrowest that your shop allows, {narrowest}, is not enough."
        ));
    }
    if let Some(split) = &fit.split {
        let outcome = match (split.fits, split.height_that_fits) {
            (true, _) => "which fits every garment".to_owned(),
            (false, Some(height)) => format!("which fits every garment in {height} letters"),
            (false, None) => "which is still too wide".to_owned(),
        };
        notes.push(format!(
            "In two lines, “{}” and “{}”: {} wide, {} high, {outcome}.",
            split.first.as_str(),
            split.second.as_str(),
            units.show(split.widest),
            units.show(split.height)
        ));
    }
    let colours = lists.colour(&line.finish, &line.colour).zip(lists.blank(&design.blank));
    notes
        .extend(colours.and_then(|(letters, blank)| contrast::poor(letters, blank)).map(|words| words + "."));
    notes
}
