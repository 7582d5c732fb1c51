//! What to buy from whom, why, and how that changes with the run.

use super::parts::{Panel, Tick};
use super::state::desk;
use crate::browser::{address, hand_over};
use leptos::prelude::*;
use leptos::task::spawn_local;
use lettertally::buy::explain::{Reasons, Threshold};
use lettertally::buy::{Mix, SupplierOrder, paper};
use lettertally::cost::RunPrice;
use lettertally::cost::sweep::{self, Change, LARGEST_RUN};
use lettertally::glyph::GlyphCounts;
use lettertally::lists::{Lists, Offer, OfferId, SupplierId};
use lettertally::money::{Cents, Currency};
use std::collections::BTreeSet;

fn currency() -> Currency {
    desk().in_force.with(|shop| shop.settings.currency.clone())
}

/// The orders to the suppliers, and why they are the best.
#[component]
pub fn Buying() -> impl IntoView {
    let desk = desk();
    let mix = desk.search.mix;
    let orders = Memo::new(move |_| mix.with(|mix| mix.orders.clone()));
    let ticked = RwSignal::new(BTreeSet::<String>::new());
    let empty = move || {
        let used = desk.plan.with(|plan| plan.tally.letters_used());
        if used == 0 { "No letters yet." } else { "The shelf has every letter: nothing to buy." }
    };
    view! {
        <Panel title="Letters to buy">
            <Show when=move || mix.with(|mix| !mix.is_empty()) fallback=move || view! { <p class="empty">{empty}</p> }>
                <div class="buy-total">
                    <p class="big">{move || currency().show(mix.with(Mix::cost))}</p>
                    <Proof/>
                </div>
                {move || orders.get().into_iter().map(|order| view! { <ToSupplier order ticked/> }).collect_view()}
                <LeftOver/>
                <Why/>
            </Show>
        </Panel>
    }
}

/// Whether the mix is proved, and the long search while it goes on.
#[component]
fn Proof() -> impl IntoView {
    let desk = desk();
    let mix = desk.search.mix;
    let words = move || {
        mix.with(|mix| {
            if mix.is_proved() {
                return "Proved: no way to buy these letters costs less.".to_owned();
            }
            format!("The best found so far; another way could save {} at most.", currency().show(mix.gap()))
        })
    };
    view! {
        <p class="help" aria-live="polite">{words}</p>
        <Show when=move || desk.search.is_working.get()>
            <div class="row searching">
                <progress aria-label="Searching for a cheaper way"></progress>
                <button type="button" on:click=move |_| desk.search.stop()>"Stop"</button>
            </div>
        </Show>
    }
}

/// The order to one supplier, line by line, to be ticked off as it is typed in.
#[component]
fn ToSupplier(order: SupplierOrder, ticked: RwSignal<BTreeSet<String>>) -> impl IntoView {
    let desk = desk();
    let (name, lines) = desk.in_force.with_untracked(|shop| {
        (
            supplier_name(&shop.lists, &order.supplier),
            paper::lines(&order, &shop.lists, &shop.settings.currency),
        )
    });
    let money = currency();
    let stored = StoredValue::new(order.clone());
    let said = RwSignal::new("");
    let text = move || {
        desk.in_force.with_untracked(|shop| {
            stored.with_value(|order| paper::as_text(order, &shop.lists, &shop.settings.currency))
        })
    };
    let copy = move |_| {
        let text = text();
        spawn_local(async move {
            said.set(if address::copy(&text).await {
                "Copied."
            } else {
                "This browser does not allow copying."
            });
        });
    };
    let csv = move |_| {
        let csv = desk.in_force.with_untracked(|shop| {
            stored.with_value(|order| paper::as_csv(order, &shop.lists, &shop.settings.currency))
        });
        hand_over::save_file("letters.csv", "text/csv", &csv);
    };
    let rows = lines.into_iter().map(|line| {
        let heading = format!("{} {} {}", line.family, line.way, line.glyph);
        let what = if line.glyph.is_empty() { line.way.clone() } else { format!("{} of {}", line.way, line.glyph) };
        let what = what.replace("single piece of", "single");
        let key = StoredValue::new(format!("{} {}", line.units, heading));
        (line.family.clone(), view! {
            <li>
                <Tick
                    label=format!("{} × {what}", line.units)
                    value=Signal::derive(move || key.with_value(|key| ticked.with(|ticked| ticked.contains(key))))
                    commit=move |on: bool| ticked.update(|ticked| {
                        if on { ticked.insert(key.get_value()); } else { ticked.remove(&key.get_value()); }
                    })
                />
                <span class="num">{line.cost}</span>
            </li>
        })
    });
    let mut families: Vec<(String, Vec<_>)> = Vec::new();
    for (family, row) in rows {
        match families.last_mut() {
            Some((name, rows)) if *name == family => rows.push(row),
            _ => families.push((family, vec![row])),
        }
    }
    let families: Vec<_> = families
        .into_iter()
        .map(|(name, rows)| view! { <div class="family"><h4>{name}</h4><ul class="buy">{rows}</ul></div> })
        .collect();
    view! {
        <section class="supplier">
            <h3><span>{name}</span><span class="num">{money.show(order.subtotal + order.freight)}</span></h3>
            {families}
            <dl class="figures">
                <div><dt>"Merchandise"</dt><dd>{money.show(order.subtotal)}</dd></div>
                <div><dt>"Freight"</dt><dd>{money.show(order.freight)}</dd></div>
            </dl>
            <div class="row no-print">
                <button type="button" on:click=copy>"Copy as text"</button>
                <button type="button" on:click=csv>"Save as CSV"</button>
                <button type="button" on:click=|_| hand_over::print()>"Print"</button>
            </div>
            <p class="help" aria-live="polite">{move || said.get()}</p>
        </section>
    }
}

