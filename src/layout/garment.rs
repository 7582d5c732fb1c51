//! Where a placement lies on a garment, and how much of it can be printed.
//!
//! All positions are taken from the blank's own measurements: across the body from its centre
//! line (the viewer's right is positive), down from the highest point of the shoulder. The
//! fractions are common practice, no source: a shop checks them against the garment.

use super::Rect;
use super::positions::KeepOff;
use crate::length::Length;
use crate::lists::BlankSize;
use crate::order::{Placement, Side};

/// Letters stand this far apart, line under line, at one placement.
pub const LINE_DISTANCE: Length = Length::mils(750);

/// The room that a placement has on one size of a blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Room {
    /// Its middle, across.
    pub centre: Length,
    /// Its upper edge, down.
    pub top: Length,
    /// How wide a line may be.
    pub width: Length,
    /// How it is turned in the picture, in whole degrees clockwise: sleeves hang.
    pub turned: i32,
}

/// Fractions of the garment's width and length, in thousandths.
struct Fractions {
    centre: i32,
    top: i32,
    width: i32,
    turned: i32,
}

impl Placement {
    fn fractions(self) -> Fractions {
        let (centre, top, width, turned) = match self {
            Self::AcrossShoulders => (0, 95, 900, 0),
            Self::UpperBack => (0, 165, 760, 0),
            Self::MiddleBack => (0, 310, 760, 0),
            Self::LowerBack => (0, 760, 760, 0),
            Self::AcrossChest => (0, 250, 740, 0),
            // On the front the wearer's left is the viewer's right.
            Self::LeftChest => (240, 235, 240, 0),
            Self::RightChest => (-240, 235, 240, 0),
            Self::LeftSleeve => (625, 205, 210, 38),
            Self::RightSleeve => (-625, 205, 210, -38),
        };
        Fractions { centre, top, width, turned }
    }

    /// The room this placement has on a size of a blank.
    pub fn room(self, size: &BlankSize) -> Room {
        let of = self.fractions();
        Room {
            centre: size.width.thousandths(of.centre),
            top: size.length.thousandths(of.top),
            width: size.width.thousandths(of.width),
            turned: of.turned,
        }
    }
}

/// The outline of the garment laid flat, as a closed line of (across, down) points.
pub fn outline(size: &BlankSize) -> Vec<(Length, Length)> {
    /// The viewer's right half, from the collar down: (across, down) in thousandths.
    const RIGHT_HALF: [(i32, i32); 8] =
        [(165, 0), (190, 0), (470, 62), (770, 262), (655, 385), (500, 290), (495, 640), (500, 1000)];
    let point =
        |&(across, down): &(i32, i32)| (size.width.thousandths(across), size.length.thousandths(down));
    let mirrored = |&(across, down): &(i32, i32)| point(&(-across, down));
    RIGHT_HALF.iter().map(point).chain(RIGHT_HALF.iter().rev().map(mirrored)).collect()
}

/// What a platen keeps off on a side of the body: the seams of side, sleeve and shoulder, the collar,
/// and buttons in front.
pub fn keep_off(size: &BlankSize, side: Side, buttons: Option<Length>) -> KeepOff {
    let x = |thousandths| size.width.thousandths(thousandths);
    let y = |thousandths| size.length.thousandths(thousandths);
    let both = |from: i32, to: i32, top: i32, bottom: i32| {
        [(from, to), (-to, -from)].map(|(from, to)| Rect {
            left: x(from),
            top: y(top),
            right: x(to),
            bottom: y(bottom),
        })
    };
    // The sleeve is set in from the shoulder's end to the underarm, the side runs on to the hem.
    let seams = both(SEAM_FROM, 500, SHOULDER_END, 1_000);
    let shoulders = both(COLLAR_HALF, SEAM_FROM, 0, SHOULDER_END);
    let half = collar_half_width(size);
    let depth = collar_depth(size, side == Side::Front);
    let mut collar = vec![Rect::sized(Length::ZERO - half, Length::ZERO, half.times(2), depth)];
    if let (Side::Front, Some(length)) = (side, buttons) {
        let half = BUTTONS.half();
        collar.push(Rect::sized(Length::ZERO - half, depth, BUTTONS, length));
    }
    KeepOff { seams: seams.into_iter().chain(shoulders).collect(), collar }
}

