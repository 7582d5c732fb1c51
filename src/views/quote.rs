//! The customer's quote: as the shop hands it over, and as the customer opens it.

use super::parts::{Panel, element_id};
use super::state::{Screen, desk};
use crate::browser::address;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::Handed;
use lettertally::book::standing::{Standing, standing};
use lettertally::order::wording::{NAME, NUMBER};
use lettertally::order::{OrderId, Swap};
use lettertally::quote::{Item, Quote, QuotedLine, quote};
use lettertally::share;

/// The quote screen: what the customer will see, and the link to it.
///
/// A quote that was handed over stands as it was made, until the shop makes a new one.
#[component]
pub fn QuoteScreen() -> impl IntoView {
    let desk = desk();
    let today = memo(move || {
        if desk.is_incomplete() {
            return None;
        }
        desk.plan.with(|plan| desk.order.with(|order| desk.in_force.with(|shop| quote(order, shop, plan))))
    });
    let handed = memo(move || desk.book.with(|book| book.current().handed.clone()));
    // The order for which the shop wants to hand over today's prices in the place of older ones.
    let anew = RwSignal::new(None::<OrderId>);
    let said = RwSignal::new(Said::default());
    let shown = memo(move || {
        let wants_new = anew.with(|anew| desk.order.with(|order| anew.as_ref() == Some(&order.id)));
        Shown::choose(handed.get(), today.get(), wants_new)
    });
    // Each part by itself: the button that was tapped stays, and what it says is read out.
    let note = memo(move || shown.with(|shown| shown.note.clone()));
    let quote = memo(move || shown.with(|shown| shown.quote.clone()));
    let older = memo(move || shown.with(|shown| shown.older.clone()));
    let to_mend =
        move || desk.unread.with(|unread| unread.last().map_or(Screen::Order, |unread| unread.screen));
    let make_new = move |_| anew.set(Some(desk.order.with_untracked(|order| order.id.clone())));
    view! {
        <Panel title="Quote for the customer">
            {move || note.get().map(|note| view! {
                <p class="standing">{note}</p>
                <button type="button" class="low take-back" on:click=move |_| desk.take_back_quote()>"Not handed over after all"</button>
            })}
            <Show when=move || shown.with(|shown| shown.other_prices)>
                <button type="button" class="wide" on:click=make_new>"Make a new quote at today's prices"</button>
            </Show>
            {move || match quote.get() {
                Some(quote) => view! { <Share quote=quote.clone() said/> <Paper quote/> }.into_any(),
                None => view! {
                    <p class="empty">"The figures are not complete yet: fix what stands in red, then the quote can be handed over."</p>
                    <button type="button" class="wide" on:click=move |_| desk.screen.set(to_mend())>"To what is missing"</button>
                }.into_any(),
            }}
            {move || older.get().map(|quote| view! {
                <details><summary>"The quote handed over before"</summary><Paper quote/></details>
            })}
        </Panel>
    }
}

/// Which quote stands in front, and what is to be said of it.
#[derive(Clone, PartialEq, Default)]
struct Shown {
    note: Option<String>,
    quote: Option<Quote>,
    /// What the customer holds, where it is not the one in front.
    older: Option<Quote>,
    /// Whether today's prices are others than those of the one in front.
    other_prices: bool,
}

impl Shown {
    fn choose(handed: Option<Handed>, today: Option<Quote>, wants_new: bool) -> Self {
        let on = handed.as_ref().map_or(String::new(), |handed| handed.on.clone());
        let Some(held) = handed.as_ref().and_then(Handed::quote) else {
            return Self { quote: today, ..Self::default() };
        };
        let total = |quote: &Quote| quote.currency.show(quote.total());
        let stands = total(&held);
        let Some(today) = today else {
            let note = format!("A quote of {stands} was handed over on {on}. It stands.");
            return Self { note: Some(note), older: Some(held), ..Self::default() };
        };
        let now = total(&today);
        match standing(&held, &today) {
            Standing::Same => {
                Self { note: Some(format!("Handed over on {on}.")), quote: Some(held), ..Self::default() }
            }
            Standing::OtherPrices if !wants_new => Self {
                note: Some(format!(
                    "Handed over on {on} at {stands}, and it keeps these prices. Today's lists would give {now}."
                )),
                quote: Some(held),
                other_prices: true,
                ..Self::default()
            },
            Standing::OtherPrices => Self {
                note: Some(format!(
                    "New prices: {now}. The customer holds {stands} of {on} until you hand this one over."
                )),
                quote: Some(today),
                older: Some(held),
                ..Self::default()
            },
            Standing::OtherOrder => Self {
                note: Some(format!(
                    "The order was changed since a quote of {stands} was handed over on {on}. Hand over the new one: {now}."
                )),
                quote: Some(today),
                older: Some(held),
                ..Self::default()
            },
        }
    }
}

