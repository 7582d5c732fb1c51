//! Lines along an arc: each letter stands upright on the baseline's circle, spaced along it.

use super::angle::Angle;
use super::rect::Rect;
use super::{SetLetter, SetLine};
use crate::length::Length;
use crate::order::curve::{Bend, Curve};

/// A set line on its curve: across from its middle, down from its baseline's middle.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bent {
    /// Where each letter of the set line stands, in order.
    pub spots: Vec<Spot>,
    /// The true extent of the letters.
    pub bounds: Rect,
    /// Whether the line is too long for its curve, which was made wider instead.
    pub is_too_tight: bool,
}

/// Where a letter stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spot {
    /// The left end of its baseline, across.
    pub across: Length,
    /// The left end of its baseline, down.
    pub down: Length,
    /// How it is turned around that point, clockwise.
    pub turn: Angle,
    /// Its true extent.
    pub bounds: Rect,
}

/// Puts a set line on its curve.
///
/// ```
/// use lettertally::{glyph::signs, layout::{curve::bend, set_line}, length::Length, lists::Widths};
/// use lettertally::order::curve::{Bend, Curve};
/// let height = Length::inches(2);
/// let line = set_line(&signs("OTTERS"), height, &Widths::default());
/// let bent = bend(&line, height, Curve::Rise(Bend::Up, Length::inches(1)));
/// assert!(bent.bounds.height() > height && bent.bounds.width() < line.width + height);
/// ```
pub fn bend(line: &SetLine, height: Length, curve: Curve) -> Bent {
    let (radius, way, is_too_tight) = match curve {
        Curve::Rise(way, rise) if rise > Length::ZERO => {
            let (radius, tight) = radius_of_rise(line.width, rise);
            (radius, way, tight)
        }
        Curve::Radius(way, radius) if radius > Length::ZERO => {
            let (radius, tight) = radius_that_holds(line.width, radius);
            (radius, way, tight)
        }
        _ => return straight(line, height),
    };
    let half = line.width.half();
    let spots: Vec<Spot> =
        line.letters.iter().map(|letter| on_arc(letter, half, height, radius, way)).collect();
    let bounds = Rect::around(spots.iter().map(|spot| spot.bounds)).unwrap_or_default();
    Bent { spots, bounds, is_too_tight }
}

fn straight(line: &SetLine, height: Length) -> Bent {
    let half = line.width.half();
    let spot = |letter: &SetLetter| {
        let across = letter.left - half;
        let bounds = Rect::sized(across, Length::ZERO - height, letter.width, height);
        Spot { across, bounds, ..Spot::default() }
    };
    let bounds = Rect::sized(Length::ZERO - half, Length::ZERO - height, line.width, height);
    Bent { spots: line.letters.iter().map(spot).collect(), bounds, is_too_tight: false }
}

fn on_arc(letter: &SetLetter, half: Length, height: Length, radius: Length, way: Bend) -> Spot {
    let around = Angle::of_arc(letter.left + letter.width.half() - half, radius);
    let outward = around.direction();
    let (across, along) = outward.project(radius);
    let drop = radius - along;
    let (turn, upward, down) = match way {
        Bend::Up => (around, outward, drop),
        Bend::Down => (around.back(), outward.back(), Length::ZERO - drop),
    };
    // From the middle of the baseline along it, and up from it.
    let (side_down, side_across) = upward.project(letter.width.half());
    let (up_across, up_down) = upward.project(height);
    let left = (across - side_across, down - side_down);
    let right = (across + side_across, down + side_down);
    let lifted = |(x, y): (Length, Length)| (x + up_across, y - up_down);
    let corners = [left, right, lifted(left), lifted(right)];
    let points = corners.map(|(x, y)| Rect { left: x, top: y, right: x, bottom: y });
    Spot { across: left.0, down: left.1, turn, bounds: Rect::around(points).unwrap_or_default() }
}

/// The radius at which the middle of an arc of this length stands so much above its ends; at most
/// half a circle.
fn radius_of_rise(arc: Length, rise: Length) -> (Length, bool) {
    let half = arc.half();
    match Angle::of_rise(rise, half) {
        Some(angle) => (angle.radius_of(half), false),
        None => (Angle::QUARTER.radius_of(half), true),
    }
}

/// The radius, or the least one on which the line does not meet its own beginning.
fn radius_that_holds(arc: Length, radius: Length) -> (Length, bool) {
    let least = Angle::HALF.radius_of(arc.half());
    if radius < least { (least, true) } else { (radius, false) }
}

