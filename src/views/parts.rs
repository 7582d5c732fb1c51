//! Small parts that every screen is made of: fields, choices, messages.

use super::draft::Draft;
use super::state::desk;
use crate::views::prelude::*;
use leptos::ev;
use lettertally::number::NumberError;
use lettertally::problem::{Problem, Severity};
use std::sync::atomic::{AtomicU32, Ordering};
use wasm_bindgen::JsCast;
use web_sys::{HtmlSelectElement, ScrollLogicalPosition};

/// An id for an element, different each time.
pub fn element_id() -> String {
    static NEXT: AtomicU32 = AtomicU32::new(1);
    format!("e{}", NEXT.fetch_add(1, Ordering::Relaxed))
}

/// "1 person", "3 people".
pub fn counted(count: impl TryInto<u64>, one: &str, more: &str) -> String {
    match count.try_into().unwrap_or(u64::MAX) {
        1 => format!("1 {one}"),
        count => format!("{count} {more}"),
    }
}

/// A field for a number, its unit beside it and its complaint under it.
///
/// What is typed stays as typed while it is being typed; what cannot be read stays until it is
/// mended, and the last good value counts meanwhile.
#[component]
pub fn NumberField(
    /// What the number is.
    #[prop(into)]
    label: Signal<String>,
    /// Its unit, shown after it.
    #[prop(optional, into)]
    unit: Signal<String>,
    /// One sentence on what it does.
    #[prop(optional, into)]
    help: String,
    /// The value as the field shows it.
    #[prop(into)]
    value: Signal<String>,
    /// Takes the text, or says what is wrong with it.
    #[prop(into)]
    commit: Callback<String, Result<(), NumberError>>,
    /// Whether only whole numbers make sense.
    #[prop(optional)]
    whole: bool,
    /// Whether the label is for a screen reader only.
    #[prop(optional)]
    bare: bool,
    /// Whether the number counts only when the field is left: where it moves the field itself.
    #[prop(optional)]
    late: bool,
) -> impl IntoView {
    let id = element_id();
    let (error_id, help_id) = (format!("{id}-error"), format!("{id}-help"));
    let draft = Draft::new(&id, label, value);
    let entered = move |text: String| {
        if let Some(read) = commit.try_run(text.clone()) {
            draft.typed(text, read.map_err(|error| error.to_string()));
        }
    };
    let typing = desk().typing;
    let typed = move |text: String| match late {
        true => draft.typed(text, Ok(())),
        false => typing.then(move || entered(text)),
    };
    let done = move |text: String| {
        if late {
            entered(text);
        }
    };
    let described = if help.is_empty() { error_id.clone() } else { format!("{help_id} {error_id}") };
    view! {
        <div class="field" class:field-bare=bare class:field-wrong=move || draft.is_wrong()>
            <label for=id.clone()>{move || label.get()}</label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    inputmode=if whole { "numeric" } else { "decimal" }
                    autocomplete="off"
                    aria-describedby=described
                    aria-invalid=move || draft.is_wrong().to_string()
                    prop:value=move || draft.shown()
                    on:focus:target=move |ev| ev.target().select()
                    on:input:target=move |ev| typed(ev.target().value())
                    on:change:target=move |ev| done(ev.target().value())
                    on:blur=move |_| draft.left()
                />
                {move || Some(unit.get()).filter(|unit| !unit.is_empty()).map(|unit| view! { <span class="unit">{unit}</span> })}
            </span>
            {(!help.is_empty()).then(|| view! { <p class="help" id=help_id>{help.clone()}</p> })}
            <p class="complaint" id=error_id aria-live="polite">{move || draft.complaint()}</p>
        </div>
    }
}

