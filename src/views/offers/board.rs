//! What goes on in the grid: where the person is, what is typed, copied and pasted.
//!
//! One signal says where the person is. What is chosen is marked on the page itself, so that
//! moving about costs nothing per cell.

use super::super::parts::counted;
use super::super::state::Desk;
use super::cells::{Place, Spot, mark, spot_of};
use crate::views::prelude::*;
use leptos::html;
use lettertally::lists::block::{self, Pasted};
use lettertally::lists::entries::{List, Shift};
use lettertally::lists::finish_change::refinished;
use lettertally::lists::rows::{self, Column};
use lettertally::lists::{Lists, Offer};
use std::sync::Arc;

/// How many rows a page key goes.
const PAGE: usize = 10;
/// How many changes can be taken back one after the other.
const UNDONE: usize = 50;
/// The name under which an unreadable cell is told of to the rest of the page.
const FIELD: &str = "price-grid";

/// A row as it is shown.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct Row {
    /// The offer's id.
    pub id: String,
    /// What stands in each cell.
    pub cells: [String; 12],
    /// What keeps the offer from being bought.
    pub fault: Option<String>,
}

/// The grid and what is going on in it.
#[derive(Clone, Copy)]
pub struct Board {
    /// The state of the page.
    pub desk: Desk,
    /// The rows, in the order of the list.
    pub rows: Memo<Vec<Arc<Row>>>,
    /// Where the person is.
    pub place: RwSignal<Place>,
    /// What is being typed into the active cell.
    pub draft: RwSignal<Option<String>>,
    /// What is to be said below the grid: a complaint, or what was done.
    pub said: RwSignal<Option<(String, bool)>>,
    /// A block of which not everything can be read, until the person has decided.
    pub doubtful: RwSignal<Option<Pasted>>,
    /// The lists before each change made here, the last one at the end.
    past: StoredValue<Vec<Lists>>,
    /// The lists after the last of them.
    last: StoredValue<Lists>,
    /// Whether the grid has the focus once it is drawn anew.
    holds_focus: StoredValue<bool>,
    /// The rows on the page.
    pub body: NodeRef<html::Tbody>,
    /// The field over the active cell.
    pub input: NodeRef<html::Input>,
}

impl Board {
    /// Nobody has done anything yet; the first cell is the active one.
    pub fn new(desk: Desk) -> Self {
        let rows = memo(move || {
            desk.shop.with(|shop| {
                let row = |offer: &Offer| Row {
                    id: offer.id.to_string(),
                    cells: Column::ALL
                        .map(|column| rows::cell(offer, column, &shop.lists, &shop.settings.currency)),
                    fault: offer.fault().map(|fault| fault.to_string()),
                };
                shop.lists.offers.iter().map(|offer| Arc::new(row(offer))).collect::<Vec<_>>()
            })
        });
        Self {
            desk,
            rows,
            place: RwSignal::new(Place::default()),
            draft: RwSignal::new(None),
            said: RwSignal::new(None),
            doubtful: RwSignal::new(None),
            past: StoredValue::new(Vec::new()),
            last: StoredValue::new(Lists::default()),
            holds_focus: StoredValue::new(false),
            body: NodeRef::new(),
            input: NodeRef::new(),
        }
    }

    /// Marks what is chosen whenever it changes, and again once rows are drawn anew.
    pub fn follow(self, chosen: RwSignal<Vec<String>>) {
        Effect::new(move |_| {
            let place = self.place.get();
            self.mark(place);
        });
        Effect::new(move |_| {
            let ids = self.rows.with(|rows| {
                let (top, bottom) = self.place.get().rows();
                rows.iter().take(bottom + 1).skip(top).map(|row| row.id.clone()).collect()
            });
            chosen.set(ids);
        });
        Effect::new(move |_| {
            let last = self.rows.with(Vec::len).saturating_sub(1);
            // An offer that was just added or copied is where the person goes on.
            let fresh = self.desk.fresh.get_untracked();
            let at = self.rows.with(|rows| rows.iter().position(|row| row.id == fresh));
            match at {
                Some(row) => {
                    self.desk.fresh.set(String::new());
                    self.holds_focus.set_value(true);
                    self.place.set(Place::at(Spot { row, column: 0 }));
                }
                None if self.place.with_untracked(|place| place.at.row > last) => {
                    self.place.update(|place| *place = Place::at(Spot { row: last, ..place.at }));
                }
                None => {}
            }
            request_animation_frame(move || {
                if let Some(place) = self.place.try_get_untracked() {
                    self.mark(place);
                }
            });
        });
        on_cleanup(move || self.desk.set_unread(FIELD, None));
    }

