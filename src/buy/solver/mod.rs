//! What to buy: the cheapest mix of pieces, packs and assorted sets, with proof.
//!
//! # The problem
//! Families of letters are sold by suppliers in several ways. Each unit holds `n` pieces of one
//! glyph that the buyer chooses, or a fixed mix. The needs must be covered; more may be bought,
//! by accident of pack sizes or on purpose. What is settled here:
//!
//! * A price is the all-units price of the tier that the units bought lie in. It cannot be
//!   declined: whoever buys past a break pays the later price, also where a lower subtotal then
//!   loses free freight. Units count per way over all glyphs of its family, or over a break
//!   group, which may span families of one supplier.
//! * Freight is the step that the supplier's merchandise subtotal lies in, and nothing where
//!   nothing is bought. A minimum counts merchandise only.
//! * Plans compare by cents, then letters bought (so leftover letters), then units, then the
//!   sum over all units of their line's place in the price list ([`model::Rest`]). Plans equal
//!   in all four are told apart by the fixed course of the search: the same input always gives
//!   the same plan.
//!
//! # How it is solved
//! The families are bound together only by a few totals: each supplier's subtotal, each break
//! group's units. And within a family the glyphs are bound together only by the counts of mixes
//! and by breaks. The search peels these bonds off from the outside in.
//!
//! 1. *Cases* (`scheme`). One freight bracket per supplier (or: not used) and one stretch per
//!    break group make freight and group prices constants; what is left is a box for each
//!    total. Brackets are few, and most boxes are open because leaving them would only help.
//!    The stretches of a break group are fixed one parting at a time: until then a case charges
//!    the least price over those still open, and its parts begin at its multipliers.
//! 2. *Multipliers* (`bend`). A reward per cent spent (or per unit of a group) where a box wants
//!    more, a surcharge where it wants less, turns the boxes into bent prices. Under bent prices the families are
//!    independent, and the sum of their least bent costs plus a constant is a lower bound on
//!    the case, whatever the multipliers. The best ones are sought with a model made of plans
//!    already seen.
//! 3. *Layouts* (`scan`). Within a family, fix the counts of the mixes and the price stretch of
//!    each other way. The glyphs fall apart into covering knapsacks, answered by one table per
//!    price vector (`cover`). Counts that a stretch demands enter by multipliers again. Layouts
//!    above a limit are cut off by bounds; the rest can be listed.
//! 4. *Labels* (`near`, `frame`). To find every plan of a layout within a budget above the
//!    bound, choose covers glyph by glyph and keep, of partial plans with equal watched totals,
//!    the one of least worth. With no shared totals to watch this makes a family's least bent
//!    cost exact; with them it lists what a family can offer, and the lists of the families are
//!    combined the same way.
//! 5. *Rounds* (`search`). Take the case of the least bound. Look at all its plans up to a
//!    little above its bound; then the bound is that much higher, or the best plan is found.
//!    When a round would need too much room, the case is parted in two by the units of one way
//!    (`search::parting`), each with a better bound.
//! 6. *Plans* (`repair`, `sample`, `exchange`, `search::offers`). Every scan gives a real plan
//!    of its family; these are put together, exchanged at true prices and topped up to
//!    thresholds, and priced by [`check`], which knows nothing of the search. A plan's cost is always what `check` says.
//!
//! # Why the answer is exact
//! * Every plan belongs to a case that charges it at most its true cost, and no case charges a
//!   plan less than its true cost: a box is opened at a bound only where what lies beyond costs
//!   no more than is charged. So the least over cases is the least over plans.
//! * A group's least price over its open stretches is not above the true one, and rewards stay
//!   below the price (`bend`), so bent costs of a case not yet parted are not above true ones.
//! * For a plan `x` of a case and multipliers of the right signs, `bent(x) + offset <=
//!   cost(x)`, as each box contributes multiplier times (bound minus total), which is not above
//!   zero for a total in the box. So any sum of lower bounds on the families' bent costs, plus
//!   the offset, bounds the case. All of it is whole numbers (multipliers are in parts of
//!   4096); nothing rounds in the bound's favour.
//! * If `x` costs at most a target, its families' bent costs exceed their least ones by at most
//!   `target - offset - sum of the least` together, so by at most that budget each. The same
//!   holds layout by layout and glyph by glyph. A round therefore misses no plan up to its
//!   target. Any cover of a glyph is one from which no unit can be left out, plus surplus;
//!   surplus is a stage of its own.
//! * Of two partial plans with the same watched totals, every completion of one completes the
//!   other, and cents and tie rule add up. So keeping the better loses no best plan. A total
//!   with a least bound only may be cut off there, since more of it changes nothing.
//! * A total is left unwatched only if every plan within the budget keeps its box: shown by
//!   comparing bounds at shifted multipliers (`search::rounds`), or from the listed ranges.
//! * A round up to the best known cost, equal cost included, exhausts a case for the tie rule.
//!
//! # What is guaranteed
//! At any moment, [`Outcome::bound`] is proven and [`Outcome::plan`] is a real plan. `Optimal`
//! means that they are equal in cents. [`Outcome::settled`] says that the tie rule is proven as
//! well; on every problem kept with the tests it is. Where rooms and limits are used up first
//! the search ends `Feasible` with what it has proven; and it can take long: of random problems
//! with break groups over all of eight to twelve families some are not proven in ten seconds
//! (figures in `docs/buy-bench.md`). No clock, no randomness, no threads: work comes in steps, each of
//! them a few milliseconds, and only their number depends on whoever asks for them.

mod bend;
pub mod check;
mod cover;
mod exchange;
mod family;
mod frame;
pub mod model;
mod near;
mod repair;
mod sample;
mod scan;
mod scheme;
mod search;

pub use search::{Outcome, Reason, Solver, Status, WHOLE};
