//! The booth: what can be made now, what is pressed next, how the day went, what to buy again.
//!
//! Owns the questions of a day between a queue of customers and a shelf that is what came in the
//! van. Answers them from the book, the lists and the settings; what it says is never kept, only
//! the facts that follow from a person's deeds are.

pub mod again;
pub mod at_hand;
pub mod close;
pub mod finishes;
pub mod making;
pub mod offer;
pub mod queue;
pub mod rows;
pub mod selection;
