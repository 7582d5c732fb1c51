//! The shop: settings, lists, shelf, and starting over.

use super::keeping::Keeping;
use super::lists::{Blanks, Finishes, Styles};
use super::offers::Offers;
use super::parts::{NumberField, Panel, ParsedField, TextField, Tick};
use super::state::{desk, new_id};
use super::suppliers::Suppliers;
use crate::browser::clock;
use leptos::prelude::*;
use lettertally::glyph::GlyphCounts;
use lettertally::length::Length;
use lettertally::lists::settings::Settings;
use lettertally::money::{Currency, Money, Percent};
use lettertally::number::{self, NumberError};
use lettertally::order::Order;
use lettertally::saved::{self, State};

/// The shop screen.
#[component]
pub fn ShopScreen() -> impl IntoView {
    view! {
        <StartOver/>
        <Finishes/>
        <Suppliers/>
        <Offers/>
        <Blanks/>
        <Styles/>
        <Shelf/>
        <Identity/>
        <Costs/>
        <Selling/>
        <Keeping/>
    }
}

/// The demo shop and an empty one, one tap apart; what was there can be brought back.
#[component]
fn StartOver() -> impl IntoView {
    let desk = desk();
    let empty = move |_| {
        desk.act("Began with empty lists.".to_owned(), |desk| {
            desk.begin_shop(saved::empty_shop());
            desk.begin_order();
            desk.screen.set(super::state::Screen::Shop);
        });
    };
    let demo = move |_| {
        desk.act("Brought the demo shop.".to_owned(), |desk| {
            let State { shop, book, .. } = saved::demo_state(&clock::today(), clock::now());
            desk.begin_shop(shop);
            let order = Order { id: new_id(), ..book.current().order.clone() };
            desk.book.update(|book| book.begin(order, clock::now()));
        });
    };
    view! {
        <Panel title="Start">
            <p class="help">"The demo shop, its supplier, its team and all prices are invented. Change them here, or begin with empty lists. Orders stay."</p>
            <div class="row">
                <button type="button" on:click=empty>"Empty shop"</button>
                <button type="button" on:click=demo>"Demo shop"</button>
            </div>
        </Panel>
    }
}

/// A field on the settings, with its unit and what it does.
#[component]
fn Setting(
    label: &'static str,
    #[prop(optional)] unit: &'static str,
    #[prop(optional)] help: &'static str,
    #[prop(optional)] whole: bool,
    get: fn(&Settings) -> String,
    set: fn(&mut Settings, &str) -> Result<(), NumberError>,
) -> impl IntoView {
    let desk = desk();
    let unit = if unit == "money" {
        desk.shop.with(|shop| shop.settings.currency.code().to_owned())
    } else {
        unit.to_owned()
    };
    let commit = move |text: String| {
        let mut settings = desk.shop.with_untracked(|shop| shop.settings.clone());
        set(&mut settings, &text)?;
        desk.change_settings(|old| *old = settings);
        Ok(())
    };
    view! {
        <NumberField
            label=label
            unit=unit
            help=help
            whole=whole
            value=Signal::derive(move || desk.shop.with(|shop| get(&shop.settings)))
            commit=commit
        />
    }
}

fn percent(percent: Percent) -> String {
    percent.value().normalize().to_string()
}

fn money(money: Money) -> String {
    money.amount().normalize().to_string()
}

/// A share of a whole: at most all of it.
fn share(text: &str) -> Result<Percent, NumberError> {
    let percent = Percent::parse(text)?;
    if percent > Percent::of(100) {
        return Err(NumberError::TooLarge { most: 100 });
    }
    Ok(percent)
}

fn spare(text: &str) -> Result<u16, NumberError> {
    Ok(u16::try_from(number::whole(text, 0, 999)?).unwrap_or(u16::MAX))
}

fn seconds(text: &str) -> Result<u16, NumberError> {
    Ok(u16::try_from(number::whole(text, 0, 3_600)?).unwrap_or(u16::MAX))
}

