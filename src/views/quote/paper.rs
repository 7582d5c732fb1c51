//! The quote itself, on the screen and on paper.

use super::super::parts::counted;
use super::super::picture::{Marks, garment};
use super::code;
use crate::views::prelude::*;
use lettertally::order::Swap;
use lettertally::quote::{Item, Quote, QuotedLine};

/// The quote itself.
#[component]
pub fn Paper(
    quote: Quote,
    /// The link to it, which a print takes along.
    #[prop(optional_no_strip)]
    link: Option<String>,
) -> impl IntoView {
    let currency = quote.currency.clone();
    let (subtotal, tax, total) =
        (currency.show(quote.subtotal()), currency.show(quote.tax()), currency.show(quote.total()));
    let several = quote.items.len() > 1;
    let items: Vec<_> = quote
        .items
        .iter()
        .enumerate()
        .map(|(at, item)| view! { <QuotedItem quote=quote.clone() item=item.clone() number=several.then_some(at + 1) currency=currency.clone()/> })
        .collect();
    let swaps: Vec<String> = quote.swaps.iter().map(swap_words).collect();
    let rate = quote.tax_rate.value().normalize().to_string();
    let has_deposit = quote.deposit() != lettertally::money::Cents::ZERO;
    let (deposit, balance) = (currency.show(quote.deposit()), currency.show(quote.balance()));
    let others: Vec<_> = quote
        .others
        .iter()
        .map(|other| view! { <tr><th scope="row">{other.garments}</th><td class="num">{format!("from {}", currency.show(other.price))}</td></tr> })
        .collect();
    let number = Some(quote.number.clone()).filter(|number| !number.is_empty());
    let valid = quote.valid_until().map(|last| format!("valid until {last}"));
    let lead_time = Some(quote.terms.lead_time.clone()).filter(|text| !text.is_empty());
    let terms = Some(quote.terms.text.clone()).filter(|text| !text.is_empty());
    let on_paper = link.and_then(|link| code::on_paper(&link));
    view! {
        <article class="paper" tabindex="0" aria-label="Quote">
            <header>
                <h2>{match number { Some(number) => format!("Quote {number}"), None => "Quote".to_owned() }}</h2>
                <p><b>{quote.shop.clone()}</b></p>
                <p>{quote.contact.clone()}</p>
                <p class="paper-for"><b>{quote.title.clone()}</b><span>{quote.date.clone()}</span></p>
                {valid.map(|valid| view! { <p>{valid}</p> })}
            </header>
            {items}
            {(!swaps.is_empty()).then(|| view! { <p class="help">{swaps.join("; ")}</p> })}
            <table class="totals">
                <tbody>
                    <tr><th scope="row">{counted(quote.garments(), "garment", "garments")}</th><td class="num">{subtotal}</td></tr>
                    <tr><th scope="row">{format!("Tax {rate} %")}</th><td class="num">{tax}</td></tr>
                </tbody>
                <tfoot>
                    <tr><th scope="row">"Total with tax"</th><td class="num">{total}</td></tr>
                    {has_deposit.then(|| view! {
                        <tr class="part"><th scope="row">"Deposit, with the order"</th><td class="num">{deposit}</td></tr>
                        <tr class="part"><th scope="row">"Balance"</th><td class="num">{balance}</td></tr>
                    })}
                </tfoot>
            </table>
            {(!others.is_empty()).then(|| view! {
                <table class="other-quantities">
                    <caption>"Each, before tax, at other quantities"</caption>
                    <tbody>{others}</tbody>
                </table>
            })}
            {lead_time.map(|text| view! { <p><b>"Lead time: "</b>{text}</p> })}
            {terms.map(|text| view! { <p class="terms"><b>"Terms: "</b>{text}</p> })}
            {on_paper}
        </article>
    }
}

#[component]
fn QuotedItem(
    quote: Quote,
    item: Item,
    number: Option<usize>,
    currency: lettertally::money::Currency,
) -> impl IntoView {
    let title = number.map_or(item.garment.clone(), |number| format!("{number}. {}", item.garment));
    let lines: Vec<_> = item.lines.iter().map(|line| view! { <li>{line_words(line)}</li> }).collect();
    let sizes: Vec<_> = item
        .sizes
        .iter()
        .map(|size| {
            let sum = size.price.times(size.count).unwrap_or_default();
            view! {
                <tr>
                    <th scope="row">{size.size.clone()}</th>
                    <td class="num">{size.count}</td>
                    <td class="num">{currency.show(size.price)}</td>
                    <td class="num">{currency.show(sum)}</td>
                </tr>
            }
        })
        .collect();
    let colours: Vec<_> = item.lines.iter().map(|line| line.screen).collect();
    let look = item.look.map(|look| look.colour);
    let pictures: Vec<_> = quote
        .pictures(&item)
        .iter()
        .map(|side| garment(side, &side.frame(), look, &colours, Marks::default()))
        .collect();
    let people: Vec<_> = item
        .people
        .iter()
        .map(|person| {
            view! {
                <tr>
                    <td>{quote.pressed(&person.name)}</td>
                    <td>{quote.pressed(&person.number)}</td>
                    <td>{person.size.clone()}</td>
                    <td class="num">{person.quantity}</td>
                </tr>
            }
        })
        .collect();
    view! {
        <section>
            <h3>{title}</h3>
            {(!pictures.is_empty()).then(|| view! { <div class="sides" role="img" aria-label="Picture of the garment">{pictures}</div> })}
            <ul class="said">{lines}</ul>
            <table>
                <thead><tr><th scope="col">"Size"</th><th scope="col" class="num">"Qty"</th><th scope="col" class="num">"Each"</th><th scope="col" class="num">"Sum"</th></tr></thead>
                <tbody>{sizes}</tbody>
            </table>
            {(!people.is_empty()).then(|| view! {
                <table class="people">
                    <thead><tr><th scope="col">"Name"</th><th scope="col">"No."</th><th scope="col">"Size"</th><th scope="col" class="num">"Qty"</th></tr></thead>
                    <tbody>{people}</tbody>
                </table>
            })}
        </section>
    }
}

fn line_words(line: &QuotedLine) -> String {
    let inches = line.height.to_inches_text();
    format!(
        "{}: {}, {inches}-inch letters, {}, {}",
        line.placement.words(),
        line.text.in_words(),
        line.finish,
        line.colour
    )
}

fn swap_words(swap: &Swap) -> String {
    match &swap.to {
        Some(to) => format!("{} is pressed as {to}", swap.from),
        None => format!("{} is left out", swap.from),
    }
}