fn supplier_name(lists: &Lists, id: &SupplierId) -> String {
    let supplier = lists.suppliers.iter().find(|supplier| supplier.id == *id);
    supplier.map_or_else(|| id.to_string(), |supplier| supplier.name.clone())
}

fn offer_name(lists: &Lists, id: &OfferId) -> String {
    let Some(offer) = lists.offers.iter().find(|offer| offer.id == *id) else {
        return id.to_string();
    };
    let finish = lists.finish(&offer.finish).map_or(offer.finish.as_str(), |finish| &finish.name);
    let seller = if lists.suppliers.len() > 1 {
        format!(" from {}", supplier_name(lists, &offer.supplier))
    } else {
        String::new()
    };
    format!("{} {finish}, {}{seller}", offer.height, Offer::way_name(offer))
}

/// What is bought beyond the need, family by family.
#[component]
fn LeftOver() -> impl IntoView {
    let desk = desk();
    let rows = move || {
        desk.search.mix.with(|mix| {
            desk.in_force.with(|shop| {
                let over = mix.families.iter().filter(|family| !family.left_over.is_empty());
                over.map(|family| (shop.lists.family_name(&family.family), counts(&family.left_over)))
                    .collect::<Vec<_>>()
            })
        })
    };
    let total = move || {
        desk.search.mix.with(|mix| mix.families.iter().map(|family| family.left_over.total()).sum::<u64>())
    };
    let any = move || total() > 0;
    view! {
        <Show when=any>
            <details>
                <summary>{move || format!("{} letters left over for the shelf", total())}</summary>
                {move || rows().into_iter().map(|(name, counts)| view! { <p class="counts"><b>{name}</b>": "{counts}</p> }).collect_view()}
            </details>
        </Show>
    }
}

fn counts(counts: &GlyphCounts) -> String {
    let each = counts.iter().map(|(glyph, count)| format!("{glyph} ×{count}"));
    each.collect::<Vec<_>>().join(", ")
}

/// The mix against other ways, and what its thresholds saved.
#[component]
fn Why() -> impl IntoView {
    let desk = desk();
    let explained = Memo::new(move |_| desk.search.explanation());
    let rows = move || {
        let found = explained.get()?;
        Some(desk.in_force.with(|shop| reasons(&found.why.whole, found.cost, &shop.lists, &shop.settings.currency)))
    };
    let is_past = move || explained.with(|found| found.as_ref().is_some_and(|found| !found.is_current));
    view! {
        <table class="others" class:past=is_past aria-busy=move || is_past().to_string()>
            <caption>"Why this way"</caption>
            <tbody>
                {move || match rows() {
                    None => view! { <tr><td class="muted">"comparing …"</td></tr> }.into_any(),
                    Some(rows) => rows.into_iter().map(|(words, figure, note)| view! {
                        <tr><th scope="row">{words}</th><td class="num">{figure}</td><td class="num saved">{note}</td></tr>
                    }).collect_view().into_any(),
                }}
            </tbody>
        </table>
    }
}

