//! The picture of a garment with its lettering, to scale, as plain geometry.

use super::curve::Spot;
use super::garment::{self, LINE_DISTANCE, Room};
use super::{Angle, Rect, SetLetter, set_on_curve};
use crate::glyph::Glyph;
use crate::length::Length;
use crate::lists::drawing::Drawing;
use crate::lists::{BlankSize, FinishId, Lists};
use crate::order::{Design, Group, Order, Placement, Side};
use std::sync::Arc;

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
    /// Its placement.
    pub placement: Placement,
    /// The letters, in reading order.
    pub letters: Vec<LetterOnGarment>,
    /// The cap height.
    pub height: Length,
    /// The true extent of all letters.
    pub bounds: Rect,
    /// The baseline in the line's middle, down.
    pub baseline: Length,
    /// Turned by so many degrees clockwise around the middle of its placement's upper edge.
    pub turned: i32,
    /// The room that its placement has.
    pub room: Room,
    /// Whether the line is too long for its curve, which was made wider instead.
    pub is_too_tight: bool,
}

/// A letter where it stands on a garment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LetterOnGarment {
    /// Which letter.
    pub glyph: Glyph,
    /// Whether a space comes before it in its line.
    pub after_space: bool,
    /// The left end of its baseline, across.
    pub across: Length,
    /// The left end of its baseline, down.
    pub down: Length,
    /// Its own width, along its baseline.
    pub width: Length,
    /// Its cap height.
    pub height: Length,
    /// How it is turned around the left end of its baseline, clockwise.
    pub turn: Angle,
    /// Its true extent.
    pub bounds: Rect,
    /// How it is drawn, where its letter style says so.
    pub drawing: Option<Arc<Drawing>>,
}

impl Picture {
    /// The garment's own extent.
    pub fn frame(&self) -> Rect {
        let (across, down) = self.extent;
        Rect::sized(Length::ZERO - across, Length::ZERO, across.times(2), down)
    }
}

impl LineOnGarment {
    /// Whether letters of it lie over letters of another line on the same part of the garment.
    pub fn lies_over(&self, other: &Self) -> bool {
        let part = |line: &Self| (line.placement.side(), line.turned);
        let letters = || other.letters.iter().map(|letter| &letter.bounds);
        part(self) == part(other)
            && self.bounds.meets(&other.bounds)
            && self.letters.iter().any(|letter| letters().any(|bounds| letter.bounds.meets(bounds)))
    }

    /// Whether the line is within its room.
    pub fn fits(&self) -> bool {
        self.bounds.width() <= self.room.width
    }
}

/// The pictures of a garment, front and back.
pub fn pictures(
    order: &Order,
    design: &Design,
    group: &Group,
    size: &BlankSize,
    lists: &Lists,
) -> [Picture; 2] {
    let lines = placed(order, design, group, size, lists);
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
pub fn placed(
    order: &Order,
    design: &Design,
    group: &Group,
    size: &BlankSize,
    lists: &Lists,
) -> Vec<LineOnGarment> {
    let mut next_top: Vec<(Placement, Length)> = Vec::new();
    let mut out = Vec::with_capacity(design.lines.len());
    for (at, line) in design.lines.iter().enumerate() {
        let room = line.placement.room(size);
        let signs = order.signs(line, group);
        let widths = lists.widths(&line.style);
        let (set, bent) = set_on_curve(line, &signs, widths, room.width);
        if set.letters.is_empty() {
            continue;
        }
        let below = next_top.iter().rev().find(|(placement, _)| *placement == line.placement);
        let top = below.map_or(room.top, |(_, top)| *top);
        let baseline = top - bent.bounds.top;
        let bounds = bent.bounds.moved(room.centre, baseline);
        next_top.push((line.placement, bounds.bottom + LINE_DISTANCE));
        let letter = |(letter, spot): (SetLetter, &Spot)| LetterOnGarment {
            drawing: widths.drawings.get(&letter.glyph).cloned(),
            glyph: letter.glyph,
            after_space: letter.after_space,
            across: room.centre + spot.across,
            down: baseline + spot.down,
            width: letter.width,
            height: line.height,
            turn: spot.turn,
            bounds: spot.bounds.moved(room.centre, baseline),
        };
        out.push(LineOnGarment {
            line: at,
            finish: line.finish.clone(),
            placement: line.placement,
            letters: set.letters.into_iter().zip(&bent.spots).map(letter).collect(),
            height: line.height,
            bounds,
            baseline,
            turned: room.turned,
            room,
            is_too_tight: bent.is_too_tight,
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
        let lines = placed(&order, &order.designs[0], &reading.groups[0], size, &lists);
        for line in &lines {
            let off_centre = line.bounds.middle().0 - line.room.centre;
            assert!(off_centre <= Length::mils(1) && off_centre >= Length::mils(-1));
        }
        assert_eq!(lines[2].bounds.top - lines[1].bounds.bottom, LINE_DISTANCE);
    }

    #[test]
    fn each_side_shows_its_own_lines() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let reading = order.read(&lists).remove(0);
        let [front, back] =
            pictures(&order, &order.designs[0], &reading.groups[0], &lists.blanks[0].sizes[0], &lists);
        assert_eq!((front.lines.len(), back.lines.len()), (1, 2));
        assert_eq!(front.extent.1, Length::inches(28));
        let (across, down) = front.extent;
        let frame = front.frame();
        assert_eq!((frame.left, frame.right), (Length::ZERO - across, across));
        assert_eq!((frame.top, frame.bottom), (Length::ZERO, down));
        assert!(front.collar.1 > back.collar.1, "the collar is lower in front");
    }

    #[test]
    fn a_line_lies_over_another_where_their_letters_meet_on_one_part_of_the_garment() {
        let (lists, order) = (demo::lists(), demo::order("2026-01-01"));
        let reading = order.read(&lists).remove(0);
        let size = &lists.blanks[0].sizes[0];
        let line = placed(&order, &order.designs[0], &reading.groups[0], size, &lists).remove(1);
        assert!(line.lies_over(&line.clone()));
        assert!(!line.lies_over(&LineOnGarment { placement: Placement::AcrossChest, ..line.clone() }));
        assert!(!line.lies_over(&LineOnGarment { turned: 38, ..line.clone() }));
        let away = line.bounds.moved(line.bounds.width(), Length::ZERO);
        assert!(!line.lies_over(&LineOnGarment { bounds: away, ..line.clone() }));
        // As where two arcs nest: in each other's frame, and no letter on a letter.
        let mut nested = line.clone();
        for letter in &mut nested.letters {
            letter.bounds = letter.bounds.moved(Length::ZERO, line.bounds.height());
        }
        assert!(!line.lies_over(&nested));
    }

    #[test]
    fn a_line_wider_than_its_room_does_not_fit() {
        let (lists, mut order) = (demo::lists(), demo::order("2026-01-01"));
        let size = &lists.blanks[0].sizes[0];
        let fits = |order: &Order| {
            let reading = order.read(&lists).remove(0);
            placed(order, &order.designs[0], &reading.groups[0], size, &lists)[0].fits()
        };
        assert!(fits(&order));
        order.designs[0].lines[0].text = crate::order::Wording::new("OTTERS OF THE MARSHES");
        assert!(!fits(&order));
    }
}
