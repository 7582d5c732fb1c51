//! Cost and price: the aim, what it comes to, and the same at other quantities.

use super::parts::{Choice, NumberField, Panel, Problems, Switch, Tick, counted};
use super::press::FoldedCautions;
use super::state::desk;
use crate::views::prelude::*;
use lettertally::cost::CostKind;
use lettertally::cost::same_price::{AimKind, same_price};
use lettertally::lists::settings::{Aim, PricePoint, Settings};
use lettertally::money::{Cents, Currency, Money, Percent};
use lettertally::problem::Place;
use rust_decimal::Decimal;
use std::cmp::Ordering;

/// The price screen.
#[component]
pub fn PriceScreen() -> impl IntoView {
    view! {
        <Aims/>
        <Sizes/>
        <Costs/>
        <Quantities/>
    }
}

fn currency() -> Currency {
    desk().in_force.with(|shop| shop.settings.currency.clone())
}

/// What the price aims at: the shop's usual aim, or one for this order.
#[component]
fn Aims() -> impl IntoView {
    let desk = desk();
    let aim = memo(move || desk.plan.with(|plan| plan.aim));
    let own = memo(move || desk.order.with(|order| order.aim.is_some()));
    let set = move |aim: Aim| desk.change_order(|order| order.aim = Some(aim));
    let kind = move || match aim.get() {
        Aim::Margin(_) => 0,
        Aim::MarkUp(_) => 1,
        Aim::Price(_) => 2,
    };
    // Changing the kind keeps the price where it is, as near as the other kind can say it.
    let choose = move |at: usize| {
        let settings = desk.in_force.with_untracked(|shop| shop.settings.clone());
        let kind = match (at, settings.aim) {
            (0, Aim::Margin(_)) | (1, Aim::MarkUp(_)) => return desk.change_order(|order| order.aim = None),
            (0, _) => AimKind::Margin,
            (1, _) => AimKind::MarkUp,
            _ => AimKind::Price,
        };
        let same = desk.plan.with_untracked(|plan| {
            plan.priced.as_ref().ok().map(|priced| same_price(priced, &plan.sheet, kind, &settings))
        });
        set(same.unwrap_or(settings.aim));
    };
    let value = move || match aim.get() {
        Aim::Margin(percent) | Aim::MarkUp(percent) => percent.value().normalize().to_string(),
        Aim::Price(price) => currency().plain(price.round(&currency())),
    };
    let label = move || match aim.get() {
        Aim::Margin(_) => "Margin, % of price".to_owned(),
        Aim::MarkUp(_) => "Mark-up, % of cost".to_owned(),
        Aim::Price(_) => format!("Each before tax, {}", currency().code()),
    };
    let commit = move |text: String| {
        set(match aim.get_untracked() {
            Aim::Margin(_) => Aim::Margin(Percent::parse(&text)?),
            Aim::MarkUp(_) => Aim::MarkUp(Percent::parse(&text)?),
            Aim::Price(_) => Aim::Price(Money::parse(&text)?),
        });
        Ok(())
    };
    let field = memo(move || (kind(), desk.order.with(|order| order.id.clone())));
    let point = move || {
        desk.in_force.with(|shop| PricePoint::ALL.iter().position(|p| *p == shop.settings.price_point))
    };
    view! {
        <Panel title="Price">
            <Held/>
            <Switch label="What the price aims at" options=vec!["Margin", "Mark-up", "My price"] value=derived(kind) commit=choose/>
            <div class="row">
                // Another kind of aim, or another order, is another field: what was typed into the old
                // one does not stay in it.
                {move || {
                    field.get();
                    view! { <NumberField label=derived(label) value=derived(value) commit=commit/> }
                }}
                <Show when=move || !matches!(aim.get(), Aim::Price(_))>
                    <Choice
                        label="Round up to"
                        options=Signal::stored(PricePoint::ALL.iter().enumerate().map(|(i, p)| (i.to_string(), p.words().to_owned())).collect::<Vec<_>>())
                        value=derived(move || point().unwrap_or(0).to_string())
                        commit=move |at: String| {
                            let point = at.parse().ok().and_then(|at: usize| PricePoint::ALL.get(at).copied());
                            desk.change_settings(|settings| settings.price_point = point.unwrap_or(settings.price_point));
                        }
                    />
                </Show>
            </div>
            <Show when=move || own.get()>
                <button type="button" on:click=move |_| desk.change_order(|order| order.aim = None)>"Back to the shop's usual aim"</button>
            </Show>
            <Problems problems=desk.problems_at(|place| *place == Place::Price)/>
            <Figures/>
        </Panel>
    }
}

