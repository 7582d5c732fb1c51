//! Why the buying list is as it is: against other ways, as a whole and family by family.

use super::basket::Explained;
use super::buying::{counts, offer_name, supplier_name};
use super::state::desk;
use crate::views::prelude::*;
use lettertally::buy::FamilyMix;
use lettertally::buy::explain::{Change, FamilyReasons, NextBest, Reasons, Threshold};
use lettertally::lists::{Lists, Offer, SupplierId};
use lettertally::money::{Cents, Currency};

/// A line of an explanation.
#[derive(Clone, Default)]
struct Row {
    words: String,
    /// What is said under it, over the whole width.
    under: Option<String>,
    /// What everything would cost.
    figure: Option<String>,
    /// What that is in comparison.
    note: String,
}

/// The mix against other ways, and what its thresholds saved.
#[component]
pub fn Why() -> impl IntoView {
    let desk = desk();
    let explained = memo(move || desk.basket.explanation());
    let found = move || explained.with(|found| found.as_ref().map(|(found, _)| found.clone()));
    let is_past = move || explained.with(|found| found.as_ref().is_some_and(|(_, is_current)| !is_current));
    let rows = move || {
        let found = found()?;
        Some(desk.in_force.with(|shop| of_whole(&found, &shop.lists, &shop.settings.currency)))
    };
    let families = move || found().map_or(Vec::new(), |found| by_family(&found));
    view! {
        <div class="reasons" class:past=is_past aria-busy=move || is_past().to_string()>
            <table class="others">
                <caption>"Why this way"</caption>
                <tbody>{move || rows().unwrap_or_else(|| vec![row("comparing …", "")]).into_iter().map(line).collect_view()}</tbody>
            </table>
            {move || families().into_iter().map(|family| view! { <OneFamily family/> }).collect_view()}
        </div>
    }
}

/// A family with what is said of it.
struct FamilyWords {
    name: String,
    rows: Vec<Row>,
}

#[component]
fn OneFamily(family: FamilyWords) -> impl IntoView {
    view! {
        <details class="family-reasons">
            <summary>{family.name.clone()}</summary>
            <p class="help">"What the whole order would cost more, were only these letters bought otherwise."</p>
            <table class="others" aria-label=format!("Why this way: {}", family.name)>
                <tbody>{family.rows.into_iter().map(line).collect_view()}</tbody>
            </table>
        </details>
    }
}

/// A line of a table of three columns, or of two where there is no figure to compare.
fn line(row: Row) -> impl IntoView {
    let Row { words, under, figure, note } = row;
    let under = under.map(|under| view! { <tr class="under"><td colspan="3">{under}</td></tr> });
    view! {
        <tr><th scope="row">{words}</th>{figure.map(|figure| view! { <td class="num">{figure}</td> })}<td class="num saved">{note}</td></tr>
        {under}
    }
}

fn row(words: impl Into<String>, note: impl Into<String>) -> Row {
    Row { words: words.into(), note: note.into(), ..Row::default() }
}

/// A line of the whole, whose figures stand in a column.
fn full(words: impl Into<String>, figure: String, note: impl Into<String>) -> Row {
    Row { figure: Some(figure), ..row(words, note) }
}

fn of_whole(found: &Explained, lists: &Lists, currency: &Currency) -> Vec<Row> {
    let this = found.mix.cost();
    let against = |words: &str, other: Option<Cents>| {
        let figure = other.map_or(String::new(), |other| currency.show(other));
        full(words, figure, difference(this, other, currency))
    };
    let reasons = &found.why.whole;
    let mut rows = ways(reasons, lists, &against);
    if !found.is_whole {
        rows.push(full("Next best different mix", String::new(), "comparing …"));
    }
    rows.extend(
        saved(reasons, lists, currency).into_iter().map(|(words, note)| full(words, String::new(), note)),
    );
    rows.extend(reasons.one_more.map(|more| full(ONE_MORE, currency.show(more), "for letters")));
    rows
}

fn by_family(found: &Explained) -> Vec<FamilyWords> {
    let desk = desk();
    desk.in_force.with(|shop| {
        let (lists, currency) = (&shop.lists, &shop.settings.currency);
        let words = |reasons: &FamilyReasons| {
            let share = found.mix.family(&reasons.family)?;
            Some(FamilyWords {
                name: lists.family_name(&reasons.family),
                rows: of_family(found.mix.cost(), reasons, share, lists, currency),
            })
        };
        found.why.families.iter().filter_map(words).collect()
    })
}