    /// Does something to the lists that the key for undoing takes back.
    pub fn change(self, change: impl FnOnce(Desk)) {
        let lists = move || self.desk.shop.with_untracked(|shop| shop.lists.clone());
        let before = lists();
        change(self.desk);
        let after = lists();
        if before == after {
            return;
        }
        self.past.update_value(|past| {
            past.push(before);
            past.drain(..past.len().saturating_sub(UNDONE));
        });
        self.last.set_value(after);
    }

    /// Takes back the last change that was made here, where nothing else has been changed since.
    fn undo(self) {
        let is_current =
            self.desk.shop.with_untracked(|shop| self.last.with_value(|last| *last == shop.lists));
        let before = self.past.try_update_value(|past| if is_current { past.pop() } else { None });
        let Some(before) = before.flatten() else {
            let words = "Nothing to undo: the last change was not made in this grid";
            return self.said.set(Some((words.to_owned(), false)));
        };
        self.last.set_value(before.clone());
        self.desk.done.set(None);
        self.desk.change_lists(|lists| *lists = before);
        self.said.set(Some(("Took back the last change".to_owned(), false)));
    }

    fn mark(self, place: Place) {
        if let Some(body) = self.body.get_untracked() {
            mark(&body, place, self.holds_focus.get_value() && self.draft.with_untracked(Option::is_none));
        }
    }

    /// The active cell's column.
    pub fn column(self) -> Column {
        self.place.with_untracked(|place| Column::ALL[place.at.column])
    }

    /// Goes to a cell; `extends` keeps the other end of what is chosen.
    fn go(self, to: Spot, extends: bool) {
        self.holds_focus.set_value(true);
        self.said.set(None);
        self.place.update(|place| {
            place.at = to;
            if !extends {
                place.from = to;
            }
        });
    }

    /// A key over the grid, while no cell is typed into.
    pub fn key(self, ev: &web_sys::KeyboardEvent) {
        if self.draft.with_untracked(Option::is_some) {
            return;
        }
        self.holds_focus.set_value(true);
        let key = ev.key();
        let held = ev.ctrl_key() || ev.meta_key();
        let last = Spot { row: self.rows.with_untracked(Vec::len).saturating_sub(1), column: 11 };
        let at = self.place.get_untracked().at;
        let to = match key.as_str() {
            "ArrowUp" if ev.alt_key() => return self.shift(ev, Shift::Up),
            "ArrowDown" if ev.alt_key() => return self.shift(ev, Shift::Down),
            "ArrowUp" => Spot { row: at.row.saturating_sub(1), ..at },
            "ArrowDown" => Spot { row: at.row + 1, ..at },
            "ArrowLeft" => Spot { column: at.column.saturating_sub(1), ..at },
            "ArrowRight" => Spot { column: at.column + 1, ..at },
            "Home" => Spot { row: if held { 0 } else { at.row }, column: 0 },
            "End" => Spot { row: if held { last.row } else { at.row }, column: last.column },
            "PageUp" => Spot { row: at.row.saturating_sub(PAGE), ..at },
            "PageDown" => Spot { row: at.row + PAGE, ..at },
            "Enter" | "F2" => {
                ev.prevent_default();
                return self.edit_as_it_is();
            }
            "Delete" | "Backspace" => return self.clear(),
            "Escape" => return self.go(at, false),
            "z" if held && !ev.shift_key() => {
                ev.prevent_default();
                return self.undo();
            }
            "a" if held => {
                ev.prevent_default();
                return self.place.set(Place { from: Spot::default(), at: last });
            }
            _ if !held && !ev.alt_key() && key.chars().count() == 1 => {
                ev.prevent_default();
                return self.edit(key);
            }
            _ => return,
        };
        ev.prevent_default();
        self.go(Spot { row: to.row.min(last.row), column: to.column.min(last.column) }, ev.shift_key());
    }