/// Words, figure and note of each line of the explanation.
fn reasons(
    found: &Reasons,
    cost: Cents,
    lists: &Lists,
    currency: &Currency,
) -> Vec<(String, String, String)> {
    let against = |words: String, other: Option<Cents>| match other {
        None => (words, String::new(), "not for all letters".to_owned()),
        Some(other) if other == cost => (words, currency.show(other), "the same".to_owned()),
        Some(other) => (words, currency.show(other), format!("{} more", currency.show(other - cost))),
    };
    let mut rows = vec![
        against("Pieces only".to_owned(), found.pieces),
        against("Packs only".to_owned(), found.packs),
        against("Sets only".to_owned(), found.sets),
    ];
    let one = |(supplier, cost): &(SupplierId, Option<Cents>)| {
        against(format!("All from {}", supplier_name(lists, supplier)), *cost)
    };
    rows.extend(found.one_supplier.iter().map(one));
    if let Some(next) = &found.next_best {
        rows.push(against("The next best different mix".to_owned(), Some(next.cost)));
    }
    for (threshold, saved) in &found.reached {
        let words = match threshold {
            Threshold::Break { offer, from } => format!("Break at {from} of {}", offer_name(lists, offer)),
            Threshold::Freight { supplier, from } => {
                format!("Freight from {} at {}", currency.show(*from), supplier_name(lists, supplier))
            }
        };
        rows.push((words, String::new(), format!("saves {}", currency.show(*saved))));
    }
    if let Some(more) = found.one_more {
        rows.push((
            "One garment more, like the last".to_owned(),
            currency.show(more),
            "for letters".to_owned(),
        ));
    }
    rows
}

/// Cost and price of one garment against the size of the run.
#[component]
pub fn RunSizes() -> impl IntoView {
    let desk = desk();
    let runs = desk.search.runs;
    let changes = Memo::new(move |_| runs.with(|runs| sweep::changes(runs)));
    view! {
        <Show when=move || runs.with(|runs| !runs.is_empty())>
            <Panel title="Against run size">
                {move || runs.with(|runs| changes.with(|changes| chart(runs, changes)))}
                <details>
                    <summary>{move || format!("{} run sizes where the buying changes", changes.with(Vec::len))}</summary>
                    <div class="scroll"><table>
                        <thead><tr><th scope="col" class="num">"Run"</th><th scope="col">"Begins, ends"</th><th scope="col" class="num">"Cost each"</th></tr></thead>
                        <tbody>{move || changes.get().into_iter().map(change_row).collect_view()}</tbody>
                    </table></div>
                </details>
            </Panel>
        </Show>
    }
}

fn change_row(change: Change) -> impl IntoView {
    let desk = desk();
    let words = desk.in_force.with(|shop| {
        let names = |sign: &str, offers: &[OfferId]| -> Vec<String> {
            offers.iter().map(|offer| format!("{sign} {}", offer_name(&shop.lists, offer))).collect()
        };
        [names("+", &change.begins), names("−", &change.ends)].concat().join("; ")
    });
    let cost = desk.search.runs.with(|runs| {
        let run = runs.get(usize::try_from(change.garments).unwrap_or(usize::MAX).saturating_sub(1));
        run.map(|run| currency().show(run.cost.round(&currency())))
    });
    view! { <tr><th scope="row" class="num">{change.garments}</th><td>{words}</td><td class="num">{cost}</td></tr> }
}

/// The cost of one garment over the run size: a line, with a mark where the buying changes.
fn chart(runs: &[RunPrice], changes: &[Change]) -> impl IntoView + use<> {
    const WIDTH: u32 = LARGEST_RUN * 3;
    const HEIGHT: u32 = 240;
    let money = currency();
    let minor = |run: &RunPrice| run.cost.round(&money).minor();
    let most = runs.iter().map(minor).max().unwrap_or(1).max(1);
    // Whole units of the drawing are fine enough for a screen; the line begins at the axis.
    let down = |run: &RunPrice| i64::from(HEIGHT) - minor(run) * i64::from(HEIGHT - 20) / most;
    let point = |run: &RunPrice| format!("{},{}", run.garments * 3, down(run));
    let points = runs.iter().map(point).collect::<Vec<_>>().join(" ");
    let marks = changes.iter().filter_map(|change| {
        let run = runs.iter().find(|run| run.garments == change.garments)?;
        Some(view! { <circle cx=run.garments * 3 cy=down(run) r="4"/> })
    });
    let ticks = [1_u32, 50, 100, 150, 200].map(|garments| {
        view! { <text x=(garments * 3).max(8) y=HEIGHT + 22 text-anchor="middle">{garments}</text> }
    });
    let figure = |run: Option<&RunPrice>| run.map_or(String::new(), |run| money.show(run.cost.round(&money)));
    let (first, last) = (figure(runs.first()), figure(runs.last()));
    let label = format!(
        "Cost of one garment: {first} for one, {last} for {LARGEST_RUN} together. The table below has the figures."
    );
    view! {
        <figure class="chart">
            <svg viewBox=format!("-10 -6 {} {}", WIDTH + 30, HEIGHT + 34) role="img" aria-label=label>
                <path class="axis" d=format!("M0 0V{HEIGHT}H{WIDTH}")/>
                <polyline points=points/>
                {marks.collect_view()}
                {ticks}
                <text x="16" y="14">{first}</text>
                <text x=WIDTH y=runs.last().map_or(0, down) - 10 text-anchor="end">{last}</text>
            </svg>
            <figcaption class="help">"Cost of one garment by the number made together. A dot: another way of buying takes over."</figcaption>
        </figure>
    }
}
