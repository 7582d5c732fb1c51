//! Many prices changed at once: what is to change, how, and every price old and new before it is.

use super::super::buying::offer_name;
use super::super::edits::{Reach, reach};
use super::super::entries::keep_in_view;
use super::super::parts::{Choice, NumberField, Switch, Tick};
use super::super::state::desk;
use super::super::waiting::touched;
use crate::views::prelude::*;
use lettertally::lists::bulk::{By, Change, Preview, Priced, Rounding, Selection, Way, preview};
use lettertally::lists::{Lists, Offer, OfferId};
use lettertally::money::{Cents, Currency, Percent};
use lettertally::plan::Shop;
use std::collections::BTreeSet;

type Outcome = Result<Preview, Vec<String>>;

/// The panel. `chosen` are the rows chosen in the grid.
#[component]
pub fn Bulk(open: RwSignal<bool>, chosen: RwSignal<Vec<String>>) -> impl IntoView {
    let desk = desk();
    let which = RwSignal::new("all".to_owned());
    let way = RwSignal::new(0_usize);
    let is_amount = RwSignal::new(0_usize);
    let percent = RwSignal::new(Percent::ZERO);
    let amount = RwSignal::new(Cents::ZERO);
    let rounding = RwSignal::new(0_usize);
    let with_breaks = RwSignal::new(true);
    let with_blanks = RwSignal::new(false);
    let left_out = RwSignal::new(BTreeSet::<OfferId>::new());
    let currency = memo(move || desk.shop.with(|shop| shop.settings.currency.clone()));
    let met = memo(move || {
        let (which, chosen) = (which.get(), chosen.get());
        desk.shop.with(|shop| {
            let meets = |offer: &&Offer| is_met(offer, &which, &chosen);
            shop.lists.offers.iter().filter(meets).map(|offer| offer.id.clone()).collect::<Vec<_>>()
        })
    });
    let outcome = memo(move || {
        let currency = currency.get();
        let offers = left_out.with(|out| met.get().into_iter().filter(|id| !out.contains(id)).collect());
        let roundings = Rounding::choices(&currency);
        let change = Change {
            selection: Selection::Offers(offers),
            way: if way.get() == 0 { Way::Up } else { Way::Down },
            by: if is_amount.get() == 0 { By::Percent(percent.get()) } else { By::Amount(amount.get()) },
            rounding: roundings.get(rounding.get()).copied().unwrap_or(Rounding::Step(Cents::new(1))),
            with_breaks: with_breaks.get(),
            with_blanks: with_blanks.get(),
        };
        desk.shop.with(|shop| {
            preview(&change, &shop.lists, &currency)
                .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>())
        })
    });
    let count = memo(move || outcome.with(|outcome| outcome.as_ref().map_or(0, Preview::count)));
    // The panel takes its height away: the person goes on where it was opened.
    let close = move || {
        open.set(false);
        request_animation_frame(move || {
            if let Some(opener) = document().query_selector(".prices-more [aria-expanded]").ok().flatten() {
                keep_in_view(&opener);
            }
        });
    };
    let apply = move |_| {
        if let Ok(preview) = outcome.get_untracked() {
            let words = match preview.count() {
                1 => "Changed 1 price.".to_owned(),
                count => format!("Changed {count} prices."),
            };
            desk.act(words, |desk| desk.change_lists(|lists: &mut Lists| *lists = preview.lists));
            close();
        }
    };
    let choices = derived(move || desk.shop.with(|shop| selections(&shop.lists, chosen.with(Vec::len))));
    let roundings = derived(move || {
        let currency = currency.get();
        let words = Rounding::choices(&currency).into_iter().map(|rounding| rounding.words(&currency));
        words.enumerate().map(|(at, words)| (at.to_string(), words)).collect::<Vec<_>>()
    });
    // What stays as it is takes no line: there is nothing to look at in it.
    let lines = memo(move || {
        let changes = |id: &OfferId| {
            desk.shop.with(|shop| {
                outcome.with(|outcome| {
                    let Ok(preview) = outcome else { return true };
                    let of = |lists: &Lists| lists.offers.iter().find(|offer| offer.id == *id).cloned();
                    left_out.with(|out| out.contains(id)) || of(&shop.lists) != of(&preview.lists)
                })
            })
        };
        met.get().into_iter().filter(changes).collect::<Vec<_>>()
    });
    let unchanged = move || match met.with(Vec::len) - lines.with(Vec::len) {
        0 => None,
        1 => Some("1 more offer stays at its price.".to_owned()),
        count => Some(format!("{count} more offers stay at their prices.")),
    };
    let reach = reach(
        desk,
        derived(move || {
            let lists = outcome.with(|outcome| outcome.as_ref().ok().map(|preview| preview.lists.clone()))?;
            let shop = desk.shop.get();
            (lists != shop.lists).then_some(Shop { lists, ..shop })
        }),
    );
    view! {
        <div class="bulk" data-unkept="" role="group" aria-label="Change many prices">
            <h3>"Change many prices"</h3>
            <div class="grid bulk-fields">
                <Choice label="Which" options=choices value=which commit=move |text| which.set(text)/>
                <Switch label="Which way" options=vec!["Up", "Down"] value=way commit=move |at| way.set(at)/>
                <Switch label="By a percentage or an amount" options=vec!["Percent", "Amount"] value=is_amount commit=move |at| is_amount.set(at)/>
                {move || if is_amount.get() == 0 {
                    view! { <NumberField label="By" unit="%" value=derived(move || percent.get().value().normalize().to_string()) commit=move |text: String| { percent.set(Percent::parse(&text)?); Ok(()) }/> }
                } else {
                    view! { <NumberField label="By" unit=currency.get_untracked().code().to_owned() value=derived(move || currency.with(|currency| currency.plain(amount.get()))) commit=move |text: String| { amount.set(Cents::parse(&text, &currency.get_untracked())?); Ok(()) }/> }
                }}
                <Choice label="Rounded" options=roundings value=derived(move || rounding.get().to_string()) commit=move |at: String| rounding.set(at.parse().unwrap_or(0))/>
            </div>
            <div class="ticks">
                <Tick label="Prices from a quantity on, too" value=with_breaks commit=move |on| with_breaks.set(on)/>
                <Tick label="Blanks, too" value=with_blanks commit=move |on| with_blanks.set(on)/>
            </div>
            {move || outcome.with(|outcome| outcome.as_ref().err().map(|faults| refusal(faults)))}
            <div class="scroll" tabindex="0" role="group" aria-label="Old and new prices" class:gone=move || lines.with(Vec::is_empty) && !with_blanks.get()>
                <table>
                    <thead><tr><th scope="col">"Offer"</th><th scope="col" class="num">"Now"</th><th scope="col" class="num">"New"</th></tr></thead>
                    <tbody><For each=move || lines.get() key=Clone::clone let(id)><Line id outcome left_out/></For>{move || outcome.with(|outcome| blanks(desk_lists(), outcome, &currency.get()))}</tbody>
                </table>
            </div>
            <p class="help">{unchanged}</p>
            <div aria-live="polite">{move || orders(reach.get())}</div>
            <div class="row">
                <button type="button" class="main" disabled=move || count.get() == 0 on:click=apply>
                    {move || match count.get() { 1 => "Change 1 price".to_owned(), count => format!("Change {count} prices") }}
                </button>
                <button type="button" on:click=move |_| close()>"Leave them"</button>
            </div>
        </div>
    }
}