#[cfg(test)]
#[allow(clippy::float_arithmetic)] // held against the standard library
mod tests {
    use super::super::set_line;
    use super::*;
    use crate::glyph::signs;
    use crate::lists::Widths;
    use proptest::prelude::*;

    fn set(text: &str) -> SetLine {
        set_line(&signs(text), Length::inches(2), &Widths::default())
    }

    fn nearly(a: Length, b: Length, within: i64) -> bool {
        (a - b).units().abs() <= within
    }

    #[test]
    fn a_rise_is_the_height_of_the_middle_above_the_ends() {
        // Trigonometry, no source: an arc of half angle a on radius r rises by r (1 - cos a).
        let line = set("OTTERS OF THE MARSH");
        for tenths in [1, 5, 20, 60] {
            let rise = Length::mm(tenths);
            let (radius, tight) = radius_of_rise(line.width, rise);
            let along = Angle::of_arc(line.width.half(), radius).direction().project(radius).1;
            assert!(!tight && nearly(radius - along, rise, 50), "{rise}: {}", radius - along);
        }
        assert!(bend(&line, Length::inches(2), Curve::Rise(Bend::Up, Length::inches(90))).is_too_tight);
        assert!(bend(&line, Length::inches(2), Curve::Radius(Bend::Up, Length::inches(1))).is_too_tight);
        // On a circle as long as itself it just closes.
        let least = Angle::HALF.radius_of(line.width.half());
        assert_eq!(radius_that_holds(line.width, least), (least, false));
        assert_eq!(radius_that_holds(line.width, least - Length::of_units(1)), (least, true));
    }

    #[test]
    fn an_arc_without_size_is_straight() {
        let line = set("FAY");
        let straight = bend(&line, Length::inches(2), Curve::Straight);
        assert_eq!(bend(&line, Length::inches(2), Curve::Rise(Bend::Up, Length::ZERO)), straight);
        assert_eq!(bend(&line, Length::inches(2), Curve::Radius(Bend::Up, Length::ZERO)), straight);
        assert_eq!((straight.bounds.width(), straight.bounds.height()), (line.width, Length::inches(2)));
        // It stands on its baseline, evenly on both sides of the middle, and so does each letter.
        let half = line.width.half();
        let bounds = straight.bounds;
        assert_eq!(
            (bounds.left, bounds.top, bounds.bottom),
            (Length::ZERO - half, Length::inches(-2), Length::ZERO)
        );
        for (spot, letter) in straight.spots.iter().zip(&line.letters) {
            assert_eq!(
                (spot.across, spot.down, spot.bounds.left),
                (letter.left - half, Length::ZERO, spot.across)
            );
            assert_eq!((spot.bounds.right, spot.bounds.bottom), (spot.across + letter.width, Length::ZERO));
        }
    }

    proptest! {
        #[test]
        fn letters_stand_on_their_circle_at_their_distance_along_it(
            text in "[A-Z]{2,12}", radius in 12_i32..100, up in any::<bool>(),
        ) {
            let (line, radius) = (set(&text), Length::inches(radius));
            let way = if up { Bend::Up } else { Bend::Down };
            let bent = bend(&line, Length::inches(2), Curve::Radius(way, radius));
            prop_assert_eq!(bent.spots.len(), line.letters.len());
            for (spot, letter) in bent.spots.iter().zip(&line.letters) {
                // The middle of its baseline.
                let (down, across) = spot.turn.direction().project(letter.width.half());
                let (x, y) = (spot.across + across, spot.down + down);
                let sign = if up { 1.0 } else { -1.0 };
                let r = radius.units() as f64;
                let (x, y) = (x.units() as f64, sign * y.units() as f64);
                prop_assert!((x.hypot(r - y) - r).abs() < 30.0);
                let wanted = (letter.left + letter.width.half() - line.width.half()).units() as f64;
                prop_assert!((x.atan2(r - y) * r - wanted).abs() < 60.0);
                prop_assert!(bent.bounds.grown(Length::of_units(1)).holds(&spot.bounds));
            }
        }

        #[test]
        fn up_and_down_are_alike_in_width_of_baseline_and_a_flat_arc_is_nearly_straight(text in "[A-Z]{1,12}") {
            let line = set(&text);
            let far = bend(&line, Length::inches(2), Curve::Radius(Bend::Up, Length::inches(100_000)));
            let straight = bend(&line, Length::inches(2), Curve::Straight);
            prop_assert!(nearly(far.bounds.width(), straight.bounds.width(), 2_540));
            prop_assert!(nearly(far.bounds.height(), straight.bounds.height(), 2_540));
        }
    }
}
