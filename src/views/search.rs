//! The search for the buy mix, as the page lives on beside it.
//!
//! A short search answers at once. Where it leaves a proof open, a long one goes on in slices
//! between paints; then come the explanation and the sweep over run sizes. Whatever changes the
//! question starts all of it anew, and an answer to an older question is never shown.

use crate::browser::clock;
use leptos::prelude::*;
use leptos::task::spawn_local;
use lettertally::buy::explain::{Explainer, Explanation};
use lettertally::buy::{self, Mix, Need};
use lettertally::cost::RunPrice;
use lettertally::cost::letters::needs;
use lettertally::cost::sweep::Sweep;
use lettertally::lists::Lists;
use lettertally::money::Cents;
use lettertally::order::Order;
use lettertally::plan::{Letters, Plan, Shop};

/// How long a slice of work may keep the page from painting, in milliseconds.
const SLICE: i64 = 10;
/// How long nothing must have changed before work begins that is not needed at once.
const CALM: i32 = 250;

/// What has to be bought, and from which price lists.
#[derive(Clone, PartialEq)]
struct Question {
    needs: Vec<Need>,
    lists: Lists,
}

/// An explanation of a mix.
#[derive(Clone, PartialEq)]
pub struct Explained {
    /// What the mix costs that is explained.
    pub cost: Cents,
    /// Why it is the best.
    pub why: Explanation,
    /// Whether it is the mix for what is needed now.
    pub is_current: bool,
}

/// The search and what it has found.
#[derive(Clone, Copy)]
pub struct MixSearch {
    question: Memo<Question>,
    found: RwSignal<Option<(Question, Mix)>>,
    /// Grows with every new question and every stop; work for an older number ends.
    turn: StoredValue<u32>,
    /// The best mix so far for what is needed now.
    pub mix: Memo<Mix>,
    /// Whether a long search is going on.
    pub is_working: RwSignal<bool>,
    /// Why a mix is the best, and the question that it answers.
    explained: RwSignal<Option<(Question, Explained)>>,
    /// The price at each run size, as far as it is known.
    pub runs: RwSignal<Vec<RunPrice>>,
}

impl MixSearch {
    /// A search that follows the letters of the open order.
    pub fn new(letters: Memo<Letters>, shop: Memo<Shop>) -> Self {
        let question = Memo::new(move |_| Question {
            needs: letters.with(|letters| letters.needs.clone()),
            lists: shop.with(|shop| Lists {
                suppliers: shop.lists.suppliers.clone(),
                offers: shop.lists.offers.clone(),
                ..Lists::default()
            }),
        });
        let quick = Memo::new(move |_| {
            question.with(|question| buy::solve_briefly(&question.needs, &question.lists))
        });
        let found = RwSignal::new(None::<(Question, Mix)>);
        let mix = Memo::new(move |_| {
            let better = found.with(|found| {
                let (asked, mix) = found.as_ref()?;
                question.with(|question| asked == question).then(|| mix.clone())
            });
            better.unwrap_or_else(|| quick.get())
        });
        Self {
            question,
            found,
            turn: StoredValue::new(0),
            mix,
            is_working: RwSignal::new(false),
            explained: RwSignal::new(None),
            runs: RwSignal::new(Vec::new()),
        }
    }

    /// Goes on searching, explaining and sweeping whenever the plan has changed.
    pub fn follow(self, order: Memo<Order>, letters: Memo<Letters>, plan: Memo<Plan>, shop: Memo<Shop>) {
        Effect::new(move |_| {
            plan.with(|_| ());
            let turn = self.next_turn();
            self.is_working.set(false);
            spawn_local(async move {
                clock::pause(CALM).await;
                if self.is_stale(turn) {
                    return;
                }
                if !self.mix.with_untracked(Mix::is_proved) {
                    // A better mix changes the plan, which comes back here with the next turn.
                    return self.search(turn).await;
                }
                self.explain(turn, order, letters, shop).await;
                self.sweep(turn, plan, shop).await;
            });
        });
    }

    /// Why the mix is the best: for what is needed now, or, until that is known, for what was
    /// needed before.
    pub fn explanation(self) -> Option<Explained> {
        self.explained.with(|explained| {
            let (asked, found) = explained.as_ref()?;
            let is_current = self.question.with(|question| asked == question);
            Some(Explained { is_current, ..found.clone() })
        })
    }

    /// Ends the long search; what it has found stays.
    pub fn stop(self) {
        self.next_turn();
        self.is_working.set(false);
    }

    fn next_turn(self) -> u32 {
        self.turn.update_value(|turn| *turn = turn.wrapping_add(1));
        self.turn.get_value()
    }

    fn is_stale(self, turn: u32) -> bool {
        self.turn.try_get_value() != Some(turn)
    }

    async fn search(self, turn: u32) {
        self.is_working.set(true);
        let question = self.question.get_untracked();
        let mut search = buy::Search::new(&question.needs, &question.lists);
        while !search.is_done() {
            let end = clock::milliseconds() + SLICE;
            while !search.is_done() && clock::milliseconds() < end {
                search.work(2_000);
            }
            clock::pause(0).await;
            if self.is_stale(turn) {
                return;
            }
        }
        self.is_working.set(false);
        self.found.set(Some((question, search.mix())));
    }

    async fn explain(self, turn: u32, order: Memo<Order>, letters: Memo<Letters>, shop: Memo<Shop>) {
        let question = self.question.get_untracked();
        let one_more = order.with_untracked(|order| {
            shop.with_untracked(|shop| {
                letters.with_untracked(|letters| needs(&letters.with_one_more(order, shop), &shop.shelf))
            })
        });
        let mix = self.mix.get_untracked();
        let mut explainer = Explainer::new(&mix, &question.needs, &one_more, &question.lists);
        while !explainer.is_done() {
            explainer.step();
            clock::pause(0).await;
            if self.is_stale(turn) {
                return;
            }
        }
        let explained = Explained { cost: mix.cost(), why: explainer.explanation(), is_current: true };
        self.explained.set(Some((question, explained)));
    }

    async fn sweep(self, turn: u32, plan: Memo<Plan>, shop: Memo<Shop>) {
        let mut sweep = shop.with_untracked(|shop| {
            plan.with_untracked(|plan| {
                Sweep::new(&plan.tally, &plan.sheet, plan.aim, &shop.lists, &shop.settings)
            })
        });
        while !sweep.is_done() {
            let end = clock::milliseconds() + SLICE;
            while !sweep.is_done() && clock::milliseconds() < end {
                sweep.step();
            }
            clock::pause(0).await;
            if self.is_stale(turn) {
                return;
            }
        }
        self.runs.set(sweep.runs().to_vec());
    }
}
