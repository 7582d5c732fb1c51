//! Another finish for an offer: which of its colours stay.
//!
//! Owns the rule, and the words for what it did. Never chooses a colour that the offer did not
//! have.

use super::rows::{colours, finishes, word};
use super::{ColourId, FinishId, Lists, Offer};
use std::fmt;

/// Another finish: the colours that it has too stay, by id or else by name.
pub(super) fn refinish(offer: &mut Offer, finish: FinishId, lists: &Lists) {
    offer.colours =
        offer.colours.iter().filter_map(|colour| same_in(offer, colour, &finish, lists)).collect();
    offer.finish = finish;
}

/// An offer's colour as another finish has it.
fn same_in(offer: &Offer, colour: &ColourId, finish: &FinishId, lists: &Lists) -> Option<ColourId> {
    let (old, new) = (colours(lists, &offer.finish), colours(lists, finish));
    let by_id = format!("#{colour}");
    new.find(&by_id).or_else(|_| new.find(&old.word(colour.as_str()))).ok().map(ColourId::new)
}

/// What became of an offer's colours when it got another finish.
///
/// ```
/// use lettertally::lists::{demo, finish_change::refinished, rows::{self, Column}};
/// use lettertally::money::Currency;
/// let lists = demo::lists();
/// let mut offer = lists.offers[0].clone();
/// rows::set(&mut offer, Column::Finish, "glitter film", &lists, &Currency::usd()).unwrap();
/// let moved = refinished(&lists.offers[0], &offer, &lists).unwrap();
/// assert_eq!(moved.to_string(), "The finish is now glitter film: kept red, gold; dropped white, navy.");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refinished {
    /// The name of the finish.
    pub finish: String,
    /// The colours that it has too.
    pub kept: Vec<String>,
    /// The colours that it does not have.
    pub dropped: Vec<String>,
}

impl fmt::Display for Refinished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { finish, kept, dropped } = self;
        write!(f, "The finish is now {finish}: ")?;
        match (kept.is_empty(), dropped.is_empty()) {
            (true, true) => write!(f, "no colour is ticked."),
            (false, true) => write!(f, "every colour is kept."),
            (true, false) => write!(f, "it has none of {}, so no colour is ticked.", dropped.join(", ")),
            (false, false) => write!(f, "kept {}; dropped {}.", kept.join(", "), dropped.join(", ")),
        }
    }
}

/// What became of an offer's colours between two states of it; `None` where the finish is the same.
pub fn refinished(before: &Offer, after: &Offer, lists: &Lists) -> Option<Refinished> {
    if before.finish == after.finish {
        return None;
    }
    let names = colours(lists, &before.finish);
    let is_kept = |colour: &&ColourId| {
        same_in(before, colour, &after.finish, lists).is_some_and(|same| after.colours.contains(&same))
    };
    let (kept, dropped): (Vec<&ColourId>, Vec<&ColourId>) = before.colours.iter().partition(is_kept);
    let words = |ids: Vec<&ColourId>| ids.into_iter().map(|id| names.word(id.as_str())).collect();
    let finish = word(&finishes(lists), after.finish.as_str());
    Some(Refinished { finish, kept: words(kept), dropped: words(dropped) })
}