#[component]
fn Identity() -> impl IntoView {
    let desk = desk();
    let currency = move |text: String| {
        if let Ok(currency) = Currency::of_code(&text.trim().to_uppercase()) {
            desk.change_settings(|settings| settings.currency = currency);
        }
    };
    view! {
        <Panel title="The shop">
            <TextField
                label="Name"
                help="Stands on top of each quote."
                value=Signal::derive(move || desk.shop.with(|shop| shop.settings.shop_name.clone()))
                commit=move |text| desk.change_settings(|settings| settings.shop_name = text)
            />
            <TextField
                label="Contact"
                help="How a customer reaches you: telephone, mail, address."
                value=Signal::derive(move || desk.shop.with(|shop| shop.settings.contact.clone()))
                commit=move |text| desk.change_settings(|settings| settings.contact = text)
            />
            <TextField
                label="Currency"
                help="Three capital letters, such as USD or EUR; all prices are in it."
                value=Signal::derive(move || desk.shop.with(|shop| shop.settings.currency.code().to_owned()))
                commit=currency
            />
        </Panel>
    }
}

#[component]
fn Costs() -> impl IntoView {
    let desk = desk();
    view! {
        <Panel title="What the work costs">
            <div class="grid">
                <Setting label="Wage" unit="money" help="Per hour of work." get=|s| money(s.wage_per_hour) set=|s, t| { s.wage_per_hour = Money::parse(t)?; Ok(()) }/>
                <Setting label="Allowance" unit="%" help="Added to the time of work for breaks and hitches." get=|s| percent(s.allowance) set=|s, t| { s.allowance = Percent::parse(t)?; Ok(()) }/>
                <Setting label="Placing" unit="s" help="Per letter." whole=true get=|s| s.seconds.place_letter.to_string() set=|s, t| { s.seconds.place_letter = seconds(t)?; Ok(()) }/>
                <Setting label="Loading and unloading" unit="s" help="Per side of a garment." whole=true get=|s| s.seconds.load_side.to_string() set=|s, t| { s.seconds.load_side = seconds(t)?; Ok(()) }/>
                <Setting label="Tacking" unit="s" help="Each time the press closes." whole=true get=|s| s.seconds.tack.to_string() set=|s, t| { s.seconds.tack = seconds(t)?; Ok(()) }/>
                <Setting label="Peeling" unit="s" help="Each time the press has closed." whole=true get=|s| s.seconds.peel.to_string() set=|s, t| { s.seconds.peel = seconds(t)?; Ok(()) }/>
                <Setting label="Press overhead" unit="money" help="Per hour that the press is taken up." get=|s| money(s.press_per_hour) set=|s, t| { s.press_per_hour = Money::parse(t)?; Ok(()) }/>
                <Setting label="Consumables" unit="money" help="Per garment: cover sheets, tape, bag." get=|s| money(s.consumables_per_garment) set=|s, t| { s.consumables_per_garment = Money::parse(t)?; Ok(()) }/>
                <Setting label="Fixed per run" unit="money" help="Setting up, artwork, a share of the booth." get=|s| money(s.fixed_per_run) set=|s, t| { s.fixed_per_run = Money::parse(t)?; Ok(()) }/>
                <Setting label="Spoilage" unit="%" help="Garments expected to be ruined." get=|s| percent(s.spoilage) set=|s, t| { s.spoilage = share(t)?; Ok(()) }/>
                <Setting label="Spare letters" unit="%" help="Extra of each letter, rounded up." get=|s| percent(s.spares.percent) set=|s, t| { s.spares.percent = Percent::parse(t)?; Ok(()) }/>
                <Setting label="Spare letters, fixed" unit="each" help="So many extra of each letter." whole=true get=|s| s.spares.each.to_string() set=|s, t| { s.spares.each = spare(t)?; Ok(()) }/>
                <Setting label="Platen width" unit="in" help="Left to right." get=|s| s.platen.width.to_inches().normalize().to_string() set=|s, t| { s.platen.width = platen(t)?; Ok(()) }/>
                <Setting label="Platen depth" unit="in" help="Front to back." get=|s| s.platen.depth.to_inches().normalize().to_string() set=|s, t| { s.platen.depth = platen(t)?; Ok(()) }/>
            </div>
            <Tick
                label="Somebody stands by while the press is closed, so its time is paid"
                value=Signal::derive(move || desk.shop.with(|shop| shop.settings.dwell_attended))
                commit=move |on| desk.change_settings(|settings| settings.dwell_attended = on)
            />
        </Panel>
    }
}