/// A field for a text that must be read: what cannot be read stays until it is mended.
#[component]
pub fn ParsedField(
    /// What the text is.
    #[prop(into)]
    label: Signal<String>,
    /// The value as the field shows it.
    #[prop(into)]
    value: Signal<String>,
    /// Takes the text, or says what is wrong with it.
    #[prop(into)]
    commit: Callback<String, Result<(), String>>,
    /// One sentence on what it does.
    #[prop(optional, into)]
    help: String,
    /// How many lines are in view.
    #[prop(default = 2)]
    rows: u16,
) -> impl IntoView {
    let id = element_id();
    let (error_id, help_id) = (format!("{id}-error"), format!("{id}-help"));
    let draft = Draft::new(&id, label, value);
    let typing = desk().typing;
    let typed = move |text: String| {
        typing.then(move || {
            if let Some(read) = commit.try_run(text.clone()) {
                draft.typed(text, read);
            }
        });
    };
    let described = if help.is_empty() { error_id.clone() } else { format!("{help_id} {error_id}") };
    view! {
        <div class="field" class:field-wrong=move || draft.is_wrong()>
            <label for=id.clone()>{move || label.get()}</label>
            <textarea
                id=id
                rows=rows
                spellcheck="false"
                autocomplete="off"
                autocapitalize="characters"
                aria-describedby=described
                aria-invalid=move || draft.is_wrong().to_string()
                prop:value=move || draft.shown()
                on:input:target=move |ev| typed(ev.target().value())
                on:blur=move |_| draft.left()
            ></textarea>
            {(!help.is_empty()).then(|| view! { <p class="help" id=help_id>{help.clone()}</p> })}
            <p class="complaint" id=error_id aria-live="polite">{move || draft.complaint()}</p>
        </div>
    }
}

/// A field for a text of one line.
#[component]
pub fn TextField(
    /// What the text is.
    #[prop(into)]
    label: Signal<String>,
    /// The text.
    #[prop(into)]
    value: Signal<String>,
    /// Takes the text.
    #[prop(into)]
    commit: Callback<String>,
    /// One sentence on what it does.
    #[prop(optional, into)]
    help: String,
    /// What an empty field shows.
    #[prop(optional, into)]
    placeholder: String,
    /// Whether the label is for a screen reader only.
    #[prop(optional)]
    bare: bool,
) -> impl IntoView {
    let id = element_id();
    let help_id = format!("{id}-help");
    let described = (!help.is_empty()).then(|| help_id.clone());
    let typing = desk().typing;
    // The field may be gone when what was typed into it counts.
    let typed = move |text: String| typing.then(move || commit.try_run(text).unwrap_or_default());
    view! {
        <div class="field" class:field-bare=bare>
            <label for=id.clone()>{move || label.get()}</label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    autocomplete="off"
                    maxlength="500"
                    placeholder=placeholder
                    aria-describedby=described
                    prop:value=move || value.get()
                    on:input:target=move |ev| typed(ev.target().value())
                />
            </span>
            {(!help.is_empty()).then(|| view! { <p class="help" id=help_id>{help.clone()}</p> })}
        </div>
    }
}

/// A choice of one thing from a list. A value that is not on the list is shown as gone.
#[component]
pub fn Choice(
    /// What is chosen.
    #[prop(into)]
    label: Signal<String>,
    /// The values and their words.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// The value chosen.
    #[prop(into)]
    value: Signal<String>,
    /// Takes the choice.
    #[prop(into)]
    commit: Callback<String>,
    /// Whether the label is for a screen reader only.
    #[prop(optional)]
    bare: bool,
) -> impl IntoView {
    let id = element_id();
    // Both may be told anew with every key of the order: only a change of them draws the options.
    let (options, value) = (memo(move || options.get()), memo(move || value.get()));
    let gone = move || {
        let value = value.get();
        options.with(|options| !options.iter().any(|(option, _)| *option == value)).then_some(value)
    };
    let choose = move |select: HtmlSelectElement| {
        commit.run(select.value());
        // Where the choice was not taken, the field shows what counts. It may be gone by now.
        if let Some(counts) = value.try_get_untracked() {
            select.set_value(&counts);
        }
    };
    view! {
        <div class="field" class:field-bare=bare>
            <label for=id.clone()>{move || label.get()}</label>
            <span class="field-box">
                <select id=id on:change:target=move |ev| choose(ev.target())>
                    {move || {
                        gone().map(|value| view! { <option value=value.clone() selected=true disabled=true>{format!("{value} (gone)")}</option> })
                    }}
                    {move || {
                        let chosen = value.get();
                        options
                            .get()
                            .into_iter()
                            .map(|(option, words)| {
                                let selected = option == chosen;
                                view! { <option value=option prop:selected=selected selected=selected>{words}</option> }
                            })
                            .collect_view()
                    }}
                </select>
            </span>
        </div>
    }
}

/// A box to tick.
#[component]
pub fn Tick(
    /// What is ticked.
    #[prop(into)]
    label: Signal<String>,
    /// Whether it is.
    #[prop(into)]
    value: Signal<bool>,
    /// Takes the change.
    #[prop(into)]
    commit: Callback<bool>,
) -> impl IntoView {
    view! {
        <label class="tick">
            <input
                type="checkbox"
                prop:checked=move || value.get()
                on:change:target=move |ev| commit.run(ev.target().checked())
            />
            <span>{move || label.get()}</span>
        </label>
    }
}