/// The quote that the customer holds, where today's price is another.
#[component]
fn Held() -> impl IntoView {
    let desk = desk();
    let handed = memo(move || {
        let handed = desk.book.with(|book| book.current().handed.clone())?;
        Some((handed.on.clone(), handed.quote()?))
    });
    let words = move || {
        let (on, quote) = handed.get()?;
        let holds = format!("The customer holds a quote of {} from {on}", quote.currency.show(quote.total()));
        desk.plan.with(|plan| {
            let (today, held) = (plan.priced.as_ref().ok()?.total(), quote.total());
            let shown = currency().show(today);
            let apart = match today.cmp(&held) {
                _ if currency() != quote.currency => String::new(),
                Ordering::Equal => return None,
                Ordering::Greater => format!(", {} more", currency().show(today - held)),
                Ordering::Less => format!(", {} less", currency().show(held - today)),
            };
            Some(format!("{holds}. What stands here is today's price: {shown} with tax{apart}."))
        })
    };
    view! { <div aria-live="polite">{move || words().map(|words| view! { <p class="problem">{words}</p> })}</div> }
}

/// What the order earns.
#[component]
fn Figures() -> impl IntoView {
    let desk = desk();
    let rows = move || {
        desk.plan.with(|plan| {
            let priced = plan.priced.as_ref().ok()?;
            let currency = currency();
            let money = |amount: Money| currency.show(amount.round(&currency));
            let percent =
                |percent: Option<Percent>| percent.map_or("—".to_owned(), |percent| percent.to_string());
            let even = match priced.break_even {
                Some(1) => "1 garment".to_owned(),
                Some(garments) => counted(garments, "garment", "garments"),
                None => "never at this price".to_owned(),
            };
            Some([
                ("Before tax", currency.show(priced.subtotal)),
                ("Tax", currency.show(priced.tax)),
                ("Customer pays", currency.show(priced.total())),
                ("Cost", currency.show(priced.cost_in_cents(&currency))),
                ("Card fee", currency.show(priced.fee_in_cents(&currency))),
                ("Profit", currency.show(priced.profit_in_cents(&currency))),
                ("Margin", percent(priced.margin(&currency))),
                ("Mark-up", percent(priced.mark_up(&currency))),
                (
                    "Profit per press hour",
                    priced.profit_per_press_hour(&currency).map_or("—".to_owned(), money),
                ),
                ("Break-even", even),
            ])
        })
    };
    view! {
        <dl class="figures">
            {move || rows().map(|rows| rows.map(|(words, figure)| view! { <div><dt>{words}</dt><dd>{figure}</dd></div> }).collect_view())}
        </dl>
    }
}

/// The price of each size.
#[component]
fn Sizes() -> impl IntoView {
    let desk = desk();
    let rows = move || {
        desk.plan.with(|plan| {
            let currency = currency();
            let several = plan.readings.len() > 1;
            let units = plan.priced.as_ref().map_or(&[][..], |priced| &priced.units);
            units
                .iter()
                .map(|unit| {
                    let design = if several { format!("{}: ", unit.design + 1) } else { String::new() };
                    let cost = currency.show(unit.cost.round(&currency));
                    view! {
                        <tr>
                            <th scope="row">{format!("{design}{}", unit.size)}</th>
                            <td class="num">{unit.count}</td>
                            <td class="num muted">{cost}</td>
                            <td class="num strong">{currency.show(unit.price)}</td>
                        </tr>
                    }
                })
                .collect_view()
        })
    };
    view! {
        <Panel title="By size" wide=true>
            <table>
                <thead><tr><th scope="col">"Size"</th><th scope="col" class="num">"Qty"</th><th scope="col" class="num">"Cost each"</th><th scope="col" class="num">"Price each"</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </Panel>
    }
}

