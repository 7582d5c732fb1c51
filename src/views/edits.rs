//! What the page does to what was entered: changes of orders, lists and settings, and undoing
//! the last of them.
//!
//! A change of an order counts at once. A change of lists or settings waits until it is known
//! which orders it touches; where it touches one, until the person saves it.

use super::state::{Desk, Screen, new_id};
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::touch::{Touch, touch};
use lettertally::book::{Book, Entry, Handed};
use lettertally::lists::{Lists, Settings};
use lettertally::order::{Design, Line, Order, fresh};
use lettertally::plan::Shop;
use lettertally::quote::Quote;
use lettertally::saved::Pending;
use std::sync::Arc;

/// Something that was done and can be undone.
#[derive(Clone)]
pub struct Act {
    /// What it was, as a sentence: "Removed order Marsh Otters."
    pub words: String,
    /// The screen on which it was done.
    screen: Screen,
    before: Entered,
    after: Entered,
}

/// Everything entered that an act can change.
#[derive(Clone, PartialEq)]
struct Entered {
    shop: Shop,
    held: Option<Pending>,
    book: Book,
}

impl Desk {
    /// Changes the open order.
    pub fn change_order(self, change: impl FnOnce(&mut Order)) {
        let mut order = self.order.get_untracked();
        change(&mut order);
        if self.order.with_untracked(|old| *old != order) {
            self.book.update(|book| book.replace(order, clock::now()));
        }
    }

    /// Changes a design of the open order.
    pub fn change_design(self, design: usize, change: impl FnOnce(&mut Design)) {
        self.change_order(|order| {
            if let Some(design) = order.designs.get_mut(design) {
                change(design);
            }
        });
    }

    /// Changes a line of the open order.
    pub fn change_line(self, design: usize, line: usize, change: impl FnOnce(&mut Line)) {
        self.change_design(design, |design| {
            if let Some(line) = design.lines.get_mut(line) {
                change(line);
            }
        });
    }

    /// Begins an order with one empty line on the first blank.
    pub fn begin_order(self) {
        let order = self.in_force.with_untracked(|shop| fresh::order(new_id(), &clock::today(), &shop.lists));
        self.book.update(|book| book.begin(order, clock::now()));
        self.screen.set(Screen::Order);
    }

    /// Begins an order like the open one.
    pub fn copy_order(self) {
        let order = self.order.get_untracked();
        let title = format!("{} (copy)", order.title);
        let copy = Order { id: new_id(), title, date: clock::today(), ..order };
        self.book.update(|book| book.begin(copy, clock::now()));
    }

    /// Notes that the customer holds this quote of the open order.
    pub fn hand_over(self, quote: &Quote) {
        let handed = Handed::new(quote, &clock::today());
        let id = self.order.with_untracked(|order| order.id.clone());
        let link = |entry: &Entry| entry.handed.as_ref().map(|handed| handed.link.clone());
        if self.book.with_untracked(|book| link(book.current())) != Some(handed.link.clone()) {
            self.book.update(|book| book.hand_over(&id, handed, clock::now()));
            // Who holds a quote was told its price: from then on it can be paid and pressed.
            let entry = self.book.with_untracked(|book| book.current().clone());
            self.tell_price(&entry);
        }
    }

    /// Notes that the customer holds no quote of the open order after all.
    pub fn take_back_quote(self) {
        let id = self.order.with_untracked(|order| order.id.clone());
        self.act("The quote counts as not handed over.".to_owned(), |desk| {
            desk.book.update(|book| book.take_back(&id, clock::now()));
        });
    }

    /// Changes the shop's lists.
    pub fn change_lists(self, change: impl FnOnce(&mut Lists)) {
        self.change_shop(|shop| change(&mut shop.lists));
    }

    /// Changes the shop's settings.
    pub fn change_settings(self, change: impl FnOnce(&mut Settings)) {
        self.change_shop(|shop| change(&mut shop.settings));
    }

    fn change_shop(self, change: impl FnOnce(&mut Shop)) {
        let before = self.shop.get_untracked();
        let mut after = before.clone();
        change(&mut after);
        if after == before {
            return;
        }
        batch(move || {
            if self.held.with_untracked(Option::is_none) {
                self.held.set(Some(Pending { lists: before.lists, settings: before.settings }));
            }
            self.shop.set(after);
        });
    }

    /// Lets the changes of lists and settings count.
    pub fn save_edits(self) {
        self.held.set(None);
    }