/// One of a few choices as buttons in a row.
#[component]
pub fn Switch(
    /// What is chosen, for a screen reader.
    #[prop(into)]
    label: String,
    /// The words, in order.
    options: Vec<&'static str>,
    /// Which one is chosen.
    #[prop(into)]
    value: Signal<usize>,
    /// Takes the choice.
    #[prop(into)]
    commit: Callback<usize>,
) -> impl IntoView {
    view! {
        <div class="switch" role="group" aria-label=label>
            {options
                .into_iter()
                .enumerate()
                .map(|(i, words)| {
                    view! {
                        <button type="button" aria-pressed=move || (value.get() == i).to_string() on:click=move |_| commit.run(i)>
                            {words}
                        </button>
                    }
                })
                .collect_view()}
        </div>
    }
}

/// The problems at a place, each with its fixes.
#[component]
pub fn Problems(
    /// The problems.
    #[prop(into)]
    problems: Signal<Vec<Problem>>,
) -> impl IntoView {
    const SHOWN: usize = 8;
    let more = move || problems.with(Vec::len).saturating_sub(SHOWN);
    view! {
        <div class="problems" aria-live="polite">
            {move || problems.get().into_iter().take(SHOWN).map(|problem| view! { <OneProblem problem/> }).collect_view()}
            {move || (more() > 0).then(|| view! { <p class="problem-more">{format!("and {} more like these", more())}</p> })}
        </div>
    }
}

#[component]
fn OneProblem(problem: Problem) -> impl IntoView {
    let stop = problem.severity == Severity::Stop;
    let fixes = problem.fixes.into_iter().map(|fix| {
        let words = fix.words();
        view! {
            <button type="button" class="fix" on:click=move |_| desk().change_order(|order| fix.apply(order))>{words}</button>
        }
    });
    view! {
        <div class="problem" class:problem-stop=stop>
            <p><span class="problem-mark" aria-hidden="true">{if stop { "!" } else { "?" }}</span>{problem.message}</p>
            <div class="fixes">{fixes.collect_view()}</div>
        </div>
    }
}

/// A panel with a heading.
#[component]
pub fn Panel(
    /// The heading.
    #[prop(into)]
    title: String,
    /// Whether a wide table is all that is in it: then the keyboard must get in to scroll it.
    #[prop(optional)]
    wide: bool,
    /// What is in it.
    children: Children,
) -> impl IntoView {
    let id = element_id();
    view! {
        <section class="panel" aria-labelledby=id.clone() tabindex=wide.then_some("0")>
            <h2 id=id.clone()>{title}</h2>
            {children()}
        </section>
    }
}

/// Scrolls an element to a place in the window.
pub fn show(element: &web_sys::Element, place: ScrollLogicalPosition) {
    let options = web_sys::ScrollIntoViewOptions::new();
    options.set_block(place);
    element.scroll_into_view_with_scroll_into_view_options(&options);
}

/// Scrolls to the problem with this message; else to the first complaint beside a field.
pub fn show_where_it_says(message: &str) {
    let all = |selector: &str| {
        let found = document().query_selector_all(selector).ok();
        let length = found.as_ref().map_or(0, web_sys::NodeList::length);
        (0..length).filter_map(move |i| found.as_ref()?.item(i)?.dyn_into::<web_sys::Element>().ok())
    };
    let says = |element: &web_sys::Element| element.text_content().is_some_and(|text| text.contains(message));
    let problem = all(".problem").find(says);
    if let Some(found) = problem.or_else(|| all(".field-wrong").next()) {
        show(&found, ScrollLogicalPosition::Center);
    }
}

/// Whether the window is wide enough for the screens to stand side by side.
pub fn wide_window() -> ReadSignal<bool> {
    let is_wide = || {
        let query = window().match_media("(min-width: 56.25rem)");
        query.ok().flatten().is_some_and(|query| query.matches())
    };
    let (wide, set_wide) = signal(is_wide());
    let listener = window_event_listener(ev::resize, move |_| {
        if wide.get_untracked() != is_wide() {
            set_wide.set(is_wide());
        }
    });
    on_cleanup(move || listener.remove());
    wide
}
