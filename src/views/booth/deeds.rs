//! What a person does at the booth, written down as facts; the shelf follows.

use super::super::state::Desk;
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::fact::{FactId, Promise, What};
use lettertally::book::life::Life;
use lettertally::book::{Book, Entry, Moment};
use lettertally::booth::making::{Making, cost_each, makings, pressing};
use lettertally::order::OrderId;
use lettertally::plan::{self, Plan};

/// How long a count on the shelf must stand still before it is written down, in milliseconds.
const CALM: i32 = 1_500;

impl Desk {
    /// Changes the book and lets the shelf follow. What a person counted since is written first.
    pub fn note(self, change: impl FnOnce(&mut Book, Moment)) {
        let mut book = self.book.get_untracked();
        let shelf = self.shop.with_untracked(|shop| shop.shelf.clone());
        book.account_for(&shelf, clock::now());
        change(&mut book, clock::now());
        let after = book.shelf(&shelf);
        batch(move || {
            self.book.set(book);
            if after != shelf {
                self.shop.update(|shop| shop.shelf = after);
            }
        });
    }

    /// Writes down what happened to an order.
    pub fn happened(self, id: &OrderId, what: What) {
        self.note(|book, now| drop(book.note(id, what, now)));
    }

    /// Writes down that something about an order does not count.
    pub fn undo_fact(self, id: &OrderId, fact: FactId) {
        self.happened(id, What::Undone(fact));
    }

    /// Writes down that the customer was told the price as it is now; `false` where there is none.
    pub fn tell_price(self, entry: &Entry) -> bool {
        let plan = self.in_force.with_untracked(|shop| plan::plan(&entry.order, shop));
        let is_whole = !plan.is_incomplete();
        let Some(priced) = plan.priced.ok().filter(|_| is_whole) else { return false };
        let garments = u32::try_from(priced.garments()).unwrap_or(u32::MAX);
        let promise = Promise { total: priced.total(), tax: priced.tax, garments };
        if Life::of(entry).promise != Some(promise) {
            self.happened(&entry.order.id, What::Quoted(promise));
        }
        true
    }

    /// Writes down that a garment was ruined.
    pub fn spoiled(self, entry: &Entry, making: &Making) {
        let each = self.in_force.with_untracked(|shop| {
            cost_each(&plan::plan(&entry.order, shop), making, &shop.settings.currency)
        });
        self.happened(&entry.order.id, What::Spoiled(Box::new(making.made(1, each))));
    }

    /// Writes down, of each of these garments, how many are pressed now: more than before, or
    /// fewer where a tick is taken back.
    pub fn set_pressed(self, entry: &Entry, counts: &[(&Making, u32)]) {
        let facts: Vec<What> = self.in_force.with_untracked(|shop| {
            // What they cost is asked only where one more is made.
            let is_more = counts.iter().any(|(making, count)| *count > making.pressed);
            let plan = is_more.then(|| plan::plan(&entry.order, shop));
            let each = |making: &Making| {
                let cost = |plan: &Plan| cost_each(plan, making, &shop.settings.currency);
                plan.as_ref().map(cost).unwrap_or_default()
            };
            let facts = counts.iter().map(|(making, count)| pressing(entry, making, *count, each(making)));
            facts.flatten().collect()
        });
        if !facts.is_empty() {
            let id = &entry.order.id;
            self.note(|book, now| facts.into_iter().for_each(|what| drop(book.note(id, what, now))));
        }
    }

    /// The garments of an order.
    pub fn makings(self, entry: &Entry) -> Vec<Making> {
        self.in_force.with(|shop| makings(entry, &shop.lists, &shop.settings))
    }

    /// Writes down as counted whatever was changed on the shelf by hand, a while after.
    pub fn keep_ledger(self) {
        let turn = StoredValue::new(0_u32);
        let shelf = memo(move || self.shop.with(|shop| shop.shelf.clone()));
        Effect::new(move |_| {
            shelf.with(|_| ());
            turn.update_value(|turn| *turn = turn.wrapping_add(1));
            let this = turn.get_value();
            if self.is_closed() {
                return;
            }
            spawn_local(async move {
                clock::pause(CALM).await;
                if turn.try_get_value() == Some(this) {
                    let mut book = self.book.get_untracked();
                    if shelf.with_untracked(|shelf| book.account_for(shelf, clock::now())) {
                        self.book.set(book);
                    }
                }
            });
        });
    }
}