/// The cost lines, each with its share as a bar.
#[component]
fn Costs() -> impl IntoView {
    let desk = desk();
    let rows = move || {
        desk.plan.with(|plan| {
            let currency = currency();
            let total = plan.sheet.total();
            let row = |(kind, cost): (CostKind, Cents)| {
                let share = Percent::that(cost.money(&currency), total);
                let share = share.map_or("0".to_owned(), |share| share.value().round_dp(1).to_string());
                view! {
                    <tr>
                        <th scope="row">{kind.words()}</th>
                        <td class="bar-cell" aria-hidden="true"><svg viewBox="0 0 100 8" preserveAspectRatio="none"><rect width=share height="8"/></svg></td>
                        <td class="num">{currency.show(cost)}</td>
                    </tr>
                }
            };
            plan.sheet.lines_in_cents(&currency).into_iter().map(row).collect_view()
        })
    };
    let total = move || desk.plan.with(|plan| currency().show(plan.sheet.total().round(&currency())));
    let kept = move || {
        desk.plan.with(|plan| {
            let kept = plan.kept_on_shelf(&currency());
            let words = |kept| format!("Letters worth {} that are bought with it stay on the shelf: this order does not pay for them.", currency().show(kept));
            (kept > Cents::ZERO).then(|| words(kept))
        })
    };
    let time = move || {
        let Settings { people, presses, .. } = desk.in_force.with(|shop| shop.settings.clone());
        desk.plan.with(|plan| {
            format!(
                "{} min of work, {} min of press. The run takes {} min with {} and {}.",
                in_minutes(plan.sheet.labour_hours),
                in_minutes(plan.sheet.press_hours),
                in_minutes(plan.run.makespan / Decimal::from(3_600)),
                counted(people, "person", "people"),
                counted(presses, "press", "presses"),
            )
        })
    };
    view! {
        <Panel title="Cost">
            <table class="costs">
                <tbody>{rows}</tbody>
                <tfoot><tr><th scope="row">"Total"</th><td></td><td class="num">{total}</td></tr></tfoot>
            </table>
            <p class="help">{time}</p>
            <p class="help">{kept}</p>
            <Charge/>
            <FoldedCautions/>
        </Panel>
    }
}

fn in_minutes(hours: rust_decimal::Decimal) -> rust_decimal::Decimal {
    (hours * rust_decimal::Decimal::from(60)).round()
}

/// The price of the same garments at other quantities.
#[component]
fn Quantities() -> impl IntoView {
    let desk = desk();
    let table = memo(move || desk.plan.with(|plan| desk.in_force.with(|shop| plan.table(shop))));
    let rows = move || {
        table.with(|table| {
            let currency = currency();
            table
                .iter()
                .map(|run| {
                    let price = run.price.map_or("—".to_owned(), |price| currency.show(price));
                    let profit =
                        run.profit.map_or("—".to_owned(), |profit| currency.show(profit.round(&currency)));
                    view! {
                        <tr>
                            <th scope="row" class="num">{run.garments}</th>
                            <td class="num muted">{currency.show(run.cost.round(&currency))}</td>
                            <td class="num strong">{price}</td>
                            <td class="num">{profit}</td>
                        </tr>
                    }
                })
                .collect_view()
        })
    };
    view! {
        <Panel title="At other quantities" wide=true>
            <table>
                <thead><tr><th scope="col" class="num">"Qty"</th><th scope="col" class="num">"Cost each"</th><th scope="col" class="num">"Each, from"</th><th scope="col" class="num">"Profit"</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <p class="help">"The same mix of names and sizes; the price of the cheapest size, the cost on average; with nothing on the shelf."</p>
        </Panel>
    }
}

/// Which letters a run is charged with.
#[component]
fn Charge() -> impl IntoView {
    use lettertally::lists::settings::LetterCharge;
    let desk = desk();
    view! {
        <Tick
            label="Charge the order with every letter bought for it, leftovers too"
            value=derived(move || desk.in_force.with(|shop| shop.settings.charge == LetterCharge::Everything))
            commit=move |on| desk.change_settings(|s| s.charge = if on { LetterCharge::Everything } else { LetterCharge::Used })
        />
    }
}