/// A platen must be larger than the overlap between two closings.
fn platen(text: &str) -> Result<Length, NumberError> {
    let length = Length::parse_inches(text)?;
    if length < Length::inches(2) {
        return Err(NumberError::TooSmall { least: 2 });
    }
    Ok(length)
}

#[component]
fn Selling() -> impl IntoView {
    use lettertally::lists::settings::Aim;
    let aim = |settings: &Settings| match settings.aim {
        Aim::Margin(aim) => percent(aim),
        Aim::MarkUp(_) | Aim::Price(_) => String::new(),
    };
    view! {
        <Panel title="Selling">
            <div class="grid">
                <Setting label="Usual margin" unit="%" help="Share of the price before tax that is profit." get=aim set=|s, t| { s.aim = Aim::Margin(Percent::parse(t)?); Ok(()) }/>
                <Setting label="Tax" unit="%" help="On top of the price." get=|s| percent(s.tax) set=|s, t| { s.tax = Percent::parse(t)?; Ok(()) }/>
                <Setting label="Card fee" unit="%" help="Of what the customer pays, tax included." get=|s| percent(s.card_fee.percent) set=|s, t| { s.card_fee.percent = Percent::parse(t)?; Ok(()) }/>
                <Setting label="Card fee, fixed" unit="money" help="Per payment." get=|s| money(s.card_fee.fixed) set=|s, t| { s.card_fee.fixed = Money::parse(t)?; Ok(()) }/>
            </div>
        </Panel>
    }
}

/// The shelf as text, family by family.
#[component]
fn Shelf() -> impl IntoView {
    let desk = desk();
    let families = Memo::new(move |_| {
        desk.shop.with(|shop| {
            let mut families = shop.lists.families();
            let stray = shop.shelf.stocks().iter().map(|stock| stock.family.clone());
            families
                .extend(stray.filter(|family| !shop.lists.families().contains(family)).collect::<Vec<_>>());
            families
        })
    });
    let owned = move || {
        let letters: u64 =
            desk.shop.with(|shop| shop.shelf.stocks().iter().map(|stock| stock.counts.total()).sum());
        format!("{letters} letters on the shelf")
    };
    view! {
        <Panel title="Shelf">
            <p class="help">"Letters you own: each letter with its count, such as A:5 B:2."</p>
            <details class="shelf">
                <summary>{owned}</summary>
                <For each=move || families.get() key=Clone::clone let(family)>
                    <ShelfField family/>
                </For>
            </details>
        </Panel>
    }
}

#[component]
fn ShelfField(family: lettertally::lists::Family) -> impl IntoView {
    let desk = desk();
    let family = StoredValue::new(family);
    let name = move || desk.shop.with(|shop| family.with_value(|family| shop.lists.family_name(family)));
    let kept = move || desk.shop.with(|shop| family.with_value(|family| shop.shelf.of(family)).to_string());
    let commit = move |text: String| {
        let counts = GlyphCounts::parse(&text).map_err(|error| error.to_string())?;
        desk.shop.update(|shop| family.with_value(|family| shop.shelf.replace(family, counts)));
        Ok(())
    };
    view! { <ParsedField label=Signal::derive(name) value=Signal::derive(kept) commit=commit rows=1/> }
}
