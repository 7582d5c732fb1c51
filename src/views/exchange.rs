//! Price lists as files: saving them, opening them, and what a file would change.

use super::parts::{Panel, Tick, element_id};
use super::state::desk;
use crate::browser::{clock, files, hand_over};
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::exchange::compare::{Change, Comparison, JUMP, compare};
use lettertally::exchange::figures::{Question, Sign};
use lettertally::exchange::{self, Outcome, csv_out, json, numbers, table};
use lettertally::lists::Lists;
use lettertally::money::Currency;
use std::collections::BTreeMap;
use std::sync::Arc;

/// So many entries of a kind are shown; the rest is counted.
const SHOWN: usize = 50;

/// A file that was opened, or a text that was pasted.
#[derive(Clone, PartialEq)]
struct Opened {
    name: String,
    bytes: Arc<Vec<u8>>,
    answer: Option<Sign>,
}

/// What comes of it beside the lists at hand.
#[derive(Clone, PartialEq)]
enum Seen {
    Refused(String),
    Asks(Question),
    Compared(Arc<Comparison>),
}

fn look(file: &Opened, lists: &Lists, currency: &Currency) -> Seen {
    match exchange::read(&file.bytes, lists, currency, file.answer) {
        Err(error) => Seen::Refused(error.to_string()),
        Ok(Outcome::Ask(question)) => Seen::Asks(question),
        Ok(Outcome::Read(reading)) => Seen::Compared(Arc::new(compare(*reading, lists, currency))),
    }
}

/// The price list out to a file, and in from one.
#[component]
pub fn PriceFile() -> impl IntoView {
    let desk = desk();
    let file = RwSignal::new(None::<Opened>);
    let said = RwSignal::new("");
    let seen = memo(move || {
        file.with(|file| {
            let file = file.as_ref()?;
            Some(desk.shop.with(|shop| look(file, &shop.lists, &shop.settings.currency)))
        })
    });
    let name = move || file.with(|file| file.as_ref().map_or(String::new(), |file| file.name.clone()));
    view! {
        <Panel title="Price list as a file">
            <p class="help">"Prices from a supplier's table, or your own back from a spreadsheet. What a file would change is shown first."</p>
            <Out/>
            <In file said/>
            <p class="help" aria-live="polite">{move || said.get()}</p>
            <div class="exchange" data-unkept=move || file.with(Option::is_some).then_some("") aria-live="polite">
                {move || {
                    seen.get().map(|seen| view! {
                        <h3>{name()}</h3>
                        {match seen {
                            Seen::Refused(why) => view! { <p class="complaint">{why}</p> }.into_any(),
                            Seen::Asks(question) => view! { <Asked question file/> }.into_any(),
                            Seen::Compared(comparison) => view! { <Compared comparison file said/> }.into_any(),
                        }}
                    })
                }}
            </div>
        </Panel>
    }
}

/// The two files to save.
#[component]
fn Out() -> impl IntoView {
    let desk = desk();
    let save = move |kind: &str, ending: &str, write: fn(&Lists, &Currency) -> String| {
        let text = desk.shop.with_untracked(|shop| write(&shop.lists, &shop.settings.currency));
        hand_over::save_file(&format!("price-list-{}.{ending}", clock::today()), kind, &text);
    };
    view! {
        <div class="row">
            // With its mark, by which spreadsheets know UTF-8.
            <button type="button" on:click=move |_| save("text/csv", "csv", |lists, currency| format!("\u{feff}{}", csv_out::write(lists, currency)))>"Save as CSV"</button>
            <button type="button" on:click=move |_| save("application/json", "json", json::write)>"Save as JSON"</button>
        </div>
        <p class="help">"CSV holds the offers, for a spreadsheet. JSON holds everything: suppliers, finishes, styles, offers."</p>
    }
}

