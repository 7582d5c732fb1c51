//! The picture of a garment with its lettering, to scale, as plain geometry.

use super::fit::line_on;
use super::garment::{self, LINE_DISTANCE, Room};
use crate::glyph::Glyph;
use crate::length::Length;
use crate::lists::{BlankSize, FinishId};
use crate::order::{Design, Group, Order, Placement, Side};
use std::collections::BTreeMap;

/// One side of a garment: across from its centre line, down from the top of the shoulder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Which side.
    pub side: Side,
    /// The garment's outline, closed.
    pub outline: Vec<(Length, Length)>,
    /// Half the width of the collar, and its depth.
    pub collar: (Length, Length),
    /// How far the picture reaches to each side, and down.
    pub extent: (Length, Length),
    /// The lines of lettering.
    pub lines: Vec<LineOnGarment>,
}

/// A line of lettering on a garment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineOnGarment {
    /// Its place in the design, from 0.
    pub line: usize,
    /// What it is made of.
    pub finish: FinishId,
    /// The letters: each glyph with its left edge, across.
    pub letters: Vec<(Glyph, Length)>,
    /// The cap height.
    pub height: Length,
    /// The width of the whole line.
    pub width: Length,
    /// The baseline, down.
    pub baseline: Length,
    /// The left edge of the line, across.
    pub left: Length,
    /// Turned by so many degrees clockwise around the middle of its placement's upper edge.
    pub turned: i32,
    /// The room that its placement has.
    pub room: Room,
}

impl LineOnGarment {
    /// Whether the line is within its room.
    pub fn fits(&self) -> bool {
        self.width <= self.room.width
    }
}

/// The pictures of a garment, front and back.
pub fn pictures(order: &Order, design: &Design, group: &Group, size: &BlankSize) -> [Picture; 2] {
    let lines = placed(order, design, group, size);
    Side::ALL.map(|side| {
        let here = |line: &&LineOnGarment| {
            design.lines.get(line.line).is_some_and(|entry| entry.placement.side() == side)
        };
        let outline = garment::outline(size);
        let across = outline.iter().map(|point| point.0).max().unwrap_or_default();
        Picture {
            side,
            outline,
            collar: (garment::collar_half_width(size), garment::collar_depth(size, side == Side::Front)),
            extent: (across, size.length),
            lines: lines.iter().filter(here).cloned().collect(),
        }
    })
}

/// Every line of a design where it stands on one garment. Lines at one placement stand one
/// under the other, in their order, each centred.
pub fn placed(order: &Order, design: &Design, group: &Group, size: &BlankSize) -> Vec<LineOnGarment> {
    let mut next_top = BTreeMap::<Placement, Length>::new();
    let mut out = Vec::with_capacity(design.lines.len());
    for (at, line) in design.lines.iter().enumerate() {
        let set = line_on(order, line, group);
        if set.letters.is_empty() {
            continue;
        }
        let room = line.placement.room(size);
        let top = next_top.get(&line.placement).copied().unwrap_or(room.top);
        let left = room.centre - set.width.half();
        next_top.insert(line.placement, top + line.height + LINE_DISTANCE);
        out.push(LineOnGarment {
            line: at,
            finish: line.finish.clone(),
            letters: set.letters.into_iter().map(|letter| (letter.glyph, left + letter.left)).collect(),
            height: line.height,
            width: set.width,
            baseline: top + line.height,
            left,
            turned: room.turned,
            room,
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;

    #[test]
    fn lines_are_centred_on_their_placement_and_stacked_without_touching() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        order.designs[0].lines[2].placement = Placement::UpperBack;
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[1];
        let lines = placed(&order, &order.designs[0], &reading.groups[0], size);
        for line in &lines {
            let off_centre = line.left + line.width.half() - line.room.centre;
            assert!(off_centre <= Length::mils(1) && off_centre >= Length::mils(-1));
        }
        assert_eq!(lines[2].baseline - lines[2].height - lines[1].baseline, LINE_DISTANCE);
    }

    #[test]
    fn each_side_shows_its_own_lines() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let reading = order.read(&lists).remove(0);
        let [front, back] =
            pictures(&order, &order.designs[0], &reading.groups[0], &lists.blanks[0].sizes[0]);
        assert_eq!((front.lines.len(), back.lines.len()), (1, 2));
        assert_eq!(front.extent.1, Length::inches(28));
    }
}