    /// The mouse is pressed on a cell.
    pub fn press(self, ev: &web_sys::MouseEvent) {
        let Some(to) = ev.target().and_then(|target| spot_of(&target)) else { return };
        if self.draft.with_untracked(Option::is_some) && !self.commit() {
            ev.prevent_default();
            return;
        }
        self.go(to, ev.shift_key());
    }

    /// The mouse goes over a cell.
    pub fn drag(self, ev: &web_sys::MouseEvent) {
        if ev.buttons() == 1
            && self.draft.with_untracked(Option::is_none)
            && let Some(to) = ev.target().and_then(|target| spot_of(&target))
        {
            self.go(to, true);
        }
    }

    /// Begins to type into the active cell, with what is in it.
    pub fn edit_as_it_is(self) {
        let at = self.place.get_untracked().at;
        let text = self.rows.with_untracked(|rows| rows.get(at.row).map(|row| row.cells[at.column].clone()));
        if self.draft.with_untracked(Option::is_none) {
            self.edit(text.unwrap_or_default());
        }
    }

    fn edit(self, text: String) {
        self.said.set(None);
        self.place.update(|place| place.from = place.at);
        self.draft.set(Some(text));
    }

    /// Puts what is typed into the cell; `false` where it cannot be read, and stays to be mended.
    pub fn commit(self) -> bool {
        let Some(text) = self.draft.get_untracked() else { return true };
        let (row, column) = (self.place.get_untracked().at.row, self.column());
        let set = self.desk.shop.with_untracked(|shop| {
            let mut offer = shop.lists.offers.get(row)?.clone();
            let set = rows::set(&mut offer, column, &text, &shop.lists, &shop.settings.currency);
            Some(set.map(|()| offer))
        });
        match set {
            Some(Err(error)) => {
                let complaint = format!("row {}, {}: {error}", row + 1, column.heading());
                self.desk.set_unread(FIELD, Some(complaint.clone()));
                self.said.set(Some((complaint, true)));
                false
            }
            Some(Ok(offer)) => {
                self.end_editing();
                let moved = self
                    .desk
                    .shop
                    .with_untracked(|shop| refinished(shop.lists.offers.get(row)?, &offer, &shop.lists));
                let take = move |desk: Desk| {
                    desk.change_lists(|lists| {
                        if let Some(old) = lists.offers.get_mut(row) {
                            *old = offer;
                        }
                    });
                };
                self.change(|desk| match moved {
                    Some(moved) => desk.act(moved.to_string(), take),
                    None => take(desk),
                });
                true
            }
            None => {
                self.end_editing();
                true
            }
        }
    }

    /// The cell that is typed into was left for something else on the page.
    pub fn leave_cell(self) {
        if self.draft.with_untracked(Option::is_some) {
            self.holds_focus.set_value(false);
            self.commit();
        }
    }

    fn end_editing(self) {
        self.draft.set(None);
        self.said.set(None);
        self.desk.set_unread(FIELD, None);
    }

    /// A key in the cell that is typed into.
    pub fn key_in_cell(self, ev: &web_sys::KeyboardEvent) {
        ev.stop_propagation();
        let at = self.place.get_untracked().at;
        let last = self.rows.with_untracked(Vec::len).saturating_sub(1);
        let to = match (ev.key().as_str(), ev.shift_key()) {
            ("Escape", _) => {
                self.end_editing();
                return self.go(at, false);
            }
            ("Enter", false) => Spot { row: (at.row + 1).min(last), ..at },
            ("Enter", true) => Spot { row: at.row.saturating_sub(1), ..at },
            ("Tab", false) => Spot { column: (at.column + 1).min(11), ..at },
            ("Tab", true) => Spot { column: at.column.saturating_sub(1), ..at },
            _ => return,
        };
        ev.prevent_default();
        if self.commit() {
            self.go(to, false);
        }
    }

