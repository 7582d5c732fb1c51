//! The shop's settings: one field for each row of the table, group by group, and the currency.
//!
//! Owns how a setting is shown. Never knows a range: the table says what may stand in a field.

use super::draft::Draft;
use super::parts::{Panel, Tick, element_id};
use super::state::{Desk, desk};
use crate::views::prelude::*;
use lettertally::lists::recoin::{Rounded, Stuck};
use lettertally::lists::settings::SETTINGS;
use lettertally::lists::settings::table::{Group, Kind, Setting};
use lettertally::money::{Below, Currency, RecoinError};

/// The settings of a group.
#[component]
pub fn SettingsOf(group: Group) -> impl IntoView {
    let title = match group {
        Group::Shop => "The shop",
        Group::Work => "What the work costs",
        Group::Press => "The press",
        Group::Selling => "Selling",
        Group::Quote => "On the quote",
    };
    view! {
        <Panel title=title>
            <div class="settings">
                {fields(group)}
                {(group == Group::Shop).then(|| view! { <CurrencyField/> })}
            </div>
        </Panel>
    }
}

fn fields(group: Group) -> Vec<AnyView> {
    SETTINGS.iter().filter(|setting| setting.group == group).map(field).collect()
}

/// The field of a setting, there while the setting counts.
fn field(setting: &'static Setting) -> AnyView {
    let desk = desk();
    match setting.kind {
        Kind::Tick(_) => view! { <TickField setting/> }.into_any(),
        Kind::Percent(..) => {
            let applies = memo(move || desk.shop.with(|shop| setting.applies(&shop.settings)));
            view! { <Show when=move || applies.get()><SettingField setting/></Show> }.into_any()
        }
        _ => view! { <SettingField setting/> }.into_any(),
    }
}

/// Takes what was typed into a setting.
fn take(desk: Desk, setting: &Setting, text: &str) -> Result<(), String> {
    let mut settings = desk.shop.with_untracked(|shop| shop.settings.clone());
    setting.read(&mut settings, text).map_err(|error| error.advice)?;
    desk.change_settings(|old| *old = settings);
    Ok(())
}

/// What a setting holds, as it is typed.
fn written(setting: &'static Setting) -> Signal<String> {
    let desk = desk();
    derived(move || desk.shop.with(|shop| setting.write(&shop.settings)))
}

/// A setting to type or to choose.
#[component]
fn SettingField(setting: &'static Setting) -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let value = written(setting);
    let draft = Draft::new(&id, Signal::stored(setting.name.to_owned()), value);
    let entered = Callback::new(move |text: String| {
        let read = take(desk, setting, &text);
        draft.typed(text, read);
    });
    // A number counts when the field is left: of 101, which is too much, 10 is not to count on the
    // way. What is wrong with it is said at once.
    let typed = Callback::new(move |text: String| {
        if matches!(setting.kind, Kind::Text(_)) {
            return entered.run(text);
        }
        let mut tried = desk.shop.with_untracked(|shop| shop.settings.clone());
        let read = setting.read(&mut tried, &text).map_err(|error| error.advice);
        draft.typed(text, read);
    });
    let unit = move || desk.shop.with(|shop| setting.unit(&shop.settings));
    let described = format!("{id}-help {id}-error");
    let control = match setting.kind {
        Kind::Choice(words, ..) => {
            let option = |word: &'static str| {
                view! { <option value=word selected=move || value.get() == word prop:selected=move || value.get() == word>{word}</option> }
            };
            view! {
                <select id=id.clone() aria-describedby=described on:change:target=move |ev| entered.run(ev.target().value())>
                    {words.iter().copied().map(option).collect_view()}
                </select>
            }
            .into_any()
        }
        _ => view! {
            <input
                id=id.clone()
                type="text"
                inputmode=keyboard(&setting.kind)
                autocomplete="off"
                aria-describedby=described
                aria-invalid=move || draft.is_wrong().to_string()
                prop:value=move || draft.shown()
                on:input:target=move |ev| typed.run(ev.target().value())
                on:change:target=move |ev| entered.run(ev.target().value())
                on:blur=move |_| draft.left()
            />
            <span class="unit">{unit}</span>
        }
        .into_any(),
    };
    let class = if is_wide(setting) { "field setting setting-wide" } else { "field setting" };
    framed(&id, class, setting.name, setting.why.into_any(), control, draft, ().into_any())
}

/// Whether a field takes the whole row: a text, or what needs some explaining.
fn is_wide(setting: &Setting) -> bool {
    matches!(setting.kind, Kind::Text(_)) || setting.why.len() > 56
}

/// The keyboard of a phone that has what is typed: units and fractions need letters.
fn keyboard(kind: &Kind) -> &'static str {
    match kind {
        Kind::Whole(..) => "numeric",
        Kind::Money(..) | Kind::Percent(..) => "decimal",
        _ => "text",
    }
}