/// What the new prices would do to the orders.
fn orders(reach: Reach) -> AnyView {
    match reach {
        Reach::Nothing => ().into_any(),
        Reach::Looking => view! { <p class="help">"Looking which orders this changes …"</p> }.into_any(),
        Reach::Touches(touches) if touches.is_empty() => {
            view! { <p class="help">"No order changes by this."</p> }.into_any()
        }
        Reach::Touches(touches) => {
            let summary = match touches.len() {
                1 => "1 order changes by this".to_owned(),
                count => format!("{count} orders change by this"),
            };
            view! { <details open=true><summary>{summary}</summary>{touched(&touches)}</details> }.into_any()
        }
    }
}

fn desk_lists() -> Lists {
    desk().shop.with(|shop| shop.lists.clone())
}

fn is_met(offer: &Offer, which: &str, chosen: &[String]) -> bool {
    match which.split_once(':') {
        Some(("supplier", id)) => offer.supplier.as_str() == id,
        Some(("finish", id)) => offer.finish.as_str() == id,
        Some(_) => chosen.iter().any(|id| id == offer.id.as_str()),
        None => true,
    }
}

/// What can be chosen from: everything, one supplier, one finish, the rows chosen in the grid.
fn selections(lists: &Lists, chosen: usize) -> Vec<(String, String)> {
    let all = [("all".to_owned(), "every offer".to_owned())];
    let rows = (chosen > 0).then(|| {
        let words =
            if chosen == 1 { "the chosen row".to_owned() } else { format!("the {chosen} chosen rows") };
        ("chosen:".to_owned(), words)
    });
    let suppliers =
        lists.suppliers.iter().map(|s| (format!("supplier:{}", s.id), format!("from {}", s.name)));
    let finishes = lists.finishes.iter().map(|f| (format!("finish:{}", f.id), format!("in {}", f.name)));
    all.into_iter().chain(rows).chain(suppliers).chain(finishes).collect()
}