/// A file to open, or a text to paste in its place.
#[component]
fn In(file: RwSignal<Option<Opened>>, said: RwSignal<&'static str>) -> impl IntoView {
    let paste = element_id();
    let pasted = RwSignal::new(String::new());
    let is_unread = RwSignal::new(false);
    let open = move |name: String, bytes: Vec<u8>| {
        said.set("");
        file.set(Some(Opened { name, bytes: Arc::new(bytes), answer: None }));
    };
    let choose = move |ev: web_sys::Event| {
        let chosen = files::chosen(&event_target(&ev));
        let name = chosen.as_ref().map_or(String::new(), web_sys::File::name);
        spawn_local(async move {
            match files::read(chosen, table::LARGEST_FILE).await {
                files::Opened::Nothing => {}
                files::Opened::TooLarge => said.set("This file is larger than 5 MB: split it."),
                files::Opened::Unreadable => {
                    said.set("The browser could not read this file: copy its cells and paste them instead.");
                }
                files::Opened::Bytes(bytes) => open(name, bytes),
            }
        });
    };
    let read = move |_| {
        let text = pasted.get();
        if !text.trim().is_empty() {
            open("what was pasted".to_owned(), text.into_bytes());
            is_unread.set(false);
        }
    };
    view! {
        <div class="row">
            <label class="file-button">
                "Open a file"
                <input type="file" accept=".csv,.tsv,.tab,.txt,.json,text/csv,text/plain,application/json" on:change=choose/>
            </label>
        </div>
        <details class="entry">
            <summary>"Paste instead"</summary>
            <div class="field">
                <label for=paste.clone()>"Rows with their headings, or JSON"</label>
                <textarea
                    id=paste
                    rows="4"
                    spellcheck="false"
                    autocomplete="off"
                    autocapitalize="off"
                    prop:value=move || pasted.get()
                    data-unkept=move || is_unread.get().then_some("")
                    on:input:target=move |ev| {
                        let text = ev.target().value();
                        is_unread.set(!text.trim().is_empty());
                        pasted.set(text);
                    }
                ></textarea>
            </div>
            <button type="button" class="look" on:click=read disabled=move || pasted.with(|text| text.trim().is_empty())>"Look at it"</button>
        </details>
    }
}

/// The question that a file leaves open.
#[component]
fn Asked(question: Question, file: RwSignal<Option<Opened>>) -> impl IntoView {
    let answer = move |sign| {
        file.update(|file| {
            if let Some(file) = file {
                file.answer = Some(sign);
            }
        });
    };
    let answers: Vec<(String, Sign)> =
        question.answers().map(|(words, sign)| (format!("It is {words}"), sign)).to_vec();
    view! {
        <div class="problem">
            <p>{question.to_string()}</p>
            <div class="fixes">
                {answers
                    .into_iter()
                    .map(|(words, sign)| view! { <button type="button" class="fix" on:click=move |_| answer(sign)>{words}</button> })
                    .collect_view()}
                <button type="button" class="fix" on:click=move |_| file.set(None)>"Leave it"</button>
            </div>
        </div>
    }
}

/// What a file would change, and the choice to let it.
#[component]
fn Compared(
    comparison: Arc<Comparison>,
    file: RwSignal<Option<Opened>>,
    said: RwSignal<&'static str>,
) -> impl IntoView {
    let desk = desk();
    let remove_gone = RwSignal::new(false);
    let tables = tables(&comparison);
    let notes: Vec<String> = comparison.notes.iter().map(ToString::to_string).collect();
    let (gone, can_remove) = (comparison.gone.len(), comparison.can_remove_gone());
    let nothing = !comparison.has_news() && !can_remove;
    let has_news = comparison.has_news();
    let summary = summary(&comparison);
    let jumps = comparison.jumps.len();
    let unread = comparison.faults.len();
    // Prices that jump are taken over only after a second yes.
    let asked = RwSignal::new(jumps == 0);
    let take_over = move |_| {
        if !asked.get_untracked() {
            return asked.set(true);
        }
        let lists = comparison.taken_over(remove_gone.get_untracked());
        file.set(None);
        said.set("The file was taken over.");
        desk.act("Took over the price list.".to_owned(), |desk| desk.change_lists(|now| *now = lists));
    };
    let leave = move |_| {
        file.set(None);
        said.set("The file was left as it is.");
    };
    view! {
        <p class="summary">{summary}</p>
        {notes.into_iter().map(|note| view! { <p class="help">{note}</p> }).collect_view()}
        {tables}
        {can_remove.then(|| view! {
            <Tick label=format!("Remove what is not in the file as well ({gone})") value=remove_gone commit=move |on| remove_gone.set(on)/>
        })}
        {(gone > 0 && !can_remove).then(|| view! { <p class="help">{cannot_remove(unread)}</p> })}
        <div aria-live="polite">
            {move || (jumps > 0 && asked.get()).then(|| view! { <p class="problem problem-stop">{sure(jumps)}</p> })}
        </div>
        <div class="row">
            <Show when=move || !nothing>
                <button type="button" class="take" disabled=move || !has_news && !remove_gone.get() on:click=take_over.clone()>
                    {move || if jumps > 0 && asked.get() { "Take over all the same" } else { "Take over" }}
                </button>
            </Show>
            <button type="button" on:click=leave>{if nothing { "Close" } else { "Leave as it is" }}</button>
        </div>
    }
}

/// Why offers that are not in the file cannot be removed along with it.
fn cannot_remove(unread: usize) -> String {
    let rows = match unread {
        1 => "1 row of the file cannot be read, and may be one of the offers".to_owned(),
        rows => format!("{rows} rows of the file cannot be read, and may be among the offers"),
    };
    format!("{rows} that seem to be missing. Nothing is removed until every row can be read.")
}

