//! Which quote a customer's yes is for.
//!
//! Owns the search of the book for it and what is said of it. Never writes it down itself.

use super::{Book, Entry, Handed};
use crate::order::OrderId;
use crate::quote::{Quote, number};
use crate::share::acceptance::Acceptance;
use std::fmt;

/// What a yes is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// The quote that the customer holds, figure by figure and letter by letter.
    Same {
        /// The order.
        order: OrderId,
        /// What the shop calls it.
        called: String,
        /// Since when it was accepted already.
        accepted: Option<String>,
    },
    /// A quote of the order that was followed by another one.
    Older {
        /// The order.
        order: OrderId,
        /// What the shop calls it.
        called: String,
        /// The day and the total of the quote that it is for.
        was: (String, String),
        /// The day and the total of the one handed over since; `None` where that was taken back.
        now: Option<(String, String)>,
    },
    /// A quote with the number of one of ours, but not as it was handed over.
    Changed {
        /// The order.
        order: OrderId,
        /// What the shop calls it.
        called: String,
    },
    /// No quote that this device knows.
    Unknown,
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Same { called, accepted: None, .. } => {
                write!(f, "{called}: the customer says yes. Same quote, unchanged.")
            }
            Self::Same { called, accepted: Some(on), .. } => {
                write!(f, "{called}: the customer said yes on {on} already. Same quote, unchanged.")
            }
            Self::Older { called, was: (on, total), now: Some((since, newer)), .. } => write!(
                f,
                "{called}: this yes is for an older quote, {total} of {on}. You have handed over another since: {newer} of {since}. Ask the customer to look at that one."
            ),
            Self::Older { called, was: (on, total), now: None, .. } => write!(
                f,
                "{called}: this yes is for the quote of {total} of {on}, which counts as not handed over."
            ),
            Self::Changed { called, .. } => write!(
                f,
                "{called}: this yes has the number of your quote, but is not for what you handed over. Send the customer the link again and ask for the new code."
            ),
            Self::Unknown => write!(
                f,
                "No quote that was handed over on this device has this code. If a colleague made the quote, open it there."
            ),
        }
    }
}

impl Book {
    /// Which quote a yes is for.
    ///
    /// ```
    /// use lettertally::book::{Book, Handed, Moment, answer::Answer};
    /// use lettertally::{lists::demo, plan::{Shop, plan}, quote::quote, share::acceptance::Acceptance};
    /// let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    /// let order = demo::order("2026-01-01");
    /// let quote = quote(&order, &shop, &plan(&order, &shop)).unwrap();
    /// let mut book = Book::only(order.clone(), Moment(1));
    /// assert_eq!(book.answered(&Acceptance::of(&quote)), Answer::Unknown);
    /// book.hand_over(&order.id, Handed::new(&quote, "2026-01-02"), Moment(2));
    /// assert!(matches!(book.answered(&Acceptance::of(&quote)), Answer::Same { accepted: None, .. }));
    /// ```
    pub fn answered(&self, yes: &Acceptance) -> Answer {
        let same_number = |entry: &Entry| {
            entry.quotes().any(|(_, quote)| number::are_of_one_order(&quote.number, &yes.number))
        };
        let found = self.entries().iter().find_map(|entry| answer_for(entry, yes));
        found.unwrap_or_else(|| match self.entries().iter().find(|entry| same_number(entry)) {
            Some(entry) => {
                Answer::Changed { order: entry.order.id.clone(), called: entry.order.called().to_owned() }
            }
            None => Answer::Unknown,
        })
    }
}

/// What a yes is for, if it is for any quote of this entry.
fn answer_for(entry: &Entry, yes: &Acceptance) -> Option<Answer> {
    let (handed, quote) = entry.quotes().find(|(_, quote)| Acceptance::of(quote).code == yes.code)?;
    let (order, called) = (entry.order.id.clone(), entry.order.called().to_owned());
    if entry.handed.as_ref() == Some(handed) {
        return Some(Answer::Same { order, called, accepted: handed.accepted.clone() });
    }
    let figures = |handed: &Handed, quote: &Quote| (handed.on.clone(), quote.currency.show(quote.total()));
    let now = entry.handed.as_ref().and_then(|now| Some(figures(now, &now.quote()?)));
    Some(Answer::Older { order, called, was: figures(handed, &quote), now })
}
