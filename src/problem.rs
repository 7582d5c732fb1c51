//! What can be wrong, where, how bad it is and what to do: the one form that reaches a person.
//!
//! Rooms keep their own errors; the plan turns them into problems. A view shows a problem beside
//! its place, and offers its fixes as buttons.

use crate::glyph::Glyph;
use crate::length::Length;
use crate::lists::{Caps, ColourId, FinishId, OfferId, StyleId};
use crate::number::shortened;
use crate::order::{Line, Swap, Wording};

/// Something wrong with what was entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
    /// What it is and what to do, naming the thing.
    pub message: String,
    /// What a person can do about it with one tap.
    pub fixes: Vec<Fix>,
}

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The figures are not complete: no quote can be handed over.
    Stop,
    /// The figures stand, but somebody should look.
    Look,
}

/// Where a problem is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// The order as a whole.
    Order,
    /// A design, from 0.
    Design(usize),
    /// A line of a design, both from 0.
    Line {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
    },
    /// The roster of a design; the row as numbered in its text.
    Roster {
        /// The design.
        design: usize,
        /// The row.
        row: u64,
    },
    /// The sizes of a design.
    Sizes(usize),
    /// The price's aim.
    Price,
    /// An offer on the price list.
    Offer(OfferId),
}

/// A change to the order that resolves a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fix {
    /// Press another letter, or none, in place of one.
    Swap(Swap),
    /// Give a line another letter height.
    Height {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The height.
        height: Length,
    },
    /// Make a line of another finish.
    Finish {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The finish.
        finish: FinishId,
        /// Its colour.
        colour: ColourId,
        /// What the shop calls the finish.
        name: String,
    },
    /// Give a line's letters another colour.
    Colour {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The colour.
        colour: ColourId,
        /// What the shop calls it.
        name: String,
    },
    /// Give a line another letter style.
    Style {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The letter style.
        style: StyleId,
        /// What the shop calls it.
        name: String,
    },
    /// Set the letters of a line closer where it is too wide.
    Closer {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The narrowest gap.
        closest: Caps,
    },
    /// Put a line's text on two lines.
    Split {
        /// The design.
        design: usize,
        /// The line.
        line: usize,
        /// The upper line.
        first: Wording,
        /// The lower line.
        second: Wording,
    },
}

impl Fix {
    /// What a button for it says.
    pub fn words(&self) -> String {
        match self {
            Self::Swap(Swap { from, to: Some(to) }) => format!("Press {} for {}", to.name(), from.name()),
            Self::Swap(Swap { from, to: None }) => format!("Leave out {}", from.name()),
            Self::Height { height, .. } => format!("Use {height} letters"),
            Self::Closer { .. } => "Set the letters closer".to_owned(),
            Self::Split { first, second, .. } => {
                format!("Two lines: “{}” and “{}”", shortened(first.as_str()), shortened(second.as_str()))
            }
            Self::Finish { name, .. } | Self::Style { name, .. } | Self::Colour { name, .. } => {
                format!("Use {name}")
            }
        }
    }

    /// Leaves a glyph out.
    pub fn leave_out(glyph: &Glyph) -> Self {
        Self::Swap(Swap { from: glyph.clone(), to: None })
    }

    /// Changes the order accordingly; a place that is no longer there is left alone.
    pub fn apply(&self, order: &mut crate::order::Order) {
        let line = |order: &mut crate::order::Order,
                    design: usize,
                    line: usize,
                    change: &dyn Fn(&mut crate::order::Line)| {
            let found = order.designs.get_mut(design).and_then(|design| design.lines.get_mut(line));
            if let Some(found) = found {
                change(found);
            }
        };
        match self {
            Self::Swap(swap) => {
                // What was pressed as this letter so far is pressed as its replacement from now on.
                let through = order.swaps.iter_mut().filter(|old| old.to.as_ref() == Some(&swap.from));
                through.for_each(|old| old.to.clone_from(&swap.to));
                order.swaps.retain(|old| old.from != swap.from);
                order.swaps.push(swap.clone());
            }
            Self::Height { design, line: at, height } => {
                line(order, *design, *at, &|line| line.height = *height)
            }
            Self::Colour { design, line: at, colour, .. } => {
                line(order, *design, *at, &|line| line.colour = colour.clone())
            }
            Self::Closer { design, line: at, closest } => {
                line(order, *design, *at, &|line| line.closest = Some(*closest))
            }
            Self::Split { design, line: at, first, second } => {
                let lines = order.designs.get_mut(*design).map(|design| &mut design.lines);
                if let Some((lines, upper)) = lines.and_then(|lines| {
                    let upper = lines.get(*at)?.clone();
                    Some((lines, upper))
                }) {
                    lines.insert(at + 1, Line { text: second.clone(), ..upper });
                    lines[*at].text = first.clone();
                }
            }
            Self::Style { design, line: at, style, .. } => {
                line(order, *design, *at, &|line| line.style = style.clone())
            }
            Self::Finish { design, line: at, finish, colour, .. } => line(order, *design, *at, &|line| {
                line.finish = finish.clone();
                line.colour = colour.clone();
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;

    #[test]
    fn leaving_out_a_letter_leaves_out_those_pressed_as_it() {
        let glyph = |text: &str| Glyph::parse(text).unwrap();
        let mut order = demo::order("2026-01-01");
        Fix::Swap(Swap { from: glyph("É"), to: Some(glyph("E")) }).apply(&mut order);
        Fix::leave_out(&glyph("E")).apply(&mut order);
        assert_eq!(order.pressed(glyph("É")), None);
        assert_eq!(order.pressed(glyph("E")), None);
        assert_eq!(order.pressed(glyph("F")), Some(glyph("F")));
    }
}