/// How wide a band the buttons take.
const BUTTONS: Length = Length::mils(1_500);
/// Where the side's and sleeve's seams begin, from the middle, and where the shoulder's end lies.
const SEAM_FROM: i32 = 470;
const SHOULDER_END: i32 = 62;
const COLLAR_HALF: i32 = 165;

/// How deep the collar dips below the highest point of the shoulder.
pub fn collar_depth(size: &BlankSize, front: bool) -> Length {
    size.length.thousandths(if front { 105 } else { 35 })
}

/// Half the width of the collar.
pub fn collar_half_width(size: &BlankSize) -> Length {
    size.width.thousandths(COLLAR_HALF)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::demo;

    #[test]
    fn left_and_right_are_each_others_mirror_and_all_else_is_in_the_middle() {
        let size = &demo::lists().blanks[0].sizes[0];
        for placement in Placement::ALL {
            let room = placement.room(size);
            let other = match placement {
                Placement::LeftChest => Placement::RightChest,
                Placement::RightChest => Placement::LeftChest,
                Placement::LeftSleeve => Placement::RightSleeve,
                Placement::RightSleeve => Placement::LeftSleeve,
                middle => middle,
            };
            let mirrored = Room { centre: Length::ZERO - room.centre, turned: -room.turned, ..room };
            assert_eq!(other.room(size), mirrored, "{placement:?}");
        }
        // The wearer's left is the viewer's right, and a sleeve hangs outwards.
        let left = Placement::LeftSleeve.room(size);
        assert!(left.centre > size.width.half() && left.turned > 0);
    }

    #[test]
    fn the_outline_is_alike_on_both_sides_and_reaches_from_the_shoulder_to_the_hem() {
        let size = &demo::lists().blanks[0].sizes[0];
        let points = outline(size);
        assert!(points.iter().all(|&(across, down)| points.contains(&(Length::ZERO - across, down))));
        let downs = || points.iter().map(|point| point.1);
        assert_eq!((downs().min(), downs().max()), (Some(Length::ZERO), Some(size.length)));
        // It is as wide as the blank at the hem, wider at the sleeves, and open for the collar.
        let hem = points.iter().filter(|point| point.1 == size.length).map(|point| point.0).max();
        assert_eq!(hem, Some(size.width.half()));
        assert!(points.iter().any(|point| point.0 > size.width.half()));
        let collar = points
            .iter()
            .filter(|point| point.1 == Length::ZERO)
            .map(|point| point.0)
            .min_by_key(|x| x.units().abs());
        assert_eq!(collar.map(|x| x.units().abs()), Some(collar_half_width(size).units()));
    }

    #[test]
    fn what_a_platen_keeps_off_lies_evenly_on_both_halves() {
        let size = &demo::lists().blanks[0].sizes[0];
        let mirrored =
            |rect: &Rect| Rect { left: Length::ZERO - rect.right, right: Length::ZERO - rect.left, ..*rect };
        let front = keep_off(size, Side::Front, Some(Length::inches(6)));
        assert_eq!((front.seams.len(), front.collar.len()), (4, 2));
        for rects in [&front.seams, &front.collar] {
            assert!(rects.iter().all(|rect| rects.contains(&mirrored(rect))), "{rects:?}");
        }
        let [collar, buttons] = front.collar[..] else { panic!("collar and buttons") };
        assert_eq!((collar.width(), collar.top), (collar_half_width(size).times(2), Length::ZERO));
        assert_eq!((buttons.top, buttons.height()), (collar.bottom, Length::inches(6)));
        // No buttons behind, and the collar is lower in front.
        let back = keep_off(size, Side::Back, Some(Length::inches(6)));
        assert!(back.collar.len() == 1 && back.collar[0].bottom < collar.bottom);
    }
}