fn of_family(
    this: Cents,
    family: &FamilyReasons,
    part: &FamilyMix,
    lists: &Lists,
    currency: &Currency,
) -> Vec<Row> {
    let against = |words: &str, other: Option<Cents>| row(words, difference(this, other, currency));
    let reasons = &family.reasons;
    let mut rows = vec![row("Their part, with its share of freight", currency.show(part.cost))];
    rows.extend(ways(reasons, lists, &against));
    rows.extend(saved(reasons, lists, currency).into_iter().map(|(words, note)| row(words, note)));
    rows.extend(reasons.one_more.map(|more| row(ONE_MORE, currency.show(more))));
    rows.extend(family.alone.map(|alone| row("These letters alone, with all freight", currency.show(alone))));
    if !part.left_over.is_empty() {
        rows.push(Row { under: Some(counts(&part.left_over)), ..row("Left over", "") });
    }
    rows
}

/// Pieces, packs, sets, one supplier, the next best.
fn ways(reasons: &Reasons, lists: &Lists, against: &dyn Fn(&str, Option<Cents>) -> Row) -> Vec<Row> {
    let mut rows = vec![
        against("Pieces only", reasons.pieces),
        against("Packs only", reasons.packs),
        against("Sets only", reasons.sets),
    ];
    let one = |(supplier, cost): &(SupplierId, Option<Cents>)| {
        against(&format!("All from {}", supplier_name(lists, supplier)), *cost)
    };
    rows.extend(reasons.one_supplier.iter().map(one));
    rows.extend(reasons.next_best.as_ref().map(|next| {
        let row = against("Next best different mix", Some(next.cost));
        Row { under: Some(swapped(next, lists)), ..row }
    }));
    rows
}

const ONE_MORE: &str = "One garment more, like the last";

/// The thresholds that paid, and what they saved.
fn saved(reasons: &Reasons, lists: &Lists, currency: &Currency) -> Vec<(String, String)> {
    let saved = |(threshold, saved): &(Threshold, Cents)| {
        let words = match threshold {
            Threshold::Break { offer, from } => format!("Break at {from} of {}", offer_name(lists, offer)),
            Threshold::Freight { supplier, from } => {
                format!("Freight from {} at {}", currency.show(*from), supplier_name(lists, supplier))
            }
        };
        (words, format!("saves {}", currency.show(*saved)))
    };
    reasons.reached.iter().map(saved).collect()
}

fn difference(this: Cents, other: Option<Cents>, currency: &Currency) -> String {
    match other {
        None => "not for all letters".to_owned(),
        Some(other) if other == this => "the same".to_owned(),
        Some(other) if other < this => format!("{} less", currency.show(this - other)),
        Some(other) => format!("{} more", currency.show(other - this)),
    }
}

/// What the next best mix buys instead: "1 × pack of 5 of E instead of 3 × single piece of E".
fn swapped(next: &NextBest, lists: &Lists) -> String {
    const NAMED: usize = 3;
    let families: Vec<_> = next.changes.iter().map(|change| &change.family).collect();
    let family = families.first().filter(|first| families.iter().all(|family| family == *first));
    let side = |is_meant: fn(&Change) -> bool| {
        let lines: Vec<String> = next
            .changes
            .iter()
            .filter(|change| is_meant(change))
            .map(|change| changed(change, lists))
            .collect();
        let more = lines.len().saturating_sub(NAMED);
        let rest = (more > 0).then(|| format!("{more} more"));
        lines.into_iter().take(NAMED).chain(rest).collect::<Vec<_>>().join(", ")
    };
    let (with, without) = (side(|change| change.to > change.from), side(|change| change.to < change.from));
    let of = family.map_or(String::new(), |family| format!("{}: ", lists.family_name(family)));
    match (with.is_empty(), without.is_empty()) {
        (false, false) => format!("{of}{with} instead of {without}"),
        (false, true) => format!("{of}{with} besides"),
        (true, _) => format!("{of}without {without}"),
    }
}

fn changed(change: &Change, lists: &Lists) -> String {
    let units = change.from.abs_diff(change.to);
    let offer = lists.offers.iter().find(|offer| offer.id == change.offer);
    let way = offer.map_or_else(|| change.offer.to_string(), Offer::way_name);
    let seller =
        offer.filter(|_| lists.suppliers.len() > 1).map(|offer| supplier_name(lists, &offer.supplier));
    let seller = seller.map_or(String::new(), |name| format!(" from {name}"));
    match &change.glyph {
        Some(glyph) => format!("{units} × {way} of “{glyph}”{seller}"),
        None => format!("{units} × {way}{seller}"),
    }
}