    /// Puts lists and settings back to what counts.
    pub fn drop_edits(self) {
        self.act("Dropped the changes that were not saved.".to_owned(), |desk| {
            if let Some(Pending { lists, settings }) = desk.held.get_untracked() {
                batch(move || {
                    desk.shop.update(|shop| {
                        shop.lists = lists;
                        shop.settings = settings;
                    });
                    desk.held.set(None);
                });
            }
        });
    }

    /// Begins anew with other lists and settings, which count at once; orders stay.
    pub fn begin_shop(self, shop: Shop) {
        batch(move || {
            self.held.set(None);
            self.shop.set(shop);
        });
    }

    /// Does something in a way that can be undone; says it in a sentence.
    pub fn act(self, words: String, change: impl FnOnce(Self)) {
        let before = self.entered();
        change(self);
        let screen = self.screen.get_untracked();
        self.done.set(Some(Act { words, screen, before, after: self.entered() }));
    }

    /// Removes something in a way that can be undone.
    pub fn remove(self, what: String, change: impl FnOnce(Self)) {
        self.act(format!("Removed {what}."), change);
    }

    /// Undoes what was done last.
    pub fn undo(self) {
        if let Some(Act { before, .. }) = self.done.get_untracked() {
            // What another phone may have heard of meanwhile is not unsaid but said not to count.
            let book = self.book.with_untracked(|book| book.back_to(&before.book, clock::now()));
            batch(move || {
                self.done.set(None);
                self.shop.set(before.shop);
                self.held.set(before.held);
                self.book.set(book);
            });
        }
    }

    fn entered(self) -> Entered {
        Entered {
            shop: self.shop.get_untracked(),
            held: self.held.get_untracked(),
            book: self.book.get_untracked(),
        }
    }

    /// Whatever is changed after an act is not to be lost by undoing it: then the offer ends. That
    /// waiting changes come to count is no change. It ends on another screen too, where nobody sees
    /// what it would undo.
    pub fn end_undo_with_the_next_change(self) {
        Effect::new(move |_| {
            self.shop.track();
            self.book.track();
            self.screen.track();
            let is_past = self.done.with_untracked(|done| {
                done.as_ref().is_some_and(|Act { after, screen, .. }| {
                    self.screen.with_untracked(|now| now != screen)
                        || self.shop.with_untracked(|now| *now != after.shop)
                        || self.book.with_untracked(|now| *now != after.book)
                })
            });
            if is_past {
                self.done.set(None);
            }
        });
    }
}

/// What a change of lists and settings would do to the orders.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reach {
    /// There is no change.
    Nothing,
    /// The orders are being looked through.
    Looking,
    /// These orders would have other figures.
    Touches(Vec<Touch>),
}

/// Looks through the orders whenever changes wait. Where they touch none, they count at once.
pub fn reach_of_edits(desk: Desk) -> RwSignal<Reach> {
    let waiting = move || desk.held.with(Option::is_some).then(|| desk.shop.get());
    let reach = reach(desk, derived(waiting));
    Effect::new(move |_| {
        if reach.with(|reach| matches!(reach, Reach::Touches(touches) if touches.is_empty())) {
            desk.save_edits();
        }
    });
    reach
}

/// Looks through the orders for what another shop than the one that counts would do to them;
/// `None` for no other.
pub fn reach(desk: Desk, after: Signal<Option<Shop>>) -> RwSignal<Reach> {
    /// How long nothing must have changed before the orders are looked through, in milliseconds.
    const CALM: i32 = 200;
    let reach = RwSignal::new(Reach::Nothing);
    let turn = StoredValue::new(0_u32);
    Effect::new(move |_| {
        let after = after.get();
        turn.update_value(|turn| *turn = turn.wrapping_add(1));
        let Some(after) = after else {
            reach.set(Reach::Nothing);
            return;
        };
        let this = turn.get_value();
        let is_stale = move || turn.try_get_value() != Some(this);
        if reach.with_untracked(|reach| *reach == Reach::Nothing) {
            reach.set(Reach::Looking);
        }
        spawn_local(async move {
            clock::pause(CALM).await;
            if is_stale() {
                return;
            }
            let before = desk.in_force.get_untracked();
            let mut touches = Vec::new();
            // The price of an order that is over is past.
            let entries: Vec<Arc<Entry>> = desk.book.with_untracked(|book| {
                book.entries().iter().filter(|entry| !entry.is_over()).cloned().collect()
            });
            for entry in entries {
                touches.extend(touch(&entry, &before, &after));
                clock::pause(0).await;
                if is_stale() {
                    return;
                }
            }
            reach.set(Reach::Touches(touches));
        });
    });
    reach
}
