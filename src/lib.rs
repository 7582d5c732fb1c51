//! Lettertally's core: from the words on a shirt to the letters, the buying list and the price.
//!
//! No browser in here. Data flows down this list; a room uses those above it, never those below:
//!
//! * [`number`], [`money`], [`length`], [`glyph`]: what figures and letters are
//! * [`lists`]: what can be bought and pressed
//! * [`exchange`]: price lists as files
//! * [`order`]: what was asked for
//! * [`tally`]: the letters it takes
//! * [`layout`]: where they go and whether they fit
//! * [`shelf`]: the letters at hand
//! * [`buy`]: the cheapest way to buy the rest
//! * [`press`]: the work of pressing them
//! * [`cost`]: what it all costs, then the price
//! * [`problem`]: what can be wrong, as a person reads it
//! * [`plan`]: the one facade: everything entered in, everything shown out
//! * [`quote`]: what a customer may see
//! * [`share`]: links to others
//! * [`book`]: the orders, and what happened to them and to the shelf
//! * [`booth`]: what can be made now, how the day went, what to buy again
//! * [`event`]: what to bring so that nobody is turned away
//! * [`saved`]: what is kept on the device, and its backup
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

pub mod book;
pub mod booth;
pub mod buy;
pub mod cost;
pub mod event;
pub mod exchange;
pub mod glyph;
pub mod layout;
pub mod length;
pub mod lists;
pub mod money;
pub mod number;
pub mod order;
pub mod plan;
pub mod press;
pub mod problem;
pub mod quote;
pub mod saved;
pub mod share;
pub mod shelf;
pub mod tally;
