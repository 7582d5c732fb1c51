//! The price list on a wide window: a grid of cells, changed with the keyboard or from a
//! spreadsheet. The cells are plain text: a row is drawn anew when its offer changes.

use super::super::entries::{EntryId, copy, remove};
use super::super::state::{Desk, desk};
use super::board::{Board, Row};
use super::card::card;
use super::cells::active_cell;
use super::report::Report;
use crate::views::prelude::*;
use leptos::ev;
use lettertally::lists::entries::{List, Shift};
use lettertally::lists::rows::{self, Column};

/// The grid. `chosen` tells the ids of the rows that are chosen.
#[component]
pub fn Grid(chosen: RwSignal<Vec<String>>) -> impl IntoView {
    let board = Board::new(desk());
    board.follow(chosen);
    let head = Column::ALL.map(|column| {
        view! { <th scope="col" class=class_of(column)>{column.heading()}</th> }
    });
    let columns = Column::ALL.map(|column| view! { <col class=format!("col-{}", column as usize)/> });
    // Not every browser tells the cell that has the focus of these; each tells the window.
    let copying = window_event_listener(ev::copy, move |ev| {
        if has_focus() {
            board.copy(&ev);
        }
    });
    let pasting = window_event_listener(ev::paste, move |ev| {
        if has_focus() {
            board.paste(&ev);
        }
    });
    on_cleanup(move || {
        copying.remove();
        pasting.remove();
    });
    let is_editing = memo(move || board.draft.with(Option::is_some));
    view! {
        <div
            class="price-grid"
            on:keydown=move |ev| board.key(&ev)
            on:mousedown=move |ev| board.press(&ev)
            on:mouseover=move |ev| board.drag(&ev)
            on:dblclick=move |_| board.edit_as_it_is()
        >
            <table role="grid" aria-label="Price list" aria-multiselectable="true" aria-describedby="price-grid-help">
                <colgroup><col class="col-row"/>{columns}</colgroup>
                <thead><tr><th scope="col"><span class="hidden">"row"</span></th>{head}</tr></thead>
                <tbody node_ref=board.body>
                    <For each=move || board.rows.get() key=Clone::clone let(row)>{show_row(&row)}</For>
                </tbody>
            </table>
            <Show when=move || is_editing.get()><Editor board/></Show>
        </div>
        <Status board/>
        <Report doubtful=board.doubtful take=move |pasted| board.take(pasted)/>
        <Tools board/>
    }
}

fn has_focus() -> bool {
    document()
        .active_element()
        .is_some_and(|active| active.closest(".price-grid").is_ok_and(|grid| grid.is_some()))
}

fn class_of(column: Column) -> &'static str {
    match column {
        Column::Height | Column::Each | Column::Price | Column::AtMost => "num",
        _ => "",
    }
}

fn show_row(row: &Row) -> impl IntoView + use<> {
    let cells = Column::ALL.into_iter().zip(row.cells.clone()).map(|(column, text)| {
        view! { <td role="gridcell" tabindex="-1" aria-selected="false" class=class_of(column) title=text.clone()>{text.clone()}</td> }
    });
    let called = [Column::Height, Column::Finish, Column::Way]
        .map(|column| row.cells[column as usize].as_str())
        .join(" ");
    view! {
        <tr data-id=row.id.clone() class:faulty=row.fault.is_some()>
            <th scope="row" title=row.fault.clone()><span class="hidden">{called}</span></th>
            {cells.collect_view()}
        </tr>
    }
}