/// A field with its label and explanation above it, its complaint below, and a way out of that.
fn framed(
    id: &str,
    class: &'static str,
    name: &'static str,
    why: AnyView,
    control: AnyView,
    draft: Draft,
    way_out: AnyView,
) -> AnyView {
    view! {
        <div class=class class:field-wrong=move || draft.is_wrong()>
            <label for=id.to_owned()>{name}</label>
            <p class="help" id=format!("{id}-help")>{why}</p>
            <span class="field-box">{control}</span>
            <div>
                <p class="complaint" id=format!("{id}-error") aria-live="polite">{move || draft.complaint()}</p>
                {way_out}
            </div>
        </div>
    }
    .into_any()
}

/// A setting to tick.
#[component]
fn TickField(setting: &'static Setting) -> impl IntoView {
    let desk = desk();
    let value = written(setting);
    let commit = move |on: bool| {
        // A tick is always a yes or a no.
        let _ = take(desk, setting, if on { "yes" } else { "no" });
    };
    view! {
        <div class="setting-tick">
            <Tick label=setting.name value=derived(move || value.get() == "yes") commit=commit/>
            <p class="help">{setting.why}</p>
        </div>
    }
}

/// The currency: by its code, from a list of codes and names.
#[component]
fn CurrencyField() -> impl IntoView {
    let desk = desk();
    let id = element_id();
    let currency = move || desk.shop.with(|shop| shop.settings.currency.clone());
    let draft =
        Draft::new(&id, Signal::stored("Currency".to_owned()), derived(move || currency().code().to_owned()));
    // The currency that was wanted, where prices cannot be written in it.
    let wanted = RwSignal::new(None::<Currency>);
    let change = move |to: Currency| {
        let changed = change_currency(desk, &to, Below::Refuse);
        let can_round = changed.as_ref().is_err_and(|stuck| stuck.why == RecoinError::TooFine);
        wanted.set(can_round.then_some(to));
        changed.map_err(|stuck| stuck.to_string())
    };
    let typed = move |text: String| {
        wanted.set(None);
        let read = Currency::of_code(&text).map_err(|error| error.to_string()).and_then(change);
        draft.typed(text, read);
    };
    let round = move |to: Currency| {
        desk.act(format!("Rounded the prices to {}.", to.code()), |_| {
            if let Err(stuck) = change_currency(desk, &to, Below::Round) {
                draft.typed(to.code().to_owned(), Err(stuck.to_string()));
            }
        });
        wanted.set(None);
    };
    let why = move || {
        format!(
            "{}. A change keeps the figures of all prices: there is no rate of exchange.",
            currency().name()
        )
    };
    let offer = move || {
        let to = wanted.get().filter(|_| draft.is_wrong())?;
        let words = format!("Round the prices to {}", to.code());
        let prices = desk.shop.with(|shop| shop.lists.rounded(&shop.settings.currency, &to));
        Some(view! {
            {rounded(prices)}
            <button type="button" class="fix" on:click=move |_| round(to.clone())>{words}</button>
        })
    };
    let (described, list) = (format!("{id}-help {id}-error"), format!("{id}-list"));
    let control = view! {
        <input
            id=id.clone()
            type="text"
            list=list.clone()
            autocomplete="off"
            autocapitalize="characters"
            spellcheck="false"
            aria-describedby=described
            aria-invalid=move || draft.is_wrong().to_string()
            prop:value=move || draft.shown()
            on:input:target=move |ev| typed(ev.target().value())
            on:blur=move |_| draft.left()
        />
        <datalist id=list>
            {Currency::all().map(|(code, name)| view! { <option value=code>{name}</option> }).collect_view()}
        </datalist>
    };
    framed(
        &id,
        "field setting setting-wide",
        "Currency",
        why.into_any(),
        control.into_any(),
        draft,
        offer.into_any(),
    )
}

/// The prices that would be rounded, old and new, before they are.
fn rounded(prices: Vec<Rounded>) -> impl IntoView {
    const SHOWN: usize = 50;
    let more = prices.len().saturating_sub(SHOWN);
    let row = |price: Rounded| {
        view! { <tr><td>{price.what}</td><td class="num">{price.old}</td><td class="num strong">{price.new}</td></tr> }
    };
    let rows = prices.into_iter().take(SHOWN).map(row).collect_view();
    view! {
        <div class="scroll rounded" tabindex="0" role="group" aria-label="Prices that would be rounded">
            <table>
                <thead><tr><th scope="col">"Price"</th><th scope="col" class="num">"Now"</th><th scope="col" class="num">"Rounded"</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
        {(more > 0).then(|| view! { <p class="help">{format!("and {more} more")}</p> })}
    }
}

/// Changes the currency and counts the price lists anew in its minor units.
fn change_currency(desk: Desk, to: &Currency, below: Below) -> Result<(), Stuck> {
    let shop = desk.shop.get_untracked();
    let lists = shop.lists.recoined(&shop.settings.currency, to, below)?;
    if lists != shop.lists {
        desk.change_lists(|old| *old = lists);
    }
    desk.change_settings(|settings| settings.currency = to.clone());
    Ok(())
}