fn refusal(faults: &[String]) -> impl IntoView + use<> {
    const SHOWN: usize = 4;
    let more = faults.len().saturating_sub(SHOWN);
    let shown = faults.iter().take(SHOWN).cloned().map(|fault| view! { <li>{fault}</li> }).collect_view();
    view! {
        <div class="problem problem-stop">
            <ul>{shown}</ul>
            {(more > 0).then(|| view! { <p>{format!("and {more} more")}</p> })}
        </div>
    }
}

/// An offer's prices, old and new, with a tick to leave it out.
#[component]
fn Line(id: OfferId, outcome: Memo<Outcome>, left_out: RwSignal<BTreeSet<OfferId>>) -> impl IntoView {
    let desk = desk();
    let id = StoredValue::new(id);
    let found =
        move |lists: &Lists| id.with_value(|id| lists.offers.iter().find(|offer| offer.id == *id).cloned());
    let is_in = move || left_out.with(|out| id.with_value(|id| !out.contains(id)));
    let name = move || desk.shop.with(|shop| id.with_value(|id| offer_name(&shop.lists, id)));
    let old = move || {
        desk.shop.with(|shop| found(&shop.lists).map(|offer| prices(&offer, &shop.settings.currency)))
    };
    let new = move || {
        let currency = desk.shop.with(|shop| shop.settings.currency.clone());
        let new = outcome.with(|outcome| found(&outcome.as_ref().ok()?.lists).map(|o| prices(&o, &currency)));
        if is_in() { new.or(Some("—".to_owned())) } else { Some("stays".to_owned()) }
    };
    let tick = move |on: bool| {
        left_out.update(|out| {
            id.with_value(|id| if on { out.remove(id) } else { out.insert(id.clone()) });
        });
    };
    view! {
        <tr class:muted=move || !is_in()>
            <td><Tick label=derived(name) value=derived(is_in) commit=tick/></td>
            <td class="num">{old}</td>
            <td class="num strong">{new}</td>
        </tr>
    }
}

/// The price of a unit, and below it those from a quantity on.
fn prices(offer: &Offer, currency: &Currency) -> String {
    let steps = offer.breaks.iter().map(|step| format!("from {}: {}", step.from, currency.plain(step.price)));
    [currency.plain(offer.price)].into_iter().chain(steps).collect::<Vec<_>>().join("\n")
}

fn blanks(lists: Lists, outcome: &Outcome, currency: &Currency) -> impl IntoView + use<> {
    let prices = outcome.as_ref().map_or(&[][..], |preview| &preview.prices);
    let blanks =
        prices.iter().filter(|price| matches!(price.what, Priced::Blank(..)) && price.old != price.new);
    let row = |price: &lettertally::lists::bulk::Repriced| {
        view! {
            <tr>
                <td>{price.what.name(&lists)}</td>
                <td class="num">{currency.plain(price.old)}</td>
                <td class="num strong">{currency.plain(price.new)}</td>
            </tr>
        }
    };
    blanks.map(row).collect_view()
}
