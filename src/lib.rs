//! Lettertally's core: from the words on a shirt to the letters, the buying list and the price.
//!
//! No browser in here. Data flows down this list; a room uses those above it, never those below:
//!
//! * [`number`], [`money`], [`length`], [`glyph`]: what figures and letters are
//! * [`lists`]: what can be bought and pressed
//! * [`order`]: what was asked for
//! * [`tally`]: the letters it takes
//! * [`shelf`]: the letters at hand
//! * [`buy`]: the cheapest way to buy the rest
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

pub mod buy;
pub mod glyph;
pub mod length;
pub mod lists;
pub mod money;
pub mod number;
pub mod order;
pub mod shelf;
pub mod tally;