/// The field over the active cell while it is typed into.
#[component]
fn Editor(board: Board) -> impl IntoView {
    let column = board.column();
    let place = board.place.get_untracked();
    let cell = board.body.get_untracked().and_then(|body| active_cell(&body, place));
    // Each by itself: the page's policy forbids style attributes.
    let pixels = |of: fn(&web_sys::HtmlElement) -> i32| cell.as_ref().map(|cell| format!("{}px", of(cell)));
    let choices: Vec<String> = board.desk.shop.with_untracked(|shop| match column {
        Column::Supplier => rows::suppliers(&shop.lists).all_words(),
        Column::Finish => rows::finishes(&shop.lists).all_words(),
        Column::Way => ["piece", "pack", "set"].map(str::to_owned).to_vec(),
        Column::CountOver => ["each", "together"].map(str::to_owned).to_vec(),
        _ => Vec::new(),
    });
    Effect::new(move |_| {
        if let Some(input) = board.input.get() {
            let _ = input.focus();
            let end = u32::try_from(input.value().encode_utf16().count()).unwrap_or(0);
            let _ = input.set_selection_range(end, end);
        }
    });
    let options = choices.into_iter().map(|choice| view! { <option value=choice></option> }).collect_view();
    view! {
        <input
            class="price-editor"
            data-unkept=""
            style:left=pixels(web_sys::HtmlElement::offset_left)
            style:top=pixels(web_sys::HtmlElement::offset_top)
            style:min-width=pixels(web_sys::HtmlElement::offset_width)
            style:height=pixels(web_sys::HtmlElement::offset_height)
            node_ref=board.input
            autocomplete="off"
            spellcheck="false"
            list="price-choices"
            aria-label=format!("{}, row {}", column.heading(), place.at.row + 1)
            aria-invalid=move || board.said.with(|said| said.as_ref().is_some_and(|(_, wrong)| *wrong)).to_string()
            aria-describedby="price-status"
            prop:value=move || board.draft.get().unwrap_or_default()
            on:input:target=move |ev| board.draft.set(Some(ev.target().value()))
            on:keydown=move |ev| board.key_in_cell(&ev)
            on:blur=move |_| board.leave_cell()
        />
        <datalist id="price-choices">{options}</datalist>
    }
}

/// Where the person is, what stands there in full, and what is wrong with it.
#[component]
fn Status(board: Board) -> impl IntoView {
    let words = memo(move || {
        let at = board.place.get().at;
        let column = Column::ALL[at.column];
        let (text, fault) = board.rows.with(|rows| {
            let row = rows.get(at.row);
            (row.map(|row| row.cells[at.column].clone()), row.and_then(|row| row.fault.clone()))
        });
        let fault = fault.map(|fault| format!("Row {}: {fault}", at.row + 1));
        match (board.said.get(), fault) {
            (Some((said, false)), Some(fault)) => (format!("{said}. {fault}"), true),
            (Some(said), _) => said,
            _ if board.draft.with(Option::is_some) => (column.help().to_owned(), false),
            (None, Some(fault)) => (fault, true),
            (None, None) => {
                (format!("Row {}, {}: {}", at.row + 1, column.heading(), text.unwrap_or_default()), false)
            }
        }
    });
    view! {
        <p id="price-status" class="price-status" class:complaint=move || words.with(|words| words.1) aria-live="polite">{move || words.get().0}</p>
        <p id="price-grid-help" class="help">
            "Arrow keys go from cell to cell; typing or Enter changes one, Escape leaves it as it was. Copy and paste work with a spreadsheet. Alt with an arrow key moves the row; Ctrl with Z takes back the last change."
        </p>
    }
}

/// What can be done with the row that the person is on, and all its fields.
#[component]
fn Tools(board: Board) -> impl IntoView {
    let has_fields = RwSignal::new(false);
    let active = memo(move || {
        let row = board.place.get().at.row;
        board.rows.with(|rows| rows.get(row).map(|row| row.id.clone()))
    });
    let with_row = move |change: fn(Desk, List, EntryId)| {
        if let Some(id) = active.get_untracked() {
            board.change(|desk| change(desk, List::Offers, EntryId::new(id)));
        }
    };
    let row = move || board.place.get().at.row;
    let is_last = move || board.rows.with(Vec::len) <= row() + 1;
    view! {
        <div class="row" role="group" aria-label=move || format!("Row {}", row() + 1)>
            <button type="button" on:click=move |_| with_row(copy)>"Copy row"</button>
            <button type="button" aria-label="Move row up" disabled=move || row() == 0 on:click=move |_| board.shift_row(Shift::Up)>"↑"</button>
            <button type="button" aria-label="Move row down" disabled=is_last on:click=move |_| board.shift_row(Shift::Down)>"↓"</button>
            <button type="button" on:click=move |_| with_row(remove)>"Remove row"</button>
            <button type="button" aria-expanded=move || has_fields.get().to_string() on:click=move |_| has_fields.update(|on| *on = !*on)>"All fields of the row"</button>
        </div>
        {move || has_fields.get().then(|| active.get().map(|id| card(EntryId::new(id), false)))}
    }
}
