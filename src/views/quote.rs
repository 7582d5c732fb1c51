//! The customer's quote: as the shop hands it over, and as the customer opens it.

use super::parts::{Panel, element_id};
use super::state::desk;
use crate::browser::address;
use leptos::prelude::*;
use leptos::task::spawn_local;
use lettertally::order::Swap;
use lettertally::order::wording::{NAME, NUMBER};
use lettertally::quote::{Item, Quote, QuotedLine, quote};
use lettertally::share;

/// The quote screen: what the customer will see, and the link to it.
#[component]
pub fn QuoteScreen() -> impl IntoView {
    let desk = desk();
    let made = Memo::new(move |_| {
        desk.plan.with(|plan| desk.order.with(|order| desk.shop.with(|shop| quote(order, shop, plan))))
    });
    view! {
        <Panel title="Quote for the customer">
            {move || match made.get() {
                Some(quote) => view! { <Share quote=quote.clone()/> <Paper quote/> }.into_any(),
                None => view! { <p class="empty">"The figures are not complete yet: mend what stands in red under Order, then the quote can be handed over."</p> }.into_any(),
            }}
        </Panel>
    }
}

/// The link, ready to be copied.
#[component]
fn Share(quote: Quote) -> impl IntoView {
    let id = element_id();
    let fragment = share::quote_fragment(&quote);
    if share::read(&fragment).is_err() {
        return view! { <p class="problem problem-stop">"Too many names for one link: split the order, or hand the quote over on paper."</p> }.into_any();
    }
    let link = StoredValue::new(format!("{}{fragment}", address::page()));
    let said = RwSignal::new(String::new());
    let copy = move |_| {
        spawn_local(async move {
            let done = address::copy(&link.get_value()).await;
            let words = if done {
                "Link copied: paste it into a message."
            } else {
                "This browser does not allow copying: select the link and copy it."
            };
            said.set(words.to_owned());
        });
    };
    let length = link.with_value(String::len);
    view! {
        <div class="share">
            <button type="button" class="main" on:click=copy>"Copy the link"</button>
            <p class="help" aria-live="polite">{move || said.get()}</p>
            <div class="field">
                <label for=id.clone()>{format!("Link, {length} characters: names stay on the two phones, none is sent to a server")}</label>
                <span class="field-box"><input id=id class="link" type="text" readonly=true prop:value=link.get_value() on:focus:target=move |ev| ev.target().select()/></span>
            </div>
        </div>
    }
    .into_any()
}

/// A quote that was opened from its link, with nothing of the shop's own around it.
#[component]
pub fn Guest(quote: Quote) -> impl IntoView {
    view! {
        <main class="guest">
            <Paper quote/>
            <p class="help">"Check the spelling of each name: letters are pressed as they stand here, in capitals. Nothing of this quote is kept on your device or sent anywhere."</p>
        </main>
    }
}

/// The quote itself.
#[component]
fn Paper(quote: Quote) -> impl IntoView {
    let currency = quote.currency.clone();
    let (subtotal, tax, total) =
        (currency.show(quote.subtotal()), currency.show(quote.tax()), currency.show(quote.total()));
    let several = quote.items.len() > 1;
    let items: Vec<_> = quote
        .items
        .iter()
        .enumerate()
        .map(|(at, item)| view! { <QuotedItem item=item.clone() number=several.then_some(at + 1) currency=currency.clone()/> })
        .collect();
    let swaps: Vec<String> = quote.swaps.iter().map(swap_words).collect();
    let rate = quote.tax_rate.value().normalize().to_string();
    view! {
        <article class="paper">
            <header>
                <h2>{if quote.shop.is_empty() { "Quote".to_owned() } else { quote.shop.clone() }}</h2>
                <p>{quote.contact.clone()}</p>
                <p class="paper-for"><b>{quote.title.clone()}</b><span>{quote.date.clone()}</span></p>
            </header>
            {items}
            {(!swaps.is_empty()).then(|| view! { <p class="help">{swaps.join("; ")}</p> })}
            <table class="totals">
                <tbody>
                    <tr><th scope="row">{format!("{} garments", quote.garments())}</th><td class="num">{subtotal}</td></tr>
                    <tr><th scope="row">{format!("Tax {rate} %")}</th><td class="num">{tax}</td></tr>
                </tbody>
                <tfoot><tr><th scope="row">"Total"</th><td class="num">{total}</td></tr></tfoot>
            </table>
        </article>
    }
}

#[component]
fn QuotedItem(item: Item, number: Option<usize>, currency: lettertally::money::Currency) -> impl IntoView {
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
    let people: Vec<_> = item
        .people
        .iter()
        .map(|person| {
            view! {
                <tr>
                    <td>{person.name.clone()}</td>
                    <td>{person.number.clone()}</td>
                    <td>{person.size.clone()}</td>
                    <td class="num">{person.quantity}</td>
                </tr>
            }
        })
        .collect();
    view! {
        <section>
            <h3>{title}</h3>
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
    let text = match line.text.as_str() {
        NAME => "each name".to_owned(),
        NUMBER => "each number".to_owned(),
        text => format!("“{}”", text.replace(NAME, "NAME").replace(NUMBER, "NUMBER")),
    };
    format!("{}: {text}, {} letters in {}, {}", line.placement.words(), line.height, line.finish, line.colour)
}

fn swap_words(swap: &Swap) -> String {
    match &swap.to {
        Some(to) => format!("{} is pressed as {to}", swap.from),
        None => format!("{} is left out", swap.from),
    }
}