/// What came of copying a link, as long as that link is shown.
#[derive(Clone, Default)]
struct Said {
    link: String,
    words: &'static str,
}

/// The link, ready to be copied.
#[component]
fn Share(quote: Quote, said: RwSignal<Said>) -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let fragment = share::quote_fragment(&quote);
    let stored = StoredValue::new(quote);
    let is_handed = move || {
        let handed = desk.book.with(|book| book.current().handed.as_ref().and_then(Handed::quote));
        stored.with_value(|quote| handed.as_ref() == Some(quote))
    };
    let mark = move |_| stored.with_value(|quote| desk.hand_over(quote));
    let by_hand = view! {
        <Show when=move || !is_handed()>
            <button type="button" on:click=mark>"Handed over on paper"</button>
        </Show>
    };
    if share::read(&fragment).is_err() {
        return view! {
            <p class="problem problem-stop">"Too many names for one link: split the order, or hand the quote over on paper."</p>
        }.into_any();
    }
    let link = StoredValue::new(format!("{}{fragment}", address::page()));
    let copy = move |_| {
        spawn_local(async move {
            let done = address::copy(&link.get_value()).await;
            if done {
                stored.with_value(|quote| desk.hand_over(quote));
            }
            let words = if done {
                "Link copied: paste it into a message."
            } else {
                "This browser does not allow copying: select the link and copy it."
            };
            said.set(Said { link: link.get_value(), words });
        });
    };
    let words =
        move || said.with(|said| link.with_value(|link| if said.link == *link { said.words } else { "" }));
    let length = link.with_value(String::len);
    view! {
        <div class="share">
            <div class="row">
                <button type="button" class="main" on:click=copy>"Copy the link"</button>
                {by_hand}
            </div>
            <p class="help" aria-live="polite">{words}</p>
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
    document().set_title(&format!("Quote: {}", quote.shop));
    view! {
        <main class="guest">
            <h1 class="hidden">"Quote"</h1>
            <p class="check"><b>"Check the spelling of every name and text."</b>" Letters are pressed as they stand here, in capitals."</p>
            <Paper quote/>
            <p class="help">"Nothing of this quote is kept on your device or sent anywhere."</p>
        </main>
    }
}

/// A link to a quote that cannot be opened.
#[component]
pub fn Refused(why: String) -> impl IntoView {
    let own_page = move |_| {
        address::clear_fragment();
        // A fresh start reads what is kept, which a refused link has left alone.
        address::reload();
    };
    view! {
        <main class="guest">
            <h1 class="hidden">"Lettertally"</h1>
            <article class="paper">
                <h2>"This quote cannot be opened"</h2>
                <p role="alert">{why}</p>
                <button type="button" on:click=own_page>"Open the page without it"</button>
            </article>
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
        .map(|(at, item)| view! { <QuotedItem quote=quote.clone() item=item.clone() number=several.then_some(at + 1) currency=currency.clone()/> })
        .collect();
    let swaps: Vec<String> = quote.swaps.iter().map(swap_words).collect();
    let rate = quote.tax_rate.value().normalize().to_string();
    view! {
        // As wide as its tables: the keyboard must get in to scroll it.
        <article class="paper" tabindex="0" aria-label="Quote">
            <header>
                <h2>"Quote"</h2>
                <p><b>{quote.shop.clone()}</b></p>
                <p>{quote.contact.clone()}</p>
                <p class="paper-for"><b>{quote.title.clone()}</b><span>{quote.date.clone()}</span></p>
            </header>
            {items}
            {(!swaps.is_empty()).then(|| view! { <p class="help">{swaps.join("; ")}</p> })}
            <table class="totals">
                <tbody>
                    <tr><th scope="row">{match quote.garments() { 1 => "1 garment".to_owned(), more => format!("{more} garments") }}</th><td class="num">{subtotal}</td></tr>
                    <tr><th scope="row">{format!("Tax {rate} %")}</th><td class="num">{tax}</td></tr>
                </tbody>
                <tfoot><tr><th scope="row">"Total with tax"</th><td class="num">{total}</td></tr></tfoot>
            </table>
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
    let inches = line.height.to_inches_text();
    format!("{}: {text}, {inches}-inch letters, {}, {}", line.placement.words(), line.finish, line.colour)
}

fn swap_words(swap: &Swap) -> String {
    match &swap.to {
        Some(to) => format!("{} is pressed as {to}", swap.from),
        None => format!("{} is left out", swap.from),
    }
}
