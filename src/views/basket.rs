//! What is bought at once: the open order, others ticked beside it, and what the shelf lacks.
//!
//! Holds the ticks, the search for all of it, why its mix is the best, and what buying order by
//! order would cost. None of this is kept: it is asked anew on the day of buying. The prices do
//! not look here: each order's follows from its own letters.

use super::search::{CALM, MixSearch, Question, Turn};
use crate::browser::clock;
use crate::views::prelude::*;
use leptos::task::spawn_local;
use lettertally::book::Book;
use lettertally::buy::explain::{Explainer, Explanation};
use lettertally::buy::{self, Mix, Need};
use lettertally::cost;
use lettertally::cost::OneByOne;
use lettertally::money::Cents;
use lettertally::order::{Order, OrderId};
use lettertally::plan::{self, Letters, Shop};

/// An explanation of a mix.
#[derive(Clone, PartialEq)]
pub struct Explained {
    /// The mix that is explained.
    pub mix: Mix,
    /// Why it is the best.
    pub why: Explanation,
    /// What it would cost order by order, if it is for several and that is known.
    pub one_by_one: Option<Cents>,
    /// What it would cost with nothing for the shelf, if something is wanted there and that is
    /// known.
    pub without_restock: Option<Cents>,
    /// Whether more is being found out.
    pub is_whole: bool,
}

/// What is bought at once, and what is known of it.
#[derive(Clone, Copy)]
pub struct Basket {
    /// The orders to buy together with the open one.
    pub with: RwSignal<Vec<OrderId>>,
    /// Whether the shelf is filled to what is wanted there.
    pub restock: RwSignal<bool>,
    /// The orders' letters.
    pub contents: Memo<cost::Basket>,
    /// The search for the mix.
    pub search: MixSearch,
    /// The open order's own letters.
    letters: Memo<Letters>,
    explained: RwSignal<Option<(Question, Explained)>>,
    turn: Turn,
}

impl Basket {
    /// The open order's letters, alone and with the shelf's wanted ones to begin with.
    pub fn new(shop: Memo<Shop>, book: RwSignal<Book>, letters: Memo<Letters>, own: MixSearch) -> Self {
        let (with, restock) = (RwSignal::new(Vec::new()), RwSignal::new(true));
        let others = memo(move || {
            book.with(|book| with.with(|with| companions(book, with).cloned().collect::<Vec<_>>()))
        });
        let contents = memo(move || {
            let own = letters.with(|letters| letters.tally.clone());
            let tallies = shop.with(|shop| {
                let tally = |order: &Order| plan::letters(order, shop).tally;
                others.with(|others| [own].into_iter().chain(others.iter().map(tally)).collect())
            });
            cost::Basket { tallies, restock: restock.get() }
        });
        let question = memo(move || {
            let needs = |shop: &Shop| contents.with(|contents| contents.needs(&shop.shelf));
            shop.with(|shop| Question::new(needs(shop), &shop.lists))
        });
        let search = MixSearch::new(question, Some(own));
        Self { with, restock, contents, search, letters, explained: RwSignal::new(None), turn: Turn::new() }
    }

    /// Goes on searching and explaining whenever something has changed, as long as whoever asks for
    /// it is shown.
    pub fn follow(self, order: Memo<Order>, shop: Memo<Shop>) {
        self.search.follow();
        Effect::new(move |_| {
            self.search.mix.with(|_| ());
            self.search.question.with(|_| ());
            order.with(|_| ());
            let turn = self.turn.next();
            if !self.search.is_settled.get() {
                return;
            }
            spawn_local(async move {
                clock::pause(CALM).await;
                if !self.turn.is_past(turn) {
                    self.explain(turn, order, shop).await;
                }
            });
        });
    }

    /// Whether it is more than what the open order itself needs.
    pub fn is_more_than_the_order(self, own: MixSearch) -> bool {
        self.search.question.with(|ours| own.question.with(|own| ours.needs != own.needs))
    }

    /// Why the mix is the best, and whether that is of what is needed now or of what was needed
    /// before.
    pub fn explanation(self) -> Option<(Explained, bool)> {
        self.explained.with(|explained| {
            let (asked, found) = explained.as_ref()?;
            let is_current = self.search.question.with(|question| asked == question);
            Some((found.clone(), is_current))
        })
    }

    async fn explain(self, turn: u32, order: Memo<Order>, shop: Memo<Shop>) {
        let (asked, mix) = (self.search.question.get_untracked(), self.search.mix.get_untracked());
        let contents = self.contents.get_untracked();
        let (order, shop) = (order.get_untracked(), shop.get_untracked());
        let one_more = self.letters.with_untracked(|letters| one_more(&contents, letters, &order, &shop));
        let mut explainer = Explainer::new(&mix, &asked.needs, &one_more, &asked.lists);
        let mut found = Explained {
            mix,
            why: Explanation::default(),
            one_by_one: None,
            without_restock: None,
            is_whole: false,
        };
        let several = contents.tallies.len() > 1;
        let mut one_by_one = OneByOne::new(&contents, &shop.shelf, &asked.lists);
        while several && !one_by_one.is_done() {
            one_by_one.step();
            clock::pause(0).await;
            if self.turn.is_past(turn) {
                return;
            }
        }
        found.one_by_one = one_by_one.cost().filter(|_| several);
        if contents.restock && shop.shelf.is_anything_wanted() && found.mix.is_proved() {
            let without = cost::Basket { restock: false, ..contents.clone() };
            let without = buy::solve_briefly(&without.needs(&shop.shelf), &asked.lists);
            found.without_restock = without.is_proved().then(|| without.cost());
        }
        let mut known = None;
        while !found.is_whole {
            explainer.step();
            clock::pause(0).await;
            if self.turn.is_past(turn) {
                return;
            }
            // What is known is shown part by part, not line by line.
            let why = explainer.explanation();
            let parts = (explainer.is_whole_known(), why.families.len(), explainer.is_done());
            if parts.0 && known != Some(parts) {
                known = Some(parts);
                found.why = why;
                found.is_whole = parts.2;
                self.explained.set(Some((asked.clone(), found.clone())));
            }
        }
    }
}

/// The orders that are bought together with the open one, in the book's order.
fn companions<'a>(book: &'a Book, with: &'a [OrderId]) -> impl Iterator<Item = &'a Order> {
    let orders = book.entries().iter().map(|entry| &entry.order);
    orders.filter(move |order| order.id != *book.open() && with.contains(&order.id))
}

/// What would be needed with one garment more in the open order.
fn one_more(contents: &cost::Basket, letters: &Letters, order: &Order, shop: &Shop) -> Vec<Need> {
    let mut contents = contents.clone();
    if let Some(own) = contents.tallies.first_mut() {
        *own = letters.with_one_more(order, shop);
    }
    contents.needs(&shop.shelf)
}
