//! What is typed shows at once; what follows from it is worked out after the frame that shows it.
//!
//! On a slow phone a price takes longer than a letter may. Nothing else that somebody does can come
//! between the two: whatever it is first has what was typed taken up, so no tap meets an old price.

use super::search::{CALM, Turn};
use crate::browser::{clock, input};
use crate::views::prelude::*;
use leptos::task::spawn_local;

/// Work of the page that the next key may find going on without anybody feeling it, in
/// milliseconds.
const UNFELT: i32 = 50;

type Change = Box<dyn FnOnce()>;

/// What was typed and is not taken up yet.
#[derive(Clone, Copy)]
pub struct Typing {
    waiting: StoredValue<Vec<Change>, LocalStorage>,
    turn: Turn,
    /// How long the page was at work on what followed last, in milliseconds.
    took: StoredValue<i32>,
}

impl Typing {
    /// Nothing typed yet.
    pub fn new() -> Self {
        let typing = Self {
            waiting: StoredValue::new_local(Vec::new()),
            turn: Turn::new(),
            took: StoredValue::new(0),
        };
        input::before_acts(move || typing.settle());
        typing
    }

    /// Makes this change once the browser has shown what was typed.
    ///
    /// While keys follow each other faster than the page can work out what follows, it waits for as
    /// long as that takes, so that the next key finds the page free.
    pub fn then(self, change: impl FnOnce() + 'static) {
        // It finds the state as it would have in the field's own handler.
        let owner = Owner::current().unwrap_or_default();
        self.waiting.update_value(|waiting| waiting.push(Box::new(move || owner.with(change))));
        input::mark_typing(true);
        if !input::is_seen() {
            return self.settle();
        }
        let turn = self.turn.next();
        spawn_local(async move {
            clock::frame().await;
            let took = self.took.get_value();
            if took > UNFELT {
                clock::pause(took.min(CALM)).await;
            }
            if !self.turn.is_past(turn) {
                self.settle_and_time().await;
            }
        });
    }

    fn settle(self) {
        let waiting = self.waiting.try_update_value(std::mem::take).unwrap_or_default();
        if !waiting.is_empty() {
            waiting.into_iter().for_each(|change| change());
            input::mark_typing(false);
        }
    }

    async fn settle_and_time(self) {
        let began = clock::milliseconds();
        self.settle();
        clock::pause(0).await;
        self.took.set_value(i32::try_from(clock::milliseconds() - began).unwrap_or(CALM));
    }
}