    fn shift(self, ev: &web_sys::KeyboardEvent, shift: Shift) {
        ev.prevent_default();
        self.shift_row(shift);
    }

    /// Moves the active row, and goes along.
    pub fn shift_row(self, shift: Shift) {
        let at = self.place.get_untracked().at;
        let last = self.rows.with_untracked(Vec::len).saturating_sub(1);
        let row = match shift {
            Shift::Up => at.row.saturating_sub(1),
            Shift::Down => (at.row + 1).min(last),
        };
        if let Some(id) = self.active_id() {
            self.change(|desk| desk.change_lists(|lists| List::Offers.shift(lists, &id, shift)));
            self.go(Spot { row, ..at }, false);
        }
    }

    fn active_id(self) -> Option<String> {
        let row = self.place.get_untracked().at.row;
        self.rows.with_untracked(|rows| rows.get(row).map(|row| row.id.clone()))
    }

    /// Copies what is chosen.
    pub fn copy(self, ev: &web_sys::ClipboardEvent) {
        if self.draft.with_untracked(Option::is_some) {
            return;
        }
        let place = self.place.get_untracked();
        let ((top, bottom), (left, right)) = (place.rows(), place.columns());
        let block: Vec<Vec<String>> = self.rows.with_untracked(|rows| {
            let rows = rows.iter().take(bottom + 1).skip(top);
            rows.map(|row| row.cells[left..=right].to_vec()).collect()
        });
        let text = block::write(&block);
        if ev.clipboard_data().is_some_and(|data| data.set_data("text/plain", &text).is_ok()) {
            ev.prevent_default();
            let cells = (bottom + 1 - top) * (right + 1 - left);
            self.said.set(Some((format!("Copied {}", counted(cells, "cell", "cells")), false)));
        }
    }

    /// Pastes a block from the first chosen cell on.
    pub fn paste(self, ev: &web_sys::ClipboardEvent) {
        if self.draft.with_untracked(Option::is_some) {
            return;
        }
        let text = ev.clipboard_data().and_then(|data| data.get_data("text/plain").ok());
        let mut block = block::read(&text.unwrap_or_default());
        ev.prevent_default();
        let place = self.place.get_untracked();
        let ((top, bottom), (left, right)) = (place.rows(), place.columns());
        // One cell fills all that is chosen.
        if let [row] = block.as_slice()
            && let [cell] = row.as_slice()
        {
            block = vec![vec![cell.clone(); right + 1 - left]; bottom + 1 - top];
        }
        let pasted = self.desk.shop.with_untracked(|shop| {
            block::paste(&shop.lists, top, Column::ALL[left], &block, &shop.settings.currency)
        });
        self.offer(pasted);
    }

    /// Empties what is chosen, where a cell may be empty.
    fn clear(self) {
        let place = self.place.get_untracked();
        let ((top, bottom), (left, right)) = (place.rows(), place.columns());
        let cleared = self.desk.shop.with_untracked(|shop| {
            block::clear(&shop.lists, top..=bottom, &Column::ALL[left..=right], &shop.settings.currency)
        });
        self.offer(cleared);
    }

    /// Takes a block where all of it can be read; else asks.
    fn offer(self, pasted: Pasted) {
        if pasted.faults.is_empty() {
            self.take(pasted);
        } else {
            self.said.set(None);
            self.doubtful.set(Some(pasted));
        }
    }

    /// Puts a block on the list.
    pub fn take(self, pasted: Pasted) {
        let words = match (pasted.changed, pasted.added) {
            (0, 0) => "Nothing has changed".to_owned(),
            (changed, 0) => format!("Changed {}", counted(changed, "offer", "offers")),
            (0, added) => format!("Added {}", counted(added, "offer", "offers")),
            (changed, added) => format!("Changed {}, added {added}", counted(changed, "offer", "offers")),
        };
        self.doubtful.set(None);
        if pasted.changed + pasted.added > 0 {
            self.change(|desk| {
                desk.act(format!("{words}."), |desk| {
                    desk.change_lists(|lists: &mut Lists| *lists = pasted.lists)
                });
            });
        }
        self.said.set(Some((words, false)));
    }
}