fn sure(jumps: usize) -> String {
    let prices = match jumps {
        1 => "1 price is".to_owned(),
        prices => format!("{prices} prices are"),
    };
    format!("{prices} more than {JUMP} times as much as before, or as little. Are they right?")
}

fn summary(comparison: &Comparison) -> String {
    let counts = [
        (comparison.new.len(), "new"),
        (comparison.changed.len() + comparison.records.len(), "changed"),
        (comparison.gone.len(), "not in the file"),
        (comparison.same, "the same"),
        (comparison.faults.len(), "not readable"),
    ];
    let words = counts.iter().filter(|(count, _)| *count > 0).map(|(count, word)| format!("{count} {word}"));
    let words = words.collect::<Vec<_>>().join(", ");
    if words.is_empty() { "No offers in it.".to_owned() } else { format!("{words}.") }
}

/// Row by row, what differs: one table for each kind.
fn tables(comparison: &Comparison) -> AnyView {
    let mut reasons = BTreeMap::<String, Vec<u64>>::new();
    for fault in &comparison.faults {
        reasons.entry(fault.why.to_string()).or_default().push(fault.row);
    }
    let mut faults: Vec<(Vec<u64>, String)> = reasons.into_iter().map(|(why, rows)| (rows, why)).collect();
    faults.sort();
    let faults = faults.into_iter().map(|(rows, why)| vec![numbers(&rows), why]);
    let to_add = comparison.to_add.iter().map(|add| {
        let assumed = add.assumed.map_or(String::new(), |assumed| format!(", {assumed}"));
        vec![add.thing.word().to_owned(), format!("{}{assumed}", add.name)]
    });
    let changed = comparison.records.iter().chain(&comparison.changed).flat_map(change_rows);
    let new = comparison.new.iter().map(|new| {
        let fault = new.fault.as_ref().map_or(String::new(), |fault| format!(": {fault}"));
        vec![new.row.to_string(), format!("{}{fault}", new.name), new.price.clone()]
    });
    let gone = comparison.gone.iter().map(|name| vec![name.clone()]);
    let jumps =
        comparison.jumps.iter().map(|jump| vec![jump.name.clone(), jump.old.clone(), jump.new.clone()]);
    let entry = comparison.entry;
    view! {
        {group("Look twice: more than three times as much a letter, or less than a third", &["offer", "yours now", "in the file"], jumps.collect())}
        {group("Not readable, not taken over", &[entry, "why"], faults.collect())}
        {group("To add to the shop's lists", &[], to_add.collect())}
        {group("Changed", &["what", "yours now", "in the file"], changed.collect())}
        {group("New", &[entry, "offer", "price"], new.collect())}
        {group("Your offers that are not in the file", &[], gone.collect())}
    }
    .into_any()
}

/// The name of what changed, and under it each cell as it is and as it would be.
fn change_rows(change: &Change) -> Vec<Vec<String>> {
    let or_dash = |text: &str| if text.is_empty() { "—".to_owned() } else { text.to_owned() };
    let cells =
        change.cells.iter().map(|cell| vec![cell.of.to_owned(), or_dash(&cell.old), or_dash(&cell.new)]);
    [vec![change.name.clone()]].into_iter().chain(cells).collect()
}

/// A table with a heading, if there is anything in it. A row of one cell among wider
/// ones is a heading of those below.
fn group(title: &'static str, headings: &[&'static str], rows: Vec<Vec<String>>) -> AnyView {
    if rows.is_empty() {
        return ().into_any();
    }
    let more = rows.len().saturating_sub(SHOWN);
    let columns = rows.iter().map(Vec::len).max().unwrap_or(1);
    let row = |cells: Vec<String>| {
        if cells.len() == 1 && columns > 1 {
            return view! { <tr><th scope="row" colspan=columns>{cells}</th></tr> }.into_any();
        }
        let cells: Vec<AnyView> =
            cells.into_iter().map(|cell| view! { <td>{cell}</td> }.into_any()).collect();
        view! { <tr>{cells}</tr> }.into_any()
    };
    let heads: Vec<AnyView> =
        headings.iter().map(|words| view! { <th scope="col">{*words}</th> }.into_any()).collect();
    let rows: Vec<AnyView> = rows.into_iter().take(SHOWN).map(row).collect();
    view! {
        <table class="compared" class:priced=headings.last() == Some(&"price")>
            <caption>{title}</caption>
            {(!heads.is_empty()).then(|| view! { <thead><tr>{heads}</tr></thead> })}
            <tbody>{rows}</tbody>
        </table>
        {(more > 0).then(|| view! { <p class="help">{format!("and {more} more rows like these")}</p> })}
    }
    .into_any()
}
