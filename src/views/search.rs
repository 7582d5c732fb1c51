//! The search for a buy mix, as the page lives on beside it.
//!
//! A short search answers at once. Where it leaves a proof open, a long one goes on in slices
//! between paints and shows what it has found by then. Whatever changes the question starts it
//! anew, and an answer to an older question is never shown.

use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::buy::{self, Mix, Need};
use lettertally::lists::Lists;

/// How long a slice of work may keep the page from painting, in milliseconds.
pub const SLICE: i64 = 10;
/// How long nothing must have changed before work begins that is not needed at once.
pub const CALM: i32 = 250;
/// How often a long search shows what it has found, in milliseconds.
pub const NEWS: i64 = 500;

/// What has to be bought, and from which price lists.
#[derive(Clone, PartialEq)]
pub struct Question {
    /// The letters.
    pub needs: Vec<Need>,
    /// The suppliers and offers; all that a mix depends on.
    pub lists: Lists,
}

impl Question {
    /// These needs, from a shop's lists.
    pub fn new(needs: Vec<Need>, lists: &Lists) -> Self {
        let (suppliers, offers) = (lists.suppliers.clone(), lists.offers.clone());
        Self { needs, lists: Lists { suppliers, offers, ..Lists::default() } }
    }
}

/// Tells work that goes on in slices whether it is still wanted: a later turn ends an earlier one.
#[derive(Clone, Copy)]
pub struct Turn(StoredValue<u32>);

impl Turn {
    /// No turn yet.
    pub fn new() -> Self {
        Self(StoredValue::new(0))
    }

    /// Begins the next turn.
    pub fn next(self) -> u32 {
        self.0.update_value(|turn| *turn = turn.wrapping_add(1));
        self.0.get_value()
    }

    /// Whether a later one has begun.
    pub fn is_past(self, turn: u32) -> bool {
        self.0.try_get_value() != Some(turn)
    }
}

/// Work in slices: between them the page paints and takes what is typed.
pub struct Slices {
    end: i64,
}

impl Slices {
    /// The first slice begins.
    pub fn begin() -> Self {
        Self { end: clock::milliseconds() + SLICE }
    }

    /// Lets the page go on where the slice is over, and begins the next.
    pub async fn rest(&mut self) {
        if clock::milliseconds() >= self.end {
            clock::pause(0).await;
            *self = Self::begin();
        }
    }
}

/// What a long search has found.
struct Found {
    asked: Question,
    mix: Mix,
    /// Whether it has ended.
    is_last: bool,
}

/// A search and what it has found.
#[derive(Clone, Copy)]
pub struct MixSearch {
    /// What is asked now.
    pub question: Memo<Question>,
    /// The best mix so far for it.
    pub mix: Memo<Mix>,
    /// Whether nothing better will be found: it is proved, or the search has ended.
    pub is_settled: Memo<bool>,
    /// Whether another search is asked the same and answers for this one.
    is_shared: Memo<bool>,
    found: RwSignal<Option<Found>>,
    turn: Turn,
    is_stopped: StoredValue<bool>,
    /// How far the long search has come, in parts of [`buy::solver::WHOLE`]; `None` while none
    /// goes on.
    progress: RwSignal<Option<u16>>,
}

impl MixSearch {
    /// A search that follows a question. Where `other` is asked the same, its answer counts.
    pub fn new(question: Memo<Question>, other: Option<Self>) -> Self {
        let is_shared = memo(move || {
            other.is_some_and(|other| question.with(|ours| other.question.with(|theirs| ours == theirs)))
        });
        let other = move || other.filter(|_| is_shared.get());
        let quick = memo(move || question.with(|asked| buy::solve_briefly(&asked.needs, &asked.lists)));
        let found = RwSignal::new(None::<Found>);
        let is_ours = move |found: &Found| question.with(|asked| found.asked == *asked);
        let mix = memo(move || match other() {
            Some(other) => other.mix.get(),
            None => {
                let better = found.with(|found| found.as_ref().filter(|f| is_ours(f)).map(|f| f.mix.clone()));
                better.unwrap_or_else(|| quick.get())
            }
        });
        let is_settled = memo(move || match other() {
            Some(other) => other.is_settled.get(),
            None => {
                let has_ended = found.with(|found| found.as_ref().is_some_and(|f| f.is_last && is_ours(f)));
                has_ended || mix.with(Mix::is_proved)
            }
        });
        Self {
            question,
            mix,
            is_settled,
            is_shared,
            found,
            turn: Turn::new(),
            is_stopped: StoredValue::new(false),
            progress: RwSignal::new(None),
        }
    }

    /// Goes on searching whenever the question has changed and a short search leaves it open.
    pub fn follow(self) {
        Effect::new(move |_| {
            self.question.with(|_| ());
            let is_shared = self.is_shared.get();
            let turn = self.turn.next();
            self.progress.set(None);
            if is_shared {
                return;
            }
            spawn_local(async move {
                clock::pause(CALM).await;
                if !self.turn.is_past(turn) && !self.is_settled.get_untracked() {
                    self.search(turn).await;
                }
            });
        });
    }

    /// How far a long search has come that is going on here, in parts of [`buy::solver::WHOLE`].
    pub fn progress(self) -> Option<u16> {
        self.progress.get()
    }

    /// Ends the long search; what it has found stays.
    pub fn stop(self) {
        self.is_stopped.set_value(true);
    }

    async fn search(self, turn: u32) {
        self.is_stopped.set_value(false);
        self.progress.set(Some(0));
        let asked = self.question.get_untracked();
        let mut search = buy::Search::new(&asked.needs, &asked.lists);
        let mut told = clock::milliseconds();
        while !search.is_done() && !self.is_stopped.get_value() {
            let end = clock::milliseconds() + SLICE;
            while !search.is_done() && clock::milliseconds() < end {
                search.work(2_000);
            }
            clock::pause(0).await;
            if self.turn.is_past(turn) {
                return;
            }
            self.progress.set(Some(search.progress()));
            if clock::milliseconds() - told > NEWS {
                told = clock::milliseconds();
                self.tell(&asked, search.mix(), false);
            }
        }
        self.progress.set(None);
        self.tell(&asked, search.mix(), true);
    }

    /// Shows what was found where it is better than what is shown, or the last.
    fn tell(self, asked: &Question, mix: Mix, is_last: bool) {
        let known = self.mix.get_untracked();
        let is_better =
            known.is_empty() || !mix.is_empty() && (mix.cost(), known.bound) < (known.cost(), mix.bound);
        if is_better || is_last {
            let mix = if is_better { mix } else { known };
            self.found.set(Some(Found { asked: asked.clone(), mix, is_last }));
        }
    }
}
